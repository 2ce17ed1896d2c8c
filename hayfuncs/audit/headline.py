"""The headline numbers: what the workbook is asked for, and by which a finding is weighed."""

from __future__ import annotations

import re
from collections.abc import Iterable

from hayfuncs.audit.graph import Formulas, read_cells
from hayfuncs.audit.labels import KNOWN, Labels
from hayfuncs.audit.locate import locate
from hayfuncs.audit.own import parts
from hayfuncs.spreadsheet.a1 import BadAddress, Node, cell, node, place, split_address
from hayfuncs.spreadsheet.contents import WorkbookData

# of our own workbook: what the agent reads off it, sheet by sheet, by the label in the row
OURS = {
    "Ration": ("Short", "Supplement, as fed", "For the whole group", "Cost a head", "Cost for the group", "Driven by"),
    "Hay pile": ("Hay in store", "Hay short", "What it costs to buy", "The hay in store lasts"),
    "Winter budget": ("To spend", "Cost in all", "Group months short of energy", "Group months short of protein"),
}
FIRST_ONLY = ("Hay pile", "Winter budget")  # sheets whose second column of numbers is a comparison
LEVELS = ("Ration cautions", "Level")  # a danger that is hidden is the gravest change of all
ASKED = re.compile(
    r"\b(short|shortage|deficit|gap|supplement|to (feed|buy|spend)|cost|total|tons? (needed|for)|run out)\b",
    re.IGNORECASE,
)
MASTER = "master_check"
MOST = 40
ROLE = (2, 0)  # the role word's row and column on every sheet of the workbook


def named(book: WorkbookData, texts: Iterable[str]) -> list[Node]:
    """The cells that the user calls headline numbers."""
    return [locate(book, text) for text in texts]


def find(book: WorkbookData, formulas: Formulas, labels: Labels) -> list[Node]:
    """Our own workbook's by their labels; else the numbers of result sheets; else the ends of all chains."""
    return (
        _by_label(book, labels) or _results(book, formulas) or _asked(book, formulas, labels) or _ends(book, formulas)
    )


def _by_label(book: WorkbookData, labels: Labels) -> list[Node]:
    """The numbers of our own sheets, then the levels of caution."""
    every = parts(book)
    homes = {name: every[name] for name in (*OURS, LEVELS[0]) if name in every}
    found: dict[str, list[Node]] = {name: [] for name in homes}
    for at in book.values:  # not formulas alone: a headline number typed over is still one
        sheet, row, col = place(at)
        name = next((n for n, p in homes.items() if p.sheet == sheet and p.first <= row <= p.last), None)
        if name is None:
            continue
        if name == LEVELS[0]:
            wanted = labels.heading(at) == LEVELS[1] and book.values[at] not in KNOWN  # not the unit row itself
        else:
            wanted = 1 <= col <= (1 if name in FIRST_ONLY else 2) and labels.row_name(at) in OURS[name]
        if wanted:
            found[name].append(at)
    levels = sorted(found.pop(LEVELS[0], []))
    own = [at for cells in found.values() for at in sorted(cells)]
    return own and [*own, *levels]


def master(book: WorkbookData) -> list[Node]:
    """The cell with the word over all checks of our own workbook."""
    told = next((name.text for name in book.names if name.name.casefold() == MASTER), "")
    sheet, address = split_address(told.removeprefix("="))
    number = book.index(sheet) if sheet else None
    try:
        row, col = cell(address.replace("$", ""))
    except BadAddress:  # the name was pointed elsewhere: the rule on names says so
        return []
    return [] if number is None else [node(number, row, col)]


def roles(book: WorkbookData) -> list[str]:
    """Each sheet's role word in small letters; empty where it has none."""
    out = []
    for number in range(len(book.sheets)):
        value = book.values.get(node(number, *ROLE))
        out.append(value.strip().casefold() if isinstance(value, str) else "")
    return out


def _results(book: WorkbookData, formulas: Formulas) -> list[Node]:
    wanted = {i for i, role in enumerate(roles(book)) if role.startswith(("result", "answer"))}
    found = [at for at in book.formulas if place(at)[0] in wanted and isinstance(book.values.get(at), float)]
    return sorted(found)[:MOST]


def _asked(book: WorkbookData, formulas: Formulas, labels: Labels) -> list[Node]:
    """A stranger's: the numbers called short, to feed, to buy, tons or cost, and every other end of a chain behind them."""
    found = [at for at in book.formulas if isinstance(book.values.get(at), float) and ASKED.search(labels.label(at))]
    if not found:
        return []
    ends = _ends(book, formulas)
    return [*sorted(found), *(at for at in ends if at not in set(found))][:MOST]


def _ends(book: WorkbookData, formulas: Formulas) -> list[Node]:
    read = read_cells(formulas)
    found = [at for at in book.formulas if at not in read and isinstance(book.values.get(at), float)]
    return sorted(found)[:MOST]
