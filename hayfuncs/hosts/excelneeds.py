"""What a machine needs for Excel functions in Python, looked at one by one, with the next step."""

from __future__ import annotations

import importlib
import importlib.util
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

EXCEL_KEY = r"Excel.Application\CurVer"
TRUST_KEYS = tuple(rf"Software\Microsoft\Office\{version}\Excel\Security" for version in ("16.0", "15.0", "14.0"))
TRUST_VALUE = "AccessVBOM"
ADD_IN = Path("Microsoft", "Excel", "XLSTART", "xlwings.xlam")
WITHOUT_PYTHON = (
    "No Python is needed for the function edition of the workbook: Excel 365, 2024, on the web and on the Mac "
    "run its functions as they are; the plain edition opens in any spreadsheet."
)
LAST_STEP = (
    "In Excel: xlwings tab, UDF Modules: hayfuncs.hosts.excel, then Import Functions; "
    "type =HAY_DRY_WEIGHT(2000,87) in a cell: it shows 1740."
)


@dataclass(frozen=True)
class Need:
    what: str
    met: Callable[[], bool]
    step: str


def windows() -> bool:
    return sys.platform.startswith("win")


def installed(module: str) -> Callable[[], bool]:
    return lambda: importlib.util.find_spec(module) is not None


def registry() -> Any:
    """The module `winreg`, which only Windows has."""
    return importlib.import_module("winreg")


def excel_registered() -> bool:
    try:
        registry().OpenKey(registry().HKEY_CLASSES_ROOT, EXCEL_KEY).Close()
    except OSError:
        return False
    return True


def add_in_there() -> bool:
    return Path(os.environ.get("APPDATA", ""), ADD_IN).is_file()


def trust_given() -> bool:
    """Whether Excel lets a program write functions into a workbook's project."""
    for path in TRUST_KEYS:
        try:
            with registry().OpenKey(registry().HKEY_CURRENT_USER, path) as key:
                if registry().QueryValueEx(key, TRUST_VALUE)[0] == 1:
                    return True
        except OSError:
            continue
    return False


NEEDS = (
    Need(
        "Windows, where Excel can call Python functions",
        windows,
        "use a Windows machine, or a workbook edition that needs no Python",
    ),
    Need("Excel for Windows", excel_registered, "install Excel from Microsoft 365 or Office"),
    Need("xlwings", installed("xlwings"), "python -m pip install xlwings"),
    Need("pywin32", installed("win32com"), "python -m pip install pywin32"),
    Need("the xlwings add-in in Excel", add_in_there, "close Excel, then: xlwings addin install"),
    Need(
        "trust to write the functions into the workbook (author only)",
        trust_given,
        "in Excel: File, Options, Trust Center, Trust Center Settings, Macro Settings, "
        "tick 'Trust access to the VBA project object model'",
    ),
)


def report() -> tuple[bool, list[str]]:
    """(nothing missing, lines to print): each need in order, then the next step."""
    lines: list[str] = []
    next_step = ""
    for need in NEEDS:
        if need is not NEEDS[0] and not windows():
            break  # the other needs are looked up in ways only Windows has
        met = need.met()
        lines.append(f"{'ok     ' if met else 'missing'}  {need.what}")
        if not met and not next_step:
            next_step = need.step
    lines.append(f"Next step: {next_step or LAST_STEP}")
    if not windows():
        lines.append(WITHOUT_PYTHON)
    return not next_step, lines
