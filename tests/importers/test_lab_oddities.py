"""Files as laboratories and instruments really write them: each case here was once read wrongly."""

from __future__ import annotations

from pathlib import Path

import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.lab import Options, import_lab
from hayfuncs.importers.labreport import LISTED, report

ZOO = Path(__file__).parent / "zoo"
HEAD = "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM"


def refusal(path: Path, **options: object) -> str:
    with pytest.raises(UserError) as caught:
        import_lab([path], Options(**options))  # type: ignore[arg-type]  # options by name
    return str(caught.value)


def test_one_sample_in_two_columns_is_one_analysis_not_two_scans():
    done = import_lab([ZOO / "two-bases.csv"], Options())
    (lot,) = done.lots
    # 100 - 11 moisture = 89; the dry column stands, its moisture of 0 does not
    assert (lot.name, lot.forage, lot.dm_pct, lot.cp_pct, lot.adf_pct, lot.ndf_pct) == (
        "Creek 1",
        "grass",
        89,
        10,
        38,
        60,
    )
    assert (lot.nitrate_n_ppm, lot.nitrate_limit) == (1000, "at least")
    assert done.spreads == {}
    assert "given as received and dry: counted once" in lot.notes


def test_two_rows_of_a_basis_column_are_one_analysis(put):
    text = "Sample,Forage,Basis,DM %,CP %,ADF %,NDF %\nN,grass,as received,89,8.9,33.8,53.4\nN,grass,dry,{}\n"
    (lot,) = import_lab([put(text.format("100,10.0,38.0,60.0"), "LAB.csv")], Options()).lots
    assert (lot.dm_pct, lot.cp_pct) == (89, 10)
    said = refusal(put(text.format("100,10.0,41.0,60.0"), "LAB.csv"))
    assert "is given as received and dry, but they do not agree in ADF: 37.98 and 41 on dry basis" in said
    alone = "Sample,Forage,Basis,DM %,CP %,ADF %,NDF %\nN,grass,dry,100,10.0,38.0,60.0\n"
    assert "given dry only and nothing says its dry matter as received" in refusal(put(alone, "LAB.csv"))


def test_as_fed_is_never_the_feeder(put):
    path = put(f"{HEAD},As fed\nA,grass,90,10,40,60,yes\n", "LAB.csv")
    done = import_lab([path], Options())
    assert done.lots[0].feeder is None
    assert "As fed" in [text for text, _ in done.files[0].plan.unused]
    assert (
        import_lab([put(f"{HEAD},Fed in\nA,grass,90,10,40,60,ring\n", "LAB.csv")], Options()).lots[0].feeder == "ring"
    )


def test_a_dry_matter_for_the_whole_file_with_several_scans():
    done = import_lab([ZOO / "replicates.csv"], Options(fill=("dm_pct=88",)))
    home, far = done.lots
    assert (home.dm_pct, home.cp_pct, far.dm_pct) == (88, 9.0, 88)
    text = report(done)
    assert "8.90 to 9.10" in text
    assert '("Mean of all")' in text


def test_a_mean_says_of_how_many_scans_it_is_or_is_blank():
    home = import_lab([ZOO / "replicates.csv"], Options(fill=("dm_pct=88",))).lots[0]
    assert home.k_pct == 1.3  # (1.20 + 1.40) / 2; the third is below 0
    assert "Potassium: mean of 2 of 3 scans" in home.notes
    assert home.mg_pct is None  # one of three is left
    assert "Magnesium: left blank, as half of the scans or more could not be" in home.notes
    assert (home.nitrate_n_ppm, home.nitrate_limit) == (1500, "at least")


def test_the_column_outlier_is_kept():
    home, far = import_lab([ZOO / "replicates.csv"], Options(fill=("dm_pct=88",))).lots
    assert "Outlier: Yes" in home.notes
    assert "Outlier" not in far.notes


@pytest.mark.parametrize(
    ("heading", "cell", "given"),
    [
        ("48dNDFr %DM", "24", 60),  # 100 - 100 x 24 / 60
        ("Predicted 48dNDFr As is %", "21.6", 60),  # 21.6 / 0.90 = 24
        ("uNDF48, % of NDF", "40", 60),
        ("NDFD48 (% of NDF)", "60", 60),
        ("48dNDFr %DM", "61", None),  # more is left than there was
    ],
)
def test_what_is_left_after_digestion_is_not_what_was_digested(put, heading, cell, given):
    path = put(f'{HEAD},"{heading}"\nA,grass,90,10,40,60,{cell}\n', "LAB.csv")
    assert import_lab([path], Options()).lots[0].ndfd48_pct == given


def test_an_option_that_takes_one_for_the_other_is_refused(put):
    path = put(f"{HEAD},48dNDFr %DM\nA,grass,90,10,40,60,24\n", "LAB.csv")
    said = refusal(path, columns=("48dNDFr %DM=ndfd48_pct",))
    assert (
        'this is residue, not ndfd48_pct; leave out the option, or say --column "48dNDFr %DM=undigested_ndf48_pct"'
        in said
    )
    wet = put("Sample,Forage,Moisture %,CP %DM,ADF %DM,NDF %DM\nA,grass,12,10,40,60\n", "LAB.csv")
    assert "this is moisture, not dm_pct" in refusal(wet, columns=("Moisture %=dm_pct",))


def test_words_written_together_a_key_of_two_columns_and_the_lab_s_own_values():
    first, second = import_lab([ZOO / "joined-words.csv"], Options(columns=("name=Field+Point",))).lots
    assert (first.name, first.field, first.dm_pct, first.cp_pct, first.adf_pct, first.ndf_pct) == (
        "North 1",
        "North",
        89,
        9,
        38,
        60,
    )
    assert (first.lab_tdn_pct, first.lab_tdn_equation, first.lab_rfv) == (59.3, "from ADF", 92)
    assert first.lab_nel_mcal_lb == 0.544  # 1.2 Mcal/kg x 0.45359
    assert (second.name, first.feeder) == ("North 2", None)
    assert 'no file has the heading "Spot"' in refusal(ZOO / "joined-words.csv", columns=("name=Field+Spot",))


@pytest.mark.parametrize(
    ("unit", "cell"), [("Mcal/lb", "0.6"), ("Mcal/cwt", "60"), ("Mcal/kg", "1.32277"), ("MJ/kg", "5.53447")]
)
def test_net_energy_in_any_unit(put, unit, cell):
    """1 lb = 0.45359237 kg; 1 Mcal = 4.184 MJ."""
    path = put(f"{HEAD},NEL ({unit} DM)\nA,grass,90,10,40,60,{cell}\n", "LAB.csv")
    assert import_lab([path], Options()).lots[0].lab_nel_mcal_lb == 0.6


def test_the_lab_s_own_arithmetic_never_stops_a_file_but_its_tdn_asks_its_basis(put):
    done = import_lab([put(f"{HEAD},NEL\nA,grass,90,10,40,60,0.6\n", "LAB.csv")], Options())
    assert done.lots[0].lab_nel_mcal_lb is None
    assert ("NEL", "its unit or basis is not stated; say it with --column") in done.files[0].plan.unused
    path = put(f"{HEAD},TDN %,TDN method\nA,grass,90,10,40,60,52.2,house sum\n", "LAB.csv")
    assert "dry or as fed is not stated" in refusal(path)
    lot = import_lab([path], Options(basis="as fed")).lots[0]
    assert (lot.lab_tdn_pct, lot.lab_tdn_equation) == (58, "house sum")  # 52.2 / 0.90
    plain = put(f"{HEAD},TDN %DM\nA,grass,90,10,40,60,58\n", "LAB.csv")
    assert import_lab([plain], Options(fill=("lab_tdn_equation=from ADF",))).lots[0].lab_tdn_equation == "from ADF"


def test_rows_left_out_are_counted_not_their_faults(put):
    rows = "".join(f"S{i},grass,190,10,400,60\n" for i in range(100))  # two faults each
    done = import_lab([put(f"{HEAD}\nA,grass,90,10,40,60\n{rows}", "LAB.csv")], Options(skip_bad=True))
    assert "Rows left out, as --skip-bad says: 100\n" in report(done)


def test_the_gravest_warnings_come_first_and_every_one_is_in_notes(put):
    rows = "".join(f"S{i},grass,88,{9 + i / 100},38,76,8,2\n" for i in range(LISTED + 5))  # NDF above its usual range
    last = "Last,grass,88,26,38,60,12,5\n"  # 26 + 60 + 12 + 5 = 103 % of the dry matter
    done = import_lab([put(f"{HEAD},Ash %DM,Fat %DM\n{rows}{last}", "LAB.csv")], Options())
    told = report(done).split("Look again at these lab values: ")[1]
    assert told.splitlines()[1].startswith("  Last: Protein, NDF, fat and ash add up to more than 100 %")
    assert "... and 6 more, the gravest are above" in told
    assert all("NDF is outside 30 to 75 %" in x.notes for x in done.lots[:-1])
    assert done.lots[-1].notes.startswith("Protein, NDF, fat and ash add up")


def test_every_fault_of_a_file_is_named_in_one_pass():
    said = refusal(ZOO / "asks-everything.csv")
    for words in (
        'heading "Nitrate ppm": speaks of nitrate',
        'heading "CP %": dry or as fed is not stated',
        'heading "Ca": its unit is not stated',
        "no heading for Forage",
        'heading "Date sampled": day or month first',
        'row 7, sample "Swapped": ADF 62.5 is above NDF 39.5',
        'row 2, sample "Bale wrap": dry matter 52 %',
        'row 3, sample "Lush": protein 31',
        'row 4, sample "Odd": phosphorus 1.4',
        'lot "Same 2" has the very same lab values as "Same 1"',
    ):
        assert words in said, words
    assert "nothing says the forage" not in said  # said once, of the heading


def test_faults_of_two_files_and_of_the_register_are_named_together(put):
    one = put(f"{HEAD}\nA,grass,190,10,40,60\n", "ONE.csv")
    two = put(f"{HEAD}\nB,grass,90,10,400,60\n", "TWO.csv")
    register = put("Lot,Cutting\nA,40\n", "REGISTER.csv")
    with pytest.raises(UserError) as caught:
        import_lab([one, two], Options(), register)
    assert all(name in str(caught.value) for name in ("ONE.csv: ", "TWO.csv: ", "REGISTER.csv: "))
