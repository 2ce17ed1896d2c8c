"""Tables and pages declared by key: what a key stands for, and what a wrong one is told."""

from __future__ import annotations

import ast
import pickle
from collections.abc import Iterator
from pathlib import Path

import pytest

from hayfuncs.workbook import sheets
from hayfuncs.workbook.keyed import another, calling, filled, nearby, same_row, unknown, where
from hayfuncs.workbook.model import Book, Call, Formula, Input
from hayfuncs.workbook.page import Page, given, heading, worked
from hayfuncs.workbook.pair import Heads, pair
from hayfuncs.workbook.table import NOTHING, Table, asked, computed, gap

STAR = '"none"'


class Bales(Table[dict]):
    on = "Bales"
    name = computed("Lot", "name", lambda row: row.item["name"], "label")
    count = asked("Bales", "bales", lambda key: Input(key, "Bales", "How many"))
    between = gap()
    twice = computed("Twice", "bales", where(unknown("{count}", shown=STAR), "{count}*{factor}"))
    even = computed("Even", "word", lambda row: Formula(f"=ISEVEN({row.count})") if row.number > 1 else NOTHING)
    factor = "2"


class Tons(Table[dict]):
    lost = computed(
        "Lost", "% DM", calling("STORAGE_LOSS", "{bales.name}", unless=("{bales.count}=0", "{not_entered}"))
    )
    share = computed("Share", "1", "={bales.count}/SUM({all.count})")
    ahead = computed("So far", "bales", "=SUM({local.lost})")
    bales = same_row(lambda: Bales)
    all = another(lambda: Bales)


class Sums(Page):
    top_line = heading("Sums")
    bales = worked("Bales", "bales", "=SUM({near.count})", name="all_bales")
    double = worked("Twice that", "bales", "={bales}*2")
    asked = given("Wanted", "bales", lambda key: Input(key, "Wanted", "How many", source="{near.count}"), 7)
    near = nearby(lambda: Bales)


@pytest.fixture
def book():
    made = Book("functions", "a title")
    sheet = made.sheet("Bales", "t", "s", "r")
    Bales(sheet, [{"name": "North", "count": 3}, {"name": "South", "count": None}]).place()
    Sums(sheet, 12).place()
    Tons(made.sheet("Tons", "t", "s", "r"), [{}, {}]).place()
    return made


def content(book, sheet, row, col):
    cell = book.by_name(sheet).cells.get((row, col))
    return cell and (cell.content.text if isinstance(cell.content, Formula) else cell.content)


def test_a_key_is_the_cell_of_its_row_and_a_part_of_a_formula_is_filled_in_turn(book):
    assert content(book, "Bales", 7, 3) == '=IF(COUNT($B8)=0,"none",$B8*2)'
    assert content(book, "Bales", 8, 3) == '=IF(COUNT($B9)=0,"none",$B9*2)'


def test_a_gap_and_a_row_without_the_cell_stay_empty(book):
    assert (7, 2) not in book.by_name("Bales").cells
    assert (7, 4) not in book.by_name("Bales").cells
    assert content(book, "Bales", 8, 4) == "=ISEVEN($B9)"


def test_first_values_come_from_the_item_and_inputs_are_known_by_their_keys(book):
    assert content(book, "Bales", 7, 1) == 3
    assert book.inputs["Bales/2/count"] == ("Bales", 8, 1)
    assert book.inputs["Bales/asked"] == ("Bales", 15, 1)
    assert book.by_name("Bales").cells[15, 1].entry.source == "$B$8:$B$9"


def test_another_table_is_seen_by_row_by_column_and_from_its_own_sheet(book):
    assert book.find(Bales).count == "Bales!$B$8:$B$9"
    assert content(book, "Tons", 7, 1) == "=Bales!$B8/SUM(Bales!$B$8:$B$9)"
    assert content(book, "Tons", 8, 2) == "=SUM($A$8:$A$9)"
    assert book.by_name("Tons").cells[7, 0].content == Call(
        "STORAGE_LOSS", ("Bales!$A8",), ("Bales!$B8=0", '"not entered"')
    )


def test_lines_of_a_page_refer_to_each_other_and_carry_names(book):
    assert content(book, "Bales", 13, 1) == "=SUM($B$8:$B$9)"
    assert content(book, "Bales", 14, 1) == "=$B$14*2"
    assert book.names["all_bales"] == book.find(Sums).bales == "Bales!$B$14"


def test_a_table_that_is_filled_later_is_found_where_it_says_it_stands():
    early = Book("functions", "a title")
    Tons(early.sheet("Tons", "t", "s", "r"), [{}])
    row = early.find(Tons).row(7)
    assert row.bales.count == "Bales!$B8"


def test_a_key_that_is_not_there_is_refused_when_the_module_is_read():
    with pytest.raises(AttributeError, match=r"Wrong\.net: \{tonns\} is no column"):

        class Wrong(Table[None]):
            tons = computed("Tons", "tons as fed", 1)
            net = computed("Net", "tons as fed", "={tonns}/2")

    with pytest.raises(AttributeError, match=r"WrongPage\.twice: \{once\} is no column, line"):

        class WrongPage(Page):
            twice = worked("Twice", "1", "={once}*2")


def test_a_key_that_ends_at_a_table_is_refused():
    class Ends(Table[None]):
        wrong = computed("Wrong", "1", "={all}")
        all = another(lambda: Ends)

    with pytest.raises(TypeError, match="Ends is no cell"):
        Ends(Book("functions", "t").sheet("Ends", "t", "s", "r"), [None]).place()


@pytest.mark.parametrize(("kind", "made"), [(Table, computed("Rows", "1", 1)), (Page, worked("Rows", "1", 1))])
def test_a_key_that_every_table_or_page_has_is_refused(kind, made):
    with pytest.raises((AttributeError, RuntimeError)) as refused:
        type("Wrong", (kind,), {"place": made})
    cause = refused.value.__cause__ or refused.value
    assert "has a place of its own" in str(cause)


def test_a_book_is_pickled_with_its_tables(book):
    again = pickle.loads(pickle.dumps(book))
    assert again.find(Bales).twice == book.find(Bales).twice
    assert again.find(Sums).double == book.find(Sums).double


class Twins(Page):
    cows = worked("Cows", "head", 30)
    heads = Heads("", "Energy", "Protein", "Unit")
    need, need_cp = pair("Need", "lb/day", 14.2, "={need}/6", "number1")
    all_need, all_need_cp = pair("Need of all", "lb/day", "={need}*{cows}", "={need_cp}*{cows}", "number1")
    share = worked("Share", "1", "={need_cp:fixed}/{need:fixed}")


def test_a_line_of_two_values_is_the_same_formula_copied_to_the_right():
    made = Book("functions", "a title")
    twins = Twins(made.sheet("Twins", "t", "s", "r"), 3).place()
    assert [content(made, "Twins", 5, col) for col in range(4)] == ["Need", 14.2, "=B6/6", "lb/day"]
    assert [content(made, "Twins", 6, col) for col in (1, 2)] == ["=B6*$B$4", "=C6*$B$4"]
    assert content(made, "Twins", 7, 1) == "=$C$6/$B$6"
    assert [content(made, "Twins", 4, col) for col in range(4)] == ["", "Energy", "Protein", "Unit"]
    assert (twins.need, twins.need_cp) == ("Twins!$B$6", "Twins!$C$6")


class Right(Table[float]):
    from_column = 3
    pounds = computed("Pounds", "lb as fed", lambda row: row.item)
    twice = computed("Twice", "lb as fed", "={pounds}*2")


def test_a_table_may_stand_further_right():
    made = Book("functions", "a title")
    right = Right(made.sheet("Right", "t", "s", "r"), [5.0, 7.0], heads_at=2).place(title="Beside it")
    half = right.add(computed("Half", "lb as fed", "={pounds}/2"), "half", Right.twice)
    assert [content(made, "Right", *at) for at in ((1, 0), (2, 3), (4, 3), (5, 4))] == [
        "Beside it",
        "Pounds",
        5.0,
        "=$D6*2",
    ]
    assert right.twice == "Right!$F$5:$F$6", "moved by the column before it"
    assert (right.col(half), right.area(Right.pounds, half)) == (4, (4, 3, 5, 4))


@pytest.mark.parametrize(
    ("sign", "cell", "span"),
    [("fixed", "$B$14", "$A$8:$A$9"), ("sideways", "$B14", "$A8:$A9"), ("free", "B14", "A8:A9")],
)
def test_dollar_signs_are_said_beside_the_key(book, sign, cell, span):
    sums = Sums(book.by_name("Bales"), 12)
    assert filled(f"{{bales:{sign}}} {{near.name:{sign}}}", sums) == f"{cell} {span}"


AT = {
    "put": (1,),
    "entry": (1,),
    "ref": (1,),
    "heads": (1,),
    "a1": (1,),
    "span": (1, 3),
    "Picture": (2,),
    "Flagging": (1, 3),
}  # where a column stands among what is handed over
LEFT_AS_NUMBERS = {
    "common.py": (3, "the head of every sheet stands in its first column, whatever stands below"),
    "checks.py": (1, "whole rows under a table are looked through, and rows begin in the first column"),
    "contents.py": (1, "a tab is known by its first cell"),
}


def is_number(node: ast.expr) -> bool:
    """A number as it is typed, or worked out of such alone."""
    parts = [
        part for part in ast.walk(node) if not isinstance(part, (ast.BinOp, ast.UnaryOp, ast.operator, ast.unaryop))
    ]
    return all(isinstance(part, ast.Constant) and isinstance(part.value, int) for part in parts)


def columns_said(node: ast.AST) -> list[ast.expr]:
    """What a call, or a look at a sheet's cells, says of columns."""
    if isinstance(node, ast.Call):
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        said = list(node.args)
        if name == "Flagging" and said and isinstance(said[0], ast.Tuple):
            said = said[0].elts
        by_place = [said[i] for i in AT.get(name, ()) if i < len(said)]
        return by_place + [k.value for k in node.keywords if k.arg in ("col", "last_col")]
    if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Attribute) and node.value.attr == "cells":
        return node.slice.elts[1:] if isinstance(node.slice, ast.Tuple) else []
    return []


def numbered(text: str) -> Iterator[str]:
    """The places of a module that say a column by its number."""
    for node in ast.walk(ast.parse(text)):
        if any(is_number(column) for column in columns_said(node)):
            yield f"line {node.lineno}: {ast.unparse(node)[:80]}"


LAYOUTS = sorted(path for folder in sheets.__path__ for path in Path(folder).glob("*.py"))


@pytest.mark.parametrize("path", LAYOUTS, ids=lambda path: path.name)
def test_no_layout_says_a_column_by_its_number(path):
    found, (allowed, _) = list(numbered(path.read_text())), LEFT_AS_NUMBERS.get(path.name, (0, ""))
    assert len(found) <= allowed, "declare a table or a page, or name the columns once: " + "; ".join(found)


@pytest.mark.parametrize(
    "planted",
    [
        'sheet.put(row, 3, "x")', "sheet.entry(row, 2 - 1, None, asked)", "x = a1(row, 2)", "x = sheet.ref(top, -0)",
        "x = sheet.span(top, first, last, 4)", 'sheet.heads(top, 0, ["Cost"])', "sheet.cells[row, 2].content = None",
        'sheet.flags.append(Flagging((top, 0, last, right), "", "flag_bad"))', 'sheet.put(row, col=3, content="x")',
        'sheet.draw(Picture("bar", top, 4, title, "", "", "", []))',
    ],
)  # fmt: skip
def test_a_planted_number_is_found(planted):
    text = next(path for path in LAYOUTS if path.name == "budget.py").read_text()
    assert list(numbered(text)) == []
    assert len(list(numbered(f"{text}\n{planted}\n"))) == 1


@pytest.mark.parametrize(
    "held",
    ["sheet.put(row, VALUE, 3)", "sheet.put(3, table.col(Budget.cash), 1)", 'page.heads("Tons", "Cost")', "x = page.column + 1"],
)  # fmt: skip
def test_a_named_column_is_none(held):
    assert list(numbered(held)) == []
