"""hayfuncs plan: the winter solved from a workbook with the user's inputs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hayfuncs.commands.options import ForceOption, StartOption, TurnoutOption

SHORT = 1  # exit code: it ran, and not every need can be met

HELP = """Plan the winter at least cost from the inputs of a workbook of hayfuncs, and write it into a new one.

Which lot goes to which group in which month, with which supplement, so that every need is met in every
month and no lot is overdrawn. Hay stands on the sheets Lots, Register and Stock, prices on Feeds, dates
and the price of hay to buy on Hay pile, calving dates and feeders on Winter herd, what may be fed on
Winter feeds. Amounts that were typed on Plan are not kept: they are solved anew. --start and --turnout stand in place
of the workbook's dates.

Where not every need can be met, it says which group is short of what in which month, and by how much,
writes nothing and ends with 1; with --anyway it writes the plan that is least short.
"""


def register(app: typer.Typer) -> None:
    app.command("plan", help=HELP)(plan)


def plan(
    farm: Annotated[Path, typer.Argument(metavar="FARM.xlsx", help="A workbook made by hayfuncs, with your inputs.")],
    out: Annotated[Path, typer.Option("--out", metavar="PLAN.xlsx", help="The workbook to write.")],
    start: StartOption = None,
    turnout: TurnoutOption = None,
    edition: Annotated[
        str | None,
        typer.Option(
            "--edition", metavar="EDITION", help="functions, plain or classic; else the workbook's.", show_default=False
        ),
    ] = None,
    anyway: Annotated[
        bool, typer.Option("--anyway", help="Write the plan that is least short where not every need can be met.")
    ] = False,
    force: ForceOption = False,
) -> None:
    from hayfuncs.commands.options import day_of, edition_of
    from hayfuncs.commands.progress import progress
    from hayfuncs.contract.files import UserError, refuse_overwrite
    from hayfuncs.workbook import planreport, rebuild, report, write

    chosen = None if edition is None else edition_of(edition)
    dates = {"Hay pile/start": day_of("--start", start), "Hay pile/turnout": day_of("--turnout", turnout)}
    if out.suffix.lower() != ".xlsx":
        raise UserError(f"{out} must end in .xlsx; give such a name")
    refuse_overwrite(out, force)
    with progress(f"reading {farm.name}") as tell:
        typed = {key: day for key, day in dates.items() if day is not None}
        book, keeper = rebuild.remake(farm, chosen, leave=("Plan",), typed=typed, progress=tell)
        solved = book.marks["solved"]
        if solved.plan is None:
            raise UserError(f"{farm.name}: {solved.solution.words}")
        ready = solved.plan.feasible or anyway
        said = planreport.text(solved) if ready else ""  # before anything is written
        values = write.save(book, out, force, tell, own=True) if ready else None
    lost = rebuild.left_out(book, keeper)
    if lost:
        typer.echo("\n".join([*rebuild.part("Not taken from the workbook", lost), ""]))
    if solved.plan.failures:
        typer.echo("Not every need can be met with what there is. Least that stays short:")
        typer.echo("\n".join(planreport.failures(solved)))
    if values is None:
        if without := planreport.left_out(solved):
            typer.echo("\n".join(["", *without]))
        typer.echo("\nNothing was written. Allow more feeds on Winter feeds, offer hay on Hay to buy, or add --anyway.")
        raise typer.Exit(SHORT)
    stop = report.value(book, values, book.names["plan_stop"])
    if stop and not solved.plan.failures:  # of a plan that is least short its failures are said above
        typer.echo(
            "\n".join(
                [f"No plan is shown while a check fails: {stop}", *report.checks(book, values), f"\nWritten: {out}"]
            )
        )
        raise typer.Exit(SHORT)
    typer.echo("\n".join([said, *write.errors_told(values)]))
    typer.echo(f"\nWritten: {out}")
    if solved.plan.failures:
        raise typer.Exit(SHORT)
