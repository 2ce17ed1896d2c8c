"""Hazards: for each lot the values that can hurt, on dry basis, and the library's words on each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from hayfuncs.contract.levels import VETERINARIAN_AND_OFFICE, quoted
from hayfuncs.importers.model import AS_FED, AT_LEAST, DRY, LIMIT_WORDS, Lot
from hayfuncs.winter.nitrate import MOST_PPM
from hayfuncs.workbook.barn import Barn, Stored
from hayfuncs.workbook.keyed import NOT_ENTERED, NOT_TESTED, Made, Making, calling, same_row, unknown
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import of_record, words
from hayfuncs.workbook.sheets.lots import Lots
from hayfuncs.workbook.sheets.register import Register
from hayfuncs.workbook.table import Column, Table, asked, computed

CLEMSON, MIDWEST = '"clemson"', '"midwest laboratory"'
RULE = '"all of it"'  # the only rule for bound protein that was seen in print; it never overstates
HCN_BASIS = {DRY: "dry", AS_FED: "wet"}  # basis of a lot -> the word of PRUSSIC_ACID_CAUTION
FORAGE_DIET = '"high forage"'
AT_LEAST_SAYS = (
    "Danger: the test says only that it holds at least so much; how much more is not known. Do not feed it before a new test "
    f"gives the number. {VETERINARIAN_AND_OFFICE}"
)
TEXT = 46  # width of a column of words


LIMIT = words("Only a limit?", "Where the test gave only a limit (>500, <50); empty for an exact number", LIMIT_WORDS)
WET_OR_DRY = (
    "Whether the prussic acid beside it is of dry matter or of the wet sample; empty is read as wet, the stricter"
)
K_CA_MG = ("{k}", "{ca}", "{mg}")


class Tested(NamedTuple):
    lot: Lot
    stored: Stored


def counted_nitrate(ref: str) -> str:
    return f"MIN({MOST_PPM:.0f},{ref}/(1-plan_nitrate_below_pct/100))"


def _empty(ref: str) -> tuple[str, str]:
    return (f'{ref}=""', NOT_TESTED)


def _no_ratio(*refs: str) -> tuple[str, str]:
    """A ratio needs all its values, and none of them 0."""
    return ("*".join(f"N({ref})" for ref in refs) + "=0", NOT_TESTED)


def _or_at_least(value: str, limit: str, then: str = quoted(AT_LEAST_SAYS)) -> tuple[str, str]:
    """The words of a value that is no number are handed on; a number that is only a lower limit is judged as the worst it can be."""
    return f'OR(COUNT({value})=0,{limit}="{AT_LEAST}")', f"IF(COUNT({value})=0,{value},{then})"


# bound protein cannot be more than all protein: such a lab value is sent back
BOUND = (
    "OR(COUNT({adicp})=0,N({adicp})>{lots.cp})",
    f'IF(COUNT({{adicp}})=0,{NOT_TESTED},"ADICP above CP: ask the lab")',
)


def _dry(head: str, unit: str, value: str, style: str = "number2", band: str = "") -> Column:
    return computed(
        head, unit, calling("TO_DRY_BASIS", value, "{lots.divisor}", unless=_empty(value)), style, band=band
    )


def _share(head: str, in_calf: str, scale: str) -> Column:
    """The share on the scale for a nitrate as much higher as Winter keeps below each line."""
    most = calling("NITRATE_MOST_SHARE", counted_nitrate("{nitrate}"), in_calf, scale, unless=_or_at_least("{nitrate}", "{nitrate_limit}", "0"))  # fmt: skip
    return computed(head, "% DM", most, "number0")


def _says(head: str, make: Making | Made, band: str = "") -> Column:
    return computed(head, "text", make, "note", TEXT, band)


def _nitrate(head: str, in_calf: str, scale: str, band: str = "") -> Column:
    return _says(head, calling("NITRATE_CAUTION", "{nitrate}", in_calf, scale, unless=_or_at_least("{nitrate}", "{nitrate_limit}")), band)  # fmt: skip


def _prussic(head: str, scale: str) -> Column:
    return _says(head, calling("PRUSSIC_ACID_CAUTION", f"{{hcn_{scale}}}", f'"{scale}"', unless=_or_at_least(f"{{hcn_{scale}}}", "{hcn_limit}")))  # fmt: skip


def _seen(head: str, key: str) -> Column:
    """What was seen is no test: where nobody has said anything there are no words."""
    at = f"{{lots.lab_{key}}}"
    return _says(head, calling("SEEN_IN_HAY_CAUTION", at, unless=(f'{at}=""', '""')))


class Hazards(Table[Tested]):
    """One row a lot: values on dry basis, then what they mean in words."""

    blank = '{name}=""'
    name = computed("Hay lot", "name", '={lots.name}&""', "label", 22)
    temp = asked("Hottest place in the stack", "deg F", of_record("STACK_HEAT_CAUTION", "core_temp_f"), "input0", of="stored.stack_temp_f", band="Typed in")  # fmt: skip
    moisture = asked("Moisture at baling", "% as fed", of_record("BALING_MOISTURE_CAUTION", "moisture_pct"), of="stored.baling_moisture_pct")  # fmt: skip
    hcn = asked("Prussic acid", "ppm, basis beside it", of_record("PRUSSIC_ACID_CAUTION", "hcn_ppm"), "input0", of="lot.hcn_ppm")  # fmt: skip
    hcn_limit = asked("That prussic acid is only a limit: at least, at most", "word", LIMIT, "input_text", of="lot.hcn_limit")  # fmt: skip
    hcn_basis = asked(
        "Basis of that prussic acid; empty is read as wet", "word", words("Basis of prussic acid", WET_OR_DRY, ("wet", "dry")), "input_text",
        of=lambda row: None if row.item.lot.hcn_ppm is None else HCN_BASIS[row.item.lot.basis])  # fmt: skip
    ergovaline = asked("Ergovaline", "ppb on the basis given", of_record("ERGOVALINE_IN_DIET", "hay_ppb"), "input0", of="lot.ergovaline_ppb")  # fmt: skip
    ergovaline_limit = asked("That ergovaline is only a limit: at least, at most", "word", LIMIT, "input_text", of="lot.ergovaline_limit")  # fmt: skip
    ca = _dry("Calcium", "% DM", "{lots.lab_ca_pct}", band="Values on dry basis")
    p, mg = _dry("Phosphorus", "% DM", "{lots.lab_p_pct}"), _dry("Magnesium", "% DM", "{lots.lab_mg_pct}")
    k, s = _dry("Potassium", "% DM", "{lots.lab_k_pct}"), _dry("Sulfur", "% DM", "{lots.lab_s_pct}")
    na, fe = _dry("Sodium", "% DM", "{lots.lab_na_pct}"), _dry("Iron", "ppm", "{lots.lab_fe_ppm}", "number0")
    cu, zn = _dry("Copper", "ppm", "{lots.lab_cu_ppm}", "number1"), _dry("Zinc", "ppm", "{lots.lab_zn_ppm}", "number0")
    mn, mo = _dry("Manganese", "ppm", "{lots.lab_mn_ppm}", "number0"), _dry("Molybdenum", "ppm", "{lots.lab_mo_ppm}")
    se = _dry("Selenium", "ppm", "{lots.lab_se_ppm}")
    adicp = _dry("ADICP, protein bound in fiber", "% DM", "{lots.lab_adicp_pct}")
    nitrate = _dry("Nitrate nitrogen (NO3-N)", "ppm", "{lots.lab_nitrate_n_ppm}", "number0")
    nitrate_limit = computed("Nitrate is only a limit?", "word", '={lots.lab_nitrate_limit}&""', "text", 10)
    # the number with the word for its limit: at least 5000 ppm; only the number's place is told where it is exact
    nitrate_said = computed("Nitrate nitrogen as the test states it", "words",
        '=IF(OR({nitrate_limit}="",COUNT({nitrate})=0),IF(COUNT({nitrate})=0,{not_tested},"exact"),{nitrate_limit}&" "&ROUND({nitrate},0)&" ppm NO3-N")', "text", 16)  # fmt: skip
    no3 = computed("Nitrate, as NO3", "ppm", calling("NITRATE_AS", "{nitrate}", '"NO3-N"', '"NO3"', unless=unknown("{nitrate}", shown="{nitrate}")), "number0")  # fmt: skip
    tetany_ratio = computed("Tetany ratio K/(Ca+Mg)", "ratio", calling("TETANY_RATIO", *K_CA_MG, unless=_no_ratio(*K_CA_MG)), "number2")  # fmt: skip
    cap_ratio = computed("Calcium to phosphorus", "ratio", calling("CALCIUM_PHOSPHORUS_RATIO", "{ca}", "{p}", unless=_no_ratio("{ca}", "{p}")), "number2")  # fmt: skip
    bound = computed("Protein bound by heat", "% of CP", calling("HEAT_DAMAGE_SHARE", "{lots.cp}", "{adicp}", unless=BOUND))  # fmt: skip
    available = computed("Protein left after heat", "% DM", calling("AVAILABLE_PROTEIN", "{lots.cp}", "{adicp}", RULE, unless=BOUND), "number2")  # fmt: skip
    share_calf_a = _share("Most of a mixed diet by nitrate, cows in calf, Clemson scale", "1", CLEMSON)
    share_calf_b = _share("The same, midwest laboratory's scale", "1", MIDWEST)
    share_open_a = _share("Most of a mixed diet by nitrate, other cattle, Clemson scale", "0", CLEMSON)
    share_open_b = _share("The same, midwest laboratory's scale, others", "0", MIDWEST)
    ergovaline_dm = _dry("Ergovaline, dry basis", "ppb", "{ergovaline}", "number0")
    # a value that is on the basis already is divided by, or taken times, 100 %
    hcn_dry = computed("Prussic acid of the dry matter", "ppm",
        calling("TO_DRY_BASIS", "{hcn}", 'IF({hcn_basis}="dry",100,{lots.lab_dm_pct})', unless=_empty("{hcn}")), "number0", band="Prussic acid both ways")  # fmt: skip
    hcn_wet = computed("Prussic acid of the wet sample", "ppm", calling("TO_AS_FED_BASIS", "{hcn}", 'IF({hcn_basis}="dry",{lots.lab_dm_pct},100)', unless=_empty("{hcn}")), "number0")  # fmt: skip
    nitrate_calf_a = _nitrate("Nitrate, cows in calf, Clemson scale", "1", CLEMSON, "What each means")
    nitrate_calf_b = _nitrate("Nitrate, cows in calf, midwest laboratory's scale", "1", MIDWEST)
    nitrate_open_a = _nitrate("Nitrate, other cattle, Clemson scale", "0", CLEMSON)
    nitrate_open_b = _nitrate("Nitrate, other cattle, midwest laboratory's scale", "0", MIDWEST)
    tetany = _says("Grass tetany", calling("TETANY_CAUTION", *K_CA_MG, unless=_no_ratio(*K_CA_MG)))
    cap = _says("Calcium to phosphorus: what it means", calling("CALCIUM_PHOSPHORUS_CAUTION", "{ca}", "{p}", unless=_no_ratio("{ca}", "{p}")))  # fmt: skip
    sulfur = _says("Sulfur of the hay as the whole diet", calling("SULFUR_CAUTION", "{s}", FORAGE_DIET, unless=unknown("{s}", shown=NOT_TESTED)))  # fmt: skip
    prussic_wet = _prussic("Prussic acid, scale of the wet sample", "wet")
    prussic_dry = _prussic("Prussic acid, scale of the dry matter", "dry")
    # the scale that says Danger, or else Caution; the wet one where both say the same; the words as Cautions tells them
    prussic = _says("Prussic acid, the stricter of the two",
        "=" + "".join(f'IF(MID({{prussic_{k}}},1,2)="{word}",{{prussic_{k}}},' for word in ("Da", "Ca") for k in ("wet", "dry")) + "{prussic_wet}))))")  # fmt: skip
    ergot = _says("Ergovaline, this hay as the whole diet", calling("ERGOVALINE_CAUTION", "{ergovaline_dm}", "ergovaline_limit", unless=_or_at_least("{ergovaline_dm}", "{ergovaline_limit}")))  # fmt: skip
    stack = _says("Heating in the stack", calling("STACK_HEAT_CAUTION", "{temp}", unless=_empty("{temp}")))
    baling = _says("Moisture at baling: what it means",
        calling("BALING_MOISTURE_CAUTION", "{moisture}", "{register.bale}", unless=('OR({moisture}="",{register.bale}="")', NOT_TESTED)))  # fmt: skip
    heat = _says("Heat damage", calling("HEAT_DAMAGE_NOTE", "{lots.cp}", "{adicp}", unless=BOUND))
    lab = _says("The lab sheet itself", calling("LAB_NOTES", "{lots.lab_dm_pct}", "{lots.cp}", "{lots.adf}", "{lots.ndf}", "N({lots.ash})", "N({lots.fat})", "{lots.forage}", unless=('{lots.counted}=""', NOT_ENTERED)))  # fmt: skip
    lot = _says("The lot itself", "={register.notes}")
    seen, seen_too = _seen("Seen in the hay: what it means", "seen"), _seen("Also seen: what it means", "seen_too")
    lots, register = same_row(lambda: Lots), same_row(lambda: Register)


def fill(book: Book, lots: Sequence[Lot], barn: Barn) -> None:
    sheet = begin(book, "Hazards", "What in a lot can hurt an animal or burn a barn",
        "One row is one lot: values on dry basis, then what they mean in words. Not tested says that nobody has looked, not that the hay is safe.",
        "Inputs, then workings")  # fmt: skip
    Hazards(sheet, [Tested(lot, barn.lot(lot.name)) for lot in lots]).place(80).filed("hazards")
