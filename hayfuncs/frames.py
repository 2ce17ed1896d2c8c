"""The functions on tables: pandas, polars, dask, DuckDB and Spark, each where it is installed.

>>> import hayfuncs.frames                                        # doctest: +SKIP
>>> lots["tdn"] = lots.hay.tdn_from_adf("adf", "western alfalfa")  # doctest: +SKIP

pandas and dask: `frame.hay.NAME(...)` gives a column; a text that names a column is that column, any other is a word.
polars: `frame.hay.NAME(...)` gives a column, `pl.col("adf").hay.NAME(...)` an expression, lazy and streamed too.
DuckDB: `hayfuncs.frames.register(connection)` makes `hay_name(...)` for SQL.  Spark: `hayfuncs.frames.spark(name)`.
What is missing stays missing, what is refused is missing in the answer, and `frame.hay.reason(name, ...)` (in SQL
`hay_reason_name(...)`) says why in a column of its own.
"""

from __future__ import annotations

from importlib.util import find_spec

from hayfuncs.hosts.frames.calls import names
from hayfuncs.hosts.frames.duckdb_functions import macros, register
from hayfuncs.hosts.frames.spark_functions import spark

__all__ = ["macros", "names", "register", "spark"]

if find_spec("pandas"):
    from hayfuncs.hosts.frames import pandas_columns

    pandas_columns.install()
    if find_spec("dask") and find_spec("dask.dataframe"):
        from hayfuncs.hosts.frames import dask_columns

        dask_columns.install()
if find_spec("polars"):
    from hayfuncs.hosts.frames import polars_columns

    polars_columns.install()
