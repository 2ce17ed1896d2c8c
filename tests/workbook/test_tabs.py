"""The tabs: how many, which parts stand on which, and that nothing but places differs from the sheets of the model."""

from __future__ import annotations

import building
import openpyxl
import pytest
from where import Where
from workbook.byhand import typed
from xlsxwriter.utility import xl_pixel_width

from hayfuncs.spreadsheet.a1 import place_of, split_address
from hayfuncs.workbook import fit, rebuild, write
from hayfuncs.workbook.build import FARM, PLAN
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import Address, Book, Formula, Place, is_formula
from hayfuncs.workbook.sheets.checks import under_tables
from hayfuncs.workbook.stack import Mover, stacked
from hayfuncs.workbook.styles import TAB_COLORS
from hayfuncs.workbook.tabs import ANSWER, TABS

MOST_FARM, MOST_MORE = 18, 10
EDITIONS = ("functions", "plain")


@pytest.fixture(scope="module", params=EDITIONS)
def farm(request):
    return building.built(DEMO, request.param, FARM)


def test_the_farms_workbook_has_18_tabs_at_most_and_the_plans_10_more(farm, editions):
    tabs = openpyxl.load_workbook(farm[2], read_only=True).sheetnames
    more = openpyxl.load_workbook(editions[farm[0].edition][2], read_only=True).sheetnames
    assert len(tabs) <= MOST_FARM
    assert set(tabs) < set(more)
    assert len(more) - len(tabs) <= MOST_MORE


def test_every_sheet_has_a_tab_and_one_only():
    listed = [name for tab in TABS for name in tab.sheets]
    assert len(listed) == len(set(listed))
    assert {tab.kind for tab in TABS} <= set(TAB_COLORS)


def test_a_sheet_that_no_tab_names_stands_on_workings(farm):
    named = {name for tab in TABS for name in tab.sheets}
    for sheet in farm[0].sheets:
        assert sheet.name in named or farm[0].places[sheet.name].tab == "Workings"


def test_what_both_workbooks_hold_is_the_same_in_both(farm, editions):
    """But for what speaks of the winter plan: its checks, the page that holds the pile against it, and the list of parts."""
    _, values, _ = farm
    _, whole, _ = editions[farm[0].edition]
    left_out = ("Start", "Checks", "Checks steps", "Contents")
    both = {at: value for at, value in values.items() if at[0] not in left_out}
    assert len(both) > 6000
    differ = {at: (value, whole.get(at)) for at, value in both.items() if whole.get(at) != value}
    assert differ == {}


def test_the_list_of_contents_in_the_file_is_where_the_builder_put_each_part(farm):
    book, _, path = farm
    where = Where(path)
    for sheet in book.sheets:
        place = book.places[sheet.name]
        assert (where.parts[sheet.name].tab, where.parts[sheet.name].down) == (place.tab, place.down)
    file = openpyxl.load_workbook(path)
    for tab in book.tabs:
        for name in tab.sheets if len(tab.sheets) > 1 else ():
            part = where.parts[name]
            title = book.by_name(name).title if part.down else tab.title  # the first stands under the tab's own head
            assert file[part.tab].cell(part.down + 1, 1).value == title


def test_what_is_typed_under_a_table_is_seen_for_twenty_rows(editions):
    """Unless other inputs, or pages for paper, stand there; the check's areas as the file has them."""
    book = editions["functions"][0]
    move = Mover(book.places)
    for name, area, _ in under_tables(book):
        wanted, found = (place_of(ref) for ref in (area, move.formula(area, "")))
        rows = found[3] - found[1] + 1
        assert rows >= min(20, wanted[3] - wanted[1] + 1), name


def test_every_link_leads_to_a_cell_that_is_filled(editions):
    file = openpyxl.load_workbook(editions["functions"][2])
    count = 0
    for sheet in file.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.hyperlink is not None:
                    tab, at = split_address(cell.hyperlink.location)
                    assert file[tab][at].value, (sheet.title, cell.coordinate, cell.hyperlink.location)
                    count += 1
    assert count > 100


def test_each_head_says_the_kind_and_leads_before_after_and_to_the_first(editions):
    file = openpyxl.load_workbook(editions["functions"][2])
    names = file.sheetnames
    for i, sheet in enumerate(file.worksheets):
        assert sheet["A3"].value in TAB_COLORS
        assert sheet.sheet_properties.tabColor.rgb[2:] == TAB_COLORS[sheet["A3"].value][1:]
        leads = [cell.hyperlink and split_address(cell.hyperlink.location)[0] for cell in sheet[4][:3]]
        before, after = (names[i - 1] if i else None), (names[i + 1] if i + 1 < len(names) else None)
        from_the_hall = ["Which hay", after, "What could hurt"]
        assert leads == ([before, after, names[0]] if i else from_the_hall), sheet.title
        assert sheet.sheet_state == "visible"


def test_rows_with_large_letters_have_a_height_of_their_own(editions):
    file = openpyxl.load_workbook(editions["functions"][2])
    for sheet in file.worksheets:
        for row in sheet.iter_rows():
            largest = max((c.font.sz for c in row if c.value not in (None, "")), default=0)
            if largest > 12 and row[0].row > 1:
                height = sheet.row_dimensions[row[0].row].height
                formula_only = all(c.data_type == "f" for c in row if c.value and c.font.sz > 12)
                assert formula_only or (height and height >= largest * 1.25), (sheet.title, row[0].row)


def test_a_rebuild_keeps_the_kind_and_a_plan_is_made_of_the_farms_workbook(farm, editions, tmp_path):
    book, values, path = farm
    done = rebuild.rebuild(path, tmp_path / "again.xlsx")
    assert done.book.kind == FARM
    assert done.left_out() == []
    assert done.values == values
    made, keeper = rebuild.remake(path, leave=("Plan",), kind=PLAN)
    assert rebuild.left_out(made, keeper) == []
    found = write.save(made, tmp_path / "plan.xlsx")
    whole = {at: v for at, v in editions[book.edition][1].items() if at[0] != "Start"}
    assert {at: v for at, v in found.items() if at[0] != "Start"} == whole


def test_an_input_of_a_stacked_part_comes_over(farm, tmp_path):
    book, _, path = farm
    copy = tmp_path / "typed.xlsx"
    copy.write_bytes(path.read_bytes())
    typed(book, copy, {"Bench/2/dish": 61.5, "Hazards/3/temp": 151, "Winter/plan_hay_pct": 70})
    done = rebuild.rebuild(copy, tmp_path / "new.xlsx")
    now = write.input_values(done.book)
    assert now["Hazards/3/temp"] == 151
    assert now["Winter/plan_hay_pct"] == 70


def test_start_is_one_screen(farm):
    """1,200 by 500 pixels are left of 1280 by 800 inside a program's own bars: every tab, what to do, the legend."""
    book, values, _ = farm
    sheet = stacked(book).by_name("Start")
    down = fit.heights(sheet, {("Start", row, col): v for (name, row, col), v in values.items() if name == "Start"})
    tabs = [row for (row, col), cell in sheet.cells.items() if col == 0 and cell.link and row > 3]
    last = max(row for (row, col) in sheet.cells if col > 2)
    assert len(tabs) == len(book.tabs) - 1
    assert sum(down.get(row, fit.USUAL_HEIGHT) for row in range(max(*tabs, last) + 1)) * 96 / 72 <= 500
    assert sum(map(sheet.pixels, range(sheet.last_col + 1))) <= 1200
    for (row, col), cell in sheet.cells.items():  # nothing is cut: what does not wrap has its room
        if 3 < row <= max(*tabs, last) and isinstance(cell.content, str) and cell.style != "section":
            assert fit.WIDER * xl_pixel_width(cell.content) * 12 / 11 <= sheet.pixels(col) - 2, cell.content


# the mover itself

PLACES = {
    "One": Place("One", 0, None),
    "Up": Place("Both of us", 10, 25),
    "Down here": Place("Both of us", 40, None),
}


@pytest.mark.parametrize(
    ("home", "formula", "there"),
    [
        ("One", "=A1+$B$2", "=A1+$B$2"),
        ("One", "=Up!A1+'Down here'!$B2", "='Both of us'!A11+'Both of us'!$B42"),
        ("Up", "=A1+One!C$3+'Down here'!A1", "=A11+One!C$3+A41"),
        ("Down here", "=SUM(Up!$A$1:$A$5)", "=SUM($A$11:$A$15)"),
        ("Up", '=IF(A1="Up!A1","see Down here!A1",B1)', '=IF(A11="Up!A1","see Down here!A1",B11)'),
        ("One", "=COUNTA(Up!$A$20:$C$80)", "=COUNTA('Both of us'!$A$30:$C$36)"),  # it ends where its part ends
        ("Up", "=HAY.TDN_FROM_ADF(A1,log10_of)", "=HAY.TDN_FROM_ADF(A11,log10_of)"),
    ],
)
def test_references_go_with_their_cells(home, formula, there):
    assert Mover(PLACES).formula(formula, home) == there


def test_a_whole_column_of_a_part_is_refused():
    with pytest.raises(ValueError, match="whole column"):
        Mover(PLACES).formula("=SUM(Up!$A:$A)", "One")


def test_a_text_that_says_where_cells_stand_is_written_as_the_file_has_it():
    move = Mover(PLACES)
    assert move.content(Address("'Down here'!$A$8:$C$9", "tab"), "One") == "Both of us"
    assert move.content(Address("'Down here'!$A$8:$C$9", "cells"), "One") == "A48:C49"


def test_a_book_whose_sheets_have_no_places_is_written_as_it_is():
    book = Book("functions", "one sheet")
    sheet = book.sheet("Alone", "Alone", "One sheet.", "Inputs")
    sheet.put(0, 0, Formula("=1+1"))
    assert stacked(book) is book
    assert is_formula(stacked(book).sheets[0].cells[0, 0])


ROOM = 610  # pixels of a window of 1,280 x 800 that LibreOffice leaves for cells


def test_the_answer_of_a_tab_is_on_its_first_screen(editions):
    """Down to the last line of its first answer, at the zoom it opens with."""
    book, _, path = editions["functions"]
    file = openpyxl.load_workbook(path)
    seen = []
    for sheet in stacked(book).sheets:
        rows = sorted(row for (row, col), cell in sheet.cells.items() if cell.style == "banner" and col == 0)
        if sheet.role != ANSWER or not rows:
            continue
        last = next(row for row in rows if row + 1 not in rows)
        page = file[sheet.name]
        points = sum(page.row_dimensions[row].height or 15 for row in range(1, last + 2))
        zoom = (page.sheet_view.zoomScale or 100) / 100
        assert points * 4 / 3 * zoom <= ROOM, (sheet.name, last, zoom)
        seen.append(sheet.name)
    assert {"Which feed", "Cow year", "Hay pile", "What could hurt"} <= set(seen)
