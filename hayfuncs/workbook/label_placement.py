"""Where the name of each mark of a scatter picture stands: beside, above or below it, where nothing else is.

Chosen when the file is made, from the marks' places then: a small rule that always gives the same
answer for the same marks.  Names of marks that move later may lie on one another until a rebuild.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from xlsxwriter.utility import xl_pixel_width

from hayfuncs.spreadsheet.a1 import place_of
from hayfuncs.workbook.model import Picture, Series

AUTO = "auto"  # the label position of a series whose name is placed here
SIDES = ("right", "left", "above", "below")  # in the order of preference
PLOT = {"x": 0.07, "y": 0.12, "width": 0.90, "height": 0.74}  # the part of the picture inside its axes
TALL, WIDER = 20.0, 1.18  # a name's height in pixels, and its letters against those measured
GAP, MARK = 4.0, 16.0  # pixels between a mark and its name, and of a mark
TOUCHING, ON_NAME, OUTSIDE = 1.5, 6.0, 8.0  # cost: on part of a name or a mark, on all of it, over the edge
ALONG, ACROSS = 2.2, 0.7  # cost: struck through by a line, crossed by an upright one
ROUNDS = 4  # looks at every name, at most

Read = Callable[[str, int, int], object]  # what a cell shows: sheet, row, column


@dataclass(frozen=True)
class Box:
    """Pixels from the left and from the top."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    @property
    def strikes(self) -> float:
        """What it costs a name that this line goes through it."""
        return ALONG if self.right - self.left > self.bottom - self.top else ACROSS

    def shared(self, other: Box) -> float:
        """The share of this box that the other covers."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        whole = (self.right - self.left) * (self.bottom - self.top)
        return across * down / whole if across > 0 and down > 0 and whole > 0 else 0.0

    def covered(self, other: Box) -> float:
        """What it costs that the other lies on this box: something for touching, more for much of it."""
        share = self.shared(other)
        return TOUCHING + ON_NAME * share if share else 0.0


def positions(picture: Picture, read: Read) -> list[str]:
    """The label position of each series of a picture."""
    frame = Frame(picture)
    marks: dict[int, Box] = {}
    fixed: list[Box] = []  # names that stand where the layout says
    lines: list[Box] = []
    for i, series in enumerate(picture.series):
        points = [frame.at(x, y) for x, y in _points(series, read)]
        if not points:
            continue
        if series.line:
            lines += [_between(a, b) for a, b in pairwise(points)]
        if series.label_position == AUTO:
            marks[i] = _around(points[0])
        elif series.named_points:
            x, y = points[series.named_points.index(True)]
            fixed.append(_beside(Box(x, y, x, y), _text(series, read), series.label_position or "right"))
    boxes = {i: [_beside(mark, _text(picture.series[i], read), side) for side in SIDES] for i, mark in marks.items()}
    own = {
        i: [_cost(box, [*fixed, *(m for k, m in marks.items() if k != i)], lines, frame.inside) for box in at]
        for i, at in boxes.items()
    }
    sides = _settled(boxes, own)
    return [
        SIDES[sides.get(i, 0)] if s.label_position == AUTO else s.label_position for i, s in enumerate(picture.series)
    ]


def _settled(boxes: dict[int, list[Box]], own: dict[int, list[float]]) -> dict[int, int]:
    """A side for each name: names move one by one and two by two for as long as less lies on anything."""
    near = {i: [k for k in boxes if k != i and any(a.meets(b) for a in boxes[i] for b in boxes[k])] for i in boxes}
    sides = {i: costs.index(min(costs)) for i, costs in own.items()}

    def cost(moved: dict[int, int]) -> float:
        """What the moved names cost, each pair among them counted once."""
        at = {**sides, **moved}
        total = sum(own[i][side] for i, side in moved.items())
        for i in moved:
            total += sum(boxes[i][at[i]].covered(boxes[k][at[k]]) for k in near[i] if k not in moved or k > i)
        return total

    def best(moves: list[dict[int, int]]) -> dict[int, int]:
        return min(moves, key=lambda moved: (round(cost(moved), 6), *moved.values()))

    for _ in range(ROUNDS):
        before = dict(sides)
        for i in boxes:
            sides.update(best([{i: s} for s in range(len(SIDES))]))
            for k in near[i]:
                sides.update(best([{i: s, k: t} for s in range(len(SIDES)) for t in range(len(SIDES))]))
        if sides == before:
            break
    return sides


class Frame:
    """From a picture's numbers to its pixels."""

    def __init__(self, picture: Picture) -> None:
        left, top = PLOT["x"] * picture.width, PLOT["y"] * picture.height
        self.inside = Box(left, top, left + PLOT["width"] * picture.width, top + PLOT["height"] * picture.height)
        self.x, self.y = picture.x_range, picture.y_range

    def at(self, x: float, y: float) -> tuple[float, float]:
        box = self.inside
        across, up = _part(x, *self.x), _part(y, *self.y)
        return box.left + across * (box.right - box.left), box.bottom - up * (box.bottom - box.top)


def _part(value: float, lo: float | None, hi: float | None) -> float:
    assert lo is not None
    assert hi is not None
    return (value - lo) / (hi - lo)


def _cost(name: Box, others: Sequence[Box], lines: Sequence[Box], inside: Box) -> float:
    cost = sum(name.covered(box) for box in others) + sum(line.strikes for line in lines if name.meets(line))
    out = name.left < inside.left or name.right > inside.right or name.top < inside.top or name.bottom > inside.bottom
    return cost + OUTSIDE * out


def _points(series: Series, read: Read) -> list[tuple[float, float]]:
    found = []
    for x, y in zip(_cells(series.x, read), _cells(series.y, read), strict=True):
        if isinstance(x, (int, float)) and isinstance(y, (int, float)):
            found.append((float(x), float(y)))
    return found


def _cells(span: str, read: Read) -> list[object]:
    sheet, row, col, last_row, last_col = place_of(span)
    return [read(sheet, r, c) for r in range(row, last_row + 1) for c in range(col, last_col + 1)]


def _text(series: Series, read: Read) -> str:
    if "!" not in series.name:
        return series.name
    sheet, row, col, _, _ = place_of(series.name)
    return str(read(sheet, row, col) or "")


def _around(point: tuple[float, float]) -> Box:
    x, y = point
    return Box(x - MARK / 2, y - MARK / 2, x + MARK / 2, y + MARK / 2)


def _between(a: tuple[float, float], b: tuple[float, float]) -> Box:
    """A line along an axis, one pixel thick."""
    return Box(min(a[0], b[0]) - 1, min(a[1], b[1]) - 1, max(a[0], b[0]) + 1, max(a[1], b[1]) + 1)


def _beside(mark: Box, text: str, side: str) -> Box:
    wide = WIDER * xl_pixel_width(text)
    middle, level = (mark.left + mark.right) / 2, (mark.top + mark.bottom) / 2
    if side in ("right", "left"):
        left = mark.right + GAP if side == "right" else mark.left - GAP - wide
        return Box(left, level - TALL / 2, left + wide, level + TALL / 2)
    top = mark.top - TALL if side == "above" else mark.bottom
    return Box(middle - wide / 2, top, middle + wide / 2, top + TALL)
