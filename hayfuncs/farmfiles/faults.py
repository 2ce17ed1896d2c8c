"""All that is wrong with a file, said at once: file, row as a spreadsheet shows it, column, value, what is allowed."""

from __future__ import annotations

from pathlib import Path

from hayfuncs.files import UserError

SHOWN = 20  # faults printed in one message; more are counted
CELL_SHOWN = 60  # characters of a cell that a message repeats


def quoted(value: object) -> str:
    """A cell's content as a message repeats it: short, on one line, nothing a terminal would act on."""
    if isinstance(value, float):
        return f"{value:.10g}"
    text = "".join(c if c.isprintable() else "?" for c in str(value))
    if not text.strip():
        return "blank"
    return f'"{text if len(text) <= CELL_SHOWN else text[: CELL_SHOWN - 3] + "..."}"'


class Faults:
    """Collects; `refuse()` raises one UserError when there is anything to say."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.lines: list[str] = []

    def add(self, line: str) -> None:
        if line not in self.lines[-SHOWN:]:
            self.lines.append(line)

    def cell(self, row: int, heading: str, value: object, allowed: str, fix: str = "") -> None:
        self.add(
            f"row {row}, column {quoted(heading)}: {quoted(value)}; allowed: {allowed}" + (f"; {fix}" if fix else "")
        )

    def heading(self, row: int, heading: str, allowed: str) -> None:
        self.add(f"row {row}, heading {quoted(heading)}: {allowed}")

    def refuse(self) -> None:
        if not self.lines:
            return
        count = len(self.lines)
        more = [f"... and {count - SHOWN} more"] if count > SHOWN else []
        head = f"{self.path.name}: {count} {'thing' if count == 1 else 'things'} to put right; nothing was written"
        raise UserError("\n  ".join([head, *self.lines[:SHOWN], *more]))
