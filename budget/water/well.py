"""The dug well: bore, bottom, and how fast water enters as it is drawn down."""

from budget.declarations import Column, Input, Result
from budget.units import Unit

INPUTS = [
    Input(
        "well_bore",
        "Inside diameter of the well",
        Unit.LENGTH,
        "Of the lining, inside.",
        low="0.08 m",
        high="6 m",
    ),
    Input(
        "well_depth",
        "Depth of the well",
        Unit.LENGTH,
        "From the ground to the bottom.",
        low="1 m",
        high="60 m",
    ),
    Input(
        "well_inflow",
        "Inflow per unit of drawdown",
        Unit.INFLOW,
        "How fast water enters for each unit that the water is drawn below its rest level (specific capacity)."
        " Empty: from the recovery test.",
        "",
        low="0 L/min/m",
        high="2000 L/min/m",
    ),
    Input(
        "well_water_enters",
        "Water enters through the",
        Unit.TEXT,
        "Through the walls the inflow falls with the standing water; walls is the careful answer where unknown.",
        "walls",
        choices=("walls", "bottom"),
    ),
    Input(
        "well_depth_at_test",
        "Depth to water when the inflow was measured",
        Unit.LENGTH,
        "At rest, before pumping. A recovery test needs it: its drawdowns are counted from here. Empty: the wet-season"
        " depth.",
        "",
        low="0 m",
        high="60 m",
    ),
    Input(
        "well_sustained_share",
        "Share of the inflow kept through a season",
        Unit.SHARE,
        "A short test flatters a long dry season.",
        "0.5",
        low="0.05",
        high="1",
        source="common practice, no source",
    ),
    Input(
        "well_share_spread",
        "Error of that share",
        Unit.SHARE,
        "The answers for less and more water take the share this much smaller and larger.",
        "0.15",
        low="0",
        high="0.5",
        source="common practice, no source",
    ),
]

RESULTS = [
    Result(
        "well_there",
        "There is a well",
        Unit.FLAG,
        "0 where no depth of a well is typed: then roof, pond and haulage must do.",
        "IF(ISNUMBER(well_depth), 1, 0)",
    ),
    Result(
        "bore_storage",
        "Water in the bore",
        Unit.PER_VOLUME_LENGTH,
        "Per unit of depth.",
        "PI() / 4 * well_bore^2 * volume_per_cube",
        source="geometry: π/4 × bore²; MIL-HDBK-1164 Table 1 agrees",
    ),
    Result(
        "column_at_test",
        "Water standing at the test",
        Unit.LENGTH,
        "From the bottom to the rest level.",
        "MAX(0, well_depth - rest_depth)",
    ),
    Result(
        "inflow",
        "Inflow per unit of drawdown, in use",
        Unit.INFLOW,
        "The figure above, or that of the recovery test.",
        "IF(ISNUMBER(well_inflow), well_inflow, recovery_inflow)",
    ),
    Result(
        "share_less",
        "Share of the inflow kept, with less water",
        Unit.SHARE,
        "For the answers with less water.",
        "MAX(0.05, well_sustained_share - well_share_spread)",
    ),
    Result(
        "share_more",
        "Share of the inflow kept, with more water",
        Unit.SHARE,
        "For the answers with more water.",
        "MIN(1, well_sustained_share + well_share_spread)",
    ),
]


def inflow_at(column: str) -> str:
    """The template of the inflow of a rested well per unit of drawdown, with so much water standing in it."""
    return f'inflow * IF(AND(well_water_enters="walls", column_at_test>0), MIN(1, {column} / column_at_test), 1)'


COLUMNS = [
    Column(
        "water_column",
        "Water standing",
        Unit.LENGTH,
        "From the bottom to the rest level.",
        "MAX(0, well_depth - {depth_to_water})",
    ),
    Column(
        "rested_inflow",
        "Inflow of a rested well",
        Unit.INFLOW,
        "Per unit of drawdown, over a short while; through the walls it falls with the standing water.",
        inflow_at("{water_column}"),
    ),
    Column(
        "available_drawdown",
        "Available drawdown",
        Unit.LENGTH,
        "From the rest level down to the allowed pumping depth.",
        "MAX(0, allowed_pumping_depth - {depth_to_water})",
    ),
]

SUSTAINED = [
    Column(
        "season_inflow",
        "Inflow, sustained",
        Unit.INFLOW,
        "Per unit of drawdown, through the season.",
        "well_sustained_share * {rested_inflow}",
    ),
]
