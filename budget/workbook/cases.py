"""Cases: the plan year lived again with something changed, each a row of data.

The planning year as expected is laid out whole. Every other case is a lean copy of it: only the columns downstream of
what the case changes stand there again, found from the formulas' own reads; all others are read from the planning year,
its partners. What stands outside the copied tables is held: ranks, filling months, the level kept for the house, the
fit, and the Ledger's months before the plan.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from budget.declarations import Column, Input, Result, Rows, Table
from budget.errors import ModelError
from budget.water import record
from budget.workbook.template import put_in, references, words

YEAR = "case_row"  # the word of the templates that tells which year of the record is lived again

Node = tuple[str, str]  # a table's name and a column's key


@dataclass(frozen=True)
class Case:
    """One way in which a plan year may go.

    `key` names its table of months. `words` head its column on Answers, `heading` its months on Plan year. `year`: the
    template of the row, among the years, of the year that is lived again. `changes`: templates in the place of inputs
    and results, by name; their words mean what they are in the planning year. `columns`: formulas in the place of the
    columns' own, by key; their words are those of the case, but a table that they name is the planning year's. `held`:
    the tables and results outside the plan year through which the change would reach it as well, and does not: they
    stay as they are for the planning year.
    """

    key: str
    words: str
    heading: str
    year: str = "planning_row"
    changes: Mapping[str, str] = field(default_factory=dict)
    columns: Mapping[str, str] = field(default_factory=dict)
    held: frozenset[str] = frozenset()


# Ledger, ranks, filling months and level kept are those of the well as expected: the wells differ, the plan does not.
THE_PLAN = frozenset({"ledger", "storage_months", "planning_row"})
EXPECTED = Case("plan", "Expected", "The planning year")
# The planning year with the inputs that are least known off by their errors, and beside it a middle year of the record
# with the rain that fell in it.
CASES = (
    EXPECTED,
    Case(
        "plan_less",
        "With less water",
        "The planning year with less water",
        changes={"well_sustained_share": "share_less", "well_water_lower": "water_lower_less"},
        held=THE_PLAN,
    ),
    Case(
        "plan_more",
        "With more water",
        "The planning year with more water",
        changes={"well_sustained_share": "share_more", "well_water_lower": "water_lower_more"},
        held=THE_PLAN,
    ),
    Case(
        "middle",
        "In a middle year",
        "A middle year",
        year="middle_row",
        columns={column.key: column.formula or "" for column in record.CALENDAR if column.key == "rain"},
    ),
)


def lived_again(
    tables: Sequence[Table],
    case: Case,
    results: Sequence[Result],
    outside: Sequence[Table],
    rows: Rows | None = None,
    sheet: str | None = None,
    wanted: Collection[str] | None = None,
    labels: Collection[str] = (),
) -> list[Table]:
    """Apply tables of a plan year again for a case: lean copies, named after the case, those without a column left out.

    The first of `tables` holds the months; the others run along with them and are named after it (`plan_garden`).
    `results`: every result of the book; those that follow from what is changed are reckoned within the formulas.
    `outside`: every table that these may read. `rows`: other rows, in runs of a plan year's length, down a `sheet` of
    their own; default: those of the tables. `wanted`: only the columns that these keys rest on. `labels`: keys of
    columns that stand in each copy all the same, for the reader's sake.

    Raises ModelError where nothing reads what the case changes, where the change would reach the plan year through
    something outside that the case does not hold, and where a copy could not tell what a formula means.
    """
    months = tables[0]
    given = words_of(case, months, results)
    _refuse_what_is_ambiguous(tables, results)
    graph = {(t.name, c.key): _reads(t, _with_formula(c, case), tables) for t in tables for c in t.columns}
    _refuse_what_nothing_reads(case, graph, results)
    _refuse_what_is_not_held(case, given, months, graph, results, outside)
    own = {node for node in graph if node[1] in case.columns}
    kept = _downstream({node for node in graph if not given.keys().isdisjoint(graph[node].words)} | own, graph)
    if wanted is not None:
        kept &= _upstream({node for node in kept if node[1] in wanted}, graph)
    kept |= {node for node in graph if node[1] in labels}
    names = {t.name: case.key + t.name.removeprefix(months.name) for t in tables if any(n == t.name for n, _ in kept)}
    return [_copy(t, case, given, kept, names, rows, sheet) for t in tables if t.name in names]


@dataclass(frozen=True)
class _Reads:
    """What a column reads: bare words as they stand in its templates, and columns of other tables or its own.

    `columns`: those of the tables asked about; `others`: those of tables that are named, whatever they are.
    """

    words: set[str]
    columns: set[Node]
    others: set[Node]


def _reads(table: Table, column: Column | Input, tables: Sequence[Table]) -> _Reads:
    found = _Reads(set(), set(), set())
    given = table.given_in(0)
    for template in _templates(table, column):
        found.words.update(words(template))
        for asked in references(template):
            node = _node(table, asked.table, asked.key, tables)
            if node is not None:
                found.columns.add(node)
            elif asked.table is not None:
                found.others.add((given.get(asked.table, asked.table), asked.key))
    return found


def _templates(table: Table, column: Column | Input) -> Iterator[str]:
    if isinstance(column, Column):
        for template in (column.formula, table.opening_of(column), column.closing, column.leftmost):
            if template is not None:
                yield template


def _node(table: Table, named: str | None, key: str, tables: Sequence[Table]) -> Node | None:
    """The column among `tables` that a reference in `table` means, None where it means another table's."""
    if named is not None:
        name = table.given_in(0).get(named, named)
        found = [other for other in tables if other.name == name]
    else:
        found = [other for other in tables if other.name == table.name or other.rows.name == table.rows.name]
        found.sort(key=lambda other: other.name != table.name)
    for other in found:
        if key in other.keys:
            return other.name, key
    return None


def words_of(case: Case, months: Table, results: Sequence[Result]) -> dict[str, str]:
    """What takes the place of words in the case: its year, its changes, and the results that follow from these.

    `months`: the months of the planning year. What it gives serves other tables that tell of the case, too.
    """
    base = months.given_in(0)
    given = {name: put_in(template, base) for name, template in case.changes.items()}
    if case.year != base.get(YEAR):
        given[YEAR] = case.year
    formulas = {result.name: result.formula for result in results if result.name not in given}
    moved = _that_read(set(given), formulas)

    def text(name: str) -> str:
        if name not in given:
            given[name] = put_in(formulas[name], {word: text(word) for word in words(formulas[name]) & (moved | own)})
        return given[name]

    own = set(given)
    for name in moved:
        text(name)
    return given


def _that_read(names: set[str], formulas: Mapping[str, str]) -> set[str]:
    """The results that read these names, directly or through others."""
    found: set[str] = set()
    while more := {n for n, f in formulas.items() if n not in found and not words(f).isdisjoint(names | found)}:
        found |= more
    return found


def _refuse_what_nothing_reads(case: Case, graph: Mapping[Node, _Reads], results: Sequence[Result]) -> None:
    """Raise ModelError for a change that no column would feel, neither directly nor through results."""
    read = {word for one in graph.values() for word in one.words}
    formulas = {result.name: result.formula for result in results}
    idle = [name for name in case.changes if read.isdisjoint({name} | _that_read({name}, formulas))]
    idle += sorted(set(case.columns) - {key for _, key in graph})
    if idle:
        raise ModelError(f"case {case.key}: no column of the plan year reads {', '.join(idle)}")


def _refuse_what_is_ambiguous(tables: Sequence[Table], results: Sequence[Result]) -> None:
    """Raise ModelError where a copy would read the planning year instead of itself, or one of two columns."""
    names = {table.name for table in tables}
    keys = [column.key for table in tables for column in table.columns]
    twice = sorted({key for key in keys if keys.count(key) > 1})
    if twice:
        raise ModelError(f"tables {', '.join(sorted(names))} share columns: {', '.join(twice)}")
    for table in tables:
        for column in table.columns:
            for template in _templates(table, column):
                if any(asked.table in names for asked in references(template)):
                    raise ModelError(
                        f"{table.name}:{column.key} names a table that is lived again: say the column alone"
                    )
    read = {word for table in tables for c in table.columns for t in _templates(table, c) for word in words(t)}
    for result in results:
        if result.name in read and any(asked.table in names for asked in references(result.formula)):
            raise ModelError(f"the plan year reads {result.name}, which reads the plan year: no case could follow")


def _refuse_what_is_not_held(
    case: Case,
    given: Mapping[str, str],
    months: Table,
    graph: Mapping[Node, _Reads],
    results: Sequence[Result],
    outside: Sequence[Table],
) -> None:
    """Raise ModelError for tables and results through which the change reaches the plan year, unless they are held."""
    beyond = {(t.name, c.key): _reads(t, c, outside) for t in outside for c in t.columns}
    given_there = {t.name: t.given_in(0) for t in outside}
    read_by_results = {r.name: {(a.table or "", a.key) for a in references(r.formula)} for r in results}
    formulas = {result.name: words(result.formula) for result in results}
    moved_words, moved = set(given), set[Node]()
    while True:
        more = {
            node
            for node, reads in beyond.items()
            if node not in moved
            and not (
                moved.isdisjoint(reads.columns) and _said(reads.words, given_there[node[0]]).isdisjoint(moved_words)
            )
        }
        more_words = {
            name
            for name in formulas
            if name not in moved_words
            and not (moved.isdisjoint(read_by_results[name]) and formulas[name].isdisjoint(moved_words))
        }
        if not more and not more_words:
            break
        moved, moved_words = moved | more, moved_words | more_words
    base = months.given_in(0)
    reached = {table for reads in graph.values() for table, key in reads.others if (table, key) in moved}
    reached |= {word for reads in graph.values() for word in _said(reads.words - given.keys(), base) & moved_words}
    if reached - case.held - given.keys():
        told = ", ".join(sorted(reached - case.held - given.keys()))
        raise ModelError(
            f"case {case.key}: its change reaches the plan year through {told} as well: hold them, or copy them"
        )


def _said(found: set[str], given: Mapping[str, str]) -> set[str]:
    """The words as they are read, where some of them stand for others."""
    return {word for one in found for word in (words(given[one]) if one in given else {one})}


def _downstream(seeds: set[Node], graph: Mapping[Node, _Reads]) -> set[Node]:
    """These columns and all that read them, directly or through others."""
    found = set(seeds)
    while more := {node for node in graph if node not in found and not found.isdisjoint(graph[node].columns)}:
        found |= more
    return found


def _upstream(wanted: set[Node], graph: Mapping[Node, _Reads]) -> set[Node]:
    """These columns and all that they read, directly or through others."""
    found: set[Node] = set()
    while more := wanted - found:
        found |= more
        wanted = {node for one in more for node in graph[one].columns}
    return found


def _copy(
    table: Table,
    case: Case,
    given: Mapping[str, str],
    kept: set[Node],
    names: Mapping[str, str],
    rows: Rows | None,
    sheet: str | None,
) -> Table:
    """The kept columns of a table for the case; what it has not is read from the case's other tables, then from it."""
    base = table.given_in(0)
    columns = [column for column in table.columns if (table.name, column.key) in kept]
    tables_named = {word: names.get(name, name) for word, name in base.items()}
    return replace(
        table,
        name=names[table.name],
        sheet=sheet or table.sheet,
        rows=rows or table.rows,
        columns=[_with_formula(column, case) for column in columns],
        given={**tables_named, **given},
        partners=(*(name for own, name in names.items() if own != table.name), table.name),
        data={},
        groups=_groups(table, columns),
        transposed=table.transposed and rows is None,
    )


def _with_formula(column: Column | Input, case: Case) -> Column | Input:
    formula = case.columns.get(column.key)
    return column if formula is None or isinstance(column, Input) else replace(column, formula=formula)


def _groups(table: Table, columns: Sequence[Column | Input]) -> dict[str, str]:
    """The headings over those of the columns with which a group now begins."""
    found: dict[str, str] = {}
    kept, heading = {column.key for column in columns}, ""
    for column in table.columns:
        heading = table.groups.get(column.key, heading)
        if column.key in kept and heading and heading not in found.values():
            found[column.key] = heading
    return found
