"""What the importer did, as plain text: how each column was read, each conversion, each lot, and what was refused."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.cells import cell_len

from hayfuncs.importers.faults import quoted
from hayfuncs.importers.headings import RESIDUE, stands_on_basis
from hayfuncs.importers.lab import Imported
from hayfuncs.importers.labmap import OF_NDF, OF_PROTEIN, Use
from hayfuncs.importers.labmean import FileRead, short_name
from hayfuncs.importers.labscan import NITRATE_FORMS, converted, in_unit
from hayfuncs.importers.labwarn import gravity, sentences
from hayfuncs.importers.model import AS_FED, CORE, Lot
from hayfuncs.importers.values import Unreadable, number

LISTED = 25  # lines of one list; more are counted
SHOWN_CORE = ("dm_pct", "cp_pct", "adf_pct", "ndf_pct")


def aligned(rows: Sequence[Sequence[str]], numbers: Iterable[int] = (), indent: str = "  ") -> list[str]:
    """Rows as columns of text, two spaces apart; columns in `numbers` are set to the right."""
    right = set(numbers)
    rows = [["".join(c if c.isprintable() else "?" for c in cell) for cell in row] for row in rows]
    wide = [max(cell_len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            " " * (wide[i] - cell_len(cell)) + cell if i in right else cell + " " * (wide[i] - cell_len(cell))
            for i, cell in enumerate(row)
        ]
        lines.append((indent + "  ".join(cells)).rstrip())
    return lines


def report(done: Imported) -> str:
    """The whole account, one block a file and then the lots."""
    lines: list[str] = []
    for file in done.files:
        lines += [*_file(file), ""]
    lines += _list("Values left blank (they cannot be; each is in Notes)", done.left_blank)
    lines += _list("Rows left out, as --skip-bad says", done.left_out, done.rows_left_out)
    lines += _list("Between the files", done.told)
    lines += _lots(done.lots, done)
    lines += _spreads(done)
    rest = ", the gravest are above; Notes of LOTS.csv has all that is wrong"
    lines += _list("Look again at these lab values", _notes(done.lots), rest=rest)
    return "\n".join(lines).rstrip()


def _list(title: str, items: Sequence[str], count: int | None = None, rest: str = "") -> list[str]:
    if not items:
        return []
    more = [f"  ... and {len(items) - LISTED} more{rest}"] if len(items) > LISTED else []
    return [f"{title}: {len(items) if count is None else count}", *(f"  {item}" for item in items[:LISTED]), *more, ""]


def _file(file: FileRead) -> list[str]:
    table = file.table
    mark = ", decimal comma" if file.mark == "," else ""
    lines = [f"{table.path.name}: {table.how}{mark}; headings in row {table.heading_row}, {len(table.rows)} rows below"]
    if table.remark:
        lines.append(f"  {table.remark}")
    rows = [("Their heading", "Read as", "Unit", "Basis", "Changed")]
    for use in file.plan.uses:
        rows.append((use.heading, short_name(use.column.field), _unit(use), _basis(use), _changed(use, file)))
    lines += aligned(rows)
    if file.passed_over:
        numbers = ", ".join(f"{n} ({quoted(name)})" if name else str(n) for n, name in file.passed_over[:LISTED])
        more = ", ..." if len(file.passed_over) > LISTED else ""
        lines.append(f"  Rows passed over (no values, or averages of the others): {numbers}{more}")
    unused = [quoted(text) + (f" ({why})" if why else "") for text, why in file.plan.unused]
    if unused:
        lines.append(f"  Not used: {', '.join(unused)}")
    return lines


def _unit(use: Use) -> str:
    if not use.unit:
        return ""
    return use.unit if use.unit_stated else f"{use.unit} (not stated; from the numbers)"


def _basis(use: Use) -> str:
    if not stands_on_basis(use.column, use.form) or use.unit in (OF_PROTEIN, OF_NDF):
        return ""
    return use.basis or "as each row says"


def _changed(use: Use, file: FileRead) -> str:
    """The conversion in words, with the first row's numbers as the example."""
    steps = []
    if use.unit in ("g/kg", "kg/kg", "ppm", "ppb", "%") and use.column.unit != "Mcal/lb DM" and in_unit(1.0, use) != 1:
        factor = in_unit(1.0, use)
        steps.append(
            f"{use.unit} to {use.column.unit.split()[0]}, {'x ' if factor >= 1 else '/ '}{max(factor, 1 / factor):,.10g}"
        )
    elif use.unit == OF_PROTEIN:
        steps.append("% of CP to % DM, x crude protein / 100")
    elif use.unit and in_unit(1.0, use) != 1:
        steps.append(f"{use.unit} to {use.column.unit}, x {in_unit(1.0, use):.6g}")
    if use.form == "moisture":
        steps.append("100 - moisture")
    elif use.form == "nitrogen":
        steps.append("nitrogen to protein, x 6.25")
    elif use.form in NITRATE_FORMS:
        steps.append(f"{use.form} to NO3-N")
    if stands_on_basis(use.column, use.form) and use.basis != "dry" and use.unit not in (OF_PROTEIN, OF_NDF):
        steps.append("as fed to dry, / dry matter" if use.basis == AS_FED else "rows as fed to dry, / dry matter")
    if use.form == RESIDUE:
        steps.append("100 - residue" if use.unit == OF_NDF else "digested = 100 - 100 x residue / NDF")
    return "; ".join(steps) + _example(use, file) if steps else ""


def _example(use: Use, file: FileRead) -> str:
    if file.first is None:
        return ""
    row = next(r for r in file.table.rows if r.number == file.first.row)
    dm = file.first.values.get("dm_pct")
    try:
        raw = number(row.cell(use.place), file.mark)
    except Unreadable:
        return ""
    value = file.first.values.get(use.column.field)
    if raw is None or value is None:
        return ""
    if use.form == RESIDUE:
        by = "" if use.unit == OF_NDF else f" at NDF {file.first.values['ndf_pct']:.4g} % DM"
    elif use.unit == OF_PROTEIN:
        by = f" at CP {file.first.values['cp_pct']:.4g} % DM"
    else:
        basis = use.basis or (AS_FED if converted(raw, use, "dry", dm) != value else "dry")
        by = f" at DM {dm:.4g} %" if basis == AS_FED and use.column.on_basis else ""
    return f" (row {row.number}: {raw:.6g}{by} gives {value:.4g})"


def _number(value: float | None, places: int = 2) -> str:
    return "" if value is None else f"{value:.{places}f}"


def _lots(lots: Sequence[Lot], done: Imported) -> list[str]:
    head = ("Lot", "Forage", "Rows", "Dry matter", "Crude protein", "ADF", "NDF", "Notes")
    units = ("", "", "", "% as fed", "% DM", "% DM", "% DM", "")
    rows: list[tuple[str, ...]] = [head, units]
    for lot in lots[:LISTED]:
        spread = done.spreads.get(lot.name)
        notes = lot.notes if cell_len(lot.notes) <= 60 else lot.notes[:57] + "..."
        rows.append(
            (
                lot.name,
                lot.forage,
                str(spread.scans if spread else 1),
                *(_number(getattr(lot, f)) for f in SHOWN_CORE),
                notes,
            )
        )
    more = [f"  ... and {len(lots) - LISTED} more lots"] if len(lots) > LISTED else []
    return [f"Lots, all on dry basis: {len(lots)}", *aligned(rows, range(2, 7)), *more, ""]


def _notes(lots: Sequence[Lot]) -> list[str]:
    """What LAB_NOTES says of each lot, the gravest first."""
    found = sorted(((gravity(x), x) for x in lots if sentences(x)), key=lambda pair: pair[0])
    return [f"{x.name}: {' '.join(sentences(x))}" for _, x in found]


def _spreads(done: Imported) -> list[str]:
    if not done.spreads:
        return []
    rows = [("Lot", "Scans", *(f"{short_name(f)} ({'% as fed' if f == 'dm_pct' else '% DM'})" for f in CORE), "")]
    for name, spread in list(done.spreads.items())[:LISTED]:
        ends = []
        for f in CORE:
            if f not in spread.ends:  # given for the whole file, not measured
                ends.append("")
                continue
            count, low, high = spread.ends[f]
            ends.append(f"{low:.2f} to {high:.2f}" + (f", {count} values" if count != spread.scans else ""))
        far = (
            f"further apart than one lab's usual error: {', '.join(map(short_name, spread.far))}" if spread.far else ""
        )
        rows.append((name, str(spread.scans), *ends, far))
    more = [f"  ... and {len(done.spreads) - LISTED} more"] if len(done.spreads) > LISTED else []
    return [
        "Several scans of one sample: the lot holds their mean; lowest to highest were",
        *aligned(rows, [1]),
        *more,
        "",
    ]
