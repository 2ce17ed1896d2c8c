"""A basis or a unit that the user states for a whole file, in any of the usual wordings."""

from __future__ import annotations

from hayfuncs.contract.files import UserError
from hayfuncs.importers.faults import quoted
from hayfuncs.importers.headings import basis_word, unit_and_basis
from hayfuncs.importers.labmap import PERCENT_UNITS
from hayfuncs.importers.model import AS_FED, DRY


def basis_option(text: str | None) -> str | None:
    """`dry` or `as fed` for the option in any of the usual wordings."""
    if text is None:
        return None
    found = basis_word(text)
    if found is None:
        raise UserError(f"--basis {quoted(text)} is not known; allowed: {DRY}, {AS_FED.replace(' ', '-')}")
    return found


def unit_option(text: str | None) -> str | None:
    """A unit in any of the usual wordings."""
    if text is None:
        return None
    found = unit_and_basis(text)
    if found is None or found[0] not in PERCENT_UNITS:
        raise UserError(f"--unit {quoted(text)} is not known; allowed: {', '.join(PERCENT_UNITS)}")
    return found[0]
