"""How long a search may still take, and whether a person wants it to end.

By the clock a slower machine finds a dearer plan.  Where the same plan must come out everywhere (the committed
workbooks), the search is held by its own steps, whatever time they take.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from hayfuncs.leastcost.highs import Option

NODES = 20  # of a program's search tree, where time does not count


@dataclass
class Clock:
    """Time that is left, and whether a person has asked to stop; `steps` in place of time."""

    seconds: float
    stopped: Callable[[], bool] = lambda: False
    began: float = field(default_factory=time.monotonic)
    steps: int | None = None  # times that places are opened again

    @classmethod
    def by_steps(cls, steps: int, stopped: Callable[[], bool] = lambda: False) -> Clock:
        return cls(math.inf, stopped, steps=steps)

    def limits(self, seconds: float) -> dict[str, Option]:
        """How far the solver may go in one program with whole numbers."""
        return {"time_limit": seconds} if self.steps is None else {"mip_max_nodes": NODES}

    @property
    def left(self) -> float:
        return self.seconds - (time.monotonic() - self.began)

    def over(self) -> bool:
        return self.left <= 0 or self.stopped()

    def stopped_for(self, grace: float) -> Callable[[], bool]:
        """Whether a person asked to stop so many seconds ago; asked again and again."""
        since: list[float] = []

        def asked() -> bool:
            if self.stopped() and not since:
                since.append(time.monotonic())
            return bool(since) and time.monotonic() - since[0] > grace

        return asked
