"""Every verb under output streams with few signs, as files, pipes and old consoles on Windows have them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from hayfuncs import cli
from hayfuncs.commands import streams

ROOT = Path(cli.__file__).parents[1]
ENCODINGS = ("cp1252", "cp437", "ascii")
# names as people write them, and signs that none of the three can show
LOTS = """Lot,Forage,Basis,Dry matter (%),Crude protein (%),ADF (%),NDF (%),Tons,Feeder,Notes
Prärie – 日本 ✓,grass,dry,88,11.2,36.5,58.1,120,open ring,cut at ≥ 30 °C × 2
Łąka →,legume,dry,87,18.4,32.2,42.5,90,open ring,
"""
HERD = """Group,Head,Body weight (lb),Month since calving,Peak milk (lb/day),Calf birth weight (lb),BCS
Mères ✗ ½,20,1250,9,20,80,5
"""
LAB = "Sample,Forage,Basis,DM,CP,ADF,NDF,Wächter → ✓\nŁąka ✓,grass,dry,88,11,36,58,x\n"
VERBS = tuple(
    sorted(command.name or command.callback.__name__.replace("_", "-") for command in cli.app.registered_commands)
)

FOUND = -1  # an audit that finds nothing or something, 0 or 1: what it finds is not the matter here
# each call, its exit code, and words that must still be readable in what it prints
CALLS: tuple[tuple[list[str], int, str], ...] = (
    (["--help"], 0, "Usage"),
    *(([verb, "--help"], 0, "Usage") for verb in VERBS),
    (["functions"], 0, "TDN_FROM_ADF"),
    (["functions", "NITRATE_CAUTION"], 0, "published"),
    (["functions", "no ✓ such"], 2, "hayfuncs: "),
    (["lots", "LAB.csv", "--out", "OUT.csv"], 0, "ka ok"),
    (["lots", "missing – ✓.csv"], 2, "cannot be read"),
    (
        [
            "workbook",
            "FARM.xlsx",
            "--lots",
            "LOTS.csv",
            "--herd",
            "HERD.csv",
            "--start",
            "2026-12-01",
            "--turnout",
            "2026-12-20",
        ],
        0,
        "Written: FARM.xlsx",
    ),
    (["plan", "--hays", "cheapest", "FARM.xlsx", "--out", "PLAN.xlsx", "--anyway"], 0, "Written: PLAN.xlsx"),
    (["rebuild", "FARM.xlsx", "NEWER.xlsx"], 0, "Written: NEWER.xlsx"),
    (["audit", "FARM.xlsx", "--notes", "--out", "REPORT.xlsx"], FOUND, "Written: REPORT.xlsx"),
    (["audit", "FARM.xlsx", "--cell", "Lots!C8"], 0, "Cutting of"),
    (["audit", "NEWER.xlsx", "--against", "FARM.xlsx"], 0, "Texts: 1 changed"),
    (["excel", "check"], 0 if sys.platform == "win32" else 1, "Excel"),
    (["excel", "checklist", "CHECK.xlsx"], 0, "checks"),
    (["calc-addin", "HAY.oxt"], 0, "HAY.oxt"),
    (["demo", "--out", "demo"], 0, "Checks: "),
)
# The strictest stream gets every verb, the others those that make no workbook: they hold all of its signs.
LONG = {"workbook", "plan", "rebuild", "audit", "demo"}
SHORT_CALLS = tuple(call for call in CALLS if call[0][0] not in LONG or call[0][1:] == ["--help"])

BATCH = """
import json, sys
import building
from hayfuncs import cli
from hayfuncs.workbook import farm
farm.DEMO = building.SMALL
for i, args in enumerate(json.load(open("calls.json", encoding="utf-8"))):
    print(f"@@{i}", flush=True)
    print(f"@@{i}", file=sys.stderr, flush=True)
    sys.argv = ["hayfuncs", *args]
    try:
        cli.main()
        code = 0
    except SystemExit as end:
        code = end.code or 0
    print(f"@@exit {code}", flush=True)
"""


def parts(text: str) -> list[str]:
    return [part.partition("\n")[2] for part in text.split("@@")[1:] if not part.startswith("exit")]


@pytest.mark.timeout(600)
@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_verb_prints_to_a_stream_of_few_signs(encoding: str, tmp_path: Path) -> None:
    calls = CALLS if encoding == "ascii" else SHORT_CALLS
    for name, text in (("LOTS.csv", LOTS), ("HERD.csv", HERD), ("LAB.csv", LAB)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "calls.json").write_text(json.dumps([args for args, _, _ in calls]), encoding="utf-8")
    made = subprocess.run(
        [sys.executable, "-X", "utf8=0", "-c", BATCH], cwd=tmp_path, capture_output=True, timeout=500, check=False,
        env={**os.environ, "PYTHONIOENCODING": f"{encoding}:strict", "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'tests'}", "COLUMNS": "200"},
    )  # fmt: skip
    out, err = made.stdout.decode(encoding), made.stderr.decode(encoding)
    assert "Traceback" not in err, err[-3000:]
    codes = [int(part.split()[1]) for part in out.split("@@") if part.startswith("exit")]
    told = [a + b for a, b in zip(parts(out), parts(err), strict=True)]
    assert len(codes) == len(told) == len(calls)
    for (args, code, words), got, text in zip(calls, codes, told, strict=True):
        assert got == code or (code == FOUND and got in (0, 1)), (args, text[-2000:])
        assert words in text, (args, text[-2000:])
    assert {args[0] for args, _, _ in CALLS} >= {*VERBS, "excel"}


@pytest.mark.parametrize(
    ("encoding", "shown"),
    [
        ("cp1252", "ok a–b ×2 é ½ >= 3 ?? L"),
        ("cp437", "ok a-b x2 é ½ ≥ 3 ?? L"),
        ("ascii", "ok a-b x2 e 1/2 >= 3 ?? L"),
    ],
)
def test_a_sign_that_cannot_be_shown_is_spelled(encoding: str, shown: str) -> None:
    said = "import sys; from hayfuncs.commands import streams; streams.never_fail(sys.stdout); import typer; typer.echo(sys.argv[1])"
    made = subprocess.run(
        [sys.executable, "-c", said, "✓ a–b ×2 é ½ ≥ 3 日本 Ł"], capture_output=True, check=True,
        env={**os.environ, "PYTHONIOENCODING": f"{encoding}:strict", "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert made.stdout.decode(encoding).rstrip() == shown


def test_a_stream_that_can_show_all_shows_all() -> None:
    for sign in streams.SPELLED:
        assert streams.spelled(sign).isascii()
    said = "import sys; from hayfuncs.commands import streams; streams.never_fail(sys.stdout, None); print(sys.argv[1])"
    made = subprocess.run(
        [sys.executable, "-c", said, "✓ a–b 日本 Ł"], capture_output=True, check=True,
        env={**os.environ, "PYTHONIOENCODING": "utf-8", "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert made.stdout.decode("utf-8").rstrip() == "✓ a–b 日本 Ł"
