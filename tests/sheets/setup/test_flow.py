"""Rows whole over page breaks; what belongs to a table stays with it."""

import pytest

from gridjig.geometry.page import PageText
from gridjig.sheets.setup.blocks import Heading, Note, Row, SheetBlock, SheetColumn, SheetTable
from gridjig.sheets.setup.flow import LARGE, NORMAL, Letters, PageRoom, flow
from gridjig.sheets.setup.letters import lines_of

ROOM = PageRoom(10.0, 10.0, 160.0, 120.0)
COLUMNS = (
    SheetColumn("No", 1.0, key=True),
    SheetColumn("What", 4.0),
    SheetColumn("Ok", 1.0, "tick"),
)


def texts(page: tuple[object, ...]) -> list[str]:
    return [mark.words for mark in page if isinstance(mark, PageText)]


def table(rows: int, lines: int = 2) -> SheetTable:
    told = "\n".join(f"line {k}" for k in range(lines))
    return SheetTable(COLUMNS, tuple(Row((str(k), f"row {k}\n{told}")) for k in range(rows)))


@pytest.mark.expectation(109)
@pytest.mark.parametrize("letters", [NORMAL, LARGE])
def test_no_row_is_torn_and_every_page_repeats_the_headings(letters: Letters) -> None:
    pages = flow([table(20)], ROOM, letters)
    assert len(pages) > 2
    found = []
    for page in pages:
        words = texts(page)
        assert words[:3] == ["No", "What", "Ok"]
        rows = [one for one in words if one.startswith("row ")]
        assert len(rows) * 2 == sum(one.startswith("line ") for one in words)
        found += rows
        low = max(m.y + m.height for m in page if isinstance(m, PageText))
        assert low <= ROOM.y + ROOM.height
    assert found == [f"row {k}" for k in range(20)]


@pytest.mark.parametrize("before", range(3, 16))
def test_a_heading_and_its_note_stay_with_the_first_row(before: int) -> None:
    blocks: list[SheetBlock] = [
        table(before, 0),
        Heading("Title"),
        Note("Read this first."),
        table(3, 5),
    ]
    pages = flow(blocks, ROOM, NORMAL)
    at = next(page for page in pages if "Title" in texts(page))
    words = texts(at)
    assert "Read this first." in words
    assert "line 4" in words[words.index("Title") :]


@pytest.mark.parametrize("lines", [2, 6, 8, 12])
def test_no_last_line_stands_on_a_page_alone(lines: int) -> None:
    """At every height of a page, in steps of 0.1 mm; a short paragraph is not torn at all."""
    told = [f"This is line number {k}." for k in range(lines)]
    blocks: list[SheetBlock] = [table(2, 0), Heading("Title"), Note("\n".join(told))]
    torn = 0
    for high in range(700, 1200):
        pages = flow(blocks, PageRoom(10.0, 10.0, 160.0, high / 10.0), NORMAL)
        shares = [sum(words in told for words in texts(page)) for page in pages]
        held = [share for share in shares if share]
        assert sum(held) == lines
        assert held[-1] >= 2
        assert len(held) == 1 or lines > 8
        torn += len(held) > 1
        low = max(m.y + m.height for page in pages for m in page if isinstance(m, PageText))
        assert low <= 10.0 + high / 10.0 + 1e-3
    assert (torn > 0) == (lines > 8)


def test_a_row_higher_than_a_page_is_cut_and_loses_nothing() -> None:
    pages = flow([table(1, 60)], ROOM, NORMAL)
    assert len(pages) > 1
    told = [one for page in pages for one in texts(page) if one.startswith("line ")]
    assert told == [f"line {k}" for k in range(60)]


def test_a_note_longer_than_a_page_goes_on() -> None:
    words = [f"word{k}" for k in range(900)]
    pages = flow([Note(" ".join(words))], ROOM, NORMAL)
    assert len(pages) > 1
    assert " ".join(one for page in pages for one in texts(page)).split() == words


def test_a_stop_runs_right_across() -> None:
    rows = (Row(("1", "tack")), Row(("CHECK the diagonals",), stop=True), Row(("2", "tack")))
    (page,) = flow([SheetTable(COLUMNS, rows)], ROOM, NORMAL)
    [stop] = [m for m in page if isinstance(m, PageText) and m.words == "CHECK the diagonals"]
    assert stop.bold
    assert stop.width > 0.9 * ROOM.width


def test_a_number_stays_with_its_unit() -> None:
    words = '21-7/16" (≈544.5 mm) and 4.6 kg'
    for room in range(30, 60):
        lines = lines_of(words, 2.5, float(room))
        assert " ".join(lines) == words
        assert not [line for line in lines if line.startswith(("mm", "kg"))], room
    assert lines_of("12345 mm", 2.5, 14.0) == ("12345", "mm")  # no room for both on a line


@pytest.mark.parametrize("before", range(2, 24))
def test_a_short_paragraph_is_not_torn(before: int) -> None:
    words = "A sentence that takes a few lines of the page. " * 6
    pages = flow([table(before, 0), Note(words.strip())], ROOM, NORMAL)
    there = [page for page in pages if any("few lines" in one for one in texts(page))]
    assert len(there) == 1
