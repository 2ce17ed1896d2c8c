"""Everything that is made from the records: the template workbooks and parts of README.

`python -m hayfuncs.generate` writes them in the project's folder; with `--check` it writes
nothing and fails when what is committed differs.
"""

from __future__ import annotations

import csv
import math
import re
import sys
import tempfile
import zipfile
from collections import Counter
from pathlib import Path, PurePosixPath

from hayfuncs.contract.catalogue import CATALOGUE, TOPICS

ROOT = Path(__file__).resolve().parents[2]
NUMBER = re.compile(rb"(?<![A-Za-z_#.$])-?\d+\.\d+(?:[eE][-+]?\d+)?")
NEAR = 1e-9  # another processor may round the last digit of a stored value otherwise


def workbooks(folder: Path) -> list[Path]:
    """The template in its editions."""
    from hayfuncs.workbook.build import EDITIONS, save
    from hayfuncs.workbook.farm import DEMO

    paths = []
    for edition in EDITIONS:
        path = folder / f"hayfuncs-template-{edition}.xlsx"
        save(DEMO, path, edition, force=True)
        paths.append(path)
    return paths


def same(old: Path, new: Path) -> bool:
    """Whether two workbooks are the same but for the last digits of numbers."""
    if not old.exists():
        return False
    with zipfile.ZipFile(old) as a, zipfile.ZipFile(new) as b:
        if a.namelist() != b.namelist():
            return False
        return all(same_text(a.read(name), b.read(name)) for name in a.namelist())


def same_text(old: bytes, new: bytes) -> bool:
    if old == new:
        return True
    if NUMBER.sub(b"0", old) != NUMBER.sub(b"0", new):
        return False
    pairs = zip(NUMBER.findall(old), NUMBER.findall(new), strict=True)
    return all(math.isclose(float(a), float(b), rel_tol=NEAR, abs_tol=NEAR) for a, b in pairs)


def check_rows() -> Counter[tuple[str, str]]:
    """How many check rows each function has, by kind."""
    count: Counter[tuple[str, str]] = Counter()
    for path in sorted((ROOT / "tests" / "checks").glob("*.tsv")):
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
        for row in csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE):
            count[row["function"], row["kind"]] += 1
    return count


def matrix() -> str:
    """The function matrix of README: unit, evidence class and check rows of every function."""
    rows = check_rows()
    lines = [
        "| function | gives | in | evidence, weakest link | published rows | hand rows | practice rows |",
        "|---|---|---|---|---|---|---|",
    ]
    for topic in TOPICS:
        lines.append(f"| **{topic}** | | | | | | |")
        for r in (r for r in CATALOGUE.values() if r.topic == topic):
            counts = [str(rows[r.name, kind] or "-") for kind in ("published", "hand", "common practice")]
            meaning = (
                r.result.meaning[0].lower() + r.result.meaning[1:]
                if r.result.meaning[1:2].islower()
                else r.result.meaning
            )
            lines.append(f"| `{r.name}` | {meaning} | {r.result.unit} | {r.evidence} | {' | '.join(counts)} |")
    total = [sum(v for (_, k), v in rows.items() if k == kind) for kind in ("published", "hand", "common practice")]
    lines.append(f"| **{len(CATALOGUE)} functions** | | | | **{total[0]}** | **{total[1]}** | **{total[2]}** |")
    return "\n".join(lines)


def demo_text() -> str:
    """What `hayfuncs demo --out demo` prints, for README's worked day."""
    from hayfuncs.workbook import report, write
    from hayfuncs.workbook.build import EDITIONS, build
    from hayfuncs.workbook.farm import DEMO, DEMO_FILE

    book = build(DEMO)
    path = PurePosixPath("demo") / DEMO_FILE.format(EDITIONS[0])
    return "```text\n" + report.told(book, write.compute(book), path) + "\n```"


def readme() -> str:
    """README with its generated parts renewed; the parts stand between marks of their own name."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for name, make in PARTS.items():
        pattern = re.compile(rf"(<!-- begin {name} -->\n).*?(<!-- end {name} -->)", re.S)
        if not pattern.search(text):
            raise SystemExit(f"README.md has no part {name}")
        made = make()
        text = pattern.sub(lambda m, made=made: f"{m.group(1)}{made}\n{m.group(2)}", text)  # type: ignore[misc]  # `made` is bound early on purpose
    return text


def bases() -> str:
    """Both ways of counting on the case that README tells."""
    import hayfuncs as h

    hay, tdn, cp, hulls = 23.3, 53, 8.6, (77, 12, 90)
    cow = (1200, 2, 20, 85)
    needs = {k: h.daily_need(k, *cow) for k in ("TDN", "CP", "DM")}
    lines = [
        "| counted by | aim | soybean hulls, lb as fed a day | TDN then, lb | CP then, lb | diet TDN, % | diet CP, % |",
        "|---|---|---|---|---|---|---|",
    ]
    pounds = h.supplement_for_pounds(needs["TDN"], hay, tdn, hulls[0], 0)
    share = h.supplement_for_share(60, hay, tdn, hulls[0])
    for name, aim, dry in (
        ("pounds", f"{needs['TDN']:.1f} lb of TDN", pounds),
        ("share", "60 % TDN in the diet", share),
    ):
        got = [(hay * a + dry * b) / 100 for a, b in ((tdn, hulls[0]), (cp, hulls[1]))]
        percent = [100 * g / (hay + dry) for g in got]
        fed = h.as_fed_weight(dry, hulls[2])
        lines.append(
            f"| `{name}` | {aim} | **{fed:.1f}** | {got[0]:.1f} | {got[1]:.2f} | {percent[0]:.1f} | {percent[1]:.1f} |"
        )
    eaten = hay + share
    both = h.supplement_rate("pounds", needs["TDN"], needs["CP"], hay, tdn, cp, *hulls, 0)
    lines += [
        "",
        f"By `share` she eats {eaten:.1f} lb of dry matter; her need in percent was reckoned on {needs['DM']:.1f} lb. The protein she then",
        f"gets covers her {needs['CP']:.2f} lb although the diet holds under 10 % CP. Both rows count TDN only: `SUPPLEMENT_RATE` in",
        f"pounds, which must cover protein too, asks for {both:.1f} lb of hulls, since hulls are poor in protein.",
    ]
    return "\n".join(lines)


DAMAGED, TRACED = "B14", "B13"  # on the sheet Ration: the TDN need, typed over; the TDN the hay gives, traced


def audit_example() -> str:
    """One finding (a number typed over a formula of a copy) and one derivation, from the demo workbook."""
    from hayfuncs.audit import run
    from hayfuncs.audit import text_report as telling
    from hayfuncs.commands.audit import derivation
    from hayfuncs.workbook.build import save
    from hayfuncs.workbook.farm import DEMO

    with tempfile.TemporaryDirectory() as name:
        whole, damaged = Path(name) / "demo.xlsx", Path(name) / "damaged.xlsx"
        book, _ = save(DEMO, whole, "functions")
        number = [sheet.name for sheet in book.sheets].index("Ration") + 1
        _type_over(whole, damaged, f"xl/worksheets/sheet{number}.xml", DAMAGED, "15.0")
        found = run.audit(damaged)
        typed = next(f for f in found.findings if f.cell == f"Ration!{DAMAGED}")
        tree = derivation(whole, f"Ration!{TRACED}").splitlines()
    return "\n".join(
        ["```text", *telling.coverage(found), *telling.told(typed), "```", "", "```text", *tree[:14], "```"]
    )


def _type_over(source: Path, target: Path, part_name: str, cell: str, value: str) -> None:
    """A copy of a workbook in which a number stands where a formula stood."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name == part_name:
                pattern = rb'(<c r="%s"[^>]*>)<f>.*?</f><v>[^<]*</v>' % cell.encode()
                data, done = re.subn(pattern, lambda m: m.group(1) + b"<v>" + value.encode() + b"</v>", data)
                assert done == 1
            new.writestr(name, data)


def agreement() -> str:
    """Every route over the one table of cases; the routes through LibreOffice need it on this machine."""
    sys.path.insert(0, str(ROOT / "tests"))
    from hosts import agreement as table  # type: ignore[import-not-found]  # lives in tests/
    from hosts import officelib

    lack = officelib.missing()
    if lack:
        print(f"README's table of agreement is left as it is: {lack}")
        return part("agreement")
    return str(table.agreement_table())


def part(name: str) -> str:
    """A generated part of README as it stands."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.search(rf"<!-- begin {name} -->\n(.*?)\n?<!-- end {name} -->", text, re.S)
    return found.group(1) if found else ""


PARTS = {"agreement": agreement, "audit": audit_example, "matrix": matrix, "demo": demo_text, "bases": bases}


def texts() -> dict[str, str]:
    """Path -> text of what is a file of its own: the stub, and a page for each function."""
    from hayfuncs.generate.pages import DRAWN_WITH, can_draw, pages
    from hayfuncs.generate.stub import stub

    if not can_draw():
        print(f"pictures are left as they are: matplotlib {DRAWN_WITH} is not installed")
    return {"hayfuncs/__init__.pyi": stub(), **pages(ROOT)}


def stale_texts(check: bool) -> list[str]:
    """The stub and pages that differ from what the records make, or that no function has any more; renewed unless `check`."""
    made = texts()
    stale: list[str] = []
    for name, text in made.items():
        path = ROOT / name
        if not path.exists() or not same_text(path.read_bytes(), text.encode()):
            stale.append(name)
            if not check:
                path.parent.mkdir(exist_ok=True)
                path.write_bytes(text.encode())
    for path in sorted((ROOT / "hayfuncs" / "pages").glob("*.*")):
        if path.suffix in (".md", ".svg") and path.relative_to(ROOT).as_posix() not in made:
            stale.append(path.relative_to(ROOT).as_posix())
            if not check:
                path.unlink()
    return stale


def main(arguments: list[str]) -> int:
    """`--check` writes nothing; `--texts` leaves the workbooks and README, which take minutes, as they are."""
    check = "--check" in arguments
    stale = stale_texts(check)
    if "--texts" not in arguments:
        stale += stale_workbooks(check)
    for path in stale:
        print(f"{'differs from what the records make' if check else 'renewed'}: {path}")
    if not stale:
        print("all generated files are as the records make them")
    return 1 if check and stale else 0


def stale_workbooks(check: bool) -> list[str]:
    stale: list[str] = []
    with tempfile.TemporaryDirectory() as name:
        for made in workbooks(Path(name)):
            committed = ROOT / "workbooks" / made.name
            if not same(committed, made):
                stale.append(str(committed.relative_to(ROOT)))
                if not check:
                    committed.write_bytes(made.read_bytes())
    new = readme()
    if new != (ROOT / "README.md").read_text(encoding="utf-8"):
        stale.append("README.md")
        if not check:
            (ROOT / "README.md").write_text(new, encoding="utf-8")
    return stale
