"""Cautions: one word for each hazard of each lot, and the limits behind the words."""

from __future__ import annotations

from collections.abc import Callable

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.tables import sources
from hayfuncs.workbook.keyed import filled, same_row
from hayfuncs.workbook.model import Book, Content, Formula
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.hazards import Hazards
from hayfuncs.workbook.sheets.levels import (
    DANGERS,
    LOOK,
    UNKNOWN,
    UNSAID,
    WORDS,
    flag,
    flag_dangers,
    level,
    noted,
    seen_level,
)
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.repeats import Repeats
from hayfuncs.workbook.table import Column, Table, column, computed

UNTESTED, CLEAR, CAUTION, DANGER = WORDS

SPACED = '&" "&'  # between texts, and TRIM around them: an office drops blanks at a text's ends on loading
VET, OFFICE, FIRE, LAB, AGENT = (
    "veterinarian",
    "local extension office",
    "fire service and local code",
    "laboratory",
    "agent and producer",
)
# hazard, limit in words, function whose sources stand behind it, who decides
LIMITS = (
    ("Nitrate nitrogen, Clemson scale", "clear below 1,000 ppm NO3-N; in calf: caution from 1,000, danger from 2,000; others: caution from 1,500, danger from 3,500; none above 4,000", "NITRATE_CAUTION", f"{VET}; {OFFICE}"),
    ("Nitrate nitrogen, midwest laboratory", "very low below 700 ppm NO3-N; limits from 700; high from 2,100; extremely high above 3,500", "NITRATE_CAUTION", f"{VET}; {OFFICE}"),
    ("Grass tetany", "ratio K/(Ca+Mg) above 2.2 in equivalents; magnesium below 0.20 %", "TETANY_CAUTION", VET),
    ("Calcium to phosphorus", "below 1 danger; below 1.5 or above 7 caution", "CALCIUM_PHOSPHORUS_CAUTION", VET),
    ("Sulfur", "above 0.40 % of a high-forage diet caution, above 0.50 % danger; water counts too", "SULFUR_CAUTION", VET),
    ("Prussic acid", "200 and 600 ppm of the wet sample; the same numbers are held against dry matter, which is stricter; drying is no safeguard", "PRUSSIC_ACID_CAUTION", f"{VET}; {OFFICE}"),
    ("Ergovaline", "from 100 ppb caution, above the threshold of Assumptions danger", "ERGOVALINE_CAUTION", f"{VET}; {OFFICE}"),
    ("Stack heat", "120 deg F caution; 150 danger; 160 call the fire service; 175 hot spots likely; 190 may burst into flame", "STACK_HEAT_CAUTION", FIRE),
    ("Moisture at baling", "small square 20 %, round 18 %, large square 16 %", "BALING_MOISTURE_CAUTION", FIRE),
    ("Seen in the hay", "mold, poisonous plants, blister beetles, sweet clover, ammonia, wrap, plastic, a dead animal, wire, ergot: typed on Lots", "SEEN_IN_HAY_CAUTION", f"{VET}; {OFFICE}"),
    ("Heat damage", "bound protein above 10 % of CP is said, above 12 % strongly", "HEAT_DAMAGE_NOTE", LAB),
    ("Lab sheet", "values that cannot be or are seldom seen", "LAB_NOTES", LAB),
    ("Lot notes", "over 200 tons, over 48 hours, fewer than 15 cores", "LOT_NOTES", AGENT),
    ("Repeat tests", "two tests more than CP 1, ADF 1 or NDF 1.4 apart in one lab; twice that between two labs", "LAB_DIFFERENCE_NOTE", LAB),
)  # fmt: skip


def _word(mark: str, head: str, of: Callable[[str], Formula] = level) -> Column:
    """The level of the words of the same lot on Hazards."""
    return computed(head, "word", lambda row: of(getattr(row.hazard, mark)), "verdict")


def _count(head: str, word: str) -> Column:
    """Hazards with this word; one nitrate test is one hazard, however many scales read it."""
    once = f'(COUNTIF({{nitrate}},"{word}")>0)'
    if word == CAUTION:  # caution on one scale and danger on another is a danger
        once += f'*(COUNTIF({{nitrate}},"{DANGER}")=0)'
    return computed(head, "number", f'=COUNTIF({{others}},"{word}")+{once}', "number0", 10)


def _named(part: int, *columns: Column) -> Column:
    """What is neither clear nor untested, by its heading; in parts, so that each formula stays short."""

    def one(row: Cautions, column: Column) -> str:
        at = row.ref(column)
        unsaid = f'+({at}="{UNSAID}")' if column in SEEN else ""
        return f'IF(({at}="{CLEAR}")+({at}="{UNTESTED}"){unsaid},"",{row.head_of(column)}&": "&{at}&". ")'

    def all_named(row: Cautions) -> Formula:
        return Formula("=TRIM(" + "&".join(one(row, c) for c in columns) + ")")

    return computed(f"Named, part {part}", "text", all_named, "note", 16)


class Cautions(Table[None]):
    """One row a lot, one word a hazard; the words in full stand on Hazards."""

    blank = '{name}=""'
    name = computed("Hay lot", "name", '={lot.name}&""', "label", 20)
    nitrate_calf_a = _word("nitrate_calf_a", "Nitrate, in calf, Clemson")
    nitrate_calf_b = _word("nitrate_calf_b", "Nitrate, in calf, midwest lab")
    nitrate_open_a = _word("nitrate_open_a", "Nitrate, others, Clemson")
    nitrate_open_b = _word("nitrate_open_b", "Nitrate, others, midwest lab")
    tetany = _word("tetany", "Grass tetany")
    cap = _word("cap", "Ca to P")
    sulfur = _word("sulfur", "Sulfur")
    prussic = _word("prussic", "Prussic acid")
    ergot = _word("ergot", "Ergovaline")
    stack = _word("stack", "Stack heat")
    baling = _word("baling", "Baling moisture")
    heat = _word("heat", "Heat damage", noted)
    lab = _word("lab", "Lab sheet", noted)
    lot_notes = _word("lot", "Lot notes", noted)
    repeat = computed("Repeat tests", "word", f'=IF({{repeats.twice}}=0,"{UNTESTED}",IF({{repeats.far}}>0,"{LOOK}","{CLEAR}"))', "verdict")  # fmt: skip
    seen, seen_too = _word("seen", "Seen in the hay", seen_level), _word("seen_too", "Also seen", seen_level)
    count_dan, count_cau = _count("Dangers", DANGER), _count("Cautions", CAUTION)
    count_loo, count_not = _count("To look at", LOOK), _count("Not tested", UNTESTED)
    # hazards that show none of the words: an error, which is not the same as clear
    count_err = computed("Not worked out", "number",
        "=COLUMNS({all})-" + "-".join(f'COUNTIF({{all}},"{word}")' for word in (*WORDS, LOOK, UNSAID)), "number0", 10)  # fmt: skip
    says = computed("In all", "words",
        f'=IF({{count_err}}>0,"{UNKNOWN} "&{{count_err}}&", see Hazards; ","")&IF({{count_dan}}+{{count_cau}}+{{count_loo}}+{{count_err}}=0,"clear in what was tested, ","")'
        f'&IF({{count_dan}}>0,"{DANGERS}"&{{count_dan}}&", ","")&IF({{count_cau}}>0,"caution "&{{count_cau}}&", ","")'
        '&IF({count_loo}>0,"to look at "&{count_loo}&", ","")&"not tested "&{count_not}',
        "note", 28)  # fmt: skip
    part_1 = _named(1, nitrate_calf_a, nitrate_calf_b, nitrate_open_a, nitrate_open_b)
    part_2 = _named(2, tetany, cap, sulfur, prussic)
    part_3 = _named(3, ergot, stack, baling, heat)
    part_4 = _named(4, lab, lot_notes, repeat)
    part_5 = _named(5, seen, seen_too)
    named = computed("What to look at", "text", '=IF({count_dan}+{count_cau}+{count_loo}=0,"nothing in what was tested",TRIM('
        + SPACED.join(f"{{part_{i}}}" for i in (1, 2, 3, 4, 5)) + "))", "note", 50)  # fmt: skip

    @column("Dangers, named", "text", "note", 28)
    def dangers(self) -> Content:
        """The hazards at danger, nitrate once."""
        nitrate = f'IF(COUNTIF({filled(self.nitrate, self)},"{DANGER}")>0,"Nitrate. ","")'
        others = [f'IF({self.ref(c)}="{DANGER}","{c.head}. ","")' for c in OTHERS]
        return Formula("=TRIM(" + "&".join([nitrate, *others]) + ")")

    lot, hazard, repeats = same_row(lambda: Lots), same_row(lambda: Hazards), same_row(lambda: Repeats)
    nitrate = "{nitrate_calf_a}:{nitrate_open_b}"  # one test, read by several scales
    others, all = "{tetany}:{seen_too}", "{nitrate_calf_a}:{seen_too}"


NITRATE = (Cautions.nitrate_calf_a, Cautions.nitrate_calf_b, Cautions.nitrate_open_a, Cautions.nitrate_open_b)
SEEN = (Cautions.seen, Cautions.seen_too)
OTHERS = (Cautions.tetany, Cautions.cap, Cautions.sulfur, Cautions.prussic, Cautions.ergot, Cautions.stack, Cautions.baling, *SEEN)  # fmt: skip


def fill(book: Book) -> None:
    lots = book.find(Lots)
    sheet = begin(book, "Cautions", "Which lot needs a second look, and for what?",
        "One word for each hazard of each lot: Clear, Caution, Danger, Look, or not tested. The words in full stand on Hazards; the limits below.", "Result")  # fmt: skip
    cautions = Cautions(sheet, [None] * lots.n).place(48).filed("cautions")
    flag(sheet, cautions.area(Cautions.nitrate_calf_a, Cautions.seen_too))
    sheet.zoom = 120
    _limits(cautions, cautions.row_below + 1)
    _at_the_lot(lots)


def whose(function: str) -> str:
    """Who stands behind a function's limits, in few words; the sheet Sources has the rest."""
    known = sources()
    named: list[str] = []
    for ref in CATALOGUE[function].refs:
        who = {"memory": "from memory", "definition": "by definition"}.get(ref.key, str(known[ref.key]["who"]))
        named.append(f"{who} (second hand)" if "second" in ref.evidence else who)
    return "; ".join(dict.fromkeys(named))


def _limits(cautions: Cautions, row: int) -> None:
    """The limits behind the words: one line a hazard, wide cells left free for the text."""
    sheet, col = cautions.sheet, cautions.col(Cautions.name)
    sheet.put(row, col, "Limits behind the words, who decides, and where they come from", "section")
    for hazard, limit, function, who in LIMITS:
        row += 1
        sheet.put(row, col, f"{hazard}: {limit}.", "text")
        row += 1
        sheet.put(row, col, f"     Decides: {who}. Source: {whose(function)}", "sentence")


def _at_the_lot(lots: Lots) -> None:
    """The count of cautions at the lot itself, on the sheet Lots."""
    for at, row in enumerate(lots.rows(), lots.first_row):
        said = Formula(f'=IF({row.name}="","",{row.same(Cautions).says}&": see Cautions")')
        lots.sheet.put(at, lots.col(Lots.cautions), said, "small")
    flag_dangers(lots.sheet, lots.area(Lots.cautions))
