"""A function's docstring, made from its record around what its author wrote by hand.

By hand are the first line, the purpose and when not to use it, and an example that runs; arguments, units,
ranges, errors, equation and sources are the record's, in the sections that numpydoc reads.
"""

from __future__ import annotations

import inspect
import textwrap

from hayfuncs.contract.fields import AnyArg, Arg, Block, Name, Record, Result, Words
from hayfuncs.contract.tables import citation
from hayfuncs.contract.units import WRITTEN

WIDTH = 100
KINDS = {"number": "number", "word": "word", "flag": "yes or no", "name": "name", "block": "block of cells"}
IN_COLUMNS = "Columns of any kind are taken too, and answered row by row; a bad row is NaN."


def docstring(record: Record) -> str:
    """The whole docstring: summary, prose, Parameters, Returns, Raises, Notes, References, Examples."""
    prose, example = by_hand(record)
    parts = [
        prose,
        _section("Parameters", [_entry(f"{name} : {_kind(a, record, name)}", _about(a)) for name, a in record.args.items()]),
        _section("Returns", [_entry(_returned(record.result), _result(record))]),
        _section("Raises", [_entry(error, text) for error, text in raises(record).items()]),
        _section("Notes", _notes(record)),
        _section("References", [_wrapped(f"- {text}", "  ") for text in sources(record)]),
        _section("Examples", [example]),
    ]  # fmt: skip
    return "\n\n".join(part for part in parts if part) + "\n"


def by_hand(record: Record) -> tuple[str, str]:
    """What the author wrote: the prose, and the example with the line that leads to it."""
    paragraphs = inspect.cleandoc(record.plain.__doc__ or "").split("\n\n")
    first = next((i for i, text in enumerate(paragraphs) if text.startswith(">>>")), len(paragraphs))
    if first and paragraphs[first - 1].endswith(":"):
        first -= 1
    return "\n\n".join(paragraphs[:first]), "\n\n".join(paragraphs[first:])


def raises(record: Record) -> dict[str, str]:
    """Error -> when, for a call of single values."""
    kinds = {a.kind for a in record.args.values()}
    found: dict[str, str] = {}
    if kinds & {"number", "block"}:
        rules = [f"unless {rule.blame} is {rule.allowed}" for rule in record.rules]
        found["OutOfRange"] = "; ".join(["For a number that is not possible", *rules]) + "."
    wrong = "text for a number, " if kinds & {"number", "block"} else ""
    words = "or a word that is not listed" if "word" in kinds else "or another kind of value"
    found["BadInput"] = f"For a blank, {wrong}{words}."
    if "name" in kinds:
        found["NotInTable"] = "For a name that the table does not hold."
    return found


def sources(record: Record) -> list[str]:
    """Each source with its place and evidence class."""
    return [f"{citation(ref.key)}, {ref.where} [{ref.evidence}]" for ref in record.refs]


def about_range(arg: AnyArg) -> str:
    """What is possible, and what the equation was fitted to."""
    fitted = f"; fitted to {arg.fit[0]:g} to {arg.fit[1]:g}" if isinstance(arg, Arg) and arg.fit else ""
    return f"{arg.allowed()}{fitted}"


def _kind(arg: AnyArg, record: Record, name: str) -> str:
    said = isinstance(arg, Arg) or (isinstance(arg, Block) and not arg.columns)
    unit = f", {WRITTEN.get(arg.unit, arg.unit)}" if said else ""
    default = f", default {record.defaults[name]!r}" if name in record.defaults else ""
    return KINDS[arg.kind] + unit + default


def _about(arg: AnyArg) -> str:
    if isinstance(arg, Block) and arg.columns:
        columns = [f"- {name}: {inner.meaning}, {inner.allowed()}" for name, inner in arg.columns]
        return "\n".join([f"{arg.meaning}, in {len(columns)} columns:", *columns])
    if isinstance(arg, (Words, Name, Block)):
        return f"{arg.meaning}: {arg.allowed()}."
    return f"{arg.meaning}. Possible: {about_range(arg)}."


def _returned(result: Result) -> str:
    if result.unit == "text":
        return "text"
    return f"{'block' if result.block else 'number'}, {WRITTEN.get(result.unit, result.unit)}"


def _result(record: Record) -> str:
    blocks = any(isinstance(arg, Block) for arg in record.args.values())
    return f"{record.result.meaning}." + ("" if blocks or record.variadic else f" {IN_COLUMNS}")


def _notes(record: Record) -> list[str]:
    lines = [_wrapped(f"Equation: {record.equation}.", "    ")]
    if record.why_default:
        lines.append("\n" + _wrapped(f"Default: {record.why_default}.", "    "))
    return lines


def _entry(head: str, text: str) -> str:
    lines = "\n".join(_wrapped(line, "  " if at else "") for at, line in enumerate(text.splitlines()))
    return f"{head}\n{textwrap.indent(lines, '    ')}"


def _section(title: str, lines: list[str]) -> str:
    return "\n".join([title, "-" * len(title), *lines]) if any(lines) else ""


def _wrapped(text: str, hanging: str = "") -> str:
    return textwrap.fill(text, WIDTH, subsequent_indent=hanging, break_long_words=False, break_on_hyphens=False)
