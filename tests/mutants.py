"""Formulas with one token changed, set beside the sound ones.

A mutant's formula is written far right on the sheet of its column, once for every cell of it, and reads the sound
values of all others. It gives another number there in some row exactly where it would in the column's own place: the
first row that goes wrong there has read sound values only. So one evaluation tries all mutants of a book.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from budget.declarations import Column, Input, Result, Table
from budget.errors import ModelError
from budget.units import Unit
from budget.water.checks.lists import LINES
from budget.water.checks.months import MOVED
from budget.workbook.book import Book, CellKey, Owner
from budget.workbook.engine import Computed as Value
from budget.workbook.engine import upstream
from budget.workbook.formulas import WHOLE, resolve_column, resolve_result
from budget.workbook.template import Token, reference, tokens
from tests.computed import Computed
from tests.workbook.test_by_hand import LEDGERS, NOT_BY_HAND, RESULTS_NOT_BY_HAND, unequal

FAR_RIGHT = 2000  # no sheet has so many columns
OTHERS = {"+": "-", "-": "+", "*": "/", "/": "*", "<": "<=", "<=": "<", ">": ">=", ">=": ">"}
OTHERS |= {"AND": "OR", "OR": "AND", "MIN": "MAX", "MAX": "MIN"}
OPPOSITES = {">": "<=", "<=": ">", "<": ">=", ">=": "<", "=": "<>", "<>": "="}
OF_PARTS = ("AND", "OR", "MAX", "MIN")  # functions that can do without one of their arguments
# Results of the workbook alone: by hand there is no closure error, no site with cells empty or filled with text, and no
# list or month with rows inserted or deleted.
UNTOLD = (*RESULTS_NOT_BY_HAND, *(r.name for check in (*LINES, *MOVED) for r in (check.finding, check.result)))
TINY = 1e-3  # a tenth more of what is smaller changes nothing that anybody could see; one more does


@dataclass(frozen=True)
class Rule:
    """A formula as it is written once: the key of its column, the tables that apply it; a result is in none."""

    key: str
    template: str
    tables: tuple[str, ...]


@dataclass(frozen=True)
class Mutant:
    """A rule with another formula, and in words what is changed in it."""

    rule: Rule
    template: str
    change: str

    def __str__(self) -> str:
        return f"{self.rule.key}: {self.change}"


def with_token(rule: Rule, place: int, new: str) -> Mutant:
    """The rule with another text for the token of that number; told with the 30 letters before it."""
    pieces = [_text(token) for token in tokens(rule.template)]
    change = f"{''.join(pieces[:place])[-30:]}[{pieces[place]} -> {new}]"
    return Mutant(rule, "".join([*pieces[:place], new, *pieces[place + 1 :]]), change)


def _text(token: Token) -> str:
    return f"{{{token.text}}}" if token.kind == "reference" else token.text


@dataclass(frozen=True)
class Call:
    """A function with its arguments, as places of tokens: of its name, its last parenthesis, and each argument's."""

    function: str
    begins: int
    ends: int
    arguments: tuple[tuple[int, int], ...]  # from the first token to the one behind the last


def calls(template: str) -> list[Call]:
    """Every function of a template, inner ones first."""
    found, open_calls = [], []
    pieces = tokens(template)
    for place, token in enumerate(pieces):
        if token.text == "(" and token.kind == "operator":
            of_function = place > 0 and pieces[place - 1].kind == "function"
            open_calls.append((place - 1 if of_function else None, [place + 1]))
        elif token.text == "," and token.kind == "operator":
            open_calls[-1][1].append(place + 1)
        elif token.text == ")" and token.kind == "operator":
            begins, starts = open_calls.pop()
            if begins is not None:
                ends = [start - 1 for start in starts[1:]] + [place]
                found.append(Call(pieces[begins].text, begins, place, tuple(zip(starts, ends, strict=True))))
    return found


def broken(template: str) -> Iterator[tuple[str, str]]:
    """What is broken in a condition, and the template with it: one piece turned round, or left out."""
    pieces = [_text(token) for token in tokens(template)]

    def put(begins: int, ends: int, new: str) -> str:
        return "".join([*pieces[:begins], new, *pieces[ends:]])

    def text(of: tuple[int, int]) -> str:
        return "".join(pieces[slice(*of)]).strip()

    for place, token in enumerate(tokens(template)):
        if token.kind == "operator" and token.text in OPPOSITES:
            yield f"{token.text} turned round", put(place, place + 1, OPPOSITES[token.text])
    for call in calls(template):
        parts, whole = [text(of) for of in call.arguments], (call.begins, call.ends + 1)
        if call.function == "IF":
            yield "IF turned round", put(*whole, f"IF({parts[0]}, {parts[2]}, {parts[1]})")
        elif call.function == "IFERROR":
            yield "without IFERROR", put(*whole, f"({parts[0]})")
        elif call.function == "ISNUMBER":
            yield "without ISNUMBER", put(*whole, "(1=1)")
        elif call.function in OF_PARTS and len(parts) > 1:
            for part in parts:
                rest = ", ".join(other for other in parts if other is not part)
                yield f"{call.function} without {part}", put(*whole, f"{call.function}({rest})")
        elif call.function == "SUMPRODUCT":
            factors = [text(of) for of in _factors(template, *call.arguments[0])]
            for factor in factors if len(factors) > 1 else ():
                rest = " * ".join(other for other in factors if other is not factor)
                yield f"product without {factor}", put(*whole, f"SUMPRODUCT(--{rest})")


def _factors(template: str, begins: int, ends: int) -> list[tuple[int, int]]:
    """The factors of a product, as places of tokens."""
    depth, starts, stops = 0, [begins], []
    for place in range(begins, ends):
        text = tokens(template)[place].text
        depth += {"(": 1, ")": -1}.get(text, 0)
        if text == "*" and depth == 0:
            stops.append(place)
            starts.append(place + 1)
    return list(zip(starts, [*stops, ends], strict=True))


def rules(book: Book) -> list[Rule]:
    """Every formula of a column or result that has a ledger by hand; those of opening and closing cells have none."""
    found: dict[tuple[str, str], list[str]] = {}
    for name, placement in book.directory.placements.items():
        for column in placement.table.columns:
            if isinstance(column, Column) and column.formula and (name, column.key) not in NOT_BY_HAND:
                found.setdefault((column.key, column.formula), []).append(name)
    of_columns = [Rule(key, template, tuple(tables)) for (key, template), tables in found.items()]
    of_results = [Rule(r.name, r.formula, ()) for r in book.results if r.name not in UNTOLD]
    return of_columns + of_results


class Drawing:
    """Draws mutants of a book's formulas, each place with the same chance.

    Each place draws its own number, by the seed and by its formula's own text: what is declared elsewhere later hardly
    moves the others.
    """

    def __init__(self, book: Book, seed: int) -> None:
        self.book, self.seed = book, seed
        self.rules = rules(book)
        self.blocks: dict[str, Input | Result] = {block.name: block for block in (*book.inputs, *book.results)}
        self._upstream: dict[Owner, set[Owner]] = {}

    def draw(self, count: int) -> list[Mutant]:
        """So many mutants, no two at one place of one formula."""
        places = [(rule, place) for rule in self.rules for place in range(len(tokens(rule.template)))]
        found: list[Mutant] = []
        for rule, place in sorted(places, key=lambda at: self._number(*at)):
            possible = list(self.at(rule, place))
            if possible:
                found.append(min(possible, key=lambda mutant: self._number(rule, place, mutant.template)))
            if len(found) == count:
                break
        return found

    def _number(self, rule: Rule, place: int, more: str = "") -> float:
        return random.Random(f"{self.seed} {rule.key} {rule.template} {place} {more}").random()

    def at(self, rule: Rule, place: int) -> Iterator[Mutant]:
        """The mutants of one token that are formulas still."""
        for new in self._others(rule, place):
            mutant = with_token(rule, place, new)
            if _is_a_formula(self.book, mutant):
                yield mutant

    def _others(self, rule: Rule, place: int) -> Iterator[str]:
        token = tokens(rule.template)[place]
        if token.text in OTHERS:
            yield OTHERS[token.text]
        elif token.kind == "number":
            yield from self._numbers(rule, place)
        elif token.kind == "word" and token.text in self.blocks:
            unit = self.blocks[token.text].unit
            alike = [name for name, block in self.blocks.items() if block.unit is unit and name != token.text]
            yield from self._another(rule, place, alike, "{}")
        elif token.kind == "reference":
            yield from self._references(rule, place)

    def _numbers(self, rule: Rule, place: int) -> Iterator[str]:
        number = float(tokens(rule.template)[place].text)
        if _is_digits_of_a_rounding(rule.template, place):
            yield "0" if number else "1"  # one digit more of six is nothing that anybody could see
            return
        if number >= TINY:
            yield f"{number * 1.1:.9g}"
        yield f"{number + 1:.9g}"

    def _references(self, rule: Rule, place: int) -> Iterator[str]:
        token = tokens(rule.template)[place]
        asked = reference(token.text)
        if asked.modifier == "before":
            yield "{" + token.text.replace(".before", "") + "}"
        table = self._table_read(rule, asked.table, asked.key)
        if table is None or asked.key == WHOLE:
            return
        unit = table.column(asked.key).unit
        alike = [column.key for column in table.columns if column.unit is unit]
        head, _, tail = token.text.partition(asked.key)
        form = "{{" + head + "{}" + tail + "}}"
        yield from self._another(rule, place, [key for key in alike if key != asked.key], form, table.name)

    def _table_read(self, rule: Rule, named: str | None, key: str) -> Table | None:
        """The table whose column of that key the rule reads, None where a case puts another in its place."""
        directory = self.book.directory
        if not rule.tables:
            return directory.placements[named].table if named in directory.placements else None
        own = directory.placements[rule.tables[0]].table
        if named is None:
            return directory.owner(key, own).table
        placement = directory.placements.get(named)
        return placement.table if placement and key in placement.offsets else None

    def _another(self, rule: Rule, place: int, alike: list[str], form: str, table: str = "") -> Iterator[str]:
        """One other of the same unit that does not itself follow from this rule."""
        own: set[Owner] = {(name, rule.key) for name in rule.tables} or {rule.key}
        others = [key for key in alike if key != rule.key]
        others.sort(key=lambda key: self._number(rule, place, key))
        for key in others:
            owner: Owner = (table, key) if table else key
            if owner not in self._upstream:
                self._upstream[owner] = upstream(self.book, [owner])
            if not own & self._upstream[owner]:
                yield form.format(key)
                return


def _is_a_formula(book: Book, mutant: Mutant) -> bool:
    """Whether what was put in is known to every table that applies the rule, and goes along with its rows."""
    rule, directory = mutant.rule, book.directory
    try:
        for name in rule.tables:
            table = directory.placements[name].table
            column = table.column(rule.key)
            assert isinstance(column, Column)
            resolve_column(directory, table, column, mutant.template, 0, 0)
        if not rule.tables:
            resolve_result(directory, replace(_result(book, rule.key), formula=mutant.template))
    except ModelError:
        return False
    return True


def _result(book: Book, name: str) -> Result:
    return next(result for result in book.results if result.name == name)


def _is_digits_of_a_rounding(template: str, place: int) -> bool:
    """Whether the token of that number is the second argument of ROUND or ROUNDUP."""
    depth, found = 0, tokens(template)
    if [token.text for token in found[place + 1 :] if token.kind != "space"][:1] != [")"]:
        return False
    for at in range(place - 1, -1, -1):
        depth += {")": 1, "(": -1}.get(found[at].text, 0)
        if depth < 0:
            return found[at - 1].text in ("ROUND", "ROUNDUP")
    return False


def cells(book: Book, mutant: Mutant) -> Iterator[tuple[str, int, CellKey, str]]:
    """Table, item and sound cell of each of the mutant's formulas, and its text."""
    rule = mutant.rule
    if not rule.tables:
        changed = replace(_result(book, rule.key), formula=mutant.template)
        yield "", 0, book.directory.names[rule.key], resolve_result(book.directory, changed).text(0)
    for name in rule.tables:
        placement = book.directory.placements[name]
        table, column = placement.table, placement.table.column(rule.key)
        assert isinstance(column, Column)
        alike = not isinstance(table.given, Sequence)
        for item in range(table.each.size if table.each else 1):
            resolved = resolve_column(book.directory, table, column, mutant.template, item, 0)
            for row in range(table.rows.size):
                if not alike:
                    resolved = resolve_column(book.directory, table, column, mutant.template, item, row)
                where = (placement.sheet, *placement.cell(rule.key, item, row))
                yield name, item, where, resolved.text(row)


class Bench:
    """A computed book with the formulas of mutants beside its own."""

    def __init__(self, computed: Computed, mutants: Iterable[Mutant]) -> None:
        self.computed = computed
        self.beside: dict[Mutant, dict[tuple[str, int], list[CellKey]]] = {}  # by table and item of `each`
        column = FAR_RIGHT
        for mutant in mutants:
            columns: dict[tuple[str, int], list[CellKey]] = {}
            for table, item, (sheet, _, _), text in cells(computed.book, mutant):
                if (table, item) not in columns:
                    column += 1
                copies = columns.setdefault((table, item), [])
                copies.append((sheet, len(copies) + 1, column))
                computed.model.set_formula(copies[-1], f"={text}")
            self.beside[mutant] = columns

    def clear(self) -> None:
        """Take the mutants' formulas out of the book."""
        for columns in self.beside.values():
            for where in (where for copies in columns.values() for where in copies):
                self.computed.model.clear_cell(where)

    def caught(self, mutant: Mutant, by_hand: dict) -> bool:
        """Whether the mutant's values, as last evaluated, differ from the ledgers by hand."""
        return any(
            self._differs(mutant.rule.key, table, item, [self.computed.model.cell(where) for where in copies], by_hand)
            for (table, item), copies in self.beside[mutant].items()
        )

    def is_sound(self, rule: Rule, by_hand: dict) -> bool:
        """Whether the sound values of the rule are those of the ledgers by hand."""
        computed = self.computed
        if not rule.tables:
            return not self._differs(rule.key, "", 0, [computed.model.value(rule.key)], by_hand)
        for name in rule.tables:
            each = computed.book.directory.placements[name].table.each
            for item in range(each.size if each else 1):
                if self._differs(rule.key, name, item, computed.column(name, rule.key, item), by_hand):
                    return False
        return True

    def _differs(self, key: str, table: str, item: int, values: list[Value], by_hand: dict) -> bool:
        unit, wanted = self._by_hand(by_hand, table, item, key)
        return bool(unequal(key, [self.computed.metric(value, unit) for value in values], wanted))

    def _by_hand(self, by_hand: dict, table: str, item: int, key: str) -> tuple[Unit, list]:
        if not table:
            return _result(self.computed.book, key).unit, list(np.atleast_1d(by_hand["results"][key]))
        placed = self.computed.book.directory.placements[table].table
        ledger = np.asarray(by_hand[LEDGERS.get(table, table)][key], dtype=object)
        return placed.column(key).unit, list(ledger[item] if placed.each else ledger)
