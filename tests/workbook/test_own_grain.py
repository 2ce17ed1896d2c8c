"""A feed of the user's own may be grain: what is said of it on Feeds holds on every sheet and in the plan."""

from __future__ import annotations

import pytest
from where import Parts
from winterlib import weight_of
from workbook.choosing import column
from workbook.opened import Open

import hayfuncs
from hayfuncs.workbook import mixing, planreport, write
from hayfuncs.workbook import rebuild as making
from hayfuncs.workbook.oldfile import read_old
from hayfuncs.workbook.sheets import feeds, mixsheet

ROW = 14  # of Feeds, the first free one
NAME = "wheat, own"
# wheat grain: TDN and CP are of no account here, cheap and rich enough that the plan wants much of it
VALUES = {
    "price": 50,
    "dm_pct": 89,
    "tdn_pct": 88,
    "cp_pct": 14,
    "ca_pct": 0.05,
    "p_pct": 0.4,
    "fat_pct": 2,
    "s_pct": 0.16,
}
CHEAP = {f"Feeds/{ROW}/{k}": v for k, v in {"name": NAME, "book": "none", **VALUES}.items()}
MOST = 0.5  # % of body weight, the plan's limit of all grain


def typed(editions, path, changes):
    book, _, made = editions["functions"]
    file = Parts(made)
    for key, value in changes.items():
        sheet, row, col = book.inputs[key]
        file[sheet].cell(row + 1, col + 1).value = value
    file.save(path)


@pytest.fixture(scope="module")
def planned(editions, tmp_path_factory):
    """The demo with cheap wheat, nothing said of its being grain: solved, saved, and open."""
    folder = tmp_path_factory.mktemp("grain")
    typed(editions, folder / "old.xlsx", CHEAP)
    done = making.rebuild(folder / "old.xlsx", folder / "mid.xlsx")
    # a rebuild keeps the amounts of the old plan: solve anew, as hayfuncs plan does
    book, _ = making.remake(folder / "mid.xlsx", leave=("Plan",))
    write.save(book, folder / "new.xlsx")
    assert done.left_out() == []
    return book, folder / "new.xlsx"


def given(solved):
    """The most wheat a head that is fed, in % of body weight."""
    farm = solved.farm
    weight = {(p.label, g.name): weight_of(farm, g, p) for g in farm.groups for p in farm.periods()}
    return max(
        (100 * r.lb_head_day / weight[r.period, r.group] for r in solved.plan.rows if r.name == NAME), default=0.0
    )


def test_it_counts_as_grain_until_answered_and_is_held(planned):
    book, path = planned
    solved = book.marks["solved"]
    assert solved.plan.feasible
    assert 0.2 < given(solved) <= MOST + 1e-6
    opened = Open(book, path)
    assert opened.get("feeds", "grain", ROW) in (None, "")
    assert opened.get("feeds", "grain_said", ROW) == feeds.NOT_SAID
    rows = [i for i, r in enumerate(solved.plan.rows, 1) if r.name == NAME]
    assert all(opened.get("plan", "grain", i) == pytest.approx(opened.get("plan", "lb", i)) for i in rows)
    assert opened.get("sources", "most_bw", sources_row(opened)) == opened.name("plan_grain_pct_bw")
    months = book.marks["balance"]["n"]
    assert max(opened.get("balance", "grain", i) for i in range(1, months + 1)) > 2
    said = " ".join(planreport.text(solved).split())
    assert "of body weight of grain the cow digests her hay less well" in said
    assert f"because the sheet Feeds does not say whether it is: {NAME}." in said


def sources_row(opened):
    return next(i for i in range(1, opened.book.marks["sources"]["n"] + 1) if opened.get("sources", "name", i) == NAME)


def test_more_of_it_by_hand_is_said_where_it_is_typed_and_for_the_month(planned):
    """9.2 lb is 0.74 % of 1,250 lb: the library calls it a danger."""
    book, path = planned
    assert hayfuncs.grain_caution(9.2, 1250).startswith("Danger")
    opened = Open(book, path)
    at = next(i for i, r in enumerate(book.marks["solved"].plan.rows, 1) if r.name == NAME)
    opened.put("plan", "lb", 9.2, at)
    assert opened.get("plan", "says", at) == "over the limit of this feed"
    place = (opened.get("plan", "m", at), opened.get("plan", "g", at))
    month = next(
        i
        for i in range(1, book.marks["balance"]["n"] + 1)
        if (opened.get("balance", "m", i), opened.get("balance", "g", i)) == place
    )
    assert "grain over" in opened.get("balance", "says", month)


@pytest.mark.parametrize(
    ("book_name", "answer", "said", "counts"),
    [
        ("none", None, feeds.NOT_SAID, 1), ("none", 0, "no, as typed", 0), ("none", 1, "yes, as typed", 1), (None, None, feeds.NOT_SAID, 1),
        ("milo", None, feeds.NOT_SAID, 1), ("barley", None, "yes, by the feed book", 1), ("Corn Grain", None, "yes, by the feed book", 1),
        ("soybean hulls", None, "no, by the feed book", 0), ("soybean hulls", 1, "yes, as typed", 1), ("barley", 0, "no, as typed", 0),
    ],
)  # fmt: skip
def test_who_says_whether_it_is_grain(planned, book_name, answer, said, counts):
    """The sheet Feeds, and the mixes solved before any cell is computed, read the same answer."""
    book, path = planned
    opened = Open(book, path)
    opened.put("feeds", "book", book_name, ROW)
    opened.put("feeds", "grain", answer, ROW)
    assert opened.get("feeds", "grain_said", ROW) == said
    assert opened.get("sources", "grain", sources_row(opened)) == counts
    cells = book.by_name("Feeds").cells
    places = [(7 + ROW - 1, book.marks["feeds_at"][k]) for k in ("book", "grain")]
    before = [cells[place].content for place in places]
    try:
        for place, value in zip(places, (book_name, answer), strict=True):
            cells[place].content = value
        (offer,) = [o for o in mixing.offers(book)[0] if o.name == NAME]
    finally:
        for place, value in zip(places, before, strict=True):
            cells[place].content = value
    assert offer.grain == bool(counts)


def test_the_feeds_of_the_book_count_as_before(editions):
    opened = Open(*editions["functions"][::2])
    names = {opened.get("feeds", "name", i): opened.get("feeds", "is_grain", i) for i in range(1, 18)}
    assert {name for name, counts in names.items() if counts} == {"corn grain", "barley", "oats", "wheat middlings"}


def test_ration_cautions_and_mix_count_it(planned):
    book, path = planned
    opened = Open(book, path)
    sheet, row, col = book.inputs["What to feed/feed"]
    opened.made.set_value(sheet, row + 1, col + 1, NAME)
    opened.made.evaluate_all()
    assert "counts as starchy grain" in opened.at(book.marks["ration"]["caution"])
    fed = max(opened.at(book.marks["ration"][k]) for k in ("rate_pounds", "rate_share"))
    page = {opened.made.get_value("Ration cautions", r, 1): r for r in range(1, 60)}
    mix = book.find(mixsheet.Mix)
    at = column(opened, mix.name).index(NAME)
    assert column(opened, mix.grain)[at] == 1
    counted = opened.made.get_value("Ration cautions", page["Diet: starchy grain"], 2)
    assert counted == pytest.approx(fed)
    assert counted > 2
    opened.put("feeds", "grain", 0, ROW)
    assert opened.made.get_value("Ration cautions", page["Diet: starchy grain"], 2) == 0
    assert column(opened, mix.grain)[at] == 0


def test_the_answer_comes_over_and_a_workbook_without_the_column_is_read(editions, tmp_path):
    book = editions["functions"][0]
    typed(editions, tmp_path / "old.xlsx", {**CHEAP, f"Feeds/{ROW}/grain": 0})
    making.rebuild(tmp_path / "old.xlsx", tmp_path / "new.xlsx")
    assert read_old(tmp_path / "new.xlsx").get(f"Feeds/{ROW}/grain") == 0
    # an older workbook: no such line in the Input list, no such column
    file = Parts(tmp_path / "old.xlsx")
    listing = file["Input list"]
    (line,) = [cell.row for cell in listing["A"] if cell.value == "Feeds/#/grain"]
    for cell in listing.sheet[line]:
        cell.value = None
    sheet, row, col = book.inputs[f"Feeds/{ROW}/grain"]
    file[sheet].cell(row + 1, col + 1).value = None
    file[sheet].cell(6, col + 1).value = None
    file.save(tmp_path / "older.xlsx")
    done = making.rebuild(tmp_path / "older.xlsx", tmp_path / "newer.xlsx")
    assert "Feeds/#/grain" in "\n".join(making.account(done))
    assert done.left_out() == []
    opened = Open(done.book, tmp_path / "newer.xlsx")
    assert opened.get("feeds", "grain_said", ROW) == feeds.NOT_SAID
    assert opened.get("feeds", "grain_said", 1) == "no, by the feed book"
