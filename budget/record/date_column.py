"""The dates of a rain file: in one column or in parts, the day or the month first, a row a day or a row a month."""

from __future__ import annotations

from datetime import date

from budget.record import dates
from budget.record.asked import Asked
from budget.record.findings import DAYS, MONTHS, Findings, Step, quoted
from budget.record.header import Body, Header, date_roles
from budget.record.layouts import MONTH_NAMES

ORDER_FAULTS = ("order of dates", "dates of two orders")


def date_texts(body: Body, header: Header) -> list[str]:
    """The text of each row's date; its parts joined where they stand in columns of their own."""
    columns = header.columns()
    roles = date_roles(set(columns))
    positions = [columns[role].position for role in roles]
    between = ":" if "day_of_year" in roles else "-"
    return [between.join([cells[at] for at in positions]) for _, cells in body]


def settle_order(body: Body, header: Header, asked: Asked, findings: Findings) -> str | None:
    """Which of day and month comes first, from the whole column; asked for where no date tells."""
    texts = [text for text in date_texts(body, header) if dates.asks_for_order(text)]
    if not texts:
        return None
    possible = dates.order_of(texts)
    choices = " or ".join(f'rain.date_order = "{order}"' for order in (dates.DAY_FIRST, dates.MONTH_FIRST))
    if not possible:
        found = "dates of which some have the day first and some the month"
        findings.add(header.line, "dates of two orders", found, "one order throughout")
        return None
    if asked.date_order in possible:
        return asked.date_order
    if len(possible) == 1:
        (order,) = possible
        if asked.date_order is not None:
            found = f'dates with the {order}, but rain.date_order = "{asked.date_order}" in the site file'
            findings.add(header.line, "order of dates", found, "the same in both")
        return order
    findings.add(
        header.line,
        "order of dates",
        f"dates such as {quoted(texts[0])}, whose day and month could be taken for each other",
        f"this line in the site file: {choices}",
    )
    return None


def find_step(body: Body, header: Header, order: str | None) -> Step:
    """Days or months, as the first row says whose date is either."""
    if set(MONTH_NAMES) <= set(header.columns()):
        return MONTHS
    for text in date_texts(body, header):
        if dates.read_day(text, order):
            return DAYS
        if dates.read_month(text):
            return MONTHS
    return DAYS if "date" in header.columns() else MONTHS


def row_date(line: int, text: str, step: Step, order: str | None, findings: Findings) -> date | None:
    """The row's day, of months the first; a fault and None where it has none of this step."""
    read = dates.read_day(text, order) if step is DAYS else dates.read_month(text)
    if read is not None:
        return read
    if (dates.read_month(text) if step is DAYS else dates.read_day(text, order)) is not None:
        other = MONTHS if step is DAYS else DAYS
        found = f"the {other.name} {quoted(text)} in a file of {step.name}s"
        findings.add(line, "days and months mixed", found, "days only, or months only")
    else:
        findings.add(line, "unreadable dates", f"the date {quoted(text)}", step.accepted)
    return None
