"""Risers and stacks, corner radii, what falls over, what is carried by too little, weights."""

import itertools
import math

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.files.library.assets import starter_racks
from gridjig.model import Job, Plate, Shop
from gridjig.proof.heights.findings import heights_findings
from gridjig.proof.heights.report import heights, largest_radius
from gridjig.proof.heights.stacks import EXACT, WantedStacks, nearest, share_out, stacks_of
from gridjig.proof.heights.values import HeightsReport
from gridjig.proof.report import prove
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import layout
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH
from tests.workshop import laid, plate, put, seat, stop

RISERS = starter_racks()["inch-3-4"].risers


def report(job: Job) -> HeightsReport:
    return heights(job, contacts(job, PlacedPieces().of(job)))


def left(**counts: int) -> dict[str, int]:
    return {p.id: counts.get(p.id.replace("-", "_"), 0) for p in RISERS}


@pytest.mark.source("method", "every count of each riser tried")
@pytest.mark.parametrize("height", [3.175, 9.525, 60.325, 104.775, 50.0])
def test_stacks_of_a_height_are_all_there_are(height: float) -> None:
    counts = [3] * len(RISERS)
    every = {
        made
        for made in itertools.product(*(range(n + 1) for n in counts))
        if 0 < sum(made) <= 6
        and abs(sum(n * p.thickness for n, p in zip(made, RISERS, strict=True)) - height) <= EXACT
    }
    found = stacks_of(RISERS, counts, height)
    assert set(found) == every
    assert [sum(made) for made in found] == sorted(sum(made) for made in found)
    assert bool(found) == (height != 50.0)


def test_risers_are_shared_out_so_that_all_have_theirs() -> None:
    """The fewest pieces for the first would leave the second without."""
    wanted = [WantedStacks("a", 50.8, 1), WantedStacks("b", 50.8, 1)]
    shared = share_out(RISERS, left(riser_2=1, riser_1=2), wanted)
    assert shared.stacks is not None
    assert sorted(shared.stacks) == [("riser-1", "riser-1"), ("riser-2",)]
    none = share_out(RISERS, left(riser_2=1, riser_1=1), wanted)
    assert none.stacks is None
    assert none.all
    assert none.tried > 0


def test_the_nearest_heights_are_told() -> None:
    assert nearest(RISERS, [1, 1, 0, 0, 0], 60.0) == pytest.approx((50.8, 76.2))
    assert nearest(RISERS, [0, 0, 0, 0, 0], 60.0) == (0.0, math.inf)


@pytest.mark.source("method", "arithmetic: 2.375 = 2 + 1/4 + 1/8 in")
def test_a_raised_part_gets_stacks_of_what_is_left() -> None:
    job = KEYED["T10"]()
    kept = tuple(p for p in job.parts if p.name in ("R1 rail", "X1 cross"))
    job = structs.replace(job, parts=kept)
    found = {need.part: need for need in report(job).risers}
    cross = found[next(p.id for p in kept if p.name == "X1 cross")]
    assert cross.height == pytest.approx(2.375 * INCH)
    assert cross.points == 2
    assert [job.rack.piece(piece).size for piece in cross.stack] == [
        '2" high', '1/4" high', '1/8" high',
    ]  # fmt: skip


@pytest.mark.source("method", "arithmetic: 2.375 = 2 + 1/4 + 1/8 in")
def test_a_part_in_the_air_and_the_risers_for_it_are_one_finding() -> None:
    job = KEYED["T10"]()
    kept = tuple(p for p in job.parts if p.name == "X1 cross")
    job = structs.replace(job, parts=kept, placements=layout("T01").placements[:1])
    every = prove(job, PlacedPieces().of(job)).findings
    (one,) = [f for f in every if f.kind == "height"]
    assert one.id == f"carried/{kept[0].id}"
    assert one.what == 'Nothing supports X1 cross: it is 2-3/8" above the table.'
    assert one.do == (
        'Put 2 stacks of 2-3/8" (2" + 1/4" + 1/8") under it, near both ends, or lower it. Place the'
        " first riser of each stack, and put the others below that one."
    )
    low = structs.replace(job, parts=(structs.replace(kept[0], z_low=50.8),))
    (one,) = [f for f in prove(low, PlacedPieces().of(low)).findings if f.kind == "height"]
    assert one.do == 'Put 2 risers of 2" under it, near both ends, or lower it.'


def strap(back: float, thick: float = 6.0) -> Plate:
    """A strap on edge, 76 mm high and 200 mm long, with its back at y."""
    return structs.replace(plate("strap", 200.0, back - thick, 200.0, thick), z_high=76.0)


@pytest.mark.source("method", "arithmetic: half the thickness over half the height, atan(3 / 38)")
def test_a_strap_on_edge_falls_over_and_a_flat_one_does_not() -> None:
    (found,) = report(laid(stop("s", 9, 9), strap(300.0))).standing
    assert found.angle == pytest.approx(math.degrees(math.atan2(3.0, 38.0)))
    assert found.base == pytest.approx(6.0)
    assert report(laid(stop("s", 9, 9), plate("w", 100.0, 200.0))).standing == ()


def test_a_stop_at_each_side_keeps_it_standing() -> None:
    """One alone leaves it the other way to fall: the faces of the two are 10 mm apart."""
    back = stop("a", 5, 6)
    front = put("b", "stop", seat("h1", 6, 5), seat("h2", 5, 5), turn=180.0)
    y = PlacedPieces().of(laid(back))["a"].faces[0].a[1]
    (falls,) = report(laid(back, strap(y, 10.0))).standing
    assert falls.side == pytest.approx((0.0, -1.0))  # away from the stop
    both = laid(back, front, strap(y, 10.0))
    assert {c.piece for c in contacts(both, PlacedPieces().of(both)).touching()} == {"a", "b"}
    assert report(both).standing == ()


def test_what_one_person_lifts_is_a_setting() -> None:
    job = layout("T10")
    (finding,) = [f for f in heights_findings(job, report(job)) if f.kind == "weight"]
    assert finding.value == pytest.approx(52.94 * 0.45359237, rel=1e-3)
    assert finding.limit == 23.0
    strong = structs.replace(job, shop=Shop(one_lifts=30.0))
    assert not [f for f in heights_findings(strong, report(strong)) if f.kind == "weight"]


@pytest.mark.source(
    "published", "EN 10219-2", "outside corner 1.6T to 2.4T up to 6 mm, as tabulated"
)
@pytest.mark.parametrize(
    ("wall", "radius"), [(3.0, 7.2), (5.0, 12.0), (8.0, 24.0), (12.0, 43.2), (3.175, 9.525)]
)
def test_the_largest_corner_radius_is_that_of_the_standard(wall: float, radius: float) -> None:
    assert largest_radius(wall)[0] == pytest.approx(radius)
