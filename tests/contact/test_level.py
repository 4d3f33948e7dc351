"""What lies on a rest and what a clamp presses, compared with shapely; and the roles of pieces."""

import random
from collections import Counter

import pytest
import shapely
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.values import Support
from gridjig.geometry.part_solids import part_solids
from gridjig.model import Hole, Plate
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import FULL, lay, look, member, only, polygon, turned
from tests.stock import CHANNEL, ROUND, SQUARE, bar
from tests.workshop import TABLE, pin, plate, put, seat

AT = TABLE.at(Hole(11, 9))
RISER = put("r", "riser", seat("p", 11, 9))
"""Its rest has a radius of 18 mm and lies 50 mm high."""
CLAMP = put("c", "clamp", seat("p", 9, 9), reach=100.0)
"""Its tip lies in the middle hole, its pad has a radius of 12 mm; it works from 0 to 70 mm."""


@pytest.mark.source("library", "shapely 2", "a disc over the flat of a part's underside")
def test_a_rest_touches_what_lies_over_it() -> None:
    rng = random.Random(31)
    disc = shapely.Point(AT).buffer(18.0, quad_segs=400)
    seen: Counter[str] = Counter()
    for _ in range(1500):
        x, y = AT[0] + rng.uniform(-90, 90), AT[1] + rng.uniform(-90, 90)
        made = rng.choice((polygon, member))(rng, "w", x, y, 100.0)
        part = (
            structs.replace(made, z_low=50.0, z_high=60.0)
            if isinstance(made, Plate)
            else structs.replace(made, z_low=50.0)
        )
        solids = [s for s in part_solids(part) if s.z_low == 50.0]
        over = shapely.union_all([shapely.Polygon(s.ring) for s in solids])
        flats = [s.bottom for s in solids]
        flat = shapely.union_all(
            [shapely.Polygon(f) if len(f) > 2 else shapely.LineString(f) for f in flats]
        )
        found = [c for c in look(RISER, part).pieces["r"].contacts if c.gap == 0.0]
        near = (over.distance(shapely.Point(AT)), flat.distance(shapely.Point(AT)))
        if min(abs(far - 18.0) for far in near) < 0.01:
            continue  # the disc of the test is drawn with corners
        if not disc.intersects(over):
            assert found == []
            seen["beside"] += 1
            continue
        (contact,) = found
        assert contact.kind == "rest under"
        assert contact.touches == disc.intersects(flat)
        seen[contact.means] += 1
        (point,) = contact.points
        assert flat.distance(shapely.Point(point)) < 1e-9
    assert min(seen[k] for k in ("beside", "touches")) > 200
    assert seen["radius"] > 10


@pytest.mark.source("library", "shapely 2", "a point in the flat of a part's top")
def test_a_pad_holds_where_its_middle_is_on_the_flat() -> None:
    rng = random.Random(32)
    seen: Counter[str] = Counter()
    for _ in range(1500):
        x, y = AT[0] + rng.uniform(-90, 90), AT[1] + rng.uniform(-90, 90)
        part = rng.choice((polygon, member))(rng, "w", x, y, 100.0)
        top = max(s.z_high for s in part_solids(part))
        solids = [s for s in part_solids(part) if s.z_high == top]
        flats = [shapely.Polygon(s.bottom) for s in solids if len(s.bottom) > 2]
        here = shapely.Point(AT)
        found = [c for c in look(CLAMP, part).pieces["c"].contacts if c.z_high == top]
        far = shapely.union_all([shapely.Polygon(s.ring) for s in solids]).distance(here)
        if abs(far - 12.0) < 0.01 or not flats:
            continue
        off = shapely.union_all(flats).distance(here)
        if far > 12.0:
            assert found == []
            seen["beside"] += 1
        elif top > 70.0:
            assert {c.means for c in found} <= {"out of reach"}
            seen["too high"] += 1
        elif not any(s.z_high > top for s in part_solids(part)):
            (contact,) = found
            assert contact.touches == (off <= 1e-6)
            seen[contact.means] += 1
    assert min(seen[k] for k in ("beside", "touches", "radius")) > 100


@pytest.mark.source("method", "arithmetic")
def test_too_high_and_too_low_for_a_clamp() -> None:
    part = structs.replace(plate("w", AT[0] - 50, AT[1] - 30), z_low=60.0, z_high=75.0)
    high = only(look(CLAMP, part), "c")
    assert high.means == "out of reach"
    assert high.gap == pytest.approx(-5.0)
    assert look(CLAMP, part).roles["c"].what == "blocks nothing"
    lifted = structs.replace(CLAMP, lift=("riser",))
    low = only(look(lifted, plate("w", AT[0] - 50, AT[1] - 30)), "c")
    assert low.means == "out of reach"
    assert low.gap == pytest.approx(44.0)
    assert look(CLAMP, plate("w", AT[0] + 60, AT[1])).roles["c"].what == "idle"


@pytest.mark.source("method", "arithmetic: the next part up, and no part above that")
def test_a_rest_sees_the_lowest_part_above_it() -> None:
    low = structs.replace(plate("low", AT[0] - 50, AT[1] - 30), z_low=60.0, z_high=70.0)
    high = structs.replace(low, id="high", z_low=70.0, z_high=90.0)
    contact = only(look(RISER, high, low), "r")
    assert contact.part == "low"
    assert contact.gap == pytest.approx(10.0)
    both = [structs.replace(low, z_low=50.0), structs.replace(high, z_low=50.0)]
    assert len(look(RISER, *both).pieces["r"].contacts) == 2
    assert look(RISER, low, within=9.0).pieces["r"].contacts == ()


def test_a_round_bar_on_a_rest_and_under_a_pad() -> None:
    pipe = bar(ROUND, 300, id="pipe", x=AT[0] - 150, y=AT[1] + 10.0, z_low=50.0)
    assert only(look(RISER, pipe), "r").touches
    away = structs.replace(pipe, y=AT[1] + 20.0)
    assert only(look(RISER, away), "r").means == "radius"
    lying = structs.replace(pipe, z_low=0.0, y=AT[1])
    assert only(look(CLAMP, lying), "c").touches
    assert only(look(CLAMP, structs.replace(lying, y=AT[1] + 4.0)), "c").means == "radius"


# -- roles ----------------------------------------------------------------------------------------


@pytest.mark.source(
    "method", "arithmetic: distances between rests and the pad, less the rest's radius"
)
def test_a_clamp_over_a_riser_and_between_two() -> None:
    clamp = put("c", "clamp", seat("p", 11, 11), turn=-90.0, reach=100.0)
    under = structs.replace(RISER, id="under")
    side = put("side", "riser", seat("p", 13, 9))
    part = bar(SQUARE, 600, id="tube", x=AT[0] - 300, y=AT[1], z_low=50.0, measured=(50.0, 20.0))
    found = look(clamp, under, side, part)
    assert found.roles["under"].what == "carries"
    clamped = found.roles["c"].clamped
    assert clamped is not None
    assert (clamped.part, clamped.z) == ("tube", 70.0)
    assert clamped.at == pytest.approx(AT)
    first, second = clamped.supports
    assert first == Support("rest", "under", 0.0)
    assert second[:2] == ("rest", "side")
    assert second.distance == pytest.approx(100.0 - 18.0)
    bare = look(clamp, part).roles["c"]
    assert bare.what == "clamps"
    assert bare.clamped is not None
    assert bare.clamped.supports == ()
    low = look(clamp, structs.replace(part, z_low=0.0)).roles["c"].clamped
    assert low is not None
    assert low.supports == (Support("table", "", 0.0),)


@pytest.mark.source("method", "arithmetic")
def test_a_clamp_on_a_part_that_lies_on_another() -> None:
    lower = structs.replace(plate("lower", AT[0] - 200, AT[1] - 30, 180, 60), z_high=10.0)
    upper = structs.replace(plate("upper", AT[0] - 150, AT[1] - 30, 250, 60), z_low=10.0, z_high=20)
    clamped = look(CLAMP, lower, upper).roles["c"].clamped
    assert clamped is not None
    assert clamped.part == "upper"
    (support,) = clamped.supports
    assert support[:2] == ("part", "lower")
    assert support.distance == pytest.approx(20.0)


@pytest.mark.source("method", "arithmetic")
def test_a_push_clamp_against_a_stop() -> None:
    push = put("push", "push", seat("p", 11, 7), turn=90.0, reach=87.0)
    part = bar(SQUARE, 400, id="tube", x=AT[0] - 200, y=AT[1] + 12.0)
    stop = turned("stop", 11, 10, 180.0)
    job = lay(push, stop, part, rack=FULL)
    found = contacts(job, PlacedPieces().of(job))
    assert found.roles["stop"].what == "blocks nothing"
    near = structs.replace(job, parts=(structs.replace(part, y=AT[1] + 13.0),))
    found = contacts(near, PlacedPieces().of(near))
    assert found.roles["stop"].what == "locates"
    assert found.roles["push"].what == "blocks nothing"  # 1 mm is open now
    reached = structs.replace(near, placements=(structs.replace(push, reach=88.0), stop))
    clamped = contacts(reached, PlacedPieces().of(reached)).roles["push"].clamped
    assert clamped is not None
    assert clamped.supports == (Support("locator", "stop", 0.0),)


@pytest.mark.source("method", "arithmetic")
def test_a_push_clamp_against_another_part() -> None:
    """The tube is pushed against a plate that lies behind it, 30 mm beside the line of the push."""
    push = put("push", "push", seat("p", 11, 7), turn=90.0, reach=88.0)
    part = bar(SQUARE, 400, id="tube", x=AT[0] - 200, y=AT[1] + 13.0)
    behind = plate("behind", AT[0] + 30, AT[1] + 38.0)
    for parts in ((part, behind), (behind, part)):
        job = lay(push, *parts, rack=FULL)
        clamped = contacts(job, PlacedPieces().of(job)).roles["push"].clamped
        assert clamped is not None
        (support,) = clamped.supports
        assert support[:2] == ("part", "behind")
        assert support.distance == pytest.approx(30.0)


def test_what_cannot_stand_touches_nothing() -> None:
    found = look(put("a", "stop", seat("h1", 3, 3), seat("h2", 9, 3)), plate("w", 150, 100))
    assert found.roles["a"].what == "cannot stand"
    assert found.pieces["a"].contacts == ()
    assert found.idle() == ()


def test_what_does_nothing_is_listed() -> None:
    found = look(pin("near", 11, 9), pin("far", 3, 3), plate("w", AT[0] + 20, AT[1] - 30))
    assert found.roles["near"].what == "blocks nothing"
    assert found.roles["near"].parts == ("w",)
    assert found.roles["far"].what == "idle"
    assert found.idle() == ("near", "far")
    assert [c.piece for c in found.of_part("w")] == ["near"]
    assert list(found.touching()) == []


def test_a_riser_under_a_channel_on_its_web() -> None:
    part = bar(CHANNEL, 400, id="u", x=AT[0] - 200, y=AT[1], way_up=90, z_low=50.0)
    found = look(RISER, part)
    assert found.roles["r"].what == "carries"
    assert only(found, "r").part == "u"
