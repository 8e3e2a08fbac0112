"""How a table lies on its sheet: columns side by side and rows down, or columns down and rows across.

Down, from the top: hidden keys, groups, titles, items of `each`, units, [opening], the rows, [closing].
A list: hidden keys, groups, an empty row, headings, the rows, an empty row, 'end of list'.
Across, from the left: title, unit, [before], the rows, [after], meaning; the rows' labels stand above.
"""

from __future__ import annotations

from collections.abc import Sequence

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table as ListOfLines

from budget.declarations import Column, Input, Rows, Table
from budget.errors import ModelError
from budget.units import DAY_FORMAT, Unit
from budget.water.list_lines import END_OF_LIST
from budget.workbook.book import edges
from budget.workbook.cells import KEY, LABEL, TITLE_ROW, Cells, area
from budget.workbook.placement import Placement
from budget.workbook.styles import Role
from budget.workbook.text_size import BOLD, USUAL_WIDTH, height_of, lines_of

KEYS, GROUPS, TITLES, ITEMS, UNITS, HEAD = range(6)  # the rows of the head, counted from a table's top; its height
LIST_SPACE, LIST_HEADING, LIST_HEAD = 2, 3, 4  # those of a list below keys and groups; its height
THIN = 4  # points, of the empty rows round a list
FAULT = "fault"  # key of the columns that say what is to be mended in their row


def rows_above(table: Table) -> int:
    """Rows from the top of a table that lies down to its row 0."""
    if table.listed:
        return LIST_HEAD
    return HEAD + (1 if table.has_opening else 0)


def top_of(placement: Placement) -> int:
    """The sheet's row of the hidden keys of a table that lies down."""
    return placement.first_row - rows_above(placement.table)


def copies_of(table: Table) -> int:
    """How often each column is repeated."""
    return table.each.size if table.each else 1


def right_of(placement: Placement) -> int:
    """The sheet's column right of a table that lies down."""
    return placement.first_column + len(placement.offsets) * copies_of(placement.table)


def row_below(placement: Placement) -> int:
    """The sheet's row below a table."""
    table = placement.table
    bottom, _ = placement.cell(table.columns[-1].key, 0, table.rows.size)
    if table.listed:
        return bottom + 2
    return bottom + (1 if table.transposed or table.has_closing else 0)


def lay_down(cells: Cells, table: Table, top: int, left: int, above: int) -> Placement:
    """Lay a table's columns side by side, its rows down; the first of them stands so many rows below the top."""
    copies = copies_of(table)
    offsets = {column.key: index * copies for index, column in enumerate(table.columns)}
    for column in table.columns:
        for item in range(copies):
            _column_head(cells, table, column, item, top, left + offsets[column.key] + item)
    rows = cells.sheet.row_dimensions
    rows[top + KEYS].hidden = True
    rows[top + GROUPS].hidden = not table.groups
    rows[top + ITEMS].hidden = table.each is None and not rows[top + ITEMS].height
    high = height_of(_title_lines(cells, table, left), 6)
    cells.height(top + TITLES, max(high, rows[top + TITLES].height or 0))
    return Placement(table, cells.name, top + above, left, offsets)


def _column_head(cells: Cells, table: Table, column: Column | Input, item: int, top: int, at: int) -> None:
    suffix = f":{item + 1}" if table.each else ""
    cells.put(top + KEYS, at, f"{table.name}:{column.key}{suffix}", "key")
    cells.put(top + GROUPS, at, table.groups.get(column.key) if item == 0 else None, "group")
    cells.put(top + TITLES, at, column.title, "column_title")
    cells.put(top + UNITS, at, column.unit.label(cells.book.system), "column_unit")
    cells.put(top + ITEMS, at, _item_label(table.each, item), "column_unit")
    if isinstance(column, Column):
        cells.explain(top + TITLES, at, column.meaning, column.source)


def lay_list(cells: Cells, table: Table, top: int, left: int) -> Placement:
    """Lay a list, or what stands beside one in the same rows.

    A program that sorts takes all that touches: what has no empty column before it belongs to the list. The headings
    touch the items, for a list with an empty column would fall apart where they do not, and every one is filled, so
    that they are known for headings; above them and below the last row a row is empty, and nothing else is sorted in.
    """
    copies = copies_of(table)
    offsets = {column.key: index * copies for index, column in enumerate(table.columns)}
    lines = 1
    for column in table.columns:
        for item in range(copies):
            at = left + offsets[column.key] + item
            text = _list_head(cells, table, column, item, top, at)
            lines = max(lines, lines_of(text, cells.width(at) * BOLD))
    rows = cells.sheet.row_dimensions
    rows[top + KEYS].hidden = True
    if left == LABEL or table.groups or table.each:
        rows[top + GROUPS].hidden = not (table.groups or table.each)
    placement = Placement(table, cells.name, top + LIST_HEAD, left, offsets)
    cells.height(top + LIST_HEADING, max(height_of(lines, 6), rows[top + LIST_HEADING].height or 0))
    cells.height(top + LIST_SPACE, THIN)
    if table.listed:
        end = row_below(placement) - 1
        cells.height(end - 1, THIN)
        if left == LABEL:
            cells.put(end, left, END_OF_LIST, "note")
    return placement


def bind_lines(cells: Cells, first: Placement, last: Placement) -> None:
    """Let programs know the columns from those of `first` to those of `last` for one list with a row of headings.

    They then sort all of its columns, whatever lies empty between two figures of a column. It has no buttons to filter
    by: a filter hides lines.
    """
    top, left = first.heading(first.table.columns[0].key, 0)
    bottom, right = top + first.table.rows.size, right_of(last) - 1
    bound = ListOfLines(displayName=f"{first.table.name}_lines", ref=area(top, left, bottom, right))
    bound._initialise_columns()
    for at, column in enumerate(bound.tableColumns, left):
        column.name = cells.sheet.cell(top, at).value  # Excel holds a file for broken where it is not the heading
    bound.autoFilter = None
    cells.sheet.add_table(bound)


def _list_head(cells: Cells, table: Table, column: Column | Input, item: int, top: int, at: int) -> str:
    """Write the head of a column of a list; returns its heading."""
    suffix = f":{item + 1}" if table.each else ""
    cells.put(top + KEYS, at, f"{table.name}:{column.key}{suffix}", "key")
    unit = column.unit.label(cells.book.system)
    told = [column.title, *([unit] if unit and unit not in column.title.lower().split() else [])]
    group = table.groups.get(column.key) or (", ".join(told) if table.each else None)
    cells.put(top + GROUPS, at, group if item == 0 else None, "group")
    heading = _item_label(table.each, item) or ", ".join(told)
    cells.put(top + LIST_HEADING, at, heading, "column_title")
    if isinstance(column, Column):
        cells.explain(top + LIST_HEADING, at, column.meaning, column.source)
    return heading


def _item_label(each: Rows | None, item: int) -> str | None:
    if each is None:
        return None
    return each.labels[item] if each.labels else f"{each.name} {item + 1}"


def _title_lines(cells: Cells, table: Table, left: int) -> int:
    """Lines that the highest title takes; a column without a width of its own is made as wide as its words."""
    lines, copies = 1, copies_of(table)
    for index, column in enumerate(table.columns):
        longest = max(column.title.split(), key=len)
        for at in range(left + index * copies, left + (index + 1) * copies):
            letter = get_column_letter(at)
            if not cells.has_width(letter) and len(longest) > USUAL_WIDTH:
                cells.widths(**{letter: len(longest) + 1})
            lines = max(lines, lines_of(column.title, cells.width(at) * BOLD))
    return lines


def refuse_runs(table: Table) -> None:
    """Raise ModelError where the rows of a table fall into runs."""
    if table.rows.runs is not None:
        raise ModelError(f"table {table.name} falls into runs, which this layout does not know")


def shorten_head(cells: Cells, placement: Placement, top: int) -> None:
    """Bring the head of a table that lies down, from the row `top`, to two rows: titles and units."""
    table = placement.table
    for column in table.columns:
        for item in range(copies_of(table)):
            _, at = placement.cell(column.key, item, 0)
            told = (_item_label(table.each, item), column.unit.label(cells.book.system))
            cells.put(TITLE_ROW, at, table.groups.get(column.key) if item == 0 else None, "group")
            cells.put(top + UNITS, at, ", ".join(part for part in told if part), "column_unit")
    for row in (GROUPS, ITEMS):
        cells.sheet.row_dimensions[top + row].hidden = True


def label_rows(cells: Cells, table: Table, top: int, left: int, title: str, names: Sequence[object]) -> None:
    """A name for each row of a table that lies down, in a column of their own under a title.

    Raises ModelError where the rows fall into runs, whose opening rows have no names.
    """
    refuse_runs(table)
    cells.put(top + TITLES, left, title, "column_title")
    for row in (GROUPS, ITEMS, UNITS):
        cells.put(top + row, left, None, "column_unit")
    for row, name in enumerate(names, top + rows_above(table)):
        cells.put(row, left, str(name), "label")


def lay_across(cells: Cells, table: Table, top: int, left: int) -> Placement:
    """Lay a table's rows across, its columns down. Raises ModelError where they fall into runs."""
    refuse_runs(table)
    first_column = left + 2 + (1 if table.has_opening else 0)
    last_column = first_column + table.rows.size - 1
    note_column = last_column + (2 if table.has_closing else 1)
    for index, label in enumerate(table.rows.labels):
        cells.put(top, first_column + index, label, "column_title")
    ends = {first_column - 1: "before" if table.has_opening else None, last_column + 1: "after"}
    for at in range(left, note_column):
        if not first_column <= at <= last_column:
            cells.put(top, at, ends.get(at), "column_title")
    row = top + 1
    offsets: dict[str, int] = {}
    for column in table.columns:
        group = table.groups.get(column.key)
        if group:
            for at in range(left, note_column):
                cells.put(row, at, group if at == left else None, "group")
            row += 1
        offsets[column.key] = row - (top + 1)
        _line_head(cells, table, column, row, left, note_column)
        row += 1
    return Placement(table, cells.name, top + 1, first_column, offsets)


def _line_head(cells: Cells, table: Table, column: Column | Input, row: int, left: int, note_column: int) -> None:
    cells.put(row, KEY, f"{table.name}:{column.key}", "key")
    cells.put(row, left, column.title, "label")
    cells.put(row, left + 1, column.unit.label(cells.book.system), "unit")
    texts = {left: column.title}
    if table.headline:  # printed to its edge: its notes fold
        texts[note_column] = column.meaning
    cells.put(row, note_column, column.meaning, "folded_note" if table.headline else "note")
    cells.fit_height(row, texts)


def fill(cells: Cells, placement: Placement) -> None:
    """Write a table's data and typed cells, and prepare every cell that will hold a formula."""
    table = placement.table
    for column in table.columns:
        if isinstance(column, Column) and column.formula is None and column.key not in table.data:
            raise ModelError(f"table {table.name}: no data for column '{column.key}'")
        _fill_column(cells, placement, column)
        if isinstance(column, Input) and not table.reference:
            _open(cells, placement, column)


def _fill_column(cells: Cells, placement: Placement, column: Column | Input) -> None:
    table = placement.table
    role, number_format = _role(table, column), _format(cells, table, column)
    values = table.data.get(column.key)
    for item in range(copies_of(table)):
        series = values[item] if values is not None and table.each else values
        for row in range(table.rows.size):
            where = placement.cell(column.key, item, row)
            if series is None:
                cells.prepare(*where, role, number_format)
            else:
                cells.put(*where, series[row], role, number_format)  # type: ignore[index]
        for row, name in enumerate(table.names.get(column.key, ())):
            if name:
                cells.define(name, *placement.cell(column.key, item, row))
        for edge in edges(table, column) if isinstance(column, Column) else ():
            cells.prepare(*placement.edge(column.key, item, edge.run, edge.closing), "edge", number_format)


def _role(table: Table, column: Column | Input) -> Role:
    typed = isinstance(column, Input) and not table.reference
    if table.headline:
        return "result"
    if column.key == FAULT:
        return "warning"
    if typed:
        return "input_words" if column.unit is Unit.TEXT else "input"
    if column.unit is Unit.TEXT and not table.transposed:
        return "words"
    return "data" if column.key in table.data else "body"


def _format(cells: Cells, table: Table, column: Column | Input) -> str:
    typed = isinstance(column, Input) and not table.reference
    usual = cells.format_of(column.unit)
    return _without_zeros(usual) if table.spare and not typed and column.unit is not Unit.TEXT else usual


def _without_zeros(number_format: str) -> str:
    """The number format that shows nothing for 0."""
    if number_format == DAY_FORMAT:
        return number_format
    return f'[=0]"";{number_format}' if number_format.startswith("[") else f"{number_format};-{number_format};"


def _open(cells: Cells, placement: Placement, given: Input) -> None:
    """Validate the typed cells of a column, and name its range."""
    table = placement.table
    first = placement.cell(given.key, 0, 0)
    last = placement.cell(given.key, copies_of(table) - 1, table.rows.size - 1)
    cells.validate(given, area(*first, *last))
    above, below = placement.guard
    cells.define_range(f"{table.name}_{given.key}", first[0] - above, first[1], last[0] + below, last[1])
