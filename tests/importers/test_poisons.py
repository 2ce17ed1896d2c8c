"""Nitrate, prussic acid and ergovaline of a lab's file are read, converted or asked about; never passed over."""

from __future__ import annotations

import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.lab import Options, import_lab
from hayfuncs.importers.labreport import report
from hayfuncs.importers.lots import read_lots, write_lots

HEAD = "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM"
LINE = "A,grass,90,10,40,60"


def imported(put, heading: str, value: str, *columns: str):
    path = put(f'{HEAD},"{heading}"\n{LINE},"{value}"\n', "LAB.csv")
    return import_lab([path], Options(columns=columns)).lots[0]


def refusal(put, heading: str, value: str, *columns: str) -> str:
    with pytest.raises(UserError) as caught:
        imported(put, heading, value, *columns)
    return str(caught.value)


@pytest.mark.parametrize(
    ("heading", "value", "ppm"),
    [
        ("Nitrates % NO3 DM", "0.886", 2000),  # 8,860 / 4.43
        ("Nitrates, KNO3 equivalent, % DM", "1.4436", 2000),  # 14,436 / 7.218
        ("Nitrates-N ppm as received", "1800", 2000),  # 1,800 / 0.90
        ("NO3 (% as received)", "0.7974", 2000),  # 7,974 / 4.43 / 0.90
        ("Nitrate nitrogen (ppm NO3-N), dry", "2000", 2000),
    ],
)
def test_forms_of_nitrate_that_are_certain_are_converted(put, heading, value, ppm):
    assert imported(put, heading, value).nitrate_n_ppm == pytest.approx(ppm, abs=0.01)


@pytest.mark.parametrize(
    ("heading", "value", "field", "given"),
    [
        ("Prussic acid ppm DM", "700", "hcn_ppm", 700),
        ("HCN, mg/kg as received", "450", "hcn_ppm", 500),  # 450 / 0.90
        ("Prussic acid (HCN) % wet basis", "0.063", "hcn_ppm", 700),  # 630 ppm / 0.90
        ("Ergovaline ppb DM", "320", "ergovaline_ppb", 320),
        ("Ergovaline, ug/kg as received", "180", "ergovaline_ppb", 200),  # 180 / 0.90
        ("Ergovaline (ppm DM)", "0.32", "ergovaline_ppb", 320),
    ],
)
def test_prussic_acid_and_ergovaline_come_into_the_list(put, tmp_path, heading, value, field, given):
    lot = imported(put, heading, value)
    assert getattr(lot, field) == pytest.approx(given, abs=0.001)
    write_lots(tmp_path / "OUT.csv", [lot])
    assert read_lots(tmp_path / "OUT.csv") == [lot]


@pytest.mark.parametrize(
    ("heading", "what", "settled", "field", "given"),
    [
        ("Nitrate ppm DM", "nitrate", "nitrate_ppm", "nitrate_n_ppm", 12000 / 4.43),
        ("Nitrate ppm DM", "nitrate", "nitrate_n_ppm", "nitrate_n_ppm", 12000),
        ("Nitrate ppm DM", "nitrate", "nitrate_as_kno3_ppm", "nitrate_n_ppm", 12000 / 7.218),
        ("Nitrate level", "nitrate", "nitrate_ppm, ppm, dry", "nitrate_n_ppm", 12000 / 4.43),
        ("NO3", "nitrate", "nitrate_ppm, ppm, dry", "nitrate_n_ppm", 12000 / 4.43),
        ("Cyanide ppm DM", "prussic acid", "hcn_ppm", "hcn_ppm", 12000),
        ("Total ergot alkaloids ppb DM", "ergot or ergovaline", "ergovaline_ppb", "ergovaline_ppb", 12000),
    ],
)  # fmt: skip
def test_what_is_not_certain_stops_the_import_until_it_is_settled(put, heading, what, settled, field, given):
    text = refusal(put, heading, "12000")
    assert f'heading "{heading}": speaks of {what} and is not certain' in text
    assert f'--column "{heading}=skip"' in text
    assert settled.split(",")[0] in text
    assert getattr(imported(put, heading, "12000", f"{heading}={settled}"), field) == pytest.approx(given, abs=0.001)
    skipped = imported(put, heading, "12000", f"{heading}=skip")
    assert (skipped.nitrate_n_ppm, skipped.hcn_ppm, skipped.ergovaline_ppb) == (None, None, None)


@pytest.mark.parametrize("heading", ["Nitrate ppm DM", "Cyanide ppm", "Ergot alkaloids"])
def test_a_column_without_a_value_asks_nothing(put, heading):
    assert imported(put, heading, "").nitrate_n_ppm is None
    assert imported(put, heading, "not tested").nitrate_n_ppm is None


@pytest.mark.parametrize(
    "heading", ["Prussic acid", "Prussic acid ppm", "Prussic acid DM", "Ergovaline ppb", "NO3-N ppm"]
)
def test_unit_and_basis_are_asked_for(put, heading):
    text = refusal(put, heading, "150")
    assert "its unit is not stated" in text or "dry or as fed is not stated" in text


def test_a_second_column_of_nitrate_is_not_lost_where_the_first_is_blank(put):
    text = f"{HEAD},NO3-N ppm DM,NO3 ppm DM\n{LINE},2000,8860\nB,grass,90,10,40,60,,12000\n"
    path = put(text, "LAB.csv")
    with pytest.raises(UserError, match='in row 3 only "NO3 ppm DM" has a value'):
        import_lab([path], Options())
    both = import_lab([put(text.replace(",,12000", ",2709,12000"), "LAB.csv")], Options()).lots
    assert [x.nitrate_n_ppm for x in both] == [2000, 2709]
    chosen = import_lab([put(text, "LAB.csv")], Options(columns=("NO3-N ppm DM=skip",))).lots
    assert [x.nitrate_n_ppm for x in chosen] == pytest.approx([2000, 2708.8], abs=0.01)


def test_in_the_own_list_a_poison_is_never_told_as_not_used(put):
    own = "Lot,Forage,Basis,DM,CP,ADF,NDF,{}\nA,grass,dry,90,10,40,60,{}\n"
    for heading in ("Nitrate test", "Cyanide", "Ergot alkaloids"):
        told: list[str] = []
        with pytest.raises(UserError, match="speaks of"):
            read_lots(put(own.format(heading, "700")), told=told)
        assert len(read_lots(put(own.format(heading, "")), told=told)) == 1
    lot = read_lots(put(own.format("HCN ppm,Ergovaline ppb", "700,300")))[0]
    assert (lot.hcn_ppm, lot.ergovaline_ppb) == (700, 300)


@pytest.mark.parametrize(
    ("heading", "field", "given"),
    [
        ("ADICP % of CP", "adicp_pct", 1.2),  # 12 % of 10 % protein
        ("ADICP, % CP", "adicp_pct", 1.2),
        ("NDICP (% of CP)", "ndicp_pct", 1.2),
        ("ADICP % DM", "adicp_pct", 12),
    ],
)
def test_bound_protein_as_a_share_of_the_protein(put, heading, field, given):
    assert getattr(imported(put, heading, "12"), field) == pytest.approx(given)


def test_bound_protein_of_a_protein_as_received_and_before_it_in_the_file(put):
    # protein 9 as received at 90 % dry matter is 10 % of the dry matter; 12 % of it are 1.2 %
    path = put("Sample,Forage,ADICP % of CP,DM %,CP as received %,ADF %DM,NDF %DM\nA,grass,12,90,9,40,60\n", "LAB.csv")
    done = import_lab([path], Options())
    assert done.lots[0].adicp_pct == pytest.approx(1.2)
    assert "% of CP to % DM, x crude protein / 100 (row 2: 12 at CP 10 % DM gives 1.2)" in report(done)
    over = put("Sample,Forage,ADICP % of CP,DM %,CP %DM,ADF %DM,NDF %DM\nA,grass,-3,90,10,40,60\n", "LAB.csv")
    assert import_lab([over], Options()).lots[0].adicp_pct is None
    assert "ADICP % of CP" in report(import_lab([over], Options()))


def test_nitrogen_as_a_share_of_protein_stays_refused(put):
    assert "the unit % of CP does not go with it" in refusal(put, "ADIN % of CP", "12")
