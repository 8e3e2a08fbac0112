"""House, animals and garden."""

from budget.declarations import Check, Refusal

HOUSE = [
    Check(
        "household",
        "House uses water",
        "Its lines add up to something, where they or animals are there.",
        "AND(COUNT({household:number.all}) + COUNT({animals:head.all})>0,"
        " ROUND(SUM({people_days:people_daily.each}), 6)<=0)",
        '"The household uses no water: look at its lines on Household."',
    ),
    Check(
        "no_amount",
        "Uses have an amount",
        "No line of a known use has the amount 0.",
        "SUMPRODUCT(({household_workings:amount.all}=0) * ({household_workings:use_row.all}>0))>0",
        '"A household line has a use that is in the table, and the amount 0: empty the amount to take that of the'
        ' table."',
    ),
    Check(
        "unknown_use",
        "Uses known",
        "Every use without an amount is in the table of uses.",
        "SUM({household_workings:unknown.all})>0",
        '"Household, uses: a line lacks a count, or an amount or a use that is in the table: it counts 0."',
        "stop",
        refuses=Refusal(
            "household",
            "{value} is not in the use table and the line has no amount",
            "an amount, or a use of the table",
            cells="household_workings:unknown",
            key="use",
            if_empty="has neither a use nor an amount",
            words="uses:use",
        ),
    ),
    Check(
        "unknown_animal",
        "Animals known",
        "Every animal without an amount is in the table of animals.",
        "SUM({animal_workings:unknown.all})>0",
        '"Household, animals: a line lacks a count, or an amount or an animal that is in the table: it counts 0."',
        "stop",
        refuses=Refusal(
            "animals",
            "{value} is not in the animal table and the line has no amount",
            "an amount, or an animal of the table",
            cells="animal_workings:unknown",
            key="animal",
            if_empty="has neither an animal nor an amount",
            words="animal_table:animal",
        ),
    ),
]

GARDEN = [
    Check(
        "unknown_crop",
        "Crops known",
        "Every zone's crop is in the table of crops.",
        "SUM({zone_workings:unknown.all})>0",
        '"Garden, zones: a zone has a crop that is not in the table and no Kc by hand: it counts 0."',
        "stop",
    ),
    Check(
        "unsized_zone",
        "Zones have a size",
        "Every zone with a crop has an area, or trees with a canopy width.",
        "SUM({zone_workings:unsized.all})>0",
        '"Garden, zones: a zone has a crop, but neither an area nor trees with a canopy width: it counts 0."',
        "stop",
        refuses=Refusal(
            "garden",
            "has neither an area nor trees with a canopy width",
            'area such as "1200 sq ft", or trees = 6 and canopy = "12 ft"',
            cells="zone_workings:unsized",
        ),
    ),
]
