"""Answer working as a sheet: its lines, and under them the tables that the two pictures of What to feed draw."""

from __future__ import annotations

from hayfuncs.workbook.model import Book, Formula, Sheet, a1
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.hallwork import NAME, Working

DRAWN = 149  # % of need: the end of the picture


def fill(book: Book) -> None:
    sheet = begin(
        book, NAME, "The working of What to feed",
        "One line a number, from the dials to the words. The ration itself is worked on Ration, the margins on Hay margins and Feed margins.",
        "Workings",
    )  # fmt: skip
    sheet.width(58, 26, 16, 14)
    page = Working(sheet).place()
    row = page.at["have_title"] + 3
    _tables(book, sheet, page, row)
    book.marks["hall"] = {found.key: page.ref(found) for found in page.of_class if found.look != "section"}


def _tables(book: Book, sheet: Sheet, page: Working, row: int) -> None:
    """What the two pictures draw."""
    page.home = True
    ration = page.ration
    sheet.put(row - 1, 0, "Table behind the bars: pounds of this feed", "section")
    sheet.heads(row, 0, ["To cover", "The larger: the answer", "The other"], ["word", "lb as fed/day", "lb as fed/day"])
    pounds = {"energy": (page.for_energy, page.for_protein), "protein": (page.for_protein, page.for_energy)}
    for at, (name, (own, other)) in enumerate(pounds.items(), row + 2):
        sheet.put(at, 0, name, "label")
        shown = f"OR({page.case}<=2,COUNT({own})=0)"
        sheet.put(at, 1, Formula(f"=IF({shown},0,IF({own}>=N({other}),{own},0))"), "number2", unit="lb as fed/day")
        sheet.put(at, 2, Formula(f"=IF({shown},0,IF({own}>=N({other}),0,{own}))"), "number2", unit="lb as fed/day")
    end = row + 6
    sheet.put(end - 1, 0, "Table behind need against have: of the need", "section")
    sheet.heads(end, 0, ["Nutrient", "This hay, beside the feed", "This feed"], ["word", "%", "%"])
    for at, (name, n) in enumerate((("energy", "tdn"), ("protein", "cp")), end + 2):
        sheet.put(at, 0, name, "label")
        fed = f"N({page.rate})*{ration('feed_dm')}/100"
        left = f"({ration('hay')}-hay_displaced*{fed})"
        hay = f"{left}*{ration(f'hay_{n}')}/{ration(f'{n}_need')}"
        feed = f"{fed}*{ration(f'feed_{n}')}/{ration(f'{n}_need')}"
        none = f"{page.case}=1"
        sheet.put(at, 1, Formula(f"=IF({none},0,MIN({DRAWN},{hay}))"), "number0", unit="%")
        sheet.put(at, 2, Formula(f"=IF({none},0,MIN({DRAWN}-{a1(at, 1)},{feed}))"), "number0", unit="%")
    page.home = False
    book.marks["hall_tables"] = {
        "names": sheet.span(row + 2, 0, row + 3, 0), "larger": sheet.span(row + 2, 1, row + 3, 1), "other": sheet.span(row + 2, 2, row + 3, 2),
        "of": sheet.span(end + 2, 0, end + 3, 0), "hay": sheet.span(end + 2, 1, end + 3, 1), "feed": sheet.span(end + 2, 2, end + 3, 2),
    }  # fmt: skip
