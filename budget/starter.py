"""The starter: a commented site file of an invented place, for both unit systems and both sides of the equator.

One template tells everything once. What differs stands in the table of values beside it. A row gives its words either
by unit system (US, metric) or by hemisphere (north, south): the place north and the place south of the equator are each
told in the units of either system. Where it is said at which coordinates the place lies, the lines that this settles
are written anew, and its rain comes from weather stations.
"""

from __future__ import annotations

import csv
import re
from string import Template

from budget.coordinates import Position
from budget.errors import Fault, InputFaults, ModelError
from budget.references import templates_folder
from budget.site_file.values import Refused, read_value
from budget.units import System, Unit, convert
from budget.water import site

TEMPLATE, VALUES = "starter.toml", "starter_values.csv"
DEGREE_DIGITS = 5  # of a coordinate, behind the point: about a metre
COMMENTS_BEGIN = 32  # column of the comment behind a line, which the length of a value would shift


def starter(system: System, southern: bool = False, at: Position | None = None) -> str:
    """The text of a commented starter site file, with quantities in the customary units of `system`.

    `southern`: a place south of the equator, its dates half a year away and its latitude negative. `at`: where the
    place lies, which settles the hemisphere too; its rain then comes from stations. Raises InputFaults where a site
    file does not take the height, ModelError where the template and its values do not fit each other.
    """
    folder = templates_folder()
    settled = {} if at is None else _lines(at, system)
    southern = southern if at is None else round(at.latitude, DEGREE_DIGITS) < 0
    hemisphere = "south" if southern else "north"
    try:
        with (folder / VALUES).open(encoding="utf-8", newline="") as file:
            words = {row["placeholder"]: row[system] or row[hemisphere] for row in csv.DictReader(file, strict=True)}
        text = Template((folder / TEMPLATE).read_text(encoding="utf-8")).substitute(words)
    except (OSError, KeyError, ValueError, csv.Error) as error:
        raise ModelError(f"the starter cannot be written: {error}") from error
    for key, line in settled.items():
        text, count = re.subn(rf"^#?{key} = .*?(?=  # )", line, text, flags=re.MULTILINE)
        if count != 1:
            raise ModelError(f"the starter cannot be written: {count} lines of '{key}'")
    return re.sub(r"^(#?\w+ = .*?\S) {2}# ", _aligned, text, flags=re.MULTILINE)


def _lines(at: Position, system: System) -> dict[str, str]:
    """The lines that are other than the template's where the coordinates of the place are known, by their key."""
    return {
        "latitude": f"latitude = {_decimal(at.latitude, DEGREE_DIGITS)}",
        "longitude": f"longitude = {_decimal(at.longitude, DEGREE_DIGITS)}",
        "elevation": '#elevation = ""' if at.height is None else f'elevation = "{_elevation(at.height, system)}"',
        "source": 'source = "stations"',
        "file": '#file = ""',
    }


def _elevation(height: float, system: System) -> str:
    """A height [m] as a quantity of the site file. Raises InputFaults where that does not take it."""
    given = next(given for given in site.INPUTS if given.name == "site_elevation")
    quantity = f"{_decimal(convert(height, Unit.HEIGHT, 'metric', system), 1)} {Unit.HEIGHT.label(system)}"
    try:
        read_value(given, quantity, system)
    except Refused as refusal:
        raise InputFaults([Fault("--at", f"the height {refusal.found}", refusal.accepted)]) from None
    return quantity


def _decimal(number: float, digits: int) -> str:
    """A number with that many digits behind the point, or fewer where they are zeros."""
    return f"{number:z.{digits}f}".rstrip("0").rstrip(".")


def _aligned(line: re.Match[str]) -> str:
    return f"{line[1]:<{COMMENTS_BEGIN - 2}}  # "
