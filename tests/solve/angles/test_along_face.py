"""Pins packed out to a member's face as it lies, and the cut plate for it."""

import math
from itertools import product

import pytest
import shapely
from msgspec.structs import replace

from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.model import Hole
from gridjig.model.labels import address
from gridjig.rack import Piece, Point
from gridjig.solve.angles.answers import AlongFace, AngleAnswer, AngleLimits, PinSide
from gridjig.solve.angles.finder import answer_places, find_angles
from gridjig.solve.angles.plate import edge_error
from gridjig.solve.angles.task import off_face
from gridjig.solve.angles.wanted import as_edge, read_wanted
from tests.anglekit import INCH, apart, body, grid_table, rack_of, shim

TABLE = ready_tables()["48x48-3/4"]
RACK = starter_racks()["inch-3-4"]
STRUT = "a strut at 37.5 degrees on a 48 in table, worked by hand: holes and gaps"


def at(x: float, y: float) -> Point:
    """A point of the strut bracket on the table, in inches from its corner."""
    return ((9.5 + x) * INCH, (9.5 + y) * INCH)


LOWER = (at(7.232, 2.0), at(22.3236, 13.5802))
UPPER = (at(4.768, 2.0), at(21.4105, 14.7702))


def pack_of(
    face: tuple[Point, Point], side: PinSide, most: float = 50.0
) -> tuple[AngleAnswer, ...]:
    half = INCH / 2
    along = AlongFace(
        face[0], face[1], side, most=most, stretches=((half, math.dist(*face) - half),)
    )
    limits = AngleLimits(ways=("shims",), along=along, leg=20 * INCH, top=60)
    return find_angles(TABLE, RACK, read_wanted("37.5"), limits).ranked


@pytest.mark.source("method", STRUT)
@pytest.mark.parametrize(
    ("face", "side", "names", "gaps"),
    [
        (LOWER, "right", ("L8", "P11"), (0.5390, 0.6489)),
        (LOWER[::-1], "left", ("L8", "P11"), (0.5390, 0.6489)),
        (UPPER, "left", ("I8", "N12"), (0.6136, 0.8728)),
    ],
)
def test_packing_of_both_pins_to_the_face(
    face: tuple[Point, Point], side: PinSide, names: tuple[str, str], gaps: tuple[float, float]
) -> None:
    found = pack_of(face, side)
    answer = next(a for a in found if tuple(address(TABLE, h) for h in a.holes) == names)
    face_off = off_face(TABLE, AlongFace(*face, side=side), answer.holes, answer.line_mm)
    for pack, off, gap in zip(answer.shims_mm, face_off, gaps, strict=True):
        assert (pack - off) / INCH == pytest.approx(gap, abs=1e-4)
        assert abs(off) <= 0.5
    assert answer.fixed
    assert answer_places(TABLE, answer) == (answer.holes,)
    assert answer_places(TABLE, answer, frozenset({answer.holes[1]})) == ()


@pytest.mark.source("method", "plane geometry: a line that touches two discs")
def test_every_packed_line_touches_its_pins() -> None:
    answers = pack_of(LOWER, "right")
    assert len(answers) == 15
    for answer in answers:
        (x1, y1), (x2, y2) = (TABLE.at(h) for h in answer.holes)
        t = math.radians(answer.angle_deg)
        nx, ny = -math.sin(t), math.cos(t)
        r1, r2 = answer.line_mm
        assert (x2 - x1) * nx + (y2 - y1) * ny == pytest.approx(r1 - r2, abs=1e-6)
        for size, standing in zip(answer.shims_mm, answer.standing, strict=True):
            assert size == pytest.approx(sum(RACK.piece(p).thickness for p in standing.packing))
        assert len(answer.takes) >= 1
        assert answer.on_rack  # no shim is promised to both pins


@pytest.mark.source("method", "brute force over all hole pairs")
@pytest.mark.parametrize(
    ("start", "end"), [((40.0, 60.0), (420.0, 300.0)), ((430.0, 120.0), (60.0, 260.0))]
)
def test_the_packed_pairs_are_complete(start: Point, end: Point) -> None:
    table = grid_table(9, 8)
    rack = rack_of(body(25.0), shim(2.0, 4), shim(3.0, 4), shim(8.0, 4), shim(20.0, 4))
    length = math.dist(start, end)
    along = AlongFace(start, end, "right", most=200.0, stretches=((0.0, length - 30.0),))
    c, s = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    angle = math.degrees(math.atan2(s, c)) % 180.0
    limits = AngleLimits(ways=("shims",), along=along, top=500, shims_at_most=3, leg=300.0)
    sums = {
        a * 2.0 + b * 3.0 + c * 8.0 + d * 20.0
        for a, b, c, d in product(range(3), repeat=4)
        if a + b + c + d <= 3
    }
    sums = {s for s in sums if s <= 50.0}
    usable = []
    for col in range(9):
        for row in range(8):
            x, y = table.at(Hole(col, row))
            dx, dy = x - start[0], y - start[1]
            off, on = dx * s - dy * c, dx * c + dy * s
            if 0 <= off <= 200 and 0 <= on <= length - 30:
                best = min(sums, key=lambda v, g=off - 12.5: (abs(v - g), v))  # type: ignore[misc]
                if abs(best - (off - 12.5)) <= 0.5:
                    usable.append((x, y, best))
    expected = []
    for i, (x1, y1, e1) in enumerate(usable):
        for x2, y2, e2 in usable[i + 1 :]:
            base = math.hypot(x2 - x1, y2 - y1)
            turn = math.degrees(math.atan2(y2 - y1, x2 - x1))
            forward = (x2 - x1) * c + (y2 - y1) * s >= 0
            more = math.degrees(math.asin((e2 - e1) / base))
            line = turn + (more if forward else -more)
            expected.append((round(apart(line, angle), 5), math.remainder(line - angle, 180.0)))
    found = find_angles(table, rack, as_edge(angle), limits)
    assert len(found.ranked) == len(expected) > 5
    errors = sorted((round(abs(a.error_arcmin) / 60, 5), a.error_arcmin / 60) for a in found.ranked)
    assert [e for _, e in errors] == pytest.approx([e for _, e in sorted(expected)], abs=2e-6)
    for answer in found.ranked:
        assert answer.places == 1
        (x1, y1), (x2, y2) = (table.at(hole) for hole in answer.holes)
        t = math.radians(angle)
        assert (x2 - x1) * math.cos(t) + (y2 - y1) * math.sin(t) >= 0.0


def test_along_a_face_other_ways_tell_how_far_the_face_has_to_move() -> None:
    along = AlongFace(*LOWER, side="right", most=40.0)
    limits = AngleLimits(along=along, leg=500.0, top=20)
    found = find_angles(TABLE, RACK, read_wanted("37.5"), limits)
    pins = next(a for a in found.nearest if a.way == "pins")
    off = off_face(TABLE, along, pins.holes, pins.line_mm)
    assert len(off) == 2
    assert max(off) <= 15.875 + 1e-6
    assert found.looked_at.hole_pairs < 200
    bare = rack_of()
    none = find_angles(TABLE, bare, read_wanted("37.5"), replace(limits, ways=("shims", "pins")))
    assert [a.way for a in none.nearest] == ["pins"]
    assert off_face(TABLE, None, pins.holes, pins.line_mm) == ()


@pytest.mark.source(
    "method", "one-off plates: an edge whose ends are out by 0.3 mm over 305 mm, 6.8 arc-minutes"
)
def test_how_far_a_cut_edge_can_be_out() -> None:
    assert edge_error(305.0) * 60 == pytest.approx(6.8, abs=0.05)
    assert edge_error(100.0) * 60 == pytest.approx(math.degrees(0.5 / 100) * 60, rel=1e-3)


def test_the_cut_plate_stands_on_two_holes_far_apart_close_to_the_line() -> None:
    bolt = Piece(id="bolt", name="bolt", kind="locking pin", pin_diameter=15.9, owned=2)
    table = grid_table(24, 24)
    plate = find_angles(table, rack_of(bolt), as_edge(37.5), AngleLimits(ways=("plate",))).ranked[0]
    assert plate.error_arcmin == 0.0
    assert plate.base_mm == pytest.approx(1000.0)
    assert plate.steps == (16, 12)
    (x1, y1), (x2, y2) = (table.at(h) for h in plate.holes)
    t = math.radians(37.5)
    aside = (y2 - y1) * math.cos(t) - (x2 - x1) * math.sin(t)
    near, far = plate.line_mm
    assert near - far == pytest.approx(aside)
    assert min(plate.line_mm) == pytest.approx(1.5 * 15.9)
    assert [(k.piece, k.count) for k in plate.takes] == [("bolt", 2)]
    left = find_angles(
        table, rack_of(bolt), as_edge(37.5), AngleLimits(ways=("plate",), side="left")
    ).ranked[0]
    assert left.line_mm[1] - left.line_mm[0] == pytest.approx(aside)
    used = AngleLimits(ways=("plate",), only_left=True, used=(("bolt", 1),))
    assert find_angles(table, rack_of(bolt), as_edge(37.5), used).ranked == ()
    short = AngleLimits(ways=("plate",), base_to=34.0)
    assert find_angles(grid_table(9, 9, 30.0), rack_of(bolt), as_edge(37.5), short).ranked == ()
    steep = AngleLimits(ways=("plate",), base_from=40.0, base_to=51.0)
    assert find_angles(table, rack_of(), as_edge(45.0), steep).ranked[0].steps in ((1, 0), (0, 1))


@pytest.mark.source(
    "method", "one-off plates: distances 3.8432 and 6.2782 in from holes 4 in apart at 37.5"
)
@pytest.mark.parametrize("side", ["right", "left"])
def test_a_plate_can_be_cut_from_its_figures(side: PinSide) -> None:
    table = grid_table(24, 24, 2 * INCH)
    (x1, y1), (x2, y2) = table.at(Hole(12, 6)), table.at(Hole(14, 6))
    region = ((x1, y1 - 1), (x2, y2 - 1), (x2, y2 + 1), (x1, y1 + 1))
    limits = AngleLimits(ways=("plate",), region=region, side=side, base_from=100.0)
    answer = find_angles(table, rack_of(), read_wanted("37.5"), limits).ranked[0]
    plate = answer.plate
    assert plate is not None
    assert plate.holes[0] == (0.0, 0.0)
    assert plate.holes[1] == pytest.approx((4 * INCH, 0.0))
    assert plate.hole_diameter == pytest.approx(16.2)
    far = 1.0 if side == "right" else -1.0
    assert (answer.line_mm[1] - answer.line_mm[0]) / INCH * far == pytest.approx(
        6.2782 - 3.8432, abs=1e-4
    )
    ring, edge = shapely.Polygon(plate.corners), shapely.LineString(plate.corners[:2])
    (ax, ay), (bx, by) = plate.corners[:2]
    assert math.degrees(math.atan2(by - ay, bx - ax)) % 180 == pytest.approx(37.5)
    assert shapely.LinearRing(plate.corners).is_ccw
    for hole, line in zip(plate.holes, answer.line_mm, strict=True):
        spot = shapely.Point(hole)
        assert edge.distance(spot) == pytest.approx(line)
        # There is as much steel all round as between the edge and the nearest hole.
        assert ring.exterior.distance(spot) >= min(answer.line_mm) - 1e-9
        assert ring.contains(spot)
