"""pandas: `frame.hay.tdn_from_adf("adf", "western alfalfa")` gives a Series with the frame's index."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pandas as pd

from hayfuncs.contract.catalogue import Record
from hayfuncs.hosts.frames.calls import NAMESPACE, Methods, bound, filled, resolved


class FrameMethods(Methods):
    """Our functions on the columns of one frame."""

    def __init__(self, frame: Any) -> None:
        self._frame = frame

    def _call(self, record: Record, args: Sequence[Any], kwargs: dict[str, Any], what: Callable[..., Any]) -> Any:
        frame = self._frame
        values = resolved(record, bound(record, args, kwargs), list(frame.columns), frame.__getitem__)
        answer = filled(what(record, values), len(frame), record)
        return pd.Series(answer, index=frame.index, name=record.python_name)


def install() -> None:
    pd.api.extensions.register_dataframe_accessor(NAMESPACE)(FrameMethods)
