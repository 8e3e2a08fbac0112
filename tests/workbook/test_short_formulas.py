"""Formulas that a person can read: no longer than 300 characters, no IF within more than two others.

Those that are not so yet are listed by their key; the list may only shrink.
"""

from openpyxl.formula import Tokenizer

from tests.computed import Computed
from tests.workbook.cell_formulas import formulas

LONGEST, DEEPEST = 300, 3
NOT_YET_SHORT = set(
    (
        "base_ground_verdict base_head_verdict base_wind_verdict check_base_wind "
        "check_station_height drain_by fault fill_from_told kc_curve "
        "latest_start memory_sentence missing_base_cells plan_told pond_dry_by rank record_told runs_out said "
        "use_first_sentence "
    ).split()
)


def depth(formula: str) -> int:
    """How many IFs stand within each other at most."""
    open_brackets: list[bool] = []
    deepest = 0
    for token in Tokenizer(formula).items:
        if token.subtype == "OPEN":
            open_brackets.append(token.value == "IF(")
            deepest = max(deepest, sum(open_brackets))
        elif token.subtype == "CLOSE":
            open_brackets.pop()
    return deepest


def long_ones(computed: Computed) -> set[str]:
    """The keys of formulas that are too long or too deep."""
    owners = computed.book.owners
    seen: set[tuple[str, str]] = set()
    found: set[str] = set()
    for where, text in formulas(computed.book.workbook).items():
        owner = owners[where]
        key = owner if isinstance(owner, str) else owner[1]
        shape = "".join(letter for letter in text if not letter.isdigit())
        if (key, shape) in seen:
            continue
        seen.add((key, shape))
        if len(text) - 1 > LONGEST or depth(text) > DEEPEST:
            found.add(key)
    return found


def test_formulas_are_short(example: Computed) -> None:
    assert long_ones(example) - NOT_YET_SHORT == set()


def test_the_list_of_long_formulas_is_no_longer_than_needed(terrace: Computed) -> None:
    assert NOT_YET_SHORT - long_ones(terrace) == set()


def test_depth_is_counted() -> None:
    assert depth('=IF(A1=1,IF(B1=1,SUM(C1),IF(D1,1,0)),"IF(IF(IF(IF(")') == 3
    assert depth("=SUM(A1)+IF(A1,1,0)*IF(A2,1,0)") == 1
