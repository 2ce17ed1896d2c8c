"""The columns worked out for each row of a plan: one amount of one hay or feed for one group in one month.

In a formula {mark} is the cell of the same row, <table.column> the value that the row's month, group
or feed has in its table, [mark] the whole column; a leading ? means 0 where the row does not count.
"""

from __future__ import annotations

import re
from typing import Any

from hayfuncs.winter.problem import FULL_PCT
from hayfuncs.workbook.model import Book, Formula, a1
from hayfuncs.workbook.sheets.common import FIRST
from hayfuncs.workbook.sheets.grid import Grid, Row
from hayfuncs.workbook.sheets.winterfeeds import IN_PLAN

SLACK_LB = 0.005  # pounds a head and day that do not count as over a limit
TOGETHER = "nitrate together over"  # each hay may be within its own share, and all of them not
NOT_FOUND = "not found: pick month, group and feed from the lists"
PLACES = {"months": "m", "herd": "g", "sources": "s"}  # the column that holds a row's place in each table
SAYS = (
    '=IF({ok}=1,TRIM(IF({share_over}=1,"over its most share of the diet, by nitrate. ","")&'
    f'IF({{together}}=1,"{TOGETHER}. ","")&'
    'CHOOSE(1+{over}+2*{barred},"","over the limit of this feed","not allowed on Winter feeds","not allowed, and over its limit")),'
    f'IF({{month}}&{{group}}&{{feed}}="","",IF(N({{lb}})=0,"nothing put out","{NOT_FOUND}")))'
)
AT_DANGER = "Danger: "  # and by what
DANGERS = f'=IF({{kind}}=1,IF(<dangers>="","","{AT_DANGER}"&<dangers>&" Read Hazards first. ")&<cautions>,IF({{kind}}=2,<bought>&"",""))'
# mark, heading, unit, style, width, formula
RESULTS = (
    ("says", "What to look at", "words", "small", 28, SAYS),
    ("tons", "Put out, the group, the month", "tons as fed", "number2", 12, "?{lb_fed}*<herd.head>*<months.days>/lb_per_ton"),
    ("cost", "Cost", "$", "money0", 11, "?{taken}*N(<sources.counts>)"),
    ("caution", "Cautions of the lot", "words", "text_in", 50, DANGERS),
)  # fmt: skip
WORKINGS = (
    ("m", "Number of the month", "1", "number0", 10, "@{month}|months.label"),
    ("g", "Row of Winter herd", "1", "number0", 10, "@{group}|herd.name"),
    ("s", "Row of Winter feeds", "1", "number0", 10, "@{feed}|sources.name"),
    ("ok", "Counted? 1 yes, 0 no", "yes/no", "number0", 10, "=IF({m}*{g}*{s}*N({lb})>0,1,0)"),
    ("lb_fed", "Pounds counted", "lb as fed/day", "number2", 12, "=N({lb})*{ok}"),
    ("kind", "Kind: 1 own hay, 2 bought, 3 feed, 4 mineral", "1", "number0", 11, "?<sources.kind>"),
    ("hay", "Hay? 1 yes, 0 no", "yes/no", "number0", 9, "=IF(AND({kind}>0,{kind}<3),1,0)"),
    ("taken", "Taken from the stack, storage loss in it", "tons as fed", "number2", 12, "?{tons}/(<sources.kept>/100)"),
    ("lost", "Wasted at the feeder, of what is put out", "%", "number2", 12, "?IF({hay}=1,IF(ISNUMBER(<herd.loss>),<herd.loss>,<sources.wasted>),0)"),
    ("wasted", "Wasted at the feeder", "tons as fed", "number2", 12, "?{tons}*{hay}*{lost}/100"),
    ("dry", "Eaten", "lb DM/day", "number3", 12, "?{lb_fed}*<sources.dm>/100*(100-{lost})/100"),
    ("hay_dry", "Of it hay", "lb DM/day", "number3", 12, "={dry}*{hay}"),
    ("tdn", "TDN", "lb/day", "number3", 12, "?{dry}*<sources.tdn>/100"),
    ("cp", "CP", "lb/day", "number3", 12, "?{dry}*<sources.cp>/100"),
    ("ndf", "NDF of hay", "lb/day", "number3", 12, "?{dry}*<sources.ndf>/100"),
    ("fat", "Fat", "lb/day", "number3", 12, "?{dry}*<sources.fat>/100"),
    ("s_lb", "Sulfur", "lb/day", "number3", 12, "?{dry}*<sources.s>/100"),
    ("ca", "Calcium", "g/day", "number2", 12, "?IF({kind}=4,{lb_fed}*<sources.ca>,{dry}*<sources.ca>)/100*grams_per_lb"),
    ("p", "Phosphorus", "g/day", "number2", 12, "?IF({kind}=4,{lb_fed}*<sources.p>,{dry}*<sources.p>)/100*grams_per_lb"),
    ("most", "Most allowed a head", "lb as fed/day", "number2", 12, f"?IF(AND(<sources.grain>=1,<herd.least><{FULL_PCT:g}),0,MIN(<sources.most_lb>,<sources.most_bw>/100*<herd.weight>))"),
    ("most_dry", "Most allowed in the diet", "lb DM/day", "number2", 12, "?<sources.most_diet>/100*SUMIFS([dry],[m],{m},[g],{g})"),
    ("over", "Over a limit? 1 yes, 0 no", "yes/no", "number0", 10,
     f"=IF(OR({{lb_fed}}>{{most}}+{SLACK_LB},{{dry}}>{{most_dry}}+{SLACK_LB}),1,0)"),
    ("grain", "Of it starchy grain", "lb as fed/day", "number2", 12, "?{lb_fed}*<sources.grain>"),
    ("since", "Days since calving, first day of the month", "days", "number0", 12,
     "?<months.first>-<herd.calving>-days_per_year*INT((<months.first>-<herd.calving>)/days_per_year)"),
    ("calf", "May be in calf? 1 yes, 0 no", "yes/no", "number0", 10,
     "?IF(AND({since}>plan_calving_days/2,{since}+<months.days>-1<=conception_day-plan_calving_days/2),0,1)"),
    ("share", "This hay, of the diet's dry matter", "% DM", "number2", 12,
     "?100*SUMIFS([dry],[m],{m},[g],{g},[s],{s})/MAX(0.000001,SUMIFS([dry],[m],{m},[g],{g}))"),
    ("most_share", "Most allowed by its nitrate", "% DM", "number0", 12,
     f"?IF(AND(<herd.least><{FULL_PCT:g},IF({{calf}}=1,<sources.most_calf>,<sources.most_open>)<100),0,IF({{calf}}=1,<sources.most_calf>,<sources.most_open>))"),
    ("share_over", "Over that share? 1 yes, 0 no", "yes/no", "number0", 10,
     f"?IF(({{share}}-{{most_share}})/100*SUMIFS([dry],[m],{{m}},[g],{{g}})>{SLACK_LB},1,0)"),
    ("asks", "Diet dry matter that its nitrate asks for", "lb DM/day", "number2", 12,
     "?IF(AND({most_share}>0,{most_share}<100),{dry}*100/{most_share},0)"),
    ("together", "All hays' nitrate over? 1 yes, 0 no", "yes/no", "number0", 10,
     f"?IF(AND({{asks}}>0,SUMIFS([asks],[m],{{m}},[g],{{g}})>SUMIFS([dry],[m],{{m}},[g],{{g}})+{SLACK_LB}),1,0)"),
    ("barred", "Not in the plan? 1 yes, 0 no", "yes/no", "number0", 10, f'?IF(<sources.state>="{IN_PLAN}",0,1)'),
)  # fmt: skip


def add(book: Book, grid: Grid) -> None:
    """The results that a reader looks at, then the workings behind them."""
    tables = {"months": book.marks["months"], "herd": book.marks["season_herd"], "sources": book.marks["sources"]}
    tables |= {name: book.marks[name] for name in ("lots", "cautions", "offers")}
    for title, columns in (("Computed", RESULTS), ("Workings", WORKINGS)):
        grid.band(title)
        for mark, head, unit, style, width, formula in columns:
            seen = f"{style}_seen" if style.startswith(("number", "money")) else style
            grid.add(mark, head, unit, lambda r, f=formula: _spelled(r, f, tables, grid.n), seen, width)  # type: ignore[misc]  # bound early on purpose


def _spelled(r: Row, formula: str, tables: dict[str, dict[str, Any]], rows: int) -> Formula:
    def cell(match: re.Match[str]) -> str:
        return r[match.group(1)]

    def column(match: re.Match[str]) -> str:
        col = r.places[match.group(1)]
        return f"{a1(FIRST, col, 'rc')}:{a1(FIRST + rows - 1, col, 'rc')}"

    def looked_up(match: re.Match[str]) -> str:
        table, name = match.groups()
        return f"INDEX({tables[table][name]},{r[PLACES[table]]})"

    if formula.startswith("@"):
        what, _, place = formula[1:].partition("|")
        table, _, name = place.partition(".")
        earlier = tables[table].get("made", "")  # a lot or group that has been renamed is still the same
        return _place(re.sub(r"\{(\w+)\}", cell, what), tables[table][name], earlier)
    row = f"INDEX({tables['sources']['row']},{r['s']})"
    text = formula.replace("<cautions>", f"INDEX({tables['lots']['cautions']},{row})")
    text = text.replace("<dangers>", f"INDEX({tables['cautions']['dangers']},{row})")
    text = text.replace("<bought>", f"INDEX({tables['offers']['nitrate']},{row})")
    text = re.sub(r"<(\w+)\.(\w+)>", looked_up, text)
    text = re.sub(r"\[(\w+)\]", column, text)
    text = re.sub(r"\{(\w+)\}", cell, text)
    return Formula(f"=IF({r['ok']}=1,{text[1:]},0)" if text.startswith("?") else text)


def _place(what: str, column: str, earlier: str = "") -> Formula:
    """Where a name stands, else where it stood when the workbook was made; 0 where neither.

    Not by MATCH alone: a * in a name would find others.
    """
    found = "0"
    for names in filter(None, (earlier, column)):
        found = f'IF(SUMPRODUCT(({names}={what})*({names}<>""))=0,{found},MATCH({what},{names},0))'
    return Formula(f"={found}")
