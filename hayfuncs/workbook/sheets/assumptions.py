"""Assumptions: every constant the user may change, with unit, source and range."""

from __future__ import annotations

from collections.abc import Callable

from hayfuncs.contract.catalogue import CATALOGUE, Words
from hayfuncs.contract.tables import citation, load
from hayfuncs.contract.units import GRAMS_PER_LB
from hayfuncs.cow.intake import DRY_HIGH, LACTATING_HIGH
from hayfuncs.winter.problem import MOST_MINERAL_LB
from hayfuncs.workbook.model import Book, Content, Input, input_for
from hayfuncs.workbook.sheets.common import begin

MINERALS = (("limestone", "lime", 240), ("dicalcium phosphate", "dical", 900))  # name, its cells, price first shown
INTAKE_METHODS = ("fibre", "quality class")  # the first is the default: it reads the lot's own NDF


def fill(book: Book) -> None:
    sheet = begin(
        book, "Assumptions", "Assumptions you may change",
        "Each value is used by name all over the workbook; its source and range stand beside it.", "Inputs",
    )  # fmt: skip
    sheet.width(34, 20, 18, 58, 20)
    sheet.heads(4, 0, ["What", "Value", "Unit", "Where it comes from, and what it does", "Name in formulas"])
    row = 5

    def line(label: str, name: str, value: Content, entry: Input, unit: str, style: str, why: str) -> None:
        nonlocal row
        sheet.put(row, 0, label, "label")
        ref = sheet.entry(row, 1, value, entry, style, unit)
        sheet.put(row, 2, unit, "unit_cell")
        sheet.put(row, 3, why, "small")
        sheet.put(row, 4, name, "code")
        book.define(name, ref)
        row += 1

    line("Shrink from full to empty weight", "shrink_pct", 4, input_for("Assumptions/shrink_pct", "SHRUNK_WEIGHT", "shrink_pct"),
         "%", "input", "Requirement equations ask for shrunk weight; 4 % is the usual allowance (NRC, from memory).")  # fmt: skip
    line("Fibre a cow will eat in a day", "ndf_capacity_pct_bw", 1.2,
         input_for("Assumptions/ndf_capacity_pct_bw", "INTAKE_FROM_NDF", "ndf_capacity_pct_bw"), "% of body weight", "input",
         "1.2 % of body weight as NDF (University of Missouri Extension); Ohio State 2019 gives 1.2 to 1.5 by quality.")  # fmt: skip
    methods = ", ".join(INTAKE_METHODS)
    line("Hay intake is taken from", "intake_method", INTAKE_METHODS[0],
         Input("Assumptions/intake_method", "Hay intake", f"One of: {methods}", words=INTAKE_METHODS, kind="word"), "word", "input_text",
         "fibre: body weight x capacity / NDF. quality class: share of body weight by TDN class and milk (Oklahoma State, 1992). "
         "The two differ; both stand on the sheet Match.")  # fmt: skip
    for cow, mark, most in (("a dry cow", "dry", DRY_HIGH), ("a cow in milk", "milk", LACTATING_HIGH)):
        name = f"fibre_most_{mark}_pct_bw"
        line(f"Most hay by the fibre rule, {cow}", name, most,
             Input(f"Assumptions/{name}", "Most hay by the fibre rule", f"Dry matter of hay that {cow} eats at most: 1 to 5 % of body weight", lo=1, hi=5),
             "% of body weight", "input",
             f"On hay of little fibre the rule runs past what cows eat (NDF 35: 3.4 %). Held to what {cow} eats of high-quality forage: {most} % "
             "(Oklahoma State 1992, as reprinted in 2024). A later test there found the table high for dry cows.")  # fmt: skip
    line("Hay left for each pound of supplement", "hay_displaced", 0, input_for("Assumptions/hay_displaced", "SUPPLEMENT_RATE", "hay_displaced"),
         "lb DM/lb DM", "input", "0: hay is eaten to appetite beside the supplement. 1 lb of corn may replace 1.5 lb of good hay (eXtension). Used for pounds; the share way and the cheapest mix let hay be eaten to appetite.")  # fmt: skip
    equations = CATALOGUE["TDN_FROM_ADF"].args["equation"]
    assert isinstance(equations, Words)
    for forage in ("grass", "legume", "mixed"):
        key = f"Assumptions/equation_{forage}"
        line(f"TDN equation for {forage} hay", f"equation_{forage}", "digestible dry matter",
             Input(key, "TDN equation", f"One of: {equations.allowed()}"[:255], words=equations.words, kind="word"), "word", "input_text",
             "The same hay can differ by 10 points of TDN between equations, so the equation's name stands beside every TDN. "
             "First choice: digestible dry matter, published for legume and grass hay (NFTA 1993, appendix A3).")  # fmt: skip

    def limit(label: str, name: str, value: float, lo: float, hi: float, unit: str, why: str) -> None:
        says = f"{label}: {lo:g} to {hi:g} {unit}."
        line(label, name, value, Input(f"Assumptions/{name}", label[:32], says, lo=lo, hi=hi), unit, "input", why)

    limit("Cheapest mix: room for supplement", "mix_room_pct_bw", 0.7, 0, 3, "% of body weight",
          "Dry matter of supplement at most. Above 0.7 % of body weight of supplemental TDN the diet always fell below the sum "
          "(J. Anim. Sci. 1999); taken here for the dry matter, the cautious reading.")  # fmt: skip
    limit(
        "Cheapest mix: most fat in the diet",
        "mix_fat_pct",
        5,
        0,
        100,
        "% DM",
        "Cows on much forage: 5 %; in general 6 % (from memory).",
    )
    limit("Cheapest mix: most sulfur in the diet", "mix_s_pct", 0.4, 0, 100, "% DM",
          "0.40 % in general, 0.30 % where grain is high (University of Minnesota). Water's sulfur counts too: test the well.")  # fmt: skip
    limit("Cheapest mix: most starchy grain, all together", "mix_grain_pct_bw", 0.25, 0, 3, "% of body weight",
          "Dry matter of corn, barley and oats together. 0.25 % is the best rate beside hay, above 0.5 % digestion suffers "
          "(eXtension; University of Illinois).")  # fmt: skip
    limit("Cheapest mix: most protein from urea", "mix_npn_pct", 33, 0, 100, "% of CP",
          "At most a third of the diet's protein (from memory); urea only where a nutritionist has said so.")  # fmt: skip
    limit(
        "Hay fat where it was not tested",
        "hay_fat_untested",
        2,
        0,
        15,
        "% DM",
        "Common practice, no source: hays hold about 2 %.",
    )
    limit("Hay sulfur where it was not tested", "hay_s_untested", 0.25, 0, 3, "% DM",
          "Brome hay 0.21, alfalfa hay 0.28 on average (University of Minnesota); between the two.")  # fmt: skip
    for name, mineral, value, why in (
        ("hay_ca_untested", "calcium", 0.3, "Low for grass hay (Alberta: mean of grass hay 0.53, grass and legume 0.14 to 2.72); our choice, so that calcium is bought rather than trusted."),
        ("hay_p_untested", "phosphorus", 0.2, "Alberta: means of 0.19 to 0.21, single hays 0.04 to 0.36. Test the hay."),
    ):  # fmt: skip
        limit(f"Hay {mineral} where it was not tested", name, value, 0, 3, "% DM", why)
    _minerals(limit)
    line("Ergovaline that the diet may hold", "ergovaline_limit", 200, input_for("Assumptions/ergovaline_limit", "ERGOVALINE_CAUTION", "threshold_ppb"),
         "ppb", "input", "Working threshold 100 to 200 ppb (University of Missouri); the upper end is taken. Cold weather and tall fescue seed heads ask for less.")  # fmt: skip
    sheet.put(row + 1, 0, "Fixed in the requirement equations, shown here to be read", "section")
    sheet.put(row + 2, 0, "Calf weaned after month", "label")
    ref = sheet.put(row + 2, 1, 6, "number0", unit="months")
    sheet.put(row + 2, 2, "months", "unit_cell")
    sheet.put(row + 2, 3, "NRC 2000 example herd: milk stops after month 6 since calving (from memory).", "small")
    sheet.put(row + 2, 4, "weaned_after", "code")
    book.define("weaned_after", ref)
    sheet.put(row + 3, 0, "Pounds in a short ton", "label")
    tons = sheet.put(row + 3, 1, 2000, "number0", unit="lb/ton")
    sheet.put(row + 3, 2, "lb/ton", "unit_cell")
    sheet.put(row + 3, 3, "Exact, by definition.", "small")
    sheet.put(row + 3, 4, "lb_per_ton", "code")
    book.define("lb_per_ton", tons)
    sheet.put(row + 4, 0, "Grams in a pound", "label")
    grams = sheet.put(row + 4, 1, GRAMS_PER_LB, "general", unit="g/lb")
    sheet.put(row + 4, 2, "g/lb", "unit_cell")
    sheet.put(row + 4, 3, "Exact, by definition (international pound, 1959).", "small")
    sheet.put(row + 4, 4, "grams_per_lb", "code")
    book.define("grams_per_lb", grams)


def _minerals(limit: Callable[..., None]) -> None:
    """Limestone and dicalcium phosphate: what they hold and cost, for the cheapest mix and the winter plan."""
    table = load("mineral_sources")
    for mineral, mark, price in MINERALS:
        held = table.row(mineral)
        says = (
            "A price to begin with, invented: type your own. Fed beside the feeds where calcium or phosphorus is short."
        )
        limit(f"{mineral.capitalize()}: price", f"{mark}_price", price, 0, 10000, "$/ton as fed", says)
        for part, word in (("ca", "calcium"), ("p", "phosphorus")):
            value = held[f"{part}_pct"]
            assert isinstance(value, float)
            says = f"{citation('purdue-minerals')}. See the tag of yours."
            limit(f"{mineral.capitalize()}: {word}", f"{mark}_{part}_pct", value, 0, 60, "% as fed", says)
    why = "Of each: more than some ounces is not eaten (common practice, no source). Mix it into the feed, or offer it with salt."
    limit("Most of a mineral source a head", "mineral_most_lb", MOST_MINERAL_LB, 0, 3, "lb as fed/day", why)
