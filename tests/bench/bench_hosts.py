"""How fast a column of lots is worked out, route against route: `python tests/bench/bench_hosts.py`.

5,000 lots through six functions in LibreOffice: a call in each cell, one array call for each
column, and the plain expressions; then 10,000 rows in the embedded engine.  Ratios are what
counts; they are held to the budgets below, and the program ends with 1 where one is missed.

Two times are taken.  *Entered*: the formulas are put into the sheet, as a user fills a
column, and worked out; nearly all of it is Calc reading 30,000 formulas.  *Recalculated*:
the formulas are there and are worked out again.  A call costs about 20 microseconds inside
Calc, so the array call saves far more when entered than when recalculated.
"""

from __future__ import annotations

import io
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import xlsxwriter

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from hosts import officelib, routes
from hosts.officelib import column

from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.formulas.template import guard, one_formula
from hayfuncs.hosts import engine

CELLS, ARRAYS, PLAIN = "cell by cell", "one array call a column", "plain expressions"
LOTS, ENGINE_ROWS = 5_000, 10_000
REPEATS = 3  # the quickest of so many recalculations counts
ENTERED_FASTER = 20  # the array call must be entered so many times faster than cell by cell
RECALCULATED_FASTER = 3  # and recalculated so many times faster
WITHIN_PLAIN = 10  # and recalculated in at most so many times the plain expressions' own time
ENGINE_SECONDS = 10.0  # for a whole recalculation of 10,000 rows, a call in each cell

# the columns of a lot: dry matter, protein, ADF, NDF (% of DM but for the first), lb of one bale
RANGES = ((82.0, 92.0), (6.0, 20.0), (28.0, 45.0), (48.0, 65.0), (900.0, 1500.0))
# function, then its arguments: a letter is a column of the lot or an earlier result
CALLS = (
    ("DRY_WEIGHT", ("E", "A")),
    ("TO_AS_FED_BASIS", ("B", "A")),
    ("TDN_FROM_ADF", ("C", '"western alfalfa"')),
    ("NEM_FROM_TDN", ("H",)),
    ("RELATIVE_FEED_VALUE", ("C", "D")),
    ("INTAKE_FROM_NDF", ("D", "1300", "1.2")),
)


def lots(rows: int) -> list[list[float]]:
    rng = np.random.default_rng(1)
    columns = [rng.uniform(low, high, rows) for low, high in RANGES]
    return [[round(float(v), 2) for v in row] for row in zip(*columns, strict=True)]


def in_row(arguments: tuple[str, ...], row: int) -> list[str]:
    return [f"{a}{row}" if a.isalpha() else a for a in arguments]


def call_row(row: int, separator: str) -> list[str]:
    return [f"=HAY.{name}({separator.join(in_row(args, row))})" for name, args in CALLS]


def plain_row(row: int) -> list[str]:
    """The same calls spelled out in ordinary operators, with the tests of their ranges."""
    found: list[str] = []
    for name, arguments in CALLS:
        record = CATALOGUE[name]
        refs = dict(zip(record.args, in_row(arguments, row), strict=True))
        found.append("=" + guard(record, refs, one_formula(record, refs)))
    return found


def array_call(name: str, arguments: tuple[str, ...], separator: str) -> str:
    ranges = (f"{a}1:{a}{LOTS}" if a.isalpha() else a for a in arguments)
    return f"=HAY.{name}({separator.join(ranges)})"


def book(way: str) -> bytes:
    """The lots with the six columns beside them, in one of the three ways."""
    stream = io.BytesIO()
    file = xlsxwriter.Workbook(stream, {"in_memory": True})
    sheet = file.add_worksheet("Lots")
    at = len(RANGES)
    for r, row in enumerate(lots(LOTS)):
        sheet.write_row(r, 0, row)
        if way != ARRAYS:
            for c, formula in enumerate(call_row(r + 1, ",") if way == CELLS else plain_row(r + 1), at):
                sheet.write_formula(r, c, formula)
    if way == ARRAYS:
        for c, (name, arguments) in enumerate(CALLS, at):
            sheet.write_array_formula(0, c, LOTS - 1, c, "{" + array_call(name, arguments, ",") + "}")
    file.close()
    return stream.getvalue()


def recalculated(office: officelib.Office, folder: Path) -> dict[str, float]:
    """The quickest of some whole recalculations, each way; all ways must give the same numbers."""
    first, last = column(len(RANGES)), column(len(RANGES) + len(CALLS) - 1)
    times: dict[str, float] = {}
    answers: dict[str, Any] = {}
    for way in (CELLS, ARRAYS, PLAIN):
        path = folder / "lots.xlsx"
        path.write_bytes(book(way))
        document = office.open(str(path))
        times[way] = min(office.calculate(document) for _ in range(REPEATS))
        answers[way] = np.array(office.read(document, 0, f"{first}1:{last}{LOTS}"), dtype=float)
        office.close(document)
        worst = float(np.abs(answers[way] - answers[CELLS]).max())
        assert worst < 1e-6, f"{way} gives other numbers than {CELLS}: {worst}"
    return times


def entered(office: officelib.Office, way: str) -> float:
    """Seconds to put the six columns into a sheet of lots, worked out as they come."""
    document = office.open()
    office.put_data(document, 0, f"A1:{column(len(RANGES) - 1)}{LOTS}", lots(LOTS))
    start = time.perf_counter()
    if way == CELLS:
        first, last = column(len(RANGES)), column(len(RANGES) + len(CALLS) - 1)
        office.put(document, 0, f"{first}1:{last}{LOTS}", [call_row(r, ";") for r in range(1, LOTS + 1)])
    else:
        for c, (name, arguments) in enumerate(CALLS, len(RANGES)):
            area = f"{column(c)}1:{column(c)}{LOTS}"
            office.put_block(document, 0, area, array_call(name, arguments, ";"))
    office.read(document, 0, f"{column(len(RANGES))}{LOTS}:{column(len(RANGES))}{LOTS}")
    seconds = time.perf_counter() - start
    office.close(document)
    return seconds


def in_office() -> list[str]:
    """Prints the times; gives the budgets missed."""
    with routes.office(with_extension=True) as office, tempfile.TemporaryDirectory(prefix="hayfuncs-") as folder:
        again = recalculated(office, Path(folder))
        filled = {way: entered(office, way) for way in (CELLS, ARRAYS)}
    print(f"LibreOffice, {LOTS:,} lots through {len(CALLS)} functions")
    for heading, times in (("recalculated", again), ("entered", filled)):
        for way, seconds in times.items():
            ratio = seconds / times[ARRAYS]
            print(f"  {heading:14}{way:26}{seconds * 1000:10.1f} ms {ratio:9.2f} x the array call")
    missed: list[str] = []
    if filled[CELLS] < ENTERED_FASTER * filled[ARRAYS]:
        missed.append(f"array calls are not entered {ENTERED_FASTER} times faster than cell by cell")
    if again[CELLS] < RECALCULATED_FASTER * again[ARRAYS]:
        missed.append(f"array calls are not recalculated {RECALCULATED_FASTER} times faster than cell by cell")
    if again[ARRAYS] > WITHIN_PLAIN * again[PLAIN]:
        missed.append(f"array calls take more than {WITHIN_PLAIN} times the plain expressions")
    return missed


def engine_times() -> dict[str, float]:
    """A whole evaluation of 10,000 rows in the embedded engine."""
    times: dict[str, float] = {}
    ways: dict[str, Callable[[int], list[str]]] = {CELLS: lambda row: call_row(row, ","), PLAIN: plain_row}
    for way, make in ways.items():
        book = engine.new_book()
        book.add_sheet("Lots")
        for r, row in enumerate(lots(ENGINE_ROWS), 1):
            for c, value in enumerate(row, 1):
                book.set_value("Lots", r, c, value)
            for c, formula in enumerate(make(r), len(RANGES) + 1):
                book.set_formula("Lots", r, c, formula)
        book.evaluate_all()
        book.set_value("Lots", 1, 1, 90.0)
        start = time.perf_counter()
        for r, row in enumerate(lots(ENGINE_ROWS), 1):  # every lot's dry matter and ADF change
            book.set_value("Lots", r, 1, row[0] + 0.5)
            book.set_value("Lots", r, 3, row[2] + 0.5)
        book.evaluate_all()
        times[way] = time.perf_counter() - start
    return times


def main() -> int:
    missed: list[str] = []
    if officelib.missing():
        print(f"LibreOffice: not run: {officelib.missing()}")
    else:
        missed += in_office()
    found = engine_times()
    print(f"Embedded engine, {ENGINE_ROWS:,} rows through {len(CALLS)} functions, two columns changed")
    for way, seconds in found.items():
        print(f"  {'recalculated':14}{way:26}{seconds * 1000:10.1f} ms {seconds / found[PLAIN]:9.2f} x plain")
    if found[CELLS] > ENGINE_SECONDS:
        missed.append(f"the embedded engine takes more than {ENGINE_SECONDS} s")
    for line in missed:
        print("MISSED:", line)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
