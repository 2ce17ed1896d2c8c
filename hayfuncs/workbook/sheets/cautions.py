"""Cautions: one word for each hazard of each lot, and the limits behind the words."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.tables import sources
from hayfuncs.workbook.model import Book, Formula, Sheet, a1
from hayfuncs.workbook.sheets.common import FIRST, begin
from hayfuncs.workbook.sheets.grid import Grid, Ref, Row, there
from hayfuncs.workbook.sheets.levels import DANGERS, LOOK, UNKNOWN, WORDS, flag, flag_dangers, level, noted

# column of the sheet Hazards or Repeat tests, short name, has levels
WATCHED = (
    ("nitrate_calf_a", "Nitrate, in calf, Clemson", True), ("nitrate_calf_b", "Nitrate, in calf, midwest lab", True),
    ("nitrate_open_a", "Nitrate, others, Clemson", True), ("nitrate_open_b", "Nitrate, others, midwest lab", True),
    ("tetany", "Grass tetany", True), ("cap", "Ca to P", True), ("sulfur", "Sulfur", True), ("prussic", "Prussic acid", True),
    ("ergot", "Ergovaline", True), ("stack", "Stack heat", True), ("baling", "Baling moisture", True), ("heat", "Heat damage", False),
    ("lab", "Lab sheet", False), ("lot", "Lot notes", False), ("repeat", "Repeat tests", False),
)  # fmt: skip
NITRATE = 4  # the first so many columns read one nitrate test
SPACED = '&" "&'  # between texts, and TRIM around them: an office drops blanks at a text's ends on loading
PARTS = 4  # the names of what to look at are joined in parts, so that each formula stays short
VET, OFFICE, FIRE, LAB, AGENT = (
    "veterinarian",
    "local extension office",
    "fire service and local code",
    "laboratory",
    "agent and producer",
)
# hazard, limit in words, function whose sources stand behind it, who decides
LIMITS = (
    ("Nitrate nitrogen, Clemson scale", "clear below 1,000 ppm NO3-N; in calf: caution from 1,000, danger from 2,000; others: caution from 1,500, danger from 3,500; none above 4,000", "NITRATE_CAUTION", f"{VET}; {OFFICE}"),
    ("Nitrate nitrogen, midwest laboratory", "very low below 700 ppm NO3-N; limits from 700; high from 2,100; extremely high above 3,500", "NITRATE_CAUTION", f"{VET}; {OFFICE}"),
    ("Grass tetany", "ratio K/(Ca+Mg) above 2.2 in equivalents; magnesium below 0.20 %", "TETANY_CAUTION", VET),
    ("Calcium to phosphorus", "below 1 danger; below 1.5 or above 7 caution", "CALCIUM_PHOSPHORUS_CAUTION", VET),
    ("Sulfur", "above 0.40 % of a high-forage diet caution, above 0.50 % danger; water counts too", "SULFUR_CAUTION", VET),
    ("Prussic acid", "200 and 600 ppm of the wet sample; the same numbers are held against dry matter, which is stricter; drying is no safeguard", "PRUSSIC_ACID_CAUTION", f"{VET}; {OFFICE}"),
    ("Ergovaline", "from 100 ppb caution, above the threshold of Assumptions danger", "ERGOVALINE_CAUTION", f"{VET}; {OFFICE}"),
    ("Stack heat", "120 deg F caution; 150 danger; 160 call the fire service; 175 hot spots likely; 190 may burst into flame", "STACK_HEAT_CAUTION", FIRE),
    ("Moisture at baling", "small square 20 %, round 18 %, large square 16 %", "BALING_MOISTURE_CAUTION", FIRE),
    ("Heat damage", "bound protein above 10 % of CP is said, above 12 % strongly", "HEAT_DAMAGE_NOTE", LAB),
    ("Lab sheet", "values that cannot be or are seldom seen", "LAB_NOTES", LAB),
    ("Lot notes", "over 200 tons, over 48 hours, fewer than 15 cores", "LOT_NOTES", AGENT),
    ("Repeat tests", "further apart than CP 1, ADF 1, NDF 1.4 in one laboratory, twice that between two", "LAB_DIFFERENCE_NOTE", LAB),
)  # fmt: skip


def fill(book: Book) -> None:
    lots = book.marks["lots"]
    sheet = begin(
        book, "Cautions", "Which lot needs a second look, and for what?",
        "One word for each hazard of each lot: Clear, Caution, Danger, Look, or not tested. The words in full stand on Hazards; the limits below.", "Result",
    )  # fmt: skip
    grid = Grid(sheet, lots["n"])
    name = there(book, "Lots", "lots", "name")
    grid.add("name", "Hay lot", "name", lambda r: Formula(f"={name(r)}"), "label", 20)
    far, twice = (there(book, "Repeat tests", "repeats", k) for k in ("far", "twice"))
    for mark, head, has_levels in WATCHED:
        if mark == "repeat":
            grid.add(
                mark,
                head,
                "word",
                lambda r: Formula(f'=IF({twice(r)}=0,"{WORDS[0]}",IF({far(r)}>0,"{LOOK}","{WORDS[1]}"))'),
                "verdict",
                12,
            )
            continue
        text = there(book, "Hazards", "hazards", mark)
        grid.add(mark, head, "word", partial(_word, text=text, of=level if has_levels else noted), "verdict", 12)
    for word, head in ((WORDS[3], "Dangers"), (WORDS[2], "Cautions"), (LOOK, "To look at"), (WORDS[0], "Not tested")):
        grid.add(f"count_{word[:3].lower()}", head, "number", partial(_count, word=word), "number0", 10)
    grid.add("count_err", "Not worked out", "number", _not_worked_out, "number0", 10)
    grid.add("says", "In all", "words", _says, "note", 28)
    step = -(-len(WATCHED) // PARTS)
    for part in range(PARTS):
        some = [k for k, *_ in WATCHED[part * step : (part + 1) * step]]
        grid.add(f"part_{part}", f"Named, part {part + 1}", "text", partial(_named, marks=some), "note", 16)
    parts = [f"part_{i}" for i in range(PARTS)]
    grid.add(
        "named",
        "What to look at",
        "text",
        lambda r: Formula(
            f'=IF({r["count_dan"]}+{r["count_cau"]}+{r["count_loo"]}=0,"nothing in what was tested",TRIM({SPACED.join(r[p] for p in parts)}))'
        ),
        "note",
        50,
    )
    grid.add("dangers", "Dangers, named", "text", _dangers, "note", 28)
    grid.done("cautions", 48)
    flag(sheet, (FIRST, 1, FIRST + lots["n"] - 1, len(WATCHED)))
    sheet.zoom = 120
    _limits(sheet, FIRST + lots["n"] + 1)
    _at_the_lot(book)


def whose(function: str) -> str:
    """Who stands behind a function's limits, in few words; the sheet Sources has the rest."""
    known = sources()
    named: list[str] = []
    for ref in CATALOGUE[function].refs:
        who = {"memory": "from memory", "definition": "by definition"}.get(ref.key, str(known[ref.key]["who"]))
        named.append(f"{who} (second hand)" if "second" in ref.evidence else who)
    return "; ".join(dict.fromkeys(named))


def _word(r: Row, text: Ref, of: Callable[[str], Formula]) -> Formula:
    return of(text(r))


def _count(r: Row, word: str) -> Formula:
    """Hazards with this word; one nitrate test is one hazard, however many scales read it."""
    nitrate = f"{r[WATCHED[0][0]]}:{r[WATCHED[NITRATE - 1][0]]}"
    others = f"{r[WATCHED[NITRATE][0]]}:{r[WATCHED[-1][0]]}"
    once = f'(COUNTIF({nitrate},"{word}")>0)'
    if word == WORDS[2]:  # caution on one scale and danger on another is a danger
        once += f'*(COUNTIF({nitrate},"{WORDS[3]}")=0)'
    return Formula(f'=COUNTIF({others},"{word}")+{once}')


def _not_worked_out(r: Row) -> Formula:
    """Hazards that show none of the words: an error, which is not the same as clear."""
    every = f"{r[WATCHED[0][0]]}:{r[WATCHED[-1][0]]}"
    return Formula(f"=COLUMNS({every})-" + "-".join(f'COUNTIF({every},"{word}")' for word in (*WORDS, LOOK)))


def _says(r: Row) -> Formula:
    dangers, cautions, looks, errors = (r[f"count_{word}"] for word in ("dan", "cau", "loo", "err"))
    found = f'"{DANGERS}"&{dangers}&", caution "&{cautions}&", look "&{looks}'
    unknown = f'IF({errors}>0,"{UNKNOWN} "&{errors}&", see Hazards; ","")'
    clear = f'IF({dangers}+{cautions}+{looks}+{errors}=0,"clear in what was tested",{found})'
    return Formula(f'={unknown}&{clear}&", not tested "&{r["count_not"]}')


def _named(r: Row, marks: list[str]) -> Formula:
    def one(mark: str) -> str:
        head = a1(FIRST - 2, r.places[mark], "r")
        return f'IF(({r[mark]}="{WORDS[1]}")+({r[mark]}="{WORDS[0]}"),"",{head}&": "&{r[mark]}&". ")'

    return Formula("=TRIM(" + "&".join(one(m) for m in marks) + ")")


def _dangers(r: Row) -> Formula:
    """The hazards at danger, nitrate once."""
    nitrate = f"{r[WATCHED[0][0]]}:{r[WATCHED[NITRATE - 1][0]]}"
    others = [f'IF({r[mark]}="{WORDS[3]}","{head}. ","")' for mark, head, has_levels in WATCHED[NITRATE:] if has_levels]
    return Formula("=TRIM(" + "&".join([f'IF(COUNTIF({nitrate},"{WORDS[3]}")>0,"Nitrate. ","")', *others]) + ")")


def _limits(sheet: Sheet, row: int) -> None:
    """The limits behind the words: one line a hazard, wide cells left free for the text."""
    sheet.put(row, 0, "Limits behind the words, who decides, and where they come from", "section")
    for hazard, limit, function, who in LIMITS:
        row += 1
        sheet.put(row, 0, f"{hazard}: {limit}.", "text")
        row += 1
        sheet.put(row, 0, f"     Decides: {who}. Source: {whose(function)}", "sentence")


def _at_the_lot(book: Book) -> None:
    """The count of cautions at the lot itself, on the sheet Lots."""
    sheet = book.by_name("Lots")
    says = there(book, "Cautions", "cautions", "says")
    col = book.marks["lots_at"]["cautions"]
    for i in range(book.marks["lots"]["n"]):
        row = Row(i + 1, FIRST + i, {})
        sheet.put(row.at, col, Formula(f'={says(row)}&": see Cautions"'), "small")
    flag_dangers(sheet, (FIRST, col, FIRST + book.marks["lots"]["n"] - 1, col))


def at_the_verdict(book: Book) -> None:
    """Beside the verdict on each lot: what else to look at before it is fed."""
    sheet = book.by_name("Verdict")
    says = book.marks["cautions"]["says"]
    col = 5 + book.marks["herd"]["n"]
    sheet.put(FIRST - 2, col, "Before it is fed: cautions on the lot", "head")
    sheet.put(FIRST - 1, col, "words, see Cautions", "unit")
    sheet.widths[col] = 27
    for i in range(book.marks["lots"]["n"]):
        sheet.put(FIRST + i, col, Formula(f"=INDEX({says},{a1(FIRST + i, 0, 'c')})"), "small")
    flag_dangers(sheet, (FIRST, col, FIRST + book.marks["lots"]["n"] - 1, col))
    _other_tdn(book, sheet, col + 2)  # beside the words why a verdict is withheld


def _other_tdn(book: Book, sheet: Sheet, col: int) -> None:
    """Where each lot's TDN was taken from, and for how many groups another way would change the word."""
    lots, others, groups = book.marks["lots"], book.marks["match"]["others"], book.marks["herd"]["n"]
    sheet.put(FIRST - 2, col, "TDN is taken from", "head")
    sheet.put(FIRST - 1, col, "words", "unit")
    sheet.put(
        FIRST - 2, col + 1, "TDN by the other ways, and for how many groups the word on energy would change", "head"
    )
    sheet.put(FIRST - 1, col + 1, "words, see Match", "unit")
    sheet.widths[col], sheet.widths[col + 1] = 24, 34
    for i in range(lots["n"]):
        place = a1(FIRST + i, 0, "c")
        sheet.put(FIRST + i, col, Formula(f"=INDEX({lots['tdn_by']},{place})"), "small")
        said = f"INDEX({lots['tdn_others']},{place})"
        changed = "+".join(f'(INDEX({others},({place}-1)*group_count+{g})<>"")' for g in range(1, groups + 1))
        words = f'{said}&" changes "&({changed})&" of "&group_count'
        sheet.put(FIRST + i, col + 1, Formula(f'=IF({said}="","",{words})'), "small")
