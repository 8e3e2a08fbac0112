"""What the animals drink: kinds, heads, an amount each a day, and twelve monthly factors. Served with the house."""

from budget.declarations import Column, Input
from budget.units import Unit

REFERENCE = [
    Input("animal", "Animal", Unit.TEXT, "A kind of animal."),
    Input("per", "For each", Unit.TEXT, "What is counted."),
    Input("amount", "Amount a day", Unit.FLOW, "For each that is counted, in warm weather."),
    Input("source", "Source", Unit.TEXT, "Where the figure comes from."),
]

LIST = [
    Input(
        "animal",
        "Animal",
        Unit.TEXT,
        "A word of the table of animals, or your own with an amount.",
        "",
        suggested="animal_table:animal",
    ),
    Input("head", "How many", Unit.NUMBER, "Heads, or whatever is counted.", "", low="0", high="10000"),
    Input(
        "amount",
        "Amount a day for each",
        Unit.FLOW,
        "Empty: from the table of animals.",
        "",
        low="0 L/day",
        high="1000 L/day",
    ),
]

MONTHLY_LIST = [
    Input(
        "factors",
        "Factor",
        Unit.NUMBER,
        "Against the amount: 1 as written, 0 none there or on other water, more in great heat or in milk.",
        "1",
        low="0",
        high="20",
    ),
]

LINES = [
    Column(
        "herd_daily",
        "A day, at factor 1",
        Unit.FLOW,
        "How many times how much.",
        "IF(ISNUMBER({head}), {head}, 0)"
        " * IF(ISNUMBER({amount}), {amount}, IF({animal_row}>0, {animal_table:amount@animal_row}, 0))",
    ),
    Column(
        "animal_row",
        "Row in the table of animals",
        Unit.COUNT,
        "0 where the animal is not in it.",
        "IFERROR(MATCH({animal}, {animal_table:animal.all}, 0), 0)",
    ),
    Column(
        "unknown",
        "Not known",
        Unit.FLAG,
        "1 where a line has a count but neither an amount nor a known animal, or an animal and no count.",
        "IF(OR(AND(ISNUMBER({head}), NOT(ISNUMBER({amount})), {animal_row}=0),"
        ' AND({animal}<>"", NOT(ISNUMBER({head})))), 1, 0)',
    ),
]

MONTHLY = [
    Column(
        "animals_daily",
        "Animals, a day",
        Unit.FLOW,
        "Sum of the lines of animals in the calendar month; an empty factor counts as 1.",
        "SUMPRODUCT({animal_workings:herd_daily.all}, {animal_factors:factors.all})"
        ' + SUMPRODUCT({animal_workings:herd_daily.all} * ({animal_factors:factors.all}=""))',
    ),
]
