"""Damage to stored values and to formulas, each done to the file's own XML; each says where it must be found."""

from __future__ import annotations

import re

from audit.damagelib import File
from audit.spots import Spots, split

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
    value = float(re.search(r"<v>(.*?)</v>", f.cell(at)[1].group("inside")).group(1))  # type: ignore[union-attr]  # the cell has a value
    f.stored(at, repr(value * (1 + 3e-9)))
    return at


def stored_word(f: File, s: Spots) -> str:
    at = s.at("'Which hay'!G9")
    f.stored(at, "too close to call" if "enough" in f.cell(at)[1].group() else "enough")
    return at


def stored_as_text(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost a head")
    f.put(at, ' t="str"', f"<f>{f.formula(at)}</f><v>0.50 </v>")
    return at


def stored_missing(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost a head")
    f.put(at, "", f"<f>{f.formula(at)}</f>")
    return at


def input_without_recalculation(f: File, s: Spots) -> str:
    f.number(s.cell("Lots", "Crude protein"), 12.6)
    return s.cell("Lots", "Crude protein, dry basis")


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
    at = s.cell("Lots", "NDF, dry basis", 12)
    f.empty(at)
    return at


def error_typed(f: File, s: Spots) -> str:
    at = s.cell("Match", "CP short", 12)
    f.put(at, ' t="e"', "<v>#N/A</v>")
    return at


def reference_one_row_off(f: File, s: Spots) -> str:
    at = s.cell("Lots", "TDN from ADF", 12)
    adf = s.column("Lots", "ADF, dry basis")
    f.edit(at, f"${adf}12", f"${adf}11")
    return at


def reference_one_column_off(f: File, s: Spots) -> str:
    at = s.cell("Match", "TDN the hay gives", 15)
    row = split(at)[2]
    f.edit(at, f"$G{row}", f"$F{row}")
    return at


def wrong_cell_of_result(f: File, s: Spots) -> str:
    at = s.line("Ration", "For the whole group")
    head = split(s.line("Ration", "Head in the group"))
    f.edit(at, f"$B${head[2]}", f"$B${head[2] - 1}")
    return at


def dollar_dropped(f: File, s: Spots) -> str:
    at = s.cell("Match", "Hay lot", 10)
    last, name = s.last("Lots"), s.column("Lots", "Name, where all that is needed is there")
    f.edit(at, f"${name}$8:${name}${last}", f"{name}8:{name}{last}")
    return at


def range_cut(f: File, s: Spots) -> str:
    end = f"${s.column('Herd', 'TDN need')}$"
    last = s.row("Herd", s.last("Herd"))
    tab, first, end_row = s.span("Match")
    f.edit_column(tab, s.column("Match", "TDN need"), first, end_row, f"{end}{last}", f"{end}{last - 1}")
    return s.cell("Match", "TDN need")


def range_cut_in_check(f: File, s: Spots) -> str:
    at = s.line("Checks", "Lots: ADF above NDF, swapped", "C")
    f.edit(at, f"${s.last('Lots')}", f"${s.last('Lots') - 1}")
    return at


def range_starts_late(f: File, s: Spots) -> str:
    at = s.line("Checks", "Lots: TDN under 35 or above 80 % (sure)", "C")
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
    at = s.cell("Match", "Hay eaten by the fiber rule", 9)
    before = f.formula(at)
    f.set_formula(at, before.replace("HAY.INTAKE_FROM_NDF", "HAY.INTAKE_BY_QUALITY"))
    return at


def percent_forgotten(f: File, s: Spots) -> str:
    tab, first, last = s.span("Match")
    f.edit_column(tab, s.column("Match", "TDN the hay gives"), first, last, "/100", "")
    return s.cell("Match", "TDN the hay gives")


def factor_added(f: File, s: Spots) -> str:
    at = s.line("Ration", "Cost a head")
    f.set_formula(at, f.formula(at) + "*1.037")
    return at


def whole_column_shaded(f: File, s: Spots) -> str:
    column = s.column("Lots", "TDN")
    for row in range(8, s.last("Lots") + 1):
        f.set_formula(f"Lots!{column}{row}", f.formula(f"Lots!{column}{row}") + "+1.5")
    return f"Lots!{column}8"


def basis_dropped(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Crude protein, dry basis", 11)
    f.edit(at, f"${s.column('Lots', 'Dry matter to divide by')}11", "100")
    return at


def constant_in_cell(f: File, s: Spots) -> str:
    at = s.cell("Lots", "TDN from ADF", 9)
    f.edit(at, "0.779", "0.7792")
    return at


def constant_in_column(f: File, s: Spots) -> str:
    f.edit_column("Lots", s.column("Lots", "TDN from ADF"), 8, s.last("Lots"), "88.9", "88.91")
    return s.cell("Lots", "TDN from ADF")


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
    tab, first, last = s.span("Match")
    odd = first + 6
    for row in range(first, last + 1):
        at = f"{tab}!{column}{row}"
        value = re.search(r"<v>.*?</v>", f.cell(at)[1].group("inside")).group()  # type: ignore[union-attr]  # the cell has a value
        if row == first:
            f.put(
                at,
                "",
                f'<f t="shared" ref="{column}{first}:{column}{last}" si="7">{f.formula(at).replace(">", "&gt;")}</f>{value}',
            )
        elif row != odd:
            f.put(at, "", f'<f t="shared" si="7"/>{value}')
    f.set_formula(f"{tab}!{column}{odd}", f"$F{odd}")
    return f"{tab}!{column}{odd}"
