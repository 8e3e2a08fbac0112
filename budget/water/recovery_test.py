"""The recovery test: pump the well down, stop, and read the depth to water as it comes back.

Without the pump the drawdown s falls as A ds/dt = −C s, with A the water in the bore per unit of depth and C the inflow
per unit of drawdown: ln s against time is a straight line of slope −C/A. The time in which 37 % of the drawdown is left
is the basic time lag of Hvorslev (1951), *Time Lag and Soil Permeability in Ground-Water Observations*, WES
Bulletin 36.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit

READINGS = 20

INPUTS = [
    Input(
        "well_recovered_share",
        "Recovered where less of the drawdown is left than",
        Unit.SHARE,
        "Readings below this share are left out: there an inch more or less decides.",
        "0.05",
        low="0",
        high="0.5",
        source="common practice, no source",
    ),
]

LIST = [
    Input(
        "minutes",
        "Since the pump stopped",
        Unit.CLOCK,
        "Minutes by the watch; negative while the pump still ran.",
        "",
        low="-1440",
        high="14400",
    ),
    Input("depth", "Depth to water", Unit.LENGTH, "From the ground.", "", low="0 m", high="60 m"),
]

COLUMNS = [
    Column(
        "drawdown",
        "Drawdown",
        Unit.LENGTH,
        "Below the level at rest; 0 where the reading cannot be right.",
        'IF(AND(ISNUMBER({minutes}), ISNUMBER({depth}), {fault}=""), {depth} - rest_depth, 0)',
    ),
    Column(
        "after_stop",
        "Drawdown, pump off",
        Unit.LENGTH,
        "0 while the pump ran.",
        "IF(ISNUMBER({minutes}), IF({minutes}>=0, {drawdown}, 0), 0)",
    ),
    Column(
        "counts",
        "Counts",
        Unit.FLAG,
        "1 where the pump is off and enough of the drawdown is left.",
        "IF(AND({after_stop}>0, ROUND({after_stop} - well_recovered_share * recovery_drawdown, 9)>=0), 1, 0)",
    ),
    Column(
        "counted_minutes",
        "Minutes, counted",
        Unit.CLOCK,
        "Empty where the reading does not count.",
        'IF({counts}=1, {minutes}, "")',
    ),
    Column(
        "log_left",
        "Logarithm of what is left",
        Unit.FINE,
        "Of the largest drawdown.",
        'IF({counts}=1, LN({drawdown} / recovery_drawdown), "")',
        source="Hvorslev (1951): ln s against time is straight",
    ),
]

# Shown beside the readings, where the hand is.
SHOWN = [
    Column(
        "said",
        "What becomes of it",
        Unit.TEXT,
        "Why a reading is left out.",
        'IF(OR(NOT(ISNUMBER({minutes})), NOT(ISNUMBER({depth})), {fault}<>""), "", IF({counts}=1, "counts",'
        ' IF({minutes}<0, "left out: the pump ran",'
        ' IF({drawdown}<=0, "left out: at rest or above", "left out: nearly back"))))',
    ),
    Column(
        "fault",
        "To mend",
        Unit.TEXT,
        "A reading that cannot be right.",
        'IF(OR(AND({minutes}<>"", NOT(ISNUMBER({minutes}))), AND({depth}<>"", NOT(ISNUMBER({depth})))),'
        ' "text, not a number", IF(ISNUMBER({minutes})<>ISNUMBER({depth}), "minutes and depth go together",'
        ' IF(AND(ISNUMBER({depth}), {depth}>well_depth), "deeper than the well", "")))',
    ),
]

# For the chart: points outside its axes are not drawn, so that spare rows need no error values.
DRAWN = [
    Column(
        "drawn_minutes",
        "Drawn at, counted",
        Unit.CLOCK,
        "-1, left of the chart, where there is nothing to draw.",
        "IF({counts}=1, {minutes}, -1)",
    ),
    Column(
        "left_out_minutes",
        "Drawn at, left out",
        Unit.CLOCK,
        "-1, left of the chart, where there is nothing to draw, or where it came later than all that count.",
        "IF(AND({after_stop}>0, {counts}=0, {minutes}<=MAX({drawn_minutes.all})), {minutes}, -1)",
    ),
    Column(
        "drawn_drawdown",
        "Measured",
        Unit.LENGTH,
        "The chart's drawdown; where there is nothing to draw some length above 0, as its axis wants.",
        "IF({after_stop}>0, {after_stop}, well_bore)",
    ),
    Column(
        "line_minutes",
        "Line drawn at",
        Unit.CLOCK,
        "Minutes of the readings that count, the last of them in spare rows.",
        "IF({counts}=1, {minutes}, {line_minutes.before})",
        opening="0",
    ),
    Column(
        "line_drawdown",
        "Fitted line",
        Unit.LENGTH,
        "Drawdown by the line.",
        "IF(recovery_slope<0, recovery_drawdown * EXP(recovery_intercept + recovery_slope * {line_minutes}),"
        " well_bore)",
    ),
]


def of_line(function: str, more_than: int) -> str:
    """The template of a figure of the straight line through the readings that count; 0 without enough of them."""
    readings = "{recovery_workings:log_left.all}, {recovery_workings:counted_minutes.all}"
    return f"IF(recovery_points>{more_than}, IFERROR({function}({readings}), 0), 0)"


RESULTS = [
    Result(
        "rest_depth",
        "Depth to water at rest, at the test",
        Unit.LENGTH,
        "As typed under Well; the wet-season depth where it is not.",
        "IF(ISNUMBER(well_depth_at_test), well_depth_at_test, well_winter_depth)",
    ),
    Result(
        "recovery_drawdown",
        "Largest drawdown, pump off",
        Unit.LENGTH,
        "Of the readings.",
        "MAX({recovery_workings:after_stop.all})",
    ),
    Result(
        "recovery_points",
        "Readings that count",
        Unit.COUNT,
        "Three or more make a line that can be judged.",
        "SUM({recovery_workings:counts.all})",
    ),
    Result(
        "recovery_slope",
        "Slope of the line",
        Unit.PER_MINUTE,
        "Of the logarithm of what is left; 0 where there is none.",
        of_line("SLOPE", 1),
        source="Hvorslev (1951): ln s against time is straight",
    ),
    Result(
        "recovery_intercept",
        "The line when the pump stopped",
        Unit.FINE,
        "Logarithm of what was left then.",
        of_line("INTERCEPT", 1),
    ),
    Result(
        "recovery_fit",
        "Fit of the line, r²",
        Unit.FINE,
        "1 where all readings lie on it.",
        of_line("RSQ", 2),
    ),
    Result(
        "recovery_lag",
        "Time in which 37 % is left",
        Unit.MINUTES,
        "Basic time lag of the well; 0 where there is no line.",
        "IF(recovery_slope<0, -1 / recovery_slope, 0)",
        source="Hvorslev (1951), WES Bulletin 36",
    ),
    Result(
        "recovery_inflow",
        "Inflow per unit of drawdown, by the test",
        Unit.INFLOW,
        "Slope times water in the bore per unit of depth.",
        "MAX(0, -recovery_slope) * bore_storage",
        source="A ds/dt = −C s",
    ),
    Result(
        "recovery_fault",
        "The test in a word",
        Unit.TEXT,
        "Empty where there is no test, or a sound one.",
        'IF(COUNT({recovery_workings:depth.all})=0, "",'
        ' IF(recovery_points<2, "fewer than two readings of the recovery count",'
        ' IF(ROUND(recovery_slope, 9)>=0, "the water falls, or stands, instead of rising", "")))',
    ),
]
