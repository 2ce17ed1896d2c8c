"""LOTS.csv and HERD.csv: what is read, and that every fault is named with file, row, column, value and what is allowed."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hayfuncs.contract.files import LONGEST_TEXT, UserError
from hayfuncs.forage.plausibility import is_summary
from hayfuncs.importers.herd import read_herd, write_herd, write_herd_template
from hayfuncs.importers.lots import read_lots, write_lots, write_lots_template
from hayfuncs.importers.model import AS_FED, BALES, DRY, FORAGES, Group, Lot, column_of, limits_of

CP = limits_of(column_of("cp_pct")).allowed()
K = limits_of(column_of("k_pct")).allowed()
HEAD = "Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%)"


def refusal(path: Path, **more: object) -> str:
    with pytest.raises(UserError) as caught:
        read_lots(path, **more)  # type: ignore[arg-type]  # options by name
    return str(caught.value)


def test_headings_in_any_order_case_and_punctuation(put) -> None:
    path = put(
        "ndf; CRUDE-PROTEIN ;basis;lot name;Forage.Type;adf;d.m.\n63,1;9,4;as received;Hill 1;alfalfa/grass;38;88,5\n"
    )
    assert read_lots(path) == [Lot("Hill 1", "", None, "mixed", AS_FED, 88.5, 9.4, 38.0, 63.1)]


def test_values_stay_exactly_as_the_lab_gives_them(put) -> None:
    lot = read_lots(put(f"{HEAD}\nA,grass,as fed,85,8,33,52\n"))[0]
    assert (lot.basis, lot.cp_pct, lot.adf_pct) == (AS_FED, 8.0, 33.0)


@pytest.mark.parametrize("how", ["column", "heading", "option"])
def test_the_basis_is_stated_in_one_of_three_ways(put, how: str) -> None:
    mark = " (as fed)" if how == "heading" else ""
    heads = f"Lot,Forage,DM,CP{mark},ADF{mark},NDF{mark}" + (",Basis" if how == "column" else "")
    path = put(f"{heads}\nA,grass,85,8,33,52" + (",as fed" if how == "column" else "") + "\n")
    assert read_lots(path, AS_FED if how == "option" else None)[0].basis == AS_FED


def test_without_a_basis_nothing_is_assumed(put) -> None:
    assert "nothing says whether the values are dry or as fed" in refusal(
        put("Lot,Forage,DM,CP,ADF,NDF\nA,grass,85,8,33,52\n")
    )


@pytest.mark.parametrize(
    ("heads", "option", "words"),
    [
        ("CP (dry),ADF (as fed),NDF (dry)", None, "some headings say dry, some as fed"),
        ("CP (dry),ADF,NDF (dry)", None, 'heading "ADF": does not say its basis'),
        ("CP (dry),ADF (dry),NDF (dry)", AS_FED, "the headings say dry, the option says as fed"),
        ("CP (g/kg),ADF,NDF", DRY, "the unit is g/kg; needed is Crude protein (%)"),
        ("Nitrogen %,ADF,NDF", DRY, "this is nitrogen; run `hayfuncs lots`"),
        ("CP,Protein,ADF,NDF", DRY, 'means the same as "CP"'),
        ("CP,ADF,NDF,Potasium", DRY, "did you mean Potassium (%)?"),
        ("CP,ADF", DRY, "no heading for NDF (%)"),
        ("CP,ADF,NDF,Nitrate", DRY, "4.4-fold"),
    ],
)
def test_headings_that_cannot_be_right(put, heads: str, option: str | None, words: str) -> None:
    cells = ",".join(["9"] * len(heads.split(",")))
    assert words in refusal(put(f"Lot,Forage,DM,{heads}\nA,grass,85,{cells}\n"), basis=option)


def test_all_faults_are_named_at_once(put) -> None:
    text = refusal(
        put(
            f"{HEAD},Potassium (%),Harvest date,Cutting\n"
            "A,grass,dry,88,9,38,62,1.5,2024-07-01,1\n"
            "A,straw,dry,188,9,38,62,1.5,2024-07-01,1\n"
            ",grass,wet,88,140,38,62,-1,2024-02-31,1.5\n"
            "C,grass,dry,88,abc,63,62,,,,\n"
            "D,grass,as fed,30,16,25,,1,,first,extra\n"
        )
    )
    assert text.startswith("LOTS.csv: 12 things to put right; nothing was written\n")
    for line in (
        'row 3, column "Forage": "straw"; allowed: grass, legume, mixed',
        'row 3, column "Dry matter (%)": "188"; allowed: above 1 to 100 % as fed',
        'row 3, column "Lot": "A"; allowed: each lot once; row 2 has it too',
        'row 4, column "Lot": blank; allowed: a name of at most 100 characters',
        'row 4, column "Basis": "wet"; allowed: dry, as fed',
        f'row 4, column "Crude protein (%)": "140"; allowed: {CP}',
        f'row 4, column "Potassium (%)": "-1"; allowed: {K}',
        'row 4, column "Harvest date": "2024-02-31"; allowed: a date like 2024-07-15, years 1990 to 2100; no such day',
        'row 4, column "Cutting": "1.5"; allowed: a whole number, 1 to 12',
        f'row 5, column "Crude protein (%)": "abc"; allowed: {CP}; not a number',
        'row 5, column "ADF (%)": 63; allowed: at most the NDF, 62; ADF is a part of NDF',
        "row 6 has more cells than there are headings",
    ):
        assert f"\n  {line}" in text, line


def test_an_as_fed_value_is_judged_as_dry_matter(put) -> None:
    text = refusal(put(f"{HEAD}\nA,grass,as fed,20,18,10,15\n"))
    assert f'"18"; allowed: {CP}; as fed, this is 90 of the dry matter at 20 % dry matter' in text


def test_at_most_twenty_lines_and_the_same_fault_once(put) -> None:
    rows = "".join(f"L{i},grass,dry,88,9,38,{100 + i}\n" for i in range(30))
    text = refusal(put(f"{HEAD}\n{rows}"))
    assert text.count("\n") == 21
    assert text.endswith("... and 10 more")
    rows = "".join(f"L{i},straw,dry,88,9,38,62\n" for i in range(30))
    assert 'rows 2, 3, 4, 5, 6, 7 and 24 more, column "Forage": "straw"' in refusal(put(f"{HEAD}\n{rows}"))


def test_texts_that_look_like_formulas_stay_texts(put, tmp_path: Path) -> None:
    names = ["=1+1", "+Hill", "-5", "@home", "'=quoted", '=HYPERLINK("x","y")', "''=twice", "'plain", "＝wide"]
    lots = [Lot(name, name, 1, "grass", DRY, 88.0, 9.0, 38.0, 62.0 + i, notes=name) for i, name in enumerate(names)]
    path = tmp_path / "OUT.csv"
    write_lots(path, lots)
    assert read_lots(path) == lots
    for line in path.read_text(encoding="utf-8-sig").splitlines():
        assert all(cell[:1] not in ("=", "+", "-", "@") for cell in line.replace('"', "").split(","))
    assert [x.name for x in read_lots(put(f"{HEAD}\n=2*3,grass,dry,88,9,38,62\n"))] == ["=2*3"]


def test_columns_that_are_not_known_are_told_and_not_used(put) -> None:
    told: list[str] = []
    assert len(read_lots(put(f"{HEAD},Phone of owner\nA,grass,dry,88,9,38,62,5\n"), told=told)) == 1
    assert told == ['LOTS.csv: the column "Phone of owner" is not used']


def test_a_file_cut_off_in_its_last_row_is_refused(put) -> None:
    assert "stops in the middle" in refusal(put(f"{HEAD}\nA,grass,dry,88,9,38,62\nB,grass,dry,88,9"))


def test_a_template_has_every_heading_and_no_lot(tmp_path: Path) -> None:
    write_lots_template(tmp_path / "L.csv")
    write_herd_template(tmp_path / "H.csv")
    assert "there is no row under the headings" in refusal(tmp_path / "L.csv", basis=DRY)
    with pytest.raises(UserError, match="there is no row under the headings"):
        read_herd(tmp_path / "H.csv")


def test_a_file_is_never_replaced_unasked(tmp_path: Path) -> None:
    path = tmp_path / "LOTS.csv"
    path.write_text("mine")
    with pytest.raises(UserError, match="add --force"):
        write_lots(path, [])
    assert path.read_text() == "mine"
    write_lots(path, [], force=True)
    assert path.read_text(encoding="utf-8-sig").startswith("Lot,Forage")


def test_a_workbook_is_read_as_values(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["My lots"])
    sheet.append(["Lot", "Forage", "Basis", "DM", "CP", "ADF", "NDF", "Harvest date"])
    sheet.append(["=1+1", "grass", "dry", 88.5, 0.094, 38, 62, dt.datetime(2024, 7, 1, 9)])
    sheet["A3"].data_type = "s"  # a text, not a formula
    sheet["E3"].number_format = "0.0%"
    book.save(tmp_path / "LOTS.xlsx")
    assert read_lots(tmp_path / "LOTS.xlsx") == [
        Lot("=1+1", "", None, "grass", DRY, 88.5, 9.4, 38.0, 62.0, harvest_date=dt.date(2024, 7, 1))
    ]


def test_a_formula_without_a_stored_value_is_a_blank(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["Lot", "Forage", "Basis", "DM", "CP", "ADF", "NDF"])
    book.active.append(["A", "grass", "dry", 88.5, "=4+5", 38, 62])
    book.save(tmp_path / "LOTS.xlsx")
    assert 'column "CP": blank' in refusal(tmp_path / "LOTS.xlsx")


def test_herd_list(files: Path, tmp_path: Path) -> None:
    groups = read_herd(files / "herd.csv")
    assert groups == [
        Group("Older cows", 64, 1250.0, 7, 20.0, 84.0, 5.5, dt.date(2024, 4, 10)),
        Group("Heifers", 21, 1010.5, 8, 17.0, 76.0, 5.0, dt.date(2024, 3, 12)),
    ]
    write_herd(tmp_path / "HERD.csv", groups)
    assert read_herd(tmp_path / "HERD.csv") == groups


def test_herd_faults(put) -> None:
    path = put(
        "Group,Head,Body weight (kg),Month since calving,Peak milk (lb/day),Calf birth weight (lb),BCS\n"
        "A,0,550,13,20,84,5\nA,10.5,5,3,-1,84,0\n",
        "HERD.csv",
    )
    with pytest.raises(UserError) as caught:
        read_herd(path)
    for line in (
        'heading "Body weight (kg)": the unit is kg; needed is Body weight (lb)',
        'row 2, column "Head": "0"; allowed: a whole number, 1 to 100,000 head',
        'row 2, column "Month since calving": "13"; allowed: a whole number, 1 to 12 months',
        'row 3, column "Body weight (kg)": "5"; allowed: 300 to 3,000 lb',
        'row 3, column "Head": "10.5"; allowed: a whole number',
        'row 3, column "Group": "A"; allowed: each group once; row 2 has it too',
    ):
        assert line in str(caught.value), line


def test_protein_as_a_fraction_is_asked_about(tmp_path) -> None:
    path = tmp_path / "LOTS.csv"
    path.write_text(f"{HEAD}\nA,grass,dry,90,0.095,38,60\nB,grass,dry,90,1,38,60\n")
    said = refusal(path)
    assert "1 thing to put right" in said
    assert (
        f'row 2, column "Crude protein (%)": "0.095"; allowed: {CP}; was a fraction meant? 0.095 as a fraction is 9.5 %'
        in said
    )


def test_longest_note(tmp_path) -> None:
    path = tmp_path / "LOTS.csv"
    path.write_text(f"{HEAD},Notes\nA,grass,dry,90,9,38,60,{'x' * LONGEST_TEXT}\n")
    assert len(read_lots(path)[0].notes) == LONGEST_TEXT
    path.write_text(f"{HEAD},Notes\nA,grass,dry,90,9,38,60,{'x' * (LONGEST_TEXT + 1)}\n")
    assert "a text of at most 1,000 characters; it has 1,001; shorten it" in refusal(path)


def test_names_that_hold_commas_are_told_apart(tmp_path) -> None:
    path = tmp_path / "LOTS.csv"
    path.write_text(f"{HEAD},Storage\nA,grass,dry,90,9,38,60,tarp\n")
    assert "allowed: on ground, uncovered; on tires or gravel, uncovered; " in refusal(path)


def within(field: str, lo: float = -1, hi: float = 1e9) -> st.SearchStrategy[float]:
    limits = limits_of(column_of(field))
    return st.floats(max(lo, limits.lo), min(hi, limits.hi)).filter(limits.possible)


NAMES = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=20).filter(
    lambda name: not is_summary(name)
)
LOTS = st.builds(
    Lot, name=NAMES, field=st.just("") | NAMES, cutting=st.none() | st.integers(1, 12), forage=st.sampled_from(FORAGES),
    basis=st.just(DRY), dm_pct=within("dm_pct", lo=60), cp_pct=within("cp_pct", hi=20), adf_pct=within("adf_pct", lo=20, hi=60), ndf_pct=within("ndf_pct", lo=60),
    ndfd48_pct=st.none() | within("ndfd48_pct"), ca_pct=st.none() | st.floats(0.1, 3), tons=st.none() | within("tons"),
    bales=st.none() | st.integers(0, 100_000), bale=st.none() | st.sampled_from(BALES), notes=st.just("") | NAMES,
    harvest_date=st.none() | st.dates(dt.date(1990, 1, 1), dt.date(2100, 12, 31)),
)  # fmt: skip


def lab_values(lot: Lot) -> tuple:
    return lot.dm_pct, lot.cp_pct, lot.adf_pct, lot.ndf_pct, lot.ndfd48_pct, lot.ca_pct  # all that LOTS draws


@settings(max_examples=25, deadline=None)
@given(st.lists(LOTS, min_size=1, max_size=5, unique_by=(lambda x: x.name.casefold(), lab_values)))
def test_any_list_of_lots_comes_back_as_it_was_written(tmp_path_factory, lots: list[Lot]) -> None:
    path = tmp_path_factory.mktemp("round") / "LOTS.csv"
    write_lots(path, lots)
    assert read_lots(path) == lots


CALVES = "Group,Head,Body weight (lb),{}Peak milk (lb/day),Calf birth weight (lb),BCS,Calving date\n"


@pytest.mark.parametrize(
    ("calving", "day", "month"),
    [
        ("2026-03-15", dt.date(2026, 12, 1), 9),  # 261 days x 12 / 365 = 8.58: the ninth month runs
        ("2027-02-08", dt.date(2026, 12, 1), 10),  # calved 2026-02-08 before that: 296 days, 9.73
        ("2026-12-01", dt.date(2026, 12, 1), 1),
        ("2026-12-02", dt.date(2026, 12, 1), 12),  # a year less a day: 364 days, 11.97
        ("2024-02-29", dt.date(2026, 3, 1), 1),
        ("2020-09-20", dt.date(2026, 12, 1), 3),  # 72 days, 2.37
    ],
)
def test_a_calving_date_gives_the_month_of_a_stated_day(put, calving: str, day: dt.date, month: int) -> None:
    told: list[str] = []
    path = put(f"{CALVES.format('')}A,60,1250,20,84,5,{calving}\n", "HERD.csv")
    assert read_herd(path, told, day)[0].month_since_calving == month
    assert told == [f'HERD.csv: "A" is in month {month} since calving on {day}, by its calving date {calving}']


def test_a_month_that_is_given_stays_and_neither_of_the_two_is_refused(put) -> None:
    text = f"{CALVES.format('Month since calving,')}A,60,1250,2,20,84,5,2026-03-15\n"
    told: list[str] = []
    assert read_herd(put(text, "HERD.csv"), told, dt.date(2026, 12, 1))[0].month_since_calving == 2
    assert told == []
    with pytest.raises(
        UserError, match=r'row 2, column "Month since calving": blank; allowed: a whole number, 1 to 12 months; or give'
    ):
        read_herd(put(text.replace(",2,20,84,5,2026-03-15", ",,20,84,5,"), "HERD.csv"), told, dt.date(2026, 12, 1))
    bare = CALVES.replace(",Calving date", "").format("")
    with pytest.raises(
        UserError, match="no heading for Month since calving; add the column, or one of the calving dates"
    ):
        read_herd(put(f"{bare}A,60,1250,20,84,5\n", "HERD.csv"), told, dt.date(2026, 12, 1))
    with pytest.raises(UserError, match='column "Month since calving": "13"'):
        read_herd(put(text.replace("1250,2,", "1250,13,"), "HERD.csv"), told, dt.date(2026, 12, 1))
