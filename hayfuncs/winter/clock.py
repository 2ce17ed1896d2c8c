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
