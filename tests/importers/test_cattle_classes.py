"""Classes of cattle in a herd list: what each asks for, what lacks, and what is not used of it."""

from __future__ import annotations

import datetime as dt

import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.herd import read_herd, write_herd

HEADS = "Group,Class,Head,Weight,Month since calving,Peak milk,Calf weight,BCS,Mature weight,Gain wanted (lb/day),BCS wanted,Days to reach it,Calving date"


def read(put, *rows, told=None):
    return read_herd(put("\n".join((HEADS, *rows)) + "\n", "HERD.csv"), told, dt.date(2026, 11, 1))


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("Cows", "cow"), ("first-calf heifers", "first-calf cow"), ("2nd thing", None), ("bred heifers", "bred heifer"),
        ("Weaned calves", "weaned calf"), ("herd bulls", "bull"), ("stockers", "yearling steer"), ("open heifers", "replacement heifer"),
    ],
)  # fmt: skip
def test_the_words_of_the_trade_are_known(put, word, kind):
    row = f"North,{word},20,900,9,20,80,5,1250,0.5,,,"
    if kind is None:
        with pytest.raises(UserError, match='"2nd thing"; allowed: cow, second-calf cow'):
            read(put, row)
    else:
        assert read(put, row)[0].cattle_class == kind


def test_a_list_with_every_kind_is_read_and_written_again(put, tmp_path):
    groups = read(
        put, "Old,,40,1280,8,20,85,4.5,,,5,90,", "Heifers,bred heifer,12,1010,,20,75,6,1250,,,,2027-02-01",
        "Calves,weaned calf,30,560,,,,,1250,1.4,,,", "Sire,bull,2,1700,,,,,2000,0,,,",
    )  # fmt: skip
    assert [(g.condition_wanted, g.condition_days) for g in groups] == [
        (5, 90),
        (None, None),
        (None, None),
        (None, None),
    ]
    assert groups[1].month_since_calving == 9
    assert (groups[2].gain_wanted_lb, groups[2].grown_weight_lb, groups[2].peak_milk_lb) == (1.4, 1250, None)
    assert groups[3].gain_wanted_lb == 0
    write_herd(tmp_path / "OUT.csv", groups)
    assert read_herd(tmp_path / "OUT.csv") == groups


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("Calves,weaned calf,30,560,,,,,1250,,,,", 'column "Gain wanted (lb/day)": blank; allowed: 0 to 6 lb/day; needed of a weaned calf'),
        ("Sire,bull,2,1700,,,,,,0.2,,,", 'column "Mature weight": blank; allowed: 450 to 3,500 lb; needed of a bull'),
        ("Heifers,bred heifer,12,1010,9,20,75,6,,,,,", 'column "Mature weight": blank; allowed: 450 to 3,500 lb; needed of a bred heifer'),
        ("Old,cow,40,1280,8,,85,5,,,,,", 'column "Peak milk": blank; allowed: 0 to 80 lb/day; needed of a cow'),
        ("Old,,40,1280,,20,85,5,,,,,", 'column "Month since calving": blank'),
        ("Old,,40,1280,8,20,85,4,,,5,,", 'column "Days to reach it": blank; allowed: 1 to 730 days; a condition score wanted and the days'),
    ],
)  # fmt: skip
def test_what_a_class_lacks_is_named(put, row, said):
    with pytest.raises(UserError) as caught:
        read(put, row)
    assert said in str(caught.value)
    assert str(caught.value).count("\n") == 1  # that, and nothing else


def test_what_a_bull_has_no_use_for_is_told_and_left_out(put):
    told: list[str] = []
    group = read(put, "Sire,bull,2,1700,3,20,85,5,2000,0,6,60,2027-02-01", told=told)[0]
    assert (group.month_since_calving, group.calving_date, group.condition_wanted) == (None, None, None)
    assert told == [
        'HERD.csv: "Sire" is a bull, which does not calve; not used of it: Month since calving, Calving date, Peak milk (lb/day), '
        "Calf birth weight (lb), Condition score (1-9), Condition score wanted (1-9), Days to reach it"
    ]


def test_first_calf_cows_without_a_grown_weight_count_as_before(put):
    told: list[str] = []
    assert read(put, "Young,first-calf cows,12,1010,2,15,75,6,,,,,", told=told)[0].grown_weight_lb is None
    assert told == [
        'HERD.csv: "Young" counts as grown cows until a column Weight when grown (lb) says what the cows weigh that they become'
    ]
