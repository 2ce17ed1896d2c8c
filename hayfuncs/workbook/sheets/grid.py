"""What may be typed in a cell, by the record of a function or by limits of its own: each takes the key of an input."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from hayfuncs.contract.errors import listing
from hayfuncs.workbook.keyed import NOT_ENTERED as NOT_ENTERED
from hayfuncs.workbook.keyed import NOT_TESTED as NOT_TESTED
from hayfuncs.workbook.model import Input, input_for

Asking = Callable[[str], Input]  # from the key of an input to the input


def of_record(function: str, argument: str, required: bool = False) -> Asking:
    """The range and the prompt of a function's argument, under the heading that stands there."""
    return lambda key: replace(input_for(key, function, argument, required), title="")


def number(title: str, says: str, lo: float, hi: float, required: bool = False, whole: bool = False) -> Asking:
    kind = "whole" if whole else "number"
    return lambda key: Input(key, title, f"{says}, {lo:g} to {hi:g}", lo=lo, hi=hi, kind=kind, required=required)


def listed(title: str, says: str, source: str, required: bool = False) -> Asking:
    """One name out of a column of the workbook."""
    return lambda key: Input(key, title, says, source=source, kind="word", required=required)


def words(title: str, says: str, choices: Sequence[str], required: bool = False) -> Asking:
    text = f"{says}. One of: {listing(choices)}"
    return lambda key: Input(key, title, text, words=tuple(choices), kind="word", required=required)


def text(title: str, says: str, required: bool = False) -> Asking:
    return lambda key: Input(key, title, says, kind="text", required=required)


def date(title: str, says: str, required: bool = False) -> Asking:
    return lambda key: Input(key, title, f"{says}, a date from 1990 to 2100", kind="date", required=required)
