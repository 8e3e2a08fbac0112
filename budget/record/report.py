"""What a record holds, to be seen before a book rests on it: as text, as data, as a clean file."""

from __future__ import annotations

import csv
import io
from calendar import month_name
from datetime import date

import pandas as pd

from budget.record.fetched import Fetched, credit_lines, told_station
from budget.record.frost_dates import FrostRow, FrostTable, told
from budget.record.intake import Record, told_remark
from budget.units import System, Unit, convert

FEW_YEARS = 5  # driest and wettest years that are told
SHORT = [month_name[number][:3] for number in range(1, 13)]


def as_text(record: Record, system: System) -> list[str]:
    """The record in lines to read: files, period, coverage, what was left out, means, extreme years, frosts."""
    lines = [f"{read.path.name}: {read.layout}" for read in record.files]
    if record.fetched is not None:
        lines += [record.came, "", *_stations_told(record.fetched), "", *credit_lines(record.fetched)]
    lines += ["", *record.notes]
    if not record.months.empty:
        lines += ["", *_means_told(record, system), "", *_years_told(record, system)]
    if record.frosts is not None:
        lines += ["", *_frosts_told(record.frosts)]
    if record.remarks:
        lines += ["", "Looked at, value by value:", *(told_remark(r, record.days is None) for r in record.remarks)]
    return lines


def _stations_told(fetched: Fetched) -> list[str]:
    """A line for each station that was looked at."""
    years = range(fetched.first_year, fetched.last_year + 1)
    told = (told_station(entry, years) for entry in fetched.considered)
    return ["Weather stations, in the order in which they were looked at:", *told]


def _means_told(record: Record, system: System) -> list[str]:
    """A line for each calendar month."""
    rain, temperature = Unit.DEPTH.label(system), Unit.TEMPERATURE.label(system)
    lines = [f"month  rain ({rain})  high ({temperature})  low ({temperature})  months filled"]
    for row in monthly_means(record, system).to_dict("records"):
        name = SHORT[int(row["month"]) - 1]
        lines.append(f"{name:5}  {row['rain']:9.2f}  {row['tmax']:9.1f}  {row['tmin']:8.1f}  {int(row['filled']):13d}")
    return lines


def _years_told(record: Record, system: System) -> list[str]:
    """A line for each calendar year, then the driest and the wettest."""
    rain, years = Unit.DEPTH.label(system), yearly(record, system)
    lines = [f"year  rain ({rain})  days measured  from neighbours  missing  longest gap"]
    for row in years.itertuples():
        whole = "" if row.whole else "  not whole"
        lines.append(
            f"{row.year}  {row.rain:9.2f}  {row.measured:13d}  {row.filled:15d}  {row.missing:7d}  {row.gap:11d}{whole}"
        )
    ordered = years[years["whole"] == 1].sort_values("rain")
    for which, chosen in (("Driest", ordered.head(FEW_YEARS)), ("Wettest", ordered.tail(FEW_YEARS).iloc[::-1])):
        told = ", ".join(f"{row.year} ({row.rain:.1f} {rain})" for row in chosen.itertuples())
        lines.append(f"{which} years: {told or 'no whole year'}.")
    return lines


def _frosts_told(frosts: FrostTable) -> list[str]:
    """What endangers the pipes, in sentences; what endangers the tank, a line for each length of spell."""
    pipes = frosts.pipes
    lines = [row.words for row in frosts.nights]
    if pipes.free_from and pipes.free_until:
        until, since = told(pipes.free_until), told(pipes.free_from)
        lines.append(f"Pipes frost-safe by {until}; free of hard frost again from {since}.")
    lines += [
        "",
        "The tank: freezing spells, days in a row whose mean is at or below 0 °C / 32 °F, in all but one year of ten.",
        "days  fill from         drain by          came in",
    ]
    for row in frosts.spells:
        since, until = row.free_told
        lines.append(f"{row.spell_days:4d}  {since:16}  {until:16}  {row.frosty} of {row.seasons} seasons")
    return lines


def as_data(record: Record) -> dict[str, object]:
    """The same for a program, in millimetres and degrees Celsius."""
    formed = not record.months.empty
    means = _rows(monthly_means(record, "metric")) if formed else []
    years = _rows(yearly(record, "metric")) if formed else []
    return {
        "files": [{"path": str(read.path), "layout": read.layout, "remarks": read.remarks} for read in record.files],
        "came": record.came,
        "credit": [] if record.fetched is None else credit_lines(record.fetched),
        "stations": None if record.fetched is None else _stations_data(record.fetched),
        "first": record.first.isoformat(),
        "last": record.last.isoformat(),
        "notes": record.notes,
        "monthly_means": means,
        "years": years,
        "remarks": [
            {
                "first": remark.first.isoformat(),
                "last": remark.last.isoformat(),
                "figure": remark.figure,
                "value": remark.value,
                "why": remark.why,
                "kept": remark.kept,
            }
            for remark in record.remarks
        ],
        "shift": None if record.shift is None else vars(record.shift),
        "frosts": [] if record.frosts is None else [_frost(row) | {"words": row.words} for row in record.frosts.nights],
        "freezing_spells": [] if record.frosts is None else [_frost(row) for row in record.frosts.spells],
    }


def _stations_data(fetched: Fetched) -> list[dict[str, object]]:
    """The stations with what was found about them; days as text."""
    rows = [{**vars(entry.station), **vars(entry)} for entry in fetched.considered]
    rows = [{key: value for key, value in row.items() if key != "station"} for row in rows]
    return [{key: str(value) if isinstance(value, date) else value for key, value in row.items()} for row in rows]


def as_file(record: Record) -> str:
    """The clean record as a CSV that this tool reads: figures by day, or by month; blank where missing."""
    target = io.StringIO()
    for line in credit_lines(record.fetched) if record.fetched is not None else ():
        target.write(f"# {line}\n")
    writer = csv.writer(target, lineterminator="\n")
    writer.writerow(["date", "rain (mm)", "tmax (°C)", "tmin (°C)"])
    if record.days is not None:
        table = record.days
        for day, *figures in zip(table.index, *(table[key] for key in ("rain", "tmax", "tmin")), strict=True):
            writer.writerow([day.date().isoformat(), *(_short(figure) for figure in figures)])
    else:
        table = record.months
        for year, month, *figures in zip(
            *(table[key] for key in ("year", "month", "rain", "tmax", "tmin")), strict=True
        ):
            writer.writerow([f"{year}-{month:02d}", *(_short(figure) for figure in figures)])
    return target.getvalue()


def monthly_means(record: Record, system: System) -> pd.DataFrame:
    """`month`, means of `rain`, `tmax`, `tmin` in the units of `system`, and how many of its months were `filled`."""
    grouped = record.months.groupby("month")
    table = grouped[["rain", "tmax", "tmin"]].mean()
    for key, unit in (("rain", Unit.DEPTH), ("tmax", Unit.TEMPERATURE), ("tmin", Unit.TEMPERATURE)):
        table[key] = [convert(float(value), unit, "metric", system) for value in table[key]]
    table["filled"] = grouped["filled"].sum()
    return table.reset_index()


def yearly(record: Record, system: System) -> pd.DataFrame:
    """Calendar years: `rain` of their months in the units of `system`; days measured, filled, missing; the gap."""
    grouped = record.months.groupby("year")
    table = pd.DataFrame({"rain": [convert(float(v), Unit.DEPTH, "metric", system) for v in grouped["rain"].sum()]})
    table.index = pd.Index(grouped.size().index, name="year")
    table["whole"] = (grouped.size() == 12).astype(int)
    if record.coverage is None:
        table["measured"] = (grouped["days"].sum() - grouped["missing_days"].sum()).astype(int)
        table["filled"], table["gap"] = 0, 0
        table["missing"] = grouped["missing_days"].sum().astype(int)
    else:
        by_year = record.coverage.set_index("year").reindex(table.index)
        for key in ("measured", "filled", "missing", "gap"):
            table[key] = by_year[f"rain_{key}"].astype(int)
    table["months_filled"] = grouped["filled"].sum().astype(int)
    return table.reset_index()


def _rows(table: pd.DataFrame) -> list[dict[str, object]]:
    return [{str(key): value for key, value in row.items()} for row in table.to_dict("records")]


def _frost(row: FrostRow) -> dict[str, object]:
    return {**vars(row), "spares": row.spares, "free_from": row.free_from, "free_until": row.free_until}


def _short(value: float) -> str:
    """A figure with as many digits as it has, blank where it is missing."""
    return "" if pd.isna(value) else f"{round(float(value), 4):g}"
