"""The steps of the ten-minute check list, and reading a filled list back into a file that a person can send."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from hayfuncs import __version__
from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.contents import WorkbookData
from hayfuncs.spreadsheet.reader import read

SHEET, CHECKS = "Start here", "Checks"
ANSWERS = ("yes", "no", "not tried")
FIRST_ROW, TEXT_AT, ANSWER_AT, REMARK_AT = 8, 1, 2, 3  # rows and columns from 0
ABOUT_YOU = (  # rows 3 to 5, asked once
    ("version", "Your Excel's version and build (File, Account; on the web: write web and the browser)"),
    ("system", "Windows, Mac, web, phone, and its version"),
    ("date", "The day, and a name if you want to be asked back"),
)
EDITION_ROW, ABOUT_ROW = 1, 3


class Step(NamedTuple):
    """One thing to do and look at, with the short name that it has in what is sent back."""

    key: str
    text: str


STEPS = (
    Step("opens", "Open this file. There is no message about repairs. (Choose Enable Editing if Excel asks.)"),
    Step("recalculated", "Press Ctrl+Alt+F9 (on a Mac Cmd+Option+F9), so that Excel itself works every cell out. Sheet Checks, top line: it reads 'all TRUE'. A FALSE is red: note its name."),
    Step("no sign", "Click the first call (Checks, column B). In the formula bar it begins with =HAY, with no @ behind the =."),
    Step("follows", "Change the first argument of that row: the call changes at once. Undo with Ctrl+Z."),
    Step("listed", "Type =HAY in an empty cell: Excel lists the functions."),
    Step("saved", "Save under another name, close, open again: no message, and the top line still reads 'all TRUE'."),
    Step("template", "Open hayfuncs-template-functions.xlsx (folder workbooks; or type hayfuncs demo --out demo --edition functions). No message about repairs, no #NAME? on any tab, and the third line of each tab says that all checks hold."),
    Step("links", "On Start click the name of a tab: it opens. The first tab, What to feed, is one click away again."),
    Step("drop-downs", "On What to feed choose another hay, other cows and another feed: each list opens and the sentence follows. On Lots the basis and the forage are lists too."),
    Step("charts", "The pictures on What to feed, Which hay, Which feed, Cow year and Hay pile show with their words, and follow that choice."),
    Step("protection", "Type over a formula: Excel refuses. Type into a straw-colored cell with a dotted frame: it takes it. 900 as a share of dry matter is refused in our words."),
    Step("arrows", "On What to feed click the pounds; Formulas, Trace Precedents: an arrow shows, and a double click on it leads to the cells it comes from on Workings."),
    Step("audit", "Press Ctrl+Alt+F9, save as saved.xlsx, then, where Python is, type hayfuncs audit saved.xlsx: every formula recomputed, no finding above a note. (Without Python: send saved.xlsx.)"),
    Step("paper", "File, Print: look through the preview. Each tab is one page wide, with no column cut; Take home is one page."),
    Step("plain", "The same with hayfuncs-template-plain.xlsx (--edition plain): opens, follows a choice, audit clean after Ctrl+Alt+F9."),
    Step("sign", "In the plain workbook an @ stands before INDEX in some cells and before nothing else. (It says that one value of a column is meant.)"),
    Step("classic", "Open hayfuncs-template-classic.xlsx (--edition classic) on a machine without Python: the cells keep their numbers. With Python and xlwings (INSTALL, Excel for Windows): they follow a choice after Ctrl+Alt+F9."),
    Step("own", "Put the functions into a workbook of your own with hayfuncs into OWN.xlsx --out NEW.xlsx: NEW.xlsx opens without a message and =HAY.DRY_WEIGHT(2000,87) shows 1740."),
    Step("web", "Put this file and the template on the web drive and open them in the browser: 'all TRUE', lists and pictures work."),
    Step("mac", "On a Mac: the same."),
)  # fmt: skip
SEND = "Save this file, type hayfuncs excel answers THIS.xlsx --out ANSWERS.txt and send ANSWERS.txt to the maintainers; or send this file."


def answers(path: Path) -> list[str]:
    """A filled list in lines: who and what, each step's answer and remark, and the checks that are not TRUE."""
    book = read(path)
    if book.index(SHEET) is None or book.index(CHECKS) is None:
        raise UserError(
            f"{path} is no check list of hayfuncs: it has no sheets {SHEET} and {CHECKS}; give the file that you filled in"
        )
    lines = [f"hayfuncs check list\t{_cell(book, SHEET, 0, 0)}", f"read by\thayfuncs {__version__}"]
    lines.append(f"edition\t{_cell(book, SHEET, EDITION_ROW, 0).partition(':')[0].removeprefix('Edition ')}")
    lines += [f"{key}\t{_cell(book, SHEET, ABOUT_ROW + i, ANSWER_AT)}" for i, (key, _) in enumerate(ABOUT_YOU)]
    given = 0
    for row, step in enumerate(STEPS, FIRST_ROW):
        said, remark = _cell(book, SHEET, row, ANSWER_AT), _cell(book, SHEET, row, REMARK_AT)
        given += bool(said)
        lines.append(f"{step.key}\t{said or 'no answer'}\t{remark}")
    if not given:
        raise UserError(
            f"{path} holds no answer yet; fill column C of the sheet {SHEET} with {', '.join(ANSWERS)}, save it and try again"
        )
    wrong = list(_not_true(book))
    return [*lines, f"checks not TRUE\t{len(wrong)}", *(f"check\t{name}" for name in wrong)]


def _cell(book: WorkbookData, sheet: str, row: int, col: int) -> str:
    value = book.values.get(book.at(sheet, row, col))
    return "" if value is None else " ".join(str(value).split())


def _not_true(book: WorkbookData) -> Iterator[str]:
    """The named checks whose stored value is anything but TRUE."""
    for name in book.names:
        sheet, _, cell = name.text.rpartition("!")
        if name.name.startswith("test_") and name.name != "test_all" and sheet == CHECKS:
            row = int(cell.rpartition("$")[2]) - 1
            if book.values.get(book.at(CHECKS, row, 3)) is not True:
                yield name.name
