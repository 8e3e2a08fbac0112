"""Lists that keep their lines: what somebody inserted, deleted or moved in them is read, or it is told.

The workings of a list read as many lines as the book was built with, by position between its heading and its row 'end
of list'. A row deleted lets them run over that end, a row inserted may push the last line out of what they read, and
cells inserted in a part of a row set figures beside other names.
"""

from __future__ import annotations

from collections.abc import Iterator

from budget.declarations import Check, Column, Input
from budget.units import Unit
from budget.water.checks.declared import HEADING, HEADING_AND_END
from budget.water.list_lines import END_OF_LIST
from budget.water.nouns import LISTS, ListOf

# Lines of a list's range besides its items: heading, empty line, 'end of list'.
BESIDES_ITEMS = 3

FROM_END_TO_END = f"From the heading to the row '{END_OF_LIST}'."

# Of a column of a list, and of one of its months alike.
LINES_NOW = Column("lines", "Lines now", Unit.COUNT, FROM_END_TO_END, "lines_here")
SHIFTED = Column(
    "shifted",
    "Out of line",
    Unit.FLAG,
    "1 where it does not begin and end in the rows of the list's first column, or its heading is no text: the checks"
    " of text count on it.",
    "IF(OR({lines}<>first_lines_here, heading_here<>first_heading_here, ISNUMBER(heading_text_here),"
    ' heading_text_here=""), 1, 0)',
)

# A row for each typed column of each list; the words that end in `_here` are replaced row by row.
OF_COLUMNS = [
    Column("of_list", "List", Unit.TEXT, "Its name in the site file."),
    Column("of_column", "Column", Unit.TEXT, "What is typed there."),
    Column("built_lines", "Lines as built", Unit.COUNT, FROM_END_TO_END),
    Column("texts", "Texts at its ends", Unit.COUNT, f"Its heading, and '{END_OF_LIST}' in the first column."),
    LINES_NOW,
    Column("missing", "Fewer lines", Unit.FLAG, "1 where a row was deleted.", "IF({lines}<{built_lines}, 1, 0)"),
    SHIFTED,
    Column(
        "not_read",
        "Cells not read",
        Unit.COUNT,
        "Cells filled in that make an item, less those that the workings found in their lines.",
        "MAX(0, filled_here - {texts} - read_here)",
    ),
]

# The same for the twelve columns of a list's months, side by side.
OF_MONTHS = [
    LINES_NOW,
    SHIFTED,
    Column(
        "not_read",
        "Cells not read",
        Unit.COUNT,
        "Cells filled in that make an item, less those that the workings found in their lines.",
        "MAX(0, filled_here - 1 - read_here)",
    ),
]


def _of(key: str) -> str:
    return f"SUMIF({{list_columns:of_list.all}}, {{of_list}}, {{list_columns:{key}.all}})"


OF_LISTS = [
    Column("of_list", "List", Unit.TEXT, "Its name in the site file."),
    Column("told", "Where", Unit.TEXT, "Its sheet, and what stands in it."),
    Column("missing", "Fewer lines", Unit.COUNT, "Columns that lost a line.", _of("missing")),
    Column("shifted", "Out of line", Unit.COUNT, "Columns out of line.", f"{_of('shifted')} + months_shifted_here"),
    Column("not_read", "Cells not read", Unit.COUNT, "In all columns.", f"{_of('not_read')} + months_not_read_here"),
    Column(
        "amiss",
        "Amiss",
        Unit.FLAG,
        "1 where the list does not hold what its workings read.",
        "IF({missing} + {shifted} + {not_read}>0, 1, 0)",
    ),
    Column(
        "said",
        "What is wrong, and what to do",
        Unit.TEXT,
        "Empty while all is well.",
        'IF({shifted}>0, {told} & ": cells were shifted in a part of a row, or a heading typed over. Undo it.",'
        ' IF({missing}>0, {told} & ": a row was deleted. Insert one above the last empty line.",'
        ' IF({not_read}>0, {told} & ": its last lines are not read. Move them up into empty lines, or'
        ' build again.", "")))',
    ),
]


def texts_at_the_ends(of: ListOf, given: Input) -> int:
    """How many texts a column's range holds at its ends: its heading, in the first one 'end of list' too."""
    return HEADING_AND_END if given is of.inputs[0] else HEADING


def words_of_column(of: ListOf, key: str) -> dict[str, str]:
    """What takes the place of the words in the row of a list's column."""
    (given,) = (given for given in of.inputs if given.key == key)
    return _words(of, given, f"{of.table}:{key}", f"{of.workings}:{key}")


def words_of_months(of: ListOf) -> dict[str, str]:
    """The same for the columns of its twelve months."""
    (given,) = of.monthly
    return _words(of, given, f"{of.months_table}:{given.key}", f"{of.months_workings}:{given.key}")


def _words(of: ListOf, given: Input, column: str, workings: str) -> dict[str, str]:
    """Figures that an empty line holds from the build make no item of it: they are not counted."""
    first = f"{of.table}:{of.inputs[0].key}"
    return {
        "lines_here": f"ROWS({{{column}.all}})",
        "first_lines_here": f"ROWS({{{first}.all}})",
        "heading_here": f"ROW({{{column}.heading}})",
        "first_heading_here": f"ROW({{{first}.heading}})",
        "heading_text_here": f"{{{column}.heading}}",
        "filled_here": "0" if given.default else f"COUNTA({{{column}.all}})",
        "read_here": f'SUMPRODUCT(--({{{workings}.all}}<>""))',
    }


def words_of_list(of: ListOf) -> dict[str, str]:
    """What takes the place of the words in the row of a list: the sums over its months, if it has any."""
    return {
        f"months_{key}_here": f"SUM({{{months_table_name(of)}:{key}.each}})" if of.monthly else "0"
        for key in ("shifted", "not_read")
    }


def months_table_name(of: ListOf) -> str:
    """The table that looks at the twelve months of a list."""
    return f"{of.months_table}_lines"


def _checks() -> Iterator[Check]:
    for section, of in LISTS.items():
        row = f'MATCH("{section}", {{list_lines:of_list.all}}, 0)'
        yield Check(
            f"lines_{section}",
            f"{of.told}: its lines",
            "The list has the lines that its workings read, each cell in its line, and nothing is typed beyond them.",
            f"IFERROR(INDEX({{list_lines:amiss.all}}, {row}), 1)=1",
            f'IFERROR(INDEX({{list_lines:said.all}}, {row}), "{of.told}: its lines cannot be read, errors stand'
            ' there. Undo it, or go back to a copy.")',
            "stop",
        )


def _half_typed() -> Iterator[Check]:
    for section, of in LISTS.items():
        if not of.needed or of.told_beside:
            continue
        titles = " and ".join(given.title.lower() for given in of.inputs if given.key in of.needed)
        yield Check(
            f"half_typed_{section}",
            f"{of.told}: its lines complete",
            f"Every line in which something is typed has: {titles}.",
            f"SUM({{{of.workings}:incomplete.all}})>0",
            f'"{of.told}: a line is filled in, but lacks: {titles}. It counts 0: fill it in, or empty the line."',
            "stop",
        )


LINES = [*_checks()]
HALF_TYPED = [*_half_typed()]
