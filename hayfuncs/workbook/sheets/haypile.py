"""Hay pile: is there enough hay to reach grass, when does it run out, and what does the rest cost?"""

from __future__ import annotations

from hayfuncs.workbook.barn import Winter
from hayfuncs.workbook.model import Book, Content, Formula, Input, Picture, Series, Sheet, call, input_for
from hayfuncs.workbook.sheets.common import begin, input_row, list_row
from hayfuncs.workbook.sheets.grid import NOT_ENTERED, words
from hayfuncs.workbook.sheets.winterneed import EATEN_FROM
from hayfuncs.workbook.styles import BLUE, GREY, PURPLE, VERMILLION

SWING = 15  # % more or less in the picture: how far intake and waste are easily off (our choice, no source)
COMPARED = 29  # row of the comparison with the winter plan
TABLE = 40  # row of the headings behind the picture


def inputs(book: Book, winter: Winter) -> None:
    """The sheet and its typed values, by name, before the sheets that use them."""
    sheet = begin(
        book, "Hay pile", "Is there enough hay to reach grass?",
        "Type the dates and the price of bought hay; the need of all groups stands against all hay in store, losses counted.", "Result",
    )  # fmt: skip
    sheet.width(37, 17, 14, 12, 2, 60)
    sheet.zoom = 190
    start = Input(
        "Hay pile/start", "Winter feeding begins", "First day of hay feeding, a date from 1990 to 2100", kind="date"
    )
    turnout = Input(
        "Hay pile/turnout", "Turnout to grass", "Day the cows go to grass, a date from 1990 to 2100", kind="date"
    )
    book.define("winter_start", input_row(sheet, 4, "Hay feeding begins on", winter.start, start, "date", "input_date"))
    book.define("turnout", input_row(sheet, 5, "Turnout to grass on", winter.turnout, turnout, "date", "input_date"))
    eaten = words(
        "Hay eaten", "match: to appetite, by the sheet Match; need: dry matter of the sheet Herd", EATEN_FROM, True
    )
    book.define(
        "hay_eaten_from",
        input_row(
            sheet, 6, "Hay eaten is taken from", EATEN_FROM[0], eaten("Hay pile/eaten_from"), "word", "input_text"
        ),
    )
    price = input_for("Hay pile/bought_price", "HAY_COST", "price_per_ton", False)
    book.define(
        "bought_price",
        input_row(sheet, 7, "Hay to buy costs", winter.bought_price, price, "$/ton as fed", "input_money"),
    )
    swing = Input(
        "Hay pile/swing", "More or less", "Per cent more or less hay a day in the picture, 1 to 90", lo=1, hi=90
    )
    book.define("pile_swing", input_row(sheet, 8, "In the picture, more or less", SWING, swing, "%", "input0"))


def fill(book: Book) -> None:
    sheet = book.by_name("Hay pile")
    _totals(book, sheet)
    _picture(book, sheet)


def days(book: Book) -> None:
    """The length of the winter; 0 days or fewer are said in words."""
    sheet = book.by_name("Hay pile")
    said = "turnout is not after the start"
    book.define(
        "winter_days",
        list_row(
            sheet,
            12,
            "Days of hay feeding",
            Formula(f'=IF(turnout>winter_start,turnout-winter_start,"{said}")'),
            "days",
            "number0",
        ),
    )


def _totals(book: Book, sheet: Sheet) -> None:
    winter = book.marks["winter"]
    sheet.put(11, 0, "From the first day to grass", "section")
    unknown = "(COUNT(hay_needed,winter_days)=2)*(hay_in_store>0)=0"
    needed = Formula(f"=IF(COUNT({winter['needed']})=0,{NOT_ENTERED},SUM({winter['needed']}))")
    no_head = Formula(f"=IF(COUNT({winter['dm_day']})=0,{NOT_ENTERED},SUM({winter['counted']}))")
    lines: tuple[tuple[str, str, Content, str, str], ...] = (
        ("herd_head", "Head counted", no_head, "head", "number0"),
        ("herd_intake", "Hay eaten, mean of all cows", Formula(f"=IF(COUNT(herd_head)=0,{NOT_ENTERED},SUM({winter['dm_day']})/herd_head)"), "lb DM/day", "number2"),
        ("hay_needed", "Hay needed at storing", needed, "lb as fed", "number0"),
        ("groups_left_out", "Groups left out (not entered)", Formula(f"={winter['n']}-COUNT({winter['needed']})"), "1", "number0"),
        ("store_again", "Hay in store", Formula("=hay_in_store"), "lb as fed", "number0"),
        ("hay_short", "Hay short", call("HAY_SHORT", "hay_needed", "hay_in_store", unless=(unknown, NOT_ENTERED)), "lb as fed", "number0"),
        ("tons_short", "The same in tons", Formula(f"=IF(COUNT(hay_short)=0,{NOT_ENTERED},hay_short/lb_per_ton)"), "tons as fed", "result1"),
        ("cost_short", "What it costs to buy", call("HAY_COST", "hay_short", "bought_price", unless=("COUNT(hay_short,bought_price)<2", NOT_ENTERED)), "$", "result_money"),
        ("tons_spare", "Hay to spare", Formula(f"=IF(COUNT(hay_short)=0,{NOT_ENTERED},MAX(hay_in_store-hay_needed,0)/lb_per_ton)"), "tons as fed", "number1"),
        ("days_of_hay", "The hay in store lasts", call("DAYS_OF_HAY", "hay_eaten", "mean_dm", "0", "0", "herd_head", "herd_intake",
                                                     unless=("COUNT(mean_dm,herd_head,herd_intake)<3", NOT_ENTERED)), "days", "result1"),
        ("runs_out", "It runs out on", Formula(f"=IF(COUNT(days_of_hay)=0,{NOT_ENTERED},winter_start+INT(days_of_hay))"), "date", "date"),
    )  # fmt: skip
    for row, (name, label, content, unit, style) in enumerate(lines, 13):
        ref = list_row(sheet, row, label, content, unit, style)
        if name != "store_again":
            book.define(name, ref)
    short = '"Short: the hay is gone on "&TEXT(runs_out,"d mmm yyyy")&", "&TEXT(winter_days-days_of_hay,"0")&" days before grass."'
    enough = '"Enough: "&TEXT(tons_spare,"0")&" tons are left at turnout."'
    sheet.put(
        9,
        0,
        Formula(f"=IF(COUNT(hay_short,days_of_hay)<2,{_missing(book)},IF(hay_short>0,{short},{enough}))"),
        "banner",
    )
    money = Formula(
        '=IF(COUNT(hay_short)=0,"What to buy is not known.",IF(hay_short>0,"To buy: "&TEXT(tons_short,"0")&" tons, "&IF(COUNT(cost_short)=0,"price not entered.",TEXT(cost_short,"$#,##0")&" at "&TEXT(bought_price,"$0")&" a ton."),"Nothing to buy."))&IF(lots_left_out>0," Not counted: "&lots_left_out&" of "&ROWS('
        + book.marks["stock"]["net"]
        + ')&" lots (Stock).","")'
    )
    sheet.put(10, 0, money, "banner")
    for row in (9, 10):
        sheet.heights[row] = 26
        for col in (1, 2, 3):
            sheet.put(row, col, None, "banner_rest")
    sheet.put(
        26, 0, "Losses: mean of the store (sheet Stock). Hay bought in winter has less storage loss ahead,", "sentence"
    )
    sheet.put(27, 0, "so the tons to buy are on the safe side. Cold and mud ask for more: see Herd care.", "sentence")
    book.marks["haypile"] = {"banner": sheet.ref(9, 0), "money": sheet.ref(10, 0)}


def _missing(book: Book) -> str:
    """What must be entered before the sheet can answer: the sheet, the column, how many are blank."""
    register, stock, winter = (book.marks[k] for k in ("register", "stock", "winter"))
    columns = (
        ("Register, Tons in store", register["tons"], register["n"], "lots"), ("Register, Where stored", stock["storage_loss"], stock["n"], "lots"),
        ("Stock, Fed in", stock["feeding_loss"], stock["n"], "lots"), ("Winter need, Hay like this lot", winter["intake"], winter["n"], "groups"),
    )  # fmt: skip
    said = [
        f'IF(COUNT({column})<{n},"; {where}: "&({n}-COUNT({column}))&" of {n} {what} blank","")'
        for where, column, n, what in columns
    ]
    dates = 'IF(COUNT(winter_days)=0,"; the dates on this sheet","")'
    empty = 'IF(lots_left_out+(hay_in_store>0)=0,"; no lot has tons in store","")'
    parts = "&".join([dates, *said, empty])
    return f'"Not enough entered: "&MID({parts},3,300)&"."'


def beside_the_plan(book: Book) -> None:
    """Why this sheet and Winter budget may say different things: what each lets the groups eat."""
    sheet, plan, stocks = book.by_name("Hay pile"), book.marks["plan"], book.marks["stocks"]
    sheet.put(COMPARED, 0, "Beside the winter plan, which may say otherwise", "section")
    lines = (
        ("Hay here, to be eaten till grass", Formula(f"=IF(COUNT(hay_needed)=0,{NOT_ENTERED},hay_needed/lb_per_ton)")),
        ("Hay in the winter plan", Formula(f"=SUMIFS({plan['taken']},{plan['hay']},1)")),
        ("Other feeds in the winter plan", Formula(f"=SUMIFS({plan['tons']},{plan['kind']},3)")),
        ("Hay to buy in the winter plan", Formula(f"=SUMIFS({plan['taken']},{plan['kind']},2)")),
        ("Own hay left by the winter plan", Formula(f'=SUMIFS({stocks["left"]},{stocks["what"]},"own hay")')),
    )
    here, hay, feeds, bought, left = (
        list_row(sheet, COMPARED + i, label, content, "tons as fed", "number1").split("!")[1]
        for i, (label, content) in enumerate(lines, 1)
    )
    eaten = f'IF(hay_eaten_from="{EATEN_FROM[0]}","eat hay to appetite","eat as much hay as the dry matter of Herd")'
    first = f'"Here all groups "&{eaten}&", and nothing else: "&TEXT({here},"0")&" tons from the stack till grass."'
    known = f'IF(COUNT({here})=0,"how that compares is not known",'
    than = f'{known}IF(ABS({hay}-{here})<0.5,"as much as here",TEXT(ABS({hay}-{here}),"0")&IF({hay}<{here}," less than here"," more than here")))'
    fed = f'IF({feeds}<0.05,"and no other feed","with "&TEXT({feeds},"0.0")&" tons of other feeds")'
    buys = f'IF({bought}<0.05,"It buys no hay","It buys "&TEXT({bought},"0.0")&" tons of hay")'
    end = f'IF({left}<0," and own hay is overdrawn by "&TEXT(-{left},"0")," and leaves "&TEXT({left},"0"))&" tons"'
    second = f'"The winter plan rations each group by its need: "&TEXT({hay},"0")&" tons of hay, "&{than}&", "&{fed}&". "&{buys}&{end}&": see Winter budget."'
    none = '"There is no winter plan to hold this against."'
    _both(book, sheet, (here, hay, feeds, bought))
    book.marks["haypile"]["beside"] = [
        sheet.put(COMPARED + 6, 0, Formula(f'=IF(COUNT(hay_needed)=0,"Not enough entered here to hold against the winter plan.",{first})'), "sentence"),
        sheet.put(COMPARED + 7, 0, Formula(f"=IF(plan_stop<>\"\",\"No plan to hold this against while a check fails: \"&plan_stop,IF(SUM({plan['ok']})=0,{none},{second}))"), "sentence"),
    ]  # fmt: skip


def _both(book: Book, sheet: Sheet, tons: tuple[str, str, str, str]) -> None:
    """Both answers to "do we run out?" in one sentence, at the top of both sheets, and why they differ."""
    here, hay, feeds, bought = tons
    short = '"is short by "&TEXT(tons_short,"0")&" tons"'
    alone = f'"Hay alone, to appetite: "&TEXT({here},"0")&" tons, the pile "&IF(hay_short>0,{short},"is enough")'
    beside = f'IF({feeds}<0.05,"",", with "&TEXT({feeds},"0.0")&" tons of other feeds")'
    buys = f'IF({bought}<0.05,"buys no hay","buys "&TEXT({bought},"0.0")&" tons of hay")'
    plan = f'". The plan rations by need: "&TEXT({hay},"0")&" tons"&{beside}&", and "&{buys}&"."'
    known = f'AND(COUNT(hay_short,{here})=2,SUM({book.marks["plan"]["ok"]})>0,plan_stop="")'
    at = sheet.put(3, 2, Formula(f'=IF({known},{alone}&{plan},"")'), "sentence")
    book.by_name("Winter budget").put(3, 2, Formula(f"={at}"), "sentence")
    book.marks["haypile"]["both"] = at


def _picture(book: Book, sheet: Sheet) -> None:
    """The pile as the tons that will be eaten, falling to nothing; three rates, and the day of turnout."""
    sheet.put(TABLE - 1, 0, "Table behind the picture", "section")
    sheet.heads(
        TABLE,
        0,
        ["Line", "Hay a day", "Days from the start", "Hay left"],
        ["text", "% of reckoned", "days", "tons as fed"],
    )
    sheet.heights[TABLE] = 34
    row = TABLE + 2
    series = []
    looks = (("as reckoned", "100", BLUE, "solid", "circle"), ("more a day", "100+pile_swing", VERMILLION, "dash", "diamond"),
             ("less a day", "100-pile_swing", PURPLE, "round_dot", "triangle"))  # fmt: skip
    unknown = "COUNT(days_of_hay)=0"
    for name, share, colour, dash, marker in looks:
        top = row
        for end in (0, 1):
            label = (
                Formula(f'="{name}: gone "&IF({unknown},{NOT_ENTERED},TEXT(winter_start+INT(C{row + 1}),"d mmm"))')
                if end
                else f"{name}: the start"
            )
            sheet.put(row, 0, label, "text")
            sheet.put(row, 1, Formula(f"={share}"), "number0", unit="%")
            sheet.put(
                row,
                2,
                Formula(f"=IF({unknown},{NOT_ENTERED},100*days_of_hay/B{row + 1})") if end else 0,
                "number0",
                unit="days",
            )
            sheet.put(row, 3, 0 if end else Formula("=hay_eaten/lb_per_ton"), "number1", unit="tons as fed")
            row += 1
        series.append(Series(sheet.ref(top + 1, 0), sheet.span(top, 2, top + 1, 2), sheet.span(top, 3, top + 1, 3), colour,
                             marker=marker, size=9, line=dash))  # fmt: skip
    for end in (0, 1):
        sheet.put(row + end, 0, Formula('="turnout "&TEXT(turnout,"d mmm")'), "text")
        sheet.put(row + end, 1, None, "number0")
        sheet.put(row + end, 2, Formula("=winter_days"), "number0", unit="days")
        sheet.put(row + end, 3, Formula("=hay_eaten/lb_per_ton") if end else 0, "number1", unit="tons as fed")
    series.append(Series(sheet.ref(row, 0), sheet.span(row, 2, row + 1, 2), sheet.span(row, 3, row + 1, 3), GREY,
                         marker="none", line="solid"))  # fmt: skip
    sheet.pictures.append(
        Picture(
            "scatter", 4, 5, sheet.ref(9, 0), "Days from the first day of hay feeding", "Hay left that will be eaten, tons",
            "Line chart of the hay that is left, in tons, against days from the first day of hay feeding: a solid line as reckoned, a dashed one for more hay a day and a dotted "
            "one for less, each ending at the day the hay is gone, and an upright line at turnout. The table is on this sheet.",
            series, width=540, height=470, x_range=(0, None), y_range=(0, None), legend=True,
        )
    )  # fmt: skip
