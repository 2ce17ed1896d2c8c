"""The workbook's own checks can fail: each goes red for its fault, and the master with it."""

from __future__ import annotations

import pytest
from where import Running
from workbook.places import place

from hayfuncs.hosts import engine
from hayfuncs.workbook.sheets.budget import Buying
from hayfuncs.workbook.sheets.checks import FAILS, HOLDS, RESULT
from hayfuncs.workbook.sheets.common import FIRST
from hayfuncs.workbook.sheets.howsure import Sure
from hayfuncs.workbook.sheets.reference import Functions


def first(span: str) -> str:
    return span.split(":")[0]


# what is checked -> how the workbook is damaged: (mark, column or None, new value or formula)
DAMAGE = {
    "Lots: needed cells left empty": ("lots", "lab_cp_pct", None),
    "Herd: needed cells left empty": ("herd", "weight", None),
    "The three choices of the ration are found in their tables": ("name", "chosen_lot", "no such lot"),
    "Lots: name used twice": ("lots", "name", "Heron Flat 2"),
    "Lots: ADF above NDF, swapped": ("lots", "lab_ndf_pct", 39),
    "Lots: dry matter under 60 %, moisture typed (baleage)": ("lots", "lab_dm_pct", 11.1),
    "Lots: dry matter above 98 % (sure)": ("lots", "lab_dm_pct", 99),
    "Lots: protein under 2 %, 0.08 typed for 8 (sure)": ("lots", "lab_cp_pct", 0.08),
    "Lots: protein above ADF (young)": ("lots", "lab_cp_pct", 45),
    "Lots: TDN under 35 or above 80 % (sure)": ("lots", "tdn", 97),
    "Lots: phosphorus above 1 % (phosphorus)": ("lots", "lab_p_pct", 2.2),
    "Lots: lab values of another lot (same)": (
        ("lots", "lab_dm_pct", 89.6),
        ("lots", "lab_cp_pct", 11.9),
        ("lots", "lab_adf_pct", 34.8),
        ("lots", "lab_ndf_pct", 57.2),
    ),  # those of the second lot
    "Herd: name used twice": ("herd", "name", "Late-pregnant cows"),
    "Herd: weight under 800 lb, typed in kg (sure)": ("herd", "weight", 590),
    "Herd: weight above 2,200 lb (sure)": ("herd", "weight", 2300),
    "Herd: calf under 50 lb, typed in kg (sure)": ("herd", "calf", 36),
    "Herd: calf above 140 lb (sure)": ("herd", "calf", 145),
    "Herd: class of cattle is not of its list": ("herd", "cattle_class", "llama"),
    "Herd: weight when grown is empty": ("herd", "cattle_class", "second-calf cow"),
    "Herd: gain wanted is empty": ("herd", "cattle_class", "bull"),
    "Herd: no diet gives this gain at this weight": [
        ("herd", "cattle_class", "bull"),
        ("herd", "grown", 1400),
        ("herd", "gain", 6),
    ],
    "Herd: score wanted or its days are empty": ("herd", "wanted", 6),
    "Herd: bred heifer in month 1 or 2: she has not calved (sure)": ("herd", "cattle_class", "bred heifer"),
    "Herd: heavier than when grown (sure)": [("herd", "cattle_class", "bull"), ("herd", "grown", 900)],
    "Herd: score wanted is not above the score: nothing is counted for it (sure)": ("herd", "wanted", 3),
    "Feeds: name used twice": ("feeds", "name", "corn grain"),
    "Feeds: dry matter of 1 % or less, typed as a fraction (sure)": ("feeds", "dm_pct", 0.9),
    "Feeds: TDN of 1 % or less, typed as a fraction (sure)": ("feeds", "tdn_pct", 0.77),
    "Feeds: protein under 1 %, typed as a fraction (sure)": ("feeds", "cp_pct", 0.12),
    "Feeds: price under $30 a ton, a bag's (sure)": ("feeds", "price", 14),
    "Filled cells under a table, which no sheet reads": ("under", "Lots", "Typed here"),
    "Lots: basis is dry or as fed in every row": ("lots", "basis", "wet"),
    "Lots: protein that fell when put on dry basis": ("lots", "cp", 1),
    "Ration, pounds: TDN over need": ("ration", "rate_pounds", 0.5),
    "Ration, pounds: CP over need": ("ration", "rate_pounds", 0.1),
    "Ration, pounds: the nutrient that drives is met exactly, or no supplement is fed": ("ration", "rate_pounds", 9),
    "Ration, share: TDN of the diet over need": ("ration", "rate_share", 0.5),
    "Ration, share: CP of the diet over need": ("ration", "rate_share", 0.1),
    "Longhand against the functions, largest difference": ("ration", "rate_share", 4.2),
    "Functions listed": ("functions", "", None),
    "Register: lots whose tons on Lots and by bales are more than 10 % apart": ("register", "bales", 300),
    "Bench: weights that cannot be": ("bench", "dry", 470),
    "Hay pile: days from the first day to grass": ("name", "turnout", 46357),
    "Stock: hay eaten, lost and wasted, less hay in store": ("stock", "wasted", 99),
    "Hay pile: share of the winter covered, by days less by pounds": ("stock", "net", 1000),
    "Longhand stock against the functions, largest difference": ("stock", "dry", 12),
    "Cautions: lots tested for nitrate without a word on it": ("hazards", "nitrate_calf_a", "not tested"),
    "Hazards: minerals on dry basis less as given, all lots": ("hazards", "k", 0),
    "Repeat tests: second values without the word on the laboratory": ("repeats", "second_cp", 9),
    "Stacks: the lots chosen there are found": ("name", "reference_lot", "no such lot"),
    "How sure: margin of the cores advised, less the margin wanted": (Sure, "cores", 2),
    "Winter: days of the months, less days from start to turnout": ("name", "turnout", 46600),
    "Winter feeds: names used twice": ("lots", "name", "corn grain"),
    "Plan: rows whose month, group or feed is not found": ("plan", "feed", "no such hay"),
    "Plan: amounts below 0": ("plan", "lb", -4),
    "Plan: feeds over a limit of theirs": ("plan", "feed", "cottonseed meal"),
    "Plan: feeds that are not allowed or not known": ("sources", "allowed", 0),
    "Plan: hays over the most share that their nitrate allows, in calf or not": ("lots", "lab_nitrate_n_ppm", 5000),
    "Plan: group months where the nitrate of all hays together is over": [
        ("name", "plan_mixed", 1),
        ("lots", "lab_nitrate_n_ppm", 1700),
    ],
    "Plan: group months with calcium under its least share of phosphorus": ("name", "plan_min_ca_p", 7),
    # at a price that is neither typed nor assumed: the word beside it is the check's
    "Winter feeds: own hay without any price to count": ("sources", "priced", "not entered"),
    "Plan: group months with more starchy grain than the most": [("plan", "feed", "corn grain"), ("plan", "lb", 20)],
    "Plan: group months where a need or limit is not kept": ("plan", "lb", 30),
    "Plan: tons overdrawn": ("register", "tons", 20),
    "Plan: tons of its rows, less tons of the stocks": ("stocks", "used", 99),
    "Plan: left at turnout, less left after the last month": ("stocks", "left", 99),
    "Plan: cost of its rows, less cost of the group months": ("balance", "cost", 9),
    "Take home: hay or feed that is not found": ("take_home", "hay", "no such lot"),
    "Take home: energy or protein of a page over the need, the least": ("take_home_numbers", "fed", 0.25),
    "Winter budget: purchase list, less what is to spend": ("purchases", "", 1),
}


def find_row(book, what: str) -> int:
    sheet = book.by_name("Checks")
    return next(r for (r, c), cell in sheet.cells.items() if c == 0 and r >= FIRST and cell.content == what)


@pytest.mark.parametrize("what", list(DAMAGE))
def test_check_goes_red_for_its_fault(editions, what):
    book, _, path = editions["functions"]
    running = Running(book, engine.load(path.read_bytes()))
    running.evaluate_all()
    row = find_row(book, what)
    master = place(book.names["master_check"])
    assert running.get_value("Checks", row + 1, 8) == HOLDS
    assert str(running.get_value(*master)).startswith("✓")
    damage = DAMAGE[what]
    for mark, column, value in damage if isinstance(damage[0], tuple) else [damage]:
        if mark == "name":
            target = place(book.names[column])
        elif mark == "functions":
            target = place(first(book.find(Functions).name))
        elif isinstance(mark, type):
            target = place(getattr(book.find(mark), column))
        elif mark == "purchases":
            target = place(book.find(Buying).total(Buying.cost))
        elif mark == "under":
            target = column, FIRST + book.marks["lots"]["n"] + 2, 1
        else:
            target = place(first(book.marks[mark][column]))
        running.set_value(*target, value)
    running.evaluate_all()
    assert running.get_value("Checks", row + 1, 8) == FAILS, what
    assert str(running.get_value(*master)).startswith("✗")


def test_each_check_of_the_sheet_is_damaged_here_or_is_a_published_example(editions):
    book, _, _ = editions["functions"]
    sheet = book.by_name("Checks")
    at = sorted(r for (r, c), cell in sheet.cells.items() if c == RESULT and cell.style == "verdict")
    rows = [(sheet.cells[r, 0].content, sheet.cells[r, 1].content) for r in at]
    assert len(rows) >= 20
    missing = [what for what, kind in rows if kind != "published example" and what not in DAMAGE]
    assert missing == []
