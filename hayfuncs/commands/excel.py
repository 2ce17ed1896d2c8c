"""hayfuncs excel ...: what Excel needs, and the check list for a person with Excel."""

from __future__ import annotations

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
