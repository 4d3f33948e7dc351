"""Pieces by themselves as drawings."""

import itertools
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Polygon, hausdorff_distance

from gridjig.geometry.display import Arc, Circle, Polyline, TextLabel
from gridjig.rack import ArcSlot
from gridjig.sheets.drawings.silhouette import arc_ring, bounds, lying, silhouette, slot_ring
from tests.workshop import ARM, CLAMP, HINGE, LOCK, PIN, RACK, SHIM, SLIDER, STOP


def test_every_piece_has_a_silhouette() -> None:
    assert len(RACK.pieces) == 9
    for piece in RACK.pieces:
        low_x, low_y, high_x, high_y = bounds(silhouette(piece))
        assert high_x > low_x, piece.id
        assert high_y > low_y, piece.id


@pytest.mark.source("library", "shapely 2", "buffer of a segment")
@given(st.floats(-500, 500), st.floats(-500, 500), st.floats(2, 60))
def test_a_slot_is_a_segment_with_room_round_it(x: float, y: float, width: float) -> None:
    assume(math.hypot(x, y) >= 1)
    ring = slot_ring((0.0, 0.0), (x, y), width)
    wanted = LineString([(0, 0), (x, y)]).buffer(width / 2, quad_segs=64)
    assert hausdorff_distance(Polygon(ring), wanted) < width * 0.02


@pytest.mark.source("library", "shapely 2", "buffer of an arc")
def test_an_arc_slot_is_an_arc_with_room_round_it() -> None:
    slot = ArcSlot("a", (10, 20), 100, -60, 60, 16)
    turns = [math.radians(-60 + 120 * i / 200) for i in range(201)]
    line = LineString([(10 + 100 * math.cos(t), 20 + 100 * math.sin(t)) for t in turns])
    assert hausdorff_distance(Polygon(arc_ring(slot)), line.buffer(8, quad_segs=64)) < 0.4


def test_holes_are_paper_and_shanks_are_filled() -> None:
    fills = {s.fill for s in silhouette(STOP) if isinstance(s, Circle)}
    assert fills == {"paper"}
    assert {s.fill for s in silhouette(PIN) if isinstance(s, Circle)} == {"pin"}
    slots = [s for s in silhouette(SLIDER) if isinstance(s, Polyline) and s.fill == "paper"]
    assert len(slots) == 1
    assert [s for s in silhouette(ARM) if isinstance(s, Polyline) and s.fill == "paper"]


def test_a_clamp_shows_its_bar_at_full_reach_and_a_leaf_its_middle() -> None:
    assert CLAMP.tip is not None
    pad = [s for s in silhouette(CLAMP) if isinstance(s, Circle) and s.role == "force"]
    assert pad[0].centre == pytest.approx((CLAMP.tip.reach_max, 0.0))
    assert HINGE.pivot is not None
    assert bounds(silhouette(HINGE)) != bounds(silhouette(STOP))


def test_loose_pieces_are_strips() -> None:
    assert bounds(silhouette(SHIM)) == (0.0, 0.0, 25.0, 1.0)
    assert bounds(silhouette(LOCK))[2] == LOCK.pin_diameter


def test_a_tall_piece_is_laid_down_and_a_long_one_stays() -> None:
    long = silhouette(STOP)
    assert lying(long) is long
    tall = (
        Polyline(((0.0, 0.0), (10.0, 0.0), (10.0, 50.0)), "edge"),
        Circle((5.0, 40.0), 2.0, "thin"),
    )
    laid_down = lying(tall)
    assert bounds(laid_down) == (0.0, -10.0, 50.0, 0.0)
    assert isinstance(laid_down[1], Circle)
    assert laid_down[1].centre == (40.0, -5.0)
    assert len(lying((*tall, TextLabel((0.0, 0.0), "x", "thin")))) == 2


def test_bounds_take_arcs_in_and_pass_words_over() -> None:
    assert bounds((Arc((0.0, 0.0), 5.0, 0.0, 90.0, "reach"),)) == (-5.0, -5.0, 5.0, 5.0)
    assert bounds((TextLabel((9.0, 9.0), "x", "thin"),)) == (0.0, 0.0, 0.0, 0.0)


@pytest.mark.source("method", "plane geometry: the height of a chord over its arc")
def test_at_full_size_no_corner_of_a_slot_shows() -> None:
    """A pixel of a shop screen is 0.25 mm; what is under it is not seen."""
    wide = Polygon(slot_ring((0.0, 0.0), (80.0, 0.0), 20.0))
    round_end = LineString([(0, 0), (80, 0)]).buffer(10, quad_segs=128)
    assert hausdorff_distance(wide, round_end) < 0.06
    slot = ArcSlot("a", (0.0, 0.0), 200.0, -60.0, 60.0, 20.0)
    outer = list(itertools.takewhile(lambda p: math.hypot(*p) > 209.999, arc_ring(slot)))
    middles = [((ax + bx) / 2, (ay + by) / 2) for (ax, ay), (bx, by) in itertools.pairwise(outer)]
    assert max(210.0 - math.hypot(*p) for p in middles) < 0.08
