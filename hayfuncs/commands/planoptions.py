"""The options of `hayfuncs plan`, and what they ask for."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from hayfuncs.winter.whatif import Asks
    from hayfuncs.workbook.easyplanning import Asked

CHEAPEST = "cheapest"

FromOption = Annotated[
    str | None,
    typer.Option(
        "--start", "--from", metavar="DATE", show_default=False,
        help="First day of hay feeding, like 2026-11-15; in mid-winter today, with the stacks measured again on Lots.",
    ),
]  # fmt: skip
PlanEditionOption = Annotated[
    str | None,
    typer.Option("--edition", metavar="EDITION", help="functions, plain or classic; else the workbook's.", show_default=False),
]  # fmt: skip
AnywayOption = Annotated[
    bool, typer.Option("--anyway", help="Write the plan that is least short where not every need can be met.")
]
HaysOption = Annotated[
    str,
    typer.Option(
        "--hays", metavar="1|2|cheapest",
        help="Most hays a group at a time, in whole bales; or amounts of any kind, as cheap as possible.",
    ),
]  # fmt: skip
SecondsOption = Annotated[
    float,
    typer.Option(
        "--seconds", metavar="SECONDS",
        help="Most time for the planning, and as much again for the questions; reading and writing the workbook come on top. Ctrl+C takes the best plan so far.",
    ),
]  # fmt: skip
PinOption = Annotated[
    list[str] | None,
    typer.Option(
        "--pin", metavar='"GROUP, MONTH, FEED OR LOT = POUNDS"', show_default=False,
        help="Pounds as fed to put out, a head and a day, that stay as they are; the rest is planned around them and what the pin costs is said. May be given again.",
    ),
]  # fmt: skip
WhatIfOption = Annotated[
    bool, typer.Option("--what-if", help="Late grass, a cold winter, dear hay, a stack lost, more cows, side by side.")
]
LateOption = Annotated[
    str | None,
    typer.Option("--late", metavar="DAYS", help="Days that grass is late, like 15,30 (as usual).", show_default=False),
]
ColdOption = Annotated[
    float | None,
    typer.Option(
        "--cold", metavar="PERCENT", show_default=False,
        help="More energy from December to February; usually 17 %, as at a wind chill of 15 deg F.",
    ),
]  # fmt: skip
HayPriceOption = Annotated[
    float | None,
    typer.Option("--hay-price", metavar="PERCENT", help="Hay to buy dearer by; usually 25 %.", show_default=False),
]
LostOption = Annotated[
    str | None,
    typer.Option("--lost", metavar="LOT", help="The stack that is lost; usually the largest.", show_default=False),
]
MoreCowsOption = Annotated[
    float | None,
    typer.Option("--more-cows", metavar="HEAD", help="More head in the largest group; usually 10.", show_default=False),
]
WorthOption = Annotated[
    bool, typer.Option("--worth", help="What a ton of each lot and feed is worth by the plan, beside its market price.")
]
BeforeOption = Annotated[
    bool, typer.Option("--before-winter", help="Hay to buy now, lots that could be sold, the lot to test first.")
]
JsonOption = Annotated[
    Path | None, typer.Option("--json", metavar="PLAN.json", help="Write it as data too.", show_default=False)
]


@dataclass
class Stop:
    """Whether a person has asked to stop; called as a question."""

    asked: bool = False

    def __call__(self) -> bool:
        return self.asked


def asked(hays: str, seconds: float, pins: list[str]) -> Asked | None:
    """A plan in whole bales as it is asked; None for the cheapest amounts."""
    from hayfuncs.contract.files import UserError
    from hayfuncs.winter.rations import Ease
    from hayfuncs.workbook.easyplanning import Asked

    if hays not in ("1", "2", CHEAPEST):
        raise UserError(f'--hays is "{hays}"; allowed: 1, 2, {CHEAPEST}; give one of them')
    if not seconds > 0:
        raise UserError(f"--seconds is {seconds:g}; allowed: more than 0; give the time that the plan may take")
    if hays == CHEAPEST and pins:
        raise UserError("--pin goes with a plan in whole bales; leave --hays cheapest out, or leave --pin out")
    return None if hays == CHEAPEST else Asked(Ease(hays=int(hays)), seconds, tuple(pins))


def asks(
    what_if: bool, late: str | None, cold: float | None, hay_price: float | None, lost: str | None, more_cows: float | None
) -> Asks | None:  # fmt: skip
    """The lines of the table, where any is asked for; an option alone asks for the table too."""
    from hayfuncs.contract.files import UserError
    from hayfuncs.winter.whatif import Asks

    if not what_if and (late, cold, hay_price, lost, more_cows) == (None,) * 5:
        return None
    usual = Asks()
    days = usual.late_days
    if late is not None:
        parts = [part.strip() for part in late.split(",") if part.strip()]
        if not all(part.isdecimal() and int(part) > 0 for part in parts):
            raise UserError(f'--late is "{late}"; allowed: days like 15,30; give whole numbers above 0')
        days = tuple(int(part) for part in parts)
    for name, value, low, high in (
        ("--cold", cold, 0, 100), ("--hay-price", hay_price, -100, 1000), ("--more-cows", more_cows, 0, 1e6),
    ):  # fmt: skip
        if value is not None and not low <= value <= high:
            raise UserError(f"{name} is {value:g}; allowed: {low:g} to {high:,.0f}; give such a number")
    return Asks(
        days,
        usual.cold_pct if cold is None else cold,
        usual.hay_price_pct if hay_price is None else hay_price,
        lost,
        usual.more_cows if more_cows is None else more_cows,
    )


def register(app: typer.Typer) -> None:
    """No verb of its own."""
