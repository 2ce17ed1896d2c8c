"""An undamaged workbook has no finding above a note: the demo's editions and twelve others."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from audit.damagelib import File
from building import SMALL

from hayfuncs.audit.context import AuditContext
from hayfuncs.audit.run import audit
from hayfuncs.importers.model import Group, Lot
from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO, Farm, own
from hayfuncs.workbook.write import Unfinished

VARIANTS = 12


def above_note(case: AuditContext) -> list[str]:
    return [f"{f.level} {f.rule} {f.cell}: {f.evidence[:200]}" for f in case.findings if f.above_note]


@pytest.mark.parametrize("edition", build.EDITIONS)
def test_the_demo_is_clean_and_wholly_covered(edition: str, files: dict[str, Path]) -> None:
    case = audit(files[edition])
    assert not above_note(case)
    assert case.recomputed.done == len(case.book.formulas) > 1000
    assert not case.recomputed.skipped
    assert not case.differing
    calls = sum("HAY" in text for text in case.book.formulas.values())
    assert len(case.direct.values) == case.direct.total == (0 if edition == "plain" else calls)
    assert len(case.heads) >= 8


def invented(seed: int) -> tuple[Farm, str, str]:
    """A farm of another size with other hays, cows, prices and choices, every third in another edition, half with a plan."""
    r = random.Random(seed)

    def lot(i: int) -> Lot:
        forage = r.choice(("grass", "legume", "mixed"))
        ndf = r.uniform(36, 70)
        tested = r.random() < 0.6
        return Lot(
            name=f"Lot {seed}-{i}", field=r.choice(("", "North side", "Long field")), cutting=r.choice((None, 1, 2, 3)),
            forage=forage, basis=r.choice(("dry", "as fed")), dm_pct=round(r.uniform(82, 92), 1), cp_pct=round(r.uniform(5, 18), 1),
            adf_pct=round(ndf * r.uniform(0.55, 0.75), 1), ndf_pct=round(ndf, 1), tons=r.choice((None, round(r.uniform(5, 90)))),
            ndfd48_pct=round(r.uniform(38, 60)) if tested else None, ash_pct=round(r.uniform(6, 11), 1) if tested else None,
            fat_pct=round(r.uniform(1.5, 3), 1) if tested else None, ca_pct=round(r.uniform(0.3, 1.4), 2) if r.random() < 0.5 else None,
            p_pct=round(r.uniform(0.12, 0.3), 2) if r.random() < 0.5 else None,
        )  # fmt: skip

    def group(i: int) -> Group:
        return Group(
            name=f"Group {i}", head=r.randint(4, 300), body_weight_lb=r.randint(950, 1500), month_since_calving=r.randint(1, 12),
            peak_milk_lb=r.randint(12, 26), calf_weight_lb=r.randint(65, 95), condition_score=r.choice((4, 5, 5.5, 6)),
        )  # fmt: skip

    lots = tuple(lot(i) for i in range(r.randint(1, 14)))
    groups = tuple(group(i) for i in range(r.randint(1, 5)))
    names = r.sample(sorted(DEMO.prices), r.randint(2, len(DEMO.prices)))
    prices = {name: round(DEMO.prices[name] * r.uniform(0.6, 1.6), 2) for name in names}
    choice = (r.choice(lots).name, r.choice(groups).name, r.choice(names))
    farm = replace(DEMO, lots=lots, groups=groups, prices=prices, choice=choice, what=Farm.what)
    return farm, build.EDITIONS[seed % len(build.EDITIONS)], (build.FARM, build.PLAN)[seed // 3 % 2]


@pytest.mark.parametrize("seed", range(VARIANTS))
def test_another_farm_is_clean(seed: int, tmp_path: Path) -> None:
    path = tmp_path / "farm.xlsx"
    for again in range(20):  # some invented hays and cows have no answer, and such a workbook is not written
        farm, edition, kind = invented(seed + VARIANTS * again)
        try:
            build.save(farm, path, edition, kind=kind)
            break
        except Unfinished:
            continue
    case = audit(path)
    fails = [at for at, value in case.book.values.items() if value == "FAILS" and at in case.book.formulas]
    told = [f for f in case.findings if f.rule == "failed-check"]  # an invented herd may be more than its hay can feed
    assert sorted(f.at for f in told if f.at is not None) == sorted(fails)
    case.findings = [f for f in case.findings if f.rule != "failed-check"]
    assert not above_note(case)


@pytest.fixture(scope="module")
def no_feeder_said(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A user's own fresh workbook whose list of lots does not say what two of them are fed in."""
    lots = [replace(lot, feeder=None if i < 2 else "cone") for i, lot in enumerate(SMALL.lots)]
    path = tmp_path_factory.mktemp("own") / "own.xlsx"
    build.save(own(SMALL, lots, SMALL.groups), path)
    return path


def taken_lines(path: Path) -> list[int]:
    about = openpyxl.load_workbook(path, read_only=True)["Start"]
    return [i for i, (label, *_) in enumerate(about.iter_rows(values_only=True), 1) if label == "Taken"]


def test_what_was_taken_where_the_lists_said_nothing_is_no_finding(no_feeder_said: Path) -> None:
    assert len(taken_lines(no_feeder_said)) == 1
    case = audit(no_feeder_said)
    case.findings = [f for f in case.findings if f.rule != "failed-check"]
    assert not above_note(case)


@pytest.mark.parametrize("wording", ["fed in a cone, 40 % of the hay wasted", "Ask Joe."])
def test_another_wording_of_what_was_taken_is_found(wording: str, no_feeder_said: Path, tmp_path: Path) -> None:
    file = File(no_feeder_said.read_bytes())
    file.words(f"Start!B{taken_lines(no_feeder_said)[0]}", wording)
    path = tmp_path / "reworded.xlsx"
    path.write_bytes(file.bytes())
    assert [f for f in audit(path).findings if f.rule == "fixed-changed" and f.above_note]
