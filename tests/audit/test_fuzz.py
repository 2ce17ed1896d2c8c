"""Fuzzing for a bounded time: formulas and references by coverage, and the XML of whole workbooks.

HAYFUNCS_FUZZ_SECONDS sets how long each of the two runs; tests/fuzz holds the same for Atheris.
"""

from __future__ import annotations

import os
import random
import re
import time
from pathlib import Path

from audit import grammar
from audit.damagelib import File
from audit.guided import SCRAPS, Guided

from hayfuncs.audit.direct import direct
from hayfuncs.audit.graph import Formulas
from hayfuncs.audit.labels import Labels
from hayfuncs.contract.files import UserError
from hayfuncs.formulas.figures import formula
from hayfuncs.spreadsheet.a1 import BadAddress
from hayfuncs.spreadsheet.parser import tree
from hayfuncs.spreadsheet.reader import read
from hayfuncs.spreadsheet.tokens import Malformed, moved, pattern, reference

SECONDS = float(os.environ.get("HAYFUNCS_FUZZ_SECONDS", "8"))


def read_formula(text: str) -> None:
    """Everything that is ever done with the text of a formula."""
    pattern(text, 7, 3)
    for work in (reference, lambda t: moved(t, 2, 1), lambda t: tree(formula(tree(t)))):
        try:
            work(text)
        except (Malformed, BadAddress):
            continue


def test_formulas_and_references_by_coverage() -> None:
    r = random.Random(7)
    start = [*SCRAPS, *(grammar.formula(r) for _ in range(60))]
    fuzz = Guided(read_formula, (Malformed, BadAddress), ("tokens.py", "parser.py", "a1.py", "figures.py"))
    for text in start:
        fuzz._keep(text)
    first = len(fuzz.reached)
    fuzz.run([], SECONDS)
    print(
        f"{fuzz.tried} formulas, {len(fuzz.reached)} steps from line to line reached ({first} by the start), {len(fuzz.corpus)} kept"
    )
    assert fuzz.tried > 300
    assert len(fuzz.reached) > first > 100  # it is guided: breeding reaches what the start does not


def test_the_fuzzer_finds_a_fault_that_hides_behind_four_conditions() -> None:
    """Proof that the guidance works: a planted fault, out of reach of chance within this time."""

    def planted(text: str) -> None:
        if text.startswith("q"):
            if text[1:2] == "z":
                if text[2:3] == "7":
                    if text[3:4] == "!":
                        raise ZeroDivisionError

    fuzz = Guided(planted, (), ("test_fuzz.py",), seed=3)
    try:
        fuzz.run(["abcd", "x"], max(SECONDS, 20))
    except ZeroDivisionError:
        return
    raise AssertionError(f"not found in {fuzz.tried} tries")


NUMBER = re.compile(r"\d+")
TAG = re.compile(r"<[^>]+>")


def hurt(text: str, r: random.Random) -> str:
    """A part's XML with something wrong in it: a number, a tag, a piece, a formula."""
    way = r.randrange(7)
    at = r.randrange(len(text))
    if way == 0:
        found = list(NUMBER.finditer(text))
        m = r.choice(found)
        return text[: m.start()] + r.choice(("0", "-1", "1e999", "NaN", "99999999999", "", "x")) + text[m.end() :]
    if way == 1:
        m = r.choice(list(TAG.finditer(text)))
        return text[: m.start()] + text[m.end() :]
    if way == 2:
        m = r.choice(list(TAG.finditer(text)))
        return text[: m.end()] + m.group() + text[m.end() :]
    if way == 3:
        return text[:at] + text[at + r.randrange(1, 400) :]
    if way == 4:
        return (
            text[:at]
            + r.choice(("<", "&", "&#0;", "]]>", "<!DOCTYPE x>", "&lol;", "\x01", "<c/>", "<f>", "<row r='0'/>"))
            + text[at:]
        )
    if way == 5:
        return re.sub(
            r"<f>([^<]*)</f>",
            lambda m: f"<f>{grammar.formula(r).replace('&', '&amp;').replace('<', '&lt;')}</f>",
            text,
            count=r.randrange(1, 30),
        )
    return text.replace(
        r.choice(('t="s"', "<v>", ' r="', "sqref=")), r.choice(('t="b"', "<V>", ' R="', 's="9" ')), r.randrange(1, 50)
    )


def test_workbooks_with_broken_xml_are_refused_or_read(small_files: dict[str, Path], tmp_path: Path) -> None:
    whole = File(small_files["functions"].read_bytes())
    small = {name: data for name, data in whole.parts.items() if name.endswith((".xml", ".rels"))}
    r = random.Random(20261125)
    path = tmp_path / "broken.xlsx"
    end = time.monotonic() + SECONDS
    refused = done = 0
    while time.monotonic() < end or done < 40:
        file = File(small_files["functions"].read_bytes())
        name = r.choice(sorted(small))
        try:
            file.parts[name] = hurt(small[name].decode("utf-8"), r).encode("utf-8", "surrogatepass")
        except IndexError:  # nothing of that kind in this part
            continue
        path.write_bytes(file.bytes())
        done += 1
        try:
            book = read(path)
            formulas = Formulas(book)
            Labels(book)
            direct(formulas)
        except UserError as error:
            refused += 1
            assert "\n" not in str(error)
    print(f"{done} broken workbooks, {refused} refused")
    assert refused
