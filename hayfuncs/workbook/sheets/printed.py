"""Pages for paper, written from the top down: words at the left, two columns of values at their right."""

from __future__ import annotations

from hayfuncs.workbook.model import Content, Flagging, Sheet

WIDTHS = (46, 17, 14)  # of a page that prints at full size
WORDS, VALUES, LAST = range(len(WIDTHS))  # columns; the values begin at the second
Value = tuple[Content, str, str]  # with its unit and look


class Printed:
    """Where the next line goes, and the kinds of lines."""

    heads_height, line_height, value_height = 20, 20, 24

    def __init__(self, sheet: Sheet, row: int) -> None:
        self.sheet, self.row = sheet, row

    def line(self, content: Content, style: str = "take_line", height: float = 0) -> str:
        ref = self.sheet.put(self.row, WORDS, content, style)
        self.down(height or self.line_height)
        return ref

    def answer(self, content: Content, height: float) -> None:
        """A line whose mark of a fault is seen from afar."""
        self.sheet.flags.append(Flagging((self.row, WORDS, self.row, LAST), "✗", "flag_bad"))
        self.line(content, "take_answer", height)

    def heads(self, *texts: Content) -> None:
        for col, text in enumerate(texts, WORDS):
            self.sheet.put(self.row, col, text or None, "take_head" if col == WORDS else "take_head_right")
        self.down(self.heads_height)

    def values(self, label: Content, *values: Value | None, style: str = "take_item", height: float = 0) -> None:
        """Words, then the values at their right; none leaves its cell as it is."""
        self.sheet.put(self.row, WORDS, label, style)
        for col, value in enumerate(values, VALUES):
            if value is not None:
                content, unit, look = value
                self.sheet.put(self.row, col, content, look, unit=unit)
        self.down(height or self.value_height)

    def down(self, height: float) -> None:
        self.sheet.heights[self.row] = height
        self.row += 1
