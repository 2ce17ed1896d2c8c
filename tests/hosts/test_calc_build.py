"""The extension's parts, made from the records: LibreOffice's kit needed for the type library alone."""

from __future__ import annotations

import ast
import io
import os
import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from hosts.officelib import REQUIRE, demand_office

from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.generate import type_library
from hayfuncs.hosts import wizard
from hayfuncs.hosts.calc import build, descriptions, typelib

OOR = "{http://openoffice.org/2001/registry}"
EVERY = pytest.mark.parametrize("record", list(CATALOGUE.values()), ids=list(CATALOGUE))


def test_the_type_library_was_made_of_today_s_functions() -> None:
    """Where the kit is not installed, the text it was made of speaks for it."""
    of = (Path(typelib.__file__).parent / typelib.IDL).read_text(encoding="ascii")
    assert of == typelib.idl(), "run python -m hayfuncs.generate.type_library, which needs libreoffice-dev"


@pytest.mark.libreoffice
def test_the_type_library_declares_every_function_with_its_arguments() -> None:
    demand_kit()
    said = type_library.declared(typelib.type_library())
    flat = re.sub(r"\s+", "", said)
    for record in CATALOGUE.values():
        arguments = ",".join(f"[in]{kind}{name}" for name, kind in typelib.parameters(record))
        assert f"{typelib.result_type(record)}{record.name}({arguments});".replace(" ", "") in flat, record.name
    assert said.count("([in]") + said.count("()") == len(CATALOGUE)
    assert "serviceHAY:org::hayfuncs::XHayFunctions" in flat.replace("::org::", "org::")


@pytest.mark.libreoffice
def test_the_kit_makes_the_same_of_the_records_and_another_of_other_records(monkeypatch: pytest.MonkeyPatch) -> None:
    demand_kit()
    shipped = type_library.declared(typelib.type_library())
    assert type_library.declared(type_library.made()) == shipped
    assert type_library.renew(check=True) == []
    whole = typelib.idl()
    monkeypatch.setattr(typelib, "idl", lambda: whole.replace("any dmPct", "any wetPct", 1))
    assert type_library.declared(type_library.made()) != shipped
    assert type_library.renew(check=True) == [typelib.IDL, typelib.RDB]


def demand_kit() -> None:
    demand_office()
    if type_library.office() is None and os.environ.get(REQUIRE):
        pytest.fail("LibreOffice's kit (libreoffice-dev) is missing", pytrace=False)
    if type_library.office() is None:
        pytest.skip("not run: LibreOffice's kit (libreoffice-dev) is not installed")


def wizard_nodes() -> dict[str, ElementTree.Element]:
    root = ElementTree.fromstring(descriptions.wizard_texts())
    functions = root.find(f"node[@{OOR}name='AddInInfo']/node[@{OOR}name='HAY']/node[@{OOR}name='AddInFunctions']")
    assert functions is not None
    return {node.get(f"{OOR}name", ""): node for node in functions}


def text(node: ElementTree.Element, prop: str) -> str:
    return node.findtext(f"prop[@{OOR}name='{prop}']/value") or ""


def test_every_function_and_only_those_is_described() -> None:
    assert list(wizard_nodes()) == list(CATALOGUE)


@EVERY
def test_the_wizard_texts_are_the_records(record: Record) -> None:
    node = wizard_nodes()[record.name]
    assert text(node, "DisplayName") == text(node, "CompatibilityName") == f"HAY.{record.name}"
    assert record.summary in text(node, "Description")
    assert record.topic in text(node, "CategoryDisplayName")
    parameters = node.find(f"node[@{OOR}name='Parameters']")
    assert parameters is not None
    assert [p.get(f"{OOR}name") for p in parameters] == [name for name, _ in typelib.parameters(record)]
    assert [text(p, "DisplayName") for p in parameters] == wizard.argument_names(record)
    for name, parameter in zip(wizard.argument_names(record), parameters, strict=True):
        assert text(parameter, "Description") == wizard.argument_help(record, name)


@EVERY
def test_help_fits_a_wizard_and_names_units_and_words(record: Record) -> None:
    assert 0 < len(wizard.function_help(record)) <= 255
    for name, arg in record.args.items():
        said = wizard.argument_help(record, name)
        assert 0 < len(said) <= 255
        assert arg.meaning.rstrip(".") in said
        assert arg.allowed() in said or arg.kind in ("name", "block"), said


@EVERY
def test_interface_names_are_legal_and_distinct(record: Record) -> None:
    names = [name for name, _ in typelib.parameters(record)]
    assert len(set(names)) == len(names)
    assert all(re.fullmatch(r"[a-z][A-Za-z0-9]*", name) for name in names)


def test_the_manifest_names_what_is_in_the_file() -> None:
    with zipfile.ZipFile(io.BytesIO(build.extension())) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        root = ElementTree.fromstring(archive.read("META-INF/manifest.xml"))
        listed = [e.get(e.tag.split("}")[0] + "}full-path") for e in root]
        ElementTree.fromstring(archive.read("description.xml"))
    assert listed
    assert set(listed) <= set(names)


def test_the_same_records_give_the_same_bytes() -> None:
    assert build.extension() == build.extension()


def test_no_host_but_calc_and_no_command_line_go_inside() -> None:
    inside = [path for path in build.members() if path.startswith("pythonpath/")]
    assert "pythonpath/hayfuncs/contract/tables/sources.tsv" in inside
    assert not [p for p in inside if re.search(r"/(commands|workbook|audit|cli\.py|excel\.py|engine\.py)", p)]


def test_the_package_inside_runs_alone_with_numpy_only(tmp_path: Path) -> None:
    for path, content in build.members().items():
        target = tmp_path / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    code = (
        "import sys; sys.path[:0] = [sys.argv[1], sys.argv[2]]\n"
        "import hayfuncs, hayfuncs.hosts.calc.component\n"
        "assert hayfuncs.__file__.startswith(sys.argv[1]), hayfuncs.__file__\n"
        "import numpy; heavy = {m.split('.')[0] for m in sys.modules} & "
        "{'scipy', 'highspy', 'typer', 'xlsxwriter', 'openpyxl', 'formualizer', 'xlwings'}\n"
        "assert not heavy, heavy\n"
        "print(len(hayfuncs.CATALOGUE))"
    )
    beside_numpy = str(Path(np.__file__).parents[1])
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", code, str(tmp_path / "pythonpath"), beside_numpy],
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) == len(CATALOGUE)


@pytest.mark.parametrize("path", [p for p in build.members() if p.endswith(".py")])
def test_every_file_inside_parses_as_the_oldest_python_it_claims(path: str) -> None:
    ast.parse(build.members()[path], feature_version=(3, 10))


def test_the_loader_itself_parses_under_an_old_python_so_that_it_can_say_so() -> None:
    ast.parse(build.members()[descriptions.COMPONENT], feature_version=(3, 7))


def test_the_loader_names_what_is_missing(tmp_path: Path) -> None:
    loader = tmp_path / "hayfuncs_calc.py"
    loader.write_bytes(build.members()[descriptions.COMPONENT])
    done = subprocess.run([sys.executable, "-I", "-S", str(loader)], capture_output=True, text=True)
    assert "hayfuncs needs numpy inside the office's own Python" in done.stderr
    old = next(filter(None, map(shutil.which, ("python3.8", "python3.9"))), None)
    if old and subprocess.run([old, "-V"], capture_output=True).returncode == 0:
        done = subprocess.run([old, str(loader)], capture_output=True, text=True)
        assert "hayfuncs needs Python 3.10 or later" in done.stderr


def test_the_command_refuses_a_file_that_is_there_and_a_wrong_ending(tmp_path: Path) -> None:
    def run(*arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "hayfuncs.cli", "calc-addin", *arguments], capture_output=True, text=True
        )

    target = tmp_path / "hay.oxt"
    assert run(str(target)).returncode == 0
    assert target.read_bytes() == build.extension()
    again = run(str(target))
    assert again.returncode == 2
    assert "--force" in again.stderr
    assert "Traceback" not in again.stderr
    wrong = run(str(tmp_path / "hay.zip"))
    assert wrong.returncode == 2
    assert ".oxt" in wrong.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["hay.oxt"]
