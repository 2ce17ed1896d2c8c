"""The columns of the user's lists in words, for `hayfuncs lots --columns`."""

from __future__ import annotations

from hayfuncs.contract.errors import listing
from hayfuncs.importers.headings import FORMS
from hayfuncs.importers.labreport import aligned
from hayfuncs.importers.model import FIRST_YEAR, GROUP_COLUMNS, LAST_YEAR, LOT_COLUMNS, Column, limits_of, names_of
from hayfuncs.importers.register import SAMPLE


def columns_text() -> str:
    """Every column: heading, name for --column, what is allowed, the wordings known for it."""
    lines = ["LOTS.csv: one row a lot; headings in any order, capitals and punctuation do not matter; * is needed."]
    lines += ["+ is needed unless the headings or --basis say whether the values are dry or as fed."]
    lines += [
        "~ stands on the lot's Basis, one for all its values: nitrate, prussic acid and ergovaline as well as protein and minerals;",
        "  the workbook puts what is as fed on dry matter. What is allowed is meant of the dry matter.",
    ]
    lines += _block(LOT_COLUMNS)
    lines += ["", "A lab may report instead (`hayfuncs lots` converts):"]
    for name, form, phrases in FORMS:
        lines.append(f"  {form} for {name}: {phrases.replace(' | ', ', ')}")
    lines += ["", "Units known in a heading: %, g/kg, mg/kg, ppm, g/100 g, kg/kg; lb, kg, tonnes, $/ton."]
    lines += [
        "Dry basis: dry, dry matter, DM, dry basis, 100% DM, moisture free. As fed: as fed, as received, as is, fresh weight, AR."
    ]
    lines += [
        "",
        "A register of lots (--register) has the same columns, lab values left out, and may name the lab's sample:",
    ]
    lines += [f"    {SAMPLE.heading}: {', '.join(SAMPLE.accepted)}"]
    lines += [
        "",
        "HERD.csv: one row a group. + is needed unless the group has a calving date, which gives it for the start of winter.",
        "c is needed by class: milk, calf and condition of all that calve; weight when grown of all but cows; gain wanted of growing cattle and bulls.",
    ]
    lines += _block(GROUP_COLUMNS)
    return "\n".join(lines)


def _block(columns: tuple[Column, ...]) -> list[str]:
    rows = [("Heading", "Name", "Allowed")]
    rows += [(c.heading + _marks(c), c.field, _allowed(c)) for c in columns]
    lines = aligned(rows)
    words = [line for c in columns for line in (f"    {c.heading}: {', '.join(c.accepted)}",)]
    return [*lines, "  Wordings known, in any order of words:", *words]


def _marks(column: Column) -> str:
    needed = "*" if column.required else "+" if column.field in ("basis", "month_since_calving") else ""
    by_class = ("peak_milk_lb", "calf_weight_lb", "condition_score", "grown_weight_lb", "gain_wanted_lb")
    marks = needed + ("~" if column.on_basis else "") + ("c" if column.field in by_class else "")
    return f" {marks}" if marks else ""


def _allowed(column: Column) -> str:
    if column.kind == "date":
        return f"a date, {FIRST_YEAR} to {LAST_YEAR}; best written 2024-07-15"
    if column.words or names_of(column):
        return listing(column.words or names_of(column))
    if column.limits is None:
        return "text"
    return limits_of(column).allowed() + (", whole" if column.kind == "whole" else "")
