"""Safe writing: whole or not at all, with the rights that a person expects, and nothing left lying about."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from budget.cli import main
from budget.errors import OutputFault
from budget.record import snapshot
from budget.safe_writing import write_file, write_new
from budget.workbook.book import Book
from budget.workbook.finish import write_book
from budget.workbook.page import Page
from tests.invented_stations import invented

OLD, CONTENT = b"what stood there\n", b"what is to stand there\n" * 1000
PLACE = "a file in a folder that can be written to"
WAYS: list[Callable[[Path, bytes], None]] = [write_file, write_new]
no_rights = pytest.mark.skipif(os.name == "nt", reason="rights and names of files are other there")


@contextmanager
def umask(mask: int) -> Iterator[None]:
    before = os.umask(mask)
    try:
        yield
    finally:
        os.umask(before)


def rights(path: Path) -> int:
    return path.stat().st_mode & 0o777


def held(folder: Path) -> dict[str, bytes]:
    """Every file of the folder with its content, hidden ones too."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def refused(write: Callable[[], object]) -> str:
    """What is told of a file that cannot be written."""
    with pytest.raises(OutputFault) as caught:
        write()
    (fault,) = caught.value.faults
    return str(fault)


# ---------------------------------------------------------------- what stands there then


@pytest.mark.parametrize("write", WAYS)
def test_the_content_stands_there_and_nothing_beside_it(write: Callable[[Path, bytes], None], tmp_path: Path) -> None:
    write(tmp_path / "new.txt", CONTENT)
    assert held(tmp_path) == {"new.txt": CONTENT}


def test_what_stood_there_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "home.txt").write_bytes(OLD)
    write_file(tmp_path / "home.txt", CONTENT)
    assert held(tmp_path) == {"home.txt": CONTENT}


def test_what_stood_there_is_kept_with_its_rights_and_its_time(tmp_path: Path) -> None:
    path, kept = tmp_path / "home.txt", tmp_path / "home before.txt"
    path.write_bytes(OLD)
    path.chmod(0o640)
    os.utime(path, (1_000_000_000, 1_000_000_000))
    write_file(path, CONTENT, kept)
    assert held(tmp_path) == {"home.txt": CONTENT, "home before.txt": OLD}
    assert kept.stat().st_mtime == 1_000_000_000
    if os.name != "nt":
        assert rights(kept) == rights(path) == 0o640


@no_rights
def test_a_name_as_long_as_a_name_may_be(tmp_path: Path) -> None:
    path = tmp_path / ("x" * (os.pathconf(tmp_path, "PC_NAME_MAX") - 4) + ".txt")
    write_file(path, CONTENT)
    assert held(tmp_path) == {path.name: CONTENT}


# ---------------------------------------------------------------- rights


@no_rights
@pytest.mark.parametrize(("mask", "expected"), [(0o077, 0o600), (0o022, 0o644), (0o027, 0o640), (0o000, 0o666)])
@pytest.mark.parametrize("write", WAYS)
def test_a_new_file_has_the_rights_that_the_umask_leaves(
    write: Callable[[Path, bytes], None], mask: int, expected: int, tmp_path: Path
) -> None:
    with umask(mask):
        write(tmp_path / "new.txt", CONTENT)
    assert rights(tmp_path / "new.txt") == expected


@no_rights
@pytest.mark.parametrize("own", [0o600, 0o640, 0o664, 0o400])
def test_a_file_that_is_replaced_keeps_its_rights(own: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And nobody but its owner may read what takes its place before that has the same."""
    path, seen, sync = tmp_path / "home.txt", [], os.fsync
    path.write_bytes(OLD)
    path.chmod(own)

    def look(handle: int) -> None:
        seen.append(os.fstat(handle).st_mode & 0o077)
        sync(handle)

    monkeypatch.setattr(os, "fsync", look)
    with umask(0o022):
        write_file(path, CONTENT, tmp_path / "kept.txt")
    assert rights(path) == rights(tmp_path / "kept.txt") == own
    assert seen == [0, 0]


# ---------------------------------------------------------------- what fails


def full(*_: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def stopped(*_: object) -> None:
    raise KeyboardInterrupt


def fail_at(number: int, original: Callable[..., object], fail: Callable[..., None]) -> Callable[..., object]:
    """The call, but for one that fails, counted from 1."""
    calls: list[object] = []

    def call(*arguments: object, **named: object) -> object:
        calls.append(arguments)
        if len(calls) == number:
            fail()
        return original(*arguments, **named)

    return call


# With a copy that is kept there are two of each: the new file comes first to the disk, the copy first to its place.
STEPS = [("fsync", 1), ("fsync", 2), ("replace", 1), ("replace", 2), ("chmod", 1), ("open", 1), ("open", 2)]


@pytest.mark.parametrize("fail", [full, stopped])
@pytest.mark.parametrize(("step", "number"), STEPS)
def test_a_failure_at_any_step_leaves_all_as_it_was(
    step: str, number: int, fail: Callable[..., None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "home.txt"
    path.write_bytes(OLD)
    with monkeypatch.context() as patch:
        patch.setattr(os, step, fail_at(number, getattr(os, step), fail))
        if fail is stopped:
            with pytest.raises(KeyboardInterrupt):
                write_file(path, CONTENT, tmp_path / "kept.txt")
        else:
            told = refused(lambda: write_file(path, CONTENT, tmp_path / "kept.txt"))
            assert told == f"{path}: cannot be written: No space left on device; accepted: {PLACE}"
    assert held(tmp_path) == {"home.txt": OLD}


@pytest.mark.parametrize("fail", [full, stopped])
@pytest.mark.parametrize("step", ["fsync", "replace", "open", "chmod"])
def test_a_new_file_that_fails_leaves_nothing(
    step: str, fail: Callable[..., None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, step, fail)
    with pytest.raises((OutputFault, KeyboardInterrupt)):
        write_new(tmp_path / "new.txt", CONTENT)
    assert held(tmp_path) == {}


@pytest.mark.parametrize("write", WAYS)
def test_a_disk_that_takes_only_the_beginning(write: Callable[[Path, bytes], None], tmp_path: Path) -> None:
    """Nothing is replaced here: the system itself stops the write in the middle."""
    resource = pytest.importorskip("resource")
    path = tmp_path / "home.txt"
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    if write is write_file:
        path.write_bytes(OLD)
    there = held(tmp_path)
    resource.setrlimit(resource.RLIMIT_FSIZE, (len(CONTENT) // 2, before[1]))
    try:
        told = refused(lambda: write(path, CONTENT))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert told == f"{path}: cannot be written: File too large; accepted: {PLACE}"
    assert held(tmp_path) == there


@pytest.mark.parametrize("write", WAYS)
def test_places_where_no_file_can_stand(write: Callable[[Path, bytes], None], tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(OLD)
    for path, why in (
        (tmp_path / "nowhere" / "new.txt", "No such file or directory"),
        (tmp_path / "file" / "new.txt", "Not a directory"),
    ):
        assert refused(lambda path=path: write(path, CONTENT)) == f"{path}: cannot be written: {why}; accepted: {PLACE}"
    assert held(tmp_path) == {"file": OLD}


@pytest.mark.skipif(not Path("/sys/kernel").is_dir(), reason="no folder here in which the system lets nobody write")
@pytest.mark.parametrize("write", WAYS)
def test_a_folder_in_which_nobody_may_write(write: Callable[[Path, bytes], None]) -> None:
    """Not even root, who may write wherever the rights of a folder alone forbid it."""
    path = Path("/sys/kernel/home.txt")
    told = refused(lambda: write(path, CONTENT))
    assert told in [
        f"{path}: cannot be written: {why}; accepted: {PLACE}"
        for why in ("Permission denied", "Read-only file system", "Operation not permitted")
    ]


def test_a_folder_is_not_replaced(tmp_path: Path) -> None:
    path = tmp_path / "folder"
    (path / "within").mkdir(parents=True)
    assert refused(lambda: write_file(path, CONTENT)) == f"{path}: cannot be written: Is a directory; accepted: {PLACE}"
    kept = tmp_path / "kept"
    assert "cannot be written: Is a directory" in refused(lambda: write_file(path, CONTENT, kept))
    assert "is there already" in refused(lambda: write_new(path, CONTENT))
    assert list(tmp_path.iterdir()) == [path] and (path / "within").is_dir()


def test_nothing_is_written_over_that_is_not_to_be(tmp_path: Path) -> None:
    path, kept = tmp_path / "home.txt", tmp_path / "kept.txt"
    path.write_bytes(OLD)
    kept.write_bytes(b"kept before")
    told = refused(lambda: write_new(path, CONTENT))
    assert told == f"{path}: is there already; accepted: a file that does not exist yet"
    assert "File exists" in refused(lambda: write_file(path, CONTENT, kept))
    (tmp_path / "link.txt").symlink_to(tmp_path / "nowhere.txt")
    assert "is there already" in refused(lambda: write_new(tmp_path / "link.txt", CONTENT))
    (tmp_path / "link.txt").unlink()
    assert held(tmp_path) == {"home.txt": OLD, "kept.txt": b"kept before"}


# ---------------------------------------------------------------- what the package writes


def put_book(path: Path) -> None:
    book = Book("metric")
    Page(book, "Home", "Home", "A page without a formula.", "1F5673")
    write_book(book, {}, path, {})


def put_snapshot(path: Path) -> None:
    snapshot.write(invented(), path)


def put_by(*command: str) -> Callable[[Path], None]:
    def put(path: Path) -> None:
        if main([*command, str(path)]):
            raise OutputFault([])  # told on standard error

    return put


WRITERS = {
    "home.xlsx": put_book,
    "home_stations.csv": put_snapshot,
    "home.toml": put_by("new"),
    "clean.csv": put_by("rain", "--save"),
}


@no_rights
@pytest.mark.parametrize("name", WRITERS)
def test_what_the_package_writes_has_the_rights_that_the_umask_leaves(name: str, tmp_path: Path) -> None:
    with umask(0o077):
        WRITERS[name](tmp_path / name)
    assert rights(tmp_path / name) == 0o600
    (tmp_path / name).unlink()
    with umask(0o022):
        WRITERS[name](tmp_path / name)
    assert rights(tmp_path / name) == 0o644


@pytest.mark.parametrize("name", WRITERS)
def test_what_the_package_writes_stands_whole_or_not_at_all(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("budget.safe_writing.os.fsync", full)
        with pytest.raises(OutputFault):
            WRITERS[name](tmp_path / name)
    assert held(tmp_path) == {}
    WRITERS[name](tmp_path / name)
    assert list(held(tmp_path)) == [name]


@no_rights
@pytest.mark.parametrize("name", ["home.xlsx", "home_stations.csv"])
def test_a_book_and_a_snapshot_keep_their_rights(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    WRITERS[name](path)
    path.chmod(0o640)
    WRITERS[name](path)
    assert {rights(path) for path in tmp_path.iterdir()} == {0o640}
