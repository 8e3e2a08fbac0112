"""The place: its name, latitude and elevation."""

from budget.declarations import Input, Result
from budget.units import Unit

INPUTS = [
    Input("site_name", "Name of the place", Unit.TEXT, "Stands on every page.", "A home on a shallow well"),
    Input(
        "site_latitude",
        "Latitude",
        Unit.LATITUDE,
        "Sets the length of day, and with it how much water plants use; south of the equator negative.",
        low="-90",
        high="90",
    ),
    Input(
        "site_elevation",
        "Elevation above the sea",
        Unit.HEIGHT,
        "Sets how high a suction pump can lift; temperatures of a weather station are brought to it by the build.",
        "0 m",
        low="-450 m",
        high="5500 m",
    ),
]

RESULTS = [
    Result(
        "latitude_radians",
        "Latitude in radians",
        Unit.RADIANS,
        "For the radiation.",
        "RADIANS(site_latitude)",
        "FAO-56 eq. 22",
    ),
]
