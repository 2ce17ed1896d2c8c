"""Group months: what each group needs in each month, what the plan gives, and what is short."""

from __future__ import annotations

from typing import NamedTuple

from hayfuncs.cow.classes import BRED
from hayfuncs.ration.minerals import DIETS
from hayfuncs.winter.cautions import FORAGE_FROM_PCT, MOST_MINERAL_PCT
from hayfuncs.winter.problem import FULL_PCT
from hayfuncs.workbook.keyed import another, calling
from hayfuncs.workbook.model import Book, Flagging
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.herd import AS_COW, AS_GROWING, AS_YOUNG, Herd, NeedByClass
from hayfuncs.workbook.sheets.planrows import SLACK_LB, TOGETHER, PlainRows, PlanRows
from hayfuncs.workbook.sheets.winter import FIRST_DAY, MIDDLE, Months, WinterHerd
from hayfuncs.workbook.table import Column, Table, computed

NARROW = 10
MEETS = "meets every need"
OUTSIDE = "not in this winter"
SLACK_G = 0.1  # grams that do not count as short
CA_P_UNDER = "calcium under its share of phosphorus"
AT_DANGER = (("ca_p_says", "calcium to phosphorus"), ("s_says", "sulfur"), ("fat_says", "fat"), ("grain_says", "grain"))
LIMIT_FED = "limit-fed: all must eat at once"
HER = ("{shrunk}", "{MONTH}", "{milking}", "{calf}")
READ, OWN = (tuple(arg.replace("MONTH", month) for arg in HER) for month in ("read", "since"))
YOUNG, YOUNG_OWN = tuple(("{grown}", "{shrunk}", "{gain}", *her[1:]) for her in (READ, OWN))
AT_STAGE = "=IF(COUNT({calved})=0,0,FIRST-{calved}-days_per_year*INT((FIRST-{calved})/days_per_year))"


def _month(head: str, unit: str, key: str, style: str = "number1", width: float = NARROW) -> Column:
    return computed(head, unit, f"=INDEX({{months.{key}}},{{m}})", style, width)


def _group(head: str, unit: str, key: str, style: str = "number0", width: float = NARROW) -> Column:
    return computed(head, unit, f"=INDEX({{{key}}},{{g}})", style, width)


def _given(of: str, plan: str = "plan") -> str:
    return f"SUMIFS({{{plan}.{of}}},{{{plan}.m}},{{m}},{{{plan}.g}},{{g}})"


def _sum(head: str, unit: str, of: str, style: str = "number2", band: str = "") -> Column:
    return computed(head, unit, f"={_given(of)}", style, NARROW, band)


def _short(head: str, of: str, given: str, style: str = "number2") -> Column:
    return computed(head, "lb/day", f"=IF({{days}}=0,0,MAX(0,{{need_{of}}}-{given}))", style, NARROW)


def _need(head: str, unit: str, nutrient: str, style: str = "number2", cow: tuple[str, ...] = READ, band: str = "") -> Column:  # fmt: skip
    """By the function of the class: a grown cow's here, a young cow's and growing cattle's beside it."""
    low = nutrient.lower()
    young = "{young_own}" if cow is OWN else f"{{young_{low}}}"
    other = f"IF({{way}}={AS_YOUNG},{young},{{grow_{low}}})"
    call = calling("DAILY_NEED", f'"{nutrient}"', *cow, unless=(f"{{way}}<>{AS_COW}", other))
    return computed(head, unit, call, style, NARROW, band)


def _young(nutrient: str, unit: str, her: tuple[str, ...] = YOUNG, band: str = "") -> Column:
    own = " at their own month" if her is YOUNG_OWN else ""
    call = calling("HEIFER_NEED", f'"{nutrient}"', *her, unless=(f"{{way}}<>{AS_YOUNG}", "0"))
    return computed(f"{nutrient} need of a young cow{own}", unit, call, "number2", NARROW, band)


def _grows(nutrient: str, unit: str) -> Column:
    call = calling("GROWING_NEED", f'"{nutrient}"', "INDEX({by.kind},{g})", "{shrunk}", "INDEX({by.gain},{g})", "{grown}", unless=(f"{{way}}<>{AS_GROWING}", "0"))  # fmt: skip
    return computed(f"{nutrient} need of growing cattle", unit, call, "number2", NARROW)


def _part(head: str, unit: str, of: str, style: str) -> Column:
    return computed(head, unit, f"=IF({{dry}}=0,0,100*{{{of}}}/MAX({{dry}},0.000001))", style, NARROW)


def _mineral(head: str, part: str) -> Column:
    return computed(head, "% DM", f"=IF({{dry}}<=0,0,100*{{{part}}}/grams_per_lb/MAX({{dry}},0.000001))", "number2", NARROW)  # fmt: skip


def _empty(*needed: str) -> tuple[str, str]:
    """Nothing is said where nothing is fed."""
    none = [f"{{{key}}}<=0" for key in ("days", "dry", *needed)]
    wild = [f"{{{key}}}>{MOST_MINERAL_PCT:g}" for key in needed]  # a mineral beside next to no feed
    return f"OR({','.join([*none, *wild])})", '""'


def _caution(head: str, name: str, *args: str, needed: tuple[str, ...] = ()) -> Column:
    return computed(f"{head}: what it means", "text", calling(name, *args, unless=_empty(*needed)), "small", 40)


FAULTS = (
    (f"{{short_tdn}}>{SLACK_LB}", "energy short"), (f"{{short_cp}}>{SLACK_LB}", "protein short"),
    (f"{{dry}}>{{usual}}*plan_most_pct/100+{SLACK_LB}", "over what they eat"),
    (f"{{dry}}<{{usual}}*{{least}}/100-{SLACK_LB}", "short of dry matter"),
    (f"{{ca}}<{{need_ca}}-{SLACK_G}", "calcium short"), (f"{{p}}<{{need_p}}-{SLACK_G}", "phosphorus short"),
    (f"{{ca}}<{{p}}*plan_min_ca_p-{SLACK_G}", CA_P_UNDER),
    (f"{{hay_dry}}<{{dry}}*plan_hay_pct/100-{SLACK_LB}", "short of hay"),
    (f"{{ndf}}>{{weight}}*plan_fiber_pct_bw/100+{SLACK_LB}", "fiber over"),
    (f"{{fat}}>{{dry}}*mix_fat_pct/100+{SLACK_LB}", "fat over"),
    (f"{{s_lb}}>{{dry}}*mix_s_pct/100+{SLACK_LB}", "sulfur over"),
    (f"{{grain}}>{{weight}}*plan_grain_pct_bw/100+{SLACK_LB}", "grain over"),
    *((f'MID({{{key}}},1,2)="Da"', f"danger, {what}") for key, what in AT_DANGER),
    ("{share_over}>0", "hay over its nitrate share"), (f"{{asks}}>{{dry}}+{SLACK_LB}", TOGETHER),
)  # fmt: skip


class Place(NamedTuple):
    month: int
    group: int


class GroupMonths(Table[Place]):
    """One row a group in one month, a head and a day."""

    frozen = 3
    blank, as_ever = (
        '{group}=""',
        ("month", "says", "first", "middle", "more", "days", "m", "g"),
    )  # the month's own stays
    month = _month("Month", "name", "label", "label", 22)
    group = computed("Cow group", "name", "=INDEX({cows.counted},{g})", "label", 26)
    says = computed("The plan", "words",
        f'=IF(OR({{days}}=0,{{group}}=""),"{OUTSIDE}",IF({{faults}}="","{MEETS}",{{faults}})&IF({{dry}}<{{usual}}*{FULL_PCT:g}/100-{SLACK_LB},"; {LIMIT_FED}",""))', "verdict", 30)  # fmt: skip
    need_tdn = computed("TDN need, with cold, mud and condition", "lb/day", "={base_tdn}*(1+{more}/100)+{condition}", "number2", NARROW, "Energy and protein")  # fmt: skip
    tdn = _sum("TDN given", "lb/day", "tdn")
    short_tdn = _short("TDN short", "tdn", "{tdn}", "result2")
    need_cp, cp = _need("CP need", "lb/day", "CP"), _sum("CP given", "lb/day", "cp")
    short_cp = _short("CP short", "cp", "{cp}", "result2")
    usual = _need("Dry matter eaten by the equations", "lb DM/day", "DM", "number1", band="Intake")
    dry = _sum("Dry matter in the plan", "lb DM/day", "dry", "number1")
    share = computed("The same, of what they eat", "%", "=100*{dry}/{usual}", "number0", NARROW)
    hay_pct = _part("Hay, of the dry matter", "%", "hay_dry", "number0")
    ndf_pct_bw = computed("Fiber of hay", "% of body weight", "=100*{ndf}/{weight}", "number2", NARROW)
    fat_pct, s_pct = _part("Fat in the diet", "% DM", "fat", "number1"), _part("Sulfur in the diet", "% DM", "s_lb", "number2")  # fmt: skip
    need_ca, ca = _need("Calcium need", "g/day", "Ca", "number1", band="Minerals"), _sum("Calcium given", "g/day", "ca", "number1")  # fmt: skip
    need_p, p = _need("Phosphorus need", "g/day", "P", "number1"), _sum("Phosphorus given", "g/day", "p", "number1")
    ca_p = computed("Calcium to phosphorus", "ratio", "=IF({p}<=0,0,{ca}/MAX({p},0.000001))", "number2", NARROW)
    cost = _sum("The group, the month", "$", "cost", "money0", "Cost")
    cost_day = computed("A head and a day", "$/day", "=IF({days}=0,0,{cost}/({head}*MAX(1,{days})))", "money", NARROW)
    # months since calving at the middle of the month, above 0 to 12; on the day itself a year is over
    since = computed("Months since calving", "months", "=IF({elapsed}=0,days_per_year,{elapsed})*months_per_year/days_per_year", "number1", NARROW, "Workings")  # fmt: skip
    # not at the lowest day in the first month after calving; past month 6 a nursing cow as in milk, or at their own month
    read = computed("Month that the need is read for", "months",
        "=IF({since}<month_first,INDEX({herd.near},{g}),IF(AND({nursing}=1,{since}>weaned_after,INDEX({herd.need_milk},{g})>={own_tdn}),weaned_after,{since}))", "number1", NARROW)  # fmt: skip
    nursing = computed("Calves on the cows on its first day? 1 yes, 0 no", "yes/no", "=IF(AND({suckled}=1,{first_since}<INDEX({herd.nursed},{g})),1,0)", "number0", NARROW)  # fmt: skip
    milking = computed("Milk at peak; 0 when weaned", "lb/day", "=IF(AND({suckled}=1,OR({nursing}=1,{since}<month_first)),{milk},0)", "number1", NARROW)  # fmt: skip
    own_tdn = _need("TDN need at their own month", "lb/day", "TDN", cow=OWN)
    first_since = computed("Days since calving on its first day", "days", AT_STAGE.replace("FIRST", "{first}"), "number0", NARROW)  # fmt: skip
    first = _month("First day of the month", "date", "first", "date", 15)
    least = _group("Least dry matter", "% of what they eat", "herd.least")
    elapsed = computed("Days since calving", "days", AT_STAGE.replace("FIRST", "{middle}"), "number0", NARROW)
    middle = _month("Middle of the month", "date", "middle", "date", 15)
    calved = computed(
        "Calving date", "date", '=IF(INDEX({herd.calving},{g})="","",INDEX({herd.calving},{g}))', "date", 15
    )
    base_tdn = _need("TDN need without cold and mud", "lb/day", "TDN")
    more = _month("More energy", "% of the need", "more")
    hay_dry, ndf = _sum("Of it hay", "lb DM/day", "hay_dry"), _sum("Fiber (NDF) of hay eaten", "lb/day", "ndf")
    fat, s_lb = _sum("Fat eaten", "lb/day", "fat"), _sum("Sulfur eaten", "lb/day", "s_lb")
    grain = _sum("Starchy grain put out", "lb as fed/day", "grain")
    share_over = _sum("Hays over their share by nitrate", "1", "share_over")
    asks = _sum("Diet dry matter that hays' nitrate asks for", "lb DM/day", "asks")
    head = _group("Head", "head", "cows.head")
    weight = computed("Body weight on the first day, for limits", "lb", f"={FIRST_DAY}", "number0", NARROW)
    by_middle = computed("Body weight by the middle of the month", "lb", f"={MIDDLE}", "number0", NARROW)
    shrunk = computed("Shrunk weight by the middle of the month", "lb", calling("SHRUNK_WEIGHT", "{by_middle}", "shrink_pct", unless=(f"{{way}}<>{AS_GROWING}", "INDEX({cows.shrunk},{g})")), "number0", NARROW)  # fmt: skip
    milk = _group("Milk at peak", "lb/day", "by.milk")
    calf = _group("Calf weight", "lb", "cows.calf")
    days = _month("Days fed", "days", "days", "number0")
    m = computed("Number of the month", "1", lambda row: row.item.month, "number0", 10)
    g = computed("Row of Herd", "1", lambda row: row.item.group, "number0", 10)
    faults = computed("What is not kept", "words", '=IF({days}=0,"",TRIM(' + "&".join(f'IF({test},"{says}. ","")' for test, says in FAULTS) + "))", "small", 40)  # fmt: skip
    diet = computed("Kind of diet", "word", f'=IF({{hay_pct}}>={FORAGE_FROM_PCT:g},"{DIETS[0]}","{DIETS[1]}")', "text", 16,
        "What the library's cautions say of the whole ration")  # fmt: skip
    ca_pct, p_pct = _mineral("Calcium of the diet", "ca"), _mineral("Phosphorus of the diet", "p")
    ca_p_says = _caution("Calcium to phosphorus", "CALCIUM_PHOSPHORUS_CAUTION", "{ca_pct}", "{p_pct}", needed=("ca_pct", "p_pct"))  # fmt: skip
    s_says = _caution("Sulfur", "SULFUR_CAUTION", "{s_pct}", "{diet}")
    fat_says = _caution("Fat", "FAT_CAUTION", "{fat_pct}", "{diet}")
    grain_says = _caution("Grain", "GRAIN_CAUTION", "{grain}", "{weight}")
    plain_tdn = _short("Plain rule: TDN short", "tdn", _given("tdn", "plain"))
    plain_cp = _short("Plain rule: CP short", "cp", _given("cp", "plain"))
    way = _group("Counted as: 1 grown cow, 2 young cow, 3 growing", "1", "by.way")
    kind = computed("Class of cattle", "word", "=INDEX({by.cattle_class},{g})", "text", 16, "Class and condition")
    has_calved = computed("Calved in this winter? 1 yes, 0 no", "yes/no", "=IF(AND(COUNT({calved})=1,IF({elapsed}=0,days_per_year,{elapsed})<={middle}-winter_start),1,0)", "number0", NARROW)  # fmt: skip
    suckled = computed("Has she calved at all? 1 yes, 0 no", "yes/no", f'=IF({{way}}={AS_GROWING},0,IF({{kind}}="{BRED}",{{has_calved}},1))', "number0", NARROW)  # fmt: skip
    grown = computed("Shrunk weight when grown", "lb", "=INDEX({by.grown},{g})", "number0", NARROW)
    gain = computed("Gain of a young cow", "lb/day", f"=IF({{way}}<>{AS_YOUNG},0,IF({{suckled}}=1,INDEX({{herd.gain_calved}},{{g}}),INDEX({{by.gain}},{{g}})))", "number2", NARROW)  # fmt: skip
    young_dm, young_tdn, young_cp = _young("DM", "lb DM/day"), _young("TDN", "lb/day"), _young("CP", "lb/day")
    young_ca, young_p, young_own = _young("Ca", "g/day"), _young("P", "g/day"), _young("TDN", "lb/day", YOUNG_OWN)
    grow_dm, grow_tdn, grow_cp = _grows("DM", "lb DM/day"), _grows("TDN", "lb/day"), _grows("CP", "lb/day")
    grow_ca, grow_p = _grows("Ca", "g/day"), _grows("P", "g/day")
    puts_on = computed("Is condition put on? 1 yes, 0 no", "yes/no", "=IF(AND(INDEX({by.counts},{g})=1,{first}-winter_start<INDEX({cows.days},{g})),1,0)", "number0", NARROW)  # fmt: skip
    held = computed("TDN of the diet that holds them", "% DM", "=IF({puts_on}=0,0,100*{base_tdn}/{usual})", "number1", NARROW)  # fmt: skip
    condition = computed("TDN for condition", "lb/day",
        calling("NEED_FOR_CONDITION", "INDEX({by.at_5},{g})", "INDEX({cows.score},{g})", "INDEX({cows.wanted},{g})", "INDEX({cows.days},{g})", "{held}", unless=("{puts_on}=0", "0")), "number2", NARROW)  # fmt: skip
    by = another(lambda: NeedByClass)
    months, herd, cows = another(lambda: Months), another(lambda: WinterHerd), another(lambda: Herd)
    plan, plain = another(lambda: PlanRows), another(lambda: PlainRows)


def fill(book: Book) -> None:
    sheet = begin(book, "Group months", "Is every group fed in every month?",
        "One row is one group in one month, a head and a day. The need is that of the middle of the month; around calving and weaning the higher one counts.", "Result")  # fmt: skip
    months, groups = book.find(Months).n, book.find(WinterHerd).n
    places = [Place(m, g) for m in range(1, months + 1) for g in range(1, groups + 1)]
    table = GroupMonths(sheet, places).place().filed("balance")
    sheet.printed_cols = table.col(GroupMonths.cost_day) + 1
    area = table.area(GroupMonths.says)
    flags = (("short", "flag_bad"), ("limit-fed", "flag_warn"), ("over", "flag_warn"), (MEETS, "flag_good"))
    sheet.flags += [Flagging(area, word, style) for word, style in flags]
