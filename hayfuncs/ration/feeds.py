"""Feeds: what a supplement holds, and how much of it is too much.

The tables keep one row a value, each with its own source and evidence class.  `wide()` and
`wide_limits()` lay them out with one row a feed, as a worksheet shows them and as the
longhand refers to them: `{@supplements.tdn_pct}`, `{@feeding_limits.caution_over}`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any

from hayfuncs.contract.catalogue import Arg, Longhand, Name, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.errors import NotInTable
from hayfuncs.contract.tables import Cell, Table, citation, load

TOPIC = "Supplement"
COLUMNS = {  # the word on a sheet -> the table's column
    "DM": "dm_pct", "TDN": "tdn_pct", "CP": "cp_pct", "NDF": "ndf_pct",
    "fat": "fat_pct", "Ca": "ca_pct", "P": "p_pct", "S": "s_pct",
}  # fmt: skip
UNITS = dict.fromkeys(COLUMNS.values(), "% DM") | {"dm_pct": "% as fed", "bulk_lb_ft3": "lb/ft3"}
WHOLE_DIET = "whole diet"  # limits of the ration, not of one feed
TDN_LIMIT = "TDN from supplement, % of body weight a day"
KINDS = {  # kind of limit -> its column of values and its column of texts in the wide table
    "% of body weight a day": ("limit_pct_bw", "caution_over"),
    "% of body weight a day, danger": ("danger_pct_bw", "caution_danger"),
    "% of body weight a day, weaned calf": ("calf_pct_bw", ""),
    "body weight at least": ("least_weight_lb", "caution_light"),
    "lb as fed a day": ("limit_lb_day", "caution_lb_day"),
    "% of diet dry matter": ("limit_pct_diet", ""),
    "at any rate": ("", "caution_always"),
    "none on file": ("", ""),
}
MOST_LB = 1e5  # lb a day: a herd of thousands; beyond it a unit is wrong
MOST_WEIGHT_LB = 5000.0  # above the heaviest cattle on record


@dataclass(frozen=True)
class Figure:
    """One value of the feed table, and how it is known."""

    feed: str
    column: str
    value: float
    unit: str
    low: float | None  # the ends of what the sources that were read print; None for a value from memory
    high: float | None
    n_sources: float | None
    evidence: str
    source: str
    where: str

    @property
    def range_said(self) -> str:
        """The range in words: "75 to 83 in 2 sources"; empty where no source was read."""
        if self.low is None or self.high is None or self.n_sources is None:
            return ""
        ends = f"{self.low:g} to {self.high:g}" if self.low != self.high else f"{self.low:g}"
        return f"{ends} in {self.n_sources:g} source{'s' * (self.n_sources != 1)}"


@dataclass(frozen=True)
class Limit:
    """One limit of a feed or of the whole diet: its kind, its words, and who decides."""

    feed: str
    kind: str
    value: float | None
    unit: str
    text: str
    owner: str
    evidence: str
    source: str
    where: str


@cache
def figures() -> dict[tuple[str, str], Figure]:
    """(feed, column) -> the value with its source."""
    rows = [{k: v for k, v in row.items() if k != "key"} for row in load("supplements").rows]
    return {(str(row["feed"]), str(row["column"])): Figure(**row) for row in rows}  # type: ignore[arg-type]  # the table's columns are the fields


def furthest(feed: str, column: str) -> float:
    """How far the value furthest from the table's lies from it, of those the sources print; 0 where none differs."""
    f = figures().get((feed, column))
    return 0.0 if f is None or f.low is None or f.high is None else max(f.high - f.value, f.value - f.low)


@cache
def all_limits() -> tuple[Limit, ...]:
    rows = [{k: v for k, v in row.items() if k != "key"} for row in load("feeding_limits").rows]
    return tuple(Limit(**row) for row in rows)  # type: ignore[arg-type]  # the table's columns are the fields


@cache
def table() -> Table:
    """The feed table with one row a feed; None where no source gives a value."""
    names = list(dict.fromkeys(feed for feed, _ in figures()))
    rows: list[dict[str, Cell]] = []
    for feed in names:
        known = {c: figures().get((feed, c)) for c in UNITS}
        rows.append({"feed": feed, **{c: f.value if f else None for c, f in known.items()}})
    units = {"feed": "name", **UNITS}
    return Table("supplements", load("supplements").head, tuple(units), units, tuple(rows))


@cache
def limits_table() -> Table:
    """The feeding limits with one row a feed; None where there is no such limit, "" where no text."""
    units = {"feed": "name"}
    for limit in all_limits():
        value, text = KINDS.get(limit.kind, ("", ""))
        units |= ({value: limit.unit} if value else {}) | ({text: "text"} if text else {})
    rows: list[dict[str, Cell]] = []
    for feed in table().names():
        row: dict[str, Cell] = {c: "" if u == "text" else None for c, u in units.items()}
        row["feed"] = feed
        for limit in limits(feed):
            value, text = KINDS[limit.kind]
            row |= ({value: limit.value} if value else {}) | ({text: limit.text} if text else {})
        rows.append(row)
    return Table("feeding_limits", load("feeding_limits").head, tuple(units), units, tuple(rows))


def wide() -> list[dict[str, Cell]]:
    """One dict a feed: `feed` and every column, None where the value is absent."""
    return [dict(row) for row in table().rows]


def wide_limits() -> list[dict[str, Cell]]:
    """One dict a feed: `feed`, the limits (None where none) and their texts ("" where none)."""
    return [dict(row) for row in limits_table().rows]


def figure(feed: str, column: str) -> Figure | None:
    """The value of a feed's column (`tdn_pct`) with its source; None where the table has none."""
    return figures().get((str(table().row(feed)["feed"]), column))


def evidence(feed: str, column: str) -> str:
    """The evidence class of a feed's value; empty where the table has none."""
    found = figure(feed, column)
    return found.evidence if found else ""


def limits(feed: str) -> tuple[Limit, ...]:
    """Every limit on file of a feed, or of the `whole diet`; empty where none is known."""
    wanted = feed.strip().casefold()
    if wanted != WHOLE_DIET:
        wanted = str(table().row(feed)["feed"]).casefold()
    return tuple(m for m in all_limits() if m.feed.casefold() == wanted and m.kind != "none on file")


@cache
def tdn_limit() -> Limit:
    """The share of body weight above which TDN from supplement stops adding up."""
    return next(m for m in limits(WHOLE_DIET) if m.kind == TDN_LIMIT)


FeedName = Annotated[str, Name("Feed, as the feed table names it", "supplements")]


def analysis_remark(feed_name: str, column: str) -> str:
    """How well one value of the table is known: its range in print, its evidence class, and whose it is."""
    columns = {word.casefold(): column for word, column in COLUMNS.items()}
    found = figure(feed_name, columns[column.strip().casefold()])
    assert found is not None  # a value that is not there was refused before
    printed = f"{found.range_said}; " if found.range_said else ""
    return f"{found.value:g} {found.unit}: {printed}{found.evidence}, {citation(found.source)}, {found.where}."


_LOOK_UP = ",".join(f"INDEX({{@supplements.{c}}},{{feed_row}})" for c in COLUMNS.values())


@worksheet(
    "FEED_ANALYSIS",
    TOPIC,
    "One value of a supplement from the feed table; a value that no source gives is an error, never 0.",
    equation="looks the feed and the column up in the table",
    refs=(
        Ref("alabama-byproducts", "table 1: DM, TDN, CP, Ca, P of twelve by-products"),
        Ref("umn-sulfur", "table 1 and text: sulfur"),
        Ref("missouri-g2071", "protein equivalent of urea"),
        Ref("qld-molasses", "composition of molasses, turned to dry matter"),
        Ref("inrae-feed-tables", "corn gluten feed"),
        Ref("unl-ddgs-2017", "fat, fiber and protein of dried distillers grains"),
        Ref("uga-cotton", "table 1: cotton by-products"),
        Ref("ndsu-as1365", "table 1: beet pulp"),
        Ref("ndsu-as1609", "tables 1 and 2: corn, barley and oats", "published, second hand"),
        Ref("nrc-feeds-memory", "the other values; the table names the source of each", "from memory"),
    ),
    longhand=Longhand(
        # ISNUMBER, because a blank cell of the table must not come back as 0
        f"IF(ISNUMBER(CHOOSE({{column#}},{_LOOK_UP})),CHOOSE({{column#}},{_LOOK_UP}),NA())",
        (Step("feed_row", "MATCH({feed_name},{@supplements.feed},0)", "Row of the feed in the feed table", "1"),),
    ),
    remark=analysis_remark,
)
def feed_analysis(
    feed_name: FeedName,
    column: Annotated[str, Words("Which value: DM in % as fed, the others in % of dry matter", tuple(COLUMNS))],
) -> Annotated[float, Result("The table's value", "as the column says", 0, 300)]:
    """One value of a supplement from the feed table.

    A start before the load itself is tested; feeds vary (protein, fat, fiber by about 15 %, energy 10 %,
    minerals 30 %), so a test of the load goes before the table.

    Each value has its own source (`hayfuncs.ration.feeds.figure`): published figures where one was read,
    remembered book values for the rest. NOTES gives the range that the sources print.

    >>> feed_analysis("soybean hulls", "TDN")  # % of dry matter
    77
    """
    value: Any = table().row(feed_name, "FEED_ANALYSIS", "feed_name")[COLUMNS[column]]
    if value is None:
        given = f"{column} of {feed_name}, which is not in the table"
        raise NotInTable("FEED_ANALYSIS", "column", given, "a value that some source gives", "have the load tested")
    return float(value)


def _entry(column: str) -> str:
    return f"INDEX({{@feeding_limits.{column}}},{{limit_row}})"


def _when_over(limit: str, measured: str, text: str, sign: str = ">") -> str:
    return f'IF(ISNUMBER({_entry(limit)}),IF({measured}{sign}{_entry(limit)},{_entry(text)}&"",""),"")'


_TDN_TEXT = (
    "More than 0.7 % of body weight a day of TDN from supplement: the cow eats and digests less of her hay, and the "
    "diet falls short of the sum. Better hay is the cure; ask a licensed nutritionist or the local extension office."
)
# what harms by its excess or its lack
HARMFUL = {"Fat": "fat_pct", "Sulfur": "s_pct", "Calcium": "ca_pct", "Phosphorus": "p_pct"}
NOT_KNOWN = " is not known. "
NOT_CLEAR = "Unknown is not clear: have the load tested, and ask a licensed nutritionist."
_KNOWN = {word: f"ISNUMBER(INDEX({{@supplements.{column}}},{{feed_row}}))" for word, column in HARMFUL.items()}
_UNKNOWN = "&".join(f'IF({known},"","{word}{NOT_KNOWN}")' for word, known in _KNOWN.items())
_CAUTION = Longhand(
    'IF({rate_lb}=0,"",TRIM({danger_text}&" "&{over_text}&" "&{light_text}&" "&{lb_day_text}&" "&{tdn_text}&" "&'
    + _entry("caution_always")
    + '&" "&{unknown_text}))',
    (
        Step("feed_row", "MATCH({feed_name},{@supplements.feed},0)", "Row of the feed in the feed table", "1"),
        Step("limit_row", "MATCH({feed_name},{@feeding_limits.feed},0)", "Row of the feed in the limits", "1"),
        Step("rate_pct_bw", "100*{rate_lb}/{body_weight_lb}", "Feed a day against body weight", "% of body weight"),
        Step(
            "tdn_pct_bw",
            "{rate_pct_bw}*INDEX({@supplements.dm_pct},{feed_row})/100*INDEX({@supplements.tdn_pct},{feed_row})/100",
            "TDN from it against body weight",
            "% of body weight",
        ),
        Step(
            "danger_text",
            _when_over("danger_pct_bw", "{rate_pct_bw}", "caution_danger"),
            "Caution where the rate is dangerous",
            "text",
        ),
        Step(
            "over_text",
            'IF({danger_text}="",' + _when_over("limit_pct_bw", "{rate_pct_bw}", "caution_over") + ',"")',
            "Caution above the limit in % of body weight",
            "text",
        ),
        Step(
            "light_text",
            _when_over("least_weight_lb", "{body_weight_lb}", "caution_light", "<"),
            "Caution for a light animal",
            "text",
        ),
        Step(
            "lb_day_text",
            _when_over("limit_lb_day", "{rate_lb}", "caution_lb_day"),
            "Caution above the limit in lb a day",
            "text",
        ),
        Step("tdn_text", f'IF({{tdn_pct_bw}}>0.7,"{_TDN_TEXT}","")', "Caution on energy from supplement", "text"),
        Step(
            "unknown_text",
            f'IF(AND({",".join(_KNOWN.values())}),"",{_UNKNOWN}&"{NOT_CLEAR}")',
            "What no source gives of this feed",
            "text",
        ),
    ),
)


@worksheet(
    "FEED_CAUTION",
    TOPIC,
    "Cautions for a feed at a daily rate: limits by body weight, grain, oil, sulfur, urea; empty when none is on file.",
    equation="compares 100 x rate / body weight, the rate, and the TDN it brings with the limits on file",
    refs=(
        Ref("ifas-an134", "whole cottonseed 0.5 % of body weight; gossypol"),
        Ref("extension-grain", "corn 0.25 % of body weight"),
        Ref("illinois-hay", "grain 0.25 and 0.5 % of body weight"),
        Ref("jas-1999", "TDN from supplement above 0.7 % of body weight (abstract)"),
        Ref("colorado-1608", "urea 0.25 lb a day"),
        Ref("auburn-citrus", "citrus pulp 5 to 7 lb a day"),
        Ref("ohio-middlings", "wheat middlings: phosphorus and calcium"),
        Ref("tamu-byproducts", "rice bran: starch and calcium", "published, second hand"),
        Ref("nrc-feeds-memory", "parts of the urea caution; the table names the source of each", "from memory"),
        Ref("common-practice", "read the tag of a cube for urea", "common practice, no source"),
    ),
    longhand=_CAUTION,
)
def feed_caution(
    feed_name: FeedName,
    rate_lb: Annotated[float, Arg("Feed for each head", "lb as fed/day", lo=0, hi=MOST_LB)],
    body_weight_lb: Annotated[float, Arg("Full body weight of the animal", "lb", lo=0, hi=MOST_WEIGHT_LB, above=True)],
) -> Annotated[str, Result("Cautions", "text")]:
    """Cautions for a feed at a daily rate.

    Some feeds do harm above a rate, some at any rate (urea, moldy or sulfur-rich feed).

    A rate at the limit is within it. Each caution ends with who decides: the veterinarian, a licensed
    nutritionist or the local extension office. Fat, sulfur, calcium or phosphorus that no source gives is
    told as unknown. It is empty at rate 0 and where nothing is on file: an empty
    answer is NOT a proof of safety, and the limits of the whole diet (sulfur with water, fat, share of one
    feed) need the whole diet. The table feeding_limits names the source and the evidence class of every limit.

    Hulls at 0.67 % of body weight, 0.47 % as TDN:

    >>> feed_caution("soybean hulls", 8, 1200)
    ''
    """
    feed: Any = table().row(feed_name, "FEED_CAUTION", "feed_name")
    limit: Any = limits_table().row(feed_name, "FEED_CAUTION", "feed_name")
    if rate_lb == 0:
        return ""
    rate_pct_bw = 100 * rate_lb / body_weight_lb
    tdn_pct_bw = rate_pct_bw * feed["dm_pct"] / 100 * feed["tdn_pct"] / 100

    def when_over(column: str, measured: float, text: str) -> str:
        most = limit[column]
        return limit[text] if most is not None and measured > most else ""

    danger = when_over("danger_pct_bw", rate_pct_bw, "caution_danger")
    over = "" if danger else when_over("limit_pct_bw", rate_pct_bw, "caution_over")
    least = limit["least_weight_lb"]
    light = limit["caution_light"] if least is not None and body_weight_lb < least else ""
    by_weight = when_over("limit_lb_day", rate_lb, "caution_lb_day")
    energy = tdn_limit().text if tdn_pct_bw > (tdn_limit().value or 0) else ""
    missing = [f"{word}{NOT_KNOWN}" for word, column in HARMFUL.items() if feed[column] is None]
    unknown = "".join([*missing, NOT_CLEAR]) if missing else ""
    texts = (danger, over, light, by_weight, energy, limit["caution_always"], unknown)
    return " ".join(text for text in texts if text)
