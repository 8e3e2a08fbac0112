"""The rain record: days in, months out.

Files of many layouts are read (`csv_file`, `layouts`) and joined (`joined`), values that cannot be believed are set
missing and told (`believable`), gaps filled from stations nearby (`neighbours`) or, month by month, under one rule
(`gaps`, `months`); the daily lows become the dates between which a tank is safe from frost (`frost_dates`). Files of
months are accepted too and tell less (`monthly_file`). `load` does all of it, `report` tells what came out. This is the
only package that does arithmetic on the record and the only one that uses pandas; what it hands on is data, in
millimetres and degrees Celsius.
"""

from budget.record.csv_file import Asked, FileRead, read_file
from budget.record.frost_dates import FrostDates, frost_dates
from budget.record.intake import Record, load
from budget.record.months import monthly
from budget.record.report import as_data, as_file, as_text, yearly

__all__ = [
    "Asked",
    "FileRead",
    "FrostDates",
    "Record",
    "as_data",
    "as_file",
    "as_text",
    "frost_dates",
    "load",
    "monthly",
    "read_file",
    "yearly",
]
