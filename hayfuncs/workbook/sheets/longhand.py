"""Longhand: the chosen case in numbered lines of ordinary arithmetic, beside the functions' answers."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from hayfuncs.contract.catalogue import CATALOGUE, Longhand, Record, Words
from hayfuncs.contract.tables import citation
from hayfuncs.formulas.branches import live_steps, settled
from hayfuncs.formulas.template import fill as fill_in
from hayfuncs.workbook.keyed import NOT_TESTED
from hayfuncs.workbook.model import Address, Book, Content, Formula, Sheet, quoted
from hayfuncs.workbook.page import TOP
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.herd import AS_COW, AS_GROWING, AS_YOUNG, Herd, NeedByClass
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.table import Table

NUMBER, WHAT, VALUE, UNIT, HOW, SOURCE = range(6)  # columns
HEADS = ("Line", "What", "Value", "Unit", "How, in words", "Source")
TOLERANCE = 1e-9
OTHER_CLASS = '"other class"'
ROW_OF_LOTS = "the chosen lot's row of Lots"
P = TypeVar("P", bound="Paper")


@dataclass
class Line:
    ref: str
    number: int


class Paper:
    """A page that is worked from top to bottom: every line has a number, a value and its words."""

    def __init__(self, book: Book, sheet: Sheet, row: int) -> None:
        self.book, self.sheet, self.row = book, sheet, row
        self.number = 0
        self.compared: list[tuple[str, str, str]] = []  # mine, the function's, the condition of `unless`
        self.worked: dict[str, Line] = {}  # arithmetic that stands on the page already

    def section(self, text: str) -> None:
        self.row += 1
        self.sheet.put(self.row, NUMBER, text, "section")
        self.row += 1

    def line(self, label: str, content: Content, unit: str, words: str, source: str, style: str = "number3") -> Line:
        self.number += 1
        sheet = self.sheet
        sheet.put(self.row, NUMBER, self.number, "number0")
        sheet.put(self.row, WHAT, label, "label")
        ref = sheet.put(self.row, VALUE, content, style, unit=unit)
        sheet.put(self.row, UNIT, unit, "unit_cell")
        sheet.put(self.row, HOW, words, "small")
        sheet.put(self.row, SOURCE, source, "small")
        self.row += 1
        return Line(ref.split("!")[1], self.number)

    def given(self, label: str, ref: str, unit: str, style: str = "number2") -> Line:
        return self.line(label, Formula(f"={ref}"), unit, Address(ref, "both"), "", style)

    def function(
        self, name: str, answer: str, label: str, unless: tuple[str, str] | None = None, **args: Line | str
    ) -> Line:
        """The longhand of one function over earlier lines, its arguments by their names; ends with a comparison.

        `unless` is a condition and what the lines show while it holds, for values that may not be entered.
        """

        def where_known(formula: str) -> Formula:
            return Formula(f"=IF({unless[0]},{unless[1]},{formula})") if unless else Formula(f"={formula}")

        record = CATALOGUE[name]
        assert isinstance(record.longhand, Longhand)
        self.section(f"{label}: {record.sheet_name}")
        refs = {k: v.ref if isinstance(v, Line) else v for k, v in args.items()}
        numbers = {k: f"line {v.number}" if isinstance(v, Line) else v.strip('"') for k, v in args.items()}
        places: dict[str, str] = {}
        for k, arg in record.args.items():
            if isinstance(arg, Words) and not refs[k].startswith('"'):
                terms = "+".join(f'{i}*({refs[k]}="{w}")' for i, w in enumerate(arg.words, 1))
                listed = ", ".join(f"{i} {w}" for i, w in enumerate(arg.words, 1))
                got = self.line(f"Place of the {k} in its list", where_known(terms), "1", listed, "", "number0")
                places[k] = got.ref
                numbers[k] = f"line {got.number}"
        source = sources(record)
        for step in live_steps(record, refs):
            text, words = self._both(record, step.formula, refs, places, numbers)
            shown = where_known(text)
            if shown.text not in self.worked:
                self.worked[shown.text] = self.line(step.label, shown, step.unit, words, source)
                source = ""
            made = self.worked[shown.text]
            refs[step.name], numbers[step.name] = made.ref, f"line {made.number}"
        text, words = self._both(record, record.longhand.result, refs, places, numbers)
        out = self.line(record.result.meaning, where_known(text), record.result.unit, words, source, "result2")
        says = "the function's answer, for comparison"
        told = self.line(f"{record.sheet_name} says", Formula(f"={answer}"), record.result.unit, says, "")
        self.compared.append((out.ref, told.ref, unless[0] if unless else ""))
        return out

    def _both(
        self, record: Record, formula: str, refs: dict[str, str], places: dict[str, str], numbers: dict[str, str]
    ) -> tuple[str, str]:
        """The formula over cells, and the same over line numbers for the reader."""
        # a number that stands in the formula itself is no line of the page
        known = {k: f"[{v}]" if v.startswith("line ") else v for k, v in numbers.items()} | {
            k: v for k, v in refs.items() if v.startswith('"')
        }
        formula = settled(record, formula, refs)
        written = formula
        for name, place in places.items():
            formula = formula.replace(f"{{{name}#}}", place)
            written = written.replace(f"{{{name}#}}", known[name])
        text = fill_in(record, formula, refs, self.book.table_range)
        spoken = fill_in(record, written, known, lambda table, column: f"column {column} of {table}")
        spoken = re.sub(r"(?<=[\])0-9a-z])([-+*/])(?=[\[(0-9A-Z])", r" \1 ", spoken).replace("*", "×")
        return text, spoken[:400]


def sources(record: Record) -> str:
    return "; ".join(f"{citation(r.key)}, {r.where} [{r.evidence}]" for r in record.refs[:2])


def begin_paper(book: Book, name: str, title: str, sentence: str, kind: type[P]) -> P:
    """A sheet for a paper, with its heads."""
    sheet = begin(book, name, title, sentence, "Workings")
    sheet.width(9, 27, 14, 15, 44, 38)
    sheet.heads(TOP, NUMBER, HEADS)
    sheet.freeze = (TOP + 1, 0)
    sheet.repeat_rows = (TOP, TOP)
    return kind(book, sheet, TOP)


class Case:
    """The chosen lot and group, and lines that take their values."""

    def __init__(self, book: Book, paper: Paper) -> None:
        self.book, self.paper, self.ration = book, paper, book.find(Ration)

    def of_lot(self, column: str) -> str:
        return self._of(Lots, column, self.ration.lots)

    def of_herd(self, column: str) -> str:
        return self._of(Herd, column, self.ration.herd)

    def of_class(self, column: str) -> str:
        return self._of(NeedByClass, column, self.ration.herd)

    def by_class(self, label: str, column: str, unit: str, style: str = "number3") -> Line:
        words = "the chosen group's row of Need by class"
        return self.paper.line(label, Formula(f"={self.of_class(column)}"), unit, words, "", style)

    def of_pair(self, column: str) -> str:
        return self._of(Match, column, f"({self.ration.lots}-1)*group_count+{self.ration.herd}")

    def _of(self, kind: type[Table[Any]], column: str, place: str) -> str:
        return f"INDEX({getattr(self.book.find(kind), column)},{place})"

    def lot(self, label: str, column: str, unit: str, source: str = "lab sheet", style: str = "number3", words: str = ROW_OF_LOTS) -> Line:  # fmt: skip
        return self.paper.line(label, Formula(f"={self.of_lot(column)}"), unit, words, source, style)

    def cow(self, label: str, column: str, unit: str, style: str = "number3", words: str = "the chosen group's row of Herd") -> Line:  # fmt: skip
        return self.paper.line(label, Formula(f"={self.of_herd(column)}"), unit, words, "herd list", style)


def fill(book: Book) -> None:
    paper = begin_paper(
        book, "Longhand", "The chosen case worked by hand",
        "Line by line from the lab sheet to the pound of feed, in ordinary arithmetic; [line n] means the value of line n. Each part ends with the function's answer.",
        Paper,
    )  # fmt: skip
    case, ration, names = Case(book, paper), book.find(Ration), book.names
    paper.section("What is given")
    basis = case.lot("Basis of the lab values", "basis", "word", style="text")
    dm = case.lot("Dry matter", "lab_dm_pct", "% as fed")
    parts = ("cp", "adf", "ndf")
    lab = {k: case.lot(f"{k.upper()} as the lab gives it", f"lab_{k}_pct", "% on the basis given") for k in parts}
    equation = case.lot("TDN line by ADF", "equation", "name", "", "text", "Assumptions, by forage")
    weight = case.cow("Body weight", "weight", "lb")
    month = case.cow("Month since calving", "month", "months")
    milk = case.cow("Milk at peak", "milk", "lb/day")
    calf = case.cow("Calf weight at birth", "calf", "lb")
    milking = case.cow("Giving milk? 1 yes, 0 no", "lactating", "yes/no", "number0", "month not after weaning, and milk above 0")  # fmt: skip
    feed_dm = paper.given("Supplement, dry matter", ration.feed_dm, "% as fed")
    feed_tdn = paper.given("Supplement, TDN", ration.feed_tdn, "% DM")
    feed_cp = paper.given("Supplement, crude protein", ration.feed_cp, "% DM")
    left = paper.given("Hay left per pound of supplement", names["hay_displaced"], "lb DM/lb DM")
    divide = Formula(f'=IF({basis.ref}="dry",100,{dm.ref})')
    divisor = paper.line("Dry matter to divide by", divide, "% (100 when dry)", f"100 when the lab's basis is dry, else [line {dm.number}]", "")  # fmt: skip
    dry = {k: paper.function("TO_DRY_BASIS", case.of_lot(k), f"{k.upper()} on dry basis", as_fed_value=lab[k], dm_pct=divisor) for k in parts}  # fmt: skip
    tdn = _energy(case, dry, equation)
    eaten = _dial(paper, _intake(case, dry["ndf"], tdn, weight, milking), "dial_eats", "Hay eaten", "lb DM/day")
    paper.compared.append((eaten.ref, ration.hay, ""))
    tdn = _dial(paper, tdn, "dial_energy", "TDN of the hay", "% DM")
    protein = _dial(paper, dry["cp"], "dial_protein", "Protein of the hay", "% DM")
    shrink = paper.given("Shrink", names["shrink_pct"], "% of body weight")
    shrunk = paper.function("SHRUNK_WEIGHT", case.of_herd("shrunk"), "Shrunk weight", body_weight_lb=weight, shrink_pct=shrink)  # fmt: skip
    cow: dict[str, Any] = {"shrunk_weight_lb": shrunk, "month_since_calving": month, "peak_milk_lb": milk, "calf_weight_lb": calf}  # fmt: skip
    need, density = _needs(case, cow, shrunk)
    for n, percent in (("TDN", tdn), ("CP", protein)):
        paper.function("NUTRIENT_SHORT", getattr(ration, f"{n.lower()}_short"), f"{n} short", need_lb=need[n], hay_dm_lb=eaten, hay_pct=percent)  # fmt: skip
    fed: dict[str, Any] = {
        "hay_dm_lb": eaten, "hay_tdn_pct": tdn, "hay_cp_pct": protein, "feed_tdn_pct": feed_tdn, "feed_cp_pct": feed_cp,
        "feed_dm_pct": feed_dm, "hay_displaced": left,
    }  # fmt: skip
    paper.function("SUPPLEMENT_RATE", ration.rate_pounds, "Supplement counted in pounds", basis='"pounds"', tdn_need=need["TDN"], cp_need=need["CP"], **fed)  # fmt: skip
    paper.function("SUPPLEMENT_RATE", ration.rate_share, "Supplement as a share of the diet", basis='"share"', tdn_need=density["TDN"], cp_need=density["CP"], **fed)  # fmt: skip
    book.marks["longhand_difference"] = compare(paper)


def _needs(case: Case, cow: dict[str, Any], shrunk: Line) -> tuple[dict[str, Line], dict[str, Line]]:
    """Energy and protein by the function of the group's class, condition on top: in pounds, and as a share of the diet."""
    paper, n_of = case.paper, ("DM", "TDN", "CP")
    way = case.by_class("Counted as: 1 grown cow, 2 young cow, 3 growing", "way", "1", "number0")
    thin = case.by_class("Is condition to be put on? 1 yes, 0 no", "counts", "yes/no", "number0")
    of_class: dict[int, dict[str, Line]] = {}

    def work(which: int, function: str, answers: Callable[[str], str], label: str, args: Mapping[str, Line]) -> None:
        other = f"{way.ref}<>{which}"
        of_class[which] = {
            n: paper.function(function, f"IF({other},{OTHER_CLASS},{answers(n)})", label.format(n), (other, OTHER_CLASS), nutrient=f'"{n}"', **args)
            for n in n_of
        }  # fmt: skip

    held = {"DM": "need_dm", "TDN": "hold_tdn", "CP": "need_cp"}
    work(AS_COW, "DAILY_NEED", lambda n: case.of_herd(held[n]), "{} that a grown cow needs", cow)
    grown, gain = case.by_class("Shrunk weight when grown", "grown", "lb"), case.by_class("Gain", "gain", "lb/day")
    her = {"mature_shrunk_lb": grown, "shrunk_weight_lb": shrunk, "gain_lb": gain, "month_since_calving": cow["month_since_calving"],
        "peak_milk_lb": case.by_class("Milk at her peak; 0 before her first calf", "milk_now", "lb/day"), "calf_birth_weight_lb": cow["calf_weight_lb"]}  # fmt: skip
    work(AS_YOUNG, "HEIFER_NEED", lambda n: case.of_class(f"young_{n.lower()}"), "{} that a young cow needs", her)
    kind = case.by_class("Growing cattle counted as", "kind", "word", "text")
    grows = {"cattle_class": kind, "shrunk_weight_lb": shrunk, "gain_lb": gain, "mature_shrunk_lb": grown}
    work(AS_GROWING, "GROWING_NEED", lambda n: case.of_class(f"grow_{n.lower()}"), "{} that growing cattle need", grows)
    more = _condition(case, thin)
    need: dict[str, Line] = {}
    for n in n_of:
        lines = [of_class[which][n] for which in (AS_COW, AS_YOUNG, AS_GROWING)]
        added = f"+{more.ref}" if n == "TDN" else ""
        text = Formula(f"=CHOOSE({way.ref},{','.join(line.ref for line in lines)}){added}")
        words = ", ".join(f"[line {line.number}]" for line in lines) + ": that of the class"
        words += f"; + [line {more.number}] for condition" if added else ""
        need[n] = paper.line(f"{n} needed, counted", text, "lb DM/day" if n == "DM" else "lb/day", words, "", "result2")
        paper.compared.append((need[n].ref, case.of_herd(f"need_{n.lower()}"), ""))
    return need, _densities(case, cow, need, f"OR({way.ref}<>{AS_COW},{thin.ref}=1)")


def _condition(case: Case, thin: Line) -> Line:
    columns = (("Shrunk weight at score 5", "at_5", "lb"), ("TDN of the diet that holds condition", "diet_tdn", "% DM"))
    at_5, diet = (case.by_class(label, column, unit) for label, column, unit in columns)
    score, wanted = case.cow("Score now", "score", "score"), case.cow("Score wanted", "wanted", "score")
    days = case.cow("Days to reach it", "days", "days", "number0")
    return case.paper.function("NEED_FOR_CONDITION", case.of_class("condition_tdn"), "TDN for condition", (f"{thin.ref}=0", "0"),
        weight_at_5_lb=at_5, from_score=score, to_score=wanted, days=days, diet_tdn_pct=diet)  # fmt: skip


def _densities(case: Case, cow: dict[str, Any], need: Mapping[str, Line], other: str) -> dict[str, Line]:
    """What the diet must hold: a grown cow's by its function; of another class, or with condition, need over intake."""
    paper, found = case.paper, {}
    for n in ("TDN", "CP"):
        answer = getattr(case.ration, f"{n.lower()}_density")
        told, label = f"IF({other},{OTHER_CLASS},{answer})", f"{n} needed in the diet"
        line = paper.function("NEED_DENSITY", told, label, (other, OTHER_CLASS), nutrient=f'"{n}"', **cow)
        text = Formula(f"=IF({other},100*{need[n].ref}/{need['DM'].ref},{line.ref})")
        words = f"[line {line.number}]; of another class, or with condition: 100 × [line {need[n].number}] / [line {need['DM'].number}]"
        found[n] = paper.line(f"{label}, counted", text, "% of diet DM", words, "", "result2")
        paper.compared.append((found[n].ref, answer, ""))
    return found


def _energy(case: Case, dry: Mapping[str, Line], equation: Line) -> Line:
    """TDN by ADF, and by 48-hour NDF digestibility where it was measured; the best measured one goes on."""
    paper = case.paper
    adf = paper.function("TDN_FROM_ADF", case.of_lot("tdn_adf"), "Energy of the hay, by ADF", adf_pct=dry["adf"], equation=equation)  # fmt: skip
    ash, fat = case.lot("Ash, dry basis", "ash", "% DM"), case.lot("Fat, dry basis", "fat", "% DM")
    ndfd = case.lot("NDF digested in 48 hours", "lab_ndfd48_pct", "% of NDF")
    forage = case.lot("Forage type for RFQ", "rfq_forage", "word", "", "text")
    untested = f"COUNT({','.join(case.of_lot(k) for k in ('ash', 'fat', 'lab_ndfd48_pct'))})<3"
    summed = paper.function(
        "TDN_FROM_NDF_DIGESTIBILITY", case.of_lot("tdn_fiber"), "Energy of the hay, by what it digests", (untested, NOT_TESTED),
        cp_pct=dry["cp"], fat_pct=fat, ash_pct=ash, ndf_pct=dry["ndf"], ndfd48_pct=ndfd, forage=forage,
    )  # fmt: skip
    lignin = case.lot("TDN from lignin", "tdn_lignin", "% DM", "")
    lab = case.lot("TDN by the laboratory", "lab_tdn", "% DM")
    best = adf.ref
    for line in (lab, lignin, summed):
        best = f"IF(ISNUMBER({line.ref}),{line.ref},{best})"
    words = f"the first that was measured of [line {summed.number}], [line {lignin.number}], [line {lab.number}], [line {adf.number}]"
    return paper.line("TDN that is counted", Formula(f"={best}"), "% DM", words, "", "result2")


def _intake(case: Case, ndf: Line, tdn: Line, weight: Line, milking: Line) -> Line:
    paper = case.paper
    capacity = paper.given("Fiber a cow will eat", case.book.names["ndf_capacity_pct_bw"], "% of body weight")
    fiber = paper.function(
        "INTAKE_FROM_NDF", case.of_pair("fiber"), "Hay eaten, by the fiber rule", ndf_pct=ndf, body_weight_lb=weight, ndf_capacity_pct_bw=capacity,
    )  # fmt: skip
    quality = paper.function(
        "INTAKE_BY_QUALITY", case.of_pair("quality"), "Hay eaten, by quality class", tdn_pct=tdn, body_weight_lb=weight, lactating=milking,
    )  # fmt: skip
    share = paper.line(
        "Most hay counted by the fiber rule", Formula(f"=IF({milking.ref}=1,fiber_most_milk_pct_bw,fiber_most_dry_pct_bw)"), "% of body weight",
        "taken from Assumptions, for a cow in milk or a dry one", "", "number2",
    )  # fmt: skip
    held = f"[line {weight.number}] × [line {share.number}] / 100"
    most = paper.line("The same in pounds", Formula(f"={weight.ref}*{share.ref}/100"), "lb DM/day", held, "")
    grows = f"{case.of_class('way')}>{AS_COW}"
    of_cows = f'IF(intake_method="fiber",MIN({fiber.ref},{most.ref}),{quality.ref})'
    text = Formula(f"=IF({grows},{case.of_pair('hay')},{of_cows})")
    words = f"the lesser of [line {fiber.number}] and [line {most.number}], or [line {quality.number}], as Assumptions says; other classes: as on Match"  # fmt: skip
    chosen_line = paper.line("Hay eaten, as chosen", text, "lb DM/day", words, "")
    paper.compared.append((chosen_line.ref, case.of_pair("hay"), ""))
    return chosen_line


def _dial(paper: Paper, own: Line, name: str, label: str, unit: str) -> Line:
    """What the dial of What to feed says, where one is set."""
    shown = Formula(f"=IF(COUNT({name})=0,{own.ref},{name})")
    return paper.line(f"{label}, or the dial", shown, unit, f"[line {own.number}], unless a dial is set", "")


def compare(paper: Paper) -> str:
    """The last lines: the largest difference between the two ways, and where it stands."""
    paper.section("Longhand against the functions")
    worst: list[str] = []
    for mine, theirs, unless in paper.compared:
        # where a value may not be entered both say so in words, which N takes as 0: one number alone is a difference
        worst.append(f"ABS(N({mine})-N({theirs}))" if unless else f"ABS({mine}-{theirs})")
    lines = []
    for i in range(0, len(worst), 6):
        part = Formula(f"=MAX({','.join(worst[i : i + 6])})")
        words = "longhand less function, without sign"
        lines.append(paper.line(f"Largest difference, part {i // 6 + 1}", part, "any", words, "", "number6").ref)
    most = Formula(f"=MAX({','.join(lines)})")
    out = paper.line("Largest difference of all", most, "any", f"must be at most {TOLERANCE:g}", "", "number6")
    return f"{quoted(paper.sheet.name)}!{out.ref}"
