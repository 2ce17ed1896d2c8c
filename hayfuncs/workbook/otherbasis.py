"""What an older workbook says of a value whose basis is asked in another way now.

The number is carried as it stands.  Where the older version's words and today's read it
differently, today's reading is the higher one, and the account says so with both numbers:
a poison told too high wastes hay, one told too low kills.
"""

from __future__ import annotations

from hayfuncs.importers.model import AS_FED
from hayfuncs.workbook.model import Content
from hayfuncs.workbook.oldfile import Old
from hayfuncs.workbook.sheets.inputlist import ROW_KEY, any_row

# column -> the unit that older versions stated for it
DRY_ONCE = {"Lots/#/nitrate_n_ppm": "ppm, dry basis", "Hazards/#/ergovaline": "ppb of dry matter"}
OF_THE_LOT_ONCE = {"Hazards/#/hcn": "ppm, basis of Lots"}


def other_basis(old: Old, key: str, value: Content) -> str:
    """The line of the account for one value; empty where the version it comes from means the same."""
    match, column = ROW_KEY.fullmatch(key), any_row(key)
    stated = old.units.get(column, "")
    if match is None or not isinstance(value, (int, float)) or not stated:
        return ""
    if OF_THE_LOT_ONCE.get(column) == stated:
        return "stood on the lot's basis; its own is asked beside it now, and until you say dry it is read as wet, the stricter"
    lot = f"Lots/{match.group(2)}"
    dm = old.get(f"{lot}/dm_pct")
    if (
        DRY_ONCE.get(column) != stated
        or old.get(f"{lot}/basis") != AS_FED
        or not isinstance(dm, (int, float))
        or dm <= 0
    ):
        return ""
    unit = stated[:3]
    return (
        f"was labelled {stated}, now stands as fed like the rest of its lot and reads as {value / dm * 100:,.4g} {unit} of dry "
        f"matter, the careful way; if {value:,g} was of dry matter, type {value * dm / 100:,.4g}"
    )
