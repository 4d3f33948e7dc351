"""What the angle finder shows on the sheet lies where the answer says."""

import math

import pytest
from msgspec.structs import replace

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.geometry.display import Arc, Circle, Polyline, TextLabel
from gridjig.model import Hole
from gridjig.sheets.drawings.angles import draw_answer, draw_reached, draw_through, line_of
from gridjig.solve.angles.answers import WAYS, AlongFace, AngleAnswer, AngleLimits
from gridjig.solve.angles.finder import answer_placements, faced, find_angles
from gridjig.solve.angles.wanted import as_edge
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.reach.reach import reach
from gridjig.units import Display
from tests import workshop

TABLE = ready_tables()["48x48-3/4"]
RACK = rack_for(TABLE)
MM = Display(unit="millimetres")


def answers(angle: float, limits: AngleLimits) -> tuple[AngleAnswer, ...]:
    return find_angles(TABLE, RACK, as_edge(angle), limits).nearest


ANYWHERE = [way for way in WAYS if way != "astride"]
"""The ways that need no member."""


def away(a: tuple[float, float], b: tuple[float, float], p: tuple[float, float]) -> float:
    """Distance of a point from the line through two, by the cross product."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return abs((p[0] - a[0]) * dy - (p[1] - a[1]) * dx) / math.hypot(dx, dy)


@pytest.mark.source("method", "cross product: distance of the drawn line from each hole")
@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize("angle", [0.0, 37.5, 90.0, 142.5, 179.0])
def test_the_line_passes_the_holes_as_the_answer_says(angle: float, side: str) -> None:
    limits = AngleLimits(leg=600.0, base_to=900.0, side=side)  # type: ignore[arg-type]
    found = answers(angle, limits)
    assert [answer.way for answer in found] == ANYWHERE  # one of each
    for answer in found:
        ids = [f"x{k}" for k in range(len(answer.standing))]
        placed_pieces = [solve_placement(TABLE, RACK, p) for p in answer_placements(answer, ids)]
        a, b = line_of(TABLE, answer, answer.holes, placed_pieces, limits)
        on = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        assert abs(math.remainder(on - answer.angle_deg, 180.0)) < 1e-6
        for hole, off in zip(answer.holes, answer.line_mm, strict=False):
            assert away(a, b, TABLE.at(hole)) == pytest.approx(abs(off), abs=1e-6)


@pytest.mark.source("method", "cross product: distance of each pin's packing from the face")
@pytest.mark.parametrize(("backwards", "count"), [(False, 12), (True, 12)])
def test_along_a_face_the_line_is_the_face_whichever_way_it_runs(
    backwards: bool, count: int
) -> None:
    a, b = (300.0, 300.0), (300.0 + 400.0 * math.cos(0.6), 300.0 + 400.0 * math.sin(0.6))
    face = AlongFace(b, a, "right") if backwards else AlongFace(a, b, "right")
    wanted = as_edge(math.degrees(0.6))
    limits = AngleLimits(leg=400.0, base_to=400.0, along=face, ways=("shims",))
    found = find_angles(TABLE, RACK, wanted, limits).ranked
    assert len(found) == count  # backwards the pins stand on the other side of the face
    for answer in found:
        seen = faced(limits, wanted)
        placed_pieces = [
            solve_placement(TABLE, RACK, p) for p in answer_placements(answer, ["x1", "x2"])
        ]
        line = line_of(TABLE, answer, answer.holes, placed_pieces, seen)
        assert len(line) == len(placed_pieces) == 2
        for point in line:
            assert away(a, b, point) < 2.1
        for one in placed_pieces:
            assert one.fault is None
            for solid in one.solids:
                if solid.role == "packing":
                    assert min(away(a, b, p) for p in solid.points) < 2.1


@pytest.mark.parametrize("way", ANYWHERE)
def test_holes_are_ringed_with_their_addresses_and_pieces_ghosted(way: str) -> None:
    limits = AngleLimits(leg=600.0, base_to=900.0, ways=(way,))  # type: ignore[arg-type]
    (answer,) = answers(37.5, limits)
    shapes = draw_answer(TABLE, RACK, answer, answer.holes, limits)
    words = [s.text for s in shapes if isinstance(s, TextLabel)]
    assert any("37" in text or "36" in text for text in words)
    rings = [s for s in shapes if isinstance(s, Circle) and s.role == "selected"]
    assert len(rings) == len(answer.holes)
    assert any(isinstance(s, Polyline) and s.role == "ghost" for s in shapes)


def test_a_plate_lies_on_the_side_of_its_holes_and_holds_them() -> None:
    limits = AngleLimits(leg=600.0, base_to=300.0, ways=("plate",))
    for side in ("right", "left"):
        sided = replace(limits, side=side)
        (answer,) = answers(37.5, sided)
        shapes = draw_answer(TABLE, RACK, answer, answer.holes, sided)
        (plate,) = [s for s in shapes if isinstance(s, Polyline) and s.role == "ghost" and s.closed]
        assert len(answer.holes) == 2
        for hole in answer.holes:
            x, y = TABLE.at(hole)
            crossings = 0
            ring = plate.points
            for k, (bx, by) in enumerate(ring):
                ax, ay = ring[k - 1]
                if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
                    crossings += 1
            assert crossings == 1


def test_two_holes_and_their_line() -> None:
    shapes = draw_through(TABLE, (Hole(0, 0), Hole(4, 3)), 36.87)
    (line,) = [s for s in shapes if isinstance(s, Polyline)]
    assert line.points == (TABLE.at(Hole(0, 0)), TABLE.at(Hole(4, 3)))
    assert {s.text for s in shapes if isinstance(s, TextLabel)} == {"A1", "E4", "36.87°"}


def test_what_an_arm_reaches_and_how_it_would_stand() -> None:
    table, rack = workshop.TABLE, workshop.RACK
    placement = workshop.put("it", "arm", workshop.seat("h", 10, 10), workshop.seat("a", 12, 10))
    every = reach(table, rack, rack.piece("arm"), Hole(10, 10)).angles
    bare = draw_reached(table, rack, placement, every, None, MM)
    assert any(isinstance(s, Arc) for s in bare)
    assert not [s for s in bare if isinstance(s, Circle)]
    shown = draw_reached(table, rack, placement, every, placement, MM)
    assert len([s for s in shown if isinstance(s, Circle) and s.role == "selected"]) == 2
    assert any(isinstance(s, Polyline) and s.role == "selected" for s in shown)
    pin = workshop.put("p", "pin", workshop.seat("p", 3, 3))
    assert draw_reached(table, rack, pin, (), None, MM)
