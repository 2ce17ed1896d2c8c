"""What the cow needs: whole years, the joints of the chain, and the tables' own soundness."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import hayfuncs as h
from hayfuncs.contract.catalogue import EVIDENCE
from hayfuncs.contract.tables import load, sources
from hayfuncs.contract.units import KG_TO_LB, LB_TO_KG
from hayfuncs.cow.cold import COATS
from hayfuncs.cow.intake import cow_intake_kg
from hayfuncs.forage.energy import ME_PER_TDN, nem_from_me_kg

CALF = 84.878  # lb; 38.5 kg
WEEKS_A_MONTH = 365 / 84
COLUMNS = {
    "MILK": lambda w, m, y: np.where(m <= 6, h.milk_yield(y, m * WEEKS_A_MONTH), 0),
    "DM": lambda w, m, y: h.daily_need("DM", w, m, y, CALF),
    "TDN": lambda w, m, y: h.daily_need("TDN", w, m, y, CALF),
    "CP": lambda w, m, y: h.daily_need("CP", w, m, y, CALF),
    "NEM": lambda w, m, y: h.daily_need("NEm", w, m, y, CALF),
    "MP": lambda w, m, y: h.daily_need("MP", w, m, y, CALF),
    "TDN_PCT": lambda w, m, y: h.need_density("TDN", w, m, y, CALF),
    "CP_PCT": lambda w, m, y: h.need_density("CP", w, m, y, CALF),
    "CA_PCT": lambda w, m, y: h.need_density("Ca", w, m, y, CALF),
    "P_PCT": lambda w, m, y: h.need_density("P", w, m, y, CALF),
}


def months() -> list[dict[str, str]]:
    lines = (Path(__file__).parents[1] / "needs_by_month.tsv").read_text(encoding="utf-8").splitlines()
    head, *rows = [line.split("\t") for line in lines if not line.startswith("#")]
    return [dict(zip(head, row, strict=True)) for row in rows]


@pytest.mark.parametrize("column", COLUMNS)
def test_need_month_by_month(column: str) -> None:
    rows = months()
    assert len(rows) == 48
    weight, month, peak = (np.array([float(r[k]) for r in rows]) for k in ("weight_lb", "month", "peak_lb"))
    found = COLUMNS[column](weight, month, peak)
    printed = np.array([float(r[column]) for r in rows])
    half = np.array([0.5 * 10.0 ** -len(r[column].partition(".")[2]) for r in rows])
    wrong = np.abs(found - printed) > half + 1e-9
    assert not wrong.any(), [(r["weight_lb"], r["month"], f) for r, f, w in zip(rows, found, wrong, strict=True) if w]


def herd() -> dict[str, np.ndarray]:
    rng = np.random.default_rng(5)
    ranges = {"weight": (700, 1800), "month": (0.01, 12), "peak": (0, 60), "calf": (50, 130)}
    return {name: rng.uniform(*ends, 500) for name, ends in ranges.items()}


def need(nutrient: str, cows: dict[str, np.ndarray]) -> np.ndarray:
    return h.daily_need(nutrient, cows["weight"], cows["month"], cows["peak"], cows["calf"])


def test_net_energy_is_the_sum_of_its_parts() -> None:
    cows = herd()
    in_milk = cows["month"] <= 6
    milk = np.where(in_milk, h.milk_yield(cows["peak"], cows["month"] * WEEKS_A_MONTH), 0)
    pregnant = np.maximum(0, cows["month"] * 365 / 12 - 85)
    parts = h.nem_for_milk(milk) + h.nem_for_pregnancy(cows["calf"], pregnant)
    parts += np.where(
        in_milk,
        h.nem_for_maintenance(cows["weight"], True),
        h.nem_for_maintenance(cows["weight"], False),
    )
    np.testing.assert_allclose(need("NEm", cows), parts, rtol=1e-12)


def test_she_eats_exactly_her_energy() -> None:
    """The diet's NEm put back in the intake equation gives the dry matter; its TDN gives the NEm."""
    cows = herd()
    dm_kg = need("DM", cows) * LB_TO_KG
    diet_nem = need("NEm", cows) / dm_kg
    pregnant = cows["month"] * 365 / 12 > 85
    milk_kg = np.where(cows["month"] <= 6, h.milk_yield(cows["peak"], cows["month"] * WEEKS_A_MONTH), 0) * LB_TO_KG
    eaten = [cow_intake_kg(diet_nem, cows["weight"] * LB_TO_KG, milk_kg, state) for state in (False, True)]
    np.testing.assert_allclose(dm_kg, np.where(pregnant, eaten[1], eaten[0]), rtol=1e-12)
    tdn_pct = need("TDN", cows) / need("DM", cows) * 100
    np.testing.assert_allclose(nem_from_me_kg(tdn_pct * ME_PER_TDN), diet_nem, rtol=1e-12)


def test_densities_are_needs_over_dry_matter() -> None:
    cows = herd()
    values = [cows[k] for k in ("weight", "month", "peak", "calf")]
    for nutrient, in_lb in (("TDN", 1.0), ("CP", 1.0), ("Ca", KG_TO_LB / 1000), ("P", KG_TO_LB / 1000)):
        share = need(nutrient, cows) * in_lb / need("DM", cows) * 100
        np.testing.assert_allclose(h.need_density(nutrient, *values), share, rtol=1e-12)


def test_every_allowed_cow_has_a_diet() -> None:
    """The corners of the possible ranges, absurd cows among them: the chain has an answer below 100 % TDN."""
    corners = np.meshgrid([400, 3000], [0.001, 2, 2.8, 6, 12], [0, 80], [20, 200])
    density = h.need_density("TDN", *(c.ravel() for c in corners))
    assert np.isfinite(density).all()
    assert (density > 35).all()
    assert (density < 100).all()


def test_hay_of_12_pct_protein_covers_a_brood_cow() -> None:
    """Common practice, no source: 12 % CP is enough for her at any time of the year."""
    month = np.arange(0.25, 12.01, 0.25)
    for weight in (1000.0, 1200.0, 1400.0):
        assert h.need_density("CP", weight, month, 20.0, CALF).max() < 12


def test_milk_raises_maintenance_by_the_published_share() -> None:
    """UF/IFAS AN190: about 20 % between dry and lactating."""
    share = h.nem_for_maintenance(1200, True) / h.nem_for_maintenance(1200, False)
    assert share == pytest.approx(1.20, abs=0.005)


# --- the tables


def test_coats_and_stages_are_the_rows() -> None:
    assert load("coat_cold").names() == list(COATS)
    assert load("need_by_stage").names() == ["mid pregnancy", "late pregnancy", "lactation"]


@pytest.mark.parametrize(
    ("column", "total"),
    [("dm_lb", 311.3), ("tdn_lb", 115.7), ("tdn_pct", 997), ("cp_lb", 26.1), ("cp_pct", 244.6), ("ca_pct", 0.54),
     ("p_pct", 0.42)],
)  # fmt: skip
def test_statements_add_up(column: str, total: float) -> None:
    """A slip of the pen in any one value changes a sum that was added from the sources by hand."""
    values = [v for v in load("need_statements").column(column) if isinstance(v, float)]
    assert sum(values) == pytest.approx(total, abs=1e-9)


@pytest.mark.parametrize("name", ["need_statements", "coat_cold"])
def test_rows_say_whence(name: str) -> None:
    table = load(name)
    assert len(set(map(str.casefold, table.names()))) == len(table.rows)
    for row in table.rows:
        assert row["source"] in sources()
        assert row["evidence"] in EVIDENCE


@pytest.mark.parametrize(
    ("row", "said", "nutrient", "cow"),
    [
        ("late gestation, 1,200 lb, low", "11.5 to", "TDN", (1200, 9, 20)),
        ("late gestation, 1,200 lb, low", "to 12.9 lb", "TDN", (1200, 11, 20)),
        ("late gestation, 1,200 lb, high", "1.61 to", "CP", (1200, 9, 20)),
        ("late gestation, 1,200 lb, high", "to 1.92 lb", "CP", (1200, 11, 20)),
        ("peak lactation, 1,200 lb, low", "16.9 lb", "TDN", (1200, 2, 20)),
        ("peak lactation, 1,200 lb, high", "14.2 (10 lb)", "TDN", (1200, 2, 10)),
        ("late gestation, 1,300 lb", "12.7 lb", "TDN", (1300, 10, 20)),
        ("dry mature, 1,100 lb", "10.4 lb", "TDN", (1100, 7, 20)),
        ("dry mature, 1,100 lb", "1.41 lb", "CP", (1100, 7, 20)),
        ("pregnant, 1,100 lb", "10.9 lb", "TDN", (1100, 9, 20)),
        ("pregnant, 1,100 lb", "1.52 lb", "CP", (1100, 9, 20)),
        ("nursing a calf, weight not stated", "12.7 lb", "TDN", (1000, 2, 10)),
        ("nursing a calf, weight not stated", "2.01 lb", "CP", (1000, 2, 10)),
        ("non-lactating, last trimester, 1,000 lb", "1.54 lb", "CP", (1000, 10, 20)),
        ("non-lactating, last trimester, 1,000 lb", "1.73 (month 11)", "CP", (1000, 11, 20)),
        ("lactating, 10 lb milk, 1,000 lb", "2.01 lb", "CP", (1000, 2, 10)),
        ("early lactation, 18 lb milk, 1,000 lb, low", "2.50 lb", "CP", (1000, 1, 20)),
        ("late lactation, 7 lb milk, 1,000 lb, low", "1.88 lb", "CP", (1000, 6, 20)),
        ("mid-pregnancy, dry, 1,000 lb", "1.32 to", "CP", (1000, 7, 20)),
        ("mid-pregnancy, dry, 1,000 lb", "to 1.42 lb", "CP", (1000, 9, 20)),
    ],
)
def test_table_tells_the_gap_between_print_and_equation(row: str, said: str, nutrient: str, cow: tuple) -> None:
    text = str(load("need_statements").row(row)["equations"])
    assert said in text
    number = said.replace("to", "").split()[0]
    value = h.daily_need(nutrient, *cow, CALF)
    assert value == pytest.approx(float(number), abs=0.5001 * 10.0 ** -len(number.partition(".")[2]))


def test_statement_that_is_not_there() -> None:
    with pytest.raises(h.NotInTable, match="what the row states: TDN lb; ask"):
        h.need_from_table("late gestation, 1,300 lb", "CP %")
    with pytest.raises(h.NotInTable, match="did you mean late gestation, 1,300 lb"):
        h.need_from_table("late gestation 1300 lb", "TDN lb")
    with pytest.raises(h.BadInput, match="TDN lb, TDN %"):
        h.need_from_table("late gestation, 1,300 lb", "TDN")
