"""A sheet of the report: title, sentence, role, then tables; plain values only, no formula anywhere."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hayfuncs.audit.rules.inputs import is_numeral
from hayfuncs.spreadsheet.contents import ErrorValue, Value
from hayfuncs.workbook.fit import USUAL_HEIGHT, height
from hayfuncs.workbook.styles import FONT, MONO, properties

CELL_TEXT = 32_000  # characters of one cell that are written
INDEX = "Summary"

TEXT = {"valign": "top", "align": "left", "indent": 1}  # one step in from a number at its left
NUMBERS = ("number", "count", "tiny")  # looks of numbers: a text among them stands like a text
DIGIT, PADDING = 7, 5  # pixels: a digit of this file's default font, and what a column has beside its digits

# looks that the report adds to the workbook's own; each letter of a map has a look and itself
EXTRA: dict[str, dict[str, Any]] = {
    "cell": {"text_wrap": True, "font_size": 11, **TEXT},
    "number": {"valign": "top", "font_size": 11, "align": "right", "num_format": "#,##0.0#####"},
    "count": {"valign": "top", "font_size": 11, "align": "right", "num_format": "#,##0"},
    "tiny": {"valign": "top", "font_size": 11, "align": "right", "num_format": "0.0E+00"},
    "flat": {"font_size": 11, **TEXT},
    "mono": {"font_name": MONO, "font_size": 10, "text_wrap": True, **TEXT},
    "high": {"bold": True, "font_size": 11, **TEXT, "bg_color": "#FBE3D4", "font_color": "#7A2E00"},
    "medium": {"bold": True, "font_size": 11, **TEXT, "bg_color": "#FDF1D6"},
    "low": {"font_size": 11, **TEXT, "bg_color": "#E8EEF2"},
    "note": {"font_size": 11, **TEXT, "italic": True},
    "decision": {"font_size": 11, **TEXT, "bg_color": "#FFF6D8", "border": 4, "border_color": "#7A6A2C", "locked": False},
    "map": {"font_size": 10, "align": "center", "valign": "vcenter"},
    "map_I": {"font_size": 10, "align": "center", "bg_color": "#FFF6D8", "border": 4, "border_color": "#7A6A2C"},
    "map_C": {"font_size": 10, "align": "center", "bg_color": "#F1E6F4"},
    "map_F": {"font_size": 10, "align": "center", "bold": True, "bg_color": "#BFDCEB"},
    "map_f": {"font_size": 10, "align": "center", "bg_color": "#E3F0F7"},
    "map_X": {"font_size": 10, "align": "center", "bold": True, "bg_color": "#D55E00", "font_color": "#FFFFFF"},
    "map_E": {"font_size": 10, "align": "center", "bold": True, "bg_color": "#FBE3D4"},
    "map_H": {"font_size": 10, "align": "center", "bg_color": "#D9D9D9"},
    "map_T": {"font_size": 10, "align": "center", "font_color": "#595959"},
}  # fmt: skip


class Looks:
    """Formats of the report, each made once."""

    def __init__(self, file: Any) -> None:
        self.file = file
        self.made: dict[str, Any] = {}

    def __call__(self, name: str) -> Any:
        if name not in self.made:
            base = {"font_name": FONT, "font_scheme": "none", "font_color": "#1F1F1F"}
            self.made[name] = self.file.add_format(base | EXTRA[name] if name in EXTRA else properties(name))
        return self.made[name]


class Page:
    """One sheet, written from the top down."""

    def __init__(self, file: Any, looks: Looks, name: str, title: str, sentence: str, widths: Sequence[float]) -> None:
        self.sheet = file.add_worksheet(name)
        self.looks, self.name = looks, name
        self.row, self.widths = 0, tuple(widths)
        for col, width in enumerate(widths):
            self.sheet.set_column(col, col, width)
        self.sheet.set_row(0, 30)
        self.put(0, title, "title")
        self.next()
        self.put(0, sentence, "sentence")
        self.next()
        self.put(0, "Report", "role")
        self.next()
        if name != INDEX:
            self.sheet.write_url(
                self.row, 0, f"internal:'{INDEX}'!A1", looks("link"), f"back to {INDEX}", f"Go to {INDEX}"
            )
        self.next(2)
        self.sheet.hide_gridlines(2)
        self.sheet.set_landscape()
        self.sheet.set_paper(1)  # US letter
        self.sheet.fit_to_pages(1, 0)
        self.sheet.set_margins(0.5, 0.5, 0.7, 0.7)
        self.sheet.set_footer("&L&F&C&A&RPage &P of &N")
        self.sheet.protect(
            "",
            {
                "select_locked_cells": True,
                "format_columns": True,
                "format_rows": True,
                "autofilter": True,
                "sort": True,
            },
        )

    def next(self, rows: int = 1) -> None:
        self.row += rows

    def put(self, col: int, value: Value, look: str = "cell") -> None:
        """A value as it is: text stays text even when it begins like a formula."""
        made = self.looks("flat" if isinstance(value, str) and look in NUMBERS else look)
        if value is None or value == "":
            if look in ("decision", "head") or look.startswith("map_"):
                self.sheet.write_blank(self.row, col, None, made)
            return
        if isinstance(value, bool):
            self.sheet.write_boolean(self.row, col, value, made)
        elif isinstance(value, (int, float)):
            self.sheet.write_number(self.row, col, value, made)
        else:
            self.sheet.write_string(self.row, col, value[:CELL_TEXT], made)

    def tall(self, values: Sequence[Value], looks: Sequence[str] | str) -> float | None:
        """Points that the wrapped texts of a line take, where that is more than one line of text."""
        need = 0.0
        for col, value in enumerate(values[: len(self.widths)]):
            look = EXTRA.get(looks if isinstance(looks, str) else looks[col], {})
            if isinstance(value, str) and look.get("text_wrap"):
                need = max(need, height(value[:CELL_TEXT], self.widths[col] * DIGIT + PADDING, look))
        return need if need > USUAL_HEIGHT else None

    def line(self, values: Sequence[Value], looks: Sequence[str] | str = "cell", level: int = 0) -> None:
        tall = self.tall(values, looks)
        if tall or level:
            self.sheet.set_row(self.row, tall, None, {"level": level} if level else {})
        for col, value in enumerate(values):
            self.put(col, value, looks if isinstance(looks, str) else looks[col])
        self.next()

    def section(self, text: str) -> None:
        self.next()
        self.put(0, text, "section")
        self.next()

    def heads(self, texts: Sequence[str], freeze: bool = False) -> None:
        """A heading row; with `freeze` it stays in view and on every printed page, with a filter."""
        self.sheet.set_row(self.row, 32)
        for col, text in enumerate(texts):
            self.put(col, text, "head")
        if freeze:
            self.sheet.freeze_panes(self.row + 1, 1)
            self.sheet.repeat_rows(self.row)
        self.next()


def plain(value: Value) -> Value:
    """A value of the audited workbook as the report shows it: a text that reads as a number in quotes."""
    if isinstance(value, ErrorValue):
        return str(value)
    return f'"{value}"' if isinstance(value, str) and is_numeral(value) else value
