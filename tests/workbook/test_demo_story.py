"""The case the trade tells at meetings, by the functions: common practice, no source.

On hay eaten to appetite (about 23.3 lb of dry matter), hay of 53 % TDN and 8.6 % CP takes about
10.6 lb of soybean hulls a day as fed (77 % TDN, 90 % DM) to bring the diet to 60 % TDN, hay of
58.7 % TDN about 2 lb; on the first hay the protein supplied, about 3.1 lb, covers the pounds a
1,200-lb cow giving 20 lb of milk needs although the diet holds under 10 % CP.
"""

from __future__ import annotations

import pytest

import hayfuncs as h

HAY, HULLS_TDN, HULLS_CP, HULLS_DM = 23.3, 77, 12, 90


def hulls(tdn: float) -> float:
    return h.as_fed_weight(h.supplement_for_share(60, HAY, tdn, HULLS_TDN), HULLS_DM)


@pytest.mark.parametrize(("tdn", "told"), [(53, 10.6), (58.7, 2.0)])
def test_hulls_to_reach_sixty(tdn, told):
    assert hulls(tdn) == pytest.approx(told, rel=0.05)


def test_protein_pounds_are_covered_though_the_share_is_low():
    dry = hulls(53) * HULLS_DM / 100
    protein = HAY * 8.6 / 100 + dry * HULLS_CP / 100
    assert protein == pytest.approx(3.1, rel=0.05)
    # month 2 after calving is the peak of her need
    assert protein > h.daily_need("CP", 1200, 2, 20, 85)
    assert 100 * protein / (HAY + dry) < 10
