"""hayfuncs into: the functions as names into a workbook of the user's own, or out of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hayfuncs.commands.options import ForceOption

if TYPE_CHECKING:
    from hayfuncs.hosts.own_workbook.into import Done

TRY_IT = "In Excel 365, 2024, on the web or on the Mac type =HAY.{0} in a cell of it and go on with the brackets."
RECALCULATE = "press Ctrl+Alt+F9 once in Excel, so that they are worked out"


def register(app: typer.Typer) -> None:
    @app.command()
    def into(
        own: Annotated[
            Path, typer.Argument(metavar="OWN.xlsx", help="Your workbook, .xlsx or .xlsm; it is only read.")
        ],
        out: Annotated[Path, typer.Option("--out", metavar="NEW.xlsx", help="The workbook to write.")],
        only: Annotated[str, typer.Option(metavar="NAME,NAME", help="These functions only, and what they call.")] = "",
        help_sheet: Annotated[
            bool, typer.Option("--help-sheet", help="Add a sheet, HAY help, with one line a function.")
        ] = False,
        remove: Annotated[bool, typer.Option("--remove", help="Give the workbook back as it was before.")] = False,
        force: ForceOption = False,
    ) -> None:
        """Put the functions into your own workbook, as names that Excel 365 works out with nothing installed.

        Only the list of names changes: sheets, macros, charts and styles keep every byte, and --remove gives the
        file back. Run again, it brings the functions up to date; --only then adds to those that are there.
        """
        from hayfuncs.contract.files import UserError
        from hayfuncs.hosts.own_workbook.into import put_into, take_out

        if remove and (only or help_sheet):
            raise UserError("--remove takes everything out again; leave out --only and --help-sheet")
        if remove:
            lines = removed(out, take_out(own, out, force))
        else:
            wanted = [name for name in only.split(",") if name.strip()]
            if only and not wanted:
                raise UserError(f"--only is {only!r} and names no function; give names such as TDN_FROM_ADF,DRY_WEIGHT")
            lines = added(out, put_into(own, out, wanted, help_sheet, force))
        typer.echo("\n".join(lines))


def added(out: Path, done: Done) -> list[str]:
    functions = f"{len(done.records)} function{'s' * (len(done.records) != 1)}"
    columns = done.names - len(done.records)
    tables = f", with {columns} columns of the tables they look up," if columns else ""
    lines = [f"{out}: {functions}{tables} {'brought up to date' if done.updated else 'put in'} as names."]
    if done.help_stays:
        lines.append("Its sheet HAY help stays as it is: another program has saved it. Delete it there for a new one.")
    if done.calls:
        lines.append(f"Formulas that call them were there already ({done.calls}): {RECALCULATE}.")
    return [*lines, TRY_IT.format(done.records[0].name)]


def removed(out: Path, done: Done) -> list[str]:
    if done.exact:
        lines = [f"{out}: the workbook as it was before, byte for byte."]
    else:
        lines = [
            f"{out}: {done.names} names taken out. Another program has saved the workbook since they were put in, "
            "so it is not byte for byte what it was before."
        ]
    if done.help_stays:
        lines.append("Its sheet HAY help stays: delete it in your spreadsheet program.")
    if done.calls:
        lines.append(f"Formulas that call the functions ({done.calls}) will show #NAME?.")
    return lines
