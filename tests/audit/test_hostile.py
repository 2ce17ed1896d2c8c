"""Hostile and broken files: refused or handled in one clear sentence; nothing run, fetched or written."""

from __future__ import annotations

import random
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from audit.damagelib import File
from audit.hostilelib import BOMB, MAIN, OLE, OUTWARD, cell, lying_size, packed, parts, workbook

from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.recompute import Engine, recompute
from hayfuncs.audit.run import audit
from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.reader import read

SECONDS = 20  # for any of these files, on a slow machine; most take a fraction of one

LAST_ROW = 1_048_576  # of a sheet
SHEET = "xl/worksheets/sheet1.xml"
ROW = '<row r="1"><c r="A1"><v>1</v></c></row>'


def deep(levels: int) -> str:
    return f"<worksheet {MAIN}><sheetData>{'<row>' * levels}{'</row>' * levels}</sheetData></worksheet>"


def zip_of(**names: str) -> bytes:
    return packed(dict(names))


def twice() -> bytes:
    import io
    import warnings
    import zipfile

    stream = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(stream, "w") as box:
        warnings.simplefilter("ignore")
        for name, data in [*parts(ROW).items(), (SHEET, parts("")[SHEET])]:
            box.writestr(name, data)
    return stream.getvalue()


# file content -> words that the sentence must hold
REFUSED: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "is empty"),
    "text": (b"lot,dry matter\n1,88\n", "no .xlsx workbook"),
    "old binary workbook": (OLE + bytes(600), "old binary"),
    "password": (OLE + bytes(600) + "EncryptedPackage".encode("utf-16-le") + bytes(600), "password"),
    "plain zip": (zip_of(readme="hello"), "no workbook"),
    "OpenDocument": (zip_of(mimetype="application/vnd.oasis.opendocument.spreadsheet", content="<x/>"), "OpenDocument"),
    "no office document": (packed({**parts(), "_rels/.rels": "<Relationships/>"}), "no workbook among its parts"),
    "cut at a half": (workbook(cell("A1", value=1.0))[:400], "cut short"),
    "part twice": (twice(), "twice"),
    "zip bomb": (packed(parts(more={SHEET: b" " * 30_000_000})), "zip bomb"),
    "size that lies": (lying_size(packed(parts(ROW * 2000)), SHEET.encode(), 700_000_000), "at most"),
    "size that lies downwards": (
        lying_size(packed(parts(f"<row r='1'>{cell('A1', value=1.0)}</row>")), SHEET.encode(), 40),
        "damaged",
    ),
    "entity bomb in a sheet": (
        packed(parts(more={SHEET: BOMB + f"<worksheet {MAIN}><sheetData>&j;</sheetData></worksheet>"})),
        "entities",
    ),
    "entity bomb in the strings": (
        packed(parts(strings="<si><t>x</t></si>", more={"xl/sharedStrings.xml": BOMB + f"<sst {MAIN}>&j;</sst>"})),
        "entities",
    ),
    "entity bomb in the workbook": (
        packed(parts(more={"xl/workbook.xml": BOMB + "<workbook>&j;</workbook>"})),
        "entities",
    ),
    "entity that reads a file": (
        packed(
            parts(
                more={
                    SHEET: OUTWARD
                    + f"<worksheet {MAIN}><sheetData><row><c r='A1' t='str'><v>&a;</v></c></row></sheetData></worksheet>"
                }
            )
        ),
        "entities",
    ),
    "relationships with entities": (
        packed(parts(more={"xl/_rels/workbook.xml.rels": BOMB + "<Relationships>&j;</Relationships>"})),
        "entities",
    ),
    "XML cut": (packed(parts(more={SHEET: f"<worksheet {MAIN}><sheetData><row r='1'><c r='A1'><v>1</v>"})), "damaged"),
    "no XML": (packed(parts(more={SHEET: b"\x00\x01\x02\x03"})), "damaged"),
    "odd encoding": (packed(parts(more={SHEET: '<?xml version="1.0" encoding="klingon"?><worksheet/>'})), "damaged"),
    "deep XML": (packed(parts(more={SHEET: deep(50_000)})), "deeper"),
    "missing sheet": (packed({k: v for k, v in parts().items() if k != SHEET}), "missing"),
    "cell twice": (workbook(cell("A1", value=1.0), cell("A1", value=2.0)), "twice"),
    "cell outside the grid": (workbook(cell("XFE1", value=1.0)), "is none"),
    "row outside the grid": (packed(parts('<row r="99999999"/>')), "outside the grid"),
    "cell that is no cell": (workbook(cell("A0", value=1.0)), "is none"),
    "giant text": (workbook(cell("A1", value="x" * 40_000)), "at most 32,767"),
    "giant shared text": (packed(parts(ROW, strings=f"<si><t>{'x' * 40_000}</t></si>")), "at most 32,767"),
    "giant formula": (workbook(cell("A1", "+".join(["1"] * 6_000), 1.0)), "at most 8,192"),
    "text number that is not there": (
        packed(parts('<row r="1"><c r="A1" t="s"><v>7</v></c></row>', strings="<si><t>x</t></si>")),
        "no text number",
    ),
    "too many names": (
        packed(parts(ROW, "".join(f'<definedName name="n{i}">1</definedName>' for i in range(50_001)))),
        "at most",
    ),
    "two sheets of one name": (
        packed(
            parts(
                ROW,
                more={
                    "xl/workbook.xml": parts()["xl/workbook.xml"].replace(
                        "</sheets>", '<sheet name="s" sheetId="2" r:id="rId1"/></sheets>'
                    )
                },
            )
        ),
        "two sheets",
    ),
}


@pytest.mark.parametrize("name", list(REFUSED))
def test_a_hostile_file_is_refused_in_one_sentence(name: str, tmp_path: Path) -> None:
    data, words = REFUSED[name]
    path = tmp_path / "file.xlsx"
    path.write_bytes(data)
    started = time.monotonic()
    with pytest.raises(UserError) as caught:
        audit(path)
    assert time.monotonic() - started < SECONDS
    told = str(caught.value)
    assert words in told
    assert "\n" not in told
    assert len(told) < 400
    assert path.read_bytes() == data
    assert [p.name for p in tmp_path.iterdir()] == ["file.xlsx"]


@pytest.mark.parametrize("path", ["nowhere.xlsx", "."])
def test_no_file_is_told_as_such(path: str, tmp_path: Path) -> None:
    with pytest.raises(UserError, match=r"does not exist|is a folder"):
        audit(tmp_path / path)


HANDLED: dict[str, tuple[bytes, str]] = {
    "brackets nested deep": (workbook(cell("A1", "(" * 300 + "1" + ")" * 300, 1.0)), "nested deeper"),
    "brackets nested very deep": (workbook(cell("A1", "(" * 4_000 + "1" + ")" * 4_000, 1.0)), "nested deeper"),
    "calls nested deep": (workbook(cell("A1", "SUM(" * 900 + "1" + ")" * 900, 1.0)), "nested deeper"),
    "signs without end": (workbook(cell("A1", "-" * 7_000 + "1", 1.0)), "nested deeper"),
    "names in a circle": (
        workbook(cell("A1", "a+1", 1.0), names='<definedName name="a">b</definedName><definedName name="b">a</definedName>'), "leads back to itself",
    ),
    "a name that is itself": (workbook(cell("A1", "a", 1.0), names='<definedName name="a">a+a</definedName>'), "leads back to itself"),
    "circular cells": (workbook(cell("A1", "B1", 1.0), cell("B1", "A1", 1.0)), "depends on itself"),
    "a text without end": (workbook(cell("A1", 'REPT("x",1000000000)', "x")), "no second engine gives the first one's answer for REPT"),
    "a block without end": (workbook(cell("A1", "SUM(SEQUENCE(1048576,16384))", 1.0)), "no second engine gives the first one's answer for SUM, SEQUENCE"),
    "no formula at all": (workbook(cell("A1", "1+", 1.0)), "cannot be read"),
    "reads another file": (workbook(cell("A1", "'[1]S'!A1+'file:///etc/[passwd]S'!A1", 1.0)), "another workbook"),
    "the whole sheet": (workbook(cell("A1", "SUM(B:XFD)+SUM(2:1048576)", 0.0)), ""),
    "an area turned round": (workbook(cell("A1", "SUM($C$9:$B$2)", 0.0)), ""),
    "validation of everything": (
        packed(parts(ROW, more={SHEET: f'<worksheet {MAIN}><sheetData>{ROW}</sheetData><dataValidations><dataValidation type="decimal" '
                                       'sqref="A1:XFD1048576 B2 rubbish"><formula1>0</formula1><formula2>5</formula2></dataValidation>'
                                       "</dataValidations></worksheet>"})), "no area",
    ),
    "text that is a command": (workbook(cell("A1", value="=cmd|' /C calc'!A0"), cell("B1", value="@SUM(1)")), "read as text"),
}  # fmt: skip


@pytest.mark.parametrize("name", list(HANDLED))
def test_a_hostile_formula_is_told_and_survived(name: str, tmp_path: Path) -> None:
    data, words = HANDLED[name]
    path = tmp_path / "file.xlsx"
    path.write_bytes(data)
    started = time.monotonic()
    case = audit(path)
    assert time.monotonic() - started < SECONDS
    told = " ".join([*(f.evidence for f in case.findings), *case.book.notes, case.recomputed.failure])
    assert any(part in told for part in words.split(" or ")), told
    assert path.read_bytes() == data
    assert [p.name for p in tmp_path.iterdir()] == ["file.xlsx"]


def test_a_formula_that_takes_too_long_ends_the_recomputation_and_nothing_else(tmp_path: Path) -> None:
    # three hundred sums of four million numbers each: a minute of work where one sum takes a fifth of a second
    rows = "".join(
        f'<row r="{i}">{cell(f"A{i}", value=float(i))}{cell(f"B{i}", f"SUM(SEQUENCE(2000,2000,{i}))", 1.0)}</row>'
        for i in range(1, 301)
    )
    path = tmp_path / "slow.xlsx"
    path.write_bytes(packed(parts(rows)))
    started = time.monotonic()
    case = audit(path, seconds=1.0)
    assert time.monotonic() - started < SECONDS
    assert "ran out of its time" in case.recomputed.failure
    assert any(f.rule == "not-recomputed" and f.above_note for f in case.findings)
    assert len(case.book.values) == 600


def test_an_engine_that_dies_is_told(small_files: dict[str, Path]) -> None:
    book = read(small_files["functions"])
    formulas = Formulas(book)
    with Engine() as engine:
        engine.ask("load", small_files["functions"].read_bytes())
        engine.process.kill()
        engine.process.wait()
        out = recompute(engine, small_files["functions"].read_bytes(), book, formulas)
    assert "ended by itself" in out.failure
    assert not out.values
    assert len(out.skipped) == len(book.formulas)


def test_cut_anywhere_it_is_refused(small_files: dict[str, Path], tmp_path: Path) -> None:
    data = small_files["functions"].read_bytes()
    path = tmp_path / "cut.xlsx"
    for share in (0.0005, 0.01, 0.2, 0.5, 0.8, 0.95, 0.99, 0.9999):
        path.write_bytes(data[: int(len(data) * share)])
        with pytest.raises(UserError):
            read(path)


def test_flipped_bytes_are_refused_or_read_never_worse(small_files: dict[str, Path], tmp_path: Path) -> None:
    """Seeded: single bytes of the packed file changed anywhere."""
    data = small_files["functions"].read_bytes()
    r = random.Random(20261125)
    path = tmp_path / "flipped.xlsx"
    refused = 0
    for _ in range(120):
        made = bytearray(data)
        for _ in range(r.choice((1, 1, 3, 30))):
            made[r.randrange(len(made))] ^= 1 << r.randrange(8)
        path.write_bytes(bytes(made))
        try:
            read(path)
        except UserError as error:
            assert "\n" not in str(error)
            refused += 1
    assert refused > 60  # the checksum of each part sees to it


def test_a_sheet_of_a_million_rows(tmp_path: Path) -> None:
    """One column is read and audited; more cells than the limit are refused in a sentence."""
    numbers = (*range(1, 200_000), LAST_ROW)
    rows = "".join(f'<row r="{i}"><c r="A{i}"><v>{i}</v></c></row>' for i in numbers)
    path = tmp_path / "long.xlsx"
    path.write_bytes(packed(parts(rows)))
    case = audit(path)
    assert len(case.book.values) == len(numbers)
    wide = "".join(
        f'<row r="{i}"><c r="A{i}"><v>1</v></c><c r="B{i}"><v>2</v></c></row>' for i in range(1, LAST_ROW + 1)
    )
    path.write_bytes(packed(parts(wide)))
    with pytest.raises(UserError, match="more than 2,000,000 filled cells"):
        audit(path)


def test_nothing_is_fetched(small_files: dict[str, Path], tmp_path: Path) -> None:
    """A server that counts its callers: links, images, WEBSERVICE and entities all point at it."""
    server = socket.socket()
    server.bind(("127.0.0.1", 0))
    server.listen()
    server.settimeout(0.2)
    port = server.getsockname()[1]
    calls: list[object] = []
    done = threading.Event()

    def listen() -> None:
        while not done.is_set():
            try:
                calls.append(server.accept())
            except (TimeoutError, OSError):
                continue

    thread = threading.Thread(target=listen)
    thread.start()
    url = f"http://127.0.0.1:{port}/x"
    links = (
        f'<Relationship Id="rId50" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLink" Target="{url}" '
        f'TargetMode="External"/><Relationship Id="rId51" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/image" '
        f'Target="{url}" TargetMode="External"/></Relationships>'
    )
    made = parts(
        f'<row r="1">{cell("A1", f"WEBSERVICE({chr(34)}{url}{chr(34)})", "x")}{cell("B1", f"HYPERLINK({chr(34)}{url}{chr(34)})", url)}</row>'
    )
    made["xl/_rels/workbook.xml.rels"] = str(made["xl/_rels/workbook.xml.rels"]).replace("</Relationships>", links)
    path = tmp_path / "calls.xlsx"
    path.write_bytes(packed(made))
    try:
        case = audit(path)
    finally:
        done.set()
        thread.join()
        server.close()
    assert calls == []
    assert any(f.rule == "external" for f in case.findings)
    assert any("reaches outside" in f.evidence for f in case.findings)


def test_an_open_workbook_is_said_to_be_open(small_files: dict[str, Path], tmp_path: Path) -> None:
    path = tmp_path / "farm.xlsx"
    path.write_bytes(small_files["functions"].read_bytes())
    (tmp_path / "~$farm.xlsx").write_bytes(b"\x05Agent")
    assert any("open in a spreadsheet program" in note for note in read(path).notes)


def test_code_in_a_folder_is_not_imported(small_files: dict[str, Path], tmp_path: Path) -> None:
    """The engine's process takes its modules from where the audit has its own, not from the current folder."""
    trap = tmp_path / "trap.txt"
    for name in ("numpy.py", "formualizer.py", "hayfuncs.py", "pickle.py"):
        (tmp_path / name).write_text(f"open({str(trap)!r}, 'w').write('caught')\n", encoding="utf-8")
    code = (
        f"import sys; sys.path[:] = {sys.path!r}; from pathlib import Path; from hayfuncs.audit.run import audit; "
        f"print(audit(Path({str(small_files['functions'])!r})).recomputed.done)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, timeout=120, check=False
    )
    assert int(done.stdout) > 1000, done.stderr
    assert not trap.exists()


def test_an_xlsm_is_read_and_its_macros_are_told(small_files: dict[str, Path], tmp_path: Path) -> None:
    file = File(small_files["functions"].read_bytes())
    file.parts["xl/vbaProject.bin"] = OLE + b"x"
    link = (
        '<Relationship Id="rId901" Type="http://schemas.microsoft.com/office/2006/relationships/vbaProject" '
        'Target="vbaProject.bin"/></Relationships>'
    )
    file.sub("xl/_rels/workbook.xml.rels", "</Relationships>", link)
    path = tmp_path / "farm.xlsm"
    path.write_bytes(file.bytes())
    found = [f for f in audit(path).findings if f.rule == "macro"]
    assert found
    assert "not run" in found[0].evidence
