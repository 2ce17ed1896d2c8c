"""Match: every lot against every group."""

from __future__ import annotations

from hayfuncs.workbook.keyed import another, calling, filled
from hayfuncs.workbook.model import Book, Flagging, Formula, Sheet
from hayfuncs.workbook.sheets.assumptions import INTAKE_METHODS
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.herd import AS_GROWING, AS_YOUNG, Herd, NeedByClass
from hayfuncs.workbook.sheets.lots import WAYS, Lots
from hayfuncs.workbook.sheets.younggain import POOREST, RICHEST
from hayfuncs.workbook.table import Column, Table, computed

UNSURE = "not sure"  # the need is met, but it is too low for these cows: thin, or with a first calf
VERDICTS = ("enough", "needs energy", "needs protein", "needs both")


def _of(table: str, mark: str) -> str:
    """The value of the row's lot or group."""
    return f"INDEX({{{table}.{mark}}},{{{'lot' if table == 'lots' else 'group'}}})"


TDN, WEIGHT, MILKING = _of("lots", "tdn"), _of("herd", "weight"), _of("herd", "lactating")


def _gives(nutrient: str, mark: str) -> Column:
    return computed(f"{nutrient} the hay gives", "lb/day", f"={{hay}}*{_of('lots', mark)}/100", "number2")


def _need(nutrient: str, mark: str) -> Column:
    return computed(f"{nutrient} need", "lb/day", f"={_of('herd', f'need_{mark}')}", "number2")


def _short(nutrient: str, mark: str) -> Column:
    call = calling("NUTRIENT_SHORT", f"{{{mark}_need}}", "{hay}", _of("lots", mark))
    return computed(f"{nutrient} short", "lb/day", call, "number2")


def _by_way(way: str, name: str) -> Column:
    value = _of("lots", way)
    call = calling("NUTRIENT_SHORT", "{tdn_need}", "{hay}", value, unless=(f"COUNT({value})=0", '""'))
    return computed(f"TDN short, TDN by {name}", "lb/day", call, "number2", 14)


class Match(Table[tuple[int, int]]):
    """One row a lot and a group; a free row of Lots or Herd is matched with nothing."""

    frozen = 4
    blank = 'OR({hay_lot}="",{cows}="")'
    lot = computed("Lot number", "row of Lots", lambda row: row.item[0], "number0", 12)
    group = computed("Group number", "row of Herd", lambda row: row.item[1], "number0", 8)
    hay_lot = computed("Hay lot", "name", f"={_of('lots', 'counted')}", "text", 22)
    cows = computed("Cow group", "name", f"={_of('herd', 'counted')}", "text", 26)
    fiber = computed("Hay eaten by the fiber rule", "lb DM/day", calling("INTAKE_FROM_NDF", _of("lots", "ndf"), WEIGHT, "ndf_capacity_pct_bw"))  # fmt: skip
    quality = computed("Hay eaten by quality class", "lb DM/day", calling("INTAKE_BY_QUALITY", TDN, WEIGHT, MILKING))
    hay = computed("Hay eaten, as chosen", "lb DM/day", "=IF(ISNUMBER({growing}),{growing},IF(ISNUMBER({young}),MIN({young},{by_rule}),{by_rule}))")  # fmt: skip
    tdn_gives, tdn_need, tdn_short = _gives("TDN", "tdn"), _need("TDN", "tdn"), _short("TDN", "tdn")
    cp_gives, cp_need, cp_short = _gives("CP", "cp"), _need("CP", "cp"), _short("CP", "cp")
    verdict = computed("By itself this hay", "verdict", lambda row: judged(row.tdn_short, row.cp_short, filled(_of("herd", "caution"), row)), "verdict", 16)  # fmt: skip
    most = computed("Most hay counted by the fiber rule", "lb DM/day", lambda row: Formula(f"={most_counted(*(filled(x, row) for x in (WEIGHT, MILKING)))}"))  # fmt: skip
    note = computed("Note on the hay eaten", "text", lambda row: _held(row.fiber, row.most, filled(WEIGHT, row), row.growing), "small", 58)  # fmt: skip
    tdn_fiber, tdn_lignin, lab_tdn, tdn_adf = (_by_way(way, name) for way, name in WAYS)
    others = computed("By another TDN, at the same hay eaten", "text", lambda row: row.by_others, "small", 50)
    growing = computed("Hay eaten by growing cattle", "lb DM/day",
        calling("GROWING_INTAKE", _of("by", "kind"), _of("herd", "shrunk"), TDN, unless=(f"OR({_of('by', 'way')}<>{AS_GROWING},{TDN}<{POOREST},{TDN}>{RICHEST})", '""')))  # fmt: skip
    young = computed("Most hay that a young cow eats", "lb DM/day",
        calling("INTAKE_FROM_NEM", _of("lots", "nem"), _of("herd", "shrunk"), _of("by", "milk_day"), _of("by", "in_calf"),
            unless=(f"OR({_of('by', 'way')}<>{AS_YOUNG},COUNT({_of('lots', 'nem')})=0)", '""')))  # fmt: skip
    lots, herd, by = another(lambda: Lots), another(lambda: Herd), another(lambda: NeedByClass)

    @property
    def by_rule(self) -> str:
        return hay_eaten(self.fiber, self.most, self.quality)

    @property
    def by_others(self) -> Formula:
        """Where another way to TDN would change the word on energy, and which."""
        told: list[str] = []
        for way, name in WAYS:
            here = getattr(self, way)
            changed = f"AND(COUNT({here})=1,(N({here})>0)<>({self.tdn_short}>0))"
            told.append(f'IF({changed},IF(N({here})>0,"needs energy by {name}. ","enough energy by {name}. "),"")')
        return Formula(f"=TRIM({'&'.join(told)})")


def fill(book: Book) -> None:
    sheet = begin(
        book, "Match", "Each lot against each group: what hay alone gives, and what is short",
        "One row is one lot fed alone to one group. Short means pounds a day below the need; 0 means the hay covers it.",
        "Workings",
    )  # fmt: skip
    lots, groups = book.find(Lots).n, book.find(Herd).n
    pairs = [(lot, group) for lot in range(1, lots + 1) for group in range(1, groups + 1)]
    match = Match(sheet, pairs).place().filed("match")
    flag(sheet, match.area(Match.verdict))


def judged(tdn_short: str, cp_short: str, caution: str) -> Formula:
    """One word for hay and cow.  Where the need is known to be too low, `needs` holds and `enough` does not."""
    first, *others = (f'"{v}"' for v in VERDICTS)
    return Formula(
        f'=CHOOSE(1+({tdn_short}>0)+2*({cp_short}>0),IF({caution}="",{first},"{UNSURE}"),{",".join(others)})'
    )


def most_counted(weight: str, milking: str) -> str:
    """Pounds of hay above which the fiber rule is not followed, as Assumptions says."""
    return f"{weight}*IF({milking}=1,fiber_most_milk_pct_bw,fiber_most_dry_pct_bw)/100"


def hay_eaten(fiber: str, most: str, quality: str) -> str:
    """Hay eaten by the rule that is chosen on Assumptions; every sheet that asks for it takes it from here."""
    return f'IF(intake_method="{INTAKE_METHODS[0]}",MIN({fiber},{most}),{quality})'


def _held(fiber: str, most: str, weight: str, grows: str) -> Formula:
    """Low-fiber hay: the fiber rule asks a cow to eat more than any was seen to eat."""
    says = f'"Caution: the fiber rule says "&TEXT(100*{fiber}/{weight},"0.00")&" % of body weight, more than cattle are reckoned to eat; "'
    return Formula(
        f'=IF(AND({grows}="",intake_method="{INTAKE_METHODS[0]}",{fiber}>{most}),{says}&TEXT(100*{most}/{weight},"0.00")&" % is counted.","")'
    )


def flag(sheet: Sheet, area: tuple[int, int, int, int]) -> None:
    sheet.flags += [
        Flagging(area, "needs", "flag_bad"),
        Flagging(area, VERDICTS[0], "flag_good"),
        Flagging(area, UNSURE, "flag_warn"),
    ]
