"""Hay to buy: what is on offer, from its own lab sheet, and what its nitrate lets it be in the diet."""

from __future__ import annotations

from hayfuncs.workbook.keyed import calling
from hayfuncs.workbook.model import Book
from hayfuncs.workbook.season import SPARE_OFFERS, USUAL_FEEDER, Offer, Season
from hayfuncs.workbook.sheets.common import begin
from hayfuncs.workbook.sheets.grid import listed, number, of_record, text
from hayfuncs.workbook.sheets.hazards import CLEMSON, MIDWEST, counted_nitrate
from hayfuncs.workbook.table import Column, Table, asked, computed

ASK = "Not tested for nitrate: ask for a test before it is bought."
HELD = (
    '"Nitrate: as the whole diet not for "&IF({share_open}<100,"any cattle","cows in calf")'
    '&"; fed to them only where Winter says that hay is ground and mixed, then at most a part. The veterinarian decides."'
)
VALUES = ("{price}", "{dm}", "{tdn}", "{cp}", "{ndf}", "{fat}", "{s}")  # that must be known; minerals need not be


def _value(head: str, of: str, lo: float, hi: float, unit: str = "% DM") -> Column:
    return asked(head, unit, number(head, f"{head}, {unit}", lo, hi), of=of)


def _mineral(head: str, of: str, hi: float) -> Column:
    return asked(head, "% DM", number(head, f"{head}, % DM; empty counts at the untested hay's of Assumptions", 0, hi), of=of)  # fmt: skip


def _share(words: str, in_calf: str, scale: str, band: str = "") -> Column:
    """100 where it was not tested, which does not make it safe."""
    of = "Clemson scale" if scale == CLEMSON else "midwest laboratory's scale"
    share = calling("NITRATE_MOST_SHARE", counted_nitrate("{nitrate_n_ppm}"), in_calf, scale, unless=('{nitrate_n_ppm}=""', "100"))  # fmt: skip
    return computed(f"Most of a mixed diet by nitrate, {words}, {of}", "% DM", share, "number0", 14, band)


class HayToBuy(Table[Offer | None]):
    """One row a hay on offer, then rows that are free."""

    name = asked("Hay on offer", "name", text("Hay on offer", "A name of your own, unlike any lot's; empty when not used"), "input_text", 30, band="Typed in")  # fmt: skip
    typed = asked("Price, delivered", "$/ton as fed", of_record("PRICE_PER_DRY_TON", "price_per_ton"), "input_money", of="price")  # fmt: skip
    tons = asked("Tons on offer", "tons as fed", number("Tons on offer", "Tons as fed that can be had", 0, 100000))
    dm = _value("Dry matter", "dm_pct", 1, 100, "% as fed")
    tdn, cp = _value("TDN", "tdn_pct", 1, 100), _value("Crude protein", "cp_pct", 0, 60)
    ndf, fat, s = _value("NDF", "ndf_pct", 1, 95), _value("Fat", "fat_pct", 0, 30), _value("Sulfur", "s_pct", 0, 3)
    ca, p = _mineral("Calcium", "ca_pct", 10), _mineral("Phosphorus", "p_pct", 5)
    feeder = asked("Fed in, where the group names no feeder", "name of a feeder",
        listed("Fed in", "What this hay is fed in; empty is an open ring", "{table[feeding_loss.feeder]}"), "input_text", 18,
        of=lambda row: row.item and USUAL_FEEDER)  # fmt: skip
    loss = asked("Lost before it is fed", "% DM", number("Lost before it is fed", "Dry matter lost in your own store", 0, 95), of="storage_loss_pct")  # fmt: skip
    nitrate_n_ppm = asked("Nitrate nitrogen (NO3-N)", "ppm of dry matter", of_record("NITRATE_MOST_SHARE", "nitrate_n_ppm"), "input0")  # fmt: skip
    price = computed("Price used", "$/ton as fed", '=IF({typed}<>"",{typed},IF(COUNT(bought_price)=0,{not_entered},bought_price))', "result_money", 14, "Computed")  # fmt: skip
    wasted = computed("Wasted at feeding", "% DM", calling("FEEDING_LOSS", f'IF({{feeder}}="","{USUAL_FEEDER}",{{feeder}})'))  # fmt: skip
    known = computed("All known? 1 yes, 0 no", "yes/no", f'=IF(AND({{name}}<>"",COUNT({",".join(VALUES)})={len(VALUES)}),1,0)', "number0", 10)  # fmt: skip
    nitrate = computed("What its nitrate says", "words",
        f'=IF({{name}}="","",IF({{nitrate_n_ppm}}="","{ASK}",IF(MIN({{share_calf}},{{share_open}})<100,{HELD},"Tested for nitrate: it holds nothing back.")))', "small", 58)  # fmt: skip
    share_calf_a = _share("cows in calf", "1", CLEMSON, "Workings")
    share_calf_b = _share("cows in calf", "1", MIDWEST)
    share_calf = computed("The stricter, cows in calf", "% DM", "=MIN({share_calf_a},{share_calf_b})", "number0")
    share_open_a, share_open_b = _share("other cattle", "0", CLEMSON), _share("other cattle", "0", MIDWEST)
    share_open = computed("The stricter, other cattle", "% DM", "=MIN({share_open_a},{share_open_b})", "number0")


def fill(book: Book, season: Season) -> None:
    sheet = begin(book, "Hay to buy", "Hay that can be bought",
        "Type what is on offer, from its own lab sheet, dry basis. An empty price is the one on Hay pile; empty tons mean as much as you like.",
        "Inputs, then workings")  # fmt: skip
    offers = HayToBuy(sheet, [*season.offers, *[None] * SPARE_OFFERS]).place().filed("offers")
    sheet.printed_cols = offers.col(HayToBuy.nitrate) + 1
    sheet.put(
        offers.row_below + 1, offers.col(HayToBuy.name),
        "The hays shown first are invented. Ask for a lab sheet before you buy, nitrate too; the veterinarian has the last word on suspect hay.", "sentence",
    )  # fmt: skip
