"""The record, the planning year, and this year so far."""

from budget.declarations import Check

RECORD = [
    Check(
        "years",
        "Enough years",
        "Ten usable years or more.",
        "usable_years<10",
        '"Only " & usable_years & " plan years count: figures for dry years are weak."',
    ),
    Check(
        "filled",
        "Months of the record are known",
        "No month of the record took a median for want of days.",
        "months_filled>0",
        'months_filled & IF(months_filled=1, " month", " months") & " of the rain record missed too many days and took'
        ' the median of the calendar month: a dry month among them would not be seen. Climate says how many a year."',
    ),
    Check(
        "station_height",
        "Rain station at a like height",
        "It stands within the limit of the place's elevation, or the place's own yearly rain is typed.",
        "AND(ISNUMBER(rain_station_height), NOT(ISNUMBER(rain_local_annual)),"
        " ROUND(ABS(rain_station_height - site_elevation) - rain_height_limit, 6)>0)",
        '"The rain station stands " & station_rise_told & " than the place, and rain often grows with'
        " height: on Climate type your place's rain of a mean year, or take a station at a like height.\"",
    ),
    Check(
        "odds",
        "Odds within the record",
        "The record is long enough for the odds chosen.",
        'OR(AND(plan_for="1 in 10", usable_years<9), AND(plan_for="1 in 5", usable_years<4))',
        '"The record is too short for " & plan_for & ": the driest year on record stands in for it."',
    ),
    Check(
        "typed_year",
        "Planning year on record",
        "A year typed by its number is a whole plan year of the record.",
        "AND(ISNUMBER(plan_for), typed_row=0)",
        '"The year typed to plan for is not a whole plan year of the record; 1 in 10 is used instead."',
    ),
]

THIS_YEAR = [
    Check(
        "as_of",
        "'As of' near the plan year",
        "The day lies within the plan year or the year before it.",
        "OR(plan_as_of>plan_ends, plan_as_of<DATE(plan_number - 1, first_month, 1))",
        "\"'As of' lies outside the plan year and the year before it: is the plan year's number on Readings right?\"",
    ),
    Check(
        "rain_ahead",
        "This year's rain has fallen",
        "No rain is typed for a month that is not over on that day.",
        "SUM({so_far_workings:rain_ahead.all})>0",
        "\"Rain is typed on Readings for a month that is not over by 'as of': empty the rain of the old year, or mend"
        " 'as of'.\"",
    ),
    Check(
        "rain_gap",
        "This year's rain without gaps",
        "Rain is typed for every month of the plan year that is over, or for none.",
        "AND(months_typed>0, SUM({so_far_workings:rain_gap.all})>0)",
        '"Rain is typed on Readings for some months of this year, but not for others that are over: those take the'
        " planning year's.\"",
        "note",
    ),
    Check(
        "start_past",
        "Start still ahead",
        "The latest safe start lies after that day, or the last month that still fills the tank for this plan year is"
        " over.",
        "AND({answer_workings:start_day.first}>0, plan_as_of>{answer_workings:start_day.first},"
        " SUMPRODUCT(({plan:start_on.all}>0) * ({plan:last_service_day.all}>=plan_as_of))>0)",
        "\"The latest safe start is past by 'as of': if the tank is not filling yet, begin now; if it is, go on.\"",
        "note",
    ),
]
