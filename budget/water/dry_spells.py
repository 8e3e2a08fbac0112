"""Dry spells remembered: what a family knows of its dry years, against what the model says of them.

The yields of the remembered years are run again without a tank at several shares of the inflow kept through a season.
The share under which they fit the memory best is shown, and in how many years model and memory agree; the share that
the book works with stays the user's. The score of a share in a year is the project's own rule (common practice, no
source): 4 where dry or not is wrong, else the square of the date's error in months, at most 4; where they are typed
the squares of the garden's error in fifths and of the error of ln(1 + loads) in halves are added, each at most 4.
"""

from budget.declarations import Column, Input, Result
from budget.units import Unit
from budget.water import pump
from budget.water.hauling import whole_loads

SPELLS = 10
TRIED = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)
FEWEST = 3

LIST = [
    Input(
        "year",
        "Plan year",
        Unit.YEAR,
        "Named by the calendar year in which it begins; may stay empty where a date is given.",
        "",
        low="1901",
        high="2199",
    ),
    Input(
        "dry_on",
        "First dry on",
        Unit.DATE,
        "First day on which the well could not serve the house, about. Empty: it never ran dry in that year.",
        "",
        low="1901-01-01",
        high="2199-12-31",
    ),
    Input("loads", "Loads hauled", Unit.NUMBER, "In that year. Empty: not known.", "", low="0", high="500"),
    Input(
        "garden",
        "Garden watered",
        Unit.SHARE,
        "Share of its need that the garden got in that year. Empty: not known.",
        "",
        low="0",
        high="1",
    ),
]


def of_the_year(key: str) -> str:
    """The template of the sum of a column of the Ledger over a line's plan year."""
    return f"SUMIF({{ledger:plan_year.all}}, {{spell_year}}, {{ledger:{key}.all}})"


SPELL = [
    Column("spell", "Line", Unit.COUNT, "1 to 10."),
    Column(
        "dry_row",
        "Dry month in the Ledger",
        Unit.COUNT,
        "0 where there is no date, or none in the record.",
        "IF(ISNUMBER({dry_on}),"
        " IFERROR(MATCH(DATE(YEAR({dry_on}), MONTH({dry_on}), 1), {ledger:record_day.all}, 0), 0), 0)",
    ),
    Column(
        "spell_year",
        "Plan year in use",
        Unit.YEAR,
        "Of the date where one is typed; 0 in a spare line.",
        "IF({dry_row}>0, {ledger:plan_year@dry_row}, IF(ISNUMBER({year}), {year}, 0))",
    ),
    Column(
        "spell_row",
        "Its first row in the Ledger",
        Unit.COUNT,
        "0 where the record does not hold the whole plan year.",
        "IF({spell_year}>0, IF(COUNTIF({ledger:plan_year.all}, {spell_year})=12,"
        " MATCH({spell_year}, {ledger:plan_year.all}, 0), 0), 0)",
    ),
    Column(
        "counts",
        "Counts",
        Unit.FLAG,
        "1 where the line is judged.",
        'IF(AND({spell_row}>0, {fault}=""), 1, 0)',
    ),
    Column(
        "garden_asked",
        "Garden asked",
        Unit.VOLUME,
        "In that plan year.",
        f"IF({{counts}}=1, {of_the_year('garden_need')}, 0)",
    ),
    Column(
        "pond_gave",
        "Garden, from the pond",
        Unit.VOLUME,
        "In that plan year.",
        f"IF({{counts}}=1, {of_the_year('garden_from_pond')}, 0)",
    ),
]

# Shown beside the lines, where the hand is.
SHOWN = [
    Column(
        "fault",
        "To mend",
        Unit.TEXT,
        "A line that cannot count.",
        'IF(OR(AND({year}<>"", NOT(ISNUMBER({year}))), AND({dry_on}<>"", NOT(ISNUMBER({dry_on}))),'
        ' AND({loads}<>"", NOT(ISNUMBER({loads}))), AND({garden}<>"", NOT(ISNUMBER({garden})))), "text, not a number",'
        " IF(AND(NOT(ISNUMBER({year})), NOT(ISNUMBER({dry_on}))), IF(OR(ISNUMBER({loads}), ISNUMBER({garden})),"
        ' "neither a year nor a date", ""), IF(AND(ISNUMBER({dry_on}), {dry_row}=0), "the date is outside the record",'
        ' IF({spell_row}=0, "the record does not hold this plan year",'
        " IF(IF(AND(ISNUMBER({dry_on}), ISNUMBER({year})), AND({year}<>{spell_year}, {year}<>YEAR({dry_on})), 0=1),"
        ' "the date is not in this year", IF(COUNTIF({spell_year.all}, {spell_year})>1, "this year is there twice",'
        ' IF(AND(NOT(ISNUMBER({dry_on})), ISNUMBER({loads}), {loads}>0), "loads without a date", "")))))))',
    ),
]

# What does not hang on the share that is tried.
MONTHS = [
    Column("spell", "Line", Unit.COUNT, "Of the dry spells remembered."),
    Column("spell_month", "Month of its plan year", Unit.MONTH, "1 to 12."),
    Column(
        "ledger_row",
        "Row in the Ledger",
        Unit.COUNT,
        "The first row where the line does not count.",
        "IF({spell_workings:counts}=1, {spell_workings:spell_row} + {spell_month} - 1, 1)",
    ),
]
OF_MONTHS = [
    Column(
        "garden_left",
        "Garden need left",
        Unit.VOLUME,
        "What the pond does not meet; there was no rain tank.",
        "{ledger:garden_need@ledger_row} - {ledger:garden_from_pond@ledger_row}",
    ),
    Column(
        "rest_of_rested",
        "Minutes of rest, rested well",
        Unit.MINUTES,
        "Until the drawdown is back at the restart level, where all of the inflow is kept; longer at a smaller share.",
        f"IF({{rested_inflow}}>0, {pump.minutes_of_rest('{rested_inflow}')}, 0)",
        source="A ds/dt = −C s",
    ),
    Column(
        "window_take",
        "Pump gives a day",
        Unit.FLOW,
        "Where it need not rest; 0 where no water enters or none stands above the allowed depth.",
        f"IF(OR({{rested_inflow}}<=0, {{available_drawdown}}<=0), 0, {pump.IN_WINDOW})",
    ),
]

# Ten years by twelve months by ten shares: each column here is 1,200 formulas, so what no score needs is no column.
INFLOW_KEPT = "({shares:share} * {rested_inflow})"
REST_KEPT = "{rest_of_rested} / {shares:share}"  # the less comes in, the longer the rest

TRIAL = [
    Column(
        "run_kept",
        "Minutes of a run",
        Unit.MINUTES,
        "From the restart level down to the allowed depth; -1 where the pump does not outrun the well.",
        f"IF({pump.outruns(INFLOW_KEPT, '{available_drawdown}')},"
        f" {pump.minutes_of_run(INFLOW_KEPT, '{available_drawdown}')}, -1)",
        source="A ds/dt = Q − C s",
    ),
    Column(
        "spared",
        "Left by the house, or lacking",
        Unit.VOLUME,
        "Yield of the month less need of the house, which is served first; below 0 the house lacks so much.",
        pump.typed_or(
            "IF({run_kept}<0, IF({shares:share}>0, {window_take}, 0),"
            f" {pump.runs_give(pump.most_runs('{run_kept}', REST_KEPT), 'pump_rate * {run_kept}')})"
        )
        + " * {days} - {house_need}",
    ),
    Column(
        "garden_takes",
        "Garden, from the well",
        Unit.VOLUME,
        "What the house leaves; there was no tank.",
        "MIN({garden_left}, MAX(0, {spared}))",
    ),
    Column(
        "dry_from",
        "Dry from",
        Unit.DATE,
        "The month's first day where the house lacks water: no tank's water lasts. Else empty.",
        'IF(ROUND({spared}, 6)<0, {first_day}, "")',
        source="own rule",
    ),
]

LACKING = '(0 - SUMIF({memory_trials:spared.all}, "<0"))'

SCORES = [
    Column(
        "modelled_dry",
        "First dry, modelled",
        Unit.DATE,
        "First day of the first month in which the house lacks water; 0 where the model does not run dry.",
        "IF({counts}=1, MIN({memory_trials:dry_from.all}), 0)",
    ),
    Column(
        "modelled_loads",
        "Loads, modelled",
        Unit.COUNT,
        "Whole loads for what the house lacks.",
        f"IF({{counts}}=1, {whole_loads(LACKING)}, 0)",
    ),
    Column(
        "modelled_garden",
        "Garden watered, modelled",
        Unit.SHARE,
        "Share of its need.",
        "IF({counts}=1, IF(ROUND({garden_asked}, 6)>0,"
        " ({pond_gave} + SUM({memory_trials:garden_takes.all})) / {garden_asked}, 1), 0)",
    ),
    Column(
        "date_score",
        "Score of the date",
        Unit.NUMBER,
        "4 where dry or not is wrong, else the square of the error in months, at most 4.",
        "IF({counts}=0, 0, IF(ISNUMBER({dry_on}),"
        " IF({modelled_dry}>0, MIN(4, (({modelled_dry} - {dry_on}) / 30)^2), 4), IF({modelled_dry}>0, 4, 0)))",
        source="own rule: at most 4, (error ÷ 30 days)²; common practice, no source",
    ),
    Column(
        "score",
        "Score",
        Unit.NUMBER,
        "With garden and loads where they are typed; 0 is best.",
        "{date_score} + IF(AND({counts}=1, ISNUMBER({garden})), MIN(4, (({modelled_garden} - {garden}) / 0.2)^2), 0)"
        " + IF(AND({counts}=1, ISNUMBER({loads})), MIN(4, ((LN(1 + {modelled_loads}) - LN(1 + {loads})) / 0.5)^2), 0)",
        source="own rule: each at most 4, (error of the garden's share ÷ 0.2)² and (error of ln(1 + loads) ÷ 0.5)²;"
        " common practice, no source",
    ),
    Column(
        "agrees",
        "Agrees",
        Unit.FLAG,
        "1 where the model is dry or not as remembered, and the date within 30 days.",
        "IF(AND({counts}=1, ROUND({date_score}, 6)<=1), 1, 0)",
    ),
]

OVER_SPELLS = [
    Column("total_score", "Score", Unit.NUMBER, "Of all years that count.", "SUM({memory_scores:score.all})"),
    Column("total_agrees", "Years that agree", Unit.COUNT, "Of those that count.", "SUM({memory_scores:agrees.all})"),
]

SHARES = [
    Column(
        "share",
        "Share kept",
        Unit.SHARE,
        "Of the inflow, through a season; the last is the one in use.",
        "IF({tried}>0, {tried}, well_sustained_share)",
    ),
    Column(
        "share_score",
        "Score",
        Unit.NUMBER,
        "Less is better.",
        "{share_totals:total_score.each@share_number}",
    ),
    Column(
        "years_agree",
        "Years that agree",
        Unit.COUNT,
        "Dry or not as remembered, and the date within 30 days.",
        "{share_totals:total_agrees.each@share_number}",
    ),
    Column(
        "fits_best",
        "Fits best",
        Unit.FLAG,
        "1 where no share tried has a lower score.",
        "IF(AND(spells_counted>0, {tried}>0, ROUND({share_score} - best_score, 6)<=0), 1, 0)",
    ),
]

SHARE_WORKINGS = [
    Column("share_number", "Number", Unit.COUNT, "Of the share tried."),
    Column("tried", "Tried", Unit.SHARE, "0 for the share that the book works with."),
    Column(
        "tried_score",
        "Score of a share tried",
        Unit.NUMBER,
        "Empty for the share in use, which does not compete.",
        'IF({tried}>0, {share_score}, "")',
    ),
    Column("best_share", "Share that fits best", Unit.SHARE, "0 where another fits better.", "{fits_best} * {share}"),
]

RESULTS = [
    Result(
        "spells_counted",
        "Years remembered that count",
        Unit.COUNT,
        "Three or more can be judged.",
        "SUM({spell_workings:counts.all})",
    ),
    Result(
        "best_score",
        "Lowest score of a share tried",
        Unit.NUMBER,
        "0 would fit in every year.",
        "MIN({share_workings:tried_score.all})",
    ),
    Result(
        "best_share_low",
        "Share that fits best, from",
        Unit.SHARE,
        "The smallest with that score; 0 where no year counts.",
        "IF(spells_counted>0, INDEX({shares:share.all}, MATCH(1, {shares:fits_best.all}, 0)), 0)",
    ),
    Result(
        "best_share_high",
        "up to",
        Unit.SHARE,
        "The largest with that score.",
        "MAX({share_workings:best_share.all})",
    ),
    Result(
        "years_agreed",
        "Years in which model and memory agree",
        Unit.COUNT,
        "With the share in use.",
        "{shares:years_agree.last}",
    ),
    Result(
        "memory_sentence",
        "Against your memory",
        Unit.TEXT,
        "Whether the model runs dry as the well did.",
        'IF(well_there=0, "", IF(spells_counted=0,'
        ' "Type the dry spells that you remember on Well: they are the best check of these answers.",'
        f' IF(spells_counted<{FEWEST}, "Too few years are remembered to judge the model: " & spells_counted & ".",'
        ' "The model and your memory agree in " & years_agreed & " of " & spells_counted & " years. A share of the'
        ' inflow of " & TEXT(best_share_low, "0%") & IF(ROUND(best_share_high - best_share_low, 6)>0, " to "'
        ' & TEXT(best_share_high, "0%"), "") & " fits them best; the book works with "'
        ' & TEXT(well_sustained_share, "0%") & ".")))',
    ),
]
