"""Cautions: what can hurt people or pump, before the hand is on it."""

from budget.workbook.applications import Material, Tables
from budget.workbook.page import Book
from budget.workbook.styles import RUST

FIRST = (
    "Local codes, permits and licensed practice come first: well drillers, electricians, plumbers, engineers and the"
    " health office know what holds where you live. This book is an estimate to plan by, not a design."
)
CAUTIONS = (
    (
        "Pump",
        "A pump that draws air runs hot, loses its prime and can burn out. Fit a low-level cut-off, and set it above"
        " the intake by at least the water that the Well sheet keeps over it.",
    ),
    (
        "Power",
        "Cut and lock the power before you touch pump, wiring or pressure switch. Water and electricity kill: leave"
        " wiring to a licensed electrician.",
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
    ("Covers", "Keep well, tank and cistern covered and locked. A child drowns in little water."),
    (
        "Drinking water",
        "Have the water tested each year, and after the well ran dry, was opened or was flooded. Then disinfect, flush,"
        " test again, and only then drink.",
    ),
    (
        "Standing water",
        "Water that stands for months loses its chlorine and warms: keep the tank dark and closed, and test"
        " before it goes into the house.",
    ),
    (
        "Hauled water",
        "Take drinking water only from a haulier with a potable-rated truck, and fill through an air gap, so"
        " that nothing can run back.",
    ),
    (
        "Tank",
        "Use a tank rated for drinking water. Empty it before hard frost unless its maker says that it may freeze.",
    ),
    (
        "Base",
        "Water is heavy. A base on fresh or loose fill settles: compact in layers, ask the building office, and have"
        " large or raised tanks looked at by an engineer.",
    ),
    (
        "Overflow",
        "Lead the overflow away from the base and from the well; water at the footing undermines it.",
    ),
    (
        "Roof water",
        "Roof water is not drinking water. Never join it to the house's pipes, or to any pipe from the well, without"
        " treatment fit for drinking and a backflow preventer that the local code accepts; a house tank that takes roof"
        " water makes all its water roof water. Let the first rain run away, screen the gutter, mark each tap. No lead,"
        " asbestos, tar, moss killer or treated wood above water for food plants.",
    ),
    (
        "Pond",
        "Ponds drown people: a fence with a gate that locks, banks flat enough to climb out, a rope and a float beside"
        " it; stay off the ice. A dam can fail and kill downstream: permits, a spillway and an engineer. Keep ponds"
        " away from the well and the drain field. Green or scummy water can poison people and animals: do not pump it."
        " Wiring of a pump in a pond is for a licensed electrician.",
    ),
    ("Law", "Wells, ponds, roofs and streams may need permits or water rights. Ask before you pump more."),
)


def write(book: Book, tables: Tables, material: Material) -> None:
    """Lay out the sheet."""
    page = book.page("Cautions", "Cautions", "Before you touch pump, well, tank or pond.", RUST)
    page.widths(B=22, C=3, D=3, E=110)
    page.edge = page.note
    page.paragraph(FIRST, "caution")
    page.row += 1
    for title, text in CAUTIONS:
        page.put(page.row, 2, title, "label")
        page.put(page.row, page.note, text, "text")
        page.fit_height(page.row, {page.note: text})
        page.row += 1
    page.print_setup("portrait")
