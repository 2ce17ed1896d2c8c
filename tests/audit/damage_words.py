"""Damage to words, units, definitions, names and inputs, done to the file's own XML; each says where it must be found."""

from __future__ import annotations

import re
from collections.abc import Callable

from audit.damagelib import File
from audit.spots import Spots, beside, split

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
    at = s.line("Ration", "Hay gives", "A")
    f.words(at, "Hay covers")
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
    at = beside(s.line("Feed book", "corn gluten feed"), column="D")
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


def name_moved(f: File, s: Spots) -> str:
    at = split(s.line("Assumptions", "Hay left for each pound of supplement"))
    other = split(s.line("Assumptions", "Fiber a cow will eat in a day"))
    f.sub(
        "xl/workbook.xml",
        f'name="hay_displaced">Assumptions!$B${at[2]}<',
        f'name="hay_displaced">Assumptions!$B${other[2]}<',
    )
    return f"Assumptions!E{at[2]}"


def name_broken(f: File, s: Spots) -> str:
    at = split(s.line("Assumptions", "Fiber a cow will eat in a day"))
    f.sub(
        "xl/workbook.xml",
        f'name="ndf_capacity_pct_bw">Assumptions!$B${at[2]}<',
        'name="ndf_capacity_pct_bw">Assumptions!#REF!<',
    )
    return "ndf_capacity_pct_bw"


def name_deleted(f: File, s: Spots) -> str:
    book = f.text("xl/workbook.xml")
    f.parts["xl/workbook.xml"] = re.sub(r'<definedName name="lb_per_ton".*?</definedName>', "", book).encode()
    return s.line("Ration", "Cost a head")


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
    at = s.named("chosen_lot")
    f.words(at, "Heron Flat 7")
    return at


def outside_fit(f: File, s: Spots) -> str:
    f.number(s.cell("Lots", "ADF, acid detergent fiber", 9), 15.5)
    return s.cell("Lots", "TDN from ADF", 9)


def blank_input(f: File, s: Spots) -> str:
    f.empty(s.cell("Lots", "Dry matter", 10))
    return s.line("Checks", "Lots: needed cells left empty", "H")  # nothing is worked out of half a row


def blank_operand(f: File, s: Spots) -> str:
    f.empty(s.line("Assumptions", "Pounds in a short ton"))
    return s.line("Ration", "Cost a head")


def formula_in_text(f: File, s: Spots) -> str:
    at = s.cell("Lots", "Field", 9)
    f.words(at, "=cmd|' /C calc'!A0")
    return at
