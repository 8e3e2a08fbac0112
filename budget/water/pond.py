"""The pond: rain and runoff fill it, it evaporates and seeps, and it waters the garden before the well does.

Its volume grows with a power of its depth, V = V_full (D / D_full)^m. The surface is dV/dD = m V / D, so that
m = A_full D_full / V_full and the surface falls with V^((m − 1)/m). The rule V = 0.4 A D of USDA NRCS Agriculture
Handbook 590 for a natural bowl has m = 2.5: the surface falls with V^0.6. A dug pond has the volume of the prismoidal
rule of the same handbook, from its bottom, depth and side slopes.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.running_out import day_used_up

REFERENCE = [
    Input("pond_soil", "Pond soil", Unit.TEXT, "What the pond lies in."),
    Input("seepage", "Seepage a day", Unit.DEPTH, "Depth of water that the ground takes each day."),
    Input("source", "Source", Unit.TEXT, "Where the figure comes from."),
]

INPUTS = [
    Input(
        "pond_depth",
        "Depth of the full pond",
        Unit.LENGTH,
        "At its deepest. Empty: there is no pond. One pond only; take several together as one of their sum.",
        "",
        low="0 m",
        high="15 m",
    ),
    Input(
        "pond_area",
        "Surface of the full pond",
        Unit.AREA,
        "Empty: from length and width, or from a dug pond's bottom.",
        "",
        low="0 m**2",
        high="100000 m**2",
    ),
    Input(
        "pond_length", "Length of the full pond", Unit.LENGTH, "Where no surface is given.", "", low="0 m", high="1 km"
    ),
    Input(
        "pond_width", "Width of the full pond", Unit.LENGTH, "Where no surface is given.", "", low="0 m", high="1 km"
    ),
    Input(
        "pond_bottom_length",
        "Length of the bottom, dug pond",
        Unit.LENGTH,
        "With width and slopes: a pond with straight sides. Empty: a natural bowl.",
        "",
        low="0 m",
        high="1 km",
    ),
    Input("pond_bottom_width", "Width of the bottom, dug pond", Unit.LENGTH, "As above.", "", low="0 m", high="1 km"),
    Input(
        "pond_side_slope",
        "Slope of its sides",
        Unit.NUMBER,
        "Horizontal to 1 vertical, of a dug pond's sides and one end.",
        "2",
        low="0",
        high="10",
        source="common practice, no source",
    ),
    Input(
        "pond_ramp_slope",
        "Slope of its other end",
        Unit.NUMBER,
        "A flat ramp lets people and animals out. Empty: as the sides.",
        "",
        low="0",
        high="20",
    ),
    Input(
        "pond_catchment",
        "Land that drains into it",
        Unit.AREA,
        "Without the pond itself.",
        "0 m**2",
        low="0 m**2",
        high="10000000 m**2",
    ),
    Input(
        "pond_runoff_reaching",
        "Share of the runoff that reaches it",
        Unit.SHARE,
        "The rest soaks in on the way, or goes by.",
        "0.5",
        low="0",
        high="1",
        source="common practice, no source",
    ),
    Input(
        "pond_lies_in",
        "What it lies in",
        Unit.TEXT,
        "A word of the table of pond soils, which gives the seepage where none is typed.",
        "clay, well packed",
        choices="pond_soils:pond_soil",
    ),
    Input(
        "pond_seepage",
        "Seepage a day",
        Unit.DEPTH,
        "Depth of water. Measure it by a stake in a week without rain, less the evaporation. Empty: from the table.",
        "",
        low="0 mm",
        high="200 mm",
    ),
    Input(
        "pond_keep",
        "Keep-level",
        Unit.LENGTH,
        "Depth of water that the garden may not take: for fish, for fire.",
        "0 m",
        low="0 m",
        high="15 m",
    ),
    Input(
        "pond_evaporation_factor",
        "Evaporation of open water",
        Unit.NUMBER,
        "Against reference evapotranspiration.",
        "1.05",
        low="0.5",
        high="1.5",
        source="FAO-56 Table 12, open water, shallow",
    ),
]

RESULTS = [
    Result(
        "pond_dug",
        "Dug pond",
        Unit.FLAG,
        "1 where the bottom is given.",
        "IF(AND(ISNUMBER(pond_bottom_length), ISNUMBER(pond_bottom_width)), 1, 0)",
    ),
    Result(
        "pond_ends",
        "Slopes of both ends",
        Unit.NUMBER,
        "Horizontal to 1 vertical, together.",
        "pond_side_slope + IF(ISNUMBER(pond_ramp_slope), pond_ramp_slope, pond_side_slope)",
    ),
    Result(
        "pond_full_area",
        "Surface when full",
        Unit.AREA,
        "As given, or by length and width, or by the dug pond's slopes.",
        "IF(pond_dug=1, (pond_bottom_length + pond_ends * pond_depth)"
        " * (pond_bottom_width + 2 * pond_side_slope * pond_depth),"
        " IF(ISNUMBER(pond_area), pond_area, pond_length * pond_width))",
        source="geometry: (length + both ends' slopes × depth) × (width + 2 × side slope × depth)",
    ),
    Result(
        "pond_full",
        "Water when full",
        Unit.VOLUME,
        "Of a bowl, or of a dug pond by the prismoidal rule.",
        "volume_per_cube * pond_depth * IF(pond_dug=1, (pond_full_area + 4 * (pond_bottom_length + pond_ends"
        " * pond_depth / 2) * (pond_bottom_width + pond_side_slope * pond_depth)"
        " + pond_bottom_length * pond_bottom_width) / 6, 0.4 * pond_full_area)",
        source="USDA NRCS Agriculture Handbook 590: 0.4 × depth × surface; prismoidal rule (A + 4B + C)/6 × depth,"
        " B at depth/2",
    ),
    Result(
        "pond_shape",
        "Power of the depth",
        Unit.NUMBER,
        "With which the volume grows; 2.5 for a bowl.",
        "IF(pond_full>0, pond_full_area * pond_depth * volume_per_cube / pond_full, 1)",
    ),
    Result(
        "pond_seepage_used",
        "Seepage a day, in use",
        Unit.DEPTH,
        "The figure above, or the table's.",
        "IF(ISNUMBER(pond_seepage), pond_seepage,"
        " INDEX({pond_soils:seepage.all}, MATCH(pond_lies_in, {pond_soils:pond_soil.all}, 0)))",
    ),
    Result(
        "pond_kept",
        "Water below the keep-level",
        Unit.VOLUME,
        "Not for the garden.",
        "IF(AND(pond_full>0, pond_keep>0), pond_full * MIN(1, pond_keep / pond_depth)^pond_shape, 0)",
    ),
]

# What its surface would lose in the month, were there enough.
EVAPORATES = "pond_evaporation_factor * {reference_et} * {pond_surface} * volume_per_area_depth"
SEEPS = "pond_seepage_used * {days} * {pond_surface} * volume_per_area_depth"

COLUMNS = [
    Column(
        "pond_surface",
        "Pond surface",
        Unit.AREA,
        "When the month begins.",
        "IF({pond_stored.before}>0,"
        " pond_full_area * ({pond_stored.before} / pond_full)^((pond_shape - 1) / pond_shape), 0)",
        source="AH-590, 0.4 × depth × surface: the surface falls with the power 0.6 of the volume in a bowl",
    ),
    Column(
        "pond_rain",
        "Rain on the pond",
        Unit.VOLUME,
        "Falls on its surface.",
        "{rain} * {pond_surface} * volume_per_area_depth",
    ),
    Column(
        "pond_runoff",
        "Runoff into the pond",
        Unit.VOLUME,
        "From the land that drains into it; none without a pond.",
        "IF(pond_full>0, {surplus} * runoff_share * pond_runoff_reaching * pond_catchment * volume_per_area_depth, 0)",
    ),
    Column(
        "pond_before_losses",
        "In the pond before losses",
        Unit.VOLUME,
        "Held when the month begins, rain and runoff.",
        "{pond_stored.before} + {pond_rain} + {pond_runoff}",
    ),
    Column(
        "pond_evaporation",
        "Pond evaporates",
        Unit.VOLUME,
        "No more than it holds.",
        f"MIN({{pond_before_losses}}, {EVAPORATES})",
    ),
    Column(
        "pond_seeped",
        "Pond seeps",
        Unit.VOLUME,
        "No more than is left.",
        f"MIN({{pond_before_losses}} - {{pond_evaporation}}, {SEEPS})",
    ),
    Column(
        "pond_after_losses",
        "In the pond after losses",
        Unit.VOLUME,
        "What evaporation and seepage leave in it.",
        "{pond_before_losses} - {pond_evaporation} - {pond_seeped}",
    ),
    Column(
        "garden_from_pond",
        "Garden, from the pond",
        Unit.VOLUME,
        "Before the well gives anything, down to the keep-level.",
        "MIN({garden_need}, MAX(0, {pond_after_losses} - pond_kept))",
    ),
    Column(
        "pond_spill",
        "Pond runs over",
        Unit.VOLUME,
        "What stands above full at the month's end.",
        "MAX(0, {pond_after_losses} - {garden_from_pond} - pond_full)",
    ),
    Column(
        "pond_stored",
        "In the pond",
        Unit.VOLUME,
        "At the month's end.",
        "{pond_after_losses} - {garden_from_pond} - {pond_spill}",
        opening="pond_full",
        stepwise=True,
    ),
    Column(
        "pond_level",
        "Pond level",
        Unit.LENGTH,
        "Depth of water at its deepest, at the month's end.",
        "IF(ROUND({pond_stored}, 6)>0, pond_depth * ({pond_stored} / pond_full)^(1 / pond_shape), 0)",
    ),
    Column(
        "pond_is_dry",
        "Pond dry",
        Unit.FLAG,
        "1 where there is a pond and nothing in it at the month's end.",
        "IF(AND(pond_full>0, ROUND({pond_stored}, 6)<=0), 1, 0)",
    ),
]

# In a plan year: the day on which it falls dry.
DATES = [
    Column(
        "pond_dry_on",
        "Pond dry on",
        Unit.DATE,
        "In this month: as many days as its water lasts against what evaporates, seeps and is drawn; else 0.",
        "IF({pond_is_dry}=1, "
        + day_used_up(
            "{first_day}",
            "{days}",
            "{pond_before_losses}",
            f"MAX(0.000001, {EVAPORATES} + {SEEPS} + {{garden_from_pond}})",
        )
        + ", 0)",
        source="own rule; 0.000001 keeps a dry pond from a division by 0",
    ),
    Column(
        "pond_fell_dry",
        "Pond dry since",
        Unit.DATE,
        "The first of these dates; 0 before it.",
        "IF({pond_fell_dry.before}>0, {pond_fell_dry.before}, {pond_dry_on})",
        opening="0",
    ),
]
