import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import Point as Spot
from shapely import Polygon

from gridjig.model import CutOut, Drilled, Hole
from gridjig.rack import Solid
from gridjig.session.document import Document
from gridjig.tools.aim.hit_test import HitTester, ring_distance
from gridjig.tools.core.pointer import Pointer
from tests.workshop import EMPTY, RACK, box, laid, pin, plate, put, seat, stop

MM = st.floats(-50, 50)
TRIANGLE = ((-20.0, -10.0), (25.0, -15.0), (5.0, 30.0))
CONCAVE = ((0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (15.0, 5.0), (0.0, 30.0))


@pytest.mark.source("library", "shapely 2.1", "Polygon.distance")
@given(MM, MM)
def test_distance_to_a_ring_agrees_with_a_geometry_library(x: float, y: float) -> None:
    for ring in (TRIANGLE, CONCAVE):
        expected = Polygon(ring).distance(Spot(x, y))
        assert ring_distance(ring, x, y) == pytest.approx(expected, abs=1e-6)


JOB = laid(
    stop("s", 3, 3),
    pin("p", 10, 10),
    plate("sheet", 400, 400, 400, 300),
    plate("strip", 900, 100, 2, 400),
)


def at(x: float, y: float, table_mm: float = 1.0, grip: float = 3.0) -> tuple[str, ...]:
    document = Document(JOB)
    return HitTester().at(document.job, document.placed_pieces, Pointer(x, y, table_mm, grip))


def test_the_topmost_comes_first_then_the_smaller() -> None:
    assert at(550, 550) == ("p", "sheet")
    assert at(450, 450) == ("sheet",)
    over = laid(plate("small", 420, 420, 50, 50), job=JOB)
    document = Document(over)
    assert HitTester().at(over, document.placed_pieces, Pointer(430, 430)) == ("small", "sheet")


@pytest.mark.expectation(16, 21)
def test_thin_things_are_caught_within_the_grip_at_every_zoom() -> None:
    assert at(906, 300, table_mm=1.0, grip=3.0) == ()
    assert at(904, 300, table_mm=1.0, grip=3.0) == ("strip",)
    assert at(914, 300, table_mm=5.0, grip=3.0) == ("strip",)
    assert at(914, 300, table_mm=1.0, grip=13.0) == ("strip",)
    assert at(902.4, 300, table_mm=0.1, grip=3.0) == ()


def test_a_thin_thing_over_a_wide_one_is_caught_from_beside_it() -> None:
    job = laid(plate("sheet", 800, 50, 300, 500), plate("strip", 900, 100, 2, 400))
    document = Document(job)
    assert HitTester().at(job, document.placed_pieces, Pointer(904, 300)) == ("strip", "sheet")


def test_beside_everything_the_nearest_within_the_grip_is_taken() -> None:
    assert at(500 + 300 + 2, 450) == ("sheet",)
    assert at(10, 900) == ()


def test_what_cannot_stand_is_caught_at_its_holes() -> None:
    job = laid(put("x", "stop", seat("h1", 3, 3), seat("h2", 9, 9)))
    document = Document(job)
    assert document.placed_pieces["x"].fault
    assert HitTester().at(
        job, document.placed_pieces, Pointer(*job.table.at(job.placements[0].seats[0].hole))
    )


def test_what_is_not_on_the_rack_is_caught_at_its_holes() -> None:
    job = laid(put("x", "lost", seat("h1", 3, 3), seat("h2", 9, 9)))
    document = Document(job)
    assert HitTester().at(job, document.placed_pieces, Pointer(*job.table.at(Hole(9, 9)))) == ("x",)
    assert HitTester().at(job, document.placed_pieces, Pointer(400, 400)) == ()


def test_the_sweep_of_a_clamps_handle_can_be_clicked_through() -> None:
    job = laid(put("c", "clamp", seat("p", 8, 8), reach=100.0))
    document = Document(job)
    assert any(s.role == "handle" for s in document.placed_pieces["c"].solids)
    assert HitTester().at(job, document.placed_pieces, Pointer(450 - 100, 450)) == ()
    assert HitTester().at(job, document.placed_pieces, Pointer(450 + 90, 450)) == ("c",)


def test_far_in_the_corner_of_its_bounds_nothing_is_caught() -> None:
    job = laid(put("a", "arm", seat("h", 8, 8), seat("a", 10, 8), turn=45.0))
    document = Document(job)
    assert HitTester().at(job, document.placed_pieces, Pointer(590, 450)) == ()


def test_a_box_takes_what_lies_wholly_in_it() -> None:
    document = Document(JOB)
    catcher = HitTester()
    assert catcher.within(JOB, document.placed_pieces, (300, 300), (900, 800)) == {"p", "sheet"}
    assert catcher.within(JOB, document.placed_pieces, (900, 800), (300, 300)) == {"p", "sheet"}
    assert catcher.within(JOB, document.placed_pieces, (300, 300), (600, 600)) == {"p"}


def test_bodies_are_kept_while_nothing_changes() -> None:
    document = Document(JOB)
    catcher = HitTester()
    first = catcher.bodies(JOB, document.placed_pieces)
    again = catcher.bodies(JOB, document.placed_pieces)
    assert first.keys() == again.keys() == {"s", "p", "sheet", "strip"}
    assert all(first[i] is again[i] for i in first)


def test_what_a_preview_leaves_out_is_not_caught() -> None:
    placed_pieces = Document(laid(pin("other", 1, 1))).placed_pieces
    assert HitTester().at(JOB, placed_pieces, Pointer(*JOB.table.at(Hole(3, 3)))) == ()


@pytest.mark.expectation(12, 16)
def test_what_the_pointer_is_right_on_goes_before_what_is_near() -> None:
    """At a far zoom both are thinner than the grip; the higher one is not meant if it is beside."""
    tube = structs.replace(plate("tube", 170, 0, 50, 600), z_high=500)
    job = laid(stop("s", 1, 1), tube)
    document = Document(job)
    middle = Pointer(155, 100, 8.8)
    assert HitTester().at(job, document.placed_pieces, middle) == ("s", "tube")
    assert HitTester().at(job, document.placed_pieces, Pointer(200, 100, 8.8)) == ("tube",)


FRAME = structs.replace(
    plate("frame", 100, 100, 400, 300),
    holes=(CutOut(((50, 50), (350, 50), (350, 250), (50, 250))), Drilled((25, 150), 14)),
)


@pytest.mark.source("library", "shapely 2.1", "Polygon.distance with interiors")
@given(st.floats(50, 550), st.floats(50, 450))
def test_a_plate_with_openings_is_hit_where_it_is_steel(x: float, y: float) -> None:
    job = laid(FRAME)
    (body,) = HitTester().bodies(job, Document(job).placed_pieces).values()
    steel = Polygon(body.rings[0], body.openings[0])
    assert body.distance(x, y) == pytest.approx(steel.distance(Spot(x, y)), abs=1e-6)
    assert body.area == pytest.approx(steel.area)


def test_a_click_into_an_opening_takes_what_is_seen_in_it() -> None:
    job = laid(FRAME, plate("below", 200, 200, 50, 50))
    document = Document(job)

    def hit(x: float, y: float, table_mm: float = 1.0) -> tuple[str, ...]:
        return HitTester().at(job, document.placed_pieces, Pointer(x, y, table_mm, 3.0))

    assert hit(220, 220) == ("below",)
    assert hit(350, 250) == ()
    assert hit(120, 120) == ("frame",)
    assert hit(125, 250) == ()  # in the bolt hole, seen from near
    assert hit(125, 250, 4.0) == ("frame",)  # from far away the hole is too small to aim at


def test_a_piece_has_the_same_rule_for_its_openings_as_a_plate() -> None:
    cut = box(20, 20, 180, 200)
    rim = structs.replace(
        RACK.piece("stop"),
        id="rim",
        solids=(
            Solid(box(-20, -20, 220, 220), 0, 80, openings=(cut,)),
            Solid(box(150, 20, 180, 60), 0, 10),
        ),
        faces=(),
    )
    job = structs.replace(EMPTY, rack=RACK.with_piece(rim))
    job = laid(put("r", "rim", seat("h1", 4, 4)), job=job)
    x, y = job.table.at(Hole(4, 4))
    job = laid(plate("low", x + 50, y + 50, 140, 40), job=job)
    document = Document(job)

    def caught(dx: float, dy: float) -> tuple[str, ...]:
        where = Pointer(x + dx, y + dy, 1.0, 3.0)
        return HitTester().at(document.job, document.placed_pieces, where)

    assert caught(100, 70) == ("low",)
    assert caught(100, 150) == ()  # as through a plate, nothing is there
    assert caught(100, 198) == ("r",)  # nearest to the pointer, within its grip
    assert caught(185, 70) == ("r", "low")  # on the rim
    assert caught(160, 55) == ("r", "low")  # on what stands in the opening
