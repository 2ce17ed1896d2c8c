"""The real xlwings as on Windows, with only the COM modules beneath it replaced; JSON lines in and out.

Runs in its own process, because it pretends to be on Windows.  What is real: xlwings' registration of
functions, its VBA writer, its conversion of arguments and results, and `call_udf`.
What is not: Excel, COM, and so the last step by which a VARIANT reaches a cell.
"""

from __future__ import annotations

import asyncio  # before the pretence, so that it takes this system's side
import concurrent.futures  # noqa: F401  # loaded before modules are stubbed
import ctypes
import datetime as dt
import importlib
import json
import os
import sys
import types
from decimal import Decimal
from typing import Any
from unittest.mock import MagicMock

import hayfuncs  # noqa: F401  # files the functions

MISSING = -2147352572  # what COM hands over for an omitted argument
BOOK = "hay.xlsm"


class Time(dt.datetime):
    """pywin32's date."""


class ComError(Exception):
    pass


class Variant:
    """win32com.client.VARIANT: a kind and a value."""

    def __init__(self, varianttype: int, value: Any) -> None:
        self.varianttype = varianttype
        self.value = value


VT_ERROR = 10


def stub(name: str, **members: Any) -> None:
    module = types.ModuleType(name)
    module.__getattr__ = lambda attribute: MagicMock(name=f"{name}.{attribute}")  # type: ignore[method-assign]  # a stub
    module.__path__ = []  # type: ignore[attr-defined]  # a stub
    for key, value in members.items():
        setattr(module, key, value)
    sys.modules[name] = module


def pretend_windows() -> None:
    sys.modules["matplotlib"] = None  # type: ignore[assignment]  # not wanted here, and it would look for Windows' fonts
    stub("pythoncom", VT_ERROR=VT_ERROR, com_error=ComError)
    stub("pywintypes", com_error=ComError, TimeType=Time, IID=str)
    for name in ("win32api", "win32con", "win32gui", "win32process", "win32timezone", "win32event", "winreg"):
        stub(name)
    stub("win32com")
    bases = {n: type(n, (), {}) for n in ("CDispatch", "CoClassBaseClass", "DispatchBaseClass")}
    stub("win32com.client", VARIANT=Variant, Dispatch=lambda x, **_: x, DispatchEx=MagicMock(), **bases)
    sys.modules["win32com"].client = sys.modules["win32com.client"]  # type: ignore[attr-defined]  # a stub
    for name in ("win32com.server", "win32com.server.dispatcher", "win32com.server.policy", "win32com.server.util"):
        stub(name)
    for name in ("BasicWrapPolicy", "DesignatedWrapPolicy", "EventHandlerPolicy"):
        setattr(sys.modules["win32com.server.policy"], name, type(name, (), {}))
    for name in ("windll", "oledll", "PyDLL"):
        setattr(ctypes, name, MagicMock(name=name))
    sys.platform = "win32"


class Components:
    def __init__(self) -> None:
        self.text = ""

    def __call__(self, name: str) -> Any:
        raise ComError(name)

    def Remove(self, component: Any) -> None:
        raise ComError("nothing to remove")

    def Import(self, path: str) -> None:
        with open(path) as file:
            self.text = file.read()


class NoSheets:
    """The workbook's sheets: xlwings looks among them for embedded code."""

    Count = 0

    def __iter__(self) -> Any:
        return iter(())


class Workbook:
    Name = BOOK
    Worksheets = NoSheets()

    def __init__(self) -> None:
        self.components = Components()
        self.VBProject = types.SimpleNamespace(VBComponents=self.components)
        self.options: list[dict[str, Any]] = []
        self.Application = types.SimpleNamespace(Version="16.0", MacroOptions=self.macro_options)

    def macro_options(self, macro: str, **options: Any) -> None:
        self.options.append({"macro": macro, **options})


def decoded(value: Any) -> Any:
    """A JSON value as COM would hand it over: ranges as tuples of tuples."""
    if isinstance(value, dict):
        kind, inner = next(iter(value.items()))
        if kind == "date":
            return Time.fromisoformat(inner)
        if kind == "currency":
            return Decimal(inner)
        if kind == "error":
            from hayfuncs.hosts.excel import ERROR_CODES

            return ERROR_CODES[inner]
        return MISSING
    if isinstance(value, list):
        return tuple(map(decoded, value))
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def encoded(value: Any) -> Any:
    if isinstance(value, Variant):
        from hayfuncs.hosts.excel import ERROR_CODES

        assert value.varianttype == VT_ERROR
        return next(text for text, code in ERROR_CODES.items() if code == value.value)
    if isinstance(value, (list, tuple)):
        return [encoded(v) for v in value]
    if isinstance(value, (str, bool, float)):
        return value
    raise TypeError(f"COM would have to carry {value!r}")


class Server:
    MODULE = "hayfuncs.hosts.excel"

    def __init__(self) -> None:
        from xlwings import udfs

        self.udfs = udfs

    def import_udfs(self) -> dict[str, Any]:
        book = Workbook()
        self.udfs.import_udfs(self.MODULE, book)
        return {"vba": book.components.text, "options": book.options}

    def call(self, name: str, arguments: list[Any]) -> Any:
        """As the VBA wrapper calls it; xlwings' server takes a result of one cell out of its rows."""
        result = self.udfs.call_udf(self.MODULE, name, tuple(map(decoded, arguments)), None, MagicMock())
        if len(result) == 1:
            result = result[0][0] if len(result[0]) == 1 else result[0]
        return encoded(result)

    def calls(self, rows: list[list[Any]]) -> list[Any]:
        return [self.call(name, arguments) for name, arguments in rows]


class OfficeJsServer:
    """The same module where xlwings serves an Office.js add-in, as it does in xlwings Server and Lite."""

    MODULE = "hayfuncs.hosts.excel"
    RUNTIME = "1.4"  # of the host; from this version on it takes error values

    def __init__(self) -> None:
        os.environ["XLWINGS_ON_SERVER"] = "true"
        os.environ["XLWINGS_LICENSE_KEY"] = "noncommercial"
        from xlwings.pro import udfs_officejs

        self.udfs = udfs_officejs
        self.module = importlib.import_module(self.MODULE)

    def metadata(self) -> Any:
        return self.udfs.custom_functions_meta(self.module)

    def call(self, name: str, arguments: list[Any]) -> Any:
        """Arguments as Office.js hands them over: rows of cells, an error as an object, a blank as null."""
        sent = {
            "func_name": name, "args": [self.sent(a) for a in arguments], "caller_address": "Sheet1!A1",
            "version": "", "client": "Office.js", "runtime": self.RUNTIME, "date_format": None,
            "culture_info_name": None,
        }  # fmt: skip
        rows = asyncio.run(self.udfs.custom_functions_call(sent, self.module))
        found = [[self.shown(cell) for cell in row] for row in rows]
        return found[0][0] if len(found) == len(found[0]) == 1 else found

    def calls(self, rows: list[list[Any]]) -> list[Any]:
        return [self.call(name, arguments) for name, arguments in rows]

    def sent(self, argument: Any) -> Any:
        if not isinstance(argument, list):
            return [[self.sent_cell(argument)]]
        rows = argument if argument and isinstance(argument[0], list) else [[v] for v in argument]
        return [[self.sent_cell(v) for v in row] for row in rows]

    @staticmethod
    def sent_cell(value: Any) -> Any:
        if isinstance(value, dict):
            return {"type": "Error", "basicValue": value["error"]}
        return value

    @staticmethod
    def shown(cell: Any) -> Any:
        kinds = {"Div0": "#DIV/0!", "NotAvailable": "#N/A", "Name": "#NAME?", "Null": "#NULL!", "Num": "#NUM!"}
        kinds |= {"Ref": "#REF!", "Value": "#VALUE!"}
        return kinds[cell["errorType"]] if isinstance(cell, dict) else cell


def main() -> None:
    classic = sys.argv[1] == "classic"
    if classic:
        pretend_windows()
    answers = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)  # whatever xlwings prints must not stand between the answers
    server = Server() if classic else OfficeJsServer()
    for line in sys.stdin:
        asked = json.loads(line)
        try:
            answer = {"answer": getattr(server, asked["do"])(*asked["with"])}
        except Exception as error:
            answer = {"error": f"{type(error).__name__}: {error}"}
        print(json.dumps(answer), file=answers, flush=True)


if __name__ == "__main__":
    main()
