"""What to feed against Python: the pounds, the dollars, the margin and the words of many choices; dials and the way back."""

from __future__ import annotations

import itertools
import math
import re

import numpy as np
import pytest
from workbook.choosing import choose, column
from workbook.opened import Open

import hayfuncs
from hayfuncs.workbook import fit
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.model import place_of
from hayfuncs.workbook.sheets import hall, shortwords
from hayfuncs.workbook.sheets.closecalls import CLOSE
from hayfuncs.workbook.sheets.halltables import Bars, Shares
from hayfuncs.workbook.sheets.hallwork import Working
from hayfuncs.workbook.sheets.whichhay import AT_DANGER, BEST, BUT, NOT_ALONE, Grid
from hayfuncs.workbook.styles import properties

LBS_OF_A_TON, STEP = 2000, 0.25
Z = 1.959963984540054  # two-sided 95 %, from a table of the normal distribution
DIALS = {"dial_protein": 12.5, "dial_energy": 60.0, "dial_eats": 22.0, "dial_price": 400.0}


@pytest.fixture(scope="module", params=["functions", "plain"])
def opened(request, editions):
    book, _, path = editions[request.param]
    return Open(book, path)


def shown(opened, row):
    return str(opened.at(opened.book.by_name(hall.NAME).ref(row, 0)))


def working(opened, key):
    return opened.at(getattr(opened.book.find(Working), key))


def stepped(pounds):
    return math.ceil(round(pounds / STEP, 6)) * STEP


def lot_row(opened, name):
    return 1 + [lot.name for lot in DEMO.lots].index(name)


def hay_margins(opened, row):
    """From the lab sheet and the spreads printed on Assumptions, by numpy alone."""
    got = {k: opened.get("lots", k, row) for k in ("tdn_fiber", "ndf", "lab_ndfd48_pct", "rfq_forage")}
    cores = DEMO.lots[row - 1].cores or 1

    def of(core, lab):
        return Z * np.hypot(core / np.sqrt(cores), lab)

    cp, adf, ndf, ndfd = of(1.0, 1.0), of(2.0, 1.0), of(2.5, 1.4), of(2.0, 3.3)
    if isinstance(got["tdn_fiber"], float):
        args = (got["ndf"], got["lab_ndfd48_pct"], got["rfq_forage"], cp, ndf, ndfd, Z)
        return float(hayfuncs.tdn_sum_margin(*args)), float(cp)
    return float(hayfuncs.tdn_margin("digestible dry matter", adf, Z * 1.5)), float(cp)


CHOICES = list(itertools.islice(itertools.product(
    [lot.name for lot in DEMO.lots], [g.name for g in DEMO.groups], ["corn gluten feed", "soybean hulls", "cottonseed meal"],
), 0, None, 7))  # fmt: skip


@pytest.mark.parametrize(("lot", "group", "feed"), CHOICES, ids=[", ".join(c) for c in CHOICES])
def test_the_sentence_is_what_python_says(opened, lot, group, feed):
    choose(opened, lot, group)
    opened.set_name("chosen_feed", feed)
    ration = {k: opened.at(opened.book.marks["ration"][k]) for k in (
        "tdn_need", "cp_need", "hay", "hay_tdn", "hay_cp", "feed_tdn", "feed_cp", "feed_dm", "price", "head")}  # fmt: skip
    case = [ration[k] for k in ("tdn_need", "cp_need", "hay", "hay_tdn", "hay_cp", "feed_tdn", "feed_cp", "feed_dm")]
    rate = hayfuncs.supplement_rate("pounds", *case, 0)
    tdn_m, cp_m = hay_margins(opened, lot_row(opened, lot))
    assert working(opened, "hay_tdn_margin") == pytest.approx(tdn_m, rel=1e-6)
    assert working(opened, "hay_cp_margin") == pytest.approx(cp_m, rel=1e-6)
    lb = stepped(rate)
    assert opened.name("hall_rate") == pytest.approx(lb)
    assert opened.name("hall_herd") == pytest.approx(lb * ration["head"])
    assert opened.name("hall_cost") == pytest.approx(lb * ration["price"] / LBS_OF_A_TON)
    given = [ration["hay"] * ration[f"hay_{n}"] / 100 for n in ("tdn", "cp")]
    margins = [ration["hay"] * m / 100 for m in (tdn_m, cp_m)]
    verdicts = [hayfuncs.close_call(ration[f"{n}_need"], g, m) for n, g, m in zip(("tdn", "cp"), given, margins, strict=True)]  # fmt: skip
    answer, second = shown(opened, hall.ANSWER), shown(opened, hall.SECOND)
    caution = opened.name("chosen_cow_caution")
    if "short" in verdicts:
        assert answer == f"{'At least' if caution else 'Feed'} {lb:g} lb a head a day"
        assert f"{lb * ration['head']:,.0f} lb for {ration['head']:g} head" in second
        cents = re.search(r"\$(\d+\.\d\d) a head", second)
        assert float(cents.group(1)) == pytest.approx(lb * ration["price"] / LBS_OF_A_TON, abs=0.00501)
    elif "too close to call" in verdicts:
        assert answer == "Too close to call"
        assert "weigh the cattle" in shown(opened, hall.THIRD)
    else:
        assert answer == ("Enough for a grown cow" if caution else "Enough: no feed needed")
    feed_m = [working(opened, f"feed_{n}_margin") for n in ("tdn", "cp")]
    if "short" in verdicts and isinstance(opened.name("hall_margin"), float):
        margin = hayfuncs.supplement_margin("pounds", *case, 0, tdn_m, cp_m, *feed_m)
        low = math.floor(round(max(0, rate - margin) / STEP, 6)) * STEP
        assert f"({low:g} to {stepped(rate + margin):g} lb, 95 % sure)" in second


def test_a_feed_whose_price_is_not_typed_is_not_free(opened):
    choose(opened, "Heron Flat 1", "Spring calvers in milk")
    opened.set_name("chosen_feed", "corn gluten feed")
    row = 1 + list(DEMO.prices).index("corn gluten feed")
    price = opened.get("feeds", "price", row)
    opened.put("feeds", "price", None, row)
    assert shown(opened, hall.SECOND).endswith("279 lb for 62 head, its price is not typed.")
    assert opened.name("cost_per_cow_day") == "not entered"
    assert str(opened.name("master_check")).startswith("✓"), "nothing else rests on it"
    opened.put("feeds", "price", 0, row)
    assert shown(opened, hall.SECOND).endswith("279 lb for 62 head, $0.00 a head a day.")
    opened.put("feeds", "price", price, row)
    assert shown(opened, hall.SECOND).endswith("279 lb for 62 head, $0.51 a head a day.")


def test_dials_are_followed_and_cleared(opened):
    choose(opened, "Heron Flat 1", "Spring calvers in milk")
    opened.set_name("chosen_feed", "corn gluten feed")
    before = {row: shown(opened, row) for row in (hall.ANSWER, hall.SECOND, hall.THIRD, hall.CAUTION)}
    for name, value in DIALS.items():
        opened.set_name(name, value)
    assert [opened.at(opened.book.marks["ration"][k]) for k in ("hay_cp", "hay_tdn", "hay", "price")] == list(
        DIALS.values()
    )
    need = opened.name("chosen_tdn_need"), opened.name("chosen_cp_need")
    feed = [opened.at(opened.book.marks["ration"][k]) for k in ("feed_tdn", "feed_cp", "feed_dm")]
    lb = stepped(hayfuncs.supplement_rate("pounds", *need, 22.0, 60.0, 12.5, *feed, 0))
    assert opened.name("hall_rate") == pytest.approx(lb)
    assert opened.name("hall_cost") == pytest.approx(lb * 400 / LBS_OF_A_TON)
    assert "Dials on" in str(opened.at(opened.book.by_name(hall.NAME).ref(hall.OWN, 2)))
    assert str(opened.name("master_check")).startswith("✓"), "the longhand follows the dials too"
    assert "Dials are on" in str(opened.name("verdict_withheld"))
    for name in DIALS:
        opened.set_name(name, None)
    assert {row: shown(opened, row) for row in before} == before


def test_a_failing_check_leaves_no_number(opened):
    choose(opened, "Heron Flat 1", "Spring calvers in milk")
    held = opened.get("lots", "lab_cp_pct", 1)
    opened.put("lots", "lab_cp_pct", 0.08, 1)
    assert shown(opened, hall.ANSWER) == "No answer: a check fails"
    said = " ".join(shown(opened, row) for row in (hall.SECOND, hall.THIRD, hall.CAUTION, hall.PERCENT))
    assert "protein under 2 %" in said
    assert not re.search(r"\d lb|\$", said)
    bars, shares = opened.book.find(Bars), opened.book.find(Shares)
    drawn = (bars.larger, bars.other, shares.hay, shares.feed)
    assert all(value == 0 for span in drawn for value in column(opened, span))
    opened.put("lots", "lab_cp_pct", held, 1)


def test_the_best_hay_is_enough_and_in_no_danger(opened):
    """Of the hays that are enough, those with the fewest cautions; of these the one least above her need; never one in
    danger.  Where none is enough the one that covers most.  A page to take home is given the same hay."""
    calls, groups = opened.book.marks["closecalls"], len(DEMO.groups)
    says, covered = column(opened, calls["says"]), column(opened, calls["covered"])
    sheet, row, col, last, _ = place_of(opened.book.marks["verdict"])
    for g in range(groups):
        shown_words = [opened.at(opened.book.by_name(sheet).ref(r, col + g)) for r in range(row, last + 1)]
        best = [i for i, word in enumerate(shown_words) if word.startswith((BEST, BUT))]
        assert len(best) == 1
        enough = [i for i in range(len(DEMO.lots)) if says[i * groups + g] == "enough"]
        for i in best:
            assert opened.get("cautions", "count_dan", i + 1) == 0
            word = says[i * groups + g]
            assert shown_words[i] == (BUT if word == CLOSE else BEST) + word
            safe = [k for k in enough if opened.get("cautions", "count_dan", k + 1) == 0]
            if safe:
                cautions = {k: opened.get("cautions", "count_cau", k + 1) for k in safe}
                fewest = [k for k in safe if cautions[k] == min(cautions.values())]
                assert i == min(fewest, key=lambda k: covered[k * groups + g])
            else:
                assert covered[i * groups + g] == max(covered[k * groups + g] for k in range(len(DEMO.lots)))
            if DEMO.groups[g].name != opened.name("chosen_group"):
                assert opened.get("take_home_numbers", "lot", g + 1) == i + 1
    opened.put("lots", "lab_nitrate_n_ppm", 9000, 7)
    after = [opened.at(opened.book.by_name(sheet).ref(row + 6, col + g)) for g in range(groups)]
    assert not any(word.startswith((BEST, BUT)) for word in after), "9,000 ppm of nitrate is nobody's best hay"
    opened.put("lots", "lab_nitrate_n_ppm", None, 7)


def test_every_caution_stands_in_one_line():
    look = properties("hall_caution")
    room = sum(hall.WIDE) * 9
    texts = [shortwords.NONE, shortwords.UNBOOKED, *shortwords.FEEDS.values()]
    for short in shortwords.SHORT.values():
        texts += [text.strip('"') for text in (short.caution, short.danger, short.noted, short.untested)]
    for text in texts:
        assert fit.height(text, room, look) <= look["font_size"] * fit.LINE + 2, text


def test_a_hay_that_nitrate_keeps_from_being_fed_alone_is_nobodys_best_and_on_no_page(opened):
    """1,620 ppm is no danger by its word, and a quarter of a mixed diet at most for cows in calf."""
    lots, groups = [lot.name for lot in DEMO.lots], len(DEMO.groups)
    sheet, row, col, *_ = place_of(opened.book.marks["verdict"])
    grid = opened.book.find(Grid)

    def shown(number):
        words = [opened.at(opened.book.by_name(sheet).ref(row + number - 1, col + g)) for g in range(groups)]
        return opened.at(grid.some(Grid.hay, number)), words

    assert shown(lots.index("Windmill Forty") + 1)[0] == "Windmill Forty" + NOT_ALONE, (
        "the plan leaves it out: hay is not mixed"
    )
    richest = lots.index("North Bench 1") + 1  # the best for late-pregnant and for dry cows
    before, words = shown(richest)
    assert before == "North Bench 1"
    assert sum(word.startswith(BEST) for word in words) == 2
    opened.put("lots", "lab_nitrate_n_ppm", 1620, richest)
    assert opened.get("cautions", "count_dan", richest) == 0
    name, after = shown(richest)
    assert name == "North Bench 1" + NOT_ALONE
    assert not any(word.startswith((BEST, BUT)) for word in after)
    opened.set_name("plan_mixed", 1)
    name, after = shown(richest)
    assert name == "North Bench 1" + NOT_ALONE
    assert not any(word.startswith((BEST, BUT)) for word in after)
    opened.set_name("plan_mixed", 0)
    opened.put("lots", "lab_nitrate_n_ppm", 4500, richest)
    assert opened.get("cautions", "count_dan", richest) == 1
    assert shown(richest)[0] == "North Bench 1" + AT_DANGER
    opened.put("lots", "lab_nitrate_n_ppm", 1620, richest)
    at = DEMO.groups.index(next(g for g in DEMO.groups if g.name == "Late-pregnant cows")) + 1
    typed = opened.book.inputs[f"Take home/{at}/hay"]
    opened.made.set_value(typed[0], typed[1] + 1, typed[2] + 1, "North Bench 1")
    opened.made.evaluate_all()
    assert "By its nitrate this hay is not fed alone" in opened.get("take_home_numbers", "why", at)
    assert opened.get("take_home_numbers", "shown", at) == 0
    opened.made.set_value(typed[0], typed[1] + 1, typed[2] + 1, None)
    opened.put("lots", "lab_nitrate_n_ppm", None, richest)
