"""One pass over a site file: all values, and all faults in the order of the file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import cast

from budget.declarations import Input
from budget.errors import Fault, InputFaults
from budget.site_file.document import parse
from budget.site_file.schema import (
    DATES,
    FILE_LISTS,
    FILES,
    FOR_FILES,
    FOR_STATIONS,
    HOW_TO_READ,
    KNOWN_BY_STATIONS,
    LONGITUDE,
    MONTHLY,
    SETTINGS,
    SOURCES,
    STATIONS,
    TWELVE,
    UNITS,
    WITHIN,
    column_of,
    sections,
)
from budget.site_file.site import Site, Stations
from budget.site_file.values import Refused, Value, default_value, is_blank, read_twelve, read_value, word_of
from budget.site_file.words import FILES_ACCEPTED, kind, one_line, shown, unprintable
from budget.units import SYSTEMS, System
from budget.water import site
from budget.water.nouns import LISTS, SCALARS, THE_WELL, place


def read_site(path: Path) -> Site:
    """Read and check a site file.

    Raises InputFaults with all faults of the file, in its order; those between two settings come last. How inputs must
    stand to each other is judged by the checks of the book.
    """
    text, document = parse(path)
    reading = _Reading(document)
    reading.everything()
    reading.faults += [fault for check in CROSS_CHECKS for fault in check(reading)]
    if reading.faults:
        raise InputFaults(reading.faults)
    return reading.site(path, text)


@dataclass
class _Reading:
    """One pass over a document: values and faults as they come."""

    document: dict[str, object]
    faults: list[Fault] = field(default_factory=list)
    values: dict[str, Value] = field(default_factory=dict)  # scalar inputs and settings, by name
    raw: dict[str, object] = field(default_factory=dict)  # what the file gave, by name
    faulty: set[str] = field(default_factory=set)  # names whose value was refused or is missing
    lists: dict[str, list[dict[str, object]]] = field(default_factory=dict)
    monthly: dict[str, list[float | None]] = field(default_factory=dict)
    files: dict[str, list[str]] = field(default_factory=dict)
    in_lists: set[str] = field(default_factory=set)  # what entries of lists gave, as `garden[2].crop`

    @property
    def system(self) -> System:
        """The system of the book; metric where the file does not say, so that the rest can be checked."""
        word = word_of(self.document.get(UNITS.name), SYSTEMS)
        return "US" if word == "US" else "metric"

    @property
    def source(self) -> str | None:
        """Where the rain comes from; None where what the file says of it is refused."""
        rain = self.document.get("rain")
        return word_of(rain.get("source", FILES) if isinstance(rain, dict) else FILES, SOURCES)

    def everything(self) -> None:
        if UNITS.name not in self.document:
            self.fault(UNITS.name, "missing", kind(UNITS))
        for name, content in self.document.items():
            if name == UNITS.name:
                self.scalar(UNITS, UNITS.name, content)
            elif name in LISTS:
                self.entries(name, content)
            elif name in sections():
                self.section(name, content)
            else:
                self.unknown(name, (UNITS.name, *sections(), *LISTS), "")
        for name in sections():
            if name not in self.document:
                self.section(name, {})

    def fault(self, where: str, found: str, accepted: str) -> None:
        self.faults.append(Fault(where, found, accepted))

    def unknown(self, name: str, known: Sequence[str], owner: str) -> None:
        near = get_close_matches(name.casefold(), known, n=3, cutoff=0.6)
        elsewhere = [f"{other}.{name}" for other, inputs in sections().items() if name in inputs]
        accepted = f"nearest: {', '.join(near)}" if near else ", ".join(elsewhere or known)
        self.fault(owner + (one_line(name) or '""'), "is not known", accepted)

    def names_of_files(self, given: Input, where: str, raw: object) -> None:
        """One file's name, or a list of them."""
        self.raw[given.name] = raw
        names = raw if isinstance(raw, list) else [raw]
        good = [name.strip() for name in names if isinstance(name, str) and name.strip()]
        if not names or len(good) < len(names) or any(unprintable(c) for name in good for c in name):
            self.faulty.add(given.name)
            found = "is empty" if raw == "" else f"{shown(raw)} names no file"
            self.fault(where, found, FILES_ACCEPTED)
        elif len(set(good)) < len(good):
            self.faulty.add(given.name)
            self.fault(where, f"{shown(raw)} names a file twice", "each file once")
        self.files[given.name] = good
        self.values[given.name] = ", ".join(good)

    def scalar(self, given: Input, where: str, raw: object) -> None:
        if self.source == STATIONS and given.name in KNOWN_BY_STATIONS and is_blank(raw):
            self.absent(given, where)
            return
        if given.name in FILE_LISTS and not (given.optional and raw == ""):
            self.names_of_files(given, where, raw)
            return
        self.raw[given.name] = raw
        try:
            self.values[given.name] = read_value(given, raw, self.system)
        except Refused as refusal:
            self.faulty.add(given.name)
            self.fault(where, refusal.found, refusal.accepted)

    def section(self, name: str, content: object) -> None:
        inputs = sections()[name]
        twelve = {given.name: given for given in MONTHLY.get(name, ())}
        if not isinstance(content, dict):
            self.fault(name, f"{shown(content)} is not a section", f"one section [{name}]")
            self.faulty.update(given.name for given in inputs.values())
            return
        for key, raw in content.items():
            if key in inputs:
                self.scalar(inputs[key], f"{name}.{key}", raw)
            elif key in twelve:
                self.raw[key] = raw
                self.monthly[key] = [
                    value for value in self.twelve(twelve[key], f"{name}.{key}", raw) if not isinstance(value, str)
                ]
            else:
                self.unknown(key, (*inputs, *twelve), f"{name}.")
        for key, given in inputs.items():
            if key not in content:
                self.absent(given, f"{name}.{key}")

    def absent(self, given: Input, where: str) -> None:
        if place(given)[0] in THE_WELL and not set(THE_WELL) & set(self.document):
            self.values[given.name] = default_value(given, self.system)  # a place without a well
        elif given.name == "rain_file":
            if self.source == FILES:
                self.faulty.add(given.name)
                self.fault(where, "missing", f'{FILES_ACCEPTED}; or source = "stations"')
        elif given.default is None:
            self.faulty.add(given.name)
            self.fault(where, "missing", kind(given))
        else:
            self.values[given.name] = default_value(given, self.system)

    def twelve(self, given: Input, where: str, raw: object) -> list[Value]:
        """Twelve values; empty ones where they were refused."""
        try:
            values, refusals = read_twelve(given, raw, self.system)
        except Refused as refusal:
            self.fault(where, refusal.found, refusal.accepted)
            return [None] * TWELVE
        for number, refused in refusals:
            self.fault(f"{where}[{number}]", refused.found, refused.accepted)
        return values

    def entries(self, name: str, content: object) -> None:
        entry, most = LISTS[name].entry, LISTS[name].most
        accepted = f"each {entry} under its own [[{name}]]"
        if not isinstance(content, list):
            self.fault(name, f"{shown(content)} is not a list", accepted)
            return
        if most is not None and len(content) > most:
            self.fault(name, f"has {len(content)} entries", f"at most {most}")
        rows = self.lists.setdefault(name, [])
        for number, raw in enumerate(content, 1):
            if isinstance(raw, dict):
                rows.append(self.entry(name, f"{name}[{number}]", raw))
            else:
                self.fault(f"{name}[{number}]", f"{shown(raw)} is not a {entry}", accepted)

    def entry(self, name: str, where: str, content: dict[str, object]) -> dict[str, object]:
        """One row of a list, with all its keys."""
        scalars, twelves = LISTS[name].inputs, LISTS[name].monthly
        known = {given.name: given for given in (*scalars, *twelves)}
        row: dict[str, object] = {given.name: default_value(given, self.system) for given in scalars}
        row |= {given.name: [default_value(given, self.system)] * TWELVE for given in twelves}
        refused: set[str] = set()
        for key, raw in content.items():
            if key not in known:
                self.unknown(key, tuple(known), f"{where}.")
            elif known[key] in twelves:
                row[key] = self.twelve(known[key], f"{where}.{key}", raw)
            else:
                try:
                    row[key] = read_value(known[key], raw, self.system)
                except Refused as refusal:
                    refused.add(key)
                    self.fault(f"{where}.{key}", refusal.found, refusal.accepted)
        empty = {given.name for given in scalars if row[given.name] is None} - refused
        self.in_lists |= {f"{where}.{key}" for key in content if row.get(key) is not None}
        for key in LISTS[name].needed:
            if key in empty:
                self.fault(f"{where}.{key}", "missing", kind(known[key]))
        if not refused and len(empty) == len(scalars) and not LISTS[name].needed:
            self.fault(where, "is empty", LISTS[name].example)
        for key, table in LISTS[name].words.items():
            row[key] = word_of(row[key], column_of(table)) or row[key]
        return row

    def site(self, path: Path, text: str) -> Site:
        given = {name for name in self.raw if self.values.get(name) is not None or name in self.monthly}
        stations = self.stations()
        said = {key: None if stations else self.values[f"rain_{key}"] for key in HOW_TO_READ}
        settings = {key: None if value is None else str(value) for key, value in said.items()}
        return Site(
            path=path,
            text=text,
            system=self.system,
            values={i.name: self.values.get(i.name) for i in SCALARS},
            written={given.name: shown(self.raw.get(given.name, given.default)) for given in SCALARS},
            given=frozenset(given) - {UNITS.name, *(setting.name for setting in SETTINGS)},
            given_in_lists=frozenset(self.in_lists),
            lists={name: self.lists.get(name, []) for name in LISTS},
            monthly={
                given.name: self.monthly.get(given.name, [None] * TWELVE)
                for inputs in MONTHLY.values()
                for given in inputs
            },
            rain_files=[path.parent / name for name in self.files.get("rain_file", [])],
            rain_neighbours=[path.parent / name for name in self.files.get("rain_neighbours", [])],
            rain_settings=settings,
            stations=stations,
        )

    def stations(self) -> Stations | None:
        """Whom to ask for the rain, in metric units; None where it stands in files."""
        if self.source != STATIONS:
            return None
        known = {given.name: given for given in (*SETTINGS, *site.INPUTS)}
        metric = {
            name: read_value(known[name], self.raw[name], "metric")
            for name in ("site_latitude", "site_longitude", "site_elevation", *FOR_STATIONS)
            if name in self.raw
        }
        within = metric.get("rain_within") or read_value(known["rain_within"], WITHIN, "metric")
        station = self.values["rain_station"]
        return Stations(
            latitude=cast(float, metric["site_latitude"]),
            longitude=cast(float, metric["site_longitude"]),
            elevation=cast(float | None, metric.get("site_elevation")),
            station=None if station is None else str(station).strip(),
            from_year=cast(int | None, metric.get("rain_from_year")),
            to_year=cast(int | None, metric.get("rain_to_year")),
            within=cast(float, within),
        )

    def numbers(self, *wanted: str) -> list[float] | None:
        """The values of these inputs; None where one of them is faulty or empty."""
        found = [self.values.get(name) for name in wanted if name not in self.faulty]
        numbers = [value for value in found if isinstance(value, (int, float))]
        return numbers if len(numbers) == len(wanted) else None

    def stated(self, name: str) -> str:
        """An input with its value as the file gives it: `well.depth ('18 ft')`."""
        given = next(given for given in (*SETTINGS, *SCALARS) if given.name == name)
        return f"{'.'.join(place(given))} ({shown(self.raw.get(name, given.default))})"


def check_source(reading: _Reading) -> Iterator[Fault]:
    """Files go with files, what chooses among stations with stations; and stations are looked for near a place."""
    others = {
        FILES: (FOR_STATIONS, 'only with source = "stations"'),
        STATIONS: (FOR_FILES, 'files only with source = "files"'),
    }
    names, accepted = others.get(reading.source or "", ((), ""))
    for name in names:
        if name not in reading.faulty and not is_blank(reading.raw.get(name, "")):
            found = f'{shown(reading.raw[name])} is given, and source is "{reading.source}"'
            yield Fault(name.replace("_", ".", 1), found, accepted)
    if reading.source == STATIONS and LONGITUDE.name not in reading.faulty and not reading.numbers(LONGITUDE.name):
        yield Fault("site.longitude", "missing, and stations near the place are found by it", kind(LONGITUDE))


def check_years(reading: _Reading) -> Iterator[Fault]:
    """The years whose coverage counts stand in their order."""
    numbers = reading.numbers("rain_from_year", "rain_to_year")
    if numbers and numbers[0] > numbers[1]:
        found = f"{shown(reading.raw['rain_from_year'])} is after {reading.stated('rain_to_year')}"
        yield Fault("rain.from_year", found, "at most rain.to_year")


def check_dates(reading: _Reading) -> Iterator[Fault]:
    """The dates of service come whole, and both or not at all: the build finds both or none."""
    given = {date: [reading.values.get(f"{date}_{part}") is not None for part in ("month", "day")] for date in DATES}
    if reading.faulty.intersection(f"{date}_{part}" for date in DATES for part in ("month", "day")):
        return
    for date, (month, day) in given.items():
        where = date.replace("_", ".", 1)
        if month != day:
            missing = "day" if month else "month"
            yield Fault(f"{where}_{missing}", "missing", f"month and day together, as {where}_month = 4")
        elif not month and any(any(parts) for parts in given.values()):
            yield Fault(f"{where}_month", "missing", "both dates, or neither: the frost dates of the record then")


CROSS_CHECKS: tuple[Callable[[_Reading], Iterator[Fault]], ...] = (check_source, check_years, check_dates)
