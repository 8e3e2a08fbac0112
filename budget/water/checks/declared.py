"""Checks that follow from the declarations: each typed cell and column holds what its input accepts.

A validation is passed by whatever is pasted; these rows are not. `{lowest}`, `{highest}` and `{accepted}` are the cells
of the check's own row, in the book's units; `{checked}` names sheet or list, and label.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from budget.declarations import Grade, Input
from budget.units import WHOLE_NUMBERS, Unit
from budget.water import water_table
from budget.water.list_lines import broken_key
from budget.water.nouns import LISTS, MONTHS, NOUNS, THE_WELL, WITH_A_BASE, Noun, place

# Texts at the ends of a list's columns.
HEADING, HEADING_AND_END, HEADINGS_OF_MONTHS = 1, 2, 12


@dataclass(frozen=True)
class Declared:
    """A row of Checks for an input: of the single cell that it names, or of a column of `table`.

    `finding`, `sentence`: templates, read in that row.
    """

    given: Input
    finding: str
    sentence: str
    table: str = ""
    grade: Grade = "stop"


def _within(cell: str, unit: Unit) -> str:
    """The template of 1 where a number lies out of bounds, or is not whole where it must be."""
    outside = f"ROUND({{lowest}} - {cell}, 6)>0, ROUND({cell} - {{highest}}, 6)>0"
    return f"IF(OR({outside}{f', INT({cell})<>{cell}' if unit in WHOLE_NUMBERS else ''}), 1, 0)"


def _in_list(cell: str, choices: tuple[str, ...] | str) -> str:
    """The template of 1 where a word is none of its list; capitals do not matter."""
    if isinstance(choices, str):
        return f"IF(SUMPRODUCT(--({{{choices}.all}}={cell}))>0, 0, 1)"
    words = ", ".join(f'{cell}="{word}"' for word in choices)
    return f"IF(OR({words}), 0, 1)"


def _may_be_empty(given: Input, noun: Noun) -> str:
    """The condition under which an empty cell is no finding; empty text where it never may be empty."""
    if given.optional and given.found in ("", water_table.STORED):
        return "1=1"
    if noun.wanted_where == WITH_A_BASE:  # told by names, all in one, where there is a base
        return "1=1"
    return "well_there=0" if place(given)[0] in THE_WELL else ""


def _of_cell(given: Input, noun: Noun) -> Declared:
    cell = given.name
    number = f"IF(ISNUMBER({cell}), {_within(cell, given.unit)}, 1)"
    found = _in_list(cell, given.choices) if given.choices else number
    empty = _may_be_empty(given, noun)
    if empty == "1=1":
        found = f'IF({cell}="", 0, {found})'
    elif empty:
        found = f'IF(AND({cell}="", {empty}), 0, {found})'
    outside = '"is out of bounds, or not whole"' if given.unit in WHOLE_NUMBERS else '"is out of bounds"'
    wrong = '"is not in the list"' if given.choices else f'IF(ISNUMBER({cell}), {outside}, "is no number")'
    fault = f'IFERROR(IF({cell}="", "is empty", {wrong}), "holds an error")'
    said = f'IF({{finding}}=1, {{checked}} & " " & {fault} & ". Accepted: " & {{accepted}} & ".", "")'
    return Declared(given, f"IFERROR({found}, 1)", said, grade="warn" if noun.wanted_where else "stop")


def _not_whole(cells: str) -> str:
    """The template of 1 where a number of the cells, none below 0, is not whole.

    Only to whole powers can -1 be raised. A function of one number, such as INT, is refused a range by most programs.
    """
    return f"IF(ISNUMBER(SUMPRODUCT((0 - 1)^({cells} + 1))), 0, 1)"


def _broken_line(given: Input, workings: str) -> str:
    """The same of a list, whose range holds its heading as well: its workings tell of each line."""
    return f"IF(SUM({{{workings}:{broken_key(given)}.all}})>0, 1, 0)"


def _of_column(given: Input, table: str, part: str, ends: int = 0, workings: str = "") -> Declared:
    """Numbers of a column, or of the columns of all months: bounds and text in one; empty cells are none.

    `ends`: how many texts its range holds at its ends, as that of a list does; `workings`: the list's.
    """
    cells = f"{{{table}:{given.key}.{part}}}"
    outside = f"ROUND(MAX({{lowest}} - MIN({cells}), MAX({cells}) - {{highest}}), 6)>0"
    numbers = f"COUNT({cells}) + {ends}" if ends else f"COUNT({cells})"
    whole = given.unit in WHOLE_NUMBERS
    broken = (_broken_line(given, workings) if workings else _not_whole(cells)) if whole else "0"
    found = f"IF(COUNTA({cells})>{numbers}, 1, IF(AND(COUNT({cells})>0, {outside}), 1, {broken}))"
    number = f"holds a number out of bounds{', or not whole' if whole else ''}"
    fault = f'IF(COUNTA({cells})>{numbers}, "holds text or an error", "{number}")'
    said = f'IF({{finding}}=1, {{checked}} & ": a cell " & {fault} & ". Accepted: " & {{accepted}} & ".", "")'
    return Declared(given, f"IFERROR({found}, 1)", said, table)


UNFILLED = '" is empty in a line that is filled in. Accepted: " & {accepted} & "."'
UNFILLED_FACTOR = '": an empty cell counts as 1. Type 1, or 0 for a month without any."'


def _unfilled(
    given: Input, table: str, needed: Input, part: str, of: str, said: str = UNFILLED, grade: Grade = "stop"
) -> Declared:
    """Cells of a column that are empty in a row that is otherwise filled in; none is in the heading, which is full.

    `said`: what follows the name of the column.
    """
    empty = f'({{{of}:{needed.key}.all}}<>"") * ({{{table}:{given.key}.{part}}}="")'
    found = f"IFERROR(IF(SUMPRODUCT({empty})>0, 1, 0), 1)"
    return Declared(given, found, f'IF({{finding}}=1, {{checked}} & {said}, "")', table, grade)


def _of_lists() -> Iterator[Declared]:
    for rows in LISTS.values():
        first, *others = rows.inputs
        needed = [given for given in others if given.key in rows.needed]  # 'end of list' stands in the first column
        for given in rows.inputs:
            if given.unit is not Unit.TEXT:
                ends = HEADING_AND_END if given is first else HEADING
                yield _of_column(given, rows.table, "all", ends, rows.workings)
            if given.default and needed:
                yield _unfilled(given, rows.table, needed[0], "all", rows.table)
        for given in rows.monthly:
            yield _of_column(given, rows.months_table, "block", HEADINGS_OF_MONTHS, rows.months_workings)
            if given.default and needed:
                yield _unfilled(given, rows.months_table, needed[0], "block", rows.table, UNFILLED_FACTOR, "warn")


DECLARED: tuple[Declared, ...] = (
    *(_of_cell(given, noun) for noun in NOUNS for given in noun.inputs if given.choices or given.unit is not Unit.TEXT),
    *_of_lists(),
    *(_of_column(given, months.table, "all") for months in MONTHS for given in months.inputs),
)
