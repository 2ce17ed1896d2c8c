"""Two workbooks compared: formulas apart from inputs, and what each change did to the headline numbers.

Cells are matched by sheet and address.  A column of copies that changed alike is one change.  The
effect of a change is worked out by making that change alone in the old workbook.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from hayfuncs.audit import headline, seen
from hayfuncs.audit.context import spans
from hayfuncs.audit.difference import Difference
from hayfuncs.audit.graph import Formulas, feeding
from hayfuncs.audit.judge import moved
from hayfuncs.audit.labels import Labels
from hayfuncs.audit.recompute import Engine, EngineFailed, Recomputed, as_is, as_value, change, recompute, same
from hayfuncs.contract.files import UserError
from hayfuncs.formulas.figures import figure
from hayfuncs.spreadsheet import limits
from hayfuncs.spreadsheet.a1 import Node, node, place, quoted
from hayfuncs.spreadsheet.contents import Value, WorkbookData
from hayfuncs.spreadsheet.package import read_bytes
from hayfuncs.spreadsheet.reader import read

KINDS = ("formula", "definition", "name", "setting", "fixed", "look", "input", "text", "sheet")
SETTINGS = ("calcMode", "iterate", "fullPrecision", "date1904")
TOO_MANY = 400  # changes listed; more are counted


@dataclass
class Comparison:
    old: WorkbookData
    new: WorkbookData
    differences: list[Difference]
    headlines: list[tuple[str, str, Value, Value, str]]  # address, label, old value, new value, unit
    more: int = 0

    def of_kind(self, *kinds: str) -> list[Difference]:
        return [d for d in self.differences if d.kind in kinds]

    @property
    def beyond_inputs(self) -> bool:
        return any(d.kind not in ("input", "text") for d in self.differences) or self.moved_alone

    @property
    def moved_alone(self) -> bool:
        """Whether a headline number stands otherwise and nothing that it is made of does."""
        kinds = {d.kind for d in self.differences}
        return kinds <= {"text"} and any(moved(was, now) for _, _, was, now, _ in self.headlines)


def compare(new_path: Path, old_path: Path, heads: Iterable[str] = ()) -> Comparison:
    """What changed from the old workbook to the new."""
    if new_path.resolve() == old_path.resolve():
        raise UserError(f"{new_path} and {old_path} are the same file; give an older copy")
    old_data = read_bytes(old_path)
    old, new = read(old_path, old_data), read(new_path)
    old_formulas, new_formulas = Formulas(old), Formulas(new)
    labels, old_labels = Labels(new), Labels(old)
    watched = headline.named(new, heads) or headline.find(new, new_formulas, labels)
    found = [
        *_sheets(old, new),
        *_names(old, new),
        *_settings(old, new),
        *seen.differences(old, new),
        *_cells(old_formulas, new_formulas, old_labels, labels),
    ]
    found.sort(key=lambda d: KINDS.index(d.kind))
    lines = []
    for at in watched:
        before = _twin(new, old, at)
        lines.append(
            (
                new.address(at),
                labels.label(at),
                None if before is None else old.values.get(before),
                new.values.get(at),
                labels.shown_unit(at),
            )
        )
    made = Comparison(old, new, found[:TOO_MANY], lines, max(0, len(found) - TOO_MANY))
    twins = [twin for at in watched if (twin := _twin(new, old, at)) is not None]
    _effects(made, old_data, old_formulas, new_formulas, twins, old_labels)
    return made


def _twin(book: WorkbookData, other: WorkbookData, at: Node) -> Node | None:
    """The cell of the same sheet name and address in the other workbook."""
    sheet, row, col = place(at)
    number = other.index(book.sheets[sheet].name)
    return None if number is None else node(number, row, col)


def _sheets(old: WorkbookData, new: WorkbookData) -> Iterator[Difference]:
    for info in old.sheets:
        if new.index(info.name) is None:
            yield Difference("sheet", quoted(info.name), "", "a sheet", "no such sheet")
    for info in new.sheets:
        if old.index(info.name) is None:
            yield Difference("sheet", quoted(info.name), "", "no such sheet", "a sheet")


def _names(old: WorkbookData, new: WorkbookData) -> Iterator[Difference]:
    before, after = _named(old), _named(new)
    for name in dict.fromkeys([*before, *after]):
        if before.get(name) != after.get(name):
            kind = "definition" if "LAMBDA(" in before.get(name, "") + after.get(name, "") else "name"
            yield Difference(
                kind, name, "", before.get(name, "not defined")[:200], after.get(name, "not defined")[:200]
            )


def _named(book: WorkbookData) -> dict[str, str]:
    """Each name with what it is; one that holds on one sheet only says so."""
    found = {}
    for n in book.names:
        if not n.name.startswith("_xlnm."):
            on = f" (on {book.sheets[n.sheet].name})" if n.sheet is not None and n.sheet < len(book.sheets) else ""
            found[n.name + on] = n.text
    return found


def _settings(old: WorkbookData, new: WorkbookData) -> Iterator[Difference]:
    for what in SETTINGS:
        was, now = old.calculation.get(what, ""), new.calculation.get(what, "")
        usual = {"calcMode": "auto"}.get(what, "1" if what == "fullPrecision" else "0")
        was, now = ({"true": "1", "false": "0"}.get(text, text) or usual for text in (was, now))
        if was != now:
            yield Difference("setting", "workbook", what, was, now)


def _cells(old: Formulas, new: Formulas, old_labels: Labels, new_labels: Labels) -> Iterator[Difference]:
    columns: dict[tuple[object, ...], Difference] = {}
    a, b = old.book, new.book
    pairs: dict[Node, Node] = {}
    for at in dict.fromkeys([*a.values, *a.formulas]):
        twin = _twin(a, b, at)
        if twin is not None:
            pairs[at] = twin
    back = {twin: at for at, twin in pairs.items()}
    for twin in dict.fromkeys([*b.values, *b.formulas]):
        at_old = _twin(b, a, twin)
        if twin not in back and at_old is not None:
            pairs[at_old] = twin
    for at, twin in pairs.items():
        made = _cell(old, new, at, twin, new_labels if twin in b.values else old_labels)
        if made is None:
            continue
        difference, key = made
        if key in columns:
            columns[key].cells.append(at)
        else:
            columns[key] = difference
    for difference in columns.values():
        difference.where = spans(a, difference.cells)
        yield difference


def _cell(
    old: Formulas, new: Formulas, at: Node, twin: Node, labels: Labels
) -> tuple[Difference, tuple[object, ...]] | None:
    a, b = old.book, new.book
    was, now = old.of.get(at), new.of.get(twin)
    label = labels.label(twin if labels.book is b else at)
    if was is not None or now is not None:
        if was is not None and now is not None and was.text == now.text:
            return None
        before = "=" + a.formulas[at] if was is not None else figure(a.values.get(at))
        after = "=" + b.formulas[twin] if now is not None else figure(b.values.get(twin))
        key = (place(at)[0], place(at)[2], was.text if was else before, now.text if now else after)
        return Difference("formula", "", label, before[:200], after[:200], cells=[at]), key
    before_value, after_value = a.values.get(at), b.values.get(twin)
    if same(before_value, after_value) and type(before_value) is type(after_value):
        return None
    if same(before_value, after_value) and before_value in (None, "") and after_value in (None, ""):
        return None
    locked = a.look(at).locked and b.look(twin).locked
    words = isinstance(before_value, str) and isinstance(after_value, str)
    kind = "input" if not locked else "text" if words else "fixed"
    return Difference(kind, "", label, figure(before_value), figure(after_value), cells=[at]), (at,)


def _effects(made: Comparison, data: bytes, old: Formulas, new: Formulas, heads: list[Node], labels: Labels) -> None:
    """Each change alone in the old workbook, and the headline numbers then."""
    if not heads:
        return
    fed = feeding(old, heads)
    with Engine() as engine:
        base = recompute(engine, data, made.old, old)
        if base.failure:
            return
        before = [base.values.get(at, made.old.values.get(at)) for at in heads]
        tried = 0
        for difference in made.differences:
            if difference.kind not in ("formula", "input", "fixed") or not difference.cells:
                continue
            if not any(at in fed for at in difference.cells):
                difference.effect = "no headline number depends on it"
                continue
            if tried >= limits.EXPERIMENTS:
                difference.effect = "not worked out: too many changes"
                continue
            tried += 1
            difference.effect = _one(engine, made, base, new, difference, heads, before, labels)


def _one(
    engine: Engine, made: Comparison, base: Recomputed, new: Formulas, difference: Difference, heads: list[Node],
    before: list[Value], labels: Labels,
) -> str:  # fmt: skip
    old_book, new_book = made.old, made.new
    put, undo = [], []
    for at in difference.cells:
        twin = _twin(old_book, new_book, at)
        assert twin is not None
        put.append(change(old_book, at, new_book.formulas.get(twin), new_book.values.get(twin)))
        undo.append(as_is(old_book, at, base.skipped))
    watch = [(old_book.sheets[s].name, row, col) for s, row, col in map(place, heads)]
    try:
        after = [as_value(v) for v in engine.ask("trial", put, undo, watch)]
    except EngineFailed as error:
        return f"not worked out: {error}"
    told = [
        f"{labels.label(at)} ({old_book.address(at)}) {figure(x, labels.shown_unit(at))} -> {figure(y, labels.shown_unit(at))}"
        for at, x, y in zip(heads, before, after, strict=True)
        if moved(x, y)
    ]
    return "; ".join(told[:4]) or "moves no headline number with the old inputs"


def text(made: Comparison) -> str:
    """The comparison in lines."""
    lines = [f"{made.new.path.name} against {made.old.path.name}", "", "Headline numbers, old and new"]
    for address, label, was, now, unit in made.headlines[:20]:
        mark = "" if not moved(was, now) else "   changed"
        lines.append(f"  {address:<14} {label}: {figure(was, unit)} -> {figure(now, unit)}{mark}")
    titles = {
        "formula": "Formulas", "setting": "Settings", "definition": "Definitions of functions", "name": "Names", "fixed": "Fixed numbers",
        "look": "What the eye sees", "input": "Inputs", "text": "Texts", "sheet": "Sheets",
    }  # fmt: skip
    for kind in KINDS:
        found = made.of_kind(kind)
        if not found:
            continue
        lines += ["", f"{titles[kind]}: {len(found)} changed"]
        for d in found:
            label = f"  {d.label}:" if d.label else ""
            lines.append(f"  {d.where}{label} {d.old} -> {d.new}")
            if d.effect:
                lines.append(f"      {d.effect}")
    if made.moved_alone:
        lines += [
            "",
            "No formula and no input changed, yet a headline number did: its stored value is stale or typed in. Audit each file.",
        ]
    elif not made.differences:
        lines += ["", "Nothing changed."]
    if made.more:
        lines += ["", f"and {made.more:,} more"]
    return "\n".join(lines)


def as_plain(made: Comparison) -> dict[str, object]:
    """The comparison as JSON wants it."""
    return {
        "new": str(made.new.path), "old": str(made.old.path), "more": made.more,
        "headlines": [{"cell": cell, "label": label, "old": was, "new": now, "unit": unit} for cell, label, was, now, unit in made.headlines],
        "changes": [{"kind": d.kind, "where": d.where, "label": d.label, "old": d.old, "new": d.new, "effect": d.effect} for d in made.differences],
    }  # fmt: skip
