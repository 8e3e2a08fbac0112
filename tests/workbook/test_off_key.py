"""A single cell that no longer stands beside its key is found: what is read must be what stands beside the label.

Rows are inserted, deleted and moved and cells are cut and pasted by the engine, whose commands take references along as
those of spreadsheet programs do. It leaves the references to a cell that is pasted on another sheet: there they are
changed here.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

import ironcalc
import pytest

from budget.workbook.book import CellKey
from budget.workbook.cells import KEY, VALUE
from budget.workbook.engine import Model
from budget.workbook.placement import address
from tests.conftest import computed_example

TOLD = ("found_off_key", "check_off_key", "inputs_off")
NAME, TITLE = "well_depth", "Well: Depth of the well"
GONE = ": its cell was moved away from here, or its row deleted. Undo that, or go back to a copy"


class Opened:
    """The US example with nothing but this check computed, in an engine that has a hand's commands."""

    def __init__(self, model: Model) -> None:
        self.book = computed_example("terrace_house").book
        self.sheets = {name: index for index, name in enumerate(self.book.workbook.sheetnames)}
        self.hand = ironcalc.create_user_model_from_bytes(model._model.to_bytes(), "en")
        self.hand.pause_evaluation()
        where = self.book.directory.names
        self.told = {name: where[name] for name in TOLD}
        self.off = {
            self.book.workbook["Papers"].cell(*name[1:]).value: off
            for name, off in zip(self.cells("input_name"), self.cells("input_off"), strict=True)
            if self.book.owners.get(off)
        }

    def cells(self, key: str) -> list[CellKey]:
        return self.book.cells("papers", key)

    def found(self) -> set[str]:
        """The names of the inputs that are off their keys."""
        self.hand.evaluate()
        return {name for name, where in self.off.items() if self.value(where) != 0}

    def value(self, where: CellKey) -> object:
        sheet, row, column = where
        return self.hand.get_cell_value(self.sheets[sheet], row, column)

    def at(self, name: str = NAME) -> tuple[int, int, int]:
        sheet, row, column = self.book.directory.names[name]
        return self.sheets[sheet], row, column

    def cut(self, left: int, right: int, down: int = 0, along: int = 0, name: str = NAME) -> None:
        """Cut from the row of an input, from one column to another, and paste so many rows and columns away."""
        sheet, row, _ = self.at(name)
        self._select(sheet, row, left, row, right)
        taken = self.hand.copy_to_clipboard()
        self._select(sheet, row + down, left + along, row + down, left + along)
        self.hand.paste_from_clipboard(sheet, taken["range"], taken["data"], True)

    def _select(self, sheet: int, top: int, left: int, bottom: int, right: int) -> None:
        self.hand.set_selected_sheet(sheet)
        self.hand.set_selected_cell(top, left)
        self.hand.set_selected_range(top, left, bottom, right)

    def pasted_elsewhere(self, target: str) -> None:
        """The cell was cut and pasted on another sheet, at the same place."""
        where = self.book.directory.names[NAME]
        old, new = address(*where), address(target, *where[1:])
        for key in ("input_now", "input_off"):
            (cell,) = (
                cell
                for name, cell in zip(self.cells("input_name"), self.cells(key), strict=True)
                if self.book.workbook["Papers"].cell(*name[1:]).value == NAME
            )
            sheet, row, column = cell
            formula = self.hand.get_cell_content(self.sheets[sheet], row, column)
            self.hand.set_user_input(self.sheets[sheet], row, column, formula.replace(old, new).replace("@", ""))
        sheet, row, column = self.at()
        held = self.hand.get_cell_value(sheet, row, column)
        self.hand.set_user_input(sheet, row, column, "")
        self.hand.set_user_input(self.sheets[target], row, column, str(held))


@pytest.fixture(scope="module")
def sound() -> Model:
    return Model(computed_example("terrace_house").book, TOLD)


@pytest.fixture
def opened(sound: Model) -> Opened:
    return Opened(sound)


@dataclass(frozen=True)
class Move:
    """What a hand does, and which inputs are off their keys then."""

    does: Callable[[Opened], object]
    off: frozenset[str] = frozenset({NAME})


NOBODY: frozenset[str] = frozenset()
MOVES = {
    "nothing": Move(lambda book: None, NOBODY),
    "a row inserted above": Move(lambda book: book.hand.insert_rows(book.at()[0], book.at()[1], 1), NOBODY),
    "a row inserted over the title": Move(lambda book: book.hand.insert_rows(book.at()[0], 1, 1), NOBODY),
    "a heading deleted above": Move(lambda book: book.hand.delete_rows(book.at()[0], 4, 1), NOBODY),
    "the title deleted": Move(lambda book: book.hand.delete_rows(book.at()[0], 1, 1), NOBODY),
    "a column inserted before": Move(lambda book: book.hand.insert_columns(book.at()[0], 3, 1), NOBODY),
    "the row moved": Move(lambda book: book.hand.move_rows(book.at()[0], book.at()[1], 1, 2), NOBODY),
    "the whole row cut and pasted": Move(lambda book: book.cut(KEY, VALUE + 1, down=200), NOBODY),
    "the cell cut and pasted below": Move(lambda book: book.cut(VALUE, VALUE, down=200)),
    "the cell cut and pasted on the next": Move(lambda book: book.cut(VALUE, VALUE, down=1)),
    "the cell cut and pasted along the row": Move(lambda book: book.cut(VALUE, VALUE, along=20)),
    "label and cell cut and pasted": Move(lambda book: book.cut(KEY + 1, VALUE, down=200)),
    "an empty cell cut and pasted": Move(
        lambda book: book.cut(VALUE, VALUE, down=200, name="pond_bottom_width"), frozenset({"pond_bottom_width"})
    ),
    "the cell on another sheet": Move(lambda book: book.pasted_elsewhere("Storage")),
    "the row deleted": Move(lambda book: book.hand.delete_rows(*book.at()[:2], 1)),
    "the key typed over": Move(lambda book: book.hand.set_user_input(*book.at()[:2], KEY, "well_bore")),
    "the cell holds an error": Move(lambda book: book.hand.set_user_input(*book.at(), "=1/0"), NOBODY),
    "the cell holds text": Move(lambda book: book.hand.set_user_input(*book.at(), "deep"), NOBODY),
    "the cell is empty": Move(lambda book: book.hand.set_user_input(*book.at(), ""), NOBODY),
}


@pytest.mark.parametrize("move", MOVES)
def test_a_cell_off_its_key_is_found(move: str, opened: Opened) -> None:
    MOVES[move].does(opened)
    assert opened.found() == MOVES[move].off
    said = str(opened.value(opened.told["check_off_key"]))
    if MOVES[move].off == {NAME}:
        assert said.startswith(TITLE + GONE)
    assert (said != "") == bool(MOVES[move].off) == (opened.value(opened.told["found_off_key"]) == 1)


def test_how_many_are_off(opened: Opened) -> None:
    """The first in the order of the papers is named, the others are counted."""
    sheet, row, _ = opened.at()
    opened.hand.delete_rows(sheet, row, 3)
    assert len(opened.found()) == 3
    assert str(opened.value(opened.told["check_off_key"])).startswith(f"{TITLE} (and 2 more){GONE}")


def test_every_single_cell_is_watched(opened: Opened) -> None:
    """Each formula names its own cell, key and row."""
    book = opened.book
    assert set(opened.off) == {given.name for given in book.inputs} and len(opened.off) > 100
    for name, off in opened.off.items():
        formula = str(book.workbook["Papers"].cell(*off[1:]).value)
        sheet, row, column = book.directory.names[name]
        assert book.workbook[sheet].cell(row, KEY).value == name and column == VALUE
        assert f"ROW({name})=ROW({address(sheet, row, KEY)})" in formula and f',"{name}")' in formula


MUTATIONS = {
    "the row is not compared": (r"ROW\(\S+?\)=ROW\(\S+?\)", "1=1"),
    "the key is not compared": (r'EXACT\(\S+?,"\w+"\)', "1=1"),
    "what is seen is not compared": (r"IFERROR\(IF\(SUMPRODUCT\(.*?0,1\),0\)", "0"),
    "a lost cell is let pass": (r",1\)$", ",0)"),
    "an error is taken for a cell that is off": (r"0,1\),0\)", "0,1),1)"),
}


@pytest.mark.parametrize("mutation", MUTATIONS)
def test_each_part_of_the_formula_is_needed(mutation: str, sound: Model) -> None:
    """With one part of it broken, some move is judged otherwise."""
    pattern, instead = MUTATIONS[mutation]
    broken = sound.copy()
    book = computed_example("terrace_house").book
    for name in (NAME, "pond_bottom_width"):
        where = Opened(sound).off[name]
        formula = str(book.workbook["Papers"].cell(*where[1:]).value)
        mutant, changed = re.subn(pattern, instead, formula, count=1)
        assert changed == 1
        broken.set_formula(where, mutant)
    judged = {}
    for move, wanted in MOVES.items():
        opened = Opened(broken)
        wanted.does(opened)
        judged[move] = opened.found()
    assert [move for move, wanted in MOVES.items() if judged[move] != wanted.off] != []
