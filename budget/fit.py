"""The fit of the water table to what was measured, with the evaluated book as the model.

The sum of squares has more than one valley: where the highest water cuts the wettest months off, no depth tells the
specific yield any more, and the least squares stay where they began. So they begin at several specific yields, and
the least sum is kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import takewhile

import numpy as np

from budget.declarations import Input
from budget.site_file.site import Site
from budget.units import Unit, to_book
from budget.water import water_table
from budget.workbook.book import Book
from budget.workbook.engine import Model, number

Figures = Sequence[float] | np.ndarray

# The cell in which the fit of each figure begins.
FIT_START = {
    "aquifer_floor": "aquifer_floor_start",
    "aquifer_specific_yield": "soil_specific_yield",
    "aquifer_drainage_time": "soil_drainage_time",
}
# Specific yields to begin with, times that of the soil; then each twice the one before, until no month stands at the
# highest water.
YIELDS = (1.0, 2.0, 6.0)
MOST_DOUBLINGS = 6
# Half the sum of squares below which one start is enough: two misfits of one unit, as the soil's figures allow for.
GOOD = 1.0


@dataclass
class WaterTable:
    """The misfits of the Well sheet as a function of the figures that are free, scaled, between their bounds."""

    book: Book
    model: Model
    free: list[Input]
    low: list[float] = field(init=False)
    high: list[float] = field(init=False)
    _known: dict[tuple[float, ...], tuple[np.ndarray, np.ndarray]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        limits = [self._limits(given) for given in self.free]
        self.low, self.high = [low for low, _ in limits], [high for _, high in limits]

    def _limits(self, given: Input) -> tuple[float, float]:
        low, high = (to_book(text or "", given.unit, self.book.system) for text in (given.low, given.high))
        if given.name == "aquifer_floor":
            low = max(low, self.model.number("well_winter_depth"))
        return _scaled(given, low), _scaled(given, high)

    def start(self, times: float) -> list[float]:
        """Where the fit begins with so many times the soil's specific yield."""
        begun = []
        for given, low, high in zip(self.free, self.low, self.high, strict=True):
            value = self.model.number(FIT_START[given.name])
            value *= times if given.name == "aquifer_specific_yield" else 1
            begun.append(min(max(_scaled(given, value), low), high))
        return begun

    def put(self, values: Figures) -> None:
        """Compute the water table with these figures."""
        for given, value in zip(self.free, values, strict=True):
            self.model.set(given.name, _unscaled(given, value))
        self.model.evaluate()

    def misfits(self, values: Figures) -> np.ndarray:
        """All misfits, those of the dips last, a number for every row of their table [units of their spread]."""
        return self._told(values)[0]

    def dip_errors(self, values: Figures) -> np.ndarray:
        """Model less measured of every row of the dips [the book's lengths]."""
        return self._told(values)[1]

    def _told(self, values: Figures) -> tuple[np.ndarray, np.ndarray]:
        figures = tuple(map(float, values))
        if figures not in self._known:
            self.put(figures)
            single = [self.model.number(name) for name in water_table.MISFITS]
            misfit, error = (
                [number(value) for value in self.model.column("dip_workings", key)] for key in ("misfit", "dip_error")
            )
            self._known[figures] = np.array([*single, *misfit]), np.array(error)
        return self._known[figures]

    def cost(self, values: Figures) -> float:
        """Half the sum of the squares."""
        return float(np.square(self.misfits(values)).sum()) / 2

    def cut_off(self, values: Figures) -> bool:
        """Whether a month ends at the highest water."""
        self.put(values)
        highest = self.model.number("highest_height")
        return max(number(value) for value in self.model.column("ledger", "water_height")) >= highest

    def nearest_valley(self, start: Figures, step: float = 1e-3, left_out: int | None = None) -> np.ndarray:
        """The figures of the least squares that are reached from a start; `left_out`: the misfit that is not minded."""
        from scipy.optimize import least_squares

        def minded(values: np.ndarray) -> np.ndarray:
            misfits = self.misfits(values)
            return misfits if left_out is None else np.delete(misfits, left_out)

        bounds = (self.low, self.high)
        solution = least_squares(minded, start, bounds=bounds, diff_step=step, xtol=1e-4, ftol=1e-4)
        return np.asarray(solution.x, dtype=float)


def fit(book: Book, site: Site) -> None:
    """Fit the water table, with the evaluated book as the model, and put what was found into its input cells.

    Floor, specific yield and drainage time make the misfits of the Well sheet small by least squares: those of the dips
    where there are any, else those of the summer and winter depth, and the distance from the soil's figures. What the
    site file gives is held.
    """
    starts = [FIT_START[given.name] for given in water_table.FITTED]
    model = Model(book, [*water_table.MISFITS, ("dip_workings", "misfit"), "fit_error", *starts])
    model.evaluate()
    free = [given for given in water_table.FITTED if given.name not in site.given]
    if site.values["well_depth"] is None:  # no well: the soil's figures stand, and nothing reads them
        for given in free:
            model.keep(given.name, model.number(FIT_START[given.name]))
        return
    model.hold_all_but(given.name for given in free)
    table = WaterTable(book, model, free)
    found = least(table) if free else np.array([])
    table.put(found)
    for given, value in zip(free, found, strict=True):
        model.keep(given.name, _unscaled(given, value))
    model.keep("fit_error_at_build", model.number("fit_error"))
    model.keep("fit_error_left_out", error_left_out(table, found))


def least(table: WaterTable) -> np.ndarray:
    """The figures of the least sum of squares that was found from all starts."""
    best = table.nearest_valley(table.start(YIELDS[0]))
    if table.cost(best) <= GOOD:  # a corner may be that good, too, where a month is cut off
        another = [table.nearest_valley(table.start(YIELDS[-1]))] if table.cut_off(best) else []
        return min((best, *another), key=table.cost)
    further = [table.nearest_valley(start) for start in further_starts(table)]
    best = min((best, *further), key=table.cost)
    return settled(table, best)


def further_starts(table: WaterTable) -> list[list[float]]:
    """The starts after the first, up to a specific yield at which no month stands at the highest water."""
    starts = [table.start(times) for times in YIELDS]
    doubled = [table.start(YIELDS[-1] * 2**n) for n in range(1, MOST_DOUBLINGS + 1)]
    if table.cut_off(starts[-1]):
        still = list(takewhile(table.cut_off, doubled))
        starts.append(doubled[min(len(still), MOST_DOUBLINGS - 1)])
    return [start for n, start in enumerate(starts) if start not in starts[:n]][1:]


def settled(table: WaterTable, found: np.ndarray) -> np.ndarray:
    """The floor of the valley: medians, and months that touch the highest water, leave edges where slopes mislead.

    Least squares with a longer step for the slopes, then a simplex, which needs none (Nelder and Mead 1965; recalled).
    """
    from scipy.optimize import minimize

    best = min((found, table.nearest_valley(found, step=1e-2)), key=table.cost)
    bounds = list(zip(table.low, table.high, strict=True))
    corners = [best, *(_aside(best, n, bounds[n][1]) for n in range(len(best)))]
    options = {"maxfev": 120, "initial_simplex": corners, "fatol": 1e-3 * table.cost(best), "xatol": 1e-3}
    solution = minimize(table.cost, best, method="Nelder-Mead", bounds=bounds, options=options)
    return min((best, np.asarray(solution.x, dtype=float)), key=table.cost)


def error_left_out(table: WaterTable, found: np.ndarray) -> float:
    """Root of the mean square by which the dips are missed when each is left out in turn and the rest is fitted anew.

    [the book's lengths]; 0 where dips do not rule the fit. The fits begin at what was found from all dips.
    """
    if not table.model.number("dips_rule"):
        return 0.0
    counted = [row for row, counts in enumerate(table.model.column("dip_workings", "counts")) if counts]
    missed = []
    for row in counted:
        left_out = len(water_table.MISFITS) + row
        figures = table.nearest_valley(found, left_out=left_out) if table.free else found
        missed.append(float(table.dip_errors(figures)[row]))
    return math.sqrt(sum(error**2 for error in missed) / len(missed))


def _aside(values: np.ndarray, figure: int, high: float, step: float = 0.2) -> np.ndarray:
    """The same with one figure moved by a step, away from a bound that is near."""
    moved = values.copy()
    moved[figure] += step if values[figure] + step <= high else -step
    return moved


def _scaled(given: Input, value: float) -> float:
    """Specific yield and drainage time are fitted as logarithms, the floor as it is."""
    return value if given.unit is Unit.LENGTH else math.log(value)


def _unscaled(given: Input, value: float) -> float:
    return float(value) if given.unit is Unit.LENGTH else math.exp(value)
