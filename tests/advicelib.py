"""What a refusal says to do, function by function, as one list to read: `python tests/advicelib.py` renews it.

The words reach a user only when something is wrong, so nobody sees them change; here a change shows in the list.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import hayfuncs  # noqa: F401  # fills the catalogue
from hayfuncs.contract.catalogue import CATALOGUE

FILE = Path(__file__).with_name("advice.tsv")
HEAD = "function\tof\tallowed\tto do"


def lines() -> Iterator[str]:
    """Each argument's own advice, then each rule that joins arguments; what is said of every argument alike is left out."""
    for record in CATALOGUE.values():
        for name, arg in record.args.items():
            if arg.fix != type(arg)._field_defaults.get("fix", ""):
                yield "\t".join((record.name, name, "", arg.fix))
        for rule in record.rules:
            yield "\t".join((record.name, f"rule on {rule.blame}", rule.allowed, rule.fix))


def text() -> str:
    return (
        "\n".join(("# what is said beside a refused value; made by advicelib.py and read by people", HEAD, *lines()))
        + "\n"
    )


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
    print(sum(1 for _ in lines()), "lines in", FILE.name)
