"""hayfuncs lots: from a lab's or an instrument's file to LOTS.csv."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

SIGN_EVERY = 2.0  # seconds
HELP = """Read forage test results as labs and instruments export them and write LOTS.csv.

Reads .csv (commas, semicolons or tabs; decimal point or comma) and .xlsx, one row a sample. Headings
are taken in plain words, in any order, where they are certain; say the others with --column. Values may
be dry or as fed, in %, g/kg or ppm, nitrogen or protein, moisture or dry matter. Several rows of one
sample are averaged and their spread is shown; of a poison the highest counts. A poison that cannot be
read stops the import, since blank means not tested; >5000 stays "at least 5,000". Every conversion is listed, and what cannot be is refused
by name. Without --out the account is printed and nothing is written.
"""


def register(app: typer.Typer) -> None:
    app.command("lots", help=HELP)(lots)


def lots(
    files: Annotated[
        list[Path] | None,
        typer.Argument(metavar="LAB.csv", help="One or more files of the lab.", show_default=False),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="LOTS.csv", help="The list of lots to write, LOTS.csv.")
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            metavar="HEADING=FIELD",
            help='What a heading means: "Their heading=adf_pct", or with unit and basis "Ca=ca_pct, g/kg, dry"; "...=skip"; a name of two columns: "name=Field+Point".',
        ),
    ] = None,
    basis: Annotated[
        str | None, typer.Option(metavar="BASIS", help="dry or as-fed, for values whose heading does not say.")
    ] = None,
    unit: Annotated[
        str | None, typer.Option(metavar="UNIT", help="%, g/kg or ppm, for values whose heading does not say.")
    ] = None,
    fill: Annotated[
        list[str] | None,
        typer.Option(
            metavar="FIELD=VALUE",
            help="What the file does not say, for all its lots: forage=grass, storage=barn, dm_pct=88.",
        ),
    ] = None,
    register: Annotated[
        Path | None,
        typer.Option(
            metavar="REGISTER.csv",
            help="Your own list of lots (field, cutting, bales, storage, price), joined by sample or lot name.",
        ),
    ] = None,
    dates: Annotated[
        str | None, typer.Option(metavar="ORDER", help="dmy or mdy, when dates like 4/3/2024 are not certain.")
    ] = None,
    decimal: Annotated[
        str | None, typer.Option(metavar="MARK", help="point or comma, when numbers like 1,234 are not certain.")
    ] = None,
    sheet: Annotated[
        str, typer.Option(metavar="SHEET", help="Which sheet of a workbook; else the one with the most known headings.")
    ] = "",
    skip_bad: Annotated[
        bool, typer.Option("--skip-bad", help="Leave out rows with an impossible or missing main value.")
    ] = False,
    nd: Annotated[
        str,
        typer.Option(
            "--nd",
            metavar="MEANING",
            help='What ND means for nitrate and other poisons: "not detected" or "not tested".',
        ),
    ] = "",
    accept: Annotated[
        list[str] | None,
        typer.Option(
            metavar="WORD",
            help="Accept what is seldom seen: baleage (dry matter under 60 %), young (protein above ADF), phosphorus (above 1 %), same (two lots with equal values).",
        ),
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace the file if it exists.")] = False,
    columns: Annotated[
        bool, typer.Option("--columns", help="Print the columns of LOTS.csv and HERD.csv and the words known for them.")
    ] = False,
    example: Annotated[
        Path | None,
        typer.Option(help="Write invented lab files, a herd list and empty lists into this folder.", metavar="FOLDER"),
    ] = None,
) -> None:
    from hayfuncs.contract.files import UserError, refuse_overwrite

    if columns:
        from hayfuncs.importers.columns import columns_text

        typer.echo(columns_text())
        return
    if example is not None:
        from hayfuncs.importers.examples import write_examples

        for path in write_examples(example, force):
            typer.echo(f"wrote {path}")
        return
    if not files:
        raise UserError("give at least one file of the lab, like: hayfuncs lots LAB.csv --out LOTS.csv")
    from hayfuncs.importers.lab import Options, import_lab
    from hayfuncs.importers.labreport import report
    from hayfuncs.importers.lots import write_lots
    from hayfuncs.importers.said import basis_option, unit_option

    if out is not None:
        if out.suffix.lower() != ".csv":
            raise UserError(f"{out} must end in .csv; give such a name")
        refuse_overwrite(out, force)
    options = Options(
        tuple(column or ()), basis_option(basis), unit_option(unit), tuple(fill or ()), dates, decimal, sheet, skip_bad,
        nd.casefold().replace("-", " "), tuple(word.casefold() for word in accept or ()),
    )  # fmt: skip
    done = import_lab(files, options, register, slow())
    typer.echo(report(done))
    if out is None:
        typer.echo("\nNothing was written; add --out LOTS.csv to write these lots.")
        return
    write_lots(out, done.lots, force)
    typer.echo(f"\n{len(done.lots)} lots written to {out}; next: hayfuncs workbook OUT.xlsx --lots {out}")


def slow() -> Callable[[str], None]:
    """A sign of life every two seconds, on the error stream so that the account stays clean."""
    last = time.monotonic()

    def tick(where: str) -> None:
        nonlocal last
        if time.monotonic() - last >= SIGN_EVERY:
            last = time.monotonic()
            typer.echo(f"  ... {where}", err=True)

    return tick
