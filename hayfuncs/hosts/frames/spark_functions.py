"""Spark: a function as a pandas UDF, which Spark hands whole columns by Arrow."""

from __future__ import annotations

from typing import Any

from hayfuncs.contract.errors import WrongCall
from hayfuncs.hosts.frames.calls import record_of, worked


def spark(name: str) -> Any:
    """The function for `select` and, with `spark.udf.register`, for SQL; it takes every argument, words as `lit("...")`."""
    try:
        import pandas as pd
        from pyspark.sql.functions import pandas_udf
    except ImportError:
        raise WrongCall("spark: pyspark and pandas are not installed; python -m pip install pyspark pandas") from None
    record = record_of(name)

    def column(*series: Any) -> Any:
        answer = worked(record, list(series))
        return pd.Series(answer, index=series[0].index)

    column.__name__ = record.python_name
    column.__annotations__ = {"series": pd.Series, "return": pd.Series}  # Spark reads the types themselves
    return pandas_udf(column, "double" if record.numeric else "string")
