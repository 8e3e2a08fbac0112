"""The whole book, computed; and what only the computed book can tell of its own inputs."""

from __future__ import annotations

from budget.site_file.site import Site
from budget.workbook.book import Book
from budget.workbook.engine import Model, number


def evaluate(book: Book, site: Site) -> Model:
    """Compute the whole book.

    The plan year of a tank that serves all year begins in the month of the largest mean daily yield, and its number is
    that which lies nearest to 'as of'; only the evaluated book can tell them. Where the site file does not give them,
    they are read and put in, and the book is computed again. So is the rain of those months of the plan year that the
    record already holds.
    """
    model = Model(book)
    model.evaluate()
    if "tank_wettest_month" not in site.given:
        model.keep("tank_wettest_month", _wettest_month(model))
        model.evaluate()
    if "plan_number" not in site.given:
        nearest = model.number("plan_number_nearest")
        if nearest != model.number("plan_number"):
            model.keep("plan_number", nearest)
            model.evaluate()
    if "rain_so_far" not in site.given and _put_recorded_rain(book, model):
        model.evaluate()
    return model


def _put_recorded_rain(book: Book, model: Model) -> bool:
    """Put the rain of the plan year's months that the record holds into the cells of this year's rain."""
    cells, begins = book.cells("so_far", "rain_so_far"), model.number("plan_begins")
    recorded = [model.column("ledger", key) for key in ("record_day", "month", "filled", "rain")]
    months = [
        (int(number(month)) - 1, number(rain))
        for day, month, filled, rain in zip(*recorded, strict=True)
        if number(day) >= begins and not filled
    ]
    for month, rain in months:
        model.keep_cell(cells[month], rain)
    return bool(months)


def _wettest_month(model: Model) -> int:
    """The calendar month of the largest mean daily yield, 1 to 12."""
    yields = [number(value) for value in model.column("storage_months", "mean_daily_yield")]
    return yields.index(max(yields)) + 1
