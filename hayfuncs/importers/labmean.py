"""The scans of one sample made into one lot: means with their spread, one text for each field, notes carried along."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from hayfuncs.contract.errors import listing
from hayfuncs.contract.files import LONGEST_TEXT
from hayfuncs.forage.lab_checks import MISSING
from hayfuncs.forage.lab_repeatability import lab_difference_note
from hayfuncs.forage.plausibility import WORDS, broken, met, told
from hayfuncs.importers.accepted import is_lab, words_in
from hayfuncs.importers.faults import Faults, quoted
from hayfuncs.importers.kinds import cutting_of
from hayfuncs.importers.labmap import Plan
from hayfuncs.importers.labscan import Scan
from hayfuncs.importers.labwarn import sentences
from hayfuncs.importers.model import (
    AS_FED,
    AT_LEAST,
    AT_MOST,
    CORE,
    DRY,
    FORAGES,
    LIMIT_OF,
    LOT_COLUMNS,
    Column,
    Lot,
    column_of,
    limits_of,
    names_of,
)
from hayfuncs.importers.own import as_text, word_of
from hayfuncs.importers.sheet import Cell
from hayfuncs.importers.table import Table
from hayfuncs.importers.values import Unreadable, date, is_blank, number

MORE = " ..."  # stands for the rest of a note that was cut
DECIMALS = 3  # places kept of a converted or averaged value; labs print two
# values of which a laboratory's usual error is published; scans further apart than that are pointed out
MEASURES = {"cp_pct": "CP", "adf_pct": "ADF", "ndf_pct": "NDF"}
NUMBERS = tuple(c for c in LOT_COLUMNS if c.kind in ("number", "whole") and c.field != "cutting")
TEXTS = tuple(
    c for c in LOT_COLUMNS if c not in NUMBERS and c.field not in ("name", "basis", "notes", *LIMIT_OF.values())
)
# one analysis printed on two bases agrees within the lab's rounding
ROUNDED_ABOUT, ROUNDED_SHARE = 0.1, 0.02


@dataclass(frozen=True)
class Spread:
    """How the scans of one lot lie: count, and of each lab value how many, the lowest and the highest."""

    scans: int
    ends: dict[str, tuple[int, float, float]]
    far: tuple[str, ...] = ()  # fields whose ends lie further apart than one lab's usual error


@dataclass
class FileRead:
    """One file as it was understood."""

    table: Table
    plan: Plan
    mark: str  # its decimal mark
    orders: dict[str, str]  # day and month order of each column of dates
    absent: set[str] = field(default_factory=set)  # fields for which no heading was found, which is said already
    first: Scan | None = None
    passed_over: list[tuple[int, str]] = field(
        default_factory=list
    )  # rows without values, or of averages, and their names


def short_name(name: str) -> str:
    """The heading without its unit: `Crude protein`."""
    return column_of(name).heading.partition(" (")[0]


def lot_of(
    group: list[Scan],
    file: FileRead,
    known: dict[str, Any],
    fill: dict[str, Any],
    faults: Faults,
    accept: Sequence[str] = (),
) -> tuple[Lot, Spread | None] | None:
    """The lot of one sample, or None when a fault was noted.

    `known` is what the register says of this lot, `fill` what the user says of all lots, `accept`
    the words by which the user accepts what is seldom seen.
    """
    before = len(faults)
    name = one_name(group, known)
    group = one_of_two_bases(group, faults)
    values: dict[str, Any] = {}
    ends: dict[str, tuple[int, float, float]] = {}
    for column in NUMBERS:
        here = [s.values[column.field] for s in group if column.field in s.values]
        if not here or (is_lab(column) and _too_few(column.field, group, len(here))):
            continue
        if column.field in LIMIT_OF:
            values[column.field], limit = highest(column.field, group)
            values[LIMIT_OF[column.field]] = limit or None
        else:
            mean = sum(here) / len(here)
            values[column.field] = int(mean) if column.kind == "whole" else round(mean, DECIMALS)
        if is_lab(column):
            ends[column.field] = (len(here), min(here), max(here))
        elif len(set(here)) > 1:
            _differ(column, group, [s.row for s in group if column.field in s.values], here, faults)
    for column in TEXTS:
        filled = column.field in known or column.field in fill
        found = _one_text(column, group, file, filled, faults)
        if found is not None:
            values[column.field] = found
    for key, value in known.items():
        if key not in ("name", "sample", "notes") and values.setdefault(key, value) != value:
            said = f"{quoted(values[key])} here and {quoted(value)} in the register"
            faults.add(f"sample {quoted(group[0].name)} has {column_of(key).heading} {said}; put one of them right")
    for key, value in fill.items():
        values.setdefault(key, value)
    if "forage" in file.absent:  # asked about already; any word will do to look at the rest in the same pass
        values.setdefault("forage", FORAGES[0])
    if "lab_tdn_pct" in values:
        uses = file.plan.of("lab_tdn_pct")
        values.setdefault("lab_tdn_equation", uses[0].form if uses and uses[0].form else None)
    values["accepted"] = _plausible(group, values, (*accept, *words_in(values.get("accepted") or "")), faults)
    asked = [u.column.field for u in file.plan.asked]
    if len(faults) == before and not asked and "dm_pct" not in values and file.plan.of("dm_pct"):
        faults.add(
            f"sample {quoted(group[0].name)} is given dry only and nothing says its dry matter as received; "
            "add --fill dm_pct=..., or its dry matter to the file"
        )
    if len(faults) > before or any(
        values.get(c.field) is None for c in LOT_COLUMNS if c.required and c.field != "name"
    ):
        return None
    spread = None
    if len(group) > 1:
        far = [
            f for f, measure in MEASURES.items() if f in ends and lab_difference_note.plain(measure, *ends[f][1:], True)
        ]
        spread = Spread(len(group), ends, tuple(far))
    lot = Lot(**{"field": "", "cutting": None, **values, "name": name, "basis": DRY})
    warned = [s.rstrip(".") for s in sentences(lot) if s != MISSING]
    every = (*warned, known.get("notes"), _notes(group, spread, lot))
    return replace(lot, notes=shortened("; ".join(part for part in every if part))), spread


def highest(poison: str, group: Sequence[Scan]) -> tuple[float, str]:
    """Of several scans the highest counts; it is at least so much where any of them was only a lower limit."""
    here = [(s.values[poison], s.limits.get(poison, "")) for s in group if poison in s.values]
    most = max(value for value, _ in here)
    words = {word for value, word in here if value == most or word == AT_LEAST}
    limit = AT_LEAST if AT_LEAST in words else "" if "" in words else AT_MOST
    return round(most, DECIMALS), limit


def _too_few(name: str, group: Sequence[Scan], here: int) -> bool:
    """Whether half of the scans or more had to be refused: the rest are then the lucky ones, not the mean."""
    lost = sum(name in s.blank for s in group)
    return lost > 0 and here <= lost and len(group) > 1


def _plausible(group: Sequence[Scan], values: dict[str, Any], accept: Sequence[str], faults: Faults) -> str:
    """Asks about what is seldom seen; the words that were needed here go with the lot."""
    rows = ", ".join(str(s.row) for s in group)
    for rule in broken(values, accept):
        if rule.word:
            faults.add(
                f"row{'s' if len(group) > 1 else ''} {rows}, sample {quoted(group[0].name)}: {told(rule, values)}; {rule.fix} "
                f"If it is right, add --accept {rule.word}"
            )
    for word in accept:
        if word not in WORDS:
            faults.add(
                f"sample {quoted(group[0].name)}: {quoted(word)} under Accepted is not known; allowed: {', '.join(WORDS)}"
            )
    return "; ".join(met(values, accept))


def one_of_two_bases(group: list[Scan], faults: Faults) -> list[Scan]:
    """A sample given as received and again dry is one analysis in two columns, not two scans of it."""
    wet, dry = ([s for s in group if s.basis == basis] for basis in (AS_FED, DRY))
    if not wet or len(wet) != len(dry) or len(wet) + len(dry) != len(group):
        return group
    made = []
    for one, other in zip(wet, dry, strict=True):
        for name in sorted(one.values.keys() & other.values.keys() - {"dm_pct"}):
            first, second = one.values[name], other.values[name]
            if is_lab(column_of(name)) and abs(first - second) > ROUNDED_ABOUT + ROUNDED_SHARE * max(first, second):
                faults.add(
                    f"rows {one.row} and {other.row}: sample {quoted(one.name)} is given as received and dry, but they do not agree in "
                    f"{short_name(name)}: {first:.4g} and {second:.4g} on dry basis; put one right or take it out"
                )
        dm = {"dm_pct": one.values["dm_pct"]} if "dm_pct" in one.values else {}
        made.append(
            replace(
                other,
                values={**one.values, **other.values, **dm},
                limits={**one.limits, **other.limits},
                cells={**one.cells, **{k: v for k, v in other.cells.items() if not is_blank(v)}},
                remarks=list(dict.fromkeys([*one.remarks, *other.remarks])),
                twice=True,
            )
        )
    return made


def _differ(column: Column, group: list[Scan], rows: list[int], said: list[Any], faults: Faults) -> None:
    faults.add(
        f"rows {', '.join(map(str, sorted(rows)))} are all sample {quoted(group[0].name)} but differ in {column.heading} "
        f"({', '.join(dict.fromkeys(str(v) for v in said))}); give two lots two names"
    )


def _one_text(column: Column, group: list[Scan], file: FileRead, filled: bool, faults: Faults) -> Any:
    """The text, word or date that all scans of the sample agree on, or None."""
    found: dict[Any, list[int]] = {}
    uses = file.plan.of(column.field)
    unread = False
    for scan in group:
        cell = scan.cells.get(column.field, "")
        if is_blank(cell):
            continue
        try:
            value = farm_value(column, cell, file.mark, file.orders.get(column.field, "dmy"))
            found.setdefault(value, []).append(scan.row)
        except Unreadable as why:
            unread = True
            if not filled:
                fix = f'or give it for all lots whose file does not say: --fill "{column.field}=..."'
                faults.cell(scan.row, uses[0].heading, cell, str(why).removeprefix("allowed: "), fix)
    if len(found) > 1:
        _differ(column, group, [r for rows in found.values() for r in rows], list(found), faults)
    if not found and column.required and not filled and not unread and column.field not in file.absent:
        faults.add(
            f"nothing says the {column.heading.lower()} of sample {quoted(group[0].name)}; put it in the register or {fill_hint(column)}"
        )
    return next(iter(found), None)


def fill_hint(column: Column) -> str:
    return f"add --fill {column.field}={column.words[0]} (or {', '.join(column.words[1:])})"


def farm_value(column: Column, cell: Cell, mark: str, order: str) -> Any:
    """A cell of a column that is no lab value, or Unreadable with what is allowed."""
    if column.kind == "date":
        return date(cell, order)
    text = as_text(cell)
    if column.kind in ("number", "whole"):
        value = cutting_of(text) if column.field == "cutting" else None
        value = number(cell, mark) if value is None else value
        limits = limits_of(column)
        if value is None or not limits.possible(value) or (column.kind == "whole" and value != int(value)):
            raise Unreadable(f"allowed: {limits.allowed()}")
        return int(value) if column.kind == "whole" else value
    if column.words or names_of(column):
        word = word_of(column, text)
        if word is None:
            raise Unreadable(f"allowed: {listing(column.words or names_of(column))}")
        return word
    return text


def one_name(group: list[Scan], known: dict[str, Any]) -> str:
    """The lot's name: the register's spelling where it has the lot."""
    return str(known.get("name") or group[0].name)


def shortened(text: str) -> str:
    """A note that fits its cell: a longer one is cut after its last whole part, with "..." for the rest."""
    if len(text) <= LONGEST_TEXT:
        return text
    cut = text[: LONGEST_TEXT - len(MORE)]
    ends = [cut.rfind(mark) + 1 for mark in (". ", "; ", " ")]  # a sentence, a part of ours, a word
    end = next((place for place in ends if place > LONGEST_TEXT // 2), len(cut))
    return cut[:end].rstrip("; ") + MORE


def _notes(group: list[Scan], spread: Spread | None, lot: Lot) -> str:
    parts = [limit_says(lot, poison) for poison in LIMIT_OF]
    parts += list(dict.fromkeys(remark for scan in group for remark in scan.remarks))
    parts.extend(refused.short() for scan in group for refused in scan.left_blank)
    if group[0].twice:
        parts.append("given as received and dry: counted once")
    if spread is not None:
        ends = [f"{short_name(f)} {low:.2f} to {high:.2f}" for f, (_, low, high) in spread.ends.items() if f in CORE]
        parts.append(f"mean of {spread.scans} scans ({', '.join(ends)})")
        parts += [
            f"{short_name(f)}: {'highest' if f in LIMIT_OF else 'mean'} of {count} of {spread.scans} scans"
            for f, (count, _, _) in spread.ends.items()
            if count < spread.scans
        ]
        parts += [
            f"{short_name(f)}: left blank, as half of the scans or more could not be"
            for f in sorted({f for scan in group for f in scan.blank})
            if f not in spread.ends
        ]
        if spread.far:
            parts.append(
                f"scans lie further apart than one lab's usual error in {', '.join(map(short_name, spread.far))}"
            )
    if lot.accepted:
        parts.append(f"accepted: {lot.accepted}")
    return "; ".join(part for part in parts if part)


def limit_says(lot: Lot, poison: str) -> str:
    """`Nitrate nitrogen: at least 5,000 ppm`; empty for a number that is no limit."""
    word, value = getattr(lot, LIMIT_OF[poison]), getattr(lot, poison)
    return "" if not word else f"{column_of(poison).meaning}: {word} {value:,g} {column_of(poison).unit}"
