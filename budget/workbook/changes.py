"""What was changed by hand since the build: counted, and listed with what it was and what it is.

The book's own papers hold every cell that a person types into, as it was built and as it is. The list stands beside the
checks; where nothing was changed it shows nothing.
"""

from budget.declarations import Column, Result, Rows, Table
from budget.units import Unit
from budget.workbook.check_rows import SHEET

LISTED = 40  # changed cells that the list has room for

TOLD = Result(
    "changes_told",
    "Changed since the build",
    Unit.TEXT,
    f"How many cells of yours, and whether all {LISTED} lines of the list are taken.",
    'IF(inputs_changed=0, "Every cell of yours holds what the build put there.",'
    ' inputs_changed & IF(inputs_changed=1, " cell holds", " cells hold") & " something else than the build put there."'
    f' & IF(inputs_changed>{LISTED}, " Here are the first {LISTED}; "'
    f' & (inputs_changed - {LISTED}) & " more are not listed.", ""))',
)
SHIFTED = Result(
    "changes_shifted",
    "Lines inserted or taken out",
    Unit.TEXT,
    "Said where more than one changed cell holds what its neighbour was built with.",
    'IF(inputs_shifted>1, inputs_shifted & " of them hold what stood in the line above or below: was a line inserted,'
    ' taken out or sorted there?", "")',
)


def _held(papers_column: str) -> str:
    """The template of what the papers hold of the change in this row; empty where there is none."""
    cell = f"INDEX({{papers:{papers_column}.all}}, {{change_row}})"
    return f'IF({{change_row}}=0, "", IF({cell}="", "", {cell}))'


def _number(cell: str) -> str:
    """The template of a number as people read it: a share in percent, a day in words; empty where there is none."""
    day = f'DAY({cell}) & " " & INDEX({{calendar:month_name.all}}, MONTH({cell})) & " " & YEAR({cell})'
    return (
        f'IFERROR(IF({{changed_unit}}="date", IFERROR({day}, {cell}), {cell} * IF({{changed_unit}}="%", 100, 1)), "")'
    )


def _shown(cell: str, number: str) -> str:
    """The template of a value as people read it; an empty cell is told, and a text where a number was."""
    text = f'{cell} & IF(ISNUMBER({{change_built}}), " (text)", "")'
    nothing = 'IF({change_row}=0, "", "empty")'
    return f'IFERROR(IF({cell}="", {nothing}, IF(ISNUMBER({cell}), {number}, {text})), "an error")'


COLUMNS = [
    Column("changed_input", "What", Unit.TEXT, "Sheet and label; in a list the line.", _held("input_title")),
    Column("changed_place", "Cell", Unit.TEXT, "Sheet and cell when it was built.", _held("input_place")),
    Column(
        "changed_from",
        "As built",
        Unit.TEXT,
        "What the build put there, shares in percent.",
        _shown("{change_built}", "{built_told}"),
    ),
    Column(
        "changed_to",
        "Now",
        Unit.TEXT,
        "What stands there, shares in percent.",
        _shown("{change_now}", "{now_told}"),
    ),
    Column("changed_unit", "Unit", Unit.TEXT, "Of both.", _held("input_unit")),
    Column("change", "No.", Unit.COUNT, "Counted in the order of the papers."),
    Column(
        "change_row",
        "Row of the papers",
        Unit.COUNT,
        "0 where there are fewer changes.",
        "IFERROR(MATCH({change}, {papers:changed_so_far.all}, 0), 0)",
    ),
    Column("change_built", "As built", Unit.TEXT, "As it stands in the papers.", _held("input_built")),
    Column("change_now", "Now", Unit.TEXT, "As it stands in the papers.", _held("input_now")),
    Column(
        "built_told", "As built, a number", Unit.TEXT, "A share in percent, a day in words.", _number("{change_built}")
    ),
    Column("now_told", "Now, a number", Unit.TEXT, "A share in percent, a day in words.", _number("{change_now}")),
]


def changes() -> Table:
    """The changed cells, in the order of the papers."""
    return Table("changes", SHEET, Rows("change", LISTED), COLUMNS, data={"change": list(range(1, LISTED + 1))})
