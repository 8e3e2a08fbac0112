"""From a site file and its rain record to a finished workbook.

Read the site file, read the record, lay out the book, fit the water table with the evaluated book as the model, and
write it with its values. The top function is the table of contents.
"""

from __future__ import annotations

import math
from calendar import monthrange
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from budget.declarations import Input
from budget.errors import Fault, InputFaults
from budget.references import examples_folder, reference
from budget.site_file.reading import read_site
from budget.site_file.site import Site
from budget.units import System, Unit, convert, serial, to_book
from budget.water import checks, record, water_table
from budget.water.nouns import SCALARS
from budget.workbook.applications import Material, Tables, tables
from budget.workbook.engine import Computed, Model
from budget.workbook.finish import refuse_target, write_book
from budget.workbook.page import Book, CellKey
from budget.workbook.sheets import ALTERNATIVES, write_sheets
from budget.workbook.sheets.answers_sheet import SENTENCES

if TYPE_CHECKING:
    import pandas as pd

    from budget.record import Record
    from budget.record.station import Considered

WARM_UP_MONTHS = 24
LEAP_CYCLE = 4  # years by which the warm-up years are named earlier, so that their Februaries keep their days
FEWEST_YEARS = 2
MOST_STATIONS = 12  # rows of the table of weather stations; more only where stations beyond them serve
LONGEST_NAME, LONGEST_REASON = 60, 160  # characters that a cell of that table shows
REFERENCES = ("soils", "crops", "uses", "animal_table", "pond_soils", "roof_table", "bearing")
Progress = Callable[[str], None]
# The cell in which the fit of each figure begins.
FIT_START = {
    "aquifer_floor": "aquifer_floor_start",
    "aquifer_specific_yield": "soil_specific_yield",
    "aquifer_drainage_time": "soil_drainage_time",
}
MEASUREMENTS = ("recovery", "dips")
# What is accepted where the book itself finds a row of these lists faulty.
EVIDENCE = {
    "recovery": "minutes since the pump stopped, and a depth above the bottom of the well",
    "dips": "a date within the rain record, each once, and a depth above the bottom of the well",
    "remembered": "a whole plan year of the record, each once, with the date on which it ran dry if it did",
}


@dataclass(frozen=True)
class Answer:
    """One answer as the book holds it: expected, with less and with more water, and for the middle year."""

    key: str
    title: str
    unit: str
    number_format: str
    expected: Computed
    less: Computed
    more: Computed
    middle: Computed

    @property
    def cases(self) -> tuple[Computed, ...]:
        """The four values in the order of the book's columns."""
        return self.expected, self.less, self.more, self.middle


@dataclass(frozen=True)
class Built:
    """A finished book: where it lies, its answers and its warnings, read from its cells.

    `kept`: the copy of the book that stood there before, None where there was none. `rain_came`: where rain came from
    weather stations, how, in a sentence.
    """

    path: Path
    kept: Path | None
    answers: list[Answer]
    sentences: list[str]
    warnings: list[str]
    rain_came: str = ""


def build(
    site_path: Path, book_path: Path | None = None, progress: Progress = lambda stage: None, fresh: bool = False
) -> Built:
    """Build the workbook of a site file; `fresh`: weather stations are asked again, even where a snapshot serves.

    Raises InputFaults for bad input, OutputFault where it cannot be written, RainUnavailable where the rain of weather
    stations could not be had.
    """
    site = read_site(site_path)
    target = book_path or site_path.with_suffix(".xlsx")
    refuse_target(target)
    progress("reading the rain record")
    rain = read_record(site, fresh=fresh)
    progress("laying out the workbook")
    book, _ = lay_out(material(site, rain))
    refuse_measurements(book)
    progress("fitting the water table")
    fit(book, site)
    progress("computing")
    model = evaluate(book, site)
    refuse_short_record(model)
    refuse_memory(book, model)
    values = model.computed()
    kept = write_book(book, values, target, ALTERNATIVES)
    return Built(target, kept, read_answers(book, values), read_sentences(model), read_warnings(model), rain.came)


def embedded_example() -> Path:
    """The site file of the invented example that comes with the package."""
    return examples_folder() / "terrace_house.toml"


def read_record(site: Site, to_build: bool = True, fresh: bool = False) -> Record:
    """The rain record of a site file: its files, or what weather stations near it have measured.

    Not `to_build`: to show it, whatever it is worth. `fresh`: stations are asked again, even where a snapshot serves.
    Raises InputFaults for bad input, RainUnavailable where stations could not be asked or have too little.
    """
    from budget.record import Asked, Wanted, load, load_stations, obtain, snapshot_path

    latitude = site.values["site_latitude"]
    southern = isinstance(latitude, (int, float)) and latitude < 0
    if site.stations is None:
        if fresh:
            accepted = 'rain.source = "stations"; files are read anew by every build'
            raise InputFaults([Fault("--fresh", "the rain of this site file stands in files", accepted)])
        return load(site.rain_files, Asked(**site.rain_settings), southern, site.rain_neighbours, to_build)
    place = site.stations
    wanted = Wanted(place.latitude, place.longitude, place.station, place.from_year, place.to_year, place.within)
    obtained = obtain(snapshot_path(site.path), wanted, fresh, date.today())
    return load_stations(obtained, place.elevation, southern, to_build)


@dataclass(frozen=True)
class RainReport:
    """What the record of a site holds: as lines, as data for a program, and as a clean file."""

    lines: list[str]
    content: dict[str, object]
    clean: str


def report_rain(site_path: Path, fresh: bool = False) -> RainReport:
    """Read the record of a site file and tell what it holds. Raises as `read_record` does."""
    from budget.record import as_data, as_file, as_text

    site = read_site(site_path)
    rain = read_record(site, to_build=False, fresh=fresh)
    return RainReport(as_text(rain, site.system), as_data(rain), as_file(rain))


def material(site: Site, rain: Record) -> Material:
    """Site and record as a book needs them: in the book's units, warm-up years in front, frost dates put in."""
    values = dict(site.values)
    values.update(_service(site, rain))
    values.update(_this_year(site, rain))
    values.update(_rain_station(site, rain))
    months = record_columns(rain.months, site.system)
    years = sorted({int(year) for year in rain.months["year"]})
    references = {name: reference(name, site.system) for name in REFERENCES}
    assumed = [i for i in SCALARS if i.name not in site.given and not i.optional]
    coverage, frosts = coverage_columns(rain), [row.words for row in rain.frosts.rows] if rain.frosts else []
    stations = (station_columns(rain, site.system), station_notes(site, rain), credits(rain))
    of_record = (rain.notes, coverage, frosts, *stations)
    return Material(site.system, values, site.lists, site.monthly, months, years, references, *of_record, assumed)


def coverage_columns(rain: Record) -> dict[str, list[int]]:
    """How much of each calendar year was measured, as the table on Climate has it."""
    from budget.record import yearly

    source = {
        "coverage_year": "year",
        "measured_days": "measured",
        "neighbour_days": "filled",
        "lacking_days": "missing",
        "longest_gap": "gap",
        "year_months_filled": "months_filled",
    }
    table = yearly(rain, "metric")
    return {key: [int(value) for value in table[column]] for key, column in source.items()}


def station_columns(rain: Record, system: System) -> dict[str, list[object]]:
    """The weather stations that were looked at, as the table on Climate has them; no rows where none were."""

    def book(value: float | None, unit: Unit) -> float | None:
        return None if value is None else convert(value, unit, "metric", system)

    def day(value: date | None) -> int | None:
        return None if value is None else serial(value)

    rows = _stations_shown(rain)
    return {
        "station": [f"{_cut(row.station.name, LONGEST_NAME)} ({_cut(row.station.id, LONGEST_NAME)})" for row in rows],
        "station_distance": [book(row.station.distance, Unit.DISTANCE) for row in rows],
        "station_serves": [_cut(_serves(row), LONGEST_REASON) for row in rows],
        "station_height": [book(row.station.height, Unit.HEIGHT) for row in rows],
        "station_begins": [day(row.first) for row in rows],
        "station_ends": [day(row.last) for row in rows],
        "station_rain_known": [row.rain for row in rows],
        "station_warmth_known": [row.temperatures for row in rows],
    }


def _stations_shown(rain: Record) -> list[Considered]:
    """All that serve, and of the others the nearest."""
    if rain.fetched is None:
        return []
    return [row for place, row in enumerate(rain.fetched.considered) if row.serves or place < MOST_STATIONS]


def _serves(row: Considered) -> str:
    """What a station was taken for, or why it was not."""
    from budget.record.station import RAIN

    if not row.serves:
        return f"not taken: {row.why}" if row.why else "not taken"
    uses = ", ".join(row.serves)
    return f"{uses}; {'' if RAIN in row.serves else 'not for rain: '}{row.why}" if row.why else uses


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1] + "…"


def station_notes(site: Site, rain: Record) -> list[str]:
    """What is to be known of the table of weather stations; nothing where the rain stands in files."""
    from budget.record.neighbours import counted

    if rain.fetched is None:
        return []
    fetched, left_out = rain.fetched, len(rain.fetched.considered) - len(_stations_shown(rain))
    kept = f"{rain.files[0].path.name} beside the site file"
    wanted = fetched.wanted
    notes = [
        f"Looked for round latitude {wanted.latitude:g}, longitude {wanted.longitude:g}. Shares are of the days of"
        f" {fetched.first_year} to {fetched.last_year}.",
        f"What was fetched on {fetched.retrieved} stands in {kept}; later builds read it there.",
    ]
    if left_out:
        notes.append(f"Not shown: {counted(left_out, 'farther station')} not taken; that file lists all.")
    as_measured, warm = "temperatures are as they were measured", fetched.temperature_station
    if "site_elevation" in site.given and warm.height is not None:
        brought = "Temperatures were brought to the elevation of the place when this book was built"
        notes.append(f"{brought}: where you change it, they follow when it is built anew.")
    elif "site_elevation" in site.given:
        notes.append(f"The height of {_cut(warm.words, LONGEST_NAME)} is not known: {as_measured} there.")
    elif fetched.rain_station.height is not None:
        taken = "The site file gives no elevation of the place: that of the rain station is taken for it"
        notes.append(f"{taken}.")
    else:
        unknown = "The site file gives no elevation of the place, and that of the rain station is not known"
        notes.append(f"{unknown}: {as_measured}.")
    return notes


def credits(rain: Record) -> list[str]:
    """Whom to name for the rain that was fetched."""
    from budget.record import credit_lines

    return [] if rain.fetched is None else credit_lines(rain.fetched)


def _rain_station(site: Site, rain: Record) -> dict[str, float | str | None]:
    """Distance and height of the station for the rain; its height also as the place's where none is given."""
    if rain.fetched is None:
        return {}
    station = rain.fetched.rain_station
    found: dict[str, float | str | None] = {}
    found["rain_station_distance"] = convert(station.distance, Unit.DISTANCE, "metric", site.system)
    if station.height is not None:
        height = convert(station.height, Unit.HEIGHT, "metric", site.system)
        found["rain_station_height"] = height
        if "site_elevation" not in site.given:
            found["site_elevation"] = height
    return found


def _service(site: Site, rain: Record) -> dict[str, float | str | None]:
    """The dates of the tank's service where none are given: the record's frost dates, or all year without them."""
    found: dict[str, float | str | None] = {}
    dated = "tank_fill_from_month" in site.given
    frost = rain.frost
    if not frost.known and not dated and site.values.get("tank_in_service") != "all year":
        accepted = 'dates of your own, or in_service = "all year"'
        raise InputFaults([Fault("tank.fill_from_month", "a monthly record holds no frost dates", accepted)])
    if not frost.frost_free and not dated and "tank_in_service" not in site.given:
        found_there = "no season of the record is free of hard frost, so no dates can be proposed"
        if site.stations is not None:
            found_there += " (temperatures were brought to site.elevation: is that right?)"
        accepted = 'dates of your own, or in_service = "all year" for a tank that may freeze'
        raise InputFaults([Fault("tank.fill_from_month", found_there, accepted)])
    if frost.fill_from and frost.drain_by and not dated:
        found["tank_fill_from_month"], found["tank_fill_from_day"] = frost.fill_from
        found["tank_drain_by_month"], found["tank_drain_by_day"] = frost.drain_by
    elif not dated:
        found |= dict.fromkeys(("tank_fill_from_month", "tank_fill_from_day"), 1)
        found |= {"tank_drain_by_month": 12, "tank_drain_by_day": 31}
    if "tank_in_service" not in site.given:
        frosty = dated or (frost.fill_from is not None and frost.drain_by is not None)
        found["tank_in_service"] = "between the dates" if frosty else "all year"
    if "tank_wettest_month" not in site.given:
        found["tank_wettest_month"] = 1
    return found


def _this_year(site: Site, rain: Record) -> dict[str, float | str | None]:
    """The last day of the record as the day 'as of', and a plan year to begin with, until the book tells its own."""
    year, month = int(rain.months["year"].iloc[-1]), int(rain.months["month"].iloc[-1])
    found: dict[str, float | str | None] = {}
    if "plan_as_of" not in site.given:
        found["plan_as_of"] = serial(date(year, month, monthrange(year, month)[1]))
    if "plan_number" not in site.given:
        found["plan_number"] = year + 1
    return found


def record_columns(months: pd.DataFrame, system: System) -> dict[str, list[float] | list[int]]:
    """The record's data columns in the book's units, its first two years once more in front as warm-up."""
    source = {"rain_recorded": "rain"}
    columns: dict[str, list[float] | list[int]] = {}
    for column in record.DATA:
        if column.key == "in_record":
            columns["in_record"] = [0] * WARM_UP_MONTHS + [1] * len(months)
            continue
        series = months[source.get(column.key, column.key)]
        if column.unit in (Unit.YEAR, Unit.MONTH, Unit.COUNT, Unit.FLAG):
            counts = [int(value) for value in series]
            earlier = LEAP_CYCLE if column.key == "year" else 0
            columns[column.key] = [count - earlier for count in counts[:WARM_UP_MONTHS]] + counts
        else:
            values = [convert(float(value), column.unit, "metric", system) for value in series]
            columns[column.key] = values[:WARM_UP_MONTHS] + values
    return columns


def lay_out(made_of: Material) -> tuple[Book, Tables]:
    """The book with all its sheets and formulas, without values."""
    book = Book(made_of.system, place=str(made_of.values.get("site_name") or ""))
    applied = tables(made_of)
    write_sheets(book, applied, made_of)
    return book, applied


def refuse_measurements(book: Book) -> None:
    """Raise InputFaults for readings and dips that the book itself finds faulty, before the fit is made with them."""
    model = Model(book, [*((name, "fault") for name in MEASUREMENTS), "recovery_fault"])
    model.evaluate()
    faults = [fault for name in MEASUREMENTS for fault in _rows_to_mend(book, model, name)]
    if found := model.value("recovery_fault"):
        faults.append(Fault("recovery", str(found), "depths that grow less after the pump stopped, two or more"))
    if faults:
        raise InputFaults(faults)


def refuse_memory(book: Book, model: Model) -> None:
    """Raise InputFaults for dry spells that the evaluated book finds faulty."""
    faults = _rows_to_mend(book, model, "remembered")
    if faults:
        raise InputFaults(faults)


def _rows_to_mend(book: Book, model: Model, name: str) -> list[Fault]:
    """What a list's column of faults says, row by row."""
    said = enumerate(_column(book, model, name, "fault"), 1)
    return [Fault(f"{name}[{row}]", str(found), EVIDENCE[name]) for row, found in said if found]


def _column(book: Book, model: Model, table: str, key: str) -> list[Computed]:
    """The evaluated values of a column along its rows."""
    placement = book.directory.placements[table]
    rows = range(placement.table.rows.size)
    return [model.cell((placement.sheet, *placement.cell(key, 0, row))) for row in rows]


def fit(book: Book, site: Site) -> None:
    """Fit the water table, with the evaluated book as the model, and put what was found into its input cells.

    Floor, specific yield and drainage time make the misfits of the Well sheet small by least squares: those of the dips
    where there are any, else those of the summer and winter depth, and the distance from the soil's figures. What the
    site file gives is held.
    """
    from scipy.optimize import least_squares

    starts = [FIT_START[given.name] for given in water_table.FITTED]
    model = Model(book, [*water_table.MISFITS, ("dip_workings", "misfit"), "fit_error", *starts])
    model.evaluate()
    free = [given for given in water_table.FITTED if given.name not in site.given]

    def misfit(values: Iterable[float]) -> list[float]:
        for given, value in zip(free, values, strict=True):
            model.set(given.name, _unscaled(given, value))
        model.evaluate()
        single = [model.number(name) for name in water_table.MISFITS]
        return [*single, *(_number(value) for value in _column(book, model, "dip_workings", "misfit"))]

    if site.values["well_depth"] is None:  # no well: the soil's figures stand, and nothing reads them
        for given in free:
            put(book, given.name, model.number(FIT_START[given.name]))
        return
    if free:
        start, low, high = zip(*(_fit_parameter(book, model, given) for given in free), strict=True)
        solution = least_squares(misfit, start, bounds=(low, high), diff_step=1e-3, xtol=1e-4, ftol=1e-4)
        misfit(solution.x)
        for given, value in zip(free, solution.x, strict=True):
            put(book, given.name, _unscaled(given, value))
    put(book, "fit_error_at_build", model.number("fit_error"))


def _fit_parameter(book: Book, model: Model, given: Input) -> tuple[float, float, float]:
    """Start, lower and upper bound of a fitted figure, scaled."""
    low, high = (to_book(text or "", given.unit, book.system) for text in (given.low, given.high))
    if given.name == "aquifer_floor":
        low = max(low, model.number("well_winter_depth"))
    start = min(max(model.number(FIT_START[given.name]), low), high)
    return _scaled(given, start), _scaled(given, low), _scaled(given, high)


def _scaled(given: Input, value: float) -> float:
    """Specific yield and drainage time are fitted as logarithms, the floor as it is."""
    return value if given.unit is Unit.LENGTH else math.log(value)


def _unscaled(given: Input, value: float) -> float:
    return float(value) if given.unit is Unit.LENGTH else math.exp(value)


def evaluate(book: Book, site: Site) -> Model:
    """Compute the whole book.

    The plan year of a tank that serves all year begins in the month of the largest mean daily yield, and its number is
    that which lies nearest to 'as of'; only the evaluated book can tell them. Where the site file does not give them,
    they are read and put in, and the book is computed again. So is the rain of those months of the plan year that the
    record already holds.
    """
    model = Model(book)
    model.evaluate()
    if "tank_wettest_month" not in site.given:
        month = _wettest_month(book, model)
        put(book, "tank_wettest_month", month)
        model.set("tank_wettest_month", month)
        if model.value("tank_in_service") == "all year":  # nothing else reads it
            model.evaluate()
    if "plan_number" not in site.given:
        nearest = model.number("plan_number_nearest")
        put(book, "plan_number", nearest)
        if nearest != model.number("plan_number"):
            model.set("plan_number", nearest)
            model.evaluate()
    if "rain_so_far" not in site.given and _put_recorded_rain(book, model):
        model.evaluate()
    return model


def _put_recorded_rain(book: Book, model: Model) -> bool:
    """Put the rain of the plan year's months that the record holds into the cells of this year's rain."""
    placement, begins = book.directory.placements["so_far"], model.number("plan_begins")
    recorded = [_column(book, model, "ledger", key) for key in ("record_day", "month", "filled", "rain")]
    months = [
        (int(_number(month)) - 1, _number(rain))
        for day, month, filled, rain in zip(*recorded, strict=True)
        if _number(day) >= begins and not filled
    ]
    for month, rain in months:
        where = placement.cell("rain_so_far", 0, month)
        book.workbook[placement.sheet].cell(*where).value = rain
        model.set_cell((placement.sheet, *where), rain)
    return bool(months)


def _wettest_month(book: Book, model: Model) -> int:
    """The calendar month of the largest mean daily yield, 1 to 12."""
    yields = [_number(value) for value in _column(book, model, "storage_months", "mean_daily_yield")]
    return yields.index(max(yields)) + 1


def _number(value: Computed) -> float:
    return float(value) if isinstance(value, (int, float)) else 0.0


def put(book: Book, name: str, value: float) -> None:
    """Put a number into the input cell of that name."""
    sheet, row, column = book.directory.names[name]
    book.workbook[sheet].cell(row, column).value = value


def refuse_short_record(model: Model) -> None:
    """Raise InputFaults where the evaluated book counts too few plan years."""
    count = int(model.number("usable_years"))
    if count < FEWEST_YEARS:
        found = f"whole plan years with at most two filled months: {count}"
        raise InputFaults([Fault("rain record", found, f"at least {FEWEST_YEARS}, better 30")])


def read_answers(book: Book, values: Mapping[CellKey, Computed]) -> list[Answer]:
    """The answers as they stand in the evaluated book."""
    placement = book.directory.placements["answers"]
    found: list[Answer] = []
    for column in placement.table.columns:
        rows = range(placement.table.rows.size)
        cases = [values[(placement.sheet, *placement.cell(column.key, 0, row))] for row in rows]
        unit, shown_as = column.unit.label(book.system), column.unit.number_format(book.system)
        found.append(Answer(column.key, column.title, unit, shown_as, *cases))
    return found


def read_sentences(model: Model) -> list[str]:
    """The sentences at the head of Answers."""
    return [text for result in SENTENCES if (text := str(model.value(result.name) or ""))]


def read_warnings(model: Model) -> list[str]:
    """What the checks of Answers say."""
    return [text for check in checks.RESULTS if (text := str(model.value(check.name) or ""))]
