"""The rain record: days in, months out.

Files of many layouts are read (`csv_file` says by which steps) and joined (`joined`), values that cannot be believed
are set missing and told (`believable`), gaps filled from stations nearby (`neighbours`) or, month by month, under one
rule (`gaps`, `months`); nights and cold spells become the dates between which pipes and a tank are safe from frost
(`frost_dates`). Files of months are accepted too and tell less (`monthly_file`). `load` does all of it, `report` tells
what came out.

Or the days are fetched from weather stations near the place: `weather_service` asks, `choosing` finds the stations,
`snapshot` keeps what came, `from_stations` puts the three together, and `load_stations` goes on from there.

This is the only package that does arithmetic on the record and the only one that uses pandas; what it hands on is data,
in millimetres and degrees Celsius.
"""

from budget.record.asked import Asked
from budget.record.csv_file import FileRead, read_file
from budget.record.fetched import Fetched, credit_lines
from budget.record.from_stations import Obtained, obtain
from budget.record.frost_dates import FrostRow, FrostTable, frost_table
from budget.record.intake import Record, load, load_stations
from budget.record.months import monthly
from budget.record.report import as_data, as_file, as_text, yearly
from budget.record.snapshot import snapshot_path
from budget.record.station import Wanted

__all__ = [
    "Asked",
    "Fetched",
    "FileRead",
    "FrostRow",
    "FrostTable",
    "Obtained",
    "Record",
    "Wanted",
    "as_data",
    "as_file",
    "as_text",
    "credit_lines",
    "frost_table",
    "load",
    "load_stations",
    "monthly",
    "obtain",
    "read_file",
    "snapshot_path",
    "yearly",
]
