"""The supplement functions: what cannot be done is said, and the longhand says the same."""

from __future__ import annotations

import random

import formualizer
import numpy as np
import pytest

import hayfuncs
from hayfuncs.contract.catalogue import CATALOGUE
from hayfuncs.formulas.template import guard, one_formula
from hayfuncs.ration import feeds
from hayfuncs.spreadsheet.engine_values import plain_value

SHEETS = {"supplements": feeds.table(), "feeding_limits": feeds.limits_table()}
POINTS = 60


def refused(match: str, function: str, *args: object) -> None:
    with pytest.raises(hayfuncs.OutOfRange, match=match):
        getattr(hayfuncs, function)(*args)
    assert match in hayfuncs.reason(function.upper(), *args)


def test_a_feed_that_is_too_poor_never_gets_there() -> None:
    refused("never gets there", "supplement_for_share", 60, 23.3, 53, 60)
    refused("never gets there", "supplement_rate", "share", 60, 8, 24, 53, 9, 58, 12, 90, 0)
    refused("never gets there", "supplement_driver", "share", 55, 12, 24, 56, 9, 70, 11, 90, 0)
    assert hayfuncs.supplement_for_share(60, 23.3, 60, 40) == 0


def test_displacement_can_eat_the_gain() -> None:
    refused("displacement eats the gain", "supplement_for_pounds", 16, 26, 52, 52, 1)
    refused("feed_tdn_pct", "supplement_rate", "pounds", 16, 1, 26, 52, 8, 52, 12, 90, 1)
    assert hayfuncs.supplement_for_pounds(13, 26, 52, 40, 1) == 0  # the hay covers it, the feed is not asked


def test_no_more_hay_is_displaced_than_is_eaten() -> None:
    # 10 lb of hay; the supplement, in place of all of it, would have to bring 12 lb from 10 / 1 lb
    refused("no more hay displaced", "supplement_for_pounds", 12, 10, 48, 80, 1)
    refused("hay_displaced", "supplement_rate", "pounds", 12, 0.5, 10, 48, 9, 80, 10, 90, 1)
    at_the_edge = hayfuncs.supplement_for_pounds(8, 10, 48, 80, 1)
    assert at_the_edge == pytest.approx(10)


def test_a_supplement_must_not_thin_the_other_nutrient() -> None:
    refused("thin the protein", "supplement_rate", "share", 60, 7, 24, 53, 7.05, 72, 5.8, 74, 0)
    refused("thin the TDN", "supplement_rate", "share", 55, 10, 24, 55.1, 8, 40, 45, 90, 0)
    refused("thin the protein", "supplement_rate", "pounds", 16, 2, 26, 52, 8, 78, 4, 90, 1)


def test_share_takes_shares() -> None:
    refused("at most 100 %", "supplement_rate", "share", 160, 7, 24, 53, 7.05, 225, 9, 74, 0)


def test_the_answer_covers_both_needs() -> None:
    rng = random.Random(3)
    met = 0
    for _ in range(3000):
        basis, args = rate_point(rng)
        if hayfuncs.reason("SUPPLEMENT_RATE", basis, *args):
            continue
        tdn, cp, hay, hay_tdn, hay_cp, feed_tdn, feed_cp, dm, out = args
        dry = hayfuncs.supplement_rate(basis, *args) * dm / 100
        eaten = hay - (out * dry if basis == "pounds" else 0)
        assert eaten >= -1e-9
        over = 1 if basis == "pounds" else (eaten + dry) / 100
        has_tdn, has_cp = (eaten * hay_tdn + dry * feed_tdn) / 100, (eaten * hay_cp + dry * feed_cp) / 100
        assert has_tdn >= tdn * over - 1e-9
        assert has_cp >= cp * over - 1e-9
        driver = hayfuncs.supplement_driver(basis, *args)
        if driver == "none":
            assert dry == 0
        else:  # and not a pound more than the driver asks for
            short = (tdn * over - has_tdn) if driver == "TDN" else (cp * over - has_cp)
            assert short == pytest.approx(0, abs=1e-7)
        met += 1
    assert met > 500


def test_scalar_block_and_whole_numbers_agree() -> None:
    one = hayfuncs.supplement_rate("share", 60, 8, 24, 53, 9, 77, 12, 90, 0)
    many = hayfuncs.supplement_rate("share", [60, 60, 60], 8, 24, [53, 62, 53], 9, [77, 77, 50], 12, 90, 0)
    assert isinstance(one, float)
    assert many[0] == one
    assert many[1] == 0
    assert np.isnan(many[2])
    both = hayfuncs.supplement_rate([["share", "pounds"]], [[60, 14.0]], [[8, 2.0]], 24, 53, 9, 77, 12, 90, 0)
    assert both[0, 0] == one
    assert both[0, 1] == pytest.approx((14 - 24 * 0.53) / 0.77 / 0.9)


def test_common_case_in_full() -> None:
    """Hay of 53 % TDN and 8.6 % CP to appetite, hulls to 60 % TDN: common practice, no source.

    The protein then supplied, about 3.1 lb a day, covers the 2.93 lb of a 1,200-lb cow at a peak
    of 20 lb of milk (equations, month 2), although the diet holds under 10 % protein.
    """
    hulls_cp = hayfuncs.feed_analysis("soybean hulls", "CP")
    rate = hayfuncs.supplement_rate("share", 60, 8, 23.3, 53, 8.6, 77, hulls_cp, 90, 0)
    dry = hayfuncs.dry_weight(rate, 90)
    share = hayfuncs.weighted_mean([53, 77], [23.3, dry])
    protein_pct = hayfuncs.weighted_mean([8.6, hulls_cp], [23.3, dry])
    protein_lb = (23.3 + dry) * protein_pct / 100
    assert share == pytest.approx(60)
    assert protein_pct < 10
    assert protein_lb == pytest.approx(3.1, rel=0.05)
    assert hayfuncs.nutrient_short(2.93, 23.3 + dry, protein_pct) == 0
    # the same cow and hay by pounds of TDN: far less, for the hay's own pounds count in full
    pounds = hayfuncs.supplement_rate("pounds", 15.0, 2.0, 23.3, 53, 8.6, 77, hulls_cp, 90, 0)
    assert pounds == pytest.approx((15 - 23.3 * 0.53) / 0.77 / 0.9)
    assert pounds < rate / 2


# --- longhand = function, errors too


def rate_point(rng: random.Random) -> tuple[str, list[float]]:
    basis = rng.choice(["pounds", "share"])
    hay = rng.uniform(8, 32)
    hay_tdn, hay_cp = rng.uniform(40, 65), rng.uniform(4, 18)
    tdn, cp = rng.uniform(45, 66), rng.uniform(5, 13)
    if basis == "pounds":
        tdn, cp = tdn * hay / 90, cp * hay / 90
    out = rng.choice([0, 0, rng.uniform(0, 1.9)])
    return basis, [tdn, cp, hay, hay_tdn, hay_cp, rng.uniform(40, 95), rng.uniform(5, 54), rng.uniform(30, 99), out]


def point(name: str, rng: random.Random) -> list[object]:
    if name in ("SUPPLEMENT_RATE", "SUPPLEMENT_DRIVER"):
        basis, args = rate_point(rng)
        return [basis, *args]
    if name == "FEED_ANALYSIS":
        return [rng.choice([*feeds.table().names(), "no such feed"]), rng.choice(list(feeds.COLUMNS))]
    if name == "FEED_CAUTION":
        rate = rng.choice([0, 0.2, 0.3, 2, 2.1, 3, 6, rng.uniform(0, 15)])
        return [rng.choice(feeds.table().names()), rate, rng.choice([400, 450, 1200, rng.uniform(300, 2000)])]
    if name == "PEARSON_SHARE":
        return [rng.uniform(4, 50), rng.uniform(4, 50), rng.uniform(4, 50)]
    hay, pct, feed = rng.uniform(8, 32), rng.uniform(40, 65), rng.uniform(30, 95)
    need = hay * rng.uniform(35, 75) / 100
    return {
        "NUTRIENT_SHORT": [need, hay, pct],
        "SUPPLEMENT_FOR_POUNDS": [need, hay, pct, feed, rng.choice([0, rng.uniform(0, 2)])],
        "SUPPLEMENT_FOR_SHARE": [rng.uniform(45, 70), hay, pct, feed],
    }[name]


def place(table: str, column: str) -> str:
    sheet = SHEETS[table]
    letter = "ABCDEFGHIJKLMNOP"[sheet.columns.index(column)]
    return f"{table}!${letter}$1:${letter}${len(sheet.rows)}"


@pytest.fixture(scope="module")
def book() -> formualizer.Workbook:
    made = formualizer.Workbook()
    for name, sheet in SHEETS.items():
        made.add_sheet(name)
        for r, row in enumerate(sheet.rows, 1):
            for c, column in enumerate(sheet.columns, 1):
                if row[column] not in (None, ""):
                    made.set_value(name, r, c, row[column])
    made.add_sheet("calls")
    return made


def topic() -> list[str]:
    return [r.name for r in CATALOGUE.values() if r.plain.__module__ in MODULES]


MODULES = ("hayfuncs.ration.supplement", "hayfuncs.ration.two_nutrients", "hayfuncs.ration.feeds")


@pytest.mark.parametrize("name", topic())
def test_longhand_is_the_function(name: str, book: formualizer.Workbook) -> None:
    record = CATALOGUE[name]
    function = getattr(hayfuncs, record.python_name)
    rng = random.Random(name)
    answered = 0
    for i in range(1, POINTS + 1):
        args = point(name, rng)
        for c, value in enumerate(args, 1):
            book.set_value("calls", i, c, value)
        refs = {arg: f"${'ABCDEFGHIJ'[c]}${i}" for c, arg in enumerate(record.args)}
        book.set_formula("calls", i, 12, "=" + guard(record, refs, one_formula(record, refs, place)))
        found = plain_value(book.evaluate_cell("calls", i, 12))
        try:
            wanted = function(*args)
            answered += 1
        except hayfuncs.HayError as error:
            wanted = error.excel
        if isinstance(wanted, str):
            assert found == wanted, (args, found, wanted)
        else:
            assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9), args
    assert answered >= POINTS // 5


def test_topic_keeps_the_order_of_the_catalogue() -> None:
    assert topic() == [
        "NUTRIENT_SHORT",
        "SUPPLEMENT_FOR_POUNDS",
        "SUPPLEMENT_FOR_SHARE",
        "SUPPLEMENT_RATE",
        "SUPPLEMENT_DRIVER",
        "PEARSON_SHARE",
        "FEED_ANALYSIS",
        "FEED_CAUTION",
    ]
