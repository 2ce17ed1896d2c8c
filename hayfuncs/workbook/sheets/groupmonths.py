"""Group months: what each group needs in each month, what the plan gives, and what is short."""

from __future__ import annotations

from functools import partial

from hayfuncs.ration.minerals import DIETS
from hayfuncs.winter.cautions import FORAGE_FROM_PCT, MOST_MINERAL_PCT
from hayfuncs.winter.problem import FULL_PCT
from hayfuncs.workbook.model import Book, Flagging, Formula, call
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.grid import Grid, Maker, Row
from hayfuncs.workbook.sheets.planrows import SLACK_LB, TOGETHER

NARROW = 10
MEETS = "meets every need"
OUTSIDE = "not in this winter"
SLACK_G = 0.1  # grams that do not count as short
CA_P_UNDER = "calcium under its share of phosphorus"
AT_DANGER = (("ca_p_says", "calcium to phosphorus"), ("s_says", "sulfur"), ("fat_says", "fat"), ("grain_says", "grain"))
LIMIT_FED = "limit-fed: all must eat at once"
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
    grid.band("Minerals")
    for mark, name, word in (("ca", "Ca", "Calcium"), ("p", "P", "Phosphorus")):
        grid.add(f"need_{mark}", f"{word} need", "g/day", lambda r, n=name: call("DAILY_NEED", f'"{n}"', *_cow(r)), "number1", NARROW)  # type: ignore[misc]  # bound early on purpose  # fmt: skip
        _sum(grid, plan, mark, f"{word} given", "g/day", "number1")
    grid.add("ca_p", "Calcium to phosphorus", "ratio", lambda r: Formula(f"=IF({r['p']}<=0,0,{r['ca']}/MAX({r['p']},0.000001))"), "number2", NARROW)  # fmt: skip
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
        "read", "Month that the need is read for", "months", lambda r: _read(r, *(f"INDEX({herd[k]},{r['g']})" for k in ("near", "need_milk"))), "number1", NARROW
    )  # fmt: skip
    grid.add("nursing", "Calves on the cows on its first day? 1 yes, 0 no", "yes/no", lambda r: Formula(f"=IF({r['first_since']}<INDEX({herd['nursed']},{r['g']}),1,0)"), "number0", NARROW)  # fmt: skip
    grid.add("milking", "Milk at peak; 0 when weaned", "lb/day", lambda r: Formula(f"=IF(OR({r['nursing']}=1,{r['since']}<month_first),{r['milk']},0)"), "number1", NARROW)  # fmt: skip
    grid.add("own_tdn", "TDN need at her own month", "lb/day", lambda r: call("DAILY_NEED", '"TDN"', *_cow(r, "since")), "number2", NARROW)  # fmt: skip
    grid.add("first_since", "Days since calving on its first day", "days", lambda r: Formula(f"={r['first']}-{r['calved']}-days_per_year*INT(({r['first']}-{r['calved']})/days_per_year)"), "number0", NARROW)  # fmt: skip
    grid.add("first", "First day of the month", "date", month("first"), "date", 15)
    grid.add("least", "Least dry matter", "% of what she eats", of_herd(herd, "least"), "number0", NARROW)
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
    grid.band("What the library's cautions say of the whole ration")
    grid.add("diet", "Kind of diet", "word", lambda r: Formula(f'=IF({r["hay_pct"]}>={FORAGE_FROM_PCT:g},"{DIETS[0]}","{DIETS[1]}")'), "text", 16)  # fmt: skip
    for part in ("ca", "p"):
        grid.add(f"{part}_pct", f"{'Calcium' if part == 'ca' else 'Phosphorus'} of the diet", "% DM", partial(_mineral_pct, part=part), "number2", NARROW)  # fmt: skip
    for mark, head, made in (
        ("ca_p_says", "Calcium to phosphorus", lambda r: call("CALCIUM_PHOSPHORUS_CAUTION", r["ca_pct"], r["p_pct"], unless=_empty(r, "ca_pct", "p_pct"))),
        ("s_says", "Sulfur", lambda r: call("SULFUR_CAUTION", r["s_pct"], r["diet"], unless=_empty(r))),
        ("fat_says", "Fat", lambda r: call("FAT_CAUTION", r["fat_pct"], r["diet"], unless=_empty(r))),
        ("grain_says", "Grain", lambda r: call("GRAIN_CAUTION", r["grain"], r["weight"], unless=_empty(r))),
    ):  # fmt: skip
        grid.add(mark, f"{head}: what it means", "text", made, "small", 40)
    grid.add("plain_tdn", "Plain rule: TDN short", "lb/day", lambda r: _left(r, plain, "tdn"), "number2", NARROW)
    grid.add("plain_cp", "Plain rule: CP short", "lb/day", lambda r: _left(r, plain, "cp"), "number2", NARROW)
    grid.done("balance")
    sheet.printed_cols = book.marks["balance_at"]["cost_day"] + 1
    sheet.freeze = (FIRST, 3)
    area = (FIRST, 2, FIRST + len(places) - 1, 2)
    sheet.flags += [
        Flagging(area, "short", "flag_bad"),
        Flagging(area, "limit-fed", "flag_warn"),
        Flagging(area, "over", "flag_warn"),
        Flagging(area, MEETS, "flag_good"),
    ]


def _cow(r: Row, month: str = "read") -> tuple[str, ...]:
    return r["shrunk"], r[month], r["milking"], r["calf"]


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


def _empty(r: Row, *needed: str) -> tuple[str, str]:
    """Nothing is said where nothing is fed."""
    none = [f"{r[mark]}<=0" for mark in ("days", "dry", *needed)]
    wild = [f"{r[mark]}>{MOST_MINERAL_PCT:g}" for mark in needed]  # a mineral beside next to no feed
    return f"OR({','.join([*none, *wild])})", '""'


def _mineral_pct(r: Row, part: str) -> Formula:
    return Formula(f"=IF({r['dry']}<=0,0,100*{r[part]}/grams_per_lb/MAX({r['dry']},0.000001))")


def _part(r: Row, mark: str) -> Formula:
    return Formula(f"=IF({r['dry']}=0,0,100*{r[mark]}/MAX({r['dry']},0.000001))")


def _since(r: Row) -> Formula:
    """Months since calving at the middle of the month, above 0 to 12; on the day itself a year is over."""
    return Formula(f"=IF({r['elapsed']}=0,days_per_year,{r['elapsed']})*months_per_year/days_per_year")


def _read(r: Row, near: str, in_milk: str) -> Formula:
    """Not at the lowest day in the first month after calving; past month 6 a nursing cow as in milk, or at her own month."""
    still = f"AND({r['nursing']}=1,{r['since']}>weaned_after,{in_milk}>={r['own_tdn']})"
    return Formula(f"=IF({r['since']}<month_first,{near},IF({still},weaned_after,{r['since']}))")


def _faults(r: Row) -> Formula:
    tests = (
        (f"{r['short_tdn']}>{SLACK_LB}", "energy short"), (f"{r['short_cp']}>{SLACK_LB}", "protein short"),
        (f"{r['dry']}>{r['usual']}*plan_most_pct/100+{SLACK_LB}", "over what she eats"),
        (f"{r['dry']}<{r['usual']}*{r['least']}/100-{SLACK_LB}", "short of dry matter"),
        (f"{r['ca']}<{r['need_ca']}-{SLACK_G}", "calcium short"), (f"{r['p']}<{r['need_p']}-{SLACK_G}", "phosphorus short"),
        (f"{r['ca']}<{r['p']}*plan_min_ca_p-{SLACK_G}", CA_P_UNDER),
        (f"{r['hay_dry']}<{r['dry']}*plan_hay_pct/100-{SLACK_LB}", "short of hay"),
        (f"{r['ndf']}>{r['weight']}*plan_fibre_pct_bw/100+{SLACK_LB}", "fibre over"),
        (f"{r['fat']}>{r['dry']}*mix_fat_pct/100+{SLACK_LB}", "fat over"),
        (f"{r['s_lb']}>{r['dry']}*mix_s_pct/100+{SLACK_LB}", "sulfur over"),
        (f"{r['grain']}>{r['weight']}*plan_grain_pct_bw/100+{SLACK_LB}", "grain over"),
        *((f'MID({r[mark]},1,2)="Da"', f"danger, {what}") for mark, what in AT_DANGER),
        (f"{r['share_over']}>0", "hay over its nitrate share"), (f"{r['asks']}>{r['dry']}+{SLACK_LB}", TOGETHER),
    )  # fmt: skip
    said = "&".join(f'IF({test},"{says}. ","")' for test, says in tests)
    return Formula(f'=IF({r["days"]}=0,"",TRIM({said}))')


def _says(r: Row) -> Formula:
    hungry = f'IF({r["dry"]}<{r["usual"]}*{FULL_PCT:g}/100-{SLACK_LB},"; {LIMIT_FED}","")'
    return Formula(f'=IF({r["days"]}=0,"{OUTSIDE}",IF({r["faults"]}="","{MEETS}",{r["faults"]})&{hungry})')
