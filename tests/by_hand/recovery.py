"""The recovery test: the water that rises after the pump stopped, read by tape and watch.

Drawdown dies away exponentially, s = s0 e^(-C t / A) (A ds/dt = -C s; Hvorslev 1951): its logarithm falls along a
straight line, whose slope times the bore's storage is the inflow per unit of drawdown.
"""

import numpy as np

from .site import Columns, Site
from .well import rest_depth

DIGITS = 9


def least_squares(x: np.ndarray, y: np.ndarray) -> tuple[float, float, float]:
    """Slope, intercept and r² of the straight line through points.

    Zeros for the line where fewer than two points or one x alone leave none; r² is 0 for fewer than three points.
    """
    if len(x) < 2 or np.ptp(x) == 0:
        return 0.0, 0.0, 0.0
    dx, dy = x - x.mean(), y - y.mean()
    slope = float((dx @ dy) / (dx @ dx))
    spread = float(dy @ dy)
    fit = float((dx @ dy) ** 2 / ((dx @ dx) * spread)) if len(x) > 2 and spread > 0 else 0.0
    return slope, float(y.mean() - slope * x.mean()), fit


def recovery(site: Site, storage: float) -> tuple[Columns, Columns, dict[str, float | str]]:
    """The readings' table, its workings and the line; `storage` is the water in the bore [L per m].

    A reading counts where the pump is off and at least the recovered share of the largest drawdown is left (common
    practice, no source).
    """
    lines, rest, unit = site.lists["recovery"], rest_depth(site), site.length_unit
    both = np.array([line["minutes"] is not None and line["depth"] is not None for line in lines])
    both &= np.array([fault(line, site.number("well_depth")) == "" for line in lines])
    minutes = np.array([line["minutes"] or 0.0 for line in lines])
    depth = np.array([line["depth"] or 0.0 for line in lines])
    drawdown = np.where(both, depth - rest, 0.0)
    after_stop = np.where(minutes >= 0, drawdown, 0.0)
    largest = float(after_stop.max())
    least = round(site.number("well_recovered_share") * largest / unit, DIGITS)
    enough = np.array([round(float(s) / unit, DIGITS) >= least for s in after_stop])
    counts = (after_stop > 0) & enough
    log_left = np.log(after_stop[counts] / largest)
    slope, intercept, fit = least_squares(minutes[counts], log_left)

    line_minutes, last = np.zeros(len(lines)), 0.0
    for row in range(len(lines)):
        last = minutes[row] if counts[row] else last
        line_minutes[row] = last
    latest = minutes[counts].max() if counts.any() else -1.0
    falls = slope < 0
    spare = site.number("well_bore")  # drawn outside the chart, whose axis wants a length above 0
    on_line = largest * np.exp(intercept + slope * line_minutes) if falls else np.full(len(lines), spare)
    left = np.full(len(lines), "", dtype=object)
    at = left.copy()
    left[counts], at[counts] = log_left, minutes[counts]
    workings = {
        "drawdown": drawdown,
        "after_stop": after_stop,
        "counts": counts.astype(float),
        "counted_minutes": at,
        "log_left": left,
        "drawn_minutes": np.where(counts, minutes, -1.0),
        "left_out_minutes": np.where((after_stop > 0) & ~counts & (minutes <= latest), minutes, -1.0),
        "drawn_drawdown": np.where(after_stop > 0, after_stop, spare),
        "line_minutes": line_minutes,
        "line_drawdown": on_line,
    }
    results: dict[str, float | str] = {
        "rest_depth": rest,
        "recovery_drawdown": largest,
        "recovery_points": float(counts.sum()),
        "recovery_slope": slope,
        "recovery_intercept": intercept,
        "recovery_fit": fit,
        "recovery_lag": -1 / slope if falls else 0.0,
        "recovery_inflow": -slope * storage if falls else 0.0,
        "recovery_fault": what_is_wrong(lines, int(counts.sum()), slope),
    }
    becomes = [said(*row) for row in zip(both, counts, minutes, drawdown, strict=True)]
    workings["left_out"] = np.array(["" if word == "counts" else word for word in becomes], dtype=object)
    words = {
        "said": np.array(becomes, dtype=object),
        "fault": np.array([fault(line, site.number("well_depth")) for line in lines], dtype=object),
    }
    return words, workings, results


def said(both: bool, counts: bool, minutes: float, drawdown: float) -> str:
    """What becomes of a reading, in words."""
    if not both:
        return ""
    if counts:
        return "counts"
    if minutes < 0:
        return "left out: the pump ran"
    return "left out: at rest or above" if drawdown <= 0 else "left out: nearly back"


def fault(line: dict, well_depth: float) -> str:
    """Why a reading cannot be right, '' where it can."""
    if (line["minutes"] is None) != (line["depth"] is None):
        return "minutes and depth go together"
    return "deeper than the well" if (line["depth"] or 0.0) > well_depth else ""


def what_is_wrong(lines: list[dict], counted: int, slope: float) -> str:
    """Why the test gives no inflow, '' where there is no test or a sound one."""
    if all(line["depth"] is None for line in lines):
        return ""
    if counted < 2:
        return "fewer than two readings of the recovery count"
    return "the water falls, or stands, instead of rising" if round(slope, DIGITS) >= 0 else ""
