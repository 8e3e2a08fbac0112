"""The template language: each form of reference in `budget.declarations` becomes the cell text it should."""

import re
from collections.abc import Mapping, Sequence

import pytest

from budget.declarations import Column, Input, Result, Rows, Table
from budget.errors import ModelError
from budget.units import Unit
from budget.workbook.formulas import resolve_column, resolve_result, validation_range
from budget.workbook.placement import Directory, Placement

MONTHS = Rows("months", 24)
ZONES = Rows("zone", 3)
CALENDAR = Rows("calendar", 12)


def column(key: str, **more: str) -> Column:
    return Column(key, key.title(), Unit.VOLUME, "A figure.", **more)


def put(directory: Directory, table: Table, first_row: int, first_column: int) -> Table:
    """Place a table as the page does: copies of a column side by side, or one line a column where transposed."""
    width = 1 if table.transposed or table.each is None else table.each.size
    offsets = {declared.key: index * width for index, declared in enumerate(table.columns)}
    directory.place(Placement(table, table.sheet, first_row, first_column, offsets))
    return table


@pytest.fixture
def directory() -> Directory:
    """Tables on several sheets: months down, a second table beside them, zones, calendars, one of a single row."""
    made = Directory()
    put(made, Table("ledger", "Ledger", MONTHS, [column("month"), column("rain"), column("stored", opening="0")]), 7, 2)
    put(made, Table("garden_ledger", "Ledger", MONTHS, GARDEN, each=ZONES), 7, 20)
    put(made, Table("notes", "Day book", MONTHS, [column("remark")]), 3, 5)
    put(made, Table("climate", "Climate", CALENDAR, [column("radiation")]), 5, 3)
    put(made, Table("zones", "Garden", ZONES, [column("area"), column("crop_row")]), 10, 2)
    put(made, Table("crops", "Garden", Rows("crop", 9), [column("kc_mid")]), 40, 2)
    put(made, Table("kc", "Garden", ZONES, [column("kc_used")], each=CALENDAR), 20, 4)
    put(made, Table("totals", "Garden", Rows("one", 1), [column("daily")]), 30, 6)
    put(
        made,
        Table("plan", "Plan year", CALENDAR, [column("level", opening="0"), column("short")], transposed=True),
        4,
        3,
    )
    put(made, Table("uses", "House", USES, [listed("use"), listed("number")], listed=True), 12, 2)
    put(made, Table("factors", "House", USES, [listed("factor")], each=CALENDAR, listed=True), 12, 4)
    put(made, Table("use_workings", "House", USES, [column("daily")]), 40, 2)
    put(made, Table("use_months", "House", USES, [column("monthly")], each=CALENDAR), 50, 2)
    made.define("tank_usable", "Storage", 4, 4)
    made.define("verdict", "Answers", 3, 2)
    return made


USES = Rows("use", 3)


def listed(key: str) -> Input:
    return Input(key, key, Unit.NUMBER, "A column.", "", low="0", high="9")


GARDEN = [column("need"), column("so_far", leftmost="tank_usable")]


def text(
    directory: Directory,
    template: str,
    table: str = "ledger",
    item: int = 0,
    row: int = 0,
    given: Mapping[str, str] | Sequence[Mapping[str, str]] | None = None,
) -> str:
    """The cell text of a template that stands in that table, at that item and row."""
    made = directory.placements[table].table
    if given is not None:
        made = Table(made.name, made.sheet, made.rows, made.columns, made.each, given, transposed=made.transposed)
    return resolve_column(directory, made, column("here"), template, item, row).text(row)


@pytest.mark.parametrize(
    "template, row, expected",
    [
        ("tank_usable", 0, "tank_usable"),
        ("{stored}", 0, "D7"),
        ("{stored}", 5, "D12"),
        ("{ledger:stored}", 5, "D12"),
        ("{stored.before}", 0, "D6"),
        ("{stored.after}", 23, "D31"),
        ("{stored.all}", 5, "$D$7:$D$30"),
        ("{stored.opening}", 5, "$D$6"),
        ("{remark}", 2, "'Day book'!E5"),
        ("{notes:remark.before}", 2, "'Day book'!E4"),
        ("{remark.all}", 2, "'Day book'!$E$3:$E$26"),
        ("{need.each}", 1, "T8:V8"),
        ("{garden_ledger:so_far.each}", 1, "W8:Y8"),
        ("{climate:radiation.all}", 0, "Climate!$C$5:$C$16"),
        ("{climate:radiation@month}", 3, "INDEX(Climate!$C$5:$C$16,B10)"),
        ("{climate:radiation@month.before}", 3, "INDEX(Climate!$C$5:$C$16,B9)"),
        ("{plan:level@month}", 3, "INDEX('Plan year'!$C$4:$N$4,1,B10)"),
        ("{totals:daily}", 9, "Garden!$F$30"),
        (
            'IF({stored}>=1.5E-6, {rain} * 0.5^2, "a {rain} in tank_usable")',
            1,
            'IF(D8>=1.5E-6, C8 * 0.5^2, "a {rain} in tank_usable")',
        ),
        ("MAX(0, {stored.before} + {rain} - tank_usable)", 1, "MAX(0, D7 + C8 - tank_usable)"),
    ],
)
def test_a_column_down_the_sheet(directory: Directory, template: str, row: int, expected: str) -> None:
    assert text(directory, template, row=row) == expected


@pytest.mark.parametrize(
    "template, table, item, row, expected",
    [
        ("{use}", "use_workings", 0, 0, "INDEX($B$11:$B$16,2)"),
        ("{uses:number} + {use}", "use_workings", 0, 2, "INDEX($C$11:$C$16,4) + INDEX($B$11:$B$16,4)"),
        ("COUNT({uses:number.all})", "use_workings", 0, 2, "COUNT($C$11:$C$16)"),
        ("ROW({uses:number.heading})", "use_workings", 0, 2, "ROW($C$11)"),
        ("SUM({factors:factor.block})", "use_workings", 0, 0, "SUM($D$11:$O$16)"),
        ("COUNTA({uses:whole})", "use_workings", 0, 0, "COUNTA($B$11:$C$16)"),
        ("{factors:factor}", "use_months", 11, 1, "INDEX($O$11:$O$16,3)"),
        ("{factors:factor.all}", "use_months", 1, 1, "$E$11:$E$16"),
        ("ROWS({uses:number.all})", "ledger", 0, 4, "ROWS(House!$C$11:$C$16)"),
    ],
)
def test_a_list_is_read_by_position_between_its_ends(
    directory: Directory, template: str, table: str, item: int, row: int, expected: str
) -> None:
    """From the heading, position 1, to the row 'end of list' below the empty row under the last line."""
    assert text(directory, template, table, item, row) == expected


@pytest.mark.parametrize(
    "reference",
    ["use.first", "use.last", "use.before", "use.after", "use.left", "use.opening", "use.each", "use@daily"],
)
def test_a_list_knows_no_single_cells(directory: Directory, reference: str) -> None:
    with pytest.raises(ModelError, match=r"a list is read by position, as \{key\}, .all, .block or .heading"):
        text(directory, f"{{uses:{reference}}}", "use_workings")


def test_what_stands_right_above_a_column(directory: Directory) -> None:
    """Its unit, where neither the opening of a store stands there nor the table lies across."""
    assert text(directory, "ROW({climate:radiation.heading})") == "ROW(Climate!$C$4)"
    for table, key in (("ledger", "rain"), ("plan", "short")):
        with pytest.raises(ModelError, match=f"no heading stands right above the rows of table {table}"):
            text(directory, f"{{{table}:{key}.heading}}")


def test_a_list_has_typed_columns_only() -> None:
    with pytest.raises(ModelError, match="table uses: a list holds typed columns only"):
        Table("uses", "House", USES, [listed("use"), column("daily")], listed=True)


def test_a_list_is_read_row_by_row(directory: Directory) -> None:
    put(directory, Table("runs", "Day book", Rows("runs", 6, runs=USES), [column("run")]), 3, 9)
    with pytest.raises(ModelError, match="list uses is read row by row, not in runs"):
        text(directory, "{uses:use}", "runs")


@pytest.mark.parametrize(
    "template, item, row, expected",
    [
        ("{need}", 0, 0, "T7"),
        ("{need}", 2, 4, "V11"),
        ("{need.before}", 1, 4, "U10"),
        ("{need.all}", 1, 4, "$U$7:$U$30"),
        ("{need.each}", 1, 4, "T11:V11"),
        ("{so_far.left} + {need}", 2, 4, "X11 + V11"),
        ("{so_far.left} + {need}", 0, 4, "tank_usable + T11"),
        ("{rain}", 2, 4, "C11"),
        ("{zones:area}", 0, 4, "Garden!$B$10"),
        ("{zones:area}", 2, 4, "Garden!$B$12"),
        ("{zones:area.all}", 2, 4, "Garden!$B$10:$B$12"),
        ("{kc:kc_used.each@month}", 0, 4, "INDEX(Garden!$D$20:$O$20,1,B11)"),
        ("{kc:kc_used.each@month}", 2, 4, "INDEX(Garden!$D$22:$O$22,1,B11)"),
        ("{crops:kc_mid@zones:crop_row}", 1, 4, "INDEX(Garden!$B$40:$B$48,Garden!$C$11)"),
    ],
)
def test_a_column_that_stands_once_per_zone(
    directory: Directory, template: str, item: int, row: int, expected: str
) -> None:
    assert text(directory, template, "garden_ledger", item, row) == expected


@pytest.mark.parametrize(
    "template, item, row, expected",
    [
        ("{zones:area}", 0, 0, "B10"),
        ("{zones:area}", 7, 2, "B12"),
        ("{kc_used}", 7, 2, "K22"),
        ("{climate:radiation}", 7, 2, "Climate!$C$12"),
        ("{crops:kc_mid@zones:crop_row}", 7, 2, "INDEX($B$40:$B$48,C12)"),
        ("{plan:level}", 7, 2, "'Plan year'!$J$4"),
    ],
)
def test_zones_down_and_months_across(directory: Directory, template: str, item: int, row: int, expected: str) -> None:
    assert text(directory, template, "kc", item, row) == expected


@pytest.mark.parametrize(
    "template, row, expected",
    [
        ("{level}", 0, "C4"),
        ("{short}", 11, "N5"),
        ("{level.before}", 0, "B4"),
        ("{level.after}", 11, "O4"),
        ("{level.opening}", 11, "$B$4"),
        ("{short.all}", 3, "$C$5:$N$5"),
        ("{ledger:stored@level}", 3, "INDEX(Ledger!$D$7:$D$30,F4)"),
        ("{climate:radiation}", 3, "Climate!C8"),
    ],
)
def test_a_table_that_runs_across(directory: Directory, template: str, row: int, expected: str) -> None:
    assert text(directory, template, "plan", row=row) == expected


def test_the_opening_row_reads_the_row_below(directory: Directory) -> None:
    assert text(directory, "{month.after} - 1", row=-1) == "B7 - 1"
    assert text(directory, "{level.after} - 1", "plan", row=-1) == "C4 - 1"


def test_given_replaces_words_and_tables(directory: Directory) -> None:
    given = {"capacity": "tank_usable", "case": "plan", "size": "{rain} * 2"}
    assert text(directory, "MIN(capacity, {case:level@month})", row=1, given=given) == (
        "MIN(tank_usable, INDEX('Plan year'!$C$4:$N$4,1,B8))"
    )
    assert text(directory, "size + {stored}", row=1, given=given) == "(C8 * 2) + D8"
    assert text(directory, "tank_usable", given={"tank_usable": "verdict"}) == "verdict"


def test_what_given_puts_in_is_read_as_if_nothing_were_given(directory: Directory) -> None:
    given = {"tank_usable": "tank_usable + {rain}"}
    assert text(directory, "2 * tank_usable", row=1, given=given) == "2 * (tank_usable + C8)"


def test_given_can_differ_by_row(directory: Directory) -> None:
    given = [{"case": "plan"}, {"case": "climate", "key": "0"}]
    assert text(directory, "SUM({case:level.all})", row=0, given=given) == "SUM('Plan year'!$C$4:$N$4)"
    assert text(directory, "SUM({case:radiation.all}) + key", row=1, given=given) == "SUM(Climate!$C$5:$C$16) + 0"
    with pytest.raises(ModelError, match=r"ledger:here: 'key'"):
        text(directory, "key", row=0, given=given)


def test_a_result_names_tables_and_cells(directory: Directory) -> None:
    result = Result(
        "verdict", "In short", Unit.TEXT, "A sentence.", "SUM({ledger:stored.all}) + {totals:daily} - tank_usable"
    )
    resolved = resolve_result(directory, result)
    assert resolved.text(0) == "SUM(Ledger!$D$7:$D$30) + Garden!$F$30 - tank_usable"
    assert resolved.columns == {("ledger", "stored"), ("totals", "daily")}
    assert resolved.names == {"tank_usable"}


def test_a_resolved_column_knows_what_it_reads(directory: Directory) -> None:
    table = directory.placements["garden_ledger"].table
    resolved = resolve_column(directory, table, column("here"), "{kc:kc_used.each@month} * {rain} + tank_usable", 1, 0)
    assert resolved.columns == {("kc", "kc_used"), ("ledger", "month"), ("ledger", "rain")}
    assert resolved.names == {"tank_usable"}


def test_a_column_of_choices(directory: Directory) -> None:
    assert validation_range(directory, "crops:kc_mid") == "Garden!$B$40:$B$48"


@pytest.mark.parametrize(
    "template, reason",
    [
        ("tank_capacity", "'tank_capacity' is no input"),
        ("{spilled}", "{spilled} is unknown"),
        ("{radiation}", "{radiation} is unknown"),  # another table's, whose rows are not these
        ("{lake:stored}", "no table 'lake'"),
        ("{climate:wind@month}", "climate has no column 'wind'"),
        ("{climate:radiation@week}", "{week} is unknown"),
        ("{climate:radiation}", "which row of table climate"),
        ("{stored.yesterday}", "unknown modifier"),
        ("{climate:radiation.before@month}", "only .each goes with a position"),
        ("{stored before}", "cannot be read"),
        ("{}", "cannot be read"),
        ("{stored", "cannot be read"),
        ('"open', "cannot be read"),
        ("{need}", "stands once per zone"),
        ("{need.all}", "stands once per zone"),
        ("{stored.each}", "does not repeat"),
        ("{totals:daily.before}", "does not move along"),
        ("VLOOKUP(tank_usable, {stored.all}, 1)", "VLOOKUP is not among the portable"),
        ("PERCENTILE.INC({stored.all}, 0.5)", "PERCENTILE.INC is not among the portable"),
        ("TRUE", "cannot be read"),
        ("D7 + 1", "cannot be read"),
        ("Ledger!stored", "cannot be read"),
        ("{stored}%", "cannot be read"),
    ],
)
def test_what_is_not_known_is_refused(directory: Directory, template: str, reason: str) -> None:
    with pytest.raises(ModelError, match=f"ledger:here: .*{re.escape(reason)}"):
        text(directory, template)


def test_left_needs_something_at_the_left_end(directory: Directory) -> None:
    assert text(directory, "{need.left}", "garden_ledger", 1) == "T7"
    with pytest.raises(ModelError, match=r"garden_ledger:here: \{need\.left\} has no leftmost"):
        text(directory, "{need.left}", "garden_ledger", 0)


def test_a_key_in_two_tables_along_the_same_rows_is_ambiguous(directory: Directory) -> None:
    put(directory, Table("copy", "Copy", MONTHS, [column("remark")]), 3, 5)
    with pytest.raises(ModelError, match=r"ledger:here: \{remark\} is ambiguous"):
        text(directory, "{remark}")
    assert text(directory, "{copy:remark}") == "Copy!E3"
    put(directory, Table("own", "Copy", MONTHS, [column("rain")]), 3, 9)
    assert text(directory, "{rain}") == "C7"  # one's own column comes first


def test_a_key_that_a_table_has_not_is_its_partners(directory: Directory) -> None:
    put(directory, Table("copy", "Copy", MONTHS, [column("rain")], partners=("ledger",)), 3, 5)
    put(directory, Table("garden_copy", "Copy", MONTHS, [], each=ZONES, partners=("copy", "garden_ledger")), 3, 9)
    put(directory, Table("third", "Copy", MONTHS, [column("rain")]), 3, 19)
    assert text(directory, "{rain} + {stored.before}", "copy", row=1) == "E4 + Ledger!D7"
    assert text(directory, "{copy:rain} + {copy:stored}", row=1) == "Copy!E4 + D8"
    assert text(directory, "{rain} + {month} + {need}", "garden_copy", item=1) == "E3 + Ledger!B7 + Ledger!U7"
    with pytest.raises(ModelError, match="table copy has no column 'remark'"):
        text(directory, "{copy:remark}")


def test_a_partner_may_run_across(directory: Directory) -> None:
    put(directory, Table("lean", "Copy", Rows("lean", 12), [column("short")], partners=("plan",)), 3, 5)
    assert text(directory, "{level.before} + {short}", "lean", row=2) == "'Plan year'!D4 + E5"


RUNS = Rows("run", 2)
OUTLOOK = Rows("outlook", 24, runs=RUNS)


@pytest.fixture
def in_runs(directory: Directory) -> Directory:
    """Two years of twelve months, each with its opening row, a table along the years, and one beside the months."""
    stored = column("stored", formula="{stored.before}", opening="0")
    put(directory, Table("outlook", "Outlook", OUTLOOK, [stored, column("need")], partners=("plan",)), 10, 2)
    put(directory, Table("beside", "Outlook", OUTLOOK, [column("more")]), 50, 6)
    put(directory, Table("of_years", "Outlook", RUNS, [column("year_row")]), 4, 2)
    return directory


@pytest.mark.parametrize(
    "template, row, expected",
    [
        ("{stored}", 0, "B10"),
        ("{stored}", 11, "B21"),
        ("{stored}", 12, "B23"),  # an opening row stands between
        ("{stored.before}", 12, "B22"),
        ("{stored.before} + {need}", 23, "B33 + C34"),
        ("{more}", 13, "F63"),  # beside it without opening rows
        ("{of_years:year_row}", 11, "B4"),
        ("{of_years:year_row}", 12, "B5"),
        ("{level}", 0, "'Plan year'!C4"),  # the partner of one year
        ("{level}", 11, "'Plan year'!N4"),
        ("{level.before}", 12, "'Plan year'!B4"),
        ("{short}", 14, "'Plan year'!E5"),
    ],
)
def test_rows_that_fall_into_runs(in_runs: Directory, template: str, row: int, expected: str) -> None:
    assert text(in_runs, template, "outlook", row=row) == expected


@pytest.mark.parametrize(
    "template, row, expected",
    [
        ("SUM({outlook:need.all})", 0, "SUM(C10:C21)"),
        ("SUM({outlook:need.all})", 1, "SUM(C23:C34)"),
        ("{outlook:stored.last} - {outlook:stored.opening}", 1, "B34 - B22"),
        ("{outlook:stored.first}", 1, "B23"),
    ],
)
def test_a_table_along_the_runs_reads_its_own(in_runs: Directory, template: str, row: int, expected: str) -> None:
    assert text(in_runs, template, "of_years", row=row) == expected


def test_edges_stand_round_each_run(in_runs: Directory) -> None:
    placement = in_runs.placements["outlook"]
    assert [placement.edge("stored", 0, run, closing=False) for run in (0, 1)] == [(9, 2), (22, 2)]
    assert placement.cell("stored", 0, -1) == (9, 2)
    resolved = resolve_column(in_runs, placement.table, column("here"), "{stored.after} + {level}", 0, 12)
    assert resolved.text(12, -1) == "B23 + 'Plan year'!B4"


def test_an_opening_must_be_there(directory: Directory) -> None:
    with pytest.raises(ModelError, match=r"\{ledger:rain\} has no opening"):
        text(directory, "{rain.opening}")


def test_rows_of_one_name_are_the_same_rows(in_runs: Directory) -> None:
    for rows in (Rows("outlook", 24), Rows("outlook", 36, runs=Rows("run", 3)), Rows("run", 3)):
        with pytest.raises(ModelError, match=f"other rows {rows.name}"):
            put(in_runs, Table("others", "Outlook", rows, [column("more")]), 90, 6)


def test_a_run_must_be_named(in_runs: Directory) -> None:
    for template in ("SUM({outlook:need.all})", "{outlook:stored.last}"):
        with pytest.raises(ModelError, match="falls into runs: which one"):
            text(in_runs, template, "ledger")
    with pytest.raises(ModelError, match="does not move along"):
        text(in_runs, "{of_years:year_row.before}", "outlook")
    with pytest.raises(ModelError, match="25 rows outlook do not fall into 2 runs"):
        Rows("outlook", 25, runs=RUNS)


def test_a_result_must_name_the_table(directory: Directory) -> None:
    for formula, reason in (("{stored.all}", "needs a table"), ("{ledger:stored}", "which row of table ledger")):
        with pytest.raises(ModelError, match=f"verdict: .*{reason}"):
            resolve_result(directory, Result("verdict", "In short", Unit.TEXT, "A sentence.", formula))


@pytest.mark.parametrize("name", ["et0", "kc1", "ET0", "r", "c", "R1C1", "r1c", "tax2024", "true", "false"])
def test_a_name_that_looks_like_a_cell_is_refused(name: str) -> None:
    with pytest.raises(ModelError, match=name):
        Directory().define(name, "Sheet", 1, 1)


def test_names_and_tables_are_given_once(directory: Directory) -> None:
    with pytest.raises(ModelError, match="two cells are named tank_usable"):
        directory.define("tank_usable", "Storage", 9, 9)
    with pytest.raises(ModelError, match="two tables are named ledger"):
        put(directory, Table("ledger", "Copy", MONTHS, [column("rain")]), 1, 1)
    with pytest.raises(ModelError, match="columns declared twice: rain"):
        Table("twice", "Copy", MONTHS, [column("rain"), column("rain")])
