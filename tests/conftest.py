"""Fixtures that are built once a run: the examples, computed."""

import os
import shutil

import pytest

from tests.computed import EXAMPLES, Computed, compute

_BUILT: dict[str, Computed] = {}


def computed_example(name: str) -> Computed:
    """The example of that name, built once; not to be changed."""
    if name not in _BUILT:
        path = next(path for path in EXAMPLES if path.stem == name)
        _BUILT[name] = compute(path)
    return _BUILT[name]


@pytest.fixture(params=[path.stem for path in EXAMPLES])
def example(request: pytest.FixtureRequest) -> Computed:
    """Each example in turn, computed; not to be changed."""
    return computed_example(request.param)


@pytest.fixture
def terrace() -> Computed:
    """The US example, computed; not to be changed."""
    return computed_example("terrace_house")


def needs(program: str) -> None:
    """Skip where a spreadsheet program is not installed; fail where WATER_ENGINES says that it must be."""
    if shutil.which(program) is None:
        if os.environ.get("WATER_ENGINES") == "required":
            pytest.fail(f"{program} is required here and not installed")
        pytest.skip(f"{program} is not installed")
