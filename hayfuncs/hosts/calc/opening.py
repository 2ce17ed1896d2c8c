"""When a workbook has been opened: calculate it once.

Calc marks array cells to be calculated when an xlsx is loaded, and leaves the cells that depend
on them as they were stored.  A cell so marked passes no change on: after the first choice in a
workbook whose calls are one-cell arrays, hundreds of cells would still show the last choice's
numbers.  One calculation of the whole clears the marks; from then on every change is followed.
It also brings a workbook that an older version stored to this version's functions, throughout.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import Any

IMPLEMENTATION = "org.hayfuncs.CalculateOnOpening"
SERVICE = "com.sun.star.task.Job"
EVENT = "OnLoadFinished"  # comes to hidden documents too, and before the user can type
SPREADSHEET = "com.sun.star.sheet.SpreadsheetDocument"
IN_FORMULAS = 0  # of a search: in formulas, not in values or notes


def model_of(arguments: Any) -> Any:
    """The document that the office tells of, or None."""
    told = {inner.Name: inner.Value for outer in arguments if outer.Name == "Environment" for inner in outer.Value}
    return told.get("Model")


def calls_ours(sheet: Any, prefix: str) -> bool:
    """Whether any formula of the sheet calls one of our functions."""
    wanted = sheet.createSearchDescriptor()
    wanted.SearchString = prefix
    wanted.SearchType = IN_FORMULAS
    return sheet.findFirst(wanted) is not None


def charts(model: Any) -> Iterator[Any]:
    for sheet in model.Sheets:
        for chart in sheet.Charts:
            if chart.EmbeddedObject is not None:
                yield chart.EmbeddedObject


def calculate(model: Any, prefix: str) -> bool:
    """Calculate a spreadsheet that calls our functions; whether it was done.

    Looking at a file must not make the office ask to save it: a document that was unchanged is
    so afterwards, and its charts too, which count as part of it.
    """
    if model is None or not model.supportsService(SPREADSHEET):
        return False
    if not any(calls_ours(sheet, prefix) for sheet in model.Sheets):
        return False
    changed = model.isModified()
    model.calculateAll()
    if not changed:
        for chart in charts(model):
            with contextlib.suppress(Exception):
                chart.setModified(False)
        model.setModified(False)
    return True


def job(prefix: str) -> type:
    """The class that the office creates when the event comes."""
    import unohelper
    from com.sun.star.lang import XServiceInfo
    from com.sun.star.task import XJob

    def execute(self: Any, arguments: Any) -> None:
        with contextlib.suppress(Exception):  # a fault here must not keep a document from opening
            calculate(model_of(arguments), prefix)

    members = {
        "__init__": lambda self, context: None,
        "getImplementationName": lambda self: IMPLEMENTATION,
        "getSupportedServiceNames": lambda self: (SERVICE,),
        "supportsService": lambda self, name: name == SERVICE,
        "execute": execute,
    }
    return type("CalculateOnOpening", (unohelper.Base, XJob, XServiceInfo), members)
