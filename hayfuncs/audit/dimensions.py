"""Units through arithmetic: what a formula's result is in, from what its parts are in.

A unit is a product of bases with the basis of the weight among them (dry matter, as fed), so that
pounds of dry matter plus pounds as fed is a mismatch; percent is a base too, so that it is not a
fraction.  What is not known stays unknown and is never reported.
"""

from __future__ import annotations

from dataclasses import dataclass

from hayfuncs.spreadsheet.parser import (
    Area,
    Binary,
    ErrorLiteral,
    FunctionCall,
    NameRef,
    Number,
    Text,
    Tree,
    Unary,
    plain_name,
)

Unit = tuple[tuple[str, int], ...]


def unit(**bases: int) -> Unit:
    return tuple(sorted((base, power) for base, power in bases.items() if power))


NONE = unit()
BASES: dict[str, Unit] = {
    "% DM": unit(pct=1, DM=-1), "% of diet DM": unit(pct=1, DM=-1), "%": unit(pct=1),
    "lb": unit(lb=1), "lb DM": unit(lb=1, DM=1), "lb as fed": unit(lb=1, AF=1),
    "lb/day": unit(lb=1, day=-1), "lb DM/day": unit(lb=1, DM=1, day=-1), "lb as fed/day": unit(lb=1, AF=1, day=-1),
    "lb DM/lb DM": NONE, "kg": unit(kg=1), "kg/day": unit(kg=1, day=-1), "g/day": unit(g=1, day=-1),
    "Mcal": unit(Mcal=1), "Mcal/kg": unit(Mcal=1, kg=-1), "Mcal/day": unit(Mcal=1, day=-1), "Mcal/lb DM": unit(Mcal=1, lb=-1, DM=-1), "Mcal/kg DM": unit(Mcal=1, kg=-1, DM=-1),
    "$": unit(dollar=1), "$/day": unit(dollar=1, day=-1), "$/lb": unit(dollar=1, lb=-1),
    "$/ton as fed": unit(dollar=1, ton=-1, AF=-1), "$/ton DM": unit(dollar=1, ton=-1, DM=-1), "lb/ton": unit(lb=1, ton=-1), "g/lb": unit(g=1, lb=-1),
    "$/lb as fed": unit(dollar=1, lb=-1, AF=-1), "$/lb DM": unit(dollar=1, lb=-1, DM=-1),
    "tons": unit(ton=1, AF=1), "tons as fed": unit(ton=1, AF=1), "days": unit(day=1),
    "1": NONE, "head": NONE, "index": NONE, "ratio": NONE, "bales": NONE, "cores": NONE, "yes/no": NONE,
    "in": unit(inch=1), "ft": unit(ft=1), "deg F": unit(degF=1), "gal/day": unit(gal=1, day=-1),
}  # fmt: skip
HUNDRED = 100.0
SAME = {"MAX", "MIN", "SUM", "ABS", "IF", "ROUND", "ROUNDUP", "ROUNDDOWN", "AVERAGE", "MEDIAN", "INT", "N"}
COUNTS = {"COUNT", "COUNTA", "COUNTIF", "COUNTBLANK", "ROWS", "COLUMNS", "MATCH"}
EQUAL = {"% of diet DM": "% DM", "tons as fed": "tons", "% (100 when dry)": "% as fed"}


@dataclass(frozen=True)
class Clash:
    """Two parts that do not go together, in words."""

    what: str
    parts: tuple[Tree, Tree | None]


class Known:
    """Where the checker learns units: of a reference, of a name, of a function's result."""

    def of_area(self, tree: Area) -> str:
        raise NotImplementedError

    def of_name(self, tree: NameRef) -> str:
        raise NotImplementedError

    def of_call(self, tree: FunctionCall) -> str:
        raise NotImplementedError

    def is_dry_matter(self, tree: Tree) -> bool:
        """Whether a value in percent as fed is the dry matter itself."""
        raise NotImplementedError


SAID = {
    "pct": ("percent", "percent"), "dollar": ("dollars", "dollar"), "lb": ("pounds", "pound"), "kg": ("kilograms", "kilogram"),
    "g": ("grams", "gram"), "day": ("days", "day"), "ton": ("tons", "ton"), "Mcal": ("Mcal", "Mcal"), "inch": ("inches", "inch"),
    "ft": ("feet", "foot"), "degF": ("degrees F", "degree F"), "gal": ("gallons", "gallon"),
}  # fmt: skip
RAISED = {1: "", 2: " squared", 3: " cubed"}


def words(base: Unit) -> str:
    """A unit as it is said aloud: pounds of dry matter a day."""
    powers = dict(base)
    dry, fed = powers.pop("DM", 0), powers.pop("AF", 0)
    above = [SAID[b][0] + RAISED.get(p, f" to the power {p}") for b, p in sorted(powers.items(), reverse=True) if p > 0]
    below = [SAID[b][1] + RAISED.get(-p, f" to the power {-p}") for b, p in sorted(powers.items()) if p < 0]
    said = " times ".join(above) or ("a number" if below or dry or fed else "a pure number")
    basis = " of dry matter" if dry else " as fed" if fed else ""
    over = " ".join(f"{'an' if part[0] in 'aeio' else 'a'} {part}" for part in below)
    if dry + fed < 0 and below:  # dollars a ton of dry matter
        return f"{said} {over}{basis}"
    return f"{said}{basis} {over}".rstrip()


def times(left: Unit, right: Unit, sign: int = 1) -> Unit:
    powers = dict(left)
    for base, power in right:
        powers[base] = powers.get(base, 0) + sign * power
    return unit(**powers)


def measure(tree: Tree, known: Known, clashes: list[Clash]) -> Unit | None:
    """The tree's unit, or None where it cannot be known; clashes are added to the list."""
    if isinstance(tree, (Area, NameRef)):
        name = known.of_area(tree) if isinstance(tree, Area) else known.of_name(tree)
        if name == "% as fed":
            return unit(pct=1, AF=-1, DM=1) if known.is_dry_matter(tree) else unit(pct=1, AF=-1)
        return BASES.get(name)
    if isinstance(tree, Unary):
        inner = measure(tree.inner, known, clashes)
        return inner if tree.op != "%" else None
    if isinstance(tree, Binary):
        return _binary(tree, known, clashes)
    if isinstance(tree, FunctionCall):
        name = plain_name(tree.name)
        if name == "INDEX" and tree.args:
            for place in tree.args[1:]:
                measure(place, known, clashes)
            return measure(tree.args[0], known, clashes)
        inner_units = [measure(arg, known, clashes) for arg in tree.args]
        if name in SAME:
            first = 1 if name == "IF" else 0
            last = 1 if name.startswith("ROUND") else len(tree.args)
            return _joined(list(zip(inner_units, tree.args, strict=True))[first:last], clashes, f"in {name}")
        if name in COUNTS:
            return NONE
        return BASES.get(known.of_call(tree))
    return None


def _binary(tree: Binary, known: Known, clashes: list[Clash]) -> Unit | None:
    if isinstance(tree.right, ErrorLiteral):
        return None  # a sum that ends in an error only hands an error on; its units are of no account
    left, right = measure(tree.left, known, clashes), measure(tree.right, known, clashes)
    if tree.op in ("*", "/"):
        sign = 1 if tree.op == "*" else -1
        left, right = _factor(tree.left, left), _factor(tree.right, right)
        return None if left is None or right is None else times(left, right, sign)
    if tree.op in ("+", "-", "=", "<>", "<", ">", "<=", ">="):
        sides: list[tuple[Unit | None, Tree]] = [(left, tree.left), (right, tree.right)]
        both = _joined(sides, clashes, {"+": "added", "-": "subtracted"}.get(tree.op, "compared"))
        return both if tree.op in ("+", "-") else NONE
    return None


def _factor(tree: Tree, found: Unit | None) -> Unit | None:
    """A literal in a product: 100 turns percent into parts and back, other plain numbers only scale."""
    if isinstance(tree, Number):
        return unit(pct=1) if tree.value == HUNDRED else NONE if tree.value in (0.0, 1.0, 2.0) else None
    return found


def _joined(parts: list[tuple[Unit | None, Tree]], clashes: list[Clash], how: str) -> Unit | None:
    found: Unit | None = None
    first: Tree | None = None
    unknown = False
    for part, tree in parts:
        if isinstance(tree, Number) or (isinstance(tree, Text) and not tree.value):
            continue  # a bare number takes the unit of its neighbor; a blank shows none
        if part is None:
            unknown = True
        elif found is None:
            found, first = part, tree
        elif not _together(found, part, how == "compared"):
            clashes.append(Clash(f"{words(found)} and {words(part)} are {how}", (first or tree, tree)))
            return None
        elif part != found:
            unknown = True
    return None if unknown else found


def _together(left: Unit, right: Unit, compared: bool) -> bool:
    """Whether two units may stand together in a sum or a comparison.

    A weight that states no basis goes with one as fed; in a comparison it goes with dry matter
    too, and percent may sit in the number it is compared with.
    """
    loose = {"AF"} | ({"DM", "pct"} if compared else set())
    a, b = dict(left), dict(right)
    bases = [side & {"DM", "AF"} for side in (set(a), set(b))]
    if {"DM"} in bases and {"AF"} in bases:
        return False
    return all(a.get(base, 0) == b.get(base, 0) for base in (a.keys() | b.keys()) - loose)


def agree(wanted: str, given: str) -> bool:
    """Whether a value in one unit may stand where the record asks for the other."""
    if not given or wanted in ANY or given in ANY:
        return True
    wanted, given = EQUAL.get(wanted, wanted), EQUAL.get(given, given)
    return wanted == given or (wanted in ALIKE and given in ALIKE)


ANY = {
    "any", "any weight", "per day", "as the column says", "word", "words", "name", "text", "block", "unit at right",
    "% on the basis given", "relation", "verdict", "class", "evidence", "unit",
}  # fmt: skip
ALIKE = {"1", "index", "ratio", "yes/no", "head", "bales", "cores", "row of Lots", "row of Herd", "row of Feeds"}
