"""The extension in a real, headless LibreOffice."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import checklib
import numpy as np
import openpyxl
import pytest
import xlsxwriter
from hosts.officelib import Office, column, evaluate

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Arg, Block
from hayfuncs.formulas.lambdas import has_lambda, lambda_text
from hayfuncs.formulas.template import tables_used
from hayfuncs.hosts import wizard

pytestmark = pytest.mark.libreoffice


def literal(value: Any) -> str:
    """A value as it stands inside a formula of Calc's own notation."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE()" if value else "FALSE()"
    if isinstance(value, str):
        return '"' + value.replace('"', '""') + '"'
    if isinstance(value, list):
        rows = value if value and isinstance(value[0], list) else [[v] for v in value]
        return "{" + "|".join(";".join(map(literal, row)) for row in rows) + "}"
    return repr(value)


def call(name: str, arguments: list[Any]) -> str:
    return f"=HAY.{name}({';'.join(map(literal, arguments))})"


def test_every_check_row_gives_the_value_python_gives(office: Office) -> None:
    rows = [c for c in checklib.every() if None not in c.arguments and len(call(c.function, c.arguments)) < 8000]
    assert len(rows) > 10
    # each call in a block of cells wide and high enough for any block answer
    blocks: dict[str, str] = {}
    wanted: list[np.ndarray[Any, Any]] = []
    at = 1
    places = []
    for check in rows:
        value = np.array(getattr(hayfuncs, check.record.python_name)(*check.arguments), dtype=object)
        value = value.reshape(1, 1) if value.ndim == 0 else value.reshape(-1, 1) if value.ndim == 1 else value
        blocks[f"A{at}:{column(value.shape[1] - 1)}{at + value.shape[0] - 1}"] = call(check.function, check.arguments)
        places.append(at)
        wanted.append(value)
        at += value.shape[0]
    found = evaluate(office, [[None]], blocks)
    for check, place, value in zip(rows, places, wanted, strict=True):
        for r in range(value.shape[0]):
            for c in range(value.shape[1]):
                same(found[place - 1 + r][c], value[r, c], check.place)


def same(found: Any, wanted: Any, where: str) -> None:
    if isinstance(wanted, float) and math.isnan(wanted):
        assert found == "#NUM!", where
    elif isinstance(wanted, str):
        assert found == wanted, where
    else:
        assert isinstance(found, float), f"{where}: {found!r}, not {wanted!r}"
        assert math.isclose(found, float(wanted), rel_tol=1e-9, abs_tol=1e-9), f"{where}: {found!r}, not {wanted!r}"


def test_wrong_things_in_cells_give_the_error_of_the_contract(office: Office) -> None:
    rows = [
        [60.0, 59.3, 50.0, "=HAY.DRY_MATTER(A1;B1;C1)"],
        ["sixty", 59.3, 50.0, "=HAY.DRY_MATTER(A2;B2;C2)"],
        [None, 59.3, 50.0, "=HAY.DRY_MATTER(A3;B3;C3)"],
        [-5.0, 59.3, 50.0, "=HAY.DRY_MATTER(A4;B4;C4)"],
        ["=NA()", 59.3, 50.0, "=HAY.DRY_MATTER(A5;B5;C5)"],
        ["=1/0", 59.3, 50.0, "=HAY.DRY_MATTER(A6;B6;C6)"],
        [59.0, 59.3, 50.0, "=HAY.DRY_MATTER(A7;B7;C7)"],
        ["no such function", None, None, "=HAY.SOURCE(A8)"],
        [60.0, 59.3, None, "=HAY.DRY_MATTER(A9;B9)"],
        [60.0, 59.3, 50.0, "=HAY.DRY_MATTER(A10;B10;C10;A10)"],
        [60.0, 59.3, None, "=HAY.DRY_MATTER(A11;B11;C11)"],
    ]
    found = [row[3] for row in evaluate(office, rows)]
    assert found[0] == pytest.approx(93.0, abs=1e-9)
    # a blank wet weight reaches the function as 0, which its range refuses: an error, if another kind
    assert found[1:8] == ["#VALUE!", "#NUM!", "#NUM!", "#N/A", "#DIV/0!", "#NUM!", "#N/A"]
    assert found[8] == "#VALUE!"
    assert str(found[9]).startswith(("Err:", "#"))  # too many arguments: Calc itself refuses the formula
    # 0 is a possible container, so Calc's 0 for a blank one cannot be told from it
    assert found[10] == pytest.approx(59.3 / 60 * 100, abs=1e-9)


def test_a_block_call_is_one_array_formula_and_a_bad_row_spoils_only_itself(office: Office) -> None:
    rows: list[list[Any]] = [[1000.0 + i, 80.0 + i] for i in range(10)]
    rows[3][1] = None
    rows[4][1] = "wet"
    rows[5][1] = 120.0
    found = evaluate(office, rows, {"C1:C10": "=HAY.DRY_WEIGHT(A1:A10;B1:B10)"})
    for i, row in enumerate(found):
        if i in (3, 4, 5):
            assert row[2] == "#NUM!"
        else:
            assert row[2] == pytest.approx((1000 + i) * (80 + i) / 100, abs=1e-9)


def test_a_block_argument_takes_a_range_and_refuses_blanks_in_it(office: Office) -> None:
    rows = [[10.0, 30.0, "=HAY.WEIGHTED_MEAN(A1:A2;B1:B2)"], [14.0, 10.0, "=HAY.WEIGHTED_MEAN(A1:A3;B1:B3)"]]
    found = evaluate(office, rows)
    assert found[0][2] == pytest.approx(11.0, abs=1e-9)
    assert found[1][2] == "#VALUE!"


def test_every_function_is_in_the_wizard_with_its_help(office: Office) -> None:
    shown = office.descriptions("HAY")
    assert sorted(shown) == sorted(f"HAY.{name}" for name in CATALOGUE)
    for record in CATALOGUE.values():
        entry = shown[record.sheet_name]
        assert entry["Description"] == wizard.function_help(record)
        names = wizard.argument_names(record)
        helps = [wizard.argument_help(record, name) for name in names]
        assert [a[:2] for a in entry["Arguments"]] == [list(pair) for pair in zip(names, helps, strict=True)]


def make_book(path: Path, values: dict[str, float]) -> dict[str, str]:
    """An xlsx as the template is written: LAMBDA names and calls as dynamic arrays, values stored beside."""
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Lots")
    names: dict[str, str] = {}
    for record in CATALOGUE.values():
        if has_lambda(record) and not tables_used(record):
            book.define_name(record.sheet_name, "=" + lambda_text(record))
    for row, (name, value) in enumerate(values.items()):
        record = CATALOGUE[name]
        arguments = first_arguments(name)
        for col, argument in enumerate(arguments):
            sheet.write(row, col + 1, argument)
        cells = ",".join(f"{column(c + 1)}{row + 1}" for c in range(len(record.args)))
        sheet.write_dynamic_array_formula(row, 0, row, 0, f"={record.sheet_name}({cells})", None, value)
        names[f"A{row + 1}"] = name
    book.close()
    return names


def first_arguments(name: str) -> list[Any]:
    return next(c.arguments for c in checklib.every() if c.function == name)


def scalar_functions() -> dict[str, float]:
    """Functions of numbers, words and names that have a check row, with the value of its call."""
    found: dict[str, float] = {}
    for check in checklib.every():
        plain = not any(isinstance(a, (list, type(None))) for a in check.arguments)
        full = len(check.arguments) == len(check.record.args)
        if plain and full and check.record.numeric and not check.record.variadic:
            value = check.call()
            if isinstance(value, float) and math.isfinite(value):
                found.setdefault(check.function, value)
    return found


def test_an_xlsx_with_lambda_names_binds_to_the_extension_and_survives_saving(office: Office, tmp_path: Path) -> None:
    values = scalar_functions()
    assert len(values) >= 7
    source = tmp_path / "lots.xlsx"
    places = make_book(source, values)
    opened = office.open(str(source))
    try:
        office.calculate(opened)
        check_column(office, opened, places, values)
        office.save(opened, str(tmp_path / "lots.ods"), "calc8")
        office.save(opened, str(tmp_path / "again.xlsx"), "Calc MS Excel 2007 XML")
    finally:
        office.close(opened)
    for saved in ("lots.ods", "again.xlsx"):
        again = office.open(str(tmp_path / saved))
        try:
            office.calculate(again)
            check_column(office, again, places, values)
        finally:
            office.close(again)
    sheet = openpyxl.load_workbook(tmp_path / "again.xlsx")["Lots"]
    written = [sheet[place].value for place in places]
    texts = [v if isinstance(v, str) else v.text for v in written]
    assert all(f"HAY.{name}(" in text for name, text in zip(places.values(), texts, strict=True)), texts


def check_column(office: Office, document: str, places: dict[str, str], values: dict[str, float]) -> None:
    area = f"A1:A{len(places)}"
    formulas = [row[0] for row in office.formulas(document, "Lots", area)]
    for name, formula in zip(places.values(), formulas, strict=True):
        assert f"HAY.{name}(" in formula.upper()
    for name, (found,) in zip(places.values(), office.read(document, "Lots", area), strict=True):
        assert found == pytest.approx(values[name], rel=1e-9, abs=1e-9), name


def test_without_the_extension_the_call_is_an_error_not_a_wrong_number(bare_office: Office) -> None:
    rows = [[2000.0, 87.0, "=HAY.DRY_WEIGHT(A1;B1)"]]
    assert str(evaluate(bare_office, rows)[0][2]).startswith(("#", "Err:"))


def test_numbers_that_must_not_be_zero_turn_a_blank_cell_into_an_error(office: Office) -> None:
    """Calc hands 0 for a blank cell: each argument above 0 refuses it, and the text names the cell's row."""
    rows: list[list[Any]] = []
    expected: list[tuple[str, str]] = []
    for record in CATALOGUE.values():
        if record.variadic or any(isinstance(a, Block) for a in record.args.values()):
            continue
        check = next((c for c in checklib.every() if c.function == record.name), None)
        if check is None or any(isinstance(a, (list, type(None))) for a in check.arguments):
            continue
        for i, (name, arg) in enumerate(record.args.items()):
            if isinstance(arg, Arg) and not arg.possible(0.0) and i < len(check.arguments):
                cells = list(check.arguments)
                cells[i] = None
                row = len(rows) + 1
                args = ";".join(f"{column(c)}{row}" for c in range(len(cells)))
                rows.append([*cells, *[None] * (15 - len(cells)), f"={record.sheet_name}({args})"])
                expected.append((record.name, name))
    found = evaluate(office, rows)
    for (function, argument), row in zip(expected, found, strict=True):
        assert row[15] == "#NUM!", (function, argument, row)


def test_a_text_answer_is_equal_to_the_same_text(office: Office) -> None:
    said = hayfuncs.notes("DRY_MATTER_TWO_STEP", 80, 50)
    call_text = '=HAY.NOTES("DRY_MATTER_TWO_STEP";80;50)'
    rows: list[list[Any]] = [
        [call_text, said, "=A1=B1", "=EXACT(A1;B1)", "=COUNTIF(A1;B1)", "=MATCH(B1;A1:A1;0)"],
        [None, said, "=A2=B2", "=EXACT(A2;B2)", "=COUNTIF(A2;B2)", "=MATCH(B2;A2:A2;0)"],
        ['=HAY.NOTES("DRY_MATTER_TWO_STEP";80;90)', None, '=A3=""', "=LEN(A3)=0", '=COUNTIF(A3;"?*")=0', 1.0],
    ]
    found = evaluate(office, rows, {"A2": call_text})  # as a cell and as an array formula of one cell
    assert [row[0] for row in found] == [said, said, ""]
    assert all(row[2:] == [1.0] * 4 for row in found), found
