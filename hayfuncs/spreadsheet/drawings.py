"""What lies over a sheet's cells: charts with what they draw, shapes and pictures with what they cover."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from hayfuncs.spreadsheet.contents import Chart, SheetInfo
from hayfuncs.spreadsheet.package import Container
from hayfuncs.spreadsheet.parts import local

MOST = 1_000  # shapes and charts of a sheet that are read
COVERS = ("sp", "pic", "grpSp", "cxnSp")


def read(box: Container, drawing: str, info: SheetInfo) -> None:
    if drawing not in box.parts:
        return
    for kind, target, outside in box.relations(drawing).values():
        if kind == "chart" and not outside and target in box.parts and len(info.charts) < MOST:
            chart = _chart(box.tree(target))
            info.charts.append(chart)
            info.pictured += chart.areas
    for anchor in box.tree(drawing):
        if len(info.boxes) < MOST and any(local(e.tag) in COVERS for e in anchor):
            ends = [e for e in anchor if local(e.tag) in ("from", "to")]
            if len(ends) == 2:
                info.boxes.append((*_corner(ends[0]), *_corner(ends[1])))


def _corner(element: Element) -> tuple[int, int]:
    found = {local(e.tag): e.text or "" for e in element}
    row, col = (
        int(text) if text.isdecimal() and len(text) < 8 else 0 for text in (found.get("row", ""), found.get("col", ""))
    )
    return row, col


def _chart(root: Element) -> Chart:
    chart = Chart()
    for element in root.iter():
        tag = local(element.tag)
        if tag == "f" and element.text:
            chart.areas.append(element.text)
        elif tag == "t" and element.text:
            chart.words.append(element.text)
        elif tag in ("min", "max"):
            try:
                chart.ends.append(float(element.get("val", "")))
            except ValueError:
                continue
    return chart
