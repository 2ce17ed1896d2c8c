"""A laboratory's archive, invented: lots by county, year and cutting; and one query that makes a table of it."""

from __future__ import annotations

from typing import Any

COUNTIES, FIRST_YEAR, YEARS, CUTTINGS = 40, 2001, 25, 4
NITRATE_LINE = 1000  # ppm NO3-N, where the Clemson scale's first caution begins (nitrate_clemson.csv)

# random and invented: fiber rises with the cutting's age and falls from county 1 to 40; a third of the lots has no nitrate test
MAKE = f"""
CREATE OR REPLACE TABLE archive AS
SELECT 'county ' || county AS county, {FIRST_YEAR} + (i // 7) % {YEARS} AS year, 1 + i % {CUTTINGS} AS cutting,
       round(28 + 4 * (i % {CUTTINGS}) / 2 - county / 20 + 12 * (h1 + h2 - 0.5), 1) AS adf,
       CASE WHEN h2 < 0.67 THEN round(9000 * h1 * h1 * h2, 0) END AS nitrate
FROM (SELECT i, 1 + i % {COUNTIES} AS county, hash(i) / 18446744073709551616.0 AS h1, hash(i + 77) / 18446744073709551616.0 AS h2
      FROM range($rows) AS r(i))
"""

QUERY = f"""\
SELECT county, year, cutting, count(*) AS lots,
       median(hay_tdn_from_adf(adf, 'legume net energy')) AS median_tdn,
       avg((hay_tdn_from_adf(adf, 'legume net energy') < milk_need)::INT) AS short_in_milk,
       avg((hay_nitrate_as(nitrate, 'NO3', 'NO3-N') > {NITRATE_LINE})::INT) AS over_nitrate_line
FROM archive, (SELECT hay_need_by_stage('TDN', 'lactation') AS milk_need)
GROUP BY ALL
ORDER BY county, year, cutting"""


def make(connection: Any, rows: int) -> None:
    """The archive as a table of the connection; the same rows every time."""
    connection.execute(MAKE.replace("$rows", str(rows)))
