"""The TOML document of a site file, or why it cannot be had."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from budget.errors import Fault, InputFaults
from budget.site_file.words import TOML_ACCEPTED, one_line

BYTE_ORDER_MARK = "\ufeff"  # some editors begin a file with it


def parse(path: Path) -> tuple[str, dict[str, object]]:
    """The file's text, word for word, and the TOML document in it; raises InputFaults where it cannot be had."""
    where, file_accepted = path.name or str(path), "a site file in TOML, plain text in UTF-8"
    try:
        text = path.read_bytes().decode("utf-8")
        return text, tomllib.loads(text.removeprefix(BYTE_ORDER_MARK))
    except FileNotFoundError:
        fault = Fault(str(path), "no such file", "the path of a site file")
    except IsADirectoryError:
        fault = Fault(str(path), "is a folder", "the path of a site file")
    except OSError as error:
        fault = Fault(str(path), f"cannot be read: {error.strerror}", file_accepted)
    except UnicodeDecodeError as error:
        fault = Fault(where, f"byte {error.start + 1} is not UTF-8 text", file_accepted)
    except RecursionError:
        fault = Fault(where, "lists within lists without end", TOML_ACCEPTED)
    except tomllib.TOMLDecodeError as error:
        found = re.fullmatch(r"(.*) \(at (?:line (\d+), column (\d+)|end of document)\)", str(error), re.DOTALL)
        message, line, column = found.groups() if found else (str(error), None, None)
        position = f" line {line} column {column}" if line else " at its end" if found else ""
        fault = Fault(where + position, one_line(message), TOML_ACCEPTED)
    except ValueError as error:
        fault = Fault(where, one_line(str(error)), TOML_ACCEPTED)
    raise InputFaults([fault])
