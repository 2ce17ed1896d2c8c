"""hayfuncs calc-addin OUT.oxt: the LibreOffice Calc extension."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    @app.command("calc-addin")
    def calc_addin(
        out: Annotated[
            Path, typer.Argument(metavar="HAYFUNCS.oxt", help="The extension to write, a name ending in .oxt.")
        ],
        force: Annotated[bool, typer.Option("--force", help="Replace the file if it is there.")] = False,
    ) -> None:
        """Write the LibreOffice Calc extension, with every function and its help."""
        from hayfuncs.contract.catalogue import CATALOGUE
        from hayfuncs.contract.files import UserError, replacing
        from hayfuncs.hosts.calc.build import extension

        if out.suffix.lower() != ".oxt":
            raise UserError(f"{out} does not end in .oxt, and LibreOffice adds only such files; name it {out.stem}.oxt")
        with replacing(out, force) as path:
            path.write_bytes(extension())
        typer.echo(
            f"{out}: {len(CATALOGUE)} functions.  Add it in LibreOffice: Tools, Extension Manager, Add; then restart."
        )
