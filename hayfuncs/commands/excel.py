"""hayfuncs excel ...: what Excel needs, and the check list for a person with Excel."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    excel = typer.Typer(help="Excel with Python: what is missing here, and the ten-minute check list.")
    app.add_typer(excel, name="excel")

    @excel.command("check")
    def check() -> None:
        """Say what this machine lacks for Excel functions in Python, and the next step."""
        from hayfuncs.hosts.excelneeds import report

        complete, lines = report()
        for line in lines:
            typer.echo(line)
        if not complete:
            raise typer.Exit(1)

    @excel.command("checklist")
    def checklist(
        out: Annotated[Path, typer.Argument(metavar="OUT.xlsx", help="The workbook to write, a name ending in .xlsx.")],
        python: Annotated[
            bool, typer.Option("--python", help="Call HAY_NAME, for Excel with Python; else LAMBDA names.")
        ] = False,
        force: Annotated[bool, typer.Option("--force", help="Replace the file if it is there.")] = False,
    ) -> None:
        """Write the ten-minute check list for real Excel: named checks that must all be TRUE."""
        from hayfuncs.contract.files import UserError
        from hayfuncs.hosts.excelcheck import save

        if out.suffix.lower() != ".xlsx":
            raise UserError(f"{out} does not end in .xlsx; name it {out.stem}.xlsx")
        count = save(out, "classic" if python else "functions", force)
        typer.echo(f"{out}: {count} checks.  Open it in Excel and follow the sheet 'Start here'.")
