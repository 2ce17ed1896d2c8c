"""hayfuncs functions: the list of functions, or one function's page."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

import typer

from hayfuncs.contract import about
from hayfuncs.contract.catalogue import CATALOGUE, TOPICS, Record

PAGES = Path(__file__).resolve().parents[1] / "pages"


def register(app: typer.Typer) -> None:
    @app.command()
    def functions(
        name: Annotated[str, typer.Argument(metavar="[NAME]", help="A function, in any spelling of its name.")] = "",
    ) -> None:
        """List every function, or print one function's page."""
        typer.echo(page(about.find(name, "functions")) if name else listing())


def listing() -> str:
    lines: list[str] = []
    for topic in TOPICS:
        lines += ["", topic]
        lines += [
            f"  {r.sheet_name:<34} {r.result.unit:<20} {r.evidence}" for r in CATALOGUE.values() if r.topic == topic
        ]
    lines += ["", f"{len(CATALOGUE)} functions. One function's page: hayfuncs functions NAME"]
    return "\n".join(lines).lstrip()


def page(record: Record) -> str:
    """The function's page as a terminal shows it: without the picture and the remark for authors."""
    text = (PAGES / f"{record.name}.md").read_text(encoding="utf-8")
    return re.sub(r"^(!\[.*\]\(.*\)|<!--.*-->)\n\n", "", text, flags=re.M).rstrip()
