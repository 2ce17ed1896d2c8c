"""Excel with Python: xlwings' own registration, VBA writer, metadata and call path, with COM replaced."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hosts.jsonlines import Answers
from hosts.xlwingslib import TREE, start

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.lint import RESERVED
from hayfuncs.contract.vba_words import VBA_WORDS
from hayfuncs.hosts import excelneeds, exceludf, wizard
from hayfuncs.hosts.exceludf import name

EVERY = pytest.mark.parametrize("record", list(CATALOGUE.values()), ids=list(CATALOGUE))
LINE_LIMIT = 1024  # characters of one line of VBA
CONTINUATIONS = 24  # of one statement
# VBA's keywords, and the names that xlwings' own text uses in every function
VBA_WORDS = {word.lower() for word in VBA_WORDS | RESERVED} | {
    "k",
    "argsarray",
    "xlpy",
    "array",
    "err",
    "application",
}


@pytest.fixture(scope="module")
def classic() -> Iterator[Answers]:
    server = start("classic")
    yield server
    server.end()


@pytest.fixture(scope="module")
def office_js() -> Iterator[Answers]:
    server = start("officejs")
    yield server
    server.end()


@pytest.fixture(scope="module")
def imported(classic: Answers) -> dict[str, Any]:
    found: dict[str, Any] = classic.import_udfs()
    return found


def declarations(vba: str) -> dict[str, list[str]]:
    """function -> its parameters, from the VBA text with continued lines joined."""
    joined = vba.replace(" _\n", " ")
    found = re.findall(r"^Function (\w+)\((.*)\)$", joined, re.MULTILINE)
    return {function: [p for p in parameters.split(", ") if p] for function, parameters in found}


def test_every_function_becomes_one_vba_function(imported: dict[str, Any]) -> None:
    found = declarations(imported["vba"])
    assert sorted(found) == sorted(name(record) for record in CATALOGUE.values())
    lowered = [function.lower() for function in found]
    assert len(set(lowered)) == len(lowered), "VBA does not tell capitals from small letters"


@EVERY
def test_the_vba_function_has_the_records_arguments(imported: dict[str, Any], record: Record) -> None:
    parameters = declarations(imported["vba"])[name(record)]
    names = []
    for parameter, argument in zip(parameters, wizard.argument_names(record), strict=True):
        if record.variadic and argument == wizard.REST:
            assert parameter == f"ParamArray {argument}()"
        elif argument in record.defaults:
            assert parameter == f"Optional {argument}"
        else:
            assert parameter == argument
        names.append(argument)
    assert not VBA_WORDS & {n.lower() for n in names}
    assert len(",".join(names)) <= 254


def test_the_vba_text_keeps_vbas_limits(imported: dict[str, Any]) -> None:
    lines = imported["vba"].splitlines()
    assert max(map(len, lines)) <= LINE_LIMIT
    run = 0
    for line in lines:
        run = run + 1 if line.endswith(" _") else 0
        assert run <= CONTINUATIONS
    assert len(lines) < 60_000
    imported["vba"].encode("ascii")


@EVERY
def test_excels_wizard_gets_the_records_help(imported: dict[str, Any], record: Record) -> None:
    (options,) = [o for o in imported["options"] if o["macro"].endswith("!" + name(record))]
    assert options["Description"] == wizard.function_help(record)
    assert options["Category"] == f"hayfuncs: {record.topic}"
    names = wizard.argument_names(record)
    assert options["ArgumentDescriptions"] == [wizard.argument_help(record, n) for n in names]


def test_no_function_of_excel_edition_clashes_with_a_cell_or_a_lambda_name() -> None:
    for record in CATALOGUE.values():
        assert not re.fullmatch(r"[A-Z]{1,3}[0-9]{1,7}", name(record))
        assert name(record) != record.sheet_name  # a LAMBDA name and a VBA function must never be spelled alike


ROWS: list[tuple[str, list[Any], Any]] = [
    ("HAY_DRY_WEIGHT", [2000, 87], 1740.0),
    ("HAY_DRY_WEIGHT", [{"currency": "2000.5"}, 87], 2000.5 * 87 / 100),
    ("HAY_DRY_WEIGHT", [2000, None], "#VALUE!"),
    ("HAY_DRY_WEIGHT", [2000, {"missing": 1}], "#VALUE!"),
    ("HAY_DRY_WEIGHT", [2000, "wet"], "#VALUE!"),
    ("HAY_DRY_WEIGHT", [2000, True], "#VALUE!"),
    ("HAY_DRY_WEIGHT", [2000, 0], "#NUM!"),
    ("HAY_DRY_WEIGHT", [2000, 140], "#NUM!"),
    ("HAY_DRY_WEIGHT", [{"error": "#N/A"}, 87], "#N/A"),
    ("HAY_DRY_WEIGHT", [{"error": "#DIV/0!"}, 87], "#DIV/0!"),
    ("HAY_DRY_WEIGHT", [{"date": "2024-06-01"}, 87], "#VALUE!"),
    ("HAY_SOURCE", ["no such function"], "#N/A"),
    # a column in gives a column out, a row a row, a block a block
    ("HAY_DRY_WEIGHT", [[[10], [20]], [[50], [80]]], [[5.0], [16.0]]),
    ("HAY_DRY_WEIGHT", [[[10, 20]], 50], [5.0, 10.0]),  # xlwings' server takes a single row out of its rows
    ("HAY_DRY_WEIGHT", [[[10, 20], [30, 40]], 50], [[5.0, 10.0], [15.0, 20.0]]),
    ("HAY_DRY_WEIGHT", [[[10], [None], ["x"], [{"error": "#N/A"}]], 50], [[5.0], ["#NUM!"], ["#NUM!"], ["#NUM!"]]),
    ("HAY_DRY_WEIGHT", [[[10], [20]], [[50], [80], [90]]], "#VALUE!"),
    ("HAY_WEIGHTED_MEAN", [[[10], [14]], [[30], [10]]], 11.0),
    ("HAY_WEIGHTED_MEAN", [[[10], [None]], [[30], [10]]], "#VALUE!"),
    ("HAY_WEIGHTED_MEAN", [10, 30], 10.0),
    ("HAY_NOTES", ["HAY_DRY_WEIGHT", 2000, 87], ""),
]


@pytest.mark.parametrize(("function", "arguments", "wanted"), ROWS)
def test_the_call_path_gives_values_and_true_error_values(
    classic: Answers, function: str, arguments: list[Any], wanted: Any
) -> None:
    found = classic.call(function, arguments)
    assert found == (pytest.approx(wanted) if isinstance(wanted, float) else wanted)


def test_no_traceback_reaches_a_cell(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> float:
        raise ZeroDivisionError("a fault of the library")

    monkeypatch.setattr(hayfuncs, "dry_weight", broken)
    assert exceludf.answer(CATALOGUE["DRY_WEIGHT"], ([[2000.0]], [[87.0]]), str) == "#VALUE!"


def test_notes_says_why_a_call_is_refused(classic: Answers) -> None:
    said = classic.call("HAY_NOTES", ["DRY_WEIGHT", 2000, 140])
    assert "dm_pct is 140 % as fed" in said
    assert "above 0 to 100" in said


@EVERY
def test_office_js_metadata_is_the_record(office_js: Answers, record: Record) -> None:
    functions = {f["name"]: f for f in office_js.metadata()["functions"]}
    assert len(functions) == len(CATALOGUE)
    function = functions[f"HAY.{record.name}"]
    assert function["id"] == name(record)
    assert function["description"] == wizard.function_help(record)
    names = wizard.argument_names(record)
    assert [p["name"] for p in function["parameters"]] == names
    assert [p["description"] for p in function["parameters"]] == [wizard.argument_help(record, n) for n in names]
    for parameter in function["parameters"]:
        assert parameter["dimensionality"] == "matrix"
        assert parameter.get("optional", False) == (parameter["name"] in record.defaults)
        assert parameter.get("repeating", False) == (record.variadic and parameter["name"] == wizard.REST)


# Microsoft, learn.microsoft.com: "Manually create JSON metadata for custom functions" and its schema "extensionFunction object"
OF_FUNCTION = {"id", "name", "description", "helpUrl", "parameters", "result", "options"}
OF_OPTIONS = {"stream", "volatile", "cancelable", "requiresAddress", "requiresParameterAddresses"}
OF_PARAMETER = {
    "name",
    "description",
    "type",
    "cellValueType",
    "dimensionality",
    "optional",
    "repeating",
    "customEnumId",
}


def test_office_js_metadata_holds_what_the_published_schema_has(office_js: Answers) -> None:
    whole = office_js.metadata()
    assert set(whole) == {"allowCustomDataForDataTypeAny", "allowErrorForDataTypeAny", "functions"}
    seen = set()
    for function in whole["functions"]:
        assert {"id", "name", "parameters", "result"} <= set(function) <= OF_FUNCTION
        assert set(function.get("options", {})) <= OF_OPTIONS
        assert function["result"]["dimensionality"] in ("scalar", "matrix")
        for at, parameter in enumerate(function["parameters"], 1):
            assert {"name", "type", "dimensionality"} <= set(parameter) <= OF_PARAMETER
            assert parameter["dimensionality"] in ("scalar", "matrix")
            assert parameter["type"] in ("boolean", "number", "string", "any")
            assert not parameter.get("repeating") or at == len(function["parameters"])
        seen.add(function["id"])
    assert len(seen) == len(whole["functions"]) > 100


@pytest.mark.parametrize(
    ("arguments", "wanted"),
    [
        ([2000, 87], 1740.0),
        ([2000, None], "#VALUE!"),
        ([2000, ""], "#VALUE!"),
        ([2000, 0], "#NUM!"),
        ([{"error": "#N/A"}, 87], "#N/A"),
        ([[10, 20], [50, 80]], [[5.0], [16.0]]),
        ([[10, None], [50, 80]], [[5.0], ["#NUM!"]]),
    ],
)
def test_office_js_calls_give_values_and_error_values(office_js: Answers, arguments: list[Any], wanted: Any) -> None:
    assert office_js.call("HAY_DRY_WEIGHT", arguments) == wanted


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *arguments], capture_output=True, text=True, cwd=TREE)


@pytest.mark.skipif(sys.platform.startswith("win"), reason="not run: this is Windows")
def test_off_windows_the_import_says_so_and_registers_nothing() -> None:
    done = run("-c", "import hayfuncs.hosts.excel")
    assert done.returncode != 0
    last = done.stderr.strip().splitlines()[-1]
    assert last.startswith("hayfuncs.hosts.excel.HostMissing: ")
    assert "need Excel for Windows" in last
    assert "hayfuncs excel check" in last


@pytest.mark.skipif(sys.platform.startswith("win"), reason="not run: this is Windows")
def test_excel_check_names_what_is_missing_and_the_next_step() -> None:
    done = run("-m", "hayfuncs.cli", "excel", "check")
    assert done.returncode == 1
    assert done.stdout.startswith("missing  Windows")
    assert "Next step: use a Windows machine" in done.stdout
    assert "No Python is needed" in done.stdout
    assert not done.stderr


class Key:
    def __enter__(self) -> Key:
        return self

    def __exit__(self, *_: object) -> None:
        pass

    def Close(self) -> None:
        pass


class Registry:
    HKEY_CLASSES_ROOT, HKEY_CURRENT_USER = "classes", "user"

    def __init__(self, excel: bool, trust: int | None) -> None:
        self.excel, self.trust = excel, trust

    def OpenKey(self, root: str, path: str) -> Key:
        if (root == "classes" and self.excel) or (root == "user" and self.trust is not None and "16.0" in path):
            return Key()
        raise OSError(path)

    def QueryValueEx(self, key: Key, value: str) -> tuple[int | None, int]:
        return self.trust, 4


@pytest.mark.parametrize(
    ("excel", "trust", "add_in", "step"),
    [
        (False, None, False, "install Excel"),
        (True, None, False, "xlwings addin install"),
        (True, None, True, "Trust access to the VBA project object model"),
        (True, 0, True, "Trust access to the VBA project object model"),
        (True, 1, True, "UDF Modules: hayfuncs.hosts.excel"),
    ],
)
def test_on_windows_each_need_is_looked_up(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, excel: bool, trust: int | None, add_in: bool, step: str
) -> None:
    monkeypatch.setattr(excelneeds, "windows", lambda: True)
    monkeypatch.setattr(excelneeds, "registry", lambda: Registry(excel, trust))
    monkeypatch.setenv("APPDATA", str(tmp_path))
    needs = []
    for need in excelneeds.NEEDS:
        met = {"Windows, where Excel can call Python functions": lambda: True, "pywin32": lambda: True}.get(
            need.what, need.met
        )
        needs.append(excelneeds.Need(need.what, met, need.step))
    monkeypatch.setattr(excelneeds, "NEEDS", tuple(needs))
    if add_in:
        place = tmp_path / excelneeds.ADD_IN
        place.parent.mkdir(parents=True)
        place.touch()
    complete, lines = excelneeds.report()
    assert step in lines[-1]
    assert complete == (excel and trust == 1 and add_in)
