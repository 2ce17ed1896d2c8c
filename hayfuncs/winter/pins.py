"""Amounts that a person has pinned: kept while all else is planned around them, and what each of them costs.

A pin is pounds as fed, put out, a head and a day, of one hay or feed for one group in one month.  What it costs is
the difference between the cheapest plans of amounts of any kind with it and without it, all other pins kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hayfuncs.contract.errors import BadInput, HayError, listing
from hayfuncs.contract.units import LB_PER_TON
from hayfuncs.winter import linear
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.evaluate import LB_NAMES, evaluate
from hayfuncs.winter.linear import Answer, NoPlanYet
from hayfuncs.winter.model import AT_LEAST, Model, Progress
from hayfuncs.winter.problem import WHO

FORM = "GROUP, MONTH, FEED OR LOT = POUNDS"
SLACK = 1e-9
MOST_PINNED = 2  # hays of one group and month, and feeds
MOST_LB = 200.0  # a head and a day


@dataclass(frozen=True)
class Pin:
    period: str
    group: str
    name: str
    lb: float

    def words(self) -> str:
        return f"{self.lb:g} lb of {self.name} for {self.group} in {self.period}"


@dataclass(frozen=True)
class Pinned:
    """What became of a pin: `why` it is not kept, or what it costs."""

    pin: Pin
    why: str = ""
    dollars: float = 0.0

    def words(self) -> str:
        if self.why:
            return f"Pin not kept: {self.pin.words()}. {self.why}"
        if abs(self.dollars) < 1:
            return f"Pin kept: {self.pin.words()}. It costs nothing."
        return f"Pin kept: {self.pin.words()}. It costs ${self.dollars:,.0f}, in amounts of any kind."


def read(text: str, groups: Sequence[str], periods: Sequence[str], names: Sequence[str]) -> Pin:
    """A pin as it is typed, its names looked up whatever their case; a month may go without its year."""
    place, equals, pounds = text.rpartition("=")
    parts = [part.strip() for part in place.split(",")]
    if not equals or len(parts) < len(FORM.split(",")):
        raise BadInput(WHO, "a pin", f'"{text}"', f'like "{FORM}"', "write it so")
    try:
        lb = float(pounds)
    except ValueError:
        lb = -1.0
    if not 0 <= lb <= MOST_LB:
        raise BadInput(
            WHO, f'the pounds of the pin "{text}"', pounds.strip() or "blank", f"0 to {MOST_LB:g}", "give pounds"
        )
    found: list[tuple[str, str, str]] = []
    for i in range(1, len(parts) - 1):  # names may hold commas
        for j in range(i + 1, len(parts)):
            one, month, name = ", ".join(parts[:i]), ", ".join(parts[i:j]), ", ".join(parts[j:])
            hits = [_known(one, groups), _month(month, periods), _known(name, names)]
            if all(hits):
                found.append((str(hits[0]), str(hits[1]), str(hits[2])))
    if found:
        group, period, name = found[0]
        return Pin(period, group, name, lb)
    for what, value, known, hit in (
        ("group", parts[0], groups, _known(parts[0], groups)),
        ("month", parts[1], periods, _month(parts[1], periods)),
        ("feed or lot", ", ".join(parts[2:]), names, _known(", ".join(parts[2:]), names)),
    ):
        if hit is None:
            raise BadInput(WHO, f'the {what} of the pin "{text}"', f'"{value}"', listing(known), "give one of them")
    raise BadInput(WHO, "a pin", f'"{text}"', f'like "{FORM}"', "write it so")


def _known(word: str, names: Sequence[str]) -> str | None:
    return next((name for name in names if name.casefold() == word.casefold()), None)


def _month(word: str, periods: Sequence[str]) -> str | None:
    """`Jan 2027`, `January 2027`, or `Jan` where there is one only; of a month in halves `Jan 16-31 2027`."""
    name, _, year = word.strip().partition(" ")
    if len(name) < len("Jan"):
        return None
    hits = [p for p in periods if name.casefold().startswith(p[:3].casefold()) and p.endswith(year.strip())]
    return hits[0] if len(hits) == 1 else None


def applied(model: Model, pins: Sequence[Pin]) -> Model:
    """The model in which the pinned amounts are fed, no more and no less."""
    caps, lower = model.caps.copy(), model.lower.copy()
    for pin in pins:
        s, k = _place(model, pin)
        caps[s, k] = lower[s, k] = pin.lb * model.per_head[k]
    return replace(model, caps=caps, lower=lower)


def possible(model: Model, pins: Sequence[Pin]) -> list[Pin]:
    """Those that another winter has a place, a stock and a limit for."""
    periods, groups = {p.label for p in model.farm.periods()}, {g.name for g in model.farm.groups}
    names = {source.name for source in model.sources}
    good: list[Pin] = []
    for pin in pins:
        there = pin.period in periods and pin.group in groups and pin.name in names
        if there and not _why_not(model, [*good, pin]):
            good.append(pin)
    return good


def _place(model: Model, pin: Pin) -> tuple[int, int]:
    periods = [p.label for p in model.farm.periods()]
    groups = [g.name for g in model.farm.groups]
    s = [source.name for source in model.sources].index(pin.name)
    return s, model.places.index((groups.index(pin.group), periods.index(pin.period)))


def kept(
    model: Model, pins: Sequence[Pin], clock: Clock, progress: Progress | None = None
) -> tuple[Model, Answer, list[Pinned]]:
    """The model with all pins that can be kept, its cheapest plan, and what became of each pin."""
    answer = linear.solve(model, progress, clock)
    good: list[Pin] = []
    told: dict[Pin, Pinned] = {}
    for pin in dict.fromkeys(pins):
        why, more = _tried(model, [*good, pin], bool(answer.short), clock)
        if why or more is None:
            told[pin] = Pinned(pin, why)
        else:
            good.append(pin)
            answer = more
    cost = evaluate(model, answer.tons).cost
    for pin in good:
        without = linear.solve(applied(model, [p for p in good if p != pin]), None, clock)
        told[pin] = Pinned(pin, dollars=cost - evaluate(model, without.tons).cost)
    return applied(model, good), answer, [told[pin] for pin in dict.fromkeys(pins)]


def _tried(model: Model, pins: list[Pin], short_before: bool, clock: Clock) -> tuple[str, Answer | None]:
    """Why the last of the pins cannot be kept beside the others, or the cheapest plan with all of them."""
    if why := _why_not(model, pins):
        return why, None
    pin = pins[-1]
    _, k = _place(model, pin)
    pinned = applied(model, pins)
    try:
        found = linear.solve(pinned, None, clock)
    except NoPlanYet:
        raise
    except HayError:
        return "No ration with it keeps every limit of the diet (what she can eat, fiber, fat, sulfur, grain).", None
    if found.short and not short_before:
        places = [n for n, tons in found.short.items() if tons[k] > SLACK]
        what = " and ".join(LB_NAMES[n] for n in places) or "some group short later in the winter"
        return f"With it the plan leaves {what}, whatever else is fed.", None
    return "", found


def _why_not(model: Model, pins: list[Pin]) -> str:
    pin = pins[-1]
    s, k = _place(model, pin)
    source = model.sources[s]
    if s >= model.feeds().stop:
        return "Minerals follow from the rest of the ration; pin a hay or a feed."
    first, last = (0, model.hays) if s < model.hays else (model.hays, model.feeds().stop)
    here = [p for p in pins if (p.group, p.period) == (pin.group, pin.period)]
    if any(p.name == pin.name for p in here[:-1]):
        return "It is pinned twice, with other pounds."
    kind = [p for p in here if first <= _place(model, p)[0] < last and p.lb > 0]
    if len(kind) > MOST_PINNED:
        return f"At most {MOST_PINNED} hays and {MOST_PINNED} feeds go to one group in a month."
    most = float(model.caps[s, k] / model.per_head[k])
    if pin.lb > most * (1 + SLACK):
        if s < model.hays:
            return f"{source.name} may not be fed to this group then, by its nitrate."
        return f"Its limit for this group is {most:.1f} lb a head a day."
    tons = sum(p.lb * float(model.per_head[_place(model, p)[1]]) for p in pins if p.name == pin.name)
    if tons > model.stock[s] * (1 + SLACK):
        return f"It takes {tons:,.1f} tons ({tons * LB_PER_TON:,.0f} lb) as fed, and there are {model.stock[s]:,.1f}."
    for name, (coefficients, side) in model.rows.items():
        given = sum(float(coefficients[_place(model, p)[0], k]) * p.lb for p in here)
        limit = float(side[k] / model.per_head[k])
        if name in AT_LEAST or limit <= 0 or name not in LB_NAMES:
            continue
        if given > limit * (1 + SLACK):
            return f"The pinned amounts alone bring {given:.1f} lb: {LB_NAMES[name]} of {limit:.1f} lb a head a day."
    return ""
