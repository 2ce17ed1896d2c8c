"""What a caller brings as one argument, read alike: lists, arrays, masked arrays, columns of data frames.

A missing value (None, NaN, NA, masked) is missing everywhere and never a number.  Data frames are
known by the modules that made them and never imported here.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, TypeAlias

import numpy as np
import numpy.typing as npt

from hayfuncs.contract.errors import BadInput, HayError
from hayfuncs.contract.fields import Record
from hayfuncs.contract.scalars import NAN, as_float, is_missing, is_number

Floats: TypeAlias = npt.NDArray[np.float64]
Cells: TypeAlias = npt.NDArray[Any]
SINGLE = frozenset([float, int, str, bool, type(None)])
TEXTS = (str, bytes, bytearray)
FEW = 64  # addresses looked for one by one; with more words than that they are looked up by value
AT_ONCE = 32_768  # rows looked at together: they stay near the processor


Codes: TypeAlias = npt.NDArray[Any]  # whole numbers of any size


class Labels(NamedTuple):
    """A column of words, flags or names: for each row the place of its word; the last place is no good word."""

    codes: Codes
    words: list[Any]


def made_by(module: str, value: object, *kinds: str) -> bool:
    """Whether the value is one of a library's types, if that library is loaded at all."""
    library = sys.modules.get(module)
    return library is not None and isinstance(value, tuple(getattr(library, kind, ()) for kind in kinds))


def is_block(value: object) -> bool:
    """Several values in one: a list, an array, a column of a data frame."""
    kind = type(value)
    if kind in SINGLE or isinstance(value, (*TEXTS, np.generic)):
        return False
    if isinstance(value, np.ndarray):
        return value.ndim > 0
    if isinstance(value, Sequence):
        return True
    # an array or column of another library; one without a shape is a column all the same
    return hasattr(kind, "__array__") and len(getattr(value, "shape", (1,))) > 0


def objects(record: Record, name: str, value: Any) -> Cells:
    """The block's cells: floats where all are numbers, else as they came, None where missing."""
    if isinstance(value, np.ndarray):
        return _unmasked(value)
    if made_by("pandas", value, "Series"):
        return _from_pandas(value)
    if made_by("polars", value, "Series"):
        return _from_polars(value)
    if made_by("pyarrow", value, "Array", "ChunkedArray"):
        return _from_arrow(value)
    if not isinstance(value, (list, tuple)):
        return _unmasked(np.asarray(value))
    try:
        block = np.array(value, dtype=object)
        kinds = set(map(type, block.ravel().tolist()))
        ragged = any(issubclass(kind, (list, tuple)) for kind in kinds)
    except ValueError:
        ragged = True
    if ragged:
        raise BadInput(
            record.name, name, "a block with rows of unlike length", "rows of one length", "square the block"
        )
    return block.astype(np.float64) if kinds == {float} else block


def _unmasked(value: Cells) -> Cells:
    if not isinstance(value, np.ma.MaskedArray):
        return value
    hidden = np.ma.getmaskarray(value)
    if value.dtype.kind in "iuf":
        return np.where(hidden, NAN, np.asarray(value, dtype=np.float64))
    cells = np.array(value, dtype=object)
    cells[hidden] = None
    return cells


def _from_pandas(series: Any) -> Cells:
    if series.dtype.kind in "iuf":
        own = isinstance(series.dtype, np.dtype)
        return np.asarray(series.to_numpy() if own else series.to_numpy(dtype=np.float64, na_value=NAN))
    return np.asarray(series.to_numpy(dtype=object))


def _from_polars(series: Any) -> Cells:
    if series.dtype.is_numeric():
        return np.asarray(series.cast(sys.modules["polars"].Float64).to_numpy())
    return _listed(series.to_list())


def _from_arrow(column: Any) -> Cells:
    arrow = sys.modules["pyarrow"]
    kinds = arrow.types
    if kinds.is_integer(column.type) or kinds.is_floating(column.type):
        return np.asarray(column.cast(arrow.float64()).to_numpy(**_plain_chunks(column)))
    return _listed(column.to_pylist())


def _plain_chunks(column: Any) -> dict[str, bool]:
    return {} if made_by("pyarrow", column, "ChunkedArray") else {"zero_copy_only": False}


def _listed(values: list[Any]) -> Cells:
    cells = np.empty(len(values), dtype=object)
    cells[:] = values
    return cells


def floats(cells: Cells) -> Floats | None:
    """The cells as floats, NaN where one is no number; None where the whole block is none."""
    if cells.dtype == object:
        return np.fromiter(
            (c if type(c) is float else as_float(c) if is_number(c) else NAN for c in cells.flat),
            dtype=np.float64, count=cells.size,
        ).reshape(cells.shape)  # fmt: skip
    return cells.astype(np.float64, copy=False) if cells.dtype.kind in "iuf" else None


# --- words, flags and names


def labels(record: Record, name: str, value: Any, ready: Callable[[Any], Any]) -> Labels:
    """The column as places among its distinct words; `ready` makes one word ready or refuses it."""
    known = _Known(ready)
    coded = _coded(value)
    if coded is None:
        cells = objects(record, name, value)
        return known.labels(_looked_up(np.ascontiguousarray(cells).ravel(), known).reshape(cells.shape))
    codes, distinct = coded
    places = [*(known[word] for word in distinct), -1]  # the last one stands for missing
    return known.labels(_placed(codes, places))


def _coded(value: Any) -> tuple[Codes, list[Any]] | None:
    """Codes and the distinct values they stand for, -1 for missing, where the column's maker finds them fast."""
    if made_by("pandas", value, "Series"):
        if hasattr(value.dtype, "categories"):
            return value.cat.codes.to_numpy(), value.cat.categories.tolist()
        if value.dtype == object:
            return None
        codes, distinct = value.factorize()
        return codes, distinct.tolist()
    if made_by("polars", value, "Series"):
        polars = sys.modules["polars"]
        if value.dtype not in (polars.String, polars.Categorical, polars.Enum):
            return None
        column = value.cast(polars.Categorical) if value.dtype == polars.String else value
        distinct = column.drop_nulls().unique()
        own = distinct.to_physical().to_numpy()
        place_of = np.full(int(own.max(initial=0)) + 2, -1, dtype=np.int32)
        place_of[own] = np.arange(own.size)
        codes = column.to_physical().fill_null(place_of.size - 1).to_numpy()
        return place_of[codes], distinct.cast(polars.String).to_list()
    if made_by("pyarrow", value, "Array", "ChunkedArray"):
        whole = value.combine_chunks() if made_by("pyarrow", value, "ChunkedArray") else value
        column = whole if hasattr(whole, "dictionary") else whole.dictionary_encode()
        codes = column.indices.fill_null(-1) if column.indices.null_count else column.indices
        return codes.to_numpy(zero_copy_only=False), column.dictionary.to_pylist()
    return None


class _Known(dict[Any, int]):
    """Value -> place of its word; a new value is made ready when first met, -1 where it is refused."""

    def __init__(self, ready: Callable[[Any], Any]) -> None:
        self.ready = ready
        self.words: dict[Any, int] = {}

    def __missing__(self, value: Any) -> int:
        self[value] = place = self.place(value)
        return place

    def place(self, value: Any) -> int:
        try:
            word = self.ready(value)
        except HayError:
            return -1
        return self.words.setdefault(word, len(self.words)) if word == word else -1

    def labels(self, places: Codes) -> Labels:
        """The places with those of refused values after the last word's."""
        if places.size and places.min() < 0:
            places = np.where(places < 0, len(self.words), places)
        return Labels(places, list(self.words))


def _placed(codes: Codes, places: list[int]) -> Codes:
    """The place of each code; codes that are the places already stay as they are."""
    if places[:-1] == list(range(len(places) - 1)):
        return codes
    return np.array(places, dtype=np.int8 if len(places) <= FEW else np.intp)[codes]


def _looked_up(cells: Cells, known: _Known) -> Codes:
    """Places of single values: by their addresses where few texts come again and again, else by value.

    The same text is most often the same object, and comparing addresses takes a tenth of looking words up.
    """
    if cells.dtype == object and cells.size:
        found = _one_after_another(np.frombuffer(cells, dtype=np.intp), cells, known)
    else:
        found = _one_after_another(cells, cells, known) if cells.dtype.kind == "U" else None
    if found is not None:
        return found
    values = cells.tolist()
    try:
        return np.fromiter(map(known.__getitem__, values), dtype=np.intp, count=len(values))
    except TypeError:  # a cell that is no word at all and cannot be looked up: a list, a dictionary
        return np.fromiter((known.place(v) for v in values), dtype=np.intp, count=len(values))


def _one_after_another(keys: Cells, cells: Cells, known: _Known) -> Codes | None:
    """Places of texts, each distinct key compared with a whole stretch of rows; None where there are many."""
    found = np.zeros(cells.size, dtype=np.int8)  # 1 + place among `seen`, 0 until the key is met
    seen: dict[Any, int] = {}
    for start in range(0, cells.size, AT_ONCE):
        part = keys[start : start + AT_ONCE]
        places = found[start : start + AT_ONCE]
        for at, key in enumerate(seen, 1):
            places += (part == key).view(np.int8) * np.int8(at)
        while not places.all():
            first = int(places.argmin())  # the first row not met: the others are above 0
            value = cells[start + first]
            if len(seen) == FEW or not isinstance(value, str):
                return None
            seen[part[first]] = known[str(value)]
            places += (part == part[first]).view(np.int8) * np.int8(len(seen))
    found -= 1
    return _placed(found, [*seen.values(), -1])


# --- how an answer goes back


def as_it_came(record: Record, values: Sequence[Any], names: Sequence[str]) -> Callable[[Cells], Any] | None:
    """What makes a column of answers a series with the index and name of the one given; None without series.

    Series of unlike index are refused: paired by place they would give each row another row's number.
    """
    given = [(name, v) for name, v in zip(names, values, strict=False) if made_by("pandas", v, "Series")]
    if given:
        first = given[0][1]
        for name, other in given[1:]:
            if not (other.index is first.index or other.index.equals(first.index)):
                raise BadInput(
                    record.name, name, "a series with another index", f"the index of {given[0][0]}",
                    "align the series first, or pass arrays",
                )  # fmt: skip
        same = all(other.name == first.name for _, other in given)
        pandas: Any = sys.modules["pandas"]
        return lambda cells: (
            pandas.Series(cells, index=first.index, name=first.name if same else None)
            if cells.shape == first.shape
            else cells
        )
    columns = [v for v in values if made_by("polars", v, "Series")]
    if columns:
        polars: Any = sys.modules["polars"]
        return lambda cells: (
            polars.Series(columns[0].name, _nulls(cells), nan_to_null=True, strict=False)
            if cells.shape == columns[0].shape
            else cells
        )
    return None


def _nulls(cells: Cells) -> Any:
    """Cells as that library takes them: a missing text is null."""
    return cells if cells.dtype != object else [None if is_missing(c) else c for c in cells.tolist()]
