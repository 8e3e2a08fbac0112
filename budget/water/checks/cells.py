"""Cells that lack what they must hold, or hold text where a number goes."""

from collections.abc import Sequence

from budget.declarations import Check, Input, Result
from budget.units import Unit
from budget.water import water_table
from budget.water.nouns import MONTHS, NOUNS, SCALARS, THE_WELL, WITH_A_BASE, Noun, place


def _must_hold(given: Input) -> bool:
    """Whether the cell must hold a number, or a word where it offers words, for anything to be computed."""
    return not given.optional or given.found not in ("", water_table.STORED)


def _missing(given: Input) -> str:
    """The template that names the input where its cell does not hold what it must."""
    sound = f"ISNUMBER({given.name})" if given.unit is not Unit.TEXT else f'{given.name}<>""'
    if place(given)[0] in THE_WELL:
        sound = f"OR(NOT(ISNUMBER(well_depth)), {sound})"
    return f'IF({sound}, "", "{given.title}; ")'


def _lacking(nouns: Sequence[Noun]) -> str:
    """The template that names every cell of these nouns that does not hold what it must."""
    return " & ".join(_missing(given) for noun in nouns for given in noun.inputs if _must_hold(given))


def _text(given: Input) -> str:
    """The template that names the input where its cell holds text instead of a number."""
    return f'IF(AND({given.name}<>"", NOT(ISNUMBER({given.name}))), "{given.title}; ", "")'


ALWAYS_WANTED = [noun for noun in NOUNS if not noun.wanted_where]
WANTED_WITH_A_BASE = [noun for noun in NOUNS if noun.wanted_where == WITH_A_BASE]

TEXTS = Result(
    "text_cells",
    "Cells with text for a number",
    Unit.TEXT,
    "Inputs that may stay empty, but hold no text.",
    " & ".join(_text(given) for given in SCALARS if given.optional and not given.found and given.unit is not Unit.TEXT),
)
# What is typed by the month, by table and key.
MONTHLY_CELLS = [f"{months.table}:{given.key}" for months in MONTHS for given in months.inputs]
MISSING = Result(
    "missing_cells",
    "Cells that lack a number",
    Unit.TEXT,
    "Inputs that must not be empty, nor text where a number goes.",
    _lacking(ALWAYS_WANTED),
)
# Its own cell: no base is wanted in most books, and one formula would grow too long.
MISSING_BASE = Result(
    "missing_base_cells",
    "Cells of the tank base that lack a number",
    Unit.TEXT,
    "Its inputs that must not be empty, nor text where a number goes; none where the tank has no diameter.",
    f'IF({WITH_A_BASE}, {_lacking(WANTED_WITH_A_BASE)}, "")',
)

SCALAR_CELLS = [
    Check(
        "missing",
        "Cells filled in",
        "Every input that must hold a number, or a word of its list, does.",
        'missing_cells<>""',
        '"Do not trust this book: these cells are empty, or hold text where a number goes: " & missing_cells',
        "stop",
        heard_always=True,
    ),
    Check(
        "text",
        "Numbers are numbers",
        "Cells that may stay empty hold a number or nothing.",
        'text_cells<>""',
        '"These cells hold text where a number goes, and count as empty: " & text_cells',
    ),
]
CELLS_BY_MONTH = [
    Check(
        "monthly_text",
        "Months hold numbers",
        "Cells of the months hold a number or nothing.",
        " + ".join(f"COUNTA({{{cells}.all}}) - COUNT({{{cells}.all}})" for cells in MONTHLY_CELLS) + ">0",
        '"A cell of the months on Well, Storage or Readings holds text where a number goes: it counts as empty."',
    ),
]
