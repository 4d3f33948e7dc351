"""Sets of holes by pattern, against counting the holes one by one."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.model import Hole, HoleMark, LabelScheme, Table
from gridjig.model.labels import address, column_label, row_label
from gridjig.model.marks import box, columns, every_nth, mark_index, parse_pattern, rows
from gridjig.units import ParseError

T24 = Table(
    name="24 x 20",
    width=1300,
    depth=1100,
    thickness=16,
    pitch_x=50,
    pitch_y=50,
    columns=24,
    rows=20,
    first_x=50,
    first_y=50,
    hole_diameter=16,
)
HOLES = [Hole(col, row) for col in range(24) for row in range(20)]
RIGHT = structs.replace(T24, labels=LabelScheme(zero="back right"))
NUMBERS = structs.replace(T24, labels=LabelScheme(along_x="numbers"))
LETTERS = structs.replace(T24, labels=LabelScheme(along_y="letters"))


def by_label(table: Table, cols: str = "", lines: str = "") -> set[Hole]:
    """Holes picked one by one: those whose column or row label is in a list."""
    return {
        h
        for h in HOLES
        if column_label(table, h.col) in cols.split() or row_label(table, h.row) in lines.split()
    }


def test_marks_are_found_by_hole_and_indexed_once() -> None:
    marks = (HoleMark(Hole(1, 2), "blocked"), HoleMark(Hole(3, 4), "shallow", 8.0))
    table = structs.replace(T24, marks=marks)
    index = mark_index(table)
    assert dict(index) == {Hole(1, 2): marks[0], Hole(3, 4): marks[1]}
    assert all(index.get(h) is table.mark(h) for h in HOLES)
    assert mark_index(structs.replace(table, name="other")) is index
    assert mark_index(structs.replace(table, marks=(marks[0], marks[1]))) is not index
    assert not mark_index(T24)


@pytest.mark.source("method", "brute force over all holes of the table")
@given(*[st.integers(-5, 30)] * 4)
def test_a_box_is_every_hole_between_two(a: int, b: int, c: int, d: int) -> None:
    expected = {
        h for h in HOLES if min(a, c) <= h.col <= max(a, c) and min(b, d) <= h.row <= max(b, d)
    }
    assert box(T24, Hole(a, b), Hole(c, d)) == expected


@pytest.mark.source("method", "brute force over all holes of the table")
def test_whole_columns_and_rows() -> None:
    assert columns(T24, [3, 5]) == {h for h in HOLES if h.col in (3, 5)}
    assert rows(T24, [19]) == {h for h in HOLES if h.row == 19}
    assert columns(T24, []) == frozenset()


@pytest.mark.source("method", "brute force over all holes of the table")
@given(st.integers(1, 30), st.integers(0, 23), st.integers(0, 23))
def test_every_nth_runs_the_way_the_labels_do(step: int, start: int, end: int) -> None:
    ahead = {h for h in HOLES if start <= h.col <= end and (h.col - start) % step == 0}
    back = {h for h in HOLES if end <= h.col <= start and (start - h.col) % step == 0}
    assert every_nth(T24, "column", step, start, end) == ahead
    assert every_nth(RIGHT, "column", step, start, end) == back
    low = min(start, 19)
    assert every_nth(T24, "row", step, low) == {
        h for h in HOLES if h.row >= low and (h.row - low) % step == 0
    }


def test_a_step_below_one_is_refused() -> None:
    with pytest.raises(ValueError, match="1 or more"):
        every_nth(T24, "row", 0, 0)


@pytest.mark.source("method", "counted by hand on the table's labels")
@pytest.mark.parametrize(
    ("text", "cols", "lines"),
    [
        ("every 5th column from C", "C H M R W", ""),
        ("Every 5th Columns From c", "C H M R W", ""),
        ("every 5 columns from C to M", "C H M", ""),
        ("every fifth column from C to N", "C H M", ""),
        ("every other row", "", "1 3 5 7 9 11 13 15 17 19"),
        ("every 2nd row from 2 to 8", "", "2 4 6 8"),
        ("every second row from 2 to 8", "", "2 4 6 8"),
        ("every tenth column", "A K U", ""),
        ("every row from 19", "", "19 20"),
        ("columns C-F, H", "C D E F H", ""),
        ("columns F to C", "C D E F", ""),
        ("column C", "C", ""),
        ("row 3", "", "3"),
        ("rows 1..3", "", "1 2 3"),
        ("rows 1:2, 5", "", "1 2 5"),
        ("C, H, M", "C H M", ""),
        ("C-E", "C D E", ""),
        ("3, 5", "", "3 5"),
        ("3-5", "", "3 4 5"),
        ("column C; row 3", "C", "3"),
    ],
)
def test_patterns_as_people_type_them(text: str, cols: str, lines: str) -> None:
    for table in (T24, RIGHT):
        assert parse_pattern(table, text) == by_label(table, cols, lines)


@pytest.mark.source("method", "counted by hand on the table's labels")
@pytest.mark.parametrize(
    ("table", "text", "addresses"),
    [
        (T24, "A1:B2", "A1 A2 B1 B2"),
        (T24, "B2 to A1", "A1 A2 B1 B2"),
        (T24, "a1..a3", "A1 A2 A3"),
        (T24, "A1, C3", "A1 C3"),
        (T24, "X20", "X20"),
        (NUMBERS, "3-5", "3-5"),
        (NUMBERS, "3-5:4-6", "3-5 3-6 4-5 4-6"),
        (NUMBERS, "3-5, 7-8", "3-5 7-8"),
        (LETTERS, "C-F", "C-F"),
    ],
)
def test_holes_and_boxes(table: Table, text: str, addresses: str) -> None:
    assert {address(table, h) for h in parse_pattern(table, text)} == set(addresses.split())


@pytest.mark.expectation(30, 85)
@pytest.mark.parametrize(
    ("table", "text", "says"),
    [
        (T24, "", "every 5th column from L, columns L, or rows 1-20"),
        (T24, "row 3;", "Nothing was typed"),
        (T24, "every 0th row", "the step must be 1 or more"),
        (T24, "every fith column", "type a pattern such as"),
        (T24, "every 3rd column from M to C", "C comes before M on the table"),
        (T24, "every 5th column from 5", "columns run from A to X"),
        (T24, "columns C-Z", "columns run from A to X"),
        (T24, "rows 1-21", "rows run from 1 to 20"),
        (T24, "A99", "rows from 1 to 20"),
        (T24, "Z", "columns run from A to X"),
        (T24, "C, 5", "type a hole such as"),
        (T24, "the left ones", "type a pattern such as"),
        (NUMBERS, "3, 5", "type a hole such as"),
    ],
)
def test_a_pattern_that_is_not_understood(table: Table, text: str, says: str) -> None:
    with pytest.raises(ParseError) as caught:
        parse_pattern(table, text)
    assert says in str(caught.value)


@given(st.text(alphabet="every othcolumnsrwfC35-:;,. ", max_size=30))
def test_any_text_is_a_pattern_or_refused(text: str) -> None:
    for table in (T24, NUMBERS):
        try:
            assert parse_pattern(table, text).issubset(HOLES)
        except ParseError as parse_error:
            assert str(parse_error).endswith(".")  # noqa: PT017


@given(st.sampled_from(["column", "row"]), st.integers(1, 99), st.data())
def test_a_spoken_pattern_is_the_counted_one(line: Any, step: int, data: st.DataObject) -> None:
    size, label = (24, column_label) if line == "column" else (20, row_label)
    start = data.draw(st.integers(0, size - 1))
    text = f"every {step}th {line} from {label(RIGHT, start)}"
    assert parse_pattern(RIGHT, text) == every_nth(RIGHT, line, step, start)
