"""Checks: a row each, with a sentence where something is wrong, and how grave that is.

What is wrong in what was given is judged here, by the book itself, whether it came from a site file or was typed into
the book later. A check that refuses also stops `build`, which tells it in the words of the site file. Most follow from
the declarations (`declared`); the others are written out by subject.
"""

from budget.declarations import NOT_JUDGED, Check, Column, Result
from budget.units import Unit
from budget.water.checks.base import BASE
from budget.water.checks.cells import BASE_CELLS, LACKING_HERE, MISSING_BASE, OF_A_BASE, OFF_KEY, WELL_DEPTH
from budget.water.checks.declared import DECLARED, Declared
from budget.water.checks.demand import GARDEN, HOUSE
from budget.water.checks.lists import HALF_TYPED, LINES
from budget.water.checks.months import MOVED
from budget.water.checks.record import RECORD, THIS_YEAR
from budget.water.checks.rows import ERRORS, ROWS
from budget.water.checks.storage import POND, ROOF, SERVICE, TANK
from budget.water.checks.water_table import DEPTHS, FIT, MEASURED
from budget.water.checks.well import INFLOW, PUMP

__all__ = [
    "BASE_CELLS",
    "CHECKS",
    "DECLARED",
    "IN_ORDER",
    "LACKING_HERE",
    "MISSING_BASE",
    "OF_A_BASE",
    "RESULTS",
    "Declared",
]

# Within a grade they are told in this order.
CHECKS: tuple[Check, ...] = (
    *OFF_KEY,
    *WELL_DEPTH,
    *MOVED,
    *LINES,
    *RECORD,
    *THIS_YEAR,
    *DEPTHS,
    *FIT,
    *INFLOW,
    *MEASURED,
    *ROWS,
    *PUMP,
    *SERVICE,
    *TANK,
    *HOUSE,
    *ROOF,
    *POND,
    *GARDEN,
    *HALF_TYPED,
    *BASE,
    *ERRORS,
)
RESULTS = [result for check in CHECKS for result in (check.finding, check.result)]
GRADES = ("stop", "warn", "note")
# Worst first: the first finding is the gravest. Where a cell stands comes before what it holds, and what is typed
# before what follows from it.
IN_ORDER: tuple[Declared | Check, ...] = tuple(
    sorted((*OFF_KEY, *DECLARED, *CHECKS[len(OFF_KEY) :]), key=lambda check: GRADES.index(check.grade))
)

COLUMNS = [
    Column("checked", "What is checked", Unit.TEXT, "Sheet and label of what is typed, or a rule between inputs."),
    Column("grade", "How grave", Unit.TEXT, "stop: do not trust the answers; warn: look at it; note: good to know."),
    Column(
        "finding",
        "Finding",
        Unit.FLAG,
        "1 where something is wrong, else 0; a text where errors hide which.",
        "finding_here",
    ),
    Column("accepted", "What is accepted", Unit.TEXT, "In the book's units; of a rule between inputs, the rule."),
    Column("said", "What is wrong, and what to do", Unit.TEXT, "Empty while all is well.", "sentence_here"),
    Column("lowest", "Lowest", Unit.NUMBER, "Smallest number that is accepted."),
    Column("highest", "Highest", Unit.NUMBER, "Largest number that is accepted."),
    Column(
        "findings_so_far",
        "Findings so far",
        Unit.COUNT,
        "Down to this row.",
        "{findings_so_far.before} + IF({finding}=1, 1, 0)",
        opening="0",
    ),
]


def _nth_finding(rank: int) -> Result:
    """The sentence of the first, second ... finding; empty where there are fewer."""
    found = f"INDEX({{checks:said.all}}, MATCH({rank}, {{checks:findings_so_far.all}}, 0))"
    return Result(
        f"finding_{rank}",
        f"Finding {rank}",
        Unit.TEXT,
        f"The one of rank {rank}, worst first; empty where there are fewer.",
        f'IF(findings_count>={rank}, {found}, "")',
    )


COUNTS = [
    Result("findings_count", "Findings", Unit.COUNT, "Of all grades.", "{checks:findings_so_far.last}"),
    Result(
        "stops_count",
        "Findings that stop",
        Unit.COUNT,
        "While there are any, no answer is to be trusted.",
        'SUMPRODUCT(({checks:grade.all}="stop") * ({checks:finding.all}=1))',
    ),
    Result(
        "unjudged_count",
        "Checks that cannot be judged",
        Unit.COUNT,
        "Because cells that they rest on hold errors.",
        f'COUNTIF({{checks:finding.all}}, "{NOT_JUDGED}")',
    ),
    Result(
        "largest_row_error",
        "Largest error of a row",
        Unit.VOLUME,
        "Of the Ledger.",
        "MAX({ledger:row_error.all})",
    ),
]
STOP = Result(
    "stop_sentence",
    "Why not to trust the answers",
    Unit.TEXT,
    "The gravest finding that stops; empty where there is none.",
    'IF(stops_count>0, "Do not trust this book yet. " & finding_1, IF(unjudged_count>0,'
    ' "Do not trust this book yet. Errors hide whether " & unjudged_count & " checks hold: see Checks.", ""))',
)
WORKINGS = [STOP, MISSING_BASE]
GRAVEST = [_nth_finding(rank) for rank in (1, 2, 3)]
FINDINGS_TOLD = Result(
    "findings_told",
    "Findings of the checks",
    Unit.TEXT,
    "How many, and how many of them stop.",
    'IF(findings_count + unjudged_count=0, "The checks found nothing wrong.",'
    ' "Findings of the checks: " & findings_count & "; to be put right first: " & stops_count & "."'
    ' & IF(unjudged_count>0, " Hidden by errors: " & unjudged_count & ".", ""))',
)
