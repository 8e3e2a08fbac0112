"""From a site file and its rain record to a finished workbook.

Read the site file, read the record, lay out the book, fit the water table with the evaluated book as the model, and
write it with its values. The top function is the table of contents.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from budget.declarations import NOT_JUDGED
from budget.evaluation import evaluate
from budget.fit import fit
from budget.judge import judge, judge_computed
from budget.material import material
from budget.rain import read_record
from budget.references import examples_folder
from budget.site_file.reading import read_site
from budget.workbook.applications import Tables, tables
from budget.workbook.book import Book, CellKey
from budget.workbook.engine import Computed, Model
from budget.workbook.finish import refuse_target, write_book
from budget.workbook.material import Material
from budget.workbook.sheets import ALTERNATIVES, write_sheets
from budget.workbook.sheets.answers_sheet import SENTENCES

Progress = Callable[[str], None]


@dataclass(frozen=True)
class Answer:
    """One answer as the book holds it: expected, with less and with more water, and for the middle year."""

    key: str
    title: str
    unit: str
    number_format: str
    expected: Computed
    less: Computed
    more: Computed
    middle: Computed

    @property
    def cases(self) -> tuple[Computed, ...]:
        """The four values in the order of the book's columns."""
        return self.expected, self.less, self.more, self.middle


@dataclass(frozen=True)
class Built:
    """A finished book: where it lies, its answers and its warnings, read from its cells.

    `kept`: the copy of the book that stood there before, None where there was none. `rain_came`: where rain came from
    weather stations, how, in a sentence.
    """

    path: Path
    kept: Path | None
    answers: list[Answer]
    sentences: list[str]
    warnings: list[str]
    rain_came: str = ""


def build(
    site_path: Path, book_path: Path | None = None, progress: Progress = lambda stage: None, fresh: bool = False
) -> Built:
    """Build the workbook of a site file; `fresh`: weather stations are asked again, even where a snapshot serves.

    Raises InputFaults for bad input, OutputFault where it cannot be written, RainUnavailable where the rain of weather
    stations could not be had.
    """
    site = read_site(site_path)
    target = book_path or site_path.with_suffix(".xlsx")
    refuse_target(target)
    progress("reading the rain record")
    rain = read_record(site, fresh=fresh)
    progress("laying out the workbook")
    book, _ = lay_out(material(site, rain))
    judge(book, site)
    progress("fitting the water table")
    fit(book, site)
    progress("computing")
    model = evaluate(book, site)
    judge_computed(model, site)
    values = model.computed()
    kept = write_book(book, values, target, ALTERNATIVES)
    return Built(target, kept, read_answers(book, values), read_sentences(model), read_warnings(model), rain.came)


def embedded_example() -> Path:
    """The site file of the invented example that comes with the package."""
    return examples_folder() / "terrace_house.toml"


def lay_out(made_of: Material) -> tuple[Book, Tables]:
    """The book with all its sheets and formulas, without values."""
    place = str(made_of.values.get("site_name") or "")
    book = Book(made_of.system, place=place, built_on=made_of.provenance.built_on)
    applied = tables(made_of)
    write_sheets(book, applied, made_of)
    return book, applied


def read_answers(book: Book, values: Mapping[CellKey, Computed]) -> list[Answer]:
    """The answers as they stand in the evaluated book."""
    placement = book.directory.placements["answers"]
    found: list[Answer] = []
    for column in placement.table.columns:
        rows = range(placement.table.rows.size)
        cases = [values[(placement.sheet, *placement.cell(column.key, 0, row))] for row in rows]
        unit, shown_as = column.unit.label(book.system), column.unit.number_format(book.system)
        found.append(Answer(column.key, column.title, unit, shown_as, *cases))
    return found


def read_sentences(model: Model) -> list[str]:
    """The sentences at the head of Answers."""
    return [text for result in SENTENCES if (text := str(model.value(result.name) or ""))]


def read_warnings(model: Model) -> list[str]:
    """What the checks find, worst first."""
    rows = zip(model.column("checks", "finding"), model.column("checks", "said"), strict=True)
    return [str(said) for finding, said in rows if finding in (1, NOT_JUDGED)]
