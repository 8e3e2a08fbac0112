"""The months of the record: dates, plan years, rain at the place, means of the calendar months."""

from calendar import monthrange
from datetime import date

import numpy as np

from .site import Columns, Site

SERIAL_ZERO = date(1899, 12, 30).toordinal()


def serial(day: date) -> int:
    """Spreadsheet serial number of a day (1899-12-30 = 0)."""
    return day.toordinal() - SERIAL_ZERO


def day_of_serial(number: float) -> date:
    """The day that a serial number falls in."""
    return date.fromordinal(int(np.floor(number)) + SERIAL_ZERO)


def by_calendar_month(values: np.ndarray, months: np.ndarray, in_record: np.ndarray, measure=np.mean) -> np.ndarray:
    """A measure (mean, median ...) of each calendar month over the record months, shape (12,)."""
    return np.array([measure(values[(months == m) & (in_record == 1)]) for m in range(1, 13)])


def rain_scale(site: Site) -> tuple[float, float]:
    """Mean year's rain in the record [mm] and the factor that turns the record into rain at the place."""
    record = site.record
    recorded = float(by_calendar_month(record["rain_recorded"], record["month"], record["in_record"]).sum())
    local = site.inputs.get("rain_local_annual")
    return recorded, 1.0 if local is None else float(local) / recorded


def stations(site: Site) -> Columns:
    """How much higher than the place each weather station stands [m], '' where its height is not known."""
    place = site.number("site_elevation")
    above = ["" if height is None else height - place for height in site.station_heights]
    return {"station_above": np.array(above, dtype=object)}


def calendar(record: Columns, first_month: int, scale: float) -> Columns:
    """Dates and plan years of the rows; rain [mm] at the place; mean temperature [°C], FAO-56 eq. 9."""
    year, month, in_record = record["year"], record["month"], record["in_record"]
    begins = np.where(month >= first_month, year, year - 1)
    first_day = np.array([serial(date(int(y), int(m), 1)) for y, m in zip(year, month, strict=True)], dtype=float)
    return {
        "first_day": first_day,
        "record_day": np.where(in_record == 1, first_day, 0.0),
        "record_month": np.where(in_record == 1, month, 0).astype(float),
        "position": ((month - first_month) % 12 + 1).astype(float),
        "plan_year": np.where(in_record == 1, begins, 0).astype(float),
        "tmean": (record["tmax"] + record["tmin"]) / 2,
        "rain": record["rain_recorded"] * scale,
    }


def last_of_month(first_day: float) -> int:
    """Serial number of the last day of the month that begins with `first_day`."""
    day = day_of_serial(first_day)
    return int(first_day) + monthrange(day.year, day.month)[1] - 1
