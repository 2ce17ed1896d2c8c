"""Feed cost: what each feed on offer costs to close the chosen gap, and a pound of TDN and of CP in it."""

from __future__ import annotations

from hayfuncs.ration import feeds as feed_table
from hayfuncs.workbook.keyed import another, calling, nearby, same_row
from hayfuncs.workbook.model import Book, Flagging
from hayfuncs.workbook.page import Page, banner, heading, list_heads, sentence, worked
from hayfuncs.workbook.sheets import feedpictures
from hayfuncs.workbook.sheets.common import WITHHELD, begin, stepped
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.table import Column, Table, computed

OVER = "over its limit"
WIDTHS = (14, 40, 12, 12, 12, 12, 12, 36, 12, 36, 12, 18, 12, 12, 80, *[12] * 9)
CASE = (
    '"pounds"', "chosen_tdn_need", "chosen_cp_need", "chosen_hay_eaten", "chosen_hay_tdn", "chosen_hay_cp", "{tdn}", "{cp}", "{dm}", "hay_displaced",
)  # fmt: skip
CANNOT = ('{can}<>"yes"', '""')


class Gap(Page):
    """The gap, and the limit of every supplement."""

    column = 1
    gap = heading("The gap, and the limit of every supplement")
    heads = list_heads()
    tdn = worked("TDN need less what the hay gives", "lb/day", "=chosen_tdn_need-chosen_hay_eaten*chosen_hay_tdn/100", "number2")  # fmt: skip
    cp = worked("CP need less what the hay gives", "lb/day", "=chosen_cp_need-chosen_hay_eaten*chosen_hay_cp/100", "number2")  # fmt: skip
    limit = worked("Most TDN from supplement", "% of body weight", lambda page: feed_table.tdn_limit().value, why_look="text", why_at=4,
        why="Above it the diet always fell below the sum of hay and supplement (J. Anim. Sci. 1999, abstract).")  # fmt: skip


def _of_feeds(head: str, unit: str, mark: str, style: str = "number1") -> Column:
    value = f"{{feeds.{mark}}}"
    return computed(head, unit, f'=IF({value}="","",{value})', style)


class Results(Table[None]):
    """Every feed, in the order of Feeds."""

    feed = computed("Row of Feeds", "1", lambda row: row.number, "number0")
    name = computed("Feed", "name", '={feeds.name}&""', "text_in")
    price = _of_feeds("Price", "$/ton as fed", "price", "money")
    dm = _of_feeds("Dry matter", "% as fed", "dm_pct")
    tdn, cp = _of_feeds("TDN", "% DM", "tdn_pct"), _of_feeds("CP", "% DM", "cp_pct")
    rate = computed("Closes the gap at, up to what is weighed out", "lb as fed/day", f'=IF({{can}}="yes",{stepped("{works.exact}")},"")', "number2")  # fmt: skip
    can = computed("Can it close the gap?", "words", '=IF({name}="","",IF({works.why}="","yes","no: "&{works.why}))', "text_in")  # fmt: skip
    cost = computed("Cost a head a day", "$/day", '=IF({can}="yes",{rate}*{price}/lb_per_ton,"")', "money")
    driver = computed("Rate set by", "word", calling("SUPPLEMENT_DRIVER", *CASE, unless=CANNOT), "text_in")
    used = computed("Used of its tightest limit", "%", '=IF({can}="yes",MAX({works.of_lb}:{works.of_room}),"")', "number0")  # fmt: skip
    limit = computed("Within its limits?", "words", f'=IF({{can}}="yes",IF({{used}}>100,"{OVER}","within"),"")', "verdict")  # fmt: skip
    tdn_cost = _of_feeds("A pound of TDN costs", "$/lb", "tdn_cost", "number3")
    cp_cost = _of_feeds("A pound of CP costs", "$/lb", "cp_cost", "number3")
    caution = computed("Caution at this rate (on screen only; the chosen feed's stands on What to feed)", "text", calling(
            "FEED_CAUTION", "{feeds.booked}", "{rate}", "chosen_weight",
            unless=('OR({can}<>"yes",{works.filed_limits}=0)', 'IF({can}="yes","No feeding limit is on file for this feed: ask the maker and a nutritionist.","")'),
        ),
        "text")  # fmt: skip
    feeds = same_row(lambda: Feeds)
    works = same_row(lambda: Workings)


def _place(head: str, mark: str) -> Column:
    """The place of a price among all, the first of equal ones first; a feed without one has none."""
    return computed(head, "1", f'=IF(ISNUMBER({{out.{mark}}}),{PLACED.replace("KEY", mark)},"")', "number0")


def _limit(head: str, unit: str, column: str) -> Column:
    named = "({table[feeding_limits.feed]}={feeds.booked})"
    return computed(head, unit, f"=SUMPRODUCT({named}*{{table[feeding_limits.{column}]}})", "number2")


def _poor(head: str, key: str, short: str, words: str) -> Column:
    """Words where no amount of the feed brings the nutrient, the same tests as in SUPPLEMENT_RATE."""
    enough = f"chosen_{key}_need*hay_displaced<=chosen_hay_eaten*N({{out.{key}}})/100"
    return computed(head, "words", f'=IF(OR({{known}}=0,{short}=0,AND({{{key}_gain}}>0,{enough})),"","{words}")', "text_in")  # fmt: skip


PLACED = "RANK({out.KEY},{all.KEY},1)+COUNTIF({so_far.KEY},{out.KEY})-1"


class Workings(Table[None]):
    """How it was worked out, feed by feed in the same order."""

    feed = computed("Row of Feeds", "1", lambda row: row.number, "number0")
    name = computed("Feed", "name", "={out.name}", "text_in")
    known = computed("All typed in?", "yes/no", '=IF(AND({out.name}<>"",COUNT({out.price}:{out.cp})=4,N({out.dm})>0),1,0)', "number0")  # fmt: skip
    exact = computed("Closes the gap at, to the last digit", "lb as fed/day", calling("SUPPLEMENT_RATE", *(arg.replace("{", "{out.") for arg in CASE), unless=('{out.can}<>"yes"', '""')), "number3")  # fmt: skip
    tdn_gain = computed("TDN a pound brings, less the hay it displaces", "% DM", "=N({out.tdn})-hay_displaced*chosen_hay_tdn", "number2")  # fmt: skip
    cp_gain = computed("CP a pound brings, less the hay it displaces", "% DM", "=N({out.cp})-hay_displaced*chosen_hay_cp", "number2")  # fmt: skip
    tdn_poor = _poor("Energy", "tdn", "energy_short", "too little TDN")
    cp_poor = _poor("Protein", "cp", "protein_short", "too little CP")
    # the rate for one nutrient takes away too much hay that carries the other
    thin = computed("The other nutrient", "words",
        '=IF(AND({known}=1,{tdn_poor}&{cp_poor}="",OR(AND({gap.tdn}>0,{gap.cp}<=0,{gap.cp}*{tdn_gain}>{gap.tdn}*{cp_gain}),'
        'AND({gap.cp}>0,{gap.tdn}<=0,{gap.tdn}*{cp_gain}>{gap.cp}*{tdn_gain}))),"displaces too much hay","")', "text")  # fmt: skip
    filed_limits = computed("Limits on file?", "yes/no", "=COUNTIF({table[feeding_limits.feed]},{feeds.booked})", "number0")  # fmt: skip
    why = computed("Why it cannot", "words",
        '=IF({known}=1,{tdn_poor}&IF(AND({tdn_poor}<>"",{cp_poor}<>"")," and ","")&{cp_poor}&{thin},"not all typed in")', "text_in")  # fmt: skip
    by_lb = _limit("Most a head (0: none on file)", "lb as fed/day", "limit_lb_day")
    by_weight = _limit("Most by weight (0: none on file)", "% of body weight", "limit_pct_bw")
    by_diet = _limit("Most of the diet (0: none on file)", "%", "limit_pct_diet")
    share = computed("Share of the diet", "%",
        '=IF({out.can}="yes",100*{out.rate}*{out.dm}/100/(chosen_hay_eaten+(1-hay_displaced)*{out.rate}*{out.dm}/100),0)')  # fmt: skip
    label = computed("Name in the picture", "text",
        f'={{out.name}}&IF({{out.limit}}="{OVER}"," ({OVER})",IF(OR({{out.can}}="yes",{{out.can}}=""),""," ("&{{out.can}}&")"))', "text")  # fmt: skip
    of_lb = computed("Used of the pounds", "%", "=IF({by_lb}=0,0,100*N({out.rate})/{by_lb})", "number0")
    of_weight = computed("Used of the weight's share", "%", "=IF({by_weight}=0,0,100*N({out.rate})/({by_weight}/100*chosen_weight))", "number0")  # fmt: skip
    of_diet = computed("Used of the diet's share", "%", "=IF({by_diet}=0,0,100*{share}/{by_diet})", "number0")
    of_tdn = computed("Used of the TDN limit", "%", "=100*N({out.rate})*N({out.dm})/100*N({out.tdn})/100/({gap.limit}/100*chosen_weight)", "number0")  # fmt: skip
    of_room = computed("Used of the room for supplement", "%", "=100*N({out.rate})*N({out.dm})/100/(mix_room_pct_bw/100*chosen_weight)", "number0")  # fmt: skip
    kept_cost = computed("Cost, where within its limits", "$/day", '=IF({out.limit}="within",{out.cost},"")', "money")
    # feeds that can, by their cost; below them those that cannot, in the order of Feeds
    rank = computed("Place by cost a day", "1",
        f'=IF({{out.can}}="","",IF({{out.can}}="yes",{PLACED.replace("KEY", "cost")},COUNT({{all.cost}})+COUNTIF({{so_far.can}},"no*")))', "number0")  # fmt: skip
    tdn_rank, cp_rank = _place("Place by price of TDN", "tdn_cost"), _place("Place by price of CP", "cp_cost")
    feeds = same_row(lambda: Feeds)
    out = same_row(lambda: Results)
    all = nearby(lambda: Results)

    @property
    def so_far(self) -> Results:
        return self.same(Results).down_to

    gap = another(lambda: Gap)


def _ranked(head: str, key: str) -> Column:
    return computed(head, "name", f'=IF({{place_of}}>COUNT({{works.{key}}}),"",INDEX({{works.label}},MATCH({{place_of}},{{works.{key}}},0)))', "text_in")  # fmt: skip


def _priced(head: str, key: str) -> Column:
    return computed(head, "$/lb", f"=IF({{place_of}}>COUNT({{out.{key}}}),0,SMALL({{out.{key}}},{{place_of}}))", "number3_seen")  # fmt: skip


class Sorted(Table[None]):
    """Behind the pictures, cheapest first."""

    heads_height, units_height = 50, 0
    place_of = computed("Place", "1", lambda row: row.number, "number0")
    name = computed("Feed, cheapest a day first", "name", '=IF({feed}="","",INDEX({works.label},{feed}))', "text_in")
    feed = computed("Row of Feeds", "1", '=IF({place_of}>COUNT({works.rank}),"",MATCH({place_of},{works.rank},0))', "number0")  # fmt: skip
    rate = computed("Closes the gap at", "lb as fed/day", '=IF({feed}="","",INDEX({out.rate},{feed}))', "number2")
    within = computed("Cost, within its limits", "$/day", '=IF({feed}="",0,{cost}*(1-{over_limit}))', "money_seen")
    over = computed("Cost, over its limit", "$/day", '=IF({feed}="",0,{cost}*{over_limit})', "money_seen")
    driver = computed("Rate set by", "word", '=IF({feed}="","",INDEX({out.driver},{feed}))', "text_in")
    by_tdn, tdn_price = _ranked("Feed, cheapest TDN first", "tdn_rank"), _priced("A pound of TDN", "tdn_cost")
    by_cp, cp_price = _ranked("Feed, cheapest CP first", "cp_rank"), _priced("A pound of CP", "cp_cost")
    cost = "N(INDEX({out.cost},{feed}))"
    over_limit = f'(INDEX({{out.limit}},{{feed}})="{OVER}")'
    works = nearby(lambda: Workings)
    out = nearby(lambda: Results)


def _title(nutrient: str, key: str) -> str:
    cheapest = f'INDEX({{in_order.by_{key}}},1)&" for "&TEXT(INDEX({{in_order.{key}_price}},1),"$0.00")'
    return f'=IF(COUNT({{out.{key}_cost}})=0,"No price of {nutrient} is known","Cheapest pound of {nutrient}: "&{cheapest})'


class Findings(Page):
    """What the pictures say."""

    column = 1
    found = heading("What the pictures say")
    heads = list_heads()
    named = worked("Feeds named on Feeds", "1", '=COUNTIF({out.can},"yes")+COUNTIF({out.can},"no*")', "number0")
    able = worked("can close the gap", "1", "=COUNT({out.cost})", "number0")
    over = worked("of these over a limit", "1", f'=COUNTIF({{out.limit}},"{OVER}")', "number0")
    within = worked("within their limits", "1", "=COUNT({works.kept_cost})", "number0")
    least = worked("Least cost within the limits", "$/day", "=MIN({works.kept_cost})", "money")
    best = worked("Row of Feeds of that feed", "1", '=IF({within}=0,"none",MATCH({least},{works.kept_cost},0))', "number0")  # fmt: skip
    tdn = worked("", None, _title("TDN", "tdn"), "text", look="", after=1)
    cp = worked("", None, _title("CP", "cp"), "text", look="")
    limits = sentence(
        "Limits: pounds a head, share of body weight and of the diet where on file; for every feed 0.7 % of body weight of TDN, and the room for supplement on Assumptions.", after=1)  # fmt: skip
    no_proof = sentence(
        "Within its limits is no proof of safety, and fat and sulfur of the whole diet stand on Ration cautions: read the cautions of the feed you take. The veterinarian has the last word.")  # fmt: skip
    works = nearby(lambda: Workings)
    out = nearby(lambda: Results)
    in_order = nearby(lambda: Sorted)


class Answer(Page):
    """The two lines above the pictures."""

    framed = 14
    cheapest = banner(
        f"=IF({WITHHELD[0]},{WITHHELD[1]},"
        'IF(MAX(energy_short,protein_short)=0,"No supplement is needed: "&chosen_lot&" is enough for "&chosen_group&" by itself.",'
        'IF({found.within}=0,"No feed on Feeds closes the gap by itself within its limits.",'
        '"Cheapest within its limit: "&INDEX({found.out.name},{found.best})&", "&TEXT({found.least},"$0.00")&" a head a day.")))'
    )
    counts = banner(
        f'=IF({WITHHELD[0]},"",'
        '{found.within}&" of "&{found.named}&" feeds close it within their limits, "&{found.over}&" would be over a limit alone"&IF({found.named}={found.able},"",", "&({found.named}-{found.able})&" cannot")&". Chosen: "&chosen_feed&IF(COUNT(hall_cost)=1,", "&TEXT(N(hall_cost),"$0.00")&".","."))'
    )
    found = another(lambda: Findings)


def fill(book: Book) -> None:
    others = " The winter plan may take others: it weighs every group and month." if book.kind == "plan" else ""
    sheet = begin(book, "Feed cost", "What does each feed cost to close the gap?",
        f"The lot and the group chosen on What to feed, every feed of the sheet Feeds by itself, at its price there.{others}",
        "Result")  # fmt: skip
    sheet.zoom = 120
    sheet.width(*WIDTHS)
    sheet.freeze = (3, 0)
    rows = [None] * book.find(Feeds).n
    first, second, top = feedpictures.rows(len(rows))
    in_order = Sorted(sheet, rows, heads_at=top)
    out = Results(sheet, rows, heads_at=in_order.row_below + 3)
    works = Workings(sheet, rows, heads_at=out.row_below + 3)
    gap = Gap(sheet, works.row_below + 2)
    found = Findings(sheet, gap.row_below + 1)
    answer = Answer(sheet)
    sheet.printed_cols = out.col(Results.cp_cost) + 1
    sheet.printed_rows = second - 1  # what a pound costs, and the tables behind the pictures, are for the screen
    sheet.page_breaks = [in_order.row_above, out.row_above]
    in_order.place(title="Tables behind the pictures, cheapest first")
    out.place(title="Every feed on Feeds")
    works.place(title="Workings behind it, feed by feed in the same order")
    for page in (gap, answer, found):
        page.place()
    area = out.area(Results.limit)
    sheet.flags += [Flagging(area, OVER, "flag_bad"), Flagging(area, "within", "flag_good")]
    out.filed("feedcost")
    book.marks["feedcost"] |= {
        "banner": answer.cheapest, "counts": answer.counts, "TDN": found.tdn, "CP": found.cp, "place": works.rank, "sorted": in_order.name,
        "sorted_within": in_order.within, "sorted_over": in_order.over, "by_tdn": in_order.by_tdn, "tdn_prices": in_order.tdn_price,
        "by_cp": in_order.by_cp, "cp_prices": in_order.cp_price,
    }  # fmt: skip
    costs = (answer.cheapest, in_order.name, in_order.within, in_order.over)
    ladders = ((found.tdn, in_order.by_tdn, in_order.tdn_price), (found.cp, in_order.by_cp, in_order.cp_price))
    feedpictures.draw(sheet, (first, second), len(rows), costs, *ladders)
