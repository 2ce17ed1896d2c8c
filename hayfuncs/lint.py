"""What a record must be before it is filed: every fault in words."""

from __future__ import annotations

import re
from collections.abc import Collection

from hayfuncs.parts import EVIDENCE, NAMES_LIMIT, TEXT_LIMIT, TOPICS, Arg, Block, Record, Step
from hayfuncs.units import UNITS

RESERVED = frozenset(["R", "C", "RC", "RESULT", "VALUE", "ERROR", "GROUP", "CALL", "TRUE", "FALSE", "NULL"])


def cell_like(name: str) -> bool:
    """True where a spreadsheet reads the name as a cell address (TDN1, R1C1, AB12)."""
    upper = name.upper()
    if re.fullmatch(r"R\d*(C\d*)?|C\d*", upper):
        return True
    m = re.fullmatch(r"([A-Z]{1,3})0*(\d{1,7})", upper)
    if not m:
        return False
    column = 0
    for letter in m.group(1):
        column = column * 26 + ord(letter) - 64
    return column <= 16384 and 1 <= int(m.group(2)) <= 1048576


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
        faults.append(f"unknown topic {r.topic!r}")
    if not r.refs:
        faults.append("no source")
    for ref in r.refs:
        if ref.evidence not in EVIDENCE:
            faults.append(f"evidence class {ref.evidence!r} is not in the closed list")
        if not ref.key or not ref.where:
            faults.append("a source without key or place")
    if len(r.summary) > TEXT_LIMIT or not r.summary:
        faults.append("the summary is empty or over 255 characters")
    if len(",".join(r.args)) > NAMES_LIMIT:
        faults.append("argument names over 254 characters together")
    for arg_name, arg in r.args.items():
        if cell_like(arg_name) or arg_name.upper() in RESERVED or not re.fullmatch(r"[a-z][a-z0-9_]*", arg_name):
            faults.append(f"argument {arg_name}: cell-like, reserved or not lower case")
        if not arg.unit:
            faults.append(f"argument {arg_name}: no unit")
        elif arg.unit not in UNITS:
            faults.append(f"argument {arg_name}: unit {arg.unit!r} is not in the closed list")
        if len(arg.meaning) > TEXT_LIMIT or not arg.meaning:
            faults.append(f"argument {arg_name}: meaning empty or over 255 characters")
        if isinstance(arg, Arg) and arg.fit and not (arg.lo <= arg.fit[0] <= arg.fit[1] <= arg.hi):
            faults.append(f"argument {arg_name}: fitted range outside the possible range")
        for column, inner in arg.columns if isinstance(arg, Block) else ():
            if inner.unit not in UNITS or not re.fullmatch(r"[a-z][a-z0-9_]*", column):
                faults.append(f"argument {arg_name}: column {column} is not lower case or has no unit of the list")
    if r.result.unit not in UNITS:
        faults.append(f"result unit {r.result.unit!r} is not in the closed list")
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
        for used in re.findall(r"\{([a-z][a-z0-9_]*)#?\}", step.formula):
            if used not in known:
                faults.append(f"longhand uses {{{used}}}, which is no argument or earlier step")
        if step.name:
            if cell_like(step.name) or step.name in known or step.name.upper() in RESERVED:
                faults.append(f"longhand step {step.name}: cell-like, reserved or taken")
            if step.unit not in UNITS:
                faults.append(f"longhand step {step.name}: unit {step.unit!r} is not in the closed list")
            known.add(step.name)
    for rule in r.rules:
        for used in re.findall(r"\{([a-z][a-z0-9_]*)#?\}", rule.formula):
            if used not in r.args:
                faults.append(f"rule uses {{{used}}}, which is no argument")
    return faults
