"""Which stations serve a place: one after the other by distance, until one has rain on nearly all days.

    for rain             the nearest with rain on 90 % of the days of the years that count; or the one that is named
    for temperatures     the same, or else the nearest that has both temperatures on as many days; or what the one that
                         is named has of them
    for gaps             the next two with rain on half the days, nearest first

Rain is never interpolated between stations: the mean of several rains on more days than any of them. A station is asked
year by year, the latest first, and no further than it can still pass; one whose inventory rules it out is not asked.
"""

from __future__ import annotations

import logging
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import pandas as pd
from tqdm import tqdm

from budget.errors import RainUnavailable
from budget.record.fetched import Fetched, spans, told_station
from budget.record.findings import percent
from budget.record.neighbours import counted
from budget.record.station import GAPS, RAIN, TEMPERATURES, Considered, Station, Wanted, in_km
from budget.record.station_days import NEEDS, Came, NetworkGone, Year, no_days
from budget.record.trouble import BRING_A_FILE, Kind, Trouble, remedy
from budget.record.weather_library import credits_of, library_version
from budget.record.weather_service import WeatherService

ENOUGH = 0.9  # share of the days of the years that count
ENOUGH_FOR_GAPS = 0.5  # likewise, of a station that only fills gaps; common practice, no source
FILLING = 2  # stations that fill gaps: the mean of many makes drizzle
MOST_ASKED = 12  # stations that are asked for days
SILENT = 2  # stations in a row of which nothing can be read, from which on it is the service that fails
FARTHER = 500.0  # [km] within which the nearest station is named where none is in reach
FEWEST_YEARS = 10  # that are proposed where all are too many
MOST_BROKEN = 6  # years in a row that cannot be read, from which on a station is not asked further
PORTION = 5  # years that are asked for at once; the first alone, to see whether anything comes

log = logging.getLogger(__name__)


@dataclass
class Reading:
    """What one station has answered so far."""

    station: Station
    came: Came = field(default_factory=Came)

    @property
    def years(self) -> dict[int, Year]:
        return self.came.years

    def days(self) -> pd.DataFrame:
        parts = [self.years[year].days for year in sorted(self.years) if len(self.years[year].days)]
        return pd.concat(parts) if parts else no_days()

    def known(self, use: str, years: range) -> int:
        """Days of these years that have what the use needs [days]."""
        return sum(self.years[year].known.get(use, 0) for year in years if year in self.years)

    def share(self, use: str, years: range) -> float:
        """The same as a share of all days of these years."""
        return self.known(use, years) / days_of(years)

    def troubles(self) -> dict[int, Trouble]:
        """What went wrong, by year; not years that the service does not have."""
        found = {year: answer.trouble for year, answer in self.years.items() if answer.trouble is not None}
        return {year: trouble for year, trouble in sorted(found.items()) if trouble.kind is not Kind.ABSENT}


@dataclass
class Search:
    """One search for stations: whom to ask, what counts, what was found."""

    wanted: Wanted
    service: WeatherService
    years: range
    until: date
    periods: dict[str, dict[str, tuple[date, date]]] = field(default_factory=dict)
    readings: dict[str, Reading] = field(default_factory=dict)
    why: dict[str, dict[str, str]] = field(default_factory=dict)  # by station and use, why it was not taken
    remarks: list[str] = field(default_factory=list)
    silent: int = 0  # stations in a row of which nothing could be read
    cut_short: bool = False  # whether the service failed while only gaps were still to be filled

    def read(self, station: Station, use: str, enough: float) -> Reading:
        """Ask a station for the years that it has not told yet, until it cannot have enough days any more."""
        reading = self.readings.setdefault(station.id, Reading(station))
        asked = [*reversed(self.years), *range(self.years[-1] + 1, self.until.year + 1)]
        left = [year for year in asked if year not in reading.years]
        told = set(reading.years) & set(self.years)
        broken = 0  # years in a row that could not be read
        with tqdm(total=len(left), desc=station.words, unit="year", leave=False, disable=None) as progress:
            for years in portions(left):
                if self.possible(reading, use, told) < enough or broken >= MOST_BROKEN:
                    break
                try:
                    reading.came.add(self.service.days.of(station, years, self.until))
                except NetworkGone as gone:
                    reading.came.add(gone.came)
                    raise self.cut_off(reading, gone) from gone
                told |= set(years) & set(self.years)
                troubled = set(reading.troubles()) & set(years)
                broken = broken + len(years) if len(troubled) == len(years) else 0
                progress.update(len(years))
        self.listen(reading)
        return reading

    def possible(self, reading: Reading, use: str, told: set[int]) -> float:
        """The largest share of days that can still come."""
        lacking = sum(days_of([year]) for year in told) - reading.known(use, self.years)
        return 1 - lacking / days_of(self.years)

    def listen(self, reading: Reading) -> None:
        """Give up where the service fails and not the station."""
        troubles = reading.troubles()
        self.silent = self.silent + 1 if troubles and reading.days().empty else 0
        if self.silent >= SILENT:
            trouble = next(iter(troubles.values()))
            tried = f"The weather service does not answer as it should: {trouble.words}."
            stations = ", ".join(entry.station.words for entry in self.readings.values())
            raise RainUnavailable([tried, f"Asked for: {stations}."], [f"{remedy(trouble)}; {BRING_A_FILE}"])

    def cut_off(self, reading: Reading, gone: NetworkGone) -> RainUnavailable:
        came = [year for entry in self.readings.values() for year in entry.years.values() if len(year.days)]
        tried = [f"The days of {reading.station.words} in {gone.year} could not be had: {gone.trouble.words}."]
        if came and not self.service.fresh:
            tried.append(f"{counted(len(came), 'file')} of days came before that; the cache has them for the next try.")
        return RainUnavailable(tried, [f"{remedy(gone.trouble)}; {BRING_A_FILE}"])

    def ruled_out(self, station: Station, use: str, enough: float) -> str:
        """Why the list's inventory rules a station out for a use; empty where it does not."""
        periods = self.periods.get(station.id)
        if periods is None:
            return ""
        figures = NEEDS[use]
        if any(figure not in periods for figure in figures):
            return f"no {use} in its inventory"
        first, last = max(periods[name][0] for name in figures), min(periods[name][1] for name in figures)
        begin, end = max(first, date(self.years[0], 1, 1)), min(last, date(self.years[-1], 12, 31))
        if max(0, (end - begin).days + 1) < enough * days_of(self.years):
            return f"{use} from {first} to {last} only, by its inventory"
        return ""

    def first_that_passes(self, stations: Sequence[Station], use: str) -> Station | None:
        """The first station with enough days for a use."""
        for station in stations:
            if why := self.ruled_out(station, use, ENOUGH):
                self.told(station, use, why)
                continue
            if not self.may_ask(station):
                continue
            reading = self.read(station, use, ENOUGH)
            if reading.share(use, self.years) >= ENOUGH:
                return station
            self.told(station, use, short(reading, use, self.years))
        return None

    def may_ask(self, station: Station) -> bool:
        """Whether a station was asked before, or may still be."""
        if station.id in self.readings or len(self.readings) < MOST_ASKED:
            return True
        remark = f"No more than {MOST_ASKED} stations were asked."
        if remark not in self.remarks:
            self.remarks.append(remark)
        return False

    def told(self, station: Station, use: str, why: str) -> None:
        self.why.setdefault(station.id, {})[use] = why

    def spoilt(self) -> list[str]:
        """Stations that were passed over for what could not be read of them, and might pass another time."""
        found = []
        for key, reading in self.readings.items():
            sound = set(self.years) & set(reading.years) - set(reading.troubles())
            for use, why in self.why.get(key, {}).items():
                if use != GAPS and reading.troubles() and self.possible(reading, use, sound) >= ENOUGH:
                    found.append(f"{reading.station.words} was not taken for {use}: {why}.")
        return found

    def fillers(self, stations: Sequence[Station]) -> list[Station]:
        """The next stations that can fill gaps; what goes wrong here only makes them fewer."""
        found: list[Station] = []
        for station in stations:
            if len(found) == FILLING:
                break
            if why := self.ruled_out(station, RAIN, ENOUGH_FOR_GAPS):
                self.told(station, GAPS, why)
                continue
            if not self.may_ask(station):
                continue
            try:
                reading = self.read(station, RAIN, ENOUGH_FOR_GAPS)
            except RainUnavailable as error:
                self.cut_short = True
                self.remarks.append(f"No more stations could be asked for what fills gaps. {error.tried[0]}")
                break
            if reading.share(RAIN, self.years) >= ENOUGH_FOR_GAPS:
                found.append(station)
            else:
                self.told(station, GAPS, short(reading, RAIN, self.years))
        return found


def fetch(wanted: Wanted, service: WeatherService, today: date) -> Fetched:
    """Find the stations of a place and bring their days.

    Raises InputFaults where no year counts or a station that is named is not known, RainUnavailable where the rain
    cannot be had, with what was tried and what to do.
    """
    search = Search(wanted, service, wanted.years(today), wanted.until(today))
    stations = candidates(wanted, service)
    search.periods = service.stations.periods(stations)
    rain = take_named(search, stations[0]) if wanted.station else search.first_that_passes(stations, RAIN)
    if rain is None:
        raise none_passes(search, stations, RAIN)
    warm = search.first_that_passes([rain, *(station for station in stations if station is not rain)], TEMPERATURES)
    if warm is None and wanted.station and serves_named(search, rain, TEMPERATURES):
        warm = rain
    if warm is None:
        raise none_passes(search, stations, TEMPERATURES)
    gaps = search.fillers([station for station in stations if station is not rain])
    uses = {RAIN: [rain], TEMPERATURES: [warm], GAPS: gaps}
    considered = [consider(search, station, uses) for station in stations]
    considered = [entry for entry in considered if entry.serves or entry.rain is not None or entry.why]
    for entry in considered:
        log.info("%s", told_station(entry, search.years))
    serving = [entry.station.id for entry in considered if entry.serves]
    used = [search.readings[key] for key in serving]
    used_stations = [reading.station for reading in used]
    main = [search.readings[key] for key in dict.fromkeys((rain.id, warm.id))]
    spoilt = search.spoilt()
    return Fetched(
        wanted=wanted,
        first_year=search.years[0],
        last_year=search.years[-1],
        until=search.until,
        retrieved=service.days.asked_since(used_stations, today),
        fetched_with=library_version(),
        considered=considered,
        days={reading.station.id: reading.days() for reading in used},
        credits=credits_of(sum((reading.came.sources for reading in used), Counter())),
        remarks=[*service.remarks, *search.remarks, *spoilt, *missing_years(main, search.years), *dropped(used)],
        troubled=search.cut_short or bool(spoilt) or any(reading.troubles() for reading in main),
    )


def candidates(wanted: Wanted, service: WeatherService) -> list[Station]:
    """The stations to look at: one that is named in front, then those within reach by distance."""
    near = service.stations.nearby(wanted)
    if wanted.station:
        named = service.stations.named(wanted)
        return [named, *(station for station in near if station.id != named.id)]
    if not near:
        place = f"{wanted.latitude:g}, {wanted.longitude:g}"
        farther = service.stations.nearby(replace(wanted, within=FARTHER))
        nearest = f" The nearest is {farther[0].words}, {in_km(farther[0].distance)} away." if farther else ""
        raise RainUnavailable(
            [f"No weather station of the list lies within {in_km(wanted.within)} of {place}.{nearest}"],
            [f"see that latitude and longitude are right; look farther: rain.within; {BRING_A_FILE}"],
        )
    return near


def take_named(search: Search, station: Station) -> Station:
    """The station that the site file names, with the days that it has."""
    reading = search.read(station, RAIN, 0.0)
    if not serves_named(search, station, RAIN):
        what = f"{station.words}: {short(reading, RAIN, search.years)}"
        trouble = next(iter(reading.troubles().values()), None)
        again = f"{remedy(trouble)}; " if trouble else ""
        raise RainUnavailable(
            [f"The station that is named does not serve. {what}."],
            [f"{again}leave rain.station away, or name another; {BRING_A_FILE}"],
        )
    if reading.share(RAIN, search.years) < ENOUGH:
        search.told(station, RAIN, "named in the site file")
    return station


def serves_named(search: Search, station: Station, use: str) -> bool:
    """Whether the station that is named serves with what it has; not where it may have more than came."""
    reading = search.readings[station.id]
    share = reading.share(use, search.years)
    return share >= ENOUGH or (share > 0 and not reading.troubles())


def none_passes(search: Search, stations: Sequence[Station], use: str) -> RainUnavailable:
    """What was tried where no station has enough."""
    wanted, years = search.wanted, search.years
    begun = f"No station within {in_km(wanted.within)} has {use} on {percent(ENOUGH)} of the days of"
    entries = [consider(search, station, {}, use) for station in stations]
    lines = [told_station(entry, years) for entry in entries if entry.rain is not None or entry.why]
    troubles = [trouble for reading in search.readings.values() for trouble in reading.troubles().values()]
    again = f"{remedy(troubles[0])}; " if troubles else ""
    one_of_these = "take one of these all the same: rain.station; " if use == RAIN else ""
    other_years = f"count other years: {fewer_years(search, stations, use)}; "
    to_do = f"{again}look farther: rain.within; {other_years}{one_of_these}{BRING_A_FILE}"
    remarks = [*search.service.remarks, *search.remarks]
    return RainUnavailable([f"{begun} {years[0]} to {years[-1]}.", *lines, *remarks], [to_do])


def fewer_years(search: Search, stations: Sequence[Station], use: str) -> str:
    """The first year from which on the nearest station would have enough, by its inventory."""
    for station in stations:
        for first in search.years[1:-FEWEST_YEARS]:
            fewer = replace(search, years=range(first, search.years[-1] + 1))
            if search.periods.get(station.id) and not fewer.ruled_out(station, use, ENOUGH):
                return f"rain.from_year = {first} may do, by the inventory of {station.words}"
    return "rain.from_year, rain.to_year"


def consider(search: Search, station: Station, uses: dict[str, list[Station]], wanted: str = RAIN) -> Considered:
    """A station with what was found about it; `wanted`: the use for which it is told first why it was not taken."""
    reading = search.readings.get(station.id)
    period = search.periods.get(station.id, {}).get("rain")
    shares: list[float | None] = [None, None]  # not known of a station that was not asked to the end
    if reading is not None and set(search.years) <= set(reading.years):
        shares = [reading.share(use, search.years) for use in (RAIN, TEMPERATURES)]
        known = reading.days()["rain"].dropna().index
        if len(known) and period is None:
            period = pd.Timestamp(known.min()).date(), pd.Timestamp(known.max()).date()
    first_day, last_day = period or (None, None)
    serves = tuple(use for use, taken in uses.items() if station in taken)
    reasons = search.why.get(station.id, {})
    told = [reasons[use] for use in (wanted, RAIN, TEMPERATURES, GAPS) if use in reasons]
    why = reasons.get(RAIN, "") if serves else next(iter(told), "")
    return Considered(station, shares[0], shares[1], first_day, last_day, serves, why)


def short(reading: Reading, use: str, years: range) -> str:
    """Why a reading is not enough."""
    troubles = reading.troubles()
    if troubles:
        words = next(iter(troubles.values())).words
        return f"{counted(len(troubles), 'year')} could not be read ({spans(troubles)}: {words})"
    asked = [year for year in years if year in reading.years]
    if reading.known(use, years) == 0:
        return f"no {use} in {spans(asked)}"
    if len(asked) < len(years):
        share = reading.known(use, range(asked[0], asked[-1] + 1)) / days_of(asked)
        return f"{use} on {percent(share)} of the days of {spans(asked)}, so it cannot pass"
    return f"{use} on {percent(reading.share(use, years))} of the days"


def missing_years(readings: Sequence[Reading], counted: range) -> list[str]:
    """Years that did not come, station by station, with the reason; the one that has begun need not be there yet."""
    remarks = []
    for reading in readings:
        by_words: dict[str, list[int]] = {}
        for year, answer in reading.years.items():
            trouble = answer.trouble
            if trouble is not None and (year in counted or trouble.kind is not Kind.ABSENT):
                by_words.setdefault(trouble.words, []).append(year)
        for words, years in by_words.items():
            remarks.append(f"{reading.station.words} lacks {spans(years)}: {words}.")
    return remarks


def dropped(readings: Sequence[Reading]) -> list[str]:
    """How many values of forecasts were left out."""
    number = sum(reading.came.forecasts for reading in readings)
    if not number:
        return []
    return [f"{counted(number, 'value')} of forecasts or models, mixed in by the service, left out."]


def portions(years: Sequence[int]) -> Iterator[list[int]]:
    """The years in the order in which they are asked: the first alone, then some that follow each other at once."""
    portion: list[int] = []
    for number, year in enumerate(years):
        if portion and (number == 1 or len(portion) == PORTION or abs(year - portion[-1]) != 1):
            yield portion
            portion = []
        portion.append(year)
    if portion:
        yield portion


def days_of(years: Sequence[int] | range) -> int:
    """All days of these years [days]."""
    return sum((date(year + 1, 1, 1) - date(year, 1, 1)).days for year in years)
