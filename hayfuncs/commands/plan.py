"""hayfuncs plan: the winter solved from a workbook with the user's inputs."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from hayfuncs.commands.options import ForceOption, TurnoutOption

if TYPE_CHECKING:
    from hayfuncs.workbook.easyplanning import Asked

CHEAPEST = "cheapest"
SHORT = 1  # exit code: it ran, and not every need can be met

HELP = """Plan the winter at least cost from the inputs of a workbook of hayfuncs, and write it into a new one.

Which lot goes to which group in which month, with which supplement, so that every need is met in every
month and no lot is overdrawn. Hay stands on the tabs Lots and Stacks, prices on Feeds, dates and the price of hay to buy on
Hay pile, calving dates and feeders on Herd (Winter herd), what may be fed on Feeds (Winter feeds). Amounts that were typed on Plan are not kept: they are solved anew. --start and --turnout stand in place
of the workbook's dates.

The plan is one that a person can carry out: whole bales on whole days, at most two hays and two feeds a group
at a time, a stack used up before a like one is opened. What that costs above the cheapest amounts of any kind
is said. --hays cheapest gives those amounts.

Where not every need can be met, it says which group is short of what in which month, and by how much,
writes nothing and ends with 1; with --anyway it writes the plan that is least short.
"""


def register(app: typer.Typer) -> None:
    app.command("plan", help=HELP)(plan)


def plan(
    farm: Annotated[Path, typer.Argument(metavar="FARM.xlsx", help="A workbook made by hayfuncs, with your inputs.")],
    out: Annotated[Path, typer.Option("--out", metavar="PLAN.xlsx", help="The workbook to write.")],
    start: Annotated[
        str | None,
        typer.Option(
            "--start",
            "--from",
            metavar="DATE",
            show_default=False,
            help="First day of hay feeding, like 2026-11-15; in mid-winter today, with the stacks measured again on Lots.",
        ),
    ] = None,
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
    hays: Annotated[
        str,
        typer.Option(
            "--hays",
            metavar="1|2|cheapest",
            help="Most hays a group at a time, in whole bales; or amounts of any kind, as cheap as possible.",
        ),
    ] = "2",
    seconds: Annotated[
        float,
        typer.Option(
            "--seconds",
            metavar="SECONDS",
            help="Most time for the planning itself (reading and writing the workbook come on top); Ctrl+C takes the best plan so far.",
        ),
    ] = 30.0,
    json_file: Annotated[
        Path | None, typer.Option("--json", metavar="PLAN.json", help="Write the plan as data too.", show_default=False)
    ] = None,
    force: ForceOption = False,
) -> None:
    from hayfuncs.commands.options import day_of, edition_of
    from hayfuncs.commands.progress import progress
    from hayfuncs.contract.files import UserError, refuse_overwrite, replacing
    from hayfuncs.workbook import easyplanning, planreport, rebuild, report, write
    from hayfuncs.workbook.build import PLAN

    chosen = None if edition is None else edition_of(edition)
    dates = {"Hay pile/start": day_of("--start", start), "Hay pile/turnout": day_of("--turnout", turnout)}
    if out.suffix.lower() != ".xlsx":
        raise UserError(f"{out} must end in .xlsx; give such a name")
    refuse_overwrite(out, force)
    asked = _asked(hays, seconds)
    if json_file is not None:
        refuse_overwrite(json_file, force)
        if asked is None:
            raise UserError("--json goes with a plan in whole bales; leave --hays cheapest out, or leave --json out")
    with _stoppable(asked), progress(f"reading {farm.name}") as tell:
        typed = {key: day for key, day in dates.items() if day is not None}
        book, keeper = rebuild.remake(farm, chosen, leave=("Plan",), typed=typed, progress=tell, asked=asked, kind=PLAN)
        solved = book.marks["solved"]
        if solved.plan is None:
            raise UserError(f"{farm.name}: {solved.solution.words}")
        ready = solved.plan.feasible or anyway
        easy = None if asked is None else asked.found
        said = planreport.text(solved, easy) if ready else ""  # before anything is written
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
        typer.echo(
            "\nNothing was written. Allow more feeds on Feeds (Winter feeds), offer hay there (Hay to buy), or add --anyway."
        )
        raise typer.Exit(SHORT)
    stop = report.value(book, values, book.names["plan_stop"])
    if stop and not solved.plan.failures:  # of a plan that is least short its failures are said above
        typer.echo(
            "\n".join(
                [f"No plan is shown while a check fails: {stop}", *report.checks(book, values), f"\nWritten: {out}"]
            )
        )
        raise typer.Exit(SHORT)
    typer.echo("\n".join([said, *write.errors_told(book, values)]))
    typer.echo(f"\nWritten: {out}")
    if json_file is not None and easy is not None:
        with replacing(json_file, force) as beside:
            beside.write_text(easyplanning.as_json(easy), encoding="utf-8")
        typer.echo(f"Written: {json_file}")
    if solved.plan.failures:
        raise typer.Exit(SHORT)


def _asked(hays: str, seconds: float) -> Asked | None:
    from hayfuncs.contract.files import UserError
    from hayfuncs.winter.rations import Ease
    from hayfuncs.workbook.easyplanning import Asked

    if hays not in ("1", "2", CHEAPEST):
        raise UserError(f'--hays is "{hays}"; allowed: 1, 2, {CHEAPEST}; give one of them')
    if not seconds > 0:
        raise UserError(f"--seconds is {seconds:g}; allowed: more than 0; give the time that the plan may take")
    return None if hays == CHEAPEST else Asked(Ease(hays=int(hays)), seconds)


@contextmanager
def _stoppable(asked: Asked | None) -> Iterator[None]:
    """The first Ctrl+C asks for the best plan so far, the second one ends the program."""
    usual = signal.getsignal(signal.SIGINT)

    def take_it(number: int, frame: object) -> None:
        signal.signal(signal.SIGINT, usual)
        if asked is not None:
            asked.stop = True

    if asked is not None:
        signal.signal(signal.SIGINT, take_it)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, usual)
