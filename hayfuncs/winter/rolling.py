"""The search for the plan in whole bales: chosen month by month, then pairs of months again.

1. Rations cheapest at the stacks' prices, which follow from the choice among them as a linear program; a few
   rounds, until no other ration would pay.
2. Each month whole in its turn, those before it kept, those after it loose; then some places are opened again
   (`improving`), and the better plan is kept.
It ends when time is up or a person stops it; what is chosen so far is kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations

import numpy as np

from hayfuncs.leastcost import highs
from hayfuncs.winter.clock import Clock
from hayfuncs.winter.ease import Place, Program, alike, build, out_of_turn, place_of
from hayfuncs.winter.linear import Answer, gave_up
from hayfuncs.winter.model import Floats, Model, Progress
from hayfuncs.winter.quick import Fed, used_by
from hayfuncs.winter.rations import Ease, Ints, rations

GAP = 0.001  # of the cost: nearer is not looked for within one step
LEAST_SECONDS = 0.5  # for one step
BEST, WHOLE_BEST, OF_EACH = 30, 80, 2  # rations of a place: loose, opened, and of each set of feeds, each first hay
MORE, ROUNDS = 20, 6  # rations taken in a further round, and rounds
SEEN = 1500  # the most promising rations of a place, among which each kind is looked for
KEPT_BACK = 0.0
MORE_CHANGES = 3  # of a ration in a period, where the ends of stacks are fed up
TROUBLE = 300.0  # $: so much more than the linear program is a stack overdrawn, or a need not met
FROM_LEFT, SAFELY, TRIED = 14, 0.94, 8  # hays looked at then, how much of each may be used, rations tried
NEARLY_ONE = 0.01  # of a feeding
PAYS = 1e-6  # $ by which a ration must be cheaper to be taken


class Search:
    """What is chosen so far, a row of the pool for each place, and the prices of the stacks that go with it."""

    def __init__(
        self, model: Model, ease: Ease, answer: Answer, every: tuple[int, ...], pool: list[Place], fixed: Mapping[int, Floats], clock: Clock, tell: Progress
    ) -> None:  # fmt: skip
        self.model, self.ease, self.pool, self.fixed, self.clock, self.tell = model, ease, pool, fixed, clock, tell
        cost = (model.cost[:, None] * answer.tons).sum(axis=0)
        self.season = np.bincount([g for g, _ in model.places], cost, len(model.farm.groups)).astype(float)
        self.by_tons, self.by_feedings = answer.stock_prices, 0 * answer.stock_prices
        self.period = [model.places[place.k][1] for place in pool]
        self.labels = [p.label for p in model.farm.periods()]
        self.chosen: list[dict[int, int]] = [{} for _ in pool]
        self.cost = np.inf
        self.every = every
        self.renewed: dict[int, Place] = {}  # places whose rations were made anew
        self.kept_back = 0.0  # of each stack, as the last month can use up no ends of many stacks
        self.pairs = alike(model, ease)

    def _build(self, taken: list[Ints], order: bool) -> Program:
        places = [p.picked(t) for p, t in zip(self.pool, taken, strict=True)]
        return build(self.model, self.ease, places, self.season, self.fixed, order)

    def _taken(self, free: set[int], best: int = BEST) -> list[Ints]:
        """The rations that pay at the prices that there are; of places that are decided those chosen."""
        found: list[Ints] = []
        for i, place in enumerate(self.pool):
            if i not in free:
                found.append(np.array(sorted(self.chosen[i])))
                continue
            order = np.argsort(place.worth(self.by_tons, self.by_feedings), kind="stable")
            kept = set(map(int, order[:best])) | set(self.chosen[i])
            for names in (place.rations.feed, place.rations.hay[:, :1]):
                _, kind = np.unique(names[order[:SEEN]], axis=0, return_inverse=True)
                for of in range(int(kind.max()) + 1):
                    kept.update(map(int, order[np.flatnonzero(kind.ravel() == of)[:OF_EACH]]))
            found.append(np.array(sorted(kept)))
        return found

    def _relaxed(self, taken: list[Ints], free: set[int], whole: int = -1) -> tuple[Program, highs.Outcome]:
        """The choice as a linear program; `whole` is a place that is fed whole feedings in it."""
        program = self._build(taken, order=False)
        for row, source in program.of_stock:
            program.most[row] = max(program.most[row] - self.kept_back * float(self.model.stock[source]), 0.0)
        lower, upper = np.zeros(len(program.cost)), np.array(program.upper)
        for i, (first, rows) in enumerate(zip(program.first, taken, strict=True)):
            if i not in free:
                at = np.arange(first, first + len(rows))
                lower[at] = upper[at] = [self.chosen[i][int(row)] for row in rows]
        kinds = np.zeros(len(lower), bool)
        limit = max(self.clock.left, LEAST_SECONDS)
        if whole >= 0:
            kinds[program.first[whole] : program.first[whole] + len(taken[whole])] = True
        told = program.told(kinds, np.ones(len(program.most), bool), lower, upper)
        return program, highs.solved(
            told, {"mip_rel_gap": GAP, **self.clock.limits(LEAST_SECONDS * 2)} if whole >= 0 else {"time_limit": limit}
        )

    def _priced(self, taken: list[Ints], free: set[int]) -> tuple[Program, Floats] | None:
        """The choice as a linear program, and the prices of the stacks by it; rations that pay are added in rounds.

        `free` are the places not yet decided; all others are fed as they are chosen.
        """
        last = None
        for _ in range(ROUNDS):
            program, result = self._relaxed(taken, free)
            if result.prices is None or result.x is None:
                return last
            last = program, result.x
            self.by_tons, self.by_feedings = np.zeros(len(self.model.sources)), np.zeros(len(self.model.sources))
            for i, (row, s) in enumerate(program.of_stock):
                (self.by_feedings if i % 2 else self.by_tons)[s] = max(-result.prices[row], 0.0)
            found = 0
            for i in free:
                place = self.pool[i]
                gain = place.worth(self.by_tons, self.by_feedings) - float(result.prices[i]) * place.feedings
                pays = np.flatnonzero(gain < -PAYS)
                pays = pays[np.argsort(gain[pays], kind="stable")[:MORE]]
                before = len(taken[i])
                taken[i] = np.union1d(taken[i], pays)
                found += len(taken[i]) - before
            if not found or self.clock.over():
                return last
        return last

    def step(self, opened: set[int], seconds: float) -> bool:
        """The choice in some periods anew, all others as they are.  Whether that is better."""
        free = {i for i, p in enumerate(self.period) if p in opened}
        self._priced(self._taken(free), free)
        taken = self._taken(free, WHOLE_BEST)
        program, lower, upper, known = self._asked(taken, free)
        told = program.told(np.array(program.whole), np.ones(len(program.most), bool), lower, upper)
        options: dict[str, highs.Option] = {"mip_rel_gap": GAP, **self.clock.limits(max(seconds, LEAST_SECONDS))}
        start = np.array(list(known)), np.array(list(known.values()))
        result = highs.solved(told, options, start, self.clock.stopped)
        if result.x is None:
            return False
        cost = float(np.array(program.cost) @ result.x)
        if cost >= self.cost - GAP / 10 * abs(self.cost):
            return False
        for i, fed in enumerate(program.chosen(result.x)):
            if i in free:
                self.chosen[i] = {int(taken[i][row]): n for row, n in fed.items()}
        self.cost = cost
        return True

    def first_round(self) -> bool:
        """Month by month the places whose ration is clear, then the others.  False where time is up before the end."""
        count = len(self.labels)
        free = set(range(len(self.pool)))
        usual = list(self.pool)
        for p in range(count):
            self.tell(f"choosing: {self.labels[p]}, {p + 1} of {count}")
            here = {i for i in free if self.period[i] == p}
            self.kept_back = KEPT_BACK if p < count - 1 else 0.0
            for i in here:
                self.pool[i] = self._with_order(i)
            taken = self._taken(free)
            whole = self._settled(taken, here, free)
            self.pool = [self.renewed.get(i, place) for i, place in enumerate(usual)]
            if not whole:
                return False
        self.cost = self._now()
        return True

    def _settled(self, taken: list[Ints], here: set[int], free: set[int]) -> bool:
        """Place by place whole rations, the clearest first.  False where time is up before the end."""
        while here:
            found = self._priced(taken, free)
            if self.clock.over():
                return False
            if found is None:
                raise gave_up("no plan with whole bales was found")
            self._decide(*found, taken, here, free)
        return True

    def opened_again(self, opened: set[int]) -> bool:
        """The rations of these places chosen anew, one after another, all others as they are.  Whether that is better."""
        before = [dict(chosen) for chosen in self.chosen], self.cost, list(self.pool), dict(self.renewed)
        free, usual = set(opened), list(self.pool)
        self.kept_back = 0.0
        for i in opened:
            self.chosen[i] = {}
        for i in opened:
            self.pool[i] = self._with_order(i)
        whole = self._settled(self._taken(free), set(opened), free)
        self.pool = [self.renewed.get(i, place) for i, place in enumerate(usual)]
        if whole and (now := self._now()) < self.cost - GAP / 10 * abs(self.cost):
            self.cost = now
            return True
        self.chosen, self.cost, self.pool, self.renewed = before
        return False

    def fed(self) -> Fed:
        """What is chosen so far, by place."""
        found: Fed = {}
        for place, chosen in zip(self.pool, self.chosen, strict=True):
            if chosen:
                found[place.k] = place.picked(np.array(list(chosen))), list(chosen.values())
        return found

    def _decide(self, program: Program, x: Floats, taken: list[Ints], here: set[int], free: set[int]) -> None:
        """Every place of the month whose ration is clear, and else the one that is clearest."""
        parts = {i: x[program.first[i] : program.first[i] + len(taken[i])] for i in here}
        clear = [i for i in here if parts[i].max() >= self.pool[i].feedings - NEARLY_ONE]
        for i in clear:
            self._settle(i, {int(taken[i][int(np.argmax(parts[i]))]): self.pool[i].feedings}, taken, here, free)
        if clear:
            return
        i = max(here, key=lambda i: float(parts[i].max()) / self.pool[i].feedings)
        best: tuple[float, dict[int, int]] | None = None
        rows = taken[i]
        for choice in self._nearby(i, rows, parts[i]):
            self._settle(i, choice, taken, here, free)
            tried, known = self._relaxed(taken, free)
            cost = np.inf if known.x is None else float(np.array(tried.cost) @ known.x)
            if best is None or cost < best[0]:
                best = cost, choice
        assert best is not None
        limit = float(np.array(program.cost) @ x) + TROUBLE
        if best[0] > limit:
            best = self._ends(i, rows, taken, here, free, best)
        if best[0] > limit + TROUBLE:
            best = self._of_what_is_left(i, taken, here, free, best)
        self._settle(i, best[1], taken, here, free)

    def _ends(
        self, i: int, rows: Ints, taken: list[Ints], here: set[int], free: set[int], best: tuple[float, dict[int, int]]
    ) -> tuple[float, dict[int, int]]:  # fmt: skip
        """The ends of several stacks fed up one after another, with as many changes as that takes."""
        worth = self.pool[i].worth(self.by_tons, self.by_feedings)
        taken[i] = np.union1d(rows, np.argsort(worth, kind="stable")[:WHOLE_BEST])
        free.add(i)
        program, known = self._relaxed(taken, free, i)
        free.discard(i)
        if known.x is None:
            return best
        at = program.first[i]
        n = np.round(known.x[at : at + len(taken[i])]).astype(int)
        choice = {int(taken[i][j]): int(n[j]) for j in np.flatnonzero(n)}
        cost = float(np.array(program.cost) @ known.x)
        fits = sum(choice.values()) == self.pool[i].feedings and len(choice) <= 1 + self.ease.changes + MORE_CHANGES
        return (cost, choice) if fits and cost < best[0] else best

    def _of_what_is_left(
        self, i: int, taken: list[Ints], here: set[int], free: set[int], best: tuple[float, dict[int, int]]
    ) -> tuple[float, dict[int, int]]:  # fmt: skip
        """Rations anew from what the stacks still hold, where none of those gathered first fits any more."""
        usual, k = self.pool[i], self.pool[i].k
        left = np.maximum(self.model.stock - self._used(), 0.0)
        by_left = np.argsort(-left[: self.model.hays], kind="stable")[:FROM_LEFT]
        model = replace(self.model, stock=left * SAFELY)
        price = self.model.cost
        found = rations(
            model, self.ease, k, self.every[self.model.places[k][0]], sorted(map(int, by_left)), price, None
        )
        fresh = place_of(self.model, self.ease, k, self.every[self.model.places[k][0]], found)
        self.pool[i] = fresh
        chosen: tuple[float, dict[int, int]] | None = None
        for row in map(int, np.argsort(fresh.own + fresh.aside, kind="stable")[:TRIED]):
            self._settle(i, {row: fresh.feedings}, taken, here, free)
            tried, known = self._relaxed(taken, free)
            cost = np.inf if known.x is None else float(np.array(tried.cost) @ known.x)
            if chosen is None or cost < chosen[0]:
                chosen = cost, {row: fresh.feedings}
        if chosen is None or chosen[0] >= best[0]:
            self.pool[i] = usual
            return best
        self.renewed[i] = fresh
        return chosen

    def _used(self) -> Floats:
        """Tons of each source that are decided on, by the larger of the two counts."""
        return used_by(self.model, self.fed(), self.fixed)

    def _nearby(self, i: int, rows: Ints, parts: Floats) -> list[dict[int, int]]:
        """Whole feedings near to what the linear program would feed: of one ration, or of two after each other."""
        feedings = self.pool[i].feedings
        order = [int(j) for j in np.argsort(-parts, kind="stable")[:3] if parts[j] > NEARLY_ONE]
        found: list[dict[int, int]] = [{int(rows[j]): feedings} for j in order]
        if self.ease.changes and feedings > 1:
            for j, other in combinations(order, 2):
                part = float(parts[j] / (parts[j] + parts[other])) * feedings
                for n in {int(part), int(part) + 1} - {0, feedings}:
                    found.append({int(rows[j]): n, int(rows[other]): feedings - n})
        return found

    def _settle(self, i: int, choice: dict[int, int], taken: list[Ints], here: set[int], free: set[int]) -> None:
        self.chosen[i] = choice
        taken[i] = np.array(sorted(choice))
        here.discard(i)
        free.discard(i)

    def _with_order(self, i: int) -> Place:
        """The place with what it is worth to keep to the stacks and feeds that are begun."""
        place, (g, p) = self.pool[i], self.model.places[self.pool[i].k]
        used = self._used()
        before: set[int] = set()
        for j, chosen in enumerate(self.chosen):
            if self.model.places[self.pool[j].k] == (g, p - 1):
                before |= {int(f) for row in chosen for f in self.pool[j].rations.feed[row]} - {-1}
        wait = out_of_turn(self.model, self.ease, self.pairs, used)
        more = wait[place.rations.hay].sum(axis=1)
        for f in before:
            more += self.ease.keep_feed_pct / 100 * self.season[g] * (place.rations.feed != f).all(axis=1)
        return replace(place, aside=place.aside + more)

    def _now(self) -> float:
        """What the plan comes to, with everything that ease is worth."""
        program, lower, upper, _ = self._asked(self._taken(set()), set())
        told = program.told(np.array(program.whole), np.ones(len(program.most), bool), lower, upper)
        result = highs.solved(told)
        return np.inf if result.x is None else float(np.array(program.cost) @ result.x)

    def _asked(self, taken: list[Ints], free: set[int]) -> tuple[Program, Floats, Floats, dict[int, float]]:
        """The whole choice, places that are not free held at what is chosen; and what is chosen, by column."""
        program = self._build(taken, order=True)
        lower, upper = np.zeros(len(program.cost)), np.array(program.upper)
        known: dict[int, float] = {}
        for i, (first, rows) in enumerate(zip(program.first, taken, strict=True)):
            for j, row in enumerate(rows):
                known[first + j] = float(self.chosen[i].get(int(row), 0))
                if i not in free:
                    lower[first + j] = upper[first + j] = known[first + j]
        return program, lower, upper, known
