"""Runs under the office's own Python and drives one headless LibreOffice; one JSON line in, one out.

Started by officelib.py; it imports nothing of the project.
"""

import contextlib
import json
import os
import subprocess
import sys
import time
import uuid

import uno
from com.sun.star.beans import PropertyValue

# the errors Calc shows by name; it shows the others by number
CALC_ERRORS = {503: "#NUM!", 519: "#VALUE!", 524: "#REF!", 525: "#NAME?", 532: "#DIV/0!"}
NOT_AVAILABLE = 32767
FORMULA_ERRORS = 4  # com.sun.star.sheet.FormulaResult.ERROR


def option(name, value):
    return PropertyValue(Name=name, Value=value)


TABLE = 58  # com.sun.star.accessibility.AccessibleRole.TABLE
UNSEEN = ("--headless", "--invisible")
X_Y_WIDTH_HEIGHT = 15  # com.sun.star.awt.PosSize.POSSIZE


class Office:
    """`--shown` among the options: the office draws its windows on the display of its environment."""

    def __init__(self, soffice, *places):
        pipe = "hayfuncs" + uuid.uuid4().hex
        self.shown = "--shown" in places
        self.process = subprocess.Popen(
            [
                soffice,
                *(place for place in places if place != "--shown"),
                *(() if self.shown else UNSEEN),
                "--norestore",
                "--nologo",
                "--nodefault",
                f"--accept=pipe,name={pipe};urp;",
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        for _ in range(240):
            try:
                self.context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
                break
            except Exception:
                if self.process.poll() is not None:
                    raise RuntimeError(f"LibreOffice ended with code {self.process.returncode}") from None
                time.sleep(0.25)
        else:
            raise RuntimeError("LibreOffice did not answer")
        self.manager = self.context.ServiceManager
        self.desktop = self.manager.createInstanceWithContext("com.sun.star.frame.Desktop", self.context)
        self.documents = {}

    def open(self, path=None):
        url = "private:factory/scalc" if path is None else "file://" + path
        document = self.desktop.loadComponentFromURL(url, "_blank", 0, (option("Hidden", True),))
        if document is None:
            raise RuntimeError(f"LibreOffice cannot open {path}")
        key = uuid.uuid4().hex
        self.documents[key] = document
        return key

    def show(self, path, width, height):
        """A document in a window of this size, as a person has it on the screen."""
        document = self.desktop.loadComponentFromURL("file://" + path, "_blank", 0, ())
        document.CurrentController.Frame.ContainerWindow.setPosSize(0, 0, width, height, X_Y_WIDTH_HEIGHT)
        key = uuid.uuid4().hex
        self.documents[key] = document
        return key

    def seen(self, key):
        """The sheet in front, and the cells of it that are wholly or partly in the window: first row and column, last."""
        view = self.documents[key].CurrentController
        area = view.VisibleRange
        return [view.ActiveSheet.Name, area.StartRow, area.StartColumn, area.EndRow, area.EndColumn]

    def in_view(self, key):
        """The cells that are wholly in the window and hold something: row, column, what is read, where a link leads."""
        view = self.documents[key].CurrentController
        sheet = view.ActiveSheet
        found = []
        areas = [view.getByIndex(i).VisibleRange for i in range(view.getCount())]
        last = max(area.EndRow for area in areas)  # in the window in part
        for area in areas:
            for row in range(area.StartRow, min(area.EndRow + 1, last)):
                for column in range(area.StartColumn, area.EndColumn + 1):
                    cell = sheet.getCellByPosition(column, row)
                    if cell.String:
                        fields = cell.getTextFields() if hasattr(cell, "getTextFields") else None
                        links = [fields.getByIndex(i).URL for i in range(fields.getCount())] if fields else []
                        found.append([row, column, cell.String, links[0] if links else ""])
        return found

    def follow(self, key, link):
        """Where a link within the document leads, as the office goes there."""
        sheet, _, cell = link.lstrip("#").rpartition("." if "!" not in link else "!")
        view = self.documents[key].CurrentController
        view.setActiveSheet(self.sheet(key, sheet.strip("$").strip("'")))
        helper = self.manager.createInstanceWithContext("com.sun.star.frame.DispatchHelper", self.context)
        helper.executeDispatch(view.Frame, ".uno:GoToCell", "", 0, (option("ToPoint", cell),))

    def window(self, key):
        """The part of the screen in which the cells are drawn: x, y, width, height in pixels."""
        return self._pane(key)

    def _pane(self, key):
        controller = self.documents[key].CurrentController
        spot = controller.Frame.ContainerWindow.getAccessibleContext()
        found = self._document(spot)
        component = found.getAccessibleContext()
        place, size = component.getLocationOnScreen(), component.getSize()
        return [place.X, place.Y, size.Width, size.Height]

    def _document(self, context):
        """The accessible part of the window that is the table of cells."""
        for i in range(min(context.getAccessibleChildCount(), 200)):
            child = context.getAccessibleChild(i)
            inside = child.getAccessibleContext()
            if inside.getAccessibleRole() == TABLE:
                return child
            if found := self._document(inside):
                return found
        return None

    def where(self, key, sheet, area):
        """Where cells that are in view stand on the screen: x, y, width, height in pixels."""
        table = self._document(self.documents[key].CurrentController.Frame.ContainerWindow.getAccessibleContext())
        reach = self.sheet(key, sheet).getCellRangeByName(area).RangeAddress
        cells = table.getAccessibleContext()
        ends = []
        for row, column in ((reach.StartRow, reach.StartColumn), (reach.EndRow, reach.EndColumn)):
            part = cells.getAccessibleCellAt(row, column).getAccessibleContext()
            place, size = part.getLocationOnScreen(), part.getSize()
            ends.append((place.X, place.Y, place.X + size.Width, place.Y + size.Height))
        return [ends[0][0], ends[0][1], ends[1][2] - ends[0][0], ends[1][3] - ends[0][1]]

    def sheet(self, key, name):
        sheets = self.documents[key].Sheets
        return sheets.getByIndex(name) if isinstance(name, int) else sheets.getByName(name)

    def sheets(self, key):
        return list(self.documents[key].Sheets.ElementNames)

    def put(self, key, sheet, area, rows):
        """Numbers, text and formulas (text starting with =) into an area, as typed by a user."""
        self.sheet(key, sheet).getCellRangeByName(area).setFormulaArray(
            tuple(tuple("" if v is None else v if isinstance(v, str) else repr(v) for v in row) for row in rows)
        )

    def unprotect(self, key, sheet):
        """As a user does who opens a sheet that has no password."""
        self.sheet(key, sheet).unprotect("")

    def rename(self, key, sheet, name):
        self.sheet(key, sheet).setName(name)

    def insert_rows(self, key, sheet, row, count):
        """So many rows above a row, as a person puts them in; rows count from 0."""
        self.sheet(key, sheet).getRows().insertByIndex(row, count)

    def put_data(self, key, sheet, area, rows):
        self.sheet(key, sheet).getCellRangeByName(area).setDataArray(
            tuple(tuple("" if v is None else v for v in row) for row in rows)
        )

    def put_block(self, key, sheet, area, formula):
        self.sheet(key, sheet).getCellRangeByName(area).setArrayFormula(formula)

    def calculate(self, key):
        """A whole recalculation; gives the seconds it took."""
        start = time.perf_counter()
        self.documents[key].calculateAll()
        return time.perf_counter() - start

    def changed(self, key):
        """Whether the office would ask to save the document."""
        return self.documents[key].isModified()

    def automatic(self, key, wanted):
        self.documents[key].enableAutomaticCalculation(wanted)

    def used(self, key, sheet):
        cursor = self.sheet(key, sheet).createCursor()
        cursor.gotoEndOfUsedArea(False)
        return cursor.RangeAddress.EndRow + 1, cursor.RangeAddress.EndColumn + 1

    def read(self, key, sheet, area=None):
        """Rows of values; an error as its text, with Calc's own number where it has no name."""
        page = self.sheet(key, sheet)
        if area is None:
            rows, columns = self.used(key, sheet)
            cells = page.getCellRangeByPosition(0, 0, columns - 1, rows - 1)
        else:
            cells = page.getCellRangeByName(area)
        found = [list(row) for row in cells.getDataArray()]
        origin = cells.RangeAddress
        for area in cells.queryFormulaCells(FORMULA_ERRORS).RangeAddresses:
            for r in range(area.StartRow, area.EndRow + 1):
                for c in range(area.StartColumn, area.EndColumn + 1):
                    error = page.getCellByPosition(c, r).getError()
                    text = "#N/A" if error == NOT_AVAILABLE else CALC_ERRORS.get(error, f"Err:{error}")
                    found[r - origin.StartRow][c - origin.StartColumn] = text
        return found

    def formulas(self, key, sheet, area):
        return [list(row) for row in self.sheet(key, sheet).getCellRangeByName(area).getFormulaArray()]

    def save(self, key, path, kind):
        self.documents[key].storeToURL("file://" + path, (option("FilterName", kind),))

    def close(self, key):
        self.documents.pop(key).close(True)

    def descriptions(self, prefix):
        """What the function wizard shows of every function whose name starts so."""
        listing = self.manager.createInstanceWithContext("com.sun.star.sheet.FunctionDescriptions", self.context)
        found = {}
        for i in range(listing.Count):
            entry = {p.Name: p.Value for p in listing.getByIndex(i)}
            if entry["Name"].startswith(prefix):
                entry["Arguments"] = [[a.Name, a.Description, a.IsOptional] for a in entry["Arguments"]]
                found[entry["Name"]] = entry
        return found

    def version(self):
        provider = self.manager.createInstanceWithContext(
            "com.sun.star.configuration.ConfigurationProvider", self.context
        )
        node = provider.createInstanceWithArguments(
            "com.sun.star.configuration.ConfigurationAccess",
            (option("nodepath", "/org.openoffice.Setup/Product"),),
        )
        return node.ooSetupVersionAboutBox

    def stop(self):
        if self.shown:  # with a window it asks whether to save, and waits for ever
            os.killpg(self.process.pid, 9)
        with contextlib.suppress(Exception):
            self.desktop.terminate()
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            os.killpg(self.process.pid, 9)


def main():
    office = Office(*sys.argv[1:])
    print(json.dumps({"answer": office.version()}), flush=True)
    try:
        for line in sys.stdin:
            asked = json.loads(line)
            try:
                answer = {"answer": getattr(office, asked["do"])(*asked["with"])}
            except Exception as error:
                answer = {"error": f"{type(error).__name__}: {error}"}
            print(json.dumps(answer), flush=True)
    finally:
        office.stop()


if __name__ == "__main__":
    main()
