"""What a record must be before it is filed: every fault in words."""

from __future__ import annotations

import re
from collections.abc import Collection

from hayfuncs.contract.fields import EVIDENCE, NAMES_LIMIT, TEXT_LIMIT, TOPICS, Arg, Block, Record, Step, Words
from hayfuncs.contract.units import UNITS
from hayfuncs.contract.vba_words import VBA_WORDS

RESERVED = frozenset(["R", "C", "RC", "RESULT", "VALUE", "ERROR", "GROUP", "CALL", "TRUE", "FALSE", "NULL"])

# what every spreadsheet program of the last twenty years computes alike; IFERROR and newer are left out
FUNCTIONS = frozenset({
    "ABS", "AND", "CHOOSE", "COLUMNS", "COUNT", "EXP", "IF", "INDEX", "INT", "ISLOGICAL", "ISNUMBER", "ISTEXT", "LN",
    "MATCH", "MAX", "MIN", "N", "NA", "NORMSINV", "OR", "PI", "ROUND", "ROUNDUP", "ROWS", "SIGN", "SQRT", "SUM",
    "SUMPRODUCT", "TEXT", "TINV", "TRIM",
})  # fmt: skip
# compiled once: the lint runs at every import
LOWER_CASE = re.compile(r"[a-z][a-z0-9_]*")
USED = re.compile(r"\{([a-z][a-z0-9_]*)#?\}")
TEXT_IN_FORMULA = re.compile(r'"([^"]*)"')
CALLED = re.compile(r"([A-Z][A-Z0-9.]*)\(")
MINUS_BEFORE_POWER = re.compile(r"(?:^|[(,<>=*/^&+-])-(?:\{[^}]*\}|[\d.]+|\([^()]*\))\^")  # Excel reads -x^2 as (-x)^2


def cell_like(name: str) -> bool:
    """True where a spreadsheet reads the name as a cell address (TDN1, R1C1, AB12)."""
    if "_" in name:
        return False
    upper = name.upper()
    if re.fullmatch(r"R\d*(C\d*)?|C\d*", upper):
        return True
    m = re.fullmatch(r"([A-Z]{1,3})0*(\d{1,7})", upper)
    if not m:
        return False
    return (len(m.group(1)) < 3 or m.group(1) <= "XFD") and 1 <= int(m.group(2)) <= 1048576


def lint(r: Record, taken: Collection[str]) -> list[str]:
    """Every fault of a record, in words; an empty list files it."""
    faults: list[str] = []
    if not re.fullmatch(r"[A-Z][A-Z0-9_]*[A-Z]|[A-Z]{3,}", r.name) or not 3 <= len(r.name) <= 40:
        faults.append("the name needs capitals and underscores, 3 to 40 characters, no digit at the end")
    if cell_like(r.name) or r.name in RESERVED:
        faults.append("the name is a cell address or a reserved word")
    if r.name in taken:
        faults.append("the name is taken")
    if r.topic not in TOPICS:
        faults.append(f"unknown topic {r.topic!r}: TOPICS of contract/fields.py has them all")
    if not r.refs:
        faults.append("no source")
    for ref in r.refs:
        if ref.evidence not in EVIDENCE:
            faults.append(f"evidence class {ref.evidence!r} is not in the closed list, EVIDENCE of contract/fields.py")
        if not ref.key or not ref.where:
            faults.append("a source without key or place")
    if len(r.summary) > TEXT_LIMIT or not r.summary:
        faults.append("the summary is empty or over 255 characters")
    if len(",".join(r.args)) > NAMES_LIMIT:
        faults.append("argument names over 254 characters together")
    for arg_name, arg in r.args.items():
        if cell_like(arg_name) or arg_name.upper() in RESERVED or not LOWER_CASE.fullmatch(arg_name):
            faults.append(f"argument {arg_name}: cell-like, reserved or not lower case")
        if arg_name.upper() in VBA_WORDS:
            faults.append(f"argument {arg_name}: a word that VBA keeps for itself, in which Excel declares it")
        if not arg.unit:
            faults.append(f"argument {arg_name}: no unit")
        elif arg.unit not in UNITS:
            faults.append(
                f"argument {arg_name}: unit {arg.unit!r} is not in the closed list, UNITS of contract/units.py"
            )
        if len(arg.meaning) > TEXT_LIMIT or not arg.meaning:
            faults.append(f"argument {arg_name}: meaning empty or over 255 characters")
        if isinstance(arg, Arg) and not arg.lo < arg.hi:
            faults.append(f"argument {arg_name}: no number is possible")
        if isinstance(arg, Words) and (not arg.words or len({w.casefold() for w in arg.words}) < len(arg.words)):
            faults.append(f"argument {arg_name}: no words, or one word twice")
        if isinstance(arg, Arg) and arg.fit and not (arg.lo <= arg.fit[0] <= arg.fit[1] <= arg.hi):
            faults.append(f"argument {arg_name}: fitted range outside the possible range")
        for column, inner in arg.columns if isinstance(arg, Block) else ():
            if inner.unit not in UNITS or not LOWER_CASE.fullmatch(column):
                faults.append(f"argument {arg_name}: column {column} is not lower case or has no unit of the list")
    if not r.equation:
        faults.append("no equation")
    if not r.result.lo < r.result.hi or not r.result.meaning:
        faults.append("the result has no meaning or no range")
    if r.result.unit not in UNITS:
        faults.append(f"result unit {r.result.unit!r} is not in the closed list, UNITS of contract/units.py")
    if r.numeric and r.longhand is None and not r.no_longhand:
        faults.append("a numeric function without longhand must say why")
    if r.longhand is not None:
        faults += _lint_longhand(r)
    if r.defaults and not r.why_default:
        faults.append("a default without its reason")
    return faults


def _lint_longhand(r: Record) -> list[str]:
    assert r.longhand is not None
    faults: list[str] = []
    known = set(r.args)
    for step in (*r.longhand.steps, Step("", r.longhand.result, "result", r.result.unit)):
        for used in USED.findall(step.formula):
            if used not in known:
                faults.append(f"longhand uses {{{used}}}, which is no argument or earlier step")
        faults += _lint_formula(step.formula)
        if step.name:
            if cell_like(step.name) or step.name in known or step.name.upper() in RESERVED:
                faults.append(f"longhand step {step.name}: cell-like, reserved or taken")
            if step.unit not in UNITS:
                faults.append(
                    f"longhand step {step.name}: unit {step.unit!r} is not in the closed list, UNITS of contract/units.py"
                )
            if not step.label:
                faults.append(f"longhand step {step.name}: no label")
            known.add(step.name)
    for rule in r.rules:
        if rule.blame not in r.args:
            faults.append(f"a rule blames {rule.blame}, which is no argument")
        for used in USED.findall(rule.formula):
            if used not in r.args:
                faults.append(f"rule uses {{{used}}}, which is no argument")
        faults += _lint_formula(rule.formula)
    return faults


def _lint_formula(formula: str) -> list[str]:
    """Faults of one formula that no spreadsheet program would name in time."""
    faults: list[str] = []
    bare = formula
    if '"' in formula:
        if any(len(text) > TEXT_LIMIT for text in TEXT_IN_FORMULA.findall(formula)):
            faults.append("a text in a formula is over 255 characters: join two with &")
        bare = TEXT_IN_FORMULA.sub('""', formula)
    for name in CALLED.findall(bare):
        if name not in FUNCTIONS:
            faults.append(
                f"formula uses {name}, which not every spreadsheet program has; FUNCTIONS of contract/lint.py are those to use"
            )
    if "^" in bare and MINUS_BEFORE_POWER.search(bare.replace(" ", "")):
        faults.append("a minus sign before a power: Excel reads -x^2 as (-x)^2")
    return faults
