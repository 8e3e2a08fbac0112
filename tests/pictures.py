"""Pictures of every sheet of every example, to look at: `python -m tests.pictures [FOLDER] [--example NAME] ...`.

Two kinds, through LibreOffice and poppler: pages as they print (`05 Well-2.png`), and the sheet as it stands on the
screen, also what lies outside the print area, with row numbers and column letters (`05 Well screen-1.png`). A long
sheet shows its first pages only unless `--all` asks for everything.

The functions also serve the tests of the printed pages. They change copies of the finished file in its XML, because
openpyxl loses parts of charts when it reads and saves a book.
"""

from __future__ import annotations

import argparse
import html
import re
import subprocess
import tempfile
import zipfile
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from budget.workbook.finish import finished
from budget.workbook.sheets import ALTERNATIVES
from tests.computed import EXAMPLES, Computed, compute

POINTS = 72  # an inch
PAPERS = {"Letter": 1, "A4": 9}  # their numbers in the file format
SCREEN_PAPER = 66  # A2
SCREEN_WIDTH = 22.0  # inches of an A2 sheet across, without its margins
FIRST_PAGES = 2
LONGEST_SHEETS = ("Ledger",)
DOTS = 90  # an inch
INCHES_A_DIGIT = 7 / 96  # a digit of the Normal style is 7 pixels wide

Change = Callable[[str], str]


def finished_book(computed: Computed) -> bytes:
    """The finished file of a computed example, without writing it."""
    return finished(computed.book, computed.values, ALTERNATIVES)


def changed(content: bytes, changes: Mapping[str, Change]) -> bytes:
    """A copy of an xlsx file in which the parts whose names match a pattern are changed as text."""
    target = BytesIO()
    with zipfile.ZipFile(BytesIO(content)) as source, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as copy:
        for part in source.namelist():
            data = source.read(part)
            for pattern, change in changes.items():
                if re.fullmatch(pattern, part):
                    data = change(data.decode()).encode()
            copy.writestr(part, data)
    return target.getvalue()


def on_paper(content: bytes, paper: str) -> bytes:
    """A copy whose sheets print on that paper."""
    return changed(content, {r"xl/worksheets/sheet\d+\.xml": _paper(PAPERS[paper])})


def _paper(number: int) -> Change:
    def change(xml: str) -> str:
        without = re.sub(r'(<pageSetup\b[^>]*?) paperSize="\d+"', r"\1", xml)
        return without.replace("<pageSetup ", f'<pageSetup paperSize="{number}" ')

    return change


def only_sheets(content: bytes, sheets: Collection[str]) -> bytes:
    """A copy that prints these sheets, hidden ones too.

    The others are hidden, and lose their print areas, which would print hidden.
    """

    def change(xml: str) -> str:
        names = [html.unescape(name) for name in re.findall(r'<sheet name="([^"]*)"', xml)]
        for name in names:
            tag = f'<sheet name="{html.escape(name)}"'
            if name in sheets:
                xml = re.sub(rf'({re.escape(tag)}[^>]*) state="hidden"', r'\1 state="visible"', xml)
            else:
                xml = re.sub(rf'({re.escape(tag)}[^>]*) state="visible"', r'\1 state="hidden"', xml)
                printed = (
                    rf'<definedName name="_xlnm\.Print_[^>]*localSheetId="{names.index(name)}"[^>]*>.*?</definedName>'
                )
                xml = re.sub(printed, "", xml)
        first = next(number for number, name in enumerate(names) if name in sheets)
        return re.sub(r'(activeTab|firstSheet)="\d+"', rf'\1="{first}"', xml)

    return changed(content, {r"xl/workbook\.xml": change})


def as_on_screen(content: bytes) -> bytes:
    """A copy that prints whole sheets as they stand on the screen: large paper, no print area, no page breaks."""

    def sheet(xml: str) -> str:
        xml = re.sub(r"<(row|col)Breaks\b.*?</\1Breaks>|<printOptions\b[^>]*>", "", xml, flags=re.DOTALL)
        across = max(1, round(_width(xml) / SCREEN_WIDTH))
        setup = (
            f'<pageSetup paperSize="{SCREEN_PAPER}" orientation="landscape" pageOrder="overThenDown"'
            f' fitToWidth="{across}" fitToHeight="0"/>'
        )
        xml = re.sub(r"<pageSetup\b[^>]*>", setup, xml)
        return re.sub(r"(<pageMargins\b)", r'<printOptions headings="1"/>\1', xml, count=1)

    def workbook(xml: str) -> str:
        return re.sub(r'<definedName [^>]*name="_xlnm\.Print_[^>]*>.*?</definedName>', "", xml)

    parts = {
        r"xl/worksheets/sheet\d+\.xml": sheet,
        r"xl/workbook\.xml": workbook,
    }
    return changed(content, parts)


def _width(xml: str) -> float:
    """The width of a sheet in inches, from its first column to its last cell."""
    last = max((_column_number(letters) for letters in re.findall(r'<c r="([A-Z]+)\d', xml)), default=1)
    usual = re.search(r'defaultColWidth="([\d.]+)"', xml)
    widths = [float(usual[1]) if usual else 8.43] * (last + 1)
    for tag in re.findall(r"<col\b[^>]*>", xml):
        given = dict(re.findall(r'(\w+)="([^"]*)"', tag))
        for column in range(int(given["min"]), min(int(given["max"]), last) + 1):
            widths[column] = 0.0 if given.get("hidden") == "1" else float(given.get("width", widths[column]))
    return sum(widths[1:]) * INCHES_A_DIGIT


def _column_number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def to_pdf(content: bytes, folder: Path, name: str = "book") -> Path:
    """The file as LibreOffice prints it, with a profile of its own."""
    book = folder / f"{name}.xlsx"
    book.write_bytes(content)
    profile = f"-env:UserInstallation=file://{folder}/profile"
    _run("soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", str(folder), str(book))
    return book.with_suffix(".pdf")


@dataclass(frozen=True)
class Word:
    """A word on a page, and how far its upper edge and its lower edge lie below the top, in points."""

    text: str
    top: float
    bottom: float


@dataclass(frozen=True)
class PrintedPage:
    """The words of a page in the order of reading, and the page's height in points."""

    height: float
    words: list[Word]

    def text(self) -> str:
        """All words."""
        return " ".join(word.text for word in self.words)

    def margins(self, top: float, bottom: float) -> str:
        """The words in the upper and in the lower margin, which are so many inches high."""
        last = self.height - bottom * POINTS
        return " ".join(word.text for word in self.words if word.bottom <= top * POINTS or word.top >= last)


def printed_pages(pdf: Path) -> list[PrintedPage]:
    """The pages with their words."""
    pages: list[PrintedPage] = []
    for line in _run("pdftotext", "-bbox", str(pdf), "-").splitlines():
        where = dict(re.findall(r'(\w+)="([-\d.]+)"', line))
        if line.strip().startswith("<page "):
            pages.append(PrintedPage(float(where["height"]), []))
        elif word := re.search(r"<word [^>]*>(.*)</word>", line):
            pages[-1].words.append(Word(html.unescape(word[1]), float(where["yMin"]), float(where["yMax"])))
    return pages


def pages_by_sheet(pdf: Path) -> dict[str, range]:
    """The pages of each sheet, counted from 1, from the outline in which LibreOffice names the sheets."""
    xml = _run("pdftohtml", "-xml", "-i", "-stdout", str(pdf))
    first = [(html.unescape(name), int(page)) for page, name in re.findall(r'<item page="(\d+)">(.*?)</item>', xml)]
    ends = [page for _, page in first[1:]] + [len(re.findall(r"<page ", xml)) + 1]
    return {name: range(page, end) for (name, page), end in zip(first, ends, strict=True)}


def draw(pdf: Path, page: int, picture: Path) -> None:
    """One page as a picture."""
    stem = str(picture.with_suffix(""))
    _run("pdftoppm", "-png", "-singlefile", "-r", str(DOTS), "-f", str(page), "-l", str(page), str(pdf), stem)


def _run(*command: str) -> str:
    done = subprocess.run(command, check=True, capture_output=True, timeout=300)
    return done.stdout.decode()


def draw_example(path: Path, target: Path, paper: str, sheet: str | None, everything: bool) -> None:
    """Both kinds of pictures of one example, in a folder of its name."""
    computed = compute(path)
    names = computed.book.workbook.sheetnames
    if sheet is not None and sheet not in names:
        raise SystemExit(f"{path.stem} has no sheet '{sheet}'; it has: {', '.join(names)}")
    content = finished_book(computed)
    if sheet is not None:
        content = only_sheets(content, [sheet])
    folder = target / path.stem
    folder.mkdir(parents=True, exist_ok=True)
    for suffix, copy in (("", on_paper(content, paper)), (" screen", as_on_screen(content))):
        with tempfile.TemporaryDirectory() as scratch:
            pdf = to_pdf(copy, Path(scratch))
            for name, pages in pages_by_sheet(pdf).items():
                long = bool(suffix) or name in LONGEST_SHEETS
                shown = pages[:FIRST_PAGES] if long and not everything else pages
                for number, page in enumerate(shown, 1):
                    draw(pdf, page, folder / f"{names.index(name) + 1:02} {name}{suffix}-{number}.png")
                print(f"{path.stem}: {name}{suffix}, {len(shown)} of {len(pages)} pages")


def main() -> None:
    """Read the command line and draw."""
    parser = argparse.ArgumentParser(prog="python -m tests.pictures", description=__doc__.splitlines()[0])
    parser.add_argument("folder", nargs="?", type=Path, default=Path("pictures"))
    parser.add_argument("--example", choices=[path.stem for path in EXAMPLES])
    parser.add_argument("--sheet", help="one sheet only, by its name")
    parser.add_argument("--paper", choices=PAPERS, default="A4")
    parser.add_argument("--all", action="store_true", help="every page of the long sheets, too")
    given = parser.parse_args()
    for path in EXAMPLES:
        if given.example in (None, path.stem):
            draw_example(path, given.folder, given.paper, given.sheet, given.all)


if __name__ == "__main__":
    main()
