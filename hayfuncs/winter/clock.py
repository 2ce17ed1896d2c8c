"""How long a search may still take, and whether a person wants it to end."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass
class Clock:
    """Time that is left, and whether a person has asked to stop."""

    seconds: float
    stopped: Callable[[], bool] = lambda: False
    began: float = field(default_factory=time.monotonic)

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
