"""The rain record: days in, months out.

A daily file is read and checked (`csv_file`), its days become calendar months (`months`) under one rule for
missing days (`gaps`), and its daily lows become the dates between which a tank is safe from frost
(`frost_dates`). A file of months is accepted too and tells less (`monthly_file`). `load` does all of it. This is the
only package that does arithmetic on the record and the only one that uses pandas; what it hands on is data, in
millimetres and degrees Celsius.
"""

from budget.record.csv_file import read_record
from budget.record.frost_dates import FrostDates, frost_dates
from budget.record.intake import Record, load
from budget.record.months import monthly

__all__ = ["FrostDates", "Record", "frost_dates", "load", "monthly", "read_record"]
