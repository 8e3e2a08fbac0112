"""Small decision tables: conditions, one below the other, and what is said where one is the first that holds.

A sentence that hangs on many conditions is read row by row there, and each formula stays short.
"""

from dataclasses import dataclass

from budget.declarations import Column
from budget.units import Unit

COLUMNS = [
    Column("holds", "Holds", Unit.FLAG, "1 where what this row asks is so.", "condition_here"),
    Column("says", "Says", Unit.TEXT, "What is said where this row is the first that holds.", "sentence_here"),
]


@dataclass(frozen=True)
class Decision:
    """A table of that name; each row is a condition and what is said, both templates.

    All rows but the last are conditions, so that one always holds.
    """

    name: str
    rows: tuple[tuple[str, str], ...]

    @property
    def said(self) -> str:
        """The template of what is said; an error where any condition is one, which a search would pass over."""
        holds = f"{{{self.name}:holds.all}}"
        return f"INDEX({{{self.name}:says.all}}, MATCH(1, {holds}, 0) + 0 * SUM({holds}))"

    @property
    def given(self) -> list[dict[str, str]]:
        """What stands in each row for the words of the columns' templates."""
        return [{"condition_here": f"IF({holds}, 1, 0)", "sentence_here": says} for holds, says in self.rows]
