"""hayfuncs: hay lots, beef cows and supplement, as Python functions that are worksheet functions.

Each function of the catalogue is here under its name in lower case, behind the contract of
`hayfuncs.contract.blocks`: `hayfuncs.to_dry_basis(9.0, 90)` is `HAY.TO_DRY_BASIS(9.0, 90)` on a sheet.
"""

from __future__ import annotations

import sys
from typing import Any

# Importing a topic files its records, in the order of the Functions list.
# isort: off
from hayfuncs.forage import dry_matter, tdn, energy, quality  # noqa: F401
from hayfuncs.cow import intake, requirements, requirement_model, requirement_tables, cold, body_condition  # noqa: F401
from hayfuncs.cow import growth, growth_need, heifer_need  # noqa: F401
from hayfuncs.ration import supplement, two_nutrients, feeds  # noqa: F401
from hayfuncs.forage import tdn_margin  # noqa: F401
from hayfuncs.ration import margin  # noqa: F401
from hayfuncs.leastcost import worksheet  # noqa: F401
from hayfuncs.hay import cost, inventory, supply  # noqa: F401
from hayfuncs.forage import sampling, lab_checks, lab_repeatability, bound_protein  # noqa: F401
from hayfuncs.ration import mineral_needs  # noqa: F401
from hayfuncs.cow import water  # noqa: F401
from hayfuncs.hazards import water as bad_water  # noqa: F401
from hayfuncs.hazards import toxins  # noqa: F401
from hayfuncs.ration import minerals, diet_limits  # noqa: F401
from hayfuncs.hazards import hay_dangers, heating  # noqa: F401
from hayfuncs.cow import mud, condition  # noqa: F401
from hayfuncs.contract import about  # noqa: F401

# isort: on
from hayfuncs.contract.about import reason
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.contract.errors import BadInput, HayError, NotInTable, OutOfRange

__version__ = "0.2.0"


def explain(name: str, *args: Any) -> str:
    """How a function comes to its answer: its arithmetic in figures, line by line, and its sources."""
    from hayfuncs.formulas.explain import explain as in_figures  # loaded when asked for: import stays light

    return in_figures(name, *args)


for _record in CATALOGUE.values():
    globals()[_record.python_name] = getattr(sys.modules[_record.plain.__module__], _record.python_name)

__all__ = [
    "CATALOGUE", "BadInput", "HayError", "NotInTable", "OutOfRange", "explain", "reason",
    *(r.python_name for r in CATALOGUE.values()),
]  # fmt: skip


def __dir__() -> list[str]:
    return [*__all__, "__version__"]  # the rooms are found by whoever imports them
