"""The water table: a store above the dry-season floor, raised by recharge and draining at a steady share.

A linear store with constant recharge over the month, solved exactly: with q = R τ / (Sy d), the height at the month's
end is q + (w₋ − q) e^(−d/τ) and its mean over the month q + (w₋ − q) (τ/d) (1 − e^(−d/τ)). Floor, specific yield and
drainage time are fitted when the book is built, so that the modelled summer and winter depths meet the measured ones;
the fit reads the cells below, so the workbook itself is the model that is fitted.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit

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
        found="fitted to the measured depths",
    ),
    Input(
        "aquifer_specific_yield",
        "Specific yield",
        Unit.FINE,
        "Share of the ground's volume that drains; here it also takes up the error in recharge.",
        "",
        low="0.001",
        high="1",
        found="fitted to the measured depths",
    ),
    Input(
        "aquifer_drainage_time",
        "Drainage time",
        Unit.DAYS,
        "Time in which the height above the floor falls to 37 % without recharge.",
        "",
        low="5 day",
        high="3000 day",
        found="fitted to the measured depths",
    ),
]

FIT_SETTINGS = [
    Input(
        "fit_depth_spread",
        "Depth error taken as one unit",
        Unit.LENGTH,
        "A depth missed by more than this counts as not explained.",
        "0.25 m",
        low="0.02 m",
        high="2 m",
        source="common practice, no source",
    ),
    Input(
        "fit_prior_spread",
        "Spread of the soil's figures",
        Unit.FINE,
        "Standard deviation, in logarithms, within which specific yield and drainage time may leave the soil's.",
        "1",
        low="0.1",
        high="3",
        source="common practice, no source",
    ),
    Input(
        "fit_error_at_build",
        "Larger depth error when it was fitted",
        Unit.LENGTH,
        "Stored by the build. Where the live error differs, building again would fit anew.",
        "",
        low="0 m",
        high="200 m",
        found="stored by the fit",
    ),
]

COLUMNS = [
    Column(
        "recharge_height",
        "Height that recharge would hold",
        Unit.LENGTH,
        "Height above the floor at which drainage equals this month's recharge.",
        "{recharge} / depth_per_length * aquifer_drainage_time / (aquifer_specific_yield * {days})",
        source="linear store",
    ),
    Column(
        "height_kept",
        "Share of the height kept",
        Unit.FINE,
        "Over the month, without recharge.",
        "EXP(-{days} / aquifer_drainage_time)",
        source="linear store",
    ),
    Column(
        "water_height",
        "Height at the month's end",
        Unit.LENGTH,
        "Water above the dry-season floor.",
        "MIN(highest_height, {recharge_height} + ({water_height.before} - {recharge_height}) * {height_kept})",
        opening="0",
        source="linear store",
    ),
    Column(
        "mean_height",
        "Mean height",
        Unit.LENGTH,
        "Water above the floor, mean of the month.",
        "MIN(highest_height, {recharge_height} + ({water_height.before} - {recharge_height})"
        " * aquifer_drainage_time / {days} * (1 - {height_kept}))",
        source="linear store",
    ),
    Column(
        "depth_to_water",
        "Depth to water",
        Unit.LENGTH,
        "From the ground to the water at rest, mean of the month.",
        "aquifer_floor - {mean_height}",
    ),
]

BY_CALENDAR_MONTH = [
    Column(
        "median_depth",
        "Depth to water, median year",
        Unit.LENGTH,
        "Median of the calendar month over the record.",
        "{over_years:middle_depth.each@calendar:month}",
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
        "summer_depth_modelled",
        "Modelled depth, deepest month",
        Unit.LENGTH,
        "Median of the deepest calendar month.",
        "MAX({depths:median_depth.all})",
    ),
    Result(
        "winter_depth_modelled",
        "Modelled depth, shallowest month",
        Unit.LENGTH,
        "Median of the shallowest calendar month.",
        "MIN({depths:median_depth.all})",
    ),
    Result(
        "summer_depth_error",
        "Deepest month, model less measured",
        Unit.LENGTH,
        "What the fit makes small.",
        "summer_depth_modelled - well_summer_depth",
    ),
    Result(
        "winter_depth_error",
        "Shallowest month, model less measured",
        Unit.LENGTH,
        "What the fit makes small.",
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
        "In units of its spread.",
        "summer_depth_error / fit_depth_spread",
    ),
    Result(
        "misfit_winter",
        "Misfit, shallowest month",
        Unit.FINE,
        "In units of its spread.",
        "winter_depth_error / fit_depth_spread",
    ),
    Result(
        "misfit_specific_yield",
        "Misfit, specific yield",
        Unit.FINE,
        "In units of its spread.",
        "specific_yield_shift / fit_prior_spread",
    ),
    Result(
        "misfit_drainage_time",
        "Misfit, drainage time",
        Unit.FINE,
        "In units of its spread.",
        "drainage_time_shift / fit_prior_spread",
    ),
    Result(
        "fit_error",
        "Larger depth error, live",
        Unit.LENGTH,
        "With the inputs as they stand now.",
        "MAX(ABS(summer_depth_error), ABS(winter_depth_error))",
    ),
    Result(
        "rain_explains_well",
        "Rain explains this well",
        Unit.FLAG,
        "1 where both depths are met.",
        "IF(ROUND(fit_error - fit_depth_spread, 6)<=0, 1, 0)",
    ),
]

MISFITS = ("misfit_summer", "misfit_winter", "misfit_specific_yield", "misfit_drainage_time")
