"""Assumptions: every constant the user may change, with unit, source and range."""

from __future__ import annotations

from hayfuncs.contract.catalogue import CATALOGUE, Words
from hayfuncs.contract.tables import citation, load
from hayfuncs.contract.units import GRAMS_PER_LB
from hayfuncs.cow.intake import DRY_HIGH, LACTATING_HIGH
from hayfuncs.winter.problem import MOST_MINERAL_LB
from hayfuncs.workbook.model import Book, Input
from hayfuncs.workbook.page import TOP, Line, Page, given, heading, worked
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import of_record

DICAL = "dicalcium phosphate"
MINERALS = (("limestone", "lime", 240), (DICAL, "dical", 900))  # name, its cells, price first shown
INTAKE_METHODS = ("fiber", "quality class")  # the first is the default: it reads the lot's own NDF


def _limit(label: str, unit: str, value: float, lo: float, hi: float, why: str) -> Line:
    says = f"{label}: {lo:g} to {hi:g} {unit}."
    return given(label, unit, lambda key: Input(key, label, says, lo=lo, hi=hi), value, why=why)


def _most(cow: str, most: float) -> Line:
    says = f"Dry matter of hay that {cow} eats at most: 1 to 5 % of body weight"
    return given(
        f"Most hay by the fiber rule, {cow}", "% of body weight",
        lambda key: Input(key, "Most hay by the fiber rule", says, lo=1, hi=5), most,
        why=f"On hay of little fiber the rule runs past what cows eat (NDF 35: 3.4 %). Held to what {cow} eats of high-quality forage: {most} % "
        "(Oklahoma State 1992, as reprinted in 2024). A later test there found the table high for dry cows.",
    )  # fmt: skip


def _equation(forage: str) -> Line:
    equations = CATALOGUE["TDN_FROM_ADF"].args["equation"]
    assert isinstance(equations, Words)
    says, names = f"One of: {equations.allowed()}"[:255], equations.words
    return given(
        f"TDN equation for {forage} hay", "word", lambda key: Input(key, "TDN equation", says, words=names, kind="word"), "digestible dry matter", "input_text",
        why="The same hay can differ by 10 points of TDN between equations, so the equation's name stands beside every TDN. "
        "First choice: digestible dry matter, published for legume and grass hay (NFTA 1993, appendix A3).",
    )  # fmt: skip


def _price(mineral: str, mark: str, price: float) -> Line:
    says = "A price to begin with, invented: type your own. Fed beside the feeds where calcium or phosphorus is short."
    return _limit(f"{mineral.capitalize()}: price", "$/ton as fed", price, 0, 10000, says)


def _held(mineral: str, part: str, word: str) -> Line:
    value = load("mineral_sources").row(mineral)[f"{part}_pct"]
    assert isinstance(value, float)
    says = f"{citation('purdue-minerals')}. See the tag of yours."
    return _limit(f"{mineral.capitalize()}: {word}", "% as fed", value, 0, 60, says)


def _cores(what: str, spread: float, unit: str = "% DM") -> Line:
    says = "Common practice, no source: no spread between single cores is published. Type your own where you have had cores tested one by one (How sure)."
    return _limit(f"Spread of {what} from core to core", unit, spread, 0.01, 20, says)


def _at_the_lab(what: str, spread: float) -> Line:
    says = "One laboratory, once more: CP 1, ADF 1, NDF 1.4 either way (Hay and Forage Grower), read as one standard deviation."
    return _limit(f"Spread of {what} at the laboratory", "% DM", spread, 0, 20, says)


def _off(what: str, percent: float) -> Line:
    says = f"A feed differs from any table by about {percent:g} % (Colorado State 1.615). Used where no range is in print; a tag's value that you type counts as it is."
    return _limit(f"A feed's {what}, off the table's by", "%", percent, 0, 50, says)


class Assumptions(Page):
    """The key of each line is its name in formulas."""

    with_names = True
    shrink_pct = given("Shrink from full to empty weight", "%", of_record("SHRUNK_WEIGHT", "shrink_pct", True), 4,
        why="Requirement equations ask for shrunk weight; 4 % is what is usually taken off (NRC, from memory).")  # fmt: skip
    ndf_capacity_pct_bw = given("Fiber a cow will eat in a day", "% of body weight", of_record("INTAKE_FROM_NDF", "ndf_capacity_pct_bw", True), 1.2,
        why="1.2 % of body weight as NDF (University of Missouri Extension); Ohio State 2019 gives 1.2 to 1.5 by quality.")  # fmt: skip
    intake_method = given("Hay intake is taken from", "word",
        lambda key: Input(key, "Hay intake", f"One of: {', '.join(INTAKE_METHODS)}", words=INTAKE_METHODS, kind="word"), INTAKE_METHODS[0], "input_text",
        why="fiber: body weight x capacity / NDF. quality class: share of body weight by TDN class and milk (Oklahoma State, 1992). "
        "The two differ; both stand on the sheet Match.")  # fmt: skip
    fiber_most_dry_pct_bw = _most("a dry cow", DRY_HIGH)
    fiber_most_milk_pct_bw = _most("a cow in milk", LACTATING_HIGH)
    hay_displaced = given("Hay left for each pound of supplement", "lb DM/lb DM", of_record("SUPPLEMENT_RATE", "hay_displaced", True), 0,
        why="0: hay is eaten to appetite beside the supplement. 1 lb of corn may replace 1.5 lb of good hay (eXtension). Used for pounds; the share way and the cheapest mix let hay be eaten to appetite.")  # fmt: skip
    equation_grass, equation_legume, equation_mixed = (_equation(forage) for forage in ("grass", "legume", "mixed"))
    mix_room_pct_bw = _limit("Cheapest mix: room for supplement", "% of body weight", 0.7, 0, 3,
        "Dry matter of supplement at most. Above 0.7 % of body weight of supplemental TDN the diet always fell below the sum "
        "(J. Anim. Sci. 1999); taken here for the dry matter, the cautious reading.")  # fmt: skip
    mix_fat_pct = _limit("Cheapest mix: most fat in the diet", "% DM", 5, 0, 100, "Cows on much forage: 5 % (Virginia Cooperative Extension); in general 6 %.")  # fmt: skip
    mix_s_pct = _limit("Cheapest mix: most sulfur in the diet", "% DM", 0.4, 0, 100,
        "0.40 % in general, 0.30 % where grain is high (University of Minnesota). Water's sulfur counts too: test the well.")  # fmt: skip
    mix_grain_pct_bw = _limit("Cheapest mix: most starchy grain, all together", "% of body weight", 0.25, 0, 3,
        "Dry matter of corn, barley and oats together. 0.25 % is the best rate beside hay, above 0.5 % digestion suffers (eXtension; University of Illinois).")  # fmt: skip
    mix_npn_pct = _limit("Cheapest mix: most protein from urea", "% of CP", 33, 0, 100,
        "At most a third of the diet's protein (University of Kentucky); urea only where a nutritionist has said so.")  # fmt: skip
    hay_fat_untested = _limit("Hay fat where it was not tested", "% DM", 2, 0, 15, "Common practice, no source: hays hold about 2 %.")  # fmt: skip
    hay_s_untested = _limit("Hay sulfur where it was not tested", "% DM", 0.25, 0, 3,
        "Brome hay 0.21, alfalfa hay 0.28 on average (University of Minnesota); between the two.")  # fmt: skip
    hay_ca_untested = _limit("Hay calcium where it was not tested", "% DM", 0.3, 0, 3,
        "Low for grass hay (Alberta: mean of grass hay 0.53, grass and legume 0.14 to 2.72); our choice, so that calcium is bought rather than trusted.")  # fmt: skip
    hay_p_untested = _limit("Hay phosphorus where it was not tested", "% DM", 0.2, 0, 3,
        "Alberta: means of 0.19 to 0.21, single hays 0.04 to 0.36. Test the hay.")  # fmt: skip
    # limestone and dicalcium phosphate: what they hold and cost, for the cheapest mix and the winter plan
    lime_price = _price(*MINERALS[0])
    lime_ca_pct, lime_p_pct = _held("limestone", "ca", "calcium"), _held("limestone", "p", "phosphorus")
    dical_price = _price(*MINERALS[1])
    dical_ca_pct, dical_p_pct = _held(DICAL, "ca", "calcium"), _held(DICAL, "p", "phosphorus")
    mineral_most_lb = _limit("Most of a mineral source a head", "lb as fed/day", MOST_MINERAL_LB, 0, 3,
        "Of each: more than some ounces is not eaten (common practice, no source). Mix it into the feed, or offer it with salt.")  # fmt: skip
    # how far a hay test and a feed's table value may be off, and how sure an answer is to be
    confidence_pct = given("How sure an answer is to be", "%", of_record("SAMPLING_MARGIN", "confidence_pct", True), 95, "input0",
        why="95 is usual: 19 hay tests of 20 fall inside the margin. Every margin of the workbook follows this cell.")  # fmt: skip
    core_sd_cp, core_sd_adf, core_sd_ndf = _cores("protein", 1.0), _cores("ADF", 2.0), _cores("NDF", 2.5)
    core_sd_ndfd = _cores("NDF digestibility", 2.0, "% of NDF")
    lab_sd_cp, lab_sd_adf, lab_sd_ndf = _at_the_lab("protein", 1.0), _at_the_lab("ADF", 1.0), _at_the_lab("NDF", 1.4)
    lab_sd_ndfd = _limit("Spread of NDF digestibility at the laboratory", "% of NDF", 3.3, 0, 20,
        "Near-infrared against wet chemistry (Digman, Cherney and Cherney, Sensors 2022): 3.3.")  # fmt: skip
    cores_unknown = _limit("Cores counted where none are entered", "cores", 1, 1, 100,
        "1: a grab sample, until Register says how many cores went into the bag.")  # fmt: skip
    tdn_adf_sd = _limit("Spread of the TDN equations by ADF", "% DM", 1.5, 0, 10,
        "The equations in use differ by some 3 units of TDN on the same hay, taken as two standard deviations (our choice from that spread).")  # fmt: skip
    tdn_sum_sd = _limit("Spread of TDN by NDF digestibility", "% DM", 1, 0, 10, "Our choice, no source: it measures what ADF only stands for.")  # fmt: skip
    feed_tdn_off_pct, feed_cp_off_pct = _off("energy", 10), _off("protein", 15)
    feed_step_lb = _limit("Feed is weighed out in steps of", "lb as fed/day", 0.25, 0.01, 5, "A rate is rounded up to this before pounds and dollars are taken from it.")  # fmt: skip
    ergovaline_limit = given("Ergovaline that the diet may hold", "ppb", of_record("ERGOVALINE_CAUTION", "threshold_ppb", True), 200,
        why="Working threshold 100 to 200 ppb (University of Missouri); the upper end is taken. Cold weather and tall fescue seed heads ask for less.")  # fmt: skip
    fixed = heading("Fixed in the requirement equations, shown here to be read", after=1)
    weaned_after = worked("Calf weaned after month", "months", 6, "number0",
        why="NRC 2000 example herd: milk stops after month 6 since calving (from memory).")  # fmt: skip
    lb_per_ton = worked("Pounds in a short ton", "lb/ton", 2000, "number0", why="Exact, by definition.")
    grams_per_lb = worked("Grams in a pound", "g/lb", GRAMS_PER_LB, "general",
        why="Exact, by definition (international pound, 1959).")  # fmt: skip


def fill(book: Book) -> None:
    sheet = begin(book, "Assumptions", "Assumptions you may change",
        "Each value is used by name all over the workbook; its source and range stand beside it.", "Inputs")  # fmt: skip
    sheet.width(34, 20, 18, 58, 20)
    sheet.heads(
        TOP, Assumptions.column, ["What", "Value", "Unit", "Where it comes from, and what it does", "Name in formulas"]
    )
    Assumptions(sheet, TOP + 1).place()
