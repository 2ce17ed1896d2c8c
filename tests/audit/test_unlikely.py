"""Inputs of our own workbook that may be typed and can hardly be meant."""

from __future__ import annotations

from pathlib import Path

import building
from audit.damagelib import File
from audit.spots import Spots

from hayfuncs.audit.run import audit
from hayfuncs.workbook import build


def test_slips_of_a_hundred_are_found_at_their_cells(tmp_path: Path) -> None:
    data = building.built(building.SMALL, "functions", build.FARM)[2].read_bytes()
    spots, file = Spots(data), File(data)
    slips = {
        spots.line("Hay pile", "Hay to buy costs"): 1.4,  # far from what this version begins with
        spots.cell("Hazards", "Moisture at baling", 10): 0.18,  # far from the others of its column
        spots.cell("Stock", "Price, by the ton", 9): 2.3,  # no hay costs that
        spots.cell("Stock", "Price, by the ton", 11): 16_000,  # nor that; the bound is a whole number
        spots.cell("Lots", "Nitrate nitrogen", 9): 16_000,  # ppm; hardly any hay holds so much
    }
    for where, value in slips.items():
        file.number(where, value)
    path = tmp_path / "slips.xlsx"
    path.write_bytes(file.recalculated().bytes())
    found = {f.cell for f in audit(path).findings if f.rule == "implausible" and f.above_note}
    assert found == set(slips)
