"""Every test fails where its data is lost: not all of its assertions stand within loops over what may be empty.

Only the test's own function is read. What it loops over cannot be empty where it is written out (a tuple, a range of
plain numbers), or is a table of the module (`ROWS`) whose `len` some test asserts. An assertion that nothing was found
among what may be empty (`== []`, `all(...)`, `not any(...)` of a comprehension) is worth as little as one in a loop.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

TESTS = Path(__file__).parent
COMPREHENSIONS = (ast.ListComp, ast.SetComp, ast.DictComp, ast.GeneratorExp)
SAME_SIZE = {"zip", "enumerate", "sorted", "reversed", "product", "list", "set", "tuple"}
OF_A_MAPPING = {"items", "keys", "values", "split"}


def called(call: ast.Call) -> str:
    """The last word of what is called."""
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def counted(module: ast.Module) -> set[str]:
    """The names of the module's own tables whose `len` some assertion tells."""
    claims = [node.test for node in ast.walk(module) if isinstance(node, ast.Assert)]
    calls = [node for claim in claims for node in ast.walk(claim) if isinstance(node, ast.Call)]
    names = [call.args[0] for call in calls if called(call) == "len" and call.args]
    return {name.id for name in names if isinstance(name, ast.Name) and name.id.isupper()}


class Reader:
    """Reads one test: which of its assertions fail where its data is empty."""

    def __init__(self, test: ast.FunctionDef, counted_names: set[str]) -> None:
        self.filled = set(counted_names)  # names of what is not empty
        self.found: set[str] = set()  # names of what a comprehension found among what may be empty
        for node in ast.walk(test):
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                name = node.targets[0].id
                if self.is_filled(node.value):
                    self.filled.add(name)
                if self.may_find_nothing(node.value):
                    self.found.add(name)
        self.holds = any(self._assertions(test, within=False))

    def is_filled(self, what: ast.expr) -> bool:
        """Whether what is looped over cannot be empty."""
        if isinstance(what, (ast.Tuple, ast.List, ast.Set)):
            return any(not isinstance(one, ast.Starred) or self.is_filled(one.value) for one in what.elts)
        if isinstance(what, ast.Dict):
            return bool(what.keys)
        if isinstance(what, ast.Constant):
            return bool(what.value)
        if isinstance(what, ast.Name):
            return what.id in self.filled
        if isinstance(what, COMPREHENSIONS):
            return all(not part.ifs and self.is_filled(part.iter) for part in what.generators)
        if isinstance(what, ast.Call) and called(what) == "range":
            return all(isinstance(number, ast.Constant) for number in what.args)
        if isinstance(what, ast.Call) and called(what) in SAME_SIZE:
            return bool(what.args) and all(self.is_filled(one) for one in what.args)
        if isinstance(what, ast.Call) and isinstance(what.func, ast.Attribute) and called(what) in OF_A_MAPPING:
            return self.is_filled(what.func.value)
        return False

    def may_find_nothing(self, what: ast.expr) -> bool:
        """Whether it is made of a comprehension over what may be empty."""
        if isinstance(what, COMPREHENSIONS):
            return not all(self.is_filled(part.iter) for part in what.generators)
        if isinstance(what, ast.Call) and called(what) in ("all", "any"):
            return bool(what.args) and self.may_find_nothing(what.args[0])
        if isinstance(what, ast.BinOp):
            return self.may_find_nothing(what.left)
        return isinstance(what, ast.Name) and what.id in self.found

    def passes_on_nothing(self, claim: ast.expr) -> bool:
        """Whether the claim is that nothing was found, where there may be nothing to be found."""
        if isinstance(claim, ast.BoolOp):
            return all(self.passes_on_nothing(part) for part in claim.values)
        if isinstance(claim, ast.UnaryOp) and isinstance(claim.op, ast.Not):
            return self.may_find_nothing(claim.operand)
        if isinstance(claim, ast.Call):
            return called(claim) == "all" and self.may_find_nothing(claim)
        if isinstance(claim, ast.Compare) and isinstance(claim.ops[0], ast.Eq):
            sides = (claim.left, claim.comparators[0])
            return any(is_nothing(one) for one in sides) and any(self.may_find_nothing(one) for one in sides)
        return False

    def _assertions(self, node: ast.AST, within: bool) -> Iterator[bool]:
        """For each assertion below, whether it fails where the data is empty; `within` a loop that may not run."""
        for child in ast.iter_child_nodes(node):
            inside = within or isinstance(node, (ast.While, *COMPREHENSIONS))
            inside |= isinstance(node, ast.For) and child in node.body and not self.is_filled(node.iter)
            if isinstance(child, ast.Assert):
                yield not inside and not self.passes_on_nothing(child.test)
            elif isinstance(child, ast.Call) and (called(child) == "raises" or called(child).startswith("assert_")):
                yield not inside
            yield from self._assertions(child, inside)


def is_nothing(what: ast.expr) -> bool:
    """Whether it is written as empty: [], (), {}, set()."""
    if isinstance(what, (ast.List, ast.Tuple)):
        return not what.elts
    if isinstance(what, ast.Dict):
        return not what.keys
    return isinstance(what, ast.Call) and called(what) == "set" and not what.args


def pass_without_data(source: str) -> list[str]:
    """The names of a module's tests that pass where their data is empty."""
    module = ast.parse(source)
    names = counted(module)
    tests = [n for n in ast.walk(module) if isinstance(n, ast.FunctionDef) and n.name.startswith("test_")]
    return [test.name for test in tests if not Reader(test, names).holds]


def test_no_test_passes_without_its_data() -> None:
    files = sorted(TESTS.rglob("test_*.py"))
    assert len(files) > 40
    found = {path.name: names for path in files if (names := pass_without_data(path.read_text(encoding="utf-8")))}
    assert found == {}, "assert how much there is, outside of the loop"


@pytest.mark.parametrize(
    "body",
    [
        "for row in rows(): assert row",
        "assert all(row for row in rows())",
        "assert not any(row for row in rows())",
        "assert [row for row in rows() if row] == []",
        "wrong = {row for row in rows()}\n    assert wrong == set()",
        "for row in sorted(ROWS):\n        with pytest.raises(ValueError): row()",
        "for row in range(first, last): np.testing.assert_allclose(row, 1)",
        "pass",
    ],
)
def test_what_passes_without_data(body: str) -> None:
    assert pass_without_data(f"def test_it():\n    {body}\n") == ["test_it"]


@pytest.mark.parametrize(
    "body",
    [
        "for row in (1, 2): assert row",
        "for row in enumerate(range(3)): assert row",
        "assert len(rows()) == 3\n    for row in rows(): assert row",
        "assert [row for row in rows()] == [1]",
        "assert sum(row for row in rows()) > 1",
        "with pytest.raises(ValueError): rows()",
        "for row in ROWS: assert row\ndef test_counted():\n    assert len(ROWS) == 2",
    ],
)
def test_what_fails_without_data(body: str) -> None:
    assert pass_without_data(f"def test_it():\n    {body}\n") == []
