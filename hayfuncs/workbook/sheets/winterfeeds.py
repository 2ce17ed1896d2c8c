"""Winter feeds: everything that can be fed this winter - own hay, hay to buy, supplements - in one table."""

from __future__ import annotations

from typing import Any, NamedTuple

from hayfuncs.workbook.keyed import another, unknown, where
from hayfuncs.workbook.model import Book, Input
from hayfuncs.workbook.page import Page, heading, worked
from hayfuncs.workbook.season import Season
from hayfuncs.workbook.sheets.assumptions import MINERALS
from hayfuncs.workbook.sheets.common import begin, typed_names
from hayfuncs.workbook.sheets.feeds import NONE, Feeds
from hayfuncs.workbook.sheets.grid import Asking, number
from hayfuncs.workbook.sheets.haytobuy import HayToBuy
from hayfuncs.workbook.sheets.hazards import Hazards
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.sheets.stock import Stock
from hayfuncs.workbook.table import Column, Table, asked, computed

OWN, BOUGHT, FEED, MINERAL = "own hay", "bought hay", "feed", "mineral"  # kinds 1 to 4
OPEN_LB, OPEN_PCT = 1000, 100  # a limit that does not count
NO_END = "as needed"
HOMES = ("Winter lots", "Winter offers", "Winter supplements", "Winter minerals")  # in the keys of inputs
IN_PLAN = "yes"
NOT_ALLOWED, MISSING = "not allowed", "not known: "  # and which values
FEED_NEEDS = {"price": "price", "dm_pct": "dry matter", "tdn_pct": "TDN", "cp_pct": "CP", "fat_pct": "fat", "s_pct": "sulfur", "ca_pct": "calcium", "p_pct": "phosphorus"}  # fmt: skip
OFFER_NEEDS = {
    "price": "price",
    "dm": "dry matter",
    "tdn": "TDN",
    "cp": "CP",
    "ndf": "NDF",
    "fat": "fat",
    "s": "sulfur",
}
LEFT_OUT = "left out for safety: "  # and by what
# hazards that keep a lot out until the user says otherwise: column of the sheet Hazards, name
DEADLY = ((("prussic",), "prussic acid"), (("ergot",), "ergovaline"), (("seen", "seen_too"), "what was seen in it"))
NITRATE_OUT = "nitrate"  # no share at all, however it is fed
NOT_MIXED = "nitrate, as hay is not ground and mixed"
NO_UREA = "urea: never in the plan"
# where the price of own hay comes from: typed there, else of the lots that have one, else that of hay to buy
STOCK, MEAN, PILE, NO_PRICE = "Stock", "mean of lots with a price", "Hay pile, hay to buy", "not entered"


class Source(NamedTuple):
    """A row of one of the home sheets."""

    kind: int
    row: int
    name: str  # as the workbook is made
    allowed: int


def _at(column: str) -> str:
    """The value of this row's home sheet."""
    return f"INDEX({{{column}}},{{line}})"


def _n(column: str) -> str:
    return f"N({_at(column)})"


def _is_danger(mark: str) -> str:
    return f'(MID({_at(f"hazards.{mark}")},1,2)="Da")'


def _name(table: str) -> str:
    column = "counted" if table == "lots" else "name"
    return f'{_at(f"{table}.{column}")}&""'


def _mineral(what: str) -> str:
    return f"CHOOSE({{line}},{','.join(f'{mark}_{what}' for _, mark, _ in MINERALS)})"


def _by_kind(
    head: str, unit: str, own: str, bought: str, feed: str, mineral: str = "0", style: str = "number2", width: float = 12, key: str = "", band: str = "",
) -> Column:  # fmt: skip
    """One value for each kind of row; what is not known shows 0 and is not fed."""
    return computed(head, unit, f"=CHOOSE({{kind}},{own},{bought},{feed},{mineral})", style, width, band, key)


def _or_untested(part: str) -> str:
    lab = _at(f"lots.lab_{part}_pct")
    return f'IF({lab}="",hay_{part}_untested,{lab}/MAX(1,N({_at("lots.divisor")}))*100)'


def _content(head: str, part: str) -> Column:
    """Calcium or phosphorus."""
    offered = _at(f"offers.{part}")
    bought = f'IF({offered}="",hay_{part}_untested,{offered})'
    return _by_kind(head, "% DM; minerals as fed", _or_untested(part), bought, _n(f"feeds.{part}_pct"), _mineral(f"{part}_pct"))  # fmt: skip


def _asked(head: str, unit: str, asking: Asking, of: Any, style: str = "input", width: float = 12, only: int | None = None, band: str = "") -> Column:  # fmt: skip
    """Keys by the row of the home sheet, so that a further lot does not move what is said of the feeds; of one kind only, if so said."""

    def by_row(row: WinterFeeds, key: str) -> Input | None:
        kind, line = row.item.kind, row.item.row
        return asking(f"{HOMES[kind - 1]}/{line}/{key.split('/')[2]}") if only in (None, kind) else None

    return asked(head, unit, None, style, width, of=of, by_row=by_row, band=band)


def _lacks(table: str, needs: dict[str, str]) -> str:
    """The values that a row of its own sheet still lacks; nothing of a row without a name."""
    blank = "&".join(f'IF(COUNT({_at(f"{table}.{mark}")})=0,", {word}","")' for mark, word in needs.items())
    return f'IF({_at(f"{table}.name")}="","",MID({blank},3,200))'


def _mixed(who: str, words: str) -> Column:
    """Words there mean not tested; an error means that the value is impossible, and such hay is not fed."""
    pair = f"{_at(f'hazards.share_{who}_a')},{_at(f'hazards.share_{who}_b')}"
    own = f"IF(COUNT({pair})=0,IF(ISTEXT({_at(f'hazards.share_{who}_a')}),{OPEN_PCT},0),MIN({pair}))"
    return _by_kind(f"Most of a mixed diet for {words}, by nitrate", "% DM", own, _n(f"offers.share_{who}"), str(OPEN_PCT), str(OPEN_PCT), "number0")  # fmt: skip


def _as_fed(who: str, words: str) -> Column:
    """All of it where it is safe alone; a share, the margin off, where it is mixed in; else none."""
    share = f"{{mixed_{who}}}"
    most = f"=IF({share}>={OPEN_PCT},{OPEN_PCT},IF(plan_mixed=1,{share}*(1-plan_nitrate_below_pct/100),0))"
    return computed(f"Most for {words}, by nitrate, as hay is fed", "% DM", most, "number0")


def _limit(head: str, unit: str, column: str, none: str, style: str, band: str = "") -> Column:
    """The limit on file; what stands where there is none."""
    found = f"SUMPRODUCT(({{table[feeding_limits.feed]}}={{booked}})*{{table[feeding_limits.{column}]}})"
    return computed(head, unit, f"=IF({found}=0,{none},{found})", style, band=band)


# the names of a sum of 1, 2 and 4, in the order of the sums
HELD = [
    " and ".join(name for i, (_, name) in enumerate(DEADLY) if held >> i & 1) for held in range(1, 2 ** len(DEADLY))
]
HELD_SAYS = ",".join(f'"{names}"' for names in HELD)
PAID, WASTED, LOST = _at("stock.paid"), _at("stock.feeding_loss"), _at("stock.storage_loss")
KNOWN = ",".join(_at(f"feeds.{key}") for key in FEED_NEEDS)
DESPITE = (
    f"A lot at danger by {' or '.join(name for _, name in DEADLY)} as the whole diet is left out unless 1 stands here"
)


class WinterFeeds(Table[Source]):
    """One row a hay or feed: own hay, hay to buy, supplements, minerals, each from its own sheet."""

    name = _by_kind("Hay or feed", "name", _name("lots"), _name("offers"), _name("feeds"),
        "CHOOSE({line}," + ",".join(f'"{name}"' for name, *_ in MINERALS) + ")", "label", 28)  # fmt: skip
    what = computed("Kind", "word", f'=CHOOSE({{kind}},"{OWN}","{BOUGHT}","{FEED}","{MINERAL}")', "text", 13)
    # a lot at danger is left out until the user says that it is fed in spite of it; nitrate is not asked about in that
    # way: hay that nobody may eat as it is fed is left out
    state = computed("In the plan?", "word",
        f'=IF({{name}}="","",IF({{urea}}=1,"{NO_UREA}",CHOOSE(1+{{allowed}}+{{allowed}}*{{known}}*(1+{{free}}*(1+{{eaten}})),"{NOT_ALLOWED}","{MISSING}"&{{lacks}},'
        f'"{LEFT_OUT}"&CHOOSE(MAX(1,{{held}}),{HELD_SAYS}),"{LEFT_OUT}"&IF(MAX({{mixed_calf}},{{mixed_open}})=0,"{NITRATE_OUT}","{NOT_MIXED}"),"{IN_PLAN}")))',
        "text", 26)  # fmt: skip
    free = "IF(OR({held}=0,N({despite})=1),1,0)"
    eaten = "IF(MAX({most_calf},{most_open})=0,0,1)"
    allowed = _asked("Allowed? 1 yes, 0 no", "yes/no", number("Allowed?", "May the plan feed it? 1 yes, 0 no", 0, 1, required=True, whole=True), "allowed", "input0", 10, band="Typed in")  # fmt: skip
    limit = _asked("At most, where that counts", "tons as fed", number("At most", "Tons as fed that may be used this winter; empty for no limit", 0, 100000), lambda row: None)  # fmt: skip
    despite = _asked("Feed it in spite of a danger? 1 yes, 0 no", "yes/no", number("Feed it in spite of a danger?", DESPITE, 0, 1, whole=True), lambda row: 0, "input0", only=1)  # fmt: skip
    price = _by_kind(
        "Price", "$/ton as fed", f"IF(COUNT({PAID})=1,{PAID},IF(COUNT(own_dry_price)=1,own_dry_price*{_at('lots.lab_dm_pct')}/100,own_hay_price))",
        _n("offers.price"), _n("feeds.price"), f"N({_mineral('price')})", "money", band="From the other sheets")  # fmt: skip
    priced = _by_kind(
        "Price from", "words", f'IF(COUNT({PAID})=1,"{STOCK}",IF(COUNT(own_dry_price)=1,"{MEAN}",IF(COUNT(own_hay_price)=1,"{PILE}","{NO_PRICE}")))',
        '"Hay to buy"', '"Feeds"', '"Assumptions"', "text", 24)  # fmt: skip
    counts = computed("Price counted", "$/ton as fed",
        "=IF({kind}>1,N({price}),IF(plan_own_value_pct=0,0,IF(COUNT({price})=0,{not_entered},{price}*plan_own_value_pct/100)))", "money")  # fmt: skip
    dm = _by_kind("Dry matter", "% as fed", _n("lots.lab_dm_pct"), _n("offers.dm"), _n("feeds.dm_pct"))
    tdn = _by_kind("TDN", "% DM", _n("lots.tdn"), _n("offers.tdn"), _n("feeds.tdn_pct"))
    cp = _by_kind("CP, less what heat has bound", "% DM", f"IF({_n('hazards.bound')}>plan_heat_pct,{_n('hazards.available')},{_n('lots.cp')})",
        _n("offers.cp"), _n("feeds.cp_pct"))  # fmt: skip
    ndf = _by_kind("NDF of hay", "% DM", _n("lots.ndf"), _n("offers.ndf"), "0")
    fat = _by_kind("Fat", "% DM", f"IF(ISNUMBER({_at('lots.fat')}),{_at('lots.fat')},hay_fat_untested)", _n("offers.fat"), _n("feeds.fat_pct"))  # fmt: skip
    s = _by_kind("Sulfur", "% DM", _or_untested("s"), _n("offers.s"), _n("feeds.s_pct"))
    ca, p = _content("Calcium", "ca"), _content("Phosphorus", "p")
    wasted = _by_kind("Wasted at its own feeder", "% of what is put out", f"IF(ISNUMBER({WASTED}),{WASTED},plan_feeding_unsaid)", _n("offers.wasted"), "0", style="number1")  # fmt: skip
    loss = _by_kind("Lost in store", "% DM", f"IF(ISNUMBER({LOST}),{LOST},plan_storage_unsaid)", _n("offers.loss"), "0", style="number1")  # fmt: skip
    kept = computed("Kept in store", "% of what is stored", "=100-{loss}")
    bale = _by_kind("A bale as it is fed, storage loss taken off", "lb as fed", f"N({_at('register.weight')})*{{kept}}/100",
        "IF(COUNT({register.weight})=0,0,AVERAGE({register.weight}))*{kept}/100", "0", style="number1")  # fmt: skip
    there = _by_kind("There is", "tons as fed", _n("register.tons"), f'IF({_at("offers.tons")}="","",{_at("offers.tons")})', '""', '""', "number1")  # fmt: skip
    # the smaller of what there is and what may be used; text where there is no end to it
    tons = computed("Tons that can be used", "tons as fed", f'=IF(COUNT({{there}},{{limit}})=0,IF({{name}}="","","{NO_END}"),MIN({{there}},{{limit}}))', width=14)  # fmt: skip
    lacks = _by_kind("What is not known", "words", '""', _lacks("offers", OFFER_NEEDS), _lacks("feeds", FEED_NEEDS), '""', "text", 20)  # fmt: skip
    known = _by_kind("All known? 1 yes, 0 no", "yes/no", "COUNT({counts})", _at("offers.known"),
        f'({_at("feeds.name")}<>"")*(COUNT({KNOWN})={len(FEED_NEEDS)})', "1", "number0", 10)  # fmt: skip
    booked = _by_kind("Name in the feed book", "name", f'"{NONE}"', f'"{NONE}"', f'{_at("feeds.booked")}&""', f'"{NONE}"', "text", 22, "book", "Limits of the feed")  # fmt: skip
    mixed_calf, mixed_open = _mixed("calf", "cows in calf"), _mixed("open", "others")
    most_calf, most_open = _as_fed("calf", "cows in calf"), _as_fed("open", "others")
    held = _by_kind("At danger: 1 prussic acid, 2 ergovaline, 4 what was seen in it, or their sum", "1",
        "+".join(f"{2**i}*MIN(1,{'+'.join(_is_danger(mark) for mark in marks)}+0)" for i, (marks, _) in enumerate(DEADLY)), "0", "0", style="number0", width=14)  # fmt: skip
    grain = _by_kind("Starchy grain? 1 yes, 0 no", "yes/no", "0", "0", _n("feeds.is_grain"), style="number0", width=11)
    urea = _by_kind("Urea in it? 1 yes, 0 no", "yes/no", "0", "0", _n("feeds.is_urea"), style="number0", width=11)
    most_lb = _limit("Most a head", "lb as fed/day", "limit_lb_day", f"IF({{kind}}=4,mineral_most_lb,{OPEN_LB})", "lb_or_none")  # fmt: skip
    # a grain without a limit by weight is held by the limit of all grain together
    most_bw = _limit("Most by weight", "% of body weight", "limit_pct_bw", f"IF({{grain}}=1,plan_grain_pct_bw,{OPEN_PCT})", "pct_or_none")  # fmt: skip
    most_diet = _limit("Most in the diet", "% DM", "limit_pct_diet", str(OPEN_PCT), "pct_or_none")
    assumed = computed("Fed at an assumed price? 1 yes, 0 no", "yes/no",
        f'=IF(AND({{kind}}=1,plan_own_value_pct>0,{{allowed}}=1,N({{tons}})>0,{{priced}}<>"{STOCK}"),1,0)', "number0")  # fmt: skip
    kind = computed("Kind: 1 own hay, 2 bought, 3 feed, 4 mineral", "1", lambda row: row.item.kind, "number0", band="Where it stands")  # fmt: skip
    line = computed("Row of its sheet", "1", lambda row: row.item.row, "number0", 10, key="row")
    made = computed("Its name when this workbook was made", "name", lambda row: row.item.name, "text", 22)
    twice = computed("Is its name used twice? 1 yes, 0 no", "yes/no", '=IF(SUMPRODUCT(--({local.name}={name}))*({name}<>"")>1,1,0)', "number0")  # fmt: skip
    lots, offers, feeds = another(lambda: Lots), another(lambda: HayToBuy), another(lambda: Feeds)
    stock, hazards, register = another(lambda: Stock), another(lambda: Hazards), another(lambda: Register)


class Unpriced(Page):
    """What own hay is worth whose price is not entered: it is not free."""

    counts_at = heading("Own hay without a price of its own counts at")
    dry = worked("Mean of the lots with a price", "$/ton DM", where(unknown("{stock.dry}"), "AVERAGE({stock.dry})"), "money", name="own_dry_price")  # fmt: skip
    hay = worked("Else, hay to buy", "$/ton as fed", where(unknown("bought_price"), "bought_price"), "money", name="own_hay_price")  # fmt: skip
    stock = another(lambda: Stock)


def _sources(book: Book, season: Season) -> list[Source]:
    """Every row of the home sheets; hay to buy is barred by no name."""
    tables = ("lots", "offers", "feeds")
    named = [*(typed_names(book, table) for table in tables), [name for name, *_ in MINERALS]]
    return [
        Source(kind, row, name, 0 if kind != 2 and name in season.barred else 1)
        for kind, names in enumerate(named, 1) for row, name in enumerate(names, 1)
    ]  # fmt: skip


def fill(book: Book, season: Season) -> None:
    sheet = begin(book, "Winter feeds", "Everything that can be fed this winter",
        "Own hay, hay to buy and supplements, each from its own sheet. Say 0 for what must not be fed, and tons where they count. Urea is never fed here.",
        "Inputs, then workings")  # fmt: skip
    feeds = WinterFeeds(sheet, _sources(book, season)).place().filed("sources")
    sheet.printed_cols = feeds.col(WinterFeeds.tons) + 1
    Unpriced(sheet, feeds.row_below + 1).place()
