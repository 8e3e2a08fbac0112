"""No cell of any example leads back to itself, read from the cells alone, every range expanded.

One of the spreadsheet programs iterates through a circle without a word and prints numbers, so that no comparison of
values would find it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from graphlib import CycleError, TopologicalSorter

import pytest
from openpyxl.formula import Tokenizer

from budget.workbook.book import CellKey
from tests.computed import EXAMPLES, Computed
from tests.conftest import computed_example
from tests.workbook.cell_formulas import Area, formulas, names, operand, read_by

# A cell, or an area of several: a range that many formulas read is one node, expanded once.
Node = CellKey | Area


@cache
def reads_of(name: str) -> dict[CellKey, list[Area]]:
    """What every formula cell of an example reads."""
    workbook = computed_example(name).book.workbook
    known = names(workbook)
    return {where: read_by(text, where[0], known) for where, text in formulas(workbook).items()}


def in_order(reads: Mapping[CellKey, Sequence[Area]]) -> list[Node]:
    """Cells and areas so that each stands behind all that it reads. Raises CycleError, which names the circle."""
    graph: TopologicalSorter[Node] = TopologicalSorter()
    expanded: set[Area] = set()
    for where, areas in reads.items():
        graph.add(where)
        for area in areas:
            if area.size == 1:
                graph.add(where, *area.cells())
                continue
            graph.add(where, area)
            if area not in expanded:
                expanded.add(area)
                graph.add(area, *area.cells())
    return list(graph.static_order())


@pytest.mark.parametrize("name", [path.stem for path in EXAMPLES])
def test_no_cell_leads_back_to_itself(name: str) -> None:
    reads = reads_of(name)
    assert reads.keys() == computed_example(name).book.owners.keys()
    assert set(reads) <= set(in_order(reads))


@pytest.mark.parametrize("whole_column", [False, True])
def test_a_planted_circle_is_found(whole_column: bool) -> None:
    """The first month's well yield is made to read the tank, which the well fills: one cell of it, or the column."""
    terrace = computed_example("terrace_house")
    sheet, top, column = terrace.cells("ledger", "stored")[0]
    bottom = terrace.cells("ledger", "stored")[-1][1] if whole_column else top
    planted = Area(sheet, column, top, column, bottom)
    reads = dict(reads_of("terrace_house"))
    where = terrace.cells("ledger", "well_yield")[0]
    reads[where] = [*reads[where], planted]
    with pytest.raises(CycleError) as found:
        in_order(reads)
    circle = found.value.args[1]
    assert where in circle
    assert (planted if whole_column else (sheet, top, column)) in circle


def test_formulas_alike_but_for_their_digits_are_read_each_by_its_own(terrace: Computed) -> None:
    """As the tokenizer takes them apart one by one: every fiftieth formula of the example."""
    workbook = terrace.book.workbook
    known = names(workbook)
    some = list(formulas(workbook).items())[::50]
    assert len(some) > 1000
    for (sheet, _, _), text in some:
        found = (operand(token, sheet, known) for token in Tokenizer(text).items)
        assert read_by(text, sheet, known) == [area for area in found if area is not None], text
