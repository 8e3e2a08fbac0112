"""Rain off the roof: into the house's tank, or into a tank of its own for the garden.

Source of the rule: catch = rain × runoff coefficient × area, less a first flush from each rain spell that washes the
roof and is let go (Texas Water Development Board, *Texas Manual on Rainwater Harvesting*, 3rd ed. 2005; read in a
secondary text). Snow does not count.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit

REFERENCE = [
    Input("material", "Material", Unit.TEXT, "Of the roof."),
    Input("coefficient", "Coefficient", Unit.NUMBER, "Share of the rain that runs off into the gutter."),
    Input("source", "Source", Unit.TEXT, "Where the figure comes from."),
]

TO_HOUSE, TO_GARDEN = "house tank", "garden tank"

LIST = [
    Input("name", "Roof", Unit.TEXT, "Which one.", ""),
    Input("area", "Area", Unit.AREA, "On the ground under it, eaves included.", "", low="0 m**2", high="5000 m**2"),
    Input("material", "Material", Unit.TEXT, "A word of the table of roofs.", "", choices="roof_table:material"),
    Input(
        "coefficient",
        "Coefficient by hand",
        Unit.NUMBER,
        "Empty: from the table of roofs.",
        "",
        low="0",
        high="1",
    ),
]

INPUTS = [
    Input(
        "roof_goes_to",
        "Roof water goes to",
        Unit.TEXT,
        "The house's tank, or a tank of its own for the garden.",
        TO_GARDEN,
        choices=(TO_HOUSE, TO_GARDEN),
    ),
    Input(
        "roof_tank_capacity",
        "Garden's rain tank",
        Unit.VOLUME,
        "Counts where roof water goes to a garden tank. In service on the same dates as the house's tank.",
        "0 gal",
        low="0 gal",
        high="1000000 L",
    ),
    Input(
        "roof_first_flush",
        "First flush of a rain spell",
        Unit.DEPTH,
        "Let go after each dry day, with the dirt of the roof.",
        "0.6 mm",
        low="0 mm",
        high="5 mm",
        source="Texas Manual on Rainwater Harvesting (2005): 1 to 2 gal per 100 ft²; read in a secondary text",
    ),
]

LINES = [
    Column(
        "material_row",
        "Row in the table of roofs",
        Unit.COUNT,
        "0 where the material is not in it.",
        "IFERROR(MATCH({material}, {roof_table:material.all}, 0), 0)",
    ),
    Column(
        "catching_area",
        "Area times coefficient",
        Unit.AREA,
        "What the rain is worth on it.",
        "IF(ISNUMBER({area}), {area}, 0) * IF(ISNUMBER({coefficient}), {coefficient},"
        " IF({material_row}>0, {roof_table:coefficient@material_row}, 0))",
    ),
    Column(
        "unknown",
        "Not known",
        Unit.FLAG,
        "1 where a roof has an area but neither a coefficient nor a known material.",
        "IF(AND(ISNUMBER({area}), NOT(ISNUMBER({coefficient})), {material_row}=0), 1, 0)",
    ),
]

RESULTS = [
    Result("roof_total_area", "Area of the roofs", Unit.AREA, "Together.", "SUM({roof_workings:area.all})"),
    Result(
        "roof_catching_area",
        "Area times coefficient, together",
        Unit.AREA,
        "What the rain is worth on them.",
        "SUM({roof_workings:catching_area.all})",
    ),
]

COLUMNS = [
    Column(
        "roof_catch",
        "Roof catches",
        Unit.VOLUME,
        "Rain of the month off all roofs, less the first flush of each rain spell.",
        "MAX(0, ({rain} - {snowfall}) * roof_catching_area - roof_first_flush * {rain_spells} * roof_total_area)"
        " * volume_per_area_depth",
        source="Texas Manual on Rainwater Harvesting (2005); read in a secondary text",
    ),
    Column(
        "roof_to_house",
        "Roof, into the house's tank",
        Unit.VOLUME,
        "On the days in service; none without a tank.",
        f'IF(AND(roof_goes_to="{TO_HOUSE}", tank_usable>0), {{service_share}} * {{roof_catch}}, 0)',
    ),
    Column(
        "roof_to_garden",
        "Roof, into the garden's tank",
        Unit.VOLUME,
        "On the days in service; none without such a tank.",
        f'IF(AND(roof_goes_to="{TO_GARDEN}", roof_tank_capacity>0), {{service_share}} * {{roof_catch}}, 0)',
    ),
    Column(
        "roof_before_draws",
        "In the rain tank before draws",
        Unit.VOLUME,
        "Stored when the month begins, and what the roof brings.",
        "{roof_stored.before} + {roof_to_garden}",
    ),
    Column(
        "garden_from_roof",
        "Garden, from its rain tank",
        Unit.VOLUME,
        "After the pond, before the well; on the days in service.",
        "MIN({service_share} * ({garden_need} - {garden_from_pond}), {roof_before_draws})",
    ),
    Column(
        "roof_spill",
        "Rain tank runs over",
        Unit.VOLUME,
        "What stands above its capacity at the month's end, or is drained when it goes out of service.",
        "MAX(0, {roof_before_draws} - {garden_from_roof} - IF({goes_out}=1, 0, roof_tank_capacity))",
    ),
    Column(
        "roof_stored",
        "In the garden's rain tank",
        Unit.VOLUME,
        "At the month's end.",
        "{roof_before_draws} - {garden_from_roof} - {roof_spill}",
        opening="0",
        stepwise=True,
    ),
    Column(
        "garden_left",
        "Garden need left",
        Unit.VOLUME,
        "What pond and rain tank do not meet.",
        "{garden_need} - {garden_from_pond} - {garden_from_roof}",
    ),
]
