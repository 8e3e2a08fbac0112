"""What the book itself finds wrong in what was given, so that nothing is built on it."""

from __future__ import annotations

from budget.errors import Fault, InputFaults
from budget.workbook.engine import Model
from budget.workbook.page import Book

FEWEST_YEARS = 2
MEASUREMENTS = ("recovery", "dips")
# What is accepted where the book itself finds a row of these lists faulty.
EVIDENCE = {
    "recovery": "minutes since the pump stopped, and a depth above the bottom of the well",
    "dips": "a date within the rain record, each once, and a depth above the bottom of the well",
    "remembered": "a whole plan year of the record, each once, with the date on which it ran dry if it did",
}


def refuse_measurements(book: Book) -> None:
    """Raise InputFaults for readings and dips that the book itself finds faulty, before the fit is made with them."""
    model = Model(book, [*((name, "fault") for name in MEASUREMENTS), "recovery_fault"])
    model.evaluate()
    faults = [fault for name in MEASUREMENTS for fault in _rows_to_mend(book, model, name)]
    if found := model.value("recovery_fault"):
        faults.append(Fault("recovery", str(found), "depths that grow less after the pump stopped, two or more"))
    if faults:
        raise InputFaults(faults)


def refuse_memory(book: Book, model: Model) -> None:
    """Raise InputFaults for dry spells that the evaluated book finds faulty."""
    faults = _rows_to_mend(book, model, "remembered")
    if faults:
        raise InputFaults(faults)


def _rows_to_mend(book: Book, model: Model, name: str) -> list[Fault]:
    """What a list's column of faults says, row by row."""
    said = enumerate(model.column(name, "fault"), 1)
    return [Fault(f"{name}[{row}]", str(found), EVIDENCE[name]) for row, found in said if found]


def refuse_short_record(model: Model) -> None:
    """Raise InputFaults where the evaluated book counts too few plan years."""
    count = int(model.number("usable_years"))
    if count < FEWEST_YEARS:
        found = f"whole plan years with at most two filled months: {count}"
        raise InputFaults([Fault("rain record", found, f"at least {FEWEST_YEARS}, better 30")])
