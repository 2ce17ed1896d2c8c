"""The computed workbook in words, for the terminal: the lot-by-group table and one ration."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import PurePath
from typing import Any

from hayfuncs.spreadsheet.a1 import place_of
from hayfuncs.workbook import planreport
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.sheets.checks import HOLDS, RESULT
from hayfuncs.workbook.sheets.common import FIRST, MASTER, typed_names
from hayfuncs.workbook.sheets.hallwork import Working
from hayfuncs.workbook.sheets.whichhay import GROUPS, NAME
from hayfuncs.workbook.signposts import on_tab
from hayfuncs.workbook.write import Values

SAID = ("answer", "second_line", "third_line")  # the lines of What to feed, as the hall reads them


def value(book: Book, values: Values, ref: str) -> Any:
    """What a reference shows: the computed value, or what was typed."""
    name, row, col, _, _ = place_of(ref)
    if (name, row, col) in values:
        return values[name, row, col]
    cell = book.by_name(name).cells.get((row, col))
    return cell.content if cell else None


def text(book: Book, values: Values) -> str:
    return "\n".join([*table(book, values), "", *ration(book, values)])


def told(
    book: Book, values: Values, path: PurePath, before: Sequence[str] = (), after: Sequence[str] = ()
) -> str:  # fmt: skip
    """All that a verb prints of a workbook that it has written, with more lines before and after the plan's."""
    return "\n".join([text(book, values), *before, *plan(book, values), *after, "", f"Written: {path}"])


def plan(book: Book, values: Values) -> list[str]:
    """The line about the winter plan, of a workbook that has one."""
    if "solved" not in book.marks:
        return []
    stop = value(book, values, book.names["plan_stop"])
    return [f"Winter plan: no dollars while a check fails: {stop}" if stop else planreport.short(book.marks["solved"])]


def table(book: Book, values: Values) -> list[str]:
    """Each lot against each group, fed alone: what is short, in pounds a day."""
    lots, groups = ([i for i, name in enumerate(typed_names(book, t)) if name] for t in ("lots", "herd"))
    at = book.marks["lots_at"]
    head = ["Hay lot", "Forage", "TDN %", "CP %"]
    head += [str(book.by_name("Herd").cells[FIRST + g, 0].content) for g in groups]
    head.append("Before it is fed")
    says = book.marks["cautions_at"]["says"] if "cautions_at" in book.marks else None
    rows = [head]
    for i in lots:
        sheet = book.by_name("Lots")
        row = [str(sheet.cells[FIRST + i, at["name"]].content), str(sheet.cells[FIRST + i, at["forage"]].content)]
        row += [f"{values['Lots', FIRST + i, at[k]]:.1f}" for k in ("tdn", "cp")]
        for g in groups:
            row.append(str(values[NAME, FIRST + i, GROUPS + g]))
        row.append(str(values["Cautions", FIRST + i, says]).split(", not tested")[0] if says is not None else "")
        rows.append(row)
    widths = [max(len(row[k]) for row in rows) for k in range(len(head))]
    lines = ["Each lot fed alone: enough, or the pounds a day that each head is short", ""]
    lines += ["  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in rows]
    lines.insert(3, "  ".join("-" * w for w in widths))
    equations = sorted({str(values["Lots", FIRST + i, at["tdn_by"]]) for i in lots})
    names = head[4:-1]
    cows = [f"{name}: {says}" for name, says in zip(names, _on_cows(book, values, groups), strict=True) if says]
    return [*lines, f"TDN is taken from {', '.join(equations)}; the other ways stand on {NAME}.", *cows]


def _on_cows(book: Book, values: Values, groups: Sequence[int]) -> list[str]:
    """For each group, why its need here is too low; empty where it is not."""
    at = book.marks["herd_at"]["caution"]
    return [str(values["Herd", FIRST + g, at]) for g in groups]


def ration(book: Book, values: Values) -> list[str]:
    marks = book.marks["ration"]

    def get(name: str) -> Any:
        return value(book, values, marks[name])

    def number(name: str, form: str) -> str:
        found = get(name)
        return f"{found:{form}}" if isinstance(found, (int, float)) else str(found).rjust(8)

    lot, group, feed = (value(book, values, book.names[f"chosen_{k}"]) for k in ("lot", "group", "feed"))
    withheld = value(book, values, book.names["ration_withheld"])
    if withheld:
        return [
            f"One ration: {lot}, {group}, {feed}",
            "",
            f"  no numbers while a check fails: {withheld}",
            "",
            *checks(book, values),
        ]
    working = book.find(Working)
    hall = {key: value(book, values, getattr(working, key)) for key in (*SAID, "percent_says", "caution")}
    lines = [
        f"One ration: {lot}, {group}, {feed}", "",
        *(f"  {hall[key]}" for key in SAID if hall[key]), "",
        f"  hay eaten               {number('hay', '8.1f')} lb of dry matter a day",
        f"  energy (TDN)            {number('tdn_need', '8.2f')} lb needed, {number('tdn_short', '.2f')} lb short",
        f"  protein (CP)            {number('cp_need', '8.2f')} lb needed, {number('cp_short', '.2f')} lb short",
    ]  # fmt: skip
    lines += [f"  {hall['percent_says']}", f"  weather                 {get('weather')}"]
    if get("caution"):
        lines.append(f"  caution: {get('caution')}")
    if get("cow_caution"):
        lines.append(f"  {group}: {get('cow_caution')}")
    pile = value(book, values, book.marks["haypile"]["banner"])
    lines += [
        f"  what could hurt: {hall['caution']} All cautions: {on_tab('Ration cautions')}.",
        "",
        f"Hay for the winter: {pile}",
        *(f"  {value(book, values, ref)}" for ref in book.marks["haypile"].get("beside", ())),
    ]
    left_out = value(book, values, book.names["lots_left_out"])
    if left_out:
        lines.append(
            f"  not counted: {left_out:g} of {sum(map(bool, typed_names(book, 'lots')))} lots, see {on_tab('Stock')}"
        )
    return [*lines, "", *checks(book, values)]


def checks(book: Book, values: Values) -> list[str]:
    """The word over all checks, and each that fails, by its name."""
    return [
        f"Checks: {value(book, values, book.names[MASTER])}",
        *(f"  FAILS  {line}" for line in failed(book, values)),
    ]


def failed(book: Book, values: Values) -> list[str]:
    """Each check that does not hold, with the row at fault where it has one."""
    sheet = book.by_name("Checks")
    rows = sorted(row for (row, col), cell in sheet.cells.items() if col == RESULT and cell.style == "verdict")
    bad = [row for row in rows if values["Checks", row, RESULT] != HOLDS]
    where = [str(values.get(("Checks", row, RESULT + 2)) or "") for row in bad]
    return [f"{sheet.cells[row, 0].content}{', ' if at else ''}{at}" for row, at in zip(bad, where, strict=True)]
