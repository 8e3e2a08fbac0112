"""Fixtures that are built once a run: the examples, computed; and the guard that no test leaves this machine."""

import gc
import io
import ipaddress
import os
import shutil
import socket
from collections.abc import Callable, Iterator
from functools import cache

import pytest
from openpyxl import Workbook, load_workbook

from tests.computed import EXAMPLES, Computed, compute
from tests.pictures import finished_book

# A book is a hundred thousand cells that live as long as it: to look for garbage among them as often as usual takes a
# tenth of the run.
gc.set_threshold(200_000, 50, 100)

# These wait for other programs, while the processor may compute something else.
FIRST = ("test_engines.py", "test_live_edit.py", "test_hand_edits.py", "test_print.py", "test_portability.py")
RESOLVERS = ("getaddrinfo", "gethostbyname", "gethostbyname_ex", "gethostbyaddr")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests that wait come first: at the end they would keep one worker busy and leave the others idle."""
    items.sort(key=lambda item: item.path.name not in FIRST)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> object:
    """Where `-n` alone is given: tests stay with their neighbours, and an idle worker takes from the end of another's.

    Neighbours share what their file has built. Without pytest-xdist nobody asks.
    """
    if config.getoption("dist") != "load":
        return None
    from xdist.scheduler import WorkStealingScheduling

    return WorkStealingScheduling(config, log)


def is_here(host: object) -> bool:
    """Whether a host, as it is given to a socket, is this machine; none at all is, too."""
    name = host.decode() if isinstance(host, bytes) else host
    if name in (None, "", "localhost"):
        return True
    try:
        return ipaddress.ip_address(str(name)).is_loopback
    except ValueError:
        return False


@pytest.fixture(scope="session", autouse=True)
def no_network() -> Iterator[None]:
    """A test that asks another machine, or for the address of one, fails.

    In the test's own process only. `pytest.fail` goes through `except Exception`, which libraries put around downloads.
    """

    def guarded(call: Callable[..., object], host_of: Callable[..., object]) -> Callable[..., object]:
        def guard(*given: object, **named: object) -> object:
            host = host_of(*given, **named)
            if not is_here(host):
                pytest.fail(f"a test asked for {host}; tests stay on this machine")
            return call(*given, **named)

        return guard

    def host_connected_to(own: socket.socket, address: object) -> object:
        inet = own.family in (socket.AF_INET, socket.AF_INET6) and isinstance(address, tuple)
        return address[0] if inet else None

    with pytest.MonkeyPatch.context() as patch:
        for name in ("connect", "connect_ex"):
            patch.setattr(socket.socket, name, guarded(getattr(socket.socket, name), host_connected_to))
        for name in RESOLVERS:
            patch.setattr(socket, name, guarded(getattr(socket, name), lambda host, *_, **__: host))
        yield


@cache
def computed_example(name: str) -> Computed:
    """The example of that name, built once; not to be changed, unlike its copies."""
    return compute(next(path for path in EXAMPLES if path.stem == name))


@cache
def finished_example(name: str) -> bytes:
    """The finished file of the example of that name."""
    return finished_book(computed_example(name))


@cache
def opened_example(name: str) -> Workbook:
    """The finished file of that name as openpyxl reads it, its formulas in their cells; not to be changed."""
    return load_workbook(io.BytesIO(finished_example(name)))


@cache
def example_without_values(name: str) -> bytes:
    """The file of the example of that name as openpyxl writes it: a program that opens it must compute every cell."""
    target = io.BytesIO()
    computed_example(name).book.workbook.save(target)
    return target.getvalue()


@pytest.fixture(params=[path.stem for path in EXAMPLES])
def example(request: pytest.FixtureRequest) -> Computed:
    """Each example in turn, computed; not to be changed."""
    return computed_example(request.param)


@pytest.fixture
def terrace() -> Computed:
    """The US example, computed; not to be changed."""
    return computed_example("terrace_house")


@pytest.fixture
def changed() -> Computed:
    """A copy of the US example whose cells the test may change."""
    return computed_example("terrace_house").copy()


def needs(program: str) -> None:
    """Skip where a spreadsheet program is not installed; fail where WATER_ENGINES says that it must be."""
    if shutil.which(program) is None:
        if os.environ.get("WATER_ENGINES") == "required":
            pytest.fail(f"{program} is required here and not installed")
        pytest.skip(f"{program} is not installed")
