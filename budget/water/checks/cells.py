"""Cells that are not where they were, and those that lack what they must hold: of the tank base, of a well."""

from budget.declarations import Check, Column, Input, Result
from budget.units import Unit
from budget.water.nouns import NOUNS, SCALARS, WITH_A_BASE, place


def _lacking(given: Input) -> str:
    """The template of 1 where the input's cell does not hold what it must."""
    sound = f"ISNUMBER({given.name})" if given.unit is not Unit.TEXT else f'{given.name}<>""'
    return f"IF({sound}, 0, 1)"


OFF_KEY = [
    Check(
        "off_key",
        "Cells beside their labels",
        "Every single cell that is yours is still the one in the row of its label.",
        "inputs_off>0",
        "INDEX({papers:input_title.all}, MATCH(1, {papers:input_off.all}, 0))"
        ' & IF(inputs_off>1, " (and " & inputs_off - 1 & " more)", "") & ": its cell was moved away from here, or its'
        ' row deleted. Undo that, or go back to a copy."',
        "stop",
    ),
]

# No base is wanted in most books.
OF_A_BASE = [given for noun in NOUNS if noun.wanted_where == WITH_A_BASE for given in noun.inputs if not given.optional]
BASE_CELLS = [
    Column("needed", "Cell of the tank base", Unit.TEXT, "Must not be empty where the tank has a diameter."),
    Column("lacking", "Lacks", Unit.FLAG, "1 where it lacks a number, or a word of its list.", "lacking_here"),
    Column(
        "lacking_so_far",
        "Cells that lack it so far",
        Unit.TEXT,
        "Down to this row.",
        '{lacking_so_far.before} & IF({lacking}=1, {needed} & "; ", "")',
        opening='""',
    ),
]
LACKING_HERE = [{"lacking_here": _lacking(given)} for given in OF_A_BASE]
MISSING_BASE = Result(
    "missing_base_cells",
    "Cells of the tank base that lack a number",
    Unit.TEXT,
    "Its inputs that must not be empty, nor text where a number goes; none where the tank has no diameter.",
    f'IF({WITH_A_BASE}, {{base_cells:lacking_so_far.last}}, "")',
)
# What nobody types where there is no well.
OF_A_WELL = [given.name for given in SCALARS if place(given)[0] == "well" and given.default is None]

WELL_DEPTH = [
    Check(
        "well_depth",
        "Depth of the well typed",
        "The well has a depth where its other figures are typed.",
        f"AND(well_there=0, COUNT({', '.join(name for name in OF_A_WELL if name != 'well_depth')})>0)",
        '"The depth of the well, on Well, is empty or no number, while the rest of the well is filled in: type it.'
        ' Until then this book has no well."',
        "stop",
    ),
]
