"""Cautions: what can hurt people or pump, before the hand is on it."""

from budget.water import fill_and_drain, pump, tank, tank_base
from budget.workbook.applications import Tables
from budget.workbook.book import Book
from budget.workbook.material import Material
from budget.workbook.page import Page
from budget.workbook.styles import WORKING

NAMED = {r.name: r for r in (*pump.RESULTS, *tank.RESULTS, *tank_base.RESULTS, *fill_and_drain.RESULTS)}
# Numbers of the site that a caution speaks of.
NUMBERS = [
    NAMED[name]
    for name in (
        "allowed_pumping_depth",
        "priming_volume",
        "tank_water_weight",
        "base_full_weight",
        "base_ground_pressure",
        "base_bearing",
        "base_anchor_pull",
        "fill_from_told",
        "pipes_by_told",
        "drain_told",
    )
]
FIRST = (
    "Local codes, permits and licensed practice come first: well drillers, electricians, plumbers, engineers, the"
    " building office and the health office know what holds where you live. This book is an estimate to plan by, not a"
    " design."
)
CAUTIONS = (
    (
        "Pump",
        "A pump that draws air runs hot, loses its prime and can burn out. Fit a low-level cut-off no deeper than told"
        " above, try it each spring, and do not lean on this book instead of it: it knows months, not the hour.",
    ),
    (
        "Power",
        "Switch off and lock the power before you touch pump, wiring or pressure switch. Water and electricity kill:"
        " leave wiring, earthing and pumps in ponds to a licensed electrician.",
    ),
    (
        "Dug well",
        "Never enter a dug well, not even for a moment: the air in it can be short of oxygen or foul, and walls"
        " fall. People die going in to help. Call those who have the gear.",
    ),
    (
        "Tank and cistern",
        "A tank or cistern is a confined space too: never enter one. Engine fumes sink and kill: never run an engine in"
        " or near a well, a pit or a pump house.",
    ),
    (
        "Old lining",
        "Hard pumping can draw sand and loosen an old lining. Cloudy water or a sinking rim means stop: ask a driller.",
    ),
    ("Covers", "Keep well, tank and cistern covered and locked, always. A child drowns in little water."),
    (
        "Drinking water",
        "Have the water tested each year, and after the well ran dry, was opened or was flooded. Then disinfect as the"
        " health office says, flush, test again, and only then drink. Never mix bleach with anything else.",
    ),
    (
        "Standing water",
        "Water that stands for months loses its chlorine and warms: keep the tank dark and closed, use its water in"
        " turn, and test it before it goes into the house.",
    ),
    (
        "Hauled water",
        "Take drinking water only from a haulier with a potable-rated truck and hose, and fill through an air gap, so"
        " that nothing can run back.",
    ),
    (
        "Tank",
        "Use a tank rated for drinking water, within what its maker allows. Empty it before freezing spells unless the"
        " maker says that it may freeze: ice bursts it. Empty it stands in the wind: tie it down.",
    ),
    (
        "Pipes in frost",
        "One night of hard frost bursts pipes, valves and pumps while a large tank is still safe. Insulate, heat or"
        " drain the tank's outlet, valve and level pipe, the pump and the suction line by their own date. Heat cable:"
        " one that is made for pipes, as its maker says, with a ground-fault breaker, never over itself; it fails with"
        " the power. Never thaw with a flame. A frozen overflow or vent can burst or crush a tank: look at both in"
        " frost.",
    ),
    (
        "Base",
        "Water is heavy: the base must bear the weight told above, level and whole. Fresh or loose fill settles:"
        " compact in layers, never dig beside or under it. Take large or raised tanks to an engineer and the building"
        " office. Call before you dig: cables and pipes lie there.",
    ),
    (
        "Concrete",
        "Wet concrete burns skin and eyes, hours later at that: gloves, boots, glasses; wash at once. Cement dust and"
        " the dust of cutting harm the lungs: a mask, and water on the blade. Bags are heavy: two people.",
    ),
    (
        "Clearing the site",
        "Burning brush needs a permit in many places and is forbidden in dry months: ask the fire office, keep water"
        " by.",
    ),
    (
        "Overflow",
        "Lead overflow and drain away from the base, the well and the neighbour; water at the footing undermines it.",
    ),
    (
        "Roof water",
        "Roof water is not drinking water. Never join it to the house's pipes, or to any pipe from the well, without"
        " treatment fit for drinking and a backflow preventer that the local code accepts; a house tank that takes roof"
        " water makes all its water roof water. Let the first rain run away, screen the gutter, mark each tap. No lead,"
        " asbestos, tar, moss killer or treated wood above water for food plants. Gutters are cleaned from a ladder"
        " that somebody holds.",
    ),
    (
        "Pond",
        "Ponds drown people: a fence with a gate that locks, banks flat enough to climb out, a rope and a float beside"
        " it; stay off the ice. A dam can fail and kill downstream: permits, a spillway and an engineer. Keep ponds"
        " away from the well and the drain field. Green or scummy water can poison people and animals: do not pump it.",
    ),
    (
        "Law",
        "Wells, ponds, roofs, tanks and streams may need permits or water rights, and your pumping may be your"
        " neighbour's dry well. Ask before you pump more.",
    ),
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = Page(book, "Cautions", "Cautions", "Before you touch pump, well, tank or pond.", WORKING)
    page.widths(B=36, C=12, D=20, E=76)
    page.edge = page.note
    page.paragraph(FIRST, "caution")
    page.heading("The numbers of this place")
    page.results_again(NUMBERS)
    page.heading("What to mind")
    for title, text in CAUTIONS:
        page.told(title, text)
    page.print_setup("portrait")
