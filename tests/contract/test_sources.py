"""Sources are real and used, their evidence is honest, and shipped tables are well formed."""

from __future__ import annotations

import math
import re
from pathlib import Path

import checklib
import numpy as np
import pytest

import hayfuncs
from hayfuncs.contract import catalogue as records
from hayfuncs.contract import tables
from hayfuncs.contract.catalogue import (
    CATALOGUE,
    Record,
)

HERE = Path(__file__).parents[1]
each_record = pytest.mark.parametrize("record", CATALOGUE.values(), ids=lambda r: r.name)


# --- sources


def used_sources() -> dict[str, set[str]]:
    """Source key -> where it is used: records, tables, check rows."""
    used: dict[str, set[str]] = {}

    def use(key: str, by: str) -> None:
        used.setdefault(key.strip(), set()).add(by)

    for r in CATALOGUE.values():
        for ref in r.refs:
            use(ref.key, r.name)
    for check in checklib.every():
        if check.kind != "hand":
            use(check.source, check.place)
    for path in sorted(Path(tables.__file__).parent.glob("*.tsv")):
        if path.stem == "sources":
            continue
        table = tables.load(path.stem)
        for column in table.columns:
            if column == "source" or column.endswith("_source"):
                for cell in table.column(column):
                    for key in str(cell or "").split(";"):
                        if key.strip():
                            use(key, f"tables/{path.name}")
        for key in table.head.get("source", "").split(";"):
            if key.strip():
                use(key.split(",")[0], f"tables/{path.name}")
    return used


def test_every_named_source_is_in_the_bibliography() -> None:
    unknown = {key: by for key, by in used_sources().items() if key not in tables.sources()}
    assert not unknown, f"add to hayfuncs/contract/tables/sources.tsv: {unknown}"


def test_every_source_is_used() -> None:
    unused = set(tables.sources()) - set(used_sources())
    assert not unused, f"nothing names these lines of contract/tables/sources.tsv: {sorted(unused)}"


def test_every_source_says_how_it_is_known() -> None:
    known = {
        "seen in the original",
        "seen in part",
        "second hand",
        "from memory",
        "common practice",
        "definition",
        "standard",
    }
    for key, row in tables.sources().items():
        assert all(str(row[c]).strip() for c in ("who", "title", "year", "status")), key
        assert row["status"] in known, f"{key}: {row['status']!r}"
        assert re.fullmatch(r"n\.d\.|\d{4}(-\d{4})?", str(row["year"])), f"{key}: year {row['year']!r}"


@each_record
def test_evidence_fits_the_status_of_its_source(record: Record) -> None:
    """What is only remembered, or quoted by another, is not shown as published."""
    for ref in record.refs:
        status = tables.sources()[ref.key]["status"]
        if status == "from memory":
            assert ref.evidence.startswith("from memory"), f"{ref} rests on a source from memory"
        if status == "second hand":
            assert ref.evidence != "published", f"{ref} rests on a source seen second hand"


def test_source_function_names_every_ref() -> None:
    for r in CATALOGUE.values():
        said = hayfuncs.source(r.name)
        for ref in r.refs:
            assert tables.citation(ref.key) in said
            assert ref.evidence in said


# --- tables


def table_names() -> list[str]:
    return sorted(p.stem for p in Path(tables.__file__).parent.glob("*.tsv") if p.stem != "sources")


def number_columns(name: str) -> list[tuple[str, int, float]]:
    table = tables.load(name)
    found = []
    for column in table.columns:
        numbers = [v for v in table.column(column) if isinstance(v, float)]
        if numbers:
            found.append((column, len(numbers), float(np.sum(np.abs(numbers)))))
    return found


def kept_sums() -> dict[tuple[str, str], tuple[int, float]]:
    lines = (HERE / "table_sums.tsv").read_text(encoding="utf-8").splitlines()[2:]
    rows = [line.split("\t") for line in lines if line.strip()]
    return {(table, column): (int(filled), float(total)) for table, column, filled, total in rows}


def test_sums_of_table_columns() -> None:
    """A trap for a slip of the hand in a table that was proofread: count and sum of each column."""
    found = {(name, column): (n, total) for name in table_names() for column, n, total in number_columns(name)}
    kept = kept_sums()
    assert set(found) == set(kept), "python tests/contract/test_sources.py writes table_sums.tsv anew"
    for key, (n, total) in found.items():
        assert n == kept[key][0], f"{key}: {n} numbers, not {kept[key][0]}"
        assert math.isclose(total, kept[key][1], rel_tol=1e-12, abs_tol=1e-9), f"{key}: sum {total:.12g}"


@pytest.mark.parametrize("name", table_names())
def test_table_is_well_formed(name: str) -> None:
    table = tables.load(name)
    assert table.head.get("title"), "no title"
    assert table.head.get("source") or "source" in table.columns, "no source"
    assert table.head.get("evidence") or "evidence" in table.columns, "no evidence class"
    keys = table.names() if "column" not in table.columns else None
    if keys is not None:
        assert len({k.casefold() for k in keys}) == len(keys), "a row's name comes twice"
    for row in table.rows:
        for column in ("evidence",):
            if column in table.columns:
                assert row[column] in records.EVIDENCE, f"evidence {row[column]!r}"
    if "evidence" in table.head:
        assert table.head["evidence"] in records.EVIDENCE


def test_a_wrong_name_is_helped() -> None:
    """A short table is listed whole, of a long one the closest names; names with commas are told apart."""
    with pytest.raises(hayfuncs.NotInTable, match=r"the names are: on ground, uncovered; .*; plastic wrap; barn"):
        hayfuncs.storage_loss("tarp")
    with pytest.raises(hayfuncs.NotInTable, match="did you mean STORAGE_LOSS"):
        hayfuncs.source("storage loss")
    with pytest.raises(hayfuncs.NotInTable, match="did you mean RELATIVE_FEED_VALUE"):
        hayfuncs.source("RFV")


if __name__ == "__main__":
    lines = ["# count and sum (of absolute values) of each column of numbers", "table\tcolumn\tfilled\tsum"]
    lines += [f"{name}\t{c}\t{n}\t{total:.12g}" for name in table_names() for c, n, total in number_columns(name)]
    (HERE / "table_sums.tsv").write_text("\n".join(lines) + "\n", encoding="utf-8")
