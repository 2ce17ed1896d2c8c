"""hayfuncs handout: PDF pages to take home, month cards and a meeting handout from a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hayfuncs.commands.options import ForceOption


def register(app: typer.Typer) -> None:
    @app.command()
    def handout(
        farm: Annotated[
            Path, typer.Argument(metavar="FARM.xlsx", help="A workbook made by hayfuncs, with your inputs.")
        ],
        out: Annotated[
            Path, typer.Option("--out", metavar="FOLDER", help="Folder for the PDF files; made when it is not there.")
        ],
        force: ForceOption = False,
    ) -> None:
        """Print what people take home: a page for each group, cards for each month, and a meeting handout.

        Needs LibreOffice. The pages hold what was chosen on the sheet Take home. Where a check fails, a page says
        so and shows no number.
        """
        from hayfuncs.commands.progress import progress
        from hayfuncs.contract.files import UserError
        from hayfuncs.workbook import handout as making
        from hayfuncs.workbook import rebuild, report, write

        if out.exists() and not out.is_dir():
            raise UserError(f"--out is {out}, which is a file; give a folder for the pages")
        program = making.office()
        with progress(f"reading {farm.name}") as tell:
            book, keeper = rebuild.remake(farm, "functions", progress=tell)
            tell("computing the workbook")
            values = write.compute(book)
            out.mkdir(parents=True, exist_ok=True)
            made = making.make(book, values, out, force, tell, program)
        lost = rebuild.left_out(book, keeper)
        if lost:
            typer.echo("\n".join([*rebuild.part("Not taken from the workbook", lost), ""]))
        typer.echo("\n".join(f"Written: {path}" for path in made))
        if report.failed(book, values):
            failing = report.checks(book, values)
            typer.echo("\n".join(["", "Some checks fail: pages that rest on them show no number.", *failing]))
