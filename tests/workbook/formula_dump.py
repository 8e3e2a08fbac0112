"""Every formula of the US example as text, one line a column: `python -m tests.workbook.formula_dump` writes it anew.

A line holds `table:key = formula of its first row`, and lines of their own for the opening and the closing cell and,
where a column reads its left neighbour, for the second item. Addresses are told by what stands there, so that a new
row or column elsewhere changes no line: `stored` in the same row, `stored[-1]` in the row above, `stored[all]` the
whole column, `stored[0]` its first row seen from a table of other rows, `:2` the second item of a repeated column.
"""

from __future__ import annotations

from pathlib import Path

from openpyxl.formula import Tokenizer

from budget.declarations import Column
from budget.workbook.book import CellKey
from budget.workbook.placement import Placement
from tests.computed import Computed
from tests.workbook.cell_formulas import Area, formulas, names, operand

TARGET = Path(__file__).parent / "formulas.txt"
Place = tuple[Placement, str, int, int]  # table, column's key, item, row


def dump(computed: Computed) -> str:
    """The text of the dump, ending in a line feed."""
    workbook = computed.book.workbook
    texts, known, places = formulas(workbook), names(workbook), places_of(computed)
    lines: list[str] = []
    for table, placement in computed.book.directory.placements.items():
        for column in placement.table.columns:
            if not isinstance(column, Column):
                continue
            for label, item, row in first_cells(placement, column):
                where = (placement.sheet, *placement.cell(column.key, item, row))
                if where in texts:
                    lines.append(f"{table}:{column.key}{label} {told(texts[where], where, known, places)}")
    for result in computed.book.results:
        where = computed.book.directory.names[result.name]
        lines.append(f"{result.name} {told(texts[where], where, known, places)}")
    return "\n".join(lines) + "\n"


def first_cells(placement: Placement, column: Column) -> list[tuple[str, int, int]]:
    """The cells of a column that are told: a label, the item of `each`, the row.

    Where every row has its own formula, all are told, by their row; those with a name are told as results.
    """
    table = placement.table
    cells = [("", 0, 0)]
    if column.key in ("finding", "said", "holds", "says"):
        cells = [(f"[{row}]", 0, row) for row in range(table.rows.size) if not table.name_of(column.key, row)]
    if column.leftmost is not None:
        cells.append((":2", 1, 0))
    if placement.table.opening_of(column) is not None:
        cells.append((" before", 0, -1))
    if column.closing is not None:
        cells.append((" after", 0, placement.table.rows.size))
    return cells


def places_of(computed: Computed) -> dict[CellKey, Place]:
    """What stands in each cell of a table, openings at row -1, closings behind the last row."""
    found: dict[CellKey, Place] = {}
    for placement in computed.book.directory.placements.values():
        table = placement.table
        for column in table.columns:
            # Every column has a cell there, if an empty one, where any has: the first row may read it.
            first, last = -1 if table.has_opening else 0, table.rows.size + table.has_closing
            above, below = placement.guard
            first, last = first - above, last + below
            for item in range(table.each.size if table.each else 1):
                for row in range(first, last):
                    where = (placement.sheet, *placement.cell(column.key, item, row))
                    found[where] = (placement, column.key, item, row)
    return found


def told(text: str, where: CellKey, known: dict[str, Area], places: dict[CellKey, Place]) -> str:
    """A formula with every address told by what stands there; defined names stay."""
    parts: list[str] = []
    for token in Tokenizer(text).items:
        area = None if token.value in known else operand(token, where[0], known)
        parts.append(token.value if area is None else place_told(area, places.get(where), places) or token.value)
    return "= " + "".join(parts)


def place_told(area: Area, own: Place | None, places: dict[CellKey, Place]) -> str | None:
    """An area as table, column and rows; None where no table stands."""
    cells = area.cells()
    if cells[0] not in places or cells[-1] not in places:
        return None
    (placement, key, item, row), (_, _, last_item, last_row) = places[cells[0]], places[cells[-1]]
    table = placement.table
    name = f"{table.name}:{key}" + (f":{item + 1}" if table.each and item == last_item else "")
    if last_item > item:
        name += ":each"
    if last_row > row:
        above, below = placement.guard
        whole = row == -above and last_row == table.rows.size - 1 + below
        return f"{name}[{'all' if whole else f'{row}..{last_row}'}]"
    alike = own is not None and own[0].table.rows.name == table.rows.name
    step = row - own[3] if alike and own is not None else row
    return f"{name}[{step:+d}]" if alike and step else name if alike else f"{name}[{row}]"


if __name__ == "__main__":
    from tests.conftest import computed_example

    TARGET.write_text(dump(computed_example("terrace_house")), encoding="utf-8")
    print(f"{TARGET.name} is written")
