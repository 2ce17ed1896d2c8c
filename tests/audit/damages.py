"""The kinds of damage, each with the cell where it must be found and the rules that may find it.

One damage at a time is done to the file's own XML.  `saved` says that the values are stored anew
afterwards, as saving in a spreadsheet program does, so that stale values give nothing away.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from audit.damagelib import File
from audit.spots import Spots, beside, split

WORKBOOK = "workbook"


@dataclass(frozen=True)
class Damage:
    name: str
    do: Callable[[File, Spots], str]  # does it and says where it must be found
    rules: tuple[str, ...]
    edition: str = "functions"
    saved: bool = False
    note: bool = False  # a finding that is a note is enough: nothing is wrong by itself


def d(name: str, rules: str, do: Callable[[File, Spots], str], **more: object) -> Damage:
    return Damage(name, do, tuple(rules.split()), **more)  # type: ignore[arg-type]


# stored values


def stored_number(f: File, s: Spots) -> str:
    at = s.line("Ration", "Supplement, as fed")
    f.stored(at, "5.5")
    return at


def stored_sum(f: File, s: Spots) -> str:
    at = s.line("Ration", "For the whole group")
    f.stored(at, "250")
    return at


def stored_ninth_digit(f: File, s: Spots) -> str:
    at = s.cell("Herd", "TDN need")
    value = float(re.search(r"<v>(.*?)</v>", f.cell(at)[1].group("inside")).group(1))  # type: ignore[union-attr]
    f.stored(at, repr(value * (1 + 3e-9)))
    return at


def stored_word(f: File, s: Spots) -> str:
    at = "Verdict!F9"
    f.stored(at, "both short" if "carries" in f.cell(at)[1].group() else "carries")
    return at


def stored_as_text(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost per cow")
    f.put(at, ' t="str"', f"<f>{f.formula(at)}</f><v>0.50 </v>")
    return at


def stored_missing(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost per cow")
    f.put(at, "", f"<f>{f.formula(at)}</f>")
    return at


def input_without_recalculation(f: File, s: Spots) -> str:
    f.number(s.cell("Lots", "Crude protein"), 12.6)
    return s.cell("Lots", "Crude protein", after="Dry matter to divide by")


# formulas replaced or changed


def typed_over(f: File, s: Spots) -> str:
    at = s.cell("Lots", "TDN", 10)
    f.number(at, 60.0)
    return at


def typed_over_last(f: File, s: Spots) -> str:
    at = s.cell("Match", "TDN short", s.last("Match"))
    f.number(at, 0.0)
    return at


def typed_over_result(f: File, s: Spots) -> str:
    at = s.line("Ration", "Supplement, as fed")
    f.number(at, 2.0)
    return at


def text_over(f: File, s: Spots) -> str:
    at = s.cell("Match", "CP need", 12)
    f.words(at, "about 2")
    return at


def emptied(f: File, s: Spots) -> str:
    at = s.cell("Lots", "NDF", 12, after="Dry matter to divide by")
    f.empty(at)
    return at


def error_typed(f: File, s: Spots) -> str:
    at = s.cell("Match", "CP short", 12)
    f.put(at, ' t="e"', "<v>#N/A</v>")
    return at


def reference_one_row_off(f: File, s: Spots) -> str:
    at = s.cell("Lots", "TDN", 12)
    adf = s.column("Lots", "ADF")
    f.edit(at, f"${adf}12", f"${adf}11")
    return at


def reference_one_column_off(f: File, s: Spots) -> str:
    at = s.cell("Match", "TDN the hay gives", 15)
    f.edit(at, "$G15", "$F15")
    return at


def wrong_cell_of_result(f: File, s: Spots) -> str:
    at = s.line("Ration", "For the whole group")
    head = split(s.line("Ration", "Head in the group"))
    f.edit(at, f"$B${head[2]}", f"$B${head[2] - 1}")
    return at


def dollar_dropped(f: File, s: Spots) -> str:
    at = s.cell("Match", "Hay lot", 10)
    f.edit(at, "$A$8:$A$17", "A8:A17")
    return at


def range_cut(f: File, s: Spots) -> str:
    f.edit_column("Match", s.column("Match", "TDN need"), 8, s.last("Match"), "$K$11", "$K$10")
    return s.cell("Match", "TDN need")


def range_cut_in_check(f: File, s: Spots) -> str:
    at = s.line("Checks", "Lots: dry matter, smallest", "C")
    f.edit(at, "$17", "$16")
    return at


def range_starts_late(f: File, s: Spots) -> str:
    at = s.line("Checks", "Lots: TDN, largest", "C")
    f.edit(at, "$8:", "$9:")
    return at


def sign_flipped(f: File, s: Spots) -> str:
    at = s.line("Ration", "TDN with supplement", "C")
    f.edit(at, "+", "-")
    return at


def arguments_swapped(f: File, s: Spots) -> str:
    at = s.line("Ration", "Short", "C")
    before = f.formula(at)
    name, args = before[:-1].split("(")
    first, second, third = args.split(",")
    f.set_formula(at, f"{name}({first},{third},{second})")
    return at


def another_function(f: File, s: Spots) -> str:
    at = s.cell("Match", "Hay eaten by the fibre rule", 9)
    before = f.formula(at)
    f.set_formula(at, before.replace("HAY.INTAKE_FROM_NDF", "HAY.INTAKE_BY_QUALITY"))
    return at


def percent_forgotten(f: File, s: Spots) -> str:
    f.edit_column("Match", s.column("Match", "TDN the hay gives"), 8, s.last("Match"), "/100", "")
    return s.cell("Match", "TDN the hay gives")


def factor_added(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost per cow")
    f.set_formula(at, f.formula(at) + "*1.037")
    return at


def whole_column_shaded(f: File, s: Spots) -> str:
    column = s.column("Lots", "TDN")
    for row in range(8, s.last("Lots") + 1):
        f.set_formula(f"Lots!{column}{row}", f.formula(f"Lots!{column}{row}") + "+1.5")
    return f"Lots!{column}8"


def basis_dropped(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Crude protein", 11, after="Dry matter to divide by")
    f.edit(at, f"${s.column('Lots', 'Dry matter to divide by')}11", "100")
    return at


def constant_in_cell(f: File, s: Spots) -> str:
    at = s.cell("Lots", "TDN", 9)
    f.edit(at, "0.779", "0.7792")
    return at


def constant_in_column(f: File, s: Spots) -> str:
    f.edit_column("Lots", s.column("Lots", "TDN"), 8, s.last("Lots"), "88.9", "88.91")
    return s.cell("Lots", "TDN")


def circular(f: File, s: Spots) -> str:
    at = s.line("Ration", "Hay gives")
    f.set_formula(
        at,
        f.formula(at) + "+" + split(s.line("Ration", "Hay covers"))[1] + str(split(s.line("Ration", "Hay covers"))[2]),
    )
    return at


def iferror(f: File, s: Spots) -> str:
    at = s.line("Ration", "Supplement, as fed")
    f.set_formula(at, f"IFERROR({f.formula(at)},0)")
    return at


def if_iserror(f: File, s: Spots) -> str:
    at = s.cell("Match", "TDN short", 20)
    f.set_formula(at, f"IF(ISERROR({f.formula(at)}),0,{f.formula(at)})")
    return at


def volatile(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost for the group")
    f.set_formula(at, f.formula(at) + "*(NOW()>0)")
    return at


def offset(f: File, s: Spots) -> str:
    at = s.line("Ration", "Row of Herd")
    f.set_formula(at, "OFFSET(A1,0,0)+1")
    return at


def unknown_function(f: File, s: Spots) -> str:
    at = s.line("Ration", "Short")
    f.edit(at, "HAY.NUTRIENT_SHORT", "HAY.NUTRIENT_LACKING")
    return at


def shared_formula_odd(f: File, s: Spots) -> str:
    """A column rewritten as one shared formula (as spreadsheet programs store it), one cell left different."""
    column = s.column("Match", "Hay eaten, as chosen")
    last = s.last("Match")
    for row in range(8, last + 1):
        at = f"Match!{column}{row}"
        value = re.search(r"<v>.*?</v>", f.cell(at)[1].group("inside")).group()  # type: ignore[union-attr]
        if row == 8:
            f.put(
                at,
                "",
                f'<f t="shared" ref="{column}8:{column}{last}" si="7">{f.formula(at).replace(">", "&gt;")}</f>{value}',
            )
        elif row != 14:
            f.put(at, "", f'<f t="shared" si="7"/>{value}')
    f.set_formula(f"Match!{column}14", "$F14")
    return f"Match!{column}14"


# words and units


def unit_of_basis(f: File, s: Spots) -> str:
    at = s.cell("Lots", "TDN", 7)
    f.words(at, "% as fed")
    return at


def unit_of_energy(f: File, s: Spots) -> str:
    at = s.cell("Lots", "NEm, energy for maintenance", 7)
    f.words(at, "Mcal/kg DM")
    return at


def unit_of_line(f: File, s: Spots) -> str:
    at = s.line("Ration", "Hay eaten, dry matter", "C")
    f.words(at, "lb as fed/day")
    return at


def unit_percent(f: File, s: Spots) -> str:
    at = s.line("Assumptions", "Shrink from full to empty weight", "C")
    f.words(at, "ratio")
    return at


def label_swapped(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cow needs", "A")
    f.words(at, "Hay gives")
    return at


# definitions, tables, names


def definition(old: str, new: str) -> Callable[[File, Spots], str]:
    def do(f: File, s: Spots) -> str:
        book = f.text("xl/workbook.xml")
        match = re.search(r'(<definedName name="HAY.TDN_FROM_ADF"[^>]*>)(.*?)(</definedName>)', book, re.DOTALL)
        assert match is not None
        assert old in match.group(2)
        made = match.group(1) + match.group(2).replace(old, new, 1) + match.group(3)
        f.parts["xl/workbook.xml"] = book.replace(match.group(), made).encode()
        return "HAY.TDN_FROM_ADF"

    return do


def definition_removed(f: File, s: Spots) -> str:
    book = f.text("xl/workbook.xml")
    made = re.sub(r'<definedName name="HAY.NUTRIENT_SHORT".*?</definedName>', "", book, count=1, flags=re.DOTALL)
    assert made != book
    f.parts["xl/workbook.xml"] = made.encode()
    return "HAY.NUTRIENT_SHORT"


def feed_value(f: File, s: Spots) -> str:
    at = beside(s.line("Feed book", "corn gluten feed"), column="C")
    f.number(at, 85.0)
    return at


def table_value(f: File, s: Spots) -> str:
    at = s.line("Tables", "heavy winter")
    f.number(at, 10.0)
    return at


def exact_constant(f: File, s: Spots) -> str:
    at = s.line("Assumptions", "Pounds in a short ton")
    f.number(at, 2240.0)
    return at


def name_sub(old: str, new: str, where: str) -> Callable[[File, Spots], str]:
    def do(f: File, s: Spots) -> str:
        f.sub("xl/workbook.xml", old, new)
        return where

    return do


def name_moved(f: File, s: Spots) -> str:
    at = split(s.line("Assumptions", "Hay left for each pound of supplement"))
    other = split(s.line("Assumptions", "Fibre a cow will eat in a day"))
    f.sub(
        "xl/workbook.xml",
        f'name="hay_displaced">Assumptions!$B${at[2]}<',
        f'name="hay_displaced">Assumptions!$B${other[2]}<',
    )
    return f"Assumptions!E{at[2]}"


def name_broken(f: File, s: Spots) -> str:
    at = split(s.line("Assumptions", "Fibre a cow will eat in a day"))
    f.sub(
        "xl/workbook.xml",
        f'name="ndf_capacity_pct_bw">Assumptions!$B${at[2]}<',
        'name="ndf_capacity_pct_bw">Assumptions!#REF!<',
    )
    return "ndf_capacity_pct_bw"


def name_deleted(f: File, s: Spots) -> str:
    book = f.text("xl/workbook.xml")
    f.parts["xl/workbook.xml"] = re.sub(r'<definedName name="lb_per_ton".*?</definedName>', "", book).encode()
    return s.line("Ration", "Cost per cow")


# inputs


def text_number(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Crude protein", 9)
    f.words(at, "11.9")
    return at


def text_price(f: File, s: Spots) -> str:
    at = s.cell("Feeds", "Price", 10)
    f.words(at, "245 dollars")
    return at


def impossible_number(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Dry matter", 9)
    f.number(at, 140.0)
    return at


def impossible_word(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Forage", 9)
    f.words(at, "gras")
    return at


def impossible_choice(f: File, s: Spots) -> str:
    at = s.line("Ration", "Hay lot")
    f.words(at, "Heron Flat 7")
    return at


def outside_fit(f: File, s: Spots) -> str:
    f.number(s.cell("Lots", "ADF, acid detergent fibre", 9), 15.5)
    return s.cell("Lots", "TDN", 9)


def blank_input(f: File, s: Spots) -> str:
    f.empty(s.cell("Lots", "Dry matter", 10))
    return s.cell("Lots", "Crude protein", 10, after="Dry matter to divide by")


def blank_operand(f: File, s: Spots) -> str:
    f.empty(s.line("Assumptions", "Pounds in a short ton"))
    return s.line("Ration", "Cost per cow")


def formula_in_text(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Field", 9)
    f.words(at, "=cmd|' /C calc'!A0")
    return at


# what hides, opens or brings in


def hidden_row(f: File, s: Spots) -> str:
    f.sub(f.part_of("Ration"), '<row r="26"', '<row r="26" hidden="1"')
    return "Ration!A26"


def hidden_column(f: File, s: Spots) -> str:
    part = f.part_of("Match")
    f.parts[part] = re.sub(
        r'<col min="(\d+)" max="\1"', r'<col hidden="1" min="\1" max="\1"', f.text(part), count=1
    ).encode()
    column = re.search(r'<col hidden="1" min="(\d+)"', f.text(part))
    assert column is not None
    return (
        f"Match!{chr(64 + int(column.group(1)))}1"
        if int(column.group(1)) == 1
        else f"Match!{chr(64 + int(column.group(1)))}6"
    )


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
    at = s.line("Ration", "Cost per cow", "C")
    f.style(at, f.new_style(f.style_of(at), lambda xf: _with_protection(xf, 'locked="0"')))
    return at


def validation_removed(f: File, s: Spots) -> str:
    part = f.part_of("Assumptions")
    text = f.text(part)
    row = split(s.line("Assumptions", "Fibre a cow will eat in a day"))[2]
    made = re.sub(rf'<dataValidation [^>]*sqref="B{row}"(?:/>|>.*?</dataValidation>)', "", text, flags=re.DOTALL)
    assert made != text
    f.parts[part] = made.encode()
    return f"Assumptions!B{row}"


def protection_removed(f: File, s: Spots) -> str:
    part = f.part_of("Match")
    f.parts[part] = re.sub(r"<sheetProtection[^>]*/>", "", f.text(part)).encode()
    return "Match"


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
    f.sub(
        f.part_of("Match"), "</sheetData>", '</sheetData><mergeCells count="1"><mergeCell ref="A9:A11"/></mergeCells>'
    )
    return "Match"


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
    at = "Ration!B3"
    f.words(at, "✓ all checks hold")
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


DAMAGES = (
    d("stored value of a result edited", "stored-value", stored_number),
    d("stored value of a product edited", "stored-value", stored_sum),
    d("stored value edited in the 9th digit", "stored-value", stored_ninth_digit),
    d("stored word edited", "stored-value", stored_word),
    d("stored number made a text", "stored-value", stored_as_text),
    d("stored value removed", "no-value", stored_missing),
    d("stored value edited, plain edition", "stored-value", stored_sum, edition="plain"),
    d("input changed, not recalculated", "stored-value", input_without_recalculation),
    d("value typed over a formula", "typed-over", typed_over),
    d("value typed over a formula, saved", "typed-over", typed_over, saved=True),
    d("value typed over the last cell of a column, saved", "typed-over", typed_over_last, saved=True),
    d("value typed over the result, saved", "typed-over", typed_over_result, saved=True),
    d("text typed over a formula, saved", "typed-over", text_over, saved=True),
    d("formula emptied, saved", "typed-over", emptied, saved=True),
    d("error typed over a formula, saved", "typed-over", error_typed, saved=True),
    d("reference shifted one row, saved", "pattern", reference_one_row_off, saved=True),
    d("reference shifted one column, saved", "pattern", reference_one_column_off, saved=True),
    d("result reads the wrong cell, saved", "formula-changed", wrong_cell_of_result, saved=True),
    d("dollar signs dropped, saved", "pattern", dollar_dropped, saved=True),
    d("range cut in a whole column, saved", "range-short", range_cut, saved=True),
    d("range cut in a check, saved", "range-short", range_cut_in_check, saved=True),
    d("range starts late, saved", "range-short", range_starts_late, saved=True),
    d("sign flipped, saved", "formula-changed", sign_flipped, saved=True),
    d("arguments swapped, saved", "unit formula-changed", arguments_swapped, saved=True),
    d("another function called, saved", "pattern", another_function, saved=True),
    d("division by 100 dropped in a column, saved", "unit", percent_forgotten, saved=True),
    d("factor put into a formula, saved", "literal formula-changed", factor_added, saved=True),
    d("whole column raised by a literal, saved", "literal formula-changed", whole_column_shaded, saved=True),
    d("as fed taken for dry matter, saved", "pattern", basis_dropped, saved=True),
    d("constant changed in one cell, plain, saved", "pattern", constant_in_cell, edition="plain", saved=True),
    d("constant changed in the 4th digit of a column, plain, saved", "literal formula-changed", constant_in_column, edition="plain", saved=True),
    d("circular reference", "circular", circular),
    d("IFERROR wrapped round a result, saved", "masking formula-changed", iferror, saved=True),
    d("IF(ISERROR()) wrapped, saved", "pattern masking", if_iserror, saved=True),
    d("NOW() in a formula", "volatile", volatile),
    d("OFFSET in a formula", "volatile", offset),
    d("unknown function called", "unknown-function", unknown_function),
    d("shared formula with one odd cell, saved", "pattern", shared_formula_odd, saved=True),
    d("unit of a column: dry to as fed", "unit fixed-changed", unit_of_basis),
    d("unit of a column: Mcal/lb to Mcal/kg", "unit fixed-changed", unit_of_energy),
    d("unit of a line: dry matter to as fed", "unit fixed-changed", unit_of_line),
    d("unit: percent to fraction", "unit fixed-changed", unit_percent),
    d("label swapped", "fixed-changed", label_swapped),
    d("definition: constant edited", "definition", definition("0.779", "0.797")),
    d("definition: constant edited in the 4th digit", "definition", definition("88.9", "88.91")),
    d("definition: operator edited", "definition", definition("88.9-", "88.9+")),
    d("definition: limit widened", "definition", definition("&lt;=75", "&lt;=95")),
    d("definition removed", "definition", definition_removed),
    d("feed table value edited, saved", "table-value", feed_value, saved=True),
    d("lookup table value edited, saved", "table-value", table_value, saved=True),
    d("exact constant edited, saved", "fixed-changed", exact_constant, saved=True),
    d("name re-pointed, saved", "name", name_moved, saved=True),
    d("name broken", "name", name_broken),
    d("name deleted", "name", name_deleted),
    d("number stored as text", "text-number", text_number),
    d("price typed with a word", "impossible-input", text_price),
    d("input outside its possible range, saved", "impossible-input", impossible_number, saved=True),
    d("input not in its list, saved", "impossible-input", impossible_word, saved=True),
    d("choice not in its list, saved", "impossible-input", impossible_choice, saved=True),
    d("input outside its fitted range, saved", "outside-fit", outside_fit, saved=True, note=True),
    d("input emptied, saved", "blank-precedent error-value", blank_input, saved=True),
    d("constant emptied, saved", "blank-precedent error-value", blank_operand, saved=True),
    d("formula injected as text", "formula-like-text", formula_in_text, note=True),
    d("row hidden", "hidden-line", hidden_row),
    d("column hidden", "hidden-line", hidden_column),
    d("sheet hidden", "hidden-sheet", hidden_sheet("hidden")),
    d("sheet hidden from every menu", "hidden-sheet", hidden_sheet("veryHidden")),
    d("name hidden", "hidden-name", hidden_name),
    d("number format that shows nothing", "unseen", unseen_format),
    d("white on white", "unseen", unseen_ink),
    d("formula hidden", "unseen", formula_hidden),
    d("formula unlocked", "unlocked", unlocked),
    d("validation removed", "unvalidated", validation_removed),
    d("sheet protection removed", "unprotected", protection_removed),
    d("formula reads another workbook", "external", external_formula),
    d("link to another workbook", "external", external_part),
    d("macro part", "macro", macro),
    d("manual calculation", "calculation", setting('calcMode="manual"')),
    d("iterative calculation", "calculation", setting('iterate="1"')),
    d("precision as displayed", "calculation", setting('fullPrecision="0"')),
    d("merged cells in data", "merged", merged, note=True),
    d("number that is none in the XML", "strange", bad_number),
    d("check's word typed in, saved", "typed-over", check_typed, saved=True),
    d("check's tolerance widened, saved", "fixed-changed", tolerance_widened, saved=True),
    d("master check typed in, saved", "typed-over", master_typed, saved=True),
    d("number added beside and read, saved", "formula-changed", number_added, saved=True),
)  # fmt: skip
