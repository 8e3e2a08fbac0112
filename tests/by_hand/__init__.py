"""The model worked by hand: plain numpy, metric, written from the equations and their sources.

The workbook's formulas are the model; this package is the second opinion that the tests compare them with. It knows
neither formulas nor sheets. `compute` steps the whole site by months, and what runs within a month by its halves;
`daily` steps the same equations by days, `months_and_days` sets both side by side, and `smallest_tank` finds by trial
the tank that a year would have needed. Units throughout: L, mm, m, m², °C, L/min, days; shares are fractions of 1.
"""

from .ledger import compute
from .site import Site

__all__ = ["Site", "compute"]
