"""Records to test with: invented ones, and two real ones that others carry; and a server with one station."""

import importlib.util
import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from budget.record import weather_library
from tests.record.one_station import near
from tests.station_server import StationServer, library_on


@pytest.fixture(scope="session")
def seattle_file() -> Path:
    """Four years of a real record, no gaps: date, precipitation [mm], temp_max, temp_min [°C]."""
    package = importlib.util.find_spec("vega_datasets")
    assert package is not None and package.origin is not None
    return Path(package.origin).parent / "_data" / "seattle-weather.csv"


@pytest.fixture(scope="session")
def long_file() -> Path:
    """Thirty years of a real record: date, prcp [mm], tmax, tmin [°C], a few gaps, one impossible low."""
    folder = os.environ.get("WATER_RECORDS")
    if not folder:
        pytest.skip("WATER_RECORDS names no folder of records")
    return Path(folder) / "merced_daily_1993_2022.csv"


@pytest.fixture(scope="session")
def invented_days() -> pd.DataFrame:
    """Three whole invented years without a gap."""
    calendar = pd.date_range("2009-01-01", "2011-12-31", freq="D", name="date")
    chance = np.random.default_rng(7)
    warmth = (
        10 - 9 * np.cos(2 * np.pi * (calendar.day_of_year.to_numpy() - 15) / 365) + chance.normal(0, 3, len(calendar))
    )
    rain = np.where(chance.random(len(calendar)) < 0.3, chance.gamma(0.8, 9.0, len(calendar)), 0.0)
    spread = chance.uniform(1, 7, len(calendar))
    return pd.DataFrame({"rain": rain, "tmax": warmth + spread, "tmin": warmth - spread}, index=calendar)


@pytest.fixture
def invented_lines() -> list[str]:
    """A sound CSV of the invented years 2010 and 2011: the header, then 2010-01-01 in line 2 and so on."""
    calendar = pd.date_range("2010-01-01", "2011-12-31", freq="D")
    rows = [f"{day.date()},{day.day % 5}.5,{10 + day.month},{day.month}" for day in calendar]
    return ["date,rain (mm),tmax (°C),tmin (°C)", *rows]


@pytest.fixture
def two_years(invented_days: pd.DataFrame) -> pd.DataFrame:
    """Two whole invented years without a gap; not to be changed."""
    return invented_days["2010":]


@pytest.fixture
def server(two_years: pd.DataFrame) -> Iterator[StationServer]:
    """One station with two invented years; slow answers never come."""
    with StationServer([near(two_years)], slow=30) as running:
        yield running


@pytest.fixture
def folder(server: StationServer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The cache folder, with the library on that server; nobody waits for slow answers."""
    monkeypatch.setattr(weather_library, "FILE_TIMEOUT", 0.7)
    monkeypatch.setattr(weather_library, "LIST_TIMEOUT", 0.7)
    with library_on(server, tmp_path / "library"):
        yield tmp_path / "cache"
