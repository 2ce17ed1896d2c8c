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

    @excel.command("answers")
    def answers(
        filled: Annotated[Path, typer.Argument(metavar="CHECK.xlsx", help="The check list, filled in and saved.")],
        out: Annotated[
            Path | None,
            typer.Option("--out", metavar="ANSWERS.txt", help="The file to write; without it they are printed."),
        ] = None,
        force: Annotated[bool, typer.Option("--force", help="Replace the file if it is there.")] = False,
    ) -> None:
        """Read a filled check list into a short text file that can be sent to the maintainers."""
        from hayfuncs.contract.files import replacing
        from hayfuncs.hosts.excelsteps import answers as given

        text = "\n".join(given(filled)) + "\n"
        if out is None:
            typer.echo(text, nl=False)
            return
        with replacing(out, force) as beside:
            beside.write_text(text, encoding="utf-8")
        typer.echo(f"{out}: the answers; send this file to the maintainers.")
