"""What the house and the garden ask for."""

import numpy as np

from .site import Columns, Site, row_named

INCH = 25.4  # [mm]
LARGEST_STORAGE = 7.0  # [in], where the published curve of the storage factor ends
YEAR_OF_365 = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)  # days of the calendar months


def household(site: Site) -> Columns:
    """Of each line: row in the table of uses, amount a day [L/day], and whether its amount is not known."""
    uses = site.lists["uses"]
    rows, daily, unknown = [], [], []
    for line in site.lists["household"]:
        row = row_named(uses, "use", line["use"])
        amount = line["amount"]
        if amount is None and row:
            amount = uses[row - 1]["amount"]
        number = line["number"]
        rows.append(row)
        daily.append((number or 0.0) * (amount or 0.0))
        unknown.append((number is not None and amount is None) or (line["use"] is not None and number is None))
    return {
        "use_row": np.array(rows, dtype=float),
        "line_daily": np.array(daily, dtype=float),
        "unknown": np.array(unknown, dtype=float),
    }


def by_month(lines: list[dict], line_daily: np.ndarray) -> np.ndarray:
    """Need a day [L/day] in each calendar month, shape (12,): sum of line × factor of the month."""
    total = np.zeros(12)
    for line, daily in zip(lines, line_daily, strict=True):
        for m in range(12):
            factor = line["factors"][m]
            total[m] += daily * (1.0 if factor is None else factor)
    return total


def animals(site: Site) -> Columns:
    """Of each line of animals: row in the table of animals, amount a day [L/day] at factor 1, whether not known."""
    table = site.lists["animal_table"]
    out = {name: np.zeros(len(site.lists["animals"])) for name in ("animal_row", "herd_daily", "unknown")}
    for i, line in enumerate(site.lists["animals"]):
        row = row_named(table, "animal", line["animal"])
        for_each = line["amount"]
        if for_each is None and row:
            for_each = table[row - 1]["amount"]
        out["animal_row"][i] = row
        out["herd_daily"][i] = (line["head"] or 0.0) * (for_each or 0.0)
        lacks = line["animal"] is not None and line["head"] is None
        out["unknown"][i] = lacks or (line["head"] is not None and for_each is None)
    return out


def storage_factor(storage: np.ndarray) -> np.ndarray:
    """Storage factor of eq. 2-85, National Engineering Handbook Part 623 ch. 2 (1993); usable storage D [mm].

    SF = 0.531747 + 0.295164 D - 0.057697 D² + 0.003804 D³, D in inches, at most 7.
    """
    inches = np.minimum(np.asarray(storage, dtype=float) / INCH, LARGEST_STORAGE)
    return 0.531747 + 0.295164 * inches - 0.057697 * inches**2 + 0.003804 * inches**3


def effective_rain(factor: float, water: np.ndarray, crop_et: np.ndarray) -> np.ndarray:
    """Part of rain and melt [mm/month] that the crop uses: eq. 2-84 of the same handbook, in inches.

    Pe = SF (0.70917 Pt^0.82416 - 0.11556) 10^(0.02426 ETc), at least 0, at most the water and the crop's use.
    """
    fallen, used = water / INCH, crop_et / INCH
    pe = factor * (0.70917 * fallen**0.82416 - 0.11556) * 10 ** (0.02426 * used)
    return np.clip(INCH * pe, 0.0, np.minimum(water, crop_et))


def zones(site: Site, available_water: float) -> Columns:
    """What stays the same of each garden zone: area [m²], season, stages [days], storage [mm], volume [L per mm].

    Root storage: FAO-56 eqs 82 and 83. A season from the table begins six months later south of the equator.
    """
    crops = site.lists["crops"]
    southern = site.number("site_latitude") < 0
    rows = []
    for zone in site.lists["garden"]:
        crop_row = row_named(crops, "crop", zone["crop"])
        crop = crops[crop_row - 1] if crop_row else None
        if zone["area"] is not None:
            area = zone["area"]
        elif zone["trees"] is not None and zone["canopy"] is not None:
            area = zone["trees"] * np.pi * zone["canopy"] ** 2 / 4
        else:
            area = 0.0
        if zone["planting_month"] is not None:
            start = zone["planting_month"]
        elif crop is None:
            start = 1
        else:
            start = (crop["planting_month"] + (6 if southern else 0) - 1) % 12 + 1
        stages = ("initial_days", "development_days", "mid_days", "late_days")
        ends = np.cumsum([crop[s] if crop else 0.0 for s in stages])
        storage = crop["root_depth"] * available_water * crop["depletion_share"] if crop else 0.0
        unsized = zone["crop"] is not None and zone["area"] is None and None in (zone["trees"], zone["canopy"])
        share, efficiency = zone["share_given"], zone["efficiency"]
        volume = area * share / efficiency if share is not None and efficiency else 0.0
        rows.append((crop_row, area, start, *ends, storage, volume, area > 0 and not crop_row, unsized))
    names = (
        "crop_row",
        "watered_area",
        "season_start",
        "initial_end",
        "development_end",
        "mid_end",
        "late_end",
    )
    names += ("root_storage", "volume_for_depth", "unknown", "unsized")
    table = np.array(rows, dtype=float).reshape(len(rows), len(names))
    out = {name: table[:, i] for i, name in enumerate(names)}
    out["storage_factor"] = storage_factor(out["root_storage"])
    return out


def crop_coefficient(day: float, ends: np.ndarray, initial: float, mid: float, end: float) -> float:
    """Kc on a day of the season: FAO-56 ch. 6, eq. 66, straight lines between the stages; 0 outside the season.

    `ends`: days at which the initial, development, mid-season and late stages end.
    """
    if day > ends[3]:
        return 0.0
    if day <= ends[0]:
        return initial
    if day <= ends[1]:
        return initial + (mid - initial) * (day - ends[0]) / (ends[1] - ends[0])
    if day <= ends[2]:
        return mid
    return mid + (end - mid) * (day - ends[2]) / (ends[3] - ends[2])


def crop_coefficients(site: Site, fixed: Columns) -> Columns:
    """Crop coefficients by days, each of shape (12 calendar months, zones): means of eq. 66 at noon of every day.

    A year has 365 days. Days of the season gone by when the month begins, days of the month, days of it in the season,
    and the sums over those days of how far the crop has grown and ripened; Kc by the curve and in use. A season that
    would last longer than a year ends where the next one begins.
    """
    count = len(site.lists["garden"])
    names = ("season_day", "month_days", "season_days", "grown_days", "ripened_days", "kc_curve", "kc_used")
    out = {name: np.zeros((12, count)) for name in names}
    month_of = [m for m in range(12) for _ in range(YEAR_OF_365[m])]
    for z, zone in enumerate(site.lists["garden"]):
        crop_row = int(fixed["crop_row"][z])
        crop = site.lists["crops"][crop_row - 1] if crop_row else None
        ends = np.array([fixed[k][z] for k in ("initial_end", "development_end", "mid_end", "late_end")])
        begins = sum(YEAR_OF_365[: int(fixed["season_start"][z]) - 1])
        for m in range(12):
            out["season_day"][m, z] = (month_of.index(m) - begins) % 365
        for date, m in enumerate(month_of):
            noon = (date - begins) % 365 + 0.5
            out["month_days"][m, z] += 1
            if noon > ends[3]:
                continue
            out["season_days"][m, z] += 1
            out["grown_days"][m, z] += crop_coefficient(noon, ends, 0.0, 1.0, 1.0)
            out["ripened_days"][m, z] += crop_coefficient(noon, ends, 0.0, 0.0, 1.0)
            if crop:
                kc = crop_coefficient(noon, ends, crop["kc_initial"], crop["kc_mid"], crop["kc_end"])
                out["kc_curve"][m, z] += kc / YEAR_OF_365[m]
        for m, typed in enumerate(zone["kc"]):
            out["kc_used"][m, z] = out["kc_curve"][m, z] if typed is None else typed
    return out


def garden_needs(fixed: Columns, kc: np.ndarray, month: np.ndarray, et0: np.ndarray, water: np.ndarray) -> Columns:
    """Crop use, rain used [mm], need and running sum of the needs [L], each of shape (zones, rows).

    ETc = Kc ET0 (FAO-56 eq. 58); need = max(0, ETc - Pe) × volume for a unit of depth.
    """
    count = len(fixed["crop_row"])
    crop_et = kc[month.astype(int) - 1].T.reshape(count, len(month)) * et0
    rain_used, need = np.zeros_like(crop_et), np.zeros_like(crop_et)
    for z in range(count):
        rain_used[z] = effective_rain(fixed["storage_factor"][z], water, crop_et[z])
        need[z] = np.maximum(0.0, crop_et[z] - rain_used[z]) * fixed["volume_for_depth"][z]
    return {
        "crop_et": crop_et,
        "effective_rain": rain_used,
        "zone_need": need,
        "need_so_far": np.cumsum(need, axis=0),
    }


def share_out(need: np.ndarray, given: np.ndarray) -> np.ndarray:
    """Water given to each zone [L], shape (zones, rows): in the order listed, each taking what is left."""
    out = np.zeros_like(need)
    left = given.copy()
    for z in range(len(need)):
        out[z] = np.minimum(need[z], left)
        left = left - out[z]
    return out
