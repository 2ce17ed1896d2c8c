"""Longhand: the chosen case in numbered lines of ordinary arithmetic, beside the functions' answers."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from hayfuncs.contract.catalogue import CATALOGUE, Longhand, Record, Words
from hayfuncs.contract.tables import citation
from hayfuncs.formulas.branches import live_steps, settled
from hayfuncs.formulas.template import fill as fill_in
from hayfuncs.spreadsheet.a1 import split_address
from hayfuncs.workbook.model import Book, Content, Formula, Sheet, quoted
from hayfuncs.workbook.sheets.common import begin

TOLERANCE = 1e-9


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
        self.sheet.put(self.row, 0, text, "section")
        self.row += 1

    def line(self, label: str, content: Content, unit: str, words: str, source: str, style: str = "number3") -> Line:
        self.number += 1
        sheet = self.sheet
        sheet.put(self.row, 0, self.number, "number0")
        sheet.put(self.row, 1, label, "label")
        ref = sheet.put(self.row, 2, content, style, unit=unit)
        sheet.put(self.row, 3, unit, "unit_cell")
        sheet.put(self.row, 4, words, "small")
        sheet.put(self.row, 5, source, "small")
        self.row += 1
        return Line(ref.split("!")[1], self.number)

    def given(self, label: str, ref: str, unit: str, style: str = "number2") -> Line:
        sheet, cell = split_address(ref)
        return self.line(
            label,
            Formula(f"={ref}"),
            unit,
            f"taken from {sheet}, cell {cell.replace('$', '')}",
            "",
            style,
        )

    def function(
        self, name: str, args: Mapping[str, Line | str], answer: str, label: str, unless: tuple[str, str] | None = None
    ) -> Line:
        """The longhand of one function over earlier lines; ends with a comparison.

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
        told = self.line(
            f"{record.sheet_name} says",
            Formula(f"={answer}"),
            record.result.unit,
            "the function's answer, for comparison",
            "",
            "number3",
        )
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


def fill(book: Book) -> None:
    sheet = begin(
        book, "Longhand", "The chosen case worked by hand",
        "Line by line from the lab sheet to the pound of feed, in ordinary arithmetic; [line n] means the value of line n. Each part ends with the function's answer.",
        "Workings",
    )  # fmt: skip
    sheet.width(9, 27, 14, 15, 44, 38)
    sheet.portrait = False
    sheet.heads(4, 0, ["Line", "What", "Value", "Unit", "How, in words", "Source"])
    sheet.freeze = (5, 0)
    sheet.repeat_rows = (4, 4)
    paper = Paper(book, sheet, 4)
    marks, lots, herd = book.marks["ration"], book.marks["lots"], book.marks["herd"]
    lot, group = marks["lots"], marks["herd"]

    def of_lot(column: str) -> str:
        return f"INDEX({lots[column]},{lot})"

    def of_herd(column: str) -> str:
        return f"INDEX({herd[column]},{group})"

    paper.section("What is given")
    basis = paper.line(
        "Basis of the lab values",
        Formula(f"={of_lot('basis')}"),
        "word",
        "the chosen lot's row of Lots",
        "lab sheet",
        "text",
    )
    dm = paper.line(
        "Dry matter", Formula(f"={of_lot('lab_dm_pct')}"), "% as fed", "the chosen lot's row of Lots", "lab sheet"
    )
    lab = {k: paper.line(f"{k.upper()} as the lab gives it", Formula(f"={of_lot(f'lab_{k}_pct')}"), "% on the basis given", "the chosen lot's row of Lots", "lab sheet")
           for k in ("cp", "adf", "ndf")}  # fmt: skip
    equation = paper.line(
        "TDN line by ADF", Formula(f"={of_lot('equation')}"), "name", "Assumptions, by forage", "", "text"
    )
    weight = paper.line(
        "Body weight", Formula(f"={of_herd('weight')}"), "lb", "the chosen group's row of Herd", "herd list"
    )
    month = paper.line(
        "Month since calving", Formula(f"={of_herd('month')}"), "months", "the chosen group's row of Herd", "herd list"
    )
    milk = paper.line(
        "Milk at peak", Formula(f"={of_herd('milk')}"), "lb/day", "the chosen group's row of Herd", "herd list"
    )
    calf = paper.line(
        "Calf weight at birth", Formula(f"={of_herd('calf')}"), "lb", "the chosen group's row of Herd", "herd list"
    )
    milking = paper.line(
        "Giving milk? 1 yes, 0 no",
        Formula(f"={of_herd('lactating')}"),
        "yes/no",
        "month not after weaning, and milk above 0",
        "herd list",
        "number0",
    )
    feed = {k: paper.given(text, marks[m], unit) for k, m, text, unit in (
        ("dm", "feed_dm", "Supplement, dry matter", "% as fed"), ("tdn", "feed_tdn", "Supplement, TDN", "% DM"),
        ("cp", "feed_cp", "Supplement, crude protein", "% DM"))}  # fmt: skip
    left = paper.given("Hay left per pound of supplement", book.names["hay_displaced"], "lb DM/lb DM")
    divisor = paper.line(
        "Dry matter to divide by",
        Formula(f'=IF({basis.ref}="dry",100,{dm.ref})'),
        "% (100 when dry)",
        f"100 when the lab's basis is dry, else [line {dm.number}]",
        "",
    )
    dry = {
        k: paper.function(
            "TO_DRY_BASIS", {"as_fed_value": lab[k], "dm_pct": divisor}, of_lot(k), f"{k.upper()} on dry basis"
        )
        for k in ("cp", "adf", "ndf")
    }
    tdn = _energy(paper, of_lot, dry, equation)
    eaten = _intake(book, paper, dry["ndf"], tdn, weight, milking)
    shrink = paper.given("Shrink", book.names["shrink_pct"], "% of body weight")
    shrunk = paper.function(
        "SHRUNK_WEIGHT", {"body_weight_lb": weight, "shrink_pct": shrink}, of_herd("shrunk"), "Shrunk weight"
    )
    cow = {
        "shrunk_weight_lb": shrunk,
        "month_since_calving": month,
        "peak_milk_lb": milk,
        "calf_weight_lb": calf,
    }
    needs: dict[str, Line] = {}
    for nutrient in ("TDN", "CP"):
        column = f"need_{nutrient.lower()}"
        needs[nutrient] = paper.function(
            "DAILY_NEED", {"nutrient": f'"{nutrient}"', **cow}, of_herd(column), f"{nutrient} she needs"
        )
    shorts = {}
    for nutrient, percent, mark in (("TDN", tdn, "tdn_short"), ("CP", dry["cp"], "cp_short")):
        args = {"need_lb": needs[nutrient], "hay_dm_lb": eaten, "hay_pct": percent}
        shorts[nutrient] = paper.function("NUTRIENT_SHORT", args, marks[mark], f"{nutrient} short")
    hay = {"hay_dm_lb": eaten, "hay_tdn_pct": tdn, "hay_cp_pct": dry["cp"]}
    tag = {"feed_tdn_pct": feed["tdn"], "feed_cp_pct": feed["cp"], "feed_dm_pct": feed["dm"], "hay_displaced": left}
    pounds: dict[str, Line | str] = {
        "basis": '"pounds"',
        "tdn_need": needs["TDN"],
        "cp_need": needs["CP"],
        **hay,
        **tag,
    }
    paper.function("SUPPLEMENT_RATE", pounds, marks["rate_pounds"], "Supplement counted in pounds")
    densities: dict[str, Line] = {}
    for nutrient in ("TDN", "CP"):
        whole: dict[str, Line | str] = {"nutrient": f'"{nutrient}"', **cow}
        densities[nutrient] = paper.function(
            "NEED_DENSITY", whole, marks[f"{nutrient.lower()}_density"], f"{nutrient} needed in the diet"
        )
    share: dict[str, Line | str] = {
        "basis": '"share"',
        "tdn_need": densities["TDN"],
        "cp_need": densities["CP"],
        **hay,
        **tag,
    }
    paper.function("SUPPLEMENT_RATE", share, marks["rate_share"], "Supplement as a share of the diet")
    book.marks["longhand_difference"] = compare(paper)


def _energy(paper: Paper, of_lot: Callable[[str], str], dry: Mapping[str, Line], equation: Line) -> Line:
    """TDN by ADF, and by 48-hour NDF digestibility where it was measured; the best measured one goes on."""
    adf = paper.function(
        "TDN_FROM_ADF", {"adf_pct": dry["adf"], "equation": equation}, of_lot("tdn_adf"), "Energy of the hay, by ADF"
    )
    row = "the chosen lot's row of Lots"
    ash, fat, ndfd = (
        paper.line(label, Formula(f"={of_lot(mark)}"), unit, row, "lab sheet")
        for label, mark, unit in (
            ("Ash, dry basis", "ash", "% DM"),
            ("Fat, dry basis", "fat", "% DM"),
            ("NDF digested in 48 hours", "lab_ndfd48_pct", "% of NDF"),
        )
    )
    forage = paper.line("Forage type for RFQ", Formula(f"={of_lot('rfq_forage')}"), "word", row, "", "text")
    untested = f"COUNT({of_lot('ash')},{of_lot('fat')},{of_lot('lab_ndfd48_pct')})<3"
    args: dict[str, Line | str] = {
        "cp_pct": dry["cp"], "fat_pct": fat, "ash_pct": ash, "ndf_pct": dry["ndf"], "ndfd48_pct": ndfd, "forage": forage,
    }  # fmt: skip
    summed = paper.function(
        "TDN_FROM_NDF_DIGESTIBILITY", args, of_lot("tdn_fibre"), "Energy of the hay, by what it digests",
        unless=(untested, '"not tested"'),
    )  # fmt: skip
    lignin = paper.line("TDN from lignin", Formula(f"={of_lot('tdn_lignin')}"), "% DM", row, "")
    lab = paper.line("TDN by the laboratory", Formula(f"={of_lot('lab_tdn')}"), "% DM", row, "lab sheet")
    best = adf.ref
    for line in (lab, lignin, summed):
        best = f"IF(ISNUMBER({line.ref}),{line.ref},{best})"
    words = f"the first that was measured of [line {summed.number}], [line {lignin.number}], [line {lab.number}], [line {adf.number}]"
    return paper.line("TDN that is counted", Formula(f"={best}"), "% DM", words, "", "result2")


def _intake(book: Book, paper: Paper, ndf: Line, tdn: Line, weight: Line, milking: Line) -> Line:
    match, ration = book.marks["match"], book.marks["ration"]
    place = f"({ration['lots']}-1)*group_count+{ration['herd']}"
    capacity = paper.given("Fibre a cow will eat", book.names["ndf_capacity_pct_bw"], "% of body weight")
    fibre = paper.function(
        "INTAKE_FROM_NDF", {"ndf_pct": ndf, "body_weight_lb": weight, "ndf_capacity_pct_bw": capacity},
        f"INDEX({match['fibre']},{place})", "Hay eaten, by the fibre rule",
    )  # fmt: skip
    quality = paper.function(
        "INTAKE_BY_QUALITY", {"tdn_pct": tdn, "body_weight_lb": weight, "lactating": milking},
        f"INDEX({match['quality']},{place})", "Hay eaten, by quality class",
    )  # fmt: skip
    share = paper.line(
        "Most hay counted by the fibre rule", Formula(f"=IF({milking.ref}=1,fibre_most_milk_pct_bw,fibre_most_dry_pct_bw)"), "% of body weight",
        "taken from Assumptions, for a cow in milk or a dry one", "", "number2",
    )  # fmt: skip
    held = f"[line {weight.number}] × [line {share.number}] / 100"
    most = paper.line("The same in pounds", Formula(f"={weight.ref}*{share.ref}/100"), "lb DM/day", held, "")
    text = Formula(f'=IF(intake_method="fibre",MIN({fibre.ref},{most.ref}),{quality.ref})')
    words = (
        f"the lesser of [line {fibre.number}] and [line {most.number}], or [line {quality.number}], as Assumptions says"
    )
    chosen_line = paper.line("Hay eaten, as chosen", text, "lb DM/day", words, "")
    paper.compared.append((chosen_line.ref, ration["hay"], ""))
    return chosen_line


def compare(paper: Paper) -> str:
    """The last lines: the largest difference between the two ways, and where it stands."""
    paper.section("Longhand against the functions")
    worst: list[str] = []
    for mine, theirs, unless in paper.compared:
        # where a value may not be entered both say so in words, which N takes as 0: one number alone is a difference
        worst.append(f"ABS(N({mine})-N({theirs}))" if unless else f"ABS({mine}-{theirs})")
    lines = []
    for i in range(0, len(worst), 6):
        got = paper.line(
            f"Largest difference, part {i // 6 + 1}",
            Formula(f"=MAX({','.join(worst[i : i + 6])})"),
            "any",
            "longhand less function, without sign",
            "",
            "number6",
        )
        lines.append(got.ref)
    out = paper.line(
        "Largest difference of all",
        Formula(f"=MAX({','.join(lines)})"),
        "any",
        f"must be at most {TOLERANCE:g}",
        "",
        "number6",
    )
    return f"{quoted(paper.sheet.name)}!{out.ref}"
