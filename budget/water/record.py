"""The rain record by months: data, and the calendar that hangs on it.

The monthly figures are sums and means of the daily record (`budget.record`); they are data, not formulas. A record of
months gives them more coarsely: snow, melt, rain days and rain spells are then estimated. Two warm-up years stand
before the record, the first two years of it run once more, so that soil and water table do not remember their start.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.water_table import STORED

LOCAL = [
    Input(
        "rain_local_annual",
        "Rain that falls at this place in a year",
        Unit.DEPTH,
        "If you know it: the whole record is scaled so that its mean year has this much. Empty: the record as it is.",
        "",
        low="50 mm",
        high="8000 mm",
    ),
]

# Of the weather station that the rain was fetched from.
STATION = [
    Input(
        "rain_station_height",
        "Height of the rain station above the sea",
        Unit.HEIGHT,
        "Stored by the build where the rain was fetched from a weather station; empty where its height is not known.",
        "",
        low="-450 m",
        high="5500 m",
        found=STORED,
    ),
    Input(
        "rain_station_distance",
        "Distance of the rain station",
        Unit.DISTANCE,
        "From the place. Stored by the build where the rain was fetched from a weather station.",
        "",
        low="0 km",
        high="5000 km",
        found=STORED,
    ),
    Input(
        "rain_height_limit",
        "Height difference that is warned of",
        Unit.HEIGHT,
        "A station that stands further above or below the place than this makes a warning on Answers: rain often grows"
        " with height.",
        "200 m",
        low="10 m",
        high="2000 m",
        source="common practice, no source",
    ),
]

INPUTS = [*LOCAL, *STATION]

DATA = [
    Column("year", "Year", Unit.YEAR, "Calendar year."),
    Column("month", "Month", Unit.MONTH, "Calendar month, 1 to 12."),
    Column("days", "Days", Unit.COUNT, "Days of the month."),
    Column("in_record", "In the record", Unit.FLAG, "0 in the two warm-up years, which count nowhere."),
    Column("rain_recorded", "Rain recorded", Unit.DEPTH, "Rain and melted snow of the month, gaps filled."),
    Column("tmax", "Mean daily high", Unit.TEMPERATURE, "Mean of the daily maxima."),
    Column("tmin", "Mean daily low", Unit.TEMPERATURE, "Mean of the daily minima."),
    Column(
        "snow_share",
        "Share as snow",
        Unit.SHARE,
        "Share of the precipitation that fell on days with a mean of 1 °C or less; in a record of months by its mean.",
        source="after US Army Corps of Engineers, Snow Hydrology (1956); recalled; in a record of months from 1 at"
        " -2 °C to 0 at 4 °C: common practice, no source",
    ),
    Column(
        "degree_days",
        "Melt degree-days",
        Unit.DEGREE_DAYS,
        "Sum of the daily means above freezing; in a record of months, of its mean.",
    ),
    Column("wet_days", "Rain days", Unit.NUMBER, "Days with 1 mm or more; all days in a record of months."),
    Column(
        "rain_spells",
        "Rain spells",
        Unit.NUMBER,
        "Times that a dry day was followed by a rain day; a quarter of the days in a record of months.",
    ),
    Column(
        "first_rain_share",
        "Rain by the 15th",
        Unit.SHARE,
        "Share of the month's precipitation that fell on days 1 to 15; by the days in a record of months.",
    ),
    Column(
        "first_wet_days",
        "Rain days by the 15th",
        Unit.NUMBER,
        "Days 1 to 15 with 1 mm or more; all of them in a record of months.",
    ),
    Column(
        "first_snow_share",
        "Share as snow by the 15th",
        Unit.SHARE,
        "Of the precipitation of days 1 to 15, as of the month's; the month's own in a record of months.",
        source="after US Army Corps of Engineers, Snow Hydrology (1956); recalled",
    ),
    Column(
        "first_degree_days",
        "Melt degree-days by the 15th",
        Unit.DEGREE_DAYS,
        "Of days 1 to 15; their part by the days in a record of months.",
    ),
    Column("missing_days", "Days missing", Unit.COUNT, "Days without rain or temperature in the record."),
    Column(
        "filled",
        "Filled",
        Unit.FLAG,
        "1 where too many days miss and the month takes the median of its calendar month.",
        source="more than 5 days, or more than 3 in a row: WMO practice; recalled",
    ),
]

# How much of each calendar year was measured: data, for the Climate sheet.
COVERAGE = [
    Column("coverage_year", "Year", Unit.YEAR, "Calendar year."),
    Column("measured_days", "Days measured", Unit.COUNT, "Days with rain of the station's own."),
    Column("neighbour_days", "From neighbours", Unit.COUNT, "Days whose rain stations nearby stand in for."),
    Column("lacking_days", "Days missing", Unit.COUNT, "Days without rain."),
    Column("longest_gap", "Longest gap", Unit.COUNT, "Days in a row without rain."),
    Column(
        "year_months_filled",
        "Months filled",
        Unit.COUNT,
        "Months that missed too many days and took the median of their calendar month.",
    ),
]

# The weather stations that were looked at, nearest first: data, for the Climate sheet.
STATIONS = [
    Column("station", "Weather station", Unit.TEXT, "Its name and id."),
    Column("station_distance", "Distance", Unit.DISTANCE, "From the place."),
    Column(
        "station_serves",
        "What it serves for",
        Unit.TEXT,
        "Rain, temperatures, or gaps in them; or why it was not taken.",
    ),
    Column("station_height", "Height", Unit.HEIGHT, "Above the sea; empty where it is not known."),
    Column(
        "station_above",
        "Higher than the place",
        Unit.HEIGHT,
        "Than the elevation of the place; negative where the station stands lower.",
        'IF(ISNUMBER({station_height}), {station_height} - site_elevation, "")',
    ),
    Column("station_begins", "Rain from", Unit.DATE, "First day on which it is known to have measured rain."),
    Column("station_ends", "Rain until", Unit.DATE, "Last day on which it is known to have measured rain."),
    Column(
        "station_rain_known",
        "Rain known",
        Unit.SHARE,
        "Share of the days of the years that count; empty where the station was not asked for all of them.",
    ),
    Column(
        "station_warmth_known",
        "Highs and lows known",
        Unit.SHARE,
        "Share of the same days with both a high and a low.",
    ),
]

CALENDAR = [
    Column("first_day", "First day", Unit.DATE, "The month's first day.", "DATE({year}, {month}, 1)"),
    Column(
        "record_day",
        "First day, in the record",
        Unit.DATE,
        "0 in the warm-up years.",
        "IF({in_record}=1, {first_day}, 0)",
    ),
    Column(
        "record_month",
        "Month of the record",
        Unit.MONTH,
        "The calendar month, 0 in the warm-up years.",
        "IF({in_record}=1, {month}, 0)",
    ),
    Column(
        "position",
        "Month of the plan year",
        Unit.MONTH,
        "1 in the month in which the plan year begins.",
        "MOD({month} - first_month, 12) + 1",
    ),
    Column(
        "plan_year",
        "Plan year",
        Unit.YEAR,
        "Named by the calendar year in which it begins; 0 in the warm-up years.",
        "IF({in_record}=1, {year} - IF({month} < first_month, 1, 0), 0)",
    ),
    Column(
        "tmean",
        "Mean temperature",
        Unit.TEMPERATURE,
        "Mean of high and low.",
        "({tmax} + {tmin}) / 2",
        source="FAO-56 eq. 9: (Tmax + Tmin)/2",
    ),
    Column(
        "rain",
        "Rain",
        Unit.DEPTH,
        "Rain at this place: the record, scaled where the site's own yearly rain is known.",
        "{rain_recorded} * rain_scale",
    ),
]


def calendar_mean(key: str) -> str:
    """The template of a Ledger column's mean over the record, in this row's calendar month."""
    of_month = "{ledger:record_month.all}, {calendar:month}"
    return f"SUMIF({of_month}, {{ledger:{key}.all}}) / COUNTIF({of_month})"


BY_CALENDAR_MONTH = [
    Column(
        "rain_mean",
        "Rain recorded, mean",
        Unit.DEPTH,
        "Mean of the calendar month over the record.",
        calendar_mean("rain_recorded"),
    ),
    Column(
        "filled_months_of",
        "Months filled",
        Unit.COUNT,
        "How many of these months took the median, because too many days were missing.",
        "SUMIF({ledger:record_month.all}, {calendar:month}, {ledger:filled.all})",
    ),
    Column(
        "tmax_mean",
        "Daily high, mean",
        Unit.TEMPERATURE,
        "Mean over the record.",
        calendar_mean("tmax"),
    ),
    Column(
        "tmin_mean",
        "Daily low, mean",
        Unit.TEMPERATURE,
        "Mean over the record.",
        calendar_mean("tmin"),
    ),
]

RESULTS = [
    Result(
        "record_begins",
        "First day of the record's months",
        Unit.DATE,
        "After the warm-up years.",
        "INDEX({ledger:record_day.all}, COUNTIF({ledger:record_day.all}, 0) + 1)",
    ),
    Result(
        "record_ends",
        "Last day of the record's months",
        Unit.DATE,
        "Of the last month.",
        "{ledger:record_day.last} + {ledger:days.last} - 1",
    ),
    Result(
        "recorded_annual",
        "Rain of the mean year in the record",
        Unit.DEPTH,
        "Sum of the calendar months' means.",
        "SUM({climate:rain_mean.all})",
    ),
    Result(
        "rain_scale",
        "Rain here to rain recorded",
        Unit.NUMBER,
        "1 where the site's own yearly rain is not given.",
        "IF(AND(ISNUMBER(rain_local_annual), recorded_annual>0), rain_local_annual / recorded_annual, 1)",
    ),
]

PARTS = [
    Result(
        "station_rise_told",
        "How much higher or lower the rain station stands",
        Unit.TEXT,
        "Than the place, in meters and feet; empty where its height is not known.",
        'IF(ISNUMBER(rain_station_height), TEXT(ABS(rain_station_height - site_elevation) * metres_per_length, "0")'
        ' & " m (" & TEXT(ABS(rain_station_height - site_elevation) * metres_per_length / 0.3048, "0") & " ft) "'
        ' & IF(rain_station_height>site_elevation, "higher", "lower"), "")',
        source="0.3048 m to the foot, exactly",
    ),
]
