"""The generated stub: what editors and mypy know of every function, and what dir() shows."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest
from contractlib import each_record
from mypy import api

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.generate.stub import stub

STUB = Path(hayfuncs.__file__).with_suffix(".pyi")


def test_the_stub_is_as_the_records_make_it() -> None:
    assert STUB.read_text(encoding="utf-8") == stub(), "python -m hayfuncs.generate --texts"


@each_record
def test_names_and_order_of_arguments(record: Record) -> None:
    tree = ast.parse(STUB.read_text(encoding="utf-8"))
    forms = [n for n in tree.body if isinstance(n, ast.FunctionDef) and n.name == record.python_name]
    assert forms, "not in the stub: python -m hayfuncs.generate --texts"
    for form in forms:
        assert [a.arg for a in form.args.args] == list(record.args)
        assert len(form.args.defaults) == len(record.defaults)
        assert bool(form.args.vararg) == record.variadic
    assert ast.get_docstring(forms[0]) == (record.plain.__doc__ or "").splitlines()[0]


def test_dir_shows_the_functions() -> None:
    shown = set(dir(hayfuncs))
    assert {r.python_name for r in CATALOGUE.values()} <= shown
    assert {"explain", "reason", "BadInput", "HayError", "NotInTable", "OutOfRange"} <= shown
    assert not {"contract", "forage", "cow", "workbook", "sys", "tdn"} & shown
    assert len(shown) < len(CATALOGUE) + 12


GOOD = """\
import numpy as np
import pandas as pd
import hayfuncs as h
from decimal import Decimal

one: float = h.tdn_from_adf(40)
two: float = h.tdn_from_adf(adf_pct=Decimal("40"), equation="western alfalfa")
three: np.ndarray = h.tdn_from_adf([40.0, None], "corn silage")
four: np.ndarray = h.tdn_from_adf(np.array([40.0]), ["corn silage"])
five: str = h.lab_notes(90, 10, 38, 62, 8, 2.5, "grass")
six: float = h.weighted_mean([10, 14], [30, 10])
seven: str = h.explain("TDN_FROM_ADF", 40)
try:
    h.dry_weight(2000, 87)
except h.OutOfRange as error:
    print(error.argument)
"""
BAD = {
    "h.no_such_function(1)": "has no attribute",
    "h.tdn_from_adf()": "require at least one argument",
    "h.tdn_from_adf('forty')": 'incompatible type "str"',
    "h.tdn_from_adf(40, 7)": "No overload variant",
    "h.tdn_from_adf(adf=40)": "Unexpected keyword argument",
    "text: str = h.dry_weight(2000, 87)": "Incompatible types",
}


@pytest.mark.timeout(300)
def test_mypy_knows_a_good_call_from_a_bad_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "good.py").write_text(GOOD, encoding="utf-8")
    (tmp_path / "bad.py").write_text("import hayfuncs as h\n" + "\n".join(BAD) + "\n", encoding="utf-8")
    monkeypatch.setenv("MYPYPATH", str(STUB.parents[1]))
    options = ["--ignore-missing-imports", "--follow-imports=silent", "--python-executable", sys.executable]
    said, trouble, _ = api.run(
        [*options, "--cache-dir", str(tmp_path / "cache"), str(tmp_path / "good.py"), str(tmp_path / "bad.py")]
    )
    assert not trouble
    assert "good.py" not in said, said
    for line, (call, words) in enumerate(BAD.items(), 2):
        assert any(f"bad.py:{line}:" in text and words in text for text in said.splitlines()), f"{call}: {said}"
