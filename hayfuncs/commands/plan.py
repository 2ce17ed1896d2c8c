"""hayfuncs plan: the winter solved from a workbook with the user's inputs."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from hayfuncs.commands import planoptions as options
from hayfuncs.commands.options import ForceOption, TurnoutOption

if TYPE_CHECKING:
    from hayfuncs.winter.feeding import EasyPlan
    from hayfuncs.workbook.model import Book
    from hayfuncs.workbook.wintering import Solved
    from hayfuncs.workbook.write import Values

SHORT = 1  # exit code: it ran, and not every need can be met
SHORT_WORDS = "Not every need can be met with what there is. Least that stays short:"
HURRIED_WORDS = (
    "No plan in whole bales that meets every need was found in the time given. What stays short in the best so far:"
)

HELP = """Plan the winter at least cost from the inputs of a workbook of hayfuncs, and write it into a new one.

Which lot goes to which group in which month, with which supplement, so that every need is met in every
month and no lot is overdrawn. Hay stands on the tabs Lots and Stacks, prices on Feeds, dates and the price of
hay to buy on Hay pile, calving dates and feeders on Herd (Winter herd), what may be fed on Feeds (Winter
feeds). Amounts that were typed on Plan are not kept: they are solved anew, and where FARM.xlsx holds a plan
the months that change are named; what must stay is told by --pin. --start and --turnout stand in place of
the workbook's dates.

The plan is one that a person can carry out: whole bales on whole days, at most two hays and two feeds a group
at a time, a stack used up before a like one is opened. What that costs above the cheapest amounts of any kind
is said. In PLAN.xlsx bales, days and feeds may be changed, and everything follows. --hays cheapest gives amounts
of any kind.

--what-if, --worth and --before-winter answer questions beside the plan, and need no --out: late grass, a cold
winter, dear hay, a stack lost or more cows side by side; what a ton of each lot and feed is worth; what to buy,
sell and test first. They count in amounts of any kind, and say so. With --out the answers, and what pins cost, stand
in PLAN.xlsx too (Asked beside the plan), as solved, and it says when your entries have changed since.

Where not every need can be met, it says which group is short of what in which month, and by how much,
writes nothing and ends with 1; with --anyway it writes the plan that is least short.
"""


def register(app: typer.Typer) -> None:
    app.command("plan", help=HELP)(plan)


def plan(
    farm: Annotated[Path, typer.Argument(metavar="FARM.xlsx", help="A workbook made by hayfuncs, with your inputs.")],
    out: Annotated[
        Path | None, typer.Option("--out", metavar="PLAN.xlsx", help="The workbook to write.", show_default=False)
    ] = None,
    start: options.FromOption = None,
    turnout: TurnoutOption = None,
    edition: options.PlanEditionOption = None,
    anyway: options.AnywayOption = False,
    hays: options.HaysOption = "2",
    seconds: options.SecondsOption = 30.0,
    pin: options.PinOption = None,
    what_if: options.WhatIfOption = False,
    late: options.LateOption = None,
    cold: options.ColdOption = None,
    hay_price: options.HayPriceOption = None,
    lost: options.LostOption = None,
    more_cows: options.MoreCowsOption = None,
    worth: options.WorthOption = False,
    before_winter: options.BeforeOption = False,
    json_file: options.JsonOption = None,
    force: ForceOption = False,
) -> None:
    from hayfuncs.commands.options import day_of, edition_of
    from hayfuncs.commands.progress import progress
    from hayfuncs.contract.files import UserError, refuse_overwrite
    from hayfuncs.workbook import answering, planquestions, planreport, rebuild, write
    from hayfuncs.workbook.build import PLAN

    chosen = None if edition is None else edition_of(edition)
    dates = {"Hay pile/start": day_of("--start", start), "Hay pile/turnout": day_of("--turnout", turnout)}
    typed = {key: day for key, day in dates.items() if day is not None}
    asked = options.asked(hays, seconds, pin or [])
    asks = options.asks(what_if, late, cold, hay_price, lost, more_cows)
    stop = options.Stop()
    if asked is not None:
        asked.stopped = stop
    questions = planquestions.Questions(asks, worth, before_winter, seconds, stop)
    if out is None:
        if not questions.any():
            raise UserError("--out is missing; give the workbook to write, like --out PLAN.xlsx")
        if pin:
            raise UserError("--pin goes with a plan that is written; give --out PLAN.xlsx too")
        asked = None  # the questions count in amounts of any kind
    elif out.suffix.lower() != ".xlsx":
        raise UserError(f"{out} must end in .xlsx; give such a name")
    else:
        refuse_overwrite(out, force)
    if json_file is not None:
        refuse_overwrite(json_file, force)
        if asked is None and not questions.any():
            raise UserError("--json goes with a plan in whole bales; leave --hays cheapest out, or leave --json out")
    with _stoppable(stop), progress(f"reading {farm.name}") as tell:
        answers = answering.Answering(questions, tell)
        book, keeper = rebuild.remake(
            farm, chosen, leave=("Plan",), typed=typed, progress=tell, asked=asked, kind=PLAN, answering=answers
        )
        solved = book.marks["solved"]
        if solved.plan is None:
            raise UserError(f"{farm.name}: {solved.solution.words}")
        easy = None if asked is None else asked.found
        ready = out is not None and (solved.plan.feasible or anyway)
        said = planreport.text(solved, easy) if ready else ""  # before anything is written
        lines, data = answers.lines, answers.data
        values = write.save(book, out, force, tell, own=True) if ready and out is not None else None
    if lost_inputs := rebuild.left_out(book, keeper):
        typer.echo("\n".join([*rebuild.part("Not taken from the workbook", lost_inputs), ""]))
    if solved.plan.failures:
        typer.echo(HURRIED_WORDS if _hurried(easy) else SHORT_WORDS)
        typer.echo("\n".join(planreport.failures(solved)))
    if out is None or values is None:
        if solved.plan.failures and (without := planreport.left_out(solved)):
            typer.echo("\n".join(["", *without]))
        typer.echo("\n".join(lines).lstrip("\n"), nl=bool(lines))
        if out is not None:
            typer.echo(f"\nNothing was written. {_what_to_do(easy)}")
        _write_data(json_file, None, data, force)
        if solved.plan.failures:
            raise typer.Exit(SHORT)
        return
    if _stopped(book, values, solved, out):
        raise typer.Exit(SHORT)
    changed = planquestions.changes(solved, keeper.old)
    beside = planquestions.change_lines(changed, keeper.old, solved.farm)
    typer.echo("\n".join([said, *beside, *lines, *write.errors_told(book, values)]))
    typer.echo(f"\nWritten: {out}")
    _write_data(json_file, easy, {**data, **planquestions.changes_data(changed)}, force)
    if solved.plan.failures:
        raise typer.Exit(SHORT)


def _what_to_do(easy: EasyPlan | None) -> str:
    if _hurried(easy):
        return "Give more time (--seconds), take amounts of any kind (--hays cheapest), or add --anyway."
    return "Allow more feeds on Feeds (Winter feeds), offer hay there (Hay to buy), or add --anyway."


def _hurried(easy: EasyPlan | None) -> bool:
    from hayfuncs.workbook import easyplanning

    return easyplanning.only_hurried(easy)


def _stopped(book: Book, values: Values, solved: Solved, out: Path) -> bool:
    """Whether a check of the workbook fails, so that no plan is shown; of a plan least short its failures are said already."""
    from hayfuncs.workbook import report

    stop = report.value(book, values, book.names["plan_stop"])
    if not stop or (solved.plan is not None and solved.plan.failures):
        return False
    typer.echo(
        "\n".join([f"No plan is shown while a check fails: {stop}", *report.checks(book, values), f"\nWritten: {out}"])
    )
    return True


def _write_data(json_file: Path | None, easy: EasyPlan | None, more: dict[str, Any], force: bool) -> None:
    from hayfuncs.contract.files import replacing
    from hayfuncs.workbook import easyplanning

    if json_file is None or (easy is None and not more):
        return
    with replacing(json_file, force) as beside:
        beside.write_text(easyplanning.as_json(easy, more), encoding="utf-8")
    typer.echo(f"Written: {json_file}")


@contextmanager
def _stoppable(stop: options.Stop) -> Iterator[None]:
    """The first Ctrl+C asks for the best so far, the second one ends the program."""
    usual = signal.getsignal(signal.SIGINT)

    def take_it(number: int, frame: object) -> None:
        signal.signal(signal.SIGINT, usual)
        stop.asked = True

    signal.signal(signal.SIGINT, take_it)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, usual)
