"""One sheet's XML into the workbook model, in one pass and without a tree."""

from __future__ import annotations

import math
from typing import IO

from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.a1 import BadAddress, Node, area, cell, node
from hayfuncs.spreadsheet.contents import ErrorValue, Flag, SheetInfo, Validation, Value, WorkbookData
from hayfuncs.spreadsheet.parts import damaged, stream
from hayfuncs.spreadsheet.tokens import Malformed, moved


def read_sheet(source: IO[bytes], book: WorkbookData, number: int, strings: list[str]) -> None:
    reader = _SheetReader(book, number, strings)
    stream(source, book.sheets[number].part, reader.start, reader.end, reader.text)


def on(text: str | None) -> bool:
    return text in ("1", "true")


class _SheetReader:
    def __init__(self, book: WorkbookData, number: int, strings: list[str]) -> None:
        self.book, self.number, self.strings = book, number, strings
        self.info: SheetInfo = book.sheets[number]
        self.row = self.col = -1
        self.at: Node = 0
        self.kind = ""
        self.value: str | None = None
        self.inline: list[str] | None = None
        self.formula: str | None = None
        self.formula_attributes: dict[str, str] = {}
        self.gather: list[str] | None = None
        self.length = 0  # characters gathered for the cell so far
        self.in_formula = False
        self.shared: dict[str, tuple[str, int, int]] = {}
        self.validation: dict[str, str] = {}
        self.phonetic = False

    def text(self, data: str) -> None:
        if self.gather is not None:
            self.length += len(data)
            if self.length > limits.TEXT:
                what = "formula" if self.in_formula else "text"
                most = limits.FORMULA if self.in_formula else limits.TEXT
                raise self._refused(f"a {what} of {self.length:,} characters or more; at most {most:,} are possible")
            self.gather.append(data)

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        if tag == "c":
            self._begin_cell(attributes)
        elif tag in ("v", "t", "formula1", "formula2", "formula"):
            if not self.phonetic:
                self.gather = []
                self.length *= tag == "t"  # the pieces of one text count together
        elif tag == "f":
            self.gather, self.length, self.in_formula = [], 0, True
            self.formula_attributes = attributes
        elif tag == "row":
            self._begin_row(attributes)
        elif tag == "rPh":
            self.phonetic = True
        elif tag == "col":
            if on(attributes.get("hidden")) or attributes.get("width") == "0":
                first, last = _whole(attributes.get("min"), 1), _whole(attributes.get("max"), 1)
                self.info.hidden_columns.append((first - 1, last - 1))
            elif attributes.get("width"):
                first, last = _whole(attributes.get("min"), 1), _whole(attributes.get("max"), 1)
                self.info.widths.append((first - 1, last - 1, _measure(attributes["width"])))
        elif tag == "conditionalFormatting":
            self.info.flags.append(Flag(self._areas(attributes.get("sqref", ""), "a conditional format")))
        elif tag == "cfRule" and self.info.flags:
            said = [attributes[name] for name in ("type", "operator", "text", "dxfId") if name in attributes]
            self.info.flags[-1].conditions.append(" ".join(said))
        elif tag == "dataValidation":
            self.validation = dict(attributes)
        elif tag == "sheetProtection":
            self.info.protected = on(attributes.get("sheet"))
            self.info.password = bool(attributes.get("password") or attributes.get("hashValue"))
        elif tag == "hyperlink":
            self._keep_link(attributes)
        elif tag == "mergeCell":
            self.info.merged.append(attributes.get("ref", ""))

    def _keep_link(self, attributes: dict[str, str]) -> None:
        try:
            row, col, _, _ = area(attributes.get("ref", ""))
        except BadAddress:
            return
        self.info.links[row, col] = attributes.get("location", "")

    def end(self, tag: str) -> None:
        if tag == "c":
            self._end_cell()
        elif tag == "v":
            self.value, self.gather = self._gathered(), None
        elif tag == "f":
            self.formula, self.gather, self.in_formula = self._gathered(), None, False
        elif tag == "t" and not self.phonetic:
            if self.inline is not None:
                self.inline.append(self._gathered())
            self.gather = None
        elif tag == "rPh":
            self.phonetic = False
        elif tag == "formula":
            if self.info.flags and self.info.flags[-1].conditions:
                self.info.flags[-1].conditions.append(self._gathered())
            self.gather = None
        elif tag in ("formula1", "formula2"):
            self.validation[tag], self.gather = self._gathered(), None
        elif tag == "dataValidation":
            self._end_validation()

    def _gathered(self) -> str:
        return "".join(self.gather or ())

    def _refused(self, what: str) -> UserError:
        return UserError(f"{self.book.path}: the sheet {self.info.name} has {what}")

    def _begin_row(self, attributes: dict[str, str]) -> None:
        self.row = _whole(attributes.get("r"), self.row + 2) - 1
        self.col = -1
        if not 0 <= self.row < limits.ROWS:
            raise self._refused(f"a row {self.row + 1}, outside the grid")
        if on(attributes.get("hidden")) or attributes.get("ht") == "0":
            self.info.hidden_rows.add(self.row)
        elif attributes.get("ht"):
            self.info.heights[self.row] = _measure(attributes["ht"])

    def _begin_cell(self, attributes: dict[str, str]) -> None:
        where = attributes.get("r")
        if where:
            try:
                self.row, self.col = cell(where)
            except BadAddress as error:
                raise self._refused(f"a cell that is none: {error}") from None
        else:
            self.col += 1
            if self.col >= limits.COLUMNS:
                raise self._refused("more columns than the grid has")
        self.at = node(self.number, self.row, self.col)
        self.kind = attributes.get("t", "n")
        self.value = self.formula = None
        self.length = 0
        self.inline = [] if self.kind == "inlineStr" else None
        style = attributes.get("s")
        if style:
            self.book.styles[self.at] = _whole(style, 0)

    def _end_cell(self) -> None:
        book, at = self.book, self.at
        if self.formula is not None:
            self._keep_formula()
        value: Value = "".join(self.inline) if self.inline is not None else self._typed()
        if value is None and self.formula is None:
            return
        if at in book.values or (at in book.formulas and self.formula is None):
            raise self._refused(
                f"the cell {book.address(at).rpartition('!')[2]} twice; such a file is damaged or made to deceive"
            )
        book.values[at] = value
        if len(book.values) > limits.CELLS:
            raise UserError(
                f"{book.path} holds more than {limits.CELLS:,} filled cells; the audit reads at most that many"
            )
        info = self.info
        info.last_row, info.last_col = max(info.last_row, self.row), max(info.last_col, self.col)

    def _typed(self) -> Value:
        text, kind = self.value, self.kind
        if text is None:
            return None
        if kind == "n":
            return self._number(text)
        if kind == "s":
            place = _whole(text, -1)
            if not 0 <= place < len(self.strings):
                raise self._refused(damaged("sharedStrings", f"no text number {text[:20]}"))
            return self.strings[place]
        if kind == "b":
            return on(text)
        if kind == "e":
            return ErrorValue(text)
        return text

    def _number(self, text: str) -> Value:
        if not text:  # an empty place for a value: the program that saved it did not calculate
            return None
        try:
            number = float(text)
        except ValueError:
            number = math.nan
        if not math.isfinite(number) or "_" in text:
            self.book.strange.append((self.at, f"{text[:40]!r} stands where a number must"))
            return text
        return number

    def _keep_formula(self) -> None:
        attributes, text = self.formula_attributes, self.formula or ""
        kind = attributes.get("t", "normal")
        if len(text) > limits.FORMULA:
            raise self._refused(f"a formula of {len(text):,} characters; at most {limits.FORMULA:,} are possible")
        if kind == "shared":
            group = attributes.get("si", "")
            if text:
                self.shared[group] = (text, self.row, self.col)
            elif group in self.shared:
                master, row, col = self.shared[group]
                try:
                    text = moved(master, self.row - row, self.col - col)
                except Malformed:
                    text = master
            else:
                self.book.strange.append((self.at, f"it shares the formula {group[:20]!r}, which is not in the file"))
        elif kind == "array":
            self.book.arrays[self.at] = attributes.get("ref", "")
        elif kind == "dataTable":
            self.book.strange.append((self.at, "a what-if data table, which the audit does not work out"))
        self.book.formulas[self.at] = text.removeprefix("=")

    def _areas(self, text: str, what: str) -> list[tuple[int, int, int, int]]:
        found: list[tuple[int, int, int, int]] = []
        for one in text.split():
            try:
                found.append(area(one))
            except BadAddress:
                self.book.notes.append(f"{what} of the sheet {self.info.name} covers {one[:40]!r}, which is no area")
        return found

    def _end_validation(self) -> None:
        given = self.validation
        self.info.validations.append(
            Validation(
                given.get("type", "none"), given.get("operator", "between"), given.get("formula1", ""), given.get("formula2", ""),
                tuple(self._areas(given.get("sqref", ""), "a validation")), on(given.get("showErrorMessage")) and given.get("errorStyle", "stop") == "stop",
                on(given.get("allowBlank")),
            )
        )  # fmt: skip


def _measure(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return math.nan


def _whole(text: str | None, otherwise: int) -> int:
    if text is None or not text.isdecimal() or len(text) > 9:
        return otherwise
    return int(text)
