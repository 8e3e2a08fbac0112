"""The command line: `new` writes a starter site file, `build` makes the workbook, `rain` shows the rain record.

Exit codes: 0 done, 1 the input is wrong (one line per fault on standard error), 2 wrong usage, 3 the rain could not be
had, 130 stopped by Ctrl-C. Only the result goes to standard output; what is going on is told on standard error.
Whatever is slow to import is imported when a command needs it, so that `--help` answers at once.
"""

from __future__ import annotations

import argparse
import json
import logging
import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from budget import __version__
from budget.errors import BudgetError, Fault, InputFaults
from budget.safe_writing import write_new

if TYPE_CHECKING:
    from budget.build import Answer, Built
    from budget.coordinates import Position
    from budget.workbook.engine import Computed

SMALL = "[<10]"  # begins a number format that shows small numbers with more digits
CASE_WIDTH = 24  # characters of an answer's column
STOPPED = 130  # exit code of a command that Ctrl-C ended, as shells have it
FRESH = "ask the weather stations again, even where what they told before is kept beside the site file"
EPILOG = """A well, an electric pump, drinking water and a heavy tank: local codes and licensed practice come first.
The workbook's sheet 'Cautions' says what to mind."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    given = parser().parse_args(_with_minus(sys.argv[1:] if arguments is None else arguments))
    try:
        return int(given.run(given))
    except BudgetError as error:
        print(error, file=sys.stderr)
        return error.exit_code
    except BrokenPipeError:
        return 0
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return STOPPED


def _with_minus(arguments: Sequence[str]) -> list[str]:
    """The arguments, a place that begins with a minus tied to its `--at`: argparse would take it for an option."""
    tied: list[str] = []
    for argument in arguments:
        if tied and tied[-1] == "--at" and re.match(r"-\s*[0-9.]", argument):
            tied[-1] = f"--at={argument}"
        else:
            tied.append(argument)
    return tied


def parser() -> argparse.ArgumentParser:
    """The commands and their options."""
    top = argparse.ArgumentParser(
        prog="water-budget",
        description="A year-round water budget for a home on a shallow dug well: when to fill the tank, how hard the"
        " well may be pumped, when the water runs out.",
        epilog=EPILOG,
    )
    top.add_argument("--version", action="version", version=f"water-budget {__version__}")
    commands = top.add_subparsers(title="commands", required=True, metavar="COMMAND")
    new = commands.add_parser("new", help="write a commented starter site file")
    new.add_argument("file", type=Path, metavar="FILE", help="where to write it, e.g. home.toml")
    new.add_argument("--units", choices=("US", "metric"), default="US", help="units of the starter (default: US)")
    new.add_argument("--south", action="store_true", help="a place south of the equator")
    new.add_argument(
        "--at",
        metavar="LAT,LON[,HEIGHT]",
        help="where the place lies, e.g. 44.6,-123.1 or \"44°36'N, 123°6'W, 90 m\": its rain is then fetched from"
        " weather stations near it",
    )
    new.set_defaults(run=run_new)
    build = commands.add_parser("build", help="build the workbook of a site file and print its answers")
    build.add_argument("site", type=Path, nargs="?", metavar="SITE", help="site file (default: the invented example)")
    build.add_argument("-o", "--output", type=Path, metavar="BOOK", help="where to put the workbook (.xlsx)")
    build.add_argument("--json", action="store_true", help="print the answers as JSON")
    build.add_argument("--fresh", action="store_true", help=FRESH)
    build.set_defaults(run=run_build)
    rain = commands.add_parser("rain", help="show what the rain record of a site file holds, or save it clean")
    rain.add_argument("site", type=Path, nargs="?", metavar="SITE", help="site file (default: the invented example)")
    rain.add_argument("--save", type=Path, metavar="FILE", help="write the clean record to a new file (.csv)")
    rain.add_argument("--json", action="store_true", help="print it as JSON, in mm and °C")
    rain.add_argument("--fresh", action="store_true", help=FRESH)
    rain.set_defaults(run=run_rain)
    return top


def run_new(given: argparse.Namespace) -> int:
    """Write the starter; an existing file is never written over."""
    from budget.starter import starter

    path: Path = given.file
    at = None if given.at is None else _position(given.at, given.south)
    write_new(path, starter(given.units, given.south, at).encode())
    then = "Fill in your site, put the rain record beside it, then" if at is None else "Fill in your site; then"
    print(f"{path} is written. {then}: water-budget build {path}")
    return 0


def _position(text: str, south: bool) -> Position:
    """The place that `--at` names. Raises InputFaults where it names none, or one that is not `--south` as said."""
    from budget.coordinates import ACCEPTED, read_position
    from budget.site_file.words import shown

    try:
        at = read_position(text)
    except ValueError as reason:
        raise InputFaults([Fault("--at", f"{shown(text)}: {reason}", ACCEPTED)]) from None
    if south and at.latitude >= 0:
        found = f"{shown(text)} is not south of the equator"
        raise InputFaults([Fault("--south", found, "--at with a southern latitude, or --at alone")])
    return at


def run_build(given: argparse.Namespace) -> int:
    """Build the book and print its answers."""
    from budget.build import build, embedded_example

    site: Path = given.site or embedded_example()
    output: Path | None = given.output
    if given.site is None and output is None:
        output = Path(site.with_suffix(".xlsx").name)
    with _stations_told():
        built = build(site, output, _stage, given.fresh)
    print(as_json(built) if given.json else as_text(built))
    return 0


def run_rain(given: argparse.Namespace) -> int:
    """Show the record; with `--save` also write it, never over another file."""
    from budget.build import embedded_example
    from budget.rain import report_rain

    with _stations_told():
        report = report_rain(given.site or embedded_example(), given.fresh)
    if given.save is not None:
        write_new(given.save, report.clean.encode())
    print(json.dumps(report.content, ensure_ascii=False, indent=2) if given.json else "\n".join(report.lines))
    if given.save is not None and not given.json:
        print(f"\nThe clean record is {given.save}")
    return 0


@contextmanager
def _stations_told() -> Iterator[None]:
    """One line on standard error for each weather station that is asked meanwhile."""
    log, handler = logging.getLogger("budget.record"), logging.StreamHandler(sys.stderr)
    handler.setFormatter(logging.Formatter("  %(message)s"))
    level = log.level
    log.addHandler(handler)
    log.setLevel(logging.INFO)
    try:
        yield
    finally:
        log.removeHandler(handler)
        log.setLevel(level)


def _stage(text: str) -> None:
    """Tell on a terminal what is going on."""
    if sys.stderr.isatty():
        print(f"  {text} ...", file=sys.stderr)


def as_text(built: Built) -> str:
    """The answers as a person reads them."""
    lines = [*built.sentences, ""]
    wide = max(len(answer.title) for answer in built.answers)
    head = (f"{title:>{CASE_WIDTH}}" for title in ("expected", "with less water", "with more water", "a middle year"))
    lines.append(f"{'':{wide}}  {'  '.join(head)}")
    for answer in built.answers:
        cases = (f"{shown(answer, value):>{CASE_WIDTH}}" for value in answer.cases)
        lines.append(f"{answer.title:{wide}}  {'  '.join(cases)}")
    lines += ["", *(f"Warning: {text}" for text in built.warnings)]
    if built.rain_came:
        lines.append(built.rain_came)
    if built.kept is not None:
        lines.append(f"The workbook that was there is kept as {built.kept}")
    lines.append(f"The workbook is {built.path}")
    return "\n".join(lines)


def shown(answer: Answer, value: Computed) -> str:
    """One case of an answer as text, with its unit and as many digits as its cell shows."""
    if not isinstance(value, (int, float)):
        return str(value)
    if answer.number_format == "0%":
        return f"{value:.0%}"
    number_format = answer.number_format
    if number_format.startswith(SMALL):  # one format below ten and another above
        below, _, above = number_format.removeprefix(SMALL).partition(";")
        number_format = below if value < 10 else above
    decimals = len(number_format.partition(".")[2])
    grouped = f"{value:,.{decimals}f}" if "," in number_format else f"{value:.{decimals}f}"
    return f"{grouped} {answer.unit}" if answer.unit not in ("", "year") else grouped


def as_json(built: Built) -> str:
    """The answers for a program: the numbers as they stand in the cells."""
    content = {
        "book": str(built.path),
        "kept": None if built.kept is None else str(built.kept),
        "sentences": built.sentences,
        "answers": [
            {
                "key": a.key,
                "title": a.title,
                "unit": a.unit,
                "expected": a.expected,
                "less": a.less,
                "more": a.more,
                "middle": a.middle,
            }
            for a in built.answers
        ],
        "warnings": built.warnings,
        "rain": built.rain_came,
    }
    return json.dumps(content, ensure_ascii=False, indent=2)
