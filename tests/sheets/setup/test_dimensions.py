"""Dimensions on the plan: each weldment from its own datum faces, none over another."""

from collections.abc import Sequence

import pytest
from msgspec import structs

from gridjig.edits.weldment_list import copy_weldment
from gridjig.files.library.assets import ready_tables
from gridjig.geometry.page import PageText
from gridjig.model import Display, Job, Part
from gridjig.sheets.setup.paper import SheetChoices
from gridjig.sheets.setup.sheet import SetupSheet, setup_sheet

from .test_readings import frame
from .test_sheet import found_fast, overlaps

LARGE_TABLE = next(t for t in ready_tables().values() if t.width > 2300 and not t.in_inches)


def frames(width: float, depth: float, *moves: tuple[float, float]) -> Job:
    """A frame of 40 mm tube on a large table, and copies of it moved by dx and dy, mm."""
    job = frame(width, depth, 40.0)
    job = structs.replace(job, table=LARGE_TABLE, display=Display(unit="millimetres"))
    for dx, dy in moves:

        def moved(part: Part, dx: float = dx, dy: float = dy) -> Part:
            return structs.replace(part, x=part.x + dx, y=part.y + dy)

        job, _, _ = copy_weldment(job, job.weldments[0].id, moved)
    return job


def sheet_of(job: Job) -> SetupSheet:
    return setup_sheet(job, SheetChoices(), found=found_fast(job))


def above(texts: Sequence[PageText]) -> list[PageText]:
    """The figures above the plan, in their order along it."""
    return sorted((t for t in texts if t.up and t.size == 2.5), key=lambda t: t.x)


ONE = ["0", "40", "460", "500"]


@pytest.mark.source("method", "a butted frame: the tube and the outside, by arithmetic")
def test_one_weldment_has_its_run_above_and_at_the_side() -> None:
    texts = sheet_of(frames(500.0, 400.0)).pages[0].texts
    assert [t.words for t in above(texts)] == ONE
    words = [t.words for t in texts]
    assert {"360", "400"} <= set(words)


@pytest.mark.source("method", "a butted frame: the tube and the outside, by arithmetic")
def test_two_side_by_side_have_a_run_each_in_one_row_and_share_the_other() -> None:
    page = sheet_of(frames(500.0, 400.0, (800.0, 0.0))).pages[0]
    ups = above(page.texts)
    one, two = ups[:4], ups[4:]
    for run in (one, two):
        assert [t.words for t in run] == ONE
        assert len({round(t.y + t.height, 2) for t in run}) == 1
    assert one[0].y + one[0].height == two[0].y + two[0].height
    # At the side both have the same figures, which stand there once.
    assert sum(t.words == "360" for t in page.texts) == 1
    assert overlaps(page) == []


def test_one_behind_the_other_has_a_row_of_its_own() -> None:
    page = sheet_of(frames(500.0, 300.0, (130.0, 400.0))).pages[0]
    ups = above(page.texts)
    assert len(ups) == 8
    assert len({round(t.y + t.height, 2) for t in ups}) == 2
    assert overlaps(page) == []


def test_what_finds_no_room_is_counted_in_the_first_article() -> None:
    many = [(37.0 * k, 61.0 * k) for k in range(1, 14)]
    made = sheet_of(frames(500.0, 300.0, *many))
    assert overlaps(made.pages[0]) == []
    ups = above(made.pages[0].texts)
    assert 8 <= len(ups) < 14 * 4
    told = " ".join(t.words for page in made.pages for t in page.texts)
    assert "dimensions of the plan found no room there" in told


def test_nothing_is_dimensioned_where_nothing_lies() -> None:
    job = structs.replace(frames(500.0, 400.0), parts=())
    assert above(sheet_of(job).pages[0].texts) == []
