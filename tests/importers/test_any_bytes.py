"""Any file at all gives lots or one plain refusal: random bytes, cut files, giant cells, broken workbooks."""

from __future__ import annotations

import contextlib
import io
import zipfile
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from hayfuncs.contract.files import UserError
from hayfuncs.importers import table as table_module
from hayfuncs.importers.herd import read_herd
from hayfuncs.importers.lab import Options, import_lab
from hayfuncs.importers.lots import read_lots
from hayfuncs.importers.model import CORE, LOT_COLUMNS, STOCK_UNITS, Lot, column_of, limits_of

ONE_FILE = settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
HEAD = "Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%)"
GOOD = f"{HEAD},Notes\nA,grass,dry,88,9,38,62,\nB,mixed,as fed,90,8,33,52,x\n"
SAMPLES = [p.read_bytes() for p in sorted((Path(__file__).parent / "files").glob("*.csv"))] + [GOOD.encode()]


def workbook() -> bytes:
    book = openpyxl.Workbook()
    for line in GOOD.splitlines():
        book.active.append(line.split(","))
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


BOOK = workbook()


def sound(lot: Lot) -> bool:
    """Every lot that comes out is one that the rest may rely on."""
    values = [
        (c, getattr(lot, c.field)) for c in LOT_COLUMNS if c.limits is not None and getattr(lot, c.field) is not None
    ]
    named = 0 < len(lot.name) <= 100 and lot.name.isprintable()
    kept = all(value >= 0 and value <= c.limits.hi for c, value in values) and lot.adf_pct <= lot.ndf_pct
    return named and kept and all(getattr(lot, f) is not None for f in CORE)


def read_any(path: Path) -> None:
    """Each reader once: lots or groups, or a refusal that names the file."""
    everything = Options(
        basis="dry", unit="%", fill=("forage=grass", "dm_pct=88"), dates="dmy", decimal="point", skip_bad=True
    )
    for read in (
        lambda: read_lots(path, "dry"),
        lambda: import_lab([path], Options()).lots,
        lambda: import_lab([path], everything).lots,
    ):
        try:
            lots = read()
        except UserError as error:
            text = str(error)
            assert text
            assert len(text) < 20_000
            assert all(c.isprintable() or c == "\n" for c in text), text
        else:
            assert all(sound(lot) for lot in lots)
    with contextlib.suppress(UserError):
        read_herd(path)


@ONE_FILE
@given(st.binary(max_size=2000))
@example(b"")
@example(b"\x00" * 50)
@example(b"\xff\xfe")
@example(b"\xef\xbb\xbf")
@example(b"PK\x03\x04")
@example(b'Lot,"')
@example(b"sep=;\n")
@example(b"%PDF-1.7")
def test_random_bytes(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "any.csv"
    path.write_bytes(data)
    read_any(path)


CELLS = st.one_of(
    st.text(max_size=30),
    st.sampled_from(["=1+1", "+A1", "-5", "@x", "", "1e308", "-0", "1e-300", "NaN", "inf", "1,5", "1.234,5", "<5", "99999999999999999999",
                     "grass", "dry", "as fed", "88", "9", "38", "62", "2024-02-30", "4/3/2024", "#REF!", "'", '"', "\x1b[31m", "\u202e"]),
    st.floats().map(str),
)  # fmt: skip
WIDE_HEAD = [c.heading for c in LOT_COLUMNS] + ["Moisture %", "Nitrogen % DM", "NO3-N (%)", "x", ""]


@ONE_FILE
@given(
    heads=st.lists(st.sampled_from(WIDE_HEAD), min_size=1, max_size=len(WIDE_HEAD), unique=True),
    rows=st.lists(st.lists(CELLS, max_size=12), max_size=6),
    mark=st.sampled_from(",;\t|"),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-32", "utf-16-le"]),
)
def test_random_tables(tmp_path: Path, heads: list[str], rows: list[list[str]], mark: str, encoding: str) -> None:
    lines = [mark.join(f'"{h}"' for h in heads), *(mark.join(row) for row in rows)]
    path = tmp_path / "any.csv"
    path.write_bytes("\n".join(lines).encode(encoding, errors="ignore"))
    read_any(path)


@ONE_FILE
@given(
    numbers=st.lists(st.floats(-50, 250) | st.sampled_from([0.0, 100.0, 100.14]), min_size=4, max_size=4),
    basis=st.sampled_from(["dry", "as fed"]),
)
@example([5e-324, 0.0, 0.0, 0.0], "as fed")
def test_any_numbers_give_a_sound_lot_or_a_refusal(tmp_path: Path, numbers: list[float], basis: str) -> None:
    path = tmp_path / "any.csv"
    path.write_text(f"{HEAD}\nA,grass,{basis},{','.join(map(repr, numbers))}\n")
    read_any(path)


@ONE_FILE
@given(st.sampled_from(SAMPLES), st.data())
def test_a_file_cut_anywhere_or_with_a_byte_changed(tmp_path: Path, whole: bytes, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(whole) - 1))
    path = tmp_path / "any.csv"
    path.write_bytes(whole[:at])
    read_any(path)
    path.write_bytes(whole[:at] + bytes([data.draw(st.integers(0, 255))]) + whole[at + 1 :])
    read_any(path)


@settings(ONE_FILE, max_examples=60)
@given(st.data())
def test_a_damaged_workbook(tmp_path: Path, data: st.DataObject) -> None:
    at = data.draw(st.integers(4, len(BOOK) - 1))
    path = tmp_path / "any.xlsx"
    path.write_bytes(
        BOOK[:at] if data.draw(st.booleans()) else BOOK[:at] + bytes([data.draw(st.integers(0, 255))]) + BOOK[at + 1 :]
    )
    read_any(path)


def refusal(path: Path) -> str:
    with pytest.raises(UserError) as caught:
        read_lots(path)
    return str(caught.value)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"   \n\n", "is empty"),
        (b"%PDF-1.7 ...", "is a PDF; export the table as .csv or .xlsx"),
        (b"\xd0\xcf\x11\xe0....", "is an old .xls workbook"),
        (GOOD.replace("B", "B\x00").encode(), "holds NUL bytes"),
        (GOOD.replace("B,", "B\x1b[2J,").encode(), 'row 3, cell 1 ("B?[2J") holds the control character number 27'),
        (GOOD.replace(",x", ',"x').encode(), "a quotation mark is opened and never closed"),
        (f'{HEAD}\n"A"B,grass,dry,88,9,38,62\n'.encode(), "row 2 cannot be read: more text follows a closing quotation mark"),
        (f"{HEAD}\n{'A' * 33_000},grass,dry,88,9,38,62\n".encode(), "holds 33,000 characters; at most 32,767"),
        (f"{HEAD}\n{'A' * 101},grass,dry,88,9,38,62\n".encode(), "a name of at most 100 characters"),
        (f"{HEAD}\nA,{'x' * 200_000},dry,88,9,38,62\n".encode(), "cannot be read: a cell is far too long"),
        (("a," * 600 + "\n").encode() + GOOD.encode(), "more than 500 cells"),
        (b"Just some words\nand more words\n", "no row of known headings"),
        ("\ufeff".encode("utf-16-le") + "Lot".encode("utf-16-le") + b"\x00", "UTF-16 text but is cut off"),
        (b"PK\x03\x04broken", "cannot be read as a workbook"),
    ],
)  # fmt: skip
def test_each_kind_of_broken_file_has_its_sentence(put, data: bytes, words: str) -> None:
    assert words in refusal(put(data))


def test_an_archive_that_is_no_workbook_and_one_that_unpacks_to_too_much(put) -> None:
    def archive(content: bytes) -> bytes:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
            file.writestr("xl/worksheets/sheet1.xml", content)
        return out.getvalue()

    assert "cannot be read as a workbook" in refusal(put(archive(b"hello"), "a.xlsx"))
    assert "unpacks to more than 300 MB" in refusal(put(archive(b"\x00" * 300_000_001), "b.xlsx"))


def test_a_file_that_is_too_large_is_not_read(put, monkeypatch: pytest.MonkeyPatch) -> None:
    path = put(GOOD)
    monkeypatch.setattr(table_module, "MAX_BYTES", 100)
    assert "at most 0 MB are read: split it" in refusal(path)


def test_too_many_rows(put) -> None:
    assert "more than 100,000 rows; split it" in refusal(put(f"{HEAD}\n" + "A,grass,dry,88,9,38,62\n" * 100_001))


def test_missing_files_and_folders(tmp_path: Path) -> None:
    assert "cannot be read: No such file" in refusal(tmp_path / "nothing.csv")
    assert "is a folder" in refusal(tmp_path)
    assert "cannot be read" in refusal(Path("a\x00b.csv"))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "utf-32"])
def test_encodings(put, encoding: str) -> None:
    path = put(f"{HEAD}\nPré brûlé 2½,grass,dry,88,9,38,62\n".encode(encoding))
    assert read_lots(path)[0].name == "Pré brûlé 2½"


def test_other_alphabets_are_left_to_the_reader_of_encodings(put) -> None:
    name = "Луг у реки первый укос люцерна и тимофеевка"
    path = put(f"{HEAD}\n{name},grass,dry,88,9,38,62\n{name} два,grass,dry,88,9,38,63\n".encode("cp1251"))
    assert read_lots(path)[0].name == name


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_line_endings_and_spreadsheet_row_numbers(put, ending: str) -> None:
    text = f'{HEAD},Notes\n\nA,grass,dry,88,9,38,62,"two\nlines"\nB,grass,dry,88,9,38,162,\n'.replace("\n", ending)
    assert 'row 4, column "NDF (%)": "162"' in refusal(put(text))
    assert 'row 4, column "NDF (%)": "162"' in refusal(put("sep=," + ending + text))


def test_our_limits_are_limits_of_the_catalogue_too() -> None:
    """What a list may hold, no function refuses for its range."""
    import hayfuncs

    for record in hayfuncs.CATALOGUE.values():
        for name, arg in record.args.items():
            column = next((c for c in LOT_COLUMNS if c.field == name and c.limits is not None), None)
            if column is not None and getattr(arg, "unit", "") == column.unit not in STOCK_UNITS:
                limits = limits_of(column_of(name))
                assert arg.lo <= limits.lo
                assert limits.hi <= arg.hi


def test_a_mark_that_nobody_sees_is_not_part_of_a_name(tmp_path: Path) -> None:
    path = tmp_path / "any.csv"
    path.write_text(f"{HEAD}\nA\u00ad\u200b1,grass,dry,88,9,38,62\n", encoding="utf-8")
    assert read_lots(path)[0].name == "A1"
