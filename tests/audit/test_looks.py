"""What the eye sees: a change that moves no number, done to the file's XML, is found above a note."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from audit.damagelib import File
from audit.spots import Spots

from hayfuncs.audit.against import compare
from hayfuncs.audit.run import audit

Do = Callable[[File, Spots], None]


def part_with(file: File, mark: str, folder: str) -> str:
    return next(name for name in sorted(file.parts) if name.startswith(folder) and mark in file.text(name))


def replaced(folder: str, old: str, new: str) -> Do:
    """The first match of a pattern in the first part that has one."""

    def do(file: File, _: Spots) -> None:
        for name in sorted(file.parts):
            if name.startswith(folder) and name.endswith(".xml"):
                made, count = re.subn(old, new, file.text(name), count=1, flags=re.DOTALL)
                if count:
                    file.parts[name] = made.encode()
                    return
        raise AssertionError(f"no {old} in {folder}")

    return do


def percent(file: File, spots: Spots) -> None:
    where = spots.cell("Lots", "TDN", 9)
    styles = file.text("xl/styles.xml")
    like = file.style_of(where)
    file.style(where, file.new_style(like, lambda xf: re.sub(r'numFmtId="\d+"', 'numFmtId="9"', xf)))
    assert file.text("xl/styles.xml") != styles


def not_flagged(file: File, _: Spots) -> None:
    part = part_with(file, "<conditionalFormatting", "xl/worksheets/")
    file.parts[part] = re.sub(
        r"<conditionalFormatting.*?</conditionalFormatting>", "", file.text(part), flags=re.DOTALL
    ).encode()


def narrow(file: File, _: Spots) -> None:
    part = file.part_of("Lots")
    file.parts[part] = re.sub(r'(<col min="2" max="2" width=")[^"]*', r"\g<1>0.4", file.text(part), count=1).encode()


def not_printed(file: File, _: Spots) -> None:
    text = file.text("xl/workbook.xml")
    file.parts["xl/workbook.xml"] = re.sub(
        r'<definedName name="_xlnm.Print_Area"[^>]*>.*?</definedName>', "", text, count=1
    ).encode()


def shared_cut(file: File, _: Spots) -> None:
    """The last row of the categories of one series, where another series of the chart has the same ones."""
    drawn = r"<c:f>([^<]*\$[A-Z]+\$\d+:\$[A-Z]+\$)(\d+)</c:f>"
    for name in sorted(file.parts):
        if name.startswith("xl/charts/chart"):
            text = file.text(name)
            again = next((m for m in re.finditer(drawn, text) if text.count(m.group()) > 1), None)
            if again is not None:
                short = f"<c:f>{again.group(1)}{int(again.group(2)) - 1}</c:f>"
                file.parts[name] = (text[: again.start()] + short + text[again.end() :]).encode()
                return
    raise AssertionError("no chart has two series over the same categories")


def shadowed(file: File, _: Spots) -> None:
    text = file.text("xl/workbook.xml")
    sheets = list(file.sheets)
    at = next(i for i, name in enumerate(sheets) if "lb_per_ton" in file.text(file.sheets[name]))
    made = f'<definedNames><definedName name="lb_per_ton" localSheetId="{at}">2204</definedName>'
    file.parts["xl/workbook.xml"] = text.replace("<definedNames>", made, 1).encode()


def box(file: File, _: Spots) -> None:
    name = part_with(file, "<xdr:twoCellAnchor", "xl/drawings/drawing")
    shape = (
        "<xdr:twoCellAnchor><xdr:from><xdr:col>0</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>0</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:from>"
        "<xdr:to><xdr:col>9</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>60</xdr:row><xdr:rowOff>0</xdr:rowOff></xdr:to>"
        "<xdr:sp><xdr:txBody/></xdr:sp><xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>"
    )
    file.sub(name, "</xdr:wsDr>", shape)


CHANGES: dict[str, tuple[Do, str, str]] = {
    "a share shown as a percent of it": (percent, "look", "show their numbers as 0%"),
    "marks by color gone": (not_flagged, "look", "no longer marked by color"),
    "a validation widened": (replaced("xl/worksheets/", r"(<formula2>)\d+(</formula2>)", r"\g<1>999999\2"), "look", "999999"),
    "a list pointed at other cells": (
        replaced("xl/worksheets/", r'(type="list"(?:(?!</dataValidation>).)*<formula1>[^"<]*\$)\d+(</formula1>)', r"\g<1>9\2"), "look", "one of"),
    "a series pointed at other cells": (replaced("xl/charts/", r"(<c:val><c:numRef><c:f>[^<]*\$)(\d+)(</c:f>)", r"\g<1>9\g<2>\3"), "look", "no longer draws"),
    "categories that two series share, cut in one": (shared_cut, "look", "no longer draws"),
    "an axis cut": (
        replaced("xl/charts/", r'(<c:valAx>.*?<c:scaling>)(?:<c:orientation val="minMax"/>)?', r'\1<c:orientation val="minMax"/><c:max val="7.25"/>'),
        "look", "ends at 7.25"),
    "a column too narrow to read": (narrow, "look", "too narrow to read"),
    "a print area gone": (not_printed, "look", "has no print area"),
    "a link led elsewhere": (replaced("xl/worksheets/", r'(<hyperlink [^>]*location=")[^"]*', r"\g<1>About!A9"), "look", "the link leads to"),
    "a box over the numbers": (box, "covered", "lies over"),
    "dates that count from 1904": (replaced("xl/workbook.xml", "<workbookPr", '<workbookPr date1904="1"'), "calculation", "1904"),
    "a name of one sheet before the workbook's": (shadowed, "name", "everywhere else"),
}  # fmt: skip


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_of_what_is_seen_is_found(what: str, small_files: dict[str, Path], tmp_path: Path) -> None:
    do, rule, words = CHANGES[what]
    data = small_files["functions"].read_bytes()
    file = File(data)
    do(file, Spots(data))
    path = tmp_path / "changed.xlsx"
    path.write_bytes(file.bytes())
    assert path.read_bytes() != data
    found = [f for f in audit(path).findings if f.above_note]
    assert [f for f in found if f.rule == rule and words in f.evidence], [
        f"{f.rule} {f.cell} {f.evidence}" for f in found
    ]


def test_it_is_seen_against_the_older_file_too(small_files: dict[str, Path], tmp_path: Path) -> None:
    data = small_files["functions"].read_bytes()
    for what in ("a share shown as a percent of it", "a series pointed at other cells", "a validation widened"):
        file = File(data)
        CHANGES[what][0](file, Spots(data))
        path = tmp_path / "changed.xlsx"
        path.write_bytes(file.bytes())
        made = compare(path, small_files["functions"])
        assert [d.kind for d in made.differences] == ["look"], what
        assert made.beyond_inputs
