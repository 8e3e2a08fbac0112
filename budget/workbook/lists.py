"""What a person types: lists of the house, the garden and the well, and the figures of the calendar months."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from budget.declarations import Column, Input, Rows, Table
from budget.water import (
    animals,
    dips,
    effective_rain,
    garden_demand,
    ground,
    household_demand,
    kept_for_house,
    pond,
    pump,
    readings,
    recovery_test,
    roof,
    soil,
    tank,
    water_table,
)
from budget.water.list_lines import incomplete, not_whole, shown_beside, typed_again
from budget.water.nouns import LISTS
from budget.workbook.material import Material, Series
from budget.workbook.rows import CALENDAR, ONE, READING

# Empty lines at the end of a list, and how many lines it has at least.
SPARE_LINES, FEWEST_LINES = 3, 8
SPARE_ZONES, FEWEST_ZONES = 1, 4
SPARE_HERDS, FEWEST_HERDS = 2, 4
SPARE_DIPS, FEWEST_DIPS = 12, 24
SPARE_ROOFS, FEWEST_ROOFS = 1, 4


def zone_rows(material: Material) -> Rows:
    """The zones of the garden, spare ones too."""
    return _lines("zone", material.lists["garden"], SPARE_ZONES, FEWEST_ZONES)


def household_tables(material: Material) -> list[Table]:
    """People and animals: their uses, the factors of the months, and what a day asks for."""
    lines = _lines("line", material.lists["household"], SPARE_LINES, FEWEST_LINES)
    herds = _lines("herd", material.lists["animals"], SPARE_HERDS, FEWEST_HERDS)
    return [
        _reference("uses", "Household", household_demand.REFERENCE, material),
        *listed("household", "Household", lines, household_demand.LINES, material, shown=("line_daily", "unknown")),
        *_months_of("household", "Household", lines, material, 1.0),
        _reference("animal_table", "Household", animals.REFERENCE, material),
        *listed("animals", "Household", herds, animals.LINES, material, shown=("herd_daily", "unknown")),
        *_months_of("animals", "Household", herds, material, 1.0),
        Table("people_days", "Household", ONE, household_demand.PEOPLE, each=CALENDAR),
        Table("animal_days", "Household", ONE, animals.MONTHLY, each=CALENDAR),
        Table("household_daily", "Household", ONE, household_demand.MONTHLY, each=CALENDAR),
    ]


def garden_tables(material: Material, zones: Rows) -> list[Table]:
    """Zones, crops, and the crop coefficients of the months."""
    return [
        _reference("crops", "Garden", garden_demand.REFERENCE, material),
        *listed(
            "garden",
            "Garden",
            zones,
            [*garden_demand.ZONES, *effective_rain.STORAGE_FACTOR],
            material,
            shown=("watered_area", "unknown", "unsized"),
        ),
        *_months_of("garden", "Garden", zones, material, None, garden_demand.KC_WORKINGS),
        Table("garden_names", "Garden", zones, garden_demand.NAMES),
        Table("crop_coefficients", "Garden", zones, garden_demand.KC_IN_USE, each=CALENDAR, spare=True),
    ]


def well_tables(material: Material) -> list[Table]:
    """The recovery test, measured depths, and what is typed for the months."""
    dip_rows = _lines("dip", material.lists["dips"], SPARE_DIPS, FEWEST_DIPS)
    return [
        _reference("soils", "Well", soil.REFERENCE, material),
        *listed(
            "recovery",
            "Well",
            READING,
            [*recovery_test.COLUMNS, *recovery_test.SHOWN, *recovery_test.DRAWN],
            material,
            shown=_keys(recovery_test.SHOWN),
        ),
        *listed(
            "dips",
            "Well",
            dip_rows,
            [*dips.COLUMNS, *dips.SHOWN, *dips.DRAWN],
            material,
            shown=_keys(dips.SHOWN),
        ),
        _calendar_table("well_months", "Well", [*water_table.BY_CALENDAR_MONTH, *pump.BY_CALENDAR_MONTH], material),
        Table("month_workings", "Well", CALENDAR, [*water_table.MONTH_WORKINGS, *pump.MONTH_WORKINGS]),
    ]


def storage_tables(material: Material) -> list[Table]:
    """Pond soils, roofs, the ground under the tank, and what is typed for the months."""
    roof_rows = _lines("roof", material.lists["roofs"], SPARE_ROOFS, FEWEST_ROOFS)
    return [
        _reference("pond_soils", "Storage", pond.REFERENCE, material),
        _reference("roof_table", "Storage", roof.REFERENCE, material),
        *listed("roofs", "Storage", roof_rows, roof.LINES, material, shown=("catching_area", "unknown")),
        _reference("bearing", "Tank base", ground.REFERENCE, material),
        _calendar_table(
            "storage_months", "Storage", [*tank.BY_CALENDAR_MONTH, *kept_for_house.BY_CALENDAR_MONTH], material
        ),
    ]


def readings_tables(material: Material) -> list[Table]:
    """This year's rain, month by month."""
    return [
        _calendar_table("so_far", "Readings", readings.BY_CALENDAR_MONTH, material),
        Table("so_far_workings", "Readings", CALENDAR, readings.MONTH_WORKINGS),
    ]


def listed(
    section: str,
    sheet: str,
    rows: Rows,
    workings: Sequence[Column],
    material: Material,
    shown: Sequence[str],
    data: Series | None = None,
) -> list[Table]:
    """A list, what is shown beside its lines, and its workings, which read it by position and stand elsewhere.

    `shown`: keys of workings. `data`: of those workings that are data.
    """
    of = LISTS[section]
    values = typed_rows(of.inputs, material.lists[section], rows.size)
    beside = shown_beside({c.key: c for c in workings}, shown, of.workings, f"{of.table}:{of.inputs[0].key}")
    return [
        Table(of.table, sheet, rows, of.inputs, data=values, listed=True),
        Table(f"{of.table}_shown", sheet, rows, beside, spare=True),
        Table(
            of.workings,
            sheet,
            rows,
            [
                *typed_again(of.inputs, of.table),
                *workings,
                *not_whole(of.inputs),
                *incomplete(of.inputs, () if of.told_beside else of.needed),
            ],
            data=data or {},
            spare=True,
        ),
    ]


def _months_of(
    section: str, sheet: str, rows: Rows, material: Material, empty: float | None, workings: Sequence[Column] = ()
) -> list[Table]:
    """The twelve monthly figures of a list's lines, in the same rows, and their workings."""
    of = LISTS[section]
    (given,) = of.monthly
    values = _by_month(material.lists[section], given.key, rows.size, empty)
    again = typed_again(of.monthly, of.months_table)
    return [
        Table(of.months_table, sheet, rows, of.monthly, each=CALENDAR, data={given.key: values}, listed=True),
        Table(of.months_workings, sheet, rows, [*again, *workings], each=CALENDAR, spare=True),
    ]


def typed_rows(inputs: Sequence[Input], entries: Sequence[Mapping[str, object]], size: int) -> Series:
    """A list's typed columns; spare rows are empty."""
    return {
        given.key: [entries[row][given.key] if row < len(entries) else spare(given) for row in range(size)]
        for given in inputs
    }


def spare(given: Input) -> object:
    """What a spare row of a list holds: shares their default, so that the row works once it is filled in."""
    return float(given.default) if given.key in ("share_given", "efficiency") and given.default else None


def _keys(columns: Sequence[Column]) -> tuple[str, ...]:
    return tuple(column.key for column in columns)


def _lines(name: str, entries: Sequence[object], spare_lines: int, fewest: int) -> Rows:
    return Rows(name, max(fewest, len(entries) + spare_lines))


def _reference(name: str, sheet: str, inputs: Sequence[Input], material: Material) -> Table:
    entries = material.references[name]
    data = {given.key: [entry[given.key] for entry in entries] for given in inputs}
    return Table(name, sheet, Rows(name, len(entries)), inputs, data=data, reference=True)


def _calendar_table(name: str, sheet: str, columns: Sequence[Column | Input], material: Material) -> Table:
    """A table of the calendar months, with what is typed by hand for them."""
    typed = {column.key: material.monthly[column.key] for column in columns if isinstance(column, Input)}
    return Table(name, sheet, CALENDAR, columns, data=typed)


def _by_month(entries: Sequence[Mapping[str, object]], key: str, size: int, empty: float | None) -> list[list[object]]:
    """A list's twelve monthly figures as one list a month along the rows."""
    found: list[list[object]] = []
    for month in range(12):
        column: list[object] = []
        for row in range(size):
            values = entries[row][key] if row < len(entries) else None
            column.append(values[month] if isinstance(values, Sequence) else empty)
        found.append(column)
    return found
