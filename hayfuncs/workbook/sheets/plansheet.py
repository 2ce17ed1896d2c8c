"""Plan: pounds of each hay and feed for each group and month, to be changed by hand; Plain rule: the same by a rule.

Every other number of the winter plan is worked out from these rows.
"""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.winterplan import PlanRow
from hayfuncs.workbook.book import Book, Content, Flagging, Sheet, a1
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.grid import Grid, Ref, Row, listed, number
from hayfuncs.workbook.sheets.winterfeeds import IN_PLAN

SPARE_ROWS = 12  # for amounts that are added by hand
SLACK_LB = 0.005  # pounds a head and day that do not count as over a limit
PLACES = 6  # of the solved pounds: finer than any scale, and short enough to read
MOST_LB = 200
NOT_FOUND = "not found: pick month, group and feed from the lists"


def fill(book: Book, rows: Sequence[PlanRow], kept: int) -> None:
    """`kept` rows are left for an older workbook's amounts; without, the solved rows."""
    sheet = begin(
        book, "Plan", "The winter plan: what each group gets, month by month",
        "Pounds as fed, a head and a day, put out (waste included). Change any amount, or use the free rows at the end: all sheets follow.",
        "Inputs, then workings",
    )  # fmt: skip
    count = kept or len(rows)
    lines: list[PlanRow | None] = [*([] if kept else rows), *[None] * (count if kept else 0), *[None] * SPARE_ROWS]
    _table(book, sheet, "plan", lines, typed=True)


def fill_plain(book: Book, rows: Sequence[PlanRow], empty: int = 0) -> None:
    """`empty` rows are left for a plan that is not solved here."""
    sheet = begin(
        book, "Plain rule", "What a plain rule would feed, for comparison",
        "The best hay goes to the neediest group first, as much as she eats; what is short is covered by the one feed that does it cheapest. Solved when the workbook was made.",
        "Solved values, then workings",
    )  # fmt: skip
    _table(book, sheet, "plain", [*rows, *[None] * empty] or [None], typed=False)


def _table(book: Book, sheet: Sheet, mark: str, lines: Sequence[PlanRow | None], typed: bool) -> None:
    months, herd, sources = (book.marks[k] for k in ("months", "season_herd", "sources"))
    grid = Grid(sheet, len(lines))
    held: dict[str, list[Content]] = {
        "month": [r.period if r else None for r in lines], "group": [r.group if r else None for r in lines],
        "feed": [r.name if r else None for r in lines], "lb": [round(r.lb_head_day, PLACES) if r else None for r in lines],
    }  # fmt: skip
    if typed:
        grid.band("Typed in (solved first)")
        grid.ask(
            "month",
            "Month",
            "name",
            held["month"],
            listed("Month", "A month of the winter", months["label"]),
            "input_text",
            13,
        )
        grid.ask(
            "group",
            "Cow group",
            "name",
            held["group"],
            listed("Cow group", "A group of the sheet Herd", herd["name"]),
            "input_text",
            26,
        )
        grid.ask(
            "feed",
            "Hay or feed",
            "name",
            held["feed"],
            listed("Hay or feed", "A name of the sheet Winter feeds", sources["name"]),
            "input_text",
            26,
        )
        grid.ask(
            "lb",
            "Put out",
            "lb as fed/day",
            held["lb"],
            number("Put out", "Pounds as fed, a head and a day", 0, MOST_LB),
            "input2",
            11,
        )
    else:
        grid.band("Solved")
        for name, head, unit, style, width in (
            ("month", "Month", "name", "text", 13), ("group", "Cow group", "name", "text", 26), ("feed", "Hay or feed", "name", "text", 26),
            ("lb", "Put out", "lb as fed/day", "number2", 11),
        ):  # fmt: skip
            grid.add(name, head, unit, lambda r, v=held[name]: v[r.number - 1], style, width)  # type: ignore[misc]
    grid.band("Computed")
    grid.add("says", "What to look at", "words", _says, "small", 34)
    grid.add(
        "tons",
        "Put out, the group, the month",
        "tons as fed",
        lambda r: _if_ok(r, f"{r['lb']}*{_of(herd, 'head', r, 'g')}*{_of(months, 'days', r, 'm')}/lb_per_ton"),
        "number2",
    )
    grid.add("cost", "Cost", "$", lambda r: _if_ok(r, f"{r['taken']}*{_of(sources, 'counts', r, 's')}"), "money0", 11)
    grid.add("caution", "Cautions of the lot", "words", lambda r: _caution(book, r), "small", 30)
    grid.band("Workings")
    for name, head, table, column, what in (
        ("m", "Number of the month", months, "label", "month"),
        ("g", "Row of Winter herd", herd, "name", "group"),
        ("s", "Row of Winter feeds", sources, "name", "feed"),
    ):
        grid.add(name, head, "1", lambda r, t=table, c=column, w=what: _place(r[w], t[c]), "number0", 10)  # type: ignore[misc]
    grid.add(
        "ok",
        "Counted? 1 yes, 0 no",
        "yes/no",
        lambda r: f"=IF({r['m']}*{r['g']}*{r['s']}*N({r['lb']})>0,1,0)",
        "number0",
        10,
    )
    grid.add("lb_fed", "Pounds counted", "lb as fed/day", lambda r: f"=N({r['lb']})*{r['ok']}", "number2")
    grid.add(
        "kind",
        "Kind: 1 own hay, 2 bought, 3 feed",
        "1",
        lambda r: _if_ok(r, _of(sources, "kind", r, "s")),
        "number0",
        11,
    )
    grid.add("hay", "Hay? 1 yes, 0 no", "yes/no", lambda r: f"=IF(AND({r['kind']}>0,{r['kind']}<3),1,0)", "number0", 9)
    grid.add(
        "taken",
        "Taken from the stack, storage loss in it",
        "tons as fed",
        lambda r: _if_ok(r, f"{r['tons']}/(1-{_of(sources, 'loss', r, 's')}/100)"),
        "number2",
    )
    grid.add(
        "wasted",
        "Wasted at the feeder",
        "tons as fed",
        lambda r: _if_ok(r, f"{r['tons']}*{r['hay']}*{_of(herd, 'loss', r, 'g')}/100"),
        "number2",
    )
    eaten = "{lb}*{dm}/100*(1-{hay}*{loss}/100)"
    grid.add(
        "dry",
        "Eaten",
        "lb DM/day",
        lambda r: _if_ok(
            r, eaten.format(lb=r["lb"], hay=r["hay"], dm=_of(sources, "dm", r, "s"), loss=_of(herd, "loss", r, "g"))
        ),
        "number3",
    )
    grid.add("hay_dry", "Of it hay", "lb DM/day", lambda r: f"={r['dry']}*{r['hay']}", "number3")
    for name, head in (("tdn", "TDN"), ("cp", "CP"), ("ndf", "NDF of hay"), ("fat", "Fat"), ("s_lb", "Sulfur")):
        column = name.removesuffix("_lb")
        grid.add(
            name, head, "lb/day", lambda r, c=column: _if_ok(r, f"{r['dry']}*{_of(sources, c, r, 's')}/100"), "number3"
        )  # type: ignore[misc]
    grid.add(
        "most",
        "Most allowed a head",
        "lb as fed/day",
        lambda r: _if_ok(
            r,
            f"MIN({_of(sources, 'most_lb', r, 's')},{_of(sources, 'most_bw', r, 's')}/100*{_of(herd, 'weight', r, 'g')})",
        ),
        "number2",
    )
    all_dry, all_m, all_g = (_column(len(lines), k) for k in ("dry", "m", "g"))
    grid.add(
        "most_dry",
        "Most allowed in the diet",
        "lb DM/day",
        lambda r: _if_ok(
            r, f"{_of(sources, 'most_diet', r, 's')}/100*SUMIFS({all_dry(r)},{all_m(r)},{r['m']},{all_g(r)},{r['g']})"
        ),
        "number2",
    )
    grid.add(
        "over",
        "Over a limit? 1 yes, 0 no",
        "yes/no",
        lambda r: f"=IF(OR({r['lb_fed']}>{r['most']}+{SLACK_LB},{r['dry']}>{r['most_dry']}+{SLACK_LB}),1,0)",
        "number0",
        10,
    )
    grid.add(
        "barred",
        "Not in the plan? 1 yes, 0 no",
        "yes/no",
        lambda r: _if_ok(r, f'IF({_of(sources, "state", r, "s")}="{IN_PLAN}",0,1)'),
        "number0",
        10,
    )
    grid.done(mark)
    sheet.pages_wide = 2
    sheet.freeze = (FIRST, 4)
    area = (FIRST, grid_place(book, mark, "says"), FIRST + len(lines) - 1, grid_place(book, mark, "says"))
    sheet.flags += [Flagging(area, word, "flag_bad") for word in ("not", "over")]
    danger = grid_place(book, mark, "caution")
    sheet.flags += [Flagging((FIRST, danger, FIRST + len(lines) - 1, danger), "danger", "flag_warn")]


def grid_place(book: Book, table: str, mark: str) -> int:
    return int(book.marks[f"{table}_at"][mark])


def _column(n: int, mark: str) -> Ref:
    """The whole column of this table, from any of its rows."""
    return lambda r: f"{a1(FIRST, r.places[mark], 'rc')}:{a1(FIRST + n - 1, r.places[mark], 'rc')}"


def _of(table: dict[str, str], column: str, r: Row, place: str) -> str:
    return f"INDEX({table[column]},{r[place]})"


def _if_ok(r: Row, value: str) -> str:
    return f"=IF({r['ok']}=1,{value},0)"


def _place(what: str, column: str) -> str:
    """Where a name stands; 0 where it does not.  Not by MATCH alone: a * in a name would find others."""
    return f'=IF(SUMPRODUCT(({column}={what})*({column}<>""))=0,0,MATCH({what},{column},0))'


def _says(r: Row) -> str:
    """Bad names, then what is not allowed, then limits; an empty row says nothing."""
    lost = f'IF({r["month"]}&{r["group"]}&{r["feed"]}="","",IF(N({r["lb"]})=0,"nothing put out","{NOT_FOUND}"))'
    found = f'CHOOSE(1+{r["over"]}+2*{r["barred"]},"","over the limit of this feed","not allowed on Winter feeds","not allowed, and over its limit")'
    return f"=IF({r['ok']}=1,{found},{lost})"


def _caution(book: Book, r: Row) -> str:
    lots, sources = book.marks["lots"], book.marks["sources"]
    if "cautions" not in lots:
        return '=""'
    row = _of(sources, "row", r, "s")
    return f'=IF({r["ok"]}=0,"",IF({_of(sources, "kind", r, "s")}=1,INDEX({lots["cautions"]},{row})&"",""))'
