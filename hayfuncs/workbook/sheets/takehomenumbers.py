"""Take-home numbers: hay, bales, feed, buckets and dollars of each group's page, one row a group."""

from __future__ import annotations

from functools import partial

from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.page import Page, worked
from hayfuncs.workbook.sheets import doubts, takehomewords
from hayfuncs.workbook.sheets.closecalls import CLOSE as CLOSE_CALL
from hayfuncs.workbook.sheets.closecalls import Calls
from hayfuncs.workbook.sheets.common import begin, pick, stepped
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.takehomechosen import Chosen
from hayfuncs.workbook.table import Column, column, computed

NAME = "Take home numbers"
LONGEST = 7  # days that one setting out of bales may have to last
OVER_PCT = 5  # more hay set out than asked that is taken for fewer days between (our choice, no source)
CLOSE = 6  # decimals: 18.0000001 bales are 18
NEAR = "0.000000001"
TOO_POOR = "This feed is too poor to close the gap: choose a richer one."


def _over(row: Numbers, days: int) -> Content:
    """Hay set out over what is asked when bales are set out every so many days."""
    asked = f"({row.out_herd}*{days})"
    bales = f"ROUNDUP(ROUND({asked}/{row.bale},{CLOSE}),0)"
    return Formula(f"=IF({row.bale}*{row.out_herd}=0,0,100*({bales}*{row.bale}/{asked}-1))")


def _every(days: int) -> Column:
    told = "every day" if days == 1 else f"every {days} days"
    return computed(f"Over the need, bales {told}", "%", partial(_over, days=days))


class Numbers(Chosen):
    """One row a group, from the hay and feed that were chosen."""

    @column("Head", "head", style="number0", width=8, band="Cow and hay")
    def head(self) -> Content:
        return Formula(f"=N({pick(self.herd.head, self.group)})")

    @column("TDN need", "lb/day", style="number2")
    def need_tdn(self) -> Content:
        return Formula(f"={pick(self.herd.need_tdn, self.group)}")

    @column("CP need", "lb/day", style="number2")
    def need_cp(self) -> Content:
        return Formula(f"={pick(self.herd.need_cp, self.group)}")

    @column("Hay eaten to appetite", "lb DM/day", style="number2")
    def appetite(self) -> Content:
        return self.if_lot(pick(self.match.hay, self.match_row))

    @column("TDN of the hay", "% DM", style="number1")
    def hay_tdn(self) -> Content:
        return self.if_lot(pick(self.lots.tdn, self.lot))

    @column("CP of the hay", "% DM", style="number1")
    def hay_cp(self) -> Content:
        return self.if_lot(pick(self.lots.cp, self.lot))

    @column("Dry matter of the hay", "% as fed", style="number1")
    def hay_dm(self) -> Content:
        return self.if_lot(pick(self.lots.lab_dm_pct, self.lot))

    @column("TDN short on hay alone", "lb/day", style="number2")
    def short_tdn(self) -> Content:
        return self.if_lot(pick(self.match.tdn_short, self.match_row))

    @column("CP short on hay alone", "lb/day", style="number2")
    def short_cp(self) -> Content:
        return self.if_lot(pick(self.match.cp_short, self.match_row))

    @column("TDN of the feed", "% DM", style="number1", band="Feed")
    def feed_tdn(self) -> Content:
        return self.if_feed(self.feeds.tdn_pct)

    @column("CP of the feed", "% DM", style="number1")
    def feed_cp(self) -> Content:
        return self.if_feed(self.feeds.cp_pct)

    @column("Dry matter of the feed", "% as fed", style="number1")
    def feed_dm(self) -> Content:
        return self.if_feed(self.feeds.dm_pct)

    @column("Why this feed cannot be counted", "words", style="small", width=30)
    def cannot(self) -> Content:
        values = (self.need_tdn, self.need_cp, self.appetite, self.hay_tdn, self.hay_cp)
        lacking = f"COUNT({','.join((*values, self.feed_tdn, self.feed_cp, self.feed_dm))})<8"
        poor = ",".join(
            self.poor(*nutrient)
            for nutrient in (
                (self.need_tdn, self.hay_tdn, self.feed_tdn, self.short_tdn),
                (self.need_cp, self.hay_cp, self.feed_cp, self.short_cp),
            )
        )
        return Formula(f'=IF({lacking},"A value of hay, cattle or feed is missing.",IF(OR({poor}),"{TOO_POOR}",""))')

    @column("Feed, to the last digit", "lb as fed/day", style="number3")
    def exact(self) -> Content:
        hay, feed = (self.appetite, self.hay_tdn, self.hay_cp), (self.feed_tdn, self.feed_cp, self.feed_dm)
        unless = (f'{self.cannot}<>""', '"none"')
        return call(
            "SUPPLEMENT_RATE", '"pounds"', self.need_tdn, self.need_cp, *hay, *feed, "hay_displaced", unless=unless
        )

    @column("Feed, up to the step that is weighed out", "lb as fed/day", style="number2", width=14)
    def fed(self) -> Content:
        return Formula(f"=IF(ISNUMBER({self.exact}),{stepped(self.exact)},0)")

    @column("The same, dry matter", "lb DM/day", style="number2")
    def fed_dry(self) -> Content:
        return Formula(f"=IF({self.fed}=0,0,{self.fed}*{self.feed_dm}/100)")

    @column("What sets the feed", "word", style="text", width=12)
    def driver(self) -> Content:
        gains = (f"({self.feed_tdn}-hay_displaced*{self.hay_tdn})", f"({self.feed_cp}-hay_displaced*{self.hay_cp})")
        by = f"{self.short_cp}*{gains[0]}>{self.short_tdn}*{gains[1]}"
        return Formula(f'=IF({self.fed}=0,"none",IF({by},"protein","energy"))')

    @column("Feed for the group", "lb as fed/day", style="number1")
    def fed_herd(self) -> Content:
        return Formula(f"={self.fed}*{self.head}")

    @column("Whole buckets", "buckets", style="number0")
    def buckets(self) -> Content:
        return Formula(f"=IF(N(bucket_lb)>0,INT(ROUND({self.fed_herd}/N(bucket_lb),{CLOSE})),0)")

    @column("Pounds beside the whole buckets", "lb as fed/day", style="number1")
    def beside_buckets(self) -> Content:
        return Formula(f"={self.fed_herd}-{self.buckets}*N(bucket_lb)")

    @column("TDN over the need", "lb/day", style="number3")
    def over_tdn(self) -> Content:
        return self.surplus(self.need_tdn, self.hay_tdn, self.feed_tdn)

    @column("CP over the need", "lb/day", style="number3")
    def over_cp(self) -> Content:
        return self.surplus(self.need_cp, self.hay_cp, self.feed_cp)

    first_cautions, more_cautions, third_cautions, to_look_at = takehomewords.columns()

    @column("The feed's name in the feed book", "name", style="text", width=22)
    def booked(self) -> Content:
        return self.if_feed(self.feeds.booked)

    @column("Is it in the feed book? 1 yes, 0 no", "yes/no", style="number0", width=9)
    def filed_there(self) -> Content:
        limits = self.book.table_range("feeding_limits", "feed")
        return Formula(f"=IF(ISNUMBER(MATCH({self.booked},{limits},0)),1,0)")

    @column("Weight", "lb", style="number0")
    def weight(self) -> Content:
        return Formula(f"={pick(self.herd.weight, self.group)}")

    @column("Caution of the feed", "text", style="small", width=40)
    def feed_caution(self) -> Content:
        none = f'IF({self.fed}=0,"","No feeding limit is on file for this feed: ask the maker.")'
        unless = (f"OR({self.fed}=0,{self.filed_there}=0)", none)
        return call("FEED_CAUTION", self.booked, self.fed, self.weight, unless=unless)

    @column("Caution of the cows", "text", style="small", width=40)
    def cow_caution(self) -> Content:
        return Formula(f'={pick(self.herd.caution, self.group)}&""')

    @column("All cautions of the page", "text", style="small", width=60)
    def cautions(self) -> Content:
        hay = f'TRIM({self.first_cautions}&" "&{self.more_cautions}&" "&{self.third_cautions}&" "&{self.to_look_at})'
        said = takehomewords.of_hay(hay)
        for text, before in ((self.feed_caution, "The feed: "), (self.cow_caution, "The cattle: ")):
            said += f'&IF({text}="","",CHAR(10)&"{before}"&{takehomewords.without_end(text)})'
        return Formula(f"={said}")

    @column("Why no number is shown", "words", style="small", width=40, band="May it be shown?")
    def why(self) -> Content:
        no_hay = '"No hay can be chosen: look at Lots and at the cautions."'
        row = f"IF(ISNUMBER({self.lot}),{doubts.says(self.book, 'lots', self.lot)}&{doubts.says(self.book, 'herd', self.group)},{no_hay})"
        feed_row = f'IF(ISNUMBER({self.feed_row}),{doubts.says(self.book, "feeds", self.feed_row)},"The feed is not found: choose again. ")'
        rate = f'{self.cannot}&" "&IF(ISERROR({self.exact}),"{TOO_POOR} ","")'
        fed = f'IF(N({self.short_tdn})+N({self.short_cp})>0,{feed_row}&{rate},"")'
        danger = f'IF(ISNUMBER(SEARCH("danger,",{self.first_cautions}&{self.more_cautions}&{self.third_cautions})),"This hay is at danger: choose other hay. ","")'
        alone = f'IF({self.share}<100,"By its nitrate this hay is not fed alone: choose other hay. ","")'
        grain = f'IF(MID({self.feed_caution},1,6)="Danger","Too much of this feed: choose another. ","")'
        under = f'IF(MIN({self.over_tdn},{self.over_cp})<-{NEAR},"The page does not cover the need: see Checks. ","")'
        rows = f"TRIM({row}&{fed}&{danger}&{alone}&{grain}&{under})"
        return Formula(f'=IF({self.name}="","free row",IF(verdict_stop="",{rows},verdict_stop&". See Checks."))')

    @column("Shown? 1 yes, 0 no", "yes/no", style="number0", width=9)
    def shown(self) -> Content:
        return Formula(f'=IF({self.why}="",1,0)')

    @column("Shown without feed, and too close to call? 1 yes, 0 no", "yes/no", style="number0", width=9)
    def close(self) -> Content:
        word = pick(self.book.find(Calls).says, self.match_row)
        return Formula(f'=IF({self.shown}=0,0,IF(AND({self.fed}=0,{word}="{CLOSE_CALL}"),1,0))')

    @column("Hay eaten beside the feed", "lb DM/day", style="number2", band="Hay put out")
    def hay_dry(self) -> Content:
        return self.if_shown(f"MAX(0,{self.appetite}-hay_displaced*{self.fed_dry})")

    @column("The same as fed", "lb as fed/day", style="number2")
    def hay_eaten(self) -> Content:
        return call("AS_FED_WEIGHT", self.hay_dry, self.hay_dm, unless=(f"{self.shown}=0", "0"))

    @column("Wasted at the feeder", "%", style="number1")
    def wasted(self) -> Content:
        own, lot = pick(self.winter.loss, self.group), pick(self.stock.feeding_loss, self.lot)
        return self.if_shown(f"IF(ISNUMBER({own}),{own},IF(ISNUMBER({lot}),{lot},plan_feeding_unsaid))")

    @column("Hay to put out, whole pounds", "lb as fed/day", style="number0")
    def out(self) -> Content:
        return Formula(f"=ROUNDUP(ROUND({self.hay_eaten}/(1-{self.wasted}/100),{CLOSE}),0)")

    @column("Hay to put out for the group", "lb as fed/day", style="number0")
    def out_herd(self) -> Content:
        return Formula(f"={self.out}*{self.head}")

    @column("Bale of this hay, storage loss taken off", "lb as fed", style="number0", band="Bales")
    def bale(self) -> Content:
        """What it weighs when it is fed, as in the winter plan."""
        return self.if_shown(f"N({pick(self.register.weight, self.lot)})*{self.kept}")

    over_1, over_2, over_3, over_4, over_5, over_6, over_7 = (_every(days) for days in range(1, LONGEST + 1))

    @column("Days from one setting out to the next", "days", style="number0", width=14)
    def days(self) -> Content:
        """The fewest days for which whole bales are close to what is asked."""
        over = (self.over_1, self.over_2, self.over_3, self.over_4, self.over_5, self.over_6, self.over_7)
        first = "1"
        for cell in reversed(over[:-1]):
            first = f"IF({cell}<=bale_over_pct,1,1+{first})"
        area = f"{over[0]}:{over[-1]}"
        return Formula(f"=IF({self.bale}=0,0,IF(MIN({area})>bale_over_pct,MATCH(MIN({area}),{area},0),{first}))")

    @column("Bales to set out", "bales", style="number0")
    def bales(self) -> Content:
        return call("BALES_NEEDED", f"{self.out_herd}*{self.days}", self.bale, unless=(f"{self.bale}=0", "0"))

    @column("Hay, all the days", "lb as fed", style="number0", band="For the days on the page")
    def hay_lb(self) -> Content:
        return Formula(f"={self.out_herd}*page_days")

    @column("Hay, bales", "bales", style="number0")
    def hay_bales(self) -> Content:
        return call("BALES_NEEDED", self.hay_lb, self.bale, unless=(f"{self.bale}=0", "0"))

    @column("Hay, cost", "$", style="money")
    def hay_cost(self) -> Content:
        paid = pick(self.stock.paid, self.lot)
        none = f"IF({self.shown}=1,ISNUMBER({paid})=FALSE,TRUE)"
        return call("HAY_COST", self.hay_lb, paid, unless=(none, f'IF({self.shown}=1,"no price",0)'))

    @column("Feed, all the days", "lb as fed", style="number0")
    def feed_lb(self) -> Content:
        return self.if_shown(f"{self.fed_herd}*page_days")

    @column("Feed, cost", "$", style="money")
    def feed_cost(self) -> Content:
        price = pick(self.feeds.price, self.feed_row)
        return Formula(f'=IF({self.feed_lb}=0,0,IF(ISNUMBER({price}),{self.feed_lb}/lb_per_ton*{price},"no price"))')

    @column("A head a day, hay and feed", "$", style="money")
    def cow_day(self) -> Content:
        known = f"AND(COUNT({self.hay_cost},{self.feed_cost})=2,{self.shown}=1)"
        return Formula(f'=IF({known},({self.hay_cost}+{self.feed_cost})/({self.head}*page_days),"no price")')

    @column("All groups that are given this hay", "lb as fed/day", style="number0", band="The pile")
    def on_this_hay(self) -> Content:
        return self.if_shown(f"SUMPRODUCT(({self.whole(Numbers.lot)}={self.lot})*{self.whole(Numbers.out_herd)})")

    @column("How many groups those are", "groups", style="number0")
    def groups(self) -> Content:
        return self.if_shown(f"SUMPRODUCT(({self.whole(Numbers.lot)}={self.lot})*{self.whole(Numbers.shown)})")

    @column("Hay of this lot, storage loss taken off", "lb as fed", style="number0")
    def pile(self) -> Content:
        return self.if_shown(f"N({pick(self.stock.tons, self.lot)})*lb_per_ton*{self.kept}")

    @column("It lasts", "days", style="number0")
    def lasts(self) -> Content:
        return Formula(f"=IF({self.on_this_hay}=0,0,INT({self.pile}/{self.on_this_hay}))")

    @property
    def kept(self) -> str:
        """The part of what was stored that is there to be fed."""
        lost = pick(self.stock.storage_loss, self.lot)
        return f"(1-IF(ISNUMBER({lost}),{lost},plan_storage_unsaid)/100)"

    def if_shown(self, what: str) -> Formula:
        return Formula(f"=IF({self.shown}=1,{what},0)")

    def poor(self, need: str, hay: str, feed: str, short: str) -> str:
        """Whether no amount of the feed brings the nutrient, by the same tests as in SUPPLEMENT_RATE."""
        gain = f"{feed}-hay_displaced*{hay}"
        enough = f"{need}*hay_displaced<={self.appetite}*{feed}/100"
        return f"AND({short}>0,NOT(AND({gain}>0,{enough})))"

    def surplus(self, need: str, hay: str, feed: str) -> Formula:
        eaten = f"({self.appetite}-hay_displaced*{self.fed_dry})*{hay}/100"
        fed = f"IF({self.fed}=0,0,{self.fed_dry}*{feed}/100)"
        known = f"COUNT({self.exact},{self.appetite},{hay},{need})=4"
        return Formula(f"=IF({known},{eaten}+{fed}-{need},0)")


class Over(Page):
    most = worked("Most hay set out over the need", "%", OVER_PCT, "number0", name="bale_over_pct",
        why="Fewer days between are taken while whole bales come to no more than this over the need (our choice, no source).")  # fmt: skip


def fill(book: Book) -> Numbers:
    sheet = begin(
        book, NAME, "What stands behind the take-home pages",
        "One row is one group with the hay and feed chosen on Take home. Hay goes up to whole pounds and feed to the step that is weighed out, before the group's pounds are taken from them.",
        "Workings",
    )  # fmt: skip
    groups = book.find(Herd).n
    numbers = Numbers(sheet, range(1, groups + 1)).place(64).filed("take_home_numbers")
    Over(sheet, numbers.row_below + 1).place()
    return numbers
