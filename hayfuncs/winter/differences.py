"""Two winter plans side by side: which group, which month, what was planned and what is now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hayfuncs.winter.evaluate import PlanRow
from hayfuncs.winter.problem import Farm

LEAST_LB = 0.5  # a head and a day: less is no difference that anybody would feed by


@dataclass(frozen=True)
class Difference:
    """Pounds put out a head and a day, by name."""

    period: str
    group: str
    was: dict[str, float]
    now: dict[str, float]

    def most(self) -> tuple[str, float, float]:
        """What changes most: name, pounds then and now."""
        names = dict.fromkeys((*self.was, *self.now))
        name = max(names, key=lambda n: abs(self.now.get(n, 0.0) - self.was.get(n, 0.0)))
        return name, self.was.get(name, 0.0), self.now.get(name, 0.0)

    def words(self) -> str:
        return f"{self.period}, {self.group}: was {_fed(self.was)}; now {_fed(self.now)}"


def _fed(amounts: dict[str, float]) -> str:
    said = [f"{lb:.1f} lb {name}" for name, lb in amounts.items() if lb >= LEAST_LB / 10]
    return ", ".join(said) or "nothing"


def differences(farm: Farm, was: Iterable[PlanRow], now: Iterable[PlanRow]) -> list[Difference]:
    """In time, then group by group; months that only one of the two plans has are left out."""
    old, new = _by_place(was), _by_place(now)
    common = {period for period, _ in old} & {period for period, _ in new}
    found: list[Difference] = []
    for period in farm.periods():
        for group in farm.groups:
            place = period.label, group.name
            one, other = old.get(place, {}), new.get(place, {})
            if period.label in common and any(
                abs(one.get(n, 0.0) - other.get(n, 0.0)) >= LEAST_LB for n in (*one, *other)
            ):
                found.append(Difference(*place, one, other))
    return found


def _by_place(rows: Iterable[PlanRow]) -> dict[tuple[str, str], dict[str, float]]:
    found: dict[tuple[str, str], dict[str, float]] = {}
    for row in rows:
        here = found.setdefault((row.period, row.group), {})
        here[row.name] = here.get(row.name, 0.0) + row.lb_head_day
    return found
