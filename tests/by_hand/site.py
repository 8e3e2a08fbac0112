"""What a site is made of, as the ledgers by hand read it."""

from dataclasses import dataclass, field

import numpy as np

Columns = dict[str, np.ndarray]


@dataclass
class Site:
    """One site in metric units.

    `inputs`: every single input by its key, None where the cell is empty.
    `record`: the months' figures by column, the warm-up rows in front (in_record 0), one array a column.
    `lists`: "household", "garden", "animals", "roofs", the evidence "recovery", "dips", "remembered" and the reference
    tables "soils", "uses", "crops", "animal_table", "roof_table", "pond_soils", "bearing", one dict a row.
    `filling`: twelve of None, 0 or 1; `kept`: twelve of None or a volume [L]; both by calendar month.
    `year_numbers`: the rows of the table of years, calendar years of the record.
    `monthly_depth`: twelve of None or a depth to water [m]; `safe_take`: twelve of None or a take [L/day];
    `rain_so_far`: twelve of None or rain [mm] of this year's months.
    `station_heights`: None or a height [m], one for each weather station that was looked at.
    `frosts`: what the record tells, one dict a row: "name", "spell" (days in a row, 0 for a night), "from" and "until"
    as (month, day) or None, the same in words as "from_told" and "until_told".
    `declared`: grade and sentence of what the book finds wrong in single cells and columns, none in a sound book.
    `volume_unit` [L], `depth_unit` [mm], `length_unit` [m]: the units of the book, in which figures are rounded before
    they are compared.
    """

    inputs: dict[str, float | str | None]
    record: Columns
    lists: dict[str, list[dict]]
    filling: list
    kept: list
    year_numbers: list[int]
    monthly_depth: list = field(default_factory=lambda: [None] * 12)
    safe_take: list = field(default_factory=lambda: [None] * 12)
    rain_so_far: list = field(default_factory=lambda: [None] * 12)
    station_heights: list = field(default_factory=list)
    frosts: list[dict] = field(default_factory=list)
    declared: list[tuple[str, str]] = field(default_factory=list)
    volume_unit: float = 1.0
    depth_unit: float = 1.0
    length_unit: float = 1.0

    def number(self, key: str, empty: float = 0.0) -> float:
        """The input as a number, `empty` where nothing is typed."""
        value = self.inputs.get(key)
        return empty if value is None else float(value)

    def word(self, key: str) -> str:
        """The input as a word, '' where nothing is typed."""
        value = self.inputs.get(key)
        return "" if value is None else str(value)


def row_named(table: list[dict], column: str, name: object) -> int:
    """Row of a reference table (counted from 1) whose `column` is `name`, 0 where there is none."""
    if name is None or name == "":
        return 0
    for row, line in enumerate(table, start=1):
        if str(line[column]).casefold() == str(name).casefold():
            return row
    return 0
