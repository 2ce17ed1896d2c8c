"""What a heading in plain words says: which field, in which unit, on which basis.

The words may stand in any order and any case, with any punctuation.  A heading is only
taken when all of its words are accounted for: `Soluble protein` is not protein, and
`Nitrate` alone is not taken because it can mean NO3 or NO3-N, 4.4-fold apart.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from hayfuncs.importers.model import AS_FED, DRY, Column

# units as headings write them -> the unit's plain name; longer wordings first
UNIT_WORDS: tuple[tuple[str, str], ...] = (
    (r"%\s*(of\s*)?a?ndf(om)?\b|\bpercent of a?ndf\b", "% of NDF"),
    (r"%\s*(of\s*)?(cp|crude protein|protein)\b", "% of CP"),
    (r"\bg\s*(/|per )\s*100\s*g\b", "%"),
    (r"\bmcal\s*(/|per )\s*(cwt|100\s*lbs?)\b", "Mcal/cwt"),
    (r"\bmcal\s*(/|per )\s*(lbs?|pound)\b", "Mcal/lb"),
    (r"\bmcal\s*(/|per )\s*kg\b", "Mcal/kg"),
    (r"\bmj\s*(/|per )\s*kg\b", "MJ/kg"),
    (r"\b(\u03bcg|ug|mcg)\s*(/|per )\s*kg\b|\bng\s*/\s*g\b|\bppb\b|\bparts per billion\b", "ppb"),
    (r"\bmg\s*(/|per |\s)\s*kg(\s*-1|\^-1)?\b|\bppm\b|\bparts per million\b", "ppm"),
    (r"\bg\s*(/|per |\s)\s*kg(\s*-1|\^-1)?\b|\bmg\s*/\s*g\b", "g/kg"),
    (r"\bkg\s*/\s*kg\b|\bg\s*/\s*g\b|\bfraction\b", "kg/kg"),
    (r"\blbs?\s*(/|per |a )\s*(day|d)\b|\bpounds (a|per) day\b", "lb/day"),
    (r"\bkg\s*(/|per |a )\s*(day|d)\b", "kg/day"),
    (r"(\$|\busd\b|\bdollars?\b)\s*(/|per |a )\s*(short )?ton\b|\bper ton\b", "$/ton as fed"),
    (r"(\$|\busd\b|\bdollars?\b)", "$"),
    (r"\blbs?\b|\bpounds?\b", "lb"),
    (r"\bkgs?\b|\bkilograms?\b", "kg"),
    (r"\btonnes?\b|\bmetric tons?\b", "tonnes"),
    (r"%|\bpct\b|\bpercent\b", "%"),
)  # fmt: skip
DRY_WORDS = re.compile(
    r"\b(100\s*%?\s*)?((on |of )?(a |the )?(dry[\s_-]*(matter|weight|wt)?|d\.?m\.?b?|ts|moisture[\s_-]*free)([\s_-]*basis)?)\b(?!\s*-?\s*(hay|cow|bale))"
)
ALL_OF_IT = re.compile(r"\b100\s*%")  # `Zinc ppm, 100% DM`: a basis, no second unit
AS_FED_WORDS = re.compile(
    r"\b(as[\s_-]*(fed|is|received|sampled)|asis|asfed|(fresh|wet)[\s_-]*(matter|weight|basis)|ar|af|fm)([\s_-]*basis)?\b"
)
NOISE = frozenset(["predicted", "pred", "nir", "nirs", "result", "results", "value", "average", "avg", "mean", "of", "the", "in",
                   "on", "as", "content", "concentration", "total"])  # fmt: skip
FROM_ADF, BY_SUM = "from ADF", "sum of digestible parts"  # how a lab worked its TDN out, where its heading says so
RESIDUE = "residue"  # NDF left over after digestion, the other side of its digestibility
# what a lab may report in place of a field; `form` names the conversion
FORMS: tuple[tuple[str, str, str], ...] = (
    ("dm_pct", "moisture", "moisture | water | moisture water"),
    ("cp_pct", "nitrogen", "nitrogen | nitrogen n | n | kjeldahl nitrogen | dumas nitrogen"),
    ("adicp_pct", "nitrogen", "adin | acid detergent insoluble nitrogen | adf n | adf nitrogen"),
    ("ndicp_pct", "nitrogen", "ndin | neutral detergent insoluble nitrogen"),
    ("nitrate_n_ppm", "NO3", "no3 | nitrate no3 | nitrates no3 | nitrate ion | nitrate nitrate no3"),
    (
        "nitrate_n_ppm",
        "KNO3",
        "kno3 | potassium nitrate | potassium nitrate kno3 | nitrate kno3 | nitrates kno3 | "
        "nitrate potassium nitrate | nitrate kno3 equivalent | nitrates kno3 equivalent | kno3 equivalent | "
        "potassium nitrate equivalent",
    ),
    ("lab_tdn_pct", FROM_ADF, "tdn adf | tdn from adf | tdn by adf"),
    ("lab_tdn_pct", BY_SUM, "tdn summative | tdn sum | tdn 1x | tdn 1 x"),
    (
        "ndfd48_pct",
        RESIDUE,
        "48 ndfr | 48 h ndfr | 48 dndfr | 48 h dndfr | 48 undf | 48 h undf | 48 hr undf | 48 hours undf | ndf residue 48 | "
        "ndf residue 48 h | ndf residue after 48 hours | undigested ndf 48 | undigested ndf 48 h | undigested ndf after 48 hours",
    ),
)
LEAST_JOINED = 8  # letters of a wording that is known without its spaces too; shorter ones could be another word
FORM_NEEDS_UNIT = frozenset(["n", "no3"])  # `N` may head a count, `No. 3` a number
# what can kill: a column that speaks of it is never passed over.  Pattern, what it is, how --column settles it
POISONS: tuple[tuple[re.Pattern[str], str, str], ...] = (
    (re.compile(r"nitrat|nitrit|(?<![a-z])k?no\s?3(?!\d)"), "nitrate",
     "nitrate_n_ppm (nitrate nitrogen, NO3-N), nitrate_ppm (NO3) or nitrate_as_kno3_ppm (KNO3): they differ up to 7-fold"),
    (re.compile(r"prussic|\bhcn\b|cyan(id|ogen)|hydrocyan"), "prussic acid", "hcn_ppm (prussic acid, HCN)"),
    (re.compile(r"\bergo[tv]"), "ergot or ergovaline", "ergovaline_ppb (ergovaline alone, of the hay)"),
)  # fmt: skip
ASK = {
    "nitrate": "nitrate-N (NO3-N) or nitrate (NO3)? they differ 4.4-fold",
    "nitrates": "nitrate-N (NO3-N) or nitrate (NO3)? they differ 4.4-fold",
    "ndfd": "NDF digested after how many hours?",
    "48 dndf": "% of NDF, or % of dry matter?",
    "48 dndf h": "% of NDF, or % of dry matter?",
    "fiber": "crude fiber, ADF or NDF?",
    "fibre": "crude fiber, ADF or NDF?",
}


@dataclass(frozen=True)
class Heading:
    """One heading read: `field` is empty when its words are not certain, `doubt` then says why."""

    text: str
    field: str = ""
    form: str = ""  # "" or what stands in place of the field: moisture, nitrogen, NO3, KNO3
    unit: str = ""
    basis: str = ""
    doubt: str = ""


def words_of(text: str) -> tuple[str, ...]:
    """The words that count, sorted, so that their order does not matter."""
    every = _words(text)
    left = [w for w in every if w not in NOISE]
    return tuple(sorted(every if left == ["fed"] else left))  # "fed in" is a feeder, "as fed" a basis


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]+|\d+", text)


@cache
def _known(columns: tuple[Column, ...]) -> dict[tuple[str, ...], tuple[str, str, str]]:
    fields = {c.field for c in columns}
    every = [(c.field, "", phrase) for c in columns for phrase in c.accepted]
    every += [(field, form, p.strip()) for field, form, phrases in FORMS if field in fields for p in phrases.split("|")]
    table = {words_of(phrase): (field, form, phrase) for field, form, phrase in every}
    for field, form, phrase in every:  # `crudeprotein`, `drymatter`: written in one word
        joined = "".join(_words(phrase))
        if len(joined) >= LEAST_JOINED and joined.isalpha():
            table.setdefault((joined,), (field, form, phrase))
    return table


def _plain(text: str) -> str:
    apart = re.sub(r"(?<=[a-z])(?=[A-Z][a-z])", " ", unicodedata.normalize("NFKC", text))
    apart = re.sub(r"(?i)\bn\s*[x×*]\s*6[.,]25\b", " ", apart)  # how the lab made protein of nitrogen
    folded = re.sub(r"\bd\. ?m\b\.?", "dm", apart.casefold()).replace("\u2212", "-").replace("_", " ")
    return re.sub(r"(?<=[a-z0-9)%])\.(?=[a-z(%])", " ", folded)


def _readings(text: str) -> Iterator[tuple[str, str, bool]]:
    """The heading with its unit taken out: the rest, the unit, whether units contradict.  The fullest reading first."""
    if not {"ppm", "ppb", "g/kg"}.isdisjoint(u for pattern, u in UNIT_WORDS if re.search(pattern, text)):
        text = ALL_OF_IT.sub(" ", text)
    for units in (UNIT_WORDS, UNIT_WORDS[2:]):  # `% NDF` is a unit behind a name, a name when it stands alone
        rest, found = text, ""
        clash = False
        for pattern, unit in units:
            shorter = re.sub(pattern, " ", rest)
            if shorter != rest:
                rest = shorter
                clash = clash or (bool(found) and not {found, unit} <= {"%", "% of NDF", "% of CP"})
                found = found or unit
        yield rest, found, clash


def _meaning(part: str, known: dict[tuple[str, ...], tuple[str, str, str]]) -> tuple[str, str, str] | None:
    """The field of a wording, or of a name given twice: `Acid detergent fiber (ADF)`."""
    whole = known.get(words_of(part))
    if whole is not None:
        return whole
    pieces = [words for words in map(words_of, re.split(r"[()\[\],;:]| - ", part)) if words]
    found = [known.get(words) for words in pieces]
    first = found[0] if len(found) > 1 else None
    return first if first is not None and all(f is not None and f[:2] == first[:2] for f in found) else None


@lru_cache(maxsize=20_000)
def read_heading(text: str, columns: tuple[Column, ...]) -> Heading:
    """The meaning of a heading, as far as it is certain."""
    plain = _plain(text)
    known = _known(columns)
    doubt, seen = "", ("", "")
    for rest, unit, clash in _readings(plain):
        without = AS_FED_WORDS.sub(" ", rest)
        as_fed = without != rest
        bare = DRY_WORDS.sub(" ", without)
        dry = bare != without
        # "Dry matter" alone names the field; behind a name it is the basis
        parts = [(bare, _basis(dry, as_fed)), (without, _basis(False, as_fed)), (rest, "")]
        if as_fed and not words_of(without):
            parts.pop()  # "as fed" alone is a basis, never the column of what the hay is fed in
        for part, basis in parts:
            hit = _meaning(part, known)
            if hit is None:
                continue
            field, form, phrase = hit
            if clash or basis == "both":
                return Heading(text, doubt="two units or two bases in one heading")
            if phrase in FORM_NEEDS_UNIT and not unit:
                continue
            column = next(c for c in columns if c.field == field)
            if stands_on_basis(column, form):
                return Heading(text, field, form, unit, basis)
            if basis == DRY:
                doubt = doubt or "a basis that does not go with it"
                continue
            return Heading(text, field, form, unit)
        seen = seen if seen != ("", "") else (unit, _basis(dry, as_fed))
        asked = ASK.get(" ".join(words_of(bare)))
        doubt = doubt or asked or ""
    unit, basis = seen  # kept for the user who says what the heading means
    return Heading(text, "", "", unit, "" if basis == "both" else basis, doubt)


def stands_on_basis(column: Column, form: str) -> bool:
    """Whether the column's numbers are dry or as fed; digestibility is not, the residue it is made of is."""
    return column.on_basis or form == RESIDUE


def _basis(dry: bool, as_fed: bool) -> str:
    return "both" if dry and as_fed else DRY if dry else AS_FED if as_fed else ""


def poison_of(text: str) -> tuple[str, str] | None:
    """The poison that a heading speaks of, and the names that --column takes for it."""
    plain = _plain(text)
    return next(((what, names) for pattern, what, names in POISONS if pattern.search(plain)), None)


def unit_and_basis(text: str) -> tuple[str, str] | None:
    """A cell that holds nothing but a unit, a basis or both (the line under the headings), else None."""
    plain = _plain(text)
    rest, unit, clash = next(iter(_readings(plain)))
    without = AS_FED_WORDS.sub(" ", rest)
    bare = DRY_WORDS.sub(" ", without)
    if clash or re.search(r"\w", bare.replace("of", " ").replace("basis", " ")):
        return None
    basis = _basis(bare != without, without != rest)
    return (unit, basis) if (unit or basis) and basis != "both" else None


def basis_word(text: str) -> str | None:
    """`dry` or `as fed` for any of the usual wordings, else None."""
    plain = _plain(text)
    as_fed, dry = bool(AS_FED_WORDS.fullmatch(plain.strip())), bool(DRY_WORDS.fullmatch(plain.strip()))
    return AS_FED if as_fed else DRY if dry else None


def nearest(text: str, columns: tuple[Column, ...]) -> str:
    """The heading of ours that a mistyped one comes close to, or nothing."""
    rest, _, _ = next(iter(_readings(_plain(text))))
    wanted = " ".join(words_of(DRY_WORDS.sub(" ", AS_FED_WORDS.sub(" ", rest)))) or " ".join(words_of(rest))
    names = {
        " ".join(words): field
        for words, (field, form, _) in _known(columns).items()
        if not form and len(" ".join(words)) > 3
    }
    near = difflib.get_close_matches(wanted, names, n=1, cutoff=0.8)
    return next((c.heading for c in columns if near and c.field == names[near[0]]), "")
