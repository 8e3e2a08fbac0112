"""The water table: a store above the dry-season floor, raised by recharge and draining at a steady share.

A linear store, with constant recharge over each half of the month (days 1 to 15 and the rest), solved exactly: with
q = R τ / (Sy d), R the recharge of the d days, the height at their end is q + (w₋ − q) e^(−d/τ) and its mean over them
q + (w₋ − q) (τ/d) (1 − e^(−d/τ)); each is held at the highest water. Floor, specific yield and drainage time
are fitted when the book is built: to the dips, depths measured on dates, or, where there are none, so that the modelled
summer and winter depths meet the measured ones. The fit reads the cells below, so the workbook itself is the model that
is fitted. What a dip is missed by that the fit has seen is less than what it would be missed by if it had not: so the
answers work with the error of dips left out one by one. A depth typed for a calendar month replaces the modelled one in
every year.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water.snow import FIRST_DAYS, REST

STORED = "stored by the build"  # an input that only the build writes
FITTED_TO = "fitted to the measured depths"

INPUTS = [
    Input(
        "well_summer_depth",
        "Depth to water, late summer",
        Unit.LENGTH,
        "From the ground to the water in the driest month of a usual year, the pump having rested overnight.",
        low="0.3 m",
        high="60 m",
    ),
    Input(
        "well_winter_depth",
        "Depth to water, wet season",
        Unit.LENGTH,
        "From the ground to the water in the wettest month of a usual year.",
        low="0 m",
        high="60 m",
    ),
    Input(
        "well_highest_water",
        "Highest water ever seen",
        Unit.LENGTH,
        "Depth from the ground that the water never rises above; 0 is the ground itself.",
        "0 m",
        low="0 m",
        high="60 m",
    ),
    Input(
        "well_water_lower",
        "Water table lower by",
        Unit.LENGTH,
        "To try: the water stands this much deeper in every month than the model or you say; negative for higher.",
        "0 m",
        low="-3 m",
        high="3 m",
    ),
]

FITTED = [
    Input(
        "aquifer_floor",
        "Dry-season floor",
        Unit.LENGTH,
        "Depth to which the water would fall if it never rained.",
        "",
        low="0.3 m",
        high="200 m",
        found=FITTED_TO,
    ),
    Input(
        "aquifer_specific_yield",
        "Specific yield",
        Unit.FINE,
        "Share of the ground's volume that drains; here it also takes up the error in recharge.",
        "",
        low="0.001",
        high="1",
        found=FITTED_TO,
    ),
    Input(
        "aquifer_drainage_time",
        "Drainage time",
        Unit.DAYS,
        "Time in which the height above the floor falls to 37 % without recharge.",
        "",
        low="5 day",
        high="3000 day",
        found=FITTED_TO,
    ),
]

FIT_SETTINGS = [
    Input(
        "fit_depth_spread",
        "Depth error taken as one unit",
        Unit.LENGTH,
        "A larger fit error counts as not explained; no answer is held to be surer than this.",
        "0.25 m",
        low="0.02 m",
        high="2 m",
        source="common practice, no source",
    ),
    Input(
        "fit_prior_spread",
        "Spread of the soil's figures",
        Unit.FINE,
        "Standard deviation, in logarithms, within which specific yield and drainage time may leave the soil's where"
        " there are no dips.",
        "1",
        low="0.1",
        high="3",
        source="common practice, no source",
    ),
    Input(
        "fit_prior_spread_with_dips",
        "The same with dips",
        Unit.FINE,
        "Narrower, because the dips leave less for the soil's figures to take up.",
        "0.5",
        low="0.1",
        high="3",
        source="common practice, no source",
    ),
    Input(
        "fit_error_at_build",
        "Depth error when it was fitted",
        Unit.LENGTH,
        "Stored by the build. Where the live error differs, building again would fit anew.",
        "",
        low="0 m",
        high="200 m",
        found=STORED,
    ),
    Input(
        "fit_error_left_out",
        "Depth error, dips left out one by one",
        Unit.LENGTH,
        "Stored by the build: each dip was left out in turn, the rest fitted anew, and the dip compared with that; root"
        " of the mean square of model − measured. 0 where dips do not rule the fit.",
        "",
        low="0 m",
        high="200 m",
        found=STORED,
        source="leaving out one by one (Stone 1974; recalled)",
    ),
]

FIRST_HEIGHT = "{surplus_first} * first_gain"  # the height that the first half's recharge would hold


def mean_of(holds: str, began: str, days: str, kept: str) -> str:
    """The template of the mean height over `days` that began at a height, `kept` the share of it kept over them.

    `holds`: the height that their recharge would hold. All are templates.
    """
    return f"MIN(highest_height, {holds} + ({began} - {holds}) * aquifer_drainage_time / {days} * (1 - {kept}))"


COLUMNS = [
    Column(
        "height_middle",
        "Height on the 15th",
        Unit.LENGTH,
        "Water above the dry-season floor at the end of days 1 to 15.",
        f"MIN(highest_height, {FIRST_HEIGHT} + ({{water_height.before}} - {FIRST_HEIGHT}) * first_kept)",
        source="linear store",
        stepwise=True,
    ),
    Column(
        "recharge_height",
        "Height that recharge would hold",
        Unit.LENGTH,
        "Height above the floor at which drainage equals the recharge after days 1 to 15.",
        "({recharge} - {surplus_first} * (1 - runoff_share)) / depth_per_length"
        f" * aquifer_drainage_time / (aquifer_specific_yield * {REST})",
        source="linear store",
    ),
    Column(
        "height_kept",
        "Share of the height kept",
        Unit.FINE,
        "From the end of days 1 to 15 to the month's end, without recharge.",
        f"EXP(-{REST} / aquifer_drainage_time)",
        source="linear store",
    ),
    Column(
        "water_height",
        "Height at the month's end",
        Unit.LENGTH,
        "Water above the dry-season floor.",
        "MIN(highest_height, {recharge_height} + ({height_middle} - {recharge_height}) * {height_kept})",
        opening="0",
        source="linear store",
        stepwise=True,
    ),
    Column(
        "mean_height",
        "Mean height",
        Unit.LENGTH,
        "Water above the floor, mean of the month: of days 1 to 15 and of the rest, by their days.",
        "MIN(highest_height,"
        f" ({FIRST_DAYS} * {mean_of(FIRST_HEIGHT, '{water_height.before}', FIRST_DAYS, 'first_kept')}"
        f" + {REST} * {mean_of('{recharge_height}', '{height_middle}', REST, '{height_kept}')}) / {{days}})",
        source="linear store",
    ),
    Column(
        "modelled_depth",
        "Depth to water, modelled",
        Unit.LENGTH,
        "From the ground to the water at rest, mean of the month.",
        "aquifer_floor - {mean_height}",
    ),
    Column(
        "known_depth",
        "Depth to water, as known",
        Unit.LENGTH,
        "As typed for the calendar month, else as modelled.",
        "IF({month_workings:depth_typed@month}=1, {month_workings:depth_given@month}, {modelled_depth})",
    ),
    Column(
        "depth_to_water",
        "Depth to water",
        Unit.LENGTH,
        "Lowered by what is tried; never lifted above the highest water ever seen.",
        "MAX(MIN(well_highest_water, {known_depth}), {known_depth} + well_water_lower)",
    ),
]

BY_CALENDAR_MONTH: list[Column | Input] = [
    Input(
        "monthly_depth",
        "Depth to water, by hand",
        Unit.LENGTH,
        "Replaces the modelled depth of the calendar month in every year.",
        "",
        low="0 m",
        high="60 m",
    ),
    Column(
        "median_depth",
        "Modelled, median year",
        Unit.LENGTH,
        "Median of the calendar month over the record.",
        "{over_years:middle_depth.each@calendar:month}",
    ),
    Column(
        "planning_depth",
        "Planning year",
        Unit.LENGTH,
        "Depth to water in that year, mean of the month.",
        "{plan:depth_to_water@plan_position}",
    ),
    Column(
        "middle_year_depth",
        "Middle year",
        Unit.LENGTH,
        "Depth to water in that year, mean of the month.",
        "{middle:depth_to_water@plan_position}",
    ),
    Column(
        "allowed_depth",
        "Allowed pumping depth",
        Unit.LENGTH,
        "The water is never drawn deeper.",
        "allowed_pumping_depth",
    ),
]

# What stands behind them.
MONTH_WORKINGS = [
    Column(
        "depth_typed",
        "Typed",
        Unit.FLAG,
        "1 where a depth is typed.",
        "IF(ISNUMBER({monthly_depth}), 1, 0)",
    ),
    Column(
        "depth_given",
        "Depth typed",
        Unit.LENGTH,
        "0 where none is.",
        "IF(ISNUMBER({monthly_depth}), {monthly_depth}, 0)",
    ),
    Column(
        "held_all_month",
        "Held all month",
        Unit.FLAG,
        "1 where a depth or a take is typed: neither tells how the well goes within the month.",
        "MAX({depth_typed}, {take_typed})",
    ),
    Column(
        "too_deep",
        "Too deep",
        Unit.FLAG,
        "1 where the depth typed is below the bottom of the well.",
        "IF(AND(well_there=1, ROUND({depth_given} - well_depth, 6)>0), 1, 0)",
    ),
    Column(
        "plan_position",
        "Month of the plan year",
        Unit.MONTH,
        "1 to 12.",
        "MOD({calendar:month} - first_month, 12) + 1",
    ),
    Column(
        "drawn_day",
        "Drawn at",
        Unit.DATE,
        "Middle of the month in the chart's year.",
        "DATE(2001, {calendar:month}, 15)",
    ),
]

RESULTS = [
    Result(
        "highest_height",
        "Highest height above the floor",
        Unit.LENGTH,
        "The water never stands higher.",
        "MAX(0, aquifer_floor - well_highest_water)",
    ),
    Result(
        "first_kept",
        "Share of the height kept by the 15th",
        Unit.FINE,
        "Over days 1 to 15, without recharge.",
        f"EXP(-{FIRST_DAYS} / aquifer_drainage_time)",
        source="linear store",
    ),
    Result(
        "first_gain",
        "Height that surplus by the 15th would hold",
        Unit.RISE,
        "Per depth of surplus on days 1 to 15, less what runs off.",
        f"(1 - runoff_share) / depth_per_length * aquifer_drainage_time / ({FIRST_DAYS} * aquifer_specific_yield)",
        source="linear store",
    ),
    Result(
        "summer_depth_modelled",
        "Modelled depth, deepest month",
        Unit.LENGTH,
        "Median of the deepest calendar month.",
        "MAX({well_months:median_depth.all})",
    ),
    Result(
        "winter_depth_modelled",
        "Modelled depth, shallowest month",
        Unit.LENGTH,
        "Median of the shallowest calendar month.",
        "MIN({well_months:median_depth.all})",
    ),
    Result(
        "summer_depth_error",
        "Deepest month, model less measured",
        Unit.LENGTH,
        "What the fit makes small where dips are few.",
        "summer_depth_modelled - well_summer_depth",
    ),
    Result(
        "winter_depth_error",
        "Shallowest month, model less measured",
        Unit.LENGTH,
        "What the fit makes small where dips are few.",
        "winter_depth_modelled - well_winter_depth",
    ),
    Result(
        "soil_specific_yield",
        "Specific yield of the soil",
        Unit.FINE,
        "From the table of soils.",
        "INDEX({soils:specific_yield.all}, soil_row)",
    ),
    Result(
        "soil_drainage_time",
        "Drainage time of the soil",
        Unit.DAYS,
        "From the table of soils.",
        "INDEX({soils:drainage_time.all}, soil_row)",
    ),
    Result(
        "aquifer_floor_start",
        "Where the fit begins, floor",
        Unit.LENGTH,
        "A little below the deepest water that was measured.",
        "MAX(well_summer_depth, deepest_dip) + fit_depth_spread + fit_depth_spread",
    ),
    Result(
        "prior_spread",
        "Spread of the soil's figures, in use",
        Unit.FINE,
        "With dips enough or without.",
        "IF(dips_rule=1, fit_prior_spread_with_dips, fit_prior_spread)",
    ),
    Result(
        "specific_yield_shift",
        "Specific yield against the soil's",
        Unit.FINE,
        "Difference in logarithms.",
        "LN(aquifer_specific_yield / soil_specific_yield)",
    ),
    Result(
        "drainage_time_shift",
        "Drainage time against the soil's",
        Unit.FINE,
        "Difference in logarithms.",
        "LN(aquifer_drainage_time / soil_drainage_time)",
    ),
    Result(
        "misfit_summer",
        "Misfit, deepest month",
        Unit.FINE,
        "In units of its spread; 0 where the dips rule.",
        "IF(dips_rule=1, 0, summer_depth_error / fit_depth_spread)",
    ),
    Result(
        "misfit_winter",
        "Misfit, shallowest month",
        Unit.FINE,
        "In units of its spread; 0 where the dips rule.",
        "IF(dips_rule=1, 0, winter_depth_error / fit_depth_spread)",
    ),
    Result(
        "misfit_specific_yield",
        "Misfit, specific yield",
        Unit.FINE,
        "In units of its spread.",
        "specific_yield_shift / prior_spread",
    ),
    Result(
        "misfit_drainage_time",
        "Misfit, drainage time",
        Unit.FINE,
        "In units of its spread.",
        "drainage_time_shift / prior_spread",
    ),
    Result(
        "fit_error",
        "Depth error, live",
        Unit.LENGTH,
        "With the inputs as they stand now: of the dips, and where they are few also of the two depths.",
        "IF(dips_rule=1, dip_fit_error, MAX(dip_fit_error, ABS(summer_depth_error), ABS(winter_depth_error)))",
    ),
    Result(
        "rain_explains_well",
        "Rain explains this well",
        Unit.FLAG,
        "1 where the depth error is no larger than its unit, or all twelve depths are typed.",
        "IF(OR(COUNT({well_months:monthly_depth.all})=12, ROUND(fit_error - fit_depth_spread, 6)<=0), 1, 0)",
    ),
    Result(
        "depth_error",
        "Error of the water table, in use",
        Unit.LENGTH,
        "By this much the water stands deeper or higher in the answers for less and more water: the error of dips left"
        " out where they rule, the live error where it is larger; its unit where all twelve depths are typed.",
        "IF(COUNT({well_months:monthly_depth.all})=12, fit_depth_spread,"
        " MAX(fit_error, IF(dips_rule=1, fit_error_left_out, 0), fit_depth_spread))",
    ),
    Result(
        "water_lower_less",
        "Water table lower by, with less water",
        Unit.LENGTH,
        "For the answers with less water.",
        "well_water_lower + depth_error",
    ),
    Result(
        "water_lower_more",
        "Water table lower by, with more water",
        Unit.LENGTH,
        "For the answers with more water; negative is higher.",
        "well_water_lower - depth_error",
    ),
]

MISFITS = ("misfit_summer", "misfit_winter", "misfit_specific_yield", "misfit_drainage_time")
