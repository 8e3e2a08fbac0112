"""The weather library is set up for each question, and everything is put back after it."""

from __future__ import annotations

import logging
import os
import socket
import ssl
import subprocess
import sys
import warnings
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import certifi
import meteostat
import pytest
from meteostat.core.providers import provider_service
from meteostat.enumerations import Grade
from meteostat.providers.meteostat import daily as daily_files

from budget.errors import RainUnavailable
from budget.record import station_list
from budget.record.fetched import Credit
from budget.record.layouts import NOT_MEASURED
from budget.record.station import Station, Wanted
from budget.record.station_days import NetworkGone
from budget.record.trouble import Kind
from budget.record.weather_library import DAY, credits_of, library_version
from tests.record.one_station import BROOK, OF_DAYS, PLACE, UNTIL, YEARS, service
from tests.station_server import Fault, StationServer


def test_every_source_that_the_library_grades_as_a_forecast_is_known_here() -> None:
    """A source that a new version of it brings must be named in NOT_MEASURED."""
    graded = {str(entry.id) for entry in provider_service.providers if entry.grade in (Grade.FORECAST, Grade.ANALYSIS)}
    assert graded and graded <= NOT_MEASURED


def test_credits_by_the_librarys_table() -> None:
    assert credits_of({"ghcnd": 10, "dwd_daily": 200, "invented": 10, "metar": 1}) == [
        Credit("dwd_daily", 200, "CC BY 4.0", "Deutscher Wetterdienst"),
        Credit("ghcnd", 10, "CC0 1.0 Universal", ""),
        Credit("invented", 10, "licence not named", ""),
        Credit("metar", 1, "licence not named", ""),
    ]
    assert credits_of({}) == []


def test_the_library_is_named_with_its_version() -> None:
    assert library_version() == f"meteostat {meteostat.__version__}"


# ---- everything is put back ----


def state() -> dict[str, object]:
    """All that a question changes for the time of its asking."""
    theirs = logging.getLogger("meteostat")
    return {
        "settings": dict(vars(meteostat.config)),
        "environment": dict(os.environ),
        "time limit": socket.getdefaulttimeout(),
        "log": (theirs.level, theirs.propagate, theirs.disabled, list(theirs.handlers), logging.root.manager.disable),
        "warnings": list(warnings.filters),
        "endpoint": daily_files.ENDPOINT,
    }


@pytest.fixture
def unlike(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A program that has settings of its own."""
    theirs, before = logging.getLogger("meteostat"), socket.getdefaulttimeout()
    level, propagate = theirs.level, theirs.propagate
    theirs.setLevel(logging.ERROR)
    theirs.propagate = False
    theirs.addHandler(own := logging.NullHandler())
    socket.setdefaulttimeout(77.0)
    monkeypatch.delenv("SSL_CERT_FILE", raising=False)
    monkeypatch.setattr(ssl, "get_default_verify_paths", lambda: SimpleNamespace(cafile=None))
    try:
        yield
    finally:
        theirs.setLevel(level)
        theirs.propagate = propagate
        theirs.removeHandler(own)
        socket.setdefaulttimeout(before)


def test_everything_is_put_back_after_each_question(folder: Path, server: StationServer, unlike: None) -> None:
    before = state()
    asking = service(folder)
    stations = asking.stations.nearby(PLACE)
    assert state() == before
    asking.stations.periods(stations)
    assert state() == before
    asking.stations.named(Wanted(44.3, -40.0, "ZZA01", None, None, 50.0))
    assert state() == before
    asking.days.of(BROOK, YEARS, UNTIL)
    assert state() == before
    server.faults["*"] = Fault.BLANK_SOURCE
    service(folder, fresh=True).days.of(BROOK, YEARS, UNTIL)
    assert state() == before


def test_everything_is_put_back_after_an_error(
    folder: Path, server: StationServer, unlike: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = state()
    server.stop()
    with pytest.raises(RainUnavailable):
        service(folder).stations.nearby(PLACE)
    assert state() == before
    with pytest.raises(NetworkGone):
        service(folder).days.of(BROOK, YEARS, UNTIL)
    assert state() == before

    def interrupted(*given: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch, pytest.raises(KeyboardInterrupt):
        patch.setattr(meteostat, "daily", interrupted)
        service(folder).days.of(BROOK, YEARS, UNTIL)
    assert state() == before
    (folder / "days" / "ZZA09").touch()
    with pytest.raises(RainUnavailable, match="cannot be made"):
        service(folder).days.of(Station("ZZA09", "", "", 0, 0, None, 0), YEARS, UNTIL)
    assert state() == before


def test_how_the_library_is_asked(folder: Path, unlike: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """With certificates where this Python has none, a time limit, a cache of our own and its log heard by nobody."""
    seen: list[object] = []
    asked = meteostat.daily

    def look(*given: object) -> object:
        config, theirs = meteostat.config, logging.getLogger("meteostat")
        seen.append(os.environ["SSL_CERT_FILE"])
        seen.append((socket.getdefaulttimeout(), theirs.level, theirs.propagate))
        seen.append((config.cache_directory, config.stations_db_file, config.cache_autoclean, config.cache_ttl))
        return asked(*given)

    monkeypatch.setattr(meteostat, "daily", look)
    service(folder).days.of(BROOK, [2010], UNTIL)
    assert seen == [
        certifi.where(),
        (0.7, logging.INFO, False),
        (str(folder / "days" / "ZZA01"), str(folder / "stations.db"), False, DAY),
    ]


def test_certificates_that_are_named_stay(folder: Path, unlike: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", "/own/certificates.pem")
    seen: list[str] = []
    asked = meteostat.daily
    monkeypatch.setattr(meteostat, "daily", lambda *given: (seen.append(os.environ["SSL_CERT_FILE"]), asked(*given))[1])
    service(folder).days.of(BROOK, [2010], UNTIL)
    assert seen == [os.environ["SSL_CERT_FILE"]] == ["/own/certificates.pem"]


# ---- what nobody sees ----


@pytest.mark.parametrize("fault", [None, *OF_DAYS], ids=lambda fault: fault.name if fault else "sound")
def test_nothing_is_printed_or_logged(
    fault: Fault | None,
    folder: Path,
    server: StationServer,
    capfd: pytest.CaptureFixture[str],
    caplog: pytest.LogCaptureFixture,
) -> None:
    caplog.set_level(logging.DEBUG)
    if fault:
        server.faults["*"] = fault
        with pytest.MonkeyPatch.context() as patch, pytest.raises(RainUnavailable):
            patch.setattr(station_list, "is_sound", lambda path: False)  # for faults that leave the list
            service(folder).stations.nearby(PLACE)
    service(folder).days.of(BROOK, YEARS, UNTIL)
    assert capfd.readouterr() == ("", "")
    assert [record.getMessage() for record in caplog.records if record.name.startswith(("meteostat", "budget"))] == []


@pytest.mark.parametrize("silence", ["all", "the library"])
def test_a_program_that_wants_no_log_is_told_of_troubles_too(silence: str, folder: Path, server: StationServer) -> None:
    """The troubles come by the library's log, so that it must not be silent while it is read."""
    server.faults["/daily/*"] = Fault.SERVER_ERROR
    theirs = logging.getLogger("meteostat")
    try:
        if silence == "all":
            logging.disable(logging.CRITICAL)
        else:
            theirs.disabled = True
        before = state()
        came = service(folder).days.of(BROOK, YEARS, UNTIL)
        assert state() == before
    finally:
        logging.disable(logging.NOTSET)
        theirs.disabled = False
    assert came.troubled(Kind.SERVER) == YEARS


PROGRAM = """
import sys
import budget.record, budget.record.choosing, budget.record.fetched, budget.record.weather_service
import budget.record.from_stations, budget.record.snapshot
budget.record.weather_service.WeatherService()
print([name for name in ("meteostat", "requests", "certifi") if name in sys.modules])
"""


def test_the_library_is_imported_only_when_it_is_asked() -> None:
    run = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, text=True)
    assert (run.stdout, run.stderr) == ("[]\n", "")
