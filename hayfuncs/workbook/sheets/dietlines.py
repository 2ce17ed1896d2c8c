"""The lines of Ration cautions that belong to the diet: supplement, grain, fat, sulfur, urea, ergovaline."""

from __future__ import annotations

from hayfuncs.importers.model import AT_LEAST
from hayfuncs.workbook.model import Formula, call
from hayfuncs.workbook.sheets.cautions import OFFICE, VET
from hayfuncs.workbook.sheets.dietpage import Page
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, NOT_TESTED
from hayfuncs.workbook.sheets.shortwords import SUPPLEMENT, UNBOOKED, Short

FORAGE_DIET = '"high forage"'
NO_RATE = '"no rate covers both"'  # the supplement is too poor for the need: the sheet Ration shows it as an error
TOO_MUCH_UREA = '"Danger: more urea than all the protein of the diet. Do not feed this. The veterinarian decides."'


def fill(page: Page) -> None:
    marks = page.book.marks["ration"]
    page.part = "Diet"
    pounds, share = marks["rate_pounds"], marks["rate_share"]
    rate = Formula(f"=IF(COUNT({pounds})=0,{NO_RATE},IF(COUNT({share})=0,{pounds},MAX({pounds},{share})))")
    no_share = '"not possible: by share no rate covers both, see Ration"'
    caution = Formula(f"=IF(COUNT({pounds},{share})<2,{no_share},{marks['caution']})")
    fed = page.number("Supplement, the larger of the two rates", rate, "lb as fed/day")
    at = f"MATCH({_booked(page)},{page.book.table_range('supplements', 'feed')},0)"
    told = f'IF(COUNT({fed})=0,"",IF({fed}=0,"",IF(ISNUMBER({at}),INDEX({page.book.marks["feedbook"]["words"]},{at})&"","{UNBOOKED}")))'
    short = Short(SUPPLEMENT, told, told, told)
    page.line("supplement", Formula(f"={fed}"), "lb as fed/day", caution, "See the words", "FEED_CAUTION", short=short)

    def known(formula: str) -> Formula:
        return Formula(f"=IF(COUNT({fed})=0,{NO_RATE},{formula})")

    hay = marks["hay"]
    dm = page.number("Supplement, dry matter", known(f"{fed}*{marks['feed_dm']}/100"), "lb DM/day")
    whole = page.number("Dry matter eaten in all", known(f"{hay}+{dm}"), "lb DM/day")
    protein = f"({hay}*{marks['hay_cp']}+{dm}*{marks['feed_cp']})/100"
    cp = page.number("Crude protein eaten in all", known(protein), "lb/day")
    _grain(page, fed)
    _fat(page, dm, whole)
    _sulfur(page, dm)
    _urea(page, dm, whole, cp)
    _ergovaline(page, whole)


def _booked(page: Page) -> str:
    """The supplement's name in the feed book."""
    return f"INDEX({page.book.marks['feeds']['book']},{page.book.marks['ration']['feeds']})"


def _of_feed(page: Page, mark: str) -> str:
    return f"INDEX({page.book.marks['feeds'][mark]},{page.book.marks['ration']['feeds']})"


def _of_lot(page: Page, table: str, mark: str) -> str:
    return f"INDEX({page.book.marks[table][mark]},{page.book.marks['ration']['lots']})"


def _untested(*refs: str) -> tuple[str, str]:
    return (f"COUNT({','.join(refs)})<{len(refs)}", NOT_TESTED)


def _grain(page: Page, fed: str) -> None:
    grain = Formula(f"=N(other_grain)+N({_of_feed(page, 'is_grain')})*N({fed})")
    text = call("GRAIN_CAUTION", page.value, page.book.marks["ration"]["weight"])
    page.line(
        "starchy grain",
        grain,
        "lb as fed/day",
        text,
        "0.25 and 0.5 % of body weight; what is grain: Feeds",
        "GRAIN_CAUTION",
    )


def _fat(page: Page, dm: str, whole: str) -> None:
    hay, of_hay, of_feed = (
        page.book.marks["ration"]["hay_beside"],
        _of_lot(page, "lots", "fat"),
        _of_feed(page, "fat_pct"),
    )
    unless = _untested(of_hay, of_feed, dm)
    fat = Formula(f"=IF({unless[0]},{unless[1]},({hay}*{of_hay}+{dm}*{of_feed})/{whole})")
    text = call("FAT_CAUTION", page.value, FORAGE_DIET, unless=_untested(page.value))
    page.line("fat of the diet", fat, "% DM", text, "5 % of a high-forage diet", "FAT_CAUTION")


def _sulfur(page: Page, dm: str) -> None:
    unless = _untested("water_gal", "water_sulfate")
    value = call("WATER_SULFUR", "water_gal", "water_sulfate", unless=unless)
    says = Formula(f'=IF({unless[0]},"not tested: the diet below is without the water","Counted in the diet below.")')
    water = page.line("sulfur of the water", value, "lb/day", says, "None of its own", "WATER_SULFUR", style="number3")
    hay, of_hay, of_feed = (
        page.book.marks["ration"]["hay_beside"],
        _of_lot(page, "hazards", "s"),
        _of_feed(page, "s_pct"),
    )
    value = call("DIET_SULFUR", hay, of_hay, dm, of_feed, f"N({water})", unless=_untested(of_hay, of_feed, dm))
    text = call("SULFUR_CAUTION", page.value, FORAGE_DIET, unless=_untested(page.value))
    page.line("sulfur of the diet, water counted", value, "% DM", text, "0.40 %, danger above 0.50 %", "SULFUR_CAUTION")


def _urea(page: Page, dm: str, whole: str, cp: str) -> None:
    """What the sheet Feeds calls urea counts with all its protein as urea's: a mixed feed is then not told too low."""
    is_urea, protein = _of_feed(page, "is_urea"), _of_feed(page, "cp_pct")
    of_dm = f"MIN(urea_content/100,N({protein})/urea_protein)"
    as_feed = page.number("Urea of the supplement", Formula(f"=IF({is_urea}=1,N({dm})*{of_dm},0)"), "lb/day", "number3")
    amount = Formula(f'=IF(AND(urea_fed="",{is_urea}=0),{NOT_ENTERED},N(urea_fed)+{as_feed})')
    missing = f"COUNT({page.value},{whole},{cp})<3"
    beyond = f"urea_protein*N({page.value})>100*N({cp})"
    text = call(
        "UREA_CAUTION", page.value, page.book.marks["ration"]["weight"], whole, cp,
        unless=(f"OR({missing},{beyond})", f"IF({missing},{NOT_ENTERED},{TOO_MUCH_UREA})"),
    )  # fmt: skip
    limit = "450 lb body weight; a third of the protein; 1 % of dry matter; 0.25 lb a day"
    page.line("urea", amount, "lb/day", text, limit, "UREA_CAUTION", style="number3")


def _ergovaline(page: Page, whole: str) -> None:
    ergot, hay = _of_lot(page, "hazards", "ergovaline_dm"), page.book.marks["ration"]["hay_beside"]
    unless = (f"COUNT({ergot},{whole})<2", NOT_TESTED)
    value = call("ERGOVALINE_IN_DIET", ergot, f"100*{hay}/{whole}", unless=unless)
    # a test that says only "at least" gives no number for the diet: the words of the hay itself stand
    only, alone = (_of_lot(page, "hazards", mark) for mark in ("ergovaline_limit", "ergot"))
    untold = (f'OR(COUNT({page.value})=0,{only}="{AT_LEAST}")', f"IF(COUNT({page.value})=0,{page.value},{alone})")
    text = call("ERGOVALINE_CAUTION", page.value, "ergovaline_limit", unless=untold)
    limit = "From 100 ppb; danger above the threshold of Assumptions"
    page.line("ergovaline of the diet", value, "ppb", text, limit, "ERGOVALINE_CAUTION", f"{VET}; {OFFICE}", "number0")
