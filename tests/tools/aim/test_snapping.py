import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.session.document import Document
from gridjig.tools.aim.snapping import CornerIndex, corners_of, lay_on_face, radius, snap_point
from gridjig.tools.core.pointer import Pointer
from tests.workshop import EMPTY, laid, plate, stop


@pytest.mark.expectation(20, 21)
def test_the_radius_is_in_screen_millimetres_and_off_with_a_key() -> None:
    assert radius(Pointer(0, 0, table_mm=2, grip=3)) == 6
    assert radius(Pointer(0, 0, table_mm=2, grip=3, free=True)) == 0


def test_the_nearest_of_hole_and_corner_is_caught_and_a_corner_wins_a_tie() -> None:
    corners = [((104.0, 100.0), "corner of bar")]
    assert snap_point(EMPTY, (101, 100), 3, corners).what == "hole B2"
    assert snap_point(EMPTY, (103, 100), 3, corners).what == "corner of bar"
    assert snap_point(EMPTY, (102, 100), 3, corners).what == "corner of bar"
    assert snap_point(EMPTY, (110, 100), 3, corners).what == ""
    assert snap_point(EMPTY, (101, 100), 0, corners).at == (101, 100)


def test_corners_of_what_moves_are_left_out() -> None:
    job = laid(plate("a", 0, 0), plate("b", 50, 50))
    assert {what for _, what in corners_of(job)} == {"corner of a", "corner of b"}
    assert {what for _, what in corners_of(job, {"a"})} == {"corner of b"}


def test_a_face_catches_what_lies_before_it_and_names_itself() -> None:
    job = laid(stop("s", 2, 2))
    placed_pieces = Document(job).placed_pieces
    face = placed_pieces["s"].faces[0]
    assert face.normal == pytest.approx((0, -1))
    low = face.a[1]
    ring = [(140, low - 30), (200, low - 30), (200, low - 2), (140, low - 2)]
    found = lay_on_face(job, placed_pieces, ring, 3)
    assert found is not None
    assert (found.dx, found.dy) == pytest.approx((0, 2))
    assert found.what == "face of fixed stop at C3"
    assert lay_on_face(job, placed_pieces, ring, 1) is None
    assert lay_on_face(job, placed_pieces, [(x + 500, y) for x, y in ring], 3) is None
    assert lay_on_face(job, placed_pieces, ring, 3, along=(0, -1)) is None
    slanted = lay_on_face(job, placed_pieces, ring, 3, along=(math.sqrt(0.5), math.sqrt(0.5)))
    assert slanted is not None
    assert (slanted.dx, slanted.dy) == pytest.approx((-2, 2))


@pytest.mark.source("method", "brute force: every corner looked at one by one")
@given(st.lists(st.floats(-50, 50), max_size=30), st.floats(-60, 60), st.floats(0, 20))
def test_a_row_gives_all_corners_that_are_near(
    places: list[float], x: float, within: float
) -> None:
    corners = [((place, 0.0), str(k)) for k, place in enumerate(places)]
    found = CornerIndex(corners).near(x, within)
    assert sorted(found) == sorted(c for c in corners if x - within <= c[0][0] <= x + within)
