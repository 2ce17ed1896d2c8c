"""hayfuncs answer: the calls of a workbook of the user's own, worked out and stored."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hayfuncs.commands.options import ForceOption

if TYPE_CHECKING:
    from hayfuncs.hosts.own_workbook.answer import Answered

FOUND = 1  # exit code: some calls gave an error or were left as they were
SHOWN = 8


def register(app: typer.Typer) -> None:
    @app.command()
    def answer(
        own: Annotated[
            Path, typer.Argument(metavar="OWN.xlsx", help="Your workbook, .xlsx or .xlsm; it is only read.")
        ],
        out: Annotated[Path, typer.Option("--out", metavar="NEW.xlsx", help="The workbook to write.")],
        values: Annotated[
            bool, typer.Option("--values", help="Put the values in the place of the calls, for any program.")
        ] = False,
        force: ForceOption = False,
    ) -> None:
        """Work out the HAY. cells of your own workbook here and store their values in it.

        For a program that knows neither LAMBDA names nor the extension. Formulas that follow from such cells are
        worked out too; every other cell keeps its value and its bytes. Such a program may still show an error where
        it calculates anew: --values leaves the numbers alone there, without the calls.
        """
        from hayfuncs.hosts.own_workbook.answer import answer as work

        done = work(own, out, values, force)
        typer.echo("\n".join(told(out, done)))
        if done.errors or done.left:
            raise typer.Exit(FOUND)


def told(out: Path, done: Answered) -> list[str]:
    lines = [f"{out}: {done.calls} calls worked out and {done.followers} formulas that follow from them."]
    for heading, found in (("These calls give an error:", done.errors), ("Left as they were:", done.left)):
        if found:
            more = [f"  and {len(found) - SHOWN} more"] if len(found) > SHOWN else []
            lines += [heading, *(f"  {text}" for text in found[:SHOWN]), *more]
    return lines
