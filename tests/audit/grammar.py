"""Formulas made at random from the grammar of spreadsheets, for property tests and fuzzing."""

from __future__ import annotations

import random

SHEETS = ("", "Lots!", "'Feed book'!", "'It''s'!", "[1]S!", "S1:S3!")
NAMES = ("shrink_pct", "x", "_xlpm.a", "tax.2026", "hay_displaced")
CALLS = ("SUM", "IF", "HAY.DRY_WEIGHT", "_xlfn.LET", "LOG10", "INDEX", "N")
OPERATORS = ("+", "-", "*", "/", "^", "&", "=", "<>", "<=", ">=", "<", ">")
TEXTS = ('""', '"a"', '"A1"', '"say ""B2"""', '"it\'s $C$3"', '"é"')
ERRORS = ("#REF!", "#N/A", "#DIV/0!", "#NUM!", "#NAME?", "#VALUE!", "#NULL!")


def column(r: random.Random) -> str:
    return r.choice(("A", "B", "Z", "AA", "XFD", "LOG", "R", "C"))


def cell(r: random.Random) -> str:
    return f"{r.choice(('', '$'))}{column(r)}{r.choice(('', '$'))}{r.choice((1, 2, 10, 999, 1048576))}"


def reference(r: random.Random) -> str:
    area = r.choice((cell(r), f"{cell(r)}:{cell(r)}", f"{column(r)}:{column(r)}", "$A:$C", "1:3", "$2:4"))
    return r.choice(SHEETS) + area


def atom(r: random.Random) -> str:
    kind = r.randrange(7)
    if kind < 3:
        return reference(r)
    if kind == 3:
        return r.choice(("1", "0.5", ".5", "1E-6", "12.", "1e+3", "100"))
    if kind == 4:
        return r.choice(TEXTS)
    return r.choice(NAMES) if kind == 5 else r.choice((*ERRORS, "TRUE", "false"))


def formula(r: random.Random, depth: int = 4) -> str:
    kind = r.randrange(8) if depth else 0
    if kind <= 1:
        return atom(r)
    if kind == 2:
        return f"({formula(r, depth - 1)})"
    if kind == 3:
        return f"{r.choice(('-', '+'))}{formula(r, depth - 1)}"
    if kind == 4:
        return f"{atom(r)}%"
    if kind == 5:
        args = [formula(r, depth - 1) for _ in range(r.randrange(4))]
        return f"{r.choice(CALLS)}({','.join(args)})"
    space = r.choice(("", "", " "))
    return f"{formula(r, depth - 1)}{space}{r.choice(OPERATORS)}{space}{formula(r, depth - 1)}"
