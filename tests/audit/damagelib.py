"""Damage done to a workbook file in its own XML, without the builder and without the auditor.

Cells are found and rewritten as text in the zip's parts, as a hand with an editor would.
`recalculated` then does what a spreadsheet program does on saving: it stores the values that the
damaged formulas now give, so that a damage cannot be found by stale values alone.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Sequence
from html import escape, unescape
from typing import Any

from hayfuncs.hosts import engine

CELL = r'<c r="{at}"(?P<attributes>[^>]*?)(?:/>|>(?P<inside>.*?)</c>)'
ANY_CELL = re.compile(
    r'<c r="(?P<at>[A-Z]+[0-9]+)"(?P<attributes>[^>]*?)(?<!/)>(?P<inside>(?:(?!</c>).)*?<f.*?)</c>', re.DOTALL
)
FORMULA = re.compile(r"<f([^>]*)>(.*?)</f>", re.DOTALL)


class File:
    """A workbook file as its parts; `bytes()` packs it again."""

    def __init__(self, data: bytes) -> None:
        with zipfile.ZipFile(io.BytesIO(data)) as box:
            self.parts = {name: box.read(name) for name in box.namelist()}
        relations = dict(re.findall(r'Id="(\w+)"[^>]*?Target="([^"]+)"', self.text("xl/_rels/workbook.xml.rels")))
        relations |= {
            b: a for a, b in re.findall(r'Target="([^"]+)"[^>]*?Id="(\w+)"', self.text("xl/_rels/workbook.xml.rels"))
        }
        sheets = re.findall(r'<sheet name="([^"]+)"[^>]*?r:id="(\w+)"', self.text("xl/workbook.xml"))
        self.sheets = {unescape(name): "xl/" + relations[rid].removeprefix("/xl/") for name, rid in sheets}

    def text(self, part: str) -> str:
        return self.parts[part].decode("utf-8")

    def sub(self, part: str, old: str, new: str, count: int = 1) -> None:
        """Replace text in a part; an edit that changes nothing is a fault of the test."""
        before = self.text(part)
        after = before.replace(old, new, count)
        if after == before:
            raise AssertionError(f"{part} does not hold {old[:80]!r}")
        self.parts[part] = after.encode("utf-8")

    def bytes(self) -> bytes:
        stream = io.BytesIO()
        with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as box:
            for name, data in self.parts.items():
                box.writestr(name, data)
        return stream.getvalue()

    # cells

    def cell(self, address: str) -> tuple[str, re.Match[str]]:
        sheet, _, at = address.rpartition("!")
        part = self.sheets[sheet.strip("'")]
        match = re.search(CELL.format(at=at), self.text(part), re.DOTALL)
        if match is None:
            raise AssertionError(f"no cell {address}")
        return part, match

    def put(self, address: str, attributes: str, inside: str) -> None:
        """A cell's type and content anew; its style stays."""
        part, match = self.cell(address)
        style = re.search(r' s="\d+"', match.group("attributes"))
        text = self.text(part)
        at = address.rpartition("!")[2]
        made = f'<c r="{at}"{style.group() if style else ""}{attributes}>{inside}</c>'
        self.parts[part] = (text[: match.start()] + made + text[match.end() :]).encode("utf-8")

    def number(self, address: str, value: float) -> None:
        self.put(address, "", f"<v>{value!r}</v>")

    def words(self, address: str, value: str) -> None:
        self.put(address, ' t="inlineStr"', f"<is><t>{escape(value, quote=False)}</t></is>")

    def empty(self, address: str) -> None:
        self.put(address, "", "")

    def formula(self, address: str) -> str:
        match = FORMULA.search(self.cell(address)[1].group("inside"))
        if match is None:
            raise AssertionError(f"{address} holds no formula")
        return unescape(match.group(2))

    def set_formula(self, address: str, formula: str) -> None:
        """Another formula in the cell; the stored value stays until `recalculated`."""
        part, match = self.cell(address)
        inside = match.group("inside") or "<v>0</v>"
        kind = FORMULA.search(inside)
        attributes = kind.group(1) if kind else ""
        rest = FORMULA.sub("", inside)
        keep = re.sub(r' s="\d+"', "", match.group("attributes"))
        self.put(address, keep, f"<f{attributes}>{escape(formula, quote=False)}</f>{rest}")
        assert part

    def edit(self, address: str, old: str, new: str) -> None:
        """Part of a formula replaced."""
        before = self.formula(address)
        if old not in before:
            raise AssertionError(f"{address} is ={before}, without {old}")
        self.set_formula(address, before.replace(old, new, 1))

    def edit_column(self, sheet: str, column: str, first: int, last: int, old: str, new: str) -> None:
        """The same edit in every row; `{row}` stands for the row's number."""
        for row in range(first, last + 1):
            self.edit(f"{sheet}!{column}{row}", old.format(row=row), new.format(row=row))

    def stored(self, address: str, value: str) -> None:
        """Another stored value behind the same formula."""
        part, match = self.cell(address)
        inside = re.sub(r"<v>.*?</v>", f"<v>{escape(value)}</v>", match.group("inside"), flags=re.DOTALL)
        keep = re.sub(r' s="\d+"', "", match.group("attributes"))
        self.put(address, keep, inside)
        assert part

    def style(self, address: str, number: int) -> None:
        part, match = self.cell(address)
        text = self.text(part)
        made = re.sub(r' s="\d+"', f' s="{number}"', match.group())
        self.parts[part] = (text[: match.start()] + made + text[match.end() :]).encode("utf-8")

    def style_of(self, address: str) -> int:
        found = re.search(r' s="(\d+)"', self.cell(address)[1].group("attributes"))
        return int(found.group(1)) if found else 0

    def new_style(self, like: int, change: Any) -> int:
        """A copy of a style with something changed in its XML; its number."""
        styles = self.text("xl/styles.xml")
        block = re.search(r"<cellXfs[^>]*>(.*?)</cellXfs>", styles, re.DOTALL)
        assert block is not None
        every = re.findall(r"<xf [^>]*?/>|<xf [^>]*?>.*?</xf>", block.group(1), re.DOTALL)
        made = block.group(1) + change(every[like])
        self.parts["xl/styles.xml"] = styles.replace(block.group(1), made, 1).encode("utf-8")
        return len(every)

    def part_of(self, sheet: str) -> str:
        return self.sheets[sheet]

    def recalculated(self) -> File:
        """The values that its formulas now give, stored, as saving in a spreadsheet program does."""
        running = engine.load(self.bytes(), "HAY.")
        engine.register(running, "HAY_")
        running.set_temporal_egress("serial")
        running.evaluate_all()
        for sheet, part in self.sheets.items():
            text = self.text(part)
            places = [_place(m.group("at")) for m in ANY_CELL.finditer(text)]
            if not places:
                continue
            found = engine.values(running, sheet, max(row for row, _ in places), max(col for _, col in places))

            def store(match: re.Match[str], found: Sequence[Sequence[Any]] = found) -> str:
                row, col = _place(match.group("at"))
                value = found[row - 1][col - 1]
                attributes = re.sub(r' t="\w+"', "", match.group("attributes"))
                inside = re.sub(r"<v>.*?</v>|<v/>", "", match.group("inside"), flags=re.DOTALL)
                return f'<c r="{match.group("at")}"{attributes}{_kind(value)}>{inside}<v>{_shown(value)}</v></c>'

            self.parts[part] = ANY_CELL.sub(store, text).encode("utf-8")
        return self


def _place(at: str) -> tuple[int, int]:
    letters = at.rstrip("0123456789")
    col = 0
    for letter in letters:
        col = col * 26 + ord(letter) - 64
    return int(at[len(letters) :]), col


def _kind(value: Any) -> str:
    if isinstance(value, bool):
        return ' t="b"'
    if isinstance(value, str):
        return ' t="e"' if value.startswith("#") and value.isupper() else ' t="str"'
    return ""


def _shown(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(int(value))
    return escape(value, quote=False) if isinstance(value, str) else repr(float(value))
