"""The report written: beside its place first, then in it; never over a file unasked."""

from __future__ import annotations

import io
from pathlib import Path

from hayfuncs import __version__
from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.report import front, ledgers, letters
from hayfuncs.audit.report.page import Looks
from hayfuncs.audit.sensitivity import Sensitivity
from hayfuncs.contract.files import UserError, refuse_overwrite, replacing

LARGE = 60_000  # cells from which on the report is streamed row by row


def refuse(out: Path, audited: Path, force: bool) -> None:
    """Say no before the work is done."""
    if out.suffix.lower() != ".xlsx":
        raise UserError(f"{out} must end in .xlsx; give such a name")
    if out.exists() and audited.exists() and out.samefile(audited):
        raise UserError(f"{out} is the workbook that is audited, which is only read; give the report another name")
    refuse_overwrite(out, force)


def report(case: AuditContext, out: Path, moved: Sensitivity | None = None, force: bool = False) -> None:
    """Write the report workbook."""
    import xlsxwriter
    from xlsxwriter.exceptions import FileCreateError

    from hayfuncs.workbook.fileinfo import RELEASE_DATE

    refuse(out, case.book.path, force)
    whole = io.BytesIO()
    with replacing(out, force) as beside:
        options = {
            "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False,
            "constant_memory": len(case.book.values) > LARGE,
        }  # fmt: skip
        file = xlsxwriter.Workbook(whole, options)
        file.set_size(2400, 1500)
        file.set_properties(
            {
                "title": f"Audit of {case.book.path.name}", "subject": "Recomputation, findings, derivations", "author": "hayfuncs",
                "keywords": f"audit, hayfuncs {__version__}", "comments": f"hayfuncs {__version__}", "created": RELEASE_DATE,
            }
        )  # fmt: skip
        _sheets(file, case, moved)
        try:
            file.close()
        except FileCreateError as error:  # the disk is full already for the parts
            raise OSError(
                getattr(error.args[0], "errno", None), getattr(error.args[0], "strerror", str(error))
            ) from None
        beside.write_bytes(whole.getvalue())


def _sheets(file: object, case: AuditContext, moved: Sensitivity | None) -> None:
    looks = Looks(file)
    maps = letters.sheet_names(case)
    others = [
        ("Findings", "each with evidence, effect and room for your decision"),
        ("Derivations", "the headline numbers down to inputs and sources"),
    ]
    if moved is not None:
        others.append(("Sensitivity", "each input moved, and what the headline numbers do"))
    others += [
        (name, f"what each cell of {info.name} is, in letters")
        for name, info in zip(maps, case.book.sheets, strict=True)
    ]
    others += [
        ("Blocks", "every distinct formula once"),
        ("Cells", "every cell"),
        ("Names", "defined names, and numbers inside formulas"),
    ]
    front.summary(file, looks, case, others)
    front.findings(file, looks, case)
    front.derivations(file, looks, case)
    if moved is not None:
        front.sensitivity(file, looks, case, moved)
    letters.write(file, looks, case, maps)
    ledgers.blocks(file, looks, case)
    ledgers.cells(file, looks, case)
    ledgers.names(file, looks, case)
