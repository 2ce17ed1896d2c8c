"""Names of marks in the lot picture: on no other name and on no line where there is room."""

from __future__ import annotations

import pytest

from hayfuncs.workbook import label_placement as placing
from hayfuncs.workbook.model import Picture, Series


def picture(points, line=()):
    """Marks of the given places, named by the alphabet, and one line; what a cell shows beside it."""
    cells = {}
    series = []
    if line:
        for i, (x, y) in enumerate(line):
            cells["P", i, 10], cells["P", i, 11] = x, y
        n = len(line)
        series.append(Series("line", f"P!$K$1:$K${n}", f"P!$L$1:$L${n}", line="solid", marker="none"))
    for i, (x, y) in enumerate(points):
        cells["P", i, 0], cells["P", i, 1] = x, y
        name = f"name of mark {chr(97 + i)}"
        series.append(Series(name, f"P!$A${i + 1}", f"P!$B${i + 1}", named_points=(True,), label_position=placing.AUTO))
    made = Picture(
        "scatter", 0, 0, "", "", "", "", series, width=1000, height=500, x_range=(0.0, 20.0), y_range=(0.0, 20.0)
    )
    return made, lambda sheet, row, col: cells.get((sheet, row, col))


def boxes(made, read):
    frame = placing.Frame(made)
    found = []
    for series, side in zip(made.series, placing.positions(made, read), strict=True):
        if series.named_points:
            mark = placing._around(frame.at(*placing._points(series, read)[0]))
            found.append(placing._beside(mark, series.name, side))
    return found


def test_a_mark_by_itself_has_its_name_at_the_right():
    assert placing.positions(*picture([(10, 10)])) == ["right"]


def test_a_name_at_the_right_edge_turns_left():
    assert placing.positions(*picture([(19.8, 10)])) == ["left"]


def test_a_name_leaves_the_line_its_mark_stands_on():
    made = picture([(10, 10)], [(0, 10), (20, 10)])
    assert placing.positions(*made)[1] in ("above", "below")


@pytest.mark.parametrize(
    "points",
    [
        [(10, 10), (10.8, 10)],  # side by side
        [(10, 10), (10.2, 10.5)],  # nearly one on the other
        [(8, 10), (10, 10), (12, 10)],  # a row of three
        [(10, 10), (10, 10.9), (10, 11.8), (10, 12.7)],  # a pile of four
    ],
)
def test_no_two_names_lie_on_each_other(points):
    made, read = picture(points)
    at = boxes(made, read)
    assert len(at) == len(points)
    assert not any(a.meets(b) for i, a in enumerate(at) for b in at[:i])


def test_the_same_marks_have_the_same_places():
    points = [(10, 10), (10.2, 10.5), (9.9, 10.2), (10.5, 9.8)]
    assert placing.positions(*picture(points)) == placing.positions(*picture(points))


def test_a_mark_without_a_number_is_passed_over():
    made, read = picture([(10, 10), ("not tested", 10)])
    assert placing.positions(made, read) == ["right", "right"]
