"""What a plan was solved from: whatever changes it is noticed, told in words, and told apart from an empty cell."""

from __future__ import annotations

import datetime as dt

import pytest
from building import SMALL, built
from where import Running
from workbook.opened import Open
from workbook.places import place

from hayfuncs.hosts import engine
from hayfuncs.spreadsheet.a1 import place_of
from hayfuncs.spreadsheet.engine_values import DAY_ZERO
from hayfuncs.workbook import build
from hayfuncs.workbook.model import is_formula
from hayfuncs.workbook.sheets import solvedfrom
from hayfuncs.workbook.sheets.inputlist import any_row
from hayfuncs.workbook.wintering import NoFarm, Reader
from hayfuncs.workbook.write import SPELLING

NOT_PLANNED_WITH = ("Plan", "Plain rule")  # amounts of the plan itself
TRIED = 2  # rows of a column that something is typed in, and as many that are empty
NO_PLAN_CHANGES = {  # given to the solver, and without any effect on this farm
    "Herd/#/gain_wanted_lb",  # of grown cows
    "Winter/plan_mixed",  # while no hay has nitrate; with it, see below
    *(
        f"Winter/more_{month}" for month in ("apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "jan")
    ),  # no feeding in them
}
LEAST = 60  # kinds of input that reach the solver on this farm; fewer would mean that the test looks past them


class Live(Reader):
    """Reads what stands in the open workbook, as `hayfuncs plan` would."""

    def __init__(self, opened):
        super().__init__(opened.book, {})
        self.opened = opened

    def cell(self, sheet, row, col):
        cell = self.book.by_name(sheet).cells.get((row, col))
        if cell is None:
            return None
        value = engine.plain_value(self.opened.made.get_value(sheet, row + 1, col + 1))
        dated = cell.entry is not None and cell.entry.kind == "date"
        return DAY_ZERO + dt.timedelta(value) if dated and isinstance(value, (int, float)) else value

    def typed(self, key):
        return self.cell(*self.book.inputs[key])

    def given(self):
        """What the solver would be given, or why there is nothing to solve."""
        try:
            return self.farm()
        except (NoFarm, TypeError, ValueError) as why:  # an empty cell where a number is needed
            return str(why)


@pytest.fixture
def opened():
    return Open(*built(SMALL)[::2])


def another_value(book, entry, held):
    """Something else that may be typed there."""
    words = list(entry.words)
    if entry.source:
        sheet, row, col, last, _ = place_of(entry.source)
        cells = book.by_name(sheet).cells
        words = [cells[r, col].content for r in range(row, last + 1) if (r, col) in cells]
    if words:
        return next((word for word in reversed(words) if isinstance(word, str) and word and word != held), None)
    if entry.kind == "date":
        return (held if isinstance(held, dt.date) else dt.date(2027, 2, 20)) + dt.timedelta(9)
    if entry.kind == "text":
        return None
    lo, hi = entry.lo or 0, 100 if entry.hi is None else entry.hi
    if not isinstance(held, (int, float)):
        return hi if entry.kind == "whole" else (lo + hi) / 2
    if entry.kind == "whole":
        return held + 1 if held + 1 <= hi else held - 1
    return held * 1.03 if lo < held * 1.03 <= hi else held * 0.97 if held else min(hi, lo + 1)


def kinds(book):
    """Rows of each kind of input: some that are typed in and some that are empty."""
    found = {}
    for key, (sheet, row, col) in book.inputs.items():
        if key.split("/")[0] in NOT_PLANNED_WITH or key.endswith("/name"):  # what a hay is called changes no plan
            continue
        held = book.by_name(sheet).cells[row, col].content
        rows = found.setdefault((any_row(key), held is None), [])
        if len(rows) < TRIED:
            rows.append(key)
    return found


def type_in(opened, key, value):
    sheet, row, col = opened.book.inputs[key]
    if isinstance(value, dt.date):
        value = (value - DAY_ZERO).days
    opened.made.set_value(sheet, row + 1, col + 1, value)
    opened.made.evaluate_all()


def test_whatever_the_solver_is_given_is_noticed_when_it_changes(opened):
    book, live = opened.book, Live(opened)
    before, reached, missed, stays = live.given(), set(), [], []
    assert not isinstance(before, str)
    assert opened.name("plan_changes") == 0
    for (kind, _), keys in kinds(book).items():
        for key in keys:
            sheet, row, col = book.inputs[key]
            cell = book.by_name(sheet).cells[row, col]
            value = another_value(book, cell.entry, cell.content)
            if value is None:
                continue
            type_in(opened, key, value)
            count, words = opened.name("plan_changes"), opened.name("plan_changed")
            if live.given() != before:
                reached.add(kind)
                missed += [] if count or kind in NO_PLAN_CHANGES else [f"{key}: {cell.content} to {value}"]
            assert (count > 0) == words.startswith(f"Solve it again, {count:.0f} change"), key
            assert len(words) <= solvedfrom.LONGEST
            type_in(opened, key, cell.content)
            stays += [key] if opened.name("plan_changes") else []
    assert missed == []
    assert stays == [], "typed back, nothing has changed"
    assert len(reached) >= LEAST, sorted(reached)


def test_a_hay_with_nitrate_is_noticed_once_more_when_hay_is_mixed(opened):
    type_in(opened, "Lots/1/nitrate_n_ppm", 1200)
    assert "most for cows in calf, by nitrate" in opened.name("plan_changed")
    opened.as_solved()
    type_in(opened, "Winter/plan_mixed", 1)
    assert opened.name("plan_changes") >= 1


def test_an_empty_cell_is_not_a_zero(opened):
    """Both ways: what was empty is typed 0, what was 0 is emptied."""
    name = SMALL.groups[0].name
    type_in(opened, "Herd/1/condition_wanted", 0)
    assert f": {name}: condition score wanted (was blank, now 0 score). " in opened.name("plan_changed")
    opened.as_solved()
    type_in(opened, "Herd/1/condition_wanted", None)
    assert f": {name}: condition score wanted (was 0, now blank). " in opened.name("plan_changed")


def test_the_first_two_are_named_and_the_rest_counted(opened):
    type_in(opened, "Hay pile/start", dt.date(2027, 2, 12))
    type_in(opened, "Herd/1/head", 60)
    type_in(opened, "Herd/2/head", 50)
    assert opened.name("plan_changed") == (
        "Solve it again, 3 changes since it was solved: Hay feeding begins on (was 10 Feb 2027, now 12 Feb 2027); "
        f"{SMALL.groups[0].name}: head (was 62, now 60 head); and 1 more. All on Workings: Solved from."
    )


def test_an_entry_that_cannot_be_is_a_change_and_no_error(opened):
    type_in(opened, "Lots/1/ndf_pct", "not a number")
    assert opened.name("plan_changes") >= 1
    assert len(opened.name("plan_changed")) <= solvedfrom.LONGEST


@pytest.mark.parametrize("edition", ["functions", "plain", "classic"])
def test_each_edition_says_it_on_plan_and_budget(edition):
    book, values, path = built(SMALL, edition)
    plan, state = book.by_name("Plan").ref(2, 4), book.names["plan_price"]
    assert values[("Winter budget", *place_of(state)[1:3])].startswith("It is the cheapest")
    made = Running(book, engine.load(path.read_bytes(), SPELLING[edition] or "HAY."))
    made.evaluate_all()
    sheet, row, col = book.inputs["Feeds/1/price"]
    made.set_value(sheet, row + 1, col + 1, 200)
    made.evaluate_all()
    said = [engine.plain_value(made.get_value(*place(ref))) for ref in (plan, state)]
    price, feed = book.by_name(sheet).cells[row, col].content, next(iter(SMALL.prices))
    words = f"Solve it again, 1 change since it was solved: {feed}: price counted (was {price:g}, now 200 $/ton as fed). All on Workings: Solved from."  # fmt: skip
    assert said == [words, words]


def test_without_a_plan_the_part_says_so_and_costs_nothing():
    book = build.build(SMALL, solved=False)
    sheet = book.by_name(solvedfrom.NAME)
    assert "No plan has been solved in this workbook." in [cell.content for cell in sheet.cells.values()]
    assert len(sheet.cells) < 10
    assert not any(is_formula(cell) for cell in sheet.cells.values())
    assert sheet.cells[place_of(book.names["plan_changes"])[1:3]].content == 0
