"""The snapshot: what was fetched, as a file beside the site file, from which later builds read without the network.

    # Daily rain and temperatures from weather stations ...      what the file is
    # retrieved = 2026-11-25                                     the head: TOML behind a #, station by station
    # stations = [ ... ]
    station,date,rain (mm),tmax (°C),tmin (°C)                   the days as the stations measured them
    A0001,1996-01-01,3.2,7.9,1.4

It is the archive: the cache of the weather library is none. It is replaced in one step by a fetch that brought no less,
and what it held before is kept beside it; a fetch that fails leaves it as it is. The head says how many rows follow, so
that a file that lost its end is not taken for a whole one.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, fields
from datetime import date
from pathlib import Path
from typing import Any, get_type_hints

import pandas as pd

from budget.errors import Fault, InputFaults
from budget.record.fetched import CREDIT, Credit, Fetched
from budget.record.findings import Findings, quoted
from budget.record.layouts import NUMBERS
from budget.record.station import GAPS, RAIN, TEMPERATURES, Considered, Station, Wanted, plain_name
from budget.safe_writing import told, write_file

FORMAT = 1  # of the head; a later tool may write another
COLUMNS = ["station", "date", "rain (mm)", "tmax (°C)", "tmin (°C)"]
HEADING = ",".join(COLUMNS)
# What the library lets through; what cannot be believed is kept here as it was measured, and left out later.
BOUNDS = {"rain": (0.0, 2000.0), "tmax": (-100.0, 65.0), "tmin": (-100.0, 65.0)}
FIRST_LINE = (
    "# Daily rain and temperatures from weather stations, as measured there. The tool reads this file and asks again"
    " only with --fresh."
)
ACCEPTED = "a snapshot as this tool wrote it; move the file away, and the rain is fetched anew"
ENDING = "_stations.csv"
# The kinds of values that TOML gives for what a dataclass declares.
KINDS: dict[Any, tuple[type, ...]] = {
    str: (str,),
    int: (int,),
    bool: (bool,),
    float: (float, int),
    date: (date,),
    str | None: (str, type(None)),
    int | None: (int, type(None)),
    float | None: (float, int, type(None)),
    date | None: (date, type(None)),
    tuple[str, ...]: (list,),
}
# What the head must hold: single values, and the parts of its rows.
SCALARS = {
    "first_year": int,
    "last_year": int,
    "until": date,
    "retrieved": date,
    "fetched_with": str,
    "troubled": bool,
    "rows": int,
}
ROWS = {
    "asked_for": get_type_hints(Wanted),
    "stations": {**get_type_hints(Considered), **get_type_hints(Station)},
    "sources": get_type_hints(Credit),
}
del ROWS["stations"]["station"]  # it is what the others are about


def snapshot_path(site_file: Path) -> Path:
    """Where the snapshot of a site file lies: `home_stations.csv` beside `home.toml`."""
    return site_file.with_name(site_file.stem + ENDING)


# ---------------------------------------------------------------- writing


def as_text(fetched: Fetched) -> str:
    """The whole file."""
    parts = []
    for key, days in fetched.days.items():
        table = days[list(NUMBERS)].round(4).dropna(how="all")
        table.columns = pd.Index(COLUMNS[2:])
        table.insert(0, "date", pd.DatetimeIndex(table.index).strftime("%Y-%m-%d"))
        table.insert(0, "station", key)
        parts.append(table)
    rows = pd.concat(parts)
    above = [FIRST_LINE, f"# {CREDIT}", "#", *(f"# {line}" for line in head(fetched, len(rows)))]
    return "\n".join([*above, rows.to_csv(index=False, lineterminator="\n")])


def head(fetched: Fetched, rows: int) -> list[str]:
    """The head in lines of TOML; `rows`: how many rows of days follow."""
    lines = [
        f"format = {FORMAT}",
        f"retrieved = {fetched.retrieved}",
        f"fetched_with = {_toml(fetched.fetched_with)}",
        f"asked_for = {_toml(asdict(fetched.wanted))}",
        f"first_year = {fetched.first_year}",
        f"last_year = {fetched.last_year}",
        f"until = {fetched.until}",
        f"troubled = {_toml(fetched.troubled)}",
        f"rows = {rows}",
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
    if isinstance(value, str):
        return "".join(c if c.isprintable() else _escaped(c) for c in json.dumps(value, ensure_ascii=False))
    return json.dumps(value)


def _escaped(character: str) -> str:
    """A character that would end a line, or that TOML does not take as it is; half of a pair is no character."""
    code = ord(character)
    if 0xD800 <= code <= 0xDFFF:
        return "\N{REPLACEMENT CHARACTER}"
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"


def write(fetched: Fetched, path: Path) -> Path | None:
    """Put the snapshot at its path in one step; another one that lay there is kept beside it.

    Returns the path of what was kept, None where nothing was. Raises InputFaults where what lies there is none,
    OutputFault where it cannot be written.
    """
    text = as_text(fetched)
    parse(text, path.name)  # what could not be read again does not take the place of what can
    with told(path):
        kept = _kept_as(path, text) if path.exists() else None
    write_file(path, text.encode(), kept)
    return kept


def _kept_as(path: Path, text: str) -> Path | None:
    """Where the snapshot is kept, by the date of its retrieval; None where it holds the same days as the new one."""
    old = read(path)
    if _days(_with_plain_ends(path.read_bytes().decode("utf-8-sig"))) == _days(text):
        return None
    stem = f"{path.stem}_{old.retrieved}"
    kept, number = path.with_name(f"{stem}{path.suffix}"), 1
    while kept.exists():
        number += 1
        kept = path.with_name(f"{stem}_{number}{path.suffix}")
    return kept


def _days(text: str) -> str:
    return text.partition(f"\n{HEADING}\n")[2]


# ---------------------------------------------------------------- reading


def read(path: Path) -> Fetched:
    """Read a snapshot. Raises InputFaults with each fault of it, with its line."""
    try:
        content = path.read_bytes()
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise InputFaults([Fault(f"{path.name} line {line}", "is not UTF-8 text", ACCEPTED)]) from None
    except OSError as error:
        raise InputFaults([Fault(path.name, f"cannot be read: {error.strerror}", ACCEPTED)]) from error
    return parse(_with_plain_ends(text), path.name)


def _with_plain_ends(text: str) -> str:
    """The text with a line feed alone at the end of each line."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def parse(text: str, name: str) -> Fetched:
    """What the text of a snapshot says; `name` of the file. Raises InputFaults with each fault of it, with its line."""
    first, _, _ = text.partition("\n")
    if first != FIRST_LINE:
        found = "is no snapshot of this tool" if text.strip() else "is empty"
        if FIRST_LINE[2:40] in first:
            found = "was a snapshot of this tool until something else changed it: a spreadsheet program, perhaps"
        raise InputFaults([Fault(name, found, ACCEPTED)])
    above, heading, below = text.partition(f"\n{HEADING}\n")
    if not heading:
        found = f"no line '{HEADING}' up to here: the file was cut short"
        raise InputFaults([Fault(f"{name} line {len(text.splitlines())}", found, ACCEPTED)])
    content = _head(name, above)
    _check_head(name, content, above)
    fetched = _fetched(content)
    table = _table(name, below, above.count("\n") + 3, content["rows"], fetched)
    fetched.days.update({str(key): _calendar(part) for key, part in table.groupby("station", sort=False)})
    lacking = [f"no station for {use} in the head" for use in (RAIN, TEMPERATURES) if not fetched.serving(use)]
    serving = [station.id for use in (RAIN, TEMPERATURES, GAPS) for station in fetched.serving(use)]
    lacking += [f"no row of station {key}, which serves by the head" for key in serving if key not in fetched.days]
    if lacking:
        raise InputFaults([Fault(name, found, ACCEPTED) for found in dict.fromkeys(lacking)])
    return fetched


def _head(name: str, above: str) -> dict[str, Any]:
    """The head as TOML says it."""
    lines = [line.removeprefix("#").removeprefix(" ") for line in above.split("\n")]
    lines[:3] = ["", "", ""]  # what the file is, in words
    try:
        content = tomllib.loads("\n".join(lines))
    except tomllib.TOMLDecodeError as error:
        said = re.fullmatch(r"(.*) \(at line (\d+), column \d+\)", str(error), re.DOTALL)
        what, where = (said[1], f"{name} line {said[2]}") if said else (str(error), name)
        raise InputFaults([Fault(where, f"the head cannot be read: {' '.join(what.split())}", ACCEPTED)]) from None
    if content.get("format") != FORMAT:
        found = f"its head is of format {content.get('format')!r}"
        raise InputFaults([Fault(name, found, f"format {FORMAT}; another version of this tool wrote the file")])
    return content


def _check_head(name: str, content: dict[str, Any], above: str) -> None:
    """Raise InputFaults with each value of the head that is missing or is of another kind, with its line."""
    findings, lines = Findings(name), above.split("\n")

    def tell(key: str, what: str, value: object, entry: int = 0) -> None:
        line = next((number for number, text in enumerate(lines, 1) if text.startswith(f"# {key} = ")), None)
        found = f"no {what}" if value is None else f"{quoted(str(value))} as {what}"
        findings.add(None if line is None else line + entry, f"{key} of the head", f"{found} in the head", ACCEPTED)

    for key, kind in SCALARS.items():
        if type(content.get(key)) not in KINDS[kind]:
            tell(key, key, content.get(key))
    for key, kinds in ROWS.items():
        rows = [content.get(key)] if key == "asked_for" else content.get(key)
        if not isinstance(rows, list):
            tell(key, key, rows)
            continue
        for entry, row in enumerate(rows, 0 if key == "asked_for" else 1):
            if not isinstance(row, dict):
                tell(key, key, row, entry)
                continue
            for part, kind in kinds.items():
                if type(row.get(part)) not in KINDS[kind]:
                    tell(key, f"{key}, {part}", row.get(part), entry)
    if not isinstance(content.get("remarks"), list):
        tell("remarks", "remarks", content.get("remarks"))
    findings.raise_if_any()


def _fetched(content: dict[str, Any]) -> Fetched:
    """What the head says, without days yet."""
    return Fetched(
        wanted=Wanted(**{key.name: content["asked_for"].get(key.name) for key in fields(Wanted)}),
        first_year=content["first_year"],
        last_year=content["last_year"],
        until=content["until"],
        retrieved=content["retrieved"],
        fetched_with=content["fetched_with"],
        considered=[_considered(row) for row in content["stations"]],
        days={},
        credits=[Credit(**{key.name: row[key.name] for key in fields(Credit)}) for row in content["sources"]],
        remarks=[str(text) for text in content["remarks"]],
        troubled=content["troubled"],
    )


def _considered(row: dict[str, Any]) -> Considered:
    cells = {key.name: row.get(key.name) for key in fields(Station)}
    station = Station(**{**cells, "name": plain_name(row["name"])})  # type: ignore[arg-type]
    own = {key.name: row.get(key.name) for key in fields(Considered) if key.name != "station"}
    return Considered(station=station, **{**own, "serves": tuple(row["serves"])})  # type: ignore[arg-type]


def _table(name: str, below: str, first_line: int, rows: int, fetched: Fetched) -> pd.DataFrame:
    """The rows, checked: a frame with `station`, `date` and the three figures. `first_line`: of the rows."""
    findings = Findings(name)
    lines = below.split("\n")
    cut = lines.pop()
    split = {first_line + number: line.split(",") for number, line in enumerate(lines)}
    whole = {line: row for line, row in split.items() if len(row) == len(COLUMNS)}
    cells = pd.DataFrame.from_dict(whole, orient="index", columns=["station", "date", *NUMBERS], dtype=str)
    days = pd.to_datetime(cells["date"], format="%Y-%m-%d", errors="coerce")
    table = pd.DataFrame({"station": cells["station"], "date": days})

    def tell(bad: pd.Series[bool], column: str, kind: str, accepted: str) -> None:
        for line in bad.index[bad]:
            findings.add(int(line), kind, f"{quoted(cells[column][line])} as {kind}", accepted)

    for line, row in split.items():
        if len(row) != len(COLUMNS):
            findings.add(line, "rows of another length", f"{len(row)} cells", f"{len(COLUMNS)} cells: {HEADING}")
    if cut:
        findings.add(first_line + len(lines), "cut", f"the file ends within a row: {quoted(cut)}", ACCEPTED)
    known = [entry.station.id for entry in fetched.considered]
    tell(~cells["station"].isin(known), "station", "station", "a station of the head")
    tell(days.isna(), "date", "date", "a date such as 2012-01-31")
    asked = (days.dt.year >= fetched.first_year) & (days <= pd.Timestamp(fetched.until))
    tell(
        days.notna() & ~asked, "date", "date", f"a day of {fetched.first_year} up to {fetched.until}, as the head says"
    )
    for figure in NUMBERS:
        values = pd.to_numeric(cells[figure].replace("", None), errors="coerce").astype(float)
        low, high = BOUNDS[figure]
        bad = (values.isna() & (cells[figure] != "")) | (values < low) | (values > high)
        tell(bad, figure, figure, f"a number from {low:g} to {high:g}, or blank")
        table[figure] = values
    again = table.duplicated(["station", "date"]) & days.notna()
    tell(again, "date", "date of that station a second time", "each day of a station once")
    if len(lines) + bool(cut) != rows:
        found = f"{len(lines)} rows of days, and by its head it had {rows}"
        findings.add(None, "rows", found, ACCEPTED)
    findings.raise_if_any()
    return table


def _calendar(part: pd.DataFrame) -> pd.DataFrame:
    """The days of one station on a full calendar."""
    days = part.set_index("date")[list(NUMBERS)].sort_index()
    return days.reindex(pd.date_range(days.index[0], days.index[-1], freq="D", name="date"))
