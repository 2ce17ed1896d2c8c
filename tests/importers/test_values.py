"""Numbers and dates of a file: one decimal mark, one order of day and month, or a question."""

from __future__ import annotations

import datetime as dt

import pytest

from hayfuncs.importers.values import Unreadable, date, day_order, decimal_mark, number


@pytest.mark.parametrize(
    ("cells", "mark"),
    [
        (["9.8", "12"], "."),
        (["9,8", "12"], ","),
        (["9,8", "1.234"], ","),  # the point only parts thousands
        (["9.8", "1,234"], "."),
        (["1.234,5"], ","),
        (["0,123"], ","),  # nobody parts thousands after a single 0
        (["1,234"], "unsure"),
        (["9,8", "9.8"], "both"),
        ([], "."),
        ([9.8, "text"], "."),
    ],
)
def test_decimal_mark_is_told_from_the_whole_file(cells: list, mark: str) -> None:
    assert decimal_mark(cells) == mark


@pytest.mark.parametrize(
    ("cell", "mark", "value"),
    [
        ("9.8", ".", 9.8), ("9,8", ",", 9.8), ("1,234.5", ".", 1234.5), ("1.234,5", ",", 1234.5), ("11.2 %", ".", 11.2),
        ("\u22120.5", ".", -0.5), ("1e2", ".", 100), (7.0, ",", 7.0), ("-", ".", None), ("n/a", ".", None), ("", ".", None),
    ],
)  # fmt: skip
def test_numbers(cell: object, mark: str, value: float | None) -> None:
    assert number(cell, mark) == value


@pytest.mark.parametrize(
    "cell",
    ["<0.1", "> 5", "#DIV/0!", "abc", "1_000", "٣", "1e999", float("nan"), float("inf"), "9,8", "=1+1", "0x10", "1 2", dt.date(2024, 1, 2)],
)  # fmt: skip
def test_no_number_is_made_of_anything_else(cell: object) -> None:
    with pytest.raises(Unreadable):
        number(cell, ".")


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2024-07-15", "dmy", (2024, 7, 15)),
        ("20240715", "dmy", (2024, 7, 15)),
        ("2024-07-15T08:30:00Z", "mdy", (2024, 7, 15)),
        ("4/3/2024", "mdy", (2024, 4, 3)),
        ("4/3/2024 2:19:02 PM", "dmy", (2024, 3, 4)),
        ("04.03.24", "dmy", (2024, 3, 4)),
        ("15 July 2024", "dmy", (2024, 7, 15)),
        ("Mon, Jul 15th, 2024", "dmy", (2024, 7, 15)),
        ("15-Jul-24", "dmy", (2024, 7, 15)),
    ],
)
def test_date_forms(text: str, order: str, day: tuple) -> None:
    assert date(text, order) == dt.date(*day)


@pytest.mark.parametrize("cell", ["31/2/2024", "2024-13-01", "soon", "1824-01-01", 45000.0, "45000", "1/2"])
def test_no_date_is_made_of_anything_else(cell: object) -> None:
    with pytest.raises(Unreadable):
        date(cell, "dmy")


def test_day_and_month_order_is_told_from_the_column_or_not_at_all() -> None:
    assert day_order(["4/3/2024", "25/3/2024"]) == "dmy"
    assert day_order(["4/3/2024", "3/25/2024"]) == "mdy"
    assert day_order(["4/3/2024"]) == "unsure"
    assert day_order(["25/3/2024", "3/25/2024"]) == "both"
    assert day_order(["3/3/2024", "2024-04-03"]) in ("dmy", "mdy")  # either order gives the same day
