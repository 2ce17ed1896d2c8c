"""Kinds of fault that the eye meets: what hides, opens, lets in, or shows a number as another."""

from __future__ import annotations

import re

from audit.damagelib import File
from audit.faultkinds import Draw, Kind, Planted, of_sheet

from hayfuncs.spreadsheet.a1 import a1, letters, place, quoted
from hayfuncs.spreadsheet.contents import WorkbookData


def _on_line(book: WorkbookData, sheet: int, row: int | None = None, col: int | None = None) -> tuple[str, ...]:
    """The cells of a row or a column, and the sheet itself."""
    cells = [
        at
        for at in book.values
        if place(at)[0] == sheet and row in (None, place(at)[1]) and col in (None, place(at)[2])
    ]
    return (*(book.address(at) for at in cells), quoted(book.sheets[sheet].name))


def _sub(file: File, part: str, pattern: str, made: str) -> bool:
    """One place of a part changed; whether there was one."""
    text, count = re.subn(pattern, made, file.text(part), count=1, flags=re.DOTALL)
    file.parts[part] = text.encode("utf-8")
    return count > 0


def _styled(file: File, where: str, attribute: str, number: int, flag: str) -> None:
    """The cell in a copy of its style with another font or format."""

    def change(xf: str) -> str:
        xf = re.sub(rf' {flag}="\d"', "", xf)
        return re.sub(rf'{attribute}="\d+"', f'{attribute}="{number}" {flag}="1"', xf)

    file.style(where, file.new_style(file.style_of(where), change))


def number_format(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A number shown as nothing, as a date, as percent or as thousands."""
    at = of_sheet(book, draw, [at for at, v in book.values.items() if isinstance(v, float)])
    if at is None:
        return None
    code = draw.choice((";;;", "yyyy-mm-dd", "0.0%", "#,##0,", "0.0000E+00"))
    part = "xl/styles.xml"
    if not _sub(file, part, r"<numFmts [^>]*>", rf'<numFmts><numFmt numFmtId="250" formatCode="{code}"/>'):
        return None
    where = book.address(at)
    _styled(file, where, "numFmtId", 250, "applyNumberFormat")
    return Planted("number format", where, f"{book.look(at).number_format} -> {code}")


def white_ink(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    at = of_sheet(book, draw, [at for at in book.values if book.filled(at)])
    if at is None:
        return None
    styles = file.text("xl/styles.xml")
    count = len(re.findall(r"<font>.*?</font>|<font/>", styles[: styles.index("</fonts>")], re.DOTALL))
    fill = book.look(at).fill or "FFFFFFFF"
    made = f'<font><sz val="12"/><color rgb="{fill}"/><name val="Arial"/></font></fonts>'
    file.sub("xl/styles.xml", "</fonts>", made)
    where = book.address(at)
    _styled(file, where, "fontId", count, "applyFont")
    return Planted("ink of the ground", where, str(book.values.get(at))[:40])


def unlocked(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    at = of_sheet(book, draw, [at for at in book.formulas if book.look(at).locked])
    if at is None:
        return None

    def change(xf: str) -> str:
        xf = re.sub(r"<protection[^>]*/>", "", xf)
        xf = f"{xf[:-2]}></xf>" if xf.endswith("/>") else xf
        return xf.replace("</xf>", '<protection locked="0"/></xf>').replace("<xf ", '<xf applyProtection="1" ', 1)

    where = book.address(at)
    file.style(where, file.new_style(file.style_of(where), change))
    return Planted("unlocked", where, "can be typed over")


def hidden_row(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    at = of_sheet(book, draw, [at for at in book.values if book.filled(at)])
    if at is None:
        return None
    sheet, row, _ = place(at)
    if not _sub(file, file.part_of(book.sheets[sheet].name), rf'<row r="{row + 1}"', rf'<row r="{row + 1}" hidden="1"'):
        return None
    return Planted("hidden row", book.address(at), f"row {row + 1}", _on_line(book, sheet, row=row))


def hidden_column(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    return _column(file, book, draw, "hidden column", 'hidden="1"')


def narrow_column(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    return _column(file, book, draw, "narrow column", "")


def _column(file: File, book: WorkbookData, draw: Draw, kind: str, attribute: str) -> Planted | None:
    at = of_sheet(book, draw, [at for at in book.values if book.filled(at)])
    if at is None:
        return None
    sheet, _, col = place(at)
    width = r'width="[\d.]+"' if not attribute else r'(width="[\d.]+")'
    made = rf'<col min="{col + 1}" max="{col + 1}" ' + (rf"\1 {attribute}" if attribute else 'width="0.8"')
    if not _sub(file, file.part_of(book.sheets[sheet].name), rf'<col min="{col + 1}" max="{col + 1}" {width}', made):
        return None
    return Planted(kind, book.address(at), f"column {letters(col)}", _on_line(book, sheet, col=col))


def rule_removed(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A rule of typing taken away, or its bound moved."""
    sheets = [i for i, info in enumerate(book.sheets) if info.validations]
    if not sheets:
        return None
    sheet = draw.choice(sheets)
    part = file.part_of(book.sheets[sheet].name)
    every = list(re.finditer(r"<dataValidation [^>]*?(?:/>|>.*?</dataValidation>)", file.text(part), re.DOTALL))
    one = draw.choice(every)
    areas = re.search(r'sqref="([^"]+)"', one.group())
    bound = re.search(r"<formula2>([\d.]+)</formula2>", one.group())
    widen = bound is not None and draw.random() < 0.5
    made = ""
    if widen and bound is not None:
        made = one.group().replace(bound.group(), f"<formula2>{float(bound.group(1)) * 100 + 7:g}</formula2>")
    text = file.text(part)
    text = text[: one.start()] + made + text[one.end() :]
    text = re.sub(r'<dataValidations count="\d+"', f'<dataValidations count="{len(every) - (not made)}"', text)
    file.parts[part] = text.encode("utf-8")
    assert areas is not None
    also = []
    for r1, c1, r2, c2 in next(v.areas for v in book.sheets[sheet].validations if _says(v.areas) == areas.group(1)):
        also += [
            f"{quoted(book.sheets[sheet].name)}!{a1(r, c)}"
            for r in range(r1, min(r2, r1 + 400) + 1)
            for c in range(c1, c2 + 1)
        ]
    return Planted(
        "rule of typing widened" if made else "rule of typing removed", also[0], areas.group(1)[:60], tuple(also)
    )


def _says(areas: tuple[tuple[int, int, int, int], ...]) -> str:
    return " ".join(a1(r1, c1) + (f":{a1(r2, c2)}" if (r1, c1) != (r2, c2) else "") for r1, c1, r2, c2 in areas)


def mark_removed(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A conditional format taken away."""
    sheets = [i for i, info in enumerate(book.sheets) if info.flags]
    if not sheets:
        return None
    sheet = draw.choice(sheets)
    part = file.part_of(book.sheets[sheet].name)
    text = file.text(part)
    one = draw.choice(list(re.finditer(r"<conditionalFormatting .*?</conditionalFormatting>", text, re.DOTALL)))
    file.parts[part] = (text[: one.start()] + text[one.end() :]).encode("utf-8")
    area = re.search(r'sqref="([A-Z]+)(\d+)(?::([A-Z]+)(\d+))?', one.group())
    assert area is not None
    name = quoted(book.sheets[sheet].name)
    rows = range(int(area.group(2)), int(area.group(4) or area.group(2)) + 1)
    also = tuple(f"{name}!{area.group(1)}{row}" for row in rows)
    return Planted("marks removed", also[0], one.group()[:160], (*also, name))


def sheet_hidden(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    info = draw.choice(book.sheets)
    if not _sub(
        file, "xl/workbook.xml", rf'<sheet name="{re.escape(info.name)}"', f'<sheet name="{info.name}" state="hidden"'
    ):
        return None
    return Planted("sheet hidden", quoted(info.name), "hidden")


def protection_removed(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    sheets = sorted({place(at)[0] for at in book.formulas if book.sheets[place(at)[0]].protected})
    info = book.sheets[draw.choice(sheets)]
    if not _sub(file, file.part_of(info.name), r"<sheetProtection[^>]*/>", ""):
        return None
    return Planted("protection removed", quoted(info.name), "unprotected")


def chart_cut(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    """A series of a chart that ends a row early."""
    charts = [name for name in file.parts if name.startswith("xl/charts/chart")]
    part = draw.choice(charts)
    every = list(re.finditer(r"<c:f>([^<]*?)\$([A-Z]+)\$(\d+):\$([A-Z]+)\$(\d+)</c:f>", file.text(part)))
    if not every:
        return None
    one = draw.choice(every)
    if one.group(3) == one.group(5):
        return None
    text = file.text(part)
    made = one.group().replace(f"${one.group(5)}</c:f>", f"${int(one.group(5)) - 1}</c:f>")
    file.parts[part] = (text[: one.start()] + made + text[one.end() :]).encode("utf-8")
    drawn = one.group()[len("<c:f>") : -len("</c:f>")].replace("&apos;", "'")
    holders = [i for i, info in enumerate(book.sheets) if drawn in info.pictured]
    if not holders:
        return None
    return Planted("chart cut short", quoted(book.sheets[holders[0]].name) + "!", drawn)


def manual(file: File, book: WorkbookData, draw: Draw) -> Planted | None:
    if not _sub(
        file, "xl/workbook.xml", r"<calcPr ", draw.choice(('<calcPr calcMode="manual" ', '<calcPr iterate="1" '))
    ):
        return None
    return Planted("calculation setting", "workbook", "manual or iterating")


LOOKS: tuple[Kind, ...] = (
    number_format, white_ink, unlocked, hidden_row, hidden_column, narrow_column, rule_removed, mark_removed, sheet_hidden,
    protection_removed, chart_cut, manual,
)  # fmt: skip
