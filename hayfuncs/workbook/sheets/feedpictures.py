"""The pictures of Feed cost: bars of cost a cow a day, and the price ladders of TDN and of CP."""

from __future__ import annotations

from hayfuncs.workbook.model import Picture, Series, Sheet
from hayfuncs.workbook.styles import BLUE, GREEN, VERMILLION

HEADS = (
    ("Place", "1"), ("Feed, cheapest a day first", "name"), ("Row of Feeds", "1"), ("Closes the gap at", "lb as fed/day"),
    ("Cost, within its limits", "$/day"), ("Cost, over its limit", "$/day"), ("Rate set by", "word"),
    ("Feed, cheapest TDN first", "name"), ("A pound of TDN", "$/lb"), ("Feed, cheapest CP first", "name"), ("A pound of CP", "$/lb"),
)  # fmt: skip
CENTS = "$0.00;;"  # nothing for 0


TOP = 6  # row of the first picture


def _height(n: int) -> int:
    """Pixels for n bars, so that each name has its line."""
    return 140 + 26 * n


def rows(n: int) -> tuple[int, int, int]:
    """Rows of the two lines of pictures, and of the headings of the table below them."""
    tall = _height(n) // 20 + 2
    return TOP, TOP + tall, TOP + 2 * tall + 1


def draw(sheet: Sheet, at: tuple[int, int], first: int, n: int) -> None:
    def span(column: int) -> str:
        return sheet.span(first, column, first + n - 1, column)

    marks = sheet.book.marks["feedcost"]
    sheet.pictures.append(
        Picture(
            "bar", at[0], 0, marks["banner"], "Cost to close the gap, dollars a cow a day", "",
            "Bar chart of what each feed costs a cow a day to close the gap, cheapest on top, dollars at the end of the bar. Solid bars keep within "
            "the feed's limits; hatched bars have the words over its limit beside the name; a feed without a bar says why it cannot. The table is below.",
            [
                Series("within its limits", span(1), span(4), BLUE, values_shown=True, gap=35, label_position="outside_end", label_format=CENTS, over_others=True),
                Series("over its limit", span(1), span(5), VERMILLION, values_shown=True, gap=35, label_position="outside_end", label_format=CENTS, over_others=True, pattern="wide_upward_diagonal"),
            ],
            width=1000, height=_height(n), x_range=(0, None), reverse=True, every_name=True,
        )
    )  # fmt: skip
    for col, nutrient, names, prices, colour, pattern in (
        (0, "TDN", 7, 8, BLUE, ""),
        (3, "CP", 9, 10, GREEN, "wide_downward_diagonal"),
    ):
        sheet.pictures.append(
            Picture(
                "bar", at[1], col, marks[nutrient], f"Price of a pound of {nutrient}, dollars", "",
                f"Bar chart of the price of a pound of {nutrient} in each feed, cheapest on top, dollars at the end of the bar. The table is below.",
                [Series(f"A pound of {nutrient}", span(names), span(prices), colour, pattern=pattern, values_shown=True, gap=35,
                        label_position="outside_end", label_format=CENTS)],
                width=600, height=_height(n), x_range=(0, None), reverse=True, every_name=True,
            )
        )  # fmt: skip
