"""The room for a torch at a seam: against swept spheres, sharp corners, pieces in the way."""

import math
import random

import numpy as np
import pytest
import shapely
from msgspec import structs

from gridjig.contact.shapes import Room, placed_part, rooms_of
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Shop
from gridjig.proof.access.cone import distances, obstacles
from gridjig.proof.access.findings import access_findings
from gridjig.proof.access.report import Access, access
from gridjig.proof.access.values import AccessReport, JointAccess
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import layout, moved, piece_named, without
from tests.trials.keyed import KEYED, part_named
from tests.trials.layout import single
from tests.workshop import laid, plate


def report(job: Job) -> AccessReport:
    return access(job, PlacedPieces().of(job))


def joint(job: Job, one: str, other: str) -> JointAccess:
    ids = {part_named(job, one), part_named(job, other)}
    return next(j for j in report(job).joints if {j.a, j.b} == ids)


def prism(points: list[tuple[float, float]], low: float, high: float) -> Room:
    return Room(tuple(points), bounds(points), low, high)


@pytest.mark.source("library", "shapely 2.1", "distance of a point from a polygon")
def test_distances_from_prisms_are_those_of_their_plans_and_heights() -> None:
    rng = random.Random(3)
    rooms, plans = [], []
    for _ in range(12):
        x, y, n, r = rng.uniform(0, 200), rng.uniform(0, 200), rng.choice((3, 4, 5, 64)), 25.0
        at = [2 * math.pi * k / n + rng.random() * 0 for k in range(n)]
        ring = [(x + r * math.cos(t), y + r * math.sin(t)) for t in at]
        rooms.append(prism(ring, rng.uniform(0, 20), rng.uniform(30, 60)))
        plans.append(shapely.Polygon(ring))
    points = np.array([[rng.uniform(-50, 250) for _ in range(2)] + [rng.uniform(0, 90)]
                       for _ in range(60)])  # fmt: skip
    found = distances(points, obstacles(rooms))
    assert found.shape == (60, 13)
    for (x, y, z), row in zip(points.tolist(), found.tolist(), strict=True):
        assert row[-1] == pytest.approx(z)
        for room, plan, far in zip(rooms, plans, row, strict=False):
            flat = plan.distance(shapely.Point(x, y))
            off = max(room.z_low - z, z - room.z_high, 0.0)
            assert far == pytest.approx(math.hypot(flat, off), abs=0.05)  # a disc is round


@pytest.mark.source(
    "method", "arithmetic: a cone in a corner of T is free up to a half angle of T/2"
)
def test_the_corner_itself_sets_the_room() -> None:
    """In the open corner of 45 degrees a cone of 22.5 degrees fits, less for the lean it needs."""
    job = without(layout("T04"), "Clamp U", "Clamp H", "Clamp K")
    for other in ("U upright", "H arm"):
        inner = joint(job, other, "K brace")
        room = min(side.room for side in inner.sides if side.kind == "upright")
        assert room < 100.0 * math.tan(math.radians(22.5)) + 1e-6
        assert room > 20.0


def test_a_piece_in_the_corner_is_named_and_its_way_out_told() -> None:
    job = KEYED["T01"]()
    free = joint(job, "A bottom", "C left")
    assert {side.name: side.state for side in free.sides} == {
        "top": "free", "upright 1": "free", "upright 2": "free", "underside": "turned over",
    }  # fmt: skip
    crowded = single(job, "pin-1", "shank", "H8")
    inner = joint(crowded, "A bottom", "C left")
    (blocked,) = [side for side in inner.sides if side.state in ("blocked", "tight")]
    assert blocked.blocker == crowded.placements[0].id
    assert blocked.kind == "upright"
    (said,) = [f for f in access_findings(crowded, report(crowded)) if f.id.startswith("access/")]
    assert "Round pin" in said.what
    assert crowded.placements[0].id in said.ids


def test_a_smaller_torch_gets_in() -> None:
    job = single(KEYED["T01"](), "pin-1", "shank", "H8")
    small = structs.replace(job, shop=Shop(torch_radius=5.0, torch_length=30.0))
    assert {side.state for side in joint(small, "A bottom", "C left").sides} == {
        "free", "turned over",
    }  # fmt: skip


@pytest.mark.source("method", "exact distances of the outlines of all pieces from all seams")
def test_pieces_beside_a_weld_are_told_with_their_distance() -> None:
    job = layout("T10")
    placed = PlacedPieces().of(job)
    near = {(j.id, one.piece): one.distance for j in report(job).joints for one in j.near}
    name = piece_named(job, "R1 end")
    assert [piece for _, piece in near] == [name]
    (far,) = near.values()
    seam = next(j for j in report(job).joints if j.near)
    plan = shapely.union_all([room.plan for room in rooms_of(placed[name]).every])
    ends = [shapely.Point(side.at[:2]) for side in seam.sides if side.welded]
    assert far <= min(plan.distance(end) for end in ends) + 1e-6
    assert far == pytest.approx(0.75 * 25.4)


def test_sharp_inside_corners_are_told() -> None:
    job = layout("T06")
    found = {f.id: f for f in access_findings(job, report(job))}
    (sharp,) = [f for name, f in found.items() if name.startswith("sharp/")]
    assert sharp.value == pytest.approx(37.5)
    small = structs.replace(
        job, parts=tuple(structs.replace(one, name=one.name.lower()) for one in job.parts)
    )
    (told,) = [f for f in access_findings(small, report(small)) if f.id.startswith("sharp/")]
    assert told.what[0].isupper(), "a sentence begins with a capital, whatever a part is called"
    assert sharp.limit == 60.0
    assert "EN 1993-1-8" in sharp.source
    square = layout("T01")
    assert not [f for f in access_findings(square, report(square)) if f.id.startswith("sharp/")]


def test_the_underside_waits_until_it_is_turned_over() -> None:
    job = layout("T01")
    found = report(job)
    for order in (found.joints, found.joints[::-1]):
        every = access_findings(job, structs.replace(found, joints=order))
        (turned,) = [f for f in every if f.id.startswith("turn/")]
        assert turned.level == "note"
        assert "4 joints: J1, J2, J3, J4." in turned.what


def test_what_is_kept_is_what_would_be_found_anew() -> None:
    job, kept, placed = layout("T08"), Access(), PlacedPieces()
    kept.of(job, placed.of(job))
    steps = [moved(job, "Pin I20", 1, 0), without(job, "Pin Q19"), moved(job, "LL foot", 0, 1), job]
    seen = set()
    for step in steps:
        found = kept.of(step, placed.of(step)).joints
        assert found == report(step).joints
        seen.add(found)
    assert len(seen) >= 3


def test_room_is_measured_from_what_stands_there() -> None:
    """The rooms of a part are those that conflicts are measured with."""
    part = layout("T01").parts[0]
    (room,) = rooms_of(placed_part(part)).every
    assert distances(np.array([[0.0, 0.0, 10.0]]), obstacles([room]))[0, 0] > 100.0


def test_a_stretch_of_hundredths_is_a_side_with_a_place() -> None:
    """The tip of a pointed plate is flush with the edge of the one below for 0.03 mm."""
    below = structs.replace(plate("below", 100, 100, 100, 100), z_high=10.0)
    pointed = ((20.0, 20.0), (100.0, 49.985), (100.0, 50.015), (20.0, 80.0))
    high = {"z_low": 10.0, "z_high": 20.0}
    above = structs.replace(below, id="above", name="above", corners=pointed, **high)
    [only] = report(laid(below, above)).joints
    found = {side.name: side for side in only.sides}
    assert set(found) == {"top", "flush"}
    assert found["flush"].at == pytest.approx((200.0, 150.0, 10.0), abs=0.05)
