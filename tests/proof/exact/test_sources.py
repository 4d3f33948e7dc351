"""The errors of single pieces, against the mount kernel's own play and against arithmetic."""

import math

import numpy as np
import pytest
from msgspec import structs

from gridjig.model import Accuracy, Job, Placement
from gridjig.proof.exact.sources import PieceErrors, hole_error, piece_errors
from gridjig.proof.exact.spread import Effects, between, row, spread
from gridjig.solve.mounting.pairs import turn_by_play
from gridjig.solve.mounting.track import Track
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.workshop import EMPTY, pin, put, seat, stop

EXACT = structs.replace(EMPTY, accuracy=Accuracy(face=0.0, shim=0.0, setting=0.0, hole=0.0))
"""A shop where only pins have play."""
TURN = np.array([0.0, 0.0, 1.0])


def moves(found: PieceErrors, body: int = 0) -> Effects:
    """What the errors of a piece do to one of its bodies."""
    return Effects(found.sources, found.bodies[body])


def of(placement: Placement, job: Job = EXACT) -> tuple[PlacedPiece, PieceErrors]:
    placed = PlacedPieces().of(structs.replace(job, placements=(placement,)))[placement.id]
    assert placed.fault is None
    found = piece_errors(job, placed)
    assert found is not None
    return placed, found


@pytest.mark.source("method", "triangle of two hole spacings and the play, by the law of cosines")
@pytest.mark.parametrize(
    ("holes", "pins", "play", "degrees"),
    [
        (100.0, 100.0, 0.2, 0.114592),
        (100.0, 100.0, 0.5, 0.286479),
        (100.1, 100.0, 0.2, 0.099190),
        (254.0, 254.0, 0.3, 0.067672),
    ],
)
def test_two_holes_on_two_pins_turn_by_their_play(
    holes: float, pins: float, play: float, degrees: float
) -> None:
    found = turn_by_play(0.0, 0.0, Track("point", holes, 0.0), pins, play)
    assert found == pytest.approx(degrees, abs=1e-6)
    cosine = (holes**2 + pins**2 - play**2) / (2 * holes * pins)
    assert found == pytest.approx(math.degrees(math.acos(cosine)))


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, -90.0])
@pytest.mark.parametrize("flipped", [False, True])
def test_a_stop_turns_as_far_as_the_mount_kernel_says(turn: float, flipped: bool) -> None:
    way = {0.0: (1, 0), 90.0: (0, 1), 180.0: (-1, 0), -90.0: (0, -1)}[turn]
    other = seat("h2", 10 + way[0], 8 + way[1])
    placed, found = of(put("s", "stop", seat("h1", 10, 8), other, turn=turn, flipped=flipped))
    assert placed.way is not None
    turned = spread(between((moves(found), TURN)))
    assert math.degrees(turned.worst) == pytest.approx(placed.way.play_deg, rel=1e-3)
    assert found.turns_about is None


@pytest.mark.source("method", "the middle of two pins moves by the mean of their errors")
def test_the_middle_of_a_stop_moves_by_the_mean_of_its_pins() -> None:
    placed, found = of(stop("s", 10, 8))
    assert placed.way is not None
    (ax, ay), (bx, by) = (EMPTY.table.at(hole) for hole in placed.holes)
    middle = ((ax + bx) / 2, (ay + by) / 2)
    for way in ((1.0, 0.0), (0.0, 1.0), (0.6, 0.8)):
        moved = spread(between((moves(found), row(middle, way))))
        assert moved.worst == pytest.approx(placed.way.play_mm)
        assert moved.rss == pytest.approx(placed.way.play_mm / math.sqrt(2.0))
    beyond = (bx + 50.0, by)
    swung = spread(between((moves(found), row(beyond, (0.0, 1.0))))).worst
    assert swung == pytest.approx(placed.way.play_mm * 3.0)  # coefficients 1 + x/L and x/L


@pytest.mark.source("method", "coefficients of the errors of a pin that stands alone")
def test_a_pin_moves_with_its_hole_and_does_not_matter_how_it_turns() -> None:
    placed, found = of(pin("p", 4, 4), structs.replace(EXACT, accuracy=Accuracy(hole=0.1)))
    assert placed.way is not None
    x, y = EMPTY.table.at(placed.holes[0])
    moved = spread(between((moves(found), row((x, y), (0.0, 1.0)))))
    assert moved.worst == pytest.approx(placed.way.play_mm + 0.1)
    assert found.turns_about == (x, y)


def test_the_tables_own_tolerance_comes_before_the_shops() -> None:
    better = structs.replace(EMPTY, table=structs.replace(EMPTY.table, hole_tolerance=0.03))
    assert hole_error(better) == 0.03
    assert hole_error(EMPTY) == EMPTY.accuracy.hole == 0.1


def test_a_slide_is_set_by_tape_along_its_slot() -> None:
    job = structs.replace(EXACT, accuracy=Accuracy(hole=0.0, setting=0.4))
    placed, found = of(put("s", "slider", seat("s", 8, 8), seat("s", 9, 8), slide=30.0), job)
    assert placed.way is not None
    assert placed.way.kind == "slides"
    (ax, ay), (bx, by) = placed.faces[0].a, placed.faces[0].b
    p = ((ax + bx) / 2, (ay + by) / 2)
    along = spread(between((moves(found), row(p, (1.0, 0.0))))).worst
    assert along == pytest.approx(0.4)
    across = spread(between((moves(found), row(EMPTY.table.at(placed.holes[0]), (0.0, 1.0)))))
    assert across.worst == pytest.approx(placed.way.play_mm)


def test_a_second_body_has_the_error_of_its_scale_as_well() -> None:
    placed, found = of(put("h", "hinge", seat("h1", 6, 6), seat("h2", 8, 6), leaf=60.0))
    base, leaf = (spread(between((moves(found, body), TURN))).worst for body in (0, 1))
    assert math.degrees(leaf - base) == pytest.approx(0.5)
    pivot = placed.poses[0].point((50.0, 0.0))
    for way in ((1.0, 0.0), (0.0, 1.0)):
        both = [spread(between((moves(found, body), row(pivot, way)))).worst for body in (0, 1)]
        assert both[0] == pytest.approx(both[1])


def test_every_shim_of_a_pack_counts() -> None:
    _, found = of(structs.replace(stop("s", 10, 8), packing=("shim", "shim", "shim")))
    assert found.shims is not None
    source = next(one for one, at in found.sources.at.items() if at == found.shims)
    assert source.many == 3
    assert found.packs == "f"


def test_a_piece_that_cannot_stand_has_no_errors() -> None:
    far = put("s", "stop", seat("h1", 4, 4), seat("h2", 9, 9))
    placed = PlacedPieces().of(structs.replace(EXACT, placements=(far,)))["s"]
    assert placed.fault is not None
    assert piece_errors(EXACT, placed) is None
