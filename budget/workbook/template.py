"""The language of formula templates, taken apart: its tokens, its grammar, what a template reads, words put in.

`budget.declarations` describes the language. Here a template is text still; `budget.workbook.formulas` makes cell text
of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache

from budget.errors import ModelError

MANY = 255
# Functions that LibreOffice, Gnumeric, ironcalc and (by its documentation) Excel compute alike, with the fewest and the
# most arguments that a formula of this book gives them. IF always says both: else it makes TRUE and FALSE of nothing.
PORTABLE_FUNCTIONS: dict[str, tuple[int, int]] = {
    **dict.fromkeys("PI".split(), (0, 0)),
    **dict.fromkeys("COLUMN ROW".split(), (0, 1)),
    **dict.fromkeys("ABS ACOS COS DAY EXP INT ISNUMBER LN MONTH NOT RADIANS ROWS SIN SQRT TAN YEAR".split(), (1, 1)),
    **dict.fromkeys("AND AVERAGE COUNT COUNTA MAX MIN OR SUM SUMPRODUCT".split(), (1, MANY)),
    **dict.fromkeys("COUNTIF EXACT IFERROR INTERCEPT MOD PERCENTILE ROUND ROUNDUP RSQ SLOPE TEXT".split(), (2, 2)),
    **dict.fromkeys("INDEX SUMIF".split(), (2, 3)),
    **dict.fromkeys("DATE IF MATCH".split(), (3, 3)),
}

_TOKEN = re.compile(
    r"""(?P<text>"(?:[^"]|"")*")
      | \{(?P<reference>[^{}]*)\}
      | (?P<function>[A-Z][A-Z0-9.]*)(?=\()
      | (?P<number>\d+\.?\d*(?:E[-+]?\d+)?)
      | (?P<word>[a-z_][a-z0-9_]*)
      | (?P<operator><>|<=|>=|[(),<>=+\-*/^&])
      | (?P<space>\s+)
      | (?P<stray>.)""",
    re.VERBOSE | re.DOTALL,
)
_REFERENCE = re.compile(r"^(?:(?P<table>\w+):)?(?P<key>\w+)(?:\.(?P<modifier>\w+))?(?:@(?P<position>[\w:.]+))?$")
_OPERANDS = ("text", "reference", "number", "word")


@dataclass(frozen=True)
class Token:
    """A piece of a template: its kind, and its text without the braces of a reference."""

    kind: str
    text: str


@dataclass(frozen=True)
class Reference:
    """A reference to a column: `{table:key.modifier@position}`; what it does not say is None."""

    table: str | None
    key: str
    modifier: str | None
    position: str | None


@dataclass
class _Bracket:
    """An open parenthesis: the function that it belongs to, None for a plain one; the arguments told so far."""

    function: str | None
    arguments: int = field(default=0)


@cache
def tokens(template: str) -> tuple[Token, ...]:
    """The pieces of a template, spaces too. Raises ModelError for what is no word of the language or no formula."""
    found: list[Token] = []
    for match in _TOKEN.finditer(template):
        kind = match.lastgroup or "stray"
        if kind == "stray":  # a capital word, a cell's address, a brace or quote without its pair
            raise ModelError(f"'{template[match.start() :]}' cannot be read")
        found.append(Token(kind, match["reference"] if kind == "reference" else match.group()))
    _check_grammar([token for token in found if token.kind != "space"])
    return tuple(found)


@cache
def reference(text: str) -> Reference:
    """What stands between the braces of a reference. Raises ModelError where it cannot be read."""
    match = _REFERENCE.match(text)
    if match is None:
        raise ModelError(f"{{{text}}} cannot be read")
    return Reference(match["table"], match["key"], match["modifier"], match["position"])


def _check_grammar(found: list[Token]) -> None:
    """Raise ModelError unless values and operators alternate, parentheses pair and functions get their arguments."""
    open_brackets: list[_Bracket] = []
    wants_value, function = True, None
    for token in found:
        if token.kind in _OPERANDS:
            if not wants_value:
                raise ModelError(f"no operator stands before '{token.text}'")
            wants_value = False
        elif token.kind == "function":
            if not wants_value:
                raise ModelError(f"no operator stands before {token.text}")
            if token.text not in PORTABLE_FUNCTIONS:
                raise ModelError(f"{token.text} is not among the portable functions")
            function = token.text
        elif token.text == "(":
            if not wants_value:
                raise ModelError("no operator stands before '('")
            open_brackets.append(_Bracket(function))
            function = None
        elif token.text == ")":
            _close(open_brackets, wants_value)
            wants_value = False
        elif token.text == ",":
            _next_argument(open_brackets, wants_value)
            wants_value = True
        elif wants_value and token.text not in "+-":
            raise ModelError(f"no value stands before '{token.text}'")
        else:
            wants_value = True
    if open_brackets:
        raise ModelError(f"{_opened(open_brackets[-1])} is not closed")
    if wants_value:
        raise ModelError("ends where a value should stand" if found else "is empty")


def _close(open_brackets: list[_Bracket], wants_value: bool) -> None:
    if not open_brackets:
        raise ModelError("')' closes nothing")
    bracket = open_brackets.pop()
    if wants_value and (bracket.function is None or bracket.arguments):
        raise ModelError(f"no value stands before the ')' of {_opened(bracket)}")
    if bracket.function is not None:
        arguments = bracket.arguments + (0 if wants_value else 1)
        fewest, most = PORTABLE_FUNCTIONS[bracket.function]
        if not fewest <= arguments <= most:
            wanted = str(fewest) if fewest == most else f"{fewest} or more" if most == MANY else f"{fewest} to {most}"
            raise ModelError(f"{bracket.function} has {arguments} arguments and wants {wanted}")


def _next_argument(open_brackets: list[_Bracket], wants_value: bool) -> None:
    if not open_brackets or open_brackets[-1].function is None:
        raise ModelError("',' stands outside the arguments of a function")
    if wants_value:
        raise ModelError(f"an argument of {open_brackets[-1].function} is empty")
    open_brackets[-1].arguments += 1


def _opened(bracket: _Bracket) -> str:
    return f"{bracket.function}(" if bracket.function else "'('"


def words(template: str) -> set[str]:
    """The bare words of a template: inputs, results, factors, and what `given` replaces."""
    return {token.text for token in tokens(template) if token.kind == "word"}


def references(template: str) -> Iterator[Reference]:
    """The references of a template, those of their positions too."""
    for token in tokens(template):
        if token.kind == "reference":
            yield from _with_position(reference(token.text))


def _with_position(found: Reference) -> Iterator[Reference]:
    yield found
    if found.position is not None:
        yield from _with_position(reference(found.position))


def is_one_token(template: str) -> bool:
    """Whether a template is a single value, so that it needs no parentheses where it takes another's place."""
    return len(tokens(template.strip())) == 1


def put_in(template: str, replacements: Mapping[str, str]) -> str:
    """The template with words replaced by other templates, in parentheses unless these are one token."""
    return "".join(_text(token, replacements) for token in tokens(template))


def _text(token: Token, replacements: Mapping[str, str]) -> str:
    if token.kind == "reference":
        return f"{{{token.text}}}"
    replacement = replacements.get(token.text) if token.kind == "word" else None
    if replacement is None:
        return token.text
    return replacement if is_one_token(replacement) else f"({replacement})"
