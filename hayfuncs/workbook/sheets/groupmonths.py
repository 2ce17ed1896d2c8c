"""Group months: what each group needs in each month, what the plan gives, and what is short."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Flagging, Formula, call
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.grid import Grid, Maker, Row
from hayfuncs.workbook.sheets.planrows import SLACK_LB, TOGETHER

NARROW = 10
MEETS = "meets every need"
OUTSIDE = "not in this winter"
SUMS = (  # of the plan's rows: mark, heading, unit, column
    ("tdn", "TDN given", "lb/day"), ("cp", "CP given", "lb/day"), ("dry", "Dry matter eaten", "lb DM/day"), ("hay_dry", "Of it hay", "lb DM/day"),
    ("ndf", "Fibre (NDF) of hay eaten", "lb/day"), ("fat", "Fat eaten", "lb/day"), ("s_lb", "Sulfur eaten", "lb/day"),
    ("grain", "Starchy grain put out", "lb as fed/day"), ("share_over", "Hays over their share by nitrate", "1"),
    ("asks", "Diet dry matter that hays' nitrate asks for", "lb DM/day"),
)  # fmt: skip


def fill(book: Book) -> None:
    months, herd, cows = (book.marks[k] for k in ("months", "season_herd", "herd"))
    plan, plain = book.marks["plan"], book.marks["plain"]
    places = [(m, g) for m in range(1, months["n"] + 1) for g in range(1, herd["n"] + 1)]
    sheet = begin(
        book, "Group months", "Does the plan feed every group in every month?",
        "One row is one group in one month, a head and a day. The need is read for the middle of the month; not at its lowest day just after calving or weaning.", "Result",
    )  # fmt: skip
    grid = Grid(sheet, len(places))

    def month(column: str) -> Maker:
        return lambda r: Formula(f"=INDEX({months[column]},{r['m']})")

    def of_herd(table: dict[str, str], column: str) -> Maker:
        return lambda r: Formula(f"=INDEX({table[column]},{r['g']})")

    grid.add("month", "Month", "name", month("label"), "label", 22)
    grid.add("group", "Cow group", "name", of_herd(cows, "name"), "label", 26)
    grid.add("says", "The plan", "words", _says, "verdict", 30)
    grid.band("Energy and protein")
    grid.add(
        "need_tdn",
        "TDN need, cold and mud in it",
        "lb/day",
        lambda r: Formula(f"={r['base_tdn']}*(1+{r['more']}/100)"),
        "number2",
        NARROW,
    )
    _sum(grid, plan, "tdn", "TDN given", "lb/day")
    _short(grid, "tdn", "TDN short")
    grid.add("need_cp", "CP need", "lb/day", lambda r: call("DAILY_NEED", '"CP"', *_cow(r)), "number2", NARROW)
    _sum(grid, plan, "cp", "CP given", "lb/day")
    _short(grid, "cp", "CP short")
    grid.band("Intake")
    grid.add(
        "usual",
        "Dry matter she eats by the equations",
        "lb DM/day",
        lambda r: call("DAILY_NEED", '"DM"', *_cow(r)),
        "number1",
        NARROW,
    )
    _sum(grid, plan, "dry", "Dry matter in the plan", "lb DM/day", "number1")
    grid.add(
        "share",
        "The same, of what she eats",
        "%",
        lambda r: Formula(f"=100*{r['dry']}/{r['usual']}"),
        "number0",
        NARROW,
    )
    grid.add("hay_pct", "Hay, of the dry matter", "%", lambda r: _part(r, "hay_dry"), "number0", NARROW)
    grid.add(
        "ndf_pct_bw",
        "Fibre of hay",
        "% of body weight",
        lambda r: Formula(f"=100*{r['ndf']}/{r['weight']}"),
        "number2",
        NARROW,
    )
    grid.add("fat_pct", "Fat in the diet", "% DM", lambda r: _part(r, "fat"), "number1", NARROW)
    grid.add("s_pct", "Sulfur in the diet", "% DM", lambda r: _part(r, "s_lb"), "number2", NARROW)
    grid.band("Cost")
    grid.add(
        "cost",
        "The group, the month",
        "$",
        lambda r: Formula(f"=SUMIFS({plan['cost']},{plan['m']},{r['m']},{plan['g']},{r['g']})"),
        "money0",
        NARROW,
    )
    grid.add(
        "cost_day",
        "A head and a day",
        "$/day",
        lambda r: Formula(f"=IF({r['days']}=0,0,{r['cost']}/({r['head']}*MAX(1,{r['days']})))"),
        "money",
        NARROW,
    )
    grid.band("Workings")
    grid.add("since", "Months since calving", "months", _since, "number1", NARROW)
    grid.add(
        "read", "Month that the need is read for", "months", lambda r: _read(r, f"INDEX({herd['near']},{r['g']})"), "number1", NARROW
    )  # fmt: skip
    grid.add(
        "elapsed",
        "Days since calving",
        "days",
        lambda r: Formula(
            f"={r['middle']}-{r['calved']}-days_per_year*INT(({r['middle']}-{r['calved']})/days_per_year)"
        ),
        "number0",
        NARROW,
    )
    grid.add("middle", "Middle of the month", "date", month("middle"), "date", 15)
    grid.add("calved", "Calving date", "date", of_herd(herd, "calving"), "date", 15)
    grid.add(
        "base_tdn",
        "TDN need without cold and mud",
        "lb/day",
        lambda r: call("DAILY_NEED", '"TDN"', *_cow(r)),
        "number2",
        NARROW,
    )
    grid.add("more", "More energy", "% of the need", month("more"), "number1", NARROW)
    for mark, head, unit in SUMS:
        if mark not in ("tdn", "cp", "dry"):
            _sum(grid, plan, mark, head, unit)
    for mark, head, table, column, unit in (
        ("head", "Head", cows, "head", "head"), ("weight", "Body weight", cows, "weight", "lb"), ("shrunk", "Shrunk weight", cows, "shrunk", "lb"),
        ("milk", "Milk at peak", cows, "milk", "lb/day"), ("calf", "Calf weight", cows, "calf", "lb"),
    ):  # fmt: skip
        grid.add(mark, head, unit, of_herd(table, column), "number0", NARROW)
    grid.add("days", "Days fed", "days", month("days"), "number0", NARROW)
    grid.add("m", "Number of the month", "1", lambda r: places[r.number - 1][0], "number0", 10)
    grid.add("g", "Row of Herd", "1", lambda r: places[r.number - 1][1], "number0", 10)
    grid.add("faults", "What is not kept", "words", _faults, "small", 40)
    grid.add("plain_tdn", "Plain rule: TDN short", "lb/day", lambda r: _left(r, plain, "tdn"), "number2", NARROW)
    grid.add("plain_cp", "Plain rule: CP short", "lb/day", lambda r: _left(r, plain, "cp"), "number2", NARROW)
    grid.done("balance")
    sheet.printed_cols = book.marks["balance_at"]["cost_day"] + 1
    sheet.freeze = (FIRST, 3)
    area = (FIRST, 2, FIRST + len(places) - 1, 2)
    sheet.flags += [
        Flagging(area, "short", "flag_bad"),
        Flagging(area, "over", "flag_warn"),
        Flagging(area, MEETS, "flag_good"),
    ]


def _cow(r: Row) -> tuple[str, ...]:
    return r["shrunk"], r["read"], r["milk"], r["calf"]


def _sum(grid: Grid, plan: dict[str, str], mark: str, head: str, unit: str, style: str = "number2") -> None:
    grid.add(
        mark,
        head,
        unit,
        lambda r: Formula(f"=SUMIFS({plan[mark]},{plan['m']},{r['m']},{plan['g']},{r['g']})"),
        style,
        NARROW,
    )


def _short(grid: Grid, mark: str, head: str) -> None:
    grid.add(
        f"short_{mark}",
        head,
        "lb/day",
        lambda r: Formula(f"=IF({r['days']}=0,0,MAX(0,{r[f'need_{mark}']}-{r[mark]}))"),
        "result2",
        NARROW,
    )


def _left(r: Row, plain: dict[str, str], mark: str) -> Formula:
    given = f"SUMIFS({plain[mark]},{plain['m']},{r['m']},{plain['g']},{r['g']})"
    return Formula(f"=IF({r['days']}=0,0,MAX(0,{r[f'need_{mark}']}-{given}))")


def _part(r: Row, mark: str) -> Formula:
    return Formula(f"=IF({r['dry']}=0,0,100*{r[mark]}/MAX({r['dry']},0.000001))")


def _since(r: Row) -> Formula:
    """Months since calving at the middle of the month, above 0 to 12; on the day itself a year is over."""
    return Formula(f"=IF({r['elapsed']}=0,days_per_year,{r['elapsed']})*months_per_year/days_per_year")


def _read(r: Row, near: str) -> Formula:
    """Not at the lowest day: in the first month after calving as Winter herd says, just after weaning as in milk."""
    weaned = f"AND({r['since']}>weaned_after,{r['since']}<=weaned_after+read_as_milking)"
    return Formula(f"=IF({r['since']}<month_first,{near},IF({weaned},weaned_after,{r['since']}))")


def _faults(r: Row) -> Formula:
    tests = (
        (f"{r['short_tdn']}>{SLACK_LB}", "energy short"), (f"{r['short_cp']}>{SLACK_LB}", "protein short"),
        (f"{r['dry']}>{r['usual']}*plan_most_pct/100+{SLACK_LB}", "over what she eats"),
        (f"{r['dry']}<{r['usual']}*plan_least_pct/100-{SLACK_LB}", "short of dry matter"),
        (f"{r['hay_dry']}<{r['dry']}*plan_hay_pct/100-{SLACK_LB}", "short of hay"),
        (f"{r['ndf']}>{r['weight']}*plan_fibre_pct_bw/100+{SLACK_LB}", "fibre over"),
        (f"{r['fat']}>{r['dry']}*mix_fat_pct/100+{SLACK_LB}", "fat over"),
        (f"{r['s_lb']}>{r['dry']}*mix_s_pct/100+{SLACK_LB}", "sulfur over"),
        (f"{r['grain']}>{r['weight']}*plan_grain_pct_bw/100+{SLACK_LB}", "grain over"),
        (f"{r['share_over']}>0", "hay over its nitrate share"), (f"{r['asks']}>{r['dry']}+{SLACK_LB}", TOGETHER),
    )  # fmt: skip
    said = "&".join(f'IF({test},"{says}. ","")' for test, says in tests)
    return Formula(f'=IF({r["days"]}=0,"",TRIM({said}))')


def _says(r: Row) -> Formula:
    return Formula(f'=IF({r["days"]}=0,"{OUTSIDE}",IF({r["faults"]}="","{MEETS}",{r["faults"]}))')
