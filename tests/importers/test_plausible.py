"""What is refused and what is asked about: in a laboratory's file, in LOTS.csv and in HERD.csv."""

from __future__ import annotations

import pytest

from hayfuncs.contract.files import UserError
from hayfuncs.importers.herd import read_herd, write_herd
from hayfuncs.importers.lab import Options, import_lab
from hayfuncs.importers.labreport import report
from hayfuncs.importers.lots import read_lots, write_lots

HEAD = "Sample,Forage,DM %,CP %DM,ADF %DM,NDF %DM,P %DM"
OWN = "Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%),Phosphorus (%)"
ASKED = [
    ("52,10,38,60,0.2", "dry matter 52 % is below 60 %", "baleage"),
    ("88,31,22,33,0.2", "protein 31 is above ADF 22 % DM", "young"),
    ("88,10,38,60,1.4", "phosphorus 1.4 is above 1 % DM", "phosphorus"),
]


@pytest.mark.parametrize(("cells", "says", "word"), ASKED)
def test_what_is_seldom_is_asked_about_and_one_word_accepts_it_and_stays(put, tmp_path, cells, says, word):
    path = put(f"{HEAD}\nA,grass,{cells}\nB,grass,87,9,39,61,0.2\n", "LAB.csv")
    with pytest.raises(UserError, match=f'row 2, sample "A": {says}.*add --accept {word}'):
        import_lab([path], Options())
    lots = import_lab([path], Options(accept=(word,))).lots
    assert [x.accepted for x in lots] == [word, ""]
    assert f"accepted: {word}" in lots[0].notes
    write_lots(tmp_path / "OUT.csv", lots)
    assert read_lots(tmp_path / "OUT.csv") == lots
    own = f"{OWN},Accepted\nA,grass,dry,{cells},{{}}\n"
    with pytest.raises(UserError, match=f"{says}.*write {word} under Accepted"):
        read_lots(put(own.format("")))
    assert read_lots(put(own.format(word)))[0].accepted == word
    with pytest.raises(UserError, match='"perhaps" is not known'):
        read_lots(put(own.format("perhaps")))
    with pytest.raises(UserError, match='--accept "perhaps" is not known; allowed: baleage, young, phosphorus, same'):
        import_lab([path], Options(accept=("perhaps",)))


def test_as_fed_values_are_judged_as_dry_matter(put):
    # phosphorus 0.9 as fed at 80 % dry matter is 1.125 % of the dry matter
    with pytest.raises(UserError, match=r"phosphorus 1\.125 is above 1 % DM"):
        read_lots(put(f"{OWN}\nA,grass,as fed,80,8,30,48,0.9\n"))


def test_the_register_may_accept_for_one_lot(put):
    path = put(f"{HEAD}\nA,grass,52,10,38,60,0.2\nB,grass,53,9,39,61,0.2\n", "LAB.csv")
    register = put("Lot,Forage,Accepted\nA,grass,baleage\nB,grass,\n", "REGISTER.csv")
    with pytest.raises(UserError) as caught:
        import_lab([path], Options(), register)
    assert 'sample "B": dry matter 53' in str(caught.value)
    assert 'sample "A"' not in str(caught.value)


def test_lots_with_the_very_same_values_are_asked_about(put, tmp_path):
    path = put(f"{HEAD}\nA,grass,88,10,38,60,0.2\nB,grass,88,10,38,60,0.2\n", "LAB.csv")
    with pytest.raises(UserError, match=r'row 3: lot "B" has the very same lab values as "A" .*add --accept same'):
        import_lab([path], Options())
    lots = import_lab([path], Options(accept=("same",))).lots
    assert [x.accepted for x in lots] == ["same", "same"]
    write_lots(tmp_path / "OUT.csv", lots)
    assert read_lots(tmp_path / "OUT.csv") == lots
    with pytest.raises(
        UserError, match=r'row 3: lot "B" has the very same lab values as "A" \(row 2\).*write same under Accepted'
    ):
        read_lots(put(f"{OWN}\nA,grass,dry,88,10,38,60,0.2\nB,grass,dry,88,10,38,60,0.2\n"))


def test_footer_rows_are_no_lots(put):
    path = put(f"{HEAD}\nA,grass,88,10,38,60,0.2\nMean of all,,88,10,38,60,0.2\n", "LAB.csv")
    done = import_lab([path], Options())
    assert [x.name for x in done.lots] == ["A"]
    assert 'Rows passed over (no values, or averages of the others): 3 ("Mean of all")' in report(done)
    with pytest.raises(UserError, match='row 3, column "Lot": "Mean of all"; allowed: a lot of hay; an average'):
        read_lots(put(f"{OWN}\nA,grass,dry,88,10,38,60,0.2\nMean of all,grass,dry,88,11,38,60,0.2\n"))


HERD = "Group,Head,Body weight (lb),Month since calving,Peak milk (lb/day),Calf birth weight (lb),BCS"
NUMBERS = "20,1200,8,20,85,5"


@pytest.mark.parametrize(
    "name", ["Bulls", "Young bulls", "Yearling steers", "Stockers", "Weaned calves", "Heifer calves", "Horses"]
)
def test_other_cattle_are_asked_about_not_fed_as_cows(put, tmp_path, name):
    with pytest.raises(
        UserError, match=f'row 3, column "Group": "{name}"; allowed: groups of cows.*write in a column Class of cattle'
    ):
        read_herd(put(f"{HERD}\nCows,{NUMBERS}\n{name},{NUMBERS}\n", "HERD.csv"))
    groups = read_herd(put(f"{HERD},Class of cattle\n{name},{NUMBERS},cows\n", "HERD.csv"))
    assert groups[0].cattle_class == "cow"
    write_herd(tmp_path / "OUT.csv", groups)
    assert read_herd(tmp_path / "OUT.csv") == groups


def test_a_class_that_is_not_known_is_refused(put):
    with pytest.raises(
        UserError, match='row 2, column "Class": "llamas"; allowed: cow, second-calf cow, first-calf cow'
    ):
        read_herd(put(f"{HERD},Class\nNorth,{NUMBERS},llamas\n", "HERD.csv"))


@pytest.mark.parametrize("name", ["Heifers", "Spring calvers", "Bull pasture cows", "Two-year-olds", "Calvers"])
def test_names_of_cows_pass(put, name):
    assert read_herd(put(f"{HERD}\n{name},{NUMBERS}\n", "HERD.csv"))[0].name == name
