"""The lines of a list: what the workings of each take from it, and what is shown beside them.

A list is read by position, in the range from its heading to its row 'end of list', so that no line is lost or counted
twice however people sort it, cut and paste in it, or insert rows.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from budget.declarations import Column, Input
from budget.units import WHOLE_NUMBERS, Unit

# What stands in the row below a list, in its first column.
END_OF_LIST = "end of list"


def typed_again(inputs: Sequence[Input], table: str) -> list[Column]:
    """What is typed in the list `table`, as its workings take it: by position, an empty cell as an empty text."""
    return [
        Column(
            given.key,
            given.title,
            given.unit,
            "As typed, at this place of the list.",
            f'IF({{{table}:{given.key}}}="", "", {{{table}:{given.key}}})',
        )
        for given in inputs
    ]


def not_whole(inputs: Sequence[Input]) -> list[Column]:
    """Where a number is typed that is not whole and must be: what the checks ask of each line."""
    return [
        Column(
            broken_key(given),
            f"{given.title}: not whole",
            Unit.FLAG,
            "1 where a number is typed that is not whole.",
            f"IF(ISNUMBER({{{given.key}}}), IF(INT({{{given.key}}})<>{{{given.key}}}, 1, 0), 0)",
        )
        for given in inputs
        if given.unit in WHOLE_NUMBERS
    ]


def incomplete(inputs: Sequence[Input], needed: Sequence[str]) -> list[Column]:
    """Where something is typed in a line but not what makes an item of it, which would count for nothing.

    What a spare line holds from the build is not typed.
    """
    if not needed:
        return []
    lacks = ", ".join(f'{{{key}}}=""' for key in needed)
    typed = " & ".join(f"{{{given.key}}}" for given in inputs if not given.default)
    return [
        Column(
            "incomplete",
            "Incomplete",
            Unit.FLAG,
            "1 where something is typed in the line, but not what it must have.",
            f'IF(AND(OR({lacks}), {typed}<>""), 1, 0)',
        )
    ]


def broken_key(given: Input) -> str:
    """The column of a list's workings that is 1 where a number of that input is not whole."""
    return f"{given.key}_broken"


def shown_beside(columns: Mapping[str, Column], keys: Sequence[str], workings: str, heading: str) -> list[Column]:
    """Columns of the workings, looked up by the row in which they stand, counted from the list's heading.

    Nothing reads them. What stands in a row that was inserted, or pushed out of what the workings read, says so.
    """
    return [
        replace(columns[key], formula=_of_this_row(f"{{{workings}:{key}.all}}", heading), opening=None) for key in keys
    ]


def _of_this_row(workings: str, heading: str) -> str:
    place = f"ROW() - ROW({{{heading}.heading}})"
    return f'IF({place}>ROWS({workings}), "not read", INDEX({workings}, {place}))'
