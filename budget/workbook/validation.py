"""What a cell accepts: its data validation, and the words of it in prompt and error."""

from __future__ import annotations

from openpyxl.worksheet.datavalidation import DataValidation

from budget.declarations import Input
from budget.errors import ModelError
from budget.units import WHOLE_NUMBERS, System, Unit, to_book
from budget.water import years_of_record
from budget.workbook.formulas import validation_range
from budget.workbook.placement import Directory

LONGEST_NOTE = 250
LONGEST_TITLE = 32
LONGEST_TEXT = 200
KINDS = {**dict.fromkeys(WHOLE_NUMBERS, "whole"), Unit.DATE: "date"}


def validation_of(given: Input, system: System, directory: Directory) -> DataValidation:
    """The data validation of an input, with its meaning as the prompt and what is accepted as the error."""
    validation = _rule(given, system, directory)
    words = accepted(given, system)
    validation.promptTitle = given.title[:LONGEST_TITLE]
    validation.prompt = f"{given.meaning} Accepted: {words}."[:LONGEST_NOTE]
    validation.errorTitle = given.title[:LONGEST_TITLE]
    validation.error = f"Accepted: {words}."[:LONGEST_NOTE]
    validation.showInputMessage = True
    validation.showErrorMessage = not given.suggested
    return validation


def _rule(given: Input, system: System, directory: Directory) -> DataValidation:
    """A list, a longest text, or bounds in the book's units."""
    if given.choices:
        words = (
            f'"{",".join(given.choices)}"'
            if isinstance(given.choices, tuple)
            else validation_range(directory, given.choices)
        )
        validation = DataValidation(type="list", formula1=words, allow_blank=True)
        # A drop-down arrow is shown when this odd flag of the format is off.
        validation.showDropDown = False
        return validation
    if given.suggested:
        validation = DataValidation(
            type="list", formula1=validation_range(directory, given.suggested), allow_blank=True
        )
        validation.showDropDown = False
        return validation
    if given.unit is Unit.TEXT:
        longest = str(LONGEST_TEXT)
        return DataValidation(type="textLength", operator="lessThanOrEqual", formula1=longest, allow_blank=True)
    low, high = bound(given.low, given.unit, system), bound(given.high, given.unit, system)
    kind = KINDS.get(given.unit, "decimal")
    return DataValidation(type=kind, operator="between", formula1=low, formula2=high, allow_blank=True)


def bound(text: str | None, unit: Unit, system: System) -> str:
    """A bound as a number of the book, in text. Raises ModelError where there is none."""
    if text is None:
        raise ModelError(f"an input in {unit.name} has no bound")
    return repr(to_book(text, unit, system))


def accepted(given: Input, system: System) -> str:
    """What an input accepts, in words, in the book's units."""
    if isinstance(given.choices, tuple):
        return ", ".join(given.choices)
    if given.choices:
        return "a word or a year of the list" if given.choices == years_of_record.CHOICES else "a word of the list"
    if given.suggested:
        return "a word of the list, or your own"
    if given.unit is Unit.TEXT:
        return "text"
    if given.unit is Unit.DATE:
        return f"a date from {given.low} to {given.high}"
    low, high = (to_book(text or "0", given.unit, system) for text in (given.low, given.high))
    if given.unit is Unit.FLAG:
        return f"{low:.0f} or {high:.0f}"
    if given.unit in (Unit.YEAR, Unit.MONTH, Unit.DAY):
        return f"{low:.0f} to {high:.0f}"
    label = given.unit.label(system)
    if given.unit is Unit.SHARE:
        return f"{low:.0%} to {high:.0%}"
    if given.unit in (Unit.LATITUDE, Unit.LONGITUDE):
        return f"{_told(low)}{label} to {_told(high)}{label}"
    return f"{_told(low)} to {_told(high)} {label}".strip()


def _told(bound: float) -> str:
    """A bound in four digits, or as a whole number."""
    return f"{bound:,.0f}" if abs(bound) >= 1000 else f"{bound:.4g}"
