"""Moved by drag, key or typed hole, selected or not, a piece keeps touching the face."""

import pytest
from msgspec import structs

from gridjig.model import Hole, Job, Placement
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import FULL, lay
from tests.driver import Driver
from tests.stock import SQUARE, bar
from tests.tools.touch.kit import frame, hand, names, placing, touching
from tests.workshop import TABLE

INCH = 25.4


def held(piece: str = "stop-adjustable", hole: str = "M5") -> Driver:
    """A frame with a piece that touches it, and the selecting tool in hand."""
    d = hand(piece, frame()).click(hole).key("escape")
    assert touching(d.job, d.job.placements[0])
    return d


def only(d: Driver) -> Placement:
    (placement,) = d.job.placements
    return placement


MOVES = ("drag", "drag of what is not selected", "key", "typed")


def moved(d: Driver, how: str, to: str, key: str) -> Driver:
    thing = only(d)
    here = names(d.job, thing)[0]
    if how == "drag of what is not selected":
        return d.select().drag(here, to)
    d.select(thing.id)
    if how == "drag":
        return d.drag(here, to)
    return d.key(key) if how == "key" else d.type(to)


@pytest.mark.parametrize("how", MOVES)
def test_moved_along_the_face_it_touches_still(how: str) -> None:
    d = moved(held(), how, "N5", "right")
    assert names(d.job, only(d))[0] == "N5"
    assert touching(d.job, only(d))


@pytest.mark.parametrize("how", MOVES)
def test_moved_nearer_to_the_face_it_slides_back(how: str) -> None:
    d = held()
    before = only(d).slide
    moved(d, how, "M6", "up")
    assert names(d.job, only(d))[0] == "M6"
    assert only(d).slide == pytest.approx(before - 2.0 * INCH)
    assert touching(d.job, only(d))


@pytest.mark.parametrize("how", MOVES)
def test_a_clamp_keeps_pressing_on_the_middle(how: str) -> None:
    d = moved(held("clamp-down-low"), how, "M4", "down")
    tip = PlacedPieces().of(d.job)[only(d).id].tip
    assert tip is not None
    assert names(d.job, only(d)) == ["M4"]
    assert tip.at[1] / INCH == pytest.approx(12.25)


def test_alt_moves_it_as_it_is() -> None:
    d = held()
    before = only(d)
    d.drag("M5", "M4", free=True)
    assert names(d.job, only(d))[0] == "M4"
    assert only(d).slide == before.slide
    assert not touching(d.job, only(d))


def test_a_gap_that_was_left_stays_as_wide() -> None:
    d = held()
    d.select(only(d).id).key("down", shift=True)
    gap = only(d).slide
    assert not touching(d.job, only(d))
    d.key("right")
    assert only(d).slide == gap


def test_several_keep_their_places_to_each_other() -> None:
    d = held()
    d.tool(placing("stop-fixed")).click("F6").key("escape")
    slides = [p.slide for p in d.job.placements]
    d.key("a", ctrl=True).select(*(p.id for p in d.job.placements)).key("down")
    assert [p.slide for p in d.job.placements] == slides


def _slider() -> Job:
    """An adjustable stop 30 mm off a rail, with its pins in line with it."""
    rail = bar(SQUARE, x=400.0, y=500.0 + 12.0 + 30.0 + 25.0)
    d = hand("adjustable", lay(rail, rack=FULL)).click(TABLE.at(Hole(11, 9)))
    assert touching(d.job, d.job.placements[0])
    away = structs.replace(d.job.placements[0], slide=5.0)
    return structs.replace(d.job, placements=(away,))


@pytest.mark.parametrize("selected", [True, False])
def test_a_slide_is_caught_by_the_face_and_stops_there(selected: bool) -> None:
    """Dragged to 2 mm before it, or right into the rail, it stays where it touches."""
    for far in (23.0, 60.0):
        job = _slider()
        thing = job.placements[0].id
        d = Driver(job).select(*([thing] if selected else []))
        there = PlacedPieces().of(job)[thing]
        x, y = (there.faces[0].a[0] + there.faces[0].b[0]) / 2.0, there.faces[0].a[1]
        d.hover((x, y)).drag((x, y), (x, y + far))
        assert only(d).slide == pytest.approx(30.0), d.hint
        assert touching(d.job, only(d))


@pytest.mark.parametrize("selected", [True, False])
def test_a_clamp_s_tip_is_drawn_out_alike_selected_or_not(selected: bool) -> None:
    d = held("clamp-down-low")
    thing = only(d)
    tip = PlacedPieces().of(d.job)[thing.id].tip
    assert tip is not None
    d.select(*([thing.id] if selected else []))
    d.hover(tip.at).expect_hint("rag to set how far it reaches")
    d.drag(tip.at, (tip.at[0], tip.at[1] - 12.0))
    assert only(d).reach == pytest.approx(thing.reach - 12.0, abs=1.6), d.hint
    assert names(d.job, only(d)) == names(d.job, thing)
