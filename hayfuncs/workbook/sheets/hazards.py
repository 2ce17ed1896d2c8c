"""Hazards: for each lot the values that can hurt, on dry basis, and the library's words on each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from hayfuncs.contract.levels import VETERINARIAN_AND_OFFICE, quoted
from hayfuncs.importers.model import AS_FED, AT_LEAST, DRY, LIMIT_WORDS, Lot
from hayfuncs.winter.nitrate import MOST_PPM
from hayfuncs.workbook.barn import Barn
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import NOT_TESTED, Grid, Ref, Row, of_record, there, words

MINERALS = (
    ("ca", "Calcium"),
    ("p", "Phosphorus"),
    ("mg", "Magnesium"),
    ("k", "Potassium"),
    ("s", "Sulfur"),
    ("adicp", "ADICP, protein bound in fibre"),
)
CLEMSON, MIDWEST = '"clemson"', '"midwest laboratory"'
RULE = '"all of it"'  # the only rule for bound protein that was seen in print; it never overstates
HCN_BASIS = {DRY: "dry", AS_FED: "wet"}  # basis of a lot -> the word of PRUSSIC_ACID_CAUTION
FORAGE_DIET = '"high forage"'
AT_LEAST_SAYS = (
    "Danger: the test says only that it holds at least so much; how much more is not known. Do not feed it before a new test "
    f"gives the number. {VETERINARIAN_AND_OFFICE}"
)
TEXT = 46  # width of a column of words


def fill(book: Book, lots: Sequence[Lot], barn: Barn) -> None:
    sheet = begin(
        book, "Hazards", "What in a lot can hurt an animal or burn a barn",
        "One row is one lot: values on dry basis, then what they mean in words. Not tested says that nobody has looked, not that the hay is safe.",
        "Inputs, then workings",
    )  # fmt: skip
    stored = [barn.lot(lot.name) for lot in lots]
    grid = Grid(sheet, len(lots))
    name, divisor, lab_nitrate = (there(book, "Lots", "lots", k) for k in ("name", "divisor", "lab_nitrate_n_ppm"))
    nitrate_limit = there(book, "Lots", "lots", "lab_nitrate_limit")
    dm, cp, adf, ndf, ash, fat, forage = (
        there(book, "Lots", "lots", k) for k in ("lab_dm_pct", "cp", "adf", "ndf", "ash", "fat", "forage")
    )
    bale, lot_notes = (there(book, "Register", "register", k) for k in ("bale", "notes"))
    grid.add("name", "Hay lot", "name", lambda r: Formula(f"={name(r)}"), "label", 22)
    grid.band("Typed in")
    grid.ask(
        "temp",
        "Hottest place in the stack",
        "deg F",
        [s.stack_temp_f for s in stored],
        of_record("STACK_HEAT_CAUTION", "core_temp_f"),
        "input0",
    )
    grid.ask(
        "moisture",
        "Moisture at baling",
        "% as fed",
        [s.baling_moisture_pct for s in stored],
        of_record("BALING_MOISTURE_CAUTION", "moisture_pct"),
    )
    grid.ask(
        "hcn",
        "Prussic acid",
        "ppm, basis beside it",
        [lot.hcn_ppm for lot in lots],
        of_record("PRUSSIC_ACID_CAUTION", "hcn_ppm"),
        "input0",
    )
    only = "Where the test gave only a limit (>500, <50); empty for an exact number"
    grid.ask("hcn_limit", "That prussic acid is only a limit: at least, at most", "word",
             [lot.hcn_limit for lot in lots], words("Only a limit?", only, LIMIT_WORDS), "input_text", 12)  # fmt: skip
    says = (
        "Whether the prussic acid beside it is of dry matter or of the wet sample; empty is read as wet, the stricter"
    )
    grid.ask("hcn_basis", "Basis of that prussic acid; empty is read as wet", "word",
             [None if lot.hcn_ppm is None else HCN_BASIS[lot.basis] for lot in lots],
             words("Basis of prussic acid", says, ("wet", "dry")), "input_text", 12)  # fmt: skip
    grid.ask(
        "ergovaline",
        "Ergovaline",
        "ppb on the basis given",
        [lot.ergovaline_ppb for lot in lots],
        of_record("ERGOVALINE_IN_DIET", "hay_ppb"),
        "input0",
    )
    grid.ask("ergovaline_limit", "That ergovaline is only a limit: at least, at most", "word",
             [lot.ergovaline_limit for lot in lots], words("Only a limit?", only, LIMIT_WORDS), "input_text", 12)  # fmt: skip
    grid.band("Values on dry basis")
    for mark, head in MINERALS:
        lab = there(book, "Lots", "lots", f"lab_{mark}_pct")
        grid.add(
            mark,
            head,
            "% DM",
            partial(_dry, lab=lab, divisor=divisor),
            "number2",
        )
    grid.add("nitrate", "Nitrate nitrogen (NO3-N)", "ppm", partial(_dry, lab=lab_nitrate, divisor=divisor), "number0")
    grid.add(
        "nitrate_limit", "Nitrate is only a limit?", "word", lambda r: Formula(f'={nitrate_limit(r)}&""'), "text", 10
    )
    grid.add("nitrate_said", "Nitrate nitrogen as the test states it", "words", _as_stated, "text", 16)
    grid.add(
        "no3",
        "Nitrate, as NO3",
        "ppm",
        lambda r: call("NITRATE_AS", r["nitrate"], '"NO3-N"', '"NO3"', unless=_not_number(r["nitrate"])),
        "number0",
    )
    grid.add(
        "tetany_ratio",
        "Tetany ratio K/(Ca+Mg)",
        "ratio",
        lambda r: call("TETANY_RATIO", *_k_ca_mg(r), unless=_tetany(r)),
        "number2",
    )
    grid.add(
        "cap_ratio",
        "Calcium to phosphorus",
        "ratio",
        lambda r: call("CALCIUM_PHOSPHORUS_RATIO", r["ca"], r["p"], unless=_untested(r, "ca", "p")),
        "number2",
    )
    grid.add(
        "bound",
        "Protein bound by heat",
        "% of CP",
        lambda r: call("HEAT_DAMAGE_SHARE", cp(r), r["adicp"], unless=_bound(r, cp(r))),
        "number1",
    )
    grid.add(
        "available",
        "Protein left after heat",
        "% DM",
        lambda r: call("AVAILABLE_PROTEIN", cp(r), r["adicp"], RULE, unless=_bound(r, cp(r))),
        "number2",
    )
    for mark, head, pregnant, scale in (
        ("share_calf_a", "Most of a mixed diet by nitrate, cows in calf, Clemson scale", "1", CLEMSON), ("share_calf_b", "The same, midwest laboratory's scale", "1", MIDWEST),
        ("share_open_a", "Most of a mixed diet by nitrate, other cattle, Clemson scale", "0", CLEMSON), ("share_open_b", "The same, midwest laboratory's scale, others", "0", MIDWEST),
    ):  # fmt: skip
        grid.add(mark, head, "% DM", partial(_most_share, pregnant=pregnant, scale=scale), "number0")
    grid.add(
        "ergovaline_dm",
        "Ergovaline, dry basis",
        "ppb",
        partial(_dry, lab=lambda r: r["ergovaline"], divisor=divisor),
        "number0",
    )
    grid.band("Prussic acid both ways")
    # a value that is on the basis already is divided by, or taken times, 100 %
    grid.add("hcn_dry", "Prussic acid of the dry matter", "ppm",
             lambda r: call("TO_DRY_BASIS", r["hcn"], f'IF({r["hcn_basis"]}="dry",100,{dm(r)})', unless=_empty(r["hcn"])), "number0")  # fmt: skip
    grid.add("hcn_wet", "Prussic acid of the wet sample", "ppm",
             lambda r: call("TO_AS_FED_BASIS", r["hcn"], f'IF({r["hcn_basis"]}="dry",{dm(r)},100)', unless=_empty(r["hcn"])), "number0")  # fmt: skip
    grid.band("What each means")
    for mark, head, pregnant, scale in (
        ("nitrate_calf_a", "Nitrate, cows in calf, Clemson scale", "1", CLEMSON), ("nitrate_calf_b", "Nitrate, cows in calf, midwest laboratory's scale", "1", MIDWEST),
        ("nitrate_open_a", "Nitrate, other cattle, Clemson scale", "0", CLEMSON), ("nitrate_open_b", "Nitrate, other cattle, midwest laboratory's scale", "0", MIDWEST),
    ):  # fmt: skip
        grid.add(mark, head, "text",
                 partial(_nitrate, pregnant=pregnant, scale=scale), "note", TEXT)  # fmt: skip
    grid.add(
        "tetany",
        "Grass tetany",
        "text",
        lambda r: call("TETANY_CAUTION", *_k_ca_mg(r), unless=_tetany(r)),
        "note",
        TEXT,
    )
    grid.add(
        "cap",
        "Calcium to phosphorus: what it means",
        "text",
        lambda r: call("CALCIUM_PHOSPHORUS_CAUTION", r["ca"], r["p"], unless=_untested(r, "ca", "p")),
        "note",
        TEXT,
    )
    grid.add(
        "sulfur",
        "Sulfur of the hay as the whole diet",
        "text",
        lambda r: call("SULFUR_CAUTION", r["s"], FORAGE_DIET, unless=(f"COUNT({r['s']})=0", NOT_TESTED)),
        "note",
        TEXT,
    )
    for scale, head in (
        ("wet", "Prussic acid, scale of the wet sample"),
        ("dry", "Prussic acid, scale of the dry matter"),
    ):
        grid.add(f"prussic_{scale}", head, "text", partial(_prussic, scale=scale), "note", TEXT)
    grid.add("prussic", "Prussic acid, the stricter of the two", "text", _stricter, "note", TEXT)
    grid.add("ergot", "Ergovaline, this hay as the whole diet", "text",
             lambda r: call("ERGOVALINE_CAUTION", r["ergovaline_dm"], "ergovaline_limit", unless=_or_at_least(r, "ergovaline_dm", "ergovaline_limit")), "note", TEXT)  # fmt: skip
    grid.add(
        "stack",
        "Heating in the stack",
        "text",
        lambda r: call("STACK_HEAT_CAUTION", r["temp"], unless=(f'{r["temp"]}=""', NOT_TESTED)),
        "note",
        TEXT,
    )
    grid.add("baling", "Moisture at baling: what it means", "text",
             lambda r: call("BALING_MOISTURE_CAUTION", r["moisture"], bale(r), unless=(f'OR({r["moisture"]}="",{bale(r)}="")', NOT_TESTED)), "note", TEXT)  # fmt: skip
    grid.add(
        "heat",
        "Heat damage",
        "text",
        lambda r: call("HEAT_DAMAGE_NOTE", cp(r), r["adicp"], unless=_bound(r, cp(r))),
        "note",
        TEXT,
    )
    grid.add("lab", "The lab sheet itself", "text",
             lambda r: call("LAB_NOTES", dm(r), cp(r), adf(r), ndf(r), f"N({ash(r)})", f"N({fat(r)})", forage(r)), "note", TEXT)  # fmt: skip
    grid.add("lot", "The lot itself (Register)", "text", lambda r: Formula(f"={lot_notes(r)}"), "note", TEXT)
    grid.done("hazards", 80)


def _dry(r: Row, lab: Ref, divisor: Ref) -> Content:
    return call("TO_DRY_BASIS", lab(r), divisor(r), unless=_empty(lab(r)))


def _empty(ref: str) -> tuple[str, str]:
    return (f'{ref}=""', NOT_TESTED)


def _not_number(ref: str) -> tuple[str, str]:
    """For a value that another cell computes: its words are handed on, an error stays an error."""
    return (f"COUNT({ref})=0", ref)


def _nitrate(r: Row, pregnant: str, scale: str) -> Content:
    return call("NITRATE_CAUTION", r["nitrate"], pregnant, scale, unless=_or_at_least(r, "nitrate", "nitrate_limit"))


def _most_share(r: Row, pregnant: str, scale: str) -> Content:
    """The share on the scale for a nitrate as much higher as Winter keeps below each line."""
    unless = _or_at_least(r, "nitrate", "nitrate_limit", "0")
    return call("NITRATE_MOST_SHARE", counted_nitrate(r["nitrate"]), pregnant, scale, unless=unless)


def _or_at_least(r: Row, value: str, limit: str, then: str = "") -> tuple[str, str]:
    """As _not_number; and a number that is only a lower limit is judged as the worst it can be."""
    told = then or quoted(AT_LEAST_SAYS)
    return (f'OR(COUNT({r[value]})=0,{r[limit]}="{AT_LEAST}")', f"IF(COUNT({r[value]})=0,{r[value]},{told})")


def _as_stated(r: Row) -> Formula:
    """The number with the word for its limit: at least 5000 ppm; only the number's place is told where it is exact."""
    exact = f'IF(COUNT({r["nitrate"]})=0,{NOT_TESTED},"exact")'
    return Formula(f'=IF(OR({r["nitrate_limit"]}="",COUNT({r["nitrate"]})=0),{exact},{r["nitrate_limit"]}&" "&ROUND({r["nitrate"]},0)&" ppm NO3-N")')  # fmt: skip


def counted_nitrate(ref: str) -> str:
    return f"MIN({MOST_PPM:.0f},{ref}/(1-plan_nitrate_below_pct/100))"


def _prussic(r: Row, scale: str) -> Content:
    value = r[f"hcn_{scale}"]
    return call("PRUSSIC_ACID_CAUTION", value, f'"{scale}"', unless=_or_at_least(r, f"hcn_{scale}", "hcn_limit"))


def _stricter(r: Row) -> Formula:
    """The words of the scale that says Danger, or else Caution; the wet one where both say the same."""
    texts = {scale: r[f"prussic_{scale}"] for scale in ("wet", "dry")}
    first = [(word, scale) for word in ("Da", "Ca") for scale in texts]  # as the sheet Cautions tells the words
    tests = "".join(f'IF(MID({texts[scale]},1,2)="{word}",{texts[scale]},' for word, scale in first)
    return Formula(f"={tests}{texts['wet']}{')' * len(first)}")


def _k_ca_mg(r: Row) -> tuple[str, ...]:
    return (r["k"], r["ca"], r["mg"])


def _untested(r: Row, *marks: str) -> tuple[str, str]:
    """A ratio needs all its values, and none of them 0."""
    return ("*".join(f"N({r[mark]})" for mark in marks) + "=0", NOT_TESTED)


def _tetany(r: Row) -> tuple[str, str]:
    return _untested(r, "k", "ca", "mg")


def _bound(r: Row, cp: str) -> tuple[str, str]:
    """Bound protein cannot be more than all protein: such a lab value is sent back."""
    return (
        f"OR(COUNT({r['adicp']})=0,N({r['adicp']})>{cp})",
        f'IF(COUNT({r["adicp"]})=0,{NOT_TESTED},"ADICP above CP: ask the lab")',
    )
