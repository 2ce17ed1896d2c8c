"""Lessons: four questions on this farm's own numbers; the answer shows once the hall has guessed.

Each asks, takes a guess, shows the answer and how far off the guess was, then what one change does to it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.page import Line, Page, given, heading, sentence, worked
from hayfuncs.workbook.sheets.bench import Bench
from hayfuncs.workbook.sheets.besthay import Points
from hayfuncs.workbook.sheets.common import begin, pick, stepped
from hayfuncs.workbook.sheets.grid import Asking, date, listed, number, words
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.sheets.ration import Ration

NAME = "Lessons"
NOT_YET = '"guess first"'
NUTRIENTS = ("energy", "protein", "neither")
MORE_PROTEIN, LESS_WASTE = 2, 5  # what two of the changes begin with (our choice, no source)
LINE: dict[str, Any] = {"look": "lesson_label", "height": 24}
QUESTION: dict[str, Any] = {"style": "lesson_question", "height": 30}
SAID: dict[str, Any] = {"style": "lesson_said", "height": 24}


def named(lesson: int, asking: Asking) -> Asking:
    """The same lines stand in every lesson: the key of an input says which one it is of."""
    return lambda key: asking(f"{key}_{lesson}")


def line(label: str, unit: str | None, style: str, **more: Any) -> Callable[[Callable[[Any], Content]], Line]:
    """A computed line; the function below it says what it holds."""
    return lambda make: worked(label, unit, make, style, **more)


class Lesson(Page):
    """`guess` is the cell that the hall's guess is typed into."""

    guess: Any = ""
    ration, match, bench = another(lambda: Ration), another(lambda: Match), another(lambda: Bench)
    lots, herd = another(lambda: Lots), another(lambda: Herd)

    def after(self, what: str) -> Formula:
        """Shown once there is a guess, while what it rests on holds."""
        return Formula(f'=IF({self.guess}="",{NOT_YET},IF(ration_withheld="",{what},"no answer while a check fails"))')

    def waits(self, more: str = "FALSE") -> tuple[str, str]:
        return f'OR({self.guess}="",ration_withheld<>"",{more})', NOT_YET

    def held(self, place: str, group: str) -> str:
        """What a hay does for a group, in words."""
        at = f"({place}-1)*group_count+{group}"
        energy, protein = (pick(span, at) for span in (self.match.tdn_short, self.match.cp_short))
        parts = f'IF({energy}>0,TEXT({energy},"0.00")&" lb of energy (TDN)","")&IF({energy}*{protein}>0," and ","")&IF({protein}>0,TEXT({protein},"0.00")&" lb of protein","")'
        return f'IF({energy}+{protein}=0,"enough","short of "&{parts}&" a day")'


class WhichHay(Lesson):
    title = heading("1. Which hay for which cattle?")
    asks = sentence(lambda page: Formula('="Which hay is enough for "&chosen_group&" and spares better hay?"'), **QUESTION)  # fmt: skip
    guess = given(
        "The hall's guess",
        "name of a lot",
        named(1, listed("The hall's guess", "A hay of the sheet Lots", "{lots.name}")),
        lambda page: None,
        style="lesson_input",
        **LINE,
    )

    @line("That hay is", None, **SAID | {"look": "lesson_label"})
    def guessed(self) -> Content:
        return self.after(self.held(f"MATCH({self.guess},{self.lots.name},0)", self.ration.herd))

    @line("The best hay for them", None, **SAID | {"look": "lesson_label"})
    def best(self) -> Content:
        place = self.book.find(Points).best(self.ration.herd)
        return self.after(f'IF(ISNUMBER({place}),INDEX({self.lots.name},{place}),"none")')

    @line("How far off, TDN of the hay", "% DM", style="lesson_number", **LINE)
    def off(self) -> Content:
        names, tdn = self.lots.name, self.lots.tdn
        mine, best = (f"INDEX({tdn},MATCH({x},{names},0))" for x in (self.guess, self.best))
        return self.after(f'IF({self.best}="none","none",{mine}-{best})')

    change = given("One change: another group", "name of a group", named(1, listed("Another group", "A group of the sheet Herd", "{herd.name}", True)), lambda page: page.another(), style="lesson_input", **LINE)  # fmt: skip

    @line("For them the hay you guessed is", None, **SAID | {"look": "lesson_label"})
    def then(self) -> Content:
        place, group = (
            f"MATCH({self.guess},{self.lots.name},0)",
            f"MATCH({self.change},{self.herd.name},0)",
        )
        return self.after(f'IF(ISNUMBER({group}),{self.held(place, group)},"not found")')

    def another(self) -> Content:
        """The last group of the herd."""
        herd = self.book.find(Herd)
        names = (herd.sheet.cells[row.at, herd.col(Herd.name)].content for row in herd.rows() if row.at is not None)
        return [name for name in names if name][-1]


class EnergyOrProtein(Lesson):
    title = heading("2. Is it protein or energy?")
    asks = sentence(lambda page: Formula('=chosen_lot&" to "&chosen_group&": what sets the pounds of "&chosen_feed&"?"'), **QUESTION)  # fmt: skip
    guess = given("The hall's guess", "word", named(2, words("The hall's guess", "What sets the rate", NUTRIENTS)), lambda page: None, style="lesson_input", **LINE)  # fmt: skip

    @line("To cover energy", "lb DM/day", style="lesson_number", **LINE)
    def energy(self) -> Content:
        r = self.ration
        return call("SUPPLEMENT_FOR_POUNDS", r.tdn_need, r.hay, r.hay_tdn, r.feed_tdn, "hay_displaced", unless=self.waits())  # fmt: skip

    @line("To cover protein", "lb DM/day", style="lesson_number", **LINE)
    def protein(self) -> Content:
        r = self.ration
        return call("SUPPLEMENT_FOR_POUNDS", r.cp_need, r.hay, r.hay_cp, r.feed_cp, "hay_displaced", unless=self.waits())  # fmt: skip

    @line("The answer: the larger one sets it", None, **SAID | {"look": "lesson_label"})
    def answer(self) -> Content:
        return self.after(f'IF(MAX({self.energy},{self.protein})=0,"neither",IF({self.protein}>{self.energy},"protein","energy"))')  # fmt: skip

    @line("How far off: pounds missed by the guess", "lb as fed/day", style="lesson_number", **LINE)
    def off(self) -> Content:
        mine = f'IF({self.guess}="energy",{self.energy},IF({self.guess}="protein",{self.protein},0))'
        return self.after(f"(MAX({self.energy},{self.protein})-{mine})/({self.ration.feed_dm}/100)")

    change = given("One change: protein of the hay, more by", "points", named(2, number("More protein", "Points of protein more in the hay's dry matter", -10, 15, True)), lambda page: MORE_PROTEIN, style="lesson_input_whole", **LINE)  # fmt: skip

    @line("Then the gap takes", "lb as fed/day", style="lesson_number", **LINE)
    def gap_then(self) -> Content:
        return call("SUPPLEMENT_RATE", *self.changed(), unless=self.waits())

    @line("So feed, up to what is weighed out", "lb as fed/day", style="lesson_number", **LINE)
    def then(self) -> Content:
        return self.after(f'IF(ISNUMBER({self.gap_then}),{stepped(self.gap_then)},"too poor")')

    @line("Before the change, as on What to feed", "lb as fed/day", style="lesson_number", **LINE)
    def before(self) -> Content:
        return self.after("hall_rate")

    @line("And what sets it then (TDN is energy)", None, **SAID | {"look": "lesson_label"})
    def sets(self) -> Content:
        return call("SUPPLEMENT_DRIVER", *self.changed(), unless=self.waits())

    def changed(self) -> tuple[str, ...]:
        r = self.ration
        hay = (r.hay, r.hay_tdn, f"({r.hay_cp}+{self.change})")
        return '"pounds"', r.tdn_need, r.cp_need, *hay, r.feed_tdn, r.feed_cp, r.feed_dm, "hay_displaced"


class RunOut(Lesson):
    title = heading("3. Do we run out before grass?")
    asks = sentence(lambda page: Formula('=TEXT(hay_in_store/lb_per_ton,"0")&" tons, and all eat all they want: on what day is the last bale gone?"'), **QUESTION)  # fmt: skip
    guess = given("The hall's guess", "date", named(3, date("The hall's guess", "The day the hay is gone")), lambda page: None, style="lesson_input_date", **LINE)  # fmt: skip

    @line("The hay is gone on", "date", style="lesson_date", **LINE)
    def answer(self) -> Content:
        return self.after('IF(ISNUMBER(days_of_hay),runs_out,"not entered")')

    @line("How far off", "days", style="lesson_whole", **LINE)
    def off(self) -> Content:
        return self.after(f'IF(ISNUMBER({self.answer}),ABS({self.guess}-{self.answer}),"not entered")')

    @line("Days without hay before grass", "days", style="lesson_whole", **LINE)
    def short(self) -> Content:
        return self.after('IF(COUNT(days_of_hay,winter_days)=2,MAX(0,winter_days-INT(days_of_hay)),"not entered")')

    change = given("One change: wasted at the feeder", "% of what is put out", named(3, number("Waste", "Share of the hay put out that is wasted at the feeder", 0, 60, True)), lambda page: LESS_WASTE, style="lesson_input_whole", **LINE)  # fmt: skip

    @line("Before the change", "% of what is put out", style="lesson_number", **LINE)
    def before(self) -> Content:
        return self.after("mean_feeding_loss")

    @line("Then the hay lasts", "days", style="lesson_whole", **LINE)
    def lasts(self) -> Content:
        unless = self.waits("COUNT(mean_feeding_loss,mean_dm,herd_head,herd_intake)<4")
        put_out = "hay_eaten/(1-mean_feeding_loss/100)"
        return call("DAYS_OF_HAY", put_out, "mean_dm", "0", self.change, "herd_head", "herd_intake", unless=unless)

    @line("And is gone on", "date", style="lesson_date", **LINE)
    def then(self) -> Content:
        return self.after(f'IF(ISNUMBER({self.lasts}),winter_start+INT({self.lasts}),"not entered")')


class BagToBunk(Lesson):
    """Each line is arithmetic that a hall can do on paper."""

    title = heading("4. From the bag on the bench to the bunk")
    asks = sentence(lambda page: Formula(f'="How many pounds of "&chosen_feed&" do "&{page.ration.head}&" head of "&chosen_group&" get in a day?"'), **QUESTION)  # fmt: skip
    guess = given("The hall's guess", "lb as fed/day", named(4, number("The hall's guess", "Pounds of feed for the whole group", 0, 1_000_000)), lambda page: None, style="lesson_input_whole", **LINE)  # fmt: skip

    @property
    def by_protein(self) -> str:
        return f'({self.ration.driver_pounds}="CP")'

    def nutrient(self, energy: str, protein: str) -> str:
        return f"IF({self.by_protein},{getattr(self.ration, protein)},{getattr(self.ration, energy)})"

    @line("1. The bag on the bench: dry over wet", "% as fed", style="lesson_number", why="this lot's bag on Bench; without one the laboratory's", **LINE)  # fmt: skip
    def one(self) -> Content:
        at = f'MATCH(chosen_lot&"*",{self.bench.sample},0)'
        weighed = f"IF(ISNUMBER({at}),ISNUMBER(INDEX({self.bench.dm},{at})),FALSE)"
        lab = f"INDEX({self.lots.lab_dm_pct},{self.ration.lots})"
        return self.after(f"IF({weighed},INDEX({self.bench.dm},{at}),{lab})")

    @line("2. Hay eaten, dry", "lb DM/day", style="lesson_number", why="as figured on Match", **LINE)
    def two(self) -> Content:
        return self.after(self.ration.hay)

    @line("3. From the stack that is", "lb as fed/day", style="lesson_number", why="line 2 / line 1 x 100", **LINE)
    def three(self) -> Content:
        return self.after(f"{self.two}/({self.one}/100)")

    @line("4. The laboratory: in its dry matter", "% DM", style="lesson_number", why="protein or energy (TDN), whichever sets the feed", **LINE)  # fmt: skip
    def four(self) -> Content:
        return self.after(self.nutrient("hay_tdn", "hay_cp"))

    @line("5. The hay gives", "lb/day", style="lesson_number", why="line 2 x line 4 / 100", **LINE)
    def five(self) -> Content:
        return self.after(f"{self.two}*{self.four}/100")

    @line("6. The need", "lb/day", style="lesson_number", why="by weight, stage and milk, or by class and gain", **LINE)
    def six(self) -> Content:
        return self.after(self.nutrient("tdn_need", "cp_need"))

    @line("7. She is short", "lb/day", style="lesson_number", why="line 6 - line 5, or 0", **LINE)
    def seven(self) -> Content:
        return self.after(f"MAX(0,{self.six}-{self.five})")

    @line("8. Feed, dry", "lb DM/day", style="lesson_number", why="line 7 / what a pound of it holds", **LINE)
    def eight(self) -> Content:
        brings = f"({self.nutrient('feed_tdn', 'feed_cp')}-hay_displaced*{self.four})"
        return self.after(f'IF({brings}>0,{self.seven}/({brings}/100),"too poor")')

    @line("9. Feed from the bag, up to what is weighed out", "lb as fed/day", style="lesson_number", why="line 8 / its dry matter", **LINE)  # fmt: skip
    def nine(self) -> Content:
        rate = f"({self.eight}/({self.ration.feed_dm}/100))"
        return self.after(f'IF(ISNUMBER({self.eight}),{stepped(rate)},"too poor")')

    @line("10. Into the bunk for all of them", "lb as fed/day", style="lesson_answer", why="line 9 x head", **LINE)
    def ten(self) -> Content:
        return self.after(f'IF(ISNUMBER({self.nine}),{self.nine}*{self.ration.head},"too poor")')

    @line("How far off", "lb as fed/day", style="lesson_answer", **LINE)
    def off(self) -> Content:
        return self.after(f'IF(ISNUMBER({self.ten}),ABS({self.guess}-{self.ten}),"too poor")')

    change = given("One change: a cow more or less", "head", named(4, number("Cows more or less", "Cows more, or less with a minus", -1000, 1000, True)), lambda page: 1, style="lesson_input_whole", **LINE)  # fmt: skip

    @line("Then into the bunk", "lb as fed/day", style="lesson_answer", **LINE)
    def then(self) -> Content:
        return self.after(f'IF(ISNUMBER({self.nine}),{self.nine}*({self.ration.head}+{self.change}),"too poor")')


LESSONS = (WhichHay, EnergyOrProtein, RunOut, BagToBunk)


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "Four lessons for the hall",
        "Type the hall's guess in the straw-colored cell: then the answer shows, and how far off the guess was. Clear it to hide the answer again.", "Result",
    )  # fmt: skip
    sheet.width(52, 26, 18, 52)
    sheet.zoom = 125
    top, marks = 4, {}
    for kind in LESSONS:
        if kind in LESSONS[2::2]:  # two on a page
            sheet.page_breaks.append(top)
        lesson = kind(sheet, top).place()
        marks[kind.__name__] = {found.key: lesson.ref(found) for found in lesson.of_class if found.look != "section"}
        sheet.heights[lesson.at["title"]] = 30
        top = lesson.row_below + 2
    book.marks["lessons"] = marks
