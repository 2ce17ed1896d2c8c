"""The kinds of damage, each with the cell where it must be found and the rules that may find it.

One damage at a time is done to the file's own XML.  `saved` says that the values are stored anew
afterwards, as saving in a spreadsheet program does, so that stale values give nothing away.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from audit import damage_formulas as formulas
from audit import damage_settings as settings
from audit import damage_words as words
from audit.damagelib import File
from audit.spots import Spots


@dataclass(frozen=True)
class Damage:
    name: str
    do: Callable[[File, Spots], str]  # does it and says where it must be found
    rules: tuple[str, ...]
    edition: str = "functions"
    saved: bool = False
    level: str = ""  # the gravity it must have, where that matters
    note: bool = False  # a finding that is a note is enough: nothing is wrong by itself
    whole: bool = False  # done to the whole demo; else to a farm with half the formulas, which shows it as well


def d(name: str, rules: str, do: Callable[[File, Spots], str], **more: object) -> Damage:
    return Damage(name, do, tuple(rules.split()), **more)  # type: ignore[arg-type]  # the fields that follow, by name


DAMAGES = (
    d("stored value of a result edited", "stored-value", formulas.stored_number),
    d("stored value of a product edited", "stored-value", formulas.stored_sum),
    d("stored value edited in the 9th digit", "stored-value", formulas.stored_ninth_digit),
    d("stored word edited", "stored-value", formulas.stored_word),
    d("stored number made a text", "stored-value", formulas.stored_as_text),
    d("stored value removed", "no-value", formulas.stored_missing),
    d("stored value edited, plain edition", "stored-value", formulas.stored_sum, edition="plain"),
    d("input changed, not recalculated", "stored-value", formulas.input_without_recalculation),
    d("value typed over a formula", "typed-over", formulas.typed_over),
    d("value typed over a formula, saved", "typed-over", formulas.typed_over, saved=True),
    d("value typed over the last cell of a column, saved", "typed-over", formulas.typed_over_last, saved=True),
    d("value typed over the result, saved", "typed-over", formulas.typed_over_result, saved=True),
    d("text typed over a formula, saved", "typed-over", formulas.text_over, saved=True),
    d("formula emptied, saved", "typed-over", formulas.emptied, saved=True),
    d("error typed over a formula, saved", "typed-over", formulas.error_typed, saved=True),
    d("reference shifted one row, saved", "pattern", formulas.reference_one_row_off, saved=True),
    d("reference shifted one column, saved", "pattern", formulas.reference_one_column_off, saved=True),
    d("result reads the wrong cell, saved", "formula-changed", formulas.wrong_cell_of_result, saved=True),
    d("dollar signs dropped, saved", "pattern", formulas.dollar_dropped, saved=True),
    d("range cut in a whole column, saved", "range-short", formulas.range_cut, saved=True, whole=True),
    d("range cut in a check, saved", "range-short", formulas.range_cut_in_check, saved=True),
    d("range starts late, saved", "range-short", formulas.range_starts_late, saved=True),
    d("sign flipped, saved", "formula-changed", formulas.sign_flipped, saved=True),
    d("arguments swapped, saved", "unit formula-changed", formulas.arguments_swapped, saved=True),
    d("another function called, saved", "pattern", formulas.another_function, saved=True),
    d("division by 100 dropped in a column, saved", "unit", formulas.percent_forgotten, saved=True),
    d("factor put into a formula, saved", "literal formula-changed", formulas.factor_added, saved=True),
    d("whole column raised by a literal, saved", "literal formula-changed", formulas.whole_column_shaded, saved=True),
    d("as fed taken for dry matter, saved", "pattern", formulas.basis_dropped, saved=True),
    d("constant changed in one cell, plain, saved", "pattern", formulas.constant_in_cell, edition="plain", saved=True),
    d("constant changed in the 4th digit of a column, plain, saved", "literal formula-changed", formulas.constant_in_column, edition="plain", saved=True),
    d("circular reference", "circular", formulas.circular),
    d("IFERROR wrapped round a result, saved", "masking formula-changed", formulas.iferror, saved=True),
    d("IF(ISERROR()) wrapped, saved", "pattern masking", formulas.if_iserror, saved=True),
    d("NOW() in a formula", "volatile", formulas.volatile),
    d("OFFSET in a formula", "volatile", formulas.offset),
    d("unknown function called", "unknown-function", formulas.unknown_function),
    d("shared formula with one odd cell, saved", "pattern", formulas.shared_formula_odd, saved=True),
    d("unit of a column: dry to as fed", "unit fixed-changed", words.unit_of_basis),
    d("unit of a column: Mcal/lb to Mcal/kg", "unit fixed-changed", words.unit_of_energy),
    d("unit of a line: dry matter to as fed", "unit fixed-changed", words.unit_of_line),
    d("unit: percent to fraction", "unit fixed-changed", words.unit_percent),
    d("label swapped", "fixed-changed", words.label_swapped),
    d("definition: constant edited", "definition", words.definition("0.779", "0.797")),
    d("definition: constant edited in the 4th digit", "definition", words.definition("88.9", "88.91")),
    d("definition: operator edited", "definition", words.definition("88.9-", "88.9+")),
    d("definition: limit widened", "definition", words.definition("&lt;=75", "&lt;=95")),
    d("definition removed", "definition", words.definition_removed),
    d("feed table value edited, saved", "table-value", words.feed_value, saved=True),
    d("lookup table value edited, saved", "table-value", words.table_value, saved=True),
    d("exact constant edited, saved", "fixed-changed", words.exact_constant, saved=True),
    d("name re-pointed, saved", "name", words.name_moved, saved=True),
    d("name broken", "name", words.name_broken),
    d("name deleted", "name", words.name_deleted),
    d("number stored as text", "text-number", words.text_number),
    d("price typed with a word", "impossible-input", words.text_price),
    d("input outside its possible range, saved", "impossible-input", words.impossible_number, saved=True),
    d("input not in its list, saved", "impossible-input", words.impossible_word, saved=True),
    d("choice not in its list, saved", "impossible-input", words.impossible_choice, saved=True),
    d("input outside its fitted range, saved", "outside-fit", words.outside_fit, saved=True, note=True),
    d("input emptied, saved", "failed-check", words.blank_input, saved=True),
    d("constant emptied, saved", "blank-precedent error-value", words.blank_operand, saved=True, whole=True),
    d("formula injected as text", "formula-like-text", words.formula_in_text, note=True),
    d("row hidden", "hidden-line", settings.hidden_row),
    d("column hidden", "hidden-line", settings.hidden_column),
    d("sheet hidden", "hidden-sheet", settings.hidden_sheet("hidden")),
    d("sheet hidden from every menu", "hidden-sheet", settings.hidden_sheet("veryHidden")),
    d("name hidden", "hidden-name", settings.hidden_name),
    d("number format that shows nothing", "unseen", settings.unseen_format),
    d("white on white", "unseen", settings.unseen_ink),
    d("formula hidden", "unseen", settings.formula_hidden),
    d("formula unlocked", "unlocked", settings.unlocked),
    d("validation removed", "unvalidated", settings.validation_removed),
    d("sheet protection removed", "unprotected", settings.protection_removed),
    d("formula reads another workbook", "external", settings.external_formula),
    d("link to another workbook", "external", settings.external_part),
    d("macro part", "macro", settings.macro),
    d("manual calculation", "calculation", settings.setting('calcMode="manual"')),
    d("iterative calculation", "calculation", settings.setting('iterate="1"')),
    d("precision as displayed", "calculation", settings.setting('fullPrecision="0"')),
    d("merged cells in data", "merged", settings.merged, note=True),
    d("number that is none in the XML", "strange", settings.bad_number),
    d("check's word typed in, saved", "typed-over", settings.check_typed, saved=True),
    d("check's tolerance widened, saved", "fixed-changed", settings.tolerance_widened, saved=True),
    d("master check typed in, saved", "typed-over", settings.master_typed, saved=True),
    d("cost of what is bought typed over, saved", "typed-over", settings.budget_typed, saved=True, level="high"),
    d("hay in store typed over, saved", "typed-over", settings.store_typed, saved=True, level="high"),
    d("a test of the plan typed over, saved", "typed-over", settings.plan_test_typed, saved=True, level="medium"),
    d("a level of caution typed over, saved", "typed-over", settings.caution_typed, saved=True, level="high"),
    d("number added beside and read, saved", "formula-changed", settings.number_added, saved=True),
)  # fmt: skip
