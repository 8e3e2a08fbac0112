"""What a book is made from: the site and the record, in the book's units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from budget.declarations import Input
from budget.units import System

Series = Mapping[str, Sequence[object]]
Origin = Literal["given", "assumed", "found from the record", "fitted", "left empty"]
FOUND: Origin = "found from the record"
LEFT_EMPTY: Origin = "left empty"


@dataclass(frozen=True)
class Provenance:
    """Where a book comes from: what its own papers tell.

    `built_on`: the date of the build. `site_file`, `site_text`: the site file's name, and what stands in it, word for
    word. `record_from`: files or weather stations of the record, a line each; `record_until`: its last day. `origins`:
    where the value of each scalar input and of each input of the calendar months comes from; `given_in_lists`: what the
    site file gave in its lists, as `garden[2].crop`.
    """

    built_on: date
    site_file: str
    site_text: str
    record_from: Sequence[str]
    record_until: date
    origins: Mapping[str, Origin]
    given_in_lists: frozenset[str]


@dataclass(frozen=True)
class Material:
    """What a book is made from, in the book's units.

    `values`: inputs by name. `lists`: rows of household, animals, garden, recovery test, dips and dry spells
    remembered. `monthly`: what is typed by hand for the twelve calendar months, by the input's name. `months`: the
    record's data columns, warm-up years in front, a list each. `year_numbers`: the calendar years of the record.
    `references`: rows of the reference tables. `notes`: sentences on the record's quality; `coverage`: columns of the
    table of years, `frosts`: columns of the table of frosts, `frost_words`: sentences on those of nights;
    `stations`: columns of the table of weather stations
    that the rain was fetched from, `station_notes`: what is to be known of them, `credits`: whom to name for it, all
    empty where the rain stands in files; `assumed`: the inputs that nobody gave; `provenance`: where all of it is from.
    """

    system: System
    values: Mapping[str, float | str | None]
    lists: Mapping[str, Sequence[Mapping[str, object]]]
    monthly: Mapping[str, Sequence[float | None]]
    months: Series
    year_numbers: Sequence[int]
    references: Mapping[str, Sequence[Mapping[str, object]]]
    notes: Sequence[str]
    coverage: Series
    frosts: Series
    frost_words: Sequence[str]
    stations: Series
    station_notes: Sequence[str]
    credits: Sequence[str]
    assumed: Sequence[Input]
    provenance: Provenance
