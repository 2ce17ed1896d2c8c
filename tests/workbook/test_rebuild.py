"""Rebuilding: what was typed into an older workbook stands in the new one, and what cannot is named."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import building
import openpyxl
import pytest
from where import Parts
from workbook.byhand import typed

import hayfuncs
from hayfuncs.contract.files import UserError
from hayfuncs.spreadsheet.a1 import a1
from hayfuncs.workbook import rebuild as making
from hayfuncs.workbook import write
from hayfuncs.workbook.keep import CannotKeep, fit
from hayfuncs.workbook.model import Input
from hayfuncs.workbook.oldfile import read_old

HERE = {**os.environ, "PYTHONPATH": str(Path(hayfuncs.__file__).parents[1])}


@pytest.fixture(scope="module")
def editions(tmp_path_factory):
    """The small farm's: every kind of input is in it."""
    return building.editions(tmp_path_factory.mktemp("small"), building.SMALL)


def other(entry: Input, value):
    """Another possible value for an input, of the same kind."""
    if entry.kind in ("number", "whole") and value is not None:
        lo, hi = entry.lo if entry.lo is not None else -1e9, entry.hi if entry.hi is not None else 1e9
        moved = value + 1 if value + 1 <= hi else value - 1
        return moved if entry.kind == "whole" else max(lo, min(moved, hi)) - (0.25 if moved - 0.25 > lo else 0)
    if entry.kind == "text" and isinstance(value, str) and not entry.key.endswith(("/name", "/book")):
        return value + " é"
    if entry.kind == "date" and value is not None:
        return value + dt.timedelta(days=1)
    return value


def test_nothing_changed_gives_the_same_workbook(editions, tmp_path):
    for edition, (_, values, path) in editions.items():
        done = making.rebuild(path, tmp_path / f"{edition}.xlsx", None)
        assert done.book.edition == edition
        assert done.left_out() == []
        assert done.keeper.fresh == []
        assert {c.key for c in done.keeper.carried} == {k for k in done.book.inputs if k in done.keeper.old.values}
        assert done.values == values


@pytest.mark.parametrize("edition", ["plain", "classic"])
def test_another_edition_holds_the_same_results(editions, tmp_path, edition):
    _, values, path = editions["functions"]
    done = making.rebuild(path, tmp_path / "new.xlsx", edition)
    assert done.book.edition == edition
    differ = {
        k: (v, done.values[k])
        for k, v in values.items()
        if k[0] not in ("Start", "Contents")  # what each edition says of itself, and where its parts stand
        and (done.values[k] != pytest.approx(v, rel=1e-9, abs=1e-9) if isinstance(v, float) else done.values[k] != v)
    }
    assert differ == {}


def test_every_input_changed_comes_over(old, tmp_path):
    book, path = old
    changes = {}
    for key, (sheet, row, col) in book.inputs.items():
        cell = book.by_name(sheet).cells[row, col]
        new = other(cell.entry, cell.content)
        if new != cell.content:
            changes[key] = new
    assert len(changes) > 200
    typed(book, path, changes)
    held = read_old(path)
    wanted = {**write.input_values(book), **changes}
    read = {key: held.get(key) for key in held.values}
    assert {k: v for k, v in read.items() if v != pytest.approx(wanted[k])} == {}
    # what a layout makes of them: the whole workbook is built from the values read
    few = {k: v for k, v in changes.items() if k.startswith(("Herd/", "What to feed/")) or "price" in k}
    shutil.copy(editions_path(book, path), path)
    typed(book, path, few)
    done = making.rebuild(path, tmp_path / "new.xlsx")
    now = write.input_values(done.book)
    assert {k: (v, now[k]) for k, v in few.items() if now[k] != pytest.approx(v)} == {}
    assert done.left_out() == []


def editions_path(book, path):
    """A fresh function edition beside the changed one."""
    fresh = path.with_name("fresh.xlsx")
    write.save(book, fresh)
    return fresh


def cell_of(book, key):
    """Where an input stands in the file, as a message names it."""
    tab, row, col = book.at(*book.inputs[key])
    return f"{tab}!{a1(row, col)}"


def test_words_dates_empties_and_text_that_looks_like_a_formula(old, tmp_path):
    book, path = old
    book_name = write.input_values(book)["Lots/1/name"]  # wherever it is chosen too
    changes = {
        **dict.fromkeys((key for key, value in write.input_values(book).items() if value == book_name), '=HYPERLINK("x")'),
        "Lots/2/ash_pct": None,
        "Feeds/3/price": None, "Assumptions/intake_method": "quality class", "Lots/4/tons": 0,
    }  # fmt: skip
    file = Parts(path)
    for key, value in changes.items():
        sheet, row, col = book.inputs[key]
        cell = file[sheet].cell(row + 1, col + 1)
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"  # typed as text, with an apostrophe before it
    file.save(path)
    done = making.rebuild(path, tmp_path / "new.xlsx")
    now = write.input_values(done.book)
    assert {k: now[k] for k in changes} == changes
    assert done.left_out() == []
    new = Parts(tmp_path / "new.xlsx")
    assert new["Lots"]["A8"].data_type == "s"


def test_what_is_not_possible_is_named_and_left_at_its_first_value(old, tmp_path):
    book, path = old
    typed(book, path, {
        "Assumptions/shrink_pct": 900, "Assumptions/intake_method": "by eye", "Lots/3/k_pct": "a lot", "Feeds/2/price": -5,
        "What to feed/feed": "unicorn hay", "Assumptions/mix_fat_pct": None,
    })  # fmt: skip
    done = making.rebuild(path, tmp_path / "new.xlsx")
    said = "\n".join(making.account(done))
    for words in (
        f"Assumptions/shrink_pct, {cell_of(book, 'Assumptions/shrink_pct')}, 900: is 900; possible: 0 to", "by eye", "Lots/3/k_pct",
        "not a number", "-5", "unicorn hay", f"Assumptions/mix_fat_pct, {cell_of(book, 'Assumptions/mix_fat_pct')}, empty: is empty",
    ):  # fmt: skip
        assert words in said, said
    now, first = write.input_values(done.book), write.input_values(book)
    assert now["Assumptions/shrink_pct"] == first["Assumptions/shrink_pct"]
    assert now["Assumptions/mix_fat_pct"] == first["Assumptions/mix_fat_pct"]
    assert now["Lots/3/k_pct"] is None
    assert now["Feeds/2/price"] is None
    assert len(done.keeper.refused) == 6


def test_a_lot_without_what_it_needs_is_refused_with_its_cell(old, tmp_path):
    book, path = old
    typed(book, path, {"Lots/2/cp_pct": None, "Herd/1/body_weight_lb": 9, "Lots/5/forage": "straw"})
    with pytest.raises(UserError) as error:
        making.rebuild(path, tmp_path / "new.xlsx")
    places = (cell_of(book, key) for key in ("Lots/2/cp_pct", "Herd/1/body_weight_lb", "Lots/5/forage"))
    for words in (*places, "is empty", "9", "straw", "nothing was written"):
        assert words in str(error.value), str(error.value)
    assert not (tmp_path / "new.xlsx").exists()


@pytest.mark.parametrize(
    ("name", "data"),
    [("not.xlsx", b"nothing of the kind"), ("empty.xlsx", b""), ("theirs.xlsx", None), ("cut.xlsx", "half")],
)
def test_a_file_that_is_not_ours_is_refused_in_a_sentence(editions, tmp_path, name, data):
    path = tmp_path / name
    if data is None:
        openpyxl.Workbook().save(path)
    elif data == "half":
        whole = editions["functions"][2].read_bytes()
        path.write_bytes(whole[: len(whole) // 2])
    else:
        path.write_bytes(data)
    done = subprocess.run(
        [sys.executable, "-m", "hayfuncs.cli", "rebuild", name, "new.xlsx"], cwd=tmp_path, env=HERE, capture_output=True, text=True,
        timeout=120,
    )  # fmt: skip
    assert done.returncode == 2
    *progress, said = done.stderr.splitlines()
    assert said.startswith(f"hayfuncs: {name} ")
    assert all(line.startswith("  ... ") for line in progress)
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "new.xlsx").exists()


def test_killed_half_way_the_old_file_is_whole(old, tmp_path):
    """The new file takes the old one's name; a kill at any moment leaves the one or the other, complete."""
    _, path = old
    before = path.read_bytes()
    complete = 0
    for delay in (0.3, 0.9, 1.5, 2.1):
        path.write_bytes(before)
        run = subprocess.Popen(
            [sys.executable, "-m", "hayfuncs.cli", "rebuild", "old.xlsx", "old.xlsx", "--force"], cwd=tmp_path, env=HERE,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        time.sleep(delay)
        run.send_signal(signal.SIGKILL)
        run.wait()
        held = read_old(path)
        assert held.rows["Lots"] == 5
        complete += path.read_bytes() == before
    assert complete >= 1  # some kill came before the end


def test_the_command_says_what_it_did(old, tmp_path):
    book, path = old
    typed(book, path, {"Assumptions/shrink_pct": 5})
    again = [sys.executable, "-m", "hayfuncs.cli", "rebuild", "old.xlsx", "new.xlsx", "--edition", "plain"]
    done = subprocess.run(again, cwd=tmp_path, env=HERE, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    for words in (
        "Lots: 185 values in 5 rows",
        "shrink_pct: 5 (kept; the new default is 4)",
        "Not carried: nothing",
        "Written: new.xlsx",
    ):
        assert words in done.stdout
    assert read_old(tmp_path / "new.xlsx").edition == "plain"
    kept = (tmp_path / "new.xlsx").read_bytes()
    refused = subprocess.run(again, cwd=tmp_path, env=HERE, capture_output=True, text=True, timeout=120)
    assert refused.returncode == 2
    assert "--force" in refused.stderr
    assert (tmp_path / "new.xlsx").read_bytes() == kept


@pytest.mark.parametrize(
    ("entry", "value", "kept"),
    [
        (Input("k", "t", "m", kind="date"), dt.datetime(2027, 4, 20), dt.date(2027, 4, 20)),
        (Input("k", "t", "m", kind="date"), 46497, dt.date(2027, 4, 20)),
        (Input("k", "t", "m", kind="date"), "2027-04-20", dt.date(2027, 4, 20)),
        (Input("k", "t", "m", lo=0, hi=1, kind="whole"), True, 1),
        (Input("k", "t", "m", lo=0, hi=9), " 2.5 ", 2.5),
        (Input("k", "t", "m", words=("dry", "as fed"), kind="word"), "As Fed", "as fed"),
    ],
)
def test_a_value_is_taken_as_its_input_takes_it(entry, value, kept):
    assert fit(entry, value)[0] == kept


@pytest.mark.parametrize(
    ("entry", "value"),
    [
        (Input("k", "t", "m", kind="date"), "2027-02-30"),
        (Input("k", "t", "m", kind="date"), dt.date(1900, 1, 1)),
        (Input("k", "t", "m", lo=0, hi=9, above=True), 0),
        (Input("k", "t", "m", lo=0, hi=9, kind="whole"), 2.5),
        (Input("k", "t", "m", lo=0, hi=9), float("inf")),
        (Input("k", "t", "m", kind="text"), "x" * 1001),
        (Input("k", "t", "m", words=("dry",), kind="word"), 3),
    ],
)
def test_an_impossible_value_is_refused(entry, value):
    with pytest.raises(CannotKeep):
        fit(entry, value)
