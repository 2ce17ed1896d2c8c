"""All that is wrong with a file, said at once: file, row as a spreadsheet shows it, column, value, what is allowed."""

from __future__ import annotations

from pathlib import Path

from hayfuncs.contract.files import UserError

SHOWN = 20  # faults printed in one message; more are counted
ROWS_SHOWN = 6  # row numbers printed for one fault
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
    """Collects; `refuse()` raises one UserError when there is anything to say.

    The same fault in the same column is one line that names its rows.
    """

    def __init__(self, path: Path, remark: str = "") -> None:
        self.path = path
        self.remark = f" ({remark})" if remark else ""
        self.rows: dict[str, list[int]] = {}  # line -> rows it holds for; none: the line stands alone

    def __len__(self) -> int:
        return sum(max(1, len(rows)) for rows in self.rows.values())

    def add(self, line: str) -> None:
        self.rows.setdefault(line, [])

    def cell(self, row: int, heading: str, value: object, allowed: str, fix: str = "") -> None:
        line = f"column {quoted(heading)}: {quoted(value)}; allowed: {allowed}" + (f"; {fix}" if fix else "")
        self.rows.setdefault(line, []).append(row)

    def heading(self, row: int, heading: str, why: str) -> None:
        self.rows.setdefault(f"heading {quoted(heading)}: {why}", []).append(row)

    def refuse(self) -> None:
        if not self.rows:
            return
        lines = [f"{_rows(rows)}{line}" for line, rows in self.rows.items()]
        more = [f"... and {len(lines) - SHOWN} more"] if len(lines) > SHOWN else []
        count = len(self)
        head = f"{self.path.name}: {count} {'thing' if count == 1 else 'things'} to put right; nothing was written{self.remark}"
        raise UserError("\n  ".join([head, *lines[:SHOWN], *more]))


def _rows(rows: list[int]) -> str:
    if not rows:
        return ""
    shown = ", ".join(str(r) for r in rows[:ROWS_SHOWN])
    more = f" and {len(rows) - ROWS_SHOWN} more" if len(rows) > ROWS_SHOWN else ""
    return f"row{'s' if len(rows) > 1 else ''} {shown}{more}, "
