"""The starter: a commented site file of an invented place, for both unit systems and both sides of the equator.

One template tells everything once. What differs stands in the table of values beside it. A row gives its words either
by unit system (US, metric) or by hemisphere (north, south): the place north and the place south of the equator are each
told in the units of either system.
"""

from __future__ import annotations

import csv
import re
from string import Template

from budget.errors import ModelError
from budget.references import templates_folder
from budget.units import System

TEMPLATE, VALUES = "starter.toml", "starter_values.csv"
COMMENTS_BEGIN = 32  # column of the comment behind a line, which the length of a value would shift


def starter(system: System, southern: bool = False) -> str:
    """The text of a commented starter site file, with quantities in the customary units of `system`.

    `southern`: a place south of the equator, its dates half a year away and its latitude negative. Raises ModelError
    where the template and its values do not fit each other.
    """
    folder = templates_folder()
    hemisphere = "south" if southern else "north"
    try:
        with (folder / VALUES).open(encoding="utf-8", newline="") as file:
            words = {row["placeholder"]: row[system] or row[hemisphere] for row in csv.DictReader(file, strict=True)}
        text = Template((folder / TEMPLATE).read_text(encoding="utf-8")).substitute(words)
    except (OSError, KeyError, ValueError, csv.Error) as error:
        raise ModelError(f"the starter cannot be written: {error}") from error
    return re.sub(r"^(#?\w+ = .*?\S) {2}# ", _aligned, text, flags=re.MULTILINE)


def _aligned(line: re.Match[str]) -> str:
    return f"{line[1]:<{COMMENTS_BEGIN - 2}}  # "
