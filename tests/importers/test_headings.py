"""Headings in plain words: which are certain, and which are left for the user to say."""

from __future__ import annotations

import itertools

import pytest

from hayfuncs.importers.headings import basis_word, nearest, read_heading, unit_and_basis
from hayfuncs.importers.model import AS_FED, DRY, GROUP_COLUMNS, LOT_COLUMNS

CERTAIN = [  # heading, field, form, unit, basis
    ("Crude Protein (% DM)", "cp_pct", "", "%", DRY),
    ("protein, crude; AS-FED", "cp_pct", "", "", AS_FED),
    ("CP", "cp_pct", "", "", ""),
    ("% CP", "cp_pct", "", "%", ""),
    ("Predicted Protein As is %", "cp_pct", "", "%", AS_FED),
    ("CrudeProtein g/kg DM", "cp_pct", "", "g/kg", DRY),
    ("crude.protein.pct", "cp_pct", "", "%", ""),
    ("Total Nitrogen g kg-1", "cp_pct", "nitrogen", "g/kg", ""),
    ("N %", "cp_pct", "nitrogen", "%", ""),
    ("%NDF", "ndf_pct", "", "%", ""),
    ("NDF, % of DM", "ndf_pct", "", "%", DRY),
    ("aNDFom %DM", "ndf_pct", "", "%", DRY),
    ("Fibre, Acid Detergent", "adf_pct", "", "", ""),
    ("DM", "dm_pct", "", "", ""),
    ("Dry Matter (as received) %", "dm_pct", "", "%", ""),
    ("Moisture, %", "dm_pct", "moisture", "%", ""),
    ("NDFD48 (% NDF)", "ndfd48_pct", "", "% of NDF", ""),
    ("NDF Digestibility, 48-hour (% of NDF)", "ndfd48_pct", "", "% of NDF", ""),
    ("P (g kg⁻¹)", "p_pct", "", "g/kg", ""),
    ("Mg mg/kg, dry basis", "mg_pct", "", "ppm", DRY),
    ("NO3-N, ppm", "nitrate_n_ppm", "", "ppm", ""),
    ("Nitrate-N (% DM)", "nitrate_n_ppm", "", "%", DRY),
    ("NO3 (%)", "nitrate_n_ppm", "NO3", "%", ""),
    ("ADIN % DM", "adicp_pct", "nitrogen", "%", DRY),
    ("Crude Protein (N x 6.25), % DM", "cp_pct", "", "%", DRY),
    ("Acid Detergent Fiber (ADF) %", "adf_pct", "", "%", ""),
    ("Dry Matter (DM), %", "dm_pct", "", "%", ""),
    ("Potassium, K [g/kg DM]", "k_pct", "", "g/kg", DRY),
    ("% Dry Matter", "dm_pct", "", "%", ""),
    ("Sample ID", "name", "", "", ""),
    ("Feed type", "forage", "", "", ""),
    ("Warning", "notes", "", "", ""),
    ("Price per ton", "price_per_ton", "", "$/ton as fed", ""),
    ("drymatter", "dm_pct", "", "", ""),
    ("crudeprotein %DM", "cp_pct", "", "%", DRY),
    ("AcidDetergentFiber", "adf_pct", "", "", ""),
    ("sampleid", "name", "", "", ""),
    ("Outlier", "notes", "", "", ""),
    ("Fed in", "feeder", "", "", ""),
    ("48dNDFr as is %", "ndfd48_pct", "residue", "%", AS_FED),
    ("uNDF48, % of NDF", "ndfd48_pct", "residue", "% of NDF", ""),
    ("TDN (% DM)", "lab_tdn_pct", "", "%", DRY),
    ("TDN (ADF), % DM", "lab_tdn_pct", "from ADF", "%", DRY),
    ("Net energy, lactation (Mcal/cwt) DM", "lab_nel_mcal_lb", "", "Mcal/cwt", DRY),
    ("Relative feed value", "lab_rfv", "", "", ""),
    ("Bale weight (kg)", "bale_weight_lb", "", "kg", ""),
]  # fmt: skip
NOT_CERTAIN = [
    "Soluble protein", "Adjusted crude protein %", "Nitrate", "NDFD30 (% NDF)", "dNDF48", "NDFD", "Digestible dry matter", "Fiber",
    "Crude fiber", "ADF SD", "No. 3", "N", "Price per ton DM", "CP as received % / dry matter %", "Sugar", "", "   ", "%",
    "As fed", "As received", "Fed as", "K2O %", "P2O5", "Moisture, dry basis", "Date of analysis", "24dNDFr", "ADF (NDF)", "NDF (digestible)", "ADICP % of protein as fed / dry",
]  # fmt: skip


@pytest.mark.parametrize(("text", "field", "form", "unit", "basis"), CERTAIN)
def test_certain_headings(text: str, field: str, form: str, unit: str, basis: str) -> None:
    found = read_heading(text, LOT_COLUMNS)
    assert (found.field, found.form, found.unit, found.basis) == (field, form, unit, basis)


@pytest.mark.parametrize("text", NOT_CERTAIN)
def test_uncertain_headings_are_left_to_the_user(text: str) -> None:
    assert read_heading(text, LOT_COLUMNS).field == ""


@pytest.mark.parametrize("columns", [LOT_COLUMNS, GROUP_COLUMNS], ids=["lots", "herd"])
def test_our_own_headings_and_every_accepted_wording_are_known(columns: tuple) -> None:
    for column in columns:
        assert read_heading(column.heading, columns).field == column.field
        for phrase in column.accepted:
            for order in itertools.islice(itertools.permutations(phrase.split()), 6):
                assert read_heading(" ".join(order).upper(), columns).field == column.field, (phrase, order)


def test_no_wording_means_two_fields() -> None:
    for columns in (LOT_COLUMNS, GROUP_COLUMNS):
        phrases = [
            " ".join(sorted(p.split())) for c in columns for p in {" ".join(sorted(a.split())) for a in c.accepted}
        ]
        assert len(phrases) == len(set(phrases))


def test_nitrate_without_its_form_says_why_it_is_not_taken() -> None:
    assert "4.4-fold" in read_heading("Nitrate (ppm)", LOT_COLUMNS).doubt


def test_a_typing_error_is_recognised_as_one() -> None:
    assert nearest("Potasium", LOT_COLUMNS) == "Potassium (%)"
    assert nearest("Owner phone", LOT_COLUMNS) == ""


def test_unit_lines_and_basis_words() -> None:
    assert unit_and_basis("% DM") == ("%", DRY)
    assert unit_and_basis("(as received)") == ("", AS_FED)
    assert unit_and_basis("g/kg") == ("g/kg", "")
    assert unit_and_basis("Calcium") is None
    assert unit_and_basis("12") is None
    assert [basis_word(w) for w in ("Dry Matter", "as-fed", "As Received", "AR", "wet", "")] == [
        DRY,
        AS_FED,
        AS_FED,
        AS_FED,
        None,
        None,
    ]
