"""The words in which the model is declared: Input, Result, Check, Column, Rows, Table.

A noun of the water budget (tank, soil, pump ...) is a module of `budget.water` that lists its inputs and its columns. A
`Table` applies such lists along `Rows` on a sheet. Nothing here knows a spreadsheet library.

The language of a formula template
----------------------------------
Functions are in capitals; everything else is a name.

    tank_capacity             an input, result or factor, by its defined name
    {stored}                  the column `stored` in this row, of this table or of one with the same rows
    {stored.before} .after    the same, one row up or down
    {need.left}               the same column, one item of `each` to the left (`leftmost` for the first)
    {short.all}               the whole column, opening and closing rows left out
    {short.first} .last       its first and its last row
    {stored.opening}          the cell that holds what was there before the first row
    {need.each}               this row across all items of `each`
    {factors.block}           the whole column for all items of `each`, rows and items at once
    {uses:number.heading}     the cell right above a column; a listed one's `.all` runs from there to 'end of list'
    {plan:whole}              all rows and columns of a table at once: to look for errors
    {climate:radiation@month} another table's column, at the position that this row's `month` holds
    {kc:kc_used.each@month}   the item of `each` at that position
    {ledger:short.all}        a column of a named table; all of the above go with it

A key that a table has not is read from its `partners`, at the same row: a bare one as well as one that names the table.
A table whose rows are the `each` of this column (zones along the garden columns) is read at this column's item.
A `listed` table is read by position in that range, whatever was cut, pasted, sorted or inserted between its ends: it
knows no first, last, neighbouring or other single cells but `.heading`.
Where rows fall into runs (years of twelve months), a partner as long as one run is read at the row within the run, a
table along the runs at this row's run; and a table along the runs reads `.all`, `.first`, `.last` and `.opening` of
its own run. Anything unknown, ambiguous or ungrammatical raises `ModelError`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from budget.errors import ModelError
from budget.units import Unit


@dataclass(frozen=True)
class Input:
    """One thing a person gives: its field in the site file, its cell, its validation, note and error text.

    `name` is the defined name of the cell; in the site file it is `[section] key`, split at the first underscore.
    In a list (`[[garden]]`) the name is the key itself. Quantities of `default`, `low`, `high` are text with units.
    `default` None: must be given; "": may stay empty. `choices` is a tuple of words, or `table:column` of a
    reference table. `found` says how the build finds the value where none is given (a fit, the frost dates).
    `suggested`: a `table:column` whose words are offered, while any other is accepted as well.
    """

    name: str
    title: str
    unit: Unit
    meaning: str
    default: str | None = None
    low: str | None = None
    high: str | None = None
    choices: tuple[str, ...] | str | None = None
    source: str = ""
    found: str = ""
    suggested: str = ""

    @property
    def key(self) -> str:
        """The name under which tables address this input when it is one of their columns."""
        return self.name

    @property
    def optional(self) -> bool:
        """Whether the cell may stay empty."""
        return self.default == ""


@dataclass(frozen=True)
class Result:
    """One computed cell with a defined name."""

    name: str
    title: str
    unit: Unit
    meaning: str
    formula: str
    source: str = ""


Grade = Literal["stop", "warn", "note"]  # do not trust the book; look at it; good to know
NOT_JUDGED = "not judged"
CANNOT_BE_JUDGED = "Not judged, because of errors."


@dataclass(frozen=True)
class Refusal:
    """How `build` tells that a check stopped it: the place in the site file, what was found there, what is accepted.

    `where`: section and key, or a list. In the texts `{value}` is what the site file has in that place, `{kind}` what
    may stand there, and the name of another input in braces its place and value: `well.depth ('24 ft')`.
    `cells`: a named cell, or a column as `table:column`, whose rows that hold neither 0 nor an empty text are faults of
    their own, `where` with the row's number; a text in it is what was found. Of a list `key` is the input in question,
    `if_empty` what was found where the entry has none, and `words` the column of a table whose nearest words are told.
    `after_fit`: it rests on figures that the build may find only after the fit, and is judged again then.
    """

    where: str
    found: str
    accepted: str
    cells: str = ""
    key: str = ""
    if_empty: str = ""
    words: str = ""
    after_fit: bool = False


@dataclass(frozen=True)
class Check:
    """A row of Checks: a finding where `condition` holds, and then `sentence`, a template of a text.

    `grade`: how grave it is. `refuses`: the build of a site file that comes to this is stopped, in these words; None
    where it only warns. Where its cells hold errors it says that it cannot be judged, never that all is well.
    """

    name: str
    title: str
    meaning: str
    condition: str
    sentence: str
    grade: Grade = "warn"
    refuses: Refusal | None = None

    @property
    def finding(self) -> Result:
        """The cell that holds 1 where something is wrong, 0 where not, a text where that cannot be judged."""
        formula = f'IFERROR(IF({self.condition}, 1, 0), "{NOT_JUDGED}")'
        return Result(f"found_{self.name}", self.title, Unit.FLAG, self.meaning, formula)

    @property
    def result(self) -> Result:
        """The cell that says what is wrong, empty while all is well."""
        formula = f'IF({self.finding.name}=1, {self.sentence}, IF({self.finding.name}=0, "", "{CANNOT_BE_JUDGED}"))'
        return Result(f"check_{self.name}", self.title, Unit.TEXT, self.meaning, formula)


@dataclass(frozen=True)
class Column:
    """One quantity along the rows of a table.

    `formula` None: the values are data, put in when the book is laid out. A store has an `opening`, the template of
    the cell above its first row; a backward one has a `closing`, below its last.
    A `stepwise` column must be computed row by row (see `STEPWISE` in `budget.workbook.formulas`).
    """

    key: str
    title: str
    unit: Unit
    meaning: str
    formula: str | None = None
    opening: str | None = None
    closing: str | None = None
    leftmost: str | None = None
    source: str = ""
    stepwise: bool = False


@dataclass(frozen=True)
class Rows:
    """The rows that tables run along: months of the record, calendar months, zones, years ...

    Two tables with the same `Rows` stand row by row beside each other, on whatever sheets.
    `labels` name the rows where they are known beforehand. `runs`: the rows fall into so many runs of the same length,
    each with an opening row before it, so that a store begins anew in each; `size` counts the rows of all.
    """

    name: str
    size: int
    labels: tuple[str, ...] = ()
    runs: Rows | None = None

    def __post_init__(self) -> None:
        if self.runs is not None and (self.runs.size < 1 or self.size % self.runs.size):
            raise ModelError(f"{self.size} rows {self.name} do not fall into {self.runs.size} runs")

    @cached_property  # asked for at every cell, as the next
    def run_count(self) -> int:
        """Into how many runs the rows fall; 1 where they are one."""
        return self.runs.size if self.runs else 1

    @cached_property
    def run_length(self) -> int:
        """Rows of a run."""
        return max(1, self.size // self.run_count)


@dataclass(frozen=True)
class Table:
    """Columns applied along rows on a sheet.

    `each` repeats every column once per item, side by side. `given` replaces bare words of the templates by other
    templates, which are read as if nothing was given, and table names by others; one mapping for all rows or one per
    row. `openings` replaces the opening templates of stores. `partners`: the tables that are read, row by row and in
    this order, for every key that this one has not.
    `data` holds the values of data columns and of inputs: a list along the rows, or a list of such lists along `each`.
    `transposed` lays the columns down and the rows across. `groups` puts a heading before the column of that key.
    `names`: by a column's key the defined names of its cells, row by row; a cell that has one is a result of its own
    and holds that one's formula. In a `reference` table the inputs are looked up, not typed. A `headline` table is set
    in the style of results. In a `spare` table, most of whose rows may be empty, zeros are not shown.
    In a `listed` table one row is one item of a list, which people sort, cut, paste and insert: it holds typed columns
    only, and is read by position between its heading and its row 'end of list'.
    """

    name: str
    sheet: str
    rows: Rows
    columns: Sequence[Column | Input]
    each: Rows | None = None
    given: Mapping[str, str] | Sequence[Mapping[str, str]] = field(default_factory=dict)
    openings: Mapping[str, str] = field(default_factory=dict)
    partners: Sequence[str] = ()
    data: Mapping[str, Sequence[object]] = field(default_factory=dict)
    transposed: bool = False
    reference: bool = False
    headline: bool = False
    spare: bool = False
    listed: bool = False
    groups: Mapping[str, str] = field(default_factory=dict)
    names: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        keys = [column.key for column in self.columns]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ModelError(f"table {self.name}: columns declared twice: {', '.join(twice)}")
        if self.listed and not all(isinstance(column, Input) for column in self.columns):
            raise ModelError(f"table {self.name}: a list holds typed columns only")

    @cached_property
    def keys(self) -> frozenset[str]:
        """The keys of its columns."""
        return frozenset(column.key for column in self.columns)

    @cached_property
    def has_opening(self) -> bool:
        """Whether a row stands above the first one, with what the stores hold before it."""
        return any(isinstance(c, Column) and self.opening_of(c) is not None for c in self.columns)

    @cached_property
    def has_closing(self) -> bool:
        """Whether a row stands below the last one, for columns that run backwards."""
        return any(isinstance(c, Column) and c.closing is not None for c in self.columns)

    def given_in(self, row: int) -> Mapping[str, str]:
        """The words that are replaced in that row's templates."""
        if isinstance(self.given, Mapping):
            return self.given
        return self.given[min(max(row, 0), len(self.given) - 1)]

    def name_of(self, key: str, row: int) -> str:
        """The defined name of a column's cell in that row, empty where it has none."""
        names = self.names.get(key, ())
        return names[row] if row < len(names) else ""

    def opening_of(self, column: Column) -> str | None:
        """The template of the column's opening in this table, None where it has none."""
        return self.openings.get(column.key, column.opening)

    def column(self, key: str) -> Column | Input:
        """The column of that key; raises ModelError where there is none."""
        for column in self.columns:
            if column.key == key:
                return column
        raise ModelError(f"table {self.name} has no column '{key}'")


def looked_up(columns: Sequence[Column], table: str, position: str) -> list[Column]:
    """The same columns, read from `table` at the position that this row's `position` holds."""
    return [
        replace(column, formula=f"{{{table}:{column.key}@{position}}}", opening=None, closing=None)
        for column in columns
    ]
