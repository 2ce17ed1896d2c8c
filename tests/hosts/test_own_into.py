"""The functions in a workbook of the user's own: nothing else moves by a byte, and all of it can be taken back."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import formulon
import openpyxl
import pytest
from hosts import caselib, ownlib
from hosts.ownlib import PARTS, differing, part, plain, repacked, streamed
from hosts.routes import excel_value, same

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.errors import HayError
from hayfuncs.contract.files import UserError
from hayfuncs.formulas.lambdas import FORMULA_LIMIT, all_with_lambda, needs
from hayfuncs.hosts import engine
from hayfuncs.hosts.own_workbook import help_sheet
from hayfuncs.hosts.own_workbook.into import added, put_into, removed, take_out
from hayfuncs.hosts.own_workbook.names import chosen, constant, defined

HERE = Path("OWN.xlsx")
MAIN = PARTS[0]


def spelled(data: bytes, old: bytes, new: bytes) -> bytes:
    content = part(data, MAIN)
    assert old in content
    return repacked(data, {MAIN: content.replace(old, new, 1)})


def prefixed(data: bytes) -> bytes:
    """The workbook part as the Open XML SDK may write it: a prefix on every element, the relationships' one on the sheet."""
    text = part(data, MAIN).decode()
    text = re.sub(r"<(/?)(\w)", r"<\1x:\2", text).replace("<x:?xml", "<?xml").replace("xmlns=", "xmlns:x=")
    return repacked(data, {MAIN: text.encode()})


def utf16(data: bytes) -> bytes:
    text = part(data, MAIN).decode().replace('encoding="UTF-8"', 'encoding="UTF-16"')
    return repacked(data, {MAIN: text.encode("utf-16")})


def with_folders(data: bytes) -> bytes:
    """Folders have entries of their own, the first of all."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        folder = zipfile.ZipInfo("xl/")
        folder.external_attr = 0x10
        new.writestr(folder, b"")
        for name in old.namelist():
            new.writestr(name, old.read(name))
    return out.getvalue()


FORMS = {
    "as XlsxWriter writes it": plain(),
    "with names of its own": plain({"adf": "='My hay'!$A$1", "Herd!local": "=Herd!$A$1"}),
    "stored, not packed": repacked(plain(), how=zipfile.ZIP_STORED),
    "packed by another program": repacked(plain(), level=1),
    "sizes behind the data": streamed(plain()),
    "folders with entries": with_folders(plain()),
    "empty list of names": spelled(plain(), b"<calcPr", b"<definedNames/><calcPr"),
    "prefixed elements": prefixed(plain()),
    "UTF-16": utf16(plain()),
    "a comment of the archive": b"",
}
with io.BytesIO(plain()) as _file:
    with zipfile.ZipFile(_file, "a") as _box:
        _box.comment = b"kept by a zip program"
    FORMS["a comment of the archive"] = _file.getvalue()
each_form = pytest.mark.parametrize("before", FORMS.values(), ids=FORMS.keys())


@each_form
def test_only_the_workbook_part_changes(before: bytes) -> None:
    done = added(HERE, before, [], False)
    assert differing(before, done.data) == {MAIN}
    assert len(done.records) == len(all_with_lambda())
    names = openpyxl.load_workbook(io.BytesIO(done.data)).defined_names
    assert {r.sheet_name for r in all_with_lambda()} <= set(names)


@each_form
def test_a_help_sheet_changes_what_it_must(before: bytes) -> None:
    done = added(HERE, before, [], True)
    changed = differing(before, done.data)
    new = changed - set(PARTS)
    assert changed & set(PARTS) == set(PARTS)
    assert len(new) == 1
    sheet = openpyxl.load_workbook(io.BytesIO(done.data))[help_sheet.NAME]
    shown = [row[0] for row in sheet.iter_rows(min_row=help_sheet.HEAD_ROW + 1, values_only=True)]
    with zipfile.ZipFile(io.BytesIO(done.data)) as box:
        assert not any(box.getinfo(name).is_dir() or box.getinfo(name).external_attr & 0x10 for name in new)
    assert shown == [f"{r.sheet_name}({', '.join(r.args)})" for r in all_with_lambda()]


@each_form
@pytest.mark.parametrize("with_help", [False, True])
def test_taking_out_gives_the_file_back(before: bytes, with_help: bool) -> None:
    once = added(HERE, before, [], with_help)
    back = removed(HERE, once.data)
    assert back.data == before
    assert back.exact


@each_form
def test_a_second_run_changes_nothing(before: bytes) -> None:
    once = added(HERE, before, [], True).data
    again = added(HERE, once, [], False)
    assert again.data == once
    assert again.updated
    assert removed(HERE, again.data).data == before


def test_some_functions_then_more() -> None:
    before = plain()
    first = added(HERE, before, ["tdn_from_adf"], False)
    assert [r.name for r in first.records] == ["TDN_FROM_ADF"]
    more = added(HERE, first.data, ["HAY.STORAGE_LOSS"], False)
    assert {r.name for r in more.records} == {"TDN_FROM_ADF", "STORAGE_LOSS"}
    assert removed(HERE, more.data).data == before


def test_names_bring_what_they_call() -> None:
    """Every name that a stored text mentions is stored too."""
    for record in all_with_lambda():
        names = list(defined(chosen([record.name])))
        own = {n.name for n in names}
        for one in names:
            assert set(re.findall(r"\bHAY(?:_TABLE)?\.[A-Z_.0-9]+", one.text)) <= own


def test_every_text_fits_in_excel() -> None:
    for one in defined(all_with_lambda()):
        assert len(one.text) <= FORMULA_LIMIT
        assert len(one.comment) <= 255
        assert max((len(t) for t in re.findall(r'"((?:[^"]|"")*)"', one.text)), default=0) <= 255
        assert len(one.name) <= 255


def test_a_blank_of_a_table_is_no_number() -> None:
    assert constant([1.0, None, 2.5]) == "{1;#N/A;2.5}"
    assert constant(["a", None, 'b"c']) == '{"a";"";"b""c"}'


def test_other_names_keep_their_order_and_text() -> None:
    before = plain({"adf": "='My hay'!$A$1", "herd_size": "=Herd!$A$1"})
    after = added(HERE, before, [], False).data
    own = re.findall(rb"<definedName name=\"(?:adf|herd_size)\"[^>]*>[^<]*</definedName>", part(after, MAIN))
    assert b"".join(own) in part(before, MAIN)


@pytest.mark.parametrize("name", ["HAY.TDN_FROM_ADF", "hay.tdn_from_adf", "Herd!HAY.DRY_WEIGHT"])
def test_a_taken_name_is_refused_by_name(name: str) -> None:
    data = plain({name: "=Herd!$A$1"})
    with pytest.raises(UserError, match=rf"names of its own that these functions need: {name.rpartition('!')[2]}"):
        added(HERE, data, [], False)
    assert added(HERE, data, ["SHRUNK_WEIGHT"], False).names == 1  # what does not need it goes in


def test_an_edition_with_the_functions_needs_nothing() -> None:
    data = plain({"HAY.DRY_WEIGHT": "=_xlfn.LAMBDA(_xlpm.a,_xlpm.a*2)"})
    with pytest.raises(
        UserError, match=r"carries functions of these names already.*HAY\.DRY_WEIGHT; there is nothing to put in"
    ):
        added(HERE, data, [], False)


def test_a_table_of_the_same_name_is_refused() -> None:
    data = plain()
    table = part(data, "xl/tables/table1.xml").replace(b'displayName="Table1"', b'displayName="HAY.DRY_WEIGHT"')
    with pytest.raises(UserError, match=r"HAY.DRY_WEIGHT \(a table\)"):
        added(HERE, repacked(data, {"xl/tables/table1.xml": table}), [], False)


def test_a_file_that_another_program_saved_since() -> None:
    """The names go by their mark; what is left is the other program's file."""
    once = added(HERE, plain({"adf": "='My hay'!$A$1"}), [], True).data
    stream = io.BytesIO()
    openpyxl.load_workbook(io.BytesIO(once)).save(stream)
    back = removed(HERE, stream.getvalue())
    assert not back.exact
    assert back.help_stays
    assert differing(stream.getvalue(), back.data) == {MAIN}
    assert set(openpyxl.load_workbook(io.BytesIO(back.data)).defined_names) == {"adf"}
    again = added(HERE, stream.getvalue(), [], True)
    assert again.help_stays
    assert again.updated
    assert "HAY.TDN_FROM_ADF" in openpyxl.load_workbook(io.BytesIO(again.data)).defined_names


def test_a_changed_cell_is_not_undone() -> None:
    """What was kept is about the file as it was then: with another sheet in it, only the names go."""
    once = added(HERE, plain(), [], False).data
    sheet = "xl/worksheets/sheet1.xml"
    typed = repacked(once, {sheet: part(once, sheet).replace(b"<v>30.5</v>", b"<v>31.5</v>")})
    back = removed(HERE, typed)
    assert not back.exact
    assert b"<v>31.5</v>" in part(back.data, sheet)
    assert b"HAY" not in part(back.data, MAIN)
    assert b"hayfuncs" not in part(back.data, MAIN)


def test_nothing_to_take_out() -> None:
    with pytest.raises(UserError, match="holds no function that hayfuncs put into it; there is nothing to remove"):
        removed(HERE, plain())


@pytest.mark.parametrize("name", ["CHEAPEST_MIX", "NOTES"])
def test_a_function_without_a_lambda_is_refused(name: str) -> None:
    with pytest.raises(UserError, match=f"--only names {name}, which has no LAMBDA"):
        added(HERE, plain(), [name], False)


def test_an_unknown_function_is_refused() -> None:
    with pytest.raises(HayError, match="did you mean TDN_FROM_ADF"):
        added(HERE, plain(), ["TDN_FORM_ADF"], False)


def test_a_help_sheet_of_ones_own() -> None:
    with pytest.raises(UserError, match="has a sheet HAY help of its own; rename it"):
        added(HERE, plain(sheets=("hay HELP",)), [], True)


def test_a_locked_structure_takes_no_sheet() -> None:
    locked = spelled(plain(), b"<bookViews", b'<workbookProtection lockStructure="1"/><bookViews')
    with pytest.raises(UserError, match="protected against new sheets"):
        added(HERE, locked, [], True)
    assert differing(locked, added(HERE, locked, [], False).data) == {MAIN}


def test_a_signed_workbook_is_refused() -> None:
    signed = repacked(plain(), {"_xmlsignatures/origin.sigs": b""})
    with pytest.raises(UserError, match="carries a digital signature"):
        added(HERE, signed, [], False)


HOSTILE = {
    "entities": (
        spelled(plain(), b"<workbook", b'<!DOCTYPE a [<!ENTITY b "c">]><workbook'),
        "declares a document type",
    ),
    "no sheets": (spelled(spelled(plain(), b"<sheets>", b"<!--"), b"</sheets>", b"-->"), "has no sheets"),
    "cut short": (plain()[:-40], "cut short or damaged"),
    "a page of text": (b"hello", "is no .xlsx workbook"),
    "bytes between list and end": (plain()[:-22] + b"x" * 9 + plain()[-22:], "byte for byte|cut short or damaged"),
    "not XML": (spelled(plain(), b"<sheets>", b"<sheets"), "is damaged"),
}


@pytest.mark.parametrize(("data", "words"), HOSTILE.values(), ids=HOSTILE.keys())
def test_odd_packages_are_refused_in_words(data: bytes, words: str, tmp_path: Path) -> None:
    own = ownlib.save(tmp_path, data)
    with pytest.raises(UserError, match=words):
        put_into(own, tmp_path / "NEW.xlsx")
    assert [p.name for p in tmp_path.iterdir()] == ["OWN.xlsx"]


def test_files_are_written_whole_or_not_at_all(tmp_path: Path) -> None:
    before = plain()  # made anew it has another second in it
    own, new = ownlib.save(tmp_path, before), tmp_path / "NEW.xlsx"
    put_into(own, new)
    with pytest.raises(UserError, match="exists and is left as it is; add --force"):
        put_into(own, new)
    with pytest.raises(UserError, match=r"OWN\.xlsx exists"):
        put_into(own, own)
    put_into(own, own, force=True)
    assert own.read_bytes() == new.read_bytes()
    take_out(own, own, force=True)
    assert own.read_bytes() == before


@pytest.mark.parametrize(
    ("own", "out", "words"),
    [
        ("OWN.xlsx", "NEW.xlsm", "name it NEW.xlsx"),
        ("OWN.xls", "NEW.xls", "does not end in .xlsx or .xlsm"),
        ("OWN.xlsx", "NEW", "--out is .*NEW, which does not end"),
        ("MISSING.xlsx", "NEW.xlsx", "does not exist"),
    ],
)
def test_names_of_files(own: str, out: str, words: str, tmp_path: Path) -> None:
    ownlib.save(tmp_path, plain())
    with pytest.raises(UserError, match=words):
        put_into(tmp_path / own, tmp_path / out)


def test_an_engine_that_follows_excel_works_the_calls_out() -> None:
    """formulon runs the LAMBDA names that the file now carries; the equation is the printed one."""
    before = plain()
    with formulon.Workbook.load(before) as book:
        book.recalc()
        assert book.get_value(0, 1, 0).kind == formulon.ValueKind.ERROR
    with formulon.Workbook.load(added(HERE, before, [], False).data) as book:
        book.recalc()
        assert book.get_value(0, 1, 0).to_python() == pytest.approx(ownlib.TDN, abs=1e-9)
        assert book.get_value(0, 2, 0).to_python() == pytest.approx(2 * ownlib.TDN, abs=1e-9)


def test_the_embedded_engine_works_the_calls_out() -> None:
    book = engine.load(added(HERE, plain(), [], False).data)
    book.evaluate_all()
    assert engine.values(book, "My hay", 2, 1)[1][0] == pytest.approx(ownlib.TDN, abs=1e-9)


def test_tables_that_are_written_out_give_what_python_gives() -> None:
    """Every case of the table of cases whose function looks a table up, by the names alone."""
    looking_up = {record.name for record in all_with_lambda() if needs(record)}
    wanted = [
        case
        for case in caselib.read()
        if case.function in looking_up
        and len(case.arguments) == len(case.record.args)
        and not isinstance(case.reference, list)
        and all(isinstance(a, (str, int, float)) for a in case.arguments)
    ]
    assert {case.function for case in wanted} == looking_up
    with formulon.Workbook.load(added(HERE, plain(), [], False).data) as book:
        for row, case in enumerate(wanted, 10):
            given = ",".join(literal(a) for a in case.arguments)
            book.set_formula(0, row, 0, f"={case.record.sheet_name}({given})")
        book.recalc()
        for row, case in enumerate(wanted, 10):
            found = excel_value(book.get_value(0, row, 0))
            assert same(found, case.reference), (case.function, case.arguments, found, case.reference)


def literal(value: object) -> str:
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    return '"' + value.replace('"', '""') + '"' if isinstance(value, str) else repr(value)


def test_what_a_record_says_goes_along() -> None:
    comment = next(d.comment for d in defined([CATALOGUE["DRY_WEIGHT"]]))
    assert comment.startswith(f"hayfuncs {hayfuncs.__version__}: {CATALOGUE['DRY_WEIGHT'].summary}")
    assert comment.endswith("Arguments: as_fed_weight, dm_pct (% as fed).")
