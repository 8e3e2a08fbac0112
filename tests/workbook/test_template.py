"""The grammar of formula templates, and what is read off them before they become cell text."""

import re

import pytest

from budget.errors import ModelError
from budget.workbook.template import Reference, is_one_token, put_in, references, tokens, words


@pytest.mark.parametrize(
    "template",
    [
        "1",
        "-tank_usable",
        "a - -b",
        "a^-b",
        '"a text, with (signs"',
        "PI()",
        "PI() / 4",
        "IF(a>0, b, c)",
        "IF(AND(a>=0, NOT(b<>c)), -1, +1)",
        "SUMPRODUCT(--({x.all}=a) * ({y.all}<b))",
        'a & " and " & b',
        "MAX((a + b) * 2, {c}, 0.5E-3)",
        "INDEX({a.all}, 1, b)",
    ],
)
def test_formulas_are_taken(template: str) -> None:
    assert "".join(f"{{{t.text}}}" if t.kind == "reference" else t.text for t in tokens(template)) == template


@pytest.mark.parametrize(
    "template, reason",
    [
        ("", "is empty"),
        ("a +", "ends where a value should stand"),
        ("(a + b", "'(' is not closed"),
        ("MAX(a, MIN(b, c)", "MAX( is not closed"),
        ("a + b)", "')' closes nothing"),
        ("a b", "no operator stands before 'b'"),
        ("a {b}", "no operator stands before 'b'"),
        ("2 MAX(a)", "no operator stands before MAX"),
        ("a (b)", "no operator stands before '('"),
        ("a * / b", "no value stands before '/'"),
        ("a >= = b", "no value stands before '='"),
        ("* a", "no value stands before '*'"),
        ("()", "no value stands before the ')' of '('"),
        ("a, b", "',' stands outside the arguments of a function"),
        ("(a, b)", "',' stands outside the arguments of a function"),
        ("MAX(a, , b)", "an argument of MAX is empty"),
        ("MAX(a, )", "no value stands before the ')' of MAX("),
        ("IF(a, b)", "IF has 2 arguments and wants 3"),
        ("IF(a, b, c, d)", "IF has 4 arguments and wants 3"),
        ("ROUND(a)", "ROUND has 1 arguments and wants 2"),
        ("MAX()", "MAX has 0 arguments and wants 1 or more"),
        ("PI(1)", "PI has 1 arguments and wants 0"),
        ("INDEX(a)", "INDEX has 1 arguments and wants 2 to 3"),
        ("LOOKUP(a, b)", "LOOKUP is not among the portable functions"),
        ("a + B3", "'B3' cannot be read"),
    ],
)
def test_what_is_no_formula_is_refused(template: str, reason: str) -> None:
    with pytest.raises(ModelError, match=re.escape(reason)):
        tokens(template)


def test_what_a_template_reads() -> None:
    template = 'IF({a}>first, {t:b.each@c} + second, "third {d}") + {u:e.all}'
    assert words(template) == {"first", "second"}
    assert list(references(template)) == [
        Reference(None, "a", None, None),
        Reference("t", "b", "each", "c"),
        Reference(None, "c", None, None),
        Reference("u", "e", "all", None),
    ]


def test_words_are_put_in_with_parentheses_where_they_need_them() -> None:
    given = {"scale": "{a} + 1", "half": "0.5", "kind": '"dug"', "top": "MAX(a, b)"}
    template = '2 * scale - half + {scale} & "scale" & kind * top'
    assert put_in(template, given) == '2 * ({a} + 1) - 0.5 + {scale} & "scale" & "dug" * (MAX(a, b))'


@pytest.mark.parametrize(
    "template, alone",
    [("a", True), (" 0.5 ", True), ("{a:b.all}", True), ('"a b"', True), ("-a", False), ("a+b", False)],
)
def test_one_token_needs_no_parentheses(template: str, alone: bool) -> None:
    assert is_one_token(template) is alone
