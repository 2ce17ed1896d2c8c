"""The part of a longhand that a call needs, once words typed in the call have chosen their branch."""

from __future__ import annotations

import re

from hayfuncs.contract.catalogue import Longhand, Record, Step, Words


def live_steps(record: Record, refs: dict[str, str]) -> list[Step]:
    """The steps the result needs, once fixed words have chosen their branch."""
    assert isinstance(record.longhand, Longhand)

    def used(formula: str) -> set[str]:
        return set(re.findall(r"\{([a-z][a-z0-9_]*)#?\}", settled(record, formula, refs)))

    wanted = used(record.longhand.result)
    live: list[Step] = []
    for step in reversed(record.longhand.steps):
        if step.name in wanted:
            live.insert(0, step)
            wanted |= used(step.formula)
    return live


def settled(record: Record, formula: str, refs: dict[str, str]) -> str:
    """The formula once words that are typed in the call have chosen their branch."""
    for name, ref in refs.items():
        arg = record.args.get(name)
        if isinstance(arg, Words) and ref.startswith('"'):
            place = [w.casefold() for w in arg.words].index(ref.strip('"').casefold()) + 1
            formula = formula.replace(f"{{{name}#}}", str(place))
    return chosen(formula)


def chosen(text: str) -> str:
    """`CHOOSE(2,a,b,c)` with a fixed place becomes `b`."""
    start = 0
    while match := re.compile(r"CHOOSE\((\d+),").search(text, start):
        parts, end = arguments(text, match.end())
        place = int(match.group(1))
        if 1 <= place <= len(parts):
            part = parts[place - 1]
            whole = match.start() == 0 and end == len(text)
            text = f"{text[: match.start()]}{part if whole else f'({part})'}{text[end:]}"
        else:
            start = match.end()
    return text


def arguments(text: str, start: int) -> tuple[list[str], int]:
    """The comma-separated parts of a call from `start` to its closing bracket."""
    parts: list[str] = []
    depth, quote, piece = 0, False, start
    for i in range(start, len(text)):
        mark = text[i]
        if mark == '"':
            quote = not quote
        elif quote:
            continue
        elif mark in "({":
            depth += 1
        elif mark in ")}":
            if depth == 0:
                parts.append(text[piece:i])
                return parts, i + 1
            depth -= 1
        elif mark == "," and depth == 0:
            parts.append(text[piece:i])
            piece = i + 1
    raise ValueError(f"unclosed bracket in {text!r}")
