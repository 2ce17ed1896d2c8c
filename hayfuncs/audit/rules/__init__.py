"""The rules, one file a subject; each takes the case and yields findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.rules import (
    carried,
    columns,
    content,
    failures,
    functions,
    inputs,
    layout,
    looks,
    names,
    outward,
    shape,
    structure,
    tables,
    trade,
    units,
    unlikely,
    values,
)

ALL: tuple[Callable[[AuditContext], Iterable[Finding]], ...] = (
    values.stored, values.by_function, values.errors, values.circles, values.left_out,
    columns.breaks, shape.short_ranges, shape.duplicates,
    content.literals, content.masking, content.volatile,
    inputs.text_numbers, inputs.blanks, inputs.impossible, inputs.outside_fit, inputs.unused, inputs.dead,
    failures.failed, outward.outward, structure.hidden, structure.outside, structure.locks, structure.settings, structure.oddities,
    functions.unknown, functions.definitions, tables.values,
    trade.implausible, trade.relations, trade.equations, trade.bases, names.broken, names.beside, names.shadowing, units.clashes, layout.differences, unlikely.unlikely, carried.solved, looks.differences, looks.covered,
)  # fmt: skip
