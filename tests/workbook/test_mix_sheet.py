"""The cheapest mix on the sheet: proven for every pair, agreeing with scipy, and never stale unseen."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog
from where import Running
from workbook.places import place

from hayfuncs.hosts import engine
from hayfuncs.leastcost import model as mixmodel
from hayfuncs.workbook import mixing, write
from hayfuncs.workbook.farm import DEMO


@pytest.fixture(scope="module")
def running(editions):
    book, _, path = editions["functions"]
    made = Running(book, engine.load(path.read_bytes()))
    made.evaluate_all()
    return book, made


def test_every_pair_is_proven_or_said_to_have_no_mix(running):
    book, made = running
    proof = place(book.marks["mix"]["proof"])
    proven = 0
    for lot in DEMO.lots:
        for group in DEMO.groups:
            made.set_value(*place(book.names["chosen_lot"]), lot.name)
            made.set_value(*place(book.names["chosen_group"]), group.name)
            made.evaluate_all()
            says = str(made.get_value(*proof))
            assert says.startswith(("✓ proven", "✗ no mix")), (lot.name, group.name, says)
            proven += says.startswith("✓")
    assert proven >= 30
    made.set_value(*place(book.names["chosen_lot"]), DEMO.choice[0])
    made.set_value(*place(book.names["chosen_group"]), DEMO.choice[1])
    made.evaluate_all()


def test_a_changed_price_is_seen(running):
    book, made = running
    proof = place(book.marks["mix"]["proof"])
    sheet, row, col = place(book.marks["feeds"]["price"].split(":")[0])
    made.set_value(sheet, row, col, 20.0)  # soybean hulls become the cheapest by far
    made.evaluate_all()
    assert "run hayfuncs rebuild" in str(made.get_value(*proof))
    made.set_value(sheet, row, col, next(iter(DEMO.prices.values())))
    made.evaluate_all()
    assert str(made.get_value(*proof)).startswith("✓")


def test_cost_equals_scipy_on_the_directly_written_program(editions):
    book, values, _ = editions["functions"]
    offered, left_out = mixing.offers(book)
    assert left_out == ["range cubes 20"]  # no source gives its sulfur
    answers = mixing.solve(book, values, mixing.rows(book, offered), offered, mixing.least_ca_p(book))
    feeds = np.array(mixing.rows(book, offered))
    _pairs, needs, limits = (np.array(x) for x in mixing._pairs(book, values, mixing.least_ca_p(book)))
    for p, answer in enumerate(answers):
        weight, room, fat, sulfur, grain, npn = limits[p, :6]
        dm = feeds[:, 1] / 100
        tdn, cp, ca, ph, f, s = (dm * feeds[:, k] / 100 for k in range(2, 8))
        hay = needs[p, 4]
        least = limits[p, 7]
        at_least = np.array([tdn, cp, ca * 453.59237, ph * 453.59237, (ca - least * ph) * 453.59237])
        asked = [*needs[p, :4], hay * (least * needs[p, 9] - needs[p, 8]) / 100 * 453.59237]
        at_most = [
            dm,
            f - dm * fat / 100,
            s - dm * sulfur / 100,
            dm * feeds[:, 8] / 100,
            cp * (feeds[:, 9] - npn) / 100,
        ]
        sides = [room, hay * (fat - needs[p, 6]) / 100, hay * (sulfur - needs[p, 7]) / 100, weight * grain / 100]
        sides.append(hay * needs[p, 5] / 100 * npn / 100)
        for i in mixmodel.shared(feeds):
            own = np.zeros(len(feeds))
            own[i] = dm[i]
            at_most.append(own - dm * feeds[i, 12] / 100)
            sides.append(hay * feeds[i, 12] / 100)
        caps = np.minimum(feeds[:, 10], weight * feeds[:, 11] / 100)
        direct = linprog(
            feeds[:, 0] / 2000, np.vstack([-at_least, at_most]), np.concatenate([-np.array(asked), sides]),
            bounds=[(0, c) for c in caps], method="highs",
        )  # fmt: skip
        assert direct.success == answer.solved
        if answer.solved:
            cost = float(feeds[:, 0] / 2000 @ np.array(answer.pounds))
            assert cost == pytest.approx(direct.fun, abs=1e-6)


def test_feeds_without_a_price_make_no_mix_sheet():
    from dataclasses import replace

    from hayfuncs.workbook.build import build

    book = build(replace(DEMO, prices={"range cubes 20": 365.0}, choice=("", "", "range cubes 20")))
    assert "Mix" not in [s.name for s in book.sheets]
    assert write.faults(write.compute(book)) == []


def test_grains_are_limited_all_together():
    """Oats and barley cheap beside dear feeds: each would fit its own limit, together they must too."""
    from dataclasses import replace

    from hayfuncs.workbook.build import build

    prices = dict.fromkeys(DEMO.prices, 3000.0) | {"oats": 100.0, "barley": 101.0, "corn grain": 102.0}
    book = build(replace(DEMO, prices=prices, choice=("Section Ten", "Spring calvers in milk", "oats")))
    values = write.compute(book)
    assert str(values[_at(book, "proof")]).startswith("✓ proven")
    sheet = book.by_name("Mix")
    rows = [r for (r, c), cell in sheet.cells.items() if c == 0 and cell.content == "Starchy grain together"]
    given, asked = values["Mix", rows[0], 1], values["Mix", rows[0], 2]
    assert asked == pytest.approx(1250 * 0.25 / 100)
    assert given == pytest.approx(asked)  # it binds


def _at(book, mark: str) -> tuple[str, int, int]:
    sheet, row, col = place(book.marks["mix"][mark])
    return sheet, row - 1, col - 1
