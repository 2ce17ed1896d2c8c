"""Damage by what hides, opens or brings in, and to the workbook's own checks; each says where it must be found."""

from __future__ import annotations

import re
from collections.abc import Callable

from audit.damagelib import File
from audit.spots import Spots, split

WORKBOOK = "workbook"  # a finding about the whole


# what hides, opens or brings in


def hidden_row(f: File, s: Spots) -> str:
    row = s.row("Ration", 26)
    f.sub(f.part_of(s.tab("Ration")), f'<row r="{row}"', f'<row r="{row}" hidden="1"')
    return s.at("Ration!A26")


def hidden_column(f: File, s: Spots) -> str:
    part = f.part_of(s.tab("Match"))
    f.parts[part] = re.sub(
        r'<col min="(\d+)" max="\1"', r'<col hidden="1" min="\1" max="\1"', f.text(part), count=1
    ).encode()
    column = re.search(r'<col hidden="1" min="(\d+)"', f.text(part))
    assert column is not None
    return f"{s.tab('Match')}!{chr(64 + int(column.group(1)))}1"


def hidden_sheet(state: str) -> Callable[[File, Spots], str]:
    def do(f: File, s: Spots) -> str:
        f.sub("xl/workbook.xml", '<sheet name="Assumptions"', f'<sheet name="Assumptions" state="{state}"')
        return "Assumptions"

    return do


def hidden_name(f: File, s: Spots) -> str:
    f.sub("xl/workbook.xml", '<definedName name="chosen_lot"', '<definedName name="chosen_lot" hidden="1"')
    return "chosen_lot"


def unseen_format(f: File, s: Spots) -> str:
    at = s.line("Ration", "Short")
    styles = f.text("xl/styles.xml")
    f.parts["xl/styles.xml"] = re.sub(
        r'<numFmts count="(\d+)">', r'<numFmts count="\1"><numFmt numFmtId="250" formatCode=";;;"/>', styles
    ).encode()
    f.style(at, f.new_style(f.style_of(at), lambda xf: re.sub(r'numFmtId="\d+"', 'numFmtId="250"', xf)))
    return at


def unseen_ink(f: File, s: Spots) -> str:
    at = s.line("Ration", "Short", "C")
    styles = f.text("xl/styles.xml")
    count = len(re.findall(r"<font>.*?</font>|<font/>", styles[: styles.index("</fonts>")], re.DOTALL))
    styles = styles.replace(
        "</fonts>", '<font><sz val="12"/><color rgb="FFFFFFFF"/><name val="Arial"/></font></fonts>', 1
    )
    f.parts["xl/styles.xml"] = styles.encode()
    f.style(at, f.new_style(f.style_of(at), lambda xf: re.sub(r'fontId="\d+"', f'fontId="{count}"', xf)))
    return at


def formula_hidden(f: File, s: Spots) -> str:
    at = s.line("Ration", "Hay eaten, dry matter")
    f.style(at, f.new_style(f.style_of(at), lambda xf: _with_protection(xf, 'hidden="1"')))
    return at


def _with_protection(xf: str, attributes: str) -> str:
    xf = re.sub(r"<protection[^>]*/>", "", xf)
    if xf.endswith("/>"):
        xf = xf[:-2] + "></xf>"
    return xf.replace("</xf>", f"<protection {attributes}/></xf>").replace("<xf ", '<xf applyProtection="1" ')


def unlocked(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost a head", "C")
    f.style(at, f.new_style(f.style_of(at), lambda xf: _with_protection(xf, 'locked="0"')))
    return at


def validation_removed(f: File, s: Spots) -> str:
    part = f.part_of("Assumptions")
    text = f.text(part)
    row = split(s.line("Assumptions", "Fiber a cow will eat in a day"))[2]
    made = re.sub(rf'<dataValidation [^>]*sqref="B{row}"(?:/>|>.*?</dataValidation>)', "", text, flags=re.DOTALL)
    assert made != text
    f.parts[part] = made.encode()
    return f"Assumptions!B{row}"


def protection_removed(f: File, s: Spots) -> str:
    part = f.part_of(s.tab("Match"))
    f.parts[part] = re.sub(r"<sheetProtection[^>]*/>", "", f.text(part)).encode()
    return s.tab("Match")


def external_formula(f: File, s: Spots) -> str:
    at = s.line("Ration", "Body weight")
    f.set_formula(at, "[1]Herd!$C$8")
    return at


def external_part(f: File, s: Spots) -> str:
    f.parts["xl/externalLinks/externalLink1.xml"] = (
        b'<externalLink xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"/>'
    )
    f.parts["xl/externalLinks/_rels/externalLink1.xml.rels"] = (
        b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" '
        b'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLinkPath" '
        b'Target="file:///other.xlsx" TargetMode="External"/></Relationships>'
    )
    link = (
        '<Relationship Id="rId900" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/externalLink" '
        'Target="externalLinks/externalLink1.xml"/></Relationships>'
    )
    f.sub("xl/_rels/workbook.xml.rels", "</Relationships>", link)
    return WORKBOOK


def macro(f: File, s: Spots) -> str:
    f.parts["xl/vbaProject.bin"] = b"\xd0\xcf\x11\xe0 not a real project"
    link = (
        '<Relationship Id="rId901" Type="http://schemas.microsoft.com/office/2006/relationships/vbaProject" '
        'Target="vbaProject.bin"/></Relationships>'
    )
    f.sub("xl/_rels/workbook.xml.rels", "</Relationships>", link)
    return WORKBOOK


def setting(attribute: str) -> Callable[[File, Spots], str]:
    def do(f: File, s: Spots) -> str:
        f.sub("xl/workbook.xml", "<calcPr ", f"<calcPr {attribute} ")
        return WORKBOOK

    return do


def merged(f: File, s: Spots) -> str:
    cells = s.at("Match!A9:A11").rpartition("!")[2]
    merge = f'</sheetData><mergeCells count="1"><mergeCell ref="{cells}"/></mergeCells>'
    f.sub(f.part_of(s.tab("Match")), "</sheetData>", merge)
    return s.tab("Match")


def bad_number(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Crude protein", 9)
    f.put(at, "", "<v>1_1.9</v>")
    return at


# the workbook's own checks


def check_typed(f: File, s: Spots) -> str:
    at = s.line("Checks", "Ration, pounds: CP over need", "H")
    f.words(at, "holds")
    return at


def tolerance_widened(f: File, s: Spots) -> str:
    at = s.line("Checks", "Ration, pounds: TDN over need", "F")
    f.number(at, 5.0)
    return at


def master_typed(f: File, s: Spots) -> str:
    at = f"{s.tab('Ration')}!B3"
    f.words(at, "✓ all checks hold")
    return at


def budget_typed(f: File, s: Spots) -> str:
    at = s.line("Winter budget", "Feeds, to buy")
    f.number(at, 500.0)
    return at


def store_typed(f: File, s: Spots) -> str:
    at = s.line("Hay pile", "Hay in store")
    f.number(at, 900_000.0)
    return at


def plan_test_typed(f: File, s: Spots) -> str:
    at = s.cell("Group months", "Hays over their share by nitrate")
    f.number(at, 0.0)
    return at


def caution_typed(f: File, s: Spots) -> str:
    at = s.line("Ration cautions", "Lot: tetany ratio K/(Ca+Mg)", "D")
    f.words(at, "Clear")
    return at


def number_added(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost for the group")
    sheet, _, row = split(at)
    part = f.part_of(sheet)
    text = f.text(part)
    f.parts[part] = re.sub(
        rf'(<row r="{row}".*?)</row>', rf'\1<c r="H{row}"><v>3.5</v></c></row>', text, count=1, flags=re.DOTALL
    ).encode()
    f.set_formula(at, f.formula(at) + f"+$H${row}")
    return at
