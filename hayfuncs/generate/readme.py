"""Generated parts of README and of the pages beside it; each stands between marks of its own name."""

from __future__ import annotations

import csv
import json
import re
import tempfile
import zipfile
from collections import Counter
from pathlib import Path, PurePosixPath

from hayfuncs.contract.catalogue import CATALOGUE, TOPICS
from hayfuncs.spreadsheet.a1 import split_address

ROOT = Path(__file__).resolve().parents[2]
AGREEMENT = ROOT / "tests" / "hosts" / "agreement.json"  # counted by tests/hosts/agreement.py, which runs every route
COUNTED = ("same", "by design", "not computable", "differences")
EXCEL_ANSWERS = AGREEMENT.with_name("excel_answers")  # the files that `hayfuncs excel answers` makes, as they were sent
REAL_EXCEL = (
    "Not yet confirmed in real Excel: the LAMBDA names, the import of the xlwings functions, the error values they "
    "return, and the Office.js call.  `hayfuncs excel checklist OUT.xlsx` writes the workbook that checks them in "
    "ten minutes."
)


def check_rows() -> Counter[tuple[str, str]]:
    """How many check rows each function has, by kind."""
    count: Counter[tuple[str, str]] = Counter()
    for path in sorted((ROOT / "tests" / "checks").glob("*.tsv")):
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
        for row in csv.DictReader(lines, delimiter="\t", quoting=csv.QUOTE_NONE):
            count[row["function"], row["kind"]] += 1
    return count


def matrix() -> str:
    """The function matrix: unit, evidence class and check rows of every function."""
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
    from hayfuncs.workbook.easyplanning import steady
    from hayfuncs.workbook.farm import DEMO_FILE, PLAN_FILE, TEMPLATE
    from hayfuncs.workbook.stack import by_sheet, stacked

    book = build(TEMPLATE, asked=steady())
    path = PurePosixPath("demo") / DEMO_FILE.format(EDITIONS[0])
    plan = path.with_name(PLAN_FILE.format(EDITIONS[0]))
    values = by_sheet(book, write.compute(stacked(book)))  # as in the file, where a part is named with its tab
    said = [report.told(book, values, path), f"With the winter plan: {plan}"]
    return "\n".join(["```text", *said, "```"])


def bases() -> str:
    """Both ways of counting on the case that README tells."""
    import hayfuncs as h

    hay, tdn, cp, feed = 25.2, 54.2, 7.4, (83, 21.6, 88)  # corn gluten feed, as the feed table has it
    aim_pct = 61
    needs = {k: h.daily_need(k, 1250, 2, 22, 85) for k in ("TDN", "CP", "DM")}
    lines = [
        "| counted by | aim | corn gluten feed, lb as fed a day | TDN then, lb | CP then, lb | diet TDN, % | diet CP, % |",
        "|---|---|---|---|---|---|---|",
    ]
    pounds = h.supplement_for_pounds(needs["TDN"], hay, tdn, feed[0], 0)
    share = h.supplement_for_share(aim_pct, hay, tdn, feed[0])
    for name, aim, dry in (
        ("pounds", f"{needs['TDN']:.1f} lb of TDN", pounds),
        ("share", f"{aim_pct} % TDN in the diet", share),
    ):
        got = [(hay * a + dry * b) / 100 for a, b in ((tdn, feed[0]), (cp, feed[1]))]
        percent = [100 * g / (hay + dry) for g in got]
        fed = h.as_fed_weight(dry, feed[2])
        lines.append(
            f"| `{name}` | {aim} | **{fed:.1f}** | {got[0]:.1f} | {got[1]:.2f} | {percent[0]:.1f} | {percent[1]:.1f} |"
        )
    both = h.supplement_rate("pounds", needs["TDN"], needs["CP"], hay, tdn, cp, *feed, 0)
    lines += [
        "",
        f"By `share` they eat {hay + share:.1f} lb of dry matter; the need in percent was reckoned on {needs['DM']:.1f} lb. Both rows count TDN",
        f"only: `SUPPLEMENT_RATE` in pounds, which must cover the {needs['CP']:.2f} lb of protein too, asks for {both:.1f} lb.",
    ]
    return "\n".join(lines)


DAMAGED, TRACED = "B14", "B13"  # on the sheet Ration: the TDN need, typed over; the TDN the hay gives, traced


def audit_example() -> str:
    """One finding (a number typed over a formula of a copy) and one derivation, from the demo workbook."""
    from hayfuncs.audit import run
    from hayfuncs.audit import text_report as telling
    from hayfuncs.commands.audit import derivation
    from hayfuncs.workbook.build import save
    from hayfuncs.workbook.farm import TEMPLATE

    with tempfile.TemporaryDirectory() as name:
        whole, damaged = Path(name) / "demo.xlsx", Path(name) / "damaged.xlsx"
        book, _ = save(TEMPLATE, whole, "functions")
        at, traced = (book.where(f"Ration!{cell}") for cell in (DAMAGED, TRACED))
        tab, cell = split_address(at)
        number = [made.name for made in book.tabs].index(tab) + 1
        _type_over(whole, damaged, f"xl/worksheets/sheet{number}.xml", cell, "15.0")
        found = run.audit(damaged)
        typed = next(f for f in found.findings if f.cell == at)
        tree = derivation(whole, traced).splitlines()
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


def excel_seen(folder: Path) -> dict[str, list[str]]:
    """Edition -> the real Excels in which a person found every check TRUE, from the answers that were sent."""
    found: dict[str, list[str]] = {}
    for path in sorted(folder.glob("*.txt")):
        lines = [line.split("\t") for line in path.read_text(encoding="utf-8").splitlines()]
        said = {line[0]: line[1] for line in lines if len(line) > 1}
        wrong = int(said["checks not TRUE"])
        held = f"{wrong} checks not TRUE" if wrong else said["recalculated"].replace("yes", "all TRUE")
        seen = f"Excel {said['version']}, {said['system']}: {held}"
        found.setdefault(said["edition"], []).append(seen)
        if said["plain"] in ("yes", "no"):
            found.setdefault("plain", []).append(f"Excel {said['version']}, {said['system']}: {said['plain']}")
    return found


def agreement() -> str:
    """Every route over the one table of cases: counts, then what each host does otherwise by design."""
    found = json.loads(AGREEMENT.read_text(encoding="utf-8"))
    lines = [
        f"{found['cases']} cases over {found['functions']} functions, the same for every route; a number agrees to 1 part in "
        "1,000,000,000, a text and an error to the letter. "
        f"{found['own answers']} of them, at the bounds of a range where no source prints a value, expect Python's own "
        "answer: they hold the other routes to Python, and Python to nothing.",
        "",
        "| route | same as Python | otherwise by design | not on this route | differences | seen in |",
        "|---|---:|---:|---:|---:|---|",
    ]
    excels = excel_seen(EXCEL_ANSWERS)
    for route, count in found["routes"].items():
        seen = [found["seen in"][route]]
        if edition := found["stands for Excel"].get(route):
            seen += excels.get(edition, ["no real Excel yet"])
        cells = (route, *(count[k] for k in COUNTED), "; ".join(seen))
        lines.append(f"| {' | '.join(str(cell) for cell in cells)} |")
    lines += ["", "By design, checked to be so:", ""]
    reasons = sorted({reason for route in found["routes"].values() for reason in route["reasons"]})
    for reason in reasons:
        counts = [route["reasons"][reason] for route in found["routes"].values() if reason in route["reasons"]]
        said = f"{counts[0]} cases" if len({*counts}) == 1 else f"{min(counts)} to {max(counts)} cases, by route"
        lines.append(f"- {reason} ({said}).")
    return "\n".join([*lines, "", REAL_EXCEL, ""])


PARTS = {"agreement": agreement, "audit": audit_example, "matrix": matrix, "demo": demo_text, "bases": bases}
ABOUT = "hayfuncs/pages/about"
# the texts written by hand, with the generated parts that each holds
TEXTS = {
    "README.md": ("demo",), f"{ABOUT}/functions.md": ("matrix",), f"{ABOUT}/two-ways.md": ("bases",),
    f"{ABOUT}/hosts.md": ("agreement",), f"{ABOUT}/auditor.md": ("audit",),
}  # fmt: skip


def renewed() -> dict[str, str]:
    """Path -> each text with its generated parts renewed; the parts stand between marks of their own name."""
    found: dict[str, str] = {}
    for path, names in TEXTS.items():
        text = (ROOT / path).read_text(encoding="utf-8")
        for name in names:
            pattern = re.compile(rf"(<!-- begin {name} -->\n).*?(<!-- end {name} -->)", re.S)
            if not pattern.search(text):
                raise SystemExit(f"{path} has no part {name}")
            made = PARTS[name]()
            text = pattern.sub(lambda m, made=made: f"{m.group(1)}{made}\n{m.group(2)}", text)  # type: ignore[misc]  # `made` is bound early on purpose
        found[path] = text
    return found
