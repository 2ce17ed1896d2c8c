"""Rebuilding from a workbook whose rows and columns hands have moved: each value is found, or named as lost."""

from __future__ import annotations

import random
import re
import zipfile

import pytest
from where import Parts

from hayfuncs.contract.files import UserError
from hayfuncs.workbook import rebuild as making
from hayfuncs.workbook import write
from hayfuncs.workbook.model import a1
from hayfuncs.workbook.oldfile import read_old

OF_THE_LOT = re.compile(r'(=Lots!\$?[A-Z]+)8((?:&"")?)')  # the name of the first lot, as other sheets have it


def test_a_typed_formula_becomes_its_value(editions, tmp_path):
    """A person may type =124*1100/2000 in an input; the file holds its value beside it."""
    book, _, path = editions["functions"]
    tab, row, col = book.at(*book.inputs["Lots/1/tons"])
    number = 1 + [t.name for t in book.tabs].index(tab)
    out = tmp_path / "old.xlsx"
    with zipfile.ZipFile(path) as before, zipfile.ZipFile(out, "w") as after:
        for item in before.namelist():
            data = before.read(item)
            if item == f"xl/worksheets/sheet{number}.xml":
                cell = re.compile(rf'(<c r="{a1(row, col)}"[^>]*>)<v>64</v>'.encode())
                data, count = cell.subn(rb"\1<f>124*1100/2000</f><v>68.2</v>", data)
                assert count == 1
            after.writestr(item, data)
    done = making.rebuild(out, tmp_path / "new.xlsx")
    assert write.input_values(done.book)["Lots/1/tons"] == 68.2
    assert "=124*1100/2000" in "\n".join(making.account(done))


def test_rows_typed_under_a_table_and_moved_cells_are_found(old, tmp_path):
    _, path = old
    file = Parts(path)
    lots, herd, feeds = file["Lots"], file["Herd"], file["Feeds"]
    for col in range(1, 21):
        lots.cell(18, col).value = lots.cell(10, col).value
    lots["A18"] = "Typed lot"
    for col, value in enumerate(("Bulls", 4, 1900, 9, 18, 85, 6), 1):
        herd.cell(14, col).value = value
    feeds["A24"], feeds["C24"] = "barley screenings", 140
    lots.insert_cols(6)  # a column of the user's own in the middle of the inputs
    lots.title = "My hay"
    file["Assumptions"].insert_rows(5, 2)
    file["Assumptions"]["B8"] = 5
    file.save(path)
    done = making.rebuild(path, tmp_path / "new.xlsx")
    now = write.input_values(done.book)
    rows = done.keeper.old.rows
    assert {k: rows[k] for k in ("Lots", "Register", "Herd", "Feeds")} == {
        "Lots": 11,
        "Register": 10,
        "Herd": 7,
        "Feeds": 17,
    }
    assert now["Lots/11/name"] == "Typed lot"
    assert now["Lots/11/cp_pct"] == now["Lots/3/cp_pct"] == 15.4
    assert (now["Herd/7/name"], now["Herd/7/body_weight_lb"]) == ("Bulls", 1900)
    assert now["Assumptions/shrink_pct"] == 5
    names = [now[f"Feeds/{i}/name"] for i in range(1, 22)]
    assert names[16:] == ["barley screenings", None, None, None, None]  # as many free rows as ever
    assert done.left_out() == []


def test_a_row_put_in_between_leaves_what_belongs_to_each_lot_with_it(old, tmp_path):
    """As a spreadsheet does it: the row moves the lots below, and the references to them follow."""
    book, path = old
    file = Parts(path)
    lots = file["Lots"]
    lots.insert_rows(10)
    for col in range(1, 21):
        lots.cell(10, col).value = lots.cell(9, col).value
    lots["A10"] = "Put in between"
    for sheet in file.every():
        cell = sheet["A8"].value
        if isinstance(cell, str) and (of := OF_THE_LOT.fullmatch(cell)):
            for row in range(10, 18):
                sheet.cell(row, 1).value = f"{of[1]}{row + 1}{of[2]}"
    file.save(path)
    done = making.rebuild(path, tmp_path / "new.xlsx")
    first, now = write.input_values(book), write.input_values(done.book)
    assert now["Lots/3/name"] == "Put in between"
    for old_row in range(1, 11):
        new_row = old_row if old_row < 3 else old_row + 1
        assert now[f"Lots/{new_row}/name"] == first[f"Lots/{old_row}/name"]
        for key in ("Register/#/bales", "Register/#/storage", "Stock/#/feeder", "Hazards/#/temp"):
            if key.replace("#", "1") in first:
                assert now[key.replace("#", str(new_row))] == first[key.replace("#", str(old_row))], (key, old_row)
    assert now["Register/3/bales"] is None
    assert done.left_out() == []


def test_a_row_taken_out_is_named_with_what_belonged_to_it(old, tmp_path):
    book, path = old
    file = Parts(path)
    file["Lots"].delete_rows(10)
    for sheet in file.every():
        cell = sheet["A8"].value
        if isinstance(cell, str) and (of := OF_THE_LOT.fullmatch(cell)):
            sheet["A10"] = "=Lots!#REF!"
            for row in range(11, 18):
                sheet.cell(row, 1).value = f"{of[1]}{row - 1}{of[2]}"
    file["Plan"]["C8"] = book.by_name("Lots").cells[7, 0].content
    file.save(path)
    done = making.rebuild(path, tmp_path / "new.xlsx")
    first, now = write.input_values(book), write.input_values(done.book)
    assert done.keeper.old.rows["Lots"] == 9
    assert now["Lots/3/name"] == first["Lots/4/name"]
    assert now["Register/3/bales"] == first["Register/4/bales"]
    said = "\n".join(making.account(done))
    assert f"{book.where('Register!L10')}, {first['Register/3/bales']}: the row it belongs to is not there" in said


@pytest.mark.parametrize("seed", range(8))
def test_a_damaged_file_is_read_or_refused_in_a_sentence(editions, tmp_path, seed):
    """Cut short, or bytes changed anywhere: never anything but a refusal in words."""
    rng = random.Random(seed)
    data = bytearray(editions["functions"][2].read_bytes())
    if seed % 2:
        data = data[: rng.randrange(len(data))]
    else:
        for _ in range(40):
            data[rng.randrange(len(data))] = rng.randrange(256)
    path = tmp_path / "damaged.xlsx"
    path.write_bytes(bytes(data))
    said = ""
    held = None
    try:
        held = read_old(path)
    except UserError as error:
        said = str(error)
    assert said.startswith("damaged.xlsx ") if held is None else held.rows["Lots"] >= 1
    assert "\n" not in said
