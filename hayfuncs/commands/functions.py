"""hayfuncs functions: the list of functions, or one function's whole card."""

from __future__ import annotations

import textwrap
from typing import Annotated

import typer

from hayfuncs.contract import about
from hayfuncs.contract.catalogue import CATALOGUE, TOPICS, Arg, Record
from hayfuncs.contract.tables import citation
from hayfuncs.contract.units import UNITS


def register(app: typer.Typer) -> None:
    @app.command()
    def functions(
        name: Annotated[str, typer.Argument(metavar="[NAME]", help="A function, in any spelling of its name.")] = "",
    ) -> None:
        """List every function, or print one function's whole card."""
        typer.echo(card(about.find(name, "functions")) if name else listing())


def listing() -> str:
    lines: list[str] = []
    for topic in TOPICS:
        lines += ["", topic]
        lines += [
            f"  {r.sheet_name:<34} {r.result.unit:<20} {r.evidence}" for r in CATALOGUE.values() if r.topic == topic
        ]
    lines += ["", f"{len(CATALOGUE)} functions. One whole card: hayfuncs functions NAME"]
    return "\n".join(lines).lstrip()


def card(record: Record) -> str:
    """Everything the record knows, in words."""

    def wrapped(text: str, indent: str = "  ") -> str:
        return textwrap.fill(text, 96, initial_indent=indent, subsequent_indent=indent + "  ")

    lines = [f"{record.sheet_name}({', '.join(record.args)})", wrapped(record.summary), "", "Arguments"]
    for name, arg in record.args.items():
        fitted = f"; fitted to {arg.fit[0]:g} to {arg.fit[1]:g}" if isinstance(arg, Arg) and arg.fit else ""
        default = f"; in Python by default {record.defaults[name]}" if name in record.defaults else ""
        lines.append(
            wrapped(f"{name}: {arg.meaning}. Unit: {UNITS[arg.unit]}. Possible: {arg.allowed()}{fitted}{default}.")
        )
    lines += [
        "",
        "Result",
        wrapped(f"{record.result.meaning}. Unit: {UNITS[record.result.unit]}."),
        "",
        "Equation",
        wrapped(record.equation),
    ]
    if record.why_default:
        lines.append(wrapped(f"Default: {record.why_default}"))
    lines += ["", "Sources"]
    lines += [wrapped(f"{citation(ref.key)}, {ref.where} [{ref.evidence}]") for ref in record.refs]
    lines += ["", "Longhand"]
    if record.longhand is None:
        lines.append(wrapped(record.no_longhand or "a text about the call; nothing to work out"))
    else:
        lines += [wrapped(f"{s.name} = {s.formula}   [{s.unit}] {s.label}") for s in record.longhand.steps]
        lines.append(wrapped(f"result = {record.longhand.result}"))
    names = "also " + f"hayfuncs.{record.python_name} in Python, HAY_{record.name} in classic Excel"
    return "\n".join([*lines, "", names])
