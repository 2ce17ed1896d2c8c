"""The readers of formulas and cell references under Atheris, coverage-guided, for a bounded time.

    pip install hayfuncs[fuzz]
    PYTHONPATH=.:tests python tests/fuzz/formulas_atheris.py -max_total_time=60

Any exception but the readers' own ends the run with the input that raised it.
"""

from __future__ import annotations

import sys

import atheris

with atheris.instrument_imports(include=["hayfuncs.spreadsheet", "hayfuncs.formulas.figures"]):
    from hayfuncs.formulas.figures import formula
    from hayfuncs.spreadsheet.a1 import BadAddress
    from hayfuncs.spreadsheet.parser import tree
    from hayfuncs.spreadsheet.tokens import Malformed, moved, pattern, reference


def one(data: bytes) -> None:
    text = atheris.FuzzedDataProvider(data).ConsumeUnicodeNoSurrogates(9000)
    pattern(text, 7, 3)
    for work in (reference, lambda t: moved(t, 2, 1), lambda t: tree(formula(tree(t)))):
        try:
            work(text)
        except (Malformed, BadAddress):
            continue


if __name__ == "__main__":
    arguments = (
        sys.argv if any(a.startswith("-max_total_time") for a in sys.argv) else [*sys.argv, "-max_total_time=60"]
    )
    atheris.Setup(arguments, one)
    atheris.Fuzz()
