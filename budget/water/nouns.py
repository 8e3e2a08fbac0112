"""The register of the nouns: which inputs each has, and where they are typed.

What a person can give stands here once. The schema of the site file, the checks of empty cells and of text, the Sources
sheet, the list of what was assumed and the layout of the book read this one tuple. A noun without inputs of its own
(evapotranspiration, the balance) is not in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from budget.declarations import Column, Input, Result
from budget.water import (
    animals,
    dips,
    dry_spells,
    frosts,
    garden_demand,
    hauling,
    household_demand,
    kept_for_house,
    pond,
    pump,
    readings,
    record,
    recovery_test,
    roof,
    service,
    site,
    snow,
    soil,
    tank,
    tank_base,
    water_table,
    well,
    years_of_record,
)

THE_WELL = ("well", "pump")  # sections of the site file that stay away together where there is no well
WITH_A_BASE = "ISNUMBER(base_tank_diameter)"  # most books have no base: only a tank with a diameter gets one


@dataclass(frozen=True)
class ListOf:
    """A list of the site file: the inputs of an entry, those of twelve months, and what one entry is called.

    `table`: where its rows stand in the book; `months_table`: the twelve months of the same rows. `workings`: the table
    that reads them by position, `months_workings` their months. `told`: how the book tells of the list, its sheet
    first. `needed`: keys without which an entry says nothing. `most`: how many entries there may be, None where the
    book makes room for all. `example`: of an entry of which no single key is needed. `told_beside`: a line that lacks
    something is told beside itself, and no answer rests on it.
    """

    inputs: Sequence[Input]
    entry: str
    table: str
    workings: str
    told: str
    monthly: Sequence[Input] = ()
    needed: tuple[str, ...] = ()
    most: int | None = None
    example: str = ""
    months_table: str = ""
    months_workings: str = ""
    told_beside: bool = False

    @property
    def words(self) -> dict[str, str]:
        """Keys that may hold a word of a reference table, `table:column`, or one's own."""
        return {given.key: given.suggested for given in self.inputs if given.suggested}


@dataclass(frozen=True)
class Months:
    """Inputs typed for the twelve calendar months: in that section of the site file, in that table of the book.

    `told`: how the book tells of them, their sheet.
    """

    section: str
    table: str
    told: str
    inputs: Sequence[Input]


@dataclass(frozen=True)
class Noun:
    """What is typed of one noun, and what follows from it.

    `inputs`: one cell each; their names begin with their section of the site file. `lists`: by the section of the site
    file. `wanted_where`: the template under which its cells must be filled in; empty where they always must. `results`:
    what follows from it in single cells.
    """

    name: str
    inputs: Sequence[Input] = ()
    lists: Mapping[str, ListOf] = field(default_factory=dict)
    months: Months | None = None
    wanted_where: str = ""
    results: Sequence[Result] = ()


def _typed(columns: Sequence[Column | Input]) -> list[Input]:
    """What is typed in a table that has computed columns too."""
    return [column for column in columns if isinstance(column, Input)]


# In the order of the water.
NOUNS = (
    Noun("site", site.INPUTS, results=site.RESULTS),
    Noun("record", record.INPUTS, results=[*record.RESULTS, *record.PARTS]),
    Noun("frosts", results=[*frosts.RESULTS, *frosts.OF_TANK]),
    Noun("snow", snow.INPUTS),
    Noun("soil", soil.INPUTS, results=soil.RESULTS),
    Noun(
        "water table",
        [*water_table.INPUTS, *water_table.FITTED, *water_table.FIT_SETTINGS],
        months=Months("well", "well_months", "Well", _typed(water_table.BY_CALENDAR_MONTH)),
        results=water_table.RESULTS,
    ),
    Noun(
        "dips",
        lists={
            "dips": ListOf(
                dips.LIST, "dip", "dips", "dip_workings", "Well, dips", needed=("date", "depth"), told_beside=True
            )
        },
        results=dips.RESULTS,
    ),
    Noun("well", well.INPUTS, results=well.RESULTS),
    Noun(
        "recovery test",
        recovery_test.INPUTS,
        {
            "recovery": ListOf(
                recovery_test.LIST,
                "reading",
                "recovery",
                "recovery_workings",
                "Well, readings of the recovery test",
                needed=("minutes", "depth"),
                most=recovery_test.READINGS,
                told_beside=True,
            )
        },
        results=recovery_test.RESULTS,
    ),
    Noun(
        "dry spells",
        lists={
            "remembered": ListOf(
                dry_spells.LIST,
                "dry spell",
                "remembered",
                "spell_workings",
                "Well, dry spells remembered",
                most=dry_spells.SPELLS,
                example="year = 2015, dry_on = 2015-08-20, or both",
            )
        },
        results=[*dry_spells.PARTS, *dry_spells.RESULTS],
    ),
    Noun(
        "pump",
        pump.INPUTS,
        months=Months("pump", "well_months", "Well", _typed(pump.BY_CALENDAR_MONTH)),
        results=pump.RESULTS,
    ),
    Noun(
        "household",
        lists={
            "household": ListOf(
                household_demand.LIST,
                "line",
                "household",
                "household_workings",
                "Household, uses",
                household_demand.MONTHLY_LIST,
                needed=("number",),
                months_table="household_months",
                months_workings="household_factors",
            )
        },
    ),
    Noun(
        "animals",
        lists={
            "animals": ListOf(
                animals.LIST,
                "line",
                "animals",
                "animal_workings",
                "Household, animals",
                animals.MONTHLY_LIST,
                needed=("head",),
                months_table="animal_months",
                months_workings="animal_factors",
            )
        },
    ),
    Noun(
        "garden",
        lists={
            "garden": ListOf(
                garden_demand.LIST,
                "zone",
                "zones",
                "zone_workings",
                "Garden, zones",
                garden_demand.MONTHLY_LIST,
                needed=("crop",),
                months_table="garden_kc",
                months_workings="kc_workings",
            )
        },
    ),
    Noun("service", service.INPUTS, results=service.RESULTS),
    Noun(
        "tank",
        tank.INPUTS,
        months=Months(
            "tank", "storage_months", "Storage", _typed([*tank.BY_CALENDAR_MONTH, *kept_for_house.BY_CALENDAR_MONTH])
        ),
        results=[*tank.RESULTS, *tank.LEFT],
    ),
    Noun(
        "roof",
        roof.INPUTS,
        {"roofs": ListOf(roof.LIST, "roof", "roofs", "roof_workings", "Storage, roofs", needed=("area",))},
        results=roof.RESULTS,
    ),
    Noun("pond", pond.INPUTS, results=pond.RESULTS),
    Noun("years", years_of_record.INPUTS, results=years_of_record.RESULTS),
    Noun(
        "this year",
        readings.INPUTS,
        months=Months("plan", "so_far", "Readings", _typed(readings.BY_CALENDAR_MONTH)),
        results=[*readings.PARTS, *readings.RESULTS],
    ),
    Noun("hauling", hauling.INPUTS),
    Noun("tank base", tank_base.INPUTS, wanted_where=WITH_A_BASE, results=tank_base.RESULTS),
)

LISTS: dict[str, ListOf] = {section: entries for noun in NOUNS for section, entries in noun.lists.items()}
MONTHS: tuple[Months, ...] = tuple(noun.months for noun in NOUNS if noun.months is not None)
RESULTS: tuple[Result, ...] = tuple(result for noun in NOUNS for result in noun.results)
SCALARS: tuple[Input, ...] = tuple(given for noun in NOUNS for given in noun.inputs)


def place(given: Input) -> tuple[str, str]:
    """Section and key of a scalar input in the site file."""
    section, _, key = given.name.partition("_")
    return section, key
