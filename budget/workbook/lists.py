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
        Table(
            "household",
            "Household",
            lines,
            [*household_demand.LIST, *household_demand.LINES],
            data=typed_rows(household_demand.LIST, material.lists["household"], lines.size),
            spare=True,
        ),
        Table("household_names", "Household", lines, household_demand.NAMES),
        Table(
            "household_months",
            "Household",
            lines,
            household_demand.MONTHLY_LIST,
            each=CALENDAR,
            data={"factors": _by_month(material.lists["household"], "factors", lines.size, 1.0)},
        ),
        _reference("animal_table", "Household", animals.REFERENCE, material),
        Table(
            "animals",
            "Household",
            herds,
            [*animals.LIST, *animals.LINES],
            data=typed_rows(animals.LIST, material.lists["animals"], herds.size),
            spare=True,
        ),
        Table("animal_names", "Household", herds, animals.NAMES),
        Table(
            "animal_months",
            "Household",
            herds,
            animals.MONTHLY_LIST,
            each=CALENDAR,
            data={"factors": _by_month(material.lists["animals"], "factors", herds.size, 1.0)},
        ),
        Table("people_days", "Household", ONE, household_demand.PEOPLE, each=CALENDAR),
        Table("animal_days", "Household", ONE, animals.MONTHLY, each=CALENDAR),
        Table("household_daily", "Household", ONE, household_demand.MONTHLY, each=CALENDAR),
    ]


def garden_tables(material: Material, zones: Rows) -> list[Table]:
    """Zones, crops, and the crop coefficients of the months."""
    return [
        _reference("crops", "Garden", garden_demand.REFERENCE, material),
        Table(
            "zones",
            "Garden",
            zones,
            [*garden_demand.LIST, *garden_demand.ZONES, *effective_rain.STORAGE_FACTOR],
            data=typed_rows(garden_demand.LIST, material.lists["garden"], zones.size),
            groups={"name": "What you grow", "crop_row": "Worked out"},
            spare=True,
        ),
        Table("garden_names", "Garden", zones, garden_demand.NAMES),
        Table("garden_names_again", "Garden", zones, garden_demand.NAMES),
        Table(
            "garden_kc",
            "Garden",
            zones,
            garden_demand.MONTHLY_LIST,
            each=CALENDAR,
            data={"kc": _by_month(material.lists["garden"], "kc", zones.size, None)},
        ),
        Table("crop_coefficients", "Garden", zones, garden_demand.KC_IN_USE, each=CALENDAR, spare=True),
        Table("kc_workings", "Garden", zones, garden_demand.KC_WORKINGS, each=CALENDAR),
    ]


def well_tables(material: Material) -> list[Table]:
    """The recovery test, measured depths, and what is typed for the months."""
    dip_rows = _lines("dip", material.lists["dips"], SPARE_DIPS, FEWEST_DIPS)
    return [
        _reference("soils", "Well", soil.REFERENCE, material),
        Table(
            "recovery",
            "Well",
            READING,
            [*recovery_test.LIST, *recovery_test.SHOWN],
            data=typed_rows(recovery_test.LIST, material.lists["recovery"], READING.size),
        ),
        Table("recovery_workings", "Well", READING, [*recovery_test.COLUMNS, *recovery_test.DRAWN]),
        Table(
            "dips",
            "Well",
            dip_rows,
            [*dips.LIST, *dips.SHOWN],
            data=typed_rows(dips.LIST, material.lists["dips"], dip_rows.size),
        ),
        Table("dip_workings", "Well", dip_rows, [*dips.COLUMNS, *dips.DRAWN]),
        _calendar_table("well_months", "Well", [*water_table.BY_CALENDAR_MONTH, *pump.BY_CALENDAR_MONTH], material),
        Table("month_workings", "Well", CALENDAR, [*water_table.MONTH_WORKINGS, *pump.MONTH_WORKINGS]),
    ]


def storage_tables(material: Material) -> list[Table]:
    """Pond soils, roofs, the ground under the tank, and what is typed for the months."""
    roof_rows = _lines("roof", material.lists["roofs"], SPARE_ROOFS, FEWEST_ROOFS)
    return [
        _reference("pond_soils", "Storage", pond.REFERENCE, material),
        _reference("roof_table", "Storage", roof.REFERENCE, material),
        Table(
            "roofs",
            "Storage",
            roof_rows,
            [*roof.LIST, *roof.LINES],
            data=typed_rows(roof.LIST, material.lists["roofs"], roof_rows.size),
            spare=True,
        ),
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


def typed_rows(inputs: Sequence[Input], entries: Sequence[Mapping[str, object]], size: int) -> Series:
    """A list's typed columns; spare rows are empty."""
    return {
        given.key: [entries[row][given.key] if row < len(entries) else spare(given) for row in range(size)]
        for given in inputs
    }


def spare(given: Input) -> object:
    """What a spare row of a list holds: shares their default, so that the row works once it is filled in."""
    return float(given.default) if given.key in ("share_given", "efficiency") and given.default else None


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
