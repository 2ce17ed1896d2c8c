"""Hazards, cautions, repeat tests and herd care: limits through the sheets, and what was not tested."""

from __future__ import annotations

import pytest
from workbook.opened import Open

LAST = 10  # Windmill Forty, the drought-stressed lot of the demo


@pytest.fixture
def opened(editions):
    book, _, path = editions["functions"]
    return Open(book, path)


def put_lab(opened, field, value, number=1):
    opened.made.set_value("Lots", 7 + number, opened.book.marks["lots_at"][f"lab_{field}"] + 1, value)
    opened.made.evaluate_all()


@pytest.mark.parametrize(
    ("ppm", "calf", "others"),
    [(999, "Clear", "Clear"), (1000, "Caution", "Clear"), (1500, "Caution", "Caution"), (2000, "Danger", "Caution"), (3500, "Danger", "Danger"), (4001, "Danger", "Danger")],
)  # fmt: skip
def test_nitrate_on_the_clemson_scale(opened, ppm, calf, others):
    put_lab(opened, "nitrate_n_ppm", ppm)
    assert opened.get("cautions", "nitrate_calf_a") == calf
    assert opened.get("cautions", "nitrate_open_a") == others


def test_what_is_not_tested_says_so_everywhere_and_is_never_zero(opened):
    put_lab(opened, "nitrate_n_ppm", None)
    put_lab(opened, "k_pct", None)
    for table, mark in (("hazards", "no3"), ("hazards", "nitrate_calf_a"), ("hazards", "k"), ("hazards", "tetany_ratio"), ("hazards", "tetany"),
                        ("cautions", "nitrate_calf_a"), ("cautions", "tetany"), ("cautions", "heat"), ("hazards", "bound")):  # fmt: skip
        assert opened.get(table, mark) == "not tested", (table, mark)


def test_tetany_ratio_by_hand(opened):
    # K 3.0, Ca 0.40, Mg 0.15: 767.2 / (199.6 + 123.4) = 2.375, and magnesium is below 0.20
    for field, value in (("k_pct", 3.0), ("ca_pct", 0.4), ("mg_pct", 0.15)):
        put_lab(opened, field, value)
    assert opened.get("hazards", "tetany_ratio") == pytest.approx(2.375, abs=0.0005)
    assert opened.get("cautions", "tetany") == "Danger"


def test_as_fed_minerals_are_put_on_dry_basis_before_they_are_judged(opened):
    # Mill Bottom 1 is given as fed at 87.5 % dry matter: calcium 1.12 / 0.875 = 1.28 % of dry matter
    assert opened.get("hazards", "ca", 3) == pytest.approx(1.28, abs=0.0005)


def test_heat_damage_and_a_bound_protein_that_cannot_be(opened):
    # CP 18, ADICP 3.06: 17 % bound, 14.94 % left
    put_lab(opened, "cp_pct", 18)
    put_lab(opened, "adicp_pct", 3.06)
    assert opened.get("hazards", "bound") == pytest.approx(17, abs=0.005)
    assert opened.get("hazards", "available") == pytest.approx(14.94, abs=0.005)
    assert opened.get("cautions", "heat") == "Look"
    put_lab(opened, "adicp_pct", 19)
    assert opened.get("hazards", "bound") == "ADICP above CP: ask the lab"


@pytest.mark.parametrize(("temp", "word"), [(119, "Clear"), (120, "Caution"), (150, "Danger"), (190, "Danger")])
def test_stack_heat(opened, temp, word):
    opened.put("hazards", "temp", temp)
    assert opened.get("cautions", "stack") == word
    assert "fire service" in opened.get("hazards", "stack")


@pytest.mark.parametrize(("bale", "limit"), [("small square", 20), ("round", 18), ("large square", 16)])
def test_moisture_at_baling_by_kind_of_bale(opened, bale, limit):
    opened.put("register", "bale", bale)
    opened.put("hazards", "moisture", limit)
    assert opened.get("cautions", "baling") == "Clear"
    opened.put("hazards", "moisture", limit + 0.1)
    assert opened.get("cautions", "baling") in ("Caution", "Danger")
    opened.put("register", "bale", None)
    assert opened.get("cautions", "baling") == "not tested"


def test_counts_and_names_of_a_lot_reach_lots_and_ration(opened):
    says = opened.get("cautions", "says", LAST)
    assert says == "caution 1, to look at 1, not tested 4"  # nitrate, whatever the scale; tetany is a note
    told = opened.made.get_value("Lots", 7 + LAST, opened.book.marks["lots_at"]["cautions"] + 1)
    assert told == f"{says}: see Cautions (tab What could hurt)"
    opened.set_name("chosen_lot", "Windmill Forty")
    shown = str(opened.made.get_value("Ration", 38, 6))
    assert "Nitrate, in calf, Clemson: Caution." in shown
    assert says in shown


def test_a_danger_is_counted(opened):
    put_lab(opened, "nitrate_n_ppm", 4500, LAST)
    # 4,500 ppm is danger for all cattle on both scales; grass tetany stays a caution and the lab sheet a look
    assert opened.get("cautions", "count_dan", LAST) == 1  # one test, however many scales read it
    assert opened.get("cautions", "says", LAST).startswith("danger 1,")
    opened.set_name("chosen_lot", "Windmill Forty")
    assert "2 dangers" in opened.at(opened.book.marks["dietcautions"]["banner"])


def levels(opened):
    """The level of each line of the page Ration cautions, by the hazard's name."""
    sheet = opened.book.by_name("Ration cautions")
    rows = [r for (r, k) in sheet.cells if k == 0 and (r, 3) in sheet.cells]
    return {
        opened.made.get_value("Ration cautions", r + 1, 1): opened.made.get_value("Ration cautions", r + 1, 4)
        for r in rows
    }


def test_group_in_calf_gets_the_stricter_words_and_so_does_one_not_said(opened):
    put_lab(opened, "nitrate_n_ppm", 1200)
    line = "Lot: nitrate nitrogen, Clemson scale, for this group"
    assert levels(opened)[line] == "Clear"  # the spring calvers are not in calf
    opened.put("care", "pregnant", 1)
    assert levels(opened)[line] == "Caution"
    opened.put("care", "pregnant", None)
    assert levels(opened)[line] == "Caution"


def test_grain_urea_and_sulfur_of_the_ration(opened):
    before = levels(opened)
    assert before["Diet: starchy grain"] == "Clear"
    assert before["Diet: urea"] == "not tested"
    opened.set_name("other_grain", 6.5)  # 1,250 lb x 0.5 % = 6.25 lb
    opened.set_name("urea_fed", 0.1)
    opened.set_name("water_gal", 12)
    opened.set_name("water_sulfate", 2500)
    after = levels(opened)
    assert after["Diet: starchy grain"] == "Danger"
    assert after["Diet: urea"] == "Caution"
    # 12 gal x 3.785 l x 2,500 mg/l x 32.06/96.06 sulfur = 37.9 g = 0.0835 lb a day, on some 28 lb of dry matter 0.3 points more
    assert after["Diet: sulfur of the diet, and of the water where tested"] == "Caution"  # 0.18 % without the water
    opened.set_name("water_sulfate", 3000)  # 0.100 lb, 0.35 points more: above 0.50 %
    assert levels(opened)["Diet: sulfur of the diet, and of the water where tested"] == "Danger"
    opened.set_name("urea_fed", 3)
    assert levels(opened)["Diet: urea"] == "Danger"


def test_a_grain_supplement_counts_as_grain(opened):
    opened.set_name("chosen_feed", "corn grain")
    assert levels(opened)["Diet: starchy grain"] in ("Caution", "Danger")


@pytest.mark.parametrize(
    ("name", "book_name", "cp", "urea", "says"),
    [
        ("my pellet", "none", 281, "all", "Danger"), ("Urea, prilled", "none", 281, "all", "Danger"), ("feed grade", "urea 45", 281, "all", "Danger"),
        ("urea cube", "none", 28.1, "a tenth", "Danger"), ("my cube", "none", 28.1, "none", "not tested"),
    ],
)  # fmt: skip
def test_urea_under_any_name_counts_as_urea(opened, name, book_name, cp, urea, says):
    """By the two names or by its protein; of a mixed feed all protein counts as urea's, 281 % of it making a pound."""
    row = 14  # the first free one
    for mark, value in (
        ("name", name),
        ("book", book_name),
        ("price", 400),
        ("dm_pct", 99),
        ("tdn_pct", 60),
        ("cp_pct", cp),
    ):
        opened.put("feeds", mark, value, number=row)
    opened.set_name("chosen_feed", name)
    assert opened.get("feeds", "is_urea", row) == (urea != "none")
    fed = next(opened.made.get_value("Ration cautions", r, 2) for r in range(1, 80)
               if opened.made.get_value("Ration cautions", r, 1) == "Supplement, dry matter")  # fmt: skip
    counted = next(opened.made.get_value("Ration cautions", r, 2) for r in range(1, 80)
                   if opened.made.get_value("Ration cautions", r, 1) == "Urea of the supplement")  # fmt: skip
    assert counted == pytest.approx(fed * {"all": 1, "a tenth": 0.1, "none": 0}[urea], abs=1e-9)
    assert fed > 0.25 or urea == "none"
    assert levels(opened)["Diet: urea"] == says


def test_repeat_tests(opened):
    assert opened.get("repeats", "far", 3) == 0
    assert opened.get("cautions", "repeat", 3) == "Clear"
    opened.put("repeats", "second_cp", 9.3 + 1.6, number=1)
    opened.put("repeats", "same_lab", 1, number=1)
    assert opened.get("cautions", "repeat", 1) == "Look"  # 1.6 apart, one laboratory's usual error is 1
    opened.put("repeats", "same_lab", 0, number=1)
    assert opened.get("cautions", "repeat", 1) == "Clear"  # two laboratories: 2


def test_cold_and_mud_of_a_group(opened):
    # Oklahoma State: wind chill 4, dry winter coat: 32 - 4 = 28 % more
    for mark, value in (("air", 20), ("wind", 16), ("coat", "winter"), ("mud", 6)):
        opened.put("care", mark, value)
    assert opened.get("care", "increase") == 28
    more = 0.28 * opened.get("care", "maintenance") / opened.get("care", "nem")
    assert opened.get("care", "extra") == pytest.approx(more)
    assert opened.get("care", "cut") == 15
    opened.put("care", "coat", None)
    assert opened.get("care", "increase") == "not entered"
    assert opened.get("care", "cold") == "not entered"


def test_an_impossible_nitrate_is_never_clear_and_never_fed(opened):
    """20,000 ppm as fed at 45 % dry matter is 44,444 ppm of it, more than can be: an error, and no 'clear'."""
    opened.put("lots", "basis", "as fed")
    for field, value in (
        ("dm_pct", 45),
        ("cp_pct", 6),
        ("adf_pct", 16),
        ("ndf_pct", 27),
        ("nitrate_n_ppm", 20_000),
    ):
        put_lab(opened, field, value)
    assert str(opened.get("hazards", "nitrate_calf_a")).startswith("#")
    says = opened.get("cautions", "says")
    assert says.startswith("not worked out ")
    assert "clear in what was tested" not in says.casefold()
    assert (opened.get("sources", "most_calf"), opened.get("sources", "most_open")) == (0, 0)
    put_lab(opened, "nitrate_n_ppm", None)
    assert "not worked out" not in opened.get("cautions", "says")
    assert opened.get("sources", "most_calf") == 100
