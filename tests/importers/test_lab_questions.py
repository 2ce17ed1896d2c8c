"""What a laboratory's file leaves open is asked for, and the option named in the question settles it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.lab import Options, import_lab
from hayfuncs.importers.labreport import report
from hayfuncs.importers.model import DRY


def refusal(path: Path, **options: object) -> str:
    with pytest.raises(UserError) as caught:
        import_lab([path], Options(**options))  # type: ignore[arg-type]  # options by name
    return str(caught.value)


def test_two_columns_under_one_heading_are_never_chosen_between(put) -> None:
    path = put("Sample,Forage,DM %,CP %DM,CP %DM,ADF %DM,NDF %DM\nA,grass,90,10,11,40,60\n", "LAB.csv")
    assert "give one of them another heading in the file" in refusal(path)


@pytest.mark.parametrize(
    ("ca", "unit"),
    [("0.45", "% (not stated; from the numbers)"), ("4.5", None)],
)
def test_a_unit_that_is_not_stated_is_asked_for_unless_plain(put, ca: str, unit: str | None) -> None:
    path = put(f"Sample,Forage,DM,CP dry,ADF dry,NDF dry,Ca dry\nA,grass,90,10,40,60,{ca}\n", "LAB.csv")
    if unit:
        assert unit in report(import_lab([path], Options()))
    else:
        assert 'heading "Ca dry": its unit is not stated and not certain' in refusal(path)
        assert import_lab([path], Options(columns=("Ca dry=ca_pct, g/kg",))).lots[0].ca_pct == 0.45


@pytest.mark.parametrize(
    ("text", "options", "asked"),
    [
        ("Sample,Forage,DM %,CP %,ADF %,NDF %\nA,grass,90,10,40,60\n", {"basis": DRY}, "add --basis dry or --basis as-fed"),
        ("Sample,DM %,CP %DM,ADF %DM,NDF %DM\nA,90,10,40,60\n", {"fill": ("forage=grass",)}, "add --fill forage=grass"),
        ("Sample,Kind,DM %,CP %DM,ADF %DM,NDF %DM\nA,Hay,90,10,40,60\n", {"columns": ("Kind=forage",), "fill": ("forage=grass",)}, ""),
        ("Sample,Forage,CP %DM,ADF %DM,NDF %DM\nA,grass,10,40,60\n", {"fill": ("dm_pct=90",)}, "or give it for all: --fill dm_pct"),
        ("Sample,Forage,Raw,DM %,ADF %DM,NDF %DM\nA,grass,10,90,40,60\n", {"columns": ("Raw=cp_pct, %, dry",)}, "Their heading=cp_pct"),
        ("Sample,Forage,DM %,CP %DM,Protein %DM,ADF %DM,NDF %DM\nA,grass,90,10,10,40,60\n", {"columns": ("CP %DM=skip",)}, "choose"),
        ("Sample,Forage,Date sampled,DM %,CP %DM,ADF %DM,NDF %DM\nA,grass,4/3/2024,90,10,40,60\n", {"dates": "mdy"}, "--dates dmy"),
        ('Sample,Forage,Nitrate-N ppm,DM %,CP %DM,ADF %DM,NDF %DM\nA,grass,"1,234",90,10,40,60\n',
         {"decimal": "point", "columns": ("Nitrate-N ppm=nitrate_n_ppm, ppm, dry",)}, "--decimal point or --decimal comma"),
    ],
)  # fmt: skip
def test_what_is_not_certain_is_asked_for_and_the_option_settles_it(put, text: str, options: dict, asked: str) -> None:
    path = put(text, "LAB.csv")
    assert asked in refusal(path)
    got = import_lab([path], Options(**options)).lots[0]
    assert (got.name, got.forage, got.dm_pct, got.cp_pct) == ("A", "grass", 90, 10)


def test_dates_follow_the_order_given(put) -> None:
    path = put("Sample,Forage,Date sampled,DM %,CP %DM,ADF %DM,NDF %DM\nA,grass,4/3/2024,90,10,40,60\n", "LAB.csv")
    assert import_lab([path], Options(dates="mdy")).lots[0].sample_date == dt.date(2024, 4, 3)
    assert import_lab([path], Options(dates="dmy")).lots[0].sample_date == dt.date(2024, 3, 4)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"columns": ("nonsense",)}, "write it like"),
        ({"columns": ("CP=xyz",)}, '"xyz" is not known; allowed: name, field'),
        ({"columns": ("CP=cp_pct, furlongs",)}, '"furlongs" is no unit and no basis'),
        ({"columns": ("Nowhere=cp_pct",)}, 'no file has the heading "Nowhere"'),
        ({"fill": ("cp_pct=10",)}, "write field=value, field one of: field, cutting, forage, dm_pct"),
        ({"fill": ("cutting=40",)}, "allowed: 1 to 12"),
        ({"fill": ("harvest_date=4/3/2024",)}, "write the date like 2024-07-15"),
        ({"dates": "ymd"}, "allowed: dmy, mdy"),
        ({"decimal": "dot"}, "allowed: point, comma"),
        ({"sheet": "One"}, "is a text file and has no sheets"),
    ],
)
def test_options_that_cannot_be_understood(files: Path, options: dict, words: str) -> None:
    assert words in refusal(files / "dry-sheet.csv", **options)
