"""The rows of Checks: those that follow from the declarations, with bounds and places, and those written by hand."""

from __future__ import annotations

from budget.declarations import Rows, Table
from budget.units import Unit, to_book
from budget.water.checks import BASE_CELLS, COLUMNS, IN_ORDER, LACKING_HERE, OF_A_BASE, Declared, lists, months
from budget.water.nouns import LISTS
from budget.workbook.book import Book
from budget.workbook.rows import CALENDAR, ONE
from budget.workbook.validation import accepted

SHEET = "Checks"
HAS_BOUNDS = "lowest", "highest"


def check_table(book: Book) -> Table:
    """The table of all checks, worst first; every input that they name must be laid out by now."""
    data: dict[str, list[object]] = {key: [] for key in ("checked", "grade", "accepted", *HAS_BOUNDS)}
    names: dict[str, list[str]] = {"finding": [], "said": []}
    given: list[dict[str, str]] = []
    for check in IN_ORDER:
        data["grade"].append(check.grade)
        if isinstance(check, Declared):
            data["checked"].append(f"{_where(book, check)}: {check.given.title}")
            data["accepted"].append(accepted(check.given, book.system))
            for key, bound in zip(HAS_BOUNDS, (check.given.low, check.given.high), strict=True):
                of_text = check.given.unit is Unit.TEXT or bound is None
                data[key].append(None if of_text else to_book(bound or "", check.given.unit, book.system))
            given.append({"finding_here": check.finding, "sentence_here": check.sentence})
        else:
            data["checked"].append(check.title)
            data["accepted"].append(check.meaning)
            for key in HAS_BOUNDS:
                data[key].append(None)
            given.append({"finding_here": "0", "sentence_here": "0"})  # results of their own stand there
            book.results += [check.finding, check.result]
        names["finding"].append("" if isinstance(check, Declared) else check.finding.name)
        names["said"].append("" if isinstance(check, Declared) else check.result.name)
    return Table("checks", SHEET, Rows("check", len(IN_ORDER)), COLUMNS, given=given, data=data, names=names)


def base_table() -> Table:
    """The cells that a tank base needs, in the order of the book."""
    needed = [given.title for given in OF_A_BASE]
    return Table(
        "base_cells", SHEET, Rows("base", len(needed)), BASE_CELLS, given=LACKING_HERE, data={"needed": needed}
    )


def _where(book: Book, check: Declared) -> str:
    """The sheet on which the cell or column of a check stands; of a list, how the book tells of it."""
    for of in LISTS.values():
        if check.table and check.table in (of.table, of.months_table):
            return of.told
    if check.table:
        return book.directory.placements[check.table].sheet
    return book.directory.names[check.given.name][0]


def month_table() -> Table:
    """Where the cells of the calendar months stand."""
    return Table("months_moved", SHEET, CALENDAR, months.COLUMNS)


def list_tables(book: Book) -> list[Table]:
    """What the checks of the lists' lines rest on: a row for each list, for each of its columns, and the months."""
    columns = [(section, given) for section, of in LISTS.items() for given in of.inputs]
    data: dict[str, list[object]] = {
        "of_list": [section for section, _ in columns],
        "of_column": [given.title for _, given in columns],
        "built_lines": [_lines_of(book, section) for section, _ in columns],
        "texts": [lists.texts_at_the_ends(LISTS[section], given) for section, given in columns],
    }
    given = [lists.words_of_column(LISTS[section], given.key) for section, given in columns]
    of_lists: dict[str, list[object]] = {"of_list": list(LISTS), "told": [of.told for of in LISTS.values()]}
    return [
        Table(
            "list_lines",
            SHEET,
            Rows("list", len(LISTS)),
            lists.OF_LISTS,
            given=[lists.words_of_list(of) for of in LISTS.values()],
            data=of_lists,
        ),
        Table("list_columns", SHEET, Rows("list column", len(columns)), lists.OF_COLUMNS, given=given, data=data),
        *(
            Table(
                lists.months_table_name(of), SHEET, ONE, lists.OF_MONTHS, each=CALENDAR, given=lists.words_of_months(of)
            )
            for of in LISTS.values()
            if of.monthly
        ),
    ]


def _lines_of(book: Book, section: str) -> int:
    return book.directory.placements[LISTS[section].table].table.rows.size + lists.BESIDES_ITEMS
