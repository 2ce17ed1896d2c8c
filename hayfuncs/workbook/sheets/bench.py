"""Bench: weights of bag, wet and dry sample turned into dry matter, in one step and in two."""

from __future__ import annotations

from collections.abc import Sequence

from hayfuncs.workbook.barn import Weighing
from hayfuncs.workbook.model import Book, Content, call
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import Asking, Grid, Row, of_record, text

ROWS = 12  # rows of the demo's bench; more where the farm has weighed more
WEIGH_AGAIN = '"weigh again"'  # weights that cannot be: dry above wet, or below the container
USUAL = (88, 96)  # residual dry matter of air-dry ground hay, % (from memory; DRY_MATTER_TWO_STEP's fitted range)


def fill(book: Book, weighings: Sequence[Weighing]) -> None:
    sheet = begin(
        book, "Bench", "Dry matter from the weights on the bench",
        "Type gross weights, container included, in any one unit. First drying: the bag at 55-60 deg C, or at 105 deg C when it is the only one. Second: the ground sample at 105 deg C.",
        "Inputs, then workings",
    )  # fmt: skip
    n = max(ROWS, len(weighings))
    grid = Grid(sheet, n)
    rows: list[Weighing | None] = [*weighings, *[None] * (n - len(weighings))]

    def held(name: str) -> list[Content]:
        return [getattr(w, name) if w else None for w in rows]

    weights: dict[str, Asking] = {
        k: of_record("DRY_MATTER", k) for k in ("container_weight", "wet_weight", "dry_weight")
    }
    grid.band("Typed in")
    grid.ask(
        "sample",
        "Sample",
        "name",
        held("sample"),
        text("Sample", "Lot and bag, as written on the label"),
        "input_text",
        28,
    )
    grid.ask("bag", "Empty bag or pan", "any weight", held("bag"), weights["container_weight"], "input2")
    grid.ask("wet", "With wet sample", "any weight", held("wet"), weights["wet_weight"], "input2")
    grid.ask("dry", "With dry sample", "any weight", held("dry"), weights["dry_weight"], "input2")
    grid.ask("dish", "Second drying: empty dish", "any weight", held("dish"), weights["container_weight"], "input2")
    grid.ask("ground", "With ground sample", "any weight", held("ground"), weights["wet_weight"], "input2")
    grid.ask("ground_dry", "With dry ground sample", "any weight", held("ground_dry"), weights["dry_weight"], "input2")
    grid.band("Computed")
    grid.add("first", "Dry matter, first drying", "% as fed", lambda r: _drying(r, "bag", "wet", "dry"), "number2", 14)
    grid.add(
        "second",
        "Dry matter, second drying",
        "% of the air-dry sample",
        lambda r: _drying(r, "dish", "ground", "ground_dry"),
        "number2",
        14,
    )
    untwice = "COUNT({})<2"
    grid.add("two_step", "Dry matter, two steps", "% as fed",
             lambda r: call("DRY_MATTER_TWO_STEP", r["first"], r["second"], unless=(untwice.format(r.all("first", "second")), f'IF(COUNT({r["first"]})=0,{r["first"]},"one step")')), "number2", 14)  # fmt: skip
    grid.add("dm", "Dry matter of the sample", "% as fed",
             lambda r: f"=IF(ISNUMBER({r['two_step']}),{r['two_step']},{r['first']})", "result2", 14)  # fmt: skip
    grid.add("moisture", "Moisture", "% as fed", lambda r: f'=IF(ISNUMBER({r["dm"]}),100-{r["dm"]},"")', "number2", 12)
    grid.add("says", "What to look at", "words", _says, "small", 46)
    grid.done("bench", 28)


def _drying(r: Row, box: str, wet: str, dry: str) -> Content:
    count = f"COUNT({r.all(box, wet, dry)})<3"
    odd = f"OR({count},{r[dry]}>{r[wet]},{r[dry]}<{r[box]},{r[wet]}<={r[box]})"
    return call("DRY_MATTER", r[wet], r[dry], r[box], unless=(odd, f'IF({count},"not weighed",{WEIGH_AGAIN})'))


def _says(r: Row) -> str:
    swapped = f'IF(OR({r["first"]}={WEIGH_AGAIN},{r["second"]}={WEIGH_AGAIN}),"Dry cannot weigh more than wet, or less than the container: weigh again. ","")'
    low, high = USUAL
    unusual = f'IF(AND(ISNUMBER({r["second"]}),OR(N({r["second"]})<{low},N({r["second"]})>{high})),"Second drying outside {low} to {high} %, the usual range. ","")'
    return f"=TRIM({swapped}&{unusual})"
