"""The day on which the pile is gone, as the picture on Hay pile draws it: by hand, and moved with what it hangs on."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from workbook.opened import Open

DAY_ZERO = date(1899, 12, 30)


def drawn(opened):
    """The ends of the three lines: name, days until it is gone, tons left then; and the upright line at turnout."""
    sheet = opened.book.by_name("Hay pile")
    rows = []
    for series in sheet.pictures[0].series:
        name, first_day, first_tons = (opened.at(ref) for ref in (series.name, *_ends(series, 0)))
        last_day, last_tons = (opened.at(ref) for ref in _ends(series, 1))
        rows.append((name, first_day, first_tons, last_day, last_tons))
    return rows


def _ends(series, end):
    def cell(span):
        sheet, area = span.split("!")
        return f"{sheet}!{area.split(':')[end]}"

    return cell(series.x), cell(series.y)


def test_the_lines_end_on_the_day_the_pile_is_gone(editions):
    opened = Open(*editions["functions"][::2])
    start = DAY_ZERO + timedelta(days=int(opened.name("winter_start")))

    def check():
        """Tons that are eaten, over the herd's tons a day: as reckoned, a seventh more and less."""
        tons = opened.name("hay_eaten") / 2000
        a_day = opened.name("herd_head") * opened.name("herd_intake") / (opened.name("mean_dm") / 100) / 2000
        swing = opened.name("pile_swing") / 100
        lines = drawn(opened)
        for (name, begins, full, days, left), share in zip(lines, (1, 1 + swing, 1 - swing), strict=False):
            assert (begins, left) == (0, 0)
            assert full == pytest.approx(tons)
            assert days == pytest.approx(tons / (a_day * share)), name
            gone = start + timedelta(days=int(days))
            assert name.endswith(f"gone {gone.day} {gone:%b}")
        turnout = lines[3]
        assert turnout[1] == turnout[3] == opened.name("turnout") - opened.name("winter_start")
        return [line[3] for line in lines[:3]]

    reckoned, more, less = check()
    assert more < reckoned < less
    opened.set_name("pile_swing", 40)
    check()
    opened.put("herd", "head", 2 * opened.get("herd", "head", 1), 1)
    assert check()[0] < reckoned
