"""HERD.csv, the user's list of herd groups: read, check, write."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from hayfuncs.contract.errors import listing
from hayfuncs.contract.units import DAYS_PER_YEAR, MONTHS_PER_YEAR
from hayfuncs.cow.classes import CALVING, CATTLE, FIRST_CALF, GROWING
from hayfuncs.importers.faults import quoted
from hayfuncs.importers.lots import write_table
from hayfuncs.importers.model import GROUP_COLUMNS, Group, column_of
from hayfuncs.importers.own import OwnFile, open_own
from hayfuncs.importers.table import Row
from hayfuncs.importers.values import is_blank

LEAP_DAY = (2, 29)
# names of groups that are no cows: bulls, growing cattle, other animals
OTHER_CATTLE = re.compile(
    r"\b(bulls?|steers?|stockers?|feeders?|feeder calves|yearlings?|weaned|weanlings?|heifer calves|calves|calf|bullocks?|oxen|"
    r"replacements?|open heifers?|breeding heifers?|horses?|mares?|sheep|ewes?|goats?|bison)\b(?!\s*(pasture|lot|field|side))",
    re.IGNORECASE,
)
MONTH = "month_since_calving"
OF_COWS = ("peak_milk_lb", "calf_weight_lb", "condition_score")  # needed of all that calve, beside the month
OF_CONDITION = ("condition_wanted", "condition_days")


def month_on(day: dt.date, calving: dt.date) -> int:
    """The month since calving on a day, 1 to 12, by the last time the group calved: a calving date comes round each year."""
    came = [first_of(calving, year) for year in (day.year - 1, day.year)]
    since = (day - max(c for c in came if c <= day)).days
    return min(int(since * MONTHS_PER_YEAR / DAYS_PER_YEAR) + 1, int(MONTHS_PER_YEAR))


def first_of(calving: dt.date, year: int) -> dt.date:
    """The date in another year; 29 February is the day after the 28th there."""
    if (calving.month, calving.day) == LEAP_DAY:
        return dt.date(year, 2, 28) + dt.timedelta(days=1)
    return calving.replace(year=year)


def read_herd(path: Path, told: list[str] | None = None, day: dt.date | None = None) -> list[Group]:
    """The groups of a .csv or .xlsx file; one UserError names every fault.

    Where a group has a calving date and no month since calving, the month is that of `day`, and
    `told` receives a line that says so.
    """
    own = open_own(path, GROUP_COLUMNS, told)
    said = "cattle_class" in own.places
    lost = [field for field in OF_COWS if field not in own.places and not said]
    for field in lost:
        heading = column_of(field, GROUP_COLUMNS).heading
        own.faults.add(f"row {own.table.heading_row} has no heading for {heading}; add the column")
    if MONTH not in own.places and not said and ("calving_date" not in own.places or day is None):
        heading = column_of(MONTH, GROUP_COLUMNS).heading
        own.faults.add(
            f"row {own.table.heading_row} has no heading for {heading}; add the column, or one of the calving dates"
        )
        own.faults.refuse()
    groups: list[Group] = []
    seen: dict[str, int] = {}
    for row, found in own.rows():
        bad = len(own.faults)
        name = found.get("name")
        if name is not None:
            first = seen.setdefault(name.casefold(), row.number)
            if first != row.number:
                own.faults.cell(row.number, own.heading("name"), name, "each group once", f"row {first} has it too")
        _cattle(own, row, found)
        _of_class(own, row, found, told)
        calves = found.get("cattle_class") not in GROWING
        if calves and found.get(MONTH) is None and len(own.faults) == bad:
            _month(own, row, found, day, told)
        if len(own.faults) == bad and all(found.get(c.field) is not None for c in GROUP_COLUMNS if c.required):
            asked: dict[str, Any] = dict.fromkeys((MONTH, *OF_COWS))
            groups.append(Group(**asked | found))
    own.faults.refuse()
    return groups


def _cattle(own: OwnFile, row: Row, found: dict[str, Any]) -> None:
    """A group whose name speaks of other cattle is asked about: without a class it is fed as grown cows."""
    name = found.get("name") or ""
    other = OTHER_CATTLE.search(name)
    said = "cattle_class" in own.places and not is_blank(row.cell(own.places["cattle_class"]))
    if other is not None and not said:  # a class that is not known is refused by its own column
        heading = column_of("cattle_class", GROUP_COLUMNS).heading
        fix = f"write in a column {heading} what they are ({listing(CATTLE)}); other animals than cattle: take the group out"
        own.faults.cell(row.number, own.heading("name"), name, "groups of cows, where no class is given", fix)


def _of_class(own: OwnFile, row: Row, found: dict[str, Any], told: list[str] | None) -> None:
    """What a class needs and lacks is a fault; what it has no use for is told."""
    kind, name = found.get("cattle_class"), quoted(found.get("name"))
    grows = kind in GROWING
    for field in () if grows else OF_COWS:
        if found.get(field) is None and _blank(own, row, field):
            _missing(own, row, field, f"needed of a {kind or CATTLE[0]}")
    for field in ("gain_wanted_lb", "grown_weight_lb") if grows else ():
        if found.get(field) is None and _blank(own, row, field):
            _missing(own, row, field, f"needed of a {kind}")
    if kind in CALVING and found.get("grown_weight_lb") is None and _blank(own, row, "grown_weight_lb"):
        if kind != FIRST_CALF:
            _missing(own, row, "grown_weight_lb", f"needed of a {kind}")
        elif told is not None:
            heading = column_of("grown_weight_lb", GROUP_COLUMNS).heading
            told.append(
                f"{own.table.path.name}: {name} counts as grown cows until a column {heading} says what the cows weigh that they become"
            )
    if not grows and (found.get(OF_CONDITION[0]) is None) != (found.get(OF_CONDITION[1]) is None):
        lost = next(field for field in OF_CONDITION if found.get(field) is None)
        if _blank(own, row, lost):
            _missing(own, row, lost, "a condition score wanted and the days to reach it belong together")
    if grows and told is not None:
        unused = [
            column_of(f, GROUP_COLUMNS).heading
            for f in (MONTH, "calving_date", *OF_COWS, *OF_CONDITION)
            if found.get(f) is not None
        ]
        if unused:
            told.append(
                f"{own.table.path.name}: {name} is a {kind}, which does not calve; not used of it: {listing(unused)}"
            )
    if grows:
        found |= dict.fromkeys((MONTH, "calving_date", *OF_COWS, *OF_CONDITION))


def _blank(own: OwnFile, row: Row, field: str) -> bool:
    """Nothing stands there: a value that cannot be has its own fault."""
    return field not in own.places or is_blank(row.cell(own.places[field]))


def _missing(own: OwnFile, row: Row, field: str, why: str) -> None:
    if field in OF_COWS and not {field, "cattle_class"} & set(own.places):
        return  # the list has no such column: said of its headings
    column = column_of(field, GROUP_COLUMNS)
    heading = own.heading(field) if field in own.places else column.heading
    own.faults.cell(row.number, heading, "", own.allowed(column), why)


def _month(own: OwnFile, row: Row, found: dict[str, Any], day: dt.date | None, told: list[str] | None) -> None:
    """The month of a group that gives its calving date instead."""
    calving = found.get("calving_date")
    if calving is None or day is None:
        column = column_of(MONTH, GROUP_COLUMNS)
        heading = own.heading(MONTH) if MONTH in own.places else column.heading
        own.faults.cell(row.number, heading, "", own.allowed(column), "or give the group its calving date")
        return
    found[MONTH] = month_on(day, calving)
    if told is not None:
        name = quoted(found.get("name"))
        told.append(
            f"{own.table.path.name}: {name} is in month {found[MONTH]} since calving on {day}, by its calving date {calving}"
        )


def write_herd(path: Path, groups: Sequence[Group], force: bool = False) -> None:
    """HERD.csv; of what not every class has, the columns in which some group has a value."""
    first = [c.field for c in GROUP_COLUMNS].index("cattle_class")
    optional = [c.field for c in GROUP_COLUMNS[first:]]
    said = {field for field in optional if any(getattr(g, field) is not None for g in groups)}
    write_table(path, [c for c in GROUP_COLUMNS if c.field not in optional or c.field in said], groups, force)


def write_herd_template(path: Path, force: bool = False) -> None:
    """An empty HERD.csv: all the headings, no group."""
    write_table(path, GROUP_COLUMNS, (), force)
