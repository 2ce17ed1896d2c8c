# Made from the records by `python -m hayfuncs.generate`: change the records, not this file.
# mypy: disable-error-code="overload-overlap"
# pyright: reportOverlappingOverload=false
"""hayfuncs: hay lots, beef cows and supplement, as Python functions that are worksheet functions.

Each function of the catalogue is here under its name in lower case, behind the contract of
`hayfuncs.contract.blocks`: `hayfuncs.to_dry_basis(9.0, 90)` is `HAY.TO_DRY_BASIS(9.0, 90)` on a sheet.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, Literal, Protocol, TypeAlias, TypeVar, overload

import numpy as np
from numpy.typing import NDArray

from hayfuncs.contract.catalogue import CATALOGUE as CATALOGUE
from hayfuncs.contract.errors import BadInput as BadInput
from hayfuncs.contract.errors import HayError as HayError
from hayfuncs.contract.errors import NotInTable as NotInTable
from hayfuncs.contract.errors import OutOfRange as OutOfRange

__version__: str
__all__: list[str]

class _Array(Protocol):
    """What numpy can take as an array: arrays, masked arrays, columns of data frames."""

    def __array__(self, *args: Any, **kwargs: Any) -> NDArray[Any]: ...

class _Series(Protocol):
    """A column of a data frame, which comes back as one."""

    @property
    def name(self) -> Any: ...
    def to_numpy(self, *args: Any, **kwargs: Any) -> Any: ...

_S = TypeVar("_S", bound=_Series)
_Number: TypeAlias = float | Decimal | np.integer[Any] | np.floating[Any]
_Numbers: TypeAlias = _Array | Sequence[_Number | None] | Sequence[Sequence[_Number | None]]
_Words: TypeAlias = _Array | Sequence[str | None] | Sequence[Sequence[str | None]]
_Flag: TypeAlias = bool | float | np.bool
_Flags: TypeAlias = _Array | Sequence[_Flag | None] | Sequence[Sequence[_Flag | None]]
_Block: TypeAlias = _Array | Sequence[_Number | None] | Sequence[Sequence[_Number | None]]

def explain(name: str, *args: Any) -> str:
    """How a function comes to its answer: its arithmetic in figures, line by line, and its sources."""

def reason(function_name: str, *arguments: Any) -> Any:
    """Why a call is refused, in one sentence; empty where it is not; a block for blocks."""

@overload
def dry_matter(wet_weight: _Number, dry_weight: _Number, container_weight: _Number) -> float:
    """Dry matter of a sample by one oven drying."""
@overload
def dry_matter(wet_weight: _S | _Number, dry_weight: _S | _Number, container_weight: _S | _Number) -> _S: ...
@overload
def dry_matter(wet_weight: _Number | _Numbers, dry_weight: _Number | _Numbers, container_weight: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def dry_matter_two_step(partial_dm_pct: _Number, residual_dm_pct: _Number) -> float:
    """Total dry matter by the two-step method."""
@overload
def dry_matter_two_step(partial_dm_pct: _S | _Number, residual_dm_pct: _S | _Number) -> _S: ...
@overload
def dry_matter_two_step(partial_dm_pct: _Number | _Numbers, residual_dm_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def to_dry_basis(as_fed_value: _Number, dm_pct: _Number) -> float:
    """A lab value moved from as fed to dry basis."""
@overload
def to_dry_basis(as_fed_value: _S | _Number, dm_pct: _S | _Number) -> _S: ...
@overload
def to_dry_basis(as_fed_value: _Number | _Numbers, dm_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def to_as_fed_basis(dry_value: _Number, dm_pct: _Number) -> float:
    """A value moved from dry basis to as fed."""
@overload
def to_as_fed_basis(dry_value: _S | _Number, dm_pct: _S | _Number) -> _S: ...
@overload
def to_as_fed_basis(dry_value: _Number | _Numbers, dm_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def dry_weight(as_fed_weight: _Number, dm_pct: _Number) -> float:
    """Dry matter in an as-fed weight."""
@overload
def dry_weight(as_fed_weight: _S | _Number, dm_pct: _S | _Number) -> _S: ...
@overload
def dry_weight(as_fed_weight: _Number | _Numbers, dm_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def as_fed_weight(dry_weight: _Number, dm_pct: _Number) -> float:
    """As-fed weight that holds a wanted weight of dry matter."""
@overload
def as_fed_weight(dry_weight: _S | _Number, dm_pct: _S | _Number) -> _S: ...
@overload
def as_fed_weight(dry_weight: _Number | _Numbers, dm_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def protein_from_nitrogen(nitrogen_pct: _Number) -> float:
    """Crude protein from nitrogen."""
@overload
def protein_from_nitrogen(nitrogen_pct: _S | _Number) -> _S: ...
@overload
def protein_from_nitrogen(nitrogen_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

def weighted_mean(values: _Block, weights: _Block) -> float:
    """Mean of values counted by weight."""

@overload
def tdn_from_adf(adf_pct: _Number, equation: Literal['digestible dry matter', 'western alfalfa', 'legume net energy', 'grass net energy', 'corn silage'] | str = ...) -> float:
    """TDN of forage from acid detergent fiber (ADF)."""
@overload
def tdn_from_adf(adf_pct: _S | _Number, equation: _S | Literal['digestible dry matter', 'western alfalfa', 'legume net energy', 'grass net energy', 'corn silage'] | str = ...) -> _S: ...
@overload
def tdn_from_adf(adf_pct: _Number | _Numbers, equation: Literal['digestible dry matter', 'western alfalfa', 'legume net energy', 'grass net energy', 'corn silage'] | str | _Words = ...) -> NDArray[np.float64]: ...

@overload
def tdn_from_ndf_digestibility(cp_pct: _Number, fat_pct: _Number, ash_pct: _Number, ndf_pct: _Number, ndfd48_pct: _Number, forage: Literal['legume', 'grass', 'legume, whole NDF'] | str) -> float:
    """TDN of forage summed from its parts, with measured NDF digestibility."""
@overload
def tdn_from_ndf_digestibility(cp_pct: _S | _Number, fat_pct: _S | _Number, ash_pct: _S | _Number, ndf_pct: _S | _Number, ndfd48_pct: _S | _Number, forage: _S | Literal['legume', 'grass', 'legume, whole NDF'] | str) -> _S: ...
@overload
def tdn_from_ndf_digestibility(cp_pct: _Number | _Numbers, fat_pct: _Number | _Numbers, ash_pct: _Number | _Numbers, ndf_pct: _Number | _Numbers, ndfd48_pct: _Number | _Numbers, forage: Literal['legume', 'grass', 'legume, whole NDF'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def tdn_from_lignin(cp_pct: _Number, fat_pct: _Number, ash_pct: _Number, ndf_pct: _Number, ndicp_pct: _Number, adicp_pct: _Number, lignin_pct: _Number) -> float:
    """TDN of forage summed from its parts, with fiber digestion from lignin."""
@overload
def tdn_from_lignin(cp_pct: _S | _Number, fat_pct: _S | _Number, ash_pct: _S | _Number, ndf_pct: _S | _Number, ndicp_pct: _S | _Number, adicp_pct: _S | _Number, lignin_pct: _S | _Number) -> _S: ...
@overload
def tdn_from_lignin(cp_pct: _Number | _Numbers, fat_pct: _Number | _Numbers, ash_pct: _Number | _Numbers, ndf_pct: _Number | _Numbers, ndicp_pct: _Number | _Numbers, adicp_pct: _Number | _Numbers, lignin_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def me_from_tdn(tdn_pct: _Number) -> float:
    """Metabolizable energy from TDN."""
@overload
def me_from_tdn(tdn_pct: _S | _Number) -> _S: ...
@overload
def me_from_tdn(tdn_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def nem_from_tdn(tdn_pct: _Number) -> float:
    """Net energy for maintenance (NEm) from TDN."""
@overload
def nem_from_tdn(tdn_pct: _S | _Number) -> _S: ...
@overload
def nem_from_tdn(tdn_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def neg_from_tdn(tdn_pct: _Number) -> float:
    """Net energy for gain (NEg) from TDN."""
@overload
def neg_from_tdn(tdn_pct: _S | _Number) -> _S: ...
@overload
def neg_from_tdn(tdn_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def tdn_from_nem(nem_mcal_lb: _Number) -> float:
    """TDN from net energy for maintenance (NEm): NEM_FROM_TDN read backwards."""
@overload
def tdn_from_nem(nem_mcal_lb: _S | _Number) -> _S: ...
@overload
def tdn_from_nem(nem_mcal_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def relative_feed_value(adf_pct: _Number, ndf_pct: _Number) -> float:
    """Relative feed value (RFV)."""
@overload
def relative_feed_value(adf_pct: _S | _Number, ndf_pct: _S | _Number) -> _S: ...
@overload
def relative_feed_value(adf_pct: _Number | _Numbers, ndf_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def intake_for_rfq(forage: Literal['legume', 'grass'] | str, cp_pct: _Number, adf_pct: _Number, ndf_pct: _Number, ndfd48_pct: _Number, tdn_pct: _Number) -> float:
    """Dry matter intake inside relative forage quality (RFQ)."""
@overload
def intake_for_rfq(forage: _S | Literal['legume', 'grass'] | str, cp_pct: _S | _Number, adf_pct: _S | _Number, ndf_pct: _S | _Number, ndfd48_pct: _S | _Number, tdn_pct: _S | _Number) -> _S: ...
@overload
def intake_for_rfq(forage: Literal['legume', 'grass'] | str | _Words, cp_pct: _Number | _Numbers, adf_pct: _Number | _Numbers, ndf_pct: _Number | _Numbers, ndfd48_pct: _Number | _Numbers, tdn_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def relative_forage_quality(tdn_pct: _Number, intake_pct_bw: _Number) -> float:
    """Relative forage quality (RFQ)."""
@overload
def relative_forage_quality(tdn_pct: _S | _Number, intake_pct_bw: _S | _Number) -> _S: ...
@overload
def relative_forage_quality(tdn_pct: _Number | _Numbers, intake_pct_bw: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def intake_from_ndf(ndf_pct: _Number, body_weight_lb: _Number, ndf_capacity_pct_bw: _Number = ...) -> float:
    """Dry matter intake from fiber."""
@overload
def intake_from_ndf(ndf_pct: _S | _Number, body_weight_lb: _S | _Number, ndf_capacity_pct_bw: _S | _Number = ...) -> _S: ...
@overload
def intake_from_ndf(ndf_pct: _Number | _Numbers, body_weight_lb: _Number | _Numbers, ndf_capacity_pct_bw: _Number | _Numbers = ...) -> NDArray[np.float64]: ...

@overload
def intake_by_quality(tdn_pct: _Number, body_weight_lb: _Number, lactating: _Flag) -> float:
    """Dry matter intake by quality class."""
@overload
def intake_by_quality(tdn_pct: _S | _Number, body_weight_lb: _S | _Number, lactating: _S | _Flag) -> _S: ...
@overload
def intake_by_quality(tdn_pct: _Number | _Numbers, body_weight_lb: _Number | _Numbers, lactating: _Flag | _Flags) -> NDArray[np.float64]: ...

@overload
def intake_from_nem(nem_mcal_lb: _Number, shrunk_weight_lb: _Number, milk_lb: _Number, pregnant: _Flag) -> float:
    """Dry matter intake of a beef cow from the energy of her diet."""
@overload
def intake_from_nem(nem_mcal_lb: _S | _Number, shrunk_weight_lb: _S | _Number, milk_lb: _S | _Number, pregnant: _S | _Flag) -> _S: ...
@overload
def intake_from_nem(nem_mcal_lb: _Number | _Numbers, shrunk_weight_lb: _Number | _Numbers, milk_lb: _Number | _Numbers, pregnant: _Flag | _Flags) -> NDArray[np.float64]: ...

@overload
def shrunk_weight(body_weight_lb: _Number, shrink_pct: _Number) -> float:
    """Weight without the fill of the gut."""
@overload
def shrunk_weight(body_weight_lb: _S | _Number, shrink_pct: _S | _Number) -> _S: ...
@overload
def shrunk_weight(body_weight_lb: _Number | _Numbers, shrink_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def milk_yield(peak_milk_lb: _Number, weeks_since_calving: _Number) -> float:
    """Milk a day along the lactation."""
@overload
def milk_yield(peak_milk_lb: _S | _Number, weeks_since_calving: _S | _Number) -> _S: ...
@overload
def milk_yield(peak_milk_lb: _Number | _Numbers, weeks_since_calving: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def nem_for_maintenance(shrunk_weight_lb: _Number, lactating: _Flag) -> float:
    """Net energy for maintenance."""
@overload
def nem_for_maintenance(shrunk_weight_lb: _S | _Number, lactating: _S | _Flag) -> _S: ...
@overload
def nem_for_maintenance(shrunk_weight_lb: _Number | _Numbers, lactating: _Flag | _Flags) -> NDArray[np.float64]: ...

@overload
def nem_for_milk(milk_lb: _Number) -> float:
    """Net energy for milk."""
@overload
def nem_for_milk(milk_lb: _S | _Number) -> _S: ...
@overload
def nem_for_milk(milk_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def nem_for_pregnancy(calf_weight_lb: _Number, days_pregnant: _Number) -> float:
    """Net energy for pregnancy."""
@overload
def nem_for_pregnancy(calf_weight_lb: _S | _Number, days_pregnant: _S | _Number) -> _S: ...
@overload
def nem_for_pregnancy(calf_weight_lb: _Number | _Numbers, days_pregnant: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def daily_need(nutrient: Literal['DM', 'TDN', 'CP', 'NEm', 'MP', 'Ca', 'P'] | str, shrunk_weight_lb: _Number, month_since_calving: _Number, peak_milk_lb: _Number, calf_weight_lb: _Number) -> float:
    """A cow's need a day by month since calving."""
@overload
def daily_need(nutrient: _S | Literal['DM', 'TDN', 'CP', 'NEm', 'MP', 'Ca', 'P'] | str, shrunk_weight_lb: _S | _Number, month_since_calving: _S | _Number, peak_milk_lb: _S | _Number, calf_weight_lb: _S | _Number) -> _S: ...
@overload
def daily_need(nutrient: Literal['DM', 'TDN', 'CP', 'NEm', 'MP', 'Ca', 'P'] | str | _Words, shrunk_weight_lb: _Number | _Numbers, month_since_calving: _Number | _Numbers, peak_milk_lb: _Number | _Numbers, calf_weight_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def need_density(nutrient: Literal['TDN', 'CP', 'Ca', 'P'] | str, shrunk_weight_lb: _Number, month_since_calving: _Number, peak_milk_lb: _Number, calf_weight_lb: _Number) -> float:
    """How dense a cow's diet must be."""
@overload
def need_density(nutrient: _S | Literal['TDN', 'CP', 'Ca', 'P'] | str, shrunk_weight_lb: _S | _Number, month_since_calving: _S | _Number, peak_milk_lb: _S | _Number, calf_weight_lb: _S | _Number) -> _S: ...
@overload
def need_density(nutrient: Literal['TDN', 'CP', 'Ca', 'P'] | str | _Words, shrunk_weight_lb: _Number | _Numbers, month_since_calving: _Number | _Numbers, peak_milk_lb: _Number | _Numbers, calf_weight_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def need_by_stage(nutrient: Literal['TDN', 'CP'] | str, stage: Literal['mid pregnancy', 'late pregnancy', 'lactation'] | str) -> float:
    """The rule of thumb for a cow's diet by stage."""
@overload
def need_by_stage(nutrient: _S | Literal['TDN', 'CP'] | str, stage: _S | Literal['mid pregnancy', 'late pregnancy', 'lactation'] | str) -> _S: ...
@overload
def need_by_stage(nutrient: Literal['TDN', 'CP'] | str | _Words, stage: Literal['mid pregnancy', 'late pregnancy', 'lactation'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def need_from_table(row_name: str, nutrient: Literal['DM lb', 'TDN lb', 'TDN %', 'CP lb', 'CP %', 'Ca %', 'P %'] | str) -> float:
    """A need as a published source states it."""
@overload
def need_from_table(row_name: _S | str, nutrient: _S | Literal['DM lb', 'TDN lb', 'TDN %', 'CP lb', 'CP %', 'Ca %', 'P %'] | str) -> _S: ...
@overload
def need_from_table(row_name: str | _Words, nutrient: Literal['DM lb', 'TDN lb', 'TDN %', 'CP lb', 'CP %', 'Ca %', 'P %'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def effective_temperature(air_temp_f: _Number, wind_mph: _Number) -> float:
    """Temperature with wind chill, by the crude rule."""
@overload
def effective_temperature(air_temp_f: _S | _Number, wind_mph: _S | _Number) -> _S: ...
@overload
def effective_temperature(air_temp_f: _Number | _Numbers, wind_mph: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def cold_increase(effective_temp_f: _Number, coat: Literal['wet', 'summer', 'fall', 'winter', 'heavy winter'] | str) -> float:
    """Extra energy for cold."""
@overload
def cold_increase(effective_temp_f: _S | _Number, coat: _S | Literal['wet', 'summer', 'fall', 'winter', 'heavy winter'] | str) -> _S: ...
@overload
def cold_increase(effective_temp_f: _Number | _Numbers, coat: Literal['wet', 'summer', 'fall', 'winter', 'heavy winter'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def condition_weight(weight_at_5_lb: _Number, score: _Number) -> float:
    """Weight at a condition score."""
@overload
def condition_weight(weight_at_5_lb: _S | _Number, score: _S | _Number) -> _S: ...
@overload
def condition_weight(weight_at_5_lb: _Number | _Numbers, score: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def condition_energy(weight_at_5_lb: _Number, from_score: _Number, to_score: _Number) -> float:
    """Energy between two condition scores."""
@overload
def condition_energy(weight_at_5_lb: _S | _Number, from_score: _S | _Number, to_score: _S | _Number) -> _S: ...
@overload
def condition_energy(weight_at_5_lb: _Number | _Numbers, from_score: _Number | _Numbers, to_score: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def condition_days(weight_at_5_lb: _Number, from_score: _Number, to_score: _Number, surplus_nem_mcal: _Number) -> float:
    """Days to a higher condition score."""
@overload
def condition_days(weight_at_5_lb: _S | _Number, from_score: _S | _Number, to_score: _S | _Number, surplus_nem_mcal: _S | _Number) -> _S: ...
@overload
def condition_days(weight_at_5_lb: _Number | _Numbers, from_score: _Number | _Numbers, to_score: _Number | _Numbers, surplus_nem_mcal: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def need_for_condition(weight_at_5_lb: _Number, from_score: _Number, to_score: _Number, days: _Number, diet_tdn_pct: _Number) -> float:
    """TDN that puts condition on."""
@overload
def need_for_condition(weight_at_5_lb: _S | _Number, from_score: _S | _Number, to_score: _S | _Number, days: _S | _Number, diet_tdn_pct: _S | _Number) -> _S: ...
@overload
def need_for_condition(weight_at_5_lb: _Number | _Numbers, from_score: _Number | _Numbers, to_score: _Number | _Numbers, days: _Number | _Numbers, diet_tdn_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def condition_after(weight_at_5_lb: _Number, score: _Number, tdn_balance_lb: _Number, diet_tdn_pct: _Number, days: _Number) -> float:
    """Condition score after a while on a diet."""
@overload
def condition_after(weight_at_5_lb: _S | _Number, score: _S | _Number, tdn_balance_lb: _S | _Number, diet_tdn_pct: _S | _Number, days: _S | _Number) -> _S: ...
@overload
def condition_after(weight_at_5_lb: _Number | _Numbers, score: _Number | _Numbers, tdn_balance_lb: _Number | _Numbers, diet_tdn_pct: _Number | _Numbers, days: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def target_weight(mature_weight_lb: _Number, point: Literal['breeding', 'first calving', 'second calving', 'third calving'] | str) -> float:
    """Target weight of a heifer."""
@overload
def target_weight(mature_weight_lb: _S | _Number, point: _S | Literal['breeding', 'first calving', 'second calving', 'third calving'] | str) -> _S: ...
@overload
def target_weight(mature_weight_lb: _Number | _Numbers, point: Literal['breeding', 'first calving', 'second calving', 'third calving'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def growing_intake(cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _Number, tdn_pct: _Number) -> float:
    """Dry matter intake of growing cattle."""
@overload
def growing_intake(cattle_class: _S | Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _S | _Number, tdn_pct: _S | _Number) -> _S: ...
@overload
def growing_intake(cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str | _Words, shrunk_weight_lb: _Number | _Numbers, tdn_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def gain_on_diet(cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _Number, dm_intake_lb: _Number, tdn_pct: _Number, mature_shrunk_lb: _Number) -> float:
    """Gain on a diet."""
@overload
def gain_on_diet(cattle_class: _S | Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _S | _Number, dm_intake_lb: _S | _Number, tdn_pct: _S | _Number, mature_shrunk_lb: _S | _Number) -> _S: ...
@overload
def gain_on_diet(cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str | _Words, shrunk_weight_lb: _Number | _Numbers, dm_intake_lb: _Number | _Numbers, tdn_pct: _Number | _Numbers, mature_shrunk_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def growing_need(nutrient: Literal['DM', 'TDN', 'CP', 'NEm', 'NEg', 'MP', 'Ca', 'P'] | str, cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _Number, gain_lb: _Number, mature_shrunk_lb: _Number) -> float:
    """What growing cattle need a day for a wanted gain."""
@overload
def growing_need(nutrient: _S | Literal['DM', 'TDN', 'CP', 'NEm', 'NEg', 'MP', 'Ca', 'P'] | str, cattle_class: _S | Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _S | _Number, gain_lb: _S | _Number, mature_shrunk_lb: _S | _Number) -> _S: ...
@overload
def growing_need(nutrient: Literal['DM', 'TDN', 'CP', 'NEm', 'NEg', 'MP', 'Ca', 'P'] | str | _Words, cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str | _Words, shrunk_weight_lb: _Number | _Numbers, gain_lb: _Number | _Numbers, mature_shrunk_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def growing_density(nutrient: Literal['TDN', 'CP', 'Ca', 'P'] | str, cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _Number, gain_lb: _Number, mature_shrunk_lb: _Number) -> float:
    """How dense the diet of growing cattle must be."""
@overload
def growing_density(nutrient: _S | Literal['TDN', 'CP', 'Ca', 'P'] | str, cattle_class: _S | Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str, shrunk_weight_lb: _S | _Number, gain_lb: _S | _Number, mature_shrunk_lb: _S | _Number) -> _S: ...
@overload
def growing_density(nutrient: Literal['TDN', 'CP', 'Ca', 'P'] | str | _Words, cattle_class: Literal['heifer calf', 'steer calf', 'bull calf', 'yearling heifer', 'yearling steer', 'yearling bull'] | str | _Words, shrunk_weight_lb: _Number | _Numbers, gain_lb: _Number | _Numbers, mature_shrunk_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def young_cow_milk(grown_peak_milk_lb: _Number, calf: Literal['first', 'second', 'later'] | str) -> float:
    """Milk of a young cow."""
@overload
def young_cow_milk(grown_peak_milk_lb: _S | _Number, calf: _S | Literal['first', 'second', 'later'] | str) -> _S: ...
@overload
def young_cow_milk(grown_peak_milk_lb: _Number | _Numbers, calf: Literal['first', 'second', 'later'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def heifer_need(nutrient: Literal['DM', 'TDN', 'CP', 'NEm', 'NEg', 'MP', 'Ca', 'P'] | str, mature_shrunk_lb: _Number, shrunk_weight_lb: _Number, gain_lb: _Number, month_since_calving: _Number, peak_milk_lb: _Number, calf_birth_weight_lb: _Number) -> float:
    """What a bred heifer, a first-calf or a second-calf cow needs a day."""
@overload
def heifer_need(nutrient: _S | Literal['DM', 'TDN', 'CP', 'NEm', 'NEg', 'MP', 'Ca', 'P'] | str, mature_shrunk_lb: _S | _Number, shrunk_weight_lb: _S | _Number, gain_lb: _S | _Number, month_since_calving: _S | _Number, peak_milk_lb: _S | _Number, calf_birth_weight_lb: _S | _Number) -> _S: ...
@overload
def heifer_need(nutrient: Literal['DM', 'TDN', 'CP', 'NEm', 'NEg', 'MP', 'Ca', 'P'] | str | _Words, mature_shrunk_lb: _Number | _Numbers, shrunk_weight_lb: _Number | _Numbers, gain_lb: _Number | _Numbers, month_since_calving: _Number | _Numbers, peak_milk_lb: _Number | _Numbers, calf_birth_weight_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def heifer_density(nutrient: Literal['TDN', 'CP', 'Ca', 'P'] | str, mature_shrunk_lb: _Number, shrunk_weight_lb: _Number, gain_lb: _Number, month_since_calving: _Number, peak_milk_lb: _Number, calf_birth_weight_lb: _Number) -> float:
    """How dense the diet of a bred heifer or a young cow must be."""
@overload
def heifer_density(nutrient: _S | Literal['TDN', 'CP', 'Ca', 'P'] | str, mature_shrunk_lb: _S | _Number, shrunk_weight_lb: _S | _Number, gain_lb: _S | _Number, month_since_calving: _S | _Number, peak_milk_lb: _S | _Number, calf_birth_weight_lb: _S | _Number) -> _S: ...
@overload
def heifer_density(nutrient: Literal['TDN', 'CP', 'Ca', 'P'] | str | _Words, mature_shrunk_lb: _Number | _Numbers, shrunk_weight_lb: _Number | _Numbers, gain_lb: _Number | _Numbers, month_since_calving: _Number | _Numbers, peak_milk_lb: _Number | _Numbers, calf_birth_weight_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def nutrient_short(need_lb: _Number, hay_dm_lb: _Number, hay_pct: _Number) -> float:
    """Pounds of a nutrient that the hay leaves missing."""
@overload
def nutrient_short(need_lb: _S | _Number, hay_dm_lb: _S | _Number, hay_pct: _S | _Number) -> _S: ...
@overload
def nutrient_short(need_lb: _Number | _Numbers, hay_dm_lb: _Number | _Numbers, hay_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def supplement_for_pounds(need_lb: _Number, hay_dm_lb: _Number, hay_pct: _Number, feed_pct: _Number, hay_displaced: _Number) -> float:
    """Supplement that brings the missing pounds of one nutrient."""
@overload
def supplement_for_pounds(need_lb: _S | _Number, hay_dm_lb: _S | _Number, hay_pct: _S | _Number, feed_pct: _S | _Number, hay_displaced: _S | _Number) -> _S: ...
@overload
def supplement_for_pounds(need_lb: _Number | _Numbers, hay_dm_lb: _Number | _Numbers, hay_pct: _Number | _Numbers, feed_pct: _Number | _Numbers, hay_displaced: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def supplement_for_share(target_pct: _Number, hay_dm_lb: _Number, hay_pct: _Number, feed_pct: _Number) -> float:
    """Supplement that lifts the whole diet to a target share of one nutrient."""
@overload
def supplement_for_share(target_pct: _S | _Number, hay_dm_lb: _S | _Number, hay_pct: _S | _Number, feed_pct: _S | _Number) -> _S: ...
@overload
def supplement_for_share(target_pct: _Number | _Numbers, hay_dm_lb: _Number | _Numbers, hay_pct: _Number | _Numbers, feed_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def supplement_rate(basis: Literal['pounds', 'share'] | str, tdn_need: _Number, cp_need: _Number, hay_dm_lb: _Number, hay_tdn_pct: _Number, hay_cp_pct: _Number, feed_tdn_pct: _Number, feed_cp_pct: _Number, feed_dm_pct: _Number, hay_displaced: _Number) -> float:
    """Supplement as fed that covers both TDN and protein."""
@overload
def supplement_rate(basis: _S | Literal['pounds', 'share'] | str, tdn_need: _S | _Number, cp_need: _S | _Number, hay_dm_lb: _S | _Number, hay_tdn_pct: _S | _Number, hay_cp_pct: _S | _Number, feed_tdn_pct: _S | _Number, feed_cp_pct: _S | _Number, feed_dm_pct: _S | _Number, hay_displaced: _S | _Number) -> _S: ...
@overload
def supplement_rate(basis: Literal['pounds', 'share'] | str | _Words, tdn_need: _Number | _Numbers, cp_need: _Number | _Numbers, hay_dm_lb: _Number | _Numbers, hay_tdn_pct: _Number | _Numbers, hay_cp_pct: _Number | _Numbers, feed_tdn_pct: _Number | _Numbers, feed_cp_pct: _Number | _Numbers, feed_dm_pct: _Number | _Numbers, hay_displaced: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def supplement_driver(basis: Literal['pounds', 'share'] | str, tdn_need: _Number, cp_need: _Number, hay_dm_lb: _Number, hay_tdn_pct: _Number, hay_cp_pct: _Number, feed_tdn_pct: _Number, feed_cp_pct: _Number, feed_dm_pct: _Number, hay_displaced: _Number) -> str:
    """Which nutrient sets the supplement's rate."""
@overload
def supplement_driver(basis: _S | Literal['pounds', 'share'] | str, tdn_need: _S | _Number, cp_need: _S | _Number, hay_dm_lb: _S | _Number, hay_tdn_pct: _S | _Number, hay_cp_pct: _S | _Number, feed_tdn_pct: _S | _Number, feed_cp_pct: _S | _Number, feed_dm_pct: _S | _Number, hay_displaced: _S | _Number) -> _S: ...
@overload
def supplement_driver(basis: Literal['pounds', 'share'] | str | _Words, tdn_need: _Number | _Numbers, cp_need: _Number | _Numbers, hay_dm_lb: _Number | _Numbers, hay_tdn_pct: _Number | _Numbers, hay_cp_pct: _Number | _Numbers, feed_tdn_pct: _Number | _Numbers, feed_cp_pct: _Number | _Numbers, feed_dm_pct: _Number | _Numbers, hay_displaced: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def pearson_share(first_pct: _Number, second_pct: _Number, target_pct: _Number) -> float:
    """Share of the first of two feeds in a mix (the Pearson square)."""
@overload
def pearson_share(first_pct: _S | _Number, second_pct: _S | _Number, target_pct: _S | _Number) -> _S: ...
@overload
def pearson_share(first_pct: _Number | _Numbers, second_pct: _Number | _Numbers, target_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def feed_analysis(feed_name: str, column: Literal['DM', 'TDN', 'CP', 'NDF', 'fat', 'Ca', 'P', 'S'] | str) -> float:
    """One value of a supplement from the feed table."""
@overload
def feed_analysis(feed_name: _S | str, column: _S | Literal['DM', 'TDN', 'CP', 'NDF', 'fat', 'Ca', 'P', 'S'] | str) -> _S: ...
@overload
def feed_analysis(feed_name: str | _Words, column: Literal['DM', 'TDN', 'CP', 'NDF', 'fat', 'Ca', 'P', 'S'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def feed_caution(feed_name: str, rate_lb: _Number, body_weight_lb: _Number) -> str:
    """Cautions for a feed at a daily rate."""
@overload
def feed_caution(feed_name: _S | str, rate_lb: _S | _Number, body_weight_lb: _S | _Number) -> _S: ...
@overload
def feed_caution(feed_name: str | _Words, rate_lb: _Number | _Numbers, body_weight_lb: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def tdn_margin(equation: Literal['digestible dry matter', 'western alfalfa', 'legume net energy', 'grass net energy', 'corn silage'] | str, adf_margin: _Number, equation_margin: _Number) -> float:
    """How far a TDN by ADF may be off."""
@overload
def tdn_margin(equation: _S | Literal['digestible dry matter', 'western alfalfa', 'legume net energy', 'grass net energy', 'corn silage'] | str, adf_margin: _S | _Number, equation_margin: _S | _Number) -> _S: ...
@overload
def tdn_margin(equation: Literal['digestible dry matter', 'western alfalfa', 'legume net energy', 'grass net energy', 'corn silage'] | str | _Words, adf_margin: _Number | _Numbers, equation_margin: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def tdn_sum_margin(ndf_pct: _Number, ndfd48_pct: _Number, forage: Literal['legume', 'grass', 'legume, whole NDF'] | str, cp_margin: _Number, ndf_margin: _Number, ndfd_margin: _Number, equation_margin: _Number) -> float:
    """How far a TDN summed from NDF digestibility may be off."""
@overload
def tdn_sum_margin(ndf_pct: _S | _Number, ndfd48_pct: _S | _Number, forage: _S | Literal['legume', 'grass', 'legume, whole NDF'] | str, cp_margin: _S | _Number, ndf_margin: _S | _Number, ndfd_margin: _S | _Number, equation_margin: _S | _Number) -> _S: ...
@overload
def tdn_sum_margin(ndf_pct: _Number | _Numbers, ndfd48_pct: _Number | _Numbers, forage: Literal['legume', 'grass', 'legume, whole NDF'] | str | _Words, cp_margin: _Number | _Numbers, ndf_margin: _Number | _Numbers, ndfd_margin: _Number | _Numbers, equation_margin: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def supplement_margin(basis: Literal['pounds', 'share'] | str, tdn_need: _Number, cp_need: _Number, hay_dm_lb: _Number, hay_tdn_pct: _Number, hay_cp_pct: _Number, feed_tdn_pct: _Number, feed_cp_pct: _Number, feed_dm_pct: _Number, hay_displaced: _Number, hay_tdn_margin: _Number, hay_cp_margin: _Number, feed_tdn_margin: _Number, feed_cp_margin: _Number) -> float:
    """How many pounds the supplement may be off."""
@overload
def supplement_margin(basis: _S | Literal['pounds', 'share'] | str, tdn_need: _S | _Number, cp_need: _S | _Number, hay_dm_lb: _S | _Number, hay_tdn_pct: _S | _Number, hay_cp_pct: _S | _Number, feed_tdn_pct: _S | _Number, feed_cp_pct: _S | _Number, feed_dm_pct: _S | _Number, hay_displaced: _S | _Number, hay_tdn_margin: _S | _Number, hay_cp_margin: _S | _Number, feed_tdn_margin: _S | _Number, feed_cp_margin: _S | _Number) -> _S: ...
@overload
def supplement_margin(basis: Literal['pounds', 'share'] | str | _Words, tdn_need: _Number | _Numbers, cp_need: _Number | _Numbers, hay_dm_lb: _Number | _Numbers, hay_tdn_pct: _Number | _Numbers, hay_cp_pct: _Number | _Numbers, feed_tdn_pct: _Number | _Numbers, feed_cp_pct: _Number | _Numbers, feed_dm_pct: _Number | _Numbers, hay_displaced: _Number | _Numbers, hay_tdn_margin: _Number | _Numbers, hay_cp_margin: _Number | _Numbers, feed_tdn_margin: _Number | _Numbers, feed_cp_margin: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def close_call(need: _Number, have: _Number, margin: _Number) -> str:
    """A verdict with three answers."""
@overload
def close_call(need: _S | _Number, have: _S | _Number, margin: _S | _Number) -> _S: ...
@overload
def close_call(need: _Number | _Numbers, have: _Number | _Numbers, margin: _Number | _Numbers) -> NDArray[np.object_]: ...

def cheapest_mix(feeds: _Block, needs: _Block, limits: _Block) -> NDArray[np.float64]:
    """The cheapest mix of feeds, for one lot of hay or for many in one call."""

@overload
def price_per_dry_ton(price_per_ton: _Number, dm_pct: _Number) -> float:
    """Price of a ton of dry matter."""
@overload
def price_per_dry_ton(price_per_ton: _S | _Number, dm_pct: _S | _Number) -> _S: ...
@overload
def price_per_dry_ton(price_per_ton: _Number | _Numbers, dm_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def cost_per_lb_nutrient(price_per_ton: _Number, dm_pct: _Number, nutrient_pct: _Number) -> float:
    """Cost of one pound of a nutrient."""
@overload
def cost_per_lb_nutrient(price_per_ton: _S | _Number, dm_pct: _S | _Number, nutrient_pct: _S | _Number) -> _S: ...
@overload
def cost_per_lb_nutrient(price_per_ton: _Number | _Numbers, dm_pct: _Number | _Numbers, nutrient_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def break_even_price(price_per_ton: _Number, dm_pct: _Number, nutrient_pct: _Number, other_dm_pct: _Number, other_nutrient_pct: _Number) -> float:
    """Price at which another feed is worth the same per pound of a nutrient."""
@overload
def break_even_price(price_per_ton: _S | _Number, dm_pct: _S | _Number, nutrient_pct: _S | _Number, other_dm_pct: _S | _Number, other_nutrient_pct: _S | _Number) -> _S: ...
@overload
def break_even_price(price_per_ton: _Number | _Numbers, dm_pct: _Number | _Numbers, nutrient_pct: _Number | _Numbers, other_dm_pct: _Number | _Numbers, other_nutrient_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def bale_price_per_ton(price_per_bale: _Number, bale_weight_lb: _Number) -> float:
    """Price per ton of hay sold by the bale."""
@overload
def bale_price_per_ton(price_per_bale: _S | _Number, bale_weight_lb: _S | _Number) -> _S: ...
@overload
def bale_price_per_ton(price_per_bale: _Number | _Numbers, bale_weight_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def hay_cost(hay_lb: _Number, price_per_ton: _Number) -> float:
    """Cost of a weight of hay."""
@overload
def hay_cost(hay_lb: _S | _Number, price_per_ton: _S | _Number) -> _S: ...
@overload
def hay_cost(hay_lb: _Number | _Numbers, price_per_ton: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def round_bale_weight(diameter_ft: _Number, width_ft: _Number, density_lb_ft3: _Number) -> float:
    """Weight of a round bale."""
@overload
def round_bale_weight(diameter_ft: _S | _Number, width_ft: _S | _Number, density_lb_ft3: _S | _Number) -> _S: ...
@overload
def round_bale_weight(diameter_ft: _Number | _Numbers, width_ft: _Number | _Numbers, density_lb_ft3: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def square_bale_weight(height_ft: _Number, width_ft: _Number, length_ft: _Number, density_lb_ft3: _Number) -> float:
    """Weight of a rectangular bale."""
@overload
def square_bale_weight(height_ft: _S | _Number, width_ft: _S | _Number, length_ft: _S | _Number, density_lb_ft3: _S | _Number) -> _S: ...
@overload
def square_bale_weight(height_ft: _Number | _Numbers, width_ft: _Number | _Numbers, length_ft: _Number | _Numbers, density_lb_ft3: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def hay_needed(head: _Number, intake_dm_lb: _Number, days: _Number, dm_pct: _Number, storage_loss_pct: _Number, feeding_loss_pct: _Number) -> float:
    """Hay needed at storing."""
@overload
def hay_needed(head: _S | _Number, intake_dm_lb: _S | _Number, days: _S | _Number, dm_pct: _S | _Number, storage_loss_pct: _S | _Number, feeding_loss_pct: _S | _Number) -> _S: ...
@overload
def hay_needed(head: _Number | _Numbers, intake_dm_lb: _Number | _Numbers, days: _Number | _Numbers, dm_pct: _Number | _Numbers, storage_loss_pct: _Number | _Numbers, feeding_loss_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def bales_needed(hay_needed_lb: _Number, bale_weight_lb: _Number) -> float:
    """Whole bales needed."""
@overload
def bales_needed(hay_needed_lb: _S | _Number, bale_weight_lb: _S | _Number) -> _S: ...
@overload
def bales_needed(hay_needed_lb: _Number | _Numbers, bale_weight_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def days_of_hay(hay_lb: _Number, dm_pct: _Number, storage_loss_pct: _Number, feeding_loss_pct: _Number, head: _Number, intake_dm_lb: _Number) -> float:
    """Days the hay lasts."""
@overload
def days_of_hay(hay_lb: _S | _Number, dm_pct: _S | _Number, storage_loss_pct: _S | _Number, feeding_loss_pct: _S | _Number, head: _S | _Number, intake_dm_lb: _S | _Number) -> _S: ...
@overload
def days_of_hay(hay_lb: _Number | _Numbers, dm_pct: _Number | _Numbers, storage_loss_pct: _Number | _Numbers, feeding_loss_pct: _Number | _Numbers, head: _Number | _Numbers, intake_dm_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def storage_loss(method: str) -> float:
    """Dry matter lost in storage."""
@overload
def storage_loss(method: _S | str) -> _S: ...
@overload
def storage_loss(method: str | _Words) -> NDArray[np.float64]: ...

@overload
def feeding_loss(feeder: str) -> float:
    """Hay wasted at feeding."""
@overload
def feeding_loss(feeder: _S | str) -> _S: ...
@overload
def feeding_loss(feeder: str | _Words) -> NDArray[np.float64]: ...

@overload
def weathered_share(diameter_ft: _Number, layer_in: _Number) -> float:
    """Share of a round bale in its weathered layer."""
@overload
def weathered_share(diameter_ft: _S | _Number, layer_in: _S | _Number) -> _S: ...
@overload
def weathered_share(diameter_ft: _Number | _Numbers, layer_in: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def hay_on_hand(bales: _Number, bale_weight_lb: _Number, storage_loss_pct: _Number, feeding_loss_pct: _Number) -> float:
    """Hay of a lot that reaches the cow."""
@overload
def hay_on_hand(bales: _S | _Number, bale_weight_lb: _S | _Number, storage_loss_pct: _S | _Number, feeding_loss_pct: _S | _Number) -> _S: ...
@overload
def hay_on_hand(bales: _Number | _Numbers, bale_weight_lb: _Number | _Numbers, storage_loss_pct: _Number | _Numbers, feeding_loss_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def hay_short(hay_needed_lb: _Number, hay_lb: _Number) -> float:
    """Hay that is missing."""
@overload
def hay_short(hay_needed_lb: _S | _Number, hay_lb: _S | _Number) -> _S: ...
@overload
def hay_short(hay_needed_lb: _Number | _Numbers, hay_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def hay_wasted(head: _Number, intake_dm_lb: _Number, days: _Number, dm_pct: _Number, feeding_loss_pct: _Number) -> float:
    """Hay wasted at a feeder."""
@overload
def hay_wasted(head: _S | _Number, intake_dm_lb: _S | _Number, days: _S | _Number, dm_pct: _S | _Number, feeding_loss_pct: _S | _Number) -> _S: ...
@overload
def hay_wasted(head: _Number | _Numbers, intake_dm_lb: _Number | _Numbers, days: _Number | _Numbers, dm_pct: _Number | _Numbers, feeding_loss_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def sampling_margin(core_sd: _Number, cores: _Number, confidence_pct: _Number) -> float:
    """Margin that sampling leaves on a lot's result."""
@overload
def sampling_margin(core_sd: _S | _Number, cores: _S | _Number, confidence_pct: _S | _Number) -> _S: ...
@overload
def sampling_margin(core_sd: _Number | _Numbers, cores: _Number | _Numbers, confidence_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def cores_for_margin(core_sd: _Number, margin: _Number, confidence_pct: _Number) -> float:
    """Cores to take for a wanted margin."""
@overload
def cores_for_margin(core_sd: _S | _Number, margin: _S | _Number, confidence_pct: _S | _Number) -> _S: ...
@overload
def cores_for_margin(core_sd: _Number | _Numbers, margin: _Number | _Numbers, confidence_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def margin_with_lab_error(core_sd: _Number, cores: _Number, lab_sd: _Number, analyses: _Number, confidence_pct: _Number) -> float:
    """Margin from sampling and the laboratory together."""
@overload
def margin_with_lab_error(core_sd: _S | _Number, cores: _S | _Number, lab_sd: _S | _Number, analyses: _S | _Number, confidence_pct: _S | _Number) -> _S: ...
@overload
def margin_with_lab_error(core_sd: _Number | _Numbers, cores: _Number | _Numbers, lab_sd: _Number | _Numbers, analyses: _Number | _Numbers, confidence_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def bale_to_core(core: _Number, cores: _Number, bales: _Number) -> float:
    """Which bale a core comes from."""
@overload
def bale_to_core(core: _S | _Number, cores: _S | _Number, bales: _S | _Number) -> _S: ...
@overload
def bale_to_core(core: _Number | _Numbers, cores: _Number | _Numbers, bales: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def lot_notes(lot_tons: _Number, baling_hours: _Number, cores: _Number) -> str:
    """Notes on how a lot was made and sampled."""
@overload
def lot_notes(lot_tons: _S | _Number, baling_hours: _S | _Number, cores: _S | _Number) -> _S: ...
@overload
def lot_notes(lot_tons: _Number | _Numbers, baling_hours: _Number | _Numbers, cores: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def lab_notes(dm_pct: _Number, cp_pct: _Number, adf_pct: _Number, ndf_pct: _Number, ash_pct: _Number, fat_pct: _Number, forage: Literal['grass', 'legume', 'mixed'] | str) -> str:
    """Notes on a lab sheet."""
@overload
def lab_notes(dm_pct: _S | _Number, cp_pct: _S | _Number, adf_pct: _S | _Number, ndf_pct: _S | _Number, ash_pct: _S | _Number, fat_pct: _S | _Number, forage: _S | Literal['grass', 'legume', 'mixed'] | str) -> _S: ...
@overload
def lab_notes(dm_pct: _Number | _Numbers, cp_pct: _Number | _Numbers, adf_pct: _Number | _Numbers, ndf_pct: _Number | _Numbers, ash_pct: _Number | _Numbers, fat_pct: _Number | _Numbers, forage: Literal['grass', 'legume', 'mixed'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def lab_tolerance(measure: str, same_lab: _Flag) -> float:
    """Usual error of a laboratory's value."""
@overload
def lab_tolerance(measure: _S | str, same_lab: _S | _Flag) -> _S: ...
@overload
def lab_tolerance(measure: str | _Words, same_lab: _Flag | _Flags) -> NDArray[np.float64]: ...

@overload
def lab_difference_note(measure: str, first_value: _Number, second_value: _Number, same_lab: _Flag) -> str:
    """Two values of one sample, compared."""
@overload
def lab_difference_note(measure: _S | str, first_value: _S | _Number, second_value: _S | _Number, same_lab: _S | _Flag) -> _S: ...
@overload
def lab_difference_note(measure: str | _Words, first_value: _Number | _Numbers, second_value: _Number | _Numbers, same_lab: _Flag | _Flags) -> NDArray[np.object_]: ...

@overload
def class_limit(index_value: _Number, index: Literal['RFV', 'RFQ'] | str, class_end: Literal['low', 'high'] | str) -> float:
    """End of the class an index stands for."""
@overload
def class_limit(index_value: _S | _Number, index: _S | Literal['RFV', 'RFQ'] | str, class_end: _S | Literal['low', 'high'] | str) -> _S: ...
@overload
def class_limit(index_value: _Number | _Numbers, index: Literal['RFV', 'RFQ'] | str | _Words, class_end: Literal['low', 'high'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def heat_damage_share(cp_pct: _Number, adicp_pct: _Number) -> float:
    """Heat-bound share of the protein."""
@overload
def heat_damage_share(cp_pct: _S | _Number, adicp_pct: _S | _Number) -> _S: ...
@overload
def heat_damage_share(cp_pct: _Number | _Numbers, adicp_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def available_protein(cp_pct: _Number, adicp_pct: _Number, rule: Literal['stepped', 'above ten percent', 'all of it'] | str = ...) -> float:
    """Protein left after heat."""
@overload
def available_protein(cp_pct: _S | _Number, adicp_pct: _S | _Number, rule: _S | Literal['stepped', 'above ten percent', 'all of it'] | str = ...) -> _S: ...
@overload
def available_protein(cp_pct: _Number | _Numbers, adicp_pct: _Number | _Numbers, rule: Literal['stepped', 'above ten percent', 'all of it'] | str | _Words = ...) -> NDArray[np.float64]: ...

@overload
def heat_damage_note(cp_pct: _Number, adicp_pct: _Number) -> str:
    """Note on heat-bound protein."""
@overload
def heat_damage_note(cp_pct: _S | _Number, adicp_pct: _S | _Number) -> _S: ...
@overload
def heat_damage_note(cp_pct: _Number | _Numbers, adicp_pct: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def mineral_need(mineral: str, stage: Literal['growing', 'pregnant', 'in milk'] | str) -> float:
    """Need of a mineral."""
@overload
def mineral_need(mineral: _S | str, stage: _S | Literal['growing', 'pregnant', 'in milk'] | str) -> _S: ...
@overload
def mineral_need(mineral: str | _Words, stage: Literal['growing', 'pregnant', 'in milk'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def mineral_limit(mineral: str, book: Literal['1996', '2016'] | str) -> float:
    """The most of a mineral that cattle stand."""
@overload
def mineral_limit(mineral: _S | str, book: _S | Literal['1996', '2016'] | str) -> _S: ...
@overload
def mineral_limit(mineral: str | _Words, book: Literal['1996', '2016'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def mineral_caution(mineral: str, mineral_level: _Number, stage: Literal['growing', 'pregnant', 'in milk'] | str) -> str:
    """Caution on one mineral of a diet."""
@overload
def mineral_caution(mineral: _S | str, mineral_level: _S | _Number, stage: _S | Literal['growing', 'pregnant', 'in milk'] | str) -> _S: ...
@overload
def mineral_caution(mineral: str | _Words, mineral_level: _Number | _Numbers, stage: Literal['growing', 'pregnant', 'in milk'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def mineral_mix_level(need_level: _Number, feed_level: _Number, dm_intake_lb: _Number, mix_lb_day: _Number) -> float:
    """What a mineral mix must hold."""
@overload
def mineral_mix_level(need_level: _S | _Number, feed_level: _S | _Number, dm_intake_lb: _S | _Number, mix_lb_day: _S | _Number) -> _S: ...
@overload
def mineral_mix_level(need_level: _Number | _Numbers, feed_level: _Number | _Numbers, dm_intake_lb: _Number | _Numbers, mix_lb_day: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def mineral_cost(mix_lb_day: _Number, bag_price: _Number, bag_lb: _Number, days: _Number) -> float:
    """Cost of a mineral mix a head."""
@overload
def mineral_cost(mix_lb_day: _S | _Number, bag_price: _S | _Number, bag_lb: _S | _Number, days: _S | _Number) -> _S: ...
@overload
def mineral_cost(mix_lb_day: _Number | _Numbers, bag_price: _Number | _Numbers, bag_lb: _Number | _Numbers, days: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def salt_to_limit(body_weight_lb: _Number, feed_lb: _Number) -> float:
    """Salt that limits a self-fed feed."""
@overload
def salt_to_limit(body_weight_lb: _S | _Number, feed_lb: _S | _Number) -> _S: ...
@overload
def salt_to_limit(body_weight_lb: _Number | _Numbers, feed_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def salt_caution(salt_lb_day: _Number, body_weight_lb: _Number, water_tds_mg_l: _Number) -> str:
    """Caution on salt-limited feeding."""
@overload
def salt_caution(salt_lb_day: _S | _Number, body_weight_lb: _S | _Number, water_tds_mg_l: _S | _Number) -> _S: ...
@overload
def salt_caution(salt_lb_day: _Number | _Numbers, body_weight_lb: _Number | _Numbers, water_tds_mg_l: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def copper_caution(cu_ppm: _Number, mo_ppm: _Number, fe_ppm: _Number, s_pct: _Number) -> str:
    """Caution on copper and what ties it up."""
@overload
def copper_caution(cu_ppm: _S | _Number, mo_ppm: _S | _Number, fe_ppm: _S | _Number, s_pct: _S | _Number) -> _S: ...
@overload
def copper_caution(cu_ppm: _Number | _Numbers, mo_ppm: _Number | _Numbers, fe_ppm: _Number | _Numbers, s_pct: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def water_a_day(cattle_class: str, temperature_f: _Number) -> float:
    """Water a day."""
@overload
def water_a_day(cattle_class: _S | str, temperature_f: _S | _Number) -> _S: ...
@overload
def water_a_day(cattle_class: str | _Words, temperature_f: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def vitamin_a_need(stage: Literal['growing', 'stressed', 'pregnant', 'in milk'] | str, dm_intake_lb: _Number) -> float:
    """Vitamin A a day."""
@overload
def vitamin_a_need(stage: _S | Literal['growing', 'stressed', 'pregnant', 'in milk'] | str, dm_intake_lb: _S | _Number) -> _S: ...
@overload
def vitamin_a_need(stage: Literal['growing', 'stressed', 'pregnant', 'in milk'] | str | _Words, dm_intake_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def nitrate_with_water(feed_no3n_ppm: _Number, dm_intake_lb: _Number, water_gal: _Number, water_no3n_ppm: _Number) -> float:
    """Nitrate of feed and water together."""
@overload
def nitrate_with_water(feed_no3n_ppm: _S | _Number, dm_intake_lb: _S | _Number, water_gal: _S | _Number, water_no3n_ppm: _S | _Number) -> _S: ...
@overload
def nitrate_with_water(feed_no3n_ppm: _Number | _Numbers, dm_intake_lb: _Number | _Numbers, water_gal: _Number | _Numbers, water_no3n_ppm: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def water_caution(water_no3n_ppm: _Number, sulfate_mg_l: _Number) -> str:
    """Caution on a water test."""
@overload
def water_caution(water_no3n_ppm: _S | _Number, sulfate_mg_l: _S | _Number) -> _S: ...
@overload
def water_caution(water_no3n_ppm: _Number | _Numbers, sulfate_mg_l: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def nitrate_as(value_ppm: _Number, given_as: Literal['NO3-N', 'NO3', 'KNO3'] | str, wanted_as: Literal['NO3-N', 'NO3', 'KNO3'] | str) -> float:
    """Nitrate in another form."""
@overload
def nitrate_as(value_ppm: _S | _Number, given_as: _S | Literal['NO3-N', 'NO3', 'KNO3'] | str, wanted_as: _S | Literal['NO3-N', 'NO3', 'KNO3'] | str) -> _S: ...
@overload
def nitrate_as(value_ppm: _Number | _Numbers, given_as: Literal['NO3-N', 'NO3', 'KNO3'] | str | _Words, wanted_as: Literal['NO3-N', 'NO3', 'KNO3'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def nitrate_caution(nitrate_n_ppm: _Number, pregnant: _Flag, scale_name: Literal['clemson', 'midwest laboratory'] | str) -> str:
    """Caution on nitrate."""
@overload
def nitrate_caution(nitrate_n_ppm: _S | _Number, pregnant: _S | _Flag, scale_name: _S | Literal['clemson', 'midwest laboratory'] | str) -> _S: ...
@overload
def nitrate_caution(nitrate_n_ppm: _Number | _Numbers, pregnant: _Flag | _Flags, scale_name: Literal['clemson', 'midwest laboratory'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def nitrate_most_share(nitrate_n_ppm: _Number, pregnant: _Flag, scale_name: Literal['clemson', 'midwest laboratory'] | str) -> float:
    """Largest share of the ration by nitrate."""
@overload
def nitrate_most_share(nitrate_n_ppm: _S | _Number, pregnant: _S | _Flag, scale_name: _S | Literal['clemson', 'midwest laboratory'] | str) -> _S: ...
@overload
def nitrate_most_share(nitrate_n_ppm: _Number | _Numbers, pregnant: _Flag | _Flags, scale_name: Literal['clemson', 'midwest laboratory'] | str | _Words) -> NDArray[np.float64]: ...

@overload
def diet_share_limit(hay_value: _Number, other_value: _Number, limit: _Number) -> float:
    """Largest share of a hay in the diet."""
@overload
def diet_share_limit(hay_value: _S | _Number, other_value: _S | _Number, limit: _S | _Number) -> _S: ...
@overload
def diet_share_limit(hay_value: _Number | _Numbers, other_value: _Number | _Numbers, limit: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def prussic_acid_caution(hcn_ppm: _Number, basis: Literal['wet', 'dry'] | str) -> str:
    """Caution on prussic acid."""
@overload
def prussic_acid_caution(hcn_ppm: _S | _Number, basis: _S | Literal['wet', 'dry'] | str) -> _S: ...
@overload
def prussic_acid_caution(hcn_ppm: _Number | _Numbers, basis: Literal['wet', 'dry'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def ergovaline_in_diet(hay_ppb: _Number, hay_share_pct: _Number) -> float:
    """Ergovaline of the diet."""
@overload
def ergovaline_in_diet(hay_ppb: _S | _Number, hay_share_pct: _S | _Number) -> _S: ...
@overload
def ergovaline_in_diet(hay_ppb: _Number | _Numbers, hay_share_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def ergovaline_caution(diet_ppb: _Number, threshold_ppb: _Number = ...) -> str:
    """Caution on ergovaline."""
@overload
def ergovaline_caution(diet_ppb: _S | _Number, threshold_ppb: _S | _Number = ...) -> _S: ...
@overload
def ergovaline_caution(diet_ppb: _Number | _Numbers, threshold_ppb: _Number | _Numbers = ...) -> NDArray[np.object_]: ...

@overload
def tetany_ratio(k_pct: _Number, ca_pct: _Number, mg_pct: _Number) -> float:
    """Tetany ratio of a hay or diet."""
@overload
def tetany_ratio(k_pct: _S | _Number, ca_pct: _S | _Number, mg_pct: _S | _Number) -> _S: ...
@overload
def tetany_ratio(k_pct: _Number | _Numbers, ca_pct: _Number | _Numbers, mg_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def tetany_caution(k_pct: _Number, ca_pct: _Number, mg_pct: _Number) -> str:
    """Caution on grass tetany."""
@overload
def tetany_caution(k_pct: _S | _Number, ca_pct: _S | _Number, mg_pct: _S | _Number) -> _S: ...
@overload
def tetany_caution(k_pct: _Number | _Numbers, ca_pct: _Number | _Numbers, mg_pct: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def calcium_phosphorus_ratio(ca_pct: _Number, p_pct: _Number) -> float:
    """Calcium to phosphorus."""
@overload
def calcium_phosphorus_ratio(ca_pct: _S | _Number, p_pct: _S | _Number) -> _S: ...
@overload
def calcium_phosphorus_ratio(ca_pct: _Number | _Numbers, p_pct: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def calcium_phosphorus_caution(ca_pct: _Number, p_pct: _Number) -> str:
    """Caution on calcium and phosphorus."""
@overload
def calcium_phosphorus_caution(ca_pct: _S | _Number, p_pct: _S | _Number) -> _S: ...
@overload
def calcium_phosphorus_caution(ca_pct: _Number | _Numbers, p_pct: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def water_sulfur(water_gal: _Number, sulfate_mg_l: _Number) -> float:
    """Sulfur in the water."""
@overload
def water_sulfur(water_gal: _S | _Number, sulfate_mg_l: _S | _Number) -> _S: ...
@overload
def water_sulfur(water_gal: _Number | _Numbers, sulfate_mg_l: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def diet_sulfur(hay_dm_lb: _Number, hay_s_pct: _Number, feed_dm_lb: _Number, feed_s_pct: _Number, water_s_lb: _Number) -> float:
    """Sulfur of the diet."""
@overload
def diet_sulfur(hay_dm_lb: _S | _Number, hay_s_pct: _S | _Number, feed_dm_lb: _S | _Number, feed_s_pct: _S | _Number, water_s_lb: _S | _Number) -> _S: ...
@overload
def diet_sulfur(hay_dm_lb: _Number | _Numbers, hay_s_pct: _Number | _Numbers, feed_dm_lb: _Number | _Numbers, feed_s_pct: _Number | _Numbers, water_s_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def sulfur_caution(sulfur_pct: _Number, diet: Literal['high forage', 'high concentrate'] | str) -> str:
    """Caution on sulfur."""
@overload
def sulfur_caution(sulfur_pct: _S | _Number, diet: _S | Literal['high forage', 'high concentrate'] | str) -> _S: ...
@overload
def sulfur_caution(sulfur_pct: _Number | _Numbers, diet: Literal['high forage', 'high concentrate'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def grain_caution(grain_lb: _Number, body_weight_lb: _Number) -> str:
    """Caution on grain beside hay."""
@overload
def grain_caution(grain_lb: _S | _Number, body_weight_lb: _S | _Number) -> _S: ...
@overload
def grain_caution(grain_lb: _Number | _Numbers, body_weight_lb: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def fat_caution(fat_pct: _Number, diet: Literal['high forage', 'high concentrate'] | str) -> str:
    """Caution on fat."""
@overload
def fat_caution(fat_pct: _S | _Number, diet: _S | Literal['high forage', 'high concentrate'] | str) -> _S: ...
@overload
def fat_caution(fat_pct: _Number | _Numbers, diet: Literal['high forage', 'high concentrate'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def urea_nitrogen_share(urea_lb: _Number, diet_cp_lb: _Number) -> float:
    """Share of the nitrogen that comes from urea."""
@overload
def urea_nitrogen_share(urea_lb: _S | _Number, diet_cp_lb: _S | _Number) -> _S: ...
@overload
def urea_nitrogen_share(urea_lb: _Number | _Numbers, diet_cp_lb: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def urea_caution(urea_lb: _Number, body_weight_lb: _Number, diet_dm_lb: _Number, diet_cp_lb: _Number) -> str:
    """Caution on urea."""
@overload
def urea_caution(urea_lb: _S | _Number, body_weight_lb: _S | _Number, diet_dm_lb: _S | _Number, diet_cp_lb: _S | _Number) -> _S: ...
@overload
def urea_caution(urea_lb: _Number | _Numbers, body_weight_lb: _Number | _Numbers, diet_dm_lb: _Number | _Numbers, diet_cp_lb: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def sweet_clover_caution(dicoumarol_ppm: _Number, pregnant: _Flag) -> str:
    """Caution on sweet clover hay."""
@overload
def sweet_clover_caution(dicoumarol_ppm: _S | _Number, pregnant: _S | _Flag) -> _S: ...
@overload
def sweet_clover_caution(dicoumarol_ppm: _Number | _Numbers, pregnant: _Flag | _Flags) -> NDArray[np.object_]: ...

@overload
def aflatoxin_caution(aflatoxin_ppb: _Number, cattle: Literal['young or for milk', 'breeding', 'finishing'] | str) -> str:
    """Caution on aflatoxin."""
@overload
def aflatoxin_caution(aflatoxin_ppb: _S | _Number, cattle: _S | Literal['young or for milk', 'breeding', 'finishing'] | str) -> _S: ...
@overload
def aflatoxin_caution(aflatoxin_ppb: _Number | _Numbers, cattle: Literal['young or for milk', 'breeding', 'finishing'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def ammoniated_hay_caution(good_or_wet: _Flag, ammonia_pct: _Number, days_aired: _Number) -> str:
    """Caution on ammoniated hay."""
@overload
def ammoniated_hay_caution(good_or_wet: _S | _Flag, ammonia_pct: _S | _Number, days_aired: _S | _Number) -> _S: ...
@overload
def ammoniated_hay_caution(good_or_wet: _Flag | _Flags, ammonia_pct: _Number | _Numbers, days_aired: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def baleage_caution(moisture_pct: _Number, ph: _Number) -> str:
    """Caution on wrapped hay."""
@overload
def baleage_caution(moisture_pct: _S | _Number, ph: _S | _Number) -> _S: ...
@overload
def baleage_caution(moisture_pct: _Number | _Numbers, ph: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def seen_in_hay_caution(seen: str) -> str:
    """Caution on what was seen in a hay."""
@overload
def seen_in_hay_caution(seen: _S | str) -> _S: ...
@overload
def seen_in_hay_caution(seen: str | _Words) -> NDArray[np.object_]: ...

@overload
def stack_heat_caution(core_temp_f: _Number) -> str:
    """Caution on a heating stack."""
@overload
def stack_heat_caution(core_temp_f: _S | _Number) -> _S: ...
@overload
def stack_heat_caution(core_temp_f: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def baling_moisture_caution(moisture_pct: _Number, bale: Literal['small square', 'round', 'large square'] | str) -> str:
    """Caution on moisture at baling."""
@overload
def baling_moisture_caution(moisture_pct: _S | _Number, bale: _S | Literal['small square', 'round', 'large square'] | str) -> _S: ...
@overload
def baling_moisture_caution(moisture_pct: _Number | _Numbers, bale: Literal['small square', 'round', 'large square'] | str | _Words) -> NDArray[np.object_]: ...

@overload
def mud_intake_cut(mud_in: _Number) -> float:
    """How much less cattle eat in mud."""
@overload
def mud_intake_cut(mud_in: _S | _Number) -> _S: ...
@overload
def mud_intake_cut(mud_in: _Number | _Numbers) -> NDArray[np.float64]: ...

@overload
def mud_gain_loss(depth: str) -> float:
    """Gain lost in mud."""
@overload
def mud_gain_loss(depth: _S | str) -> _S: ...
@overload
def mud_gain_loss(depth: str | _Words) -> NDArray[np.float64]: ...

@overload
def mud_caution(mud_in: _Number) -> str:
    """Caution on mud."""
@overload
def mud_caution(mud_in: _S | _Number) -> _S: ...
@overload
def mud_caution(mud_in: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def cold_caution(increase_pct: _Number) -> str:
    """Caution on cold."""
@overload
def cold_caution(increase_pct: _S | _Number) -> _S: ...
@overload
def cold_caution(increase_pct: _Number | _Numbers) -> NDArray[np.object_]: ...

@overload
def need_note(condition_score: _Number, first_calf: _Flag) -> str:
    """Caution on the need of thin and of first-calf cows."""
@overload
def need_note(condition_score: _S | _Number, first_calf: _S | _Flag) -> _S: ...
@overload
def need_note(condition_score: _Number | _Numbers, first_calf: _Flag | _Flags) -> NDArray[np.object_]: ...

def notes(function_name: str, *arguments: Any) -> Any:
    """Which argument of a call lies outside its fitted range."""

@overload
def source(function_name: str) -> str:
    """Where a function's equation comes from, and how well it is known."""
@overload
def source(function_name: _S | str) -> _S: ...
@overload
def source(function_name: str | _Words) -> NDArray[np.object_]: ...
