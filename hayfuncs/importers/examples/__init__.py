"""Invented files to try the commands on: two labs' results, the register that joins them, a herd, and empty lists."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from hayfuncs.contract.files import UserError, refuse_overwrite, replacing
from hayfuncs.importers.herd import write_herd_template
from hayfuncs.importers.lots import write_lots_template

NAMES = ("lab-sheet.csv", "instrument-scans.csv", "register.csv", "herd.csv")
EMPTY = {"lots-empty.csv": write_lots_template, "herd-empty.csv": write_herd_template}


def write_examples(folder: Path, force: bool = False) -> list[Path]:
    """The examples in `folder`, which is made when it is not there; all of them or none."""
    if folder.exists() and not folder.is_dir():
        raise UserError(f"{folder} is a file; give the name of a folder")
    if not folder.exists() and not folder.parent.is_dir():
        raise UserError(f"the folder {folder.parent} does not exist; make it first")
    folder.mkdir(exist_ok=True)
    paths = {name: folder / name for name in (*NAMES, *EMPTY)}
    for path in paths.values():
        refuse_overwrite(path, force)
    for name in NAMES:
        with replacing(paths[name], force) as beside:
            beside.write_bytes((files(__package__) / name).read_bytes())
    for name, write in EMPTY.items():
        write(paths[name], force)
    return list(paths.values())
