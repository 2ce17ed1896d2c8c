"""Answer working: every number and every word that What to feed shows, one line each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Content, Formula, call
from hayfuncs.workbook.page import Line, Page, heading, sentence
from hayfuncs.workbook.sheets.closecalls import CLOSE, SHORT
from hayfuncs.workbook.sheets.common import pick, stepped
from hayfuncs.workbook.sheets.dietcautions import Answer as RationAnswer
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.margins import Hays, Offered
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.sheets.ration import Ration
from hayfuncs.workbook.sheets.shortwords import LONGEST

NAME = "Answer working"
LONGEST_FEED = 26  # letters of a feed's name that the third line has room for
MOST_CORES = 60  # in all: a stack is seldom cored more often (common practice, no source)


def line(
    label: str, unit: str, *, style: str = "number1", name: str = ""
) -> Callable[[Callable[[Any], Content]], Line]:
    """A line whose function stands below it."""
    return lambda make: Line(label, unit, make, style, name=name)


class Working(Page):
    """From the working on Ration to the sentence, top to bottom."""

    ration, match = another(lambda: Ration), another(lambda: Match)
    lots, groups, feeds = another(lambda: Lots), another(lambda: Herd), another(lambda: Feeds)
    haymargins, feedmargins = another(lambda: Hays), another(lambda: Offered)

    first = heading("The dials, and what stands in their place while they are empty")

    @line("Protein of this hay", "% DM", style="number1")
    def own_protein(self) -> Content:
        return Formula(f"={pick(self.lots.cp, self.ration.lots)}")

    @line("Energy of this hay, TDN", "% DM", style="number1")
    def own_energy(self) -> Content:
        return Formula(f"={pick(self.lots.tdn, self.ration.lots)}")

    @line("Hay eaten, dry matter", "lb DM/day", style="number1")
    def own_eats(self) -> Content:
        pair = f"({self.ration.lots}-1)*group_count+{self.ration.herd}"
        return Formula(f"={pick(self.match.hay, pair)}")

    @line("Price of this feed", "$/ton as fed", style="money")
    def own_price(self) -> Content:
        price = pick(self.feeds.price, self.ration.feeds)
        return Formula(f'=IF(COUNT({price})=0,"none",{price})')

    @line("Dials that are set", "number", style="number0")
    def dials(self) -> Content:
        return Formula("=COUNT(dial_protein,dial_energy,dial_eats,dial_price)")

    @line("Said on the other sheets", "words", style="text", name="dials_told")
    def dials_told(self) -> Content:
        return Formula(f'=IF({self.dials}=0,"","Dials are on: this sheet shows the hays as tested")')

    second = heading("How sure: the margins of the chosen hay and feed", after=1)

    @line("Margin of the hay's TDN", "% DM", style="number2")
    def hay_tdn_margin(self) -> Content:
        return Formula(f"={pick(self.haymargins.tdn, self.ration.lots)}")

    @line("Margin of the hay's protein", "% DM", style="number2")
    def hay_cp_margin(self) -> Content:
        return Formula(f"={pick(self.haymargins.cp, self.ration.lots)}")

    @line("Margin of the feed's TDN", "% DM", style="number2")
    def feed_tdn_margin(self) -> Content:
        return Formula(f"={pick(self.feedmargins.tdn, self.ration.feeds)}")

    @line("Margin of the feed's protein", "% DM", style="number2")
    def feed_cp_margin(self) -> Content:
        return Formula(f"={pick(self.feedmargins.cp, self.ration.feeds)}")

    def _verdict(self, n: str, margin: str) -> Content:
        eaten, hay = self.ration.hay, getattr(self.ration, f"hay_{n}")
        return call("CLOSE_CALL", getattr(self.ration, f"{n}_need"), f"{eaten}*{hay}/100", f"{eaten}*{margin}/100")

    @line("On energy this hay is", "word", style="text")
    def energy(self) -> Content:
        return self._verdict("tdn", self.hay_tdn_margin)

    @line("On protein this hay is", "word", style="text")
    def protein(self) -> Content:
        return self._verdict("cp", self.hay_cp_margin)

    @line("In all: 1 short, 2 too close to call, 3 enough", "number", style="number0")
    def verdict(self) -> Content:
        short, close = (f'OR({self.energy}="{word}",{self.protein}="{word}")' for word in (SHORT, CLOSE))
        return Formula(f"=IF({short},1,IF({close},2,3))")

    third = heading("Pounds of this feed, rounded up to the step that is weighed out", after=1)

    def _one(self, n: str) -> Content:
        hay, feed = getattr(self.ration, f"hay_{n}"), getattr(self.ration, f"feed_{n}")
        reaches = f"OR({feed}>hay_displaced*{hay},{getattr(self.ration, f'{n}_short')}=0)"
        args = (getattr(self.ration, f"{n}_need"), self.ration.hay, hay, feed, "hay_displaced")
        return call("SUPPLEMENT_FOR_POUNDS", *args, unless=(f"NOT({reaches})", '"never"'))

    def _stepped(self, pounds: str) -> Content:
        return Formula(f'=IF(COUNT({pounds})=0,"never",{stepped(pounds)})')

    @line("For energy alone, dry matter", "lb DM/day", style="number2")
    def energy_dm(self) -> Content:
        return self._one("tdn")

    @line("For protein alone, dry matter", "lb DM/day", style="number2")
    def protein_dm(self) -> Content:
        return self._one("cp")

    def _fed(self, dm: str) -> Content:
        return Formula(f'=IF(COUNT({dm})=0,"never",{dm}*100/{self.ration.feed_dm})')

    @line("For energy alone, as fed", "lb as fed/day", style="number2")
    def energy_fed(self) -> Content:
        return self._fed(self.energy_dm)

    @line("For protein alone, as fed", "lb as fed/day", style="number2")
    def protein_fed(self) -> Content:
        return self._fed(self.protein_dm)

    @line("For energy alone, rounded up", "lb as fed/day", style="number2")
    def for_energy(self) -> Content:
        return self._stepped(self.energy_fed)

    @line("For protein alone, rounded up", "lb as fed/day", style="number2")
    def for_protein(self) -> Content:
        return self._stepped(self.protein_fed)

    @line("Feed for one head", "lb as fed/day", style="result2", name="hall_rate")
    def rate(self) -> Content:
        return self._stepped(self.ration.rate_pounds)

    @line("Feed for the group", "lb as fed/day", style="number0", name="hall_herd")
    def herd(self) -> Content:
        return Formula(f'=IF(COUNT({self.rate})=0,"never",{self.rate}*{self.ration.head})')

    @line("Cost for one head", "$/day", style="money", name="hall_cost")
    def cost(self) -> Content:
        price = self.ration.price
        return Formula(
            f'=IF(COUNT({self.rate})=0,"never",IF(COUNT({price})=0,"no price",{self.rate}*{price}/lb_per_ton))'
        )

    @line("Margin of the feed for one head", "lb as fed/day", style="number2", name="hall_margin")
    def margin(self) -> Content:
        r = self.ration
        hay = (r.hay, r.hay_tdn, r.hay_cp, r.feed_tdn, r.feed_cp, r.feed_dm, "hay_displaced")
        margins = (self.hay_tdn_margin, self.hay_cp_margin, self.feed_tdn_margin, self.feed_cp_margin)
        wide = f"OR(COUNT({r.rate_pounds})=0,{self._wide('tdn')},{self._wide('cp')})"
        return call(
            "SUPPLEMENT_MARGIN",
            '"pounds"',
            r.tdn_need,
            r.cp_need,
            *hay,
            *margins,
            unless=(wide, '"too wide to say"'),
        )

    def _wide(self, n: str) -> str:
        """The margins are wider than the feed is good, and the hay by itself is not surely enough."""
        hay_m, feed_m = getattr(self, f"hay_{n}_margin"), getattr(self, f"feed_{n}_margin")
        hay, feed = getattr(self.ration, f"hay_{n}"), getattr(self.ration, f"feed_{n}")
        sure = f"{self.ration.hay}*({hay}-{hay_m})<100*{getattr(self.ration, f'{n}_need')}"
        return f"AND({feed}-hay_displaced*({hay}+{hay_m})-{feed_m}<=0,{sure})"

    @line("From, rounded down", "lb as fed/day", style="number2", name="hall_low")
    def low(self) -> Content:
        less = f"MAX(0,{self.ration.rate_pounds}-{self.margin})"
        return Formula(f'=IF(COUNT({self.margin})=0,"not known",INT(ROUND({less}/feed_step_lb,6))*feed_step_lb)')

    @line("To, rounded up", "lb as fed/day", style="number2", name="hall_high")
    def high(self) -> Content:
        more = f"({self.ration.rate_pounds}+{self.margin})"
        return Formula(f'=IF(COUNT({self.margin})=0,"not known",{stepped(more)})')

    @line("By the percent method, rounded up", "lb as fed/day", style="number2")
    def percent(self) -> Content:
        return self._stepped(self.ration.rate_share)

    fourth = heading("What would settle a close call", after=1)

    @line("Which nutrient is close: 1 energy, 2 protein", "number", style="number0")
    def close_of(self) -> Content:
        return Formula(f'=IF({self.energy}="{CLOSE}",1,2)')

    @line("Hay less need, without sign", "% DM", style="number2")
    def apart(self) -> Content:
        eaten = self.ration.hay
        lacks = (
            f"100*{getattr(self.ration, f'{n}_need')}/{eaten}-{getattr(self.ration, f'hay_{n}')}" for n in ("tdn", "cp")
        )
        return Formula(f"=ABS(CHOOSE({self.close_of},{','.join(lacks)}))")

    @line("Margin that no core takes away", "% DM", style="number2")
    def least(self) -> Content:
        return Formula(
            f"=CHOOSE({self.close_of},{pick(self.haymargins.tdn_least, self.ration.lots)},margin_z*lab_sd_cp)"
        )

    @line("Spread from core to core", "% DM", style="number2")
    def core_sd(self) -> Content:
        return Formula(f"=CHOOSE({self.close_of},{pick(self.haymargins.tdn_core, self.ration.lots)},core_sd_cp)")

    @line("Margin that the cores may leave", "% DM", style="number2")
    def room(self) -> Content:
        return Formula(f"=SQRT(MAX(0,{self.apart}^2-{self.least}^2))")

    @line("Cores that would settle it, in all", "cores", style="number0")
    def cores(self) -> Content:
        none = f"OR({self.room}<=0,{self.core_sd}<=0)"
        return call(
            "CORES_FOR_MARGIN", self.core_sd, self.room, "confidence_pct", unless=(none, '"no number of cores"')
        )

    @line("Cores taken", "cores", style="number0")
    def taken(self) -> Content:
        return Formula(f"={pick(self.haymargins.cores, self.ration.lots)}")

    @line("Most cores worth taking", "cores", style="number0")
    def most(self) -> Content:
        return MOST_CORES

    @line("Was its digestibility measured?", "yes/no", style="number0")
    def measured(self) -> Content:
        return Formula(f"={pick(self.haymargins.summed, self.ration.lots)}")

    fifth = heading("The words", after=1)

    @sentence
    def settle(self) -> Content:
        test = f'IF(AND({self.close_of}=1,{self.measured}=0)," test NDF digestibility,"," have it tested again,")'
        helped = f"AND(COUNT({self.cores})=1,N({self.cores})<={self.most},N({self.cores})>{self.taken})"
        more = f'"Take "&ROUNDUP({self.cores}-{self.taken},0)&" more cores to settle it, or weigh the cattle."'
        return Formula(
            f'=IF({helped},{more},"More cores cannot settle it:"&{test}&" weigh the cattle, watch their condition.")'
        )

    @sentence
    def withheld(self) -> Content:
        return Formula('=IF(ration_withheld="","",ration_withheld)')

    @line("What is said: 1 no answer, 2 poor feed, 3 close, 4 feed, 5 enough", "number", style="number0")
    def case(self) -> Content:
        poor, close = f"COUNT({self.rate})=0", f"{self.verdict}=2"
        return Formula(f'=IF({self.withheld}<>"",1,IF({poor},2,IF({close},3,IF({self.rate}>0,4,5))))')

    @sentence
    def answer(self) -> Content:
        more = 'IF(chosen_cow_caution="","Feed ","At least ")'
        grown = 'IF(chosen_cow_caution="","Enough: no feed needed","Enough for a grown cow")'
        fed = f'{more}&{self.rate}&" lb a head a day"'
        return Formula(
            f'=CHOOSE({self.case},"No answer: a check fails","This feed is too poor","Too close to call",{fed},{grown})'
        )

    @sentence
    def second_line(self) -> Content:
        known = f"COUNT({self.low},{self.high})=2"
        span = f'IF({known},{self.low}&" to "&{self.high}&" lb, "&confidence_pct&" % sure","margin not known")'
        paid = f'IF(COUNT({self.cost})=0,"its price is not typed.",TEXT({self.cost},"$0.00")&" a head a day.")'
        herd = f'TEXT({self.herd},"#,##0")&" lb for "&{self.ration.head}&" head, "&{paid}'
        poor = '"No amount of "&chosen_feed&" covers the need: take a richer one."'
        close = f'{span}&". At "&{self.rate}&" lb: "&{paid}'
        fed = f'"("&{span}&"), "&{herd}'
        covers = f'"This hay covers "&{self._covers("tdn", "energy")}&" and "&{self._covers("cp", "protein")}&"."'
        whole = self.withheld  # its first sentence, where all of them would run out of the window
        why = f'IF(LEN({whole})<={LONGEST},{whole},LEFT({whole},MIN({LONGEST},FIND(". ",{whole}&". "))))'
        return Formula(f"=CHOOSE({self.case},{why},{poor},{close},{fed},{covers})")

    @sentence
    def third_line(self) -> Content:
        thin = '"These cows are thin, or have a first calf: they need more than this. Ask your vet."'
        gap = f'IF({self.ration.driver_pounds}="TDN",1,2)'
        brings = ",".join(
            f'TEXT({self.ration.hay}*{getattr(self.ration, f"hay_{n}")}/100,"{form}")&" of the "&TEXT({getattr(self.ration, f"{n}_need")},"{form}")&" lb of {what} needed."'
            for n, form, what in (("tdn", "0.0", "TDN"), ("cp", "0.00", "protein"))
        )  # fmt: skip
        named = f'IF(LEN(chosen_feed)>{LONGEST_FEED},""," of "&chosen_feed)'
        why = f'CHOOSE({gap},"Energy","Protein")&" sets the pounds"&{named}&": this hay brings "&CHOOSE({gap},{brings})'
        said = f'IF(chosen_cow_caution<>"",{thin},IF({self.case}=4,{why},""))'
        told = f'CHOOSE({self.case},"See Checks.","",{self.settle},{said},{said})'
        others = '"The name says that these are no cows: the need is a cow\'s. Give their class on Herd."'
        return Formula(f"=IF(AND({self.case}>1,{pick(self.groups.not_cows, self.ration.herd)}=1),{others},{told})")

    @sentence
    def caution(self) -> Content:
        return Formula(f'=IF({self.case}=1,"",{self.book.find(RationAnswer).gravest})')

    @sentence
    def cold_says(self) -> Content:
        cold = self.book.marks["ration"]["cold_tdn"]
        return Formula(
            f'=IF(OR({self.case}=1,COUNT({cold})=0),"","Cold is extra: at 0 deg F "&TEXT({cold},"0.0")&" lb more TDN")'
        )

    @sentence
    def percent_says(self) -> Content:
        needed = pick(self.groups.need_dm, self.ration.herd)
        eats = self.ration.hay
        here = f'"Percent method: "&{self.percent}&" lb. It counts on "&TEXT({needed},"0.0")&" lb eaten, dry; they eat "&TEXT({eats},"0.0")&" of hay, so the two differ."'
        never = '"Percent method: no amount of this feed brings the whole diet to the percent needed."'
        return Formula(f'=IF({self.case}=1,"",IF(COUNT({self.percent})=0,{never},{here}))')

    # titles of the hall's pictures do not speak of the numbers: LibreOffice shows a title as it was when the file was opened
    @sentence
    def bars_title(self) -> Content:
        return "Pounds of this feed for energy, for protein"

    @sentence
    def share_title(self) -> Content:
        return "% of the need: hay solid, feed hatched"

    @sentence
    def have_title(self) -> Content:
        parts = (f'TEXT(100*{self._share(n)},"0")&" % of {what}"' for n, what in (("tdn", "energy"), ("cp", "protein")))
        both = '&", "&'.join(parts)  # short: in one line over the bars
        return Formula(f'=IF({self.case}=1,"","Hay: "&{both})')

    def _covers(self, n: str, what: str) -> str:
        return f'TEXT(100*{self._share(n)},"0")&" % of the {what}"'

    def _share(self, n: str) -> str:
        """Of the need, what the hay brings."""
        return f"{self.ration.hay}*{getattr(self.ration, f'hay_{n}')}/100/{getattr(self.ration, f'{n}_need')}"
