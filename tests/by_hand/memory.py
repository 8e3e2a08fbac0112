"""Dry spells remembered: the record's years run again without a tank, and judged against what a family remembers.

Tried at sustained shares of the inflow from 0.2 to 1.0 in steps of 0.1, and at the share in use. The scores are the
project's own rule (common practice, no source).
"""

import numpy as np

from .climate import day_of_serial
from .dips import record_row
from .plan_months import used_up
from .pump import daily_yield, pump, rest_minutes
from .site import Columns, Site
from .years_of_record import whole_loads

TRIED = [tenths / 10 for tenths in range(2, 11)]
WORST = 4.0  # of each part of a score
DATE_UNIT, GARDEN_UNIT, LOADS_UNIT = 30.0, 0.2, 0.5  # [days], share, ln(1 + loads)
SHORT_DIGITS, SCORE_DIGITS = 6, 9
LINE_KEYS = ("month", "days", "first_day", "rested_inflow", "available_drawdown", "house_need", "garden_need")
LINE_KEYS += ("garden_from_pond",)


TYPED = ("year", "dry_on", "loads", "garden")


def empty_or(lines: list[dict], key: str) -> np.ndarray:
    """What is typed in a column of the list, '' where nothing is."""
    return np.array(["" if line[key] is None else line[key] for line in lines], dtype=object)


def spells(site: Site, ledger: Columns) -> Columns:
    """Of each line: its rows in the ledger and its plan year, whether it counts, and what is wrong with it.

    The plan year is that of the date's month where a date in the record is typed, else the year typed.
    """
    lines = site.lists["remembered"]
    plan_years = ledger["plan_year"][ledger["in_record"] == 1]
    names = ("dry_row", "spell_year", "spell_row", "counts")
    out = {name: np.zeros(len(lines)) for name in names}
    for i, line in enumerate(lines):
        row = record_row(ledger, line["dry_on"]) if line["dry_on"] is not None else 0
        year = ledger["plan_year"][row - 1] if row else line["year"] or 0.0
        out["dry_row"][i], out["spell_year"][i] = row, year
        if year and (plan_years == year).sum() == 12:
            out["spell_row"][i] = np.flatnonzero((ledger["plan_year"] == year) & (ledger["in_record"] == 1))[0] + 1
    out["fault"] = np.array([fault(i, lines, out) for i in range(len(lines))], dtype=object)
    out["counts"] = ((out["spell_row"] > 0) & (out["fault"] == "")).astype(float)
    out["spell"] = np.arange(1.0, len(lines) + 1)
    for name, key in (("garden_asked", "garden_need"), ("pond_gave", "garden_from_pond")):
        of_year = [ledger[key][int(row) - 1 : int(row) + 11].sum() for row in out["spell_row"]]
        out[name] = np.where(out["counts"] == 1, of_year, 0.0)
    return out


def fault(i: int, lines: list[dict], found: Columns) -> str:
    """Why a line cannot count, '' where it can or is spare."""
    line, spell_year = lines[i], found["spell_year"][i]
    year, day = line["year"], line["dry_on"]
    if year is None and day is None:
        return "" if line["loads"] is None and line["garden"] is None else "neither a year nor a date"
    if day is not None and not found["dry_row"][i]:
        return "the date is outside the record"
    if not found["spell_row"][i]:
        return "the record does not hold this plan year"
    wrong = []
    if year is not None and day is not None and year not in (spell_year, day_of_serial(day).year):
        wrong.append("the date is not in this year")
    if (found["spell_year"] == spell_year).sum() > 1:
        wrong.append("this year is there twice")
    if day is None and (line["loads"] or 0.0) > 0:
        wrong.append("loads without a date")
    return wrong[0] if wrong else ""


def lived_again(ledger: Columns, found: Columns) -> Columns:
    """The months of all lines one after another, read from the ledger; a line that does not count reads its row 1."""
    count = len(found["spell"])
    row = np.ones((count, 12), dtype=int)
    for i in np.flatnonzero(found["counts"] == 1):
        row[i] = found["spell_row"][i] + np.arange(12)
    flat = row.ravel()
    out = {key: np.asarray(ledger[key][flat - 1], dtype=float) for key in LINE_KEYS}
    out["spell"], out["spell_month"] = np.repeat(found["spell"], 12), np.tile(np.arange(1.0, 13.0), count)
    out["ledger_row"] = flat.astype(float)
    out["garden_left"] = out["garden_need"] - out["garden_from_pond"]
    return out


def run_without_tank(site: Site, months: Columns, storage: float, share: float) -> Columns:
    """Those months at a sustained share: the well serves the house first, then the garden's need that the
    pond leaves [L]."""
    rows = {"season_inflow": share * months["rested_inflow"]}
    rows |= pump(
        storage,
        rows["season_inflow"],
        months["available_drawdown"],
        site.number("pump_rate"),
        site.number("pump_restart"),
        site.number("pump_window"),
        site.number("pump_most_runs"),
    )
    rows["daily_yield"] = daily_yield(site, rows["cycle_yield"], months["month"])
    rows["well_yield"] = rows["daily_yield"] * months["days"]
    rows["house_from_well"] = np.minimum(months["house_need"], rows["well_yield"])
    rows["well_left"] = rows["well_yield"] - rows["house_from_well"]
    rows["garden_from_well"] = np.minimum(months["garden_left"], rows["well_left"])
    lacks = rows["house_left"] = months["house_need"] - rows["house_from_well"]
    rows["dry_from"] = dry_from(lacks, months, site.volume_unit)
    rows["first_dry"] = np.zeros(len(lacks))
    for begins in range(0, len(lacks), 12):
        dry = 0.0
        for t in range(begins, begins + 12):
            dry = dry or rows["dry_from"][t]
            rows["first_dry"][t] = dry
    for key, values in (
        ("lacking", lacks),
        ("garden_got", months["garden_from_pond"] + rows["garden_from_well"]),
        ("garden_asked", months["garden_need"]),
    ):
        rows[key] = np.cumsum(values.reshape(-1, 12), axis=1).ravel()
    return rows


def share_free(site: Site, months: Columns, storage: float) -> Columns:
    """What the pump's day needs and no share changes: minutes of rest of a rested well, and the take of the whole
    window [L/day] where there is any water to take."""
    inflow, at_hand = months["rested_inflow"], months["available_drawdown"]
    restart, whole = site.number("pump_restart"), site.number("pump_rate") * site.number("pump_window") * 60
    return {
        "rest_of_rested": np.array([rest_minutes(storage, c, restart) if c > 0 else 0.0 for c in inflow]),
        "window_take": np.where((inflow > 0) & (at_hand > 0), whole, 0.0),
    }


def shown_of_trials(trials: list[Columns], months: Columns) -> Columns:
    """What the book holds of each trial, share by share: -1 for the minutes of a run that never ends, yield less
    need of the house [L], what the garden takes [L], and the day on which a month runs dry, '' where it does not."""
    shown: dict[str, list[np.ndarray]] = {key: [] for key in ("run_kept", "spared", "garden_takes", "dry_from")}
    for trial in trials:
        shown["run_kept"].append(np.where(trial["draws_down"] == 1, trial["run_minutes"], -1.0))
        shown["spared"].append(trial["well_yield"] - months["house_need"])
        shown["garden_takes"].append(trial["garden_from_well"])
        shown["dry_from"].append(np.where(trial["dry_from"] > 0, trial["dry_from"].astype(object), ""))
    return {key: np.array(values, dtype=object) for key, values in shown.items()}


def dry_from(lacks: np.ndarray, months: Columns, unit: float) -> np.ndarray:
    """Day (serial number) in each month that lacks water [L] on which the house runs out, 0 in the others.

    As in a plan year, where it is the first day in service and as many more as the tank's water lasts; here there was
    no tank, and the house asks for water on every day of the month.
    """
    out = np.zeros(len(lacks))
    for t, lack in enumerate(lacks):
        if round(float(lack) / unit, SHORT_DIGITS) > 0:
            out[t] = used_up(months["first_day"][t], months["days"][t], 0.0, lack)
    return out


def part(error: float, unit: float) -> float:
    """Square of an error in its unit, at most the worst."""
    return min(WORST, (error / unit) ** 2)


def judge(line: dict, dry: float, loads: float, garden: float) -> tuple[float, float]:
    """Score of the date and score in all of a year by the model, against what is remembered of it."""
    if (dry > 0) != (line["dry_on"] is not None):
        of_date = WORST
    else:
        of_date = part(dry - line["dry_on"], DATE_UNIT) if dry > 0 else 0.0
    score = of_date
    if line["garden"] is not None:
        score += part(garden - line["garden"], GARDEN_UNIT)
    if line["loads"] is not None:
        score += part(np.log1p(loads) - np.log1p(line["loads"]), LOADS_UNIT)
    return of_date, score


def memory(site: Site, ledger: Columns, storage: float) -> tuple[dict[str, Columns], dict[str, float]]:
    """Every table of the dry spells remembered, and what they say of the share of the inflow kept.

    `storage` is the water in the bore [L per m].
    """
    found = spells(site, ledger)
    months = lived_again(ledger, found)
    shares = [*TRIED, site.number("well_sustained_share")]
    trials = [run_without_tank(site, months, storage, share) for share in shares]
    names = ("modelled_dry", "modelled_loads", "modelled_garden", "date_score", "score", "agrees")
    scores = {name: np.zeros((len(shares), len(found["spell"]))) for name in names}
    for i in np.flatnonzero(found["counts"] == 1):
        for s, trial in enumerate(trials):
            end = {
                key: float(trial[key][12 * i + 11]) for key in ("first_dry", "lacking", "garden_got", "garden_asked")
            }
            loads = whole_loads(end["lacking"], site.number("hauling_load"))
            garden = end["garden_got"] / end["garden_asked"] if end["garden_asked"] > 0 else 1.0
            of_date, score = judge(site.lists["remembered"][i], end["first_dry"], loads, garden)
            row = (end["first_dry"], loads, garden, of_date, score, float(of_date <= 1))
            for name, value in zip(names, row, strict=True):
                scores[name][s, i] = value
    counted = int(found["counts"].sum())
    totals = {
        "total_score": scores["score"].sum(axis=1).reshape(-1, 1),
        "total_agrees": scores["agrees"].sum(axis=1).reshape(-1, 1),
    }
    shown, worked, results = best(shares, totals, counted)
    months |= share_free(site, months, storage)
    tables = {
        "spell_workings": {key: empty_or(site.lists["remembered"], key) for key in TYPED} | found,
        "spell_months": months,
        "memory_trials": shown_of_trials(trials, months),
        "memory_scores": scores,
        "share_totals": totals,
        "shares": shown,
        "share_workings": worked,
    }
    return tables, results


def best(shares: list[float], totals: Columns, counted: int) -> tuple[Columns, Columns, dict[str, float]]:
    """The table of shares, its workings, and those of lowest score among the shares tried; ties to nine digits."""
    score = totals["total_score"][:, 0]
    keys = np.array([round(float(value), SCORE_DIGITS) for value in score])
    lowest = keys[: len(TRIED)].min()
    fits = (keys <= lowest) & (np.arange(len(shares)) < len(TRIED)) & (counted > 0)
    tried_score = score.astype(object)
    tried_score[len(TRIED) :] = ""
    best_share = np.where(fits, shares, 0.0)
    tied = [share for share, is_best in zip(TRIED, fits, strict=False) if is_best]
    work = {
        "share_number": np.arange(1.0, len(shares) + 1),
        "tried": np.array([*TRIED, 0.0]),
        "tried_score": tried_score,
        "best_share": best_share,
    }
    table = {
        "share": np.array(shares),
        "share_score": score,
        "years_agree": totals["total_agrees"][:, 0],
        "fits_best": fits.astype(float),
    }
    results = {
        "spells_counted": float(counted),
        "best_score": float(score[: len(TRIED)].min()),
        "best_share_low": min(tied) if counted else 0.0,
        "best_share_high": max(tied) if counted else 0.0,
        "years_agreed": float(totals["total_agrees"][-1, 0]),
    }
    return table, work, results
