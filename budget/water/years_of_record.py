"""The plan years of the record: what each needed, how they rank, and which one is planned for.

Ranked by the storage that the house needed, never by shortage (which would be a circle through the tank). Plotting
position m/(n + 1): Weibull (1939), in any hydrology handbook; recalled.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.hauling import whole_loads

ODDS = ("driest", "1 in 10", "1 in 5", "middle")

CHOICES = "year_choices:choice"  # words for how dry a year, and the years of the record

INPUTS = [
    Input(
        "plan_for",
        "Plan for",
        Unit.TEXT,
        "A dry year that comes once in so many, or a year of the record by its number.",
        "1 in 10",
        choices=CHOICES,
    ),
]

RUNNING = [
    Column(
        "year_rain",
        "Rain, year so far",
        Unit.DEPTH,
        "Of the plan year.",
        "IF({position}=1, 0, {year_rain.before}) + {rain}",
        opening="0",
    ),
    Column(
        "year_filled",
        "Filled months, year so far",
        Unit.COUNT,
        "Of the plan year.",
        "IF({position}=1, 0, {year_filled.before}) + {filled}",
        opening="0",
    ),
    Column(
        "year_storage",
        "Storage needed, year so far",
        Unit.VOLUME,
        "Largest of the plan year.",
        "MAX(IF({position}=1, 0, {year_storage.before}), {storage_needed})",
        opening="0",
    ),
    Column(
        "year_storage_garden",
        "Storage needed with garden, year so far",
        Unit.VOLUME,
        "Largest of the plan year.",
        "MAX(IF({position}=1, 0, {year_storage_garden.before}), {storage_with_garden})",
        opening="0",
    ),
    Column(
        "year_short",
        "House short, year so far",
        Unit.VOLUME,
        "Of the plan year.",
        "IF({position}=1, 0, {year_short.before}) + {short}",
        opening="0",
    ),
    Column(
        "year_short_drained",
        "Short while drained, year so far",
        Unit.VOLUME,
        "Of the plan year.",
        "IF({position}=1, 0, {year_short_drained.before}) + {short_drained}",
        opening="0",
    ),
    Column(
        "year_garden_need",
        "Garden need, year so far",
        Unit.VOLUME,
        "Of the plan year.",
        "IF({position}=1, 0, {year_garden_need.before}) + {garden_need}",
        opening="0",
    ),
    Column(
        "year_garden_given",
        "Garden given, year so far",
        Unit.VOLUME,
        "Of the plan year.",
        "IF({position}=1, 0, {year_garden_given.before}) + {garden_given}",
        opening="0",
    ),
    Column(
        "year_pond_dry",
        "Pond dry, year so far",
        Unit.FLAG,
        "1 once it fell dry in the plan year.",
        "MAX(IF({position}=1, 0, {year_pond_dry.before}), {pond_is_dry})",
        opening="0",
    ),
    Column(
        "year_lowest_yield",
        "Lowest daily yield, year so far",
        Unit.FLOW,
        "Of the plan year.",
        "IF({position}=1, {daily_yield}, MIN({year_lowest_yield.before}, {daily_yield}))",
        opening="{daily_yield.after}",
    ),
]

BOUNDARY = [
    Column(
        "dry_boundary",
        "Dry at the year's edge",
        Unit.FLAG,
        "1 in the last month of a plan year that is short of water, as is the first month after it.",
        "IF(AND({position}=12, ROUND({house_need} - {well_yield}, 6)>0,"
        " ROUND({house_need.after} - {well_yield.after}, 6)>0), 1, 0)",
    ),
]

BY_MONTH = [
    Column(
        "month_depth",
        "Depth to water",
        Unit.LENGTH,
        "Mean of the month of that calendar year; empty where it is not in the record.",
        "IFERROR(INDEX({ledger:modelled_depth.all}, MATCH(DATE({years:year}, {calendar:month}, 1),"
        ' {ledger:record_day.all}, 0)), "")',
    ),
]

OVER_YEARS = [
    Column(
        "middle_depth",
        "Median depth to water",
        Unit.LENGTH,
        "Over the years of the record.",
        "PERCENTILE({year_months:month_depth.all}, 0.5)",
        source="the median: percentile 0.5",
    ),
]

NEED = [
    Column("year", "Plan year", Unit.YEAR, "Named by the calendar year in which it begins."),
    Column(
        "first_row",
        "Row of its first month",
        Unit.COUNT,
        "In the Ledger; 0 where it is not there.",
        "IFERROR(MATCH({year}, {ledger:plan_year.all}, 0), 0)",
    ),
    Column(
        "months",
        "Months on record",
        Unit.COUNT,
        "12 where the record holds the whole plan year.",
        "COUNTIF({ledger:plan_year.all}, {year})",
    ),
    Column(
        "filled_months",
        "Months filled",
        Unit.COUNT,
        "Months that took the median of their calendar month.",
        "IF({months}=12, INDEX({ledger:year_filled.all}, {first_row} + 11), 0)",
    ),
    Column(
        "usable",
        "Counts",
        Unit.FLAG,
        "1 where the year is whole and no more than two months were filled.",
        "IF(AND({months}=12, {filled_months}<=2), 1, 0)",
    ),
    Column(
        "rain_total",
        "Rain",
        Unit.DEPTH,
        "Of the plan year.",
        "IF({months}=12, INDEX({ledger:year_rain.all}, {first_row} + 11), 0)",
    ),
    Column(
        "lowest_yield",
        "Lowest well yield a day",
        Unit.FLOW,
        "Worst month of the well in that year.",
        "IF({months}=12, INDEX({ledger:year_lowest_yield.all}, {first_row} + 11), 0)",
    ),
    Column(
        "storage",
        "Storage needed",
        Unit.VOLUME,
        "For the house alone, by the sequent peak.",
        "IF({months}=12, INDEX({ledger:year_storage.all}, {first_row} + 11), 0)",
        source="sequent peak; Loucks and van Beek ch. 11",
    ),
    Column(
        "storage_garden",
        "Storage needed with garden",
        Unit.VOLUME,
        "A working figure for the ranking.",
        "IF({months}=12, INDEX({ledger:year_storage_garden.all}, {first_row} + 11), 0)",
    ),
    Column(
        "first_required",
        "Required when service begins",
        Unit.VOLUME,
        "Above 0 the well cannot fill the tank in time.",
        "IF({months}=12, {ledger:required_level@first_row}, 0)",
    ),
    Column(
        "first_uncut",
        "The same for any tank",
        Unit.VOLUME,
        "Above 0 no tank would have been enough.",
        "IF({months}=12, {ledger:required_uncut@first_row}, 0)",
    ),
    Column(
        "well_fills",
        "Well can fill the tank",
        Unit.FLAG,
        "1 where the level that the house needs can be reached.",
        "IF(AND({months}=12, ROUND({first_required}, 6)<=0), 1, 0)",
    ),
    Column(
        "fillable",
        "A tank can carry it",
        Unit.FLAG,
        "1 where the well could fill a tank large enough.",
        "IF(AND({months}=12, ROUND({first_uncut}, 6)<=0), 1, 0)",
    ),
    Column(
        "rank",
        "Rank",
        Unit.COUNT,
        "1 for the year that needed most storage; ties by garden, rain, year.",
        "IF({usable}=1, 1 + SUMPRODUCT(({usable.all}=1) * (({storage_key.all}>{storage_key})"
        " + ({storage_key.all}={storage_key}) * (({garden_key.all}>{garden_key})"
        " + ({garden_key.all}={garden_key}) * (({rain_key.all}<{rain_key})"
        " + ({rain_key.all}={rain_key}) * ({year.all}<{year}))))), 0)",
    ),
    Column(
        "storage_key",
        "Storage, to rank by",
        Unit.VOLUME,
        "Rounded, so that every program ranks alike.",
        "ROUND({storage}, 6)",
    ),
    Column(
        "garden_key",
        "Storage with garden, for ties",
        Unit.VOLUME,
        "Rounded, so that every program ranks alike.",
        "ROUND({storage_garden}, 6)",
    ),
    Column(
        "rain_key",
        "Rain, for ties",
        Unit.DEPTH,
        "Rounded, so that every program ranks alike.",
        "ROUND({rain_total}, 6)",
    ),
    Column(
        "plotting_position",
        "Plotting position",
        Unit.SHARE,
        "Share of years expected to need more.",
        "{rank} / (usable_years + 1)",
        source="Weibull (1939), m/(n + 1); recalled",
    ),
]

CARRIED = [
    Column(
        "crosses",
        "Dry at its end",
        Unit.FLAG,
        "1 where its last month and the month after are both short.",
        "IF({usable}=1, INDEX({ledger:dry_boundary.all}, {first_row} + 11), 0)",
    ),
    Column(
        "house_short",
        "House short",
        Unit.VOLUME,
        "Hauled in that year with the present tank.",
        "IF({months}=12, INDEX({ledger:year_short.all}, {first_row} + 11), 0)",
    ),
    Column(
        "house_short_drained",
        "Short while drained",
        Unit.VOLUME,
        "In that year.",
        "IF({months}=12, INDEX({ledger:year_short_drained.all}, {first_row} + 11), 0)",
    ),
    Column(
        "loads",
        "Loads hauled",
        Unit.COUNT,
        "Whole loads for the shortage in service.",
        whole_loads("{house_short}"),
    ),
    Column(
        "garden_share",
        "Garden carried",
        Unit.SHARE,
        "Share of the garden's need that was given.",
        "IF({months}=12, IF(ROUND(INDEX({ledger:year_garden_need.all}, {first_row} + 11), 6)>0,"
        " INDEX({ledger:year_garden_given.all}, {first_row} + 11)"
        " / INDEX({ledger:year_garden_need.all}, {first_row} + 11), 1), 0)",
    ),
    Column(
        "pond_dry",
        "Pond dry",
        Unit.FLAG,
        "1 where the pond fell dry in that year.",
        "IF({usable}=1, INDEX({ledger:year_pond_dry.all}, {first_row} + 11), 0)",
    ),
    Column(
        "carried",
        "House carried",
        Unit.FLAG,
        "1 where the present tank left the house unshort in service.",
        "IF(AND({usable}=1, ROUND({house_short}, 6)<=0), 1, 0)",
    ),
    Column(
        "close",
        "Close to the tank's size",
        Unit.FLAG,
        "1 where the storage needed is 80 to 120 % of what the tank can give: months cannot tell whether it carries"
        " the house.",
        "IF(AND({usable}=1, ROUND(tank_usable, 6)>0, ROUND(ABS({storage} - tank_usable) - 0.2 * tank_usable, 6)<=0),"
        " 1, 0)",
        source="own rule: within 0.2 of the usable tank; months against days, as the tests print",
    ),
]

# What a reader looks for in a year comes first; the rest stands behind it.
SHOWN = (
    "year rain_total lowest_yield storage storage_garden rank plotting_position well_fills fillable carried close"
    " house_short loads house_short_drained garden_share pond_dry"
).split()

# Parts of the sentence below.
QUALITY_PARTS = [
    Result(
        "months_filled_told",
        "Months that took the median, in words",
        Unit.TEXT,
        "Of the record.",
        'IF(months_filled=0, "no month of it", months_filled & " of its months")',
    ),
    Result(
        "record_long_enough",
        "Whether the record is long enough",
        Unit.TEXT,
        "Fewer than 10 years that count are too few, 25 are enough: our own rule.",
        'IF(usable_years<10, ", too few to know a dry year by.",'
        ' IF(usable_years<25, ", fair for one dry year in ten.", ", enough for one dry year in ten."))',
    ),
]
QUALITY = [
    Result(
        "record_told",
        "What the record is worth",
        Unit.TEXT,
        "Under ten years that count a dry year is a guess; from 25 on one in ten is known fairly well.",
        '"The rain record runs from " & YEAR(record_begins) & " to " & YEAR(record_ends) & "; "'
        ' & months_filled_told & " missed too many days and took the median instead; " & usable_years'
        ' & " plan years count" & record_long_enough',
    )
]

RESULTS = [
    Result(
        "months_filled",
        "Months of the record that were filled",
        Unit.COUNT,
        "They miss too many days and take the median of their calendar month.",
        "SUMPRODUCT({ledger:filled.all}, {ledger:in_record.all})",
    ),
    Result(
        "usable_years",
        "Years that count",
        Unit.COUNT,
        "Whole plan years with at most two filled months.",
        "SUM({years:usable.all})",
    ),
    Result(
        "planning_rank",
        "Rank of the odds chosen",
        Unit.COUNT,
        "1 in p takes rank (n + 1)/p, rounded down.",
        'IF(plan_for="driest", 1, IF(plan_for="1 in 5", MAX(1, INT((usable_years + 1) / 5)),'
        ' IF(plan_for="middle", MAX(1, INT((usable_years + 1) / 2)), MAX(1, INT((usable_years + 1) / 10)))))',
    ),
    Result(
        "typed_row",
        "Row of the year typed",
        Unit.COUNT,
        "0 where no whole year of the record was typed.",
        "IF(ISNUMBER(plan_for), IF(COUNTIF({ledger:plan_year.all}, plan_for)=12,"
        " MATCH(plan_for, {years:year.all}, 0), 0), 0)",
    ),
    Result(
        "planning_row",
        "Row of the planning year",
        Unit.COUNT,
        "Among the years.",
        "IF(typed_row>0, typed_row, MATCH(planning_rank, {years:rank.all}, 0))",
    ),
    Result(
        "planning_year",
        "Planning year",
        Unit.YEAR,
        "The year of the record that the plan rests on.",
        "INDEX({years:year.all}, planning_row)",
    ),
    Result(
        "planning_storage",
        "Storage the planning year needed",
        Unit.VOLUME,
        "For the house alone.",
        "INDEX({years:storage.all}, planning_row)",
    ),
    Result(
        "planning_short",
        "House short in the planning year",
        Unit.VOLUME,
        "In service, with the present tank and the weather of that year alone.",
        "INDEX({years:house_short.all}, planning_row)",
    ),
    Result(
        "planning_loads",
        "Loads hauled in the planning year",
        Unit.COUNT,
        "Whole loads for that shortage.",
        "INDEX({years:loads.all}, planning_row)",
    ),
    Result(
        "middle_row",
        "Row of the middle year",
        Unit.COUNT,
        "Among the years.",
        "MATCH(MAX(1, INT((usable_years + 1) / 2)), {years:rank.all}, 0)",
    ),
    Result(
        "years_carried",
        "Years carried by the present tank",
        Unit.COUNT,
        "House unshort in service.",
        "SUM({years:carried.all})",
    ),
    Result(
        "years_close",
        "Years too close to tell",
        Unit.COUNT,
        "The storage that they needed lies within a fifth of what the tank can give.",
        "SUM({years:close.all})",
    ),
    Result(
        "years_unfillable",
        "Years that the well cannot fill",
        Unit.COUNT,
        "The well could not bring the tank to the level that the house needed.",
        "usable_years - SUMPRODUCT({years:usable.all}, {years:well_fills.all})",
    ),
    Result(
        "years_pond_dry",
        "Years in which the pond falls dry",
        Unit.COUNT,
        "Of those that count.",
        "SUM({years:pond_dry.all})",
    ),
    Result(
        "years_beyond_tanks",
        "Years in which no tank would have been enough",
        Unit.COUNT,
        "Short in service, and the well could not have filled a tank of any size for them.",
        "SUMPRODUCT(({years:usable.all}=1) * ({years:carried.all}=0) * ({years:fillable.all}=0))",
    ),
]
