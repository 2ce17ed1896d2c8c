"""Checks of the sheets before the lab, of the stock, of the cautions and of the pages to take home."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Formula, call
from hayfuncs.workbook.sheets.bench import Bench
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.checks import Check
from hayfuncs.workbook.sheets.hazards import Hazards
from hayfuncs.workbook.sheets.howsure import Sure
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.repeats import Repeats
from hayfuncs.workbook.sheets.stock import Stock

PUBLISHED = "published example"


def every(book: Book) -> list[Check]:
    return [*before_the_lab(book), *of_the_stock(book), *of_the_cautions(book), *of_the_pages(book)]


def before_the_lab(book: Book) -> list[Check]:
    register, bench, sure = book.find(Register), book.find(Bench), book.find(Sure)
    impossible = "+".join(f'COUNTIF({weighed},"weigh again")' for weighed in (bench.first, bench.second))
    short = Formula(f"=IF(COUNT({sure.reached},margin_wanted)<2,0,{sure.reached}-margin_wanted)")
    return [
        Check("Stacks: the lots chosen there are found", "completeness", Formula("=COUNT(coring_place,reference_place)"), "equals", 2, 0, "1"),
        Check("Register: lots whose tons on Lots and by bales are more than 10 % apart", "reconciliation", Formula(f'=COUNTIF({register.relation},"differ*")'), "equals", 0, 0, "1"),
        Check("Bench: weights that cannot be", "range", Formula(f"={impossible}"), "equals", 0, 0, "1"),
        Check("How sure: margin of the cores advised, less the margin wanted", "balance", short, "at most", 0, 1e-9, "any"),
        Check("Round bale of 5 x 5 ft at 11.2045 lb/ft3", PUBLISHED, call("ROUND_BALE_WEIGHT", "5", "5", "11.2045"), "equals", 1100, 0.5, "lb as fed", "Texas A&M AgriLife Extension E-319, 2012: 1,100 lb"),
    ]  # fmt: skip


def of_the_stock(book: Book) -> list[Check]:
    stock = book.find(Stock)
    parts = f"SUM({stock.eaten})+SUM({stock.lost})+SUM({stock.wasted})-SUM({stock.counted})"
    story = Formula(
        "=IF(COUNT(days_of_hay,winter_days,hay_needed)<3,0,days_of_hay/winter_days-hay_in_store/hay_needed)"
    )
    return [
        Check("Hay pile: days from the first day to grass", "range", Formula("=turnout-winter_start"), "at least", 1, 0, "days"),
        Check("Stock: hay eaten, lost and wasted, less hay in store", "balance", Formula(f"={parts}"), "equals", 0, 1e-6, "tons as fed"),
        Check("Hay pile: share of the winter covered, by days less by pounds", "reconciliation", story, "equals", 0, 1e-9, "1"),
        Check("Longhand stock against the functions, largest difference", "reconciliation", Formula(f"={book.marks['longhand_stock_difference']}"), "equals", 0, 1e-6, "any"),
        Check("$50 for a bale of 1,100 lb", PUBLISHED, call("BALE_PRICE_PER_TON", "50", "1100"), "equals", 90.91, 0.005, "$/ton as fed", "Texas A&M AgriLife Extension E-319, 2012: $90.91 a ton"),
        Check("Alfalfa at $110 a ton and 85 % dry matter", PUBLISHED, call("PRICE_PER_DRY_TON", "110", "85"), "equals", 129.41, 0.005, "$/ton DM", "University of Nebraska 2020: $129.41 a ton of dry matter"),
        Check("Soybean hulls at $180 a ton, 90 % dry matter, 75 % TDN", PUBLISHED, call("COST_PER_LB_NUTRIENT", "180", "90", "75"), "equals", 0.13, 0.005, "$/lb", "Alabama Extension: $0.13 a pound of TDN"),
        Check("Grass hay at $50 and 38 % TDN against hay of 59 % TDN", PUBLISHED, call("BREAK_EVEN_PRICE", "50", "82", "38", "82", "59"), "equals", 77.63, 0.005, "$/ton as fed", "Pennsylvania farm press 1993: $77.63"),
        Check("63.6 lb wasted of a 1,200-lb bale at $70", PUBLISHED, call("HAY_COST", "63.6", "70/1200*lb_per_ton"), "equals", 3.71, 0.005, "$", "Oklahoma State University trial, reported 2011: $3.71"),
    ]  # fmt: skip


def of_the_cautions(book: Book) -> list[Check]:
    lots, hazards, cautions, repeats = (book.find(Lots), book.find(Hazards), book.find(Cautions), book.find(Repeats))
    said = "-".join(f'COUNTIF({cautions.nitrate_calf_a},"{word}")' for word in ("Clear", "Caution", "Danger"))
    minerals = (hazards.ca, hazards.p, hazards.mg, hazards.k, hazards.s, hazards.na)
    given = (lots.lab_ca_pct, lots.lab_p_pct, lots.lab_mg_pct, lots.lab_k_pct, lots.lab_s_pct, lots.lab_na_pct)
    risen = "+".join(f"SUM({dry})-SUM({lab})" for dry, lab in zip(minerals, given, strict=True))
    typed = f"COUNT({repeats.second_cp})+COUNT({repeats.second_adf})+COUNT({repeats.second_ndf})"
    return [
        Check("Cautions: lots tested for nitrate without a word on it", "completeness", Formula(f"=COUNT({lots.lab_nitrate_n_ppm})-{said}"), "equals", 0, 0, "1"),
        Check("Hazards: minerals on dry basis less as given, all lots", "basis", Formula(f"={risen}"), "at least", 0, 1e-9, "% DM"),
        Check("Repeat tests: second values without the word on the laboratory", "completeness", Formula(f"={typed}-SUM({repeats.twice})"), "equals", 0, 0, "1"),
        Check("1 ppm of nitrate (NO3) as nitrate nitrogen", PUBLISHED, call("NITRATE_AS", "1", '"NO3"', '"NO3-N"'), "equals", 0.226, 0.0005, "ppm", "University of Nebraska 2016: 0.226"),
    ]  # fmt: skip


def of_the_pages(book: Book) -> list[Check]:
    pages = book.marks["take_home_numbers"]
    lost = "+".join(f'SUMPRODUCT(({pages[k]}="not found")*({pages["name"]}<>""))' for k in ("lot", "feed_row"))
    least = f"MIN({pages['over_tdn']},{pages['over_cp']})"
    return [
        Check("Take home: hay or feed that is not found", "completeness", Formula(f"={lost}"), "equals", 0, 0, "1"),
        Check("Take home: energy or protein of a page over the need, the least", "balance", Formula(f"={least}"), "at least", 0, 1e-9, "lb/day"),
    ]  # fmt: skip
