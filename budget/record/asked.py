"""What the site file says of its rain files, each where the files themselves do not say it."""

from __future__ import annotations

from dataclasses import dataclass

# What the site file may say of a column: the words for it, the setting, its choices.
UNIT_SETTINGS = {
    "rain": ("rain", "rain.unit", ("in", "mm")),
    "tmax": ("temperatures", "rain.temperature_unit", ("F", "C")),
    "tmin": ("temperatures", "rain.temperature_unit", ("F", "C")),
}
DRY, MISSING = "dry", "missing"  # what days are that a file leaves out


@dataclass(frozen=True)
class Asked:
    """What the site file says of its rain files, each where the files themselves do not say it."""

    unit: str | None = None
    temperature_unit: str | None = None
    date_order: str | None = None
    days_left_out: str | None = None
    station: str | None = None


NOTHING_SAID = Asked()
