"""One pass over a site file: all values, and all faults in the order of the file."""

from __future__ import annotations

import calendar
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import cast

from budget.declarations import Input
from budget.errors import Fault, InputFaults
from budget.references import names
from budget.site_file.document import parse
from budget.site_file.schema import (
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
    sections,
)
from budget.site_file.site import Site, Stations
from budget.site_file.values import Refused, Value, default_value, is_blank, read_twelve, read_value, word_of
from budget.site_file.words import FILES_ACCEPTED, kind, nearest, one_line, shown, unprintable
from budget.units import SYSTEMS, System
from budget.water import garden_demand, pond, recovery_test, roof, site, well
from budget.water.nouns import LISTS, SCALARS, THE_WELL, place


def read_site(path: Path) -> Site:
    """Read and check a site file.

    Raises InputFaults with all faults of the file, in its order; those between two inputs come last.
    """
    reading = _Reading(parse(path))
    reading.everything()
    reading.faults += [fault for check in CROSS_CHECKS for fault in check(reading)]
    if reading.faults:
        raise InputFaults(reading.faults)
    return reading.site(path)


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
        self.faults += ENTRY_CHECKS[name](where, row, empty, refused)
        return row

    def site(self, path: Path) -> Site:
        given = {name for name in self.raw if self.values.get(name) is not None or name in self.monthly}
        stations = self.stations()
        said = {key: None if stations else self.values[f"rain_{key}"] for key in HOW_TO_READ}
        settings = {key: None if value is None else str(value) for key, value in said.items()}
        return Site(
            path=path,
            system=self.system,
            values={i.name: self.values.get(i.name) for i in SCALARS},
            given=frozenset(given) - {UNITS.name, *(setting.name for setting in SETTINGS)},
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


EntryCheck = Callable[[str, dict[str, object], set[str], set[str]], Iterator[Fault]]


def check_counted(name: str, count: str, key: str, article: str, table: str) -> EntryCheck:
    """The check of a list of water users: each line has a `count`, and an amount of its own or a word that gives one.

    `key` is the input that holds the word, also a column of `table`; `article` goes before it in sentences.
    """

    def check(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
        known = {given.name: given for given in LISTS[name].inputs}
        if count in empty:
            yield Fault(f"{where}.{count}", "missing", kind(known[count]))
        if "amount" not in empty or key in refused:
            return
        words, accepted = names(table, key), f"an amount, or {article} {key} of the table"
        if key in empty:
            yield Fault(where, f"has neither {article} {key} nor an amount", accepted)
        elif (word := word_of(row[key], words)) is None:
            found = f"{shown(row[key])} is not in the {key} table and the line has no amount"
            yield Fault(f"{where}.{key}", found, f"{accepted}, {nearest(str(row[key]), words)}")
        else:
            row[key] = word

    return check


def check_whole(name: str) -> EntryCheck:
    """The check of a list whose entries have no empty place."""

    def check(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
        for given in LISTS[name].inputs:
            if given.name in empty:
                yield Fault(f"{where}.{given.name}", "missing", kind(given))

    return check


def check_spell(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
    """A dry spell has a year or a date, and a date where water was hauled."""
    if {"year", "dry_on"} <= empty:
        yield Fault(where, "has neither a year nor a date", "year = 2015, dry_on = 2015-08-20, or both")
    loads = row["loads"]
    if "dry_on" in empty and isinstance(loads, (int, float)) and loads > 0:
        yield Fault(f"{where}.dry_on", "missing, though water was hauled", "the first dry day, about, as 2015-08-20")


def check_roof(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
    """A roof has an area, and a coefficient of its own or a material that gives one."""
    known = {given.name: given for given in roof.LIST}
    if "area" in empty:
        yield Fault(f"{where}.area", "missing", kind(known["area"]))
    if {"material", "coefficient"} <= empty:
        yield Fault(where, "has neither a material nor a coefficient", "a material of the table, or a coefficient")


def check_zone(where: str, row: dict[str, object], empty: set[str], refused: set[str]) -> Iterator[Fault]:
    """A zone of the garden has a crop, and an area or trees with the width of their canopy."""
    known = {given.name: given for given in garden_demand.LIST}
    if "crop" in empty:
        yield Fault(f"{where}.crop", "missing", kind(known["crop"]))
    if "area" in empty and {"trees", "canopy"} & empty:
        yield Fault(
            where,
            "has neither an area nor trees with a canopy width",
            'area such as "1200 sq ft", or trees = 6 and canopy = "12 ft"',
        )


ENTRY_CHECKS: dict[str, EntryCheck] = {
    "household": check_counted("household", "number", "use", "a", "uses"),
    "animals": check_counted("animals", "head", "animal", "an", "animal_table"),
    "garden": check_zone,
    "roofs": check_roof,
    "recovery": check_whole("recovery"),
    "dips": check_whole("dips"),
    "remembered": check_spell,
}


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


ANY_YEAR = 2001  # not a leap year: the dates of service come every year

# Deeper one, shallower one: depths from the ground that must stand in this order.
DEPTHS = (
    ("well_depth", "well_summer_depth"),
    ("well_summer_depth", "well_winter_depth"),
    ("well_winter_depth", "well_highest_water"),
    ("well_depth", "well_depth_at_test"),
    ("well_depth", "pump_intake"),
)


def check_depths(reading: _Reading) -> Iterator[Fault]:
    """Nothing lies below the bottom, and the water stands in the order of the seasons."""
    for deeper, shallower in DEPTHS:
        numbers = reading.numbers(deeper, shallower)
        if numbers and numbers[1] > numbers[0]:
            where = reading.stated(shallower).split(" ")[0]
            found = f"{shown(reading.raw.get(shallower))} is deeper than {reading.stated(deeper)}"
            yield Fault(where, found, f"at most {reading.stated(deeper).split(' ')[0]}")


def check_intake(reading: _Reading) -> Iterator[Fault]:
    """The intake hangs under the wet-season water, with the water that is kept over it."""
    numbers = reading.numbers("pump_intake", "well_winter_depth", "pump_submergence")
    if numbers and numbers[0] < numbers[1] + numbers[2] - 1e-9:
        found = f"{shown(reading.raw.get('pump_intake'))} is never under water"
        least = f"{reading.stated('well_winter_depth')} plus {reading.stated('pump_submergence')}"
        yield Fault("pump.intake", found, f"at least {least}")


def check_monthly_depth(reading: _Reading) -> Iterator[Fault]:
    """The water of no month stands below the bottom."""
    numbers = reading.numbers("well_depth")
    for month, depth in enumerate(reading.monthly.get("monthly_depth", []), 1):
        if numbers and depth is not None and depth > numbers[0]:
            found = f"is deeper than {reading.stated('well_depth')}"
            yield Fault(f"well.monthly_depth[{month}]", found, "at most well.depth")


def check_inflow(reading: _Reading) -> Iterator[Fault]:
    """The inflow is known: typed, or by a recovery test, which needs the depth at rest."""
    if not set(THE_WELL) & set(reading.document):
        return
    tested = bool(reading.lists.get("recovery"))
    known = {given.name: given for given in (*well.INPUTS, *recovery_test.INPUTS)}
    missing = {name for name in known if reading.values.get(name) is None} - reading.faulty
    if "well_inflow" in missing and reading.document.get("recovery", []) == []:
        yield Fault("well.inflow", "missing", f"{kind(known['well_inflow'])}, or a recovery test")
    if tested and "well_depth_at_test" in missing:
        yield Fault("well.depth_at_test", "missing beside a recovery test", "the depth to water at rest before it")


def check_tank(reading: _Reading) -> Iterator[Fault]:
    """Water stands above the outlet in a tank that there is."""
    numbers = reading.numbers("tank_capacity", "tank_below_outlet")
    if numbers and 0 < numbers[0] < numbers[1]:
        found = f"{shown(reading.raw.get('tank_below_outlet'))} is more than {reading.stated('tank_capacity')}"
        yield Fault("tank.below_outlet", found, "at most tank.capacity")


def check_pond(reading: _Reading) -> Iterator[Fault]:
    """A pond with a depth has a surface, and its keep-level lies within it."""
    depth = reading.numbers("pond_depth")
    if depth is None or depth[0] <= 0:
        return
    sized = any(
        reading.numbers(*names)
        for names in (("pond_area",), ("pond_length", "pond_width"), ("pond_bottom_length", "pond_bottom_width"))
    )
    if not sized and not reading.faulty.intersection(given.name for given in pond.INPUTS):
        accepted = "area, or length and width, or bottom_length and bottom_width of a dug pond"
        yield Fault("pond", "has a depth but no surface", accepted)
    keep = reading.numbers("pond_keep")
    if keep and keep[0] > depth[0]:
        found = f"{shown(reading.raw.get('pond_keep'))} is above {reading.stated('pond_depth')}"
        yield Fault("pond.keep", found, "at most pond.depth")


def check_dates(reading: _Reading) -> Iterator[Fault]:
    """The dates of service are whole, are dates of every year, and come both or not at all."""
    dates = ("tank_fill_from", "tank_drain_by")
    parts = [f"{date}_{part}" for date in dates for part in ("month", "day")]
    if reading.faulty.intersection(parts):
        return
    dated = {date: _has_date(reading, date) for date in dates}
    for date in dates:
        where = date.replace("_", ".", 1)
        month, day = (reading.values.get(f"{date}_{part}") for part in ("month", "day"))
        if isinstance(month, int) and isinstance(day, int):
            if day > calendar.monthrange(ANY_YEAR, month)[1]:
                yield Fault(
                    f"{where}_day",
                    f"{day} {calendar.month_name[month]} is not a date of every year",
                    "a date",
                )
        elif dated[date]:
            missing = "month" if month is None else "day"
            yield Fault(f"{where}_{missing}", "missing", f"month and day together, as {where}_month = 4")
        elif any(dated.values()):
            yield Fault(f"{where}_month", "missing", "both dates, or neither: the frost dates of the record then")


def _has_date(reading: _Reading, date: str) -> bool:
    return any(reading.values.get(f"{date}_{part}") is not None for part in ("month", "day"))


CROSS_CHECKS: tuple[Callable[[_Reading], Iterator[Fault]], ...] = (
    check_source,
    check_years,
    check_depths,
    check_intake,
    check_monthly_depth,
    check_inflow,
    check_tank,
    check_pond,
    check_dates,
)
