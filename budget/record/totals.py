"""Totals: rain of several days that stands on the last of them, and totals that run on from reading to reading."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

from budget.record.findings import DAYS, LONGEST_MONTH, Findings, Step
from budget.record.gathered import Gathered, most_accepted
from budget.record.remarks import Counts

LONGEST_TOTAL = 31  # [days] that one total may stand for


def spread_totals(gathered: Gathered, step: Step, counts: Counts, findings: Findings) -> None:
    """Rain of several days stands on the last of them; the days before, blank in the file, count 0."""
    rain = gathered.values["rain"]
    for day, total in gathered.totals.items():
        span, line = gathered.span_days.get(day, 1.0), gathered.lines[day, "total"]
        if not 1 <= span <= LONGEST_TOTAL:
            accepted = f"1 to {LONGEST_TOTAL} days"
            findings.add(line, "totals over many days", f"a total over {span:g} days", accepted)
            continue
        if total > step.most_rain * span:
            findings.add(line, "more rain than believable", f"{total:g} mm in {span:g} days", most_accepted(step))
        if day in rain:
            continue  # the day has its own figure
        rain[day] = total
        if step is DAYS:
            _cover(day, int(span), gathered, counts)


def _cover(day: date, span: int, gathered: Gathered, counts: Counts) -> None:
    """Mark the days that a total on `day` covers."""
    if span <= 1:
        return
    rain = gathered.values["rain"]
    covered = [day - timedelta(back) for back in range(1, span)]
    counts.totals += 1
    counts.crossing += any(before.month != day.month for before in covered)
    gathered.spans[day] = span
    for before in covered:
        gathered.days.add(before)
        rain.setdefault(before, 0.0)


def difference(gathered: Gathered, step: Step, counts: Counts, findings: Findings) -> None:
    """A total that runs on becomes the rain between its readings; it may begin anew at a year's beginning.

    What fell over more than a month without a reading, or over several rows of a file of months, is not known by days
    or months: it is left out and told.
    """
    rain = gathered.values["rain"]
    longest = LONGEST_TOTAL if step is DAYS else LONGEST_MONTH
    for before, day in pairwise(sorted(gathered.running)):
        total, line = gathered.running[day], gathered.lines[day, "running"]
        fell, days = total - gathered.running[before], (day - before).days
        if fell < -1e-9:
            if not _begins_anew(before, day):
                found = f"the running total falls from {gathered.running[before]:g} to {total:g} mm on {step.told(day)}"
                accepted = (
                    "one that only rises, but for a new start on 1 January, 1 July or 1 October;"
                    " what fell in each row stands in a column named rain"
                )
                findings.add(line, "totals that fall", found, accepted)
            counts.resets.append(step.told(day))
            fell = total
        if days > longest:
            counts.unknown_spans += 1
            gathered.unknown.update(before + timedelta(ahead) for ahead in range(1, days + 1))
            continue
        if fell > step.most_rain * (days if step is DAYS else 1):
            findings.add(line, "more rain than believable", f"{fell:g} mm since the row before", most_accepted(step))
        rain[day] = max(0.0, fell)
        if step is DAYS:
            _cover(day, days, gathered, counts)


def _begins_anew(before: date, day: date) -> bool:
    """Whether a year of the calendar, of the south, or of water began since the reading before."""
    return any(before < date(year, month, 1) <= day for year in (before.year, day.year) for month in (1, 7, 10))
