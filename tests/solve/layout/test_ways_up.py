"""Which way up, and the risers for it: small cases worked by hand."""

import pytest
from msgspec import structs

from gridjig.model import Part, Plate
from gridjig.rack import Piece, Rack
from gridjig.solve.layout.ways_up import WayUpNeeds, ways_up
from tests.solve.weldments import bar, frame, job_of
from tests.workshop import box


def riser(thick: float, owned: int) -> Piece:
    return Piece(id=f"r{thick:g}", name="riser", kind="riser", thickness=thick, owned=owned)


RACK = Rack(name="r", pieces=(riser(20, 4), riser(10, 2), riser(5, 2)))


def asked(*parts: Part) -> dict[bool, WayUpNeeds]:
    job = structs.replace(job_of(*parts), rack=RACK)
    return {way.face_down: way for way in ways_up(job)}


def plate(name: str, x0: float, x1: float, low: float, high: float) -> Plate:
    return Plate(id=name, name=name, corners=box(x0, 0, x1, 40), z_low=low, z_high=high)


def test_a_flat_frame_needs_nothing() -> None:
    for way in asked(*frame()).values():
        assert len(way.flush) == 4
        assert not way.raised
        assert way.can_be
        assert not way.never
    empty = ways_up(structs.replace(job_of(), rack=RACK))
    assert [way.flush for way in empty] == [(), ()]


def test_a_low_member_in_a_frame_stands_on_two_risers() -> None:
    way = asked(*frame(), bar("mid", 300, 240, 220, 90, 15))[False]
    (one,) = way.raised
    assert (one.part, one.height, one.points, one.stack, one.residual) == (
        "mid",
        15,
        2,
        ("r10", "r5"),
        0,
    )
    assert way.needed == (("r10", 2), ("r5", 2))
    assert way.can_be


def test_what_lies_on_others_is_carried() -> None:
    feet = (plate("p", 0, 60, 0, 10), plate("q", 340, 400, 0, 10))
    short = asked(*feet, plate("rail", 0, 400, 10, 50))[False]
    assert (short.carried, short.raised) == (("rail",), ())
    far = (feet[0], structs.replace(feet[1], x=600))
    long = asked(*far, plate("rail", 0, 1000, 10, 50))[False]
    assert [(r.part, r.points, r.height) for r in long.raised] == [("rail", 1, 10)]
    assert long.carried == ("rail",)
    tips = asked(feet[0], plate("rail", 0, 400, 10, 50))[False]
    assert [(r.part, r.points) for r in tips.raised] == [("rail", 1)]


def test_what_is_short_and_what_no_exchange_helps() -> None:
    way = asked(*frame(), bar("mid", 300, 240, 220, 90, 35))[False]
    assert way.needed == (("r20", 2), ("r10", 2), ("r5", 2))
    assert not way.short
    two = asked(*frame(), bar("m", 300, 240, 220, 90, 35), bar("n", 200, 240, 220, 90, 35))[False]
    assert two.short == (("r10", 2), ("r5", 2))
    assert not two.can_be
    assert two.height_needed == 140
    assert two.height_owned == 110
    assert two.never


def test_a_height_that_no_stack_makes_leaves_a_residual() -> None:
    (one,) = asked(*frame(), bar("mid", 300, 240, 220, 90, 17))[False].raised
    assert one.stack == ("r10", "r5")
    assert one.residual == pytest.approx(2)
    (one,) = asked(*frame(), bar("mid", 300, 240, 220, 90, 3))[False].raised
    assert (one.stack, one.residual) == ((), 3)


def test_the_way_that_needs_fewer_risers_comes_first() -> None:
    parts = (*frame(), bar("mid", 300, 240, 220, 90, 12, measured=(40.0, 28.0)))
    job = structs.replace(job_of(*parts), rack=RACK)
    first, second = ways_up(job)
    assert first.face_down
    assert "mid" in first.flush
    assert not second.face_down


@pytest.mark.source("method", "arithmetic: two of the thickest, and not four of the thinnest")
def test_a_high_member_stands_on_the_thickest_risers() -> None:
    job = structs.replace(
        job_of(*frame(), bar("mid", 300, 240, 220, 90, 100)),
        rack=Rack(name="r", pieces=(riser(5, 9), riser(50, 4), riser(10, 9))),
    )
    (one,) = next(way for way in ways_up(job) if not way.face_down).raised
    assert (one.stack, one.residual) == (("r50", "r50"), 0)
