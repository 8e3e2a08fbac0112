"""A hand in an open book: what is done by LibreOffice's own commands, and what the book answers then.

A book that is loaded computes everything from nothing; an edit computes only what it reaches, in an order of its own,
and moves, cuts or breaks the references of formulas and names. The commands are those behind the program's menus, keys
and buttons. A macro (`hand_edits.bas`) in a profile of its own does them, all that is tried on a book in one launch,
and takes each back. The program's questions are answered by Cancel; that before it pastes over filled cells is
switched off.
"""

from __future__ import annotations

import json
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from openpyxl.utils import get_column_letter

from budget.workbook.engine import Computed as Value
from tests.workbook.spreadsheet_programs import equal

MACRO = Path(__file__).with_suffix(".bas")
PATIENCE = 300  # seconds
HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
SETTINGS = """<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Input"><prop oor:name="ReplaceCellsWarning" oor:op="fuse">
<value>false</value></prop></item></oor:items>"""
LIBRARIES = """<!DOCTYPE library:libraries PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "libraries.dtd">
<library:libraries xmlns:library="http://openoffice.org/2000/library" xmlns:xlink="http://www.w3.org/1999/xlink">
<library:library library:name="Standard" xlink:href="$(USER)/basic/Standard/script.xlb/" xlink:type="simple"
 library:link="false"/></library:libraries>"""
LIBRARY = """<!DOCTYPE library:library PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "library.dtd">
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard" library:readonly="false"
 library:passwordprotected="false"><library:element library:name="Hand"/></library:library>"""
MODULE = """<!DOCTYPE script:module PUBLIC "-//OpenOffice.org//DTD OfficeDocument 1.0//EN" "module.dtd">
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Hand" script:language="StarBasic">
{macro}</script:module>"""

Step = str  # a line for the macro
Block = list[list[Value]]  # the values of a rectangle, None where an error stands


@dataclass(frozen=True)
class Cells:
    """A rectangle of a sheet; rows and columns counted from 1."""

    sheet: str
    top: int
    left: int
    bottom: int
    right: int

    @property
    def corners(self) -> str:
        """As `B2:D9`."""
        return f"{get_column_letter(self.left)}{self.top}:{get_column_letter(self.right)}{self.bottom}"

    def moved(self, down: int = 0, across: int = 0) -> Cells:
        """The rectangle of the same size so many rows below and columns to the right."""
        return Cells(self.sheet, self.top + down, self.left + across, self.bottom + down, self.right + across)

    def cell(self, down: int = 0, across: int = 0) -> Cells:
        """One cell, so far from the upper left one."""
        return cell(self.sheet, self.top + down, self.left + across)

    def row(self, down: int) -> Cells:
        """One row of it."""
        return Cells(self.sheet, self.top + down, self.left, self.top + down, self.right)


def cell(sheet: str, row: int, column: int) -> Cells:
    """One cell as a rectangle."""
    return Cells(sheet, row, column, row, column)


# ---------------------------------------------------------------- what a hand does


def command(name: str, **arguments: str | int | bool) -> Step:
    """One of the program's commands."""
    words = ["do", f".uno:{name}"]
    for key, value in arguments.items():
        if isinstance(value, bool):
            words += [key, "choice", "yes" if value else "no"]
        else:
            words += [key, "text" if isinstance(value, str) else "number", str(value)]
    return _line(*words)


def _line(*words: str) -> Step:
    assert not any(forbidden in word for word in words for forbidden in "\t\n"), words
    return "\t".join(words)


def select(cells: Cells) -> Step:
    """Mark cells; the cursor stands in the upper left one."""
    return command("GoToCell", ToPoint=f"$'{cells.sheet}'.{cells.corners}")


def enter(where: Cells, *texts: str) -> list[Step]:
    """Type into cells side by side, from the upper left one on; an empty text leaves a cell as it is."""
    return [
        step
        for across, text in enumerate(texts)
        if text
        for step in (select(where.cell(0, across)), command("EnterString", StringName=text))
    ]


def sort(where: Cells, descending: bool = False) -> list[Step]:
    """The toolbar's A to Z, or Z to A, with the cursor in one cell."""
    return [select(where.cell()), command("SortDescending" if descending else "SortAscending")]


def move(cells: Cells, to: Cells) -> list[Step]:
    """Cut and paste, as a drag of the cells does."""
    return [select(cells), command("Cut"), select(to.cell()), command("Paste")]


def copy(cells: Cells, to: Cells) -> list[Step]:
    """Copy and paste."""
    return [select(cells), command("Copy"), select(to.cell()), command("Paste")]


def insert_row(above: Cells) -> list[Step]:
    """A row of the sheet above the first row of the cells."""
    return [select(above.cell()), command("InsertRowsBefore")]


def delete_row(of: Cells) -> list[Step]:
    """The sheet's rows in which the cells stand."""
    return [select(of), command("DeleteRows")]


def insert_cells_down(cells: Cells) -> list[Step]:
    """Cells, while those below them go down."""
    return [select(cells), command("InsertCell", Flags="V")]


def delete_cells_up(cells: Cells) -> list[Step]:
    """The cells themselves, while those below them come up."""
    return [select(cells), command("DeleteCell", Flags="U")]


def clear(cells: Cells) -> list[Step]:
    """The key Delete."""
    return [select(cells), command("ClearContents")]


def unprotect(sheet: str) -> list[Step]:
    """Take the protection from a sheet, which has no password."""
    return [select(cell(sheet, 1, 2)), command("Protect")]


def rename_sheet(sheet: str, name: str) -> list[Step]:
    """Another name on the sheet's tab."""
    return [select(cell(sheet, 1, 2)), command("RenameTable", Name=name)]


# ---------------------------------------------------------------- what comes of it


@dataclass(frozen=True)
class Edit:
    """Steps of a hand, and the cells to look at before and after them, where they stood in the book.

    `prepared`: steps before that, after which the answers are taken as those before the edit.
    """

    name: str
    steps: Sequence[Step]
    looked_at: Cells
    prepared: Sequence[Step] = ()


@dataclass(frozen=True)
class Outcome:
    """What is watched in the book, by name, before an edit and after it, and the cells that were looked at."""

    before: Mapping[str, Block]
    after: Mapping[str, Block]
    seen_before: Block
    seen_after: Block


def played(book: bytes, watched: Mapping[str, Cells], edits: Sequence[Edit], folder: Path) -> dict[str, Outcome]:
    """Each edit done in the open book and taken back again: what came of it, by the edit's name.

    Edits with like preparation share it. That everything could be taken back is looked at in the end.
    """
    assert len({edit.name for edit in edits}) == len(edits), "two edits have one name"
    in_order = sorted(edits, key=lambda edit: list(edit.prepared))
    groups = [list(group) for _, group in groupby(in_order, key=lambda edit: list(edit.prepared))]
    places = [word for name, cells in watched.items() for word in (name, _place(cells))]
    steps = [_opened(book, folder), _line("watch", *places), _line("read", "as opened")]
    for group in groups:
        steps += [*group[0].prepared, "mark", _line("read", "before")]
        for edit in group:
            look = _place(edit.looked_at)
            steps += [_line("see", "seen before", look), *edit.steps, _line("read", "after")]
            steps += [_line("see", "seen after", look), "undo"]
        steps.append("undo all")
    told = iter(_told([*steps, _line("read", "in the end")], folder))
    as_opened, found = next(told), {}
    for group in groups:
        before = next(told)
        for edit in group:
            seen_before, after, seen_after = next(told), next(told), next(told)
            found[edit.name] = Outcome(before, after, seen_before, seen_after)
    in_the_end = next(told)
    assert [name for name in watched if changes(as_opened[name], in_the_end[name])] == []
    return found


def saved_after(book: bytes, steps: Sequence[Step], folder: Path) -> Path:
    """The book as LibreOffice saves it after these steps."""
    target = folder / "after_the_edit.xlsx"
    _told([_opened(book, folder), *steps, _line("save", target.as_uri())], folder)
    return target


def _opened(book: bytes, folder: Path) -> Step:
    path = folder / "book.xlsx"
    path.write_bytes(book)
    return _line("open", path.as_uri())


def _place(cells: Cells) -> str:
    return f"{cells.sheet}!{cells.corners}"


def _told(steps: Sequence[Step], folder: Path) -> list[Any]:
    """What the macro tells at these steps. Raises AssertionError where it fails."""
    profile, script, answers = folder / "profile", folder / "steps.txt", folder / "answers.jsonl"
    install = f"-env:UserInstallation={profile.as_uri()}"
    (profile / "user").mkdir(parents=True, exist_ok=True)
    (profile / "user" / "registrymodifications.xcu").write_text(HEAD + SETTINGS, encoding="utf-8")
    # The first start lays out a profile, and writes over what stands in its place.
    subprocess.run(["soffice", install, "--headless", "--terminate_after_init"], check=True, timeout=PATIENCE)
    basic = profile / "user" / "basic"
    (basic / "Standard").mkdir(parents=True, exist_ok=True)
    (basic / "script.xlc").write_text(HEAD + LIBRARIES, encoding="utf-8")
    (basic / "Standard" / "script.xlb").write_text(HEAD + LIBRARY, encoding="utf-8")
    macro = MODULE.format(macro=escape(MACRO.read_text(encoding="utf-8")))
    (basic / "Standard" / "Hand.xba").write_text(HEAD + macro, encoding="utf-8")
    script.write_text("\n".join(steps), encoding="utf-8")
    call = f"macro:///Standard.Hand.Play({script.as_uri()},{answers.as_uri()})"
    subprocess.run(["soffice", install, "--headless", "--norestore", call], check=True, timeout=PATIENCE)
    assert answers.exists(), "the macro did not run: is LibreOffice's Basic installed?"
    told = [json.loads(line) for line in answers.read_text(encoding="utf-8").splitlines()]
    assert [one["failed"] for one in told if "failed" in one] == []
    return [value for one in told for value in one.values()]


def changes(before: Block, after: Block) -> list[str]:
    """The rows that differ; numbers by more than 1e-9 of max(1, value). Rows in which nothing stands do not count."""
    filled = [[row for row in block if any(value != "" for value in row)] for block in (before, after)]
    if len(filled[0]) != len(filled[1]):
        return [f"{len(filled[0])} rows before, {len(filled[1])} after"]
    return [
        f"{one} became {other}"
        for one, other in zip(*filled, strict=True)
        if len(one) != len(other) or not all(same(*pair) for pair in zip(one, other, strict=True))
    ]


def same(value: Value, other: Value) -> bool:
    """Whether two values are the same; an error is none."""
    return value is not None and other is not None and equal(value, other)
