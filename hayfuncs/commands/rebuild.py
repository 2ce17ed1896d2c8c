"""hayfuncs rebuild: today's version of a workbook with the values typed into an older one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hayfuncs.commands.options import ForceOption


def register(app: typer.Typer) -> None:
    @app.command()
    def rebuild(
        old: Annotated[Path, typer.Argument(metavar="OLD.xlsx", help="A workbook made by hayfuncs, of any edition.")],
        new: Annotated[Path, typer.Argument(metavar="NEW.xlsx", help="The workbook to write.")],
        edition: Annotated[
            str | None,
            typer.Option(
                "--edition",
                metavar="EDITION",
                help="functions, plain or classic; without it the old one's.",
                show_default=False,
            ),
        ] = None,
        force: ForceOption = False,
    ) -> None:
        """Build the workbook anew with the values of an older one, solve it again, and say what was kept.

        Values are found by the Input list on the tab Workings. Lots, groups and feeds typed right under the last row
        (after Review, Unprotect Sheet) come along, and as many rows are free again for more. What is no longer possible is named and left out.
        """
        from hayfuncs.commands.options import edition_of
        from hayfuncs.commands.progress import progress
        from hayfuncs.contract.files import UserError, refuse_overwrite
        from hayfuncs.workbook import rebuild as making
        from hayfuncs.workbook import write

        chosen = None if edition is None else edition_of(edition)
        if new.suffix.lower() != ".xlsx":
            raise UserError(f"{new} must end in .xlsx; give such a name")
        refuse_overwrite(new, force)
        with progress(f"reading {old.name}") as tell:
            done = making.rebuild(old, new, chosen, force, tell, room=True)
        typer.echo("\n".join([*making.account(done), *write.errors_told(done.book, done.values)]))
        typer.echo(f"\nWritten: {new}")
