"""Lots: the lab's values as the lab gives them, then what the functions make of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from hayfuncs.contract.tables import load
from hayfuncs.importers.model import LIMIT_WORDS, Lot, column_of
from hayfuncs.winter.nitrate import MOST_PPM
from hayfuncs.workbook.keyed import NOT_TESTED, calling, unknown
from hayfuncs.workbook.model import Book, Content, Flagging, Formula, Input
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import begin, fit_notes
from hayfuncs.workbook.sheets.grid import of_record, text, words
from hayfuncs.workbook.table import NOTHING, Column, Table, asked, column, computed

FORAGES = ("grass", "legume", "mixed")
BASES = ("dry", "as fed")
# the ways to TDN, the best first: column of its value, its name
WAYS = (
    ("tdn_fiber", "48-hour NDF digestibility"),
    ("tdn_lignin", "lignin"),
    ("lab_tdn", "the laboratory"),
    ("tdn_adf", "ADF"),
)


def _words(choices: tuple[str, ...], says: str) -> Callable[[str], Input]:
    message = f"{says}. One of: {', '.join(choices)}"
    return lambda key: Input(key, "", message, words=choices, kind="word")


NITRATE = (
    f"Nitrate nitrogen (NO3-N), ppm on the basis given: 0 to {MOST_PPM:,.0f}. Nitrate (NO3) is 4.43 times as much."
)
UNSEEN = "Empty: nobody has said"
SEEN = load("seen_in_hay").names()
BY_FIBER = unknown("{ash}", "{fat}", "{lab_ndfd48_pct}", shown=NOT_TESTED)
BY_LIGNIN = ("{cp}", "{fat}", "{ash}", "{ndf}", "{ndicp}", "{adicp}", "{lignin}")


def _given(head: str, unit: str, key: str, lo: float, hi: float, needed: bool = False, style: str = "input") -> Column:
    """A value of the lab sheet; its key is the field of a lot."""
    says = f"{head}, {unit}: {lo:g} to {hi:g}." + ("" if needed else " Leave it empty when not tested.")
    return asked(
        head, unit, lambda key: Input(key, head, says, lo=float(lo), hi=float(hi), required=needed), style, key=key
    )


def _on_basis(head: str, key: str, hi: float = 100, needed: bool = False, style: str = "input") -> Column:
    return _given(head, "% on the basis given", key, 0, hi, needed, style)


def _few_labs(key: str) -> Column:
    """A mineral that few labs measure; what is possible is the importer's."""
    known = column_of(key)
    assert known.limits is not None
    unit = f"{'%' if key.endswith('pct') else 'ppm'} on the basis given"
    return _given(known.meaning, unit, key, known.limits.lo, known.limits.hi, style="input2")


def _dry(head: str, lab: str, tested: bool = False) -> Column:
    """A value of the lab sheet on dry basis; `tested`: every lab gives it."""
    unless = None if tested else (f'{{{lab}}}=""', NOT_TESTED)
    return computed(f"{head}, dry basis", "% DM", calling("TO_DRY_BASIS", f"{{{lab}}}", "{divisor}", unless=unless), "number2")  # fmt: skip


def _best(row: Lots, said: Callable[[str], str]) -> str:
    """What is said of the best way that gives a number."""
    found = said(WAYS[-1][0])
    for way, _ in reversed(WAYS[:-1]):
        found = f"IF(ISNUMBER({getattr(row, way)}),{said(way)},{found})"
    return found


class Lots(Table[Lot]):
    """One row a lot: one field, one cutting."""

    blank, as_ever = (
        '{counted}=""',
        ("wrong", "odd", "divisor"),
    )  # a row says what it lacks; until it is whole nothing is worked out
    name = asked("Hay lot", "name", text("Hay lot", "Hay lot, as you call it", True), "input_text", 22, band="From the lab sheet")  # fmt: skip
    field = asked("Field", "name", text("Field", "Field, as you call it"), "input_text", 16)
    cutting = asked("Cutting", "number", lambda key: Input(key, "Cutting", "Number of the cutting in its year, 1 to 12", lo=1, hi=12, kind="whole", required=False), "input_text", 9)  # fmt: skip
    forage = asked("Forage", "word", _words(FORAGES, "What grows in it"), "input_text", 10)
    basis = asked("Basis of the lab values", "word", _words(BASES, "How the lab states its values: dry, or as fed (as received)"), "input_text", 10)  # fmt: skip
    tons = asked("Hay in store", "tons as fed", lambda key: Input(key, "Hay in store", "Tons as fed in store, 0 to 100,000", lo=0, hi=100000, required=False), width=10)  # fmt: skip
    lab_dm_pct = asked("Dry matter", "% as fed", of_record("TO_DRY_BASIS", "dm_pct", True), key="dm_pct")
    lab_cp_pct = _on_basis("Crude protein", "cp_pct", needed=True)
    lab_adf_pct = _on_basis("ADF, acid detergent fiber", "adf_pct", needed=True)
    lab_ndf_pct = _on_basis("NDF, neutral detergent fiber", "ndf_pct", needed=True)
    lab_ndfd48_pct = _given("NDF digestibility, 48 h", "% of NDF", "ndfd48_pct", 0, 100)
    lab_ash_pct = _on_basis("Ash", "ash_pct")
    lab_fat_pct = _on_basis("Fat (ether extract)", "fat_pct")
    lab_adicp_pct = _on_basis("ADICP, protein bound in fiber", "adicp_pct")
    lab_ca_pct = _on_basis("Calcium", "ca_pct", 10, style="input2")
    lab_p_pct = _on_basis("Phosphorus", "p_pct", 5, style="input2")
    lab_mg_pct = _on_basis("Magnesium", "mg_pct", 5, style="input2")
    lab_k_pct = _on_basis("Potassium", "k_pct", 10, style="input2")
    lab_s_pct = _on_basis("Sulfur", "s_pct", 5, style="input2")
    lab_na_pct, lab_fe_ppm, lab_cu_ppm = _few_labs("na_pct"), _few_labs("fe_ppm"), _few_labs("cu_ppm")
    lab_zn_ppm, lab_mn_ppm, lab_mo_ppm, lab_se_ppm = map(_few_labs, ("zn_ppm", "mn_ppm", "mo_ppm", "se_ppm"))
    lab_nitrate_n_ppm = asked("Nitrate nitrogen", "ppm on the basis given", lambda key: replace(of_record("NITRATE_CAUTION", "nitrate_n_ppm")(key), message=NITRATE), key="nitrate_n_ppm")  # fmt: skip
    lab_nitrate_limit = asked("That nitrate is only a limit: at least, at most", "word",
        lambda key: Input(key, "That nitrate is only a limit: at", f"Where the test gave only a limit (>5000, <50): {' or '.join(LIMIT_WORDS)}. Empty for an exact number",
                          words=LIMIT_WORDS, kind="word", required=False),
        "input_text", key="nitrate_limit")  # fmt: skip
    lab_lab_tdn_pct = _on_basis("The lab's own TDN", "lab_tdn_pct")
    lab_lab_tdn_equation = asked("Equation of the lab's TDN", "words",
        lambda key: Input(key, "Equation of the lab's TDN", "What the lab calls the equation of its TDN", kind="text", required=False),
        "input_text", key="lab_tdn_equation")  # fmt: skip
    lab_lab_nel_mcal_lb = _given("The lab's own NEL", "Mcal/lb on the basis given", "lab_nel_mcal_lb", 0, 1.2)
    lab_lab_rfv = _given("The lab's own relative feed value", "index", "lab_rfv", 0, 400)
    lab_lignin_pct = _on_basis("Lignin", "lignin_pct")
    lab_ndicp_pct = _on_basis("NDICP, protein left in NDF", "ndicp_pct")
    lab_seen = asked("Seen in the hay", "word", words("Seen in the hay", f"What somebody saw in this hay. {UNSEEN}", SEEN), "input_text", 18, key="seen", band="Seen, not tested")  # fmt: skip
    lab_seen_too = asked("Also seen", "word", words("Also seen", f"What else somebody saw in it. {UNSEEN}", SEEN), "input_text", 18, key="seen_too")  # fmt: skip
    divisor = computed("Dry matter to divide by", "% (100 when dry)", '=IF({name}="","",IF({basis}="dry",100,IF(OR({basis}="",COUNT({lab_dm_pct})=0),"",{lab_dm_pct})))', "number2", band="Computed")  # fmt: skip
    cp = _dry("Crude protein", "lab_cp_pct", True)
    adf, ndf = _dry("ADF", "lab_adf_pct", True), _dry("NDF", "lab_ndf_pct", True)
    equation = computed("TDN line by ADF", "name", '=IF({forage}="grass",equation_grass,IF({forage}="legume",equation_legume,equation_mixed))', "text", 22)  # fmt: skip
    tdn_by = computed("TDN taken from", "words", lambda row: Formula(f"={_best(row, row.way)}"), "text", 24)
    tdn = computed("TDN", "% DM", lambda row: Formula(f"={_best(row, lambda way: str(getattr(row, way)))}"), "result1")
    nem = computed("NEm, energy for maintenance", "Mcal/lb DM", calling("NEM_FROM_TDN", "{tdn}"), "number3")
    neg = computed("NEg, energy for gain", "Mcal/lb DM", calling("NEG_FROM_TDN", "{tdn}"), "number3")
    rfv = computed("Relative feed value (read as a class, +-5)", "index", calling("RELATIVE_FEED_VALUE", "{adf}", "{ndf}"), "number0")  # fmt: skip
    ash, fat = _dry("Ash", "lab_ash_pct"), _dry("Fat", "lab_fat_pct")
    rfq_forage = computed("Forage type for RFQ", "word", '=IF({forage}="grass","grass","legume")', "text", 10)
    tdn_fiber = computed("TDN from fiber digestibility", "% DM",
        calling("TDN_FROM_NDF_DIGESTIBILITY", "{cp}", "{fat}", "{ash}", "{ndf}", "{lab_ndfd48_pct}", "{rfq_forage}", unless=BY_FIBER))  # fmt: skip
    rfq_intake = computed("Intake for RFQ", "% of body weight",
        calling("INTAKE_FOR_RFQ", "{rfq_forage}", "{cp}", "{adf}", "{ndf}", "{lab_ndfd48_pct}", "{tdn_fiber}", unless=BY_FIBER), "number2")  # fmt: skip
    rfq = computed("Relative forage quality (read as a class, +-8)", "index", calling("RELATIVE_FORAGE_QUALITY", "{tdn_fiber}", "{rfq_intake}", unless=BY_FIBER), "number0")  # fmt: skip
    notes = computed("Outside a fitted range?", "words",
        lambda row: fit_notes([("TDN_FROM_ADF", "adf_pct", row.adf), ("INTAKE_FROM_NDF", "ndf_pct", row.ndf)]), "small", 46)  # fmt: skip
    twice = computed("Name used above? 1 yes, 0 no", "yes/no", "=IF(MATCH({name},{local.name},0)=ROWS({down_to.name}),0,1)", "number0", 10)  # fmt: skip
    cautions = computed(
        "Cautions of this lot", "words", lambda row: NOTHING, "small", 54
    )  # filled by the sheet Cautions
    lignin, ndicp, adicp = _dry("Lignin", "lab_lignin_pct"), _dry("NDICP", "lab_ndicp_pct"), _dry("ADICP", "lab_adicp_pct")  # fmt: skip
    tdn_lignin = computed("TDN from lignin", "% DM", calling("TDN_FROM_LIGNIN", *BY_LIGNIN, unless=unknown(*BY_LIGNIN, shown=NOT_TESTED)))  # fmt: skip
    lab_tdn = computed("TDN by the laboratory, dry basis", "% DM",
        calling("TO_DRY_BASIS", "{lab_lab_tdn_pct}", "{divisor}", unless=('{lab_lab_tdn_pct}=""', '"not given"')))  # fmt: skip
    tdn_adf = computed("TDN from ADF", "% DM", calling("TDN_FROM_ADF", "{adf}", "{equation}"))

    @column("TDN by the other ways", "words", "small", 40)
    def tdn_others(self) -> Content:
        """What the ways that were not taken say of the same hay."""
        others = [
            f'IF(AND(ISNUMBER({at}),LEFT({self.tdn_by},{len(name)})<>"{name}"),"; by {name} "&TEXT({at},"0.0"),"")'
            for at, name in ((getattr(self, way), name) for way, name in WAYS)
        ]
        return Formula(f"=MID({'&'.join(others)},3,255)")

    wrong, odd, accepted = doubts.columns("lots")
    counted = computed("Name, where all that is needed is there", "name",
        f'=IF(OR({{name}}="",{{forage}}="",{{basis}}="",COUNT({",".join(f"{{{k}}}" for k in doubts.CORE)})<{len(doubts.CORE)}),"",{{name}})', "text", 22)  # fmt: skip

    def way(self, way: str) -> str:
        """A way in words: the laboratory's with its own word for its equation, ADF with the line."""
        own = self.lab_lab_tdn_equation
        says = {"lab_tdn": f'"{dict(WAYS)["lab_tdn"]}"&IF({own}="",""," ("&{own}&")")', "tdn_adf": f'"ADF, "&{self.equation}'}  # fmt: skip
        return says.get(way, f'"{dict(WAYS)[way]}"')


def fill(book: Book, lots: Sequence[Lot]) -> None:
    sheet = begin(book, "Lots", "Hay lots, from the lab sheet to dry basis and energy",
        "One row is one lot: one field, one cutting. Straw-colored cells are typed from the lab sheet, every lab value on the lot's one basis; the rest is computed. A lot typed into a free row counts at once; clear a row to leave it out.",
        "Inputs, then workings")  # fmt: skip
    table = Lots(sheet, lots).place().filed("lots")
    sheet.flags.append(Flagging(table.area(Lots.wrong, Lots.odd), ".", "flag_bad"))
