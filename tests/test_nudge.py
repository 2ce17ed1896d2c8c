"""Each constant of each topic is held by some check row: nudged by one digit, a row must fail."""

from __future__ import annotations

import nudgelib
import pytest


@pytest.mark.parametrize("module", nudgelib.modules())
def test_every_constant_is_noticed(module: str) -> None:
    found = set(nudgelib.survivors(module))
    known = {(constant, direction) for m, constant, direction in nudgelib.listed() if m == module}
    new = sorted(found - known)
    gone = sorted(known - found)
    assert not new, f"{module}: no check row notices {new}; add a row, or run python tests/nudgelib.py and say why"
    assert not gone, f"{module}: a check row now notices {gone}; run python tests/nudgelib.py"


def test_every_survivor_has_its_reason() -> None:
    bare = [key for key, reason in nudgelib.listed().items() if not reason.strip()]
    assert not bare, f"no reason given in {nudgelib.SURVIVORS.name} for {bare}"
    assert {key[0] for key in nudgelib.listed()} <= set(nudgelib.modules())


def test_a_nudge_leaves_the_library_as_it_was() -> None:
    import hayfuncs
    from hayfuncs.contract.catalogue import CATALOGUE
    from hayfuncs.forage import dry_matter as drymatter

    before = dict(CATALOGUE)
    assert nudgelib.noticed("forage.dry_matter", compile("raise ValueError('cannot load')", "made", "exec"))
    assert hayfuncs.forage.dry_matter is drymatter
    assert hayfuncs.contract.catalogue.CATALOGUE is CATALOGUE
    assert before == CATALOGUE


def test_nudge_finds_numbers_where_they_hide(tmp_path, monkeypatch) -> None:
    (tmp_path / "made.py").write_text(
        "from hayfuncs.contract.catalogue import Arg\n"
        "SLOPE = 0.7790\n"
        "RANGE = 55\n"
        "BASE, _ = 88.9, 3\n"
        "COAT = {'wet': (59, 2.0), 'dry': [-1.5e3]}\n"
        "Adf = Annotated[float, Arg('ADF', '% DM', lo=3, hi=RANGE)]\n"
        "def f(x: Annotated[float, Arg('x', '%', lo=7)], y=9):\n"
        "    return BASE - SLOPE * x ** 0.75 + COAT['wet'][1] + 0.75\n"
    )
    monkeypatch.setattr(nudgelib, "PACKAGE", tmp_path)
    monkeypatch.setattr(nudgelib, "dependents", lambda module: ())
    for cached in (nudgelib.text, nudgelib.imports):
        cached.cache_clear()
    _, found = nudgelib.constants("made")
    for cached in (nudgelib.text, nudgelib.imports):
        cached.cache_clear()
    assert [c.name for c in found] == [
        "SLOPE 0.7790",
        "BASE 88.9",
        "COAT 59",
        "COAT 1.5e3",
        "f 9",
        "f 0.75",
        "f 0.75 #2",
    ]
    assert [c.moved(1) for c in found][:4] == [0.7791, 89.0, 60, 1600.0]
    assert [c.moved(-1) for c in found][:4] == [0.7789, 88.8, 58, 1400.0]
