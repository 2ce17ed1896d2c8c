"""What a take-home page says of a hay's hazards, in a producer's words; the full words stand on Hazards."""

from __future__ import annotations

from hayfuncs.workbook.model import Content, Formula
from hayfuncs.workbook.sheets.common import pick
from hayfuncs.workbook.sheets.levels import LOOK, WORDS
from hayfuncs.workbook.sheets.takehomechosen import Chosen
from hayfuncs.workbook.table import Column, computed

# column of the sheet Cautions -> at caution; where it differs, at danger.  Common practice, no source
SAID = {
    "prussic": ("Prussic acid: test again before you feed it.", "DANGER, prussic acid: do not feed it. Call your vet."),
    "stack": ("The stack is warm: measure it every day.", "DANGER, the stack is hot: call the fire service before you move a bale."),
    "cap": ("Calcium to phosphorus is off: choose the mineral with your vet.", "DANGER, more phosphorus than calcium: call your vet."),
    "sulfur": ("Sulfur is high: count feed and water too.", "DANGER, sulfur: call your vet."),
    "ergot": ("Fescue toxin (ergovaline): mix it with other hay.", "DANGER, fescue toxin: do not feed it alone. Call your vet."),
    "tetany": ("Grass tetany: keep a high-magnesium mineral out for them.", "DANGER, grass tetany: call your vet."),
    "baling": ("Baled too wet: watch the stack for heat and mold.", "DANGER, baled far too wet: watch the stack for fire."),
    "heat": ("Heat has tied up protein: count only what is left.", ""),
    "lab": ("The hay test looks odd: ask the laboratory.", ""),
    "lot_notes": ("Few cores, or mixed hay: core the lot again.", ""),
    "seen": ("Seen in this hay: {lab_seen}. Ask your vet.", "DANGER, seen in this hay: {lab_seen}. Do not feed it. Call your vet."),
    "seen_too": ("Also seen: {lab_seen_too}. Ask your vet.", "DANGER, also seen: {lab_seen_too}. Do not feed it. Call your vet."),
    "repeat": ("Two tests of this hay disagree: ask the laboratory.", ""),
}  # fmt: skip
NITRATE = (
    "Nitrate: do not feed this hay alone. Ask your vet how much.",
    "DANGER, nitrate: do not feed it. Call your vet.",
)
NOTHING = "The hay: nothing was found in what was tested."
END = " The veterinarian "  # how the sentence begins that names who decides; the page's heading says it once
MOST = 640  # letters that find room on the page
TOO_MANY = "More cautions than find room here: read Ration cautions first."
AFTER = "No warning does not mean safe. If in doubt, call before you feed."
NITRATE_MARK = "nitrate"
# the columns of words, so that each formula stays short: head, hazards; the dangers are in the first three
PARTS = (
    ("Cautions of the hay", (NITRATE_MARK, "prussic", "stack")), ("More cautions of the hay", ("cap", "sulfur", "ergot")),
    ("Still more cautions", ("tetany", "baling", "seen", "seen_too")), ("What to look at", ("heat", "lab", "lot_notes", "repeat")),
)  # fmt: skip


def columns() -> tuple[Column, Column, Column, Column]:
    def part(head: str, marks: tuple[str, ...]) -> Column:
        def make(row: Chosen) -> Content:
            said = "&".join(_nitrate(row.nitrate) if m == NITRATE_MARK else _said(row, m) for m in marks)
            return Formula(f'=IF(ISNUMBER({row.lot}),TRIM({said}),"")')

        return computed(head, "text", make, style="small", width=40)

    first, second, third, last = (part(*one) for one in PARTS)
    return first, second, third, last


def of_hay(said: str) -> str:
    return f'IF({said}="","{NOTHING}","The hay: "&{said})'


def without_end(text: str) -> str:
    """A caution without who decides, which stands over all of them."""
    return f'IF(ISNUMBER(FIND("{END}",{text})),LEFT({text},FIND("{END}",{text})-1),{text})'


def _said(row: Chosen, mark: str) -> str:
    word = pick(getattr(row.hazards, mark), row.lot)
    seen = pick(getattr(row.lots, f"lab_{mark}"), row.lot) if mark.startswith("seen") else ""
    caution, danger = (text.replace(f"{{lab_{mark}}}", f'"&{seen}&"') for text in SAID[mark])
    at_danger = f'IF({word}="{WORDS[3]}","{danger} ",' if danger else "("
    return f'{at_danger}IF(OR({word}="{WORDS[2]}",{word}="{LOOK}"),"{caution} ",""))'


def _nitrate(words: str) -> str:
    caution, danger = NITRATE
    return f'IF(ISNUMBER(SEARCH("{WORDS[3]}",{words})),"{danger} ",IF(ISNUMBER(SEARCH("{WORDS[2]}",{words})),"{caution} ",""))'
