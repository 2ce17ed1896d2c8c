"""Functions about the functions: what is outside its fitted range, and where an equation comes from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from hayfuncs.contract import remarks
from hayfuncs.contract.catalogue import CATALOGUE, Name, Record, Ref, Result, worksheet
from hayfuncs.contract.errors import BadInput, NotInTable, shown
from hayfuncs.contract.tables import citation

TOPIC = "About the functions"
FunctionName = Annotated[str, Name("A function's name, with or without the prefix HAY.", "the Functions list")]


def find(function_name: object, caller: str = "SOURCE") -> Record:
    """The record of a function named in any of its spellings."""
    allowed, fix = "a name in the Functions list", "see hayfuncs functions"
    if not isinstance(function_name, str) or not function_name.strip():
        raise BadInput(caller, "function_name", shown(function_name), allowed, fix)
    spelled = function_name.strip().upper()
    for prefix in ("", "HAY.", "HAY_", "HAYFUNCS."):  # a name may itself begin with HAY_, so the whole comes first
        short = spelled.removeprefix(prefix)
        if short in CATALOGUE:
            return CATALOGUE[short]
    import difflib  # as in tables: a wrong name is rare

    near = difflib.get_close_matches(short, CATALOGUE, n=3, cutoff=0.5)
    near += [name for name in CATALOGUE if "".join(word[0] for word in name.split("_")) == short and name not in near]
    near += [name for name in CATALOGUE if short in name.split("_") and name not in near][: 3 - len(near)]
    hint = f"did you mean {' or '.join(near)}; " if near else ""
    raise NotInTable(caller, "function_name", shown(function_name), allowed, hint + fix)


@worksheet(
    "NOTES",
    TOPIC,
    "Says in words which argument of a call lies outside the range its equation was fitted to; empty when none.",
    equation="compares each number with the fitted range in the function's record",
    refs=(Ref("definition", "the ranges in each function's record", "common practice, no source"),),
    variadic=True,
)
def notes(function_name: FunctionName, *arguments: Any) -> Annotated[Any, Result("Notes", "text")]:
    """Which argument of a call lies outside its fitted range.

    A value outside the range behind an equation is still given, but not in silence.

    It answers with the reason where the call is refused, for a value of a table with the range that its
    sources print, and with a block of texts where an argument is a block.

    >>> notes("TDN_FROM_ADF", 60, "western alfalfa")
    'adf_pct: outside 20 to 55 % DM, the range the equation was fitted to.'
    """
    record = find(function_name, "NOTES")
    return remarks.each(record, arguments, lambda values: remarks.reason(record, values) or _remarks(record, values))


def _remarks(record: Record, values: Sequence[Any]) -> str:
    """What there is to say of an answer that is given."""
    said = (remarks.unfitted(record, values), record.remark(*values) if record.remark else "")
    return " ".join(text for text in said if text)


def reason(function_name: str, *arguments: Any) -> Any:
    """Why a call is refused, in one sentence; empty where it is not; a block for blocks."""
    record = find(function_name, "REASON")
    return remarks.each(record, arguments, lambda values: remarks.reason(record, values))


@worksheet(
    "SOURCE",
    TOPIC,
    "The sources of a function's equation and its evidence class.",
    equation="reads the function's record",
    refs=(Ref("definition", "the sources in each function's record", "common practice, no source"),),
)
def source(function_name: FunctionName) -> Annotated[str, Result("Citation", "text")]:
    """Where a function's equation comes from, and how well it is known.

    An auditor asks of every number "who says so?".

    >>> "Nevada" in source("DRY_WEIGHT")
    True
    """
    record = find(function_name)
    return "; ".join(f"{citation(r.key)}, {r.where} [{r.evidence}]" for r in record.refs)
