"""How long a build takes against writing the same cells as constants: `python -m tests.bench_build`.

Prints seconds and ratios for the US example, for its record tiled to 60 and 120 years, the stages of a build of 30
years, and how long the record of three weather stations takes against the same days in files. Nothing is asserted; the
figures depend on the machine, the ratios much less.
"""

from __future__ import annotations

import io
import shutil
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TypeVar

from openpyxl import Workbook

from budget.build import lay_out
from budget.fit import fit
from budget.material import material
from budget.rain import read_record
from budget.record import Asked, Wanted, load, load_stations, obtain
from budget.site_file.reading import read_site
from budget.workbook.book import Book
from budget.workbook.engine import Model
from budget.workbook.finish import finished
from budget.workbook.sheets import ALTERNATIVES
from tests.computed import ROOT
from tests.station_server import StationServer, days_of_file, library_on, stations_around

EXAMPLE = ROOT / "example_inputs" / "terrace_house.toml"
RAIN = ROOT / "example_inputs" / "terrace_house_rain.csv"
YEARS, TILES = 30, (1, 2, 4)
RUNS = 2  # of each, the faster counts
T = TypeVar("T")
STAGES = ("read", "lay out", "fit", "evaluate", "finish")


def timed(seconds: dict[str, float], stage: str, work: Callable[[], T]) -> T:
    start = time.perf_counter()
    result = work()
    seconds[stage] = time.perf_counter() - start
    return result


def build_in_stages(site_path: Path) -> tuple[Book, dict, dict[str, float]]:
    """One build: the book, the values of its formulas, and the seconds of each stage."""
    seconds: dict[str, float] = {}

    def read():
        site = read_site(site_path)
        return site, material(site, read_record(site))

    def evaluate():
        model = Model(book)
        model.evaluate()
        return model.computed()

    site, made_of = timed(seconds, "read", read)
    book, _ = timed(seconds, "lay out", lambda: lay_out(made_of))
    timed(seconds, "fit", lambda: fit(book, site))
    values = timed(seconds, "evaluate", evaluate)
    timed(seconds, "finish", lambda: finished(book, values, ALTERNATIVES))
    return book, values, seconds


def write_constants(book: Book, values: dict) -> tuple[int, float]:
    """Cells and seconds of a fresh workbook that holds the same values, without styles, saved to memory."""
    cells = [
        (sheet.title, row, column, values.get((sheet.title, row, column), cell.value))
        for sheet in book.workbook.worksheets
        for (row, column), cell in sheet._cells.items()
        if cell.value is not None
    ]
    start = time.perf_counter()
    plain = Workbook()
    plain.remove(plain.active)
    for name in book.workbook.sheetnames:
        plain.create_sheet(name)
    for name, row, column, value in cells:
        plain[name].cell(row, column).value = value
    plain.save(io.BytesIO())
    return len(cells), time.perf_counter() - start


def tiled(folder: Path, times: int) -> Path:
    """The example with its record repeated backwards in time, a whole number of four-year cycles apart."""
    header, *days = RAIN.read_text(encoding="utf-8").splitlines()
    shift = 28  # years, a multiple of four so that 29 February falls on itself; the two years between are not used
    used = [day for day in days if int(day[:4]) >= int(days[-1][:4]) - shift + 1]
    lines = [*days]
    for number in range(1, times + 1):
        earlier = [f"{int(day[:4]) - number * shift}{day[4:]}" for day in used]
        lines = [day for day in earlier if day[:10] < lines[0][:10]] + lines
    whole = int(lines[-1][:4]) - times * YEARS + 1
    lines = [day for day in lines if int(day[:4]) >= whole]
    for day in lines:
        date.fromisoformat(day[:10])
    folder.mkdir()
    (folder / RAIN.name).write_text("\n".join([header, *lines]) + "\n", encoding="utf-8")
    shutil.copy(EXAMPLE, folder)
    return folder / EXAMPLE.name


def stations_against_files(folder: Path) -> dict[str, float]:
    """Seconds from the days of three stations to a record: from files, from a snapshot, from the cache, fetched."""
    days = days_of_file(RAIN)
    served = stations_around("Terrace", "ZZA", days, 44.3, -40.0, 100)
    files = [folder / f"{station.id}.csv" for station in served]
    for station, file in zip(served, files, strict=True):
        table = station.days.reindex(columns=["rain", "tmax", "tmin"])
        table.columns = ["rain (mm)", "tmax (°C)", "tmin (°C)"]
        table.round(1).to_csv(file, index_label="date")
    first, last = days.index[0].year, days.index[-1].year
    wanted, snapshot = Wanted(44.3, -40.0, None, first, last, 50.0), folder / "home_stations.csv"
    seconds: dict[str, float] = {}

    def fetched():
        return load_stations(obtain(snapshot, wanted, False, date.today(), folder / "cache"), None, False)

    with StationServer(served) as server, library_on(server, folder / "library"):
        timed(seconds, "fetched", fetched)
        for name, work in (("snapshot", fetched), ("files", lambda: load(files[:1], Asked(), False, files[1:]))):
            runs: list[dict[str, float]] = [{} for _ in range(RUNS)]
            for run in runs:
                timed(run, name, work)
            seconds[name] = min(run[name] for run in runs)
        snapshot.unlink()
        timed(seconds, "cache", fetched)
    return seconds


def main() -> None:
    """Measure and print."""
    build_in_stages(EXAMPLE)  # warm: imports, the registry of units
    print(f"{'years':>6} {'cells':>8} {'build':>8} {'constants':>10} {'ratio':>6}")
    stages: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        for times in TILES:
            site_path = tiled(Path(folder) / str(times), times)
            builds = [build_in_stages(site_path) for _ in range(RUNS)]
            book, values, seconds = min(builds, key=lambda built: sum(built[2].values()))
            stages = stages or seconds
            (count, constants), *_ = sorted(write_constants(book, values) for _ in range(RUNS))
            total = sum(seconds.values())
            print(
                f"{times * YEARS:>6} {count:>8,} {total:>6.2f} s {constants:>8.2f} s {total / constants:>6.2f}",
                flush=True,
            )
    print(f"\nStages of the build of {YEARS} years:")
    for stage in STAGES:
        print(f"  {stage:<9} {stages[stage]:>6.2f} s  {stages[stage] / sum(stages.values()):>4.0%}")
    print(f"\nThe record of three stations, {YEARS} years:")
    with tempfile.TemporaryDirectory() as folder:
        seconds = stations_against_files(Path(folder))
    for source in ("files", "snapshot", "cache", "fetched"):
        print(f"  {source:<9} {seconds[source]:>6.2f} s  {seconds[source] / seconds['files']:>5.2f} of that from files")


if __name__ == "__main__":
    main()
