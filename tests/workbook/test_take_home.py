"""Pages to take home, month cards, the meeting handout and the lessons: what they say follows what is typed."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import pytest
from building import SMALL, built
from workbook.opened import Open
from workbook.places import place

import hayfuncs as h
from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.engine_values import plain_value
from hayfuncs.workbook import handout
from hayfuncs.workbook.model import place_of
from hayfuncs.workbook.sheets.lessons import NOT_YET
from hayfuncs.workbook.sheets.winter import WinterHerd
from hayfuncs.workbook.styles import STYLES

GROUPS = range(1, len(SMALL.groups) + 1)
QUARTER = 0.25
MOST_OVER = 5  # percent


@pytest.fixture
def desk():
    book, _, path = built(SMALL)
    return Open(book, path)


def cell(span, number):
    sheet, row, col = place(span.split(":")[0])
    return sheet, row + number - 1, col


def get(desk, table, mark, number):
    return plain_value(desk.made.get_value(*cell(desk.book.marks[table][mark], number)))


def put(desk, table, mark, number, value):
    desk.made.set_value(*cell(desk.book.marks[table][mark], number), value)
    desk.made.evaluate_all()


def page(desk, number):
    """Every text and number of a group's page."""
    first, last = desk.book.marks["take_home_pages"]["rows"][number - 1]
    sheet = desk.book.by_name("Take home")
    found = [
        plain_value(desk.made.get_value("Take home", row + 1, col + 1))
        for row in range(first, last + 1)
        for col in range(3)
        if (row, col) in sheet.cells
    ]
    return [x for x in found if x not in (None, "")]


def words(desk, number):
    return " ".join(str(x) for x in page(desk, number))


def test_the_chosen_group_is_given_the_chosen_hay_and_feed(desk):
    number = [g.name for g in SMALL.groups].index(desk.name("chosen_group")) + 1
    assert get(desk, "take_home_numbers", "hay", number) == desk.name("chosen_lot")
    rate = get(desk, "take_home_numbers", "exact", number)
    assert rate == pytest.approx(desk.name("supplement_by_pounds"), abs=1e-12)


@pytest.mark.parametrize("number", GROUPS)
def test_the_numbers_of_a_page_are_those_of_the_functions(desk, number):
    n = {k: get(desk, "take_home_numbers", k, number) for k in desk.book.marks["take_home_numbers"] if k != "n"}
    assert n["why"] == ""
    feed = [n["feed_tdn"], n["feed_cp"], n["feed_dm"]]
    rate = h.supplement_rate("pounds", n["need_tdn"], n["need_cp"], n["appetite"], n["hay_tdn"], n["hay_cp"], *feed, 0)
    assert n["fed"] - QUARTER < rate - 1e-9 <= n["fed"] or n["fed"] == rate == 0
    assert (n["fed"] / QUARTER).is_integer()
    eaten = h.as_fed_weight(n["appetite"], n["hay_dm"])
    assert n["out"] - 1 < eaten / (1 - n["wasted"] / 100) <= n["out"] + 1e-6
    assert n["out_herd"] == n["out"] * SMALL.groups[number - 1].head
    assert n["bales"] == h.bales_needed(n["out_herd"] * n["days"], n["bale"])
    over = [
        100 * (h.bales_needed(n["out_herd"] * d, n["bale"]) * n["bale"] / (n["out_herd"] * d) - 1) for d in range(1, 8)
    ]
    wanted = next((d for d, x in enumerate(over, 1) if x <= MOST_OVER), over.index(min(over)) + 1)
    assert n["days"] == wanted
    assert n["hay_cost"] == pytest.approx(h.hay_cost(n["hay_lb"], get(desk, "stock", "paid", int(n["lot"]))))
    said = page(desk, number)
    assert n["out"] in said
    assert n["out_herd"] in said


def test_another_hay_and_another_feed_make_another_page(desk):
    before = words(desk, 2)
    put(desk, "take_home", "hay", 2, SMALL.lots[1].name)
    assert SMALL.lots[1].name in words(desk, 2) != before


def test_a_page_shows_no_number_while_what_it_rests_on_does_not_hold(desk):
    lot = int(get(desk, "take_home_numbers", "lot", 1))
    put(desk, "lots", "lab_cp_pct", lot, 0.08)
    said = page(desk, 1)
    assert any(str(x).startswith("✗ No number on this page: ") and "protein under 2 %" in x for x in said)
    assert not [x for x in said if isinstance(x, (int, float))]


def test_a_hay_at_danger_is_not_chosen_and_has_no_page(desk):
    best = get(desk, "take_home_numbers", "hay", 2)
    lot = [x.name for x in SMALL.lots].index(best) + 1
    put(desk, "lots", "lab_nitrate_n_ppm", lot, 5000)
    assert get(desk, "take_home_numbers", "hay", 2) != best
    put(desk, "take_home", "hay", 2, best)
    assert "DANGER, nitrate" in words(desk, 2)
    assert "choose other hay" in words(desk, 2)
    assert not [x for x in page(desk, 2) if isinstance(x, (int, float))]


def test_a_caution_stands_on_the_page_and_says_who_decides(desk):
    lot = int(get(desk, "take_home_numbers", "lot", 1))
    put(desk, "lots", "lab_nitrate_n_ppm", lot, 1700)
    said = words(desk, 1)
    assert "Nitrate: do not feed this hay alone. Ask your vet how much." in said
    assert "Your vet decides" in said
    assert "No warning does not mean safe." in said


def test_buckets_are_whole_ones_and_what_is_left(desk):
    desk.set_name("bucket_lb", 40)
    herd, whole, rest = (get(desk, "take_home_numbers", k, 1) for k in ("fed_herd", "buckets", "beside_buckets"))
    assert herd > 0
    assert whole == herd // 40
    assert rest == pytest.approx(herd % 40)
    assert f"{int(whole)} full buckets of 40 lb" in words(desk, 1)
    desk.set_name("bucket_lb", 2000)
    assert "lb in all, less than a full bucket, every day." in words(desk, 1)


def test_month_cards_hold_every_row_of_the_plan(desk):
    rows = desk.book.marks["plan"]["n"]
    counted = [i for i in range(1, rows + 1) if get(desk, "plan", "ok", i) == 1]
    shown = 0
    for first, last in desk.book.marks["month_cards"]["rows"]:
        for row in range(first + 2, last - 1):  # the mineral mix stands on the last line but one
            if plain_value(desk.made.get_value("Month cards", row + 1, 1)):
                shown += 1
    assert counted
    assert shown == len(counted)
    mixes = [
        plain_value(desk.made.get_value("Month cards", last, 1)) for _, last in desk.book.marks["month_cards"]["rows"]
    ]
    assert f"Mineral mix: 0.25 lb a head, {SMALL.groups[0].head * 0.25:.0f} lb for the group, every day" in mixes[0]


LESSON_GUESSES = {"WhichHay": SMALL.lots[1].name, "EnergyOrProtein": "protein", "RunOut": 46446, "BagToBunk": 200}


@pytest.mark.parametrize("lesson", list(LESSON_GUESSES))
def test_a_lesson_shows_its_answer_after_the_guess_alone(desk, lesson):
    marks = desk.book.marks["lessons"][lesson]
    results = [k for k in marks if k not in ("title", "asks", "guess", "change")]
    assert len(results) >= 4
    assert all(desk.at(marks[k]) == NOT_YET.strip('"') for k in results)
    desk.made.set_value(*place(marks["guess"]), LESSON_GUESSES[lesson])
    desk.made.evaluate_all()
    assert not [k for k in results if desk.at(marks[k]) in (NOT_YET.strip('"'), "not found", "not entered", "")]


def test_lessons_say_what_the_functions_say(desk):
    marks = desk.book.marks["lessons"]
    for lesson, guess in LESSON_GUESSES.items():
        desk.made.set_value(*place(marks[lesson]["guess"]), guess)
    desk.made.evaluate_all()

    def at(lesson, key):
        return desk.at(marks[lesson][key])

    energy, protein = at("EnergyOrProtein", "energy"), at("EnergyOrProtein", "protein")
    dm = desk.at(desk.book.marks["ration"]["feed_dm"])
    assert max(energy, protein) / dm * 100 == pytest.approx(desk.name("supplement_by_pounds"))
    assert at("EnergyOrProtein", "off") == pytest.approx((max(energy, protein) - protein) / dm * 100)
    assert at("RunOut", "off") == abs(46446 - desk.name("runs_out"))
    head = desk.at(desk.book.marks["ration"]["head"])
    rate = desk.name("supplement_by_pounds")
    fed = -(-rate // QUARTER) * QUARTER
    assert at("BagToBunk", "ten") == pytest.approx(fed * head)
    assert at("BagToBunk", "off") == pytest.approx(abs(200 - fed * head))
    assert at("BagToBunk", "then") == pytest.approx(fed * (head + 1))


def test_without_libreoffice_it_says_what_to_print(monkeypatch):
    monkeypatch.setattr(handout.shutil, "which", lambda _: None)
    monkeypatch.setattr(handout, "PLACES", ())
    with pytest.raises(UserError, match="print the sheets Take home, Month cards and Meeting handout"):
        handout.office()


def test_no_page_is_written_where_one_is_there(tmp_path):
    book, values, _ = built(SMALL)
    names = [paper.name for paper in handout.papers(book, values)]
    assert sum(name.startswith("take-home") for name in names) == len(SMALL.groups)
    assert names[-1] == "meeting-handout.pdf"
    (tmp_path / names[-1]).write_text("mine")
    with pytest.raises(UserError, match="--force"):
        handout.make(book, values, tmp_path, False, lambda _: None, "no such program")
    assert [p.name for p in tmp_path.iterdir()] == [names[-1]]


def test_a_page_for_paper_holds_values_and_no_formula():
    book, values, _ = built(SMALL)
    for paper in handout.papers(book, values):
        made = handout.frozen(book, values, paper)
        (sheet,) = made.sheets
        assert all(not hasattr(c.content, "formula") for c in sheet.cells.values())
        assert any(isinstance(c.content, (int, float)) for c in sheet.cells.values())


def test_the_pages_begin_on_a_day_that_may_be_typed(desk):
    assert desk.name("page_from") == (SMALL.barn.winter.start - dt.date(1899, 12, 30)).days
    assert place_of(desk.book.names["page_from"])[0] == "Take home"


def test_month_cards_of_whole_bales_fit_their_pages_and_no_line_is_lower_than_its_letters(whole_bales):
    sheet = whole_bales["plain"][0].by_name("Month cards")
    top = sheet.printed_from
    for (row, _), cell in sheet.cells.items():
        letters = STYLES[cell.style].get("font_size", 11)
        assert row < top or sheet.heights.get(row, 15) >= 1.2 * letters, (row, cell.style)
    ends = [top, *sheet.page_breaks, sheet.last_row + 1]
    pages = [sum(sheet.heights.get(row, 15) for row in range(first, end)) for first, end in pairwise(ends)]
    assert len(pages) > 10
    assert max(pages) <= 640  # points: letter paper less its margins, header and footer


def test_a_month_that_is_not_that_of_the_calving_date_is_said_on_the_page(desk):
    """Herd has the month that is asked about; the winter plan goes by the calving date."""
    agrees = "1,250 lb cows, month 2 after calving. Good from 10 Feb 2027 until cattle or hay change."
    assert agrees in words(desk, 1), "calved on 8 Feb: month 1"
    at = desk.book.find(WinterHerd).some(WinterHerd.calving, 1)
    for day, month in ((dt.date(2026, 11, 30), 0), (dt.date(2026, 10, 30), 4), (dt.date(2027, 4, 8), 11)):
        desk.made.set_value(*place(at), (day - dt.date(1899, 12, 30)).days)
        desk.made.evaluate_all()
        said = f"month 2 after calving; by their calving date month {month} on 10 Feb 2027."
        assert (said if month else agrees) in words(desk, 1), day
