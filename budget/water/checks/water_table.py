"""The water table: what was measured, what was fitted to it, and what is remembered."""

from budget.declarations import Check, Refusal

FIT = [
    Check(
        "fit",
        "Rain explains the well",
        "The measured depths are met by the model.",
        "AND(well_there=1, rain_explains_well=0)",
        '"Rain alone does not explain this well: the model misses the measured depths by more than allowed. The answers'
        " are weak: measure the depth to water on more dates (dips on Well), or type the depths of the twelve months"
        ' there."',
    ),
    Check(
        "fit_soil",
        "Fit near the soil",
        "Specific yield and drainage time lie within two spreads of the soil's figures.",
        "AND(well_there=1, MAX(ABS(misfit_specific_yield), ABS(misfit_drainage_time))>2)",
        '"The fitted specific yield or drainage time is far from that of the soil: another soil word, or water that'
        ' comes from elsewhere (a river, an irrigation canal, pumping nearby)?"',
    ),
    Check(
        "seasons",
        "Dips and seasons agree",
        "The late-summer and the wet-season depth lie within two spreads of what the dips give.",
        "AND(well_there=1, dips_rule=1,"
        " MAX(ABS(summer_depth_error), ABS(winter_depth_error))>fit_depth_spread + fit_depth_spread)",
        '"The late-summer or the wet-season depth that you gave is not what the dips give: look at both on Well."',
    ),
    Check(
        "fit_old",
        "Fit up to date",
        "The inputs under the fit are those that it was made with.",
        "AND(well_there=1, ROUND(ABS(fit_error - fit_error_at_build), 4)>0)",
        '"Something under the water table changed since it was fitted. To fit anew, put your changes into the site'
        ' file and build again."',
    ),
]

DEPTHS = [
    Check(
        "summer",
        "Late-summer water above the bottom",
        "The late-summer depth is no more than the depth of the well.",
        "AND(well_there=1, ROUND(well_summer_depth - well_depth, 6)>0)",
        '"The late-summer depth to water on Well is deeper than the well: one of the two is wrong."',
        "stop",
        Refusal("well.summer_depth", "{value} is deeper than {well_depth}", "at most well.depth"),
    ),
    Check(
        "winter",
        "Water higher in the wet season",
        "The wet-season depth is no more than the late-summer depth.",
        "AND(well_there=1, ROUND(well_winter_depth - well_summer_depth, 6)>0)",
        '"The wet-season depth to water on Well is deeper than the late-summer depth: were they exchanged?"',
        "stop",
        Refusal("well.winter_depth", "{value} is deeper than {well_summer_depth}", "at most well.summer_depth"),
    ),
    Check(
        "highest",
        "Highest water highest",
        "The highest water is no deeper than the wet-season depth.",
        "AND(well_there=1, ROUND(well_highest_water - well_winter_depth, 6)>0)",
        '"The highest water ever seen, on Well, is deeper than the wet-season depth: one of the two is wrong."',
        "stop",
        Refusal("well.highest_water", "{value} is deeper than {well_winter_depth}", "at most well.winter_depth"),
    ),
]

MEASURED = [
    Check(
        "dips",
        "Dips in order",
        "Every dip counts.",
        'SUMPRODUCT(--({dip_workings:fault.all}<>""))>0',
        '"A dip on Well does not count: see beside it."',
        refuses=Refusal(
            "dips",
            "",
            "a date within the rain record, each once, and a depth above the bottom of the well",
            cells="dip_workings:fault",
        ),
    ),
    Check(
        "monthly_depth",
        "Depths by month",
        "No depth typed for a month is deeper than the well.",
        "SUM({month_workings:too_deep.all})>0",
        '"A depth typed for a month on Well is deeper than the well."',
        "stop",
        refuses=Refusal(
            "well.monthly_depth", "is deeper than {well_depth}", "at most well.depth", cells="month_workings:too_deep"
        ),
    ),
    Check(
        "remembered",
        "Dry spells in order",
        "Every dry spell that is remembered counts.",
        'SUMPRODUCT(--({spell_workings:fault.all}<>""))>0',
        '"A dry spell remembered on Well does not count: see beside it."',
        refuses=Refusal(
            "remembered",
            "",
            "a whole plan year of the record, each once, with the date on which it ran dry if it did",
            cells="spell_workings:fault",
            after_fit=True,
        ),
    ),
    Check(
        "memory",
        "Model and memory",
        "They agree in half of the years or more.",
        "AND(spells_counted>=3, years_agreed<spells_counted / 2)",
        '"The model agrees with your memory in less than half of the years: look at the share of the inflow, and at the'
        ' depths, on Well."',
    ),
]
