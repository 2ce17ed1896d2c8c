"""A new workbook from an older one: today's version, the user's values."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields, replace
from pathlib import Path
from typing import Any

from hayfuncs import __version__
from hayfuncs.contract.files import UserError, refuse_overwrite
from hayfuncs.cow.classes import GROWING
from hayfuncs.importers.model import FORAGES, Group, Lot
from hayfuncs.workbook import build, write
from hayfuncs.workbook.barn import Barn, Weighing
from hayfuncs.workbook.easyplanning import Asked
from hayfuncs.workbook.farm import DEMO, WHAT, Farm, roomy
from hayfuncs.workbook.keep import Keeper
from hayfuncs.workbook.model import Book, Content
from hayfuncs.workbook.oldfile import TYPED_LATER, Held, Old, read_old
from hayfuncs.workbook.season import Offer, Season
from hayfuncs.workbook.sheets.inputlist import any_row
from hayfuncs.workbook.tabs import ROW_KEY

Progress = Callable[[str], None]
NOT_WEIGHED = Weighing("", math.nan, math.nan, math.nan)  # a row of the bench, to be filled from the old one
NOT_OFFERED = Offer("", None, None, *[math.nan] * 6)
MOST_LISTED = 60  # lines of one kind in the account


@dataclass
class Rebuilt:
    """The new workbook and the account of what went into it."""

    book: Book
    values: write.Values
    keeper: Keeper

    def left_out(self) -> list[tuple[str, Held, str]]:
        return left_out(self.book, self.keeper)


def rebuild(
    old_path: Path, new_path: Path, edition: str | None = None, force: bool = False, progress: Progress | None = None,
    room: bool = False,
) -> Rebuilt:  # fmt: skip
    """Read, build and write; `edition` None keeps the old one's; `room` leaves free rows though the old one had none."""
    refuse_overwrite(new_path, force)
    book, keeper = remake(old_path, edition, progress=progress, room=room)
    return Rebuilt(book, write.save(book, new_path, force, progress, own=True), keeper)


def remake(
    old_path: Path, edition: str | None = None, leave: tuple[str, ...] = (), typed: Mapping[str, Content] | None = None,
    progress: Progress | None = None, asked: Asked | None = None, kind: str | None = None,
    answering: build.Answering | None = None, room: bool = False,
) -> tuple[Book, Keeper]:  # fmt: skip
    """The model with an older workbook's values in it, not written yet; `kind` None keeps the old one's.

    Tables in `leave` are not taken over; `typed` stands in place of what the old one holds.
    """
    old = read_old(old_path)
    for key, value in (typed or {}).items():
        old.values[key] = Held(value, "as given", key)
    keeper = Keeper(old, leave=leave)
    free = [old.free.get(table, 0) for table in TYPED_LATER]
    made = build.build(
        roomy(farm_of(old), *free) if room or any(free) else farm_of(old),
        edition or edition_of(old),
        keeper,
        progress=progress,
        asked=asked,
        kind=kind or kind_of(old.known),
        answering=answering,
    )
    return made, keeper


def left_out(book: Book, keeper: Keeper) -> list[tuple[str, Held, str]]:
    return [*keeper.refused, *keeper.not_used(book)]


def edition_of(old: Old) -> str:
    return old.edition if old.edition in build.EDITIONS else build.EDITIONS[0]


def kind_of(known: Iterable[str]) -> str:
    """Whether a workbook holds a winter plan, by the keys of its inputs."""
    return build.PLAN if any(key.startswith("Plan/") for key in known) else build.FARM


def farm_of(old: Old) -> Farm:
    """As many lots, groups and feeds as the old workbook has, with what each layout must know of them."""
    lots, groups, feeds = (old.rows.get(table, 0) for table in ("Lots", "Herd", "Feeds"))
    if not lots or not groups:
        raise UserError(f"{old.path.name} has no {'lots' if not lots else 'groups'} in it; there is nothing to keep")
    prices: dict[str, float] = {}
    for i in range(1, feeds + 1):
        name = str(old.get(f"Feeds/{i}/name") or "")
        prices[name if name and name not in prices else f"row {i}"] = math.nan
    offers = old.rows.get("Hay to buy")
    season = Season() if offers is None else Season(offers=(NOT_OFFERED,) * offers)
    farm = Farm(
        tuple(_filled(Lot, old, f"Lots/{i}") for i in range(1, lots + 1)),
        tuple(_filled(Group, old, f"Herd/{i}") for i in range(1, groups + 1)),
        prices, f"Your own values, kept from the workbook {old.path.name}.",
        barn=Barn(bench=(NOT_WEIGHED,) * old.rows.get("Bench", 0)), season=season,
    )  # fmt: skip
    return replace(farm, what=WHAT) if _is_demo(old) else farm


def _filled(kind: Any, old: Old, prefix: str) -> Any:
    """A lot or group of which only the name and the forage count; NaN or "" where a value is needed.

    The values themselves go into the inputs one by one, each looked at there.
    """
    given: dict[str, Any] = {}
    for field in fields(kind):
        if field.default is MISSING:
            given[field.name] = "" if field.type == "str" else math.nan
    given["name"] = str(old.get(f"{prefix}/name") or "")
    if kind is Lot:
        forage = old.get(f"{prefix}/forage")
        given["forage"] = forage if forage in FORAGES else FORAGES[0]  # only for the look of its mark
    if kind is Group:  # the calving date follows from it where none is typed
        month = old.get(f"{prefix}/month_since_calving")
        given["month_since_calving"] = month if isinstance(month, (int, float)) else math.nan
    if kind is Group and old.get(f"{prefix}/cattle_class") in GROWING:
        given |= dict.fromkeys(("month_since_calving", "peak_milk_lb", "calf_weight_lb", "condition_score"))
    return kind(**given)


def _is_demo(old: Old) -> bool:
    names = [old.get(f"Lots/{i}/name") for i in range(1, old.rows["Lots"] + 1)]
    return names == [lot.name for lot in DEMO.lots]


def account(done: Rebuilt) -> list[str]:
    """What was carried and what was not, in lines."""
    old, carried = done.keeper.old, done.keeper.carried
    out = [
        f"{old.path.name}: made by hayfuncs {old.version or '?'}, {old.edition or '?'} edition; now hayfuncs {__version__}"
    ]
    tables = Counter(c.key.split("/")[0] for c in carried if ROW_KEY.fullmatch(c.key))
    for table, count in tables.items():
        out.append(f"  {table}: {count} values in {_used(old, table)} rows")
    single = Counter(c.key.split("/")[0] for c in carried if not ROW_KEY.fullmatch(c.key))
    for sheet, count in single.items():
        out.append(f"  {sheet}: {count} values")
        moved = [
            c
            for c in carried
            if c.key.startswith(f"{sheet}/") and not ROW_KEY.fullmatch(c.key) and c.value != c.default
        ]
        out += [
            f"    {c.key.split('/', 1)[1]}: {c.value} (kept; the new default is {_shown(c.default)})" for c in moved
        ]
    out.append(f"Carried: {len(carried)} values.")
    out += part("Changed on the way", [(c.key, c.held, c.note) for c in carried if c.note])
    out += part("Not carried", done.left_out())
    if done.keeper.fresh:
        names = sorted({any_row(key) for key in done.keeper.fresh})
        out.append(f"New in this version, at its first value: {', '.join(names)}")
    return out


def _used(old: Old, table: str) -> int:
    return old.rows.get(table, 0)


def part(title: str, lines: Sequence[tuple[str, Held, str]]) -> list[str]:
    if not lines:
        return [f"{title}: nothing."] if title == "Not carried" else []
    out = [f"{title}: {len(lines)}"]
    for key, held, why in lines[:MOST_LISTED]:
        out.append(f"  {key}, {held.sheet}!{held.cell}, {_shown(held.value)}: {why}")
    if len(lines) > MOST_LISTED:
        out.append(f"  and {len(lines) - MOST_LISTED} more")
    return out


def _shown(value: Content) -> str:
    return "empty" if value is None else str(value)
