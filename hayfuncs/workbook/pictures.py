"""Native charts: direct labels, the finding in the cell above, alt text, no color alone."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hayfuncs.spreadsheet.a1 import a1
from hayfuncs.workbook import label_placement as placing
from hayfuncs.workbook.model import Picture, Series, Sheet
from hayfuncs.workbook.styles import FONT, GRAY, INK

KINDS = {"bar": "bar", "column": "column", "scatter": "scatter", "line": "line"}
TEXT = {"name": FONT, "size": 12, "color": INK}


def draw(file: Any, out: Any, sheet: Sheet, picture: Picture, read: placing.Read) -> None:
    """The chart in its place; `read` gives what a cell shows, by which names of marks are placed."""
    options = {"type": KINDS[picture.kind]}
    if picture.stacked:
        options["subtype"] = "stacked"
    chart = file.add_chart(options)
    placed = any(series.label_position == placing.AUTO for series in picture.series)
    sides = placing.positions(picture, read) if placed else [series.label_position for series in picture.series]
    for series, side in zip(picture.series, sides, strict=True):
        chart.add_series(_series(picture, replace(series, label_position=side)))
    if placed:  # the places were chosen for a plot of this size
        chart.set_plotarea({"layout": placing.PLOT})
    if picture.line is not None:
        over = file.add_chart({"type": "line"})
        over.add_series(_series(replace(picture, kind="line"), picture.line))
        chart.combine(over)
    font = {**TEXT, "size": picture.size, "bold": False}
    chart.set_title(
        {"name": f"={picture.title}", "name_font": font, "overlay": True} if picture.bare else {"none": True}
    )
    bar = picture.kind == "bar"
    across, up = _axis(picture.x_title, picture.x_range, bar=False), _axis(picture.y_title, picture.y_range, bar=bar)
    names = up if bar else across
    if picture.bare:
        _bare(picture, names, across if bar else up)
    if picture.plot is not None:
        chart.set_plotarea({"layout": dict(zip(("x", "y", "width", "height"), picture.plot, strict=True))})
    if picture.x_step is not None:
        across["major_unit"] = picture.x_step
    if picture.every_name:
        names["interval_unit"] = 1
    if picture.reverse:  # the first name on top, the scale still below
        names["reverse"] = True
        names["crossing"] = "max"
    chart.set_x_axis(across)
    chart.set_y_axis(up)
    chart.set_legend({"position": "bottom", "font": TEXT} if picture.legend else {"none": True})
    chart.set_size({"width": picture.width, "height": picture.height})
    chart.set_chartarea({"border": {"none": True} if picture.bare else {"color": "#B8C0C6"}})
    # what it shows moves with the numbers: the cell above says it at any time
    above = (
        ""
        if picture.bare
        else f" What it shows as the numbers stand is said in the cell above it, {a1(picture.row - 1, picture.col)}."
    )
    place = {"description": picture.alt + above, "object_position": 2}
    out.insert_chart(picture.row, picture.col, chart, place)


def _axis(title: str, limits: tuple[float | None, float | None], bar: bool) -> dict[str, Any]:
    axis: dict[str, Any] = {
        "name": title,
        "name_font": {**TEXT, "bold": False},
        "num_font": TEXT,
        "major_gridlines": {"visible": not bar, "line": {"color": "#DDDDDD", "width": 0.75}},
        "line": {"color": GRAY},
    }
    if limits[0] is not None:
        axis["min"] = limits[0]
    if limits[1] is not None:
        axis["max"] = limits[1]
    return axis


def _bare(picture: Picture, names: dict[str, Any], numbers: dict[str, Any]) -> None:
    """Names in letters that the room reads; of the numbers' axis at most the one line that counts."""
    names |= {"num_font": {**TEXT, "size": picture.size}, "major_tick_mark": "none", "line": {"none": True}}
    numbers |= {"num_font": {**TEXT, "size": picture.size}, "line": {"none": True}, "label_position": "none"}
    numbers |= {"major_tick_mark": "none", "major_gridlines": {"visible": False}}
    if picture.mark_at is not None:
        numbers |= {
            "major_unit": picture.mark_at,
            "major_gridlines": {"visible": True, "line": {"color": INK, "width": 2}},
        }


def _series(picture: Picture, s: Series) -> dict[str, Any]:
    made: dict[str, Any] = {
        "name": f"={s.name}" if "!" in s.name else s.name,
        "categories": f"={s.x}",
        "values": f"={s.y}",
    }
    if picture.kind in ("bar", "column"):
        made["gap"] = s.gap
        if s.over_others:
            made["overlap"] = 100
        made["fill"] = {"color": s.color}
        made["border"] = {"color": INK, "width": 0.75}
        if s.pattern:
            made.pop("fill")
            made["pattern"] = {"pattern": s.pattern, "fg_color": s.color, "bg_color": "#FFFFFF"}
    else:
        made["line"] = {"color": s.color, "width": 2.25, "dash_type": s.line} if s.line else {"none": True}
        made["marker"] = (
            {"type": s.marker, "size": s.size, "fill": {"color": s.color}, "border": {"color": INK}}
            if s.marker != "none"
            else {"type": "none"}
        )
    if s.named_points:
        hidden = [None if shown else {"delete": True} for shown in s.named_points]
        made["data_labels"] = {"value": False, "series_name": True, "custom": hidden, "font": TEXT}
    elif s.values_shown:
        made["data_labels"] = {
            "value": True,
            "font": {**TEXT, "size": picture.size, "bold": True, "color": s.label_color},
        }
        if s.label_format:
            made["data_labels"]["num_format"] = s.label_format
    if "data_labels" in made and s.label_position:
        made["data_labels"]["position"] = s.label_position
    return made
