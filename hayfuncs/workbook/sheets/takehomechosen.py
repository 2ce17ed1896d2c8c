"""What was chosen for each group's page, and where the other sheets have it."""

from __future__ import annotations

from hayfuncs.workbook.model import Content, Formula
from hayfuncs.workbook.sheets.besthay import Points
from hayfuncs.workbook.sheets.common import pick
from hayfuncs.workbook.table import Column, Table, column


class Chosen(Table[int]):
    """`self.item` is the group's row of Herd."""

    frozen = 2

    @column("Group number", "row of Herd", style="number0", width=9)
    def group(self) -> Content:
        return self.item

    @column("Cow group", "name", style="text", width=26)
    def name(self) -> Content:
        return Formula(f'={self.herd("name")}&""')

    @column("Hay: row of Lots", "row of Lots", style="number0", width=10, band="What was chosen")
    def lot(self) -> Content:
        typed, best = self.chosen("hay"), self.book.find(Points).best(self.group)
        otherwise = f"IF({self.name}=chosen_group,MATCH(chosen_lot,{self.marks['lots']['name']},0),{best})"
        place = f"MATCH({typed},{self.marks['lots']['name']},0)"
        return Formula(f'=IF({typed}="",{otherwise},IF(ISNUMBER({place}),{place},"not found"))')

    @column("Hay", "name", style="text", width=22)
    def hay(self) -> Content:
        return Formula(f'=IF(ISNUMBER({self.lot}),{self.lots("name")},"none")')

    @column("Feed: row of Feeds", "row of Feeds", style="number0", width=10)
    def feed_row(self) -> Content:
        typed = self.chosen("feed")
        place = f'MATCH(IF({typed}="",chosen_feed,{typed}),{self.marks["feeds"]["name"]},0)'
        return Formula(f'=IF(ISNUMBER({place}),{place},"not found")')

    @column("Feed", "name", style="text", width=24)
    def feed(self) -> Content:
        return Formula(f'=IF(ISNUMBER({self.feed_row}),{self.feeds("name")},"none")')

    @column("Row of Match", "row", style="number0", width=9)
    def match_row(self) -> Content:
        return Formula(f'=IF(ISNUMBER({self.lot}),({self.lot}-1)*group_count+{self.group},"none")')

    @column("Nitrate by both scales, for this group", "words", style="small", width=20)
    def nitrate(self) -> Content:
        """A group that is not said to be open counts as in calf."""
        cautions = self.marks["cautions"]
        is_open = f'{pick(self.marks["care"]["pregnant"], self.group)}&""="0"'
        calf, others = (
            "&".join(f"{pick(cautions[f'nitrate_{kind}_{scale}'], self.lot)}" for scale in "ab")
            for kind in ("calf", "open")
        )
        return Formula(f'=IF(ISNUMBER({self.lot}),IF({is_open},{others},{calf}),"")')

    @property
    def marks(self) -> dict[str, dict[str, str]]:
        return self.book.marks

    def herd(self, mark: str) -> str:
        return pick(self.marks["herd"][mark], self.group)

    def lots(self, mark: str) -> str:
        return pick(self.marks["lots"][mark], self.lot)

    def stock(self, mark: str) -> str:
        return pick(self.marks["stock"][mark], self.lot)

    def feeds(self, mark: str) -> str:
        return pick(self.marks["feeds"][mark], self.feed_row)

    def chosen(self, mark: str) -> str:
        return pick(self.marks["take_home"][mark], self.group)

    def if_lot(self, what: str) -> Formula:
        return Formula(f'=IF(ISNUMBER({self.lot}),{what},"no hay")')

    def if_feed(self, mark: str) -> Formula:
        return Formula(f'=IF(ISNUMBER({self.feed_row}),{self.feeds(mark)},"no feed")')

    def whole(self, column: Column) -> str:
        return self.local.ref(column)
