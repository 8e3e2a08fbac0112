"""What the garden asks for: zones with a crop, an area, a share of the full need and the efficiency of watering.

Source of the crop coefficient curve: FAO-56 ch. 6 (four stages: level, rising, level, falling); the monthly figure is
the mean of the curve over the days of the calendar month, 0 outside the season: the curve's integral over the month
over its days. The year has 365 days here, and a season that would last longer ends where the next one begins.
"""

from budget.declarations import Column, Input
from budget.units import Unit

REFERENCE = [
    Input("crop", "Crop", Unit.TEXT, "What grows."),
    Input("kc_initial", "Kc, initial", Unit.NUMBER, "Crop coefficient of the first stage."),
    Input("kc_mid", "Kc, mid-season", Unit.NUMBER, "Crop coefficient at full cover."),
    Input("kc_end", "Kc, end", Unit.NUMBER, "Crop coefficient at the season's end."),
    Input("initial_days", "Initial", Unit.COUNT, "Days of the first stage."),
    Input("development_days", "Development", Unit.COUNT, "Days of growth to full cover."),
    Input("mid_days", "Mid-season", Unit.COUNT, "Days at full cover."),
    Input("late_days", "Late season", Unit.COUNT, "Days of ripening."),
    Input("planting_month", "Begins in month", Unit.MONTH, "In the north; six months later in the south."),
    Input("root_depth", "Root depth", Unit.LENGTH, "Depth of the watered roots."),
    Input("depletion_share", "May be used", Unit.SHARE, "Share of the soil's water used before watering."),
    Input("source", "Source", Unit.TEXT, "Where the figures come from."),
]

LIST = [
    Input("name", "Zone", Unit.TEXT, "Watered in the order listed, each taking what is left.", ""),
    Input("crop", "Crop", Unit.TEXT, "A word of the table of crops.", "", choices="crops:crop"),
    Input(
        "area",
        "Area",
        Unit.AREA,
        "Watered area. Empty: from the trees.",
        "",
        low="0 m**2",
        high="100000 m**2",
    ),
    Input("trees", "Trees", Unit.COUNT, "Number of trees, where no area is given.", "", low="0", high="20000"),
    Input("canopy", "Canopy width", Unit.LENGTH, "Of one tree.", "", low="0.1 m", high="25 m"),
    Input(
        "planting_month",
        "Season begins in month",
        Unit.MONTH,
        "Empty: from the table of crops, six months later in the south.",
        "",
        low="1",
        high="12",
    ),
    Input(
        "share_given",
        "Share of the full need given",
        Unit.SHARE,
        "1 waters fully; less is a choice to let it be thirsty.",
        "1",
        low="0",
        high="1",
    ),
    Input(
        "efficiency",
        "Efficiency of watering",
        Unit.SHARE,
        "Share of the water that the roots get: drip about 0.9, sprinkler about 0.7.",
        "0.75",
        low="0.2",
        high="1",
        source="common practice, no source",
    ),
]

MONTHLY_LIST = [
    Input("kc", "Kc by hand", Unit.NUMBER, "Replaces the curve's figure in that month.", "", low="0", high="1.5"),
]

# Before the months of its Kc, so that each zone is known there.
NAMES = [Column("zone_told", "Zone", Unit.TEXT, "As named above.", '{zone_workings:name} & ""')]

ZONES = [
    Column(
        "crop_row",
        "Row in the table of crops",
        Unit.COUNT,
        "0 where the crop is not in it.",
        "IFERROR(MATCH({crop}, {crops:crop.all}, 0), 0)",
    ),
    Column(
        "watered_area",
        "Area in use",
        Unit.AREA,
        "As given, or the canopies of the trees.",
        "IF(ISNUMBER({area}), {area}, IF(AND(ISNUMBER({trees}), ISNUMBER({canopy})),"
        " {trees} * PI() / 4 * {canopy}^2, 0))",
    ),
    Column(
        "season_start",
        "Season begins, in use",
        Unit.MONTH,
        "As given, or the table's month, six months later in the south.",
        "IF(ISNUMBER({planting_month}), {planting_month}, IF({crop_row}=0, 1,"
        " MOD({crops:planting_month@crop_row} - 1 + IF(site_latitude<0, 6, 0), 12) + 1))",
    ),
    Column(
        "initial_end",
        "Initial stage ends",
        Unit.COUNT,
        "Days from the season's beginning.",
        "IF({crop_row}=0, 0, {crops:initial_days@crop_row})",
    ),
    Column(
        "development_end",
        "Development ends",
        Unit.COUNT,
        "Days from the season's beginning.",
        "IF({crop_row}=0, 0, {initial_end} + {crops:development_days@crop_row})",
    ),
    Column(
        "mid_end",
        "Mid-season ends",
        Unit.COUNT,
        "Days from the season's beginning.",
        "IF({crop_row}=0, 0, {development_end} + {crops:mid_days@crop_row})",
    ),
    Column(
        "late_end",
        "Season ends",
        Unit.COUNT,
        "Days from the season's beginning.",
        "IF({crop_row}=0, 0, {mid_end} + {crops:late_days@crop_row})",
    ),
    Column(
        "root_storage",
        "Water the roots may use",
        Unit.DEPTH,
        "Root depth times the water held times the share that may be used.",
        "IF({crop_row}=0, 0, {crops:root_depth@crop_row} * available_water * {crops:depletion_share@crop_row})",
        source="FAO-56 eqs 82 and 83",
    ),
    Column(
        "volume_for_depth",
        "Water to give for one unit of net need",
        Unit.PER_VOLUME_DEPTH,
        "Area times share given, over efficiency.",
        "IF(AND(ISNUMBER({share_given}), ISNUMBER({efficiency})),"
        " IF({efficiency}>0, {watered_area} * volume_per_area_depth * {share_given} / {efficiency}, 0), 0)",
    ),
    Column(
        "unknown",
        "Not known",
        Unit.FLAG,
        "1 where a zone has an area but a crop that is not in the table.",
        "IF(AND({watered_area}>0, {crop_row}=0), 1, 0)",
    ),
    Column(
        "unsized",
        "Without a size",
        Unit.FLAG,
        "1 where a zone has a crop, but neither an area nor trees with a canopy width.",
        'IF(AND({crop}<>"", NOT(ISNUMBER({area})), OR(NOT(ISNUMBER({trees})), NOT(ISNUMBER({canopy})))), 1, 0)',
    ),
]

# Days of the development stage gone by, at the month's end and before it.
_DEVELOPED_BY_END = (
    "MAX(0, MIN({season_day} + {season_days}, {zone_workings:development_end}) - {zone_workings:initial_end})"
)
_DEVELOPED_BEFORE = "MAX(0, MIN({season_day}, {zone_workings:development_end}) - {zone_workings:initial_end})"

KC_WORKINGS = [
    Column(
        "season_day",
        "Days since the season began",
        Unit.COUNT,
        "When the calendar month begins, in a year of 365 days.",
        "MOD(DATE(2001, {calendar:month}, 1) - DATE(2001, {zone_workings:season_start}, 1), 365)",
        source="calendar of 2001, a year of 365 days",
    ),
    Column(
        "month_days",
        "Days of the month",
        Unit.COUNT,
        "In a year of 365 days.",
        "DATE(2001, {calendar:month} + 1, 1) - DATE(2001, {calendar:month}, 1)",
        source="calendar of 2001, a year of 365 days",
    ),
    Column(
        "season_days",
        "Days in the season",
        Unit.COUNT,
        "Days of the month that lie in the season.",
        "MAX(0, MIN({month_days}, {zone_workings:late_end} - {season_day}))",
    ),
    Column(
        "grown_days",
        "Full-cover days",
        Unit.NUMBER,
        "Sum over the days in the season of the share grown, from 0 in the initial stage to 1 at full cover.",
        "IF({zone_workings:development_end}>{zone_workings:initial_end},"
        f" ({_DEVELOPED_BY_END}^2 - {_DEVELOPED_BEFORE}^2) / 2"
        " / ({zone_workings:development_end} - {zone_workings:initial_end}), 0)"
        " + MAX(0, {season_day} + {season_days} - {zone_workings:development_end})"
        " - MAX(0, {season_day} - {zone_workings:development_end})",
        source="FAO-56 ch. 6, eq. 66, its integral: days^2 / 2 over the length of the stage",
    ),
    Column(
        "ripened_days",
        "Late-season days",
        Unit.NUMBER,
        "Sum over the days in the season of the share ripened, from 0 at mid-season to 1 at the season's end.",
        "IF({zone_workings:late_end}>{zone_workings:mid_end},"
        " (MAX(0, {season_day} + {season_days} - {zone_workings:mid_end})^2"
        " - MAX(0, {season_day} - {zone_workings:mid_end})^2) / 2"
        " / ({zone_workings:late_end} - {zone_workings:mid_end}), 0)",
        source="FAO-56 ch. 6, eq. 66, its integral: days^2 / 2 over the length of the stage",
    ),
    Column(
        "kc_curve",
        "Kc by the curve",
        Unit.NUMBER,
        "Mean over the days of the month; 0 outside the season.",
        "IF({zone_workings:crop_row}=0, 0, ({crops:kc_initial@zone_workings:crop_row} * {season_days}"
        " + ({crops:kc_mid@zone_workings:crop_row} - {crops:kc_initial@zone_workings:crop_row}) * {grown_days}"
        " + ({crops:kc_end@zone_workings:crop_row} - {crops:kc_mid@zone_workings:crop_row}) * {ripened_days})"
        " / {month_days})",
        source="FAO-56 ch. 6, eq. 66",
    ),
]

KC_IN_USE = [
    Column(
        "kc_used",
        "Kc in use",
        Unit.NUMBER,
        "By hand where typed, else by the curve.",
        "IF(ISNUMBER({kc_workings:kc}), {kc_workings:kc}, {kc_curve})",
    ),
]

CROP_ET = [
    Column(
        "crop_et",
        "Crop water use",
        Unit.DEPTH,
        "Crop coefficient times reference evapotranspiration.",
        "{crop_coefficients:kc_used.each@month} * {reference_et}",
        source="FAO-56 eq. 58",
    ),
]

ZONE_NEED = [
    Column(
        "zone_need",
        "To give",
        Unit.VOLUME,
        "Net need over area, share given and efficiency.",
        "MAX(0, {crop_et} - {effective_rain}) * {zone_workings:volume_for_depth}",
    ),
    Column(
        "need_so_far",
        "With the zones before",
        Unit.VOLUME,
        "Sum of the zones up to this one.",
        "{need_so_far.left} + {zone_need}",
        leftmost="0",
    ),
]

COLUMNS = [
    Column(
        "garden_need",
        "Garden need",
        Unit.VOLUME,
        "What all zones ask for in the month.",
        "SUM({garden_ledger:zone_need.each})",
    ),
]

ZONE_GIVEN = [
    Column(
        "zone_given",
        "Given",
        Unit.VOLUME,
        "In the order listed, each zone taking what is left.",
        "MAX(0, MIN({zone_need}, {garden_given} - ({need_so_far} - {zone_need})))",
    ),
]
