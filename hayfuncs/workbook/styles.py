"""The looks of cells, by name.  Color is never the only sign: inputs have a dotted frame and
are listed on Start, flags carry a word and a symbol, and everything reads in gray print."""

from __future__ import annotations

from typing import Any

# both are on every Windows and Mac, and elsewhere have stand-ins of the same widths; of no theme, whose own face
# Excel would show in place of the one named
FONT, MONO = "Arial", "Courier New"
BODY = 12
INK = "#1F1F1F"
BLUE, VERMILLION, GREEN, PURPLE, GRAY = "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#595959"
STRAW, MIST, CHALK = "#FFF6D8", "#E8EEF2", "#F7F7F5"

BASE: dict[str, Any] = {"font_name": FONT, "font_scheme": "none", "font_size": BODY, "font_color": INK, "valign": "top"}
_INPUT = {"bg_color": STRAW, "border": 4, "border_color": "#7A6A2C", "locked": False}

STYLES: dict[str, dict[str, Any]] = {
    "title": {"font_size": 20, "bold": True, "valign": "vcenter"},
    "sentence": {"font_color": GRAY},
    "role": {
        "bold": True,
        "bg_color": MIST,
        "border": 1,
        "border_color": "#9AA7B0",
        "align": "center",
        "valign": "vcenter",
    },
    "master": {"bold": True, "align": "left"},
    "part": {"font_size": 16, "bold": True, "top": 5, "top_color": BLUE, "valign": "vcenter"},
    "section": {"bold": True, "font_size": 15, "bottom": 2, "bottom_color": GRAY},
    "picture_title": {"bold": True},
    "label": {"text_wrap": True},
    "question": {"text_wrap": True, "bold": True},
    "text": {},
    "text_in": {},
    "wrap": {"text_wrap": True},
    "small": {"text_wrap": True, "font_size": 11},
    "note": {"text_wrap": True, "font_size": 11},
    "head": {"bold": True, "text_wrap": True, "bg_color": MIST, "bottom": 1, "align": "center", "valign": "vcenter"},
    "unit": {
        "italic": True,
        "text_wrap": True,
        "bg_color": MIST,
        "font_size": 11,
        "align": "center",
        "valign": "vcenter",
        "bottom": 1,
    },
    "unit_cell": {"italic": True, "font_color": GRAY, "text_wrap": True},
    "number0": {"num_format": "#,##0", "align": "right"},
    "number1": {"num_format": "#,##0.0", "align": "right"},
    "number2": {"num_format": "#,##0.00", "align": "right"},
    "number3": {"num_format": "#,##0.000", "align": "right"},
    "number6": {"num_format": "0.000000", "align": "right"},
    "general": {"align": "right"},
    "no_limit": {"num_format": '"no limit"', "align": "right", "font_color": GRAY},
    "lb_or_none": {"num_format": '[>=1000]"no limit";#,##0.00', "align": "right"},  # 1,000 lb a day stands for none
    "pct_or_none": {"num_format": '[>=100]"no limit";#,##0.00', "align": "right"},  # and 100 %
    "money": {"num_format": "$#,##0.00", "align": "right"},
    "money0": {"num_format": "$#,##0", "align": "right"},
    "date": {"num_format": "d mmm yyyy", "align": "right"},
    "result1": {"num_format": "#,##0.0", "align": "right", "bold": True, "top": 1, "bottom": 1},
    "result2": {"num_format": "#,##0.00", "align": "right", "bold": True, "top": 1, "bottom": 1},
    "result_money": {"num_format": "$#,##0.00", "align": "right", "bold": True, "top": 1, "bottom": 1},
    "result_money0": {"num_format": "$#,##0", "align": "right", "bold": True, "top": 1, "bottom": 1},
    # of rows that may be empty: nothing for 0
    "number0_seen": {"num_format": '#,##0;-#,##0;""', "align": "right"},
    "number2_seen": {"num_format": '#,##0.00;-#,##0.00;""', "align": "right"},
    "number3_seen": {"num_format": '#,##0.000;-#,##0.000;""', "align": "right"},
    "money_seen": {"num_format": '$#,##0.00;-$#,##0.00;""', "align": "right"},
    "money0_seen": {"num_format": '$#,##0;-$#,##0;""', "align": "right"},
    "number_or_dash": {"num_format": '#,##0.0;-#,##0.0;"–"', "align": "right"},
    "whole_or_dash": {"num_format": '#,##0;-#,##0;"–"', "align": "right"},
    "money_or_dash": {"num_format": '$#,##0;-$#,##0;"–"', "align": "right"},
    "result_text": {"bold": True, "top": 1, "bottom": 1},
    "result_whole": {"num_format": "#,##0", "align": "center", "bold": True, "bottom": 1, "bottom_color": "#B8C0C6"},
    "tick": {"border": 1, "border_color": GRAY},
    "label_line": {"bottom": 1, "bottom_color": GRAY, "font_size": 13},
    "banner": {"bold": True, "font_size": 16, "left": 5, "left_color": BLUE, "bg_color": CHALK, "valign": "vcenter"},
    "banner_rest": {"bg_color": CHALK},
    "caution": {"text_wrap": True, "left": 5, "left_color": VERMILLION, "bg_color": CHALK},
    "verdict": {"align": "center", "border": 1, "border_color": "#B8C0C6", "text_wrap": True},
    "grid": {
        "font_size": 14,
        "align": "center",
        "valign": "vcenter",
        "border": 1,
        "border_color": "#B8C0C6",
        "text_wrap": True,
    },
    "grid_name": {"font_size": 14, "bold": True, "valign": "vcenter", "text_wrap": True},
    "grid_0": {"font_size": 14, "num_format": "#,##0", "align": "right", "valign": "vcenter"},
    "grid_1": {"font_size": 14, "num_format": "#,##0.0", "align": "right", "valign": "vcenter"},
    # the hall's sheet, read from the back of the room: sizes against the height of the screen
    "hall_title": {"font_size": 14, "bold": True, "valign": "vcenter"},
    "hall_label": {"font_size": 16, "font_color": GRAY, "valign": "vcenter"},
    "hall_choice": {**_INPUT, "bold": True, "font_size": 16, "valign": "vcenter", "align": "left"},
    "hall_dial": {**_INPUT, "font_size": 16, "num_format": "0.0##", "align": "center", "valign": "vcenter"},
    "hall_dial_money": {**_INPUT, "font_size": 16, "num_format": "$#,##0", "align": "center", "valign": "vcenter"},
    "hall_own": {"font_size": 16, "font_color": GRAY, "num_format": "0.0", "align": "center", "valign": "vcenter"},
    "hall_own_money": {
        "font_size": 16,
        "font_color": GRAY,
        "num_format": "$#,##0",
        "align": "center",
        "valign": "vcenter",
    },
    "hall_own_text": {"font_size": 16, "font_color": GRAY, "align": "right", "valign": "vcenter"},
    "hall_answer": {"font_size": 58, "bold": True, "valign": "vcenter", "font_color": "#1B3A2D"},
    "hall_second": {"font_size": 25, "valign": "vcenter"},
    "hall_third": {"font_size": 18, "font_color": "#404040", "valign": "vcenter"},
    "hall_caution": {"font_size": 25, "valign": "vcenter", "bg_color": "#F7E7DC", "font_color": "#6B2700"},
    "marks": {"font_color": GRAY, "font_size": 11, "align": "fill"},  # cut at the cell's edge, and never wrapped
    "link": {"font_color": "#00527F", "underline": 1},
    "code": {"font_name": MONO, "font_size": 11, "text_wrap": True},
    "input": {**_INPUT, "num_format": "#,##0.0##", "align": "right"},
    "input0": {**_INPUT, "num_format": "#,##0", "align": "right"},
    "input2": {**_INPUT, "num_format": "#,##0.00", "align": "right"},
    "input_money": {**_INPUT, "num_format": "$#,##0.00", "align": "right"},
    "input_text": {**_INPUT, "text_wrap": True},
    "input_big": {**_INPUT, "bold": True, "font_size": 13},
    # of the pages to take home: nothing under 12 points, and black on white
    "take_title": {"bold": True, "font_size": 24, "valign": "vcenter"},
    "take_line": {"font_size": 12, "valign": "vcenter"},
    "take_strong": {"font_size": 12, "bold": True, "valign": "vcenter"},
    "take_answer": {"bold": True, "font_size": 16, "valign": "vcenter"},
    "take_head": {"bold": True, "font_size": 13, "bg_color": MIST, "valign": "vcenter", "top": 1, "bottom": 1},
    "take_head_right": {
        "bold": True,
        "font_size": 13,
        "bg_color": MIST,
        "align": "right",
        "valign": "vcenter",
        "top": 1,
        "bottom": 1,
    },
    "take_item": {"font_size": 16, "valign": "vcenter"},
    "card_item": {"font_size": 14, "valign": "vcenter"},
    "card_lb": {"font_size": 14, "bold": True, "num_format": '#,##0" lb"', "align": "right", "valign": "vcenter"},
    "card_tenths": {"font_size": 14, "bold": True, "num_format": '#,##0.0" lb"', "align": "right", "valign": "vcenter"},
    "take_big": {"font_size": 16, "bold": True, "valign": "vcenter"},
    "take_lb": {"font_size": 18, "bold": True, "num_format": '#,##0" lb"', "align": "right", "valign": "vcenter"},
    "take_feed": {"font_size": 18, "bold": True, "num_format": '#,##0.00" lb"', "align": "right", "valign": "vcenter"},
    "take_tenths2": {"font_size": 16, "num_format": '#,##0.00" lb"', "align": "right", "valign": "vcenter"},
    "take_feed_small": {"font_size": 14, "num_format": '#,##0.00" lb"', "align": "right", "valign": "vcenter"},
    "take_tons": {"font_size": 14, "num_format": "#,##0.0", "align": "right", "valign": "vcenter"},
    "take_money": {"font_size": 14, "num_format": "$#,##0", "align": "right", "valign": "vcenter"},
    "take_cents": {"font_size": 14, "bold": True, "num_format": "$#,##0.00", "align": "right", "valign": "vcenter"},
    "take_caution": {"font_size": 12, "text_wrap": True, "left": 5, "left_color": INK},
    # of the lessons, read from the hall
    "lesson_label": {"font_size": 16, "text_wrap": True, "valign": "vcenter"},
    "lesson_input": {**_INPUT, "font_size": 16, "bold": True, "valign": "vcenter", "align": "left"},
    "lesson_input_date": {**_INPUT, "font_size": 18, "num_format": "d mmm yyyy", "align": "right", "valign": "vcenter"},
    "lesson_input_whole": {**_INPUT, "font_size": 18, "num_format": "General", "align": "right", "valign": "vcenter"},
    "lesson_question": {"font_size": 18, "bold": True, "valign": "vcenter"},
    "lesson_said": {"font_size": 16, "bold": True, "valign": "vcenter", "align": "left"},
    "lesson_number": {"font_size": 18, "num_format": "#,##0.00", "align": "right", "valign": "vcenter"},
    "lesson_whole": {"font_size": 18, "num_format": "#,##0", "align": "right", "valign": "vcenter"},
    "lesson_date": {"font_size": 18, "num_format": "d mmm yyyy", "align": "right", "valign": "vcenter"},
    "lesson_answer": {"font_size": 20, "bold": True, "num_format": "#,##0.0", "align": "right", "valign": "vcenter"},
    "input_shown": {**_INPUT, "locked": True},  # the legend's example of an input
    "input_date": {**_INPUT, "num_format": "d mmm yyyy", "align": "right"},
    # added to a cell whose word says the same
    "flag_bad": {"bold": True, "bg_color": "#FBE3D4", "font_color": "#7A2E00"},
    "flag_warn": {"bold": True, "bg_color": "#EFE3EC", "font_color": "#4F1F40"},
    # the grid of lots and groups: four fills apart in gray too, each by 1.5 to 1
    "flag_best": {"bold": True, "bg_color": "#0B4A6F", "font_color": "#FFFFFF"},
    "flag_short": {"bg_color": "#D9824F", "font_color": "#2B0F00"},
    "flag_enough": {"bg_color": "#9CC9E3", "font_color": "#00263D"},
    "flag_close": {"italic": True, "bg_color": "#F6F2E3", "font_color": "#3A2F00"},
    "flag_stop": {"font_color": "#8A2B00"},
    "flag_unsure": {"font_color": "#5B4A00"},
    "flag_dials": {"bold": True, "font_color": "#7A2E00"},
    "flag_no_number": {"bg_color": "#FFFFFF", "font_color": "#FFFFFF"},  # an error whose reason the sheet says in words
    "flag_withheld": {"num_format": '"–";"–";"–";"–"', "font_color": "#7A2E00"},  # the number is there and is not shown
    "flag_good": {"bold": True, "bg_color": "#DDEFF7", "font_color": "#003F63"},
}


# of the tabs, by the word for their kind, which stands in the head too; no two next to each other are alike in gray
TAB_COLORS = {"Start": INK, "Inputs": "#F2C94C", "Answer": BLUE, "Working": "#9AA7B0", "Reference": "#DDE3E8"}


# text begins one step in wherever it may stand right of a number; column A stays under the title
INDENTED = {
    "master", "label", "question", "text", "text_in", "wrap", "small", "note", "unit_cell", "result_text", "link", "code",
    "caution", "grid_name", "input_text", "input_big", "input_shown",
}  # fmt: skip


def properties(style: str, col: int = 0) -> dict[str, Any]:
    """Everything XlsxWriter needs for a style in a column; flags change only what they say."""
    if style.startswith("flag_"):
        return dict(STYLES[style])
    inside = {"indent": 1, "align": "left"} if col and style in INDENTED else {}
    return {**BASE, **STYLES[style], **inside}
