"""The words a function wizard shows, made from the record: one wording for every host.

Excel's wizard and its importer cut each text at 255 characters, so none is longer here.
"""

from __future__ import annotations

from hayfuncs.contract.catalogue import TEXT_LIMIT, Arg, Name, Record, Words
from hayfuncs.contract.errors import UNSPOKEN
from hayfuncs.contract.units import UNITS

CATEGORY = "hayfuncs"  # stands before the topic, so that the categories lie together in a list
REST = "rest"  # name of the open end of a function that takes another function's arguments
REST_HELP = "The arguments of the call, in the order of that function."


def category(record: Record) -> str:
    return f"{CATEGORY}: {record.topic}"


def unit_words(unit: str) -> str:
    return UNITS[unit] if unit in UNSPOKEN else unit


def function_help(record: Record) -> str:
    """The summary and what comes back."""
    tail = f"Gives: {record.result.meaning}"
    if record.numeric and record.result.unit != "block":
        tail += f", {unit_words(record.result.unit)}"
    return fitting(f"{record.summary} {tail}.", record.summary)


def argument_names(record: Record) -> list[str]:
    return [*record.args, REST] if record.variadic else list(record.args)


def argument_help(record: Record, name: str) -> str:
    """The meaning, then what is allowed with its unit; the longest wording that fits."""
    if record.variadic and name == REST:
        return REST_HELP
    arg = record.args[name]
    meaning = arg.meaning.rstrip(".")
    allowed = arg.allowed()
    if isinstance(arg, Words):
        allowed = "one of: " + allowed
    elif isinstance(arg, Name):
        allowed = f"a name in {arg.table}" if arg.table.startswith("the ") else allowed
    elif arg.kind in ("number", "block") and arg.unit in UNSPOKEN and arg.unit not in ("1", "index"):
        allowed += f" ({UNITS[arg.unit]})"
    elif arg.kind == "block":
        allowed += f", {arg.unit}"
    default = ""
    if name in record.defaults:
        default = f"; {record.defaults[name]} when left out"
    fit = ""
    if isinstance(arg, Arg) and arg.fit:
        fit = f"; equation fitted to {arg.fit[0]:g} to {arg.fit[1]:g}"
    return fitting(
        f"{meaning}: {allowed}{fit}{default}.", f"{meaning}: {allowed}{default}.", f"{meaning}: {allowed}.", meaning
    )


def fitting(*wordings: str) -> str:
    """The first wording that a wizard shows whole; the records' own lint keeps the last one short."""
    return next((words for words in wordings if len(words) <= TEXT_LIMIT), wordings[-1])
