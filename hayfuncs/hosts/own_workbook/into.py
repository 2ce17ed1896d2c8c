"""`hayfuncs into`: the functions as names into a workbook of the user's own, and out of it again."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from hayfuncs.contract.catalogue import CATALOGUE, Record
from hayfuncs.contract.files import UserError, refuse_overwrite, replacing
from hayfuncs.hosts.own_workbook import kept
from hayfuncs.hosts.own_workbook.changes import help_sheets, stripped, with_names
from hayfuncs.hosts.own_workbook.names import chosen, defined, is_ours
from hayfuncs.hosts.own_workbook.xml_places import Part
from hayfuncs.hosts.own_workbook.zip_records import Zip
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.package import read_bytes

ENDINGS = (".xlsx", ".xlsm")
CALL_IN_CELL = re.compile(rb"<(?:\w+:)?f\b[^<]*\bHAY\.[A-Z]", re.I)
SIGNED = "_xmlsignatures/"


@dataclass(frozen=True)
class Done:
    """What was made: the file's bytes, and what is told of it."""

    data: bytes
    records: list[Record]
    names: int
    calls: int  # formulas of the file that call the functions
    updated: bool = False  # names of ours were there before
    exact: bool = False  # of a removal: the file as it was, byte for byte
    help_stays: bool = False  # a help sheet in a file that another program has saved since


def put_into(own: Path, out: Path, only: Sequence[str] = (), with_help: bool = False, force: bool = False) -> Done:
    """Write `out`: the workbook `own` with the names."""
    return _written(own, out, force, lambda data: added(own, data, only, with_help))


def take_out(own: Path, out: Path, force: bool = False) -> Done:
    """Write `out`: the workbook `own` as it was before it got the names."""
    return _written(own, out, force, lambda data: removed(own, data))


def refuse_names(own: Path, out: Path, force: bool) -> None:
    """Files that are no workbook by their name, or of two kinds; and a file that is there."""
    for path, what in ((own, "the workbook"), (out, "--out")):
        if path.suffix.lower() not in ENDINGS:
            raise UserError(f"{what} is {path}, which does not end in .xlsx or .xlsm; give such a workbook")
    if own.suffix.lower() != out.suffix.lower():
        raise UserError(
            f"--out is {out} and the workbook {own}: programs open a workbook with macros only as .xlsm and one without "
            f"only as .xlsx; name it {out.stem}{own.suffix}"
        )
    refuse_overwrite(out, force)


def _written(own: Path, out: Path, force: bool, make: Callable[[bytes], Done]) -> Done:
    refuse_names(own, out, force)
    done = make(read_bytes(own))
    with replacing(out, force) as beside:
        beside.write_bytes(done.data)
    return done


def removed(path: Path, data: bytes) -> Done:
    zipped = Zip(path, data)
    before = kept.original(zipped)
    base, names = stripped(zipped if before is None else Zip(path, before))
    if before is None and not names:
        raise UserError(f"{path} holds no function that hayfuncs put into it; there is nothing to remove")
    stays = before is None and bool(help_sheets(zipped))
    return Done(base, [], names, calls(zipped), True, before is not None and not names, stays)


def added(path: Path, data: bytes, only: Sequence[str], with_help: bool) -> Done:
    """The workbook with the names; ours that are there already are brought up to date."""
    zipped = Zip(path, data)
    refuse_signed(zipped)
    there = [
        place.attributes.get("name", "")
        for place in Part(zipped.main, zipped.main_name).names()
        if is_ours(place.attributes)
    ]
    before = kept.original(zipped)
    base, _ = stripped(zipped if before is None else Zip(path, before))
    clean = Zip(path, base)
    had_help = help_sheets(zipped) > help_sheets(clean)
    stays = before is None and bool(there) and help_sheets(clean) > 0
    known = [name for name in (n.upper().removeprefix("HAY.") for n in there) if name in CATALOGUE]
    records = chosen([*only, *known] if only else [])
    names = list(defined(records))
    new = with_names(clean, names, records if (with_help or had_help) and not stays else [])
    return Done(new, records, len(names), calls(clean), bool(there), help_stays=stays)


def refuse_signed(zipped: Zip) -> None:
    if any(name.lower().startswith(SIGNED) for name in zipped.box.parts):
        raise UserError(
            f"{zipped.path} carries a digital signature, which any change would break; take the signature away in Excel "
            "(File, Info, View Signatures) and save, then try again"
        )


def calls(zipped: Zip) -> int:
    """Formulas of the file that call the functions; copies that share one formula count once, huge sheets not."""
    found = 0
    for name, entry in zipped.box.parts.items():
        if "/worksheets/" in name and name.endswith(".xml") and entry.file_size <= limits.SMALL_PART:
            found += len(CALL_IN_CELL.findall(zipped.box.read(name)))
    return found
