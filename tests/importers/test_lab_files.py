"""Laboratory files to lots: mapping, units, bases, scans.  Expected numbers are worked by hand beside them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import openpyxl
import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.lab import Imported, Options, import_lab
from hayfuncs.importers.labreport import report
from hayfuncs.importers.lots import read_lots, write_lots
from hayfuncs.importers.model import DRY, Lot


def refusal(path: Path, register: Path | None = None, **options: object) -> str:
    with pytest.raises(UserError) as caught:
        import_lab([path], Options(**options), register)  # type: ignore[arg-type]  # options by name
    return str(caught.value)


def lot(done: Imported, name: str) -> Lot:
    return next(x for x in done.lots if x.name == name)


def test_a_plain_dry_basis_sheet_with_a_letterhead(files: Path) -> None:
    done = import_lab([files / "dry-sheet.csv"], Options(columns=("Nitrate (ppm)=nitrate_n_ppm, dry",)))
    assert [x.name for x in done.lots] == ["Home 1", "Home 2", "=River+1"]
    first = done.lots[0]
    assert (first.dm_pct, first.cp_pct, first.adf_pct, first.ndf_pct) == (88.4, 9.8, 38.1, 61.9)
    assert (first.forage, first.nitrate_n_ppm, first.sample_date) == ("grass", 410, dt.date(2024, 9, 14))
    assert lot(done, "=River+1").notes == "@ bale 12: dusty"
    text = report(done)
    assert "headings in row 4, 3 rows below" in text
    assert (first.lab_tdn_pct, first.lab_tdn_equation) == (57.8, None)
    assert "Changed" in text
    assert " / " not in text.split("Lots, all")[0].split("Changed")[1]  # nothing was converted


def test_semicolons_decimal_commas_and_grams_per_kilogram(files: Path) -> None:
    done = import_lab(
        [files / "semicolon.csv"], Options(columns=("Tørstof=dm_pct", "Art=forage", "Høstdato=harvest_date"))
    )
    # 884.5 g/kg / 10 = 88.45 %; 96.2 / 10 = 9.62; 371.0 / 10 = 37.1; 602.5 / 10 = 60.25; Ca 4.21 / 10 = 0.421; P 2.35 / 10 = 0.235
    assert lot(done, "Engdrag østre") == Lot(
        "Engdrag østre", "", None, "grass", DRY, 88.45, 9.62, 37.1, 60.25, ca_pct=0.421, p_pct=0.235,
        harvest_date=dt.date(2024, 7, 14),
    )  # fmt: skip
    assert [x.forage for x in done.lots] == ["grass", "mixed", "grass"]
    text = report(done)
    assert "Windows-1252 text, separated by semicolons, decimal comma; headings in row 1" in text
    assert "g/kg to %, / 10 (row 3: 96.2 gives 9.62)" in text
    assert '"Prøve"' in text


def test_scans_as_received_nitrogen_and_moisture(files: Path) -> None:
    done = import_lab([files / "scans.csv"], Options(skip_bad=True))
    # S 1: DM 100 - 10 = 90, 88, 89: mean 89.  CP = N x 6.25 / DM: 1.44 x 6.25 = 9.00 / 0.90 = 10.0000;
    # 1.32 x 6.25 = 8.25 / 0.88 = 9.3750; 1.38 x 6.25 = 8.625 / 0.89 = 9.6910; mean 29.0660 / 3 = 9.6887 -> 9.689
    # ADF 34.20 / 0.90 = 38.0000; 34.32 / 0.88 = 39.0000; 34.71 / 0.89 = 39.0000; mean 38.6667 -> 38.667
    # NDF 55.80 / 0.90 = 62.0000; 56.32 / 0.88 = 64.0000; 55.18 / 0.89 = 62.0000; mean 62.6667 -> 62.667
    # K 1.62 / 0.90 = 1.8000; 1.50 / 0.88 = 1.70455; the third is below 0 and left blank: mean 1.75227 -> 1.752
    first = lot(done, "S 1")
    assert (first.dm_pct, first.cp_pct, first.adf_pct, first.ndf_pct, first.k_pct) == (
        89.0,
        9.689,
        38.667,
        62.667,
        1.752,
    )
    assert done.spreads["S 1"].scans == 3
    assert done.spreads["S 1"].ends["ndf_pct"] == pytest.approx((3, 62, 64))
    assert done.spreads["S 1"].ends["k_pct"][0] == 2
    assert "Outlier: global distance above limit" in first.notes
    assert 'left blank (row 4): Potassium AR % "-0.19"' in first.notes
    assert "mean of 3 scans (Dry matter 88.00 to 90.00, Crude protein 9.38 to 10.00" in first.notes
    assert done.files[0].passed_over == [(7, "Average")]  # the row of averages
    assert len(done.left_out) == 1
    assert 'row 6, sample "S 2", column "Moisture %": "-0.14"' in done.left_out[0]
    assert "this is 100.1 % as fed" in done.left_out[0]
    assert lot(done, "S 2").notes == ""  # one scan is left, so nothing was averaged


def test_an_impossible_main_value_is_refused_by_name(files: Path) -> None:
    text = refusal(files / "scans.csv")
    assert "1 of 5 rows cannot be used; mend them, or add --skip-bad to leave them out" in text
    assert 'row 6, sample "S 2", column "Moisture %": "-0.14"' in text


def test_as_received_is_divided_by_dry_matter_never_multiplied(put) -> None:
    """The well-known slip: 9 % as received at 90 % dry matter is 10 % of the dry matter, not 8.1 %."""
    path = put(
        "Sample,Forage,DM %,CP as received %,ADF as received %,NDF as received %\nA,grass,90,9,36,54\n", "LAB.csv"
    )
    done = import_lab([path], Options())
    assert (done.lots[0].cp_pct, done.lots[0].adf_pct, done.lots[0].ndf_pct) == (10.0, 40.0, 60.0)
    assert done.lots[0].basis == DRY
    assert "as fed to dry, / dry matter (row 2: 9 at DM 90 % gives 10)" in report(done)


def test_a_basis_column_decides_row_by_row(put) -> None:
    path = put(
        "Sample,Forage,Reporting basis,DM %,CP %,ADF %,NDF %\nA,grass,As Fed,90,9,36,54\nB,grass,Dry,90,10,40,60\n",
        "LAB.csv",
    )
    a, b = import_lab([path], Options(accept=("same",))).lots
    assert (a.cp_pct, a.adf_pct, a.ndf_pct) == (b.cp_pct, b.adf_pct, b.ndf_pct) == (10.0, 40.0, 60.0)


def test_where_both_bases_are_given_the_dry_one_is_used(put) -> None:
    path = put("Sample,Forage,DM %,CP AR %,CP DM %,ADF DM %,NDF DM %\nA,grass,90,9,10,40,60\n", "LAB.csv")
    done = import_lab([path], Options())
    assert done.lots[0].cp_pct == 10
    assert ("CP AR %", "another column gives crude protein (%)") in done.files[0].plan.unused


def test_a_line_of_units_under_the_headings(put) -> None:
    path = put("Sample;Forage;DM;CP;ADF;NDF\n;;g/kg;g/kg DM;% DM;% as received\nA;grass;900;100;40;54\n", "LAB.csv")
    done = import_lab([path], Options()).lots[0]
    assert (done.dm_pct, done.cp_pct, done.adf_pct, done.ndf_pct) == (90, 10, 40, 60)


def test_samples_side_by_side_with_the_analyses_down_the_page(put) -> None:
    text = (
        "Invented laboratory;;;\nSample;;North;South\nForage;;grass;legume\nMoisture;%;12,0;10,5\n"
        "Crude protein;% as received;8,8;17,9\nADF;g/kg DM;390;320\nNDF;% DM;62,5;41\n"
    )
    done = import_lab([put(text, "LAB.csv")], Options())
    # 8.8 / 0.88 = 10.0; 17.9 / 0.895 = 20.0
    assert [(x.name, x.dm_pct, x.cp_pct, x.adf_pct, x.ndf_pct) for x in done.lots] == [
        ("North", 88, 10, 39, 62.5),
        ("South", 89.5, 20, 32, 41),
    ]
    assert "its samples stand side by side: row 3 here is the file's column 3 (C)" in report(done)
    wrong = refusal(put(text.replace("41", "141"), "LAB.csv"))
    assert "row 3 here is the file's column 3 (C)" in wrong
    assert 'row 4, sample "South", column "NDF": "141"' in wrong


def test_parts_per_million_of_a_mineral(put) -> None:
    path = put("Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM,S mg/kg DM\nA,grass,90,10,40,60,1850\n", "LAB.csv")
    assert import_lab([path], Options()).lots[0].s_pct == 0.185  # 1850 / 10,000


def test_scans_further_apart_than_one_laboratory_are_pointed_out(put) -> None:
    """A commercial laboratory's own error (Hay & Forage Grower): 1 protein, 1 ADF, 1.4 NDF."""
    head = "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM\n"
    near = import_lab([put(head + "A,grass,90,10,40,60\nA,grass,90,11,41,61.4\n", "LAB.csv")], Options())
    assert near.spreads["A"].far == ()
    far = import_lab([put(head + "A,grass,90,10,40,60\nA,grass,90,11.1,41.1,61.5\n", "LAB.csv")], Options())
    assert far.spreads["A"].far == ("cp_pct", "adf_pct", "ndf_pct")
    assert "further apart than one lab's usual error in Crude protein, ADF, NDF" in far.lots[0].notes


@pytest.mark.parametrize(
    ("head", "value", "ppm"),
    [
        ("NO3-N (ppm DM)", "1200", 1200),
        ("NO3 (% DM)", "0.886", 2000),
        ("KNO3, mg/kg dry", "14436", 2000),
        ("Nitrate-N, % dry", "0.12", 1200),
    ],
)
def test_nitrate_in_its_three_forms(put, head: str, value: str, ppm: float) -> None:
    """8,860 ppm NO3 / 4.43 = 2,000 (University of Nebraska 2016); 14,436 ppm KNO3 / 7.218 = 2,000; 1 % = 10,000 ppm."""
    path = put(f'Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM,"{head}"\nA,grass,90,10,40,60,{value}\n', "LAB.csv")
    assert import_lab([path], Options()).lots[0].nitrate_n_ppm == pytest.approx(ppm)


def test_values_seldom_seen_are_pointed_out(put) -> None:
    path = put("Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM,Ash %DM,Fat %DM\nA,grass,70,30,40,60,8,3\n", "LAB.csv")
    text = report(import_lab([path], Options()))
    assert "Look again at these lab values: 1\n  A: " in text  # 30 + 60 + 8 + 3 = 101 % of the dry matter


def test_two_lots_under_one_sample_name_are_not_averaged(put) -> None:
    path = put(
        "Sample,Forage,Cut,DM %,CP %DM,ADF %DM,NDF %DM\nA,grass,1,90,10,40,60\nA,grass,2,90,12,40,60\n", "LAB.csv"
    )
    assert 'rows 2, 3 are all sample "A" but differ in Cutting (1, 2); give two lots two names' in refusal(path)


def test_adf_above_ndf_is_refused(put) -> None:
    path = put("Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM\nA,grass,90,10,62,60\nB,grass,90,10,40,60\n", "LAB.csv")
    assert 'row 2, sample "A": ADF 62 is above NDF 60 % DM' in refusal(path)
    assert [x.name for x in import_lab([path], Options(skip_bad=True)).lots] == ["B"]


def test_below_a_limit_of_detection_is_left_blank_and_said(put) -> None:
    path = put("Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM,S %DM\nA,grass,90,10,40,60,<0.05\n", "LAB.csv")
    done = import_lab([path], Options())
    assert done.lots[0].s_pct is None
    assert "only a limit, not a value" in done.left_blank[0]


def test_a_workbook_with_percent_cells(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Cover"
    book.active.append(["Report of results"])
    sheet = book.create_sheet("Results")
    sheet.append(
        ["Sample name", "Product", "Moisture", "Crude protein, dry", "ADF, dry", "NDF, dry", "Ca (g/kg DM)", "Sampled"]
    )
    sheet.append([1042, "Fescue", 0.112, 0.098, 0.381, 0.619, 4.1, dt.datetime(2024, 9, 14)])
    sheet.append(["+2", "Clover", 0.105, 0.171, 0.345, 0.448, 12.9, dt.datetime(2024, 9, 15)])
    for row in (2, 3):
        for place in range(3, 7):
            sheet.cell(row, place).number_format = "0.0%"
    sheet.cell(1, 9, "Mg (% DM)")
    sheet.cell(2, 9, 0.18).number_format = '0.00"%"'  # writes the sign, does not multiply
    sheet.cell(3, 9, 0.29).number_format = "0.00\\%"
    book.save(tmp_path / "LAB.xlsx")
    done = import_lab([tmp_path / "LAB.xlsx"], Options())
    assert done.lots == [
        Lot(
            "1042",
            "",
            None,
            "grass",
            DRY,
            88.8,
            9.8,
            38.1,
            61.9,
            ca_pct=0.41,
            mg_pct=0.18,
            sample_date=dt.date(2024, 9, 14),
        ),
        Lot(
            "+2",
            "",
            None,
            "legume",
            DRY,
            89.5,
            17.1,
            34.5,
            44.8,
            ca_pct=1.29,
            mg_pct=0.29,
            sample_date=dt.date(2024, 9, 15),
        ),
    ]
    assert 'LAB.xlsx: sheet "Results"; headings in row 1' in report(done)
    assert 'has no sheet "Nope"; its sheets are: Cover, Results' in refusal(tmp_path / "LAB.xlsx", sheet="Nope")


def test_lots_written_from_a_lab_file_read_back_the_same(files: Path, tmp_path: Path) -> None:
    for name, options in (
        ("dry-sheet.csv", Options(columns=("Nitrate (ppm)=nitrate_n_ppm, dry",))),
        ("semicolon.csv", Options(columns=("Tørstof=dm_pct", "Art=forage"))),
        ("scans.csv", Options(skip_bad=True)),
    ):
        done = import_lab([files / name], options)
        write_lots(tmp_path / name, done.lots)
        assert read_lots(tmp_path / name) == done.lots


REGISTER = (
    "Lot,Sample,Field,Cutting,Forage,Bales,Price ($/ton)\nHome,S 1,Home field,1,,40,90\nOther,S 9,Far,1,grass,20,80\n"
)


def test_a_register_adds_what_the_lab_does_not_know(files: Path, put) -> None:
    done = import_lab([files / "scans.csv"], Options(skip_bad=True), put(REGISTER, "REGISTER.csv"))
    home = lot(done, "Home")
    assert (home.field, home.cutting, home.bales, home.price_per_ton, home.forage) == (
        "Home field",
        1,
        40,
        90.0,
        "grass",
    )
    assert 'sample "S 2" of scans.csv is not in REGISTER.csv' in done.told
    assert '"Other" is in REGISTER.csv but no file has its sample' in done.told
    assert "Home" in done.spreads


def test_a_register_that_contradicts_the_lab_is_refused(files: Path, put) -> None:
    register = put(REGISTER.replace("1,,40", "1,legume,40"), "REGISTER.csv")
    text = refusal(files / "scans.csv", register, skip_bad=True)
    assert 'sample "S 1" has Forage "grass" here and "legume" in the register' in text


def test_the_same_sample_in_two_files_is_refused(files: Path) -> None:
    with pytest.raises(UserError, match=r'sample "S 1" is also in scans\.csv'):
        import_lab([files / "scans.csv", files / "scans.csv"], Options(skip_bad=True))
