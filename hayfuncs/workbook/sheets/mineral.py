"""Minerals: how much of each need the chosen hay holds, what a mix must bring, what that costs, and the water a day."""

from __future__ import annotations

from typing import Any, NamedTuple

from hayfuncs.contract.levels import VETERINARIAN
from hayfuncs.contract.tables import load
from hayfuncs.ration.mineral_needs import SHORT, STAGES
from hayfuncs.workbook.keyed import NOT_TESTED, another, calling, same_row, unknown, where
from hayfuncs.workbook.model import Book, Formula, Input
from hayfuncs.workbook.page import Line, Page, banner, given, heading, sentence, worked
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import of_record
from hayfuncs.workbook.sheets.hazards import Hazards
from hayfuncs.workbook.sheets.herd import AS_GROWING, Herd, NeedByClass
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.table import Table, asked, computed

NAME = "Minerals"
FRAMED = 7  # columns of a banner, and of the page
GROWN_LESS, PREGNANT, IN_MILK = STAGES
ON_HERD = ("calcium", "phosphorus")  # whose need follows weight, milk and calf
FEW_LABS = ("sodium", "iron", "copper", "zinc", "manganese", "selenium")
ON_LOTS = (*ON_HERD, "magnesium", "potassium", "sulfur", *FEW_LABS)  # what the tab Lots holds of a lab sheet
COW, DRY, BULL = "lactating cow", "dry pregnant cow", "mature bull"
CALF, YEARLING, YEARLING_FROM = "500-lb calf", "800-lb growing", 650  # lb: half way between the two
TEXT_AT = 4
ENOUGH = 99.95  # % of the need: less is shown as short


class Mineral(NamedTuple):
    """One mineral; its place among those of the tab Lots, 0 where that has none."""

    name: str
    unit: str
    on_lots: int


def _all() -> list[Mineral]:
    needs = {str(row["mineral"]): str(row["unit"]) for row in load("mineral_needs").rows}
    names = [*ON_LOTS, *(name for name in needs if name not in ON_LOTS)]
    return [Mineral(x, needs.get(x, "% DM"), ON_LOTS.index(x) + 1 if x in ON_LOTS else 0) for x in names]


MINERALS = _all()


def _chosen(key: str) -> str:
    return f"INDEX({{{key}}},{{ration.lots}})"


def _of_group(key: str) -> str:
    return f"INDEX({{herd.{key}}},{{ration.herd}})"


class Worded(Line):
    """A line whose caution stands beside its value."""

    def __init__(self, label: str, unit: str, make: Any, style: str, text: Any) -> None:
        super().__init__(label, unit, make, style, height=60)
        self.text = text

    def beside(self, page: Any, row: int) -> None:
        page.sheet.put(row, TEXT_AT, self.text(page), "note")


class MineralAsked(Page):
    """The mix, its price, the weather, and what only a laboratory can say."""

    asked = heading("The mineral mix, the water and the weather")
    mix = given("Mineral mix eaten", "lb/day", of_record("MINERAL_COST", "mix_lb_day", True), 0.25, "input2", why="4 ounces are 0.25 lb", why_at=TEXT_AT)  # fmt: skip
    price = given("Price of a bag", "$", of_record("MINERAL_COST", "bag_price"), 35, "input_money", why="invented", why_at=TEXT_AT)  # fmt: skip
    bag = given("Weight of a bag", "lb", of_record("MINERAL_COST", "bag_lb"), 50, "input0")
    warmest = given("Warmest of the day", "deg F", of_record("WATER_A_DAY", "temperature_f"), 70, "input0",
        why="Print begins at 70 deg F; in winter they drink about a fifth less.", why_at=TEXT_AT)  # fmt: skip
    molybdenum = given("Molybdenum of the hay, where Lots has none", "ppm", of_record("COPPER_CAUTION", "mo_ppm"), None)
    nitrate = given("Nitrate nitrogen of the water", "mg/L", of_record("WATER_CAUTION", "water_no3n_ppm"), None, "input0")  # fmt: skip


class OnLots(Page):
    """The minerals of the tab Lots, in the order of ON_LOTS, and what the chosen cows need."""

    held = heading("The chosen hay and cows")
    ca = worked("Calcium of the hay", "% DM", f"={_chosen('hazards.ca')}", "number2")
    p = worked("Phosphorus of the hay", "% DM", f"={_chosen('hazards.p')}", "number2")
    mg = worked("Magnesium of the hay", "% DM", f"={_chosen('hazards.mg')}", "number2")
    k = worked("Potassium of the hay", "% DM", f"={_chosen('hazards.k')}", "number2")
    s = worked("Sulfur of the hay", "% DM", f"={_chosen('hazards.s')}", "number2")
    na = worked("Sodium of the hay", "% DM", f"={_chosen('hazards.na')}", "number2")
    fe = worked("Iron of the hay", "ppm", f"={_chosen('hazards.fe')}", "number0")
    cu = worked("Copper of the hay", "ppm", f"={_chosen('hazards.cu')}", "number1")
    zn = worked("Zinc of the hay", "ppm", f"={_chosen('hazards.zn')}", "number0")
    mn = worked("Manganese of the hay", "ppm", f"={_chosen('hazards.mn')}", "number0")
    se = worked("Selenium of the hay", "ppm", f"={_chosen('hazards.se')}", "number2")
    mo_tested = worked("Molybdenum of the hay, by Lots", "ppm", f"={_chosen('hazards.mo')}", "number2")
    mo = worked("Molybdenum that counts", "ppm", f'=IF(COUNT({{mo_tested}})=1,{{mo_tested}},IF({{given.molybdenum}}="",{NOT_TESTED},{{given.molybdenum}}))', "number2")  # fmt: skip
    ca_need = worked("Calcium the diet must hold", "% DM", f"={_of_group('density_ca')}", "number2")
    p_need = worked("Phosphorus the diet must hold", "% DM", f"={_of_group('density_p')}", "number2")
    stage = worked("They are", "word", f'=IF(INDEX({{by.way}},{{ration.herd}})={AS_GROWING},"{GROWN_LESS}",IF({_of_group("lactating")}=1,"{IN_MILK}","{PREGNANT}"))', "text_in")  # fmt: skip
    eaten = worked("Hay eaten", "lb DM/day", "=chosen_hay_eaten")
    hazards, herd, by = another(lambda: Hazards), another(lambda: Herd), another(lambda: NeedByClass)
    ration = another(lambda: Ration)
    given = another(lambda: MineralAsked)

    @property
    def values(self) -> str:
        return f"{self.ca}:{self.se.split('!')[-1]}"

    @property
    def needs(self) -> str:
        return f"{self.ca_need}:{self.p_need.split('!')[-1]}"


MOST_PPM = 100_000  # a tenth of the dry matter: beyond it a unit is wrong


def _typed(row: MineralTable, key: str) -> Input:
    most = 100 if row.item.unit.startswith("%") else MOST_PPM
    says = f"{row.item.name.capitalize()} of the hay, {row.item.unit}, 0 to {most:,}; leave it empty when not tested. A number on Lots counts before it"
    return Input(key, f"{row.item.name.capitalize()} of the hay", says, lo=0, hi=most, required=False)


_BY_LOTS = "INDEX({found.values},MAX(1,{on_lots}))"
_ON_SHEET = f"({{on_lots}}>0)*COUNT({_BY_LOTS})=1"


class MineralTable(Table[Mineral]):
    """One row a mineral: the hay alone against the need of the chosen cows."""

    heads_height = 66
    label = computed("Mineral", "name", lambda row: f"{row.item.name.capitalize()}, {row.item.unit.replace('% DM', '% of dry matter')}", "label", 0)  # fmt: skip
    holds = computed("Hay holds", "% DM or ppm", f'=IF({_ON_SHEET},{_BY_LOTS},IF({{typed}}<>"",{{typed}},{NOT_TESTED}))', "number2")  # fmt: skip
    need = computed("Diet must hold", "% DM or ppm",
        calling("MINERAL_NEED", "{name}", "{found.stage}", unless=(f"({{on_lots}}>0)*({{on_lots}}<={len(ON_HERD)})=1", f"INDEX({{found.needs}},MAX(1,MIN({len(ON_HERD)},{{on_lots}})))")),
        "number2")  # fmt: skip
    share = computed("Hay gives of the need", "%", where(unknown("{holds}", shown=NOT_TESTED), "100*{holds}/{need}"), "result1")  # fmt: skip
    says = computed("What it means", "text",
        calling("MINERAL_CAUTION", "{name}", "N({holds})", "{found.stage}",
                unless=(f"OR(COUNT({{holds}})=0,({{on_lots}}>0)*({{on_lots}}<={len(ON_HERD)})=1)",
                        f'IF(COUNT({{holds}})=0,{NOT_TESTED},IF({{share}}<{ENOUGH},"{SHORT}{VETERINARIAN}",""))')), "note")  # fmt: skip
    typed = asked("From the lab sheet, where Lots has no number", "% DM or ppm", style="input2", of=lambda row: None, by_row=_typed)  # fmt: skip
    mix = computed("The mix must hold", "% DM or ppm",
        calling("MINERAL_MIX_LEVEL", "{need}", "{holds}", "{found.eaten}", "{given.mix}",
                unless=("OR(COUNT({holds},{found.eaten},{given.mix})<3,N({given.mix})=0)", NOT_TESTED)), "result1")  # fmt: skip
    limit_now = computed("Most of the diet, book of 2016; 0: none", "% DM or ppm",
        calling("MINERAL_LIMIT", "{name}", '"2016"', unless=(f"({{on_lots}}>0)*({{on_lots}}<={len(ON_HERD)})=1", "0")), "number2")  # fmt: skip
    limit_before = computed("The same, book of 1996", "% DM or ppm",
        calling("MINERAL_LIMIT", "{name}", '"1996"', unless=(f"({{on_lots}}>0)*({{on_lots}}<={len(ON_HERD)})=1", "0")), "number2")  # fmt: skip
    name = computed("Name in the table of needs", "name", lambda row: row.item.name, "text")
    on_lots = computed("Place among the minerals of Lots; 0: none", "number", lambda row: row.item.on_lots, "number0")
    found, given = another(lambda: OnLots), another(lambda: MineralAsked)


def _named(page: Page, test: str) -> Formula:
    """The minerals whose share meets a test, in words."""
    table = page.book.find(MineralTable)
    parts = (f'IF({test.format(table.some(MineralTable.share, i))},", {x.name}","")' for i, x in enumerate(MINERALS, 1))
    return Formula(f"=MID({'&'.join(parts)},3,255)")


class Besides(Page):
    """What goes with it: cost, vitamin A, copper's antagonists, the water's own test."""

    besides = heading("What goes with it")
    cost = worked("The mix costs a head till grass", "$",
        calling("MINERAL_COST", "{given.mix}", "{given.price}", "{given.bag}", "winter_days", unless=unknown("{given.mix}", "{given.price}", "{given.bag}", "winter_days")), "result_money")  # fmt: skip
    group = worked("The same for the group", "$", where(unknown("{cost}"), f"{{cost}}*{_of_group('head')}"), "money0")
    vitamin = worked("Vitamin A needed a day", "IU/day", calling("VITAMIN_A_NEED", "{found.stage}", "{found.eaten}", unless=unknown("{found.eaten}")), "number0",
        why="Count stored hay as holding none after two months (Oklahoma State; Kansas State).", why_at=TEXT_AT)  # fmt: skip
    copper = Worded("Copper beside what ties it up", "ppm", "={copper_held}", "number1",
        calling("COPPER_CAUTION", "{copper_held}", "{found.mo}", "{iron_held}", "{found.s}",
                unless=unknown("{copper_held}", "{found.mo}", "{iron_held}", "{found.s}", shown='"not tested: copper, molybdenum, iron and sulfur are needed together"')))  # fmt: skip
    water = Worded("Sulfate of the water, typed at the top", "mg/L", '=IF(water_sulfate="","not tested",water_sulfate)', "number0",
        calling("WATER_CAUTION", "{given.nitrate}", "water_sulfate", unless=unknown("{given.nitrate}", "water_sulfate", shown=NOT_TESTED)))  # fmt: skip
    short_of = worked("The hay is short of", None, lambda page: _named(page, f"AND(COUNT({{0}})=1,N({{0}})<{ENOUGH})"), "text_in")  # fmt: skip
    untested = worked("Not tested in it", None, lambda page: _named(page, "COUNT({0})=0"), "text_in")
    found, given, herd = another(lambda: OnLots), another(lambda: MineralAsked), another(lambda: Herd)
    ration = another(lambda: Ration)

    def of_mineral(self, name: str) -> str:
        place = next(i for i, x in enumerate(MINERALS, 1) if x.name == name)
        return self.book.find(MineralTable).some(MineralTable.holds, place)

    @property
    def copper_held(self) -> str:
        return self.of_mineral("copper")

    @property
    def iron_held(self) -> str:
        return self.of_mineral("iron")


def mineral_mix(book: Book, head: str) -> str:
    """An expression: what the one who feeds puts out of it, where a mix is fed."""
    mix = book.find(MineralAsked).mix
    pounds = f'TEXT({mix},"0.00")&" lb a head, "&TEXT({mix}*{head},"0")&" lb for the group"'
    return f'IF(N({mix})=0,"","Mineral mix: "&{pounds}&", every day. See Minerals.")'


class Water(Table[None]):
    """One row a group of the tab Herd."""

    blank = '{group}=""'
    group = computed("Cow group", "name", "={herd.counted}", "label", 0)
    each = computed("Water each", "gal/day", calling("WATER_A_DAY", "{drinks_as}", "{given.warmest}", unless=unknown("{given.warmest}")), "result1")  # fmt: skip
    head = computed("Head", "head", "={herd.head}", "number0")
    whole = computed("Water of the group", "gal/day", where(unknown("{each}", "{head}"), "{each}*{head}"), "number0")
    drinks_as = computed("Read in the table as", "name", f'=IF({{herd.cattle_class}}="bull","{BULL}",IF({{by.way}}={AS_GROWING},IF({{herd.weight}}<{YEARLING_FROM},"{CALF}","{YEARLING}"),IF({{herd.lactating}}=1,"{COW}","{DRY}")))', "text")  # fmt: skip
    herd, by = same_row(lambda: Herd), same_row(lambda: NeedByClass)
    given = another(lambda: MineralAsked)


class Answer(Page):
    """What the hay lacks, what no test says, and what the mix costs."""

    framed = FRAMED
    lacks = banner('=IF({besides.short_of}="",chosen_lot&" holds what was tested for "&chosen_group&".",chosen_lot&" alone is short for "&chosen_group&" of: "&{besides.short_of}&".")')  # fmt: skip
    costs = banner(
        '=IF(COUNT({besides.cost})=0,"What the mix costs is not known: price, weight of a bag or dates are missing.",'
        'TEXT({given.mix},"0.00")&" lb of mix a day costs "&TEXT(ROUND({besides.cost},2),"$0.00")&" a head till grass.")')  # fmt: skip
    unknown = sentence(
        '=IF({besides.untested}="","","Not tested in this hay: "&{besides.untested}&". What a mix must hold of these is not known: have the hay tested.")'
    )
    besides, given = another(lambda: Besides), another(lambda: MineralAsked)


def fill(book: Book) -> None:
    sheet = begin(book, NAME, "Which minerals must a mix bring, and how much water do they drink?",
        "The hay and the cows chosen on What to feed, the hay alone. Type what the lab sheet has beyond the columns of Lots.", "Inputs, then results")  # fmt: skip
    sheet.width(28, 14, 12, 12, 46, 25, 12)
    answer = Answer(sheet)
    minerals = MineralTable(sheet, MINERALS, heads_at=answer.row_below + 1)
    asked_page = MineralAsked(sheet, minerals.row_below + 1)
    besides = Besides(sheet, asked_page.row_below + 1)
    herd = book.find(Herd)
    water = Water(sheet, [None] * herd.n, heads_at=besides.row_below + 2)
    found = OnLots(sheet, water.row_below + 4)
    for page in (answer, asked_page, besides, found):
        page.place()
    minerals.place(height=48)
    water.place(title="Water a day, group by group")
    sheet.put(water.row_below + 1, water.col(Water.group), "Salt adds about 5 gallons for each pound. A trough that holds the figure of the warmest day is safe.", "sentence")  # fmt: skip
    book.marks["minerals"] = {
        "lacks": answer.lacks,
        "costs": answer.costs,
        "untested": answer.unknown,
        "copper": besides.copper,
    }
    minerals.filed("mineraltable")
    water.filed("watertable")
