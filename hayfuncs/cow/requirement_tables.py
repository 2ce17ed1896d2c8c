"""Needs as others have printed them: rules of thumb by stage, and published statements."""

from __future__ import annotations

from typing import Annotated

from hayfuncs.contract.catalogue import Longhand, Name, Ref, Result, Step, Words, worksheet
from hayfuncs.contract.errors import NotInTable
from hayfuncs.contract.tables import load
from hayfuncs.cow.requirements import TOPIC

STAGES = ("mid pregnancy", "late pregnancy", "lactation")  # the rows of tables/need_by_stage.tsv
# The word says the unit, because the sources print pounds a day, percent of dry matter or both.
STATED = {
    "DM lb": "dm_lb", "TDN lb": "tdn_lb", "TDN %": "tdn_pct", "CP lb": "cp_lb", "CP %": "cp_pct", "Ca %": "ca_pct",
    "P %": "p_pct",
}  # fmt: skip


@worksheet(
    "NEED_BY_STAGE",
    TOPIC,
    "Rule of thumb for the diet by stage: TDN 55-60-65 and CP 7-9-11 % of dry matter.",
    equation="looks the stage up: mid pregnancy 55 and 7, late pregnancy 60 and 9, lactation 65 and 11",
    refs=(Ref("alberta-420-52", "CP 7-9-11 and TDN 55-60-65"),),
    longhand=(
        "CHOOSE({nutrient#},INDEX({@need_by_stage.tdn_pct},MATCH({stage},{@need_by_stage.stage},0)),"
        "INDEX({@need_by_stage.cp_pct},MATCH({stage},{@need_by_stage.stage},0)))"
    ),
)
def need_by_stage(
    nutrient: Annotated[str, Words("TDN or CP", ("TDN", "CP"))],
    stage: Annotated[str, Words("The cow's stage; lactation means after calving", STAGES)],
) -> Annotated[float, Result("Rule of thumb", "% DM", 0, 100)]:
    """The rule of thumb for a cow's diet by stage.

    A first look at a forage test, before the cow's own weight and milk are reckoned.

    It asks for 2 to 10 points more TDN than the equations of NEED_DENSITY do for a 1,200-lb cow: it is a rule
    for a group, kept safe.

    >>> need_by_stage("CP", "lactation")  # %
    11
    """
    value = load("need_by_stage").row(stage, "NEED_BY_STAGE", "stage")[f"{nutrient.lower()}_pct"]
    assert isinstance(value, float)
    return value


@worksheet(
    "NEED_FROM_TABLE",
    TOPIC,
    "A need as an extension source printed it, by the row's name: lb a day or % of dry matter.",
    equation="looks the row up in the table of published statements",
    refs=(
        Ref("unl-g2268", "and the other sources named in each row of the table"),
        Ref("msstate-2564", "growing bulls", "published, second hand"),
    ),
    longhand=Longhand(
        "IF({stated}>0,{stated},#N/A)",
        (
            Step("place", "MATCH({row_name},{@need_statements.row_name},0)", "The row's place in the table", "1"),
            Step(
                "stated",
                "CHOOSE({nutrient#}," + ",".join(f"INDEX({{@need_statements.{c}}},{{place}})" for c in STATED.values())
                + ")",
                "What the row states (0 where it states nothing)",
                "as the column says",
            ),
        ),
    ),
)  # fmt: skip
def need_from_table(
    row_name: Annotated[str, Name("The row's name, e.g. late gestation, 1,300 lb", "need_statements")],
    nutrient: Annotated[str, Words("What is stated: lb a day, or % of dry matter", tuple(STATED))],
) -> Annotated[float, Result("The printed need", "as the column says", 0, 100)]:
    """A need as a published source states it.

    To hold the equations, and a client's old bulletin, against what is in print.

    Where a source prints a range there is one row for each end, its name ending in "low" or "high".

    >>> need_from_table("late gestation, 1,300 lb", "TDN lb")  # lb
    12.7
    """
    row = load("need_statements").row(row_name, "NEED_FROM_TABLE", "row_name")
    value = row[STATED[nutrient]]
    if not isinstance(value, float):
        there = ", ".join(word for word, column in STATED.items() if row[column] is not None)
        given = f'"{nutrient}" of "{row["row_name"]}"'
        raise NotInTable("NEED_FROM_TABLE", "nutrient", given, f"what the row states: {there}", "ask for one of these")
    return value
