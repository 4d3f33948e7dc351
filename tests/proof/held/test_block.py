"""Reactions, lifting, friction and turning over, on a block that can be reckoned by hand."""

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.edits.loading import set_clamp_force, set_friction
from gridjig.geometry.part_mass import mass
from gridjig.proof.held.body import GRAVITY
from gridjig.proof.held.findings import held_findings
from gridjig.proof.held.forces import ClampForce
from gridjig.proof.held.report import held
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.blocks import END, LEFT, PINS, RIGHT, Block, block, press, push_down, push_left
from tests.workshop import pin

MOMENTS = "by hand: forces and moments about a pin"


@pytest.mark.source("method", MOMENTS)
def test_two_pushes_seat_the_block_on_all_three_pins() -> None:
    found = Block(block(), *PINS, push_down(6), push_left())
    assert found.held.by == "clamps"
    assert found.held.push is None
    assert [found.force(name) for name in ("left", "right", "end")] == pytest.approx(
        [500.0, 500.0, 1000.0]
    )
    assert not any(one.lifts for one in found.report.locators)
    assert list(held_findings(found.job, found.report)) == []


@pytest.mark.source("method", MOMENTS)
def test_a_push_nearer_to_one_pin_loads_it_more() -> None:
    """At x = 300: three quarters on the left pin."""
    found = Block(block(), *PINS, push_down(5), push_left())
    assert found.force("left") == pytest.approx(750.0)
    assert found.force("right") == pytest.approx(250.0)


@pytest.mark.source("method", MOMENTS)
def test_a_push_beside_the_base_lifts_the_far_pin() -> None:
    """At x = 500, beyond the right pin: it turns about it, and 250 N are missing on the left."""
    found = Block(block(), LEFT, RIGHT, END, push_down(9))
    assert found.held.by == "nothing"
    assert found.held.lifts == ("left",)
    assert found.reactions["left"].lifts
    assert found.force("left") == pytest.approx(-250.0)
    assert found.force("right") == pytest.approx(1250.0)
    (one,) = held_findings(found.job, found.report)
    assert (one.kind, one.level) == ("lifts", "stop")
    assert "off locating pin" in one.what
    assert "friction does not hold it there" in one.what


def test_pressed_down_as_well_it_is_only_worth_a_look() -> None:
    found = Block(block(), *PINS, push_down(9), press(6))
    assert found.held.by == "friction"
    assert found.held.lifts == ("left",)
    one = next(f for f in held_findings(found.job, found.report) if f.kind == "lifts")
    assert one.level == "look"


@pytest.mark.source("method", MOMENTS)
def test_one_push_leaves_the_end_pin_to_friction() -> None:
    found = Block(block(), *PINS, push_down(6))
    assert found.held.by == "friction"
    assert found.force("end") == pytest.approx(0.0)
    assert not found.reactions["end"].lifts
    (one,) = held_findings(found.job, found.report)
    assert (one.kind, one.level, one.unit) == ("friction-only", "note", "N")


@pytest.mark.source("method", "by hand: away from the end pin, against two pads and the weight")
def test_clamps_that_press_down_hold_by_friction() -> None:
    """Two pads of 1000 N at 0.15 and the weight: it gives way sooner if it can turn."""
    found = Block(block(), *PINS, press(4), press(8))
    weight = mass(block()) * GRAVITY
    most = 0.15 * (2000.0 + weight)
    assert found.held.by == "friction"
    assert found.held.push is not None
    assert 0.2 * most < found.held.push < most
    free = Block(block(), press(4), press(8))
    assert free.held.push is not None
    assert free.held.push < found.held.push
    assert Block(block(), *PINS, press(4), press(8), friction=0.0).held.push == 0.0


@pytest.mark.source("method", "friction is proportional to the force and to its coefficient")
def test_the_push_grows_with_force_and_friction() -> None:
    found = Block(block(), *PINS, press(4), press(8))
    placed = PlacedPieces().of(found.job)
    assert found.held.push is not None
    weight = 0.15 * mass(block()) * GRAVITY
    twice = held(set_friction(found.job, 0.3), placed, found.contacts).parts[0].push
    assert twice == pytest.approx(2.0 * found.held.push)
    strong = held(set_clamp_force(found.job, 3000.0), placed, found.contacts).parts[0].push
    assert strong == pytest.approx(3.0 * found.held.push, abs=2.0 * weight)


@pytest.mark.source("method", MOMENTS)
def test_each_clamp_presses_with_its_own_force() -> None:
    """3000 N typed at one pad, 500 N by the other's piece, the shop's value for what has none."""
    strong = structs.replace(push_down(6), force=3000.0)
    found = Block(block(), *PINS, strong, push_left())
    assert [found.force(name) for name in ("left", "right", "end")] == pytest.approx(
        [1500.0, 1500.0, 1000.0]
    )
    assert {one.placement: one.force for one in found.report.clamps} == {
        "push-6": ClampForce(3000.0, "typed"),
        "side-5": ClampForce(1000.0, "shop"),
    }
    weak = found.job.rack.piece("push")
    assert weak.tip is not None
    weak = structs.replace(weak, tip=structs.replace(weak.tip, force=500.0))
    job = structs.replace(found.job, rack=found.job.rack.with_piece(weak))
    there = contacts(job, PlacedPieces().of(job))
    after = held(job, PlacedPieces().of(job), there)
    forces = {one.placement: round(one.reaction) for one in after.locators}
    assert forces == {"left": 1500, "right": 1500, "end": 500}
    assert after.clamps[1].force == ClampForce(500.0, "piece")


@pytest.mark.source("method", "by hand: 1000 N and 250 N at 100 mm each side of the right pin")
def test_a_stronger_clamp_seats_what_equal_ones_lift() -> None:
    """One push inside the base keeps the left pin down if it is strong enough for the one outside:
    the second clamp, beyond the right pin, turns the block about it.
    """
    inside, outside = push_down(6), push_down(9, thing="outside")
    equal = Block(block(), *PINS, structs.replace(inside, force=250.0), outside)
    assert equal.held.lifts == ("left",)
    told = next(f for f in held_findings(equal.job, equal.report) if f.kind == "lifts")
    assert "250 N (as typed) or 1000 N (shop value" in told.source
    strong = Block(block(), *PINS, structs.replace(inside, force=1000.0), outside)
    assert strong.held.lifts == ()


def test_pins_all_round_hold_by_shape() -> None:
    """Two pins behind and one at the right end of a block that just fits: none is loaded."""
    snug = block(width=320.0, depth=70.0)
    around = (pin("back-1", 4, 6), pin("back-2", 8, 6), pin("far", 10, 5))
    found = Block(snug, *PINS, *around, press(6))
    assert found.located.located == "over-located"
    assert found.located.closed
    assert (found.held.by, found.held.push) == ("shape", None)
    assert {one.reaction for one in found.report.locators} == {0.0}
    open_end = Block(snug, *PINS, *around[:2], press(6))
    assert open_end.held.by == "friction"
    assert open_end.held.push is not None
    # Between the pins it only slides, against the pad and its weight.
    most = 0.15 * (1000.0 + mass(snug) * GRAVITY)
    assert open_end.held.push == pytest.approx(most, rel=0.01)


@pytest.mark.source("method", "by hand: 0.15 times the weight, over half its length and half")
def test_unclamped_only_its_weight_holds_it() -> None:
    found = Block(block(), *PINS)
    weight = mass(block()) * GRAVITY
    assert found.held.by == "weight"
    assert found.held.push is not None
    assert 0.2 * 0.15 * weight < found.held.push < 0.15 * weight
    (one,) = held_findings(found.job, found.report)
    assert (one.kind, one.level) == ("friction-only", "look")
    assert one.what.startswith("No clamp presses Block")
    assert "from memory" in one.source


@pytest.mark.source("method", "by hand: 20 mm above the pins, 40 mm tall, moment of 20 N m")
def test_a_push_above_the_pins_tips_a_tall_block_over_them() -> None:
    tall = block(100.0)
    found = Block(tall, *PINS, push_down(6, "high"), push_left())
    clamp = next(one for one in found.report.clamps if one.placement == "push-6")
    assert clamp.overhang == pytest.approx(20.0)
    holding = mass(tall) * GRAVITY * 40.0
    assert clamp.climbs == (holding < 1000.0 * 20.0)
    assert clamp.climbs
    one = next(f for f in held_findings(found.job, found.report) if f.id == "climbs/push-6")
    assert one.kind == "lifts"
    assert one.value == pytest.approx(20.0)
    assert "above the stops behind Block" in one.what


@pytest.mark.source("method", "by hand: 1000 N at 40 mm from the pins against 20 N m")
def test_pressed_down_it_does_not_tip() -> None:
    found = Block(block(70.0), *PINS, push_down(6, "high"), push_left(), press(4))
    clamp = next(one for one in found.report.clamps if one.placement == "push-6")
    assert clamp.overhang == pytest.approx(20.0)
    assert not clamp.climbs


def test_reactions_name_every_locator_in_job_order() -> None:
    found = Block(block(), *PINS, push_down(6), push_left())
    assert [one.placement for one in found.report.locators] == ["left", "right", "end"]
    assert (found.report.force, found.report.friction) == (1000.0, 0.15)
