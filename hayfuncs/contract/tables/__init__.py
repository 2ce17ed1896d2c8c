"""Published tables, one tab-separated file each, loaded once when first asked for.

A file begins with `# key: value` lines (title, source, evidence, note), then a line of
column names, then a line of units, then rows.  The first column is the row's name.
A table whose *values* differ in evidence is long: one row per value, with its own
`evidence` and `source` columns, and `key` and `column` columns that say which value it is;
its line `# names: feed` says which column holds the names that an argument takes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TypeAlias

from hayfuncs.contract.errors import NotInTable, listing, shown

FOLDER = Path(__file__).parent
Cell: TypeAlias = str | float | None
FEW = 15  # names that a message lists in full; of more, the closest


@dataclass(frozen=True)
class Table:
    name: str
    head: dict[str, str]
    columns: tuple[str, ...]
    units: dict[str, str]
    rows: tuple[dict[str, Cell], ...]

    @property
    def key(self) -> str:
        return self.head.get("names", self.columns[0])

    def names(self) -> list[str]:
        found = [str(row[self.key]) for row in self.rows]
        return list(dict.fromkeys(found)) if "names" in self.head else found

    def column(self, name: str) -> list[Cell]:
        return [row[name] for row in self.rows]

    def row(self, name: str, function: str = "TABLE", argument: str = "name") -> dict[str, Cell]:
        wanted = name.strip().casefold()
        for row in self.rows:
            if str(row[self.key]).casefold() == wanted:
                return row
        import difflib  # a wrong name is rare, and this takes longer to load than all the tables

        names = self.names()
        near = difflib.get_close_matches(name, names, n=3, cutoff=0.4) if len(names) > FEW else []
        fix = f"did you mean {' or '.join(near)}" if near else f"the names are: {listing(names)}"
        raise NotInTable(function, argument, shown(name), f"a name in the table {self.name}", fix)


@cache
def load(name: str) -> Table:
    """The table in `tables/<name>.tsv`."""
    text = (FOLDER / f"{name}.tsv").read_text(encoding="utf-8")
    head: dict[str, str] = {}
    body: list[list[str]] = []
    for line in text.splitlines():
        if line.startswith("#"):
            key, _, value = line[1:].partition(":")
            head[key.strip()] = value.strip()
        elif line.strip():
            body.append(line.split("\t"))
    columns = tuple(body[0])
    if any(len(line) != len(columns) for line in body):
        raise ValueError(f"table {name}: a row has not {len(columns)} cells")
    units = dict(zip(columns, body[1], strict=True))
    rows = tuple({c: _cell(v, units[c]) for c, v in zip(columns, line, strict=True)} for line in body[2:])
    return Table(name, head, columns, units, rows)


def _cell(text: str, unit: str) -> Cell:
    if unit in ("text", "name", "word"):
        return text
    return float(text) if text.strip() else None


@cache
def sources() -> dict[str, dict[str, Cell]]:
    """The bibliography: key -> who, title, year, how it is known."""
    return {str(row["key"]): row for row in load("sources").rows}


def citation(key: str) -> str:
    """The source as a reader sees it."""
    row = sources()[key]
    return f"{row['who']}: {row['title']} ({row['year']})"
