"""The weather service that is asked for rain: its list of stations, and their days.

    station_list       which stations there are, how far away, what the list says that they have
    station_days       the days of one station, year by year
    trouble            what went wrong, in words
    weather_library    meteostat, which asks; nothing else imports it

What it answers is kept in a cache folder for some days. The cache is no archive: the snapshot is.
"""

from __future__ import annotations

from pathlib import Path

import platformdirs

from budget.record.station_days import StationDays
from budget.record.station_list import StationList
from budget.record.weather_library import RETRIES


def cache_folder() -> Path:
    """Where answers of the service are kept for some days; not an archive."""
    return platformdirs.user_cache_path("water-budget")


class WeatherService:
    """The service, with a cache folder of its own: its `stations` and their `days`. One object serves one search.

    `fresh`: days are asked for even where the cache has them. `pause` [s]: before what failed is asked for again.
    `retries`: of the list of stations.
    """

    def __init__(
        self, folder: Path | None = None, fresh: bool = False, pause: float | None = None, retries: int = RETRIES
    ) -> None:
        self.folder = folder or cache_folder()
        self.fresh = fresh
        self.stations = StationList(self.folder, retries)
        self.days = StationDays(self.folder, fresh, pause)

    @property
    def remarks(self) -> list[str]:
        """What is to be told of the list and of the cache."""
        return [*self.stations.remarks, *self.days.remarks]
