"""A workbook that is not ours, judged by the trade: bounds, relations, equations and their constants, bases."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs.audit.context import AuditContext, copies
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import Pattern
from hayfuncs.audit.stranger import equations as known
from hayfuncs.audit.stranger.meanings import records
from hayfuncs.audit.stranger.quantities import Meaning
from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.formulas.figures import figure
from hayfuncs.importers.model import AS_FED, DRY
from hayfuncs.spreadsheet.a1 import Node, node, place
from hayfuncs.spreadsheet.parser import Area, NameRef, Number

ARGUMENTS = {
    "adf_pct": "adf_pct",
    "ndf_pct": "ndf_pct",
    "tdn_pct": "tdn_pct",
    "dm_pct": "dm_pct",
    "cp_pct": "cp_pct",
    "body_weight": "body_weight_lb",
}
SAID = {
    "adf_pct": "ADF",
    "ndf_pct": "NDF",
    "tdn_pct": "TDN",
    "dm_pct": "dry matter",
    "cp_pct": "crude protein",
    "body_weight_lb": "body weight",
}
HAY_NDF = 35.0  # NDF from which on a feed is a forage
OTHER_TONS = (2204.0, 2204.6, 2204.62, 2204.623, 2205.0, 2240.0, 2200.0)
TON_WORDS = ("ton", "short ton")
WHOLE, SLACK = 100.0, 0.6
SHARE_TOLD = 0.03  # how far a dry value may be from the as-fed one over the dry matter
AMOUNTS = ("intake", "protein_amount", "energy_amount")
ANALYTES = ("dm_pct", "cp_pct", "ndf_pct")
PERCENTS = ("cp_pct", "tdn_pct", "adf_pct", "ndf_pct")


def implausible(case: AuditContext) -> Iterator[Finding]:
    """Numbers outside what their heading can be; a column of formulas as one."""
    hays = _hays(case)
    told: set[int] = set()
    for at, meaning in case.meanings.of.items():
        raw = case.book.values.get(at)
        bounds = meaning.bounds()
        if bounds is None or not isinstance(raw, float):
            continue
        pattern = case.formulas.of.get(at)
        low, high, hay = bounds
        value = case.meanings.value(at, raw)
        top = hay if hay is not None and at in hays else high
        if low <= value <= top or (value == 0 and (pattern is not None or meaning.quantity not in ANALYTES)):
            continue
        if pattern is not None:
            if id(pattern) in told or (meaning.quantity in AMOUNTS and value < low):
                continue  # a shortage may be as small as it likes
            told.add(id(pattern))
        card = meaning.card
        hint = f"; {card.hint}" if card is not None and card.hint and value < low else ""
        of = f", and {len(pattern.cells) - 1:,} copies" if pattern is not None and len(pattern.cells) > 1 else ""
        words = f"{_name(case, at)}{of}: {figure(value)} {meaning.unit}; such a number lies between {figure(low)} and {figure(top)}{hint}"
        yield Finding("implausible", case.address(at), words, at)


def _name(case: AuditContext, at: Node) -> str:
    return (case.meanings.labels.get(at) or case.labels.label(at))[:90]


def _hays(case: AuditContext) -> set[Node]:
    """Cells of lots whose fiber says that they are hay."""
    found: set[Node] = set()
    for record in records(case.book, case.meanings):
        ndf = next((at for name, at in record.items() if name.startswith("ndf_pct")), None)
        value = case.book.values.get(ndf) if ndf is not None else None
        if ndf is not None and isinstance(value, float) and case.meanings.value(ndf, value) > HAY_NDF:
            found.update(record.values())
    return found


def relations(case: AuditContext) -> Iterator[Finding]:
    """What must hold within one lot."""
    for record in records(case.book, case.meanings):
        found = {name: (at, _value(case, at)) for name, at in record.items()}
        yield from _fibers(case, found)
        yield from _moisture(case, found)
        yield from _both_bases(case, found)


def _value(case: AuditContext, at: Node) -> float:
    value = case.book.values.get(at)
    return case.meanings.value(at, value) if isinstance(value, float) else float("nan")


Found = dict[str, tuple[Node, float]]


def _fibers(case: AuditContext, found: Found) -> Iterator[Finding]:
    for basis in ("", f" {DRY}", f" {AS_FED}"):
        adf, ndf = found.get(f"adf_pct{basis}"), found.get(f"ndf_pct{basis}")
        if adf is not None and ndf is not None and adf[1] > ndf[1] > 0:
            words = f"ADF {figure(adf[1])} is above NDF {figure(ndf[1])} ({case.address(ndf[0])}); ADF is a part of NDF, so the two are swapped or one is a slip"
            yield Finding("implausible", case.address(adf[0]), words, adf[0])


def _moisture(case: AuditContext, found: Found) -> Iterator[Finding]:
    dry = next((v for name, v in found.items() if name.startswith("dm_pct")), None)
    wet = next((v for name, v in found.items() if name.startswith("moisture_pct")), None)
    if dry is not None and wet is not None and dry[1] > 0 and wet[1] > 0 and abs(dry[1] + wet[1] - WHOLE) > SLACK:
        words = (
            f"dry matter {figure(dry[1])} and moisture {figure(wet[1])} ({case.address(wet[0])}) do not add up to 100"
        )
        yield Finding("implausible", case.address(dry[0]), words, dry[0])


def _both_bases(case: AuditContext, found: Found) -> Iterator[Finding]:
    dry = next((v for name, v in found.items() if name.startswith("dm_pct")), None)
    for quantity in PERCENTS:
        fed, on_dry = found.get(f"{quantity} {AS_FED}"), found.get(f"{quantity} {DRY}")
        if dry is None or fed is None or on_dry is None or not (dry[1] > 0 and fed[1] > 0):
            continue
        wanted = fed[1] / dry[1] * WHOLE
        if abs(on_dry[1] - wanted) > SHARE_TOLD * wanted:
            words = (
                f"{_name(case, on_dry[0])}: {figure(on_dry[1])}, but {figure(fed[1])} as fed ({case.address(fed[0])}) "
                f"at {figure(dry[1])} % dry matter is {figure(wanted)} dry"
            )
            yield Finding("basis", case.address(on_dry[0]), words, on_dry[0])


def equations(case: AuditContext) -> Iterator[Finding]:
    """What each formula is, where it is one of the library's equations; constants that are not the printed ones."""
    for pattern in _plain(case):
        assert pattern.tree is not None
        at = pattern.cells[0]
        means = {
            leaf: ARGUMENTS[m.quantity]
            for leaf, m in _leaves(case, pattern).items()
            if m.quantity in ARGUMENTS and not m.unit.startswith("kg")
        }
        found = known.match(pattern.tree, means)
        if found is not None:
            record = found.known.record
            form = f" ({found.known.form})" if found.known.form else ""
            is_it = f"{record.summary.rstrip('.')}{form}: {found.source}"
            if found.instead:
                leaf, wanted = found.instead[0]
                words = f"{_name(case, at)}{copies(len(pattern.cells))}: ={pattern.formula[:80]} is {is_it}; it takes {SAID[wanted]} and is given {SAID[means[leaf]]}"
                yield Finding(
                    "printed-constant", case.address(at), words, at, suggestion="let it read what the equation takes"
                )
            elif found.wrong:
                text, printed = found.wrong[0]
                words = f"{_name(case, at)}{copies(len(pattern.cells))}: {text} where the printed line has {figure(printed)}; ={pattern.formula[:80]} is otherwise {is_it}"
                yield Finding("printed-constant", case.address(at), words, at)
            else:
                yield Finding(
                    "equation", case.address(at), f"={pattern.formula[:80]}{copies(len(pattern.cells))} is {is_it}", at
                )
            if found.wrong or found.instead:
                continue
        yield from _tons(case, pattern, at)


def _tons(case: AuditContext, pattern: Pattern, at: Node) -> Iterator[Finding]:
    said = " ".join([_name(case, at), *(_name(case, cell) for cell in _cells(case, pattern).values())]).casefold()
    if (
        not any(word in said.replace("/", " ").split() or f"{word}s" in said for word in TON_WORDS)
        or "tonne" in said
        or "metric" in said
    ):
        return
    for number in pattern.numbers:
        if number.value in OTHER_TONS and "kg" not in said:
            words = f"{_name(case, at)}{copies(len(pattern.cells))}: {number.text} where a ton has {figure(LB_PER_TON)} lb, in ={pattern.formula[:100]}"
            yield Finding("printed-constant", case.address(at), words, at)


def bases(case: AuditContext) -> Iterator[Finding]:
    """As fed and dry taken for one another in a formula."""
    for pattern in _plain(case):
        at = pattern.cells[0]
        leaves = _leaves(case, pattern)
        result = case.meanings.of.get(at)
        words = _wrong_way(pattern, leaves, result) or _mixed(leaves)
        if words:
            yield Finding(
                "basis",
                case.address(at),
                f"{_name(case, at)}{copies(len(pattern.cells))}: {words}, in ={pattern.formula[:100]}",
                at,
            )


def _wrong_way(pattern: Pattern, leaves: dict[known.Leaf, Meaning], result: Meaning | None) -> str:
    """Divided by the dry matter where it must be multiplied, or the other way round."""
    dry = [leaf for leaf, m in leaves.items() if m.quantity == "dm_pct"]
    others = [m for m in leaves.values() if m.quantity in (*PERCENTS, "intake")]
    if result is None or len(dry) != 1 or len(others) != 1 or not result.basis or pattern.tree is None:
        return ""
    if others[0].quantity != result.quantity or others[0].basis == result.basis:
        return ""
    power = _power(pattern, dry[0])
    weight = result.quantity == "intake"
    wanted = (1 if result.basis == DRY else -1) * (1 if weight else -1)
    if power is None or power == wanted:
        return ""
    return f"a value as fed is brought on dry basis by {'multiplying with' if wanted > 0 else 'dividing by'} the dry matter, and back the other way; here it is the wrong way round"


def _power(pattern: Pattern, leaf: known.Leaf) -> int | None:
    """1 where the formula grows as the leaf does, -1 where it falls as one over it."""
    assert pattern.tree is not None
    leaves = {one for part in pattern.parts if (one := known.leaf_of(part)) is not None}
    try:
        once, twice = (known.work(pattern.tree, dict.fromkeys(leaves, 10.0) | {leaf: value}) for value in (40.0, 80.0))
    except known.Cannot:
        return None
    ratio = twice / once if once else 0.0
    return 1 if abs(ratio - 2) < SHARE_TOLD else -1 if abs(ratio - 1 / 2) < SHARE_TOLD else None


def _mixed(leaves: dict[known.Leaf, Meaning]) -> str:
    """Pounds of dry matter times a percent as fed, without the dry matter between them."""
    if any(m.quantity in ("dm_pct", "moisture_pct") for m in leaves.values()):
        return ""
    weights = [m for m in leaves.values() if m.quantity == "intake" and m.basis]
    shares = [m for m in leaves.values() if m.quantity in PERCENTS and m.basis]
    for weight in weights:
        for share in shares:
            if weight.basis != share.basis:
                return f"pounds {'of dry matter' if weight.basis == DRY else 'as fed'} are taken times a percent {'of dry matter' if share.basis == DRY else 'as fed'} ({share.words[:40]})"
    return ""


def _plain(case: AuditContext) -> Iterator[Pattern]:
    """Formulas of a sheet that speaks of the trade, that the workbook's own functions are not part of."""
    if not case.meanings.of:
        return
    for pattern in case.formulas.patterns.values():
        if (
            pattern.tree is not None
            and not pattern.hay
            and len(pattern.refs) + len(pattern.names) <= known.MOST_LEAVES + 2
        ):
            yield pattern


def _cells(case: AuditContext, pattern: Pattern) -> dict[known.Leaf, Node]:
    """The cells that the head's single references and names lead to."""
    found: dict[known.Leaf, Node] = {}
    assert pattern.tree is not None
    for part in pattern.parts:
        leaf = known.leaf_of(part)
        if leaf is None or isinstance(part, Number):
            continue
        ref = part.ref if isinstance(part, Area) else None
        if isinstance(part, NameRef):
            areas = case.formulas.name_areas.get(part.name.casefold(), ())
            ref = areas[0] if len(areas) == 1 and areas[0].single else None
        sheet = None if ref is None else case.formulas.sheet_number(ref, pattern.sheet)
        if ref is not None and sheet is not None:
            found[leaf] = node(sheet, ref.row, ref.col)
    return found


def _leaves(case: AuditContext, pattern: Pattern) -> dict[known.Leaf, Meaning]:
    cells = _cells(case, pattern)
    return {leaf: case.meanings.of[at] for leaf, at in cells.items() if at in case.meanings.of and place(at)[0] >= 0}
