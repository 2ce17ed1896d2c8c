"""hayfuncs audit: recompute a workbook, find what is wrong in it, trace a cell to its sources."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from hayfuncs.contract.errors import harmless
from hayfuncs.contract.files import NotWritten
from hayfuncs.spreadsheet import limits

FOUND = 1  # exit code: the audit ran and has findings above a note

LIMITS = (
    "Nothing in the file is run, fetched or changed.  Refused in a sentence are broken files, files made to do harm, and what is "
    f"larger than {limits.FILE_BYTES // limits.MEGABYTE} MB packed or {limits.TOTAL_BYTES // limits.MEGABYTE:,} MB unpacked, "
    f"{limits.CELLS:,} filled cells, {limits.PATTERNS:,} formulas that are not copies, {limits.SHEETS:,} sheets or "
    f"{limits.NAMES:,} names; and an audit ends after {limits.SECONDS:.0f} s, its engine after {limits.WORKER_SECONDS:.0f} s or "
    f"{limits.WORKER_BYTES // limits.MEGABYTE:,} MB."
)


def register(app: typer.Typer) -> None:
    @app.command(epilog=LIMITS)
    def audit(
        file: Annotated[Path, typer.Argument(metavar="FILE.xlsx", help="The workbook; it is only read.")],
        out: Annotated[
            Path | None, typer.Option(metavar="REPORT.xlsx", help="Write the whole report as a workbook.")
        ] = None,
        json: Annotated[bool, typer.Option("--json", help="Print the result as JSON.")] = False,
        notes: Annotated[bool, typer.Option("--notes", help="Print the notes too.")] = False,
        cell: Annotated[
            str,
            typer.Option(
                metavar="SHEET!A1", help="Trace one cell down to its inputs and sources, and do nothing else."
            ),
        ] = "",
        against: Annotated[
            Path | None,
            typer.Option(metavar="OLD.xlsx", help="Say what changed since another workbook, and what each change did."),
        ] = None,
        sensitivity: Annotated[
            bool, typer.Option("--sensitivity", help="Move each input by 10 % and say what the headline numbers do.")
        ] = False,
        map: Annotated[
            Path | None,
            typer.Option(
                "--map",
                metavar="MAP.csv",
                help="Which cell is what: written if it is not there, else read and believed.",
            ),
        ] = None,
        headline: Annotated[
            list[str] | None,
            typer.Option(metavar="SHEET!A1", help="A headline number of your own choice; may be given again."),
        ] = None,
        office: Annotated[
            bool,
            typer.Option(
                "--office",
                help="Ask LibreOffice too, where it is installed, before a stored value is left open (slow).",
            ),
        ] = False,
        force: Annotated[bool, typer.Option("--force", help="Replace the report if it is there.")] = False,
    ) -> None:
        """Recompute a workbook, list what is wrong, trace any cell.  Exit 0: clean; 1: findings; 2: could not read."""
        from hayfuncs.audit.guard import bounded

        with bounded(file):
            work(file, out, json, notes, cell, against, headline or (), sensitivity, force, map, office)


def work(
    file: Path, out: Path | None, json: bool, notes: bool, cell: str, against: Path | None, headline: Sequence[str],
    sensitivity: bool, force: bool, map: Path | None = None, office: bool = False,
) -> None:  # fmt: skip
    """What the command does, once it is bounded."""
    if cell:
        typer.echo(harmless(derivation(file, cell)))
        return
    from hayfuncs.audit import text_report as telling

    if against is not None:
        changed = compared(file, against, headline, json)
        raise typer.Exit(FOUND if changed else 0)
    from hayfuncs.audit.report import write

    if out is not None:
        with contextlib.suppress(NotWritten):  # what is found is printed first, and the report refused then
            write.refuse(out, file, force)
    from hayfuncs.audit.stranger import mapfile

    told = mapfile.read(map) if map is not None and map.exists() else None
    found, moved = audited(file, headline, sensitivity, told, office)
    typer.echo(telling.as_json(found, moved) if json else harmless(telling.text(found, notes, moved)))
    if out is not None:  # what was found is out before the disk can refuse
        write.report(found, out, moved, force)
        if not json:
            typer.echo(f"\nWritten: {out}")
    if map is not None and told is None:
        mapfile.write(found.book, found.meanings, map)
        if not json:
            typer.echo(f"\nWritten: {map}; correct what is wrong in it and give it again")
    if any(f.above_note for f in found.findings):
        raise typer.Exit(FOUND)


def audited(
    file: Path, headline: Sequence[str], sensitivity: bool, told: Any = None, office: bool = False
) -> tuple[Any, Any]:
    """The audit, with the inputs moved one by one where that is wanted."""
    from hayfuncs.audit import run
    from hayfuncs.audit import sensitivity as moving

    moved: list[Any] = []

    def after(case: Any, engine: Any) -> None:
        moved.append(moving.work(case, engine))
        case.findings += moving.findings(case, moved[0])

    found = run.audit(file, headline, after if sensitivity else None, told=told, office=office)
    return found, moved[0] if moved else None


def compared(file: Path, old: Path, headline: Sequence[str], as_json: bool) -> bool:
    """Print what changed; whether anything beside inputs and texts did."""
    import json

    from hayfuncs.audit import against

    made = against.compare(file, old, headline)
    typer.echo(json.dumps(against.as_plain(made), indent=2) if as_json else harmless(against.text(made)))
    return made.beyond_inputs


def derivation(file: Path, cell: str) -> str:
    """One cell's tree in lines; nothing is recomputed for it."""
    from hayfuncs.audit.graph import Formulas
    from hayfuncs.audit.labels import Labels
    from hayfuncs.audit.locate import locate
    from hayfuncs.audit.trace import Tracer
    from hayfuncs.spreadsheet.reader import read

    book = read(file)
    tracer = Tracer(Formulas(book), Labels(book))
    return "\n".join(step.text() for step in tracer.trace(locate(book, cell)))
