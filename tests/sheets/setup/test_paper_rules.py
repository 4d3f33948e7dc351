"""What standards ask of the paper: scale, title block, lines and letters, greys, figures."""

from collections.abc import Iterator
from itertools import pairwise
from typing import get_args

import pytest
from msgspec import structs

from gridjig import __version__
from gridjig.checks.finding import Level
from gridjig.files.library.assets import ready_tables
from gridjig.geometry.page import (
    FINE,
    NARROW,
    WIDE,
    Ink,
    PageDiscs,
    PageLine,
    PageLines,
    PageMark,
    PageText,
    PageWindow,
    SheetPage,
)
from gridjig.model import Display, Job
from gridjig.rack import Point
from gridjig.sheets.setup.flow import LARGE, NORMAL
from gridjig.sheets.setup.paper import PAPERS, SheetChoices
from gridjig.sheets.setup.scale_marks import bar_scale
from gridjig.sheets.setup.sheet import setup_sheet, sheet_scale
from gridjig.units import parse_length
from tests.workshop import EMPTY

from .test_dimensions import frames
from .test_sheet import NAMES, found_fast, job_of, known_of, words_of

TODAY = "2026-11-28"
REDUCTIONS = {a * 10**k for a in (1, 2, 5) for k in range(5)}


def pages_of(name: str, large: bool = False) -> tuple[SheetPage, ...]:
    choices = SheetChoices(large=large)
    return setup_sheet(job_of(name), choices, TODAY, known_of(name)).pages


# -- scale -----------------------------------------------------------------------------------------


@pytest.mark.source("published", "ISO 5455:1979", "the reduction scales 1:2, 1:5, 1:10 and so on")
@pytest.mark.expectation(104)
@pytest.mark.parametrize("paper", PAPERS)
def test_every_table_is_drawn_to_a_standard_scale_that_is_written_out(paper: str) -> None:
    tables = ready_tables()
    assert len(tables) >= 4
    for table in tables.values():
        job = structs.replace(EMPTY, table=table)
        choices = SheetChoices(paper=paper)  # type: ignore[arg-type]
        scale = sheet_scale(job, choices)
        assert scale in REDUCTIONS
        words = [t.words for t in setup_sheet(job, choices).pages[0].texts]
        assert f"SCALE 1:{scale:g}" in words


@pytest.mark.source("method", "the drawn length of a bar times its scale is what stands at its end")
@pytest.mark.expectation(104)
@pytest.mark.parametrize("unit", ["millimetres", "inch fractions", "inch decimals"])
@pytest.mark.parametrize("scale", [1.0, 2.0, 5.0, 10.0, 20.0, 50.0])
def test_the_bar_is_as_long_as_it_says(scale: float, unit: str) -> None:
    display = Display(unit=unit)  # type: ignore[arg-type]
    marks = bar_scale(display, 1.8, 30.0, 40.0, scale)
    bars = [one for one in marks if isinstance(one, PageLine)]
    texts = [one for one in marks if isinstance(one, PageText)]
    left = min(x for bar in bars for x, _ in bar.points)
    right = max(x for bar in bars for x, _ in bar.points)
    low, high = (parse_length(t.words, display.unit) for t in texts)
    assert low == 0.0
    assert (right - left) * scale == pytest.approx(high, abs=0.01)
    assert texts[-1].x + texts[-1].width == pytest.approx(right)
    assert {bar.fill for bar in bars} == {"black", "white"}


@pytest.mark.expectation(104, 105)
def test_the_first_page_has_the_bar_and_the_check_line() -> None:
    page = pages_of(NAMES[1])[0]
    words = [t.words for t in page.texts]
    assert any(one.startswith("100 mm check line") for one in words)
    assert "400 mm" in words  # the end of the bar
    black = [m for m in page.marks if isinstance(m, PageLine) and m.fill == "black"]
    assert black


# -- title block -----------------------------------------------------------------------------------


@pytest.mark.source("memory", "ISO 7200:2004, the fields of a title block, eight of them mandatory")
@pytest.mark.expectation(106)
def test_the_title_block_has_every_field_and_what_the_job_has_stands_in_it() -> None:
    block = structs.replace(
        EMPTY.title_block,
        owner="The owner",
        number="N-17",
        title="The title",
        approved_by="Who approved",
        created_by="Who created",
        date="2026-01-31",
    )
    job = structs.replace(job_of(NAMES[0]), title_block=block, revision="C", drawing="D-9")
    texts = setup_sheet(job, SheetChoices(), TODAY, known_of(NAMES[0])).pages[0].texts
    captions = {
        "Legal owner": "The owner",
        "Document number": "N-17",
        "Date of issue": "2026-01-31",
        "Sheet": "1/",
        "Title": "The title",
        "Approved by": "Who approved",
        "Created by": "Who created",
        "Document type": "Setup sheet",
        "Revision": "C",
        "Drawing": "D-9",
        "Scale": "SCALE 1:",
        "Dimensions in": "inches",
    }
    words = [t.words for t in texts]
    for caption, told in captions.items():
        after = words[words.index(caption) + 1]
        assert after.startswith(told), caption


# -- lines and letters -----------------------------------------------------------------------------


@pytest.mark.source("memory", "ISO 128-2: wide and narrow lines in the proportion 2:1")
@pytest.mark.source("memory", "ISO 3098: heights of lettering 1.8, 2.5, 3.5, 5 and 7 mm")
@pytest.mark.expectation(107)
@pytest.mark.parametrize("large", [False, True])
def test_lines_are_of_one_group_and_what_is_read_at_the_table_is_large(large: bool) -> None:
    assert WIDE == 2 * NARROW
    letters = LARGE if large else NORMAL
    assert letters.key >= (5.0 if large else 3.5)
    assert {letters.text, letters.key, letters.heading, letters.small} <= {1.8, 2.5, 3.5, 5.0}
    pages = pages_of(NAMES[1], large)
    widths = {m.width for page in pages for m in strokes(page.marks)}
    # What is wide in a detail is wider; the widest is the datum, and hatching is finer.
    assert {WIDE, NARROW} <= widths <= {WIDE, NARROW, 0.7, 0.35, 0.9, FINE}
    job = job_of(NAMES[1])
    holes = {f"{t.words}": t.size for page in pages[1:] for t in page.texts if t.bold}
    for number in range(1, len(job.placements) + 1):
        assert holes[str(number)] >= letters.key  # the number of a piece, in the list
    smallest = min(t.size for page in pages for t in page.texts if not t.grey)
    assert smallest >= 1.8


def strokes(marks: tuple[PageMark, ...]) -> Iterator[PageLine | PageLines | PageDiscs]:
    for mark in marks:
        if isinstance(mark, PageWindow):
            yield from strokes(mark.marks)
        elif not isinstance(mark, PageText):
            yield mark


@pytest.mark.expectation(108)
def test_a_sheet_has_no_colour_and_says_its_states_in_words() -> None:
    """There is no other ink, and the worst thing that the check found is told by a word."""
    assert set(get_args(Ink)) == {"black", "grey", "white", "tint", "none"}
    levels = {finding.level for finding in known_of(NAMES[1]).findings}
    assert "look" in levels
    texts = [t.words for page in pages_of(NAMES[1]) for t in page.texts]
    said: dict[Level, str] = {"stop": "STOP", "look": "LOOK", "note": "note", "fine": "fine"}
    for level in levels:
        assert said[level] in texts


# -- dimensions ------------------------------------------------------------------------------------


def crossed(page: SheetPage) -> list[str]:
    """The figures beside the plan that a stroke goes through: it enters the box of the letters."""
    figures = [t for t in page.texts if t.size == 2.5 and t.words[:1].isdigit() and not t.bold]
    segments = list(segments_of(page.marks))
    found = []
    for text in figures:
        box = letters_box(text)
        found += [text.words for a, b in segments if enters(a, b, box)]
    return found


def letters_box(text: PageText) -> tuple[float, float, float, float]:
    """The box of the letters of a figure, a little smaller than they are."""
    wide = 0.55 * text.size * len(text.words)
    if text.up:
        middle = text.x + text.width / 2
        low = text.y + text.height - 0.2
        return (middle - text.size * 0.4, low - wide, middle + text.size * 0.4, low)
    middle = text.y + text.height / 2
    left = {
        "left": text.x,
        "centre": text.x + (text.width - wide) / 2,
        "right": text.x + text.width - wide,
    }[text.align]
    return (left + 0.2, middle - text.size * 0.4, left + wide - 0.2, middle + text.size * 0.4)


def segments_of(marks: tuple[PageMark, ...]) -> Iterator[tuple[Point, Point]]:
    for mark in marks:
        if isinstance(mark, PageLine):
            ring = (*mark.points, mark.points[0]) if mark.closed else mark.points
            yield from pairwise(ring)
        elif isinstance(mark, PageLines):
            yield from mark.strokes


def enters(a: Point, b: Point, box: tuple[float, float, float, float]) -> bool:
    """True if the segment has a point inside the box, by clipping it to the box's sides."""
    low, high = 0.0, 1.0
    for k, (near, far) in enumerate(((box[0], box[2]), (box[1], box[3]))):
        way = b[k] - a[k]
        if abs(way) < 1e-9:
            if not near < a[k] < far:
                return False
            continue
        one, two = sorted(((near - a[k]) / way, (far - a[k]) / way))
        low, high = max(low, one), min(high, two)
    return low < high


def test_a_crossed_figure_would_be_found() -> None:
    text = PageText(10.0, 10.0, 20.0, 4.0, "1200", 2.5, "centre")
    through = PageLine(((0.0, 12.0), (50.0, 12.0)))
    beside = PageLine(((0.0, 15.0), (50.0, 15.0)))
    page = SheetPage(210.0, 297.0, (text, through, beside))
    assert crossed(page) == ["1200"]
    assert crossed(SheetPage(210.0, 297.0, (text, beside))) == []


JOBS: dict[str, Job] = {
    "one frame": frames(500.0, 400.0),
    "two side by side": frames(500.0, 400.0, (800.0, 0.0)),
    "one behind the other": frames(500.0, 300.0, (130.0, 400.0)),
}


@pytest.mark.source("memory", "ISO 129-1: no figure is crossed by a line")
@pytest.mark.expectation(111)
@pytest.mark.parametrize("name", [*JOBS, *NAMES])
def test_no_figure_of_the_plan_is_crossed_by_a_line(name: str) -> None:
    if name in JOBS:
        page = setup_sheet(JOBS[name], SheetChoices(), found=found_fast(JOBS[name])).pages[0]
    else:
        page = pages_of(name)[0]
    assert sum(t.size == 2.5 and t.words[:1].isdigit() for t in page.texts) >= 4
    assert crossed(page) == []


@pytest.mark.expectation(111)
def test_figures_run_from_the_datum_edges_and_none_stands_twice() -> None:
    page = setup_sheet(JOBS["one frame"], SheetChoices(), found=found_fast(JOBS["one frame"]))
    ups = [t for t in page.pages[0].texts if t.up and t.size == 2.5]
    figures = [t.words for t in sorted(ups, key=lambda t: t.x)]
    assert figures[0] == "0"  # the datum
    assert len(figures) == len(set(figures)) >= 4
    assert sorted(map(float, figures)) == [float(one) for one in figures]


# -- who made it, and what it does not say ---------------------------------------------------------


@pytest.mark.expectation(112)
def test_every_page_says_which_program_made_it_and_that_strength_is_not_checked() -> None:
    pages = pages_of(NAMES[0])
    assert len(pages) > 3
    for page in pages:
        words = [t.words for t in page.texts]
        assert f"GridJig {__version__}" in words
        assert any("strength is not checked" in one for one in words)
    assert TODAY in words_of(pages[:1])
    assert "What this sheet leaves to others" in words_of(pages)
