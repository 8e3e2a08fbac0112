"""Suction, and what a pump that outruns its well can take in a day."""

import numpy as np

from .site import Columns, Site

WATER_WEIGHT = 1000 * 9.80665  # [N/m³], standard gravity
MINUTES = 60


def atmospheric_head(elevation: float) -> float:
    """Height of water [m] that the air holds up at an elevation [m]: US Standard Atmosphere 1976, troposphere."""
    return 101325 / WATER_WEIGHT * (1 - 0.0065 * elevation / 288.15) ** 5.2559


def suction(site: Site) -> dict[str, float]:
    """Atmospheric head, practical suction lift and allowed pumping depth [m from the ground].

    A submersible lifts nothing by suction: only its intake bounds it.
    """
    head = atmospheric_head(site.number("site_elevation"))
    limit = max(0.0, head - site.number("pump_vapour_head") - site.number("pump_suction_allowance"))
    allowed = min(site.number("pump_intake"), site.number("well_depth")) - site.number("pump_submergence")
    if site.word("pump_kind") == "suction":
        allowed = min(allowed, limit - site.number("pump_height"))
    if site.inputs.get("well_depth") is None:
        allowed = 0.0
    return {"atmospheric_head": head, "suction_limit": limit, "allowed_pumping_depth": allowed}


def priming(site: Site) -> dict[str, float]:
    """Length of the suction line [m] and the clean water [L] that fills it and the pump's body once.

    A submersible needs none. Where the length is not typed: from the intake up to the pump.
    """
    straight = max(0.0, site.number("pump_intake") + site.number("pump_height"))
    length = site.number("pump_line_length", straight)
    in_line = np.pi / 4 * (site.number("pump_line_bore") / 1000) ** 2 * length * 1000
    volume = in_line + site.number("pump_body_volume")
    return {"line_length": length, "priming_volume": volume if site.word("pump_kind") == "suction" else 0.0}


def rested(storage: float, inflow: np.ndarray, drawdown: np.ndarray, rate: float, unit: float = 1.0) -> Columns:
    """How long one run from the rest level lasts [min] and what it gives [L]: A ds/dt = Q - C s from 0 to a.

    `inflow` is that of the rested well [L/min per m]. It runs down where Q > C a, compared to nine digits of the
    book's volume `unit` [L] a minute. Zeros where it does not.
    """
    out = {name: np.zeros(len(inflow)) for name in ("runs_dry", "rested_minutes", "rested_take")}
    for t, (enters, at_hand) in enumerate(zip(inflow, drawdown, strict=True)):
        if round((rate - float(enters * at_hand)) / unit, 9) <= 0:
            continue
        minutes = run_minutes(storage, enters, rate, 0.0, at_hand) if enters > 0 else storage * at_hand / rate
        out["runs_dry"][t], out["rested_minutes"][t], out["rested_take"][t] = 1, minutes, rate * minutes
    return out


def daily_yield(site: Site, cycle_yield: np.ndarray, month: np.ndarray) -> np.ndarray:
    """Well yield a day [L/day]: the take measured and typed for the calendar month, else what runs and rests give.

    Without a well nothing that is typed counts.
    """
    if site.inputs.get("well_depth") is None:
        return cycle_yield.astype(float)
    typed = [site.safe_take[int(m) - 1] for m in month]
    return np.array([y if t is None else float(t) for y, t in zip(cycle_yield, typed, strict=True)])


def run_minutes(storage: float, inflow: float, rate: float, start: float, stop: float) -> float:
    """Minutes in which the drawdown grows from `start` to `stop` [m]: A ds/dt = Q - C s, solved.

    Storage A [L/m], inflow C [L/min per m], rate Q [L/min], with Q > C × stop.
    """
    return storage / inflow * float(np.log((rate - inflow * start) / (rate - inflow * stop)))


def rest_minutes(storage: float, inflow: float, restart: float) -> float:
    """Minutes in which the drawdown falls to the share `restart` of itself: A ds/dt = -C s, solved."""
    return storage / inflow * float(np.log(1 / restart))


def pump(
    storage: float,
    inflow: np.ndarray,
    drawdown: np.ndarray,
    rate: float,
    restart: float,
    window_hours: float,
    most_runs: float,
) -> Columns:
    """Runs, rests and safe yield a day [L/day] for each inflow C' [L/min per m] and drawdown at hand a [m].

    Where Q > C' a > 0 the pump cycles between restart × a and a; the runs of a day fit the 24 hours, the window (which
    begins and ends with a run) and the motor; the take never exceeds rate × window. Else it runs the whole window.
    """
    window = window_hours * MINUTES
    names = ("draws_down", "run_minutes", "rest_minutes", "run_take", "runs_a_day", "cycle_yield")
    out = {name: np.zeros(len(inflow)) for name in names}
    for t, (enters, at_hand) in enumerate(zip(inflow, drawdown, strict=True)):
        if enters <= 0 or at_hand <= 0:
            continue
        if rate <= enters * at_hand:
            out["cycle_yield"][t] = rate * window
            continue
        run = run_minutes(storage, enters, rate, restart * at_hand, at_hand)
        rest = rest_minutes(storage, enters, restart)
        runs = min(24 * MINUTES / (run + rest), (window + rest) / (run + rest), most_runs)
        row = (1.0, run, rest, rate * run, runs, min(runs * rate * run, rate * window))
        for name, value in zip(names, row, strict=True):
            out[name][t] = value
    return out
