"""The reference tables: crops, soils, household uses and animals, read from `templates/` into the book's units.

A table's headings are the keys of the noun's `REFERENCE`, and each cell is a quantity of that input's kind,
so that no unit is written a second time here.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path

from budget.declarations import Input
from budget.errors import ModelError
from budget.units import System, Unit, to_book
from budget.water import animals, garden_demand, ground, household_demand, pond, roof, soil

# Each table by the name that `choices` and formulas use: its file, and what its columns are.
TABLES: dict[str, tuple[str, Sequence[Input]]] = {
    "crops": ("crops.csv", garden_demand.REFERENCE),
    "soils": ("soils.csv", soil.REFERENCE),
    "uses": ("household_uses.csv", household_demand.REFERENCE),
    "animal_table": ("animals.csv", animals.REFERENCE),
    "pond_soils": ("pond_soils.csv", pond.REFERENCE),
    "roof_table": ("roofs.csv", roof.REFERENCE),
    "bearing": ("bearing.csv", ground.REFERENCE),
}


def templates_folder() -> Path:
    """The folder of starters and reference tables: in an installed package, or beside it in a checkout."""
    return _travelling("templates")


def _travelling(name: str) -> Path:
    """A folder that stands beside the package in a checkout and inside it once installed."""
    package = Path(__file__).parent
    inside = package / name
    return inside if inside.is_dir() else package.parent / name


def reference(name: str, system: System) -> list[dict[str, float | str]]:
    """The rows of a reference table by heading: quantities as numbers in the book's units, texts as text.

    Raises ModelError where there is no such table, where its headings are not the declared ones, or where a
    cell is not a quantity of its column's kind.
    """
    if name not in TABLES:
        raise ModelError(f"there is no reference table '{name}'")
    file_name, columns = TABLES[name]
    path = templates_folder() / file_name
    try:
        with path.open(encoding="utf-8", newline="") as file:
            lines = list(csv.reader(file, strict=True))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ModelError(f"{file_name} cannot be read: {error}") from error
    keys = [column.key for column in columns]
    if not lines or lines[0] != keys:
        raise ModelError(f"{file_name}: its headings are not {', '.join(keys)}")
    return [_row(cells, columns, f"{file_name} row {row}", system) for row, cells in enumerate(lines[1:], 2)]


def _row(cells: list[str], columns: Sequence[Input], where: str, system: System) -> dict[str, float | str]:
    if len(cells) != len(columns):
        raise ModelError(f"{where}: {len(cells)} cells under {len(columns)} headings")
    row: dict[str, float | str] = {}
    for column, cell in zip(columns, cells, strict=True):
        try:
            row[column.key] = cell if column.unit is Unit.TEXT else to_book(cell, column.unit, system)
        except ValueError as error:
            raise ModelError(f"{where}, {column.key}: '{cell}' {error}") from error
    return row


@cache
def names(table: str, column: str) -> tuple[str, ...]:
    """The words of one column of a reference table, in its order."""
    return tuple(str(row[column]) for row in reference(table, "metric"))


def examples_folder() -> Path:
    """The folder of the invented example sites, beside the package in a checkout, inside it in a wheel."""
    return _travelling("example_inputs")
