"""Rain from weather stations in the workbook: what Climate and Sources say of them, and the warning of their height."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date

import pytest
from openpyxl.worksheet.worksheet import Worksheet

from budget.build import read_warnings
from budget.record import credit_lines
from budget.record.choosing import ENOUGH, ENOUGH_FOR_GAPS, FILLING
from budget.record.station import EARTH_RADIUS, LAPSE_RATE, Considered, Station
from budget.site_file.reading import read_site
from budget.stations import MOST_STATIONS, station_columns
from budget.units import System, serial
from budget.water import record, water_table
from budget.workbook.sheets.sources_sheet import OF_STATIONS, OF_THE_RECORD
from tests.computed import Computed
from tests.invented_stations import (
    FERRY,
    FIELD,
    MILL,
    NOT_TAKEN,
    RIDGE,
    SNAPSHOT,
    TERRACE,
    UNTIL,
    compute_fetched,
    fetched_record,
    invented,
    without_elevation,
)
from tests.pictures import finished_book
from tests.workbook import lint
from tests.workbook.clipped import clipped
from tests.workbook.test_by_hand import differences
from tests.workbook.test_two_systems import unequal, units

METRES_UP = 250  # of the station for the rain above the place
KM_A_MILE, M_A_FOOT = 1.609344, 0.3048


def texts(sheet: Worksheet) -> list[str]:
    """Every text of a sheet's visible rows."""
    hidden = {row for row, dimension in sheet.row_dimensions.items() if dimension.hidden}
    cells = [cell for row in sheet.iter_rows() for cell in row if cell.row not in hidden]
    return [cell.value for cell in cells if isinstance(cell.value, str)]


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[Computed, Computed]:
    """The US and the metric book of the same place; the fitted figures are given, so that both hold the same."""
    us = compute_fetched(read_site(TERRACE), invented())
    held = [
        f'floor = "{us.model.number("aquifer_floor")!r} ft"',
        f"specific_yield = {us.model.number('aquifer_specific_yield')!r}",
        f'drainage_time = "{us.model.number("aquifer_drainage_time")!r} day"',
    ]
    assert [given.name for given in water_table.FITTED] == [f"aquifer_{line.split(' =')[0]}" for line in held]
    folder = tmp_path_factory.mktemp("stations")
    shutil.copy(TERRACE.with_name("terrace_house_rain.csv"), folder)
    text = TERRACE.read_text(encoding="utf-8")
    built = []
    for system in ("US", "metric"):
        path = folder / f"{system}.toml"
        changed = text.replace('units = "US"', f'units = "{system}"')
        path.write_text(changed + "\n[aquifer]\n" + "\n".join(held) + "\n", encoding="utf-8")
        built.append(compute_fetched(read_site(path), invented()))
    return built[0], built[1]


@pytest.fixture
def us(both: tuple[Computed, Computed]) -> Computed:
    """A copy of the US book, whose cells may be set."""
    return both[0].copy()


def type_in(computed: Computed, name: str, value: float | None) -> None:
    """Type a number into a named cell, or empty it."""
    if value is None:
        computed.model.clear_cell(computed.book.directory.names[name])
    else:
        computed.model.set(name, value)


# ---------------------------------------------------------------- Climate


@pytest.mark.parametrize("system", ["US", "metric"])
def test_climate_has_a_line_for_each_station(both: tuple[Computed, Computed], system: System) -> None:
    book = both[0] if system == "US" else both[1]
    km, metre = (1 / KM_A_MILE, 1 / M_A_FOOT) if system == "US" else (1, 1)
    stations = (FERRY, MILL, RIDGE, FIELD)
    assert book.column("stations", "station") == [f"{station.name} ({station.id})" for station in stations]
    distances = [station.distance * km for station in stations]
    assert book.column("stations", "station_distance") == pytest.approx(distances, rel=1e-12)
    assert book.column("stations", "station_height")[0] is None
    assert book.column("stations", "station_above")[0] == ""
    heights = [378.0 * metre, 410.0 * metre, 96.5 * metre]
    assert book.column("stations", "station_height")[1:] == pytest.approx(heights, rel=1e-12)
    above = [(height - 128.016) * metre for height in (378.0, 410.0, 96.5)]
    assert book.column("stations", "station_above")[1:] == pytest.approx(above, rel=1e-9)
    assert book.column("stations", "station_serves") == [
        "not taken: rain from 2019-04-02 to 2026-02-03 only, by its inventory",
        "rain",
        "gaps",
        "temperatures",
    ]
    begins = [date(2019, 4, 2), date(1996, 1, 1), date(1971, 6, 1), date(1950, 1, 1)]
    assert book.column("stations", "station_begins") == [serial(day) for day in begins]
    assert book.column("stations", "station_ends") == [serial(UNTIL)] * 4
    assert book.column("stations", "station_rain_known") == [None, 0.9916, 0.988, 0.704]
    assert book.column("stations", "station_warmth_known") == [None, 0.41, None, 0.998]
    assert book.model.number("rain_station_height") == pytest.approx(378.0 * metre, rel=1e-12)
    assert book.model.number("rain_station_distance") == pytest.approx(9.4 * km, rel=1e-12)


def test_climate_says_whom_to_name_and_what_the_shares_are_of(us: Computed) -> None:
    said = texts(us.book.sheets["Climate"])
    for line in (
        *credit_lines(invented()),
        "Looked for round latitude 44.3, longitude -30. Shares are of the days of 1996 to 2025.",
        f"What was fetched on 2026-02-03 stands in {SNAPSHOT} beside the site file; later builds read it there.",
        "Temperatures were brought to the elevation of the place when this book was built: where you change it, they"
        " follow when it is built anew.",
    ):
        assert line in said, line
    assert any("CC BY 4.0" in line and "Invented Weather Office" in line for line in said)
    assert any(line.startswith("Rain was measured by the weather station Upper Mill (INV02), 9.4 km") for line in said)
    assert said.index("Weather stations") > said.index("The record")


def test_the_inputs_stand_with_the_place(us: Computed) -> None:
    said = texts(us.book.sheets["Climate"])
    assert len(record.STATION) == 3
    for given in record.STATION:
        assert said.index("The place") < said.index(given.title) < said.index("The record")


def test_neighbours_filled_the_hole(us: Computed) -> None:
    filled = dict(zip(us.column("coverage", "coverage_year"), us.column("coverage", "neighbour_days"), strict=True))
    assert filled[2009] == 92 and sum(filled.values()) == 92


def test_a_place_with_files_shows_nothing_of_stations(terrace: Computed) -> None:
    said = texts(terrace.book.sheets["Climate"])
    assert "Weather stations" not in said and "stations" not in terrace.book.directory.placements
    assert not {given.title for given in record.STATION} & set(said)
    assert "Weather data" not in texts(terrace.book.sheets["Sources"])
    assert not {title for title, _ in OF_STATIONS} & set(texts(terrace.book.sheets["Sources"]))
    assert terrace.model.value("rain_station_height") in (None, "")
    assert terrace.model.value("check_station_height") == ""
    assert terrace.model.number("site_elevation") == 420
    links = [owner for owner in terrace.book.owners.values() if str(owner).startswith("again:rain_height_limit")]
    assert links == []


# ---------------------------------------------------------------- Sources


def test_sources_name_the_service_and_what_was_done(us: Computed) -> None:
    said = texts(us.book.sheets["Sources"])
    at = said.index("Weather data")
    assert said[at + 1 : at + 4] == credit_lines(invented())
    for title, source in (*OF_THE_RECORD, *OF_STATIONS):
        assert title in said and source in said


def test_sources_say_what_the_choice_of_stations_does() -> None:
    """The figures stand in words on the sheet, and in the package that chooses."""
    told = " ".join(f"{title}: {source}" for title, source in OF_STATIONS)
    assert FILLING == 2 and "the next two" in told
    for figure in (f"rain on {ENOUGH:.0%}", f"rain on {ENOUGH_FOR_GAPS:.0%}"):
        assert figure.replace("%", " %") in told
    assert f"{LAPSE_RATE} K per km" in told and f"{EARTH_RADIUS:.0f} km" in told


# ---------------------------------------------------------------- the warning


def test_a_station_far_above_makes_a_warning(both: tuple[Computed, Computed]) -> None:
    assert [book.book.system for book in both] == ["US", "metric"]
    for book in both:
        assert book.model.value("check_station_height") == (
            "The rain station stands 250 m (820 ft) higher than the place, and rain often grows with height: on Climate"
            " type your place's rain of a mean year, or take a station at a like height."
        )
        assert book.model.value("check_station_height") in read_warnings(book.model)


@pytest.mark.parametrize(
    ("metres", "warns"), [(150, False), (199.9, False), (200.1, True), (-150, False), (-250, True)]
)
def test_it_hangs_on_the_difference(us: Computed, metres: float, warns: bool) -> None:
    type_in(us, "rain_station_height", us.model.number("site_elevation") + metres / M_A_FOOT)
    us.evaluate()
    said = str(us.model.value("check_station_height"))
    assert bool(said) == warns
    assert ("lower than" in said) == (warns and metres < 0)
    assert differences(us) == []


@pytest.mark.parametrize(
    ("name", "value"),
    [("rain_local_annual", 40.0), ("rain_station_height", None), ("rain_height_limit", 260 / M_A_FOOT)],
)
def test_it_falls_silent(us: Computed, name: str, value: float | None) -> None:
    """With the place's own rain, without a height to compare, and with a wider limit."""
    type_in(us, name, value)
    us.evaluate()
    assert us.model.value("check_station_height") == ""
    assert differences(us) == []


def test_another_elevation_moves_the_table(us: Computed) -> None:
    before = us.column("stations", "station_above")[1]
    type_in(us, "site_elevation", us.model.number("site_elevation") + 100)
    us.evaluate()
    assert us.column("stations", "station_above")[1] == pytest.approx(float(before) - 100, rel=1e-12)
    assert differences(us) == []


# ---------------------------------------------------------------- by hand, and in both systems


def test_every_column_is_that_of_the_ledgers_by_hand(both: tuple[Computed, Computed]) -> None:
    assert [differences(book) for book in both] == [[], []]


def test_every_cell_converts(both: tuple[Computed, Computed]) -> None:
    assert list(unequal(*both, units(both[0]))) == []


def test_a_broken_difference_is_seen(us: Computed) -> None:
    for where in us.cells("stations", "station_above"):
        formula = str(us.book.workbook[where[0]].cell(*where[1:])._value)
        us.model.set_formula(where, formula.replace("- site_elevation", "+ site_elevation"))
    us.evaluate()
    found = differences(us)
    assert [line.split(" row")[0] for line in found] == ["stations:station_above[0]"]


# ---------------------------------------------------------------- what a list of stations may hold


@pytest.fixture(scope="module")
def crowded() -> Computed:
    """A place without an elevation, amid many stations, some of them odd; that of the rain has no height."""
    long = "Overtheriverandthroughthewoods" * 5
    odd = [
        Considered(Station("INV90", "=1+1", "XX", 44.3, -30.0, 10.0, 3.3), 0.2, 0.1, None, None, (), "rain on 20 %"),
        Considered(Station("INV91", long, "XX", 44.3, -30.0, -12.0, 3.4), None, None, None, None, (), ""),
        Considered(Station("INV92", "'; +A1", "XX", 44.3, -30.0, None, 3.5), None, None, None, None, (), "x " * 300),
    ]
    many = [
        Considered(
            Station(f"INV{n}", f"Invented hill {n} on the far side of the water", "XX", 44.3, -30.0, 20.0 * n, n / 2),
            *(None, None, None, None),
            (),
            f"{n} years could not be read (1996, 1998, 2003 to 2007, 2009 to 2024: its file cannot be read)",
        )
        for n in range(10, 30)
    ]
    no_height = replace(MILL, height=None)
    return compute_fetched(without_elevation(read_site(TERRACE)), invented(no_height, [NOT_TAKEN, *odd, *many]))


def test_many_stations_are_cut_short(crowded: Computed) -> None:
    """The nearest, and farther on those that serve."""
    names = [str(name) for name in crowded.column("stations", "station")]
    assert len(names) == MOST_STATIONS + 3
    assert names[-3:] == [f"{station.name} ({station.id})" for station in (MILL, RIDGE, FIELD)]
    said = texts(crowded.book.sheets["Climate"])
    assert "Not shown: 12 farther stations not taken; that file lists all." in said


def test_odd_names_stay_text(crowded: Computed) -> None:
    names = [str(name) for name in crowded.column("stations", "station")]
    assert names[1] == "=1+1 (INV90)" and names[3] == "'; +A1 (INV92)"
    sheet, row, column = crowded.cells("stations", "station")[1]
    assert crowded.book.workbook[sheet].cell(row, column).data_type == "s"
    assert names[2].startswith("Overtheriver") and names[2].endswith("… (INV91)") and len(names[2]) < 80
    assert all(len(str(text)) <= 160 for text in crowded.column("stations", "station_serves"))
    assert lint.faults(crowded.book.workbook) == []
    assert finished_book(crowded)


def test_no_text_of_the_table_is_cut_off(crowded: Computed, us: Computed) -> None:
    for book in (crowded, us):
        found = clipped(book.book.workbook, book.values)
        assert len(book.column("stations", "station")) > 1
        # A name that is one endless word is broken within.
        assert [one for one in found if one.printed and not one.text.startswith("Overtheriver")] == []


def test_without_any_height_nothing_is_warned_of(crowded: Computed) -> None:
    assert crowded.model.value("rain_station_height") in (None, "")
    assert crowded.model.value("check_station_height") == ""
    assert crowded.model.number("site_elevation") == 0
    assert any("and that of the rain station is not known" in line for line in crowded.made_of.station_notes)
    assert differences(crowded) == []


def test_without_an_elevation_that_of_the_rain_station_is_taken() -> None:
    """It stands on Climate, Read first lists it among what was taken, and there is no warning."""
    book = compute_fetched(without_elevation(read_site(TERRACE)), invented())
    assert book.model.number("site_elevation") == pytest.approx(378.0 / M_A_FOOT, rel=1e-12)
    assert book.model.value("check_station_height") == ""
    assert "site_elevation" in {given.name for given in book.made_of.assumed}
    listed = {str(owner) for (sheet, _, _), owner in book.book.owners.items() if sheet == "Read first"}
    assert {"again:site_elevation", "again:rain_height_limit"} <= listed
    said = texts(book.book.sheets["Climate"])
    assert any(line.startswith("The site file gives no elevation of the place: that of the rain") for line in said)
    assert book.column("stations", "station_above")[1] == 0


def test_a_station_of_two_uses_says_both_and_why() -> None:
    """One that is named, and one that serves for gaps though it was refused for the rain."""
    fetched = invented()
    rain, gaps, warmth = fetched.considered[1:]
    considered = [
        replace(rain, serves=("rain", "temperatures"), why="named in the site file"),
        replace(gaps, why="rain on 80 % of the days"),
        warmth,
    ]
    rain_record = replace(fetched_record(fetched), fetched=replace(fetched, considered=considered))
    columns = station_columns(rain_record, "US")
    assert columns["station_serves"] == [
        "rain, temperatures; named in the site file",
        "gaps; not for rain: rain on 80 % of the days",
        "temperatures",
    ]
