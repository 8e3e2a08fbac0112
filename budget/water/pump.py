"""The pump: how deep it may draw, what it gives in a day of runs and rests, and how that changes within a month.

Between runs the bore fills again: A ds/dt = Q − C s while the pump runs and A ds/dt = −C s while it rests, with s the
drawdown, A the water in the bore per unit of depth, Q the pump's rate and C the inflow per unit of drawdown. The
solutions give the minutes of a run from the restart level to the available drawdown, and of the rest back.

Within a month the yield follows the water table: known at its mean height, it is taken to go in proportion to the
drawdown at hand, and through the walls to the water standing, up to what the pump can lift (own rule). So it is known
on the 15th and at the month's end, and between these it goes in a straight line.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.well import inflow_at

INPUTS = [
    Input(
        "pump_rate",
        "Pumping rate",
        Unit.RATE,
        "At the tank, by bucket and watch.",
        low="0.2 L/min",
        high="2000 L/min",
    ),
    Input(
        "pump_intake",
        "Depth of the intake",
        Unit.LENGTH,
        "From the ground to the foot valve or the pump's inlet.",
        low="0.3 m",
        high="60 m",
    ),
    Input(
        "pump_submergence",
        "Water kept over the intake",
        Unit.LENGTH,
        "So that it draws no air.",
        "0.3 m",
        low="0 m",
        high="5 m",
        source="common practice, no source",
    ),
    Input(
        "pump_kind",
        "Kind of pump",
        Unit.TEXT,
        "A suction pump stands above the water and can lift only so far; a submersible hangs in it.",
        "suction",
        choices=("suction", "submersible"),
    ),
    Input(
        "pump_height",
        "Pump above the ground at the well",
        Unit.LENGTH,
        "Negative in a pit.",
        "0 m",
        low="-6 m",
        high="8 m",
    ),
    Input(
        "pump_vapour_head",
        "Vapour pressure of the water",
        Unit.LENGTH,
        "At 10 °C.",
        "0.4 ft",
        low="0 m",
        high="1 m",
        source="recalled",
    ),
    Input(
        "pump_suction_allowance",
        "Allowance for losses in suction",
        Unit.LENGTH,
        "Leaves 22 ft (6.7 m) of practical lift at sea level.",
        "11.3 ft",
        low="0 m",
        high="10 m",
        source="common practice, no source",
    ),
    Input(
        "pump_restart",
        "Restart when the drawdown is back to",
        Unit.SHARE,
        "Share of the available drawdown that is left when the pump may start again.",
        "0.5",
        low="0.05",
        high="0.95",
        source="common practice, no source",
    ),
    Input(
        "pump_window",
        "Hours a day in which the pump may switch",
        Unit.HOURS,
        "24 where a float or timer does it; fewer by hand.",
        "24 hours",
        low="0.25 hours",
        high="24 hours",
    ),
    Input(
        "pump_most_runs",
        "Most runs a day",
        Unit.COUNT,
        "Each start heats the motor; see the pump's papers.",
        "48",
        low="1",
        high="300",
        source="common practice, no source",
    ),
    Input(
        "pump_line_length",
        "Length of the suction line",
        Unit.LENGTH,
        "From the foot valve to the pump. Empty: depth of the intake and height of the pump.",
        "",
        low="0 m",
        high="300 m",
    ),
    Input(
        "pump_line_bore",
        "Inside diameter of the suction line",
        Unit.WIDTH,
        "For the water that primes it.",
        "1.25 in",
        low="0.25 in",
        high="8 in",
        source="common practice, no source",
    ),
    Input(
        "pump_body_volume",
        "Water in the pump's body",
        Unit.VOLUME,
        "Filled with the line when the pump is primed; see the pump's papers.",
        "1 gal",
        low="0 gal",
        high="100 L",
        source="common practice, no source",
    ),
]

RESULTS = [
    Result(
        "atmospheric_head",
        "Atmospheric head",
        Unit.LENGTH,
        "Height of water that the air's weight holds up at this elevation.",
        "101325 / (1000 * 9.80665) * (1 - 0.0065 * site_elevation * metres_per_length / 288.15)^5.2559"
        " / metres_per_length",
        source="US Standard Atmosphere 1976: 101325 Pa × (1 − 0.0065 h/288.15)^5.2559, over 1000 kg/m³ × 9.80665 m/s²",
    ),
    Result(
        "suction_limit",
        "Practical suction lift",
        Unit.LENGTH,
        "From the pump down to the lowest water it can lift.",
        "MAX(0, atmospheric_head - pump_vapour_head - pump_suction_allowance)",
    ),
    Result(
        "allowed_pumping_depth",
        "Allowed pumping depth",
        Unit.LENGTH,
        "The water is never drawn deeper, measured from the ground; 0 without a well.",
        'IF(well_there=0, 0, IF(pump_kind="submersible", MIN(pump_intake, well_depth) - pump_submergence,'
        " MIN(MIN(pump_intake, well_depth) - pump_submergence, suction_limit - pump_height)))",
    ),
    Result(
        "line_length",
        "Length of the suction line, in use",
        Unit.LENGTH,
        "The figure above, or depth and height.",
        "IF(ISNUMBER(pump_line_length), pump_line_length, MAX(0, pump_intake + pump_height))",
    ),
    Result(
        "priming_volume",
        "Clean water to keep by for priming, outside the tank",
        Unit.VOLUME,
        "Fills the suction line and the pump's body once, after it has lost its prime; 0 for a submersible.",
        'IF(pump_kind="suction", PI() / 4 * (pump_line_bore / depth_per_length)^2 * line_length * volume_per_cube'
        " + pump_body_volume, 0)",
        source="geometry: π/4 × bore² × length",
    ),
]

IN_WINDOW = "pump_rate * pump_window * 60"  # what a pump that never rests gives a day


def outruns(inflow: str, drawdown: str) -> str:
    """The template of whether the pump takes more than an inflow per unit of drawdown lets in at that drawdown."""
    return f"AND({inflow}>0, {drawdown}>0, ROUND(pump_rate - {inflow} * {drawdown}, 9)>0)"


def minutes_of_run(inflow: str, drawdown: str) -> str:
    """The template of the minutes from the restart level down to that drawdown, where the pump outruns the well."""
    return (
        f"bore_storage / {inflow} * LN((pump_rate - {inflow} * pump_restart * {drawdown})"
        f" / (pump_rate - {inflow} * {drawdown}))"
    )


def minutes_of_rest(inflow: str) -> str:
    """The template of the minutes in which the drawdown falls to the restart level."""
    return f"bore_storage / {inflow} * LN(1 / pump_restart)"


def most_runs(run: str, rest: str) -> str:
    """The template of the runs a day, of so many minutes each and so many of rest between them."""
    return f"MIN(24 * 60 / ({run} + {rest}), (pump_window * 60 + {rest}) / ({run} + {rest}), pump_most_runs)"


def runs_give(runs: str, take: str) -> str:
    """The template of what so many runs a day give."""
    return f"MIN({runs} * {take}, {IN_WINDOW})"


def typed_or(found: str) -> str:
    """The template of the yield a day: the take typed for the calendar month, else what is found."""
    return f"IF({{month_workings:take_typed@month}}=1, {{month_workings:take_given@month}}, {found})"


COLUMNS = [
    Column(
        "draws_down",
        "Draws down",
        Unit.FLAG,
        "1 where the pump outruns the well and must rest.",
        f"IF({outruns('{season_inflow}', '{available_drawdown}')}, 1, 0)",
    ),
    Column(
        "run_minutes",
        "Minutes of a run",
        Unit.MINUTES,
        "From the restart level down to the allowed depth.",
        f"IF({{draws_down}}=1, {minutes_of_run('{season_inflow}', '{available_drawdown}')}, 0)",
        source="A ds/dt = Q − C s",
    ),
    Column(
        "rest_minutes",
        "Minutes of rest",
        Unit.MINUTES,
        "Until the drawdown is back at the restart level.",
        f"IF({{draws_down}}=1, {minutes_of_rest('{season_inflow}')}, 0)",
        source="A ds/dt = −C s",
    ),
    Column("run_take", "Taken in a run", Unit.VOLUME, "Rate times minutes.", "pump_rate * {run_minutes}"),
    Column(
        "runs_a_day",
        "Runs a day",
        Unit.RUNS,
        "As many as rest, window and motor allow; the well also rests outside the window.",
        f"IF({{draws_down}}=1, {most_runs('{run_minutes}', '{rest_minutes}')}, 0)",
    ),
    Column(
        "cycle_yield",
        "Runs and rests give a day",
        Unit.FLOW,
        "What the pump takes in a day without drawing air.",
        f"IF({{draws_down}}=1, {runs_give('{runs_a_day}', '{run_take}')},"
        f" IF(OR({{season_inflow}}<=0, {{available_drawdown}}<=0), 0, {IN_WINDOW}))",
    ),
]

NO_RUN = "0"  # minutes of a run where nothing is left to draw down


def at_height(height: str) -> str:
    """The template of the yield a day with the water table at `height` (a template) instead of its mean of the month.

    A depth typed for the calendar month, or a take, tells of no course within it: then the month's own yield.
    """
    rise = f"{height} - {{mean_height}}"
    left = f"MAX(0, allowed_pumping_depth - {{depth_to_water}} + {rise})"
    inflow = f"{inflow_at(f'MAX(0, {{water_column}} + {rise})')} / {{rested_inflow}}"
    return (
        "IF({month_workings:held_all_month@month}=1, {daily_yield},"
        f" IF({{rested_inflow}}>0, MIN({IN_WINDOW}, {{yield_slope}} * {left} * {inflow}), 0))"
    )


YIELD = [
    Column(
        "daily_yield",
        "Well yield a day",
        Unit.FLOW,
        "As measured and typed for the calendar month, else what runs and rests give.",
        typed_or("{cycle_yield}"),
    ),
    Column("well_yield", "Well yield", Unit.VOLUME, "Of the month.", "{daily_yield} * {days}"),
    Column(
        "yield_slope",
        "Yield per unit of drawdown",
        Unit.FLOW_LENGTH,
        "A day, at the month's mean depth; where no drawdown is left, of the first that there will be.",
        "IF({available_drawdown}>0, {daily_yield} / {available_drawdown},"
        f" IF(AND(well_there=1, {{season_inflow}}>0), bore_storage * (1 - pump_restart)"
        f" * {most_runs(NO_RUN, minutes_of_rest('{season_inflow}'))}, 0))",
        source="own rule; its limit from A ds/dt = −C s",
    ),
    Column(
        "yield_middle",
        "Well yield a day, on the 15th",
        Unit.FLOW,
        "With the water table as it stands at the end of days 1 to 15.",
        at_height("{height_middle}"),
        source="own rule: in proportion to drawdown, and to the water standing where it enters through the walls",
    ),
    Column(
        "yield_end",
        "Well yield a day, at the month's end",
        Unit.FLOW,
        "With the water table as it then stands.",
        at_height("{water_height}"),
        opening="0",
        source="own rule: in proportion to drawdown, and to the water standing where it enters through the walls",
    ),
    Column(
        "rises",
        "Yield rises",
        Unit.FLAG,
        "1 where the well gives more at the month's end than at its beginning: what it lacks then comes first, what it"
        " can spare after it; else the spare comes first.",
        "IF(ROUND({yield_end} - {yield_end.before}, 6)>0, 1, 0)",
    ),
]

# When a month of the plan begins.
BEGINS = [
    Column(
        "yield_begins", "Well yield a day, on the first", Unit.FLOW, "As the month before ends.", "{yield_end.before}"
    ),
    Column(
        "height_begins",
        "Height on the first",
        Unit.LENGTH,
        "Water above the dry-season floor.",
        "{water_height.before}",
    ),
]


def lower_end(first: str, middle: str, last: str) -> str:
    """The template of the lower of the two ends of a half month, given the three ends of its month's halves."""
    return f"IF({{half}}=1, MIN({first}, {middle}), MIN({middle}, {last}))"


# Along the halves of the plan's months: what is safe on each of their days.
HALVES = [
    Column("half", "Half of the month", Unit.COUNT, "1: days 1 to 15; 2: the rest."),
    Column(
        "low_yield",
        "Well yield a day, lower end",
        Unit.FLOW,
        "The less of what the well gives a day at the beginning and at the end of the half.",
        lower_end("{yield_begins}", "{yield_middle}", "{yield_end}"),
    ),
    Column(
        "low_rise",
        "Lower end against the mean",
        Unit.LENGTH,
        "The lower water table of the half's two ends, less the month's mean; 0 where the month's depth is typed.",
        "IF({month_workings:depth_typed@month}=1, 0,"
        f" {lower_end('{height_begins}', '{height_middle}', '{water_height}')} - {{mean_height}})",
    ),
    Column(
        "low_drawdown",
        "Available drawdown, lower end",
        Unit.LENGTH,
        "From the rest level down to the allowed pumping depth.",
        "MAX(0, allowed_pumping_depth - {depth_to_water} + {low_rise})",
    ),
    Column(
        "low_inflow",
        "Inflow, sustained, lower end",
        Unit.INFLOW,
        "Per unit of drawdown; through the walls it falls with the standing water.",
        "IF({rested_inflow}>0, {season_inflow} *"
        f" {inflow_at('MAX(0, {water_column} + {low_rise})')} / {{rested_inflow}}, 0)",
    ),
    Column(
        "low_draws_down",
        "Draws down, lower end",
        Unit.FLAG,
        "1 where the pump outruns the well and must rest.",
        f"IF({outruns('{low_inflow}', '{low_drawdown}')}, 1, 0)",
    ),
    Column(
        "low_run",
        "Minutes of a run, lower end",
        Unit.MINUTES,
        "From the restart level down to the allowed depth.",
        f"IF({{low_draws_down}}=1, {minutes_of_run('{low_inflow}', '{low_drawdown}')}, 0)",
        source="A ds/dt = Q − C s",
    ),
    Column(
        "low_rest",
        "Minutes of rest, lower end",
        Unit.MINUTES,
        "Until the drawdown is back at the restart level.",
        f"IF({{low_draws_down}}=1, {minutes_of_rest('{low_inflow}')}, 0)",
        source="A ds/dt = −C s",
    ),
]

# One long run from a rested well: what a family can try for itself, a shower's length against the watch.
RESTED = [
    Column(
        "runs_dry",
        "Draws air at last",
        Unit.FLAG,
        "1 where the pump takes more than a rested well lets in when it is drawn down.",
        "IF(ROUND(pump_rate - {rested_inflow} * {available_drawdown}, 9)>0, 1, 0)",
    ),
    Column(
        "rested_minutes",
        "Rested well lasts",
        Unit.MINUTES,
        "Minutes of pumping before the allowed depth is reached; 0 where it does not run down.",
        "IF({runs_dry}=1, IF({rested_inflow}>0, bore_storage / {rested_inflow}"
        " * LN(pump_rate / (pump_rate - {rested_inflow} * {available_drawdown})),"
        " bore_storage * {available_drawdown} / pump_rate), 0)",
        source="A ds/dt = Q − C s",
    ),
    Column(
        "rested_take",
        "and gives",
        Unit.VOLUME,
        "In that one run; 0 where it does not run down.",
        "pump_rate * {rested_minutes}",
    ),
]

BY_CALENDAR_MONTH: list[Column | Input] = [
    Input(
        "safe_take",
        "Safe daily take, measured",
        Unit.FLOW,
        "Replaces what the model finds for the calendar month in every year, with less and more water too.",
        "",
        low="0 L/day",
        high="500000 L/day",
    ),
    Column(
        "rested_minutes",
        "Rested well lasts",
        Unit.MINUTES,
        "In the planning year, before the pump draws air.",
        "IF(OR(well_there=0, {plan:runs_dry@plan_position}=1), {plan:rested_minutes@plan_position},"
        ' "does not run down")',
    ),
    Column(
        "rested_take",
        "and gives",
        Unit.VOLUME,
        "In that one run.",
        'IF(OR(well_there=0, {plan:runs_dry@plan_position}=1), {plan:rested_take@plan_position}, "does not run down")',
    ),
]

MONTH_WORKINGS = [
    Column(
        "take_typed",
        "Typed",
        Unit.FLAG,
        "1 where a take is typed, and there is a well.",
        "IF(AND(ISNUMBER({safe_take}), well_there=1), 1, 0)",
    ),
    Column("take_given", "Take typed", Unit.FLOW, "0 where none is.", "IF(ISNUMBER({safe_take}), {safe_take}, 0)"),
]
