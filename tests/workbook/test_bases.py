"""Poisons on their basis: what a list of lots holds as fed is judged as dry matter on every sheet that reads it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from workbook.opened import Open

from hayfuncs.audit.dimensions import agree
from hayfuncs.forage.dry_matter import to_dry_basis
from hayfuncs.importers.lots import read_lots
from hayfuncs.importers.model import AS_FED, DRY, LOT_COLUMNS, column_of
from hayfuncs.workbook import build
from hayfuncs.workbook.farm import DEMO

GREEN = "Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%),Accepted,Nitrate nitrogen (ppm NO3-N),{more}\nSilage,grass,{basis},45,5,16,27,baleage,950,{values}\n"


def listed(tmp_path, basis=AS_FED, more="Prussic acid (ppm HCN)", values="450"):
    path = tmp_path / "LOTS.csv"
    path.write_text(GREEN.format(basis=basis, more=more, values=values))
    return read_lots(path)


@pytest.fixture(scope="module")
def green(tmp_path_factory):
    """The demo farm with one wet lot more, as a list of lots gives it: 950 ppm NO3-N as fed at 45 % dry matter."""
    folder = tmp_path_factory.mktemp("green")
    (folder / "a").mkdir()
    lots = listed(folder, more="Prussic acid (ppm HCN),Ergovaline (ppb)", values="450,90")
    farm = replace(DEMO, lots=(*DEMO.lots, replace(lots[0], tons=20.0)))
    path = folder / "green.xlsx"
    book, _ = build.save(farm, path, "functions")
    return book, path


@pytest.fixture
def opened(green):
    return Open(*green)


LAST = len(DEMO.lots) + 1


def test_nitrate_as_fed_is_judged_as_dry_matter(opened):
    # 950 / 0.45 = 2,111 ppm of dry matter: not for cows in calf on Clemson's scale (2,000 and up)
    assert opened.get("hazards", "nitrate", LAST) == pytest.approx(2111.1, abs=0.05)
    assert opened.get("hazards", "no3", LAST) == pytest.approx(4.43 * 950 / 0.45, abs=0.5)
    assert opened.get("cautions", "nitrate_calf_a", LAST) == "Danger"
    assert opened.get("cautions", "nitrate_open_a", LAST) == "Caution"
    # most of the diet: none for cows in calf; for others 35 % by Clemson (of 35 to 40), none by the midwest laboratory from 2,100 ppm on
    assert opened.get("hazards", "share_calf_a", LAST) == 0
    assert opened.get("hazards", "share_open_a", LAST) == 35
    assert opened.get("hazards", "share_open_b", LAST) == 0


def test_nitrate_as_fed_reaches_winter_feeds_herd_care_and_the_ration(opened):
    places = [
        i for i in range(1, opened.book.marks["sources"]["n"] + 1) if opened.get("sources", "name", i) == "Silage"
    ]
    assert len(places) == 1
    assert opened.get("sources", "most_calf", places[0]) == 0
    opened.set_name("chosen_lot", "Silage")
    sheet = opened.book.by_name("Ration cautions")
    row = next(
        r for (r, k), c in sheet.cells.items() if k == 0 and str(c.content).startswith("Lot: nitrate nitrogen, Clemson")
    )
    assert opened.made.get_value("Ration cautions", row + 1, 2) == pytest.approx(2111.1, abs=0.05)
    # 1,000 ppm in all with a rest of 100: 100 x (1,000 - 100) / (2,111.1 - 100) = 44.75 %
    opened.set_name("other_nitrate", 100)
    shares = next(r for (r, k), c in sheet.cells.items() if k == 0 and "most of this hay in the diet" in str(c.content))
    assert opened.made.get_value("Ration cautions", shares + 1, 2) == pytest.approx(44.75, abs=0.005)


def test_the_same_lot_on_dry_basis_says_the_same(tmp_path, opened):
    """One lot, written once as fed and once dry, has one and the same caution."""
    number = LAST
    for field in ("cp_pct", "adf_pct", "ndf_pct", "nitrate_n_ppm"):
        at = opened.book.marks["lots_at"][f"lab_{field}"] + 1
        given = opened.made.get_value("Lots", 7 + number, at)
        opened.made.set_value("Lots", 7 + number, at, float(to_dry_basis(given, 45)))
    before = [
        opened.get("hazards", mark, number)
        for mark in ("nitrate_calf_a", "nitrate_calf_b", "nitrate_open_a", "nitrate_open_b")
    ]
    opened.made.set_value("Lots", 7 + number, opened.book.marks["lots_at"]["basis"] + 1, DRY)
    opened.made.evaluate_all()
    assert [
        opened.get("hazards", mark, number)
        for mark in ("nitrate_calf_a", "nitrate_calf_b", "nitrate_open_a", "nitrate_open_b")
    ] == before


def test_prussic_acid_and_ergovaline_come_from_the_list_on_its_basis(opened):
    assert opened.get("hazards", "hcn", LAST) == 450
    assert opened.get("hazards", "hcn_basis", LAST) == "wet"
    assert opened.get("hazards", "hcn_dry", LAST) == pytest.approx(1000)  # 450 / 0.45
    assert opened.get("hazards", "ergovaline_dm", LAST) == pytest.approx(200)  # 90 / 0.45
    assert opened.get("cautions", "ergot", LAST) == "Caution"


@pytest.mark.parametrize(
    ("value", "basis", "dm", "word"),
    [
        (650, "wet", 88, "Danger"),  # above 600 wet
        (738.64, "dry", 88, "Danger"),  # the same hay told dry: 738.64 x 0.88 = 650.0 wet
        (450, "wet", 88, "Caution"),  # 200 to 600 wet
        (450, "dry", 88, "Caution"),  # 450 x 0.88 = 396 wet
        (450, None, 88, "Caution"),  # not said: read as wet
        (650, None, 88, "Danger"),
        (175, "wet", 88, "Clear"),  # 198.9 of dry matter
        (199, "wet", 88, "Caution"),  # 226 of dry matter, for which no scale is in print
        (260, "dry", 25, "Caution"),  # 65 wet, as fresh forage, but hay of it keeps its poison
        (190, "wet", 18, "Danger"),  # 190 / 0.18 = 1,056 of dry matter, though below 200 wet
    ],
)  # fmt: skip
def test_prussic_acid_is_held_to_both_scales_and_the_stricter_counts(opened, value, basis, dm, word):
    opened.made.set_value("Lots", 8, opened.book.marks["lots_at"]["lab_dm_pct"] + 1, dm)
    opened.put("hazards", "hcn", value)
    opened.put("hazards", "hcn_basis", basis)
    assert opened.get("cautions", "prussic") == word
    assert str(opened.get("hazards", "prussic")).startswith(word)


def test_prussic_acid_that_was_not_tested_is_not_clear(opened):
    opened.put("hazards", "hcn", None)
    opened.put("hazards", "hcn_basis", None)
    for mark in ("hcn_dry", "hcn_wet", "prussic_wet", "prussic_dry", "prussic"):
        assert opened.get("hazards", mark) == "not tested"


def test_the_audit_would_see_a_value_as_given_taken_for_one_of_dry_matter():
    assert not agree("ppm", "ppm on the basis given")
    assert not agree("ppb", "ppb on the basis given")
    assert agree("any", "ppm on the basis given")  # what TO_DRY_BASIS takes


def test_headings_and_the_list_of_columns_say_on_which_basis():
    from hayfuncs.importers.columns import columns_text

    for field in ("nitrate_n_ppm", "hcn_ppm", "ergovaline_ppb"):
        assert "as Basis says" in column_of(field).heading
    text = columns_text()
    assert "~ stands on the lot's Basis" in text
    for column in LOT_COLUMNS:
        if column.on_basis and column.field != "dm_pct":
            assert any(line.strip().startswith(column.heading) and "~" in line for line in text.splitlines()), (
                column.heading
            )


def test_the_plan_counts_a_wet_lot_s_nitrate_as_tested(green):
    solved = green[0].marks["solved"]
    assert "Silage" not in {lot.name for lot in solved.farm.lots}  # above what is safe as the whole diet
    assert "Silage" in solved.tested.out
    assert "Silage" not in solved.tested.no_nitrate
