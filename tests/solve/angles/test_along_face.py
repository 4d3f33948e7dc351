"""Pins packed out to a member's face as it lies, and the cut plate for it."""

import math
from itertools import combinations, product

import pytest
import shapely
from msgspec import structs

from gridjig.contact.moving import astride
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.geometry.lines import line_angle
from gridjig.model import Hole, Table
from gridjig.model.labels import address
from gridjig.rack import Piece, Point, Rack
from gridjig.solve.angles.answers import (
    AlongFace,
    AngleAnswer,
    AngleLimits,
    AngleWay,
    NoEqualPins,
    NoneOfWay,
    PinSide,
)
from gridjig.solve.angles.faults import AngleFault, AskedWrong
from gridjig.solve.angles.finder import answer_placements, answer_places, find_angles
from gridjig.solve.angles.plate import edge_error
from gridjig.solve.angles.wanted import as_edge, read_wanted
from gridjig.solve.placed.solver import solve_placement
from tests.anglekit import INCH, apart, body, grid_table, rack_of, shim

TABLE = ready_tables()["48x48-3/4"]
RACK = starter_racks()["inch-3-4"]
STRUT = "a strut at 37.5 degrees on a 48 in table, worked by hand: holes and gaps"


def at(x: float, y: float) -> Point:
    """A point of the strut bracket on the table, in inches from its corner."""
    return ((9.5 + x) * INCH, (9.5 + y) * INCH)


LOWER = (at(7.232, 2.0), at(22.3236, 13.5802))
UPPER = (at(4.768, 2.0), at(21.4105, 14.7702))


PINS = rack_of(*(p for p in RACK.pieces if p.id == "pin-1" or p.kind == "shim"))
"""One size of pins, of one inch, with all the shims of the starter rack."""


def held(
    face: tuple[Point, Point],
    side: PinSide,
    rack: Rack = PINS,
    ways: tuple[AngleWay, ...] = ("pins", "shims"),
    z_low: float = 0.0,
    z_high: float = 60.0,
) -> tuple[AngleAnswer, ...]:
    half = INCH / 2
    stretch = ((half, math.dist(*face) - half),)
    along = AlongFace(*face, side, most=50.0, stretches=stretch, z_low=z_low, z_high=z_high)
    limits = AngleLimits(ways=ways, along=along, leg=20 * INCH, top=600)
    return find_angles(TABLE, rack, read_wanted("37.5"), limits).ranked


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
    answers = held(face, side)
    answer = next(a for a in answers if tuple(address(TABLE, h) for h in a.holes) == names)
    assert answer.gap_mm == pytest.approx(max(gaps) * INCH, abs=3e-3)
    for pack, left, gap in zip(answer.shims_mm, answer.open_mm, gaps, strict=True):
        assert (pack + left) / INCH == pytest.approx(gap, abs=1e-4)
        assert 0.0 <= left <= 2.0  # rounded down: never into the work
    assert answer.fixed
    assert answer_places(TABLE, answer) == (answer.holes,)
    assert answer_places(TABLE, answer, frozenset({answer.holes[1]})) == ()


@pytest.mark.source("method", "plane geometry: a line that touches two discs")
def test_every_packed_line_touches_its_pins() -> None:
    answers = held(LOWER, "right")
    assert len(answers) > 15
    for answer in answers:
        (x1, y1), (x2, y2) = (TABLE.at(h) for h in answer.holes)
        t = math.radians(answer.angle_deg)
        nx, ny = -math.sin(t), math.cos(t)
        r1, r2 = answer.line_mm
        assert (x2 - x1) * nx + (y2 - y1) * ny == pytest.approx(r1 - r2, abs=1e-6)
        for size, standing in zip(answer.shims_mm, answer.standing, strict=True):
            assert size == pytest.approx(sum(PINS.piece(p).thickness for p in standing.packing))
        assert answer.on_rack  # no shim is promised to both pins
        same = answer.shims_mm[0] == pytest.approx(answer.shims_mm[1])
        assert answer.way == ("pins" if same else "shims")


KINDS = ((2.0, 3), (3.0, 1), (8.0, 2), (20.0, 2))
COUNTS = [c for c in product(*(range(n + 1) for _, n in KINDS)) if sum(c) <= 3]


def thick(counts: tuple[int, ...]) -> float:
    return sum(n * t for n, (t, _) in zip(counts, KINDS, strict=True))


def thickest(gap: float, taken: tuple[int, ...] = (0, 0, 0, 0)) -> tuple[int, ...]:
    """By trying every packing: the thickest that goes in, of what is left."""
    fits = (
        c
        for c in COUNTS
        if thick(c) <= gap + 1e-6
        and all(a + b <= n for a, b, (_, n) in zip(c, taken, KINDS, strict=True))
    )
    return max(fits, key=lambda c: (thick(c), -sum(c)))


def by_trying(
    table: Table, along: AlongFace, pins: tuple[float, ...], base_to: float
) -> list[tuple[object, ...]]:
    """Every two pins in every two holes with every packing: for each two holes the best, as (how
    good, gap, error at the end in hundredths of a mm, base), in order.
    """
    (ax, ay), (bx, by) = along.a, along.b
    length = math.dist(along.a, along.b)
    c, s = (bx - ax) / length, (by - ay) / length
    stood = []
    for col, row in product(range(table.columns), range(table.rows)):
        x, y = table.at(Hole(col, row))
        off, on = (x - ax) * s - (y - ay) * c, (x - ax) * c + (y - ay) * s
        if 0 <= off <= along.most and 0 <= on <= length - 30:
            stood += [(Hole(col, row), off - d / 2, d) for d in pins if off - d / 2 >= -0.05]
    best: dict[frozenset[Hole], tuple[object, ...]] = {}
    for (h1, g1, d1), (h2, g2, d2) in combinations(stood, 2):
        base = math.dist(table.at(h1), table.at(h2))
        if h1 == h2 or base <= (d1 + d2) / 2 + 1e-3 or base > base_to:
            continue
        ways = [(thickest(g1), thickest(g2, thickest(g1)))]
        ways.append((thickest(g1, thickest(g2)), thickest(g2)))
        shared = [(thick(a), thick(b)) for a, b in ways]
        e1, e2 = max(shared, key=lambda e: (round(sum(e), 6), -abs(g1 - e[0] - g2 + e[1])))
        left = (g1 - e1, g2 - e2)
        if max(left) > 2.0:
            continue
        # The line touches both packed pins: its distance from the face differs by what is open.
        across = math.asin(((g2 + d2 / 2) - (g1 + d1 / 2)) / base)
        packed = math.asin(((d2 / 2 + e2) - (d1 / 2 + e1)) / base)
        error = abs(math.degrees(packed - across))
        limit = 90.0  # class D up to 400 mm of leg
        play = math.degrees(math.asin(min(1.0, 0.1 / base))) * 60
        off = error * 60
        level = 2 if off > limit else int(off + play > limit or max(left) > 0.5)
        rank = (
            level,
            round(max(g1, g2, 0.0) / 0.01),
            round(300.0 * math.tan(math.radians(error)) / 0.01),
            round(-base, 3),
        )
        key = frozenset((h1, h2))
        best[key] = min(best.get(key, rank), rank)
    return sorted(best.values())


@pytest.mark.source("method", "brute force: every two holes, every two pins, every packing")
@pytest.mark.parametrize("pins", [(25.0,), (25.0, 20.0)])
@pytest.mark.parametrize(
    ("start", "end"), [((40.0, 60.0), (420.0, 300.0)), ((430.0, 120.0), (60.0, 260.0))]
)
def test_the_pins_beside_a_face_are_complete_and_sorted(
    start: Point, end: Point, pins: tuple[float, ...]
) -> None:
    table = grid_table(9, 8)
    rack = rack_of(*(body(d) for d in pins), *(shim(t, n) for t, n in KINDS))
    length = math.dist(start, end)
    along = AlongFace(start, end, "right", most=110.0, stretches=((0.0, length - 30.0),))
    limits = AngleLimits(
        ways=("pins", "shims", "two sizes"), along=along, top=5000, shims_at_most=3, leg=300.0
    )
    found = find_angles(table, rack, as_edge(line_angle(start, end)), limits)
    expected = by_trying(table, along, pins, math.inf)
    assert len(found.ranked) == len(expected) > 10
    ours = [
        (
            level(a),
            round((a.gap_mm or 0.0) / 0.01),
            round(abs(a.error_mm) / 0.01),
            round(-a.base_mm, 3),
        )
        for a in found.ranked
    ]
    assert ours == sorted(ours)
    assert ours == expected


def level(answer: AngleAnswer) -> int:
    if answer.verdict.finest is None:
        return 2
    return int(answer.verdict.with_play is None or not answer.reaches)


@pytest.mark.source("method", "shapely: how far each piece and its packing is from the work")
def test_what_is_listed_stays_as_far_from_the_work_as_it_says() -> None:
    (ax, ay), (bx, by) = LOWER
    part = shapely.Polygon([LOWER[0], LOWER[1], (bx - 30, by + 39), (ax - 30, ay + 39)])
    answers = held(LOWER, "right", RACK, ("pins", "shims", "two sizes"))
    assert {a.way for a in answers} >= {"shims", "two sizes"}
    for answer in answers:
        ids = [f"x{k}" for k in range(len(answer.standing))]
        for placement, left in zip(answer_placements(answer, ids), answer.open_mm, strict=True):
            here = solve_placement(TABLE, RACK, placement)
            assert here.fault is None
            away = [part.distance(shapely.Polygon(solid.points)) for solid in here.solids]
            rounds = [part.distance(shapely.Point(r.centre)) - r.radius for r in here.rounds]
            assert min(*away, *rounds, 1e9) == pytest.approx(max(left, 0.0), abs=0.06)
            depth = [part.intersection(shapely.Polygon(s.points)).area for s in here.solids]
            assert max(depth) < 1.0  # mm2: within half a tenth along the face


@pytest.mark.source("method", "pins astride a member 2 in wide, 10 in apart: 17.457603 degrees")
def test_two_pins_astride_a_member() -> None:
    table = grid_table(24, 24, 10 * INCH / 5)
    lean = 17.457603
    # Pins of one inch in L12 and Q12, 10 in apart: the member between them leans back by that.
    x1, y1 = table.at(Hole(11, 11))
    t = math.radians(-lean)
    c, s = math.cos(t), math.sin(t)
    nx, ny = s, -c  # out of the face, to the right of the way along it
    foot = (x1 - nx * INCH / 2, y1 - ny * INCH / 2)
    a = (foot[0] - c * 200, foot[1] - s * 200)
    b = (foot[0] + c * 400, foot[1] + s * 400)
    long = ((0.0, 600.0),)
    along = AlongFace(a, b, "right", most=60.0, stretches=long, width=2 * INCH, beyond=long)
    limits = AngleLimits(ways=("astride",), along=along, leg=600.0, top=500)
    rack = rack_of(body(INCH), *PINS.shims)
    found = find_angles(table, rack, as_edge(-lean), limits).ranked
    assert len(found) > 3
    best = next(one for one in found if set(one.holes) == {Hole(11, 11), Hole(16, 11)})
    assert best.error_arcmin == pytest.approx(0.0, abs=0.01)
    assert best.gap_mm == pytest.approx(0.0, abs=1e-3)
    assert best.base_mm == pytest.approx(10 * INCH)
    for one in found:
        p, q = (table.at(hole) for hole in one.holes)
        radii = [INCH / 2 + packed for packed in one.shims_mm]
        both = astride(p, q, radii[0], radii[1], 2 * INCH)
        assert both is not None
        assert min(apart(way, one.angle_deg) for way in both) < 1e-6
    plate = structs.replace(limits, along=structs.replace(along, width=0.0, beyond=()))
    none = find_angles(table, rack, as_edge(-lean), plate)
    assert none.ranked == ()
    assert NoneOfWay("astride", holes=True) in none.notes
    bare = AngleLimits(ways=("astride",), leg=600.0)
    with pytest.raises(AngleFault) as fault:
        find_angles(table, rack, as_edge(30.0), bare)
    assert fault.value.reason == AskedWrong("no face chosen")


def test_a_pin_that_is_too_low_for_the_face_does_not_hold_it() -> None:
    assert held(LOWER, "right", z_low=10.0, z_high=60.0)
    assert not held(LOWER, "right", z_low=400.0, z_high=450.0)


def test_nothing_by_two_equal_pins_within_the_class_is_said_with_the_nearest() -> None:
    along = AlongFace(*LOWER, side="right", most=50.0)
    limits = AngleLimits(along=along, leg=20 * INCH, base_to=18 * INCH, angle_class="B")
    found = find_angles(TABLE, PINS, read_wanted("37.5"), limits)
    (note,) = (n for n in found.notes if isinstance(n, NoEqualPins))
    assert note.asked == "B"
    assert note.nearest_arcmin == pytest.approx(-37.8, abs=0.05)
    right, back = note.steps
    off = math.degrees(math.atan2(back, right)) - 37.5
    assert off * 60 == pytest.approx(note.nearest_arcmin, abs=1e-6)
    assert all(answer.verdict.meets("B") for answer in found.ranked)
    assert found.within


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
