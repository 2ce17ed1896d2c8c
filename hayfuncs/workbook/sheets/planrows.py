"""The columns of a plan: one amount of one hay or feed for one group in one month, and what is worked out of it.

In a formula <herd.head> is the value that the row's month, group or feed has in its table, [dry] the whole column;
a leading ? means 0 where the row does not count.
"""

from __future__ import annotations

import re

from hayfuncs.winter.cautions import WEIGHED
from hayfuncs.winter.evaluate import PlanRow
from hayfuncs.winter.problem import FULL_PCT
from hayfuncs.workbook.keyed import another
from hayfuncs.workbook.model import Content
from hayfuncs.workbook.sheets.cautions import Cautions
from hayfuncs.workbook.sheets.grid import listed, number
from hayfuncs.workbook.sheets.haytobuy import HayToBuy
from hayfuncs.workbook.sheets.herd import NeedByClass
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.winter import FIRST_DAY, Months, WinterHerd
from hayfuncs.workbook.sheets.winterfeeds import IN_PLAN, WinterFeeds
from hayfuncs.workbook.table import Column, Table, asked, computed

DIGITS = WEIGHED  # of the solved pounds, as they are judged
MOST_LB = 200
SLACK_LB = 0.005  # pounds a head and day that do not count as over a limit
TOGETHER = "nitrate together over"  # each hay may be within its own share, and all of them not
NOT_FOUND = "not found: pick month, group and feed from the lists"
PLACES = {"months": "m", "herd": "g", "by": "g", "sources": "s"}  # the column that holds a row's place in each table
SAYS = (
    '=IF({ok}=1,TRIM(IF({share_over}=1,"over its most share of the diet, by nitrate. ","")&'
    f'IF({{together}}=1,"{TOGETHER}. ","")&'
    'CHOOSE(1+{over}+2*{barred},"","over the limit of this feed","not allowed on Winter feeds","not allowed, and over its limit")),'
    f'IF({{month}}&{{group}}&{{feed}}="","",IF(N({{lb}})=0,"nothing put out","{NOT_FOUND}")))'
)
AT_DANGER = "Danger: "  # and by what
DANGERS = f'=IF({{kind}}=1,IF(INDEX({{cautions.dangers}},<sources.line>)="","","{AT_DANGER}"&INDEX({{cautions.dangers}},<sources.line>)&" Read Hazards first. ")&INDEX({{lots.cautions}},<sources.line>),IF({{kind}}=2,INDEX({{offers.nitrate}},<sources.line>)&"",""))'


def _spelled(formula: str) -> str:
    """A formula by key."""
    text = re.sub(r"<(\w+)\.(\w+)>", lambda m: f"INDEX({{{m[1]}.{m[2]}}},{{{PLACES[m[1]]}}})", formula)
    text = re.sub(r"\[(\w+)\]", r"{local.\1}", text)
    return f"=IF({{ok}}=1,{text[1:]},0)" if text.startswith("?") else text


def place_in(what: str, column: str, earlier: str = "") -> str:
    """Where a name stands, else where it stood when the workbook was made; 0 where neither.

    Not by MATCH alone: a * in a name would find others.
    """
    found = "0"
    for names in (f"{{{earlier}}}", f"{{{column}}}") if earlier else (f"{{{column}}}",):
        # a name of earlier leads to a row that still has one
        found = f'IF(SUMPRODUCT(({names}={what})*({names}<>"")*({{{column}}}<>""))=0,{found},MATCH({what},{names},0))'
    return f"={found}"


def pounds(row: PlanRows) -> Content:
    return None if row.item is None else round(row.item.lb_head_day, DIGITS)


class PlanRows(Table[PlanRow | None]):
    """The results that a reader looks at, then the workings behind them."""

    frozen = 4
    month = asked("Month", "name", listed("Month", "A month of the winter", "{months.label}"), "input_text", 24, of="period", band="Solved for you; type over it")  # fmt: skip
    group = asked("Cow group", "name", listed("Cow group", "A group of the sheet Herd", "{herd.name}"), "input_text", 26)  # fmt: skip
    feed = asked("Hay or feed", "name", listed("Hay or feed", "A name of the sheet Winter feeds", "{sources.name}"), "input_text", 26, of="name")  # fmt: skip
    lb = asked("Put out", "lb as fed/day", number("Put out", "Pounds as fed, a head and a day", 0, MOST_LB), "input2", 11, of=pounds)  # fmt: skip
    says = computed("What to look at", "words", _spelled(SAYS), "small", 28, band="Computed")  # fmt: skip
    tons = computed("Put out, the group, the month", "tons as fed", _spelled("?{lb_fed}*<herd.head>*<months.days>/lb_per_ton"), "number2_seen")  # fmt: skip
    cost = computed("Cost", "$", _spelled("?{taken}*N(<sources.counts>)"), "money0_seen", 11)  # fmt: skip
    caution = computed("Cautions of the lot", "words", _spelled(DANGERS), "text_in", 50)  # fmt: skip
    m = computed("Number of the month", "1", place_in("{month}", "months.label"), "number0_seen", 10, band="Workings")  # fmt: skip
    g = computed("Row of Winter herd", "1", place_in("{group}", "herd.name", "herd.made"), "number0_seen", 10)  # fmt: skip
    s = computed("Row of Winter feeds", "1", place_in("{feed}", "sources.name", "sources.made"), "number0_seen", 10)  # fmt: skip
    ok = computed("Counted? 1 yes, 0 no", "yes/no", _spelled("=IF({m}*{g}*{s}*N({lb})>0,1,0)"), "number0_seen", 10)  # fmt: skip
    lb_fed = computed("Pounds counted", "lb as fed/day", _spelled("=N({lb})*{ok}"), "number2_seen")  # fmt: skip
    kind = computed("Kind: 1 own hay, 2 bought, 3 feed, 4 mineral", "1", _spelled("?<sources.kind>"), "number0_seen", 11)  # fmt: skip
    hay = computed("Hay? 1 yes, 0 no", "yes/no", _spelled("=IF(AND({kind}>0,{kind}<3),1,0)"), "number0_seen", 9)  # fmt: skip
    taken = computed("Taken from the stack, storage loss in it", "tons as fed", _spelled("?{tons}/(<sources.kept>/100)"), "number2_seen")  # fmt: skip
    lost = computed("Wasted at the feeder, of what is put out", "%", _spelled("?IF({hay}=1,IF(ISNUMBER(<herd.loss>),<herd.loss>,<sources.wasted>),0)"), "number2_seen")  # fmt: skip
    wasted = computed("Wasted at the feeder", "tons as fed", _spelled("?{tons}*{hay}*{lost}/100"), "number2_seen")  # fmt: skip
    dry = computed("Eaten", "lb DM/day", _spelled("?{lb_fed}*<sources.dm>/100*(100-{lost})/100"), "number3_seen")  # fmt: skip
    hay_dry = computed("Of it hay", "lb DM/day", _spelled("={dry}*{hay}"), "number3_seen")  # fmt: skip
    tdn = computed("TDN", "lb/day", _spelled("?{dry}*<sources.tdn>/100"), "number3_seen")  # fmt: skip
    cp = computed("CP", "lb/day", _spelled("?{dry}*<sources.cp>/100"), "number3_seen")  # fmt: skip
    ndf = computed("NDF of hay", "lb/day", _spelled("?{dry}*<sources.ndf>/100"), "number3_seen")  # fmt: skip
    fat = computed("Fat", "lb/day", _spelled("?{dry}*<sources.fat>/100"), "number3_seen")  # fmt: skip
    s_lb = computed("Sulfur", "lb/day", _spelled("?{dry}*<sources.s>/100"), "number3_seen")  # fmt: skip
    ca = computed("Calcium", "g/day", _spelled("?IF({kind}=4,{lb_fed}*<sources.ca>,{dry}*<sources.ca>)/100*grams_per_lb"), "number2_seen")  # fmt: skip
    p = computed("Phosphorus", "g/day", _spelled("?IF({kind}=4,{lb_fed}*<sources.p>,{dry}*<sources.p>)/100*grams_per_lb"), "number2_seen")  # fmt: skip
    most = computed("Most allowed a head", "lb as fed/day", _spelled(f"?IF(AND(<sources.grain>=1,<herd.least><{FULL_PCT:g}),0,MIN(<sources.most_lb>,<sources.most_bw>/100*{FIRST_DAY}))"), "number2_seen")  # fmt: skip
    most_dry = computed("Most allowed in the diet", "lb DM/day", _spelled("?<sources.most_diet>/100*SUMIFS([dry],[m],{m},[g],{g})"), "number2_seen")  # fmt: skip
    over = computed("Over a limit? 1 yes, 0 no", "yes/no", _spelled(f"=IF(OR({{lb_fed}}>{{most}}+{SLACK_LB},{{dry}}>{{most_dry}}+{SLACK_LB}),1,0)"), "number0_seen", 10)  # fmt: skip
    grain = computed("Of it starchy grain", "lb as fed/day", _spelled("?{lb_fed}*<sources.grain>"), "number2_seen")  # fmt: skip
    since = computed("Days since calving, first day of the month", "days", _spelled("?<months.first>-<herd.calving>-days_per_year*INT((<months.first>-<herd.calving>)/days_per_year)"), "number0_seen")  # fmt: skip
    calf = computed("May be in calf? 1 yes, 0 no", "yes/no", _spelled("?IF(OR(<by.way>=3,AND({since}>plan_calving_days/2,{since}+<months.days>-1<=conception_day-plan_calving_days/2)),0,1)"), "number0_seen", 10)  # fmt: skip
    share = computed("This hay, of the diet's dry matter", "% DM", _spelled("?100*SUMIFS([dry],[m],{m},[g],{g},[s],{s})/MAX(0.000001,SUMIFS([dry],[m],{m},[g],{g}))"), "number2_seen")  # fmt: skip
    most_share = computed("Most allowed by its nitrate", "% DM", _spelled(f"?IF(AND(<herd.least><{FULL_PCT:g},IF({{calf}}=1,<sources.most_calf>,<sources.most_open>)<100),0,IF({{calf}}=1,<sources.most_calf>,<sources.most_open>))"), "number0_seen")  # fmt: skip
    share_over = computed("Over that share? 1 yes, 0 no", "yes/no", _spelled(f"?IF(({{share}}-{{most_share}})/100*SUMIFS([dry],[m],{{m}},[g],{{g}})>{SLACK_LB},1,0)"), "number0_seen", 10)  # fmt: skip
    asks = computed("Diet dry matter that its nitrate asks for", "lb DM/day", _spelled("?IF(AND({most_share}>0,{most_share}<100),{dry}*100/{most_share},0)"), "number2_seen")  # fmt: skip
    together = computed("All hays' nitrate over? 1 yes, 0 no", "yes/no", _spelled(f"?IF(AND({{asks}}>0,SUMIFS([asks],[m],{{m}},[g],{{g}})>SUMIFS([dry],[m],{{m}},[g],{{g}})+{SLACK_LB}),1,0)"), "number0_seen", 10)  # fmt: skip
    barred = computed("Not in the plan? 1 yes, 0 no", "yes/no", _spelled(f'?IF(<sources.state>="{IN_PLAN}",0,1)'), "number0_seen", 10)  # fmt: skip
    months, herd, sources = another(lambda: Months), another(lambda: WinterHerd), another(lambda: WinterFeeds)
    by = another(lambda: NeedByClass)
    lots, cautions, offers = another(lambda: Lots), another(lambda: Cautions), another(lambda: HayToBuy)


def _solved(head: str, of: str, width: float, band: str = "") -> Column:
    return computed(head, "name", lambda row: row.item and getattr(row.item, of), "text", width, band)


class PlainRows(PlanRows):
    """The same of a plan that is shown and not typed."""

    month = _solved("Month", "period", 24, "Solved")
    group, feed = _solved("Cow group", "group", 26), _solved("Hay or feed", "name", 26)
    lb = computed("Put out", "lb as fed/day", pounds, "number2", 11)
