"""Water that is hauled in when well and tank are dry."""

from budget.declarations import Input
from budget.units import Unit


def whole_loads(volume: str) -> str:
    """The template of the whole loads that bring `volume` (a template)."""
    return f"IF(hauling_load>0, ROUNDUP(ROUND({volume} / hauling_load, 9), 0), 0)"


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
