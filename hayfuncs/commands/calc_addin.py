"""hayfuncs calc-addin: the LibreOffice Calc extension, written, added to the office or taken out of it."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Annotated

import typer

FILE = "hayfuncs.oxt"


def register(app: typer.Typer) -> None:
    @app.command("calc-addin")
    def calc_addin(
        out: Annotated[
            Path | None,
            typer.Argument(metavar="HAYFUNCS.oxt", help="The extension to write, a name ending in .oxt."),
        ] = None,
        force: Annotated[bool, typer.Option("--force", help="Replace the file if it is there.")] = False,
        add: Annotated[bool, typer.Option("--add", help="Add it to LibreOffice; no file need be named.")] = False,
        remove: Annotated[bool, typer.Option("--remove", help="Take it out of LibreOffice again.")] = False,
        profile: Annotated[
            Path | None,
            typer.Option("--profile", metavar="FOLDER", help="LibreOffice's profile to use, if it is not your own."),
        ] = None,
    ) -> None:
        """Write the LibreOffice Calc extension, with every function and its help; --add adds it to LibreOffice."""
        from hayfuncs.contract.files import UserError
        from hayfuncs.hosts.calc import adding

        if remove and (add or out is not None):
            raise UserError("--remove stands alone: it needs no file, and does not go with --add")
        if remove:
            lines = adding.remove(profile)
        elif out is not None:
            lines = [*write(out, force), *(adding.add(out, profile) if add else HOW_TO_ADD)]
        elif add:
            with tempfile.TemporaryDirectory() as folder:
                path = Path(folder) / FILE
                write(path, force)
                lines = adding.add(path, profile)
        else:
            raise UserError(f"name the file to write, {FILE} say; or --add to add the extension to LibreOffice")
        for line in lines:
            typer.echo(line)


HOW_TO_ADD = [
    "Add it: hayfuncs calc-addin --add; or in LibreOffice: Tools, Extension Manager, Add; then start LibreOffice anew."
]


def write(out: Path, force: bool) -> list[str]:
    """The extension as a file; gives the line that says so."""
    from hayfuncs.contract.catalogue import CATALOGUE
    from hayfuncs.contract.files import UserError, replacing
    from hayfuncs.hosts.calc.build import extension

    if out.suffix.lower() != ".oxt":
        raise UserError(f"{out} does not end in .oxt, and LibreOffice adds only such files; name it {out.stem}.oxt")
    with replacing(out, force) as path:
        path.write_bytes(extension())
    return [f"{out}: {len(CATALOGUE)} functions."]
