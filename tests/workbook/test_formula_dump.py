"""The formulas of the US example against their dump, so that a change of the model shows in the diff."""

import difflib
import re

from tests.computed import Computed
from tests.workbook.formula_dump import TARGET, dump

RENEW = "the formulas changed; where that is meant: python -m tests.workbook.formula_dump"


def test_formulas_are_those_of_the_dump(terrace: Computed) -> None:
    before, now = TARGET.read_text(encoding="utf-8").splitlines(), dump(terrace).splitlines()
    changed = list(difflib.unified_diff(before, now, "formulas.txt", "now", lineterm="", n=0))
    assert changed == [], "\n".join([RENEW, *changed])


def test_every_formula_column_is_told_once(terrace: Computed) -> None:
    """Every column and result of the book that holds a formula has a line, and no line comes twice."""
    told = [line.split(" = ")[0] for line in dump(terrace).splitlines()]
    owners = {":".join(owner) if isinstance(owner, tuple) else owner for owner in terrace.book.owners.values()}
    plain = {re.sub(r"\[\d+\]$|:2$| before$| after$", "", line) for line in told}
    assert plain == {owner for owner in owners if not owner.startswith(("link:", "again:"))}
    assert len(told) == len(set(told))
