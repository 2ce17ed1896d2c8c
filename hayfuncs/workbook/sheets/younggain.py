"""Young cattle, the workings: what they eat of hay and feed, what they gain on it, and what protein the gain takes."""

from __future__ import annotations

from typing import NamedTuple

from hayfuncs.workbook.keyed import another, calling, same_row, unknown, where
from hayfuncs.workbook.page import Page, given, heading, worked
from hayfuncs.workbook.sheets.common import found
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.grid import listed, number, of_record
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.margins import Hays, Offered
from hayfuncs.workbook.table import Column, Table, computed

POOREST, RICHEST = 40, 94  # % TDN between which the intake of growing cattle is given
STILL = 0.05  # lb a day: less is no gain that a date can be worked out from (our choice, no source)
STOPPED = ('{asked.stop}<>""', '""')
HER = ("{asked.kind}", "{asked.shrunk}")


class Diet(NamedTuple):
    name: str
    fed: int


DIETS = (Diet("Hay alone", 0), Diet("Hay with the feed", 1))


def _of_lot(column: str) -> str:
    return where(unknown("{lot_place}", shown='""'), f"INDEX({{{column}}},{{lot_place}})")


def _of_feed(column: str) -> str:
    return where(unknown("{feed_place}", shown='""'), f"INDEX({{{column}}},{{feed_place}})")


class Asked(Page):
    """What is chosen and typed, and what is looked up for it."""

    chosen = heading("Which cattle, on which hay, with which feed")
    lot = given("Hay lot", "name", listed("Hay lot", "Pick one lot of the sheet Lots", "{lots.name}", True), lambda page: page.of[0], "input_text")  # fmt: skip
    kind = given("Kind of cattle; a calf is under a year", "word", of_record("GAIN_ON_DIET", "cattle_class", True), "heifer calf", "input_text")  # fmt: skip
    weight = given("Weight now, full", "lb", number("Weight now", "Pounds, full", 100, 3000, True), 540, "input0")
    grown = given("Weight when grown, full", "lb",
        number("Weight when grown", "Full pounds of the cow a heifer becomes, of a grown bull, of a steer fat enough to sell", 450, 3500, True), 1250, "input0",
        why="of the cow a heifer becomes, of a grown bull, of a steer fat enough to sell", why_look="text_in")  # fmt: skip
    target = given("Weight they are to reach, full", "lb", number("Weight to reach", "Full pounds", 100, 3500, True), 812, "input0",
        why="of a heifer at breeding: the figure below", why_look="text_in")  # fmt: skip
    breeding = worked("What a heifer should weigh at breeding", "lb", calling("TARGET_WEIGHT", "{grown}", '"breeding"', unless=unknown("{grown}")), "number0")  # fmt: skip
    feed = given("Feed", "name", listed("Feed", "Pick one feed of the sheet Feeds", "{feeds.name}", True), lambda page: page.of[1], "input_text")  # fmt: skip
    pounds = given("Of that feed, each", "lb as fed/day", number("Pounds of feed", "Pounds as fed a head a day, 0 for none", 0, 40, True), 4)  # fmt: skip
    lots, feeds = another(lambda: Lots), another(lambda: Feeds)


class Found(Page):
    """What is looked up for what was asked, and why there may be no answer."""

    found = heading("What is looked up for it")
    shrunk = worked("Shrunk weight now", "lb", calling("SHRUNK_WEIGHT", "{of.weight}", "shrink_pct", unless=unknown("{of.weight}")), "number0")  # fmt: skip
    grown = worked("Shrunk weight when grown", "lb", calling("SHRUNK_WEIGHT", "{of.grown}", "shrink_pct", unless=unknown("{of.grown}")), "number0")  # fmt: skip
    kind = worked("Kind of cattle", "word", '={of.kind}&""', "text_in")
    lot_place = worked("Row of the lot", "row of Lots", lambda page: found(page.of.lot, page.lots.name), "number0")
    feed_place = worked("Row of the feed", "row of Feeds", lambda page: found(page.of.feed, page.feeds.name), "number0")
    hay_tdn, hay_off = worked("TDN of the hay", "% DM", _of_lot("lots.tdn")), worked("Margin of that TDN of the hay", "% DM", _of_lot("hays.tdn"))  # fmt: skip
    hay_cp, hay_cp_off = worked("Crude protein of the hay", "% DM", _of_lot("lots.cp")), worked("Margin of that protein", "% DM", _of_lot("hays.cp"))  # fmt: skip
    feed_dm = worked("Dry matter of the feed", "% as fed", _of_feed("feeds.dm_pct"))
    feed_tdn, feed_off = worked("TDN of the feed", "% DM", _of_feed("feeds.tdn_pct")), worked("Margin of that TDN of the feed", "% DM", _of_feed("offered.tdn"))  # fmt: skip
    feed_cp = worked("Crude protein of the feed", "% DM", _of_feed("feeds.cp_pct"))
    stop = worked("Why there is no answer", "words",
        '=IF(COUNT({lot_place})=0,"This hay lot is not on Lots: choose again.",IF(COUNT({feed_place})=0,"This feed is not on Feeds: choose again.",'
        'IF(OR(COUNT({of.weight},{of.grown},{of.target},{of.pounds})<4,{of.kind}=""),"A needed value is empty.",'
        f'IF(COUNT({{hay_tdn}},{{hay_cp}})<2,"This hay has no TDN or no protein: see Lots.",IF({{hay_tdn}}<{POOREST},"This hay is under {POOREST} % TDN: what young cattle eat of it is not known.",'
        'IF(AND({of.pounds}>0,COUNT({feed_dm},{feed_tdn},{feed_cp})<3),"This feed lacks dry matter, TDN or protein: see Feeds.",'
        'IF({of.pounds}*N({feed_dm})/100>0.02*{shrunk},"That is more feed than most of what they eat: give fewer pounds.","")))))))', "text_in")  # fmt: skip
    lots, feeds = another(lambda: Lots), another(lambda: Feeds)
    hays, offered = another(lambda: Hays), another(lambda: Offered)


def _eaten(head: str, tdn: str, style: str = "number2") -> Column:
    return computed(head, "lb DM/day", calling("GROWING_INTAKE", *HER, tdn, unless=STOPPED), style)


def _of(head: str, unit: str, formula: str, style: str = "number2") -> Column:
    return computed(head, unit, where(STOPPED, formula), style)


def _mixed(head: str, eaten: str) -> Column:
    both = f"({{feed_lb}}*N({{asked.feed_tdn}})+({eaten}-{{feed_lb}})*{{asked.hay_tdn}})/{eaten}"
    return _of(head, "% DM", both)


def _gain(head: str, eaten: str, tdn: str, style: str = "number2") -> Column:
    return computed(head, "lb/day", calling("GAIN_ON_DIET", *HER, eaten, tdn, "{asked.grown}", unless=STOPPED), style)


class Gains(Table[Diet]):
    """What they eat and gain, hay alone and with the feed; what they eat follows from the mixture, and the mixture from it: four rounds."""

    diet = computed("Each day", "name", lambda row: row.item.name, "label", 0)
    feed_counted = computed("Feed counted? 1 yes, 0 no", "yes/no", lambda row: row.item.fed, "number0")
    feed_lb = _of("Feed, dry matter", "lb DM/day", "{feed_counted}*{asked_for.pounds}*N({asked.feed_dm})/100")
    eaten_1 = _eaten("Eaten in all, were it hay", "{asked.hay_tdn}")
    tdn_1 = _mixed("TDN of the mixture, first round", "{eaten_1}")
    eaten_2 = _eaten("Eaten in all, second round", "{tdn_1}")
    tdn_2 = _mixed("TDN of the mixture, second round", "{eaten_2}")
    eaten_3 = _eaten("Eaten in all, third round", "{tdn_2}")
    tdn_3 = _mixed("TDN of the mixture, third round", "{eaten_3}")
    eaten = _eaten("Eaten in all", "{tdn_3}", "result1")
    tdn = _mixed("TDN of what they eat", "{eaten}")
    hay_lb = _of("Hay eaten", "lb DM/day", "{eaten}-{feed_lb}", "result1")
    gain = _gain("Gain", "{eaten}", "{tdn}", "result2")
    upkeep = computed("Energy for upkeep (NEm)", "Mcal/day", calling("GROWING_NEED", '"NEm"', *HER, "{gain}", "{asked.grown}", unless=STOPPED), "number2")  # fmt: skip
    growth = computed("Energy in the gain (NEg)", "Mcal/day", calling("GROWING_NEED", '"NEg"', *HER, "{gain}", "{asked.grown}", unless=STOPPED), "number2")  # fmt: skip
    days = _of("Days to the weight they are to reach", "days",
        f'IF({{asked_for.target}}<={{asked_for.weight}},0,IF({{gain}}<{STILL},"never",({{asked_for.target}}-{{asked_for.weight}})*(1-shrink_pct/100)/{{gain}}))', "result1")  # fmt: skip
    asked, asked_for = another(lambda: Found), another(lambda: Asked)


class Ranges(Table[Diet]):
    """The protein of the gain, and how far the gain may be off."""

    diet = computed("Each day", "name", lambda row: row.item.name, "label", 0)
    cp_need = computed("CP that this gain needs", "lb/day", calling("GROWING_NEED", '"CP"', *HER, "{gains.gain}", "{asked.grown}", unless=STOPPED), "number2")  # fmt: skip
    cp_given = _of("CP eaten", "lb/day", "({gains.hay_lb}*{asked.hay_cp}+{gains.feed_lb}*N({asked.feed_cp}))/100")
    cp_short = _of("CP short", "lb/day", "MAX(0,{cp_need}-{cp_given})", "result2")
    off = _of("Margin of the TDN eaten", "% DM", "SQRT(({gains.hay_lb}*{asked.hay_off})^2+({gains.feed_lb}*N({asked.feed_off}))^2)/{gains.eaten}")  # fmt: skip
    low = _of("TDN at the low end", "% DM", f"MAX({POOREST},{{gains.tdn}}-{{off}})")
    high = _of("TDN at the high end", "% DM", f"MIN({RICHEST},{{gains.tdn}}+{{off}})")
    eaten_low, eaten_high = _eaten("Eaten at the low end", "{low}"), _eaten("Eaten at the high end", "{high}")
    gain_low = _gain("Gain at the low end", "{eaten_low}", "{low}", "result2")
    gain_high = _gain("Gain at the high end", "{eaten_high}", "{high}", "result2")
    feed_tdn_pct = _of("TDN from the feed", "% of body weight", "100*{gains.feed_lb}*N({asked.feed_tdn})/100/{asked_for.weight}")  # fmt: skip
    asked, asked_for = another(lambda: Found), another(lambda: Asked)
    gains = same_row(lambda: Gains)
