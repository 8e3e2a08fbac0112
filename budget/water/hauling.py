"""Water that is hauled in when well and tank are dry."""

from budget.declarations import Input
from budget.units import Unit

INPUTS = [
    Input(
        "hauling_load",
        "One load",
        Unit.VOLUME,
        "As the haulier brings it.",
        "2000 gal",
        low="1 L",
        high="100000 L",
        source="common practice, no source",
    ),
    Input(
        "hauling_price",
        "Price of a load",
        Unit.MONEY,
        "Delivered, in your money.",
        "0",
        low="0",
        high="100000",
    ),
]
