"""From a farm to a workbook: the sheets in reading order, then the edition."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from hayfuncs.workbook import mixing, wintering, write
from hayfuncs.workbook import plain_edition as expand
from hayfuncs.workbook.easyplanning import Asked
from hayfuncs.workbook.farm import Farm
from hayfuncs.workbook.keep import Keeper
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.oldbales import BALES_KEY
from hayfuncs.workbook.sheets import (
    assumptions,
    balemonths,
    baleplan,
    bench,
    besthay,
    budget,
    cautions,
    checks,
    closecalls,
    contents,
    coring,
    cowyear,
    dietcautions,
    feedcost,
    feeds,
    front,
    groupmonths,
    hall,
    halltables,
    haypile,
    hazards,
    herd,
    herdcare,
    howsure,
    inputlist,
    landing,
    lessons,
    longhand,
    longhandstock,
    lots,
    margins,
    match,
    meeting,
    mineral,
    mixsheet,
    monthcards,
    morechecks,
    plananswers,
    planchecks,
    plansheet,
    ration,
    reference,
    register,
    repeats,
    singles,
    solvedfrom,
    stock,
    stockmonths,
    takehome,
    waste,
    whichhay,
    winter,
    winterfeeds,
    winterneed,
    youngcattle,
)  # fmt: skip
from hayfuncs.workbook.sheets.common import without_errors
from hayfuncs.workbook.tabs import in_order

Progress = Callable[[str], None]
Answering = Callable[[wintering.Solved], plananswers.Answers | None]
EDITIONS = ("functions", "plain", "classic")
FARM, PLAN = KINDS = ("farm", "plan")
OF_THE_CHOICE = ("Ration", "Mix", "Cow year", "Feed cost")  # sheets that speak of the chosen hay and cows alone
TITLE = "From a hay test to a fed cow"


def build(
    farm: Farm,
    edition: str = "functions",
    keeper: Keeper | None = None,
    solved: bool = True,
    progress: Progress | None = None,
    asked: Asked | None = None,
    kind: str = PLAN,
    answering: Answering | None = None,
) -> Book:
    """The model of a workbook for this farm; a keeper puts an older workbook's values in its inputs.

    A book of the kind "farm" has every input and no winter plan.  With `solved=False` the cheapest mixes are left at 0 and the winter is not planned: the layout
    alone, for an audit.  `progress` is called with a line of text while the winter plan is solved.
    `asked`: the plan is one of whole bales; `answering`: what is asked beside it.
    """
    if edition not in EDITIONS:
        raise ValueError(f"edition {edition!r} is none of {', '.join(EDITIONS)}")
    if progress is not None:
        progress("filling the sheets")
    book = Book(edition, TITLE)
    book.keeper, book.kind = keeper, kind
    front.fill(book, farm.what, farm.told)
    book.marks["told"] = farm.told
    assumptions.fill(book)
    reference.fill_tables(book)
    feeds.fill_book(book)
    lots.fill(book, farm.lot_rows)
    _before_the_lab(book, farm)
    herd.fill(book, farm.group_rows)
    herd.fill_classes(book, farm.group_rows)
    feeds.fill(book, farm.prices)
    lot, group, feed = farm.choice
    hall.fill_inputs(book, lot or farm.lots[0].name, group or farm.groups[0].name, feed or next(iter(farm.prices)))
    match.fill(book)
    margins.fill(book)
    closecalls.fill(book)
    landing.fill(book, [lot.forage for lot in farm.lot_rows])
    ration.fill(book)
    cowyear.fill(book)
    feedcost.fill(book)
    _hay_on_hand(book, farm)
    winter.fill(book, farm.group_rows, farm.season)
    hazards.fill(book, farm.lot_rows, farm.barn)
    winterfeeds.fill(book, farm.season)
    if keeper is not None:
        keeper.refuse()
    _mix(book, farm, solved)
    _what_can_hurt(book, farm)
    if kind == PLAN:
        _plan(book, solved, progress, asked, answering)
    takehome.fill(book, farm.group_rows, farm.barn.winter.start)
    if "plan" in book.marks:
        monthcards.fill(book)
    meeting.fill(book)
    lessons.fill(book)
    longhand.fill(book)
    longhandstock.fill(book)
    singles.fill(book)
    reference.fill_functions(book)
    reference.fill_sources(book)
    checks.fill(
        book, [*checks.standard(book), *morechecks.every(book), *(planchecks.every(book) if kind == PLAN else ())]
    )
    inputlist.fill(book)
    for sheet in book.sheets:
        if sheet.name in OF_THE_CHOICE:
            without_errors(sheet)
    book.sheets.sort(key=lambda s: in_order(s.name))
    if edition == "plain":
        expand.spell_out(book)
    contents.fill(book)
    front.finish(book)
    contents.settle(book)
    return book


def _before_the_lab(book: Book, farm: Farm) -> None:
    register.fill(book, farm.lot_rows, farm.barn)
    coring.fill(book, farm.choice[0] or farm.lots[0].name)
    howsure.fill(book, farm.barn.spread)
    bench.fill(book, farm.barn.bench)


def _hay_on_hand(book: Book, farm: Farm) -> None:
    lot = farm.choice[0] or farm.lots[0].name
    haypile.inputs(book, farm.barn.winter)
    stock.fill(book, farm.lot_rows, farm.barn, lot)
    winterneed.fill(book, farm.barn, lot)
    haypile.fill(book)
    waste.fill(book)


def _what_can_hurt(book: Book, farm: Farm) -> None:
    repeats.fill(book, farm.lot_rows, farm.barn)
    cautions.fill(book)
    besthay.fill(book)
    whichhay.fill(book)
    herdcare.fill(book, farm.barn)
    dietcautions.fill(book)
    mineral.fill(book)
    youngcattle.fill(book, farm.choice[0] or farm.lots[0].name, farm.choice[2] or next(iter(farm.prices)))
    halltables.fill(book)
    hall.fill(book)


def _mix(book: Book, farm: Farm, solved: bool) -> None:
    """Solve the cheapest mixes from the needs that the sheets compute."""
    offered, left_out = mixing.offers(book)
    if not offered:
        return
    if solved:
        small = _needs_only(farm, book)
        answers = mixing.solve(
            small, write.compute(small), mixing.rows(book, offered), offered, mixing.least_ca_p(book)
        )
    else:
        answers = mixing.unsolved(book, offered)
    mixsheet.fill_answers(book, offered, answers)
    mixsheet.fill(book, offered, left_out)


def _plan(
    book: Book, solving: bool, progress: Progress | None, asked: Asked | None, answering: Answering | None
) -> None:
    """Solve the winter, then its sheets; amounts that an older workbook holds stand in place of the solved ones."""
    solved = wintering.solve(book, progress, asked) if solving else wintering.NOT_SOLVED
    keeper = book.keeper if isinstance(book.keeper, Keeper) else None
    kept = keeper.rows("Plan") if keeper else 0
    if solved.easy is not None or (keeper is not None and kept and BALES_KEY in keeper.old.known):
        baleplan.begun(book, baleplan.in_order(solved.easy), kept)
    else:
        plansheet.fill(book, solved.rows, kept)
    solvedfrom.fill(book, _solved_from(book, solved, keeper if not solving else None))
    plansheet.above_all(book)
    plansheet.fill_plain(
        book, solved.plain_rows, solved.solution, 0 if solving or not keeper else keeper.rows("Plain rule")
    )
    groupmonths.fill(book)
    stockmonths.fill(book)
    if "bale_plan" in book.marks:
        baleplan.settle(book)
        balemonths.fill(book)
    budget.fill(book, winter.months_planned(book), solved.bought)
    answers = None if answering is None else answering(solved)
    unsolved = keeper.rows(plananswers.NAME) if keeper is not None and not solving else 0
    if answers is not None or unsolved:
        plananswers.fill(book, answers, unsolved)
    haypile.beside_the_plan(book)
    book.marks["solved"] = solved


def _solved_from(book: Book, solved: wintering.Solved, laid: Keeper | None) -> Sequence[solvedfrom.Then] | None:
    """What the plan was solved from; of a file that is `laid` out again, the rows alone where it has them."""
    if laid is not None and laid.rows(solvedfrom.NAME):
        return [solvedfrom.Then()] * len(solvedfrom.every(book))
    return solved.solution.solved_from


def _needs_only(farm: Farm, whole: Book) -> Book:
    """Just the sheets that say what each lot leaves each group short of, for the lots that are solved."""
    book = Book("functions", TITLE)
    assumptions.fill(book)
    lots.fill(book, farm.lot_rows[: mixing.lots_solved(len(farm.group_rows))])
    herd.fill(book, farm.group_rows)
    herd.fill_classes(book, farm.group_rows)
    match.fill(book)
    for key, (sheet, row, col) in book.inputs.items():  # a keeper may have put other values in the whole book
        book.by_name(sheet).cells[row, col].content = whole.by_name(sheet).cells[row, col].content
        assert whole.inputs[key] == (sheet, row, col)
    return book


def save(
    farm: Farm, path: Path, edition: str = "functions", force: bool = False, progress: Progress | None = None,
    own: bool = False, kind: str = PLAN, print_all: bool = False, asked: Asked | None = None,
) -> tuple[Book, write.Values]:  # fmt: skip
    """Build, compute and write; hand back the model and every computed value."""
    book = build(farm, edition, progress=progress, asked=asked, kind=kind)
    book.print_all = print_all
    return book, write.save(book, path, force, progress, own)
