"""A poison that is only a limit stays one; one that cannot be read stops the import; the highest of several scans counts."""

from __future__ import annotations

import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.lab import Options, import_lab
from hayfuncs.importers.lots import read_lots, write_lots
from hayfuncs.importers.model import AT_LEAST, AT_MOST
from hayfuncs.importers.values import Amount, Unreadable, amount, decimal_mark

HEAD = "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM"
LINE = "A,grass,90,10,40,60"
OWN = "Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%)"
HEADINGS = {"nitrate_n_ppm": "NO3-N ppm DM", "hcn_ppm": "HCN ppm DM", "ergovaline_ppb": "Ergovaline ppb DM"}
LIMITS = {"nitrate_n_ppm": "nitrate_limit", "hcn_ppm": "hcn_limit", "ergovaline_ppb": "ergovaline_limit"}
READ = [
    (">5000", 5000, AT_LEAST), ("> 2,000", 2000, AT_LEAST), ("≥ 900", 900, AT_LEAST), ("&gt;700", 700, AT_LEAST), ("5000+", 5000, AT_LEAST),
    ("at least 300", 300, AT_LEAST), ("<50", 50, AT_MOST), ("< 50", 50, AT_MOST), ("less than 50", 50, AT_MOST), ("1 250", 1250, None),
    ("1'250", 1250, None), ("1\u00a0250", 1250, None), ("1,250", 1250, None), ("not detected", 0, None), ("Not Detected", 0, None),
    ("", None, None), ("n/a", None, None), ("not tested", None, None),
]  # fmt: skip
NOT_READ = [
    "positive",
    "trace",
    "#N/A",
    "*",
    "see page 2",
    "ND",
    "n.d.",
    "none",
    "<LOD",
    "45000000",
    "-3",
    ">-5",
    "1 2",
    "5000 ppm?",
]


def lab(put, field: str, *cells: str):
    """A laboratory's file with one sample, a scan for each cell."""
    rows = "".join(f'{LINE},"{cell}"\n' for cell in cells)
    return put(f'{HEAD},"{HEADINGS[field]}"\n{rows}', "LAB.csv")


@pytest.mark.parametrize("field", HEADINGS)
@pytest.mark.parametrize(("cell", "value", "limit"), READ)
def test_limits_and_thousands_are_read_in_a_lab_file_and_in_the_own_list(put, tmp_path, field, cell, value, limit):
    lot = import_lab([lab(put, field, cell)], Options(decimal="point")).lots[0]
    assert (getattr(lot, field), getattr(lot, LIMITS[field])) == (value, limit)
    if limit:
        assert f"{limit} {value:,}" in lot.notes
    write_lots(tmp_path / "OUT.csv", [lot])
    assert read_lots(tmp_path / "OUT.csv") == [lot]
    row = f'{OWN},"{HEADINGS[field].removesuffix(" DM")}"\nA,grass,dry,90,10.5,40,60,"{cell}"\n'
    own = read_lots(put(row))[0] if cell != "1,250" else lot  # alone it could be 1.25: asked about there
    assert (getattr(own, field), getattr(own, LIMITS[field])) == (value, limit)


@pytest.mark.parametrize("field", HEADINGS)
@pytest.mark.parametrize("cell", NOT_READ)
def test_what_cannot_be_read_stops_the_import_with_row_and_column(put, field, cell):
    for skip in (False, True):  # leaving bad rows out does not leave a poison out
        with pytest.raises(UserError) as caught:
            import_lab([lab(put, field, "10", cell)], Options(skip_bad=skip))
        assert f'row 3, sample "A", column "{HEADINGS[field]}": "{cell}"' in str(caught.value)
    with pytest.raises(UserError) as caught:
        read_lots(put(f'{OWN},"{HEADINGS[field].removesuffix(" DM")}"\nA,grass,dry,90,10,40,60,"{cell}"\n'))
    assert f'row 2, column "{HEADINGS[field].removesuffix(" DM")}": "{cell}"' in str(caught.value)


def test_nd_is_asked_about_and_one_option_settles_it(put):
    path = lab(put, "nitrate_n_ppm", "ND")
    with pytest.raises(UserError, match='not determined\\? say --nd "not detected" or --nd "not tested"'):
        import_lab([path], Options())
    assert import_lab([path], Options(nd="not detected")).lots[0].nitrate_n_ppm == 0
    assert import_lab([path], Options(nd="not tested")).lots[0].nitrate_n_ppm is None
    with pytest.raises(UserError, match='--nd "maybe" is not known; allowed: not detected, not tested'):
        import_lab([path], Options(nd="maybe"))


@pytest.mark.parametrize(
    ("cells", "value", "limit"),
    [
        (["700", "1500", "900"], 1500, None),
        (["700", ">1500", "900"], 1500, AT_LEAST),
        ([">1000", "1500"], 1500, AT_LEAST),  # the first may be more than the second
        (["<50", "80"], 80, None),
        (["<50", "40"], 50, AT_MOST),
        (["<50", "50"], 50, None),
        (["", "900"], 900, None),
    ],
)
def test_across_scans_the_highest_counts(put, cells, value, limit):
    lot = import_lab([lab(put, "nitrate_n_ppm", *cells)], Options()).lots[0]
    assert (lot.nitrate_n_ppm, lot.nitrate_limit) == (value, limit)
    assert ("highest of 1 of 2 scans" in lot.notes) == ("" in cells)


def test_the_poison_of_a_scan_that_is_left_out_still_counts(put):
    text = f"{HEAD},NO3-N ppm DM\n{LINE},200\nA,grass,90,10,62,60,>2500\n"  # ADF above NDF in the second
    lot = import_lab([put(text, "LAB.csv")], Options(skip_bad=True)).lots[0]
    assert (lot.adf_pct, lot.nitrate_n_ppm, lot.nitrate_limit) == (40, 2500, AT_LEAST)
    wet = (
        "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM,NO3-N ppm as fed\nA,grass,90,10,40,60,180\nA,grass,,10,40,60,1800\n"
    )
    with pytest.raises(UserError, match="the row is left out, but its poison counts: give its dry matter"):
        import_lab([put(wet, "LAB.csv")], Options(skip_bad=True))


def test_a_limit_as_received_is_put_on_dry_matter(put):
    path = put(
        "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM,NO3-N ppm as received\nA,grass,80,10,40,60,>1600\n", "LAB.csv"
    )
    lot = import_lab([path], Options()).lots[0]
    assert (lot.nitrate_n_ppm, lot.nitrate_limit) == (2000, AT_LEAST)  # 1,600 / 0.80


def test_the_word_beside_the_number_must_go_with_it(put):
    own = f"{OWN},NO3-N ppm,Nitrate stated as\nA,grass,dry,90,10,40,60,{{}}\n"
    assert read_lots(put(own.format("5000,at least")))[0].nitrate_limit == AT_LEAST
    for cells, says in (
        (">5000,at most", "at least"),
        (",at least", "blank where there is no number"),
        ("5000,about", "at least, at most"),
    ):
        with pytest.raises(UserError, match=says):
            read_lots(put(own.format(cells)))


def test_a_comma_behind_a_sign_does_not_decide_the_decimal_mark():
    assert decimal_mark(["> 2,000"]) == "unsure"
    assert decimal_mark(["> 2,000", "9.8"]) == "."
    assert amount("> 2,000", ".") == Amount(2000, AT_LEAST)
    assert amount("> 2,000", ",") == Amount(2.0, AT_LEAST)
    assert amount(7.0) == Amount(7.0)
    with pytest.raises(Unreadable):
        amount("positive")
