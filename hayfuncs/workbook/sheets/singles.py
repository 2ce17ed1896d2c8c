"""Single figures: the functions that no other sheet needs, each with its values, its answer and its source."""

from __future__ import annotations

from dataclasses import dataclass

from hayfuncs.contract.catalogue import CATALOGUE, Arg, Block, Flag, Name, Record, Words
from hayfuncs.contract.tables import load
from hayfuncs.cow.requirement_tables import STATED
from hayfuncs.workbook.model import Book, Content, Formula, Input, Sheet, call, input_for
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.tablewords import cited

NAME = "Single figures"
BLOCK_ROWS = ("first", "second", "third")
WHAT, VALUE, UNIT, POSSIBLE = range(4)  # columns
HEADS = ("Question, and what it is answered from", "Value", "Unit", "What is possible; beside an answer, its source")
TOP = 4


@dataclass(frozen=True)
class Single:
    """A function and the values that stand in it first, a list for a block of cells; all are examples."""

    name: str
    values: tuple[Content | tuple[float, ...], ...]
    style: str = "result2"
    on_a_new_page: bool = False


BANDS: tuple[tuple[str, tuple[Single, ...]], ...] = (
    ("From one basis or measure to another", (
        Single("TO_AS_FED_BASIS", (12.0, 85.0)),
        Single("DRY_WEIGHT", (2000.0, 87.0), "result1"),
        Single("PROTEIN_FROM_NITROGEN", (1.6,)),
        Single("WEIGHTED_MEAN", ((10.0, 14.0, 9.0), (30.0, 10.0, 20.0))),
        Single("TDN_FROM_LIGNIN", (20.0, 2.5, 9.0, 40.0, 3.0, 1.5, 7.0), on_a_new_page=True),
        Single("ME_FROM_TDN", (60.0,)),
        Single("TDN_FROM_NEM", (0.594,)),
    )),
    ("What one cow eats, gives and needs", (
        Single("INTAKE_FROM_NEM", (0.59, 1200.0, 16.0, 0)),
        Single("MILK_YIELD", (20.0, 17.0)),
        Single("NEM_FOR_MILK", (20.0,)),
        Single("NEM_FOR_PREGNANCY", (85.0, 250.0)),
        Single("NEED_FROM_TABLE", ("late gestation, 1,300 lb", "TDN lb")),
    )),
    ("Putting condition on, or letting it go", (
        Single("CONDITION_WEIGHT", (1200.0, 4.0), "result1"),
        Single("CONDITION_ENERGY", (1200.0, 4.0, 5.0), "result1"),
        Single("CONDITION_DAYS", (1200.0, 4.0, 5.0, 3.0), "result1"),
        Single("NEED_FOR_CONDITION", (1200.0, 4.0, 5.0, 90.0, 55.0)),
        Single("CONDITION_AFTER", (1200.0, 5.0, -1.5, 52.0, 120.0)),
    )),
    ("Young cattle: what they need and what they gain", (
        Single("TARGET_WEIGHT", (1200.0, "breeding"), "result1"),
        Single("GROWING_INTAKE", ("heifer calf", 500.0, 58.0), "result1"),
        Single("GAIN_ON_DIET", ("heifer calf", 500.0, 12.2, 58.0, 1200.0)),
        Single("GROWING_NEED", ("TDN", "heifer calf", 500.0, 1.0, 1200.0)),
        Single("GROWING_DENSITY", ("TDN", "heifer calf", 500.0, 1.0, 1200.0), "result1", on_a_new_page=True),
        Single("YOUNG_COW_MILK", (20.0, "first"), "result1"),
        Single("HEIFER_NEED", ("TDN", 1152.0, 945.0, 0.4, 2.0, 14.8, 85.0)),
        Single("HEIFER_DENSITY", ("TDN", 1152.0, 945.0, 0.4, 2.0, 14.8, 85.0), "result1"),
    )),
    ("Supplement for one nutrient, and protein from urea", (
        Single("SUPPLEMENT_FOR_POUNDS", (16.9, 26.8, 52.0, 78.0, 0.5)),
        Single("SUPPLEMENT_FOR_SHARE", (57.0, 21.0, 51.0, 83.0)),
        Single("UREA_NITROGEN_SHARE", (0.1, 2.0)),
    )),
    ("How far an answer may be off", (
        Single("TDN_MARGIN", ("digestible dry matter", 2.1, 3.0)),
        Single("TDN_SUM_MARGIN", (62.0, 48.0, "grass", 2.0, 2.7, 6.5, 2.0)),
        Single("SUPPLEMENT_MARGIN", ("pounds", 16.9, 2.3, 26.8, 54.0, 8.5, 78.0, 24.0, 90.0, 0.0, 1.6, 1.0, 3.0, 2.0)),
        Single("CLOSE_CALL", (16.9, 16.2, 0.9), "result_text"),
    )),
    ("Minerals, salt, water and vitamin A", (
        Single("MINERAL_NEED", ("copper", "in milk")),
        Single("MINERAL_LIMIT", ("copper", "2016")),
        Single("MINERAL_CAUTION", ("copper", 6.0, "in milk"), "result_text"),
        Single("MINERAL_MIX_LEVEL", (10.0, 6.0, 25.0, 0.25), "result1"),
        Single("MINERAL_COST", (0.25, 35.0, 50.0, 150.0)),
        Single("COPPER_CAUTION", (8.0, 1.5, 180.0, 0.25), "result_text"),
        Single("SALT_TO_LIMIT", (1200.0, 3.0), "result1", on_a_new_page=True),
        Single("SALT_CAUTION", (1.2, 1200.0, 900.0), "result_text"),
        Single("WATER_A_DAY", ("lactating cow", 85.0), "result1"),
        Single("NITRATE_WITH_WATER", (1000.0, 24.0, 12.0, 60.0), "result1"),
        Single("WATER_CAUTION", (60.0, 1200.0), "result_text"),
        Single("VITAMIN_A_NEED", ("pregnant", 26.0), "result1"),
    )),
    ("What no forage test shows", (
        Single("SWEET_CLOVER_CAUTION", (15.0, 0), "result_text"),
        Single("AFLATOXIN_CAUTION", (60.0, "breeding"), "result_text"),
        Single("AMMONIATED_HAY_CAUTION", (0, 3.0, 2.0), "result_text"),
        Single("BALEAGE_CAUTION", (55.0, 4.8), "result_text"),
    )),
    ("What weather costs", (
        Single("WEATHERED_SHARE", (5.0, 6.0), "result1"),
        Single("MUD_GAIN_LOSS", ("hock",), "result1"),
    )),
)  # fmt: skip


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "One figure at a time",
        "Each part asks one question that the other sheets do not: type the values, read the answer. The values are examples, of no real hay and no real herd.", "Inputs and results",
    )  # fmt: skip
    sheet.width(46, 20, 14, 68)
    sheet.heads(TOP, WHAT, HEADS)
    sheet.repeat_rows, sheet.freeze = (TOP, TOP), (TOP + 1, 0)
    row = TOP + 1
    answers: dict[str, str] = {}
    for title, singles in BANDS:
        if row > TOP + 1:
            sheet.page_breaks.append(row)
        sheet.put(row, WHAT, title, "section")
        row += 1
        for single in singles:
            if single.on_a_new_page:
                sheet.page_breaks.append(row)
                sheet.put(row, WHAT, f"{title}, continued", "section")
                row += 1
            row = _one(book, sheet, row, single, answers)
    book.marks["singles"] = answers


def _one(book: Book, sheet: Sheet, row: int, single: Single, answers: dict[str, str]) -> int:
    record = CATALOGUE[single.name]
    if len(single.values) != len(record.args):
        raise ValueError(f"{NAME}: {single.name} takes {len(record.args)} values ({', '.join(record.args)})")
    sheet.put(row, WHAT, record.summary, "question")
    sheet.put(row, POSSIBLE, record.equation, "small")
    row += 1
    refs = []
    for (argument, arg), value in zip(record.args.items(), single.values, strict=True):
        parts = value if isinstance(value, tuple) else (value,)
        if isinstance(value, tuple):  # a line of its own keeps two blocks apart
            sheet.put(row, WHAT, arg.meaning, "label")
            sheet.put(row, POSSIBLE, "a block of cells, one value under another", "small")
            row += 1
        first = row
        for i, part in enumerate(parts):
            words = BLOCK_ROWS[i] if isinstance(value, tuple) else arg.meaning
            key = f"{NAME}/{single.name} {argument}" + (f" {BLOCK_ROWS[i]}" if isinstance(value, tuple) else "")
            entry = _entry(book, key, record, argument)
            possible = entry.message.removeprefix(f"{arg.meaning}: ")  # the label says the meaning
            sheet.put(row, WHAT, words, "label")
            sheet.entry(row, VALUE, part, entry, _style(arg), arg.unit)
            sheet.put(row, UNIT, arg.unit, "unit_cell")
            if possible:
                sheet.put(row, POSSIBLE, possible, "small")
            row += 1
        refs.append(sheet.span(first, VALUE, row - 1, VALUE) if isinstance(value, tuple) else sheet.ref(first, VALUE))
    own = [ref.split("!")[1] for ref in refs]
    where = "; ".join(f"{cited(r.key)}, {r.where}" for r in record.refs)
    sheet.put(row, WHAT, record.result.meaning, "label")
    answers[single.name] = sheet.put(row, VALUE, call(single.name, *own), single.style, unit=record.result.unit)
    sheet.put(row, UNIT, _unit(record, own), "unit_cell")
    sheet.put(row, POSSIBLE, f"{record.sheet_name}. {where}. Evidence: {record.evidence}.", "small")
    sheet.heights[row + 1] = 12
    return row + 2


def _unit(record: Record, refs: list[str]) -> Content:
    """The unit of the answer; of a table's value the unit of the column that is asked for."""
    if record.args.get("mineral") and record.result.unit == "as the column says":
        rows = load("mineral_needs").rows
        of_dm = ",".join(f'{refs[0]}="{row["mineral"]}"' for row in rows if row["unit"] == "% DM")
        return Formula(f'=IF(OR({of_dm}),"% DM","ppm")')
    if record.name != "NEED_FROM_TABLE":
        return record.result.unit
    asked = refs[list(record.args).index("nutrient")]
    units = load("need_statements").units
    *rest, last = dict.fromkeys(units[column] for column in STATED.values())
    text = f'"{last}"'
    for unit in rest:
        words = ",".join(f'{asked}="{word}"' for word, column in STATED.items() if units[column] == unit)
        text = f'IF(OR({words}),"{unit}",{text})'
    return Formula(f"={text}")


def _entry(book: Book, key: str, record: Record, argument: str) -> Input:
    arg = record.args[argument]
    if isinstance(arg, Name):
        message = f"{arg.meaning}: {arg.allowed()}, on the sheet Tables"
        names = next(span for (table, _), span in book.tables.items() if table == arg.table)  # the first column
        return Input(key, arg.meaning.partition(",")[0], message[:255], source=names, kind="word")
    if isinstance(arg, Block):
        return Input(key, arg.meaning.partition(",")[0], "any number; none of the block may be left empty")
    return input_for(key, record.name, argument)


def _style(arg: object) -> str:
    if isinstance(arg, (Words, Name)):
        return "input_text"
    return "input0" if isinstance(arg, Flag) or (isinstance(arg, Arg) and arg.unit == "days") else "input"
