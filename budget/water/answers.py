"""The answers a person needs, for the planning year and beside it the middle year.

Summer yield is a small difference times a guess, so the planning year is lived three times: as expected, with less and
with more water (water table and sustained share off by their errors). Ranks, filling months and the level kept for the
house are held; the wells differ, the plan does not.

Dates are told to the third of a month: more would be false. `case` stands for the table of the plan year in question.
"""

from budget.declarations import Column, Result
from budget.units import Unit
from budget.water.decision import Decision
from budget.water.hauling import whole_loads

THIRDS = {"early": 1, "mid": 11, "late": 21}  # of a month, by the day on which each begins


def third_of_month(date: str) -> str:
    """The template that tells `date` (a template) as `early May`, `mid May` or `late May`."""
    third = f"INDEX({{thirds:third.all}}, MATCH(DAY({date}), {{thirds:from_day.all}}, 1))"
    return f'{third} & " " & INDEX({{calendar:month_name.all}}, MONTH({date}))'


CASES = [
    Column("case_row", "Row among the years", Unit.COUNT, "Which year of the record is lived again.", "case_row"),
    Column(
        "case_year",
        "Year of the record",
        Unit.YEAR,
        "The plan year that begins in it.",
        "INDEX({years:year.all}, {case_row})",
    ),
    Column(
        "no_tank_enough",
        "No tank is enough",
        Unit.FLAG,
        "1 where the well could not fill a tank of any size in time.",
        "IF(ROUND({case:required_uncut.first}, 6)>0, 1, 0)",
    ),
    Column(
        "cannot_fill",
        "The well cannot fill it",
        Unit.FLAG,
        "1 where the level that the house needs of this tank cannot be reached in time.",
        "IF(ROUND({case:required_level.first}, 6)>0, 1, 0)",
    ),
    Column(
        "needed",
        "Storage the house needed, above the outlet",
        Unit.VOLUME,
        "The smallest usable capacity that would have carried the house, the reserve not counted.",
        'IF({no_tank_enough}=0, MAX({case:storage_needed.all}), "no tank is enough")',
    ),
    Column(
        "can_fill",
        "Can the well fill the tank?",
        Unit.TEXT,
        "To the level that the house needs, in time.",
        'IF(ROUND(tank_usable, 6)<=0, "there is no tank",'
        ' IF({cannot_fill}=1, IF(well_there=1, "the well cannot fill it", "the roof cannot fill it"),'
        ' IF({no_tank_enough}=1, "yes, but not enough", "yes")))',
    ),
    Column(
        "too_late",
        "Too late on the first day",
        Unit.FLAG,
        "1 where more is required when service begins than the tank then holds.",
        "IF(ROUND({case:start_level.first} - {case:untouched_level.opening}, 6)>0, 1, 0)",
    ),
    Column(
        "start_day",
        "Latest safe start, date",
        Unit.DATE,
        "0 where none is needed or none is early enough.",
        "IF({too_late}=1, 0, {case:started.last})",
    ),
    Column(
        "too_late_told",
        "Why it is too late",
        Unit.TEXT,
        "Said where more is required on the first day than the tank then holds.",
        'IF({too_late}=0, "", IF({cannot_fill}=1, {can_fill},'
        ' "too late even on the first day, in the filling months chosen"))',
    ),
    Column(
        "no_start_told",
        "Why no start is given",
        Unit.TEXT,
        "Said where nothing need be pumped into the tank by any date.",
        'IF(OR({too_late}=1, {start_day}>0), "", IF(ROUND({case:untouched_level.opening}, 6)<=0, "none needed",'
        ' IF(ROUND({short_by}, 6)>0, "full already", "holds enough already")))',
    ),
    Column(
        "latest_start",
        "Start filling no later than",
        Unit.TEXT,
        "The advice is to start when the frost is over; this is the latest safe date.",
        'IF(ROUND(tank_usable, 6)<=0, "there is no tank", IF({too_late}=1, {too_late_told},'
        f" IF({{start_day}}=0, {{no_start_told}}, {third_of_month('{start_day}')})))",
    ),
    Column(
        "full_day",
        "Full by, date",
        Unit.DATE,
        "0 where no start is given.",
        "IF({start_day}>0, {case:peak_on.last}, 0)",
    ),
    Column(
        "full_by",
        "Full by",
        Unit.TEXT,
        "First of the month in which the required level stands highest.",
        f'IF({{full_day}}=0, "no date", {third_of_month("{full_day}")})',
    ),
    Column(
        "full_level",
        "To this level",
        Unit.VOLUME,
        "Highest required level of the year.",
        "{case:peak_level.last}",
    ),
    Column(
        "filling_rate",
        "A day of the leanest filling month",
        Unit.FLOW,
        "House and tank together may draw so much. The start counts what each month gives: see Plan year.",
        "{case:lowest_filling.last}",
    ),
    Column(
        "worst_yield",
        "Worst month of the well, a day",
        Unit.FLOW,
        "Does this match your driest month?",
        "MIN({case:daily_yield.all})",
    ),
    Column(
        "worst_row",
        "Month of the plan with it",
        Unit.MONTH,
        "1 to 12.",
        "MATCH(MIN({case:yield_key.all}), {case:yield_key.all}, 0)",
    ),
    Column(
        "worst_month",
        "It falls in",
        Unit.TEXT,
        "Calendar month.",
        "INDEX({calendar:month_name.all}, {case:month@worst_row})",
    ),
    Column(
        "worst_run",
        "Then each run lasts",
        Unit.MINUTES,
        "0 where the pump never draws the well down, or the well gives nothing.",
        "{case:run_minutes@worst_row}",
    ),
    Column("worst_rest", "and the well rests", Unit.MINUTES, "Between runs.", "{case:rest_minutes@worst_row}"),
    Column("worst_runs", "Runs a day", Unit.RUNS, "In that month.", "{case:runs_a_day@worst_row}"),
    Column(
        "worst_rested",
        "A rested well lasts",
        Unit.MINUTES,
        "One run in that month before the pump draws air. Try it with a watch: one shower tells.",
        'IF(OR(well_there=0, {case:runs_dry@worst_row}=1), {case:rested_minutes@worst_row}, "does not run down")',
    ),
    Column(
        "worst_rested_take",
        "and gives",
        Unit.VOLUME,
        "In that one run.",
        'IF(OR(well_there=0, {case:runs_dry@worst_row}=1), {case:rested_take@worst_row}, "does not run down")',
    ),
    Column("out_day", "Runs out, date", Unit.DATE, "0 where it never does.", "{case:ran_out.last}"),
    Column(
        "in_service_day",
        "Tank in service from",
        Unit.DATE,
        "In that year.",
        "{case:first_service_day.first}",
    ),
    Column(
        "lowest_stored",
        "Least in the tank, in service",
        Unit.VOLUME,
        "At a month's end before it is drained.",
        "{case:lowest_level.last}",
    ),
    Column(
        "runs_out",
        "House runs out",
        Unit.TEXT,
        "In service, with well and tank both empty.",
        'IF({out_day}=0, "never in that year", IF(ROUND({out_day} - {in_service_day}, 6)<=0,'
        f' "the tank never carries the house", {third_of_month("{out_day}")}))',
    ),
    Column("short_by", "House short by", Unit.VOLUME, "In service, hauled in.", "SUM({case:short.all})"),
    Column(
        "loads",
        "Loads to haul, in service",
        Unit.COUNT,
        "Whole loads for that shortage; what is short while drained comes on top.",
        whole_loads("{short_by}"),
    ),
    Column("cost", "Cost of hauling, in service", Unit.MONEY, "Loads times price.", "{loads} * hauling_price"),
    Column(
        "short_drained",
        "House short while drained",
        Unit.VOLUME,
        "No tank helps: haul, drain later, or keep a frost-proof vessel.",
        "SUM({case:short_drained.all})",
    ),
    Column(
        "drain_day",
        "Drain by, date",
        Unit.DATE,
        "0 where the tank is in service all year.",
        "{case:emptied_on.last}",
    ),
    Column(
        "drain_by",
        "Drain the tank by",
        Unit.TEXT,
        "Before a freezing spell. Pipes are to be frost-safe earlier: see Fill and drain.",
        f'IF(ROUND(tank_usable, 6)<=0, "there is no tank", IF({{drain_day}}=0,'
        f' "in service all year", {third_of_month("{drain_day}")}))',
    ),
    Column(
        "use_first",
        "Water to use before that",
        Unit.VOLUME,
        "Would be left in the tank when it is drained.",
        "SUM({case:drained.all})",
    ),
    Column(
        "garden_carried",
        "Garden carried",
        Unit.SHARE,
        "Share of its need that the garden got, from all waters.",
        "IF(ROUND(SUM({case:garden_need.all}), 6)>0, SUM({case:garden_given.all}) / SUM({case:garden_need.all}), 1)",
    ),
    Column(
        "garden_short",
        "Garden dry by",
        Unit.VOLUME,
        "Need of the garden that was not met.",
        "SUM({case:garden_dry.all})",
    ),
    Column(
        "pond_dry_day",
        "Pond dry by, date",
        Unit.DATE,
        "0 where it does not fall dry, or there is none.",
        "{case:pond_fell_dry.last}",
    ),
    Column(
        "pond_dry_by",
        "Pond dry by",
        Unit.TEXT,
        "A pond that dries shows the water of the land before any well does.",
        'IF(pond_full<=0, "there is no pond", IF({case:pond_is_dry.first}=1, "dry when the year begins",'
        f' IF({{pond_dry_day}}=0, "not in that year", {third_of_month("{pond_dry_day}")})))',
    ),
    Column(
        "pond_lowest",
        "Pond at its lowest",
        Unit.LENGTH,
        "Depth of water at a month's end.",
        'IF(pond_full<=0, "no pond", MIN({case:pond_level.all}))',
    ),
    Column(
        "pond_spared",
        "Pond spares the well",
        Unit.VOLUME,
        "Water that the garden takes from the pond.",
        'IF(pond_full<=0, "no pond", SUM({case:garden_from_pond.all}))',
    ),
    Column(
        "roof_brought",
        "Roof brings",
        Unit.VOLUME,
        "Into the house's tank, or into its own for the garden.",
        'IF(roof_catching_area<=0, "no roof", SUM({case:roof_to_house.all}) + SUM({case:roof_to_garden.all}))',
    ),
]

# The verdict in the planning year.
VERDICT = Decision(
    "verdicts",
    (
        (
            "ROUND(SUM({plan:house_need.all}), 6)<=0",
            '"No house is served here: see below what the garden gets."',
        ),
        (
            "AND(ROUND({answers:short_by.first}, 6)<=0, ROUND(tank_usable, 6)<=0)",
            '"There is no tank, and the well carries the house in a year like this."',
        ),
        (
            "ROUND({answers:short_by.first}, 6)<=0",
            '"In a year like this " & IF(well_there=1, "well", "roof") & " and tank carry the house."',
        ),
        (
            "AND(well_there=0, ROUND(tank_usable, 6)<=0)",
            '"There is neither well nor tank: all the water of the house is hauled."',
        ),
        (
            "{answer_workings:no_tank_enough.first}=1",
            '"In a year like this no tank would have been enough: haul, use less, "'
            ' & IF(well_there=1, "lower the intake", "catch more rain") & ", or find another source."',
        ),
        ("ROUND(tank_usable, 6)<=0", '"There is no tank: the house runs out in a year like this."'),
        (
            "{answer_workings:cannot_fill.first}=1",
            '"In a year like this " & IF(well_there=1, "the well", "the roof")'
            ' & " cannot fill the tank to the level that the house needs."',
        ),
        ("1=1", '"In a year like this the tank is too small: the house runs short."'),
    ),
)
# What the weather of the planning year alone comes to, where the plan holds rain of this year: the year's own row in
# the table of years, with the present tank.
WITHOUT_OWN_RAIN = Decision(
    "dry_year_verdicts",
    (
        (
            "AND(ROUND(planning_short, 6)<=0, ROUND(tank_usable, 6)<=0)",
            '"the house is short of nothing."',
        ),
        (
            "ROUND(planning_short, 6)<=0",
            '"the house needs storage of " & TEXT(planning_share, "0%") & " of the tank and is short of nothing."',
        ),
        (
            "INDEX({years:fillable.all}, planning_row)=0",
            '"no tank is enough, and the house hauls " & planning_loads & IF(planning_loads=1, " load", " loads")'
            ' & " in service."',
        ),
        (
            "ROUND(tank_usable, 6)<=0",
            '"the house hauls " & planning_loads & IF(planning_loads=1, " load.", " loads.")',
        ),
        (
            "1=1",
            '"the house needs storage of " & TEXT(planning_share, "0%") & " of the tank and hauls "'
            ' & planning_loads & IF(planning_loads=1, " load", " loads") & " in service."',
        ),
    ),
)

RESULTS = [
    Result(
        "verdict",
        "In short",
        Unit.TEXT,
        "The plan in a sentence or two; what stops the checks takes its place.",
        f'IF(stop_sentence<>"", stop_sentence, {VERDICT.said} & verdict_drained & verdict_less'
        " & verdict_own_rain & verdict_dry_year)",
    ),
    Result(
        "carried_sentence",
        "Over the record",
        Unit.TEXT,
        "How many years the present tank would have carried, and in how many the pond falls dry.",
        'IF(stop_sentence<>"", "Until that is put right, trust no figure of this book.",'
        ' carried_house & IF(AND(carried_house<>"", carried_pond<>""), " ", "") & carried_pond)',
    ),
]
# Parts of the sentences above. What stops is asked first, alone: most programs ask all that stands in an AND, and an
# error there would take the place of the sentence.
PARTS = [
    Result(
        "planning_share",
        "Storage the planning year needed, of the tank",
        Unit.SHARE,
        "Share of what the tank can give; 0 where there is none.",
        "IF(ROUND(tank_usable, 6)>0, planning_storage / tank_usable, 0)",
    ),
    Result(
        "verdict_own_rain",
        "This year's own rain in the plan",
        Unit.TEXT,
        "Until which month it stands there; empty where none is typed.",
        'IF(months_typed=0, "", " The plan holds this year\'s own rain until "'
        ' & INDEX({calendar:month_name.all}, MONTH(MAX({so_far_workings:typed_month.all}))) & ".")',
    ),
    Result(
        "verdict_dry_year",
        "The planning year without it",
        Unit.TEXT,
        "With the weather of that year of the record alone; said where the plan holds rain of this year.",
        'IF(OR(months_typed=0, ROUND(SUM({plan:house_need.all}), 6)<=0), "",'
        f' " With the weather of " & planning_year & " alone " & {WITHOUT_OWN_RAIN.said})',
    ),
    Result(
        "verdict_drained",
        "While the tank is drained",
        Unit.TEXT,
        "Said where there is a tank, and a shortage without it.",
        'IF(stop_sentence<>"", "", IF(AND(ROUND(SUM({plan:house_need.all}), 6)>0, ROUND(tank_usable, 6)>0,'
        " ROUND({answers:short_drained.first}, 6)>0),"
        ' " While the tank is drained the house is short as well.", ""))',
    ),
    Result(
        "verdict_less",
        "With less water",
        Unit.TEXT,
        "Said where only the plan with less water runs short.",
        'IF(stop_sentence<>"", "", IF(AND(ROUND({answers:short_by.first}, 6)<=0,'
        " ROUND(SUM({plan_less:short.all}), 6)>0),"
        ' " With less water than expected it runs short.", ""))',
    ),
    Result(
        "carried_by",
        "What would have carried",
        Unit.TEXT,
        "The tank, or the well where there is none.",
        'IF(ROUND(tank_usable, 6)>0, "The present tank", IF(well_there=1, "The well alone", "Haulage aside, nothing"))',
    ),
    Result(
        "carried_house",
        "The house over the record",
        Unit.TEXT,
        "Empty where no house is served.",
        'IF(ROUND(SUM({ledger:house_need.all}), 6)<=0, "", carried_by & " would have carried the house in service in "'
        ' & years_carried & " of " & usable_years & " years; " & carried_by_larger & carried_close)',
    ),
    Result(
        "carried_by_larger",
        "Years that it would not have carried",
        Unit.TEXT,
        "By whether any tank would have.",
        '"in " & years_beyond_tanks & " no tank would have been enough, in "'
        ' & (usable_years - years_carried - years_beyond_tanks) & " a larger one would have."',
    ),
    Result(
        "carried_close",
        "Years too close to tell",
        Unit.TEXT,
        "Said where there are such years: the storage needed lies within a fifth of what the tank can give.",
        'IF(years_close=0, "", " In " & years_close & " it is close: 80 to 120 % of the tank.")',
    ),
    Result(
        "carried_pond",
        "The pond over the record",
        Unit.TEXT,
        "Empty where there is none.",
        'IF(pond_full>0, "The pond would have fallen dry in " & years_pond_dry & " of " & usable_years & " years."'
        ', "")',
    ),
]
