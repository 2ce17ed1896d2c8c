"""Bench: weights of bag, wet and dry sample turned into dry matter, in one step and in two."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.workbook.barn import Weighing
from hayfuncs.workbook.model import Book, Content, Formula, call
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import of_record, text
from hayfuncs.workbook.table import Table, asked, column

ROWS = 12  # rows of the demo's bench; more where the farm has weighed more
WEIGH_AGAIN = '"weigh again"'  # weights that cannot be: dry above wet, or below the container
USUAL = (88, 96)  # residual dry matter of air-dry ground hay, % (from memory; DRY_MATTER_TWO_STEP's fitted range)
EMPTY, WET, DRY = (of_record("DRY_MATTER", k) for k in ("container_weight", "wet_weight", "dry_weight"))


class Bench(Table[Weighing | None]):
    """One row a sample; rows without one wait for the next."""

    sample = asked(
        "Sample", "name", text("Sample", "Lot and bag, as written on the label"), style="input_text", width=28,
        band="Typed in",
    )  # fmt: skip
    bag = asked("Empty bag or pan", "any weight", EMPTY, style="input2")
    wet = asked("With wet sample", "any weight", WET, style="input2")
    dry = asked("With dry sample", "any weight", DRY, style="input2")
    dish = asked("Second drying: empty dish", "any weight", EMPTY, style="input2")
    ground = asked("With ground sample", "any weight", WET, style="input2")
    ground_dry = asked("With dry ground sample", "any weight", DRY, style="input2")

    @column("Dry matter, first drying", "% as fed", style="number2", width=14, band="Computed")
    def first(self) -> Content:
        return drying(self.bag, self.wet, self.dry)

    @column("Dry matter, second drying", "% of the air-dry sample", style="number2", width=14)
    def second(self) -> Content:
        return drying(self.dish, self.ground, self.ground_dry)

    @column("Dry matter, two steps", "% as fed", style="number2", width=14)
    def two_step(self) -> Content:
        once = (f"COUNT({self.first},{self.second})<2", f'IF(COUNT({self.first})=0,{self.first},"one step")')
        return call("DRY_MATTER_TWO_STEP", self.first, self.second, unless=once)

    @column("Dry matter of the sample", "% as fed", style="result2", width=14)
    def dm(self) -> Content:
        return Formula(f"=IF(ISNUMBER({self.two_step}),{self.two_step},{self.first})")

    @column("Moisture", "% as fed", style="number2")
    def moisture(self) -> Content:
        return Formula(f'=IF(ISNUMBER({self.dm}),100-{self.dm},"")')

    @column("What to look at", "words", style="small", width=46)
    def says(self) -> Content:
        swapped = f'IF(OR({self.first}={WEIGH_AGAIN},{self.second}={WEIGH_AGAIN}),"Dry cannot weigh more than wet, or less than the container: weigh again. ","")'
        low, high = USUAL
        unusual = f'IF(AND(ISNUMBER({self.second}),OR(N({self.second})<{low},N({self.second})>{high})),"Second drying outside {low} to {high} %, the usual range. ","")'
        return Formula(f"=TRIM({swapped}&{unusual})")


def fill(book: Book, weighings: Sequence[Weighing]) -> None:
    sheet = begin(
        book, "Bench", "Dry matter from the weights on the bench",
        "Type gross weights, container included, in any one unit. First drying: the bag at 55-60 deg C, or at 105 deg C when it is the only one. Second: the ground sample at 105 deg C.",
        "Inputs, then workings",
    )  # fmt: skip
    empty = [None] * (ROWS - len(weighings))
    Bench(sheet, [*weighings, *empty]).place(28).filed("bench")


def drying(box: str, wet: str, dry: str) -> Content:
    count = f"COUNT({box},{wet},{dry})<3"
    odd = f"OR({count},{dry}>{wet},{dry}<{box},{wet}<={box})"
    return call("DRY_MATTER", wet, dry, box, unless=(odd, f'IF({count},"not weighed",{WEIGH_AGAIN})'))
