"""hayfuncs: hay lots, beef cows and supplement, as Python functions that are worksheet functions.

Each function of the catalogue is here under its name in lower case, behind the contract of
`hayfuncs.blocks`: `hayfuncs.to_dry_basis(9.0, 90)` is `HAY.TO_DRY_BASIS(9.0, 90)` on a sheet.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

# Importing a topic files its records, in the order of the Functions list.
from hayfuncs import (  # noqa: F401  # isort: skip  # importing files the functions, in this order
    drymatter, tdn, energy, quality, intake, needs, dailyneed, needtables, weather, supplement, ration, feeds, mix, cost,
    inventory, stock, sampling, labsheet, replicates, boundprotein, hazards, minerals, rationlimits, heating, mudcold,
    about,
)  # fmt: skip
from hayfuncs.about import reason
from hayfuncs.blocks import checked
from hayfuncs.errors import BadInput, HayError, NotInTable, OutOfRange
from hayfuncs.record import CATALOGUE

__version__ = "0.1.0"

if TYPE_CHECKING:  # the functions are filed at import, so a type checker learns of them here

    def __getattr__(name: str) -> Any: ...


def explain(name: str, *args: Any) -> str:
    """How a function comes to its answer: its arithmetic in figures, line by line, and its sources."""
    from hayfuncs.audit.explain import explain as in_figures  # loaded when asked for: import stays light

    return in_figures(name, *args)


for _record in CATALOGUE.values():
    globals()[_record.python_name] = checked(_record)

__all__ = [
    "CATALOGUE", "BadInput", "HayError", "NotInTable", "OutOfRange", "explain", "reason",
    *(r.python_name for r in CATALOGUE.values()),
]  # fmt: skip
