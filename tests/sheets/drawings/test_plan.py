"""What is drawn of things on the table, as values."""

import math
from typing import Any

import pytest
from msgspec import structs

from gridjig.geometry.display import (
    Arc,
    Circle,
    Dimension,
    DisplayList,
    HighlightBox,
    Polyline,
    Symbol,
    TextLabel,
)
from gridjig.model import Display, Hole, Placement
from gridjig.rack import Solid
from gridjig.sheets.drawings.plan import (
    ShownState,
    box_of_stand,
    draw_beneath,
    draw_dims,
    draw_ghost,
    draw_part,
    draw_part_dims,
    draw_placement,
    draw_reach,
)
from gridjig.solve.placed.solver import PlacedPiece, solve_placement
from tests.workshop import CLAMP, RACK, TABLE, pin, plate, put, seat, stop


def stood(placement: Placement) -> PlacedPiece:
    return solve_placement(TABLE, RACK, placement)


def drawn(placement: Placement, **flags: Any) -> DisplayList:
    return draw_placement(stood(placement), TABLE, 15.9, ShownState(**flags))


def roles(drawing: DisplayList) -> set[str]:
    return {shape.role for shape in drawing}


def marks(drawing: DisplayList) -> list[str]:
    return [shape.mark for shape in drawing if isinstance(shape, Symbol)]


def test_a_held_stop_shows_its_face_and_a_full_dot_in_each_pinned_hole() -> None:
    drawing = drawn(stop("s", 4, 4))
    dots = [s for s in drawing if isinstance(s, Circle) and s.fill == "held"]
    assert [d.centre for d in dots] == [TABLE.at(Hole(4, 4)), TABLE.at(Hole(5, 4))]
    faces = [s for s in drawing if isinstance(s, Polyline) and s.role == "face"]
    assert len(faces) == 1
    assert math.dist(*faces[0].points) == pytest.approx(90)
    assert "clash" not in roles(drawing)
    assert marks(drawing) == []


@pytest.mark.expectation(78)
def test_what_cannot_stand_is_cross_hatched_and_carries_the_octagon() -> None:
    drawing = drawn(put("s", "stop", seat("h1", 4, 4), seat("h2", 9, 4)))
    assert any(isinstance(s, Polyline) and s.hatch == "clash" for s in drawing)
    assert "clash" in marks(drawing)
    assert not any(isinstance(s, Circle) and s.fill == "held" for s in drawing)


@pytest.mark.expectation(15, 78)
def test_every_state_has_a_shape_of_its_own() -> None:
    states = [{}, {"selected": True}, {"hover": True}, {"clash": True}, {"check": True}]
    shapes = []
    for flags in states:
        drawing = drawn(stop("s", 4, 4), **flags)
        shapes.append(
            (
                tuple(marks(drawing)),
                tuple((s.margin, s.corners) for s in drawing if isinstance(s, HighlightBox)),
                tuple(s.hatch for s in drawing if isinstance(s, Polyline)),
            )
        )
    assert len(set(shapes)) == len(states)
    assert any(
        isinstance(s, HighlightBox) and s.corners for s in drawn(stop("s", 4, 4), selected=True)
    )


def test_raised_parts_are_drawn_over_lower_ones() -> None:
    drawing = drawn(put("h", "hinge", seat("h1", 4, 4), seat("h2", 6, 4), leaf=60.0))
    fills = [s.fill for s in drawing if isinstance(s, Polyline) and s.role == "edge"]
    assert fills == ["part", "raised"]
    assert "pivot" in marks(drawing)


def test_a_clamp_shows_its_pad_its_force_and_the_swing_of_its_handle() -> None:
    drawing = drawn(put("c", "clamp", seat("p", 8, 8), reach=100.0, turn=90.0))
    at = TABLE.at(Hole(8, 8))
    swing = next(s for s in drawing if isinstance(s, Arc))
    assert swing.role == "reach"
    assert swing.centre == pytest.approx(at)
    assert swing.radius == 120
    assert swing.start % 360 == pytest.approx(240)
    assert swing.end - swing.start == 60
    press = next(s for s in drawing if isinstance(s, Symbol) and s.mark == "press")
    assert press.at == pytest.approx((at[0], at[1] + 100))
    box = box_of_stand(stood(put("c", "clamp", seat("p", 8, 8), reach=100.0)))
    assert box is not None
    assert box[0] == pytest.approx(at[0] - 20)  # what the handle sweeps is no part of the box


def test_a_push_clamp_shows_a_wedge_that_points_the_way_it_pushes() -> None:
    tip = structs.replace(CLAMP.tip, push="along", handle_radius=0.0)  # type: ignore[type-var]
    rack = RACK.with_piece(structs.replace(CLAMP, tip=tip))
    at = TABLE.at(Hole(8, 8))
    one = solve_placement(TABLE, rack, put("c", "clamp", seat("p", 8, 8), reach=100.0, turn=90.0))
    drawing = draw_placement(one, TABLE)
    wedge = next(s for s in drawing if isinstance(s, Symbol) and s.mark == "force")
    assert wedge.turn == pytest.approx(90)
    assert wedge.at == pytest.approx((at[0], at[1] + 112))
    assert not any(isinstance(s, Arc) for s in drawing)


def test_a_piece_without_a_body_still_shows_its_pin() -> None:
    rack = RACK.with_piece(structs.replace(RACK.piece("pin"), solids=(), rounds=()))
    drawing = draw_placement(solve_placement(TABLE, rack, pin("p", 4, 4)), TABLE)
    assert roles(drawing) == {"thin", "held"}


def test_an_even_ring_of_many_corners_is_drawn_as_the_circle_it_stands_for() -> None:
    ring = tuple(
        (20 * math.cos(math.radians(a)), 20 * math.sin(math.radians(a))) for a in range(0, 360, 10)
    )
    oval = tuple((1.2 * x, y) for x, y in ring)
    for points, round_ in ((ring, True), (oval, False)):
        body = structs.replace(RACK.piece("riser"), solids=(Solid(points, 0, 50),))
        rack = RACK.with_piece(body)
        placed = put("r", "riser", seat("p", 4, 4))
        drawing = draw_placement(solve_placement(TABLE, rack, placed), TABLE)
        circles = [s for s in drawing if isinstance(s, Circle) and s.role == "edge"]
        assert bool(circles) == round_
        if round_:
            assert circles[0].centre == pytest.approx(TABLE.at(Hole(4, 4)))
            assert circles[0].radius == pytest.approx(20)


def test_a_flipped_handle_swings_on_the_other_side() -> None:
    one = stood(put("c", "clamp", seat("p", 8, 8), reach=100.0))
    over = structs.replace(one.placement, flipped=True)
    arcs = [
        s for s in draw_placement(solve_placement(TABLE, RACK, over), TABLE) if isinstance(s, Arc)
    ]
    assert [a.start % 360 for a in arcs] == [pytest.approx(150)]
    assert [a.end - a.start for a in arcs] == [60]


def test_freedom_is_shown_where_it_matters() -> None:
    assert "turns" in marks(drawn(put("s", "stop", seat("h1", 4, 4))))
    assert {"turns", "slides"} <= set(marks(drawn(put("s", "slider", seat("s", 4, 4)))))
    assert marks(drawn(pin("p", 4, 4))) == []  # round: as good one way round as another


@pytest.mark.parametrize(
    ("piece", "seats"),
    [("slider", (seat("s", 4, 4),)), ("arm", (seat("h", 4, 4), seat("a", 6, 4)))],
)
def test_slots_are_drawn_as_rings(piece: str, seats: tuple[object, ...]) -> None:
    drawing = drawn(put("s", piece, *seats))  # type: ignore[arg-type]
    rings = [s for s in drawing if isinstance(s, Polyline) and s.fill == "paper" and s.closed]
    assert len(rings) == 1
    assert len(rings[0].points) > 12


def test_an_arc_slot_alone_slides_along_its_arc() -> None:
    drawing = drawn(put("a", "arm", seat("a", 8, 8)))
    slide = next(s for s in drawing if isinstance(s, Symbol) and s.mark == "slides")
    assert slide.turn % 180 == pytest.approx(
        (stood(put("a", "arm", seat("a", 8, 8))).turn + 90) % 180
    )


def test_a_name_given_by_the_person_goes_before_the_piece_s() -> None:
    words = [
        s.text
        for s in drawn(put("s", "stop", seat("h1", 4, 4), name="B stop"))
        if isinstance(s, TextLabel)
    ]
    assert words == ["B stop"]


def test_risers_packing_and_what_lies_beneath() -> None:
    lifted = stood(put("s", "stop", seat("h1", 4, 4), lift=("riser",), packing=("shim",)))
    drawing = draw_placement(lifted, TABLE)
    assert any(isinstance(s, Polyline) and s.fill == "work" for s in drawing)  # the packing
    hidden = draw_beneath(lifted)
    assert roles(hidden) == {"hidden"}


def test_a_piece_that_the_rack_has_not_is_nothing() -> None:
    missing = solve_placement(
        TABLE, RACK, Placement(id="x", piece="no-such", seats=(seat("h", 1, 1),))
    )
    assert draw_placement(missing, TABLE) == ()
    assert box_of_stand(missing) is None


def test_a_ghost_is_dashed_and_a_refused_one_cross_hatched() -> None:
    one = stood(stop("s", 4, 4))
    assert roles(draw_ghost(one, TABLE)) == {"ghost"}
    refused = draw_ghost(one, TABLE, refused=True)
    assert roles(refused) == {"clash"}
    assert any(isinstance(s, Polyline) and s.hatch == "clash" for s in refused)


# -- work, holes, sizes ----------------------------------------------------------------------------


def test_neighbouring_outlines_have_different_hatches() -> None:
    hatches = [
        next(s for s in draw_part(plate("o", 0, 0), k) if isinstance(s, Polyline)).hatch
        for k in range(4)
    ]
    assert hatches == ["work", "work2", "work3", "work"]
    clash = draw_part(plate("o", 0, 0), 0, ShownState(clash=True))
    assert next(s for s in clash if isinstance(s, Polyline)).hatch == "clash"
    assert "clash" in marks(clash)


def test_the_name_of_an_outline_stands_where_there_is_room() -> None:
    u_shape = ((0.0, 0.0), (90.0, 0.0), (90.0, 60.0), (70.0, 60.0), (70.0, 20.0), (20.0, 20.0),
               (20.0, 60.0), (0.0, 60.0))  # fmt: skip
    part = structs.replace(plate("o", 100, 100), corners=u_shape, name="Bracket")
    words = next(s for s in draw_part(part) if isinstance(s, TextLabel))
    assert 100 < words.at[1] < 120  # in the cross bar, not in a leg
    assert words.room == pytest.approx(1.8 * 27)
    assert not any(isinstance(s, TextLabel) for s in draw_part(structs.replace(part, name="")))


def test_a_turned_part_is_measured_along_itself() -> None:
    turned = structs.replace(plate("bar", 100, 100, 254, 50.8), turn=30.0)
    long, deep = draw_part_dims(turned, Display())
    assert isinstance(long, Dimension)
    assert isinstance(deep, Dimension)
    assert (long.text, deep.text) == ('10"', '2"')
    assert math.dist(long.a, long.b) == pytest.approx(254)
    assert math.degrees(math.atan2(long.b[1] - long.a[1], long.b[0] - long.a[0])) == (
        pytest.approx(30)
    )


def test_sizes_stand_above_and_to_the_right() -> None:
    wide, deep = draw_dims((0.0, 0.0), (254.0, 127.0), Display())
    assert isinstance(wide, Dimension)
    assert isinstance(deep, Dimension)
    assert (wide.text, deep.text) == ('10"', '5"')
    # Left of the way from a to b: up for the width, right for the depth.
    assert wide.a[1] == wide.b[1] == 127.0
    assert wide.b[0] > wide.a[0]
    assert deep.a[0] == deep.b[0] == 254.0
    assert deep.b[1] < deep.a[1]


def test_reach_shows_ranges_as_arcs_and_single_angles_as_ticks() -> None:
    drawing = draw_reach((10.0, 20.0), 100.0, [(0.0, 40.0), (90.0, 90.0)], at=90.0)
    assert [(a.start, a.end) for a in drawing if isinstance(a, Arc)] == [(0.0, 40.0)]
    ticks = [s.at for s in drawing if isinstance(s, Symbol) and s.mark == "tick"]
    assert len(ticks) == 3
    assert (10.0, 120.0) in ticks
    lines = [s for s in drawing if isinstance(s, Polyline)]
    assert lines[0].points[1] == (10.0, 120.0)
    assert not any(isinstance(s, Polyline) for s in draw_reach((0, 0), 10.0, []))


def sign_of(drawing: DisplayList) -> tuple[float, float]:
    (sign,) = [s for s in drawing if isinstance(s, Symbol) and s.mark in ("check", "clash")]
    return sign.at


def test_a_sign_stands_where_something_was_found() -> None:
    """Not at the far corner of a long part, unless it was found elsewhere."""
    part = plate("o", 100, 50, 400, 40)
    assert sign_of(draw_part(part, 0, ShownState(check=True))) == (500.0, 90.0)
    assert sign_of(draw_part(part, 0, ShownState(check=True, at=((130.0, 60.0),)))) == (130.0, 60.0)
    assert sign_of(draw_part(part, 0, ShownState(clash=True, at=((95.0, 60.0),)))) == (95.0, 60.0)
    assert sign_of(draw_part(part, 0, ShownState(clash=True, at=((80.0, 60.0),)))) == (500.0, 90.0)
    beside_and_on = ShownState(check=True, at=((80.0, 60.0), (130.0, 60.0), (150.0, 60.0)))
    assert sign_of(draw_part(part, 0, beside_and_on)) == (130.0, 60.0)
