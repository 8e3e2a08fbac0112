"""The snapshot: what was fetched, as a file beside the site file, from which later builds read without the network.

    # Daily rain and temperatures from weather stations ...      what the file is
    # retrieved = 2026-11-25                                     the head: TOML behind a #, station by station
    # stations = [ ... ]
    station,date,rain (mm),tmax (°C),tmin (°C)                   the days as the stations measured them
    A0001,1996-01-01,3.2,7.9,1.4

It is the archive: the cache of the weather library is none. It is replaced in one step by a fetch that brought no less,
and what it held before is kept beside it; a fetch that fails leaves it as it is.
"""

from __future__ import annotations

import io
import json
import os
import tempfile
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, fields
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd

from budget.errors import Fault, InputFaults, OutputFault
from budget.record.csv_file import COLDEST, HOTTEST
from budget.record.fetched import CREDIT, Credit, Fetched
from budget.record.findings import DAYS, Findings, quoted
from budget.record.layouts import NUMBERS
from budget.record.station import GAPS, RAIN, TEMPERATURES, Considered, Station, Wanted, plain_name

FORMAT = 1  # of the head; a later tool may write another
COLUMNS = ["station", "date", "rain (mm)", "tmax (°C)", "tmin (°C)"]
BOUNDS = {"rain": (0.0, DAYS.most_rain), "tmax": (COLDEST, HOTTEST), "tmin": (COLDEST, HOTTEST)}
FIRST_LINE = (
    "# Daily rain and temperatures from weather stations, as measured there. The tool reads this file and asks again"
    " only with --fresh."
)
ACCEPTED = "a snapshot as this tool wrote it; move the file away, and the rain is fetched anew"
ENDING = "_stations.csv"


def snapshot_path(site_file: Path) -> Path:
    """Where the snapshot of a site file lies: `home_stations.csv` beside `home.toml`."""
    return site_file.with_name(site_file.stem + ENDING)


# ---------------------------------------------------------------- writing


def as_text(fetched: Fetched) -> str:
    """The whole file."""
    target = io.StringIO()
    target.write(f"{FIRST_LINE}\n# {CREDIT}\n#\n")
    for line in head(fetched):
        target.write(f"# {line}\n")
    parts = []
    for key, days in fetched.days.items():
        table = days[list(NUMBERS)].round(4).dropna(how="all")
        table.columns = pd.Index(COLUMNS[2:])
        table.insert(0, "date", pd.DatetimeIndex(table.index).strftime("%Y-%m-%d"))
        table.insert(0, "station", key)
        parts.append(table)
    pd.concat(parts).to_csv(target, index=False, lineterminator="\n")
    return target.getvalue()


def head(fetched: Fetched) -> list[str]:
    """The head in lines of TOML."""
    lines = [
        f"format = {FORMAT}",
        f"retrieved = {fetched.retrieved}",
        f"library = {_toml(fetched.library)}",
        f"asked_for = {_toml(asdict(fetched.wanted))}",
        f"first_year = {fetched.first_year}",
        f"last_year = {fetched.last_year}",
        f"until = {fetched.until}",
        f"troubled = {_toml(fetched.troubled)}",
    ]
    for name, entries in (
        ("stations", [flat(entry) for entry in fetched.considered]),
        ("sources", [asdict(credit) for credit in fetched.credits]),
        ("remarks", fetched.remarks),
    ):
        lines += [f"{name} = [", *(f"  {_toml(entry)}," for entry in entries), "]"]
    return lines


def flat(entry: Considered) -> dict[str, object]:
    """A station and what was found about it, as one row."""
    found = {key: value for key, value in vars(entry).items() if key != "station"}
    return {**vars(entry.station), **found, "serves": list(entry.serves)}


def _toml(value: object) -> str:
    """A value of the head; what is None is left out of its table."""
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key} = {_toml(part)}" for key, part in value.items() if part is not None)
        return f"{{ {inside} }}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(_toml(part) for part in value)}]"
    if isinstance(value, date):
        return value.isoformat()
    return json.dumps(value, ensure_ascii=False)


def write(fetched: Fetched, path: Path) -> Path | None:
    """Put the snapshot at its path in one step; another one that lay there is kept beside it.

    Returns the path of what was kept, None where nothing was. Raises OutputFault where it cannot be written.
    """
    text = as_text(fetched)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.stem}-", suffix=".part", dir=path.parent)
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
                file.write(text)
            os.chmod(name, 0o644)
            kept = _keep(path, text)
            os.replace(name, path)
        except BaseException:
            os.unlink(name)
            raise
    except OSError as error:
        found = f"cannot be written: {error.strerror or error}"
        raise OutputFault([Fault(str(path), found, "a file in a folder that can be written to")]) from error
    return kept


def _keep(path: Path, text: str) -> Path | None:
    """A copy of the snapshot under the date of its retrieval, where it holds other days than the new one."""
    if not path.exists():
        return None
    old = path.read_text(encoding="utf-8")
    if _days(old) == _days(text):
        return None
    kept = path.with_name(f"{path.stem}_{read(path).retrieved}{path.suffix}")
    number = 1
    while kept.exists():
        number += 1
        kept = path.with_name(f"{path.stem}_{read(path).retrieved}_{number}{path.suffix}")
    kept.write_text(old, encoding="utf-8", newline="\n")
    return kept


def _days(text: str) -> str:
    return text.partition(f"\n{','.join(COLUMNS)}\n")[2]


# ---------------------------------------------------------------- reading


def read(path: Path) -> Fetched:
    """Read a snapshot. Raises InputFaults with each fault of it, with its line."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputFaults([Fault(path.name, f"byte {error.start + 1} is not UTF-8 text", ACCEPTED)]) from None
    except OSError as error:
        raise InputFaults([Fault(path.name, f"cannot be read: {error.strerror}", ACCEPTED)]) from error
    above, heading, below = text.partition(",".join(COLUMNS) + "\n")
    if not text.startswith(FIRST_LINE) or not heading:
        raise InputFaults([Fault(path.name, "is no snapshot of this tool", ACCEPTED)])
    content = _head(path, above)
    days = _table(path, below, above.count("\n") + 1)
    return _fetched(path, content, days)


def _head(path: Path, above: str) -> dict[str, Any]:
    """The head as TOML says it."""
    lines = [line.removeprefix("#").removeprefix(" ") for line in above.splitlines()]
    lines[:3] = ["", "", ""]  # what the file is, in words
    try:
        content = tomllib.loads("\n".join(lines))
    except tomllib.TOMLDecodeError as error:
        raise InputFaults([Fault(path.name, f"its head cannot be read: {error}", ACCEPTED)]) from None
    if content.get("format") != FORMAT:
        found = f"its head is of format {content.get('format')!r}"
        raise InputFaults([Fault(path.name, found, f"format {FORMAT}; another version of this tool wrote the file")])
    return content


def _table(path: Path, below: str, heading_line: int) -> pd.DataFrame:
    """The rows, checked: a frame with `station`, `date` and the three figures."""
    findings = Findings(path.name)
    try:
        cells = pd.read_csv(io.StringIO(below), names=["station", "date", *NUMBERS], dtype=str, keep_default_na=False)
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError) as error:
        raise InputFaults([Fault(path.name, f"its rows cannot be read: {error}", ACCEPTED)]) from None
    table = pd.DataFrame({"station": cells["station"]})
    table["date"] = pd.to_datetime(cells["date"], format="%Y-%m-%d", errors="coerce")

    def tell(bad: pd.Series[bool], column: str, kind: str, accepted: str) -> None:
        for row in bad[bad].index:
            findings.add(heading_line + 1 + int(row), kind, f"{quoted(cells[column][row])} as {kind}", accepted)

    tell(table["date"].isna(), "date", "date", "a date such as 2012-01-31")
    for figure in NUMBERS:
        values = pd.to_numeric(cells[figure].replace("", None), errors="coerce")
        low, high = BOUNDS[figure]
        bad = (values.isna() & (cells[figure] != "")) | (values < low) | (values > high)
        tell(bad, figure, figure, f"a number from {low:g} to {high:g}, or blank")
        table[figure] = values.astype(float)
    tell(table.duplicated(["station", "date"]), "date", "date a second time", "each day of a station once")
    findings.raise_if_any()
    return table


def _fetched(path: Path, content: dict[str, Any], table: pd.DataFrame) -> Fetched:
    """Head and rows together. Raises InputFaults where they do not fit each other."""
    try:
        considered = [_considered(row) for row in content["stations"]]
        fetched = Fetched(
            wanted=Wanted(**{key.name: content["asked_for"].get(key.name) for key in fields(Wanted)}),
            first_year=int(content["first_year"]),
            last_year=int(content["last_year"]),
            until=content["until"],
            retrieved=content["retrieved"],
            library=str(content["library"]),
            considered=considered,
            days={str(key): _calendar(part) for key, part in table.groupby("station", sort=False)},
            credits=[Credit(**row) for row in content["sources"]],
            remarks=[str(text) for text in content["remarks"]],
            troubled=bool(content["troubled"]),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise InputFaults([Fault(path.name, f"its head lacks something: {error}", ACCEPTED)]) from None
    serving = {station.id for use in (RAIN, TEMPERATURES, GAPS) for station in fetched.serving(use)}
    if not serving <= set(fetched.days) or not fetched.serving(RAIN) or not fetched.serving(TEMPERATURES):
        raise InputFaults([Fault(path.name, "rows of a station that its head names are missing", ACCEPTED)])
    return fetched


def _considered(row: dict[str, Any]) -> Considered:
    cells = {key.name: row.get(key.name) for key in fields(Station)}
    station = Station(**{**cells, "name": plain_name(row["name"])})  # type: ignore[arg-type]
    own = {key.name: row.get(key.name) for key in fields(Considered) if key.name != "station"}
    return Considered(station=station, **{**own, "serves": tuple(row["serves"])})  # type: ignore[arg-type]


def _calendar(part: pd.DataFrame) -> pd.DataFrame:
    """The days of one station on a full calendar."""
    days = part.set_index("date")[list(NUMBERS)].sort_index()
    return days.reindex(pd.date_range(days.index[0], days.index[-1], freq="D", name="date"))
