"""hayfuncs <verb>: the command line.  Every refusal is one clear sentence, never a traceback."""

from __future__ import annotations

import importlib
import pkgutil
import sys
from typing import Annotated, Any

import typer
from typer.core import TyperCommand

from hayfuncs import __version__, commands
from hayfuncs.commands import streams
from hayfuncs.contract.errors import HayError, harmless
from hayfuncs.contract.files import UserError

REFUSED = 2  # exit code of a refusal; 1 is kept for "ran, and found something"

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Hay lots, beef cows and supplement: from the lab sheet to the pound of feed.",
)


def show_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"hayfuncs {__version__}")
        raise typer.Exit


@app.callback()
def top(
    version: Annotated[
        bool, typer.Option("--version", callback=show_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Hay lots, beef cows and supplement: from the lab sheet to the pound of feed."""


class PlainHelp(TyperCommand):
    """Help that names an argument by its own word (LAB.csv), without the program's type behind it."""

    def get_params(self, ctx: Any) -> list[Any]:
        params: list[Any] = super().get_params(ctx)
        for param in params:
            if param.param_type_name == "argument":
                param.display_type_rich = lambda ctx: ""
        return params


for _found in sorted(module.name for module in pkgutil.iter_modules(commands.__path__)):
    importlib.import_module(f"hayfuncs.commands.{_found}").register(app)
for _command in app.registered_commands:
    _command.cls = PlainHelp


ROOM = "free some space in the folder for temporary files, then run it again"


def main() -> None:
    """Entry point: our own errors, and a file that cannot be read or written, end in one sentence."""
    streams.never_fail(sys.stdout, sys.stderr)
    try:
        app()
    except (HayError, UserError) as error:
        typer.echo(f"hayfuncs: {harmless(str(error))}", err=True)
        sys.exit(REFUSED)
    except OSError as error:
        if "spool" in str(error):  # the engine's own working file, which has no name for a person
            typer.echo(f"hayfuncs: the calculation has no room for its working files: {ROOM}", err=True)
            sys.exit(REFUSED)
        name = f" {error.filename}" if error.filename else ""
        typer.echo(f"hayfuncs: cannot use the file{name}: {error.strerror or error}", err=True)
        sys.exit(REFUSED)


if __name__ == "__main__":
    main()
