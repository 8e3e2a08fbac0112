"""A one-sheet book for one noun: its own formulas on figures that a test gives, evaluated by the engine."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from budget.declarations import Column, Input, Result, Rows, Table
from budget.units import FACTORS, System, Unit
from budget.workbook.book import Book
from budget.workbook.engine import Computed, Model
from budget.workbook.page import Page
from budget.workbook.placement import Placement

SHEET = "Bench"
Given = float | str | None


def evaluate(
    columns: Sequence[Column],
    rows: Mapping[str, Sequence[Given]],
    names: Mapping[str, Given | Sequence[float]],
    system: System = "metric",
    tables: Sequence[Table] = (),
    results: Sequence[Result] = (),
) -> dict[str, list[Computed]]:
    """The values of `columns` along `rows`, by key; those of `results` by name; of `tables` by `table:key`.

    `rows` holds the data columns; one that `columns` declares with a formula is given instead of computed. `names`
    are the named cells, in the units of `system`; a list there gives that name another value in each row. The
    factors of the units that a formula names are there. `tables` are tables on `SHEET` that the formulas read, without
    `each`.
    """
    book = Book(system)
    page = Page(book, SHEET, "Bench", "One noun on given figures.", "FFFFFF")
    said = " ".join(_formulas([*columns, *results, *(column for table in tables for column in table.columns)]))
    if factors := [factor for factor in FACTORS if factor.name in said]:
        page.factors(factors)
    by_row = {name: values for name, values in names.items() if isinstance(values, (list, tuple))}
    page.inputs([_named(name) for name in names if name not in by_row], names)  # type: ignore[arg-type]
    page.results(results)
    data = {**rows, **by_row}
    size = len(next(iter(data.values()))) if data else 0
    bench = Table(
        "bench",
        SHEET,
        Rows("bench", size),
        # `stepwise` is for LibreOffice alone, and would need the calendar's table.
        [
            *(replace(column, stepwise=False) for column in columns if column.key not in data),
            *(_data(key, columns) for key in data),
        ],
        given={name: f"{{{name}}}" for name in by_row},
        data=data,
    )
    placements = [page.table(table) for table in (*tables, *([bench] if size else []))]
    book.write_formulas()
    model = Model(book)
    model.evaluate()
    found = {result.name: [model.value(result.name)] for result in results}
    for placement in placements:
        prefix = "" if placement.table is bench else f"{placement.table.name}:"
        found |= {f"{prefix}{column.key}": _values(model, placement, column.key) for column in placement.table.columns}
    return found


def data_table(name: str, size: int, columns: Sequence[Column], data: Mapping[str, Sequence[Given]]) -> Table:
    """A table on the bench sheet: `columns` with formulas, and the columns of `data`."""
    declared = [*(column for column in columns if column.key not in data), *(_data(key, columns) for key in data)]
    return Table(name, SHEET, Rows(name, size), declared, data=data)


def _formulas(declared: Sequence[Column | Input | Result]) -> list[str]:
    parts = (getattr(one, part, None) for one in declared for part in ("formula", "opening", "closing"))
    return [part for part in parts if part]


def _named(name: str) -> Input:
    return Input(name, name, Unit.NUMBER, "Given by the test.", "", low="-1e12", high="1e12")


def _data(key: str, columns: Sequence[Column]) -> Column:
    """The column of that key without its formula, or a plain one where none is declared."""
    for column in columns:
        if column.key == key:
            return replace(column, formula=None, opening=None, closing=None)
    return Column(key, key, Unit.NUMBER, "Given by the test.")


def _values(model: Model, placement: Placement, key: str) -> list[Computed]:
    return [model.cell((placement.sheet, *placement.cell(key, 0, row))) for row in range(placement.table.rows.size)]
