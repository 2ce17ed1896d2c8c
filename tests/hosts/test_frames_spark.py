"""Spark, where pyspark and a Java machine are: a function for `select` and for SQL."""

from __future__ import annotations

import importlib.util
import os
import shutil
import sys

import pytest

import hayfuncs.frames
from hayfuncs.contract.errors import WrongCall

SPARK = importlib.util.find_spec("pyspark") is not None and shutil.which("java") is not None
TDN = [82.38 - 0.7515 * 30.5, None, None, 82.38 - 0.7515 * 60]  # the printed equation (tests/checks/tdn.tsv)


@pytest.mark.skipif(SPARK, reason="pyspark is here")
def test_without_spark_it_is_said() -> None:
    with pytest.raises(WrongCall, match="pyspark and pandas are not installed; python -m pip install pyspark pandas"):
        hayfuncs.frames.spark("tdn_from_adf")


@pytest.mark.skipif(not SPARK, reason="not run: pyspark or java is missing")
@pytest.mark.filterwarnings("ignore")  # of the libraries about one another's versions
def test_select_and_sql(monkeypatch: pytest.MonkeyPatch) -> None:
    from pyspark.sql import SparkSession
    from pyspark.sql.functions import lit

    monkeypatch.setitem(os.environ, "PYSPARK_PYTHON", sys.executable)
    session = SparkSession.builder.master("local[1]").config("spark.ui.enabled", "false").getOrCreate()
    try:
        lots = session.createDataFrame([(30.5,), (None,), (140.0,), (60.0,)], ["adf"])
        tdn = hayfuncs.frames.spark("tdn_from_adf")
        assert [row[0] for row in lots.select(tdn("adf", lit("western alfalfa"))).collect()] == pytest.approx(TDN)
        session.udf.register("hay_tdn_from_adf", tdn)
        lots.createOrReplaceTempView("lots")
        rows = session.sql("SELECT hay_tdn_from_adf(adf, 'western alfalfa') FROM lots").collect()
        assert [row[0] for row in rows] == pytest.approx(TDN)
    finally:
        session.stop()
