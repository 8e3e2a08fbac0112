"""What the book itself finds wrong in what was given, told in the words of the site file; nothing is built on it.

The rules are the checks of the book; here is only which of them spoke, and where that stands in the site file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from budget.declarations import Check, Refusal
from budget.errors import Fault, InputFaults
from budget.site_file.schema import column_of
from budget.site_file.site import Site
from budget.site_file.words import kind, nearest, shown
from budget.water.checks import CHECKS
from budget.water.nouns import SCALARS, place
from budget.workbook.book import Book, Owner
from budget.workbook.engine import Computed, Model

FEWEST_YEARS = 2
REFUSING = [check for check in CHECKS if check.refuses is not None]
INPUTS = {given.name: given for given in SCALARS}


def judge(book: Book, site: Site) -> None:
    """Raise InputFaults for all that the checks of the book refuse, before the water table is fitted to it.

    Only what they rest on is computed. Where the build finds the beginning of the plan year only after the fit, what
    rests on it waits for `judge_computed`.
    """
    model = Model(book, [owner for check in REFUSING for owner in _owners(check)])
    model.evaluate()
    waits = model.value("tank_in_service") == "all year" and "tank_wettest_month" not in site.given
    _refuse([check for check in REFUSING if not (waits and check.refuses and check.refuses.after_fit)], model, site)


def judge_computed(model: Model, site: Site) -> None:
    """Raise InputFaults where the whole computed book counts too few plan years, or a check of it refuses."""
    count = int(model.number("usable_years"))
    if count < FEWEST_YEARS:
        found = f"whole plan years with at most two filled months: {count}"
        raise InputFaults([Fault("rain record", found, f"at least {FEWEST_YEARS}, better 30")])
    _refuse(REFUSING, model, site)


def _owners(check: Check) -> Iterator[Owner]:
    """The cells that say whether a check speaks, and of what."""
    yield check.finding.name
    if check.refuses and check.refuses.cells:
        table, _, key = check.refuses.cells.partition(":")
        yield (table, key) if key else table


def _refuse(checks: Iterable[Check], model: Model, site: Site) -> None:
    faults = [
        fault
        for check in checks
        if check.refuses and model.value(check.finding.name) == 1
        for fault in _faults(check.refuses, model, site)
    ]
    if faults:
        raise InputFaults(faults)


def _faults(refusal: Refusal, model: Model, site: Site) -> Iterator[Fault]:
    """A fault for the place of a check, or for each of the rows that it is about."""
    table, _, column = refusal.cells.partition(":")
    if column:
        for row, cell in enumerate(model.column(table, column), 1):
            if cell:
                yield _fault_of_row(refusal, row, cell, site)
        return
    name = refusal.where.replace(".", "_", 1)
    found = str(model.value(table)) if table else _worded(refusal.found, name, site)
    yield Fault(refusal.where, found, _worded(refusal.accepted, name, site))


def _fault_of_row(refusal: Refusal, row: int, cell: Computed, site: Site) -> Fault:
    """The fault of a row of a list, or of a month; where its cell holds a text, that is what was found."""
    where = f"{refusal.where}[{row}]"
    if isinstance(cell, str):
        return Fault(where, cell, refusal.accepted)
    written = site.lists[refusal.where][row - 1][refusal.key] if refusal.key else None
    if written is None:
        return Fault(where, _worded(refusal.if_empty or refusal.found, "", site), refusal.accepted)
    found = refusal.found.replace("{value}", shown(written))
    near = nearest(str(written), column_of(refusal.words))
    return Fault(f"{where}.{refusal.key}", found, f"{refusal.accepted}, {near}")


def _worded(text: str, name: str, site: Site) -> str:
    """The text with what the site file has in the places that it names; `name`: the input that is at fault."""

    def put(match: re.Match[str]) -> str:
        if match[1] == "value":
            return site.written[name]
        if match[1] == "kind":
            return kind(INPUTS[name])
        return f"{'.'.join(place(INPUTS[match[1]]))} ({site.written[match[1]]})"

    return re.sub(r"\{(\w+)\}", put, text)
