"""A hay lot and a herd group as the user's files give them, and the columns they come in.

`Lot` keeps the lab's values exactly as stated, on the basis stated: nothing is converted
here.  Each field has one `Column`: heading, unit, meaning, what is allowed, and the words
by which a heading is known.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cache

from hayfuncs.contract.catalogue import Arg, Name
from hayfuncs.cow.classes import CATTLE

DRY = "dry"
AS_FED = "as fed"
BASES = (DRY, AS_FED)
FORAGES = ("grass", "legume", "mixed")
BALES = ("small square", "round", "large square")
CORE = ("dm_pct", "cp_pct", "adf_pct", "ndf_pct")  # without these a lot cannot be matched to a cow
# what can kill, and the field that says whether its number is only a limit (`>5000`: at least 5,000)
LIMIT_OF = {"nitrate_n_ppm": "nitrate_limit", "hcn_ppm": "hcn_limit", "ergovaline_ppb": "ergovaline_limit"}
AT_LEAST, AT_MOST = "at least", "at most"
LIMIT_WORDS = (AT_LEAST, AT_MOST)
TRACE = ("fe_ppm", "cu_ppm", "zn_ppm", "mn_ppm", "mo_ppm", "se_ppm")  # minerals that labs give in ppm
MINERALS = ("ca_pct", "p_pct", "mg_pct", "k_pct", "s_pct", "na_pct", *TRACE)
LEAST_PCT = (
    0.003  # % DM; hay holds more of each mineral that labs give in percent, but for sodium (common practice, no source)
)
STOCK_UNITS = ("bales", "tons", "cores")
FIRST_YEAR, LAST_YEAR = 1990, 2100  # a date outside is a typing error


@dataclass(frozen=True)
class Lot:
    """One hay lot: one field, one cutting.  `_pct`, `_ppm`, `_ppb` and `_mcal_lb` values stand on `basis`, except that

    dry matter is always % of the as-fed weight and NDF digestibility always % of the NDF.
    Weights, tons and prices are as fed.  A `_limit` says that the poison's number is only a
    limit: the hay holds at least, or at most, so much.  `lab_` values are the laboratory's own
    arithmetic.  `accepted` holds the words by which the user accepted what is seldom seen.
    """

    name: str
    field: str
    cutting: int | None
    forage: str
    basis: str
    dm_pct: float
    cp_pct: float
    adf_pct: float
    ndf_pct: float
    ndfd48_pct: float | None = None
    ash_pct: float | None = None
    fat_pct: float | None = None
    lignin_pct: float | None = None
    ca_pct: float | None = None
    p_pct: float | None = None
    mg_pct: float | None = None
    k_pct: float | None = None
    s_pct: float | None = None
    na_pct: float | None = None
    fe_ppm: float | None = None
    cu_ppm: float | None = None
    zn_ppm: float | None = None
    mn_ppm: float | None = None
    mo_ppm: float | None = None
    se_ppm: float | None = None
    nitrate_n_ppm: float | None = None
    nitrate_limit: str | None = None
    hcn_ppm: float | None = None
    hcn_limit: str | None = None
    ergovaline_ppb: float | None = None
    ergovaline_limit: str | None = None
    adicp_pct: float | None = None
    ndicp_pct: float | None = None
    lab_tdn_pct: float | None = None
    lab_tdn_equation: str | None = None
    lab_nel_mcal_lb: float | None = None
    lab_rfv: float | None = None
    tons: float | None = None
    bales: int | None = None
    bale_weight_lb: float | None = None
    bale: str | None = None
    price_per_ton: float | None = None
    harvest_date: dt.date | None = None
    sample_date: dt.date | None = None
    cores: int | None = None
    storage: str | None = None
    feeder: str | None = None
    seen: str | None = None
    seen_too: str | None = None
    accepted: str = ""
    notes: str = ""


@dataclass(frozen=True)
class Group:
    """Cattle fed together.  Month 1 is the month after calving; calf weight is birth weight.

    Only what calves has a month, milk, calf and condition.  The class is one of `cow.classes.CATTLE`; None is a cow.
    """

    name: str
    head: int
    body_weight_lb: float
    month_since_calving: int | None
    peak_milk_lb: float | None
    calf_weight_lb: float | None
    condition_score: float | None
    calving_date: dt.date | None = None
    cattle_class: str | None = None
    gain_wanted_lb: float | None = None
    grown_weight_lb: float | None = None
    condition_wanted: float | None = None
    condition_days: float | None = None


@dataclass(frozen=True)
class Column:
    """One column of a user's file.

    `kind`: text, word (closed list), number, whole (a whole number) or date.
    `limits` is our own range, wide enough for any hay or cow; `limits_of` narrows it to what
    the catalogue's arguments of this name take.  `accepted` are the wordings of a heading, in
    any order of words; the unit and the basis are read apart from them.
    """

    field: str
    heading: str
    kind: str
    meaning: str
    accepted: tuple[str, ...] = ()
    unit: str = ""
    words: tuple[str, ...] = ()
    limits: Arg | None = None
    required: bool = False
    on_basis: bool = False  # the value depends on dry or as fed
    names_of: tuple[str, str] | None = None  # function and argument whose table lists the names


def _number(
    field: str, heading: str, unit: str, meaning: str, accepted: str, lo: float, hi: float, *,
    above: bool = False, kind: str = "number", required: bool = False,
) -> Column:  # fmt: skip
    limits = Arg(meaning, unit, lo, hi, above=above)
    on_basis = unit in ("% DM", "ppm", "ppb", "Mcal/lb DM")
    return Column(
        field, heading, kind, meaning, tuple(a.strip() for a in accepted.split("|")), unit,
        limits=limits, required=required, on_basis=on_basis,
    )  # fmt: skip


def _text(field: str, heading: str, meaning: str, accepted: str, **more: object) -> Column:
    kind = "word" if "words" in more else str(more.pop("kind", "text"))
    return Column(field, heading, kind, meaning, tuple(a.strip() for a in accepted.split("|")), **more)  # type: ignore[arg-type]  # fields by name


LOT_COLUMNS: tuple[Column, ...] = (
    _text("name", "Lot", "Name of the lot, each name once",
          "lot | lot name | lot id | hay lot | lot number | sample id | sample name | sample number | sample no | sample | "
          "name | id", required=True),
    _text("field", "Field", "Field the lot was cut from", "field | field name | meadow | pasture"),
    _number("cutting", "Cutting", "1", "Which cutting of the year", "cutting | cut | cutting number | cut number | cutting no",
            1, 12, kind="whole"),
    _text("forage", "Forage", "Kind of forage",
          "forage | forage type | kind of forage | hay type | type of hay | forage kind | feed type | product | product name | "
          "crop | species | material | feed | feed name | feed description", words=FORAGES, required=True),
    _text("basis", "Basis", "Basis that the lab's values stand on",
          "basis | reported basis | reporting basis | basis of results", words=BASES),
    _number("dm_pct", "Dry matter (%)", "% as fed", "Dry matter", "dry matter | dm | total dry matter | solids | total solids",
            1, 100, above=True, required=True),
    _number("cp_pct", "Crude protein (%)", "% DM", "Crude protein", "crude protein | protein | cp | total protein", 1, 60,
            required=True),
    _number("adf_pct", "ADF (%)", "% DM", "Acid detergent fiber", "adf | acid detergent fiber | acid detergent fibre | adfom",
            0, 90, required=True),
    _number("ndf_pct", "NDF (%)", "% DM", "Neutral detergent fiber",
            "ndf | neutral detergent fiber | neutral detergent fibre | andf | andfom | ndfom", 0, 95, above=True, required=True),
    _number("ndfd48_pct", "NDF digestibility, 48 hours (% of NDF)", "% of NDF", "NDF digested in 48 hours",
            "ndfd 48 | ndfd 48 h | ndfd 48 hr | ndfd 48 hours | ndf digestibility 48 h | ndf digestibility 48 hr | "
            "ndf digestibility 48 hours | ndf digestibility 48 hour | ndf digestibility 48 | "
            "neutral detergent fiber digestibility 48 h | neutral detergent fiber digestibility 48 hours", 0, 100),
    _number("ash_pct", "Ash (%)", "% DM", "Ash", "ash | crude ash", 0, 50),
    _number("fat_pct", "Fat (%)", "% DM", "Crude fat (ether extract)", "fat | crude fat | ether extract | ee | fat ee", 0, 30),
    _number("lignin_pct", "Lignin (%)", "% DM", "Lignin", "lignin | adl | acid detergent lignin", 0, 40),
    _number("ca_pct", "Calcium (%)", "% DM", "Calcium", "calcium | ca | calcium ca", 0, 10),
    _number("p_pct", "Phosphorus (%)", "% DM", "Phosphorus", "phosphorus | p | phosphorus p", 0, 5),
    _number("mg_pct", "Magnesium (%)", "% DM", "Magnesium", "magnesium | mg | magnesium mg", 0, 5),
    _number("k_pct", "Potassium (%)", "% DM", "Potassium", "potassium | k | potassium k", 0, 12),
    _number("s_pct", "Sulfur (%)", "% DM", "Sulfur", "sulfur | sulphur | s | sulfur s | sulphur s", 0, 3),
    # from here to selenium the lowest is above 0: less is a percent read as ppm, and 0 is what a lab prints for "not found"
    _number("na_pct", "Sodium (%)", "% DM", "Sodium", "sodium | na | sodium na", 0.0005, 5),
    _number("fe_ppm", "Iron (ppm)", "ppm", "Iron", "iron | fe | iron fe", 5, 20_000),
    _number("cu_ppm", "Copper (ppm)", "ppm", "Copper", "copper | cu | copper cu", 0.3, 200),
    _number("zn_ppm", "Zinc (ppm)", "ppm", "Zinc", "zinc | zn | zinc zn", 1, 2000),
    _number("mn_ppm", "Manganese (ppm)", "ppm", "Manganese", "manganese | mn | manganese mn", 1, 3000),
    _number("mo_ppm", "Molybdenum (ppm)", "ppm", "Molybdenum", "molybdenum | mo | molybdenum mo", 0.02, 100),
    _number("se_ppm", "Selenium (ppm)", "ppm", "Selenium", "selenium | se | selenium se", 0.005, 30),
    _number("nitrate_n_ppm", "Nitrate nitrogen (ppm NO3-N, as Basis says)", "ppm", "Nitrate nitrogen (NO3-N)",
            "nitrate nitrogen no3-n basis says | nitrates n | nitrates nitrogen | nitrates no3-n | nitrate n | nitrate nitrogen | no3-n | nitrate no3-n | nitrate nitrogen no3-n | nitrate as no3-n", 0, 30_000),
    _text("nitrate_limit", "Nitrate stated as", "Whether the nitrate is only a limit: at least, or at most, so much",
          "nitrate stated as", words=LIMIT_WORDS),
    _number("hcn_ppm", "Prussic acid (ppm HCN, as Basis says)", "ppm", "Prussic acid (HCN)",
            "prussic acid hcn basis says | prussic acid | hcn | prussic acid hcn | hydrocyanic acid | hydrogen cyanide | "
            "hydrocyanic acid hcn | hydrogen cyanide hcn | prussic acid hydrogen cyanide", 0, 100_000),
    _text("hcn_limit", "Prussic acid stated as", "Whether the prussic acid is only a limit: at least, or at most, so much",
          "prussic acid stated as", words=LIMIT_WORDS),
    _number("ergovaline_ppb", "Ergovaline (ppb, as Basis says)", "ppb", "Ergovaline",
            "ergovaline basis says | ergovaline", 0, 100_000),
    _text("ergovaline_limit", "Ergovaline stated as", "Whether the ergovaline is only a limit: at least, or at most, so much",
          "ergovaline stated as", words=LIMIT_WORDS),
    _number("adicp_pct", "Heat-bound protein, ADICP (%)", "% DM", "Acid detergent insoluble crude protein",
            "adicp | acid detergent insoluble crude protein | acid detergent insoluble protein | adf insoluble crude protein | "
            "adficp | adf cp | heat bound protein | heat bound protein adicp | bound protein | heat damaged protein", 0, 40),
    _number("ndicp_pct", "NDF-bound protein, NDICP (%)", "% DM", "Neutral detergent insoluble crude protein",
            "ndicp | neutral detergent insoluble crude protein | neutral detergent insoluble protein | "
            "ndf insoluble crude protein | ndficp | ndf bound protein ndicp | ndf bound protein | ndf cp", 0, 40),
    _number("lab_tdn_pct", "TDN by the lab (%)", "% DM", "TDN as the laboratory worked it out",
            "tdn by the lab | lab tdn | tdn | total digestible nutrients | total digestible nutrients tdn", 20, 95),
    _text("lab_tdn_equation", "Equation of the lab's TDN", "How the laboratory worked its TDN out, in its own words",
          "equation of the lab's tdn | tdn equation | tdn method | tdn by | tdn calculation | tdn formula"),
    _number("lab_nel_mcal_lb", "NEL by the lab (Mcal/lb)", "Mcal/lb DM", "Net energy for lactation as the laboratory worked it out",
            "nel by the lab | lab nel | nel | ne l | net energy lactation | net energy for lactation | net energy lactation nel | "
            "net energy for lactation nel", 0.1, 1.2),
    _number("lab_rfv", "RFV by the lab", "index", "Relative feed value as the laboratory worked it out",
            "rfv by the lab | lab rfv | rfv | relative feed value | relative feed value rfv", 20, 400),
    _number("tons", "Tons on hand", "tons", "Hay on hand, short tons as fed", "tons on hand | tons | short tons | hay on hand",
            0, 100_000),
    _number("bales", "Bales", "bales", "Bales on hand", "bales | bales on hand | number of bales | bale count", 0, 100_000,
            kind="whole"),
    _number("bale_weight_lb", "Bale weight (lb)", "lb", "Weight of one bale as fed", "bale weight | weight of bale | "
            "weight per bale", 10, 5000),
    _text("bale", "Bale type", "Kind of bale", "bale type | bale | kind of bale | bale kind", words=BALES),
    _number("price_per_ton", "Price ($/ton)", "$/ton as fed", "Price or value per short ton as fed",
            "price | price per ton | cost | cost per ton", 0, 5000),
    _text("harvest_date", "Harvest date", "Date cut or baled",
          "harvest date | date harvested | baling date | date baled | cutting date | date cut | harvested | baled", kind="date"),
    _text("sample_date", "Sample date", "Date cored", "sample date | date sampled | sampling date | date cored | sampled", kind="date"),
    _number("cores", "Cores", "cores", "Cores taken for the sample", "cores | cores taken | number of cores", 1, 1000, kind="whole"),
    _text("storage", "Storage", "How the hay is stored", "storage | stored | where stored | storage method",
          names_of=("STORAGE_LOSS", "method")),
    _text("feeder", "Feeder", "What the lot is fed in", "feeder | fed in | feeder type | kind of feeder | hay feeder",
          names_of=("FEEDING_LOSS", "feeder")),
    _text("seen", "Seen in the hay", "What somebody saw in it, such as mold", "seen in the hay | seen in hay | seen",
          names_of=("SEEN_IN_HAY_CAUTION", "seen")),
    _text("seen_too", "Also seen", "What else somebody saw in it", "also seen | seen too | seen besides", names_of=("SEEN_IN_HAY_CAUTION", "seen")),
    _text("accepted", "Accepted", "Words that accept values seldom seen, such as baleage", "accepted | accept | accepted values"),
    _text("notes", "Notes", "Anything to carry along: warnings, remarks",
          "notes | note | remarks | remark | comments | comment | warning | warnings | message | messages | flag | flags | outlier | outliers | "
          "outlier flag | outlier warning"),
)  # fmt: skip

GROUP_COLUMNS: tuple[Column, ...] = (
    _text("name", "Group", "Name of the group, each name once", "group | group name | herd group | herd | name",
          required=True),
    _number("head", "Head", "head", "Cows in the group", "head | number of head | head count | number of cows | no of cows | cows | count", 1, 100_000,
            kind="whole", required=True),
    _number("body_weight_lb", "Body weight (lb)", "lb", "Body weight of the average animal",
            "body weight | cow weight | weight | average weight | average body weight | live weight", 300, 3000, required=True),
    _number("month_since_calving", "Month since calving", "months", "Month since calving; 1 is the first month after calving",
            "month since calving | months since calving | month after calving | months after calving | month of cycle", 1, 12,
            kind="whole"),  # needed, unless a calving date gives it
    _number("peak_milk_lb", "Peak milk (lb/day)", "lb/day", "Milk at the peak of lactation; of first- and second-calf cows and bred heifers, that of the herd's grown cows",
            "peak milk | milk at peak | peak milk yield", 0, 100),
    _number("calf_weight_lb", "Calf birth weight (lb)", "lb", "Birth weight of the calf",
            "calf birth weight | calf weight | birth weight | calf weight at birth", 20, 200),
    _number("condition_score", "Condition score (1-9)", "score", "Body condition score, 1 thin to 9 fat",
            "condition score | body condition score | bcs | condition | condition score 1 9 | body condition score 1 9", 1, 9),
    _text("calving_date", "Calving date", "Middle of the calving season",
          "calving date | date of calving | calving | average calving date | mid calving date", kind="date"),
    _text("cattle_class", "Class of cattle", "What they are; blank is read as cow", "class of cattle | cattle class | class | kind of cattle | cattle",
          words=CATTLE),
    _number("grown_weight_lb", "Weight when grown (lb)", "lb", "Full weight when grown: of the cow a heifer becomes, of a grown bull, of a steer fat enough to sell",
            "weight when grown | grown weight | mature weight | mature body weight | mature cow weight", 450, 3500),
    _number("gain_wanted_lb", "Gain wanted (lb/day)", "lb/day", "Gain wanted of growing cattle and bulls",
            "gain wanted | gain | wanted gain | daily gain | average daily gain | adg", 0, 6),
    _number("condition_wanted", "Condition score wanted (1-9)", "score", "Condition score to be reached",
            "condition score wanted | wanted condition score | bcs wanted | wanted bcs | target bcs | condition score wanted 1 9", 1, 9),
    _number("condition_days", "Days to reach it", "days", "Days from the start of feeding in which the condition score wanted is to be reached",
            "days to reach it | days to reach condition | days to condition | days to bcs", 1, 730),
)  # fmt: skip


def column_of(field: str, columns: tuple[Column, ...] = LOT_COLUMNS) -> Column:
    return next(c for c in columns if c.field == field)


@cache
def limits_of(column: Column) -> Arg:
    """What is allowed in a column of numbers.

    A value that passes here must not be refused later by a function, so the range is the
    part that our own (what a lot or a cow can be) and the catalogue's arguments of this
    name and unit have in common.  For counts of the stock our own stands alone: a function
    that spreads cores over bales needs a bale, a list may hold none.
    """
    import hayfuncs  # the catalogue is filed on import

    own = column.limits
    assert own is not None
    every = [own] + [
        arg
        for record in hayfuncs.CATALOGUE.values()
        for name, arg in record.args.items()
        if name == column.field and isinstance(arg, Arg) and arg.unit == own.unit and own.unit not in STOCK_UNITS
    ]
    lo = max(a.lo for a in every)
    above = any(a.above for a in every if a.lo == lo)
    return Arg(own.meaning, own.unit, lo, min(a.hi for a in every), above=above)


def asks_fraction(column: Column, value: float) -> str:
    """The question to put when a protein looks like a fraction of 1; empty when it does not."""
    if column.field != "cp_pct" or not 0 < value < 1:
        return ""
    return f"was a fraction meant? {value:g} as a fraction is {100 * value:g} %; give percent"


def asks_percent(column: Column, value: float) -> str:
    """The question to put when a mineral looks like a percent under a heading of ppm; empty when it does not."""
    lo = LEAST_PCT if column.limits is not None and column.limits.lo == 0 else column.limits.lo if column.limits else 0
    if column.field not in MINERALS or not 0 < value < lo:
        return ""
    return f"was percent meant? no hay holds so little: this is {value:.4g} {column.unit}"


@cache
def names_of(column: Column) -> tuple[str, ...]:
    """The names a text column may hold, from the table behind a function; empty: any text."""
    import hayfuncs
    from hayfuncs.contract.tables import load

    if column.names_of is None or column.names_of[0] not in hayfuncs.CATALOGUE:
        return ()
    arg = hayfuncs.CATALOGUE[column.names_of[0]].args.get(column.names_of[1])
    return tuple(load(arg.table).names()) if isinstance(arg, Name) else ()
