"""The faults of one file, and what a row of it stands for.

A fault is told with its line, what was found there and what is accepted; of one kind no more than a handful are told,
so that a file in a wrong unit does not print ten thousand lines.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, timedelta

from budget.errors import Fault, InputFaults

LINES_TOLD = 5  # of the same kind of fault
LONGEST_MONTH = 31  # [days]


@dataclass(frozen=True)
class Step:
    """What one row stands for: how much rain it may hold, and the words of its faults."""

    name: str
    adjective: str
    accepted: str  # such dates
    rate: str  # what a unit in the header may be "per": as a pattern
    frequency: str  # of the calendar, as pandas calls it
    most_rain: float  # [mm] believable in one

    def told(self, day: date) -> str:
        """The row's date as a fault writes it, from its first day."""
        return str(day) if self is DAYS else str(day)[:7]

    def last_day(self, day: date) -> date:
        """The last day that the row stands for, from its first."""
        return day if self is DAYS else (day + timedelta(LONGEST_MONTH)).replace(day=1) - timedelta(1)


DAYS = Step(
    "day",
    "daily",
    "a date such as 2012-01-31 or 2012/01/31",
    "d|day",
    "D",
    2000.0,  # the most on record is about 1.83 m, Réunion 1966; recalled
)
MONTHS = Step(
    "month",
    "monthly",
    "a month such as 2012-01 or 2012/01; in columns year and month: 2012 and 1 to 12",
    "month",
    "MS",
    10000.0,  # the most on record is about 9.3 m, Cherrapunji, July 1861; recalled
)


@dataclass
class Findings:
    """The faults of one file, gathered so that all are told at once."""

    file: str
    entries: list[tuple[int | None, str, str, str]] = field(default_factory=list)

    def add(self, line: int | None, kind: str, found: str, accepted: str) -> None:
        """Note a fault at a line (None: of the file as a whole); faults of one kind are told together.

        What two columns of a row would say in the same words is said once.
        """
        entry = (line, kind, found, accepted)
        if self.entries[-1:] != [entry]:
            self.entries.append(entry)

    def add_once(self, line: int | None, kind: str, found: str, accepted: str) -> None:
        """Note a fault that two columns share."""
        if not self.has(kind):
            self.add(line, kind, found, accepted)

    def has(self, *kinds: str) -> bool:
        return any(kind in kinds for _, kind, _, _ in self.entries)

    def faults(self) -> list[Fault]:
        """In the order of the file, at most `LINES_TOLD` of a kind and then how many more there are."""
        totals: dict[str, int] = {}
        for _, kind, _, _ in self.entries:
            totals[kind] = totals.get(kind, 0) + 1
        told: dict[str, int] = {}
        listed: list[tuple[float, Fault]] = []
        for line, kind, found, accepted in self.entries:
            told[kind] = told.get(kind, 0) + 1
            if told[kind] > LINES_TOLD + 1:
                continue
            if told[kind] == LINES_TOLD + 1:
                found = f"and {totals[kind] - LINES_TOLD} more from here on: {kind}"
            where = self.file if line is None else f"{self.file} line {line}"
            listed.append((float("inf") if line is None else line, Fault(where, found, accepted)))
        return [fault for _, fault in sorted(listed, key=lambda entry: entry[0])]

    def raise_if_any(self) -> None:
        if self.entries:
            raise InputFaults(self.faults())


def quoted(text: str) -> str:
    """The text as it stands in the file, on one line and not too long."""
    return repr(text if len(text) <= 40 else text[:37] + "...")


def plain(heading: str) -> str:
    """A heading without case, dots, dashes, underscores and marks of comment, for comparison."""
    return " ".join(re.split(r"[\s_.,#-]+", heading.lower())).strip()


def percent(share: float) -> str:
    """One decimal; 100 only where nothing is missing."""
    return "100 %" if share == 1 else f"{min(share, 0.999):.1%}".replace(".0%", "%").replace("%", " %")
