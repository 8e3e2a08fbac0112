"""Reference evapotranspiration from temperature and latitude.

Source: Allen, Pereira, Raes, Smith (1998), FAO Irrigation and Drainage Paper 56: Hargreaves' equation (eq. 52) with
extraterrestrial radiation (eqs 21 to 25) on the 15th of the month.
"""

from budget.declarations import Column
from budget.units import Unit

RADIATION = [
    Column(
        "day_of_year",
        "Day of the year",
        Unit.COUNT,
        "Number of the 15th in a year of 365 days.",
        "DATE(2001, {month}, 15) - DATE(2000, 12, 31)",
    ),
    Column(
        "sun_distance",
        "Relative distance to the sun, inverse",
        Unit.FINE,
        "1 on the average.",
        "1 + 0.033 * COS(2 * PI() / 365 * {day_of_year})",
        source="FAO-56 eq. 23: 1 + 0.033 cos(2π J/365)",
    ),
    Column(
        "declination",
        "Declination of the sun",
        Unit.RADIANS,
        "Angle above the equator.",
        "0.409 * SIN(2 * PI() / 365 * {day_of_year} - 1.39)",
        source="FAO-56 eq. 24: 0.409 sin(2π J/365 − 1.39)",
    ),
    Column(
        "sunset_angle",
        "Sunset hour angle",
        Unit.RADIANS,
        "Half the day's length; kept within 0 and π in polar night and polar day.",
        "ACOS(MAX(-1, MIN(1, -TAN(latitude_radians) * TAN({declination}))))",
        source="FAO-56 eq. 25: arccos(−tan φ tan δ)",
    ),
    Column(
        "radiation",
        "Extraterrestrial radiation",
        Unit.RADIATION,
        "Sunlight above the air on the 15th.",
        "MAX(0, 24 * 60 / PI() * 0.0820 * {sun_distance} * ({sunset_angle} * SIN(latitude_radians) * SIN({declination})"
        " + COS(latitude_radians) * COS({declination}) * SIN({sunset_angle})))",
        source="FAO-56 eq. 21: 24 × 60/π × 0.0820 dr (ωs sin φ sin δ + cos φ cos δ sin ωs)",
    ),
]

COLUMNS = [
    Column(
        "reference_et",
        "Reference evapotranspiration",
        Unit.DEPTH,
        "Water that short grass with plenty of it would use in the month.",
        "MAX(0, 0.0023 * (({tmean} - freezing_point) / degrees_per_celsius + 17.8)"
        " * SQRT(MAX(0, {tmax} - {tmin}) / degrees_per_celsius) * 0.408 * {climate:radiation@month})"
        " * {days} / mm_per_depth",
        source="FAO-56 eq. 52 (Hargreaves): 0.0023 (Tmean + 17.8) √(Tmax − Tmin) Ra; Ra × 0.408 turns MJ/m² into mm",
    ),
]
