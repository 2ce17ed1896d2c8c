"""How easily our sentences read, by Flesch's formula, and the hardest of them.

    python tests/workbook/readingease.py [--worst 20] [--small]

Reads every sentence of the demo workbook as it is shown (cells, prompts, titles), of the commands' help and of the
advice in refusals.  206.835 - 1.015 x words a sentence - 84.6 x syllables a word (R. Flesch 1948, from memory): 60 to
70 reads like plain English, under 30 like a statute.  Syllables are counted by groups of vowels, which is right for
nine words of ten; the figure is for comparing, not for its own sake.  Terms of the trade stay, whatever they cost.
"""

from __future__ import annotations

import argparse
import csv
import re
import statistics
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(TESTS))

LEAST_WORDS = 6  # of a sentence: shorter ones are labels
CITED = re.compile(
    r"Universit|Extension [0-9(]|Journal|Requirements of Beef|Association|HAY\.|[A-Z]{2,}_[A-Z]{2,}"
)  # whose words are not ours
SENTENCE, WORD, SYLLABLE = 1.015, 84.6, 206.835
END = re.compile(r"(?<=[.!?:;])\s+|\n")
LETTERS = re.compile(r"[A-Za-z][A-Za-z'’-]*")
SILENT = re.compile(r"(?:[^laeiouy]e|ed|[^aeiouy]es)$")


@dataclass(frozen=True)
class Sentence:
    where: str
    text: str
    ease: float


def syllables(word: str) -> int:
    """Groups of vowels, a silent e taken off; letters said one by one (TDN, NDF) count one each."""
    if word.isupper() and len(word) <= 5:
        return len(word)
    low = word.lower()
    count = len(re.findall(r"[aeiouy]+", low))
    if count > 1 and SILENT.search(low) and not low.endswith(("ted", "ded", "ses", "ches", "shes", "xes", "zes")):
        count -= 1
    return max(1, count)


def ease(text: str) -> float:
    words = [part for word in LETTERS.findall(text) for part in word.split("-") if part]
    return SYLLABLE - SENTENCE * len(words) - WORD * sum(map(syllables, words)) / max(1, len(words))


def sentences(where: str, text: str, whole: bool = False) -> Iterator[Sentence]:
    """Of a cell only what ends as a sentence does: the rest are labels."""
    for part in END.split(text):
        plain = part.strip()
        if CITED.search(plain) or (whole and not plain.endswith((".", "!", "?"))):
            continue
        if len(LETTERS.findall(plain)) >= LEAST_WORDS:
            yield Sentence(where, plain, ease(plain))


def of_the_workbook(small: bool) -> Iterator[Sentence]:
    from building import DEMO, SMALL, built

    from hayfuncs.workbook.model import is_formula

    book, values, _ = built(SMALL if small else DEMO)
    left_out = {"Functions", "Sources", "Tables", "Feed book", "Input list"}  # citations, equations and keys
    for sheet in book.sheets:
        if sheet.name in left_out:
            continue
        for (row, col), cell in sheet.cells.items():
            shown = values.get((sheet.name, row, col)) if is_formula(cell) else cell.content
            if isinstance(shown, str) and cell.style != "code":
                yield from sentences(sheet.name, shown, whole=True)
            if cell.entry is not None:
                yield from sentences(f"{sheet.name}, prompt", cell.entry.message)


def of_the_commands() -> Iterator[Sentence]:
    import typer

    from hayfuncs.cli import app

    main = typer.main.get_command(app)
    for name, command in getattr(main, "commands", {}).items():
        yield from sentences(f"hayfuncs {name}", command.help or "")
        for option in command.params:
            yield from sentences(f"hayfuncs {name} {option.opts[0]}", getattr(option, "help", "") or "")


def of_the_refusals() -> Iterator[Sentence]:
    with (TESTS / "advice.tsv").open(encoding="utf-8") as file:
        for row in csv.reader((line for line in file if not line.startswith("#")), delimiter="\t"):
            for text in row:
                yield from sentences("a refusal", text)


def every(small: bool = False) -> list[Sentence]:
    """Each sentence once, where it is met first."""
    found: dict[str, Sentence] = {}
    for sentence in (*of_the_workbook(small), *of_the_commands(), *of_the_refusals()):
        found.setdefault(re.sub(r"[\d.,$%]+", "#", sentence.text), sentence)
    return list(found.values())


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    asked.add_argument("--worst", type=int, default=20)
    asked.add_argument("--small", action="store_true", help="a small farm's workbook, quicker")
    given = asked.parse_args()
    found = sorted(every(given.small), key=lambda s: s.ease)
    scores = [s.ease for s in found]
    under = sum(score < 30 for score in scores)
    print(
        f"{len(found)} sentences: mean {statistics.mean(scores):.1f}, median {statistics.median(scores):.1f}, {under} under 30"
    )
    for s in found[: given.worst]:
        print(f"{s.ease:7.1f}  {s.where}: {s.text}")


if __name__ == "__main__":
    main()
