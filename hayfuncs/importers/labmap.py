"""Which column of a lab's file feeds which field: taken from the headings where certain, asked for where not."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from statistics import median

from hayfuncs.contract.files import UserError
from hayfuncs.contract.units import KG_TO_LB
from hayfuncs.importers.faults import ROWS_SHOWN, Faults, quoted
from hayfuncs.importers.headings import (
    RESIDUE,
    Heading,
    nearest,
    poison_of,
    read_heading,
    stands_on_basis,
    unit_and_basis,
)
from hayfuncs.importers.model import CORE, DRY, LOT_COLUMNS, TRACE, Column, limits_of
from hayfuncs.importers.table import Table
from hayfuncs.importers.values import Unreadable, is_silent, number

# how many of a unit make one percent: 10 g/kg are 1 %
PER_PERCENT = {"%": 1.0, "% of NDF": 1.0, "g/kg": 10.0, "ppm": 10_000.0, "ppb": 10_000_000.0, "kg/kg": 0.01}
PERCENT_UNITS = ("%", "g/kg", "ppm", "kg/kg")
UNITS_OF = {
    "% DM": PERCENT_UNITS, "% as fed": PERCENT_UNITS, "ppm": PERCENT_UNITS, "ppb": ("ppb", "ppm"), "% of NDF": ("% of NDF", "%"), "lb": ("lb", "kg"),
    "tons": ("tonnes", "lb"), "$/ton as fed": ("$/ton as fed", "$"), "Mcal/lb DM": ("Mcal/lb", "Mcal/cwt", "Mcal/kg", "MJ/kg"),
}  # fmt: skip
# A column that states no unit is taken as % only when its middle value is no more than this.  Own limits, only to
# tell % from g/kg: hay in g/kg lies well above each of them.  Common practice, no source.
MIDDLE_IN_PERCENT = {
    "dm_pct": 100, "cp_pct": 35, "adf_pct": 70, "ndf_pct": 90, "ndfd48_pct": 100, "ash_pct": 25, "fat_pct": 10, "lignin_pct": 20,
    "lab_tdn_pct": 90, "ca_pct": 2.5, "p_pct": 0.8, "mg_pct": 0.8, "k_pct": 5, "s_pct": 0.8, "adicp_pct": 10, "ndicp_pct": 15,
}  # fmt: skip
MJ_PER_MCAL = 4.184  # by definition of the calorie
MCAL_PER_LB = {"Mcal/lb": 1.0, "Mcal/cwt": 1 / 100, "Mcal/kg": 1 / KG_TO_LB, "MJ/kg": 1 / MJ_PER_MCAL / KG_TO_LB}
# the lab's own arithmetic and what few labs measure: left out, and said so, where another column would be asked about
OPTIONAL = ("lab_nel_mcal_lb", "lab_rfv", "na_pct", *TRACE)
LEAST_DM_IN_PERCENT = 10  # below this a dry matter without a unit may be a fraction
NAME_FIRST = ("lot", "hay lot", "lot name", "sample id", "sample name", "sample number", "sample no", "sample")
OF_NDF = "% of NDF"
OF_PROTEIN = "% of CP"  # a share of the lot's own protein, the same on either basis
SHARES = ("adicp_pct", "ndicp_pct")  # what labs give so too
SKIP = "skip"  # --column "Their heading=skip"
# names that --column takes for what a lab reports in place of a field
OTHER_NAMES = {
    "moisture_pct": ("dm_pct", "moisture"), "nitrogen_pct": ("cp_pct", "nitrogen"), "adin_pct": ("adicp_pct", "nitrogen"),
    "ndin_pct": ("ndicp_pct", "nitrogen"), "nitrate_ppm": ("nitrate_n_ppm", "NO3"), "nitrate_as_kno3_ppm": ("nitrate_n_ppm", "KNO3"),
    "undigested_ndf48_pct": ("ndfd48_pct", RESIDUE),
}  # fmt: skip


@dataclass(frozen=True)
class Use:
    """One column in use: the field it feeds and how its numbers are to be read."""

    place: int
    heading: str
    column: Column
    form: str = ""
    unit: str = ""
    basis: str = ""  # empty where no basis goes with the field, or where each row states its own
    unit_stated: bool = True


@dataclass
class Plan:
    """The mapping of one file, and what stays unused and why."""

    uses: list[Use] = field(default_factory=list)
    unused: list[tuple[str, str]] = field(default_factory=list)
    asked: list[Use] = field(default_factory=list)  # columns with an open question: not read until it is settled

    @cached_property
    def numbers(self) -> tuple[Use, ...]:
        """Columns of numbers, each after those it needs: dry matter first, shares of protein and NDF last.

        The cutting is read as a word (`2nd`).
        """
        found = [u for u in self.uses if u.column.kind in ("number", "whole") and u.column.field != "cutting"]
        return tuple(
            sorted(found, key=lambda u: (u.column.field != "dm_pct", u.unit == OF_PROTEIN or u.form == RESIDUE))
        )

    @cached_property
    def texts(self) -> tuple[Use, ...]:
        return tuple(u for u in self.uses if u not in self.numbers and u.column.field != "name")

    def of(self, name: str) -> list[Use]:
        return [u for u in self.uses if u.column.field == name]


def parse_choice(text: str) -> Heading:
    """`Their heading=adf_pct`, with a unit and a basis behind a comma where needed."""
    heading, sign, meaning = text.rpartition("=")
    first, _, rest = meaning.partition(",")
    name = first.strip().casefold()
    if not sign or not heading.strip() or not name:
        raise UserError(f'--column {quoted(text)} is not understood; write it like --column "Their heading=adf_pct"')
    if name == SKIP:
        return Heading(heading.strip(), SKIP)
    by_name = {c.field: (c.field, "") for c in LOT_COLUMNS} | OTHER_NAMES
    if name not in by_name:
        known = read_heading(meaning.strip(), LOT_COLUMNS)
        if not known.field:
            allowed = ", ".join([*by_name, SKIP])
            raise UserError(f"--column {quoted(text)}: {quoted(first.strip())} is not known; allowed: {allowed}")
        return Heading(heading.strip(), known.field, known.form, known.unit, known.basis)
    unit, basis = "", ""
    for part in rest.split(","):
        found = unit_and_basis(part) if part.strip() else ("", "")
        if found is None:
            raise UserError(
                f"--column {quoted(text)}: {quoted(part.strip())} is no unit and no basis; "
                'write it like --column "Their heading=ca_pct, g/kg, dry"'
            )
        unit, basis = unit or found[0], basis or found[1]
    return Heading(heading.strip(), *by_name[name], unit, basis)


def plan_of(
    table: Table, choices: Sequence[Heading], basis: str | None, unit: str | None, mark: str, faults: Faults
) -> Plan:
    """The mapping of a table; what is not certain goes to `faults` with the option that settles it."""
    plan = Plan()
    chosen = {c.text.casefold(): c for c in choices}
    claims: dict[str, list[tuple[int, Heading, bool]]] = {}
    for place, heading in enumerate(table.headings):
        choice = chosen.get(heading.text.casefold())
        if choice is not None:
            _contradicts(choice, heading, table, faults)
            heading = Heading(
                heading.text, choice.field, choice.form, choice.unit or heading.unit, choice.basis or heading.basis
            )
        if heading.field and heading.field != SKIP:
            claims.setdefault(heading.field, []).append((place, heading, choice is not None))
        elif heading.text:
            if heading.field != SKIP:
                _ask_poison(heading.text, place, table, faults)
            plan.unused.append((heading.text, "as you said" if heading.field == SKIP else _why(heading)))
    rows_state_basis = "basis" in claims
    for column in LOT_COLUMNS:
        for place, heading in _settle(column, claims.get(column.field, []), plan, faults, table):
            use = Use(place, heading.text, column, heading.form, heading.unit, heading.basis)
            if column.field in OPTIONAL:
                quiet = Faults(table.path)
                placed, readable = _placed(use, table, unit, mark, basis, rows_state_basis, quiet)
                if len(quiet):
                    plan.unused.append((heading.text, "its unit or basis is not stated; say it with --column"))
                    continue
            else:
                placed, readable = _placed(use, table, unit, mark, basis, rows_state_basis, faults)
            (plan.uses if readable else plan.asked).append(placed)
    return plan


def _placed(
    use: Use, table: Table, unit: str | None, mark: str, basis: str | None, rows_state_basis: bool, faults: Faults
) -> tuple[Use, bool]:
    """The use with its unit and its basis, and whether its numbers can be read; what is not certain is asked about."""
    before = len(faults)
    use = _with_unit(use, table, unit, mark, faults)
    readable = len(faults) == before
    if use.unit in (OF_PROTEIN, OF_NDF) or not stands_on_basis(use.column, use.form):
        return replace(use, basis=""), readable
    if use.basis:
        return use, readable
    if rows_state_basis or basis is not None:
        return replace(use, basis="" if rows_state_basis else basis or ""), readable
    faults.heading(
        table.heading_row, use.heading,
        "dry or as fed is not stated; add --basis dry or --basis as-fed, or for this column "
        f'--column "{use.heading}={_option_name(use)}, dry"',
    )  # fmt: skip
    return replace(use, basis=DRY), readable  # only to look at its rows in the same pass; nothing is made of it


def _contradicts(choice: Heading, heading: Heading, table: Table, faults: Faults) -> None:
    """A user's --column that takes what is left after digestion, moisture or the like for the value itself."""
    if choice.field == heading.field and heading.form and not choice.form:
        name = _option_name_of(heading.field, heading.form)
        says = (
            f'this is {heading.form}, not {choice.field}; leave out the option, or say --column "{heading.text}={name}"'
        )
        faults.heading(table.heading_row, heading.text, says)


def _ask_poison(text: str, place: int, table: Table, faults: Faults) -> None:
    """A column with values that may be a poison stops the import: without it the lot would count as not tested."""
    poison = poison_of(text)
    if poison is not None and any(not is_silent(row.cell(place)) for row in table.rows):
        faults.heading(
            table.heading_row, text,
            f'speaks of {poison[0]} and is not certain; say what it is: --column "{text}=FIELD" with FIELD {poison[1]}; '
            f'--column "{text}={SKIP}" leaves it out, and the lots then count as not tested for it',
        )  # fmt: skip


def _why(heading: Heading) -> str:
    near = nearest(heading.text, LOT_COLUMNS)
    return heading.doubt or (f"not certain to be {near}" if near else "")


def _option_name(use: Use) -> str:
    return _option_name_of(use.column.field, use.form)


def _option_name_of(name: str, form: str) -> str:
    other = {pair: option for option, pair in OTHER_NAMES.items()}
    return other.get((name, form), name)


def _settle(
    column: Column, claims: list[tuple[int, Heading, bool]], plan: Plan, faults: Faults, table: Table
) -> list[tuple[int, Heading]]:
    """Of several columns for one field the one to use: the user's, else the plainer form, else the dry one."""
    if column.field == "notes" or len(claims) < 2:
        return [(p, h) for p, h, _ in claims]
    left = [c for c in claims if c[2]] or claims
    if column.field == "name":
        ranks = {p: _rank(h.text) for p, h, _ in left}
        left = [c for c in left if ranks[c[0]] == min(ranks.values())]
        reason = "another column names the sample"
    else:
        left = [c for c in left if not c[1].form] or left
        left = [c for c in left if c[1].basis == DRY] or left
        reason = f"another column gives {column.heading.lower() if column.field not in CORE[2:] else column.heading}"
    if len(left) > 1:
        names = " and ".join(quoted(h.text) for _, h, _ in left)
        keep, drop = left[0][1].text, left[1][1].text
        fix = (
            f'choose: --column "{drop}={SKIP}" keeps {quoted(keep)}'
            if keep != drop
            else "give one of them another heading in the file"
        )
        faults.add(f"row {table.heading_row}: {names} both read as {column.heading}; {fix}")
    for place, heading, _ in claims:
        if place != left[0][0]:
            if poison_of(heading.text) and not any(c[2] for c in claims):
                _ask_other(heading.text, place, left[0][1].text, left[0][0], table, faults)
            plan.unused.append((heading.text, reason))
    return [(left[0][0], left[0][1])]


def _ask_other(text: str, place: int, kept: str, kept_at: int, table: Table, faults: Faults) -> None:
    """Of two columns for one poison the other must not hold a value where the one that is used is blank."""
    rows = [str(r.number) for r in table.rows if is_silent(r.cell(kept_at)) and not is_silent(r.cell(place))]
    if rows:
        shown = ", ".join(rows[:ROWS_SHOWN]) + (" and more" if len(rows) > ROWS_SHOWN else "")
        faults.add(
            f"row {table.heading_row}: {quoted(kept)} is used, but in row {shown} only {quoted(text)} has a value; "
            f'put them into one column, or choose: --column "{kept}={SKIP}" or --column "{text}={SKIP}"'
        )


def _rank(text: str) -> int:
    plain = " ".join(text.casefold().replace("_", " ").split())
    return NAME_FIRST.index(plain) if plain in NAME_FIRST else len(NAME_FIRST)


def _with_unit(use: Use, table: Table, option: str | None, mark: str, faults: Faults) -> Use:
    """The use with its unit settled: stated, given as an option, or plain from the numbers."""
    allowed = UNITS_OF.get(use.column.unit)
    if allowed is None:
        return use
    if use.column.field in SHARES and not use.form:
        allowed = (*allowed, OF_PROTEIN)
    if use.column.field in TRACE:
        allowed = (*allowed, "ppb")
    if use.form == RESIDUE:
        allowed = (*PERCENT_UNITS, OF_NDF)
    if use.unit:
        if use.unit not in allowed:
            faults.heading(
                table.heading_row,
                use.heading,
                f"the unit {use.unit} does not go with it; allowed: {', '.join(allowed)}",
            )
        return use
    percent = use.column.unit.startswith("%") or use.column.unit in ("ppm", "ppb", "Mcal/lb DM")
    if not percent:
        return use
    if use.place in table.percents or _signed(table, use.place):
        return _as(use, "%", True)
    if (
        option is not None
        and option in allowed
        and use.column.unit not in ("ppb", "Mcal/lb DM")
        and use.column.field not in TRACE
    ):  # what holds for the rest does not for it
        return _as(use, option, True)
    if _middle_says_percent(use, table, mark):
        return _as(use, "%", False)
    if len(only := _units_that_fit(use, table, mark)) == 1:
        return _as(use, only[0], False)
    faults.heading(
        table.heading_row, use.heading,
        f'its unit is not stated and not certain from the numbers; say it: --column "{use.heading}={_option_name(use)}, {allowed[0]}" (or {", ".join(allowed[1:])})',
    )  # fmt: skip
    return use


def _as(use: Use, unit: str, stated: bool) -> Use:
    return Use(use.place, use.heading, use.column, use.form, unit, use.basis, stated)


def _signed(table: Table, place: int) -> bool:
    cells = [c for c in (row.cell(place) for row in table.rows) if c != ""]
    return bool(cells) and all(isinstance(c, str) and c.rstrip().endswith("%") for c in cells)


def numbers_in(table: Table, place: int, mark: str) -> Iterable[float]:
    for row in table.rows:
        try:
            value = number(row.cell(place), mark)
        except Unreadable:
            continue
        if value is not None:
            yield value


def _units_that_fit(use: Use, table: Table, mark: str) -> list[str]:
    """Of a mineral in ppm the units that put the middle value where hay can lie: copper of 8 is ppm, never percent."""
    values = list(numbers_in(table, use.place, mark)) if use.column.field in TRACE else []
    ppm = [(unit, median(values) / PER_PERCENT[unit] * PER_PERCENT["ppm"]) for unit in PERCENT_UNITS if values]
    return [unit for unit, value in ppm if limits_of(use.column).possible(value)]


def _middle_says_percent(use: Use, table: Table, mark: str) -> bool:
    if use.form == RESIDUE:
        return False
    values = list(numbers_in(table, use.place, mark))
    most = MIDDLE_IN_PERCENT.get(use.column.field)
    if most is None:
        return False
    if not values:
        return True  # nothing to misread
    middle = median(values)
    if use.form == "nitrogen":
        return middle <= most / 6.25
    if use.column.field == "dm_pct" and not use.form:
        return LEAST_DM_IN_PERCENT <= middle <= most
    return middle <= most
