"""The template workbooks: written from the records, and compared with what is committed."""

from __future__ import annotations

import math
import re
import zipfile
from pathlib import Path

NUMBER = re.compile(rb"(?<![A-Za-z_#.$])-?\d+\.\d+(?:[eE][-+]?\d+)?")
NEAR = 1e-9  # another processor may round the last digit of a stored value otherwise


def workbooks(folder: Path) -> list[Path]:
    """The template in its editions: the farm's workbook, and the one with the winter plan."""
    from hayfuncs.workbook.build import EDITIONS, FARM, save
    from hayfuncs.workbook.easyplanning import steady
    from hayfuncs.workbook.farm import TEMPLATE

    paths = []
    for edition in EDITIONS:
        path = folder / f"hayfuncs-template-{edition}.xlsx"
        save(TEMPLATE, path, edition, force=True, kind=FARM)
        plan = folder / f"hayfuncs-template-{edition}-plan.xlsx"
        save(TEMPLATE, plan, edition, force=True, asked=steady())
        paths += [path, plan]
    return paths


def same(old: Path, new: Path) -> bool:
    """Whether two workbooks are the same but for the last digits of numbers."""
    if not old.exists():
        return False
    with zipfile.ZipFile(old) as a, zipfile.ZipFile(new) as b:
        if a.namelist() != b.namelist():
            return False
        return all(same_text(a.read(name), b.read(name)) for name in a.namelist())


def same_text(old: bytes, new: bytes) -> bool:
    if old == new:
        return True
    if NUMBER.sub(b"0", old) != NUMBER.sub(b"0", new):
        return False
    pairs = zip(NUMBER.findall(old), NUMBER.findall(new), strict=True)
    return all(math.isclose(float(a), float(b), rel_tol=NEAR, abs_tol=NEAR) for a, b in pairs)
