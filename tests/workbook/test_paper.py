"""On paper: print stays readable, no page is wider than the paper, pictures have their words.

Measured in the finished file, by its own widths, fonts and page set-up; 7.5 points is a rule of ours.
"""

from __future__ import annotations

from dataclasses import replace

import openpyxl
import pytest
from building import SMALL
from openpyxl.utils import range_boundaries
from where import parts

from hayfuncs.workbook import build, page_setup
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.sheets.whichhay import GROUPS
from hayfuncs.workbook.stack import SMALLEST_ZOOM, WINDOW, stacked
from hayfuncs.workbook.tabs import ANSWER

DIGIT = 9  # pixels of a digit of Arial 12, the default font of the file
SMALLEST = 7.5  # points
PAPER = {"landscape": 11.0, "portrait": 8.5}  # inches, US letter


@pytest.fixture(scope="module", params=["functions", "plain"])
def workbook(editions, request):
    return openpyxl.load_workbook(editions[request.param][2])


def width(sheet, first: int, last: int) -> float:
    """Of columns from first to last, in inches."""
    runs = {c: run.width for run in sheet.column_dimensions.values() for c in range(run.min, run.max + 1)}
    return sum(runs.get(c, 80 / DIGIT) for c in range(first, last + 1)) * DIGIT / 96


def pages(sheet):
    """The page's width in inches, the scale in percent and the columns of each page."""
    c1, _, c2, _ = range_boundaries(sheet.print_area.rpartition("!")[2].replace("$", ""))
    page = PAPER[sheet.page_setup.orientation] - sheet.page_margins.left - sheet.page_margins.right
    if sheet.sheet_properties.pageSetUpPr and sheet.sheet_properties.pageSetUpPr.fitToPage:
        assert int(sheet.page_setup.fitToWidth or 1) == 1
        return page, min(100.0, 100 * page / width(sheet, c1, c2)), [(c1, c2)]
    cuts = [b.id for b in sheet.col_breaks.brk]
    starts = [c1, *(c + 1 for c in cuts)]
    return page, float(sheet.page_setup.scale or 100), list(zip(starts, [*cuts, c2], strict=True))


def test_print_is_never_smaller_than_can_be_read(workbook):
    for sheet in workbook.worksheets:
        _, scale, _ = pages(sheet)
        c1, r1, c2, r2 = range_boundaries(sheet.print_area.rpartition("!")[2].replace("$", ""))
        sizes = [
            cell.font.sz
            for row in sheet.iter_rows(min_row=r1, max_row=r2, min_col=c1, max_col=c2)
            for cell in row
            if cell.value is not None
        ]
        assert min(sizes) * scale / 100 >= SMALLEST, (sheet.title, min(sizes), scale)


@pytest.fixture(scope="module")
def printed_whole(tmp_path_factory):
    """A workbook whose workings and references print too."""
    path = tmp_path_factory.mktemp("paper") / "all.xlsx"
    build.save(SMALL, path, "plain", print_all=True)
    return openpyxl.load_workbook(path)


def test_every_page_holds_its_columns_and_further_pages_repeat_the_first(workbook, printed_whole):
    several = 0
    for sheet in (*workbook.worksheets, *printed_whole.worksheets):
        page, scale, columns = pages(sheet)
        for first, last in columns:
            again = width(sheet, 1, 1) if first > 1 else 0
            assert (width(sheet, first, last) + again) * scale / 100 <= page * 1.001, (sheet.title, first, last)
        if len(columns) > 1:
            several += 1
            assert sheet.print_title_cols == "$A:$A", sheet.title
    assert several >= 4


def test_answers_are_one_page_wide_and_no_picture_is_cut(editions):
    book = stacked(editions["functions"][0])
    answers = [sheet for sheet in book.sheets if sheet.role == ANSWER]
    assert len(answers) >= 5
    for sheet in answers:
        assert page_setup.paper(sheet, breaks=False).cuts == (), sheet.name
        last = page_setup.last_column(sheet)
        shown = [p for p in sheet.pictures if p.row <= page_setup.last_row(sheet)]
        assert all(sheet.picture_right(p) <= last for p in shown), sheet.name


def test_text_is_in_one_font_and_code_in_another(workbook):
    fonts = {c.font.name for s in workbook.worksheets for row in s.iter_rows() for c in row}
    assert fonts <= {"Arial", "Courier New"}


def test_the_word_of_the_master_check_leads_to_the_checks(workbook):
    for sheet in workbook.worksheets:
        link = sheet["B3"].hyperlink
        assert link is not None, sheet.title
        assert link.location == "Checks!A1", sheet.title
        word = sheet["B3"].value  # the functions edition works it out at once, as an array of one cell
        assert str(getattr(word, "text", word)).startswith("="), sheet.title


def test_no_two_headings_of_a_table_are_the_same(workbook):
    """Headings are in the bold style on mist; the same words twice in a row could not be told apart."""
    steps = [part for name, part in parts(workbook).items() if name.endswith(" steps")]
    for sheet in workbook.worksheets:
        for at, row in enumerate(sheet.iter_rows(), 1):
            heads = [c for c in row if c.font.b and c.fill.fgColor.rgb == "FFE8EEF2" and c.border.bottom.style]
            texts = [c.value for c in heads if c.value is not None and not c.border.left.style]
            repeated = {t for t in texts if texts.count(t) > 1}
            behind = any(part.tab == sheet.title and part.down < at <= part.last for part in steps)
            assert not repeated or behind, (sheet.title, at, repeated)


@pytest.mark.parametrize("more", [0, 5])
def test_no_group_falls_off_the_paper_or_the_screen(more):
    groups = (*DEMO.groups, *(replace(DEMO.groups[0], name=f"More {i}") for i in range(more)))
    sheet = stacked(build.build(replace(DEMO, groups=groups), kind=build.FARM)).by_name("Which hay")
    assert page_setup.last_column(sheet) + 1 >= GROUPS + len(groups)
    assert bool(page_setup.paper(sheet, breaks=True).cuts) == bool(more), "many groups go on on a further page"
    seen = sum(sheet.pixels(col) for col in range(GROUPS + len(groups))) * sheet.zoom / 100
    assert (seen <= WINDOW) == (not more)
    assert sheet.zoom >= SMALLEST_ZOOM
