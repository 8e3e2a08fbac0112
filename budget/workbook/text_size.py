"""How much room a text takes: lines in a cell of some width, height of its row.

Widths are counted in digits of the book's font, as spreadsheets count them; heights in points.
"""

import re

USUAL_WIDTH = 12  # of a column without a width of its own
LETTERS = 1.12  # of running text in the width of a digit, with room to spare
BOLD = 0.85  # of that many where they are bold
SMALL = 1.06  # times as many where they are of size 9, a place kept for the indent
LINE_HEIGHT = 13.5


def lines_of(text: str, width: float) -> int:
    """Lines that a text takes in so wide a cell, its words kept whole."""
    lines, used, room = 1, 0, int(width * LETTERS)
    for word in text.split():
        if used and used + 1 + len(word) > room:
            lines, used = lines + 1, len(word)
        else:
            used += len(word) + (1 if used else 0)
    return lines


def broken_lines_of(text: str, width: float) -> int:
    """Lines that a text takes in so wide a cell, where a word that is longer than a line is broken within."""
    endless = re.compile(rf"\S{{{int(width * LETTERS)}}}")
    return lines_of(endless.sub(r"\g<0> ", text), width)


def height_of(lines: int, air: float = 3) -> float:
    """Height of a row of so many lines, with some air above and below."""
    return LINE_HEIGHT * lines + air
