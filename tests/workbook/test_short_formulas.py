"""Formulas that a person can read: no longer than 300 characters, no IF within more than two others."""

from openpyxl.formula import Tokenizer

from tests.computed import Computed
from tests.workbook.cell_formulas import formulas

LONGEST, DEEPEST = 300, 3


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
    assert long_ones(example) == set()


def test_depth_is_counted() -> None:
    assert depth('=IF(A1=1,IF(B1=1,SUM(C1),IF(D1,1,0)),"IF(IF(IF(IF(")') == 3
    assert depth("=SUM(A1)+IF(A1,1,0)*IF(A2,1,0)") == 1
