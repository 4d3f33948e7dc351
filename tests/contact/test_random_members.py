"""Gaps to bars of every section, compared with slices of the section at each height."""

import math
import random
from collections import Counter

import pytest
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from gridjig.checks.conflicts import conflict
from gridjig.contact.features import features_of
from gridjig.contact.shapes import placed_part
from gridjig.contact.values import TOUCH
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Member
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import lay, look, member, turned
from tests.contact.test_random_poses import clear_way_to
from tests.workshop import TABLE, pin

AT = TABLE.at(Hole(11, 9))
LEVELS = 13


def strips(bar: Member, z: float) -> list[tuple[float, float]]:
    """From right to left, where the section has its outside at a height; hollows count as full."""
    section = bar.section
    w, h, t = section.width, section.height, section.wall
    low, high = -w / 2, w / 2
    turns = bar.way_up // 90
    boxes: list[tuple[float, float, float, float]]  # right, left, bottom, top
    if section.kind == "angle":
        boxes = [(low, high, -h / 2, -h / 2 + t), (low, low + t, -h / 2, h / 2)]
    elif section.kind == "channel":
        f = section.flange
        boxes = [
            (low, low + t, -h / 2, h / 2),
            (low, high, -h / 2, -h / 2 + f),
            (low, high, h / 2 - f, h / 2),
        ]
    else:
        boxes = [(low, high, -h / 2, h / 2)]
    found = []
    for right, left, bottom, top in boxes:
        corners = [(right, bottom), (left, top)]
        for _ in range(turns):
            corners = [(-up, across) for across, up in corners]
        if bar.mirrored:
            corners = [(-across, up) for across, up in corners]
        (a, c), (b, d) = corners
        right, left, bottom, top = min(a, b), max(a, b), min(c, d), max(c, d)
        up = z - bar.z_low - bar.depth / 2
        if not bottom - 1e-9 <= up <= top + 1e-9:
            continue
        r = section.radius if "tube" in section.kind else 0.0
        if section.kind == "round tube":
            r = w / 2
        inside = min(up - bottom, top - up)
        back = r - math.sqrt(max(r * r - (r - inside) ** 2, 0.0)) if inside < r else 0.0
        if section.kind in ("angle", "channel"):
            back = 0.0
        found.append((right + back, left - back))
    return found


def sliced(bar: Member, z: float) -> BaseGeometry:
    """The steel at a height, its hollows filled."""
    plan = shapely.Polygon(part_ring(bar))
    made = shapely.union_all(
        [
            shapely.box(-500, right, 1000, left)
            for right, left in strips(bar, z)
            if left - right > 1e-9
        ]
    )
    placed = affinity.translate(affinity.rotate(made, bar.turn, origin=(0, 0)), bar.x, bar.y)
    return plan.intersection(placed)


def heights(bar: Member, low: float, high: float) -> list[float]:
    bottom, top = max(bar.z_low, low), min(bar.z_high, high)
    levels = [bottom + (top - bottom) * k / (LEVELS - 1) for k in range(LEVELS)]
    middle = bar.z_low + bar.depth / 2
    return [*levels, *([middle] if bottom <= middle <= top else [])]


@pytest.mark.source(
    "library", "shapely 2", "the section cut at 13 heights and the middle and laid into the plan"
)
@pytest.mark.untraced
def test_the_gap_before_a_face_at_bars_of_every_section() -> None:
    rng = random.Random(50)
    seen: Counter[str] = Counter()
    for _ in range(500):
        bar = member(rng, "w", AT[0] + rng.uniform(-80, 80), AT[1] + rng.uniform(20, 120), 200.0)
        stop = turned("s", 11, 9, rng.choice((0.0, rng.uniform(-60.0, 60.0))))
        stood = PlacedPieces().of(lay(stop, bar))["s"]
        (face,) = features_of(stood).faces
        found = look(stop, bar, within=400.0)
        if min(bar.z_high, 30.0) - bar.z_low <= TOUCH or list(found.overlaps()):
            continue
        slices = [sliced(bar, z) for z in heights(bar, 0.0, 30.0)]
        gap = min(clear_way_to(face.a, face.b, face.normal, one) for one in slices)
        own = found.pieces["s"].contacts
        if gap == math.inf:
            assert [c for c in own if c.length > 0.2] == []
            seen["nothing"] += 1
            continue
        if not own or gap < 0.1:
            continue
        best = min(own, key=lambda c: c.gap)
        # What only a sliver of the face would meet is left out, so it may be more, never less.
        assert best.gap >= gap - 0.02
        if best.gap > gap + 0.02:
            seen["sliver"] += 1
            continue
        seen[bar.section.kind] += 1
    kinds = {"square tube", "rectangular tube", "round tube", "angle", "channel", "flat"}
    assert min(seen[k] for k in kinds) >= 20
    assert seen["sliver"] < 25


@pytest.mark.source("library", "shapely 2", "distance from the slices of the section")
@pytest.mark.untraced
def test_the_gap_at_a_pin_beside_bars_of_every_section() -> None:
    rng = random.Random(51)
    seen: Counter[str] = Counter()
    for _ in range(400):
        bar = member(rng, "w", AT[0] + rng.uniform(-120, 60), AT[1] + rng.uniform(-90, 90), 200.0)
        found = look(pin("p", 11, 9), bar, within=400.0)
        if bar.z_low >= 40.0 - TOUCH or list(found.overlaps()):
            continue
        here = shapely.Point(AT)
        slices = [sliced(bar, z) for z in heights(bar, 0.0, 40.0)]
        far = min(one.distance(here) for one in slices if not one.is_empty)
        best = min(found.pieces["p"].contacts, key=lambda c: c.gap)
        assert best.gap == pytest.approx(far - 15.0, abs=0.02)
        seen[bar.section.kind] += 1
    assert min(seen.values()) >= 15
    assert len(seen) == 6


@pytest.mark.source("library", "shapely 2", "areas of the slices that a piece's body covers")
@pytest.mark.untraced
def test_a_conflict_is_with_the_steel_and_not_with_the_box_about_it() -> None:
    rng = random.Random(52)
    seen: Counter[str] = Counter()
    for _ in range(500):
        bar = member(rng, "w", AT[0] + rng.uniform(-90, 30), AT[1] + rng.uniform(-70, 70), 200.0)
        stop = turned("s", 11, 9, rng.uniform(-180.0, 180.0))
        stood = PlacedPieces().of(lay(stop, bar))["s"]
        body = shapely.Polygon(stood.solids[0].points)
        levels = heights(bar, 0.0, 30.0)
        if min(bar.z_high, 30.0) - bar.z_low <= TOUCH:
            continue
        covered = max(body.intersection(sliced(bar, z)).area for z in levels)
        clash = conflict(stood, placed_part(bar))
        whole = body.intersection(shapely.Polygon(part_ring(bar))).area
        if covered > 40.0:
            assert clash is not None
            seen["clash"] += 1
        elif covered < 1.0:
            assert clash is None
            seen["clear" if whole < 1.0 else "clear of the steel only"] += 1
    assert seen["clash"] > 100
    assert seen["clear"] > 50
    assert seen["clear of the steel only"] > 0
