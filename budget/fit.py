"""The fit of the water table to what was measured, with the evaluated book as the model."""

from __future__ import annotations

import math
from collections.abc import Iterable

from budget.declarations import Input
from budget.site_file.site import Site
from budget.units import Unit, to_book
from budget.water import water_table
from budget.workbook.book import Book
from budget.workbook.engine import Model, number

# The cell in which the fit of each figure begins.
FIT_START = {
    "aquifer_floor": "aquifer_floor_start",
    "aquifer_specific_yield": "soil_specific_yield",
    "aquifer_drainage_time": "soil_drainage_time",
}


def fit(book: Book, site: Site) -> None:
    """Fit the water table, with the evaluated book as the model, and put what was found into its input cells.

    Floor, specific yield and drainage time make the misfits of the Well sheet small by least squares: those of the dips
    where there are any, else those of the summer and winter depth, and the distance from the soil's figures. What the
    site file gives is held.
    """
    from scipy.optimize import least_squares

    starts = [FIT_START[given.name] for given in water_table.FITTED]
    model = Model(book, [*water_table.MISFITS, ("dip_workings", "misfit"), "fit_error", *starts])
    model.evaluate()
    free = [given for given in water_table.FITTED if given.name not in site.given]

    def misfit(values: Iterable[float]) -> list[float]:
        for given, value in zip(free, values, strict=True):
            model.set(given.name, _unscaled(given, value))
        model.evaluate()
        single = [model.number(name) for name in water_table.MISFITS]
        return [*single, *(number(value) for value in model.column("dip_workings", "misfit"))]

    if site.values["well_depth"] is None:  # no well: the soil's figures stand, and nothing reads them
        for given in free:
            model.keep(given.name, model.number(FIT_START[given.name]))
        return
    if free:
        start, low, high = zip(*(_fit_parameter(book, model, given) for given in free), strict=True)
        solution = least_squares(misfit, start, bounds=(low, high), diff_step=1e-3, xtol=1e-4, ftol=1e-4)
        misfit(solution.x)
        for given, value in zip(free, solution.x, strict=True):
            model.keep(given.name, _unscaled(given, value))
    model.keep("fit_error_at_build", model.number("fit_error"))


def _fit_parameter(book: Book, model: Model, given: Input) -> tuple[float, float, float]:
    """Start, lower and upper bound of a fitted figure, scaled."""
    low, high = (to_book(text or "", given.unit, book.system) for text in (given.low, given.high))
    if given.name == "aquifer_floor":
        low = max(low, model.number("well_winter_depth"))
    start = min(max(model.number(FIT_START[given.name]), low), high)
    return _scaled(given, start), _scaled(given, low), _scaled(given, high)


def _scaled(given: Input, value: float) -> float:
    """Specific yield and drainage time are fitted as logarithms, the floor as it is."""
    return value if given.unit is Unit.LENGTH else math.log(value)


def _unscaled(given: Input, value: float) -> float:
    return float(value) if given.unit is Unit.LENGTH else math.exp(value)
