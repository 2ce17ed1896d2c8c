"""Values as the embedded engine carries them, and as Python has them."""

from __future__ import annotations

import datetime
from typing import Any

ERROR_KINDS = {"#VALUE!": "Value", "#NUM!": "Num", "#N/A": "Na", "#DIV/0!": "Div", "#NAME?": "Name", "#REF!": "Ref"}
DAY_ZERO = datetime.date(1899, 12, 30)  # day numbers of spreadsheets count from here for dates since March 1900
LEAP_ERROR = datetime.date(1900, 3, 1)  # spreadsheets hold 1900 for a leap year
AS_IT_IS = frozenset((type(None), float, int, str, bool))
KIND_ERRORS = {kind: text for text, kind in ERROR_KINDS.items()}


def error_value(text: str) -> dict[str, str]:
    """An error as the engine carries it."""
    return {"type": "Error", "kind": ERROR_KINDS.get(text, "Value")}


def is_error(value: object) -> bool:
    return isinstance(value, dict) and value.get("type") == "Error"


def plain_value(value: Any) -> Any:
    """An engine value as Python: numbers (dates too), text, True/False, None, or an error's text `#NUM!`."""
    if type(value) in AS_IT_IS:  # nearly every cell; a sheet of few cells far apart is mostly nothing
        return value
    if isinstance(value, datetime.date):  # a number that the engine took for a date: as a sheet stores it
        return day_number(value)
    if is_error(value):
        return KIND_ERRORS.get(str(value.get("kind")), "#" + str(value.get("kind")).upper())
    return value


def day_number(value: datetime.date) -> float:
    """Days as spreadsheets count them: 1 is 1 January 1900, and before March 1900 a day that never was is missing."""
    days = (datetime.date(value.year, value.month, value.day) - DAY_ZERO).days
    days -= value < LEAP_ERROR if not isinstance(value, datetime.datetime) else value.date() < LEAP_ERROR
    if not isinstance(value, datetime.datetime):
        return days
    midnight = datetime.datetime(value.year, value.month, value.day, tzinfo=value.tzinfo)
    return days + (value - midnight) / datetime.timedelta(days=1)
