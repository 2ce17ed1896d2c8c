"""Mix: the cheapest mix for the chosen lot and group, and its proof in ordinary cells."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from hayfuncs.workbook.keyed import another, calling, filled, nearby
from hayfuncs.workbook.mixing import OPEN_LB, OPEN_PCT, Answer, Offer
from hayfuncs.workbook.model import Book, Content, Formula
from hayfuncs.workbook.page import Page, heading, sentence, worked
from hayfuncs.workbook.sheets.assumptions import MINERALS
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.table import FIRST, Column, Table, column, computed

EXACT = 1e-6  # largest difference between cost and bound that still counts as equal
CLOSE = "0.000001"  # the same in the cells


class Need(NamedTuple):
    """A need (`least`) or a limit of the mix; `side` is what of it is fixed, in the bound."""

    short: str
    name: str
    given: str
    asked: str
    unit: str
    least: bool = False
    side: str = "{asked}"


def _hay(mark: str, untested: str) -> str:
    """A content of the hay, in dry matter; the untested hay's where the laboratory gives none."""
    of_lot = "INDEX({lots.MARK},{marks[ration][lots]})"
    lab = of_lot.replace("MARK", f"lab_{mark}")
    return f'IF({lab}="",{untested},{lab}/{of_lot.replace("MARK", "divisor")}*100)'


CALCIUM, PHOSPHORUS = (f"{{hay}}*{_hay(f'{k}_pct', f'hay_{k}_untested')}/100*grams_per_lb" for k in ("ca", "p"))
FAT, SULFUR = _hay("fat_pct", "hay_fat_untested"), _hay("s_pct", "hay_s_untested")
LEFT = "MAX(0,INDEX({herd.need_MARK},{marks[ration][herd]})-HELD)"
NEEDS = (
    Need("TDN", "TDN", "SUM({mix.tdn_given})", "{marks[ration][tdn_short]}", "lb/day", True),
    Need("CP", "Crude protein", "SUM({mix.cp_given})", "{marks[ration][cp_short]}", "lb/day", True),
    Need("calcium", "Calcium", "SUM({mix.ca_given})", LEFT.replace("MARK", "ca").replace("HELD", CALCIUM), "g/day", True),
    Need("phosphorus", "Phosphorus", "SUM({mix.p_given})", LEFT.replace("MARK", "p").replace("HELD", PHOSPHORUS), "g/day", True),
    Need("room", "Room for supplement", "SUM({mix.dry})", "{marks[ration][weight]}*mix_room_pct_bw/100", "lb DM/day"),
    # the hay's own fat is given; the limit grows with every pound fed
    Need("fat", "Fat over the hay's, at most", "SUM({mix.fat_given})", f"mix_fat_pct/100*({{hay}}+SUM({{mix.dry}}))-{{hay}}*{FAT}/100",
         "lb/day", side=f"{{hay}}*(mix_fat_pct-{FAT})/100"),
    Need("sulfur", "Sulfur over the hay's, at most", "SUM({mix.s_given})", f"mix_s_pct/100*({{hay}}+SUM({{mix.dry}}))-{{hay}}*{SULFUR}/100",
         "lb/day", side=f"{{hay}}*(mix_s_pct-{SULFUR})/100"),
    Need("grain", "Starchy grain together", "SUMPRODUCT({mix.grain},{mix.dry})", "{marks[ration][weight]}*mix_grain_pct_bw/100", "lb DM/day"),
    Need("urea protein", "Protein from urea", "SUMPRODUCT({mix.npn},{mix.cp_given})/100", "mix_npn_pct/100*({protein}+SUM({mix.cp_given}))",
         "lb/day", side="mix_npn_pct/100*{protein}"),
    Need("calcium beside phosphorus", "Calcium beside phosphorus, over the hay's", "SUM({mix.ca_given})",
         f"plan_min_ca_p*({PHOSPHORUS}+SUM({{mix.p_given}}))-{CALCIUM}", "g/day", True, f"plan_min_ca_p*{PHOSPHORUS}-{CALCIUM}"),
)  # fmt: skip
NUTRIENTS = tuple(need.short for need in NEEDS)


class Answers(Table[Answer]):
    """The solved amounts and prices, a row for each pair: values, since no cell can solve them."""

    lot = computed("Lot number", "row of Lots", lambda row: row.item.lot, "number0", 8)
    group = computed("Group number", "row of Herd", lambda row: row.item.group, "number0", 8)
    solved = computed("Solved?", "yes/no", lambda row: int(row.item.solved), "number0", 8)

    def chosen(self, key: str, place: str) -> str:
        """The chosen pair's value in a column."""
        return f"INDEX({self.ref(next(c for c in self.columns if c.key == key))},{place})"


def fill_answers(book: Book, offered: list[Offer], answers: list[Answer]) -> None:
    sheet = begin(
        book, "Mix answers", "Cheapest mixes as solved, one row a pair of lot and group",
        "Solved by hayfuncs as linear programs when the workbook was made. The sheet Mix proves the chosen one against the numbers as they stand.",
        "Solved values",
    )  # fmt: skip
    table = Answers(sheet, answers)
    names = [offer.name for offer in offered]
    for kind, heads, unit, width in (
        ("pounds", names, "lb as fed/day", 10), ("prices", [f"Saved by one unit of {n}" for n in NUTRIENTS], "$ per unit", 11),
        ("caps", [f"Saved by 1 lb more of {n} allowed" for n in names], "$/lb as fed", 11),
        ("shares", [f"Saved by 1 lb more share of {n}" for n in names], "$/lb DM", 11),
    ):  # fmt: skip
        for i, head in enumerate(heads):
            table.add(computed(head, unit, _solved(kind, i), "number3", width), f"{kind}_{i}")
    table.add(computed("What binds, or why there is no mix", "words", lambda row: row.item.words, "small", 90), "words")
    table.place()
    sheet.printed_cols = 3 + len(names)  # pounds alone: prices and words are workings of the sheet Mix


def _solved(kind: str, i: int) -> Callable[[Answers], Content]:
    def value(row: Answers) -> Content:
        found: float = getattr(row.item, kind)[i]
        return found

    return value


class Chosen(Page):
    """The pair of lot and group, and whether its mix is proven."""

    pair = heading("", made='=chosen_lot&", "&chosen_group')
    proof = sentence(
        f'=IF({{solved}}=0,"✗ no mix of these feeds does it: see the words below",IF(AND(COUNTIF({{limits.holds}},"NO")=0,COUNTIF({{mix.within}},"NO")=0,'
        f"MIN({{mix.spare}})>=-{CLOSE},ABS({{bound.less}})<={CLOSE}),"
        '"✓ proven cheapest: every limit is met and the cost equals the bound",'
        '"✗ not proven for the numbers as they stand: an input changed since it was solved; run hayfuncs rebuild"))', "master",
    )  # fmt: skip
    answer = worked("Row of the answer", None, "=({marks[ration][lots]}-1)*group_count+{marks[ration][herd]}", "number0")  # fmt: skip

    @property
    def solved(self) -> str:
        return self.book.find(Answers).chosen("solved", self.answer)

    @property
    def words(self) -> str:
        return self.book.find(Answers).chosen("words", self.answer)

    limits = nearby(lambda: Limits)
    mix = nearby(lambda: Mix)
    bound = another(lambda: Bound)


class Limits(Table[Need]):
    """Needs and limits, one a line: what the mix gives, what is asked, and the price of one unit."""

    heads_height = units_height = 0
    name = computed("Need or limit", "name", lambda row: row.item.name, "label")
    given = computed("Given", "unit at right", lambda row: Formula(f"={filled(row.item.given, row)}"), "number3")
    asked = computed("Asked", "unit at right", lambda row: Formula(f"={filled(row.item.asked, row)}"), "number3")
    unit = computed("Unit", "", lambda row: row.item.unit, "unit_cell")
    spare = computed("Spare", "unit at left", lambda row: Formula(f"={row.given}-{row.asked}" if row.item.least else f"={row.asked}-{row.given}"), "number3")  # fmt: skip
    holds = computed("Holds?", "word", f'=IF({{spare}}>=-{CLOSE},"yes","NO")', "verdict")
    price = computed("Price of one unit, for the first part of it", "$ per unit at left", lambda row: _answer(row, "prices"), "number3")  # fmt: skip
    side = computed("Side in the bound", "unit at left", lambda row: Formula(f"={filled(row.item.side, row)}"), "number3")  # fmt: skip
    counted = computed("Counted in the bound", "$/day", lambda row: Formula(f"={'' if row.item.least else '-'}{row.price}*{row.side}"), "number3")  # fmt: skip
    hay = "{marks[ration][hay]}"
    lots, herd = another(lambda: Lots), another(lambda: Herd)
    protein = "{hay}*INDEX({lots.cp},{marks[ration][lots]})/100"
    mix = nearby(lambda: Mix)


def _answer(row: Table[Any], kind: str) -> Formula:
    """The chosen pair's value of this row's feed or need."""
    answers, chosen = row.book.find(Answers), row.book.find(Chosen)
    return Formula(f"={answers.chosen(f'{kind}_{row.number - 1}', chosen.answer)}")


def _held(head: str, unit: str, mark: str, mineral: str = "0", style: str = "number2") -> Column:
    """A value of the sheet Feeds, or of a mineral source: what that holds is given as fed, and all of it counts as dry matter."""
    return computed(head, unit, f"=IF({{feed}}=0,{mineral},N(INDEX({{feeds.{mark}}},{{feed}})))", style)


def _of_mineral(what: str) -> str:
    """A mineral source's value on Assumptions, by its name."""
    *others, (_, last, _) = MINERALS
    held = f"{last}_{what}"
    for mineral, mark, _ in reversed(others):
        held = f'IF({{name}}="{mineral}",{mark}_{what},{held})'
    return held


def _given(head: str, part: str, unit: str = "lb/day", factor: str = "") -> Column:
    return computed(head, unit, f"={{dry}}*{{{part}}}/100{factor}", "number3")


def _most(head: str, unit: str, field: str, none: float) -> Column:
    """A feed without such a limit: the number stands for it in the formulas, the words are shown."""

    def held(row: Mix) -> Content:
        return Formula("=mineral_most_lb") if row.item.mineral and field == "most_lb" else getattr(row.item, field)

    return computed(head, unit, held, lambda row: "no_limit" if getattr(row.item, field) == none else "number2")


class Mix(Table[Offer]):
    """One row a feed: its values, its place in the mix, and what one pound of it is worth at the prices of the needs."""

    heads_height, units_height = 50, 0
    name = computed("Feed", "name", lambda row: row.item.name if row.item.mineral else Formula(filled("=INDEX({feeds.name},{feed})", row)), "label")  # fmt: skip
    pounds = computed("Cheapest mix", "lb as fed/day", lambda row: _answer(row, "pounds"), "result2")
    cost = computed("Cost", "$/day", "={pounds}*{price}/lb_per_ton", "money")
    feed = computed("Row of Feeds", "row of Feeds", lambda row: row.item.row, "number0")
    price = _held("Price", "$/ton as fed", "price", _of_mineral("price"))
    dm = _held("Dry matter", "% as fed", "dm_pct", "100")
    tdn, cp = _held("TDN", "% DM", "tdn_pct"), _held("CP", "% DM", "cp_pct")
    ca = _held("Calcium", "% DM", "ca_pct", f"{_of_mineral('ca_pct')}/{{dm}}*100")
    p = _held("Phosphorus", "% DM", "p_pct", f"{_of_mineral('p_pct')}/{{dm}}*100")
    fat, s = _held("Fat", "% DM", "fat_pct"), _held("Sulfur", "% DM", "s_pct")
    grain = _held("Starchy grain?", "yes/no", "is_grain", style="number0")
    npn = computed("Protein from urea", "% of CP", lambda row: row.item.npn_pct, "number0")
    most = _most("Most a day", "lb as fed/day", "most_lb", OPEN_LB)
    most_bw = _most("Most by weight", "% of body weight", "most_pct_bw", OPEN_PCT)
    most_diet = _most("Most of the diet's dry matter", "%", "most_pct_diet", OPEN_PCT)
    cap = computed("Most allowed", "lb as fed/day", "=MIN({most},{marks[ration][weight]}*{most_bw}/100)", "lb_or_none")
    within = computed("Within its limits?", "word",
        f'=IF(AND({{pounds}}<={{cap}}+{CLOSE},{{dry}}<={{most_diet}}/100*({{hay}}+SUM({{local.dry}}))+{CLOSE}),"yes","NO")', "verdict")  # fmt: skip
    dry = computed("Dry matter given", "lb DM/day", "={pounds}*{dm}/100", "number3")
    tdn_given, cp_given = _given("TDN given", "tdn"), _given("CP given", "cp")
    ca_given = _given("Calcium given", "ca", "g/day", "*grams_per_lb")
    p_given = _given("Phosphorus given", "p", "g/day", "*grams_per_lb")
    fat_given, s_given = _given("Fat given", "fat"), _given("Sulfur given", "s")
    feeds = another(lambda: Feeds)
    cap_price = computed("1 lb more allowed saves", "$/lb as fed", lambda row: _answer(row, "caps"), "number3")
    share_price = computed("1 lb more share saves", "$/lb DM", lambda row: _answer(row, "shares"), "number3")
    hay = "{marks[ration][hay]}"

    @column("Worth of 1 lb at these prices", "$/lb as fed", "number3", 0)
    def worth(self) -> Content:
        limits, (ca, p) = self.book.find(Limits).local, (self.ca, self.p)
        tdn, cp, calcium, phosphorus, room, fat, sulfur, grain, urea, beside = (
            limits.some(Limits.price, number) for number in range(1, len(NEEDS) + 1)
        )
        good = f"{tdn}*{self.tdn}+{cp}*{self.cp}"
        minerals = f"({calcium}*{ca}+{phosphorus}*{p}+{beside}*({ca}-plan_min_ca_p*{p}))*grams_per_lb"
        held = (
            f"{room}+{grain}*{self.grain}+{urea}*{self.cp}/100*({self.npn}-mix_npn_pct)/100+{fat}*({self.fat}-mix_fat_pct)/100"
            f"+{sulfur}*({self.s}-mix_s_pct)/100+{self.share_price}-{self.above(Mix.share_price)}"
        )
        return Formula(f"={self.dm}/100*(({good}+{minerals})/100-({held}))-{self.cap_price}")

    spare = computed("Price less worth", "$/lb as fed", "={price}/lb_per_ton-{worth}", "number3", 0)


class Bound(Page):
    """Price less worth is never below 0, and the cost equals the bound: nothing is cheaper."""

    unit_at = 3
    bound = worked("Bound: no mix can cost less", "$/day",
        "=SUM({limits.counted})-SUMPRODUCT({mix.cap_price},{mix.cap})-{shares}*{marks[ration][hay]}", "result_money")  # fmt: skip
    less = worked("Cost less bound", "$/day", "={cost}-{bound}", "number6")
    limits = nearby(lambda: Limits)
    mix = nearby(lambda: Mix)

    @property
    def shares(self) -> str:
        return self.mix.above(Mix.share_price)

    @property
    def cost(self) -> str:
        return self.mix.above(Mix.cost)


class Below(Page):
    """What was left out, and the grain of the mix."""

    left_out = sentence("Left out, because a price or a value of the mix is not known: {of}.")
    hurt = sentence(
        "Grain, fat, sulfur and whole cottonseed can hurt cattle: limits are set with the veterinarian or a nutritionist, and cattle are brought on to a feed slowly.",
    )  # fmt: skip
    grain = worked("Starchy grain in this mix, as fed", None, "=SUMPRODUCT({mix.grain},{mix.pounds})", "number2")
    mix = nearby(lambda: Mix)


BESIDE = 2  # the column of words beside a line


def fill(book: Book, offered: list[Offer], left_out: list[str]) -> None:
    sheet = begin(
        book, "Mix", "The cheapest mix for the chosen lot and group",
        "The lot and group chosen on What to feed. Amounts were solved by hayfuncs; every limit, every price and the bound are worked out here.",
        "Result",
    )  # fmt: skip
    sheet.width(30, 13, *[11] * 26)
    chosen = Chosen(sheet)
    limits = Limits(sheet, NEEDS, heads_at=chosen.row_below)
    bound = Bound(sheet, limits.row_below)
    mix = Mix(sheet, offered, heads_at=bound.row_below + 1)
    below = Below(sheet, mix.row_below + 1, ", ".join(left_out) or "none")
    caution = calling("GRAIN_CAUTION", "{grain}", "{marks[ration][weight]}")(below)
    sheet.put(below.at["grain"], BESIDE, caution, "text")
    sheet.put(chosen.at["answer"], BESIDE, Formula(f"={chosen.words}"), "text")
    mix.place()
    total = mix.row_above
    sheet.put(total, mix.col(Mix.of_class[0]), "All feeds together", "label")
    for summed, style in ((Mix.pounds, "result2"), (Mix.cost, "result_money"), (Mix.dry, "number3")):
        sheet.put(total, mix.col(summed), Formula(f"=SUM({mix.local.ref(summed)})"), style)
    sheet.put(total, mix.col(Mix.share_price) - 1, "Shares together", "label")
    shares = Formula(filled("=SUMPRODUCT({local.share_price},{local.most_diet})/100", mix))
    sheet.put(total, mix.col(Mix.share_price), shares, "number3")
    for part in (limits, chosen, bound, below):
        part.place()
    sheet.freeze = (FIRST - 3, 1)
    book.marks["mix"] = {"proof": chosen.proof, "cost": sheet.ref(total, mix.col(Mix.cost))}
