"""What the house uses: lines of use, how many, how much each a day, and twelve monthly factors."""

from budget.declarations import Column, Input
from budget.units import Unit

REFERENCE = [
    Input("use", "Use", Unit.TEXT, "A use of water in the house."),
    Input("per", "For each", Unit.TEXT, "What is counted."),
    Input("amount", "Amount a day", Unit.FLOW, "For each that is counted."),
    Input("source", "Source", Unit.TEXT, "Where the figure comes from."),
]

LIST = [
    Input(
        "use", "Use", Unit.TEXT, "A word of the table of uses, or your own with an amount.", "", suggested="uses:use"
    ),
    Input("number", "How many", Unit.NUMBER, "People, or whatever is counted.", "", low="0", high="10000"),
    Input(
        "amount",
        "Amount a day for each",
        Unit.FLOW,
        "Empty: from the table of uses.",
        "",
        low="0 L/day",
        high="20000 L/day",
    ),
]

MONTHLY_LIST = [
    Input(
        "factors",
        "Factor",
        Unit.NUMBER,
        "Against the amount: 1 as written, 0 nobody there, 2 twice as much.",
        "1",
        low="0",
        high="20",
    ),
]

LINES = [
    Column(
        "line_daily",
        "A day, at factor 1",
        Unit.FLOW,
        "How many times how much.",
        "IF(ISNUMBER({number}), {number}, 0)"
        " * IF(ISNUMBER({amount}), {amount}, IF({use_row}>0, {uses:amount@use_row}, 0))",
    ),
    Column(
        "use_row",
        "Row in the table of uses",
        Unit.COUNT,
        "0 where the use is not in it.",
        "IFERROR(MATCH({use}, {uses:use.all}, 0), 0)",
    ),
    Column(
        "unknown",
        "Not known",
        Unit.FLAG,
        "1 where a line has a count but neither an amount nor a known use, or a use and no count.",
        'IF(OR(AND(ISNUMBER({number}), NOT(ISNUMBER({amount})), {use_row}=0), AND({use}<>"", NOT(ISNUMBER({number})))),'
        " 1, 0)",
    ),
]

PEOPLE = [
    Column(
        "people_daily",
        "People, a day",
        Unit.FLOW,
        "Sum of the lines of use in the calendar month; an empty factor counts as 1.",
        "SUMPRODUCT({household_workings:line_daily.all}, {household_factors:factors.all})"
        ' + SUMPRODUCT({household_workings:line_daily.all} * ({household_factors:factors.all}=""))',
    ),
]

MONTHLY = [
    Column(
        "house_daily",
        "Household, a day",
        Unit.FLOW,
        "People and animals; both are served first.",
        "{people_days:people_daily} + {animal_days:animals_daily}",
    ),
]

COLUMNS = [
    Column(
        "house_need",
        "Household need",
        Unit.VOLUME,
        "What people and animals use in the month.",
        "{days} * {household_daily:house_daily.each@month}",
    ),
]
