"""The free shape of a piece: what stands on what, and what goes with it."""

import math

import pytest
from msgspec import structs

from gridjig.edits.shape import (
    edges,
    outlines,
    with_face_heights,
    with_faces,
    with_heights,
    with_holes,
    with_openings,
    with_outline,
    with_outline_added,
    with_shape,
    without_outline,
)
from gridjig.edits.shape_text import typed_holes
from gridjig.edits.sizes import sizes
from gridjig.geometry.piece_faults import unsound
from gridjig.geometry.piece_mass import STEEL, mass_of
from gridjig.geometry.shapes import disc
from gridjig.rack import Face, Piece, RoundHole, Shank, Solid
from tests.workshop import SHIM, box

BASE = Solid(box(-20, -40, 220, 60), 0, 12)
UPRIGHT = Solid(box(-20, 48, 220, 60), 0, 80)
FENCE = Piece(
    id="fence",
    name="Fence",
    kind="other",
    solids=(BASE, UPRIGHT),
    mounts=(RoundHole("h1", (0, 0), 16), RoundHole("h2", (200, 0), 16)),
)
FENCE = structs.replace(FENCE, mass=mass_of(FENCE))
RIM = structs.replace(
    FENCE, solids=(Solid(box(-20, -20, 220, 220), 0, 10, openings=(box(20, 20, 200, 200),)),)
)


def back(piece: Piece) -> str:
    """The edge of the upright that faces back."""
    return next(e.key for e in edges(piece) if e.solid == 1 and e.direction == 90.0)


@pytest.mark.source("method", "arithmetic: a base of 12, an upright on it to 80, two holes of 16")
def test_an_upright_l_weighs_what_its_steel_weighs() -> None:
    base = (240 * 100 - 2 * math.pi * 8**2) * 12
    upright = 240 * 12 * (80 - 12)
    assert FENCE.mass == pytest.approx((base + upright) * STEEL * 1e-9, rel=1e-4)
    assert FENCE.height == 80


def test_every_straight_edge_is_offered_with_its_direction() -> None:
    found = edges(FENCE)
    assert [(e.solid, e.direction, e.length) for e in found] == [
        (0, 270.0, 240.0), (0, 0.0, 100.0), (0, 90.0, 240.0), (0, 180.0, 100.0),
        (1, 270.0, 240.0), (1, 0.0, 12.0), (1, 90.0, 240.0), (1, 180.0, 12.0),
    ]  # fmt: skip
    assert not any(e.on for e in found)
    assert (found[6].face.z_low, found[6].face.z_high) == (0, 80)


def test_an_edge_becomes_a_face_and_is_no_edge_any_more() -> None:
    faced = with_faces(FENCE, (back(FENCE),))
    [face] = faced.faces
    assert (face.a, face.b, face.z_high) == ((220, 60), (-20, 60), 80)
    assert unsound(faced) is None
    first, *others = edges(faced)
    assert (first.face, first.on, first.solid) == (face, True, 1)
    assert len(others) == 6  # the base's edge below it is covered
    both = with_faces(faced, (others[0].key, first.key))
    assert [f.id for f in both.faces] == [others[0].key, face.id]
    assert with_faces(both, ()).faces == ()


def test_inner_edges_face_into_the_opening() -> None:
    inner = [e for e in edges(RIM) if e.length == 180.0]
    assert [e.direction for e in inner] == [270.0, 180.0, 90.0, 0.0]
    faced = with_faces(RIM, (inner[3].key,))
    assert faced.faces[0].a[0] == faced.faces[0].b[0] == 20  # the left wall faces right


@pytest.mark.parametrize("radius", [30.0, 400.0])
def test_chords_of_a_curve_are_no_edges(radius: float) -> None:
    ring = tuple(disc((0, 0), radius, 6.0))
    round_ = structs.replace(FENCE, solids=(Solid(ring, 0, 12),), mounts=FENCE.mounts[:1])
    assert edges(round_) == ()
    half = (*(p for p in ring if p[1] > 1), (-radius, -50.0), (radius, -50.0))
    flat = structs.replace(round_, solids=(Solid(half, 0, 12),))
    assert [round(e.length) for e in edges(flat) if e.direction == 270.0] == [2 * radius]


def test_a_face_goes_with_the_corners_of_its_edge() -> None:
    faced = with_faces(FENCE, (back(FENCE),))
    moved = with_outline(faced, 1, box(-20, 58, 220, 70))
    assert (moved.faces[0].a, moved.faces[0].b) == ((220, 70), (-20, 70))
    fewer = with_outline(faced, 1, ((-20, 48), (220, 48), (100, 60)))
    assert fewer.faces == ()
    more = with_outline(faced, 1, (*UPRIGHT.outline[:2], (220, 55), *UPRIGHT.outline[2:]))
    assert more.faces == faced.faces
    assert moved.mass == pytest.approx(mass_of(moved), abs=1e-4)


def test_heights_take_the_faces_along() -> None:
    faced = with_faces(FENCE, (back(FENCE), edges(FENCE)[0].key))
    higher = with_heights(faced, 1, 0, 100)
    assert [(f.z_low, f.z_high) for f in higher.faces] == [(0, 100), (0, 12)]
    assert higher.mass > faced.mass
    with pytest.raises(ValueError, match="The top must be higher than the underside"):
        with_heights(faced, 1, 80, 80)


def test_a_face_has_heights_of_its_own_within_its_outline() -> None:
    faced = with_faces(FENCE, (back(FENCE),))
    high = with_face_heights(faced, faced.faces[0].id, 30, 80)
    assert (high.faces[0].z_low, high.faces[0].z_high) == (30, 80)
    lower = with_heights(high, 1, 0, 60)
    assert (lower.faces[0].z_low, lower.faces[0].z_high) == (30, 60)
    with pytest.raises(ValueError, match="no lower and no higher than the outline"):
        with_face_heights(faced, faced.faces[0].id, 30, 81)
    with pytest.raises(ValueError, match="must be higher than its lower edge"):
        with_face_heights(faced, faced.faces[0].id, 30, 30)


def test_outlines_come_and_go_with_their_faces() -> None:
    more, number = with_outline_added(FENCE, 25.0)
    assert (number, outlines(more)) == (2, (0, 1, 2))
    assert (more.solids[2].z_low, more.solids[2].z_high) == (12, 37)
    faced = with_faces(FENCE, (back(FENCE),))
    flat = without_outline(faced, 1)
    assert (flat.solids, flat.faces) == ((BASE,), ())
    with pytest.raises(ValueError, match="needs at least one outline"):
        without_outline(flat, 0)
    assert outlines(SHIM) == ()


@pytest.mark.source("method", "arithmetic: an opening of 40 by 30 in steel of 12")
def test_an_opening_takes_its_steel_away() -> None:
    cut = with_openings(FENCE, 0, (box(80, -20, 120, 10),))
    assert FENCE.mass - cut.mass == pytest.approx(40 * 30 * 12 * STEEL * 1e-9, abs=1e-4)
    with pytest.raises(ValueError, match="no steel left at the edge of an opening"):
        with_openings(FENCE, 0, (box(80, -50, 120, 10),))
    with pytest.raises(ValueError, match="no steel left at the edge of hole h1"):
        with_openings(FENCE, 0, (box(-10, -20, 30, 10),))


def test_holes_are_changed_and_what_cannot_be_typed_stays() -> None:
    shank = Shank("own", (100, 0), 15)
    piece = structs.replace(FENCE, mounts=(*FENCE.mounts, shank))
    one = with_holes(piece, FENCE.mounts, (RoundHole("h1", (10, 0), 16),))
    assert one.mounts == (RoundHole("h1", (10, 0), 16), shank)
    with pytest.raises(ValueError, match="no steel left at the edge of hole h1"):
        with_holes(piece, FENCE.mounts, (RoundHole("h1", (-19, 0), 16),))


def test_a_face_on_the_edge_of_an_opening_is_sound() -> None:
    inside = Face("in", (20, 200), (20, 20), 0, 10)
    assert unsound(structs.replace(RIM, faces=(inside,))) is None
    off = Face("in", (25, 200), (25, 20), 0, 10)
    assert unsound(structs.replace(RIM, faces=(off,))) == (
        "Face in would not lie on the edge of the piece."
    )


def test_corners_openings_and_holes_change_together_where_one_by_one_they_cannot() -> None:
    ring, opening = box(500, 0, 800, 60), box(600, 20, 640, 40)
    holes = (RoundHole("hole-1", (520, 30), 16), RoundHole("hole-2", (780, 30), 16))
    with pytest.raises(ValueError, match="no steel left"):
        with_outline(FENCE, 0, ring)
    with pytest.raises(ValueError, match="no steel left"):
        with_holes(FENCE, FENCE.mounts, holes)
    made = with_shape(FENCE, 0, ring, (opening,), holes)
    assert (made.solids[0].outline, made.solids[0].openings) == (ring, (opening,))
    assert made.mounts == holes
    assert made.mass == pytest.approx(mass_of(made), abs=1e-4)
    inside = next(e.key for e in edges(RIM) if e.face.a[0] == 20 and e.face.b[0] == 20)
    moved = with_shape(
        with_faces(RIM, [inside]), 0, box(-20, -20, 320, 220), RIM.solids[0].openings, ()
    )
    assert [face.id for face in moved.faces] == [inside], "a face in an opening that stays"
    with pytest.raises(ValueError, match="no steel left"):
        with_shape(FENCE, 0, ring, (), typed_holes(FENCE.mounts))


def test_a_ticked_edge_is_called_by_where_it_faces() -> None:
    """Its id, edge-7, is nothing that anybody sees on the steel."""
    corners = ((-20, -40), (220, -40), (220, 60), (20, 60), (-20, 20))
    slanted = structs.replace(FENCE, solids=(Solid(corners, 0, 12),))
    for piece, expected in (
        (slanted, ["back", "front", "left", "right", "135°"]),
        (FENCE, [f"{way} {n}" for way in ("back", "left", "right") for n in (1, 2)] + ["front 1"]),
    ):
        every = with_faces(piece, [edge.key for edge in edges(piece)])
        named = [one.label for one in sizes(every) if one.id.startswith("face.edge-")]
        assert sorted(named) == sorted(
            f"{' face '.join(name.split())} from hole" if " " in name else f"{name} face from hole"
            for name in expected
        )
