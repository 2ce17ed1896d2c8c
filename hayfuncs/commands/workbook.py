"""hayfuncs workbook: the same workbook for the user's own lots and herd."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hayfuncs.commands.options import EditionOption, ForceOption, PrintAllOption, StartOption, TurnoutOption

MOST_LOTS, MOST_GROUPS = 60, 20  # free rows: with more the workbook is slow to open


def register(app: typer.Typer) -> None:
    @app.command()
    def workbook(
        out: Annotated[Path, typer.Argument(metavar="OUT.xlsx", help="The workbook to write.")],
        lots: Annotated[
            Path | None,
            typer.Option(metavar="LOTS.csv", help="Your lots as CSV or xlsx; without it the demo farm's lots."),
        ] = None,
        herd: Annotated[
            Path | None,
            typer.Option(metavar="HERD.csv", help="Your cow groups as CSV or xlsx; without it the demo farm's."),
        ] = None,
        start: StartOption = None,
        turnout: TurnoutOption = None,
        edition: EditionOption = "functions",
        print_all: PrintAllOption = False,
        free_lots: Annotated[
            int,
            typer.Option(
                metavar="ROWS",
                help="Rows left free for lots that are typed later: 4 or more.",
                show_default=False,
            ),
        ] = 0,
        free_groups: Annotated[
            int,
            typer.Option(metavar="ROWS", help="The same for cow groups: 2 or more.", show_default=False),
        ] = 0,
        force: ForceOption = False,
    ) -> None:
        """Build the workbook for your own lots and cows."""
        from hayfuncs.commands.options import day_of, edition_of
        from hayfuncs.commands.progress import progress
        from hayfuncs.contract.files import UserError, refuse_overwrite
        from hayfuncs.importers.herd import read_herd
        from hayfuncs.importers.lots import read_lots
        from hayfuncs.workbook import farm as farms
        from hayfuncs.workbook import report, write
        from hayfuncs.workbook.build import FARM, save

        chosen = edition_of(edition)
        for option, rows, most in (("--free-lots", free_lots, MOST_LOTS), ("--free-groups", free_groups, MOST_GROUPS)):
            if not 0 <= rows <= most:
                raise UserError(f"{option} is {rows} rows; allowed: 0 to {most}; rebuild leaves rows free again later")
        if out.suffix.lower() != ".xlsx":
            raise UserError(f"{out} must end in .xlsx; give such a name")
        refuse_overwrite(out, force)
        first, last = day_of("--start", start), day_of("--turnout", turnout)
        told: list[str] = []
        day = first or farms.DEMO.barn.winter.start  # of the months since calving that only a calving date gives
        farm = farms.own(
            farms.DEMO,
            None if lots is None else read_lots(lots, told=told),
            None if herd is None else read_herd(herd, told, day),
        )
        farm = farms.roomy(farms.dated(farm, first, last), free_lots, free_groups)
        with progress("building the workbook") as tell:
            book, values = save(farm, out, chosen, force, tell, own=True, kind=FARM, print_all=print_all)
        after = [f"\n{line}" for line in (*told, *farm.told)]
        after.append(f"\nFor the winter plan: hayfuncs plan {out} --out PLAN.xlsx")
        typer.echo(report.told(book, values, out, write.errors_told(book, values), after))
