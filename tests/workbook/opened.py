"""A workbook open in the engine, for tests that read it and type into it."""

from __future__ import annotations

from where import Running
from workbook.places import place

from hayfuncs.hosts import engine
from hayfuncs.workbook.sheets.solvedfrom import SolvedFrom


class Open:
    """A workbook in the engine, read and changed by sheet, row and column as they stand in the model."""

    def __init__(self, book, path):
        self.book = book
        self.made = Running(book, engine.load(path.read_bytes()))
        self.made.evaluate_all()

    def cell(self, table, mark, number=1):
        return (
            self.book.marks[table][mark].split("!")[0].strip("'"),
            7 + number,
            self.book.marks[f"{table}_at"][mark] + 1,
        )

    def get(self, table, mark, number=1):
        return engine.plain_value(self.made.get_value(*self.cell(table, mark, number)))

    def put(self, table, mark, value, number=1):
        self.made.set_value(*self.cell(table, mark, number), value)
        self.made.evaluate_all()

    def name(self, name):
        return engine.plain_value(self.made.get_value(*place(self.book.names[name])))

    def set_name(self, name, value):
        self.made.set_value(*place(self.book.names[name]), value)
        self.made.evaluate_all()

    def as_solved(self):
        """As if the plan had just been solved: what stands now is what stood then."""
        table = self.book.find(SolvedFrom)
        for i in range(1, table.n + 1):
            now = self.at(table.some(SolvedFrom.now, i))
            self.made.set_value(*place(table.some(SolvedFrom.then, i)), now)
        self.made.evaluate_all()
        assert self.name("plan_changes") == 0

    def at(self, ref):
        return engine.plain_value(self.made.get_value(*place(ref)))
