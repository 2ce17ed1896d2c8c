"""One page a function, made from its record: `hayfuncs/pages/NAME.md`, a picture of its curve, and an index."""

from __future__ import annotations

import ast
import io
import re
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np

import hayfuncs
from hayfuncs.contract import help as helped
from hayfuncs.contract.catalogue import CATALOGUE, TOPICS
from hayfuncs.contract.columns import Floats
from hayfuncs.contract.fields import Arg, Block, Record, Words
from hayfuncs.contract.units import UNITS, WRITTEN

Curve: TypeAlias = tuple[str, Floats, dict[str, Floats]]  # the argument, its values, the answers by word

FOLDER = "hayfuncs/pages"
INDEX = "index.md"
POINTS = 161  # along a curve: 4 pixels apart
MARGIN = 0.25  # of the fitted range, shown on each side of it
LINES = 6  # words that are told apart in one picture
NEIGHBORS = 8
DEGREES = 40  # shown on each side of a temperature
DRAWN_WITH = "3.11"  # of matplotlib: another one may place a tick otherwise
LONG_NUMBER = re.compile(r"-?\d+\.\d{3,}")
MADE = "<!-- Made from the record by `python -m hayfuncs.generate`: change the record, not this page. -->"


def pages(committed: Path) -> dict[str, str]:
    """Path -> text of every page, picture and the index.

    Where another matplotlib is installed, or none, pictures that are already there stay as they are.
    """
    found = {f"{FOLDER}/{INDEX}": index()}
    for record in CATALOGUE.values():
        shown, caption = curve(record)
        if shown:
            name = f"{FOLDER}/{record.name}.svg"
            there = committed / name
            found[name] = drawn(record, *shown) if can_draw() else there.read_text(encoding="utf-8")
        found[f"{FOLDER}/{record.name}.md"] = page(record, caption)
    return found


def index() -> str:
    lines = ["# The functions", "", MADE, ""]
    for topic in TOPICS:
        lines += [f"## {topic}", "", "| function | what it gives | in | evidence, weakest link |", "|---|---|---|---|"]
        for r in CATALOGUE.values():
            if r.topic == topic:
                unit = WRITTEN.get(r.result.unit, r.result.unit)
                lines.append(f"| [{r.name}]({r.name}.md) | {cell(r.summary)} | {unit} | {r.evidence} |")
        lines.append("")
    return "\n".join(lines)


def page(record: Record, caption: str) -> str:
    prose, example = helped.by_hand(record)
    first, _, rest = prose.partition("\n\n")
    call = f"({', '.join(record.args)}{', ...' if record.variadic else ''})"
    blocks = [
        f"# {record.name}", MADE, first,
        f"`{record.sheet_name}{call}` on a sheet, `hayfuncs.{record.python_name}{call}` in Python, "
        f"`HAY_{record.name}` in classic Excel.",
        rest,
        f"![{caption}]({record.name}.svg)\n\n{caption}" if caption else "",
        f"## Equation\n\n{record.equation}",
        record.why_default and f"Default: {record.why_default}.",
        "## Arguments\n\n" + table(("argument", "meaning", "unit", "possible", "fitted to"), arguments(record)),
        f"## Result\n\n{record.result.meaning}: {UNITS[record.result.unit]}.",
        "## Example\n\n" + listing(example),
        "## Line by line\n\n" + longhand(record),
        "## Errors\n\n" + "\n".join(f"- `{name}`: {text}" for name, text in helped.raises(record).items()),
        "## Sources\n\n" + "\n".join(f"- {text}" for text in helped.sources(record)),
        f"Evidence, weakest link: {record.evidence}.",
        "## Neighbors\n\n" + ", ".join(f"[{name}]({name}.md)" for name in neighbors(record, prose)),
    ]  # fmt: skip
    return "\n\n".join(block for block in blocks if block) + "\n"


def arguments(record: Record) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for name, arg in record.args.items():
        fitted = f"{arg.fit[0]:g} to {arg.fit[1]:g}" if isinstance(arg, Arg) and arg.fit else ""
        rows.append((f"`{name}`", arg.meaning, WRITTEN.get(arg.unit, arg.unit), arg.allowed(), fitted))
        for column, inner in arg.columns if isinstance(arg, Block) else ():
            rows.append((f"- `{column}`", inner.meaning, WRITTEN.get(inner.unit, inner.unit), inner.allowed(), ""))
    return rows


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [heads, ["---"] * len(heads), *([cell(text) for text in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def cell(text: str) -> str:
    return text.replace("|", "\\|")


def listing(example: str) -> str:
    lead, mark, code = example.partition(">>>")
    return f"{lead}```python\n{mark}{code}\n```"


def longhand(record: Record) -> str:
    if record.longhand is None:
        why = record.no_longhand or "a text about the call; nothing to work out"
        return f"No arithmetic in lines: {why}."
    lines = [f"{s.name} = {s.formula}    [{s.unit}] {s.label}" for s in record.longhand.steps]
    return "\n".join(["```text", *lines, f"result = {record.longhand.result}", "```"])


def neighbors(record: Record, prose: str) -> list[str]:
    """The functions that the prose names, then those nearest in its topic."""
    named = [name for name in dict.fromkeys(re.findall(r"\b[A-Z][A-Z0-9_]+\b", prose)) if name in CATALOGUE]
    topic = [r.name for r in CATALOGUE.values() if r.topic == record.topic]
    place = topic.index(record.name)
    near = sorted(topic, key=lambda name: (abs(topic.index(name) - place), topic.index(name)))
    return [name for name in dict.fromkeys([*named, *near]) if name != record.name][:NEIGHBORS]


# --- the picture


def example_call(record: Record) -> list[Any]:
    """The arguments of the first call of the function in its own example."""
    code = helped.by_hand(record)[1]
    source = "\n".join(line[4:] for line in code.splitlines() if line.startswith((">>> ", "... ")))
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == record.python_name:
            given = [ast.literal_eval(arg) for arg in node.args]
            return [*given, *list(record.defaults.values())[len(given) - len(record.args) :]][: len(record.args)]
    raise ValueError(f"{record.name}: the example does not call it")


def span(arg: Arg, at: float) -> Floats:
    """The stretch of one argument that a picture shows: about the fitted range, or from little to twice the example."""
    if arg.fit:
        more = MARGIN * (arg.fit[1] - arg.fit[0])
        low, high = arg.fit[0] - more, arg.fit[1] + more
    elif arg.unit == "deg F":
        low, high = at - DEGREES, at + DEGREES
    else:
        low, high = (0.0, 2 * at) if at > 0 else (at - 10, at + 10)
    low, high = max(low, arg.lo), min(high, arg.hi)
    points = np.linspace(low, high, POINTS)
    return points[1:] if arg.above and low == arg.lo else points


def curve(record: Record) -> tuple[Curve | None, str]:
    """(curve, what it shows) for the first number that moves the answer; None where nothing can be drawn."""
    drawable = record.numeric and not record.variadic and record.result.unit != "as the column says"
    if not drawable or any(isinstance(a, Block) for a in record.args.values()):
        return None, ""
    base = dict(zip(record.args, example_call(record), strict=True))
    function = getattr(hayfuncs, record.python_name)
    numbers = sorted(record.numbers().items(), key=lambda pair: pair[1].fit is None)  # fitted ones first
    word = next((n for n, a in record.args.items() if isinstance(a, Words) and len(a.words) <= LINES), "")
    for name, arg in numbers:
        x = span(arg, float(base[name]))
        lines: dict[str, Floats] = {}
        words = record.args.get(word)
        for label in words.words if isinstance(words, Words) else ("",):
            y = function(**(base | {name: x} | ({word: label} if word else {})))
            if np.isfinite(y).sum() > 1:
                lines[label] = y
        if any(np.nanmax(y) > np.nanmin(y) for y in lines.values()):
            fixed = [f"{n} {v}" for n, v in base.items() if n not in (name, word)]
            caption = f"{record.result.meaning} by {name}"
            caption += f", with {', '.join(fixed)}" if fixed else ""
            caption += "; shaded: the range the equation was fitted to." if arg.fit else "."
            return (name, x, lines), caption
    return None, ""


def can_draw() -> bool:
    """Whether the matplotlib is here that the pictures are drawn with."""
    try:
        return version("matplotlib").startswith(f"{DRAWN_WITH}.")
    except PackageNotFoundError:
        return False


def drawn(record: Record, name: str, x: Floats, lines: dict[str, Floats]) -> str:
    """The curve as SVG: always the same for the same record."""
    from matplotlib import rc_context
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    arg = record.args[name]
    assert isinstance(arg, Arg)
    style: Any = {"svg.hashsalt": "hayfuncs", "svg.fonttype": "none", "font.family": "sans-serif", "font.size": 9}
    with rc_context(style):
        figure = Figure(figsize=(5, 3))
        FigureCanvasSVG(figure)
        axes = figure.add_axes((0.14, 0.17, 0.82, 0.78))
        if arg.fit:
            axes.axvspan(*arg.fit, color="#e8eef4", linewidth=0)
        for label, y in lines.items():
            axes.plot(x, y, label=label, linewidth=1.6)
        axes.set_xlim(float(x[0]), float(x[-1]))
        axes.set_xlabel(f"{arg.meaning}, {WRITTEN.get(arg.unit, arg.unit)}")
        axes.set_ylabel(f"{record.name}, {WRITTEN.get(record.result.unit, record.result.unit)}")
        axes.spines[["top", "right"]].set_visible(False)
        if len(lines) > 1:
            axes.legend(frameon=False, fontsize=8)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    text = LONG_NUMBER.sub(lambda number: f"{float(number.group()):.2f}", out.getvalue())
    return "\n".join(line.rstrip() for line in text.splitlines()) + "\n"
