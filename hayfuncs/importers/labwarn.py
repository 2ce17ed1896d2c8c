"""What LAB_NOTES says of a lot, as single sentences, the gravest first."""

from __future__ import annotations

from hayfuncs.forage import lab_checks
from hayfuncs.importers.model import Lot

GRAVEST_FIRST = (
    lab_checks.FIBER,
    lab_checks.SUM,
    lab_checks.NITRATE,
    lab_checks.WET,
    lab_checks.DRY,
    lab_checks.PROTEIN_LOW,
    lab_checks.PROTEIN_HIGH,
    lab_checks.ADF_NOTE,
    lab_checks.NDF_NOTE,
    lab_checks.ASH,
    lab_checks.MISSING,
)


def sentences(lot: Lot) -> list[str]:
    """The sentences that hold for the lot; ash or fat that was not tested counts as 0 there and is said."""
    text = lab_checks.lab_notes(
        lot.dm_pct, lot.cp_pct, lot.adf_pct, lot.ndf_pct, lot.ash_pct or 0, lot.fat_pct or 0, lot.forage
    )
    return [sentence for sentence in GRAVEST_FIRST if sentence in text]


def gravity(lot: Lot) -> int:
    """0 for what cannot be, more for what is only seldom seen."""
    said = sentences(lot)
    return GRAVEST_FIRST.index(said[0]) if said else len(GRAVEST_FIRST)
