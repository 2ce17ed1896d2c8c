"""What sheets, prints and refusals say in words where a bare number or a guess would mislead."""

from __future__ import annotations

import datetime as dt
import re
from types import SimpleNamespace

import pytest
from workbook.opened import Open

from hayfuncs.contract.files import UserError, refuse_overwrite
from hayfuncs.workbook import fit, planreport
from hayfuncs.workbook.farm import DEMO, dated, own
from hayfuncs.workbook.oldfile import read_old


@pytest.fixture(scope="module")
def book(editions):
    return editions["functions"][0]


@pytest.fixture(scope="module")
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def test_no_unit_is_written_as_a_code(book):
    told = {
        cell.content
        for sheet in book.sheets
        for cell in sheet.cells.values()
        if cell.style in ("unit", "unit_cell") and isinstance(cell.content, str)
    }
    assert not told & {"1", "any"}
    assert {"number", "unit of the value", "row of Lots"} <= told


def test_the_prompt_of_a_cell_speaks_words_and_no_name_of_an_argument(book):
    entries = [cell.entry for sheet in book.sheets for cell in sheet.cells.values() if cell.entry is not None]
    assert len(entries) > 900
    assert [e.key for e in entries if not e.title.strip() or "_" in e.title] == []
    for title in {e.title for e in entries}:
        assert 0 < len(fit.heading(title)) <= 32
        assert re.match(re.escape(fit.heading(title)) + r"(?!\w)", title), title  # no word is cut
    names = re.compile(r"\b[a-z0-9]+_[a-z0-9_]+")  # a table's own name is told where it is picked from
    assert [e.key for e in entries if names.search(re.sub(r"in the table \w+", "", e.message))] == []


def test_no_line_of_a_page_is_a_bare_number(book):
    for name in ("Longhand", "Longhand stock"):
        words = [str(cell.content) for (_, col), cell in book.by_name(name).cells.items() if col == 4]
        assert not [w for w in words if re.search(r"\[\d", w)]
    assert any("(1 - 0 / 100)" in w for w in words)


def test_the_ration_says_outright_what_the_share_way_leaves_short(opened):
    """She eats less than the percentage was reckoned on: what is missing stands in pounds, as the rows above it show."""
    opened.put("lots", "lab_ndfd48_pct", 60)
    need, given = (opened.made.get_value("Ration", row, col) for row, col in ((14, 2), (33, 3)))
    said = opened.made.get_value("Ration", 36, 1)
    assert said.startswith(
        f"By share they are left short: {given:.2f} lb TDN against {need:.2f} ({need - given:.2f} short)"
    )


def test_a_limit_that_is_none_is_shown_so_and_a_feed_says_what_it_lacks(book, opened):
    n = book.marks["sources"]["n"]
    state = {opened.get("sources", "name", i): opened.get("sources", "state", i) for i in range(1, n + 1)}
    assert state["range cubes 20"] == "not known: sulfur, calcium, phosphorus"
    assert not any(said for name, said in state.items() if not name)
    at = book.marks["sources_at"]
    styles = {book.by_name("Winter feeds").cells[7, at[m]].style for m in ("most_lb", "most_bw", "most_diet")}
    assert styles == {"lb_or_none", "pct_or_none"}


def bought(name, tons):
    return SimpleNamespace(name=name, tons=tons, price_per_ton=190.0, dollars=190 * tons)


def test_less_than_a_ton_to_buy_is_told_in_pounds():
    lines = list(planreport._buy(SimpleNamespace(purchases=[bought("corn grain", 0.026), bought("hulls", 1.0)])))
    assert re.search(r"corn grain +52\.0 lb +at \$190 a ton as fed +\$5$", lines[1])  # 0.026 x 2,000 lb
    assert re.search(r"hulls +1\.0 tons at \$190", lines[2])


def test_dates_a_year_apart_are_refused_before_anything_is_made():
    with pytest.raises(
        UserError, match=r"turnout \(2027-04-25\) is 891 days after the start of feeding \(2024-11-15\); allowed"
    ):
        dated(DEMO, dt.date(2024, 11, 15), dt.date(2027, 4, 25))


def test_it_is_told_which_list_was_not_given():
    assert own(DEMO, DEMO.lots, None).told[0].startswith("No herd list was given, so the cows are the demo's")
    assert own(DEMO, None, DEMO.groups).what.startswith(
        "Your own cows. No list of lots was given, so the hay is the demo's"
    )
    both = own(DEMO, DEMO.lots, DEMO.groups)
    assert both.what.startswith("Your own lots and cows")
    (assumed,) = both.told
    assert assumed.startswith("Assumed for 10 of 10 lots: fed in an open ring")


def test_a_folder_that_takes_no_file_is_told_by_the_users_name(tmp_path, monkeypatch):
    def full(*_, **__):
        raise OSError(28, "No space left on device", str(tmp_path / ".hidden"))

    monkeypatch.setattr("hayfuncs.contract.files.tempfile.mkstemp", full)
    with pytest.raises(UserError) as told:
        refuse_overwrite(tmp_path / "FARM.xlsx", force=False)
    assert str(told.value).startswith(
        f"{tmp_path / 'FARM.xlsx'} cannot be written, the system says: no space left on device;"
    )
    assert ".hidden" not in str(told.value)


def test_a_list_given_for_a_workbook_is_told_in_words(tmp_path):
    path = tmp_path / "LOTS.csv"
    path.write_text("Lot,Field\n")
    with pytest.raises(UserError, match=r"LOTS\.csv is no \.xlsx workbook, whatever its name says"):
        read_old(path)
