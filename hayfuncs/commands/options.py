"""Options that several verbs share."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

import typer

from hayfuncs.contract.files import UserError

EditionOption = Annotated[
    str,
    typer.Option(
        "--edition",
        metavar="EDITION",
        help="functions (with HAY. names), plain (no functions of ours) or classic (HAY_ names, for xlwings).",
    ),
]
ForceOption = Annotated[bool, typer.Option("--force", help="Replace a file that is there.")]
PrintAllOption = Annotated[
    bool, typer.Option("--print-all", help="Let workings and references print too, not their heads alone.")
]


StartOption = Annotated[
    str | None, typer.Option(metavar="DATE", help="First day of hay feeding, like 2026-11-15.", show_default=False)
]
TurnoutOption = Annotated[
    str | None, typer.Option(metavar="DATE", help="Day of turnout to grass, like 2027-04-25.", show_default=False)
]


def edition_of(word: str) -> str:
    from hayfuncs.workbook.build import EDITIONS

    wanted = word.strip().lower()
    if wanted not in EDITIONS:
        raise UserError(f'--edition is "{word}"; allowed: {", ".join(EDITIONS)}; give one of them')
    return wanted


def day_of(option: str, text: str | None) -> dt.date | None:
    if text is None:
        return None
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        raise UserError(f'{option} is "{text}"; allowed: a date like 2026-11-15; give one') from None


def register(app: typer.Typer) -> None:
    """No verb of its own."""
