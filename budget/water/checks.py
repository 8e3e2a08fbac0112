"""Warnings: cells that are empty while all is well and hold a sentence where it is not."""

from collections.abc import Sequence

from budget.declarations import Input, Result
from budget.units import Unit
from budget.water import water_table
from budget.water.nouns import MONTHS, NOUNS, SCALARS, THE_WELL, WITH_A_BASE, Noun, place


def _warning(name: str, title: str, meaning: str, condition: str, sentence: str) -> Result:
    """A check; it is silent where its cells hold errors, so that the first one, which names the cause, is heard."""
    return Result(f"check_{name}", title, Unit.TEXT, meaning, f'IFERROR(IF({condition}, {sentence}, ""), "")')


def _must_hold(given: Input) -> bool:
    """Whether the cell must hold a number, or a word where it offers words, for anything to be computed."""
    return not given.optional or given.found not in ("", water_table.STORED)


def _missing(given: Input) -> str:
    """The template that names the input where its cell does not hold what it must."""
    sound = f"ISNUMBER({given.name})" if given.unit is not Unit.TEXT else f'{given.name}<>""'
    if place(given)[0] in THE_WELL:
        sound = f"OR(NOT(ISNUMBER(well_depth)), {sound})"
    return f'IF({sound}, "", "{given.title}; ")'


def _lacking(nouns: Sequence[Noun]) -> str:
    """The template that names every cell of these nouns that does not hold what it must."""
    return " & ".join(_missing(given) for noun in nouns for given in noun.inputs if _must_hold(given))


def _text(given: Input) -> str:
    """The template that names the input where its cell holds text instead of a number."""
    return f'IF(AND({given.name}<>"", NOT(ISNUMBER({given.name}))), "{given.title}; ", "")'


ALWAYS_WANTED = [noun for noun in NOUNS if not noun.wanted_where]
WANTED_WITH_A_BASE = [noun for noun in NOUNS if noun.wanted_where == WITH_A_BASE]

TEXTS = Result(
    "text_cells",
    "Cells with text for a number",
    Unit.TEXT,
    "Inputs that may stay empty, but hold no text.",
    " & ".join(_text(given) for given in SCALARS if given.optional and not given.found and given.unit is not Unit.TEXT),
)
# What is typed by the month, by table and key.
MONTHLY_CELLS = [f"{months.table}:{given.key}" for months in MONTHS for given in months.inputs]
MISSING = Result(
    "missing_cells",
    "Cells that lack a number",
    Unit.TEXT,
    "Inputs that must not be empty, nor text where a number goes.",
    _lacking(ALWAYS_WANTED),
)
# Its own cell: no base is wanted in most books, and one formula would grow too long.
MISSING_BASE = Result(
    "missing_base_cells",
    "Cells of the tank base that lack a number",
    Unit.TEXT,
    "Its inputs that must not be empty, nor text where a number goes; none where the tank has no diameter.",
    f'IF({WITH_A_BASE}, {_lacking(WANTED_WITH_A_BASE)}, "")',
)


RESULTS = [
    Result(
        "check_missing",
        "Cells filled in",
        Unit.TEXT,
        "Every input that must hold a number, or a word of its list, does.",
        'IF(missing_cells="", "", "Do not trust this book: these cells are empty, or hold text where a number goes: "'
        " & missing_cells)",
    ),
    _warning(
        "text",
        "Numbers are numbers",
        "Cells that may stay empty hold a number or nothing.",
        'text_cells<>""',
        '"These cells hold text where a number goes, and count as empty: " & text_cells',
    ),
    _warning(
        "years",
        "Enough years",
        "Ten usable years or more.",
        "usable_years<10",
        '"Only " & usable_years & " plan years count: figures for dry years are weak."',
    ),
    _warning(
        "filled",
        "Months of the record are known",
        "No month of the record took a median for want of days.",
        "months_filled>0",
        'months_filled & IF(months_filled=1, " month", " months") & " of the rain record missed too many days and took'
        ' the median of the calendar month: a dry month among them would not be seen. Climate says how many a year."',
    ),
    _warning(
        "station_height",
        "Rain station at a like height",
        "It stands within the limit of the place's elevation, or the place's own yearly rain is typed.",
        "AND(ISNUMBER(rain_station_height), NOT(ISNUMBER(rain_local_annual)),"
        " ROUND(ABS(rain_station_height - site_elevation) - rain_height_limit, 6)>0)",
        '"The rain station stands " & TEXT(ABS(rain_station_height - site_elevation) * metres_per_length, "0")'
        ' & " m (" & TEXT(ABS(rain_station_height - site_elevation) * metres_per_length / 0.3048, "0") & " ft) "'
        ' & IF(rain_station_height>site_elevation, "higher", "lower") & " than the place, and rain often grows with'
        " height: on Climate type your place's rain of a mean year, or take a station at a like height.\"",
    ),
    _warning(
        "odds",
        "Odds within the record",
        "The record is long enough for the odds chosen.",
        'OR(AND(plan_for="1 in 10", usable_years<9), AND(plan_for="1 in 5", usable_years<4))',
        '"The record is too short for " & plan_for & ": the driest year on record stands in for it."',
    ),
    _warning(
        "typed_year",
        "Planning year on record",
        "A year typed by its number is a whole plan year of the record.",
        "AND(ISNUMBER(plan_for), typed_row=0)",
        '"The year typed to plan for is not a whole plan year of the record; 1 in 10 is used instead."',
    ),
    _warning(
        "as_of",
        "'As of' near the plan year",
        "The day lies within the plan year or the year before it.",
        "OR(plan_as_of>plan_ends, plan_as_of<DATE(plan_number - 1, first_month, 1))",
        "\"'As of' lies outside the plan year and the year before it: is the plan year's number on Readings right?\"",
    ),
    _warning(
        "rain_ahead",
        "This year's rain has fallen",
        "No rain is typed for a month that is not over on that day.",
        "SUM({so_far_workings:rain_ahead.all})>0",
        "\"Rain is typed on Readings for a month that is not over by 'as of': empty the rain of the old year, or mend"
        " 'as of'.\"",
    ),
    _warning(
        "rain_gap",
        "This year's rain without gaps",
        "Rain is typed for every month of the plan year that is over, or for none.",
        "AND(months_typed>0, SUM({so_far_workings:rain_gap.all})>0)",
        '"Rain is typed on Readings for some months of this year, but not for others that are over: those take the'
        " planning year's.\"",
    ),
    _warning(
        "start_past",
        "Start still ahead",
        "The latest safe start lies after that day.",
        "AND({answer_workings:start_day.first}>0, plan_as_of>{answer_workings:start_day.first}, plan_as_of<=plan_ends)",
        "\"The latest safe start is past by 'as of': if the tank is not filling yet, begin now; if it is, go on.\"",
    ),
    _warning(
        "monthly_text",
        "Months hold numbers",
        "Cells of the months hold a number or nothing.",
        " + ".join(f"COUNTA({{{cells}.all}}) - COUNT({{{cells}.all}})" for cells in MONTHLY_CELLS) + ">0",
        '"A cell of the months on Well, Storage or Readings holds text where a number goes: it counts as empty."',
    ),
    _warning(
        "fit",
        "Rain explains the well",
        "The measured depths are met by the model.",
        "AND(well_there=1, rain_explains_well=0)",
        '"Rain alone does not explain this well: the model misses the measured depths by more than allowed. The answers'
        " are weak: measure the depth to water on more dates (dips on Well), or type the depths of the twelve months"
        ' there."',
    ),
    _warning(
        "fit_soil",
        "Fit near the soil",
        "Specific yield and drainage time lie within two spreads of the soil's figures.",
        "AND(well_there=1, MAX(ABS(misfit_specific_yield), ABS(misfit_drainage_time))>2)",
        '"The fitted specific yield or drainage time is far from that of the soil: another soil word, or water that'
        ' comes from elsewhere (a river, an irrigation canal, pumping nearby)?"',
    ),
    _warning(
        "seasons",
        "Dips and seasons agree",
        "The late-summer and the wet-season depth lie within two spreads of what the dips give.",
        "AND(well_there=1, dips_rule=1,"
        " MAX(ABS(summer_depth_error), ABS(winter_depth_error))>fit_depth_spread + fit_depth_spread)",
        '"The late-summer or the wet-season depth that you gave is not what the dips give: look at both on Well."',
    ),
    _warning(
        "fit_old",
        "Fit up to date",
        "The inputs under the fit are those that it was made with.",
        "AND(well_there=1, ROUND(ABS(fit_error - fit_error_at_build), 4)>0)",
        '"Something under the water table changed since it was fitted. To fit anew, put your changes into the site'
        ' file and build again."',
    ),
    _warning(
        "inflow",
        "Inflow known",
        "An inflow is typed, or a recovery test gives one.",
        "AND(well_there=1, ROUND(inflow, 9)<=0)",
        '"No inflow of the well is known: type it on Well, or a recovery test. Until then the well gives nothing."',
    ),
    _warning(
        "recovery",
        "Recovery test",
        "Its water rises.",
        'recovery_fault<>""',
        '"Recovery test: " & recovery_fault & ". It gives no inflow."',
    ),
    _warning(
        "recovery_rest",
        "Recovery below rest",
        "No reading after the pump stopped stands above the depth at rest.",
        'SUMPRODUCT(--({recovery:said.all}="left out: at rest or above"))>0',
        '"A reading of the recovery test stands at or above the depth at rest: is that depth right? The inflow hangs'
        ' on it."',
    ),
    _warning(
        "inflow_differs",
        "Inflow typed and tested",
        "The inflow typed is that of the recovery test, to a third.",
        "AND(ISNUMBER(well_inflow), recovery_inflow>0, ABS(well_inflow - recovery_inflow)>recovery_inflow / 3)",
        '"The inflow typed on Well is used, but the recovery test there gives another: empty the one that is wrong."',
    ),
    _warning(
        "recovery_line",
        "Recovery on a line",
        "Three readings count, and they lie on a line: r² of 0.98 or more.",
        'AND(NOT(ISNUMBER(well_inflow)), recovery_fault="", recovery_points>0,'
        " OR(recovery_points<3, recovery_fit<0.98))",
        '"The readings of the recovery test do not make a line that can be trusted: repeat it, with a reading every few'
        ' minutes."',
    ),
    _warning(
        "readings",
        "Readings in order",
        "Every reading of the recovery test can be right.",
        'SUMPRODUCT(--({recovery:fault.all}<>""))>0',
        '"A reading of the recovery test on Well needs mending: see beside it."',
    ),
    _warning(
        "dips",
        "Dips in order",
        "Every dip counts.",
        'SUMPRODUCT(--({dips:fault.all}<>""))>0',
        '"A dip on Well does not count: see beside it."',
    ),
    _warning(
        "monthly_depth",
        "Depths by month",
        "No depth typed for a month is deeper than the well.",
        "MAX({well_months:monthly_depth.all})>well_depth",
        '"A depth typed for a month on Well is deeper than the well."',
    ),
    _warning(
        "remembered",
        "Dry spells in order",
        "Every dry spell that is remembered counts.",
        'SUMPRODUCT(--({remembered:fault.all}<>""))>0',
        '"A dry spell remembered on Well does not count: see beside it."',
    ),
    _warning(
        "memory",
        "Model and memory",
        "They agree in half of the years or more.",
        "AND(spells_counted>=3, years_agreed<spells_counted / 2)",
        '"The model agrees with your memory in less than half of the years: look at the share of the inflow, and at the'
        ' depths, on Well."',
    ),
    _warning(
        "boundary",
        "Dry season within the plan year",
        "Months 12 and 1 are not both short.",
        "AND(well_there=1, SUM({years:crosses.all})>usable_years / 5)",
        '"The dry season crosses the boundary of the plan year in more than one year of five:'
        ' storage may be underestimated."',
    ),
    _warning(
        "balance",
        "Rows close",
        "Every row of the Ledger closes.",
        "ROUND(largest_row_error, 6)>0",
        '"A row of the Ledger does not close. Do not trust this book: a formula was changed."',
    ),
    _warning(
        "intake",
        "Intake under water",
        "The allowed pumping depth lies below the late-summer water.",
        "AND(well_there=1, allowed_pumping_depth<=well_summer_depth)",
        "IF(allowed_pumping_depth<=well_winter_depth,"
        ' "The allowed pumping depth is above the water all year: the well gives nothing.",'
        ' "The allowed pumping depth is above the late-summer water: the well gives nothing then.")',
    ),
    _warning(
        "bottom",
        "Intake above the bottom",
        "The intake hangs above the bottom of the well.",
        "pump_intake>well_depth",
        '"The intake is below the bottom of the well; the bottom is taken for it."',
    ),
    _warning(
        "suction",
        "Suction lift",
        "The pump can lift from the depth of its intake.",
        'AND(pump_kind="suction", suction_limit - pump_height<pump_intake - pump_submergence)',
        '"The suction pump cannot lift from the depth of its intake: the practical lift sets the allowed depth."',
    ),
    _warning(
        "reserve",
        "Reserve within the tank",
        "The reserve is no larger than the tank.",
        "AND(tank_usable>0, tank_reserve>tank_usable)",
        '"The reserve is larger than the tank; all of it is held back."',
    ),
    _warning(
        "household",
        "House uses water",
        "The household lines that are there add up to something.",
        "AND(COUNT({household:number.all})>0, ROUND(SUM({household:line_daily.all}), 6)<=0)",
        '"The household uses no water: look at its lines."',
    ),
    _warning(
        "unknown_use",
        "Uses known",
        "Every use without an amount is in the table of uses.",
        "SUM({household:unknown.all})>0",
        '"A household line lacks a count, or an amount or a use that is in the table: it counts 0."',
    ),
    _warning(
        "unknown_animal",
        "Animals known",
        "Every animal without an amount is in the table of animals.",
        "SUM({animals:unknown.all})>0",
        '"A line of animals lacks a count, or an amount or an animal that is in the table: it counts 0."',
    ),
    _warning(
        "unknown_roof",
        "Roofs known",
        "Every roof has a coefficient, or a material that is in the table of roofs.",
        "SUM({roofs:unknown.all})>0",
        '"A roof has neither a coefficient nor a material that is in the table: it counts 0."',
    ),
    _warning(
        "roof_tank",
        "Roof water has a tank",
        "Where roofs are given, there is a tank that takes their water.",
        'AND(roof_catching_area>0, OR(AND(roof_goes_to="garden tank", roof_tank_capacity<=0),'
        ' AND(roof_goes_to="house tank", tank_usable<=0)))',
        '"Roofs are given, but no tank takes their water: it runs off."',
    ),
    _warning(
        "pond_size",
        "Pond has a size",
        "A pond with a depth has a surface, and its keep-level lies within it.",
        "AND(pond_depth>0, OR(pond_full<=0, pond_keep>pond_depth))",
        'IF(pond_full<=0, "The pond has a depth but no surface: it counts as none.",'
        ' "The keep-level is above the full pond: the garden gets nothing from it.")',
    ),
    _warning(
        "unknown_crop",
        "Crops known",
        "Every zone's crop is in the table of crops.",
        "SUM({zones:unknown.all})>0",
        '"A garden zone has a crop that is not in the table and no Kc by hand: it counts 0."',
    ),
    _warning(
        "base_missing",
        "Cells of the tank base filled in",
        "Where the tank has a diameter, every input of its base holds a number, or a word of its list.",
        'missing_base_cells<>""',
        '"The tank base is not reckoned: these cells are empty, or hold text where a number goes: "'
        " & missing_base_cells",
    ),
    _warning(
        "base_size",
        "Tank of the base holds its water",
        "Where it has a diameter it has a capacity, no more than diameter and wall hold.",
        "OR(AND(ISNUMBER(base_tank_diameter), tank_capacity<=0), AND(base_there=1,"
        " ROUND(tank_capacity - volume_per_cube * base_tank_area * base_wall_height, 6)>0))",
        'IF(tank_capacity<=0, "The tank of the base has a diameter, but no capacity on Storage.",'
        ' "The tank cannot hold its capacity: look at its diameter and height on Tank base.")',
    ),
    _warning(
        "base_ground",
        "Ground bears the tank",
        "The full tank presses no more on the ground than is presumed for it.",
        "AND(base_there=1, base_bears=0)",
        'IF(base_bearing<=0, "Nothing is presumed of the ground under the tank base: an engineer must say what it'
        ' bears.", "The full tank presses more on the ground than is presumed for it: see Tank base.")',
    ),
    _warning(
        "base_wind",
        "Tank stands in the wind",
        "It stands by its weight and the water that always stays in it, or it is anchored.",
        'AND(base_there=1, base_stands=0, base_anchored="no")',
        'IF(tank_in_service="all year",'
        ' "Wind can move or tip the tank when it is low: see Tank base, anchor it, or keep more water in it.",'
        ' "Wind can move or tip the tank when it is empty, as it is all winter: see Tank base, and anchor it.")',
    ),
    _warning(
        "base_pump",
        "Pump fills the tank",
        "The pump's total head, where it is typed, lifts the water to the tank's top.",
        "AND(base_there=1, well_there=1, ISNUMBER(base_pump_head), base_pump_fills=0)",
        '"The pump cannot lift the water to the top of the tank: see Tank base."',
    ),
]

TOTALS = [
    MISSING,
    TEXTS,
    MISSING_BASE,
    Result(
        "largest_row_error",
        "Largest error of a row",
        Unit.VOLUME,
        "Of the Ledger.",
        "MAX({ledger:row_error.all})",
    ),
]
