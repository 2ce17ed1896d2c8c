"""The functions themselves: known to this version, and defined as the library defines them."""

from __future__ import annotations

from collections.abc import Iterator

from hayfuncs import __version__
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.finding import Finding
from hayfuncs.audit.graph import hay_name
from hayfuncs.audit.own import recognise
from hayfuncs.audit.rules import carried
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.formulas import lambdas
from hayfuncs.spreadsheet.a1 import Node
from hayfuncs.spreadsheet.tokens import Malformed, Piece, bare_truths, pieces

MARK = "table_place_"


def unknown(case: AuditContext) -> Iterator[Finding]:
    """Calls that look like ours and are not in this version."""
    for pattern in case.formulas.patterns.values():
        for name in pattern.hay:
            if name not in CATALOGUE:
                at = pattern.cells[0]
                yield Finding(
                    "unknown-function",
                    case.address(at),
                    f"{case.labels.label(at)} calls {name}; {case.area(pattern.cells)}",
                    at,
                )
    for defined in case.book.names:
        name = hay_name(defined.name)
        if name and name not in CATALOGUE and defined.name.isupper():
            yield Finding(
                "unknown-function",
                defined.name,
                f"the workbook defines {defined.name}, which this version does not have",
                level="low",
            )


def definitions(case: AuditContext) -> Iterator[Finding]:
    """Each LAMBDA name against what the record makes."""
    own = recognise(case.book)
    used: dict[str, Node] = {}
    for pattern in case.formulas.patterns.values():
        for name in pattern.hay:
            used.setdefault(name, pattern.cells[0])
    defined = {hay_name(n.name): n for n in case.book.names if hay_name(n.name) in CATALOGUE}
    for name, entry in defined.items():
        at = used.get(name)
        try:
            have = bare_truths(pieces(entry.text))
        except Malformed as error:
            yield Finding("definition", entry.name, f"its definition cannot be read: {error}", at)
            continue
        fault = difference(have, name)
        if fault and own is not None and own.version != __version__ and carried.defined(case, entry.name, entry.text):
            words = f"as hayfuncs {own.version} defined it, not as {__version__} does: {fault}"
            yield Finding("definition", entry.name, words, at, level="note")
        elif fault:
            yield Finding(
                "definition",
                entry.name,
                f"{fault}; {f'called from {case.address(at)}' if at else 'nothing calls it'}",
                at,
            )
    if defined:  # an edition that carries its functions must carry all that it calls
        for name, at in used.items():
            if name in CATALOGUE and name not in defined and lambdas.has_lambda(CATALOGUE[name]):
                yield Finding(
                    "definition",
                    f"HAY.{name}",
                    f"the workbook calls it from {case.address(at)} and does not define it",
                    at,
                )


def difference(have: list[Piece], name: str) -> str:
    """Where a stored definition leaves the record's; empty where it does not."""
    record = CATALOGUE[name]
    if not lambdas.has_lambda(record):
        return "the library gives this function no definition of this kind"
    want = bare_truths(pieces(lambdas.lambda_text(record, lambda table, column: f"{MARK}{table}.{column}")))
    for i, piece in enumerate(want):
        if i >= len(have):
            return f"it ends before {piece.text}"
        if piece.text.startswith(MARK):
            if have[i].kind != "ref":
                return f"it has {have[i].text} where the library reads a table"
        elif have[i].text.casefold() != piece.text.casefold() and not _one_number(have[i], piece):
            before = want[i - 1].text if i else ""
            return f"it has {have[i].text[:60]} where the library has {piece.text[:60]} (after {before[:40]})"
    return f"it goes on with {have[len(want)].text[:60]}" if len(have) > len(want) else ""


def _one_number(left: Piece, right: Piece) -> bool:
    """0.0100 and 0.01, which some programs make of it."""
    return left.kind == right.kind == "number" and float(left.text) == float(right.text)


def table_places(case: AuditContext) -> dict[tuple[str, str], str]:
    """Where the workbook's definitions read each column of a shipped table."""
    found: dict[tuple[str, str], str] = {}
    for entry in case.book.names:
        record = CATALOGUE.get(hay_name(entry.name))
        if record is None or not lambdas.has_lambda(record) or not lambdas.needs(record):
            continue
        try:
            have = bare_truths(pieces(entry.text))
        except Malformed:
            continue
        want = bare_truths(pieces(lambdas.lambda_text(record, lambda table, column: f"{MARK}{table}.{column}")))
        if len(want) != len(have):
            continue
        for a, b in zip(want, have, strict=True):
            if a.text.startswith(MARK) and b.kind == "ref":
                table, _, column = a.text.removeprefix(MARK).partition(".")
                found.setdefault((table, column), b.text)
    return found
