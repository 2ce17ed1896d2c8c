"""What to be careful of in a winter plan: hay held back by nitrate, heated hay, grain, feeds over a limit of theirs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from textwrap import wrap

import hayfuncs
from hayfuncs.contract.levels import VETERINARIAN
from hayfuncs.cow.classes import BRED, GROWING
from hayfuncs.ration import feeds
from hayfuncs.winter import solve as winter
from hayfuncs.winter.cautions import CLEAR, DANGER, RationCaution, ration_cautions
from hayfuncs.winter.problem import FULL_PCT, OPEN, hay_wasted_pct
from hayfuncs.winter.requirements import weight_lb
from hayfuncs.winter.sentences import day
from hayfuncs.workbook.sheets.winterfeeds import LEFT_OUT, NITRATE_OUT, NOT_MIXED
from hayfuncs.workbook.signposts import on_tab

BUNK = "24 to 30 inches a head for cows of 1,000 lb, 26 to 30 for 1,300 lb, fed once a day (FASS 2020, second hand)."
SLACK_LB = 0.005  # as on the sheet Group months
WIDE = 100  # characters of a line
SLOWLY = (
    "New hay is brought in slowly, mixed with the hay they know, and never put before hungry cattle. A share "
    "within the limit is no proof of safety, and a cow that calves after the season is still in calf. "
)
SIDE_BY_SIDE = (
    "Bales put out beside other hay are not a mixed diet: a cow may eat this hay alone. It is planned only where Winter "
    "says that hay is ground and mixed."
)


@dataclass(frozen=True)
class Tested:
    """What the tests of the lots say beside the values that are planned with."""

    no_nitrate: tuple[str, ...] = ()  # own hay and hay to buy that were not tested for it
    heated: Mapping[str, tuple[float, float]] = field(default_factory=dict)  # lot -> crude and available protein, % DM
    urea: tuple[str, ...] = ()  # feeds on offer that are left out for it
    book: Mapping[str, str] = field(default_factory=dict)  # feed -> what stands as its name in the feed book
    dangers: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)  # lot -> hazard and its text
    out: Mapping[str, str] = field(default_factory=dict)  # lot that is not planned with -> why
    nitrate: Mapping[str, str] = field(default_factory=dict)  # hay that is not safe alone -> its test in words
    unsaid: tuple[str, ...] = ()  # feeds that count as grain because nobody has said whether they are


def lines(farm: winter.Farm, plan: winter.WinterPlan, tested: Tested) -> Iterator[str]:
    yield "Cautions"
    yield from _rations(farm, plan, tested)
    yield from _dangers(plan, tested)
    yield from left_out(tested)
    yield from _nitrate(farm, plan, tested)
    yield from _untested(farm, tested)
    yield from _heated(plan, tested)
    yield from _limit_fed(farm, plan)
    yield from _unsaid(farm, tested)
    yield from _nursing(farm)
    yield from _growing(farm)
    yield from _feeds(farm, plan, tested)


def _dangers(plan: winter.WinterPlan, tested: Tested) -> Iterator[str]:
    """Each hazard at danger of each lot that is fed, in the words of the sheet Hazards, and who is fed it."""
    for name, found in tested.dangers.items():
        groups = list(dict.fromkeys(row.group for row in plan.rows if row.name == name))
        for hazard, text in found if groups else ():
            yield from _said(f"{name}, fed to {', '.join(groups)}: {hazard}. {text}")


def left_out(tested: Tested) -> Iterator[str]:
    """The lots that are not planned with, and why: for a danger in its own words."""
    for name, why in tested.out.items():
        texts = [f"{hazard}. {text}" for hazard, text in tested.dangers.get(name, ())]
        if not why.startswith(LEFT_OUT):
            yield from _said(f"{name} is not in the plan: {why}: see {on_tab('Winter feeds')}.")
            continue
        if why.removeprefix(LEFT_OUT) in (NITRATE_OUT, NOT_MIXED):
            yield from _said(f"{name} is {why}. {_why_not(tested, name, why.endswith(NOT_MIXED))}")
            continue
        yield from _said(
            f"{name} is {why}. {' '.join(texts)} To feed it all the same, say so on {on_tab('Winter feeds')}."
        )


def _why_not(tested: Tested, name: str, mixed_would_do: bool) -> str:
    """The test, what the stricter scale says of it, and why a part of the diet is not enough."""
    return f"{tested.nitrate.get(name, '')} {SIDE_BY_SIDE if mixed_would_do else ''}".strip()


def _nitrate(farm: winter.Farm, plan: winter.WinterPlan, tested: Tested) -> Iterator[str]:
    """Each month in which a group is fed hay that has a most share: the share and the most; several hays together."""
    hays: tuple[winter.Lot | winter.HayForSale, ...] = (*farm.lots, *farm.for_sale)
    lots = {hay.name: hay for hay in hays if min(hay.max_pct_pregnant, hay.max_pct_others) < OPEN}
    if not farm.hay_is_mixed:
        for name in lots:
            yield from _said(f"{name} goes to no cow that may be in calf. {_why_not(tested, name, True)}")
        return
    groups, periods = {g.name: g for g in farm.groups}, {p.label: p for p in farm.periods()}
    eaten = {(b.period, b.group): b.dm_lb for b in plan.balances}
    found: list[tuple[str, str, str, str]] = []
    used: dict[tuple[str, str], list[float]] = {}
    for row in plan.rows:
        if row.name not in lots:
            continue
        lot, group = lots[row.name], groups[row.group]
        dry = row.lb_head_day * lot.dm_pct / 100 * (1 - hay_wasted_pct(lot, group) / 100)
        calf = winter.in_calf(farm, group, periods[row.period])
        most, why = (lot.max_pct_pregnant, "may be in calf") if calf else (lot.max_pct_others, "not in calf")
        pct = 100 * dry / eaten[row.period, row.group]
        found.append((row.period, row.group, row.name, f"{pct:.0f} % of the dry matter, at most {most:.0f} % ({why})"))
        if 0 < most < OPEN:
            used.setdefault((row.period, row.group), []).append(100 * pct / most)
    if not found:
        held = ", ".join(lots)
        yield from _said(f"Nitrate: none is fed of the lots that it holds back ({held})." if held else "")
        return
    yield from _said("Nitrate holds these lots to a most share of the diet, by the stricter of two published scales:")
    wide = [max(len(line[i]) for line in found) for i in range(3)]
    for line in found:
        yield "    " + "  ".join(f"{part:<{w}}" for part, w in zip(line, wide, strict=False)) + "  " + line[3]
    for (period, cows), parts in used.items():
        if len(parts) > 1:
            yield from _said(f"{cows} in {period}: these hays together use {sum(parts):.0f} % of what nitrate allows.")
    yield from _said(SLOWLY + VETERINARIAN)


def _untested(farm: winter.Farm, tested: Tested) -> Iterator[str]:
    missing = [lot.name for lot in farm.lots if lot.name in tested.no_nitrate]
    if missing:
        count = (
            f"{len(missing)} of {len(farm.lots)} lots {'was' if len(missing) == 1 else 'were'} not tested for nitrate"
        )
        yield from _said(f"{count}, so nothing holds them back: {', '.join(missing)}.")
    offers = [hay.name for hay in farm.for_sale if hay.name in tested.no_nitrate]
    if offers:
        yield from _said(f"Hay to buy without a nitrate test: {', '.join(offers)}. Ask for a test before it is bought.")
    if tested.urea:
        yield from _said(
            f"Urea is never part of this plan, so {', '.join(tested.urea)} is left out: a nutritionist decides."
        )


def _heated(plan: winter.WinterPlan, tested: Tested) -> Iterator[str]:
    for name, (crude, left) in tested.heated.items():
        fed = "" if any(row.name == name for row in plan.rows) else "; the plan feeds none of it"
        yield from _said(
            f"{name} has heated: planned with {left:.1f} % protein, what is left of {crude:.1f} % when heat-bound protein is taken off{fed}."
        )


def _rations(farm: winter.Farm, plan: winter.WinterPlan, tested: Tested) -> Iterator[str]:
    """Each whole ration through every caution for one: each danger where it is, of a mere caution the first place."""
    found = [c for c in ration_cautions(farm, plan) if c.level != CLEAR]
    for one in (c for c in found if c.level == DANGER):
        yield from _said(f"{one.group}, {one.period}: {one.about}. {one.text}")
    told: dict[tuple[str, str], list[RationCaution]] = {}
    for one in (c for c in found if c.level != DANGER):
        told.setdefault((one.about, one.text), []).append(one)
    for (about, text), places in told.items():
        more = f" and {len(places) - 1} more" if len(places) > 1 else ""
        yield from _said(f"{about.capitalize()}, {places[0].group} in {places[0].period}{more}: {text}")


def _limit_fed(farm: winter.Farm, plan: winter.WinterPlan) -> Iterator[str]:
    """Groups that are fed less than they would eat: hungry cattle that must all come to the bunk at once."""
    hungry = [b for b in plan.balances if b.dm_lb < b.need.dm_lb * FULL_PCT / 100 - SLACK_LB]
    for name in dict.fromkeys(b.group for b in hungry):
        months = ", ".join(b.period for b in hungry if b.group == name)
        yield from _said(
            f"{name} is limit-fed: all must eat at once ({months}; less than {FULL_PCT:g} % of what they would eat). "
            f"Measure the bunk space: {BUNK} No grain, urea or hay with nitrate is planned with it. {VETERINARIAN}"
        )


def _nursing(farm: winter.Farm) -> Iterator[str]:
    calfless = (BRED, *GROWING)  # a first calf comes this winter and is weaned after it; the others have none
    names = [
        g.name for g in farm.groups if g.need is None and g.weaning_date is None and g.cattle_class not in calfless
    ]
    if names:
        yield from _said(
            f"No weaning date for {', '.join(names)}: counted as in milk all winter. Type the date on {on_tab('Winter herd')}."
        )


def _growing(farm: winter.Farm) -> Iterator[str]:
    """At which weights growing cattle were planned for; those of the day on which feeding begins are the user's."""
    for g in farm.groups:
        last = weight_lb(farm, g, farm.turnout.toordinal())
        if g.need is None and last > g.body_weight_lb:
            yield from _said(
                f"{g.name}: planned for {g.body_weight_lb:,.0f} lb on {day(farm.start)}, as Herd has it, and {last:,.0f} lb by {day(farm.turnout)}, at a gain of {g.gain_lb:g} lb a day. Weigh some as you go."
            )


def _unsaid(farm: winter.Farm, tested: Tested) -> Iterator[str]:
    names = [feed.name for feed in farm.feeds if feed.name in tested.unsaid]
    if names:
        yield from _said(
            f"Counted as starchy grain, because the sheet Feeds does not say whether it is: {', '.join(names)}."
        )


def _feeds(farm: winter.Farm, plan: winter.WinterPlan, tested: Tested) -> Iterator[str]:
    """What is on file of each feed at the heaviest rate it is fed."""
    weight = {(p.label, g.name): weight_lb(farm, g, p.first.toordinal()) for g in farm.groups for p in farm.periods()}
    booked = {str(name).casefold() for name in feeds.limits_table().names()}
    for feed in farm.feeds:
        rows = [row for row in plan.rows if row.name == feed.name]
        if not rows:
            continue
        name = tested.book.get(feed.name, "").strip()
        if name.casefold() not in booked:
            yield from _said(f"{feed.name}: not in the feed book: ask for its limits, the maker and a nutritionist.")
            continue
        most = max(rows, key=lambda row: row.lb_head_day / weight[row.period, row.group])
        text = str(hayfuncs.feed_caution(name, most.lb_head_day, weight[most.period, most.group]))
        if text:
            yield from _said(f"{feed.name}, most for {most.group} in {most.period}, {most.lb_head_day:.1f} lb: {text}")


def _said(text: str) -> Iterator[str]:
    for i, line in enumerate(wrap(text, WIDE)):
        yield f"  {'  ' if i else ''}{line}"
