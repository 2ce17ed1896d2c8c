"""Energy and quality beyond single values: the inverse, the class lines, published contrasts."""

from __future__ import annotations

import numpy as np
import pytest

import hayfuncs as hf
from hayfuncs.contract.units import LB_TO_KG
from hayfuncs.forage import energy


def test_inverse_gives_back_every_tdn() -> None:
    tdn = np.linspace(25, 100, 3001)
    assert hf.tdn_from_nem(hf.nem_from_tdn(tdn)) == pytest.approx(tdn, abs=1e-11)


def test_five_newton_steps_are_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    nem = np.linspace(-1.12, 2.6, 3001)  # ME 0 to above TDN 100, Mcal/kg
    monkeypatch.setattr(energy, "NEWTON_STEPS", 5)
    assert energy.nem_from_me_kg(energy.me_from_nem_kg(nem)) == pytest.approx(nem, abs=1e-13)


def test_newton_finds_the_root_far_outside_any_feed() -> None:
    nem = np.linspace(-10, 30, 3001)
    assert energy.nem_from_me_kg(energy.me_from_nem_kg(nem)) == pytest.approx(nem, abs=1e-9)


def test_search_starts_where_the_cubic_bends() -> None:
    step, me = 1e-3, energy.NEM_BEND  # the second difference of a cubic is exact, and 0 at its bend
    below, at, above = (energy.nem_from_me_kg(me + d) for d in (-step, 0.0, step))
    assert (above - 2 * at + below) / step**2 == pytest.approx(0, abs=1e-8)


def test_nem_and_neg_of_one_published_diet() -> None:
    # university teaching slides (net-energy-slides): a diet of NEm 2.09 and NEg 1.42 Mcal/kg;
    # each is printed to 0.01, so together they allow about 0.01
    tdn = hf.tdn_from_nem(2.09 * LB_TO_KG)
    assert hf.neg_from_tdn(tdn) / LB_TO_KG == pytest.approx(1.42, abs=0.01)


@pytest.mark.parametrize("forage", ["legume", "legume, whole NDF"])
@pytest.mark.parametrize(
    ("ndf", "better", "worse", "printed", "allowed"),
    [
        # UW-Extension 2004: NDF 40, NDFD 58 -> TDN 61.6, NDFD 36 -> 53.6.  Protein, fat and ash are
        # not printed and cancel; the slide's own NDFn is not printed either (8.0 / 0.22 = 36.4);
        # so the tolerance covers an NDFn of 36.4 to 40
        (40, 58, 36, 8.0, 0.9),
        # UW Extension, Marinette: NDFD 60 against 40 is 7.5 units of TDN; NDF taken as 40
        (40, 60, 40, 7.5, 0.6),
    ],
)
def test_published_contrasts_of_fiber_digestibility(forage, ndf, better, worse, printed, allowed) -> None:
    rest = (20, 2.5, 9, ndf)
    found = hf.tdn_from_ndf_digestibility(*rest, better, forage) - hf.tdn_from_ndf_digestibility(*rest, worse, forage)
    assert found == pytest.approx(printed, abs=allowed)


def test_neg_starts_at_about_38_tdn() -> None:
    assert hf.neg_from_tdn(37.5) == 0
    assert hf.neg_from_tdn(38.5) > 0


def test_lignin_and_heat_take_energy_away() -> None:
    sound = hf.tdn_from_lignin(20, 2.5, 9, 40, 3, 1.5, 7)
    assert hf.tdn_from_lignin(20, 2.5, 9, 40, 3, 3.0, 7) < sound
    assert hf.tdn_from_lignin(20, 2.5, 9, 40, 3, 1.5, 9) < sound


@pytest.mark.parametrize(
    ("call", "argument"),
    [
        (lambda: hf.relative_feed_value(41, 40), "ndf_pct"),
        (lambda: hf.relative_feed_value(0.41, 0.53), "adf_pct"),
        (lambda: hf.intake_for_rfq("grass", 10, 62, 36, 55, 57), "ndf_pct"),
        (lambda: hf.tdn_from_ndf_digestibility(20, 2.5, 9, 75, 45, "legume"), "ndf_pct"),
        (lambda: hf.tdn_from_ndf_digestibility(20, 2.5, 9, 69, 45, "legume, whole NDF"), "ndf_pct"),
        (lambda: hf.tdn_from_lignin(20, 2.5, 9, 40, 21, 1.5, 7), "ndicp_pct"),
        (lambda: hf.tdn_from_lignin(20, 2.5, 9, 40, 3, 3.1, 7), "adicp_pct"),
        (lambda: hf.tdn_from_lignin(20, 2.5, 9, 30, 3, 1.5, 27), "lignin_pct"),
        (lambda: hf.tdn_from_lignin(20, 2.5, 9, 75, 3, 1.5, 7), "ndf_pct"),
        (lambda: hf.tdn_from_adf(76, "grass net energy"), "adf_pct"),
        (lambda: hf.intake_for_rfq("grass", 3, 10, 40, 50, 40), "cp_pct"),  # the grass equation gives -0.7
        (lambda: hf.nem_from_tdn(24), "tdn_pct"),
        (lambda: hf.tdn_from_nem(1.31), "nem_mcal_lb"),  # Mcal per kg given for Mcal per lb
    ],
)
def test_impossible_values_are_named(call, argument) -> None:
    with pytest.raises(hf.OutOfRange) as found:
        call()
    assert found.value.argument == argument


def test_an_unknown_equation_is_answered_with_the_five() -> None:
    with pytest.raises(hf.BadInput, match="western alfalfa, legume net energy, grass net energy, corn silage"):
        hf.tdn_from_adf(40, "eastern alfalfa")


def test_notes_say_when_hay_lies_outside_the_fitted_range() -> None:
    assert "20 to 55 % DM" in hf.notes("TDN_FROM_ADF", 60, "western alfalfa")
    assert hf.notes("TDN_FROM_ADF", 40, "western alfalfa") == ""
