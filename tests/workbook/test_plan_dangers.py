"""What is deadly in a lot keeps it out of the plan until the user says otherwise, and every danger of a fed lot is told."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from building import SMALL, built
from where import Parts
from workbook.opened import Open
from workbook.test_plan_command import farm, laid_in, run  # noqa: F401  # farm is a fixture

import hayfuncs
from hayfuncs.workbook import build, planreport
from hayfuncs.workbook.barn import DEMO_BARN, Stored
from hayfuncs.workbook.farm import DEMO
from hayfuncs.workbook.oldfile import read_old
from hayfuncs.workbook.sheets.solvedfrom import SolvedFrom

LOT, NUMBER = "Heron Flat 1", 1  # the largest lot that the demo's plan feeds
HCN, ERGOVALINE = 1500, 900  # ppm of dry matter and ppb: far over both limits


def solved(**values):
    barn = {key: value for key, value in values.items() if hasattr(Stored(), key)}  # the rest stands with the lot
    stored = {**DEMO_BARN.stored, LOT: replace(DEMO_BARN.stored.get(LOT, Stored()), **barn)}
    tested = {key: value for key, value in values.items() if key not in barn}
    lots = tuple(replace(lot, **tested) if lot.name == LOT else lot for lot in DEMO.lots)
    return build.build(replace(DEMO, lots=lots, barn=replace(DEMO_BARN, stored=stored)))


def words(book):
    return " ".join(planreport.text(book.marks["solved"]).split())


def test_the_demo_feeds_that_lot(editions):
    plan = editions["functions"][0].marks["solved"].plan
    assert LOT in {r.name for r in plan.rows}


@pytest.mark.parametrize(
    ("values", "by", "text"),
    [
        ({"ergovaline_ppb": ERGOVALINE}, "ergovaline", hayfuncs.ergovaline_caution(ERGOVALINE, 200)),
        ({"hcn_ppm": HCN}, "prussic acid", hayfuncs.prussic_acid_caution(HCN, "wet")),
        ({"hcn_ppm": HCN, "ergovaline_ppb": ERGOVALINE}, "prussic acid and ergovaline", hayfuncs.prussic_acid_caution(HCN, "wet")),
    ],
)  # fmt: skip
def test_a_deadly_lot_is_left_out_with_the_reason(values, by, text):
    assert text.startswith("Danger")
    book = solved(**values)
    made = book.marks["solved"]
    assert LOT not in {r.name for r in (*made.plan.rows, *made.plain.rows)}
    assert LOT not in {lot.name for lot in made.farm.lots}
    said = words(book)
    assert f"{LOT} is left out for safety: {by}. " in said
    assert text in said
    assert "say so on Winter feeds" in said


@pytest.mark.parametrize(
    ("values", "head", "text"),
    [
        ({"stack_temp_f": 195}, "Stack heat", hayfuncs.stack_heat_caution(195)),
        ({"ergovaline_ppb": 150}, "Ergovaline", ""), ({"hcn_ppm": 600}, "Prussic acid", ""),
    ],
)  # fmt: skip
def test_each_danger_of_a_fed_lot_is_told_and_no_more_than_dangers(values, head, text):
    """A caution is no danger: the lot is fed, and the line that says Danger is not there."""
    book = solved(**values)
    assert LOT in {r.name for r in book.marks["solved"].plan.rows}
    said = words(book)
    line = f": {head}. Danger"
    if text:
        assert text.startswith("Danger")
        assert "fire" in text
        (at,) = [i for i in range(len(said)) if said.startswith(f"{LOT}, fed to ", i)]
        assert said[at:].split(line)[0].count(":") == 0
        assert f": {head}. {text}" in said
    else:
        assert line not in said


def test_tetany_and_sulfur_of_the_lab_sheet_are_told():
    """Magnesium 0.05 and potassium 3.5 % make a danger of tetany, 0.6 % of sulfur one of its own."""
    lots = tuple(
        replace(lot, mg_pct=0.05, k_pct=3.5, ca_pct=0.2, s_pct=0.6) if lot.name == LOT else lot for lot in DEMO.lots
    )
    book = build.build(replace(DEMO, lots=lots))
    if LOT not in {r.name for r in book.marks["solved"].plan.rows}:
        pytest.fail("the plan feeds none of the lot")
    said = words(book)
    for head, text in (
        ("Sulfur", hayfuncs.sulfur_caution(0.6, "high forage")),
        ("Grass tetany", hayfuncs.tetany_caution(3.5, 0.2, 0.05)),
    ):
        level = text.split(":")[0]
        assert (f": {head}. {text}" in said) == (level == "Danger"), (head, text)
    assert hayfuncs.sulfur_caution(0.6, "high forage").startswith("Danger")


def test_nitrate_at_danger_is_told_once():
    lots = tuple(replace(lot, nitrate_n_ppm=2500) if lot.name == "Windmill Forty" else lot for lot in DEMO.lots)
    book = build.build(replace(DEMO, lots=lots))
    fed = "Windmill Forty" in {r.name for r in book.marks["solved"].plan.rows}
    assert words(book).count("Windmill Forty, fed to ") == fed


def test_the_sheet_leaves_it_out_and_the_user_may_feed_it(editions):
    opened = Open(*editions["functions"][::2])
    at = next(i for i, r in enumerate(opened.book.marks["solved"].plan.rows, 1) if r.name == LOT)
    assert opened.get("sources", "state", NUMBER) == "yes"
    assert (
        opened.at(opened.book.marks["plan_dangers"])
        == "Not fed: Windmill Forty (nitrate); see Winter feeds (tab Feeds)."
    ), "nitrate"
    opened.put("hazards", "ergovaline", ERGOVALINE, NUMBER)
    assert opened.get("sources", "state", NUMBER) == "left out for safety: ergovaline"
    assert opened.get("plan", "says", at) == "not allowed on Winter feeds (tab Feeds)"
    assert str(opened.name("master_check")).startswith("✗")
    rows = sum(r.name == LOT for r in opened.book.marks["solved"].plan.rows)
    said = opened.at(opened.book.marks["plan_dangers"])
    assert said.startswith(f"Rows that feed a lot at danger: {rows}. Read Cautions of the lot")
    assert ", and 1 more; see Winter feeds" in said
    assert opened.get("plan", "caution", at).startswith(
        "Danger: Ergovaline. Read Hazards (tab What could hurt) first. danger 1"
    )
    opened.put("hazards", "hcn", HCN, NUMBER)
    assert opened.get("sources", "state", NUMBER) == "left out for safety: prussic acid and ergovaline"
    opened.put("hazards", "ergovaline", None, NUMBER)
    assert opened.get("sources", "state", NUMBER) == "left out for safety: prussic acid"
    opened.put("sources", "despite", 1, NUMBER)
    assert opened.get("sources", "state", NUMBER) == "yes"
    assert opened.get("plan", "says", at) in (None, "")
    assert opened.get("plan", "caution", at).startswith("Danger: Prussic acid. ")
    opened.put("sources", "allowed", 0, NUMBER)
    assert opened.get("sources", "state", NUMBER) == "not allowed"


def test_the_threshold_of_ergovaline_is_that_of_assumptions(editions):
    opened = Open(*editions["functions"][::2])
    opened.put("hazards", "ergovaline", 250, NUMBER)
    assert opened.get("sources", "state", NUMBER).startswith("left out")
    opened.set_name("ergovaline_limit", 300)
    assert opened.get("sources", "state", NUMBER) == "yes"


def test_only_own_hay_is_asked_whether_it_is_fed_in_spite_of_a_danger(editions):
    book = editions["functions"][0]
    assert {k.split("/")[0] for k in book.inputs if k.endswith("/despite")} == {"Winter lots"}


def test_the_command_says_it_and_the_answer_is_carried(tmp_path):
    folder, typed = laid_in(tmp_path, *built(SMALL, "functions")[::2])
    typed({f"Hazards/{NUMBER}/ergovaline": ERGOVALINE})
    done = run("plan", "FARM.xlsx", "--out", "PLAN.xlsx", "--seconds", "3", cwd=folder)
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert f"{LOT} is left out for safety: ergovaline. Ergovaline. Danger: above the threshold given." in said
    assert f"lb {LOT}" not in re.sub(r"\bwas [^;]*;", "", said)  # it is named only where the old plan fed it
    typed({f"Winter lots/{NUMBER}/despite": 1})
    done = run("plan", "FARM.xlsx", "--out", "PLAN.xlsx", "--seconds", "3", "--force", cwd=folder)
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert f"lb {LOT}" in said
    assert "Ergovaline. Danger: above the threshold given." in said
    assert f"{LOT} is left out" not in said
    assert read_old(folder / "PLAN.xlsx").get(f"Winter lots/{NUMBER}/despite") == 1


def test_nothing_to_plan_with_names_the_lots_left_out(farm):  # noqa: F811  # the fixture
    folder, typed = farm
    typed({f"Hazards/{i}/hcn": HCN for i in range(1, 11)})
    done = run("plan", "FARM.xlsx", "--out", "PLAN.xlsx", cwd=folder)
    assert done.returncode == 2
    assert "every lot with hay in store is left out" in done.stderr
    assert f"{LOT} (left out for safety: prussic acid)" in done.stderr
    file = Parts(folder / "FARM.xlsx")
    assert "Plan" in file
    assert not (folder / "PLAN.xlsx").exists()


def test_where_needs_are_not_met_the_lots_left_out_are_named(farm, editions):  # noqa: F811  # the fixture
    folder, typed = farm
    book = editions["functions"][0]
    no = {
        key: 0
        for key in book.inputs
        if key.startswith(("Winter supplements/", "Winter offers/")) and key.endswith("/allowed")
    }
    typed({**no, **{f"Hazards/{i}/hcn": HCN for i in range(2, 11)}})
    done = run("plan", "FARM.xlsx", "--out", "PLAN.xlsx", cwd=folder)
    assert done.returncode == 1, done.stdout
    assert "Heron Flat 2 is left out for safety: prussic acid" in " ".join(done.stdout.split())


def test_a_plan_is_old_when_a_danger_is_found_or_accepted(editions):
    """Both at once too: that a lot at danger is fed in spite of it is another plan than that of a lot without danger."""
    opened = Open(*editions["functions"][::2])
    then_and_now = opened.book.find(SolvedFrom)

    def read():
        return tuple(opened.at(then_and_now.some(SolvedFrom.now, i)) for i in range(1, then_and_now.n + 1))

    seen = [read()]
    for table, mark, value in (
        ("hazards", "ergovaline", ERGOVALINE),
        ("sources", "despite", 1),
        ("hazards", "ergovaline", None),
    ):
        opened.put(table, mark, value, NUMBER)
        assert f"{LOT}: " in opened.name("plan_changed")
        seen.append(read())
    assert len(set(seen)) == len(seen)
