"""An example site, built and computed by the engine, and its cells in metric units for the ledgers by hand."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from budget.build import lay_out
from budget.declarations import Column, Input, Result, Table
from budget.evaluation import evaluate
from budget.fit import fit
from budget.material import material
from budget.rain import read_record
from budget.record import Record
from budget.site_file.reading import read_site
from budget.site_file.site import Site
from budget.units import System, Unit, convert
from budget.water.checks import IN_ORDER, Declared
from budget.workbook.applications import Tables
from budget.workbook.book import Book, CellKey, Owner
from budget.workbook.engine import Computed as Value
from budget.workbook.engine import Model
from budget.workbook.material import Material

ROOT = Path(__file__).parent.parent
EXAMPLES = sorted((ROOT / "example_inputs").glob("*.toml"))


@dataclass
class Computed:
    """A book with its engine."""

    site: Site
    made_of: Material
    book: Book
    tables: Tables
    model: Model
    _values: dict[CellKey, Value] | None = field(default=None, init=False, repr=False)

    @property
    def values(self) -> dict[CellKey, Value]:
        """Every formula's value as it was last evaluated; read when it is first asked for."""
        if self._values is None:
            self._values = self.model.computed()
        return self._values

    def evaluate(self) -> None:
        """Compute again after cells were set."""
        self.model.evaluate()
        self._values = None

    def copy(self) -> Computed:
        """The same book with an engine of its own: its cells may be changed, its sheets are shared and may not."""
        return replace(self, model=self.model.copy())

    def only(self, *needed: Owner) -> Computed:
        """The book as it was built with an engine of its own that holds only what these results rest on.

        The cells of all other formulas are empty there: an evaluation takes a third of the time, loading 0.15 s.
        """
        other = replace(self, model=Model(self.book, needed))
        other.evaluate()
        return other

    def cells(self, table: str, key: str, item: int = 0) -> list[CellKey]:
        """The cells of a column, along the rows."""
        placement = self.book.directory.placements[table]
        rows = range(placement.table.rows.size)
        return [(placement.sheet, *placement.cell(key, item, row)) for row in rows]

    def column(self, table: str, key: str, item: int = 0) -> list[Value]:
        """The values of a column as they stand in the book."""
        return [self.model.cell(where) for where in self.cells(table, key, item)]

    def metric(self, value: Value, unit: Unit) -> Value:
        """A value of the book in metric units; text and empty cells as they are."""
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            return convert(float(value), unit, self.book.system, "metric")
        return value or None

    def metric_column(self, table: str, key: str, item: int = 0) -> list[Value]:
        """The values of a column in metric units."""
        unit = self.book.directory.placements[table].table.column(key).unit
        return [self.metric(value, unit) for value in self.column(table, key, item)]

    def metric_input(self, given: Input | Result) -> Value:
        """The value of a named cell in metric units."""
        return self.metric(self.model.value(given.name), given.unit)


def compute(path: Path, system: System | None = None, **changes: object) -> Computed:
    """Build the site of a file and compute it; `changes` replace input values of the file, in book units."""
    site = read_site(path)
    if changes:
        site = replace(site, values={**site.values, **changes}, given=site.given | frozenset(changes))
    return compute_site(site)


def compute_site(site: Site) -> Computed:
    """Build a site and compute it."""
    return compute_record(site, read_record(site))


def compute_record(site: Site, rain: Record) -> Computed:
    """Build a site on a record and compute it."""
    made_of = material(site, rain)
    book, tables = lay_out(made_of)
    fit(book, site)
    model = evaluate(book, site)
    return Computed(site, made_of, book, tables, model)


def by_hand_site(computed: Computed):
    """The same site for `tests.by_hand`, read from the cells of the book, in metric units."""
    from tests.by_hand import Site as ByHandSite

    ledger = computed.tables["ledger"]
    record = {
        column.key: np.array(computed.metric_column("ledger", column.key), dtype=float)
        for column in ledger.columns
        if isinstance(column, Column) and column.formula is None
    }
    return ByHandSite(
        inputs={given.name: computed.metric_input(given) for given in computed.book.inputs},
        record=record,
        lists={
            "household": _rows(computed, computed.tables["household"], {"factors": "household_months"}),
            "garden": _rows(computed, computed.tables["zones"], {"kc": "garden_kc"}),
            "soils": _rows(computed, computed.tables["soils"], {}),
            "uses": _rows(computed, computed.tables["uses"], {}),
            "animals": _rows(computed, computed.tables["animals"], {"factors": "animal_months"}),
            "animal_table": _rows(computed, computed.tables["animal_table"], {}),
            "recovery": _rows(computed, computed.tables["recovery"], {}),
            "dips": _rows(computed, computed.tables["dips"], {}),
            "remembered": _rows(computed, computed.tables["remembered"], {}),
            "roofs": _rows(computed, computed.tables["roofs"], {}),
            "roof_table": _rows(computed, computed.tables["roof_table"], {}),
            "pond_soils": _rows(computed, computed.tables["pond_soils"], {}),
            "bearing": _rows(computed, computed.tables["bearing"], {}),
            "crops": _rows(computed, computed.tables["crops"], {}),
        },
        filling=computed.metric_column("storage_months", "filling"),
        kept=computed.metric_column("storage_months", "kept"),
        monthly_depth=computed.metric_column("well_months", "monthly_depth"),
        safe_take=computed.metric_column("well_months", "safe_take"),
        rain_so_far=computed.metric_column("so_far", "rain_so_far"),
        station_heights=(
            computed.metric_column("stations", "station_height")
            if "stations" in computed.book.directory.placements
            else []
        ),
        frosts=_frosts(computed),
        year_numbers=[int(year) for year in computed.column("years", "year")],
        declared=declared_findings(computed),
        # The book's own units, in which it rounds what it ranks by.
        volume_unit=float(convert(1, Unit.VOLUME, computed.book.system, "metric")),
        depth_unit=float(convert(1, Unit.DEPTH, computed.book.system, "metric")),
        length_unit=float(convert(1, Unit.LENGTH, computed.book.system, "metric")),
    )


def declared_findings(computed: Computed) -> list[tuple[str, str]]:
    """Grade and sentence of the findings on single cells and columns, which follow from the declarations."""
    columns = zip(*(computed.column("checks", key) for key in ("finding", "grade", "said")), strict=True)
    rows = zip(IN_ORDER, columns, strict=True)
    return [(str(grade), str(said)) for check, (found, grade, said) in rows if isinstance(check, Declared) and found]


def _frosts(computed: Computed) -> list[dict[str, object]]:
    """The table of frosts, as the ledgers by hand read it."""

    def days(which: str) -> list[tuple[int, int] | None]:
        parts = (computed.column("frost_dates", f"free_{which}_{part}") for part in ("month", "day"))
        return [(int(month), int(day)) if month else None for month, day in zip(*parts, strict=True)]

    columns = {
        "name": computed.column("frosts", "frost_name"),
        "spell": computed.column("frosts", "frost_spell"),
        "from_told": computed.column("frosts", "frost_free_from"),
        "until_told": computed.column("frosts", "frost_free_until"),
        "from": days("from"),
        "until": days("until"),
    }
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def _rows(computed: Computed, table: Table, monthly: dict[str, str]) -> list[dict[str, object]]:
    """A list's typed rows, each with its monthly figures from the table beside it."""
    typed = [column.key for column in table.columns if isinstance(column, Input)]
    columns = {key: computed.metric_column(table.name, key) for key in typed}
    months = {key: [computed.metric_column(name, key, m) for m in range(12)] for key, name in monthly.items()}
    return [
        {key: values[row] for key, values in columns.items()}
        | {key: [month[row] for month in values] for key, values in months.items()}
        for row in range(table.rows.size)
    ]
