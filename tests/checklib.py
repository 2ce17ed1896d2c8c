"""Reader of tests/checks/*.tsv: published and hand-worked values, each with where it comes from.

A row's tolerance is what its source printed: half the last printed digit, unless the row
gives another one and says why.  Nothing here knows a formula.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE, Record

FOLDER = Path(__file__).parent / "checks"
COLUMNS = ("function", "arguments", "printed", "tolerance", "kind", "source", "where", "working")
KINDS = ("published", "hand", "common practice")
CONTAINS = "contains:"
ROUNDING = 1e-9  # of the tolerance and the value: binary fractions are not decimal ones


class BadRow(ValueError):
    """A check row that its author must mend."""


@dataclass(frozen=True)
class Check:
    file: str
    line: int
    function: str
    arguments: list[Any]
    printed: str
    tolerance: str
    kind: str
    source: str
    where: str
    working: str

    @property
    def place(self) -> str:
        return f"{self.file}:{self.line}"

    @property
    def record(self) -> Record:
        return CATALOGUE[self.function]

    def call(self, function: Callable[..., Any] | None = None) -> Any:
        public = function or getattr(hayfuncs, self.function.lower())
        return public(*self.arguments)

    def fault(self, found: Any) -> str:
        """What is wrong with a result, in words; empty when it agrees with the printed value."""
        if self.record.result.unit == "text" and not isinstance(found, np.ndarray):
            return self._text_fault(found)
        wanted = self.printed_value()
        if isinstance(wanted, list):
            return self._block_fault(found, wanted)
        if not isinstance(found, (int, float)) or isinstance(found, bool):
            return f"{found!r} is no number"
        return self._number_fault(float(found), wanted)

    def printed_value(self) -> Any:
        """The printed number as a Decimal (its digits are kept), or a list of them for a block."""
        text = self.printed.strip()
        if text.startswith("["):
            return json.loads(text, parse_float=Decimal, parse_int=Decimal, parse_constant=Decimal)
        return Decimal(text.replace(",", ""))

    def allowance(self, wanted: Decimal) -> float:
        """The tolerance as a number: as the row gives it, or half the last printed digit."""
        text = self.tolerance.strip()
        if text.endswith("%"):
            return abs(float(wanted)) * float(text[:-1]) / 100
        if text:
            return float(text)
        exponent = wanted.as_tuple().exponent
        return 0.5 * 10.0**exponent if isinstance(exponent, int) else 0.0

    def _number_fault(self, found: float, wanted: Any) -> str:
        if not isinstance(wanted, Decimal):
            return f"{found!r} against the printed {wanted!r}"
        if wanted.is_nan() or math.isnan(found):
            return "" if wanted.is_nan() and math.isnan(found) else f"{found!r} is not {wanted}"
        allowed = self.allowance(wanted)
        off = abs(found - float(wanted))
        if off <= allowed + ROUNDING * (allowed + abs(float(wanted))):
            return ""
        return f"{found!r} is {off:.6g} from the printed {wanted}, allowed {allowed:.6g}"

    def _block_fault(self, found: Any, wanted: Any) -> str:
        if isinstance(wanted, list):
            got = found.tolist() if isinstance(found, np.ndarray) else found
            if not isinstance(got, list) or len(got) != len(wanted):
                return f"{got!r} has not the shape of {self.printed}"
            return "; ".join(filter(None, map(self._block_fault, got, wanted)))
        if wanted is None:  # JSON null: no answer there
            return "" if isinstance(found, float) and math.isnan(found) else f"{found!r} is not NaN"
        if isinstance(wanted, str):
            return "" if found == wanted else f"{found!r} is not {wanted!r}"
        return self._number_fault(float(found), wanted)

    def _text_fault(self, found: Any) -> str:
        if not isinstance(found, str):
            return f"{found!r} is no text"
        if self.printed.startswith(CONTAINS):
            fragment = self.printed.removeprefix(CONTAINS).strip()
            return "" if fragment and fragment in found else f"{found!r} does not contain {fragment!r}"
        return "" if found == self.printed else f"{found!r} is not {self.printed!r}"


def read(path: Path) -> list[Check]:
    """The rows of one file; comment lines begin with #, the first other line names the columns."""
    rows: list[Check] = []
    columns: tuple[str, ...] = ()
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        cells = line.split("\t")
        if not columns:
            columns = tuple(cells)
            if columns != COLUMNS:
                raise BadRow(f"{path.name}:{number}: the columns are {columns}, not {COLUMNS}")
            continue
        cells += [""] * (len(COLUMNS) - len(cells))
        if len(cells) != len(COLUMNS):
            raise BadRow(f"{path.name}:{number}: {len(cells)} cells, not {len(COLUMNS)}")
        row: dict[str, Any] = dict(zip(COLUMNS, (cell.strip() for cell in cells), strict=True))
        try:
            row["arguments"] = json.loads(row["arguments"])
        except ValueError as error:
            raise BadRow(f"{path.name}:{number}: the arguments are not JSON: {error}") from None
        if not isinstance(row["arguments"], list):
            raise BadRow(f"{path.name}:{number}: the arguments are not a list")
        rows.append(Check(path.name, number, **row))
    return rows


def every() -> list[Check]:
    return [check for path in sorted(FOLDER.glob("*.tsv")) for check in read(path)]
