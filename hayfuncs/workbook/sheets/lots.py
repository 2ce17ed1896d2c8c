"""Lots: the lab's values as the lab gives them, then what the functions make of them."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.importers.model import LIMIT_WORDS, Lot
from hayfuncs.workbook.model import Book, Formula, Input, Sheet, a1, call, input_for
from hayfuncs.workbook.sheets import doubts
from hayfuncs.workbook.sheets.common import FIRST, Column, begin, fit_notes, local, table_heads

FORAGES = ("grass", "legume", "mixed")
BASES = ("dry", "as fed")
# field of Lot -> heading, unit, function and argument whose range holds (or own limits), needed
WORD, TEXT = "word", "text"  # columns that hold no number
LAB: tuple[tuple[str, str, str, tuple[str, str] | tuple[float, float] | str, bool], ...] = (
    ("dm_pct", "Dry matter", "% as fed", ("TO_DRY_BASIS", "dm_pct"), True),
    ("cp_pct", "Crude protein", "% on the basis given", (0, 100), True),
    ("adf_pct", "ADF, acid detergent fibre", "% on the basis given", (0, 100), True),
    ("ndf_pct", "NDF, neutral detergent fibre", "% on the basis given", (0, 100), True),
    ("ndfd48_pct", "NDF digestibility, 48 h", "% of NDF", (0, 100), False),
    ("ash_pct", "Ash", "% on the basis given", (0, 100), False),
    ("fat_pct", "Fat (ether extract)", "% on the basis given", (0, 100), False),
    ("adicp_pct", "ADICP, protein bound in fibre", "% on the basis given", (0, 100), False),
    ("ca_pct", "Calcium", "% on the basis given", (0, 10), False),
    ("p_pct", "Phosphorus", "% on the basis given", (0, 5), False),
    ("mg_pct", "Magnesium", "% on the basis given", (0, 5), False),
    ("k_pct", "Potassium", "% on the basis given", (0, 10), False),
    ("s_pct", "Sulfur", "% on the basis given", (0, 5), False),
    ("nitrate_n_ppm", "Nitrate nitrogen", "ppm on the basis given", ("NITRATE_CAUTION", "nitrate_n_ppm"), False),
    ("nitrate_limit", "That nitrate is only a limit: at least, at most", "word", WORD, False),
    ("lab_tdn_pct", "The laboratory's own TDN", "% on the basis given", (0, 100), False),
    ("lab_tdn_equation", "Equation of the laboratory's TDN", "words", TEXT, False),
    ("lab_nel_mcal_lb", "The laboratory's own NEL", "Mcal/lb on the basis given", (0, 1.2), False),
    ("lab_rfv", "The laboratory's own relative feed value", "index", (0, 400), False),
    ("lignin_pct", "Lignin", "% on the basis given", (0, 100), False),
    ("ndicp_pct", "NDICP, protein left in NDF", "% on the basis given", (0, 100), False),
)
LAB_TDN = "lab_tdn_equation"  # the laboratory's own word for its equation, a text beside its TDN
# the ways to TDN, the best first: column of its value, its name
WAYS = (
    ("tdn_fibre", "48-hour NDF digestibility"),
    ("tdn_lignin", "lignin"),
    ("lab_tdn", "the laboratory"),
    ("tdn_adf", "ADF"),
)
# field of Lot -> heading, unit, width
MINERALS = ("ca_pct", "p_pct", "mg_pct", "k_pct", "s_pct")
TEXTS = (("name", "Hay lot", "name", 22), ("field", "Field", "name", 16), ("cutting", "Cutting", "number", 9))


def fill(book: Book, lots: Sequence[Lot]) -> None:
    sheet = begin(
        book,
        "Lots",
        "Hay lots, from the lab sheet to dry basis and energy",
        "One row is one lot: one field, one cutting. Straw-coloured cells are typed from the lab sheet, every lab value on the lot's one basis; the rest is computed.",
        "Inputs, then workings",
    )
    n = len(lots)
    last = FIRST + n - 1
    columns = [Column(head, unit, "input_text", width) for _, head, unit, width in TEXTS]
    columns += [Column("Forage", "word", "input_text", 10), Column("Basis of the lab values", "word", "input_text", 10)]
    columns += [Column("Hay in store", "tons as fed", "input", 10)]
    columns += [
        Column(head, unit, "input" if isinstance(r, tuple) else "input_text", 12) for _, head, unit, r, _ in LAB
    ]
    lab = {field: 6 + i for i, (field, *_) in enumerate(LAB)}
    first_computed = 6 + len(LAB)
    computed = [
        Column("Dry matter to divide by", "% (100 when dry)", "number2"),
        Column("Crude protein, dry basis", "% DM", "number2"),
        Column("ADF, dry basis", "% DM", "number2"),
        Column("NDF, dry basis", "% DM", "number2"),
        Column("TDN line by ADF", "name", "text", 22),
        Column("TDN taken from", "words", "text", 24),
        Column("TDN", "% DM", "result1"),
        Column("NEm, energy for maintenance", "Mcal/lb DM", "number3"),
        Column("NEg, energy for gain", "Mcal/lb DM", "number3"),
        Column("Relative feed value (read as a class, +-5)", "index", "number0"),
        Column("Ash, dry basis", "% DM", "number2"),
        Column("Fat, dry basis", "% DM", "number2"),
        Column("Forage type for RFQ", "word", "text", 10),
        Column("TDN from fibre digestibility", "% DM", "number1"),
        Column("Intake for RFQ", "% of body weight", "number2"),
        Column("Relative forage quality (read as a class, +-8)", "index", "number0"),
        Column("Outside a fitted range?", "words", "small", 46),
        Column("Name used above? 1 yes, 0 no", "yes/no", "number0", 10),
        Column("Cautions of this lot", "words", "small", 54),
        Column("Lignin, dry basis", "% DM", "number2"),
        Column("NDICP, dry basis", "% DM", "number2"),
        Column("ADICP, dry basis", "% DM", "number2"),
        Column("TDN from lignin", "% DM", "number1"),
        Column("TDN by the laboratory, dry basis", "% DM", "number1"),
        Column("TDN from ADF", "% DM", "number1"),
        Column("TDN by the other ways", "words", "small", 40),
    ]
    columns += [*computed, *doubts.COLUMNS]
    at = {
        name: first_computed + i
        for i, name in enumerate(
            # in the order of `computed`
            (
                "divisor",
                "cp",
                "adf",
                "ndf",
                "equation",
                "tdn_by",
                "tdn",
                "nem",
                "neg",
                "rfv",
                "ash",
                "fat",
                "rfq_forage",
                "tdn_fibre",
                "rfq_intake",
                "rfq",
                "notes",
                "twice",
                "cautions",  # filled by the sheet Cautions
                "lignin",
                "ndicp",
                "adicp",
                "tdn_lignin",
                "lab_tdn",
                "tdn_adf",
                "tdn_others",
            )
        )
    }
    table_heads(sheet, columns, [(0, "From the lab sheet"), (first_computed, "Computed")])
    for i, lot in enumerate(lots):
        row = FIRST + i
        _inputs(sheet, row, i + 1, lot, lab)

        def c(name: str, row: int = row) -> str:
            return local(row, at[name])

        def lab_ref(field: str, row: int = row) -> str:
            return local(row, lab[field])

        basis, forage = local(row, 4), local(row, 3)
        sheet.put(row, at["divisor"], Formula(f'=IF({basis}="dry",100,{lab_ref("dm_pct")})'), "number2", unit="%")
        for field in ("cp", "adf", "ndf"):
            sheet.put(
                row, at[field], call("TO_DRY_BASIS", lab_ref(f"{field}_pct"), c("divisor")), "number2", unit="% DM"
            )
        sheet.put(
            row,
            at["equation"],
            Formula(f'=IF({forage}="grass",equation_grass,IF({forage}="legume",equation_legume,equation_mixed))'),
        )
        sheet.put(row, at["tdn_adf"], call("TDN_FROM_ADF", c("adf"), c("equation")), "number1", unit="% DM")
        best = c(WAYS[-1][0])
        for way, _ in reversed(WAYS[:-1]):
            best = f"IF(ISNUMBER({c(way)}),{c(way)},{best})"
        sheet.put(row, at["tdn"], Formula(f"={best}"), "result1", unit="% DM")
        _ways(sheet, row, at, lab)
        sheet.put(row, at["nem"], call("NEM_FROM_TDN", c("tdn")), "number3", unit="Mcal/lb DM")
        sheet.put(row, at["neg"], call("NEG_FROM_TDN", c("tdn")), "number3", unit="Mcal/lb DM")
        sheet.put(row, at["rfv"], call("RELATIVE_FEED_VALUE", c("adf"), c("ndf")), "number0", unit="index")
        for field in ("ash", "fat", "lignin", "ndicp", "adicp"):
            ref = lab_ref(f"{field}_pct")
            unless = (f'{ref}=""', '"not tested"')
            sheet.put(row, at[field], call("TO_DRY_BASIS", ref, c("divisor"), unless=unless), "number2", unit="% DM")
        sheet.put(row, at["rfq_forage"], Formula(f'=IF({forage}="grass","grass","legume")'))
        tested = f"COUNT({c('ash')},{c('fat')},{lab_ref('ndfd48_pct')})<3"
        untested = (tested, '"not tested"')
        fibre = call(
            "TDN_FROM_NDF_DIGESTIBILITY",
            c("cp"),
            c("fat"),
            c("ash"),
            c("ndf"),
            lab_ref("ndfd48_pct"),
            c("rfq_forage"),
            unless=untested,
        )
        sheet.put(row, at["tdn_fibre"], fibre, "number1", unit="% DM")
        parts = [c(k) for k in ("cp", "fat", "ash", "ndf", "ndicp", "adicp", "lignin")]
        by_lignin = (f"COUNT({','.join(parts)})<{len(parts)}", '"not tested"')
        sheet.put(row, at["tdn_lignin"], call("TDN_FROM_LIGNIN", *parts, unless=by_lignin), "number1", unit="% DM")
        own = (f'{lab_ref("lab_tdn_pct")}=""', '"not given"')
        by_lab = call("TO_DRY_BASIS", lab_ref("lab_tdn_pct"), c("divisor"), unless=own)
        sheet.put(row, at["lab_tdn"], by_lab, "number1", unit="% DM")
        intake = call(
            "INTAKE_FOR_RFQ",
            c("rfq_forage"),
            c("cp"),
            c("adf"),
            c("ndf"),
            lab_ref("ndfd48_pct"),
            c("tdn_fibre"),
            unless=untested,
        )
        sheet.put(row, at["rfq_intake"], intake, "number2", unit="% of body weight")
        rfq = call("RELATIVE_FORAGE_QUALITY", c("tdn_fibre"), c("rfq_intake"), unless=untested)
        sheet.put(row, at["rfq"], rfq, "number0", unit="index")
        uses = [("TDN_FROM_ADF", "adf_pct", c("adf")), ("INTAKE_FROM_NDF", "ndf_pct", c("ndf"))]
        sheet.put(row, at["notes"], fit_notes(uses), "small")
        above = f"ROWS({a1(FIRST, 0, 'rc')}:{a1(row, 0, 'c')})"
        names_span = f"{a1(FIRST, 0, 'rc')}:{a1(last, 0, 'rc')}"
        sheet.put(
            row,
            at["twice"],
            Formula(f"=IF(MATCH({local(row, 0)},{names_span},0)={above},0,1)"),
            "number0",
            unit="yes/no",
        )
    names = {
        "name": 0,
        "field": 1,
        "cutting": 2,
        "forage": 3,
        "basis": 4,
        "tons": 5,
        **{f"lab_{k}": v for k, v in lab.items()},
        **at,
    }
    book.marks["lots"] = {"n": n, **{k: sheet.span(FIRST, col, last, col) for k, col in names.items()}}
    book.marks["lots_at"] = names
    doubts.add(book, sheet, "lots", names, len(columns) - len(doubts.COLUMNS), [lot.accepted for lot in lots])


def _ways(sheet: Sheet, row: int, at: dict[str, int], lab: dict[str, int]) -> None:
    """Which way the TDN was taken from, in words, and what the other ways say of the same hay."""
    own = local(row, lab[LAB_TDN])
    says = {way: f'"{name}"' for way, name in WAYS}
    says["lab_tdn"] = f'"{dict(WAYS)["lab_tdn"]}"&IF({own}="",""," ("&{own}&")")'
    says["tdn_adf"] = f'"ADF, "&{local(row, at["equation"])}'
    taken = says["tdn_adf"]
    for way, _ in reversed(WAYS[:-1]):
        taken = f"IF(ISNUMBER({local(row, at[way])}),{says[way]},{taken})"
    sheet.put(row, at["tdn_by"], Formula(f"={taken}"))
    by = local(row, at["tdn_by"])
    others = [
        f'IF(AND(ISNUMBER({local(row, at[way])}),LEFT({by},{len(name)})<>"{name}"),"; by {name} "&TEXT({local(row, at[way])},"0.0"),"")'
        for way, name in WAYS
    ]
    sheet.put(row, at["tdn_others"], Formula(f"=MID({'&'.join(others)},3,255)"), "small")


def _inputs(sheet: Sheet, row: int, number: int, lot: Lot, lab: dict[str, int]) -> None:
    prefix = f"Lots/{number}"
    for col, (field, head, _, _) in enumerate(TEXTS):
        entry = Input(f"{prefix}/{field}", head, f"{head}, as you call it", kind="text", required=field == "name")
        if field == "cutting":
            entry = Input(
                f"{prefix}/{field}",
                head,
                "Number of the cutting in its year, 1 to 12",
                lo=1,
                hi=12,
                kind="whole",
                required=False,
            )
        sheet.entry(row, col, getattr(lot, field), entry, "input_text")
    words = (
        ("forage", FORAGES, "What grows in it"),
        ("basis", BASES, "How the lab states its values: dry, or as fed (as received)"),
    )
    for col, (field, choices, says) in enumerate(words, 3):
        message = f"{says}. One of: {', '.join(choices)}"
        sheet.entry(
            row,
            col,
            getattr(lot, field),
            Input(f"{prefix}/{field}", field, message, words=choices, kind="word"),
            "input_text",
        )
    tons = Input(
        f"{prefix}/tons", "Hay in store", "Tons as fed in store, 0 to 100,000", lo=0, hi=100000, required=False
    )
    sheet.entry(row, 5, lot.tons, tons, "input", "tons as fed")
    for field, head, unit, limits, needed in LAB:
        key = f"{prefix}/{field}"
        style = "input2" if field in MINERALS else "input"
        if isinstance(limits, str):
            style = "input_text"
            if limits == WORD:
                says = f"Where the test gave only a limit (>5000, <50): {' or '.join(LIMIT_WORDS)}. Empty for an exact number"
                entry = Input(key, head[:32], says, words=LIMIT_WORDS, kind="word", required=False)
            else:
                entry = Input(key, head[:32], f"{head}, as the lab calls it", kind="text", required=False)
        elif isinstance(limits[0], str):
            entry = input_for(key, str(limits[0]), str(limits[1]), needed)
        else:
            says = f"{head}, {unit}: {limits[0]:g} to {limits[1]:g}." + (
                "" if needed else " Leave it empty when not tested."
            )
            entry = Input(key, head[:32], says, lo=float(limits[0]), hi=float(limits[1]), required=needed)
        sheet.entry(row, lab[field], getattr(lot, field), entry, style, unit)
