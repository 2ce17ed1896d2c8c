"""The feed tables: their shape, sums taken by hand from the sources, bounds, texts and limits."""

from __future__ import annotations

import re

import pytest

import hayfuncs
from hayfuncs.contract.catalogue import EVIDENCE
from hayfuncs.contract.tables import load, sources
from hayfuncs.contract.units import UNITS
from hayfuncs.ration import feeds

# column -> how many, and their sum: of the values printed by the sources that were read, added apart from
# this table, and of those from memory
SUMS = {
    "dm_pct": (22, 1869.8 + 99),
    "tdn_pct": (22, 1302.3 + 243),
    "cp_pct": (22, 688.4),
    "ndf_pct": (17, 456.8 + 69.7),
    "fat_pct": (18, 74.0 + 8.6),
    "ca_pct": (21, 8.41 + 1.29),
    "p_pct": (21, 9.55 + 0.71),
    "s_pct": (15, 2.66 + 2.15),
    "bulk_lb_ft3": (12, 301),
}
FROM_MEMORY = 23  # values that no source was read for, of 170: a number that may only fall
BOUNDS = {
    "dm_pct": (70, 100),
    "tdn_pct": (0, 100),
    "cp_pct": (3, 282),
    "ndf_pct": (0, 95),
    "fat_pct": (0, 25),
    "ca_pct": (0, 2),
    "p_pct": (0, 2),
    "s_pct": (0, 1),
    "bulk_lb_ft3": (5, 60),
}
LIMIT_SUMS = {  # column of the wide table -> how many, and their sum
    "limit_pct_bw": (6, 0.5 + 5 * 0.25),
    "danger_pct_bw": (5, 5 * 0.5),
    "calf_pct_bw": (1, 0.33),
    "least_weight_lb": (1, 450),
    "limit_lb_day": (5, 3 * 2 + 0.25 + 7),
    "limit_pct_diet": (5, 15 + 15 + 15 + 1 + 10),
}
OWNERS = ("veterinarian", "licensed nutritionist", "local extension office")
TEXTS = [m for m in feeds.all_limits() if m.text]


@pytest.mark.parametrize("column", SUMS)
def test_sum_of_a_column(column: str) -> None:
    values = [v for v in feeds.table().column(column) if v is not None]
    assert len(values) == SUMS[column][0]
    assert sum(values) == pytest.approx(SUMS[column][1], abs=1e-9)
    assert BOUNDS[column][0] <= min(values)
    assert max(values) <= BOUNDS[column][1]


def test_shape_of_the_feed_table() -> None:
    rows = load("supplements").rows
    assert len(rows) == len({row["key"] for row in rows}) == len(feeds.figures()) == 170
    for row in rows:
        assert row["key"] == f"{row['feed']}: {row['column']}"
        assert row["value"] is not None
        assert row["unit"] == feeds.UNITS[str(row["column"])]
        assert row["unit"] in UNITS
        assert row["evidence"] in EVIDENCE
        assert row["source"] in sources()
        assert row["where"]
    assert len(feeds.wide()) == 22
    assert [f["feed"] for f in feeds.wide()] == sorted(str(f["feed"]) for f in feeds.wide())


def test_the_range_holds_the_value_and_is_said() -> None:
    """Beside each value that was read: what the sources print, in the table, in words and in the function's notes."""
    read = [f for f in feeds.figures().values() if f.low is not None]
    assert len(read) == 129
    for f in read:
        assert f.low <= f.value <= f.high, f
        assert f.n_sources >= 1
        assert f.evidence.startswith("published"), f
    gluten = hayfuncs.notes("FEED_ANALYSIS", "corn gluten feed", "P")
    assert gluten.startswith("0.98 % DM: 0.55 to 0.98 in 2 sources; published, INRAE")
    assert "from memory" in hayfuncs.notes("FEED_ANALYSIS", "cane molasses", "TDN")
    assert "a value that some source gives" in hayfuncs.notes("FEED_ANALYSIS", "peanut hulls", "fat")


def test_values_behind_the_times_are_gone() -> None:
    """Distillers grains hold less fat since the oil is taken out (5.5 to 7.5 %, 2017); gluten feed's P is 0.98 of 944 samples."""
    assert 5.5 <= hayfuncs.feed_analysis("distillers grains, dried", "fat") <= 7.5
    assert hayfuncs.feed_analysis("corn gluten feed", "P") > 0.9
    assert sum(f.evidence.startswith("from memory") for f in feeds.figures().values()) <= FROM_MEMORY


def test_memory_is_not_called_published() -> None:
    for f in feeds.figures().values():
        from_memory = sources()[f.source]["status"] == "from memory"
        assert from_memory == (f.evidence == "from memory"), f
        if f.evidence == "from memory, agrees with published":
            assert re.search(r"\d", f.where), f


@pytest.mark.parametrize("column", LIMIT_SUMS)
def test_sum_of_the_limits(column: str) -> None:
    values = [v for v in feeds.limits_table().column(column) if v is not None]
    assert len(values) == LIMIT_SUMS[column][0]
    assert sum(values) == pytest.approx(LIMIT_SUMS[column][1], abs=1e-9)


def test_shape_of_the_limits() -> None:
    rows = load("feeding_limits").rows
    assert len(rows) == len({row["key"] for row in rows}) == 48
    assert {m.feed for m in feeds.all_limits()} == {*feeds.table().names(), feeds.WHOLE_DIET}
    for m in feeds.all_limits():
        assert m.unit in UNITS
        assert m.evidence in EVIDENCE
        assert m.source in sources()
        assert m.where
        assert m.kind in feeds.KINDS or m.feed == feeds.WHOLE_DIET
        if m.kind == "none on file":
            assert (m.value, m.text, m.owner) == (None, "", "")
            assert len([x for x in feeds.all_limits() if x.feed == m.feed]) == 1
        else:
            assert m.owner in OWNERS
            assert m.value is not None or m.text
    assert {m.kind: m.value for m in feeds.limits("Whole diet")} == {
        feeds.TDN_LIMIT: 0.7,
        "sulfur, % of diet dry matter": 0.4,
        "sulfur, % of a high-grain diet": 0.3,
        "fat, % of diet dry matter": 6,
        "fat, % of a hay diet": 5,
    }


@pytest.mark.parametrize("limit", TEXTS, ids=lambda m: f"{m.feed}: {m.kind}")
def test_text_of_a_limit(limit: feeds.Limit) -> None:
    assert len(limit.text) <= 255, "a text in a formula has at most 255 characters"
    assert limit.text == " ".join(limit.text.split())
    assert '"' not in limit.text
    assert limit.text.endswith(".")
    last = ". ".join(limit.text.split(". ")[-2:])
    assert any(owner in last for owner in OWNERS), "a caution ends with who decides"
    if limit.value is not None:
        assert f"{limit.value:g}" in limit.text.replace("0.40", "0.4"), "the text names its own limit"


@pytest.mark.parametrize("limit", [m for m in TEXTS if m.value is not None and m.feed != feeds.WHOLE_DIET],
                         ids=lambda m: f"{m.feed}: {m.kind}")  # fmt: skip
def test_limit_is_met_and_passed(limit: feeds.Limit) -> None:
    value = limit.value
    assert value is not None
    if limit.kind == "body weight at least":
        within, beyond = (0.1, value), (0.1, value - 0.1)
    elif limit.unit == "% of body weight":
        within, beyond = (value * 12, 1200), (value * 12 + 0.01, 1200)
    else:
        within, beyond = (value, 1200), (value + 0.01, 1200)
    assert limit.text not in hayfuncs.feed_caution(limit.feed, *within)
    assert limit.text in hayfuncs.feed_caution(limit.feed, *beyond)


@pytest.mark.parametrize("feed", feeds.table().names())
def test_every_feed_answers(feed: str) -> None:
    always = next((m.text for m in feeds.limits(feed) if m.kind == "at any rate"), "")
    missing = [f"{word} is not known. " for word, column in feeds.HARMFUL.items() if feeds.figure(feed, column) is None]
    unknown = "".join([*missing, feeds.NOT_CLEAR]) if missing else ""
    assert hayfuncs.feed_caution(feed, 0.01, 1200) == f"{always} {unknown}".strip()
    assert hayfuncs.feed_caution(feed, 0, 1200) == ""
    much = hayfuncs.feed_caution(feed, 60, 1200)
    assert (feeds.tdn_limit().text in much) == (feed != "urea 45")
    for word, column in feeds.COLUMNS.items():
        found = feeds.figure(feed, column)
        if found is None:
            assert feeds.evidence(feed, column) == ""
            with pytest.raises(hayfuncs.NotInTable, match="not in the table"):
                hayfuncs.feed_analysis(feed, word)
        else:
            assert hayfuncs.feed_analysis(feed.upper(), word.lower()) == found.value
            assert feeds.evidence(feed, column) == found.evidence


@pytest.mark.parametrize(
    ("feed", "pounds", "said"),
    [
        ("rice bran", 8, "acidosis"),
        ("rice bran", 8, "add limestone"),
        ("rice bran", 8, "Fat is not known. Sulfur is not known. Unknown is not clear"),
        ("cane molasses", 10, "keep hay always before them"),
        ("citrus pulp", 10, "above 7 lb a day"),
        ("citrus pulp", 10, "Fat is not known. Sulfur is not known. Unknown is not clear"),
        ("wheat middlings", 8, "acidosis"),
        ("peanut hulls", 1, "Fat is not known. Sulfur is not known. Unknown is not clear"),
        ("range cubes 20", 2, "Sulfur is not known. Calcium is not known. Phosphorus is not known. Unknown"),
    ],
)
def test_no_caution_is_empty_where_the_trade_has_one(feed, pounds, said) -> None:
    assert said in hayfuncs.feed_caution(feed, pounds, 1200)


def test_middlings_count_as_starch() -> None:
    """The sheet Feeds counts as grain what has a danger line by body weight."""
    grains = {row["feed"] for row in feeds.wide_limits() if row["danger_pct_bw"] is not None}
    assert grains == {"barley", "corn grain", "oats", "rice bran", "wheat middlings"}


def test_unknown_feed_is_answered_with_near_names() -> None:
    for call in (
        lambda: hayfuncs.feed_analysis("soy hulls", "TDN"),
        lambda: hayfuncs.feed_caution("soy hulls", 1, 1200),
    ):
        with pytest.raises(hayfuncs.NotInTable, match="soybean hulls"):
            call()
    with pytest.raises(hayfuncs.BadInput, match="DM, TDN, CP, NDF, fat, Ca, P, S"):
        hayfuncs.feed_analysis("oats", "starch")


def test_blocks_of_feeds() -> None:
    found = hayfuncs.feed_analysis([["oats"], ["no such feed"], ["barley"]], "TDN")
    assert found[0, 0] == 83
    assert found[1, 0] != found[1, 0]
    assert found[2, 0] == 84.1


def test_both_urea_cautions_begin_to_warn_at_the_same_pounds():
    """UREA_CAUTION and the limit that FEED_CAUTION reads: one figure, and what one calls deadly the other never calls usual."""
    (limit,) = [m for m in feeds.limits("urea 45") if m.kind == "lb as fed a day"]
    for pounds in (0.1, 0.2, 0.25, 0.26, 0.3, 0.5):
        by_table = limit.text in hayfuncs.feed_caution("urea 45", pounds, 1200)
        by_diet = hayfuncs.urea_caution(pounds, 1200, 60, 6).startswith("Danger")
        assert by_table == by_diet == (pounds > limit.value), pounds
