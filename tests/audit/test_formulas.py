"""Reading formulas: laws, two other readers, and any text at all."""

from __future__ import annotations

import random
from pathlib import Path

import formualizer
import pytest
from audit import grammar
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.formula import Tokenizer

from hayfuncs.formulas.figures import formula as rewritten
from hayfuncs.spreadsheet.a1 import (
    BadAddress,
    a1,
    area,
    cell,
    column,
    letters,
    node,
    place,
    place_of,
    quoted,
    split_address,
)
from hayfuncs.spreadsheet.parser import Area, FunctionCall, tree, walk
from hayfuncs.spreadsheet.reader import read
from hayfuncs.spreadsheet.tokens import Malformed, moved, on_sheet, pattern, pieces, reference, written

random_formulas = st.integers(0, 2**32).map(lambda seed: grammar.formula(random.Random(seed)))


@given(random_formulas)
@settings(max_examples=400)
def test_a_formula_of_the_grammar_is_read_and_reads_the_same_again(formula):
    root = tree(formula)
    again = tree(rewritten(root))
    assert [type(part) for part in walk(root)] == [type(part) for part in walk(again)]
    assert rewritten(again) == rewritten(root)


@given(random_formulas, st.integers(0, 200), st.integers(0, 60))
@settings(max_examples=400)
def test_a_copy_elsewhere_has_the_same_pattern(formula, rows, cols):
    """The law that pattern and copy must keep: what moves with the cell is the same seen from the cell."""
    try:
        copy = moved(formula, rows, cols)
    except Malformed:
        return
    if copy.count("#REF!") > formula.count("#REF!"):
        return  # the copy fell off the grid
    refs = [part.ref for part in walk(tree(formula)) if isinstance(part, Area)]
    if any((ref.fixed ^ ref.fixed >> 2) & 3 for ref in refs):
        return  # one corner moves and the other does not: they may pass each other
    assert pattern(copy, 1000 + rows, 100 + cols) == pattern(formula, 1000, 100)


@given(random_formulas)
@settings(max_examples=400)
def test_not_moved_it_is_the_same_and_patterns_tell_cells_apart(formula):
    shifted = moved(formula, 0, 0)
    assert pattern(shifted, 5, 5) == pattern(formula, 5, 5)
    refs = [part.ref for part in walk(tree(formula)) if isinstance(part, Area)]
    if any(ref.fixed != 15 for ref in refs):
        assert pattern(formula, 5, 5) != pattern(formula, 6, 7)
    else:
        assert pattern(formula, 5, 5) == pattern(formula, 6, 7)


def test_an_office_spells_yes_and_no_as_calls():
    assert tree("=IF(A1,TRUE(),FALSE())") == tree("=IF(A1,TRUE,FALSE)")


@given(st.text(max_size=200))
@settings(max_examples=500)
def test_any_text_is_read_or_refused(text):
    for reader in (pieces, tree, lambda t: moved(t, 3, 2), lambda t: pattern(t, 3, 2)):
        try:
            reader(text)
        except Malformed as error:
            assert str(error)


@given(st.text(alphabet="AZ$19:!'\"[]()#,;{}+-*/^&=<>%@ .\\_eE", max_size=120))
@settings(max_examples=500)
def test_any_text_of_formula_marks_is_read_or_refused(text):
    for reader in (pieces, tree, reference, lambda t: moved(t, 1, 1), lambda t: pattern(t, 1, 1)):
        try:
            reader(text)
        except (Malformed, BadAddress) as error:
            assert str(error)


@given(st.integers(0, 1_048_575), st.integers(0, 16_383), st.integers(0, 999))
def test_a_cell_is_its_address_and_its_number(row, col, sheet):
    assert cell(a1(row, col)) == (row, col)
    assert place(node(sheet, row, col)) == (sheet, row, col)
    assert column(letters(col)) == col
    assert area(f"{a1(row, col)}:{a1(row, col)}") == (row, col, row, col)
    assert place_of(f"'Feed book'!{a1(row, col, 'rc')}") == ("Feed book", row, col, row, col)
    assert cell(a1(row, col, "r")) == cell(a1(row, col, "c")) == (row, col)


@given(
    st.text(min_size=1, max_size=31).filter(
        lambda t: not set(t) & set("[]:*?/\\") and t.isprintable() and t.strip() == t and "!" not in t
    )
)
def test_a_sheet_name_is_found_again(name):
    assert split_address(f"{quoted(name)}!B7") == (name, "B7")
    assert reference(f"{quoted(name)}!B7").sheet == name


@pytest.mark.parametrize("text", ["A0", "XFE1", "A1048577", "AAAA1", "1A", "", "$", "A-1", "A1.5"])
def test_what_is_no_cell(text):
    with pytest.raises(BadAddress):
        cell(text)


@pytest.mark.parametrize("text", ["B7", "Lots!", "Lots!7", "!B7", ""])
def test_what_is_no_cell_of_a_sheet(text):
    with pytest.raises(BadAddress):
        place_of(text)


@pytest.mark.parametrize(
    ("formula", "there"),
    [
        ("A1+$B$2:C3*2", "Herd!A1+Herd!$B$2:C3*2"),
        ('IF(A1="B2",Lots!C3,"D4")', 'IF(Herd!A1="B2",Lots!C3,"D4")'),
        ("LOG10(B7)+shrink_pct", "LOG10(Herd!B7)+shrink_pct"),
        ("'Feed book'!A1 & A1", "'Feed book'!A1 & Herd!A1"),
    ],
)
def test_a_formula_on_another_sheet_says_its_own(formula, there):
    assert on_sheet(formula, "Herd") == there
    assert on_sheet("A1", "Feed book") == "'Feed book'!A1"


def operands(formula):
    """References and names as openpyxl's tokenizer sees them."""
    return [t.value for t in Tokenizer("=" + formula).items if t.type == "OPERAND" and t.subtype == "RANGE"]


def ours(formula):
    return [p.text for p in pieces(formula) if p.kind in ("ref", "name", "table")]


@pytest.mark.parametrize("edition", ["functions", "plain"])
def test_two_other_readers_see_the_same(edition, files: dict[str, Path]):
    """openpyxl's tokenizer and the engine's parser, over every distinct formula of the workbook."""
    book = read(files[edition])
    distinct = {}
    for at, text in book.formulas.items():
        sheet, row, col = place(at)
        distinct.setdefault((sheet, pattern(text, row, col)), text)
    assert len(distinct) > 200
    for text in distinct.values():
        assert [o for o in operands(text) if o.upper() not in ("TRUE", "FALSE")] == [
            o for o in ours(text) if o.upper() not in ("TRUE", "FALSE")
        ], text
        root = tree(text)
        theirs = formualizer.parse("=" + text)
        calls = sorted(part.name.upper() for part in walk(root) if isinstance(part, FunctionCall))
        assert calls == sorted(_calls(theirs)), text


def _calls(node_of):
    found = []
    if node_of.node_type() == "Function":
        found.append(str(node_of.get_function_name()).upper())
    for child in node_of.children():
        found += _calls(child)
    return found


def test_written_keeps_dollars():
    for text in ("$A$1", "A$1", "$A1", "A1", "$B$2:C9", "A:$C", "$1:3"):
        assert written(reference(text)) == text.upper()
