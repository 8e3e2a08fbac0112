"""Dips: depths to water that were measured on a date, to which the water table is fitted.

The store drains exactly from the end of the month before, or from the 15th, so that the model is read on the very day:
with x days of the half month gone, height = q + (w₋ − q) e^(−x/τ) (see `water_table`).
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.snow import FIRST_DAYS

IN_FIRST_HALF = f"{{date}} - {{dip_month}}<{FIRST_DAYS}"

LIST = [
    Input(
        "date",
        "Date",
        Unit.DATE,
        "Of the measurement, in the morning, the pump having rested overnight.",
        "",
        low="1901-01-01",
        high="2199-12-31",
    ),
    Input("depth", "Depth to water", Unit.LENGTH, "From the ground.", "", low="0 m", high="60 m"),
]

COLUMNS = [
    Column(
        "dip_month",
        "First of its month",
        Unit.DATE,
        "0 in a spare row.",
        "IF(AND(ISNUMBER({date}), ISNUMBER({depth})), DATE(YEAR({date}), MONTH({date}), 1), 0)",
    ),
    Column(
        "dip_row",
        "Row in the Ledger",
        Unit.COUNT,
        "0 where it is not in the record.",
        "IF({dip_month}>0, IFERROR(MATCH({dip_month}, {ledger:record_day.all}, 0), 0), 0)",
    ),
    Column(
        "unread",
        "Why it cannot be read",
        Unit.TEXT,
        "Text in a cell of numbers, or one of the two cells empty.",
        'IF(OR(AND({date}<>"", NOT(ISNUMBER({date}))), AND({depth}<>"", NOT(ISNUMBER({depth})))), "text, not a number",'
        ' IF(ISNUMBER({date})<>ISNUMBER({depth}), "date and depth go together", ""))',
    ),
    Column(
        "date_fault",
        "What is wrong with its date",
        Unit.TEXT,
        "Outside the record, or there twice.",
        'IF(NOT(ISNUMBER({date})), "", IF({date}<record_begins, "before the record begins",'
        ' IF({date}>record_ends, "after the record ends", {date_twice})))',
    ),
    Column(
        "date_twice",
        "Its date is there twice",
        Unit.TEXT,
        "Empty where it is not.",
        'IF(AND(ISNUMBER({date}), COUNTIF({date.all}, {date})>1), "this date is there twice", "")',
    ),
    Column(
        "depth_fault",
        "What is wrong with its depth",
        Unit.TEXT,
        "Below the bottom of the well, or above the highest water.",
        'IF(NOT(ISNUMBER({depth})), "", IF({depth}>well_depth, "deeper than the well",'
        ' IF({depth}<well_highest_water, "above the highest water ever seen", "")))',
    ),
    Column(
        "counts",
        "Counts",
        Unit.FLAG,
        "1 where the fit minds it.",
        'IF(AND({dip_row}>0, {fault}=""), 1, 0)',
    ),
    Column(
        "dip_kept",
        "Share of the height kept",
        Unit.FINE,
        "From the end of the month before, or of days 1 to 15, to that day's beginning.",
        f"IF({{counts}}=1, EXP(-({{date}} - {{dip_month}} - IF({IN_FIRST_HALF}, 0, {FIRST_DAYS}))"
        " / aquifer_drainage_time), 0)",
        source="linear store",
    ),
    Column(
        "dip_height",
        "Modelled height",
        Unit.LENGTH,
        "Above the dry-season floor, at that day's beginning: in days 1 to 15, or after them.",
        f"IF({{counts}}=1, MIN(highest_height, IF({IN_FIRST_HALF}, INDEX({{ledger:water_height.all}}, {{dip_row}} - 1)"
        " * {dip_kept} + {ledger:surplus_first@dip_row} * first_gain * (1 - {dip_kept}),"
        " {ledger:height_middle@dip_row} * {dip_kept} + {ledger:recharge_height@dip_row} * (1 - {dip_kept}))), 0)",
        source="linear store",
    ),
    Column(
        "dip_modelled",
        "Modelled depth",
        Unit.LENGTH,
        "At that day's beginning.",
        "IF({counts}=1, aquifer_floor - {dip_height}, 0)",
    ),
    Column(
        "dip_error",
        "Model − measured",
        Unit.LENGTH,
        "0 where the dip does not count.",
        "IF({counts}=1, {dip_modelled} - {depth}, 0)",
    ),
    Column(
        "misfit",
        "Misfit",
        Unit.FINE,
        "In units of its spread.",
        "{dip_error} / fit_depth_spread",
    ),
]

# Shown beside the dips, where the hand is.
SHOWN = [
    Column(
        "fault",
        "To mend",
        Unit.TEXT,
        "A dip that cannot count.",
        'IF({unread}<>"", {unread}, IF({date_fault}<>"", {date_fault}, {depth_fault}))',
    ),
    Column(
        "modelled",
        "Modelled depth",
        Unit.LENGTH,
        "At that day's beginning; empty where the dip does not count.",
        'IF({counts}=1, {dip_modelled}, "")',
    ),
    Column(
        "model_less_measured",
        "Model − measured",
        Unit.LENGTH,
        "What the fit makes small; above 0 the water stood higher than the model says.",
        'IF({counts}=1, {dip_error}, "")',
    ),
]

DRAWN = [
    Column(
        "drawn_day",
        "Drawn at",
        Unit.DATE,
        "The day in the chart's year; 0, left of the chart, where there is nothing to draw.",
        "IF({counts}=1, DATE(2001, MONTH({date}), DAY({date})), 0)",
    ),
    Column(
        "drawn_depth",
        "Dips",
        Unit.LENGTH,
        "Depth to water, as measured.",
        "IF({counts}=1, {depth}, 0)",
    ),
]

RESULTS = [
    Result("dips_counted", "Dips that count", Unit.COUNT, "The fit minds them.", "SUM({dip_workings:counts.all})"),
    Result(
        "dips_rule",
        "Dips rule the fit",
        Unit.FLAG,
        "1 from four dips on; with fewer the late-summer and the wet-season depth are fitted with them.",
        "IF(dips_counted>=4, 1, 0)",
        source="own rule: 4 dips, more than the fit has figures; common practice, no source",
    ),
    Result(
        "deepest_dip",
        "Deepest dip",
        Unit.LENGTH,
        "0 where there is none.",
        "MAX({dip_workings:drawn_depth.all})",
    ),
    Result(
        "dip_fit_error",
        "Error of the dips",
        Unit.LENGTH,
        "Root of the mean square of model − measured.",
        "IF(dips_counted>0,"
        " SQRT(SUMPRODUCT({dip_workings:dip_error.all}, {dip_workings:dip_error.all}) / dips_counted), 0)",
    ),
]
