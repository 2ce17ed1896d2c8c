"""Sodium, iron, copper, zinc, manganese, molybdenum and selenium of invented lab sheets: headings, units, bounds."""

from __future__ import annotations

import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.lab import Options, import_lab
from hayfuncs.importers.labreport import report
from hayfuncs.importers.lots import read_lots, write_lots
from hayfuncs.importers.model import LEAST_PCT, LOT_COLUMNS, MINERALS, TRACE, column_of, limits_of

HEAD = "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM"
ROW = "A,grass,90,10,40,60"


def lab(put, heads: str, cells: str, **options):
    return import_lab([put(f"{HEAD},{heads}\n{ROW},{cells}\n", "LAB.csv")], Options(**options))


def one(put, head: str, cell: str, **options):
    return lab(put, f'"{head}"', cell, **options).lots[0]


@pytest.mark.parametrize(
    ("head", "cell", "name", "value"),
    [
        ("Sodium (Na), % DM", "0.031", "na_pct", 0.031),
        ("Na ppm DM", "310", "na_pct", 0.031),  # 310 / 10,000
        ("Iron (Fe), ppm DM", "187", "fe_ppm", 187),
        ("Fe mg/kg dry basis", "187", "fe_ppm", 187),
        ("Iron % DM", "0.0187", "fe_ppm", 187),
        ("Copper, ppm (dry matter)", "6.4", "cu_ppm", 6.4),
        ("Cu g/kg DM", "0.0064", "cu_ppm", 6.4),
        ("Zinc ppm 100% DM", "22", "zn_ppm", 22),
        ("Zn (mg/kg DM)", "22", "zn_ppm", 22),
        ("Manganese (ppm DM)", "91", "mn_ppm", 91),
        ("MN ppm DM", "91", "mn_ppm", 91),
        ("Molybdenum, ppm DM", "1.4", "mo_ppm", 1.4),
        ("Mo ppm dry", "1.4", "mo_ppm", 1.4),
        ("Selenium ppb DM", "60", "se_ppm", 0.06),  # 60 / 1,000
        ("Se ppm DM", "0.06", "se_ppm", 0.06),
        ("Potassium K % DM", "1.85", "k_pct", 1.85),
        ("Mg, % DM", "0.19", "mg_pct", 0.19),
        ("Sulphur (S) % DM", "0.17", "s_pct", 0.17),
    ],
)
def test_headings_and_units_of_laboratories(put, head: str, cell: str, name: str, value: float) -> None:
    assert getattr(one(put, head, cell), name) == pytest.approx(value)


def test_as_received_becomes_dry(put) -> None:
    assert one(put, "Copper ppm as fed", "5.4").cu_ppm == 6  # 5.4 / 0.90


@pytest.mark.parametrize(
    ("head", "cell", "name"),
    [
        ("Copper % DM", "6.4", "cu_ppm"),  # 64,000 ppm
        ("Iron % DM", "187", "fe_ppm"),
        ("Selenium % DM", "0.06", "se_ppm"),  # 600 ppm
        ("Copper ppm DM", "0.00064", "cu_ppm"),  # a percent
        ("Zinc ppm DM", "0.0022", "zn_ppm"),
        ("Sodium % DM", "310", "na_pct"),
        ("Sodium ppm DM", "0.03", "na_pct"),
        ("Potassium ppm DM", "1.85", "k_pct"),
        ("Magnesium mg/kg DM", "0.19", "mg_pct"),
        ("Calcium ppm DM", "0.45", "ca_pct"),
    ],
)
def test_percent_taken_for_ppm_or_ppm_for_percent_is_left_blank_and_said(put, head: str, cell: str, name: str) -> None:
    done = lab(put, head, cell)
    assert getattr(done.lots[0], name) is None
    assert len(done.left_blank) == 1
    assert f'"{head}"' in done.left_blank[0]
    assert cell in done.left_blank[0]
    assert "left blank" in done.lots[0].notes


def test_without_a_unit_the_only_one_that_can_be_is_taken(put) -> None:
    """8 of copper as percent is 80,000 ppm, in grams a kilogram 8,000: only ppm can be."""
    done = lab(put, "Cu DM,Fe DM", "8,0.02")
    assert done.lots[0].cu_ppm == 8
    assert done.lots[0].fe_ppm in (None, 200)  # 0.02 may be percent (200 ppm) or g/kg (20 ppm): not certain
    assert done.lots[0].fe_ppm is None
    assert '"Fe DM"' in report(done)
    assert "say it with --column" in report(done)


def test_the_unit_of_the_rest_is_not_theirs(put) -> None:
    """--unit speaks of the columns in percent; copper without a unit stays ppm."""
    done = lab(put, "Cu DM", "8", unit="g/kg")
    assert done.lots[0].cu_ppm == 8


def test_missing_stays_missing(put) -> None:
    done = lab(put, "Copper ppm DM,Zinc ppm DM,Molybdenum ppm DM,Selenium ppm DM", ",n/a,<0.5,0")
    assert [getattr(done.lots[0], f) for f in TRACE] == [None] * 6
    assert len(done.left_blank) == 2  # the limit of detection and the 0; a blank and n/a were not tested


def test_scans_are_averaged(put) -> None:
    path = put(f"{HEAD},Zinc ppm DM\n{ROW},20\n{ROW},24\n", "LAB.csv")
    assert import_lab([path], Options()).lots[0].zn_ppm == 22


def test_there_and_back_through_lots_csv(put, tmp_path) -> None:
    heads = "Na % DM,Fe ppm DM,Cu ppm DM,Zn ppm DM,Mn ppm DM,Mo ppm DM,Se ppm DM"
    lots = lab(put, heads, "0.02,310,5.2,21,85,2.8,0.06").lots
    write_lots(tmp_path / "OUT.csv", lots)
    assert read_lots(tmp_path / "OUT.csv") == lots
    assert "Copper (ppm)" in (tmp_path / "OUT.csv").read_text("utf-8-sig").splitlines()[0]


def test_a_percent_in_lots_csv_is_refused(put) -> None:
    path = put(
        "Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%),Potassium (ppm),Copper (ppm)\n"
        "A,grass,dry,90,10,40,60,,0.0006\nB,grass,dry,90,10,40,60,,6\n"
    )
    with pytest.raises(UserError, match=r"0\.0006.*was percent meant"):
        read_lots(path)


def test_every_mineral_has_a_bound_below_any_hay() -> None:
    assert all(c.field in MINERALS for c in LOT_COLUMNS if c.field in TRACE)
    for name in MINERALS:
        limits = limits_of(column_of(name))
        assert limits.lo > 0 or LEAST_PCT > 0
        if name in TRACE:  # a percent read as ppm is 10,000 times less, and never within the bounds
            assert limits.hi / limits.lo < 10_000, name
