"""Addresses as painted, against labels counted out by hand and by brute force."""

from itertools import islice, product
from string import ascii_uppercase
from typing import Any, Literal, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.model import Corner, Hole, LabelScheme, LabelStyle, Table
from gridjig.model.labels import (
    GridLine,
    address,
    axis_of,
    column_label,
    counted,
    find_hole,
    find_line,
    row_label,
)
from gridjig.units import ParseError

T48 = Table(
    name="T48",
    width=48 * 25.4,
    depth=48 * 25.4,
    thickness=16,
    pitch_x=50.8,
    pitch_y=50.8,
    columns=24,
    rows=24,
    first_x=25.4,
    first_y=25.4,
    hole_diameter=19.05,
)
FIRST: tuple[Literal["x", "y"], ...] = ("x", "y")
SCHEMES = [
    LabelScheme(along_x=x, along_y=y, zero=zero, first=first, skip_i_o=skip, start=start)
    for x, y, zero, first, skip, start in product(
        get_args(LabelStyle), get_args(LabelStyle), get_args(Corner), FIRST, (False, True), (0, 1)
    )
]


def table(columns: int = 24, rows: int = 24, **scheme: Any) -> Table:
    return structs.replace(
        T48,
        columns=columns,
        rows=rows,
        width=columns * 50.8,
        depth=rows * 50.8,
        labels=LabelScheme(**scheme),
    )


def counted_letters(skip: bool, count: int) -> list[str]:
    """The first labels in letters, counted out one by one."""
    alphabet = [c for c in ascii_uppercase if not skip or c not in "IO"]
    every = ("".join(p) for size in (1, 2, 3) for p in product(alphabet, repeat=size))
    return list(islice(every, count))


@pytest.mark.source(
    "method", "trial table 48 x 48 in, holes at 2 in, first at 1 in: counted by hand"
)
@pytest.mark.parametrize(
    ("text", "x", "y"), [("A1", 1, 1), ("X24", 47, 47), ("L12", 23, 23), ("A24", 1, 47)]
)
def test_addresses_of_the_48_inch_table(text: str, x: float, y: float) -> None:
    hole = find_hole(T48, text)
    assert T48.at(hole) == pytest.approx((x * 25.4, y * 25.4))
    assert address(T48, hole) == text


@pytest.mark.source("method", "brute force: labels counted out with itertools.product")
@pytest.mark.parametrize("skip", [False, True])
def test_letters_count_on_beyond_z(skip: bool) -> None:
    wide = table(columns=800, skip_i_o=skip)
    assert [column_label(wide, col) for col in range(800)] == counted_letters(skip, 800)


@pytest.mark.source("practice", "letters go on beyond Z as AA, AB")
def test_letters_beyond_z_by_name() -> None:
    wide = table(columns=30)
    assert [column_label(wide, c) for c in (25, 26, 27)] == ["Z", "AA", "AB"]
    without = table(columns=30, skip_i_o=True)
    assert [column_label(without, c) for c in (7, 8, 12, 13, 24)] == ["H", "J", "N", "P", "AA"]


@pytest.mark.source("method", "brute force: every column and row of the table under every scheme")
@pytest.mark.parametrize("scheme", SCHEMES, ids=str)
@pytest.mark.untraced
def test_every_column_and_row_is_found_by_its_address(scheme: LabelScheme) -> None:
    plate = structs.replace(table(columns=29, rows=27), labels=scheme)
    every = [Hole(col, row) for col in range(29) for row in range(27)]
    holes = [hole for hole in every if hole.col in (0, 8, 28) or hole.row in (0, 14, 26)]
    assert len(holes) == 3 * 27 + 3 * 26
    addresses = [address(plate, hole) for hole in holes]
    assert len(set(addresses)) == len(holes)
    assert [find_hole(plate, text) for text in addresses] == holes
    assert all(plate.has(hole) for hole in holes)  # the scheme has changed no hole


@given(
    st.sampled_from(SCHEMES),
    st.integers(1, 1000),
    st.integers(1, 1000),
    st.data(),
)
def test_any_size_of_table_round_trips(
    scheme: LabelScheme, columns: int, rows: int, data: st.DataObject
) -> None:
    plate = structs.replace(table(columns, rows), labels=scheme)
    hole = Hole(data.draw(st.integers(0, columns - 1)), data.draw(st.integers(0, rows - 1)))
    text = address(plate, hole)
    assert find_hole(plate, text) == hole
    assert find_hole(plate, f"  {text.lower()} ") == hole
    assert find_line(plate, "column", column_label(plate, hole.col).lower()) == hole.col
    assert find_line(plate, "row", row_label(plate, hole.row)) == hole.row


@pytest.mark.source("method", "counted by hand on a sketch")
@pytest.mark.parametrize(
    ("zero", "corner"),
    [
        ("front left", Hole(0, 0)),
        ("front right", Hole(23, 0)),
        ("back left", Hole(0, 23)),
        ("back right", Hole(23, 23)),
    ],
)
def test_counting_starts_at_the_zero_corner(zero: Corner, corner: Hole) -> None:
    assert address(table(zero=zero), corner) == "A1"
    assert address(table(zero=zero, along_x="numbers", start=0), corner) == "0-0"


@pytest.mark.source("method", "counted by hand on a sketch")
def test_how_the_axes_are_joined() -> None:
    hole = Hole(7, 5)
    assert address(table(), hole) == "H6"
    assert address(table(first="y"), hole) == "6H"
    assert address(table(along_x="numbers", along_y="letters"), hole) == "8F"
    assert address(table(along_x="numbers", along_y="letters", first="y"), hole) == "F8"
    assert address(table(along_x="numbers"), hole) == "8-6"
    assert address(table(along_x="numbers", first="y"), hole) == "6-8"
    assert address(table(along_y="letters"), hole) == "H-F"
    assert address(table(along_x="numbers", start=0), hole) == "7-5"


@pytest.mark.source("practice", "an address may be typed carelessly")
@pytest.mark.expectation(25)
@pytest.mark.parametrize("text", ["h6", " H 6 ", "H-6", "6H", "6 h", "h06"])
def test_an_address_may_be_typed_carelessly(text: str) -> None:
    assert find_hole(table(), text) == Hole(7, 5)
    assert find_hole(table(first="y"), text) == Hole(7, 5)


@pytest.mark.source("practice", "two numbers may be parted in many ways")
@pytest.mark.parametrize("text", ["8-6", "8 6", "8, 6", "8/6", "8 - 6"])
def test_two_numbers_may_be_parted_in_many_ways(text: str) -> None:
    assert find_hole(table(along_x="numbers"), text) == Hole(7, 5)
    assert find_hole(table(along_x="numbers", first="y"), text) == Hole(5, 7)


@pytest.mark.source("practice", "a refusal says what the addresses are")
@pytest.mark.expectation(30, 85)
@pytest.mark.parametrize(
    ("scheme", "text", "says"),
    [
        ({}, "", "Nothing was typed: type a hole such as M13"),
        ({}, "H25", "columns run from A to X and rows from 1 to 24"),
        ({}, "H0", "rows from 1 to 24"),
        ({}, "Y1", "no such hole"),
        ({}, "ABCD1", "no such hole"),
        ({}, "H9999999999", "no such hole"),
        ({}, "H", "type a hole such as M13"),
        ({}, "C-F", "type a hole such as M13"),
        ({}, "H٣", "type a hole such as M13"),
        ({"skip_i_o": True}, "I5", "from A to Z without I and O"),
        ({"along_x": "numbers"}, "3", "type a hole such as 13-13"),
        ({"along_x": "numbers"}, "H6", "columns run from 1 to 24"),
        ({"along_y": "letters"}, "H6", "type a hole such as M-M"),
        ({"zero": "back right"}, "Z1", "columns run from A to X"),
    ],
)
def test_a_wrong_address_is_refused_with_the_range(
    scheme: dict[str, Any], text: str, says: str
) -> None:
    with pytest.raises(ParseError) as caught:
        find_hole(table(**scheme), text)
    assert says in str(caught.value)
    assert str(caught.value).endswith(".")


@given(st.sampled_from(SCHEMES), st.text(max_size=12))
def test_any_text_is_found_or_refused(scheme: LabelScheme, text: str) -> None:
    plate = structs.replace(T48, labels=scheme)
    try:
        assert plate.has(find_hole(plate, text))
    except ParseError as parse_error:
        assert str(parse_error).endswith(".")  # noqa: PT017


@pytest.mark.source("practice", "columns run from the first letter to the last")
def test_few_columns_do_not_mention_letters_they_never_reach() -> None:
    with pytest.raises(ParseError, match="from A to H and"):
        find_hole(table(columns=8, skip_i_o=True), "Z9")
    with pytest.raises(ParseError, match="columns run from A to H\\."):
        find_line(table(columns=8, skip_i_o=True), "column", "9")


@pytest.mark.parametrize("line", ["column", "row"])
def test_no_label_for_what_the_table_has_not(line: GridLine) -> None:
    for index in (-1, 24):
        with pytest.raises(IndexError, match=f"no {line} {index}"):
            counted(T48, line, index)


def test_which_kind_runs_along_an_axis() -> None:
    assert [axis_of(T48, "column"), axis_of(T48, "row")] == ["letters", "numbers"]
