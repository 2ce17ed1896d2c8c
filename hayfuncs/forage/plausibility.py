"""What a lab sheet cannot say, and what it seldom says: one list of relations for every place that checks one.

A rule without a word is refused.  One with a word is asked about: the word accepts it and is
kept beside the values.  Files, the workbook's checks and the auditor read the same list, each
in its own terms: numbers in Python, `expression` in cells.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

Values: TypeAlias = Mapping[str, float]

WET_DM = 60  # % as fed; hay in a stack is far above it, baleage lies about here (common practice, no source)
MOST_P = 1.0  # % DM; hay holds 0.1 to 0.4 (common practice, no source)


@dataclass(frozen=True)
class LabRule:
    """One relation.  The values are those of the dry matter, dry matter itself is % as fed."""

    key: str
    fields: tuple[str, ...]  # every one is needed; the first is the cell that is pointed at
    breaks: Callable[..., bool]  # of the fields, in their order
    expression: str  # the same as a spreadsheet's condition, in the names of the fields
    says: str  # with the fields' values: what is seen
    fix: str  # what to look at
    word: str = ""  # accepts it; empty: it is refused


RULES: tuple[LabRule, ...] = (
    LabRule(
        "fiber", ("adf_pct", "ndf_pct"), lambda adf, ndf: adf > ndf, "{adf_pct}>{ndf_pct}",
        "ADF {adf_pct:.4g} is above NDF {ndf_pct:.4g} % DM", "ADF is a part of NDF: were the two swapped?",
    ),
    LabRule(
        "moisture", ("dm_pct",), lambda dm: dm < WET_DM, f"{{dm_pct}}<{WET_DM}",
        f"dry matter {{dm_pct:.4g}} % is below {WET_DM} %", "is it baleage, or was moisture typed as dry matter?", "baleage",
    ),
    LabRule(
        "protein", ("cp_pct", "adf_pct"), lambda cp, adf: cp > adf, "{cp_pct}>{adf_pct}",
        "protein {cp_pct:.4g} is above ADF {adf_pct:.4g} % DM", "only very young forage is so; were two columns swapped?",
        "young",
    ),
    LabRule(
        "phosphorus", ("p_pct",), lambda p: p > MOST_P, f"{{p_pct}}>{MOST_P:g}",
        f"phosphorus {{p_pct:.4g}} is above {MOST_P:g} % DM", "hay holds 0.1 to 0.4 %; is it g/kg, or another mineral?",
        "phosphorus",
    ),
)  # fmt: skip
SAME_ROWS = "same"  # accepts two lots with all lab values equal
WORDS = (*(rule.word for rule in RULES if rule.word), SAME_ROWS)
SAME_SAYS = "has the very same lab values as"
SAME_FIX = "was one sample entered twice?"

_SUMMARY = frozenset(
    ["average", "averages", "avg", "mean", "means", "sd", "std", "stdev", "minimum", "maximum", "min", "max", "cv", "median"]
)  # fmt: skip
_ALONE = frozenset(["range", "total", "totals", "sum"])  # a summary only where nothing else is said
_BESIDE = frozenset(["dev", "deviation", "standard", "error", "se", "overall", "grand", "value", "values", "above"])
_OVER = frozenset(["of", "all", "for", "over", "the"])
_WHAT = frozenset(
    ["sample", "samples", "scan", "scans", "lot", "lots", "hay", "hays", "field", "fields", "farm", "result", "results", "herd", "row", "rows", "group"]
)  # fmt: skip


def broken(values: Mapping[str, float | None], accepted: Iterable[str] = ()) -> list[LabRule]:
    """The rules that the values break, without those whose word is among the accepted."""
    words = set(accepted)
    found = []
    for rule in RULES:
        given = [values.get(name) for name in rule.fields]
        if rule.word not in words and all(v is not None for v in given) and rule.breaks(*given):
            found.append(rule)
    return found


def met(values: Mapping[str, float | None], accepted: Iterable[str]) -> list[str]:
    """The words among the accepted that some rule needs for these values."""
    needed = {rule.word for rule in broken(values)}
    return [word for word in WORDS if word in needed and word in set(accepted)]


def told(rule: LabRule, values: Mapping[str, float | None]) -> str:
    """What the rule sees, with the numbers."""
    return rule.says.format(**{name: values[name] for name in rule.fields})


def is_summary(name: str) -> bool:
    """Whether a row's name is that of an average or the like over other rows: `Mean of all`, `Std. dev.`."""
    words = set(re.findall(r"[a-z]+|\d+", name.casefold()))
    if len(words) == 1:
        return bool(words & (_SUMMARY | _ALONE))
    known = (
        _SUMMARY | _ALONE | _BESIDE | (_OVER | _WHAT if words & _OVER else frozenset())
    )  # a field may be called Mean Field
    return bool(words & (_SUMMARY | {"deviation", "dev", "total"})) and words <= known


def equal_rows(rows: Sequence[Values], at_least: int = 3) -> list[tuple[int, int]]:
    """Pairs of rows (a later one and the first like it) whose values are all equal; rows of few values say nothing."""
    first: dict[tuple[tuple[str, float], ...], int] = {}
    pairs = []
    for place, values in enumerate(rows):
        key = tuple(sorted(values.items()))
        if len(key) < at_least:
            continue
        if key in first:
            pairs.append((place, first[key]))
        else:
            first[key] = place
    return pairs
