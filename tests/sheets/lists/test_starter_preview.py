"""A standard weldment before it is on the table: words and pictures."""

import pytest

from gridjig.edits.starters import build, put_starter, starter
from gridjig.files.library.sections import find_section
from gridjig.geometry.display import Circle, Dimension, Polyline, TextLabel
from gridjig.model import Job, Part
from gridjig.sheets.lists.starter_preview import draw_alone, draw_on_table, list_words, mass_words
from tests.trials.layout import INCH, empty, load


def job() -> Job:
    return empty(load("T01"))


def frame() -> tuple[Part, ...]:
    tube = find_section("2x2x1/8", "square tube")
    assert tube is not None
    sizes = {"width": 24 * INCH, "depth": 24 * INCH}
    chosen = {"corners": "front and back run through"}
    return build(starter("frame"), {"frame": tube}, sizes, chosen)


@pytest.mark.source("method", "trial weldments, reckoned by hand")
def test_the_butted_frame_needs_two_and_two() -> None:
    assert list_words(frame(), job()) == (
        '2 × 2x2x1/8 square tube, 24", square both ends\n'
        '2 × 2x2x1/8 square tube, 20", square both ends'
    )
    assert mass_words(frame(), job()) == "4 pieces to cut, 22.4 lb"
    assert mass_words(frame()[:1], job()) == "1 piece to cut, 6.1 lb"


def test_plates_are_told_by_their_size() -> None:
    tripod = build(starter("tripod"), {})
    assert "× plate" in list_words(tripod, job())


def test_the_picture_has_the_size_over_all() -> None:
    drawn = draw_alone(frame(), job())
    assert [s.text for s in drawn if isinstance(s, Dimension)] == ['24"', '24"']
    assert draw_alone((), job()) == ()


def test_the_picture_of_the_table_names_the_hole_of_the_corner() -> None:
    there, _ = put_starter(job(), frame(), (INCH, INCH))
    drawn = draw_on_table(there, there.parts)
    assert [s.text for s in drawn if isinstance(s, TextLabel)] == ["A1"]
    assert sum(isinstance(s, Circle) for s in drawn) == 1
    off, ids = put_starter(job(), frame(), (2 * INCH, INCH))
    assert not any(isinstance(s, TextLabel) for s in draw_on_table(off, off.parts))
    bare = draw_on_table(off, ())
    assert [s.role for s in bare if isinstance(s, Polyline)] == ["edge", *["hidden"] * len(ids)]
