"""Every function has a place in the workbook, and the sheet of single figures gives the functions' own answers."""

from __future__ import annotations

import numpy as np
import pytest
from where import Parts

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.workbook import write
from hayfuncs.workbook.sheets.singles import BANDS

# these do not compute a number out of cells: the mix stands on Mix as solved, the two others speak of functions
NO_CALL = {"CHEAPEST_MIX": "solved by Python, Mix", "NOTES": "text from Python", "SOURCE": "text from Python"}
SINGLES = [single for _, singles in BANDS for single in singles]


def test_every_function_has_a_place(editions):
    book, _, _ = editions["functions"]
    homeless = set(CATALOGUE) - write.uses(book) - set(NO_CALL)
    assert not homeless, (
        f"no cell calls {sorted(homeless)}: give each a sheet, or a Single in workbook/sheets/singles.py"
    )
    assert not set(NO_CALL) & write.uses(book), "a function of NO_CALL stands in a cell now"


@pytest.fixture(scope="module")
def stored(editions):
    """The sheet as each edition's file holds it."""
    return {e: Parts(path, data_only=True)["Single figures"] for e, (_, _, path) in editions.items()}


@pytest.mark.parametrize("single", SINGLES, ids=lambda s: s.name)
def test_the_answer_is_the_functions_own(editions, stored, single):
    given = [np.array(v) if isinstance(v, tuple) else v for v in single.values]
    expected = getattr(hayfuncs, single.name.lower())(*given)
    for edition, sheet_stored in stored.items():
        book, _, _ = editions[edition]
        sheet, cell = book.marks["singles"][single.name].split("!")
        assert sheet == "'Single figures'"
        found = sheet_stored[cell.replace("$", "")].value
        assert found == (expected if isinstance(expected, str) else pytest.approx(expected, rel=1e-9))
