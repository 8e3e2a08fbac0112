"""What the book says in words: the sentences at the head of the answers, and the warnings."""

from calendar import month_name
from datetime import date

import numpy as np

from .climate import day_of_serial, serial
from .frosts import other_dates
from .site import Columns, Site
from .tank_base import drained_for_frost, missing, typed
from .years_of_record import ALMOST, ODDS

FEW_SPELLS, FEW_YEARS, MANY_YEARS = 3, 10, 25
LEAST_READINGS, LEAST_FIT = 3, 0.98
FOOT, GALLON = 0.3048, 3.785411784  # [m], [L]
# What a place without a well leaves empty.
OF_A_WELL = ("well_summer_depth", "well_winter_depth", "well_bore")
# What a place without a pond leaves empty.
OF_A_POND = "pond_area pond_length pond_width pond_bottom_length pond_bottom_width pond_seepage".split()
# Checks after which no answer is worth anything, and those that are only good to know; all others warn.
STOPS = [
    "check_" + name
    for name in (
        "off_key well_depth summer winter highest inflow recovery test_depth monthly_depth balance intake outlet"
        " bottom rest fill_date drain_date pond_depth pond_size pond_keep base_size"
        " unknown_use unknown_animal unknown_roof unknown_crop unsized_zone"
    ).split()
]
LISTS = "household animals garden recovery dips remembered roofs".split()
STOPS += [f"check_lines_{name}" for name in LISTS]
# Of each list: how it is told, what a line must have, and what else is typed in it.
ITEMS = {
    "household": ("Household, uses", {"number": "how many"}, "use amount"),
    "animals": ("Household, animals", {"head": "how many"}, "animal amount"),
    "garden": ("Garden, zones", {"crop": "crop"}, "name area trees canopy planting_month"),
    "roofs": ("Storage, roofs", {"area": "area"}, "name material coefficient"),
}
STOPS += [f"check_half_typed_{name}" for name in ITEMS]
MONTHLY = "monthly_depth safe_take filling kept rain_so_far".split()
STOPS += [f"check_moved_{name}" for name in MONTHLY]
ANSWERED_ON = "household garden well storage climate ledger years plan_year answers".split()
NOTES = ["check_rain_gap", "check_start_past", "check_frost_dates", "check_small_tank"]


def percent(share: float) -> str:
    """A share in whole percent, halves rounded up."""
    return f"{int(np.floor(share * 100 + 0.5 + 1e-9))}%"


def verdict(usable: float, answers: Columns, house_need: float, well: bool) -> tuple[str, str, str]:
    """The plan in a sentence, of the planning year as expected, a word on the drained tank, and one on less water.

    `house_need`: of that year [L]; `well`: whether there is one, else the roof stands for it.
    """
    less = ""
    if answers["short_by"][0] <= ALMOST < answers["short_by"][1]:
        less = " With less water than expected it runs short."
    if house_need <= 0:
        return "No house is served here: see below what the garden gets.", "", less
    source = "well" if well else "roof"
    short, drained = answers["short_by"][0] > ALMOST, answers["short_drained"][0] > ALMOST
    if not well and usable <= ALMOST:
        first = "There is neither well nor tank: all the water of the house is hauled."
    elif not short and usable <= ALMOST:
        first = "There is no tank, and the well carries the house in a year like this."
    elif not short:
        first = f"In a year like this {source} and tank carry the house."
    elif answers["no_tank_enough"][0]:
        gain = "lower the intake" if well else "catch more rain"
        first = f"In a year like this no tank would have been enough: haul, use less, {gain}, or find another source."
    elif usable <= ALMOST:
        first = "There is no tank: the house runs out in a year like this."
    elif answers["cannot_fill"][0]:
        first = f"In a year like this the {source} cannot fill the tank to the level that the house needs."
    else:
        first = "In a year like this the tank is too small: the house runs short."
    while_drained = " While the tank is drained the house is short as well."
    return first, while_drained if drained and usable > ALMOST else "", less


def own_rain(site: Site, results: dict[str, float], years: Columns, served: bool) -> tuple[str, str]:
    """Until which month the plan holds this year's rain, and what its year of the record alone comes to; `served`:
    whether there is a house. Nothing where no rain is typed."""
    first = int(results["first_month"])
    in_order = [(first - 1 + place) % 12 + 1 for place in range(12)]
    typed = [month for month in in_order if site.rain_so_far[month - 1] is not None]
    if not typed:
        return "", ""
    until = f" The plan holds this year's own rain until {month_name[typed[-1]]}."
    if not served:
        return until, ""
    row, tank = int(results["planning_row"]) - 1, results["tank_usable"] > ALMOST
    loads = f"{int(years['loads'][row])} load{'' if years['loads'][row] == 1 else 's'}"
    needs = f"the house needs storage of {percent(results['planning_share'])} of the tank and "
    if years["house_short"][row] <= ALMOST:
        alone = f"{needs}is short of nothing." if tank else "the house is short of nothing."
    elif not years["fillable"][row]:
        alone = f"no tank is enough, and the house hauls {loads} in service."
    else:
        alone = f"{needs}hauls {loads} in service." if tank else f"the house hauls {loads}."
    return until, f" With the weather of {int(results['planning_year'])} alone {alone}"


def larger_one(years: int, good: int, beyond: int) -> str:
    """The years that were not carried, by whether any tank would have."""
    return f"in {beyond} no tank would have been enough, in {years - good - beyond} a larger one would have."


def too_close(results: dict[str, float]) -> str:
    """The years whose storage no monthly rule can tell from the tank's size, if there are any."""
    close = int(results["years_close"])
    return f" In {close} it is close: 80 to 120 % of the tank." if close else ""


def carried_by(results: dict[str, float]) -> str:
    """What would have carried the house."""
    if results["tank_usable"] > ALMOST:
        return "The present tank"
    return "The well alone" if results["well_there"] else "Haulage aside, nothing"


def carried(results: dict[str, float], house_need: float) -> tuple[str, str]:
    """How many years would have carried the house, if there is one, and how often the pond dries, if there is one."""
    years, good, beyond = (int(results[key]) for key in ("usable_years", "years_carried", "years_beyond_tanks"))
    dry = f"The pond would have fallen dry in {int(results['years_pond_dry'])} of {years} years."
    house = (
        f"{carried_by(results)} would have carried the house in service in {good} of {years} years;"
        f" {larger_one(years, good, beyond)}{too_close(results)}"
    )
    return house if house_need > 0 else "", dry if results["pond_full"] > 0 else ""


def remembered(site: Site, results: dict[str, float]) -> str:
    """Whether the model runs dry as the well did; nothing where there is no well."""
    if not results["well_there"]:
        return ""
    count = int(results["spells_counted"])
    if count == 0:
        return "Type the dry spells that you remember on Well: they are the best check of these answers."
    if count < FEW_SPELLS:
        return f"Too few years are remembered to judge the model: {count}."
    agree = f"The model and your memory agree in {int(results['years_agreed'])} of {count} years."
    return agree + memory_share(site, results)


def memory_share(site: Site, results: dict[str, float]) -> str:
    """The share of the inflow that the remembered years speak for, where there are enough of them."""
    if not results["well_there"] or results["spells_counted"] < FEW_SPELLS:
        return ""
    low, high = results["best_share_low"], results["best_share_high"]
    best = percent(low) if low == high else f"{percent(low)} to {percent(high)}"
    in_use = percent(site.number("well_sustained_share"))
    return f" A share of the inflow of {best} fits them best; the book works with {in_use}."


def base_ground(site: Site, results: dict[str, float]) -> str:
    """Whether the ground bears the full tank."""
    if not results["base_there"]:
        if missing(site):
            return "The base is not reckoned: cells are missing, see the warnings on Answers."
        return "Type the tank's diameter, and its capacity on Storage, to reckon its base."
    used = percent(results["base_bearing_share"])
    if results["base_bearing"] <= 0:
        return "Nothing is presumed of this ground: an engineer must say what it bears."
    if results["base_bears"]:
        return (
            f"Full, it uses {used} of what such ground is presumed to bear, where it is undisturbed. The building"
            " office has the last word."
        )
    return (
        f"Full, it asks {used} of what such ground is presumed to bear: too much. A wider slab, other ground, or an"
        " engineer."
    )


def base_wind(site: Site, results: dict[str, float]) -> str:
    """Whether wind moves or tips the tank, with the water that always stays in it."""
    if not results["base_there"]:
        return ""
    if results["base_stands"]:
        wet = results["base_storm_weight"] - results["base_empty_weight"] > ALMOST
        who = "With the water that always stays in it, the tank" if wet else "The tank, even empty,"
        return f"{who} stands in this wind."
    if site.word("base_anchored") == "yes":
        said = "Anchors must hold the tank in this wind: the upright pull and the shear of each stand below."
    elif results["base_water_holds"]:
        said = "This wind can move or tip the tank when it is low: keep the water said below in it, or anchor it."
    else:
        said = "This wind can move or tip the tank even when full: it must be anchored."
    return said + base_wind_in_winter(site, results)


def base_wind_in_winter(site: Site, results: dict[str, float]) -> str:
    """What is said of the winter where the tank needs its water, or anchors, to stand."""
    falls = bool(results["base_there"]) and not results["base_stands"]
    winter = " Drained for frost it stands empty all winter, when only anchors help."
    return winter if falls and drained_for_frost(site) else ""


def base_head(site: Site, results: dict[str, float]) -> str:
    """Whether the tank feeds the tap by its height, and whether the pump can fill it; that only where there is a
    well."""
    if not results["base_there"]:
        return ""
    if results["base_feeds_low"]:
        said = "It feeds the tap by its height, down to the outlet."
    elif results["base_feeds_full"]:
        said = "It feeds the tap by its height when full, not when nearly empty."
    else:
        said = "It does not feed the tap by its height: the house needs a pressure pump, or less pressure."
    if not results["well_there"]:
        return said
    if typed(site, "base_pump_head") is None:
        return said + " Type the pump's total head to see whether it can fill the tank."
    if results["base_pump_fills"]:
        return said + " The pump can lift the water into it."
    return said + " The pump cannot lift the water to its top."


def base_checks(site: Site, results: dict[str, float]) -> dict[str, tuple[bool, str]]:
    """The warnings of the tank's base: whether each applies, and its words."""
    reckoned, capacity, lacking = bool(results["base_there"]), site.number("tank_capacity"), missing(site)
    holds = 1000 * results["base_tank_area"] * results["base_wall_height"]
    return {
        "check_base_missing": (
            lacking != "",
            f"The tank base is not reckoned: these cells are empty, or hold text where a number goes: {lacking}",
        ),
        "check_base_size": (
            reckoned and capacity - holds > ALMOST,
            "The tank cannot hold its capacity: look at its diameter and height on Tank base.",
        ),
        "check_base_capacity": (
            capacity <= 0 and typed(site, "base_tank_diameter") is not None,
            "The tank of the base has a diameter, but no capacity on Storage.",
        ),
        "check_base_ground": (
            reckoned and not results["base_bears"],
            "Nothing is presumed of the ground under the tank base: an engineer must say what it bears."
            if results["base_bearing"] <= 0
            else "The full tank presses more on the ground than is presumed for it: see Tank base.",
        ),
        "check_base_wind": (
            reckoned and not results["base_stands"] and site.word("base_anchored") == "no",
            "Wind can move or tip the tank when it is empty, as it is all winter: see Tank base, and anchor it."
            if drained_for_frost(site)
            else "Wind can move or tip the tank when it is low: see Tank base, anchor it, or keep more water in it.",
        ),
        "check_base_pump": (
            reckoned
            and bool(results["well_there"])
            and typed(site, "base_pump_head") is not None
            and not results["base_pump_fills"],
            "The pump cannot lift the water to the top of the tank: see Tank base.",
        ),
    }


def station_height(site: Site) -> tuple[bool, str]:
    """Whether the rain station stands too far above or below the place, and the words for it."""
    height, limit = site.inputs.get("rain_station_height"), site.number("rain_height_limit")
    if height is None:
        return False, ""
    above = float(height) - site.number("site_elevation")
    return (
        abs(above) - limit > ALMOST and site.inputs.get("rain_local_annual") is None,
        f"The rain station stands {station_rise(site)} than the place, and rain often grows with height: on Climate"
        " type your place's rain of a mean year, or take a station at a like height.",
    )


def station_rise(site: Site) -> str:
    """How far above or below the place the rain station stands, '' where that is not known."""
    height = site.inputs.get("rain_station_height")
    if height is None:
        return ""
    above = float(height) - site.number("site_elevation")
    metres, feet = (int(np.floor(abs(above) / unit + 0.5)) for unit in (1.0, FOOT))
    return f"{metres} m ({feet} ft) {'higher' if above > 0 else 'lower'}"


def of_every_year(site: Site, name: str) -> bool:
    """Whether a month and a day make a date in every year, those without a 29th of February too.

    So do those that are no month or no day at all: what is said of their cells is enough.
    """
    month, day = site.number(f"{name}_month"), site.number(f"{name}_day")
    if month not in range(1, 13) or day not in range(1, 32):
        return True
    try:
        date(2001, int(month), int(day))
    except ValueError:
        return False
    return True


def half_typed(site: Site) -> dict[str, tuple[bool, str]]:
    """Lists with a line in which something is typed, but not what makes an item of it."""
    found = {}
    for name, (told, needed, others) in ITEMS.items():
        lines = site.lists[name]
        lacks = any(
            any(line[key] in (None, "") for key in needed)
            and any(line[key] not in (None, "") for key in others.split())
            for line in lines
        )
        titles = " and ".join(needed.values())
        said = f"{told}: a line is filled in, but lacks: {titles}. It counts 0: fill it in, or empty the line."
        found[f"check_half_typed_{name}"] = (lacks, said)
    return found


def checks(site: Site, results: dict[str, float], tables: dict[str, Columns]) -> dict[str, str]:
    """Each check's warning, '' where there is nothing to warn of, in the order of the book."""
    number, years = site.number, tables["years"]
    usable_years = results["usable_years"]
    plan_for = site.word("plan_for")
    odds, typed = ODDS.get(plan_for, 0), plan_for not in ("driest", *ODDS)
    tested = any(line["depth"] is not None for line in site.lists["recovery"])
    rests_on_test = tested and site.inputs.get("well_inflow") is None
    on_line = results["recovery_points"] >= LEAST_READINGS and results["recovery_fit"] >= LEAST_FIT
    allowed = results["allowed_pumping_depth"]
    hangs = number("pump_intake") - number("pump_submergence")
    lifts = results["suction_limit"] - number("pump_height")
    crop_missing = [
        unknown and all(kc is None for kc in zone["kc"])
        for unknown, zone in zip(tables["zone_workings"]["unknown"], site.lists["garden"], strict=True)
    ]
    fault, there = results["recovery_fault"], bool(results["well_there"])
    rest_in_well = (site.inputs.get("well_depth_at_test") or 0.0) <= number("well_depth") + ALMOST
    as_of, numbered, first = number("plan_as_of"), int(number("plan_number")), int(results["first_month"])
    plan = tables["plan"]
    filling_ahead = (plan["start_on"] > 0) & (plan["last_service_day"] >= as_of)
    start_day, this_year = tables["answers"]["start_day"][0], tables["so_far_workings"]
    roof_tank = number("roof_tank_capacity") if site.word("roof_goes_to") == "garden tank" else results["tank_usable"]
    pond_depth = number("pond_depth")
    people = tables["people_days"]["people_daily"].sum()
    warned = {
        "check_off_key": (False, ""),
        "check_well_depth": (
            not there and any(site.inputs.get(name) is not None for name in OF_A_WELL),
            "The depth of the well, on Well, is empty or no number, while the rest of the well is filled in: type it."
            " Until then this book has no well.",
        ),
        "check_years": (
            usable_years < FEW_YEARS,
            f"Only {int(usable_years)} plan years count: figures for dry years are weak.",
        ),
        "check_filled": (
            results["months_filled"] > 0,
            f"{int(results['months_filled'])} month{'' if results['months_filled'] == 1 else 's'} of the rain record"
            " missed too many days and took the median of the calendar month: a dry month among them would not be seen."
            " Climate says how many a year.",
        ),
        "check_station_height": station_height(site),
        "check_odds": (
            odds > usable_years + 1,
            f"The record is too short for {plan_for}: the driest year on record stands in for it.",
        ),
        "check_typed_year": (
            typed and not results["typed_row"],
            "The year typed to plan for is not a whole plan year of the record; 1 in 10 is used instead.",
        ),
        "check_as_of": (
            as_of > results["plan_ends"] or as_of < serial(date(numbered - 1, first, 1)),
            "'As of' lies outside the plan year and the year before it: is the plan year's number on Readings right?",
        ),
        "check_rain_ahead": (
            this_year["rain_ahead"].any(),
            "Rain is typed on Readings for a month that is not over by 'as of': empty the rain of the old year, or mend"
            " 'as of'.",
        ),
        "check_rain_gap": (
            this_year["rain_typed"].any() and this_year["rain_gap"].any(),
            "Rain is typed on Readings for some months of this year, but not for others that are over: those take the"
            " planning year's.",
        ),
        "check_start_past": (
            0 < start_day < as_of and bool(filling_ahead.any()),
            "The latest safe start is past by 'as of': if the tank is not filling yet, begin now; if it is, go on.",
        ),
        "check_summer": (
            there and number("well_summer_depth") > number("well_depth") + ALMOST,
            "The late-summer depth to water on Well is deeper than the well: one of the two is wrong.",
        ),
        "check_winter": (
            there and number("well_winter_depth") > number("well_summer_depth") + ALMOST,
            "The wet-season depth to water on Well is deeper than the late-summer depth: were they exchanged?",
        ),
        "check_highest": (
            there and number("well_highest_water") > number("well_winter_depth") + ALMOST,
            "The highest water ever seen, on Well, is deeper than the wet-season depth: one of the two is wrong.",
        ),
        "check_fit": (
            there and not results["rain_explains_well"],
            "Rain alone does not explain this well: the model misses the measured depths by more than allowed. The "
            "answers are weak: measure the depth to water on more dates (dips on Well), or type the depths of the "
            "twelve months there.",
        ),
        "check_fit_soil": (
            there and max(abs(results["misfit_specific_yield"]), abs(results["misfit_drainage_time"])) > 2,
            "The fitted specific yield or drainage time is far from that of the soil: another soil word, or water that "
            "comes from elsewhere (a river, an irrigation canal, pumping nearby)?",
        ),
        "check_seasons": (
            there
            and results["dips_rule"] == 1
            and max(abs(results["summer_depth_error"]), abs(results["winter_depth_error"]))
            > 2 * number("fit_depth_spread"),
            "The late-summer or the wet-season depth that you gave is not what the dips give: look at both on Well.",
        ),
        "check_fit_old": (
            there and abs(results["fit_error"] - number("fit_error_at_build")) > ALMOST,
            "Something under the water table changed since it was fitted. To fit anew, put your changes into the site "
            "file and build again.",
        ),
        "check_inflow": (
            there and site.inputs.get("well_inflow") is None and not tested,
            "No inflow of the well is known: type it on Well, or a recovery test. Until then the well gives nothing.",
        ),
        "check_no_inflow": (
            there and results["inflow"] <= 0 and (site.inputs.get("well_inflow") is not None or tested),
            "The inflow in use is 0, so the well gives nothing: look at the inflow, or at the recovery test, on Well.",
        ),
        "check_recovery": (fault != "" and rest_in_well, f"Well, recovery test: {fault}. It gives no inflow."),
        "check_recovery_rest": (
            (tables["recovery_workings"]["said"] == "left out: at rest or above").any(),
            "A reading of the recovery test stands at or above the depth at rest: is that depth right? The inflow "
            "hangs on it.",
        ),
        "check_rest": (
            there and tested and site.inputs.get("well_depth_at_test") is None,
            "The recovery test needs the depth to water at rest before it: type it on Well. Until then the wet-season "
            "depth stands for it.",
        ),
        "check_test_depth": (
            there and (site.inputs.get("well_depth_at_test") or 0.0) > number("well_depth") + ALMOST,
            "The depth to water when the inflow was measured, on Well, is deeper than the well: one of the two is "
            "wrong.",
        ),
        "check_inflow_differs": (
            site.inputs.get("well_inflow") is not None
            and results["recovery_inflow"] > 0
            and abs(number("well_inflow") - results["recovery_inflow"]) > results["recovery_inflow"] / 3,
            "The inflow typed on Well is used, but the recovery test there gives another: empty the one that is wrong.",
        ),
        "check_recovery_line": (
            rests_on_test and fault == "" and not on_line,
            "The readings of the recovery test do not make a line that can be trusted: repeat it, with a reading every "
            "few minutes.",
        ),
        "check_readings": (
            (tables["recovery_workings"]["fault"] != "").any(),
            "A reading of the recovery test on Well needs mending: see beside it.",
        ),
        "check_dips": ((tables["dip_workings"]["fault"] != "").any(), "A dip on Well does not count: see beside it."),
        "check_monthly_depth": (
            tables["month_workings"]["too_deep"].any(),
            "A depth typed for a month on Well is deeper than the well.",
        ),
        "check_remembered": (
            (tables["spell_workings"]["fault"] != "").any(),
            "A dry spell remembered on Well does not count: see beside it.",
        ),
        "check_memory": (
            results["spells_counted"] >= FEW_SPELLS and results["years_agreed"] < results["spells_counted"] / 2,
            "The model agrees with your memory in less than half of the years: look at the share of the inflow, and at "
            "the depths, on Well.",
        ),
        "check_boundary": (
            there and years["crosses"].sum() > usable_years / 5,
            "The dry season crosses the boundary of the plan year in more than one year of five: storage may be "
            "underestimated.",
        ),
        "check_balance": (False, ""),
        "check_intake": (
            there and allowed <= number("well_winter_depth") + ALMOST,
            "The allowed pumping depth on Well is above the water all year: the well gives nothing.",
        ),
        "check_intake_late": (
            there and number("well_winter_depth") + ALMOST < allowed <= number("well_summer_depth") + ALMOST,
            "The allowed pumping depth is above the late-summer water: the well gives nothing then.",
        ),
        "check_bottom": (
            there and number("pump_intake") > number("well_depth") + ALMOST,
            "The intake on Well is below the bottom of the well; the bottom is taken for it.",
        ),
        "check_suction": (
            site.word("pump_kind") == "suction" and lifts < hangs,
            "The suction pump cannot lift from the depth of its intake: the practical lift sets the allowed depth.",
        ),
        "check_fill_date": (
            not of_every_year(site, "tank_fill_from"),
            "Fill from, on Storage, is not a date of every year: a day of the next month is taken for it.",
        ),
        "check_drain_date": (
            not of_every_year(site, "tank_drain_by"),
            "Drain by, on Storage, is not a date of every year: a day of the next month is taken for it.",
        ),
        "check_frost_dates": (
            other_dates(site),
            f"The tank has the dates for {number('tank_dates_days'):g} days of frost. For "
            f"{number('tank_frost_days'):g}: fill from {results['tank_record_from']}, drain by "
            f"{results['tank_record_by']}. Type these on Storage, or build again.",
        ),
        "check_small_tank": (
            site.inputs.get("tank_dates_days") is not None
            and number("tank_frost_days") > 1
            and 0 < number("tank_capacity") < 500 * GALLON - 0.05,
            "The tank holds less than 500 gal (1,900 L), and so little water can freeze in a day: put 1 for its days of"
            " frost on Storage, then type the dates that the record gives there, or build again.",
        ),
        "check_outlet": (
            number("tank_below_outlet") > number("tank_capacity") + ALMOST and number("tank_capacity") > 0,
            "More water lies below the outlet than the tank holds: look at both on Storage. None of it can be used.",
        ),
        "check_reserve": (
            number("tank_reserve") > results["tank_usable"] > ALMOST,
            "The reserve on Storage is larger than the tank; all of it is held back.",
        ),
        "check_household": (
            people <= 0
            and (
                any(line["number"] is not None for line in site.lists["household"])
                or any(line["head"] is not None for line in site.lists["animals"])
            ),
            "The household uses no water: look at its lines on Household.",
        ),
        "check_no_amount": (
            any(
                line["amount"] == 0 and row > 0
                for line, row in zip(site.lists["household"], tables["household_workings"]["use_row"], strict=True)
            ),
            "A household line has a use that is in the table, and the amount 0: empty the amount to take that of the"
            " table.",
        ),
        "check_unknown_use": (
            tables["household_workings"]["unknown"].any(),
            "Household, uses: a line lacks a count, or an amount or a use that is in the table: it counts 0.",
        ),
        "check_unknown_animal": (
            tables["animal_workings"]["unknown"].any(),
            "Household, animals: a line lacks a count, or an amount or an animal that is in the table: it counts 0.",
        ),
        "check_unknown_roof": (
            tables["roof_workings"]["unknown"].any(),
            "Storage, roofs: a roof has neither a coefficient nor a material that is in the table: it counts 0.",
        ),
        "check_roof_tank": (
            results["roof_catching_area"] > 0 and roof_tank <= 0,
            "Roofs are given on Storage, but no tank takes their water: it runs off.",
        ),
        "check_pond_depth": (
            site.inputs.get("pond_depth") is None
            and (number("pond_catchment") > 0 or any(site.inputs.get(name) is not None for name in OF_A_POND)),
            "The depth of the pond, on Storage, is empty or no number, while the rest of the pond is filled in: type"
            " it. Until then this book has no pond.",
        ),
        "check_pond_size": (
            pond_depth > 0 and results["pond_full"] <= 0,
            "The pond, on Storage, has a depth but no surface: it counts as none.",
        ),
        "check_pond_keep": (
            results["pond_full"] > 0 and number("pond_keep") > pond_depth + ALMOST,
            "The keep-level, on Storage, is above the full pond: the garden gets nothing from it.",
        ),
        "check_unknown_crop": (
            any(crop_missing),
            "Garden, zones: a zone has a crop that is not in the table and no Kc by hand: it counts 0.",
        ),
        **{f"check_errors_{sheet}": (False, "") for sheet in ANSWERED_ON},
        **{f"check_lines_{name}": (False, "") for name in LISTS},
        **half_typed(site),
        **{f"check_moved_{name}": (False, "") for name in MONTHLY},
        "check_unsized_zone": (
            tables["zone_workings"]["unsized"].any(),
            "Garden, zones: a zone has a crop, but neither an area nor trees with a canopy width: it counts 0.",
        ),
    }
    warned |= base_checks(site, results)
    return {name: text if applies else "" for name, (applies, text) in warned.items()}


def record_told(results: dict[str, float], filled: int) -> dict[str, str]:
    """The worth of the record in a sentence, and the parts of it."""
    first, last = (day_of_serial(results[name]).year for name in ("record_begins", "record_ends"))
    usable = int(results["usable_years"])
    which = "no month of it" if filled == 0 else f"{filled} of its months"
    worth = ", too few to know a dry year by."
    if usable >= FEW_YEARS:
        worth = ", enough for one dry year in ten." if usable >= MANY_YEARS else ", fair for one dry year in ten."
    return {
        "months_filled_told": which,
        "record_long_enough": worth,
        "record_told": f"The rain record runs from {first} to {last}; {which} missed too many days and took the median"
        f" instead; {usable} plan years count{worth}",
    }


def findings(site: Site, said: dict[str, str]) -> list[tuple[str, str]]:
    """Grade and sentence of every finding, worst first; what is typed comes before what follows from it."""
    grades = {name: "stop" if name in STOPS else "note" if name in NOTES else "warn" for name in said}
    told = [*site.declared, *((grades[name], text) for name, text in said.items() if text)]
    return [finding for grade in ("stop", "warn", "note") for finding in told if finding[0] == grade]


def counted(found: list[tuple[str, str]]) -> dict[str, float | str]:
    """How many findings there are, the first three, and what is said of them."""
    stops = [text for grade, text in found if grade == "stop"]
    told = "The checks found nothing wrong."
    if found:
        told = f"Findings of the checks: {len(found)}; to be put right first: {len(stops)}."
    ranked = {f"finding_{rank}": found[rank - 1][1] if len(found) >= rank else "" for rank in (1, 2, 3)}
    return ranked | {
        "findings_count": float(len(found)),
        "stops_count": float(len(stops)),
        "unjudged_count": 0.0,
        "findings_told": told,
        "stop_sentence": f"Do not trust this book yet. {stops[0]}" if stops else "",
    }


def sentences(site: Site, results: dict[str, float], tables: dict[str, Columns]) -> dict[str, float | str]:
    """Every sentence of the book, by name, and whether each check has a finding."""
    said = checks(site, results, tables)
    found = counted(findings(site, said))
    stopped = str(found["stop_sentence"])
    in_short = verdict(
        results["tank_usable"], tables["answers"], tables["plan"]["house_need"].sum(), bool(results["well_there"])
    )
    served = bool(tables["plan"]["house_need"].sum() > 0)
    years, tank = tables["years"], results["tank_usable"]
    at = int(results["planning_row"]) - 1
    of_year = {
        "planning_short": float(years["house_short"][at]),
        "planning_loads": float(years["loads"][at]),
        "planning_share": results["planning_storage"] / tank if tank > ALMOST else 0.0,
    }
    rained = own_rain(site, results | of_year, years, served)
    house, pond = carried(results, float(tables["ledger"]["house_need"].sum()))
    carrying = "Until that is put right, trust no figure of this book." if stopped else f"{house} {pond}".strip()
    return said | {
        **{name.replace("check_", "found_", 1): float(text != "") for name, text in said.items()},
        **found,
        **record_told(results, int(results["months_filled"])),
        "station_rise_told": station_rise(site),
        **of_year,
        "verdict": stopped or "".join((*in_short, *rained)),
        "verdict_own_rain": rained[0],
        "verdict_dry_year": rained[1],
        "verdict_drained": "" if stopped else in_short[1],
        "verdict_less": "" if stopped else in_short[2],
        "carried_by": carried_by(results),
        "carried_house": house,
        "carried_by_larger": larger_one(
            *(int(results[key]) for key in ("usable_years", "years_carried", "years_beyond_tanks"))
        ),
        "carried_close": too_close(results),
        "carried_pond": pond,
        "carried_sentence": carrying,
        "memory_sentence": remembered(site, results),
        "memory_share": memory_share(site, results),
        "missing_base_cells": missing(site),
        "base_ground_verdict": base_ground(site, results),
        "base_wind_verdict": base_wind(site, results),
        "base_wind_in_winter": base_wind_in_winter(site, results),
        "base_head_verdict": base_head(site, results),
    }
