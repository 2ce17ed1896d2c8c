"""The pictures of Feed cost: bars of cost a head a day, and the price ladders of TDN and of CP."""

from __future__ import annotations

from hayfuncs.workbook.model import Picture, Series, Sheet
from hayfuncs.workbook.styles import BLUE, GREEN, VERMILLION

CENTS = "$0.00;;"  # nothing for 0
TOP = 6  # row of the first picture
LEFT, RIGHT = 0, 3  # columns of pictures side by side


def _height(n: int) -> int:
    """Pixels for n bars, so that each name has its line."""
    return 110 + 26 * n


def rows(n: int) -> tuple[int, int, int]:
    """Rows of the two lines of pictures, and of the headings of the table below them."""
    tall = _height(n) // 20 + 2
    return TOP, TOP + tall, TOP + 2 * tall + 1


Ladder = tuple[str, str, str]  # title, names, prices


def draw(sheet: Sheet, at: tuple[int, int], n: int, costs: tuple[str, str, str, str], tdn: Ladder, cp: Ladder) -> None:
    """The bars of cost (title, names, within the limits, over one) and under them the two ladders."""
    title, names, within, over = costs
    sheet.draw(
        Picture(
            "bar", at[0], LEFT, title, "Cost to close the gap, dollars a head a day", "",
            "Bar chart of what each feed costs a head a day to close the gap, cheapest on top, dollars at the end of the bar. Solid bars keep within "
            "the feed's limits; hatched bars have the words over its limit beside the name; a feed without a bar says why it cannot. The table is below.",
            [
                Series("within its limits", names, within, BLUE, values_shown=True, gap=35, label_position="outside_end", label_format=CENTS, over_others=True),
                Series("over its limit", names, over, VERMILLION, values_shown=True, gap=35, label_position="outside_end", label_format=CENTS, over_others=True, pattern="wide_upward_diagonal"),
            ],
            width=1000, height=_height(n), x_range=(0, None), reverse=True, every_name=True,
        )
    )  # fmt: skip
    for col, nutrient, (said, feeds, prices), color, pattern in (
        (LEFT, "TDN", tdn, BLUE, ""), (RIGHT, "CP", cp, GREEN, "wide_downward_diagonal"),
    ):  # fmt: skip
        sheet.draw(
            Picture(
                "bar", at[1], col, said, f"Price of a pound of {nutrient}, dollars", "",
                f"Bar chart of the price of a pound of {nutrient} in each feed, cheapest on top, dollars at the end of the bar. The table is below.",
                [Series(f"A pound of {nutrient}", feeds, prices, color, pattern=pattern, values_shown=True, gap=35,
                        label_position="outside_end", label_format=CENTS)],
                width=600, height=_height(n), x_range=(0, None), reverse=True, every_name=True,
            )
        )  # fmt: skip
