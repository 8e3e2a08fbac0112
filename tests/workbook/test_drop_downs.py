"""Every option of every drop-down, chosen in a whole book: nothing is an error, and no finding calls it unknown.

All cells with a drop-down hold their first option, then all their second, and so on; where one has fewer, they begin
again. An invented place on five years cut from the example's record.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from budget.build import read_warnings
from budget.declarations import NOT_JUDGED
from budget.rain import read_record
from budget.site_file.reading import read_site
from budget.water.checks.rows import SHEETS
from budget.water.nouns import LISTS, SCALARS
from budget.workbook.book import CellKey
from budget.workbook.engine import Computed as Value
from tests.computed import Computed, compute_record
from tests.test_judge import SOUND, written

BASE = """
[base]
tank_diameter = "10 ft"
tank_height = "11.5 ft"
tank_weight = "1300 lb"
ground = "sand"
"""


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Computed:
    """A book with an item in every list, and a tank on a base."""
    site = read_site(written(tmp_path_factory.mktemp("sound"), SOUND + BASE))
    return compute_record(site, read_record(site))


def drop_downs(computed: Computed) -> Iterator[tuple[CellKey, list[Value]]]:
    """Every cell with a drop-down, the first line of each list among them, and its options."""
    for given in SCALARS:
        if given.choices:
            yield computed.book.directory.names[given.name], options(computed, given.choices)
    for of in LISTS.values():
        for given in of.inputs:
            if choices := given.choices or given.suggested:
                yield computed.cells(of.table, given.key)[0], options(computed, choices)


def options(computed: Computed, choices: tuple[str, ...] | str) -> list[Value]:
    """The words of an input, or what stands in a column: years are numbers."""
    return computed.column(*choices.split(":")) if isinstance(choices, str) else list(choices)


def test_every_option_of_every_drop_down(sound: Computed) -> None:
    chosen = sound.copy()
    cells = list(drop_downs(sound))
    assert len(cells) >= 15 and sum(len(words) for _, words in cells) > 120
    errors = [f"found_errors_{sheet.lower().replace(' ', '_')}" for sheet in SHEETS]
    for turn in range(max(len(words) for _, words in cells)):
        for where, words in cells:
            chosen.model.set_cell(where, words[turn % len(words)])
        chosen.evaluate()
        typed = {where: words[turn % len(words)] for where, words in cells}
        assert [name for name in errors if chosen.model.value(name) != 0] == [], typed
        assert NOT_JUDGED not in chosen.column("checks", "finding"), typed
        unknown = ("not in the list", "not in the table", "in the table")
        assert [said for said in read_warnings(chosen.model) if any(words in said for words in unknown)] == [], typed
