"""Safe writing: a file stands at its name whole or not at all, and what stood there before is not lost.

The content is written beside its place, under a name that begins with a dot, brought to the disk, and renamed in one
step. A new file has the rights that the user's umask leaves; one that is replaced keeps its own. Whatever fails on the
way leaves what stood there as it was, and nothing beside it.

No other module opens a file to write what somebody is to find there, or renames one.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from budget.errors import Fault, OutputFault

OF_NEW, OF_OWNER = 0o666, 0o600  # rights: of any new file, before the umask takes its part; of nobody but the owner


def write_file(path: Path, content: bytes, kept: Path | None = None) -> None:
    """Put the content at the path, in place of what stands there.

    `kept`: where a copy of what stands there is put first, with its rights and its time; nothing may stand there.
    Raises OutputFault where that cannot be; all is then as it was.
    """
    with told(path), ExitStack() as undo:
        part = _part(path, content, path if path.exists() else None)
        undo.callback(part.unlink, missing_ok=True)
        if kept is not None:
            _copy(path, kept)
            undo.callback(kept.unlink)
        os.replace(part, path)
        undo.pop_all()


def write_new(path: Path, content: bytes) -> None:
    """Put the content at a path where nothing stands. Raises OutputFault where something does, or it cannot be."""
    with told(path), ExitStack() as undo:
        try:
            _claim(path, undo)
        except FileExistsError as error:
            raise OutputFault([Fault(str(path), "is there already", "a file that does not exist yet")]) from error
        write_file(path, content)
        undo.pop_all()


def move_in_place(whole: Path, path: Path) -> None:
    """Rename a file that came whole, in place of what stands at the path. Raises OSError where that cannot be."""
    os.replace(whole, path)


@contextmanager
def told(path: Path) -> Iterator[None]:
    """What the system refuses, as a fault of the path."""
    try:
        yield
    except OSError as error:
        found = f"cannot be written: {error.strerror or error}"
        raise OutputFault([Fault(str(path), found, "a file in a folder that can be written to")]) from error


def _part(path: Path, content: bytes, like: Path | None) -> Path:
    """The content on the disk, under another name beside the path.

    It has the rights of the file `like`, else those of a new one. The name is short, however long that of the path is,
    and tells whose it is where the power fails.
    """
    part = path.with_name(f".water-budget-{os.urandom(6).hex()}.part")
    rights = OF_NEW if like is None else OF_OWNER  # nobody may read it meanwhile who may not read what it replaces
    with ExitStack() as undo:
        with open(part, "xb", opener=lambda name, flags: os.open(name, flags, rights)) as file:
            undo.callback(part.unlink)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if like is not None:
            os.chmod(part, like.stat().st_mode & 0o777)
        undo.pop_all()
    return part


def _copy(path: Path, kept: Path) -> None:
    """A whole copy of the file at `kept`, or none."""
    with ExitStack() as undo:
        _claim(kept, undo)
        part = _part(kept, path.read_bytes(), path)
        undo.callback(part.unlink, missing_ok=True)
        shutil.copystat(path, part)
        os.replace(part, kept)
        undo.pop_all()


def _claim(path: Path, undo: ExitStack) -> None:
    """Take a name with an empty file: nothing is written over then, whoever came first."""
    path.open("xb").close()
    undo.callback(path.unlink, missing_ok=True)
