"""The module to name in xlwings' settings (UDF Modules: hayfuncs.hosts.excel).

Importing it registers every function as `HAY_NAME` in classic Excel for Windows, and as
`HAY.NAME` where xlwings runs as an Office.js add-in.  Elsewhere xlwings' decorators do
nothing without a word, so the import is refused instead.
"""

from __future__ import annotations

from typing import Any

from hayfuncs.hosts.exceludf import every

NEXT_STEP = "run `hayfuncs excel check` to see what this machine lacks"

# the numbers of Excel's error values in a VARIANT of kind VT_ERROR (winerror.h, FACILITY_CONTROL + xlErr...)
ERROR_CODES = {
    "#NULL!": -2146826288,
    "#DIV/0!": -2146826281,
    "#VALUE!": -2146826273,
    "#REF!": -2146826265,
    "#NAME?": -2146826259,
    "#NUM!": -2146826252,
    "#N/A": -2146826246,
}


class HostMissing(ImportError):
    """Excel functions cannot be registered here; the sentence says why."""


def com_error(text: str) -> Any:
    """A true Excel error value: pywin32 hands a VARIANT on as it is."""
    import pythoncom
    from win32com.client import VARIANT

    return VARIANT(pythoncom.VT_ERROR, ERROR_CODES[text])


def error_text(text: str) -> str:
    """Office.js hosts turn an error's text into the error itself."""
    return text


def register() -> dict[str, Any]:
    try:
        import xlwings
    except ImportError:
        raise HostMissing(f"Excel functions need xlwings, which is not installed; {NEXT_STEP}.") from None
    classic = xlwings.func.__module__ == "xlwings.udfs"
    found = every(xlwings.func, com_error if classic else error_text)
    if not all(hasattr(function, "__xlfunc__") for function in found.values()):
        raise HostMissing(
            "Excel functions in Python need Excel for Windows (or xlwings as an Office.js add-in); "
            f"here xlwings would register nothing; {NEXT_STEP}."
        )
    return found


globals().update(register())
