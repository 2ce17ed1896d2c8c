"""Everything that is made from the records: stub, pages, the extension's type library, the template workbooks, parts of README.

`python -m hayfuncs.generate` writes them in the project's folder; with `--check` it writes
nothing and fails when what is committed differs.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from hayfuncs.generate import type_library
from hayfuncs.generate.readme import ROOT, renewed
from hayfuncs.generate.template import same, same_text, workbooks


def texts() -> dict[str, str]:
    """Path -> text of what is a file of its own: the stub, and a page for each function."""
    from hayfuncs.generate.pages import DRAWN_WITH, can_draw, pages
    from hayfuncs.generate.stub import stub

    if not can_draw():
        print(f"pictures are left as they are: matplotlib {DRAWN_WITH} is not installed (pip install -e '.[generate]')")
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
    """`--check` writes nothing; `--texts` leaves the workbooks, README and pages/about, which take minutes, as they are;
    `--pictures` draws README's pictures and nothing else."""
    if "--pictures" in arguments:
        from hayfuncs.generate import pictures

        print("\n".join(f"drawn: {path.relative_to(ROOT)}" for path in pictures.draw(ROOT)))
        return 0
    check = "--check" in arguments
    steps = [stale_texts] if "--texts" in arguments else [stale_texts, stale_workbooks]
    stale: list[str] = []
    for step in (*steps, type_library.renew):  # the library last: it stops where LibreOffice's kit is missing
        for path in step(check):
            print(f"{'differs from what the records make' if check else 'renewed'}: {path}", flush=True)
            stale.append(path)
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
    for name, text in renewed().items():
        if text != (ROOT / name).read_text(encoding="utf-8"):
            stale.append(name)
            if not check:
                (ROOT / name).write_text(text, encoding="utf-8")
    return stale
