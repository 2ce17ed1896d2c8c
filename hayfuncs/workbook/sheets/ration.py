"""Ration: one lot, one group, one supplement - the gap and what closes it, on one screen."""

from __future__ import annotations

from hayfuncs.workbook.keyed import Made, another, calling, where
from hayfuncs.workbook.model import Book, Flagging, Formula, Picture, Series, Sheet
from hayfuncs.workbook.page import TOP, Line, Page, banner, heading, sentence, worked
from hayfuncs.workbook.pair import UNIT_AT, Heads, pair
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.feeds import Feeds
from hayfuncs.workbook.sheets.herd import Herd
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.match import Match
from hayfuncs.workbook.styles import BLUE, VERMILLION

# the numbers the workbook is for, by name, so that a reader or an audit finds them
HEADLINES = {
    "supplement_by_pounds": "rate_pounds", "supplement_by_share": "rate_share", "cost_per_cow_day": "cost",
    "energy_short": "tdn_short", "protein_short": "cp_short",
}  # fmt: skip
# the chosen case, by name, for the sheets that go on from it
CHOSEN = {
    "chosen_weight": "weight", "chosen_hay_eaten": "hay", "chosen_hay_tdn": "hay_tdn", "chosen_hay_cp": "hay_cp",
    "chosen_tdn_need": "tdn_need", "chosen_cp_need": "cp_need",
}  # fmt: skip
# what other sheets read
MARKS = (
    "lots", "herd", "feeds", "weight", "head", "feed_dm", "feed_tdn", "feed_cp", "price", "hay", "hay_tdn", "hay_cp",
    "tdn_need", "cp_need", "tdn_short", "cp_short", "tdn_density", "cp_density", "rate_pounds", "rate_share",
    "driver_pounds", "driver_share", "hay_beside", "herd_day", "cost", "cow_caution",
)  # fmt: skip
NO_ANSWER = "✗ No answer while a check fails:"


def dialed(name: str, own: str) -> str:
    """What is typed in a dial of What to feed, else the value of its own."""
    return f"=IF(COUNT({name})=0,{own},{name})"


def or_dial(name: str, own: str) -> Formula:
    return Formula(dialed(name, own))


def shown(text: str) -> str:
    """A sentence with numbers in it, empty while no answer may be shown."""
    return f'=IF({{hidden}},"",{text})'


def reason(label: str, chosen: str, table: str, mark: str) -> Line:
    """What is wrong or odd with the row that was chosen; empty where nothing is."""

    def made(page: Page) -> Formula:
        place = getattr(page, mark)
        said = doubts.says(page.book, mark, place)
        told = f'IF({said}="","",{chosen}&": "&{said}&" See {table}.")'
        return Formula(f'=IF(ISNUMBER({place}),{told},"{label} is not found: choose again.")')

    return worked(label, None, made, "text")


class Ration(Page):
    """What the hay does alone, the supplement by both ways of counting, and what stands behind."""

    of_lots, of_herd, of_feeds = another(lambda: Lots), another(lambda: Herd), another(lambda: Feeds)
    match = another(lambda: Match)
    matched = "({lots}-1)*group_count+{herd}"  # the row of Match
    hidden = '{withheld}<>""'

    lot = worked("Hay lot", None, "=chosen_lot", "result_text")
    group = worked("Cow group", None, "=chosen_group", "result_text")
    feed = worked("Supplement", None, "=chosen_feed", "result_text")

    # a nutrient that the hay covers is not named
    she_lacks = (
        'IF({cp_short}=0,TEXT({tdn_short},"0.0#")&" lb TDN",IF({tdn_short}=0,TEXT({cp_short},"0.00")&" lb CP",'
        'TEXT({tdn_short},"0.0#")&" lb TDN and "&TEXT({cp_short},"0.00")&" lb CP"))'
    )
    covered = 'IF(chosen_cow_caution="","covers the need by itself.","meets a grown cow; these cattle need more.")'
    says = banner(
        f'=IF({{hidden}},"{NO_ANSWER}","This hay "&IF(AND({{tdn_short}}=0,{{cp_short}}=0),{{covered}},'
        '"falls short by "&{she_lacks}&" a day."))'
    )
    none_needed = 'IF(chosen_cow_caution="","No supplement is needed by pounds.","No supplement by pounds for a grown cow; these need more.")'
    says_feed = banner(
        '=IF({hidden},"✗ "&{withheld},IF(ISERROR({rate_pounds}),"By pounds this supplement cannot close the gap: it is too poor in what is short.",'
        'IF({rate_pounds}=0,{none_needed},"Feed "&IF(chosen_cow_caution="","","at least ")&hall_rate&" lb of "&chosen_feed&" a day as fed; "'
        '&{driver_pounds}&" sets the rate.")))'
    )

    alone = heading("What the hay does alone, a head a day")
    alone_heads = Heads("", "Energy (TDN)", "Protein (CP)", "Unit")
    hay_tdn, hay_cp = pair(
        "Hay test", "% DM", dialed("dial_energy", "INDEX({of_lots.tdn},{lots})"), dialed("dial_protein", "INDEX({of_lots.cp},{lots})"), "result1",
    )  # fmt: skip
    gives_tdn, gives_cp = pair("Hay gives", "lb/day", "={hay}*{hay_tdn}/100", "={hay}*{hay_cp}/100", "number2")
    tdn_need, cp_need = pair(
        Made('="Need"&IF(chosen_cow_caution="","",", too low for these cattle")'), "lb/day",
        "=INDEX({of_herd.need_tdn},{herd})", "=INDEX({of_herd.need_cp},{herd})", "number2",
    )  # fmt: skip
    tdn_short, cp_short = pair(
        "Short", "lb/day",
        calling("NUTRIENT_SHORT", "{tdn_need}", "{hay}", "{hay_tdn}"), calling("NUTRIENT_SHORT", "{cp_need}", "{hay}", "{hay_cp}"), "result2",
    )  # fmt: skip
    covers_tdn, covers_cp = pair(
        "Hay covers", "%", "=100*{gives_tdn}/{tdn_need}", "=100*{gives_cp}/{cp_need}", "number0"
    )
    adds_tdn, adds_cp = pair(
        "Supplement adds (by pounds)", "%",
        "=100*{dry_pounds}*{feed_tdn}/100/{tdn_need}", "=100*{dry_pounds}*{feed_cp}/100/{cp_need}", "number0",
    )  # fmt: skip
    tdn_density, cp_density = pair(
        "Need in the diet", "% DM", "=INDEX({of_herd.density_tdn},{herd})", "=INDEX({of_herd.density_cp},{herd})", "number1",
    )  # fmt: skip
    diet_tdn, diet_cp = pair(
        "Diet with supplement (by share)", "% DM",
        "=({gives_tdn}+{dry_share}*{feed_tdn}/100)/({hay}+{dry_share})*100",
        "=({gives_cp}+{dry_share}*{feed_cp}/100)/({hay}+{dry_share})*100", "number1",
    )  # fmt: skip

    eats = heading("Hay eaten by one head")
    tdn_by = worked("TDN of the hay is taken from", None, "=INDEX({of_lots.tdn_by},{lots})", "text")
    hay = worked("Hay eaten, dry matter", "lb DM/day", dialed("dial_eats", "INDEX({match.hay},{matched})"), "result1")  # fmt: skip
    by_others = "INDEX({match.others},{matched})"
    same_word = "INDEX({of_lots.tdn_others},{lots})"
    other_ways = 'IF({by_others}="",IF({same_word}="","","By the other ways to TDN the same word: "&{same_word}),"But "&{by_others})'
    ways = sentence(shown('TRIM(INDEX({match.note},{matched})&" "&{other_ways})'), "text")

    both = heading("Supplement that covers both")
    both_heads = Heads("", "Counted in pounds", "Share of the diet", "Unit")
    by_pounds = (
        '"pounds"', "{tdn_need:fixed}", "{cp_need:fixed}", "{hay}", "{hay_tdn:fixed}", "{hay_cp:fixed}", "{feed_tdn}", "{feed_cp}", "{feed_dm}", "hay_displaced",
    )  # fmt: skip
    by_share = ('"share"', "{tdn_density:fixed}", "{cp_density:fixed}", *by_pounds[3:])
    rate_pounds, rate_share = pair(
        "Supplement, as fed", "lb as fed/day", calling("SUPPLEMENT_RATE", *by_pounds), calling("SUPPLEMENT_RATE", *by_share), "result2",
    )  # fmt: skip
    driver_pounds, driver_share = pair(
        "Driven by", "word", calling("SUPPLEMENT_DRIVER", *by_pounds), calling("SUPPLEMENT_DRIVER", *by_share), "result_text",
    )  # fmt: skip
    herd_day, herd_day_share = pair("For the whole group", "lb as fed/day", "={rate_pounds}*{head}", "={rate_share}*{head}", "number0")  # fmt: skip
    dry_pounds, dry_share = pair(
        "Supplement, dry matter", "lb DM/day", "={rate_pounds}*{feed_dm}/100", "={rate_share}*{feed_dm}/100", "number2",
    )  # fmt: skip
    unpriced = ("COUNT({price})=0", "{not_entered}")
    cost, cost_share = pair(
        "Cost a head", "$/day", where(unpriced, "{rate_pounds}*{price}/lb_per_ton"), where(unpriced, "{rate_share}*{price}/lb_per_ton"), "money",
    )  # fmt: skip
    group_cost, group_cost_share = pair(
        "Cost for the group", "$/day", where(unpriced, "{cost}*{head}"), where(unpriced, "{cost_share}*{head}"), "money",
    )  # fmt: skip
    # by share the hay is eaten to appetite; by pounds a pound of supplement may leave some hay uneaten
    hay_beside, hay_beside_share = pair(
        "Hay eaten beside it, dry matter", "lb DM/day", "={hay}-hay_displaced*{dry_pounds}", "={hay}", "number2",
    )  # fmt: skip
    total_tdn, total_tdn_share = pair(
        "TDN with supplement", "lb/day", "={hay_beside}*{hay_tdn:fixed}/100+{dry_pounds}*{feed_tdn}/100",
        "={hay_beside_share}*{hay_tdn:fixed}/100+{dry_share}*{feed_tdn}/100", "number2",
    )  # fmt: skip
    total_cp, total_cp_share = pair(
        "CP with supplement", "lb/day", "={hay_beside}*{hay_cp:fixed}/100+{dry_pounds}*{feed_cp}/100",
        "={hay_beside_share}*{hay_cp:fixed}/100+{dry_share}*{feed_cp}/100", "number2",
    )  # fmt: skip
    reckoned = sentence(
        shown(
            '"By share they eat "&TEXT({hay}+{dry_share},"0.0")&" lb of dry matter; the need in percent was reckoned on "'
            '&TEXT(INDEX({of_herd.need_dm},{herd}),"0.0")&" lb."'
        ),
        "text",
    )
    # what the share way's supplement leaves them short of, in pounds of each nutrient; "" when it covers them
    lacks_tdn, lacks_cp = "ROUND({tdn_need}-{total_tdn_share},2)>0", "ROUND({cp_need}-{total_cp_share},2)>0"
    said_tdn = 'TEXT({total_tdn_share},"0.00")&" lb TDN against "&TEXT({tdn_need},"0.00")&" ("&TEXT({tdn_need}-{total_tdn_share},"0.00")&" short)"'
    said_cp = 'TEXT({total_cp_share},"0.00")&" lb CP against "&TEXT({cp_need},"0.00")&" ("&TEXT({cp_need}-{total_cp_share},"0.00")&" short)"'
    left_short = (
        '(IF({lacks_tdn},{said_tdn},"")&IF(AND({lacks_tdn},{lacks_cp})," and ","")&IF({lacks_cp},{said_cp},""))'
    )
    compared = sentence(
        shown(
            'IF(COUNT({rate_pounds},{rate_share})<2,"#NUM! above: no amount of this feed brings the diet there. Choose a richer one.",'
            'IF({rate_share}>{rate_pounds},"Share asks for more than pounds do: they eat more than the percentage was reckoned on.",'
            'IF({left_short}="","Share asks for no more than pounds do, and what it gives covers the need as well.",'
            '"By share they are left short: "&{left_short}&".")))'
        ),
        "text",
    )

    places = heading("Where the choices stand", after=2)
    lots = worked("Row of Lots", "row of Lots", "=MATCH(chosen_lot,{of_lots.name},0)", "number0")
    herd = worked("Row of Herd", "row of Herd", "=MATCH(chosen_group,{of_herd.name},0)", "number0")
    feeds = worked("Row of Feeds", "row of Feeds", "=MATCH(chosen_feed,{of_feeds.name},0)", "number0")
    weight = worked("Body weight", "lb", "=INDEX({of_herd.weight},{herd})", "number0")
    head = worked("Head in the group", "head", "=INDEX({of_herd.head},{herd})", "number0")
    feed_dm = worked("Supplement, dry matter", "% as fed", "=INDEX({of_feeds.dm_pct},{feeds})", "number2")
    feed_tdn = worked("Supplement, TDN", "% DM", "=INDEX({of_feeds.tdn_pct},{feeds})", "number2")
    feed_cp = worked("Supplement, crude protein", "% DM", "=INDEX({of_feeds.cp_pct},{feeds})", "number2")
    price = worked(
        "Supplement, price",
        "$/ton as fed",
        dialed("dial_price", "IF(COUNT({feed_price})=0,{not_entered},{feed_price})"),
        "money",
    )
    feed_price = "INDEX({of_feeds.price},{feeds})"  # a price that is not typed is not 0
    booked_as = worked("Feeding limits looked up as", None, "=INDEX({of_feeds.booked},{feeds})", "text")
    booked = worked("Is it in the feed book? 1 yes, 0 no", "yes/no", "=SUMPRODUCT(--({table[feeding_limits.feed]}={booked_as}))", "number0")  # fmt: skip
    grain = worked(
        "Counts as starchy grain? 1 yes, 0 no", "yes/no", "=N(INDEX({of_feeds.is_grain},{feeds}))", "number0"
    )

    behind = heading("Table behind the picture")
    behind_heads = Heads("% of need", "Energy (TDN)", "Protein (CP)", "Unit")
    bar_tdn, bar_cp = pair(
        "Hay, beside the supplement", "%", where(("{hidden}", "0"), "100*{hay_beside:fixed}*{hay_tdn}/100/{tdn_need}"),
        where(("{hidden}", "0"), "100*{hay_beside:fixed}*{hay_cp}/100/{cp_need}"), "number0",
    )  # fmt: skip
    more_tdn, more_cp = pair(
        "Supplement, by pounds", "%", where(("{hidden}", "0"), "{adds_tdn}"), where(("{hidden}", "0"), "{adds_cp}"), "number0",
    )  # fmt: skip
    line_tdn, line_cp = pair("Need", "%", "=100*{tdn_need}/{tdn_need}", "=100*{cp_need}/{cp_need}", "number0")
    picture_title = sentence(
        '=IF({hidden},"No picture while a check fails",chosen_lot&": hay covers "&TEXT({covers_tdn},"0")&" % of the energy, "&TEXT({covers_cp},"0")&" % of the protein")',
        "text",
    )

    may = heading("May the answer be shown?", after=1)
    lot_wrong = reason("The lot's row", "chosen_lot", "Lots", "lots")
    group_wrong = reason("The cow group's row", "chosen_group", "Herd", "herd")
    hay_or_cattle = worked(
        "The lot's row or the cow group's", None, '=IF({lot_wrong}<>"",{lot_wrong},{group_wrong})', "text", name="hay_or_cattle_wrong",
    )  # fmt: skip
    feed_wrong = reason("The supplement's row", "chosen_feed", "Feeds", "feeds")
    checks_say = worked("The checks", None, '=IF(ration_stop="","",ration_stop&". See Checks.")', "text")
    withheld = worked(
        "Why no answer is shown", None,
        '=IF({hay_or_cattle}<>"",{hay_or_cattle},IF({feed_wrong}<>"",{feed_wrong},{checks_say}))',
        "text", name="ration_withheld",
    )  # fmt: skip
    cow_caution = worked(
        "Caution on these cattle", None, "=INDEX({of_herd.caution},{herd})", "text", after=2, name="chosen_cow_caution",
    )  # fmt: skip


class Cautions(Page):
    """The caution on the supplement, right of the answer."""

    column = 5
    ration = another(lambda: Ration)
    none = '"No feeding limit is on file for this feed: ask the maker and a nutritionist."'
    starchy = 'IF({ration.grain}=1," It counts as starchy grain: see Ration cautions.","")'

    head = Line("Caution for this supplement at the larger of the two rates", "", "", "", look="section")
    caution = Line(
        "", None,
        calling(
            "FEED_CAUTION", "{ration.booked_as}", "MAX({ration.rate_pounds},{ration.rate_share})", "{ration.weight}",
            unless=("{ration.booked}=0", "{none}&{starchy}"),
        ),
        "caution", look="", height=110,
    )  # fmt: skip
    proof = Line(
        "", None, lambda page: "An empty line is no proof of safety; the veterinarian has the last word.", "sentence", look="", after=1
    )  # fmt: skip


def fill(book: Book) -> None:
    sheet = begin(
        book, "Ration", "The gap and what closes it",
        "The working of the answer: lot, group, supplement and dials are chosen on What to feed; everything below follows.", "Result",
    )  # fmt: skip
    sheet.width(36, 22, 16, 13, 2, 60)
    sheet.zoom = 190
    ration = Ration(sheet)
    at, below = dict(ration.at), ration.at["compared"]
    cautions = Cautions(sheet, below).place()  # while the lines of Ration are still of the same sheet
    ration.place()
    marks = {key: str(getattr(ration, key)) for key in MARKS}
    book.marks["ration"] = marks | {"caution": cautions.caution}
    for name, mark in (HEADLINES | CHOSEN).items():
        book.define(name, marks[mark])
    _withheld(sheet, at)
    _picture(ration)


def _withheld(sheet: Sheet, at: dict[str, int]) -> None:
    """What is not to be read while no answer may be shown."""
    hidden = f'{sheet.book.names["ration_withheld"].split("!")[1]}<>""'
    label, value, unit = Ration.column, Ration.column + 1, Ration.column + UNIT_AT
    for first, last, right in (
        ("hay_tdn", "diet_tdn", unit - 1),
        ("hay", "hay", value),
        ("rate_pounds", "total_cp", unit - 1),
    ):
        sheet.flags.append(Flagging((at[first], value, at[last], right), "", "flag_withheld", when=hidden))
    sheet.flags.append(Flagging((at["says"], label, at["says_feed"], unit), "", "flag_bad", when=hidden))


def _picture(ration: Ration) -> None:
    """Need against have: hay solid, supplement hatched, the need a line at 100 %."""
    sheet, at = ration.sheet, ration.at

    def two(key: str) -> str:
        return sheet.span(at[key], ration.column + 1, at[key], ration.column + UNIT_AT - 1)

    names = two("behind_heads")
    sheet.draw(
        Picture(
            "column", TOP, Cautions.column, ration.picture_title, "", "% of what one head needs in a day",
            "Column chart of energy and protein: what the hay gives (solid) and what the supplement adds (hatched), each as percent of one "
            "head's need, with the need drawn as a line at 100 percent. The table behind it stands below it.",
            [
                Series("Hay", names, two("bar_tdn"), BLUE, values_shown=True, label_position="inside_end", label_color="#FFFFFF"),
                Series("Supplement", names, two("more_tdn"), VERMILLION, pattern="wide_upward_diagonal"),
            ],
            width=540, height=470, y_range=(0, None), legend=True, stacked=True,
            line=Series("Her need = 100 %", names, two("line_tdn"), "#1F1F1F", line="dash", marker="none"),
        )
    )  # fmt: skip
