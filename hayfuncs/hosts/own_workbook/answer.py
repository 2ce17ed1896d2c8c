"""`hayfuncs answer`: the calls of a workbook worked out here, and their values stored in it.

For people whose program has neither LAMBDA names nor the extension.  What does not follow from a call
keeps the value that is stored, and the calls are worked out from those values.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from hayfuncs.contract.files import UserError, replacing
from hayfuncs.hosts import engine
from hayfuncs.hosts.own_workbook.cells import Sheet
from hayfuncs.hosts.own_workbook.following import Following
from hayfuncs.hosts.own_workbook.into import refuse_names, refuse_signed
from hayfuncs.hosts.own_workbook.xml_places import Part
from hayfuncs.hosts.own_workbook.zip_records import Zip
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.contents import ErrorValue, Value, WorkbookData
from hayfuncs.spreadsheet.engine_values import plain_value
from hayfuncs.spreadsheet.package import read_bytes
from hayfuncs.spreadsheet.reader import read

CHAIN = "calcChain"
TYPES = "[Content_Types].xml"
UNKNOWN_TO_ENGINE = ("#NAME?", "#NIMPL")


@dataclass
class Answered:
    """What was made: the file's bytes, and what is told of it."""

    data: bytes
    calls: int
    errors: list[str]  # calls whose value is an error, by address
    followers: int  # formulas that read them, worked out too
    left: list[str] = field(default_factory=list)  # addresses with the reason, not worked out


def answer(own: Path, out: Path, as_values: bool = False, force: bool = False) -> Answered:
    refuse_names(own, out, force)
    done = answered(own, read_bytes(own), as_values)
    with replacing(out, force) as beside:
        beside.write_bytes(done.data)
    return done


def answered(path: Path, data: bytes, as_values: bool = False) -> Answered:
    """The workbook with the values of its calls; `as_values` puts them in the place of the calls."""
    zipped = Zip(path, data)
    refuse_signed(zipped)
    book = read(path, data)
    following = Following(book)
    callers = following.callers()
    if not callers:
        raise UserError(f"{path} calls none of the functions: no formula begins with HAY. and a function's name")
    affected = following.after(callers) | set(callers)
    running = engine.load(_room_for_arrays(zipped, book, following))
    why = {at: following.reads[at].unknown for at in affected if following.reads[at].unknown}
    values = _worked_out(running, following, affected, affected - set(why) - following.after(why))
    why |= {
        at: f"the embedded engine gives {v}" for at, v in values.items() if at in affected and v in UNKNOWN_TO_ENGINE
    }
    why |= {at: "it reads a cell that was not worked out" for at in following.after(why) if at not in why}
    if as_values and (stuck := [at for at in callers if at in why]):
        raise UserError(
            f"{path}: the call in {book.address(stuck[0])} cannot be worked out here ({why[stuck[0]]}), so its value cannot "
            "take its place; leave --values out, or change that formula"
        )
    worked = affected - set(why)
    values = {one: values[one] for at in worked for one in following.cells_of(at)}
    new = _written(zipped, book, values, set(callers) if as_values else set(), following)
    wrong = [f"{book.address(at)}: {values[at]}" for at in callers if isinstance(values.get(at), ErrorValue)]
    left = [f"{book.address(at)}: {reason}" for at, reason in sorted(why.items()) if at in affected]
    return Answered(new, len(set(callers) - set(why)), wrong, len(worked - set(callers)), left)


def _worked_out(running: Any, following: Following, affected: set[Node], worked: set[Node]) -> dict[Node, Value]:
    """The values of these formulas, from what is stored in all other cells."""
    book = following.book
    for at in book.formulas:
        if at not in worked and (at in affected or not isinstance(book.values.get(at), ErrorValue)):
            for one in following.cells_of(at):
                value = book.values.get(one)
                _put(running, book, one, None if isinstance(value, ErrorValue) else value)
    try:
        running.evaluate_all()
    except Exception as error:  # the engine's own kinds, which it does not all name
        raise UserError(
            f"{book.path}: the embedded engine cannot work this workbook out ({str(error)[:120]}); change that formula, or put "
            "the functions into the workbook with hayfuncs into and let Excel work it out"
        ) from None
    found: dict[Node, Value] = {}
    for at in worked:
        for one in following.cells_of(at):
            sheet, row, col = place(one)
            value = plain_value(running.get_value(book.sheets[sheet].name, row + 1, col + 1))
            wrong = isinstance(value, str) and value.startswith("#") and value.rstrip("!?").isupper()
            found[one] = ErrorValue(value) if wrong else float(0) if value is None else value
    return found


def _room_for_arrays(zipped: Zip, book: WorkbookData, following: Following) -> bytes:
    """The file as the engine is to load it: an array's old values, below and beside its formula, stand in its way."""
    old: dict[Node, Value] = {one: None for at in book.arrays for one in following.cells_of(at) if one != at}
    return zipped.rebuilt(_changed(zipped, book, old, set()), {}) if old else zipped.data


def _put(running: Any, book: WorkbookData, at: Node, value: Value) -> None:
    sheet, row, col = place(at)
    running.set_value(book.sheets[sheet].name, row + 1, col + 1, value)


def _written(
    zipped: Zip, book: WorkbookData, values: dict[Node, Value], without: set[Node], following: Following
) -> bytes:
    bare = {one for at in without for one in following.cells_of(at)}
    changed = _changed(zipped, book, values, bare)
    gone = _without_chain(zipped, changed) if without else set()
    return zipped.rebuilt(changed, {}, gone)


def _changed(zipped: Zip, book: WorkbookData, values: dict[Node, Value], bare: set[Node]) -> dict[str, bytes]:
    """The parts of the sheets with these values stored; the cells in `bare` lose their formulas."""
    by_sheet: dict[int, dict[tuple[int, int], Value]] = defaultdict(dict)
    for at, value in values.items():
        sheet, row, col = place(at)
        by_sheet[sheet][row, col] = value
    changed: dict[str, bytes] = {}
    for number, cells in by_sheet.items():
        part = book.sheets[number].part
        with zipped.box.open(part) as source:
            content = source.read()
        for keep in (True, False):
            some = {at: v for at, v in cells.items() if (node(number, *at) in bare) is not keep}
            if some:
                content = Sheet(content, part, some, keep).changed()
        changed[part] = content
    return changed


def _without_chain(zipped: Zip, changed: dict[str, bytes]) -> set[str]:
    """The list of formulas in the order of their calculation, which programs make anew where it is missing."""
    chains = {
        t for kind, t, outside in zipped.box.relations(zipped.main_name).values() if kind == CHAIN and not outside
    }
    chains &= set(zipped.box.parts)
    if chains:
        folder, _, file = zipped.main_name.rpartition("/")
        for name in (f"{folder}/_rels/{file}.rels".lstrip("/"), TYPES):
            part = Part(zipped.box.read(name), name)
            part.take(
                c
                for c in part.root.children
                if CHAIN in (c.attributes.get("Type", "") + c.attributes.get("PartName", ""))
            )
            changed[name] = part.written()
    return chains
