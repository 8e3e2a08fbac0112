"""The unit of each column: from the header, else the layout, else a title, else the site file, else asked for.

A unit is never guessed from the size of the numbers.
"""

from __future__ import annotations

import re

from budget.record.asked import UNIT_SETTINGS, Asked
from budget.record.findings import Findings, Step, quoted
from budget.record.header import Header, Heading
from budget.record.layouts import MONTH_NAMES, NUMBERS, known_unit
from budget.record.text_rows import TextRows

RAIN_ROLES = ("rain", "total", "running")


def settle_units(rows: TextRows, header: Header, step: Step, asked: Asked, findings: Findings) -> dict[str, str | None]:
    """The unit of each figure: from header, layout, title or site file, else a fault (and None)."""
    given = {"rain": asked.unit, "tmax": asked.temperature_unit, "tmin": asked.temperature_unit}
    columns = header.columns()
    found: dict[str, str | None] = {}
    for role in NUMBERS:
        roles = (*RAIN_ROLES, MONTH_NAMES[0]) if role == "rain" else (role,)
        heading = next((columns[r] for r in roles if r in columns), None)
        if heading is None and role in header.layout.elements.values():
            found[role] = header.layout.units[role]
        elif heading is not None:
            fixed = header.layout.units.get(role) or header.layout.units.get(heading.role)
            titled = unit_of_title(role, rows, header, step)
            if fixed and titled and titled != fixed.removeprefix("0.1 "):
                what = f"{role} in {titled} by the lines above the header"
                accepted = f'{fixed}, as such files have it; or headings of your own such as "{role} ({titled})"'
                findings.add(header.line, f"unit of {role}", what, accepted)
            found[role] = fixed or settle_unit(role, heading, step, given[role], titled, header.line, findings)
    if (high := found.get("tmax")) and (low := found.get("tmin")) and high != low:
        findings.add(header.line, "two units", f"highs in °{high} and lows in °{low}", "one unit for both")
    return found


def settle_unit(
    role: str, heading: Heading, step: Step, given: str | None, titled: str | None, line: int, findings: Findings
) -> str | None:
    """The unit of one column; `given` is what the site file says, `titled` what the lines above the header say."""
    what, key, choices = UNIT_SETTINGS[role]
    accepted = " or ".join(f'"{choice}"' for choice in choices)
    if given is not None and given not in choices:
        findings.add_once(None, key, f'{key} = "{given}" in the site file', accepted)
        return None
    if heading.unit is None and titled is None:
        if given is None:
            wanted = " or ".join(f'{key} = "{choice}"' for choice in choices)
            found = f"no unit for the {what}"
            findings.add_once(line, found, found, f"this line in the site file: {wanted}")
        return given
    written = titled if heading.unit is None else known_unit(role, heading.unit, step.rate)
    if written is None:
        findings.add(line, f"unit of {role}", f"the unit of column {quoted(heading.text)}", accepted)
    elif given is not None and written != given:
        said = f"{role} in {written} by the lines above the header"
        if heading.unit is not None:
            said = f"column {quoted(heading.text)}"
        found = f'{said}, but {key} = "{given}" in the site file'
        findings.add(line, f"unit of {role}", found, "the same unit in both, or only one of them")
    return written


def unit_of_title(role: str, rows: TextRows, header: Header, step: Step) -> str | None:
    """The one unit in brackets that the lines above the header name for such a figure; None where they do not agree.

    A single letter does not count, nor IN in capitals: they stand for a copyright or a state as well.
    """
    above = range(max(0, header.index))
    words = " ".join(rows.lines[index][1] if rows.cells is None else " ".join(rows.cells[index]) for index in above)
    bracketed = [text.strip() for text in re.findall(r"[(\[]([^()\[\]]{2,20})[)\]]", words)]
    units = {known_unit(role, text.lower(), step.rate) for text in bracketed if len(text) > 1 and text != "IN"}
    units.discard(None)
    return units.pop() if len(units) == 1 else None
