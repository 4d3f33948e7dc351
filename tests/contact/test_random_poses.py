"""Gaps compared with shapely by another method: how far a strip in front of a face is clear."""

import math
import random
from collections import Counter

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from gridjig.contact.features import features_of
from gridjig.contact.values import TOUCH
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Plate
from gridjig.rack import Point
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import lay, look, polygon, turned
from tests.workshop import TABLE, pin

AT = TABLE.at(Hole(11, 9))


def plan(part: Plate) -> shapely.Polygon:
    return shapely.Polygon(part_ring(part))


def clear_way(a: Point, b: Point, normal: Point, part: Plate) -> float:
    """How far a face from a to b can go along its normal until it meets a part, mm."""
    return clear_way_to(a, b, normal, plan(part))


def clear_way_to(a: Point, b: Point, normal: Point, steel: BaseGeometry) -> float:
    """The least distance along the normal of what is in the strip in front of the face.

    Infinite if nothing is.
    """
    far = (normal[0] * 2000.0, normal[1] * 2000.0)
    strip = shapely.Polygon([a, b, (b[0] + far[0], b[1] + far[1]), (a[0] + far[0], a[1] + far[1])])
    common = steel.intersection(strip)
    spots = shapely.get_coordinates(common)
    if common.area < 1e-9 or not len(spots):
        return math.inf
    return float(min((x - a[0]) * normal[0] + (y - a[1]) * normal[1] for x, y in spots))


def apart_in_height(part: Plate, low: float, high: float) -> bool:
    return min(part.z_high, high) - max(part.z_low, low) <= TOUCH


@pytest.mark.source(
    "library", "shapely 2", "intersection of the part with the strip before the face"
)
@pytest.mark.untraced
def test_the_gap_before_a_face_is_how_far_it_can_go() -> None:
    rng = random.Random(20)
    seen: Counter[str] = Counter()
    for _ in range(1000):
        part = polygon(
            rng, "part", AT[0] + rng.uniform(-120, 120), AT[1] + rng.uniform(-120, 120), 90.0
        )
        stop = turned("s", 11, 9, rng.uniform(-180.0, 180.0))
        stood = PlacedPieces().of(lay(stop, part))["s"]
        (face,) = features_of(stood).faces
        body = shapely.Polygon(stood.solids[0].points)
        if body.intersects(plan(part)):
            seen["in one another"] += 1
            continue
        gap = clear_way(face.a, face.b, face.normal, part)
        found = look(stop, part, within=400.0).pieces["s"]
        if gap == math.inf or apart_in_height(part, 0.0, 30.0):
            slight = [c for c in found.contacts if c.length > 0.2]
            assert slight == []
            seen["nothing"] += 1
            continue
        # If it only brushes past, by less than a contact needs, nothing is claimed.
        if not found.contacts:
            grazed = clear_way(*inner(face.a, face.b, 0.06), face.normal, part)
            assert grazed == math.inf or grazed > gap + 1e-6
            seen["brushed"] += 1
            continue
        best = min(found.contacts, key=lambda c: c.gap)
        inside = clear_way(*inner(face.a, face.b, 0.06), face.normal, part)
        assert gap - 1e-6 <= best.gap <= inside + 1e-6
        seen[best.kind] += 1
        for point in best.points:
            assert shapely.Point(point).distance(plan(part).exterior) < 1e-6
    assert seen["face on corner"] > 24
    assert seen["corner on face"] > 80
    assert seen["nothing"] > 120


def inner(a: Point, b: Point, by: float) -> tuple[Point, Point]:
    """The two ends of a face, moved in."""
    long = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / long * by, (b[1] - a[1]) / long * by
    return (a[0] + ux, a[1] + uy), (b[0] - ux, b[1] - uy)


@pytest.mark.source("library", "shapely 2", "distance of a point from a polygon")
@pytest.mark.untraced
def test_the_gap_at_a_round_is_its_distance_less_its_radius() -> None:
    rng = random.Random(21)
    seen: Counter[str] = Counter()
    for _ in range(1000):
        part = polygon(
            rng, "part", AT[0] + rng.uniform(-120, 120), AT[1] + rng.uniform(-120, 120), 90.0
        )
        found = look(pin("p", 11, 9), part, within=400.0).pieces["p"]
        far = plan(part).distance(shapely.Point(AT))
        if apart_in_height(part, 0.0, 40.0):
            assert found.contacts == ()
            seen["past"] += 1
            continue
        assert found.contacts
        best = min(found.contacts, key=lambda c: c.gap)
        if far > 0.0:
            assert best.gap == pytest.approx(far - 15.0, abs=1e-6)
            seen[best.kind] += 1
            if far < 11.0:  # below it the overlap is always more than a nick
                assert best.means == "overlap"
        else:
            deep = plan(part).exterior.distance(shapely.Point(AT))
            assert max(c.gap for c in found.contacts) == pytest.approx(-deep - 15.0, abs=1e-6)
            seen["centre inside"] += 1
    assert min(seen[k] for k in ("round on face", "round on corner", "past", "centre inside")) > 40


@pytest.mark.source("method", "symmetry: contacts move and turn with the whole set-up")
@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, -90.0])
def test_a_contact_turns_with_everything(turn: float) -> None:
    x, y = AT
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    dx, dy = -25.0, 12.0 + 0.013 * 25.4
    corners = ((0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (0.0, 40.0))
    part = Plate(
        id="t", name="t", corners=corners, x=x + c * dx - s * dy, y=y + s * dx + c * dy, turn=turn
    )
    (contact,) = look(turned("s", 11, 9, turn), part).pieces["s"].contacts
    assert contact.means == "gap"
    assert contact.gap == pytest.approx(0.3302)
    assert contact.length == pytest.approx(50.0)
    assert contact.normal[:2] == pytest.approx((s, -c), abs=1e-12)
    assert (contact.face.kind, contact.face.number) == ("side", 0)
