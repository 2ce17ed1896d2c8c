"""The lines of Ration cautions: what the lot, the diet and the group can hurt by."""

from __future__ import annotations

from hayfuncs.importers.model import AT_LEAST
from hayfuncs.workbook.keyed import Made, Making, another, calling, unknown, where
from hayfuncs.workbook.page import Line, Page, worked
from hayfuncs.workbook.sheets.cautions import FIRE, LAB, OFFICE, VET
from hayfuncs.workbook.sheets.dietpage import LOW, Hazard
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, NOT_TESTED
from hayfuncs.workbook.sheets.hazards import FORAGE_DIET, Hazards
from hayfuncs.workbook.sheets.herdcare import HerdCare
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.ration import Cautions as Supplement
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.sheets.shortwords import SUPPLEMENT, UNBOOKED, Short

NO_RATE = '"no rate covers both"'  # the supplement is too poor for the need: the sheet Ration shows it as an error
TOO_MUCH_UREA = '"Danger: more urea than all the protein of the diet. Do not feed this. The veterinarian decides."'
POUNDS, SHARE = "{ration.rate_pounds}", "{ration.rate_share}"


def _lot(key: str, table: str = "hazards") -> str:
    """The chosen lot's value in a column of a table; so the feed's and the group's below."""
    return f"INDEX({{{table}.{key}}},{{ration.lots}})"


def _feed(key: str) -> str:
    return f"INDEX({{feeds.{key}}},{{ration.feeds}})"


def _care(key: str) -> str:
    return f"INDEX({{care.{key}}},{{ration.herd}})"


class OnTheWay(Page):
    """Numbers on the way to a hazard, below the lines."""

    fed = worked("Supplement, the larger of the two rates", "lb as fed/day",
        f"=IF(COUNT({POUNDS})=0,{NO_RATE},IF(COUNT({SHARE})=0,{POUNDS},MAX({POUNDS},{SHARE})))", "number2")  # fmt: skip
    dm = worked("Supplement, dry matter", "lb DM/day", where(unknown("{fed}", shown=NO_RATE), "{fed}*{ration.feed_dm}/100"), "number2")  # fmt: skip
    whole = worked("Dry matter eaten in all", "lb DM/day", where(unknown("{fed}", shown=NO_RATE), "{ration.hay}+{dm}"), "number2")  # fmt: skip
    cp = worked("Crude protein eaten in all", "lb/day",
        where(unknown("{fed}", shown=NO_RATE), "({ration.hay}*{ration.hay_cp}+{dm}*{ration.feed_cp})/100"), "number2")  # fmt: skip
    # what the sheet Feeds calls urea counts with all its protein as urea's: a mixed feed is then not told too low
    urea = worked("Urea of the supplement", "lb/day", f"=IF({_feed('is_urea')}=1,N({{dm}})*MIN(urea_content/100,N({_feed('cp_pct')})/urea_protein),0)", "number3")  # fmt: skip
    feeds, ration = another(lambda: Feeds), another(lambda: Ration)


def _nitrate(name: str, scale: str, limit: str) -> Line:
    # a group that is not said to be open counts as in calf, for which the scales are stricter
    told = f'=IF({_care("pregnant")}&""="0",{_lot(f"nitrate_open_{scale}")},{_lot(f"nitrate_calf_{scale}")})'
    return Hazard(f"Lot: nitrate nitrogen, {name}, for this group", "ppm", f"={_lot('nitrate')}", told, limit, "NITRATE_CAUTION", f"{VET}; {OFFICE}", "number0")  # fmt: skip


def _of_lot(what: str, unit: str, key: str, text: str, limit: str, function: str, who: str = VET, style: str = "number2") -> Line:  # fmt: skip
    return Hazard(f"Lot: {what}", unit, f"={_lot(key)}", text if " " in text else f"={_lot(text)}", limit, function, who, style)  # fmt: skip


def _measured(what: str, unit: str, key: str, text: str, limit: str, function: str, style: str) -> Line:
    value = f'=IF({_lot(key)}="","not measured",{_lot(key)})'
    return Hazard(f"Lot: {what}", unit, value, f"={_lot(text)}", limit, function, FIRE, style)


def _seen(what: str, key: str) -> Line:
    named = _lot(f"lab_{key}", "lots")
    said = f'"Seen in this hay: "&{named}&'
    return Hazard(f"Lot: {what}", "", f'={named}&""', f'={_lot(key)}&""', "What somebody saw; a look is no test", "SEEN_IN_HAY_CAUTION", f"{VET}; {OFFICE}", "text",
                  Short(0.165, f'{said}". Your vet decides."', f'{said}". Do not feed it; ask your vet."'))  # fmt: skip


def _class_end(end: str) -> Line:
    value = calling("CLASS_LIMIT", _lot("rfv", "lots"), '"RFV"', f'"{end}"')
    says = "Read the index as a class; hay inside one class is the same hay."
    return Hazard(f"Lot: relative feed value, {end} end of its class", "index", value, says, "5 points either way", "CLASS_LIMIT", LAB, "number0", height=LOW)  # fmt: skip


def _diet(what: str, unit: str, value: Making | Made, text: Making | Made, limit: str, function: str, who: str = VET, style: str = "number2", short: Short | None = None) -> Line:  # fmt: skip
    return Hazard(f"Diet: {what}", unit, value, text, limit, function, who, style, short)


BOOKED = f"MATCH({_feed('booked')},{{table[supplements.feed]}},0)"
TOLD = f'IF(COUNT({{way.fed}})=0,"",IF({{way.fed}}=0,"",IF(ISNUMBER({BOOKED}),INDEX({{marks[feedbook][words]}},{BOOKED})&"","{UNBOOKED}")))'
NO_FAT = unknown(_lot("fat", "lots"), _feed("fat_pct"), "{way.dm}", shown=NOT_TESTED)
NO_SULFUR = unknown(_lot("s"), _feed("s_pct"), "{way.dm}", shown=NOT_TESTED)
NO_WATER = unknown("water_gal", "water_sulfate", shown=NOT_TESTED)
NO_UREA = unknown("{urea}", "{way.whole}", "{way.cp}")[0]


class RationHazards(Page):
    """What the lot, the diet and the group can hurt by, one line a hazard."""

    nitrate_a = _nitrate(
        "Clemson scale", "a", "In calf: caution from 1,000 ppm, danger from 2,000; others: 1,500 and 3,500"
    )
    nitrate = _nitrate("midwest laboratory's scale", "b", "Limits from 700 ppm; high from 2,100")
    # a test that says only "at least" gives no share
    share = Hazard("Lot: most of this hay in the diet, by nitrate", "% DM", calling("DIET_SHARE_LIMIT", "{nitrate}", "other_nitrate", "nitrate_limit",
                unless=(f'OR(COUNT({{nitrate}},other_nitrate)<2,N(other_nitrate)>nitrate_limit,{_lot("nitrate_limit")}="{AT_LEAST}")', NOT_ENTERED)),
        "Share at which the whole diet reaches the limit typed on this tab.", "Typed on this tab", "DIET_SHARE_LIMIT", height=LOW)  # fmt: skip
    tetany = _of_lot("tetany ratio K/(Ca+Mg)", "ratio", "tetany_ratio", "tetany", "Above 2.2; magnesium below 0.20 %", "TETANY_CAUTION")  # fmt: skip
    cap = _of_lot("calcium to phosphorus", "ratio", "cap_ratio", "cap", "1.5 to 7; below 1 danger", "CALCIUM_PHOSPHORUS_CAUTION")  # fmt: skip
    bound = _of_lot("protein bound by heat", "% of CP", "bound", "heat", "Above 10 %, strongly above 12 %", "HEAT_DAMAGE_NOTE", LAB)  # fmt: skip
    available = _of_lot("protein left after heat", "% DM", "available", "Balance a heated lot with this in place of crude protein.", "CP less ADICP", "AVAILABLE_PROTEIN", LAB)  # fmt: skip
    prussic = _of_lot("Prussic acid of the wet sample", "ppm", "hcn_wet", "prussic", "200 and 600 ppm, held to both bases", "PRUSSIC_ACID_CAUTION", f"{VET}; {OFFICE}", "number0")  # fmt: skip
    stack = _measured("Hottest place in the stack", "deg F", "temp", "stack", "120 and 150 deg F; 160 call the fire service", "STACK_HEAT_CAUTION", "number0")  # fmt: skip
    baling = _measured("Moisture at baling", "% as fed", "moisture", "baling", "Small square 20, round 18, large square 16 %", "BALING_MOISTURE_CAUTION", "number1")  # fmt: skip
    seen, seen_too = _seen("seen in this hay", "seen"), _seen("also seen", "seen_too")
    class_low, class_high = _class_end("low"), _class_end("high")
    lab = Hazard("Lot: the lab sheet", "", "see Hazards", f"={_lot('lab')}", "Usual ranges and sums", "LAB_NOTES", LAB, "text")  # fmt: skip
    supplement = _diet("supplement", "lb as fed/day", "={way.fed}",
        f'=IF(COUNT({POUNDS},{SHARE})<2,"not possible: by share no rate covers both, see Ration",{{at_ration.caution}})',
        "See the words", "FEED_CAUTION", short=Short(SUPPLEMENT, TOLD, TOLD, TOLD))  # fmt: skip
    grain = _diet("starchy grain", "lb as fed/day", f"=N(other_grain)+N({_feed('is_grain')})*N({{way.fed}})",
        calling("GRAIN_CAUTION", "{grain}", "{ration.weight}"), "0.25 and 0.5 % of body weight; what is grain: Feeds", "GRAIN_CAUTION")  # fmt: skip
    fat = _diet(
        "fat of the diet", "% DM", where(NO_FAT, f"({{ration.hay_beside}}*{_lot('fat', 'lots')}+{{way.dm}}*{_feed('fat_pct')})/{{way.whole}}"),
        calling("FAT_CAUTION", "{fat}", FORAGE_DIET, unless=("COUNT({fat})<1", NOT_TESTED)), "5 % of a high-forage diet", "FAT_CAUTION")  # fmt: skip
    water = _diet("sulfur of the water", "lb/day", calling("WATER_SULFUR", "water_gal", "water_sulfate", unless=NO_WATER),
        f'=IF({NO_WATER[0]},"not tested: the diet below is without the water","Counted in the diet below.")', "None of its own", "WATER_SULFUR", style="number3")  # fmt: skip
    sulfur = _diet("sulfur of the diet, and of the water where tested", "% DM",
        calling("DIET_SULFUR", "{ration.hay_beside}", _lot("s"), "{way.dm}", _feed("s_pct"), "N({water})", unless=NO_SULFUR),
        calling("SULFUR_CAUTION", "{sulfur}", FORAGE_DIET, unless=("COUNT({sulfur})<1", NOT_TESTED)), "0.40 %, danger above 0.50 %", "SULFUR_CAUTION")  # fmt: skip
    urea = _diet("urea", "lb/day", f'=IF(AND(urea_fed="",{_feed("is_urea")}=0),{NOT_ENTERED},N(urea_fed)+{{way.urea}})',
        calling("UREA_CAUTION", "{urea}", "{ration.weight}", "{way.whole}", "{way.cp}",
                unless=(f"OR({NO_UREA},urea_protein*N({{urea}})>100*N({{way.cp}}))", f"IF({NO_UREA},{NOT_ENTERED},{TOO_MUCH_UREA})")),
        "450 lb body weight; a third of the protein; 1 % of dry matter; 0.25 lb a day", "UREA_CAUTION", style="number3")  # fmt: skip
    # a test that says only "at least" gives no number for the diet: the words of the hay itself stand
    ergovaline = _diet("ergovaline of the diet", "ppb",
        calling("ERGOVALINE_IN_DIET", _lot("ergovaline_dm"), "100*{ration.hay_beside}/{way.whole}", unless=unknown(_lot("ergovaline_dm"), "{way.whole}", shown=NOT_TESTED)),
        calling("ERGOVALINE_CAUTION", "{ergovaline}", "ergovaline_limit",
                unless=(f'OR(COUNT({{ergovaline}})=0,{_lot("ergovaline_limit")}="{AT_LEAST}")', f"IF(COUNT({{ergovaline}})=0,{{ergovaline}},{_lot('ergot')})")),
        "From 100 ppb; danger above the threshold of Assumptions", "ERGOVALINE_CAUTION", f"{VET}; {OFFICE}", "number0")  # fmt: skip
    cold = Hazard("Group: more energy for the cold that was typed", "%", f"={_care('increase')}", f"={_care('cold')}", "Below the coat's limit; above 100 % danger", "COLD_INCREASE", style="number0")  # fmt: skip
    mud = Hazard("Group: less eaten in mud", "%", f"={_care('cut')}", f"={_care('mud_says')}", "4 and 12 inches", "MUD_CAUTION", style="number0")  # fmt: skip
    lots, feeds, hazards = another(lambda: Lots), another(lambda: Feeds), another(lambda: Hazards)
    care, way = another(lambda: HerdCare), another(lambda: OnTheWay)
    ration, at_ration = another(lambda: Ration), another(lambda: Supplement)
