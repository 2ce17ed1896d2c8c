"""Every caution that the library has for a whole ration, run on each ration of a winter plan.

Cautions on a lot of hay as such (nitrate, prussic acid, ergovaline, tetany, heating) go with the lot's
own tests; those on urea need none, as urea is refused.  What is run here needs the ration alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from hayfuncs.contract.levels import LEVELS
from hayfuncs.contract.units import GRAMS_PER_LB
from hayfuncs.ration import feeds
from hayfuncs.ration.diet_limits import fat_caution, grain_caution
from hayfuncs.ration.minerals import DIETS, calcium_phosphorus_caution, sulfur_caution
from hayfuncs.winter.evaluate import WinterPlan
from hayfuncs.winter.model import Source
from hayfuncs.winter.problem import Farm, Feed, Mineral, hay_wasted_pct
from hayfuncs.winter.requirements import weight_lb

FORAGE_FROM_PCT = 50.0  # hay of the dry matter from which the diet counts as one high in forage (common practice)
MOST_MINERAL_PCT = 30.0  # of the dry matter: beyond it, a mineral beside next to no feed, no ratio is told
WEIGHED = 6  # places of pounds: finer than any scale, and no danger for the last digit of a solver
CLEAR, CAUTION, DANGER = LEVELS


@dataclass(frozen=True)
class RationCaution:
    """What one function says of one group's ration in one period."""

    period: str
    group: str
    about: str
    text: str

    @property
    def level(self) -> str:
        """Clear, Caution or Danger; what is said of a feed without a level is a caution."""
        return next((level for level in LEVELS if self.text.startswith(level)), CAUTION)


def ration_cautions(farm: Farm, plan: WinterPlan, book: Mapping[str, str] | None = None) -> tuple[RationCaution, ...]:
    """All of them, clear ones too.  `book` has the name in the feed book of each feed that is in it."""
    return tuple(_every(farm, plan, book or {}))


def _every(farm: Farm, plan: WinterPlan, book: Mapping[str, str]) -> Iterator[RationCaution]:
    every: tuple[Source, ...] = (*farm.lots, *farm.for_sale, *farm.feeds, *farm.minerals)
    sources = {s.name: s for s in every}
    groups = {g.name: g for g in farm.groups}
    periods = {p.label: p for p in farm.periods()}
    for balance in plan.balances:
        group = groups[balance.group]
        weight = weight_lb(farm, group, periods[balance.period].first.toordinal())
        parts: dict[str, tuple[float, float]] = {}  # name -> lb put out, lb DM eaten
        for row in plan.rows:
            if (row.period, row.group) == (balance.period, balance.group):
                source = sources[row.name]
                if isinstance(source, (Feed, Mineral)):
                    lost = source.waste_pct
                else:
                    lost = hay_wasted_pct(source, group)
                dry = row.lb_head_day * source.dm_pct / 100 * (1 - lost / 100)
                had = parts.get(row.name, (0.0, 0.0))
                parts[row.name] = had[0] + row.lb_head_day, had[1] + dry
        if balance.dm_lb <= 0:
            continue
        diet = DIETS[0] if balance.hay_pct >= FORAGE_FROM_PCT else DIETS[1]

        def said(about: str, text: object, place: tuple[str, str] = (balance.period, balance.group)) -> RationCaution:
            return RationCaution(*place, about, str(text))

        def of_diet(name: str, parts: dict[str, tuple[float, float]] = parts) -> float | None:
            """% of the dry matter; None where it is not known of something that is fed."""
            held: list[tuple[float | None, float]] = [(getattr(sources[n], name), dry) for n, (_, dry) in parts.items()]
            known = [(value, dry) for value, dry in held if value is not None]
            if any(value is None and dry > 0 for value, dry in held):
                return None
            return sum(value * dry for value, dry in known) / sum(dry for _, dry in known)

        per_pct = balance.dm_lb * GRAMS_PER_LB / 100
        if balance.ca_g and balance.p_g and max(balance.ca_g, balance.p_g) <= MOST_MINERAL_PCT * per_pct:
            yield said(
                "calcium to phosphorus", calcium_phosphorus_caution(balance.ca_g / per_pct, balance.p_g / per_pct)
            )
        if (sulfur := of_diet("s_pct")) is not None:
            yield said("sulfur", sulfur_caution(sulfur, diet))
        if (fat := of_diet("fat_pct")) is not None:
            yield said("fat", fat_caution(fat, diet))
        grain = round(sum(parts[f.name][0] for f in farm.feeds if f.grain and f.name in parts), WEIGHED)
        yield said("grain", grain_caution(grain, weight))
        for feed in farm.feeds:
            if feed.name in parts and book.get(feed.name):
                text = feeds.feed_caution(book[feed.name], parts[feed.name][0], weight)
                if text:
                    yield said(feed.name, text)


def dangers(farm: Farm, plan: WinterPlan) -> tuple[RationCaution, ...]:
    return tuple(c for c in ration_cautions(farm, plan) if c.level == DANGER)
