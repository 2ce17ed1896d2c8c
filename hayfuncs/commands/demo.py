"""hayfuncs demo: the invented farm as a workbook, and its answer in words."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hayfuncs.commands.options import EditionOption, ForceOption


def register(app: typer.Typer) -> None:
    @app.command()
    def demo(
        out: Annotated[
            Path, typer.Option(metavar="FOLDER", help="Folder for the workbooks; made when it is not there.")
        ] = Path("."),
        edition: EditionOption = "functions",
        force: ForceOption = False,
    ) -> None:
        """Write the demo workbook of an invented farm, once with its winter plan too, and print what it says."""
        from hayfuncs.commands.options import edition_of
        from hayfuncs.commands.progress import progress
        from hayfuncs.contract.files import UserError, refuse_overwrite
        from hayfuncs.workbook import report
        from hayfuncs.workbook.build import FARM, save
        from hayfuncs.workbook.easyplanning import steady
        from hayfuncs.workbook.farm import DEMO_FILE, PLAN_FILE, TEMPLATE

        chosen = edition_of(edition)
        if out.exists() and not out.is_dir():
            raise UserError(f"--out is {out}, which is a file; give a folder for the workbook")
        made = not out.exists()
        if made:
            out.mkdir(parents=True)
        path, plan = out / DEMO_FILE.format(chosen), out / PLAN_FILE.format(chosen)
        for file in (path, plan):
            refuse_overwrite(file, force)
        with progress("building the workbook") as tell:
            save(TEMPLATE, path, chosen, force, tell, kind=FARM)
            book, values = save(TEMPLATE, plan, chosen, force, tell, asked=steady())
        typer.echo(report.told(book, values, path))
        typer.echo(f"With the winter plan: {plan}")
