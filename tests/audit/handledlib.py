"""Strange workbooks that are read all the same: what each is, and what the audit must say of it."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import NamedTuple

from audit import rawlib
from audit.rawlib import ROWS, parts, relations, sheet, small, strings, workbook

LAST = "XFD1048576"


class Handled(NamedTuple):
    name: str
    content: bytes
    code: int  # 0 clean, 1 findings
    words: tuple[str, ...]  # in what is printed, with the notes
    seconds: float = 10.0
    megabytes: float = 400.0


def formula(text: str, value: str = "0", at: str = "B3") -> str:
    return (
        f'<row r="{at.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")}"><c r="{at}"><f>{escape(text)}</f><v>{value}</v></c></row>'
    )


def names(**given: str) -> str:
    return workbook(
        "<definedNames>"
        + "".join(f'<definedName name="{n}">{escape(t)}</definedName>' for n, t in given.items())
        + "</definedNames>"
    )


def bodies(port: int) -> Iterator[Handled]:
    yield Handled("plain.xlsx", small(), 0, ("1 of 1 formula cells",))
    # size: told, and real
    yield Handled(
        "told-large.xlsx", small(sheet=sheet(before=f'<dimension ref="A1:{LAST}"/>')), 0, ("4 filled cells", "1 of 1")
    )
    corner = f'{ROWS}<row r="1048576"><c r="{LAST}"><f>B1+1</f><v>41</v></c></row>'
    yield Handled("last-corner.xlsx", small(sheet=sheet(corner)), 0, ("2 of 2 formula cells",))
    reach = ROWS + formula(f"COUNT(C1:{LAST})", "1", "A3") + corner[len(ROWS) :]
    yield Handled(
        "whole-grid.xlsx", small(sheet=sheet(reach)), 1, ("2 of 3 formula cells", "an area of 17,177,772,032 cells")
    )
    call = ROWS + formula("HAY.DRY_WEIGHT(MAX(A:XFD),B1)", "1", "A3") + corner[len(ROWS) :]
    yield Handled(
        "whole-grid-call.xlsx", small(sheet=sheet(call)), 1, ("2 of 3 formula cells", "an area of 17,179,869,184 cells")
    )
    wide = (
        ROWS
        + formula("HAY.DRY_WEIGHT(MAX(A:Z),B1)", "1", "A3")
        + '<row r="1048576"><c r="Z1048576"><v>41</v></c></row>'
    )
    yield Handled("wide-call.xlsx", small(sheet=sheet(wide)), 1, ("2 of 2 formula cells", "0 of 1 function cells"))
    rows = "".join(f'<row r="{i}"><c r="A{i}"><v>{i}</v></c></row>' for i in range(1, 1_048_577))
    yield Handled("full-column.xlsx", small(sheet=sheet(rows)), 0, ("1,048,576 filled cells",), 60, 1500)
    rows = "".join(f'<row r="{i}"><c r="A{i}"><f>ROW()*2</f><v>{i * 2}</v></c></row>' for i in range(1, 50_001))
    yield Handled("many-formulas.xlsx", small(sheet=sheet(rows)), 0, ("50,000 of 50,000 formula cells",), 60, 1500)
    # formulas
    yield Handled(
        "deep-brackets.xlsx", small(sheet=sheet(ROWS + formula("(" * 4000 + "1" + ")" * 4000))), 1, ("nested deeper",)
    )
    yield Handled(
        "deep-calls.xlsx", small(sheet=sheet(ROWS + formula("ABS(" * 1500 + "1" + ")" * 1500))), 1, ("nested deeper",)
    )
    yield Handled("many-signs.xlsx", small(sheet=sheet(ROWS + formula("-" * 8000 + "1"))), 1, ("nested deeper",))
    yield Handled(
        "many-percents.xlsx", small(sheet=sheet(ROWS + formula("1" + "%" * 8000))), 1, ("of 2 formula cells",)
    )
    yield Handled(
        "long-sum.xlsx", small(sheet=sheet(ROWS + formula("+".join(["1"] * 4000), "4000"))), 1, ("of 2 formula cells",)
    )
    yield Handled(
        "long-power.xlsx", small(sheet=sheet(ROWS + formula("^".join(["9"] * 4000), "0"))), 1, ("of 2 formula cells",)
    )
    yield Handled("nonsense.xlsx", small(sheet=sheet(ROWS + formula("))(((]]!!'"))), 1, ("cannot be read",))
    yield Handled(
        "circle.xlsx",
        small(
            sheet=sheet(ROWS + '<row r="3"><c r="A3"><f>B3+1</f><v>1</v></c><c r="B3"><f>A3+1</f><v>2</v></c></row>')
        ),
        1,
        ("circ",),
    )
    yield Handled("own-circle.xlsx", small(sheet=sheet(ROWS + formula("B3+1"))), 1, ("circ",))
    chain = "".join(f'<row r="{i}"><c r="A{i}"><f>A{i - 1}+1</f><v>{i}</v></c></row>' for i in range(2, 60_001))
    yield Handled(
        "long-chain.xlsx",
        small(sheet=sheet('<row r="1"><c r="A1"><v>1</v></c></row>' + chain)),
        0,
        ("59,999 of 59,999",),
        60,
        1500,
    )
    yield Handled(
        "cyclic-names.xlsx",
        small(sheet=sheet(ROWS + formula("one+1")), workbook=names(one="two", two="three", three="one")),
        1,
        ("of 2 formula cells",),
    )
    deep_names = {f"n{i}": f"n{i + 1}+n{i + 1}" for i in range(300)} | {"n300": "Hay!$B$1"}
    yield Handled(
        "doubling-names.xlsx",
        small(sheet=sheet(ROWS + formula("n0")), workbook=names(**deep_names)),
        -1,
        ("of 2 formula cells",),
    )
    # work without end
    for i, text in enumerate(('REPT("x",1E9)', "SUM(SEQUENCE(1048576,16384))", "SUMPRODUCT((A:Z=1)*(A:Z=2)*(A:Z=3))", "SUM(MMULT(SEQUENCE(3000,3000),SEQUENCE(3000,3000)))",
                              "REDUCE(0,SEQUENCE(1E7),LAMBDA(a,b,a+b))")):  # fmt: skip
        yield Handled(
            f"work-{i}.xlsx", small(sheet=sheet(ROWS + formula(text))), -1, ("of 2 formula cells",), 150, 2100
        )
    endless = names(again="_xlfn.LAMBDA(_xlpm.x,again(_xlpm.x+1))")
    yield Handled(
        "endless.xlsx",
        small(sheet=sheet(ROWS + formula("again(1)")), workbook=endless),
        -1,
        ("of 2 formula cells",),
        150,
        2100,
    )
    # text that looks like more
    sly = (
        '=HYPERLINK("http://127.0.0.1/","x")',
        "=cmd|' /C calc'!A0",
        "@SUM(1)",
        "+1+cmd|' /C calc'!A0",
        "-2+3",
        "http://127.0.0.1/",
        "\u202eyah",
        "\u009b2Jhay",
    )
    yield Handled(
        "sly-text.xlsx",
        small(
            strings=strings(*sly),
            sheet=sheet(
                "".join(
                    f'<row r="{i + 1}"><c r="A{i + 1}" t="s"><v>{i}</v></c><c r="B{i + 1}"><f>LEN(A{i + 1})</f><v>{len(sly[i])}</v></c></row>'
                    for i in range(len(sly))
                )
            ),
        ),
        0,
        ("formula-like-text",),
    )
    yield Handled("longest-text.xlsx", small(strings=strings("h" * 32_767, "x")), 0, ("1 of 1",))
    sneaky = workbook(sheets=f'<sheet name="{escape("=cmd|x" + chr(0x9B) + "2J")}" sheetId="1" r:id="rId1"/>')
    yield Handled("sly-sheet.xlsx", small(workbook=sneaky), 0, ("1 of 1",))
    # outside, and programs
    outside = parts() | {
        "xl/_rels/workbook.xml.rels": relations(("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "sharedStrings.xml"), ("externalLink", "externalLinks/externalLink1.xml")),
        "xl/externalLinks/externalLink1.xml": f'<externalLink xmlns="{rawlib.MAIN}"><externalBook/></externalLink>',
        "xl/externalLinks/_rels/externalLink1.xml.rels": relations(("externalLinkPath", f"http://127.0.0.1:{port}/other.xlsx")),
        rawlib.SHEET: sheet(ROWS + formula("[1]Hay!B1")),
    }  # fmt: skip
    yield Handled("outside.xlsx", rawlib.packed(outside), 1, ("external", "which is not opened"))
    web = sheet(
        ROWS
        + formula(f'_xlfn.WEBSERVICE("http://127.0.0.1:{port}/")')
        + formula(f'IMAGE("http://127.0.0.1:{port}/")', "0", "B4")
    )
    yield Handled("web.xlsx", small(sheet=web), -1, ("reaches outside the workbook",))
    dde = sheet(ROWS + formula("cmd|'/C calc'!A0"))
    yield Handled("dde.xlsx", small(sheet=dde), -1, ("of 2 formula cells",))
    macro = parts() | {
        "xl/_rels/workbook.xml.rels": relations(("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "sharedStrings.xml"), ("vbaProject", "vbaProject.bin")),
        "xl/vbaProject.bin": b"\xd0\xcf\x11\xe0" + bytes(500),
    }  # fmt: skip
    yield Handled("macro.xlsm", rawlib.packed(macro), 1, ("macro", "not run"))
    yield Handled("nested-zip.xlsx", rawlib.packed(parts() | {"inner.zip": small()}), 0, ("1 of 1",))
    yield Handled(
        "utf-16.xlsx",
        small(sheet=sheet().replace("UTF-8", "UTF-16").encode("utf-16")),
        1,
        ("0 of 1 formula cells", "Not recomputed"),
    )
    yield Handled(
        "number-words.xlsx",
        small(
            sheet=sheet(
                ROWS + '<row r="3"><c r="B3"><v>1e999</v></c><c r="C3"><v>nan</v></c><c r="D3"><v>0x10</v></c></row>'
            )
        ),
        -1,
        ("of 1 formula cells",),
    )
