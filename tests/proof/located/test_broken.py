"""Layouts broken in many ways: the right finding appears, in the right place."""

from itertools import permutations

import pytest

from gridjig.checks.finding import Finding
from gridjig.contact.values import TOUCH
from gridjig.edits.loading import set_loading_order
from gridjig.edits.members import member_of, set_z
from gridjig.edits.parts import set_place
from gridjig.model import Job
from gridjig.proof.located.findings import located_findings
from gridjig.proof.located.grips import HOME
from gridjig.proof.report import prove
from tests.proof.layouts import Proved, layout, moved, slid, without
from tests.trials.keyed import part_named
from tests.trials.layout import INCH


def told(job: Job) -> dict[str, Finding]:
    proved = Proved(job)
    return {one.id: one for one in located_findings(proved.job, proved.located)}


def new(before: Job, after: Job) -> dict[str, Finding]:
    """What is said of the broken job and was not said of the whole one."""
    old = told(before)
    return {key: one for key, one in told(after).items() if old.get(key) != one}


def test_without_its_end_stop_the_upright_slides() -> None:
    job = layout("T04")
    found = new(job, without(job, "U end"))
    one = found["loose/member-1"]
    assert (one.kind, one.level) == ("loose", "look")
    assert one.what == "U upright can slide along its length."
    assert one.do == "Set an end stop."


def test_without_one_of_two_stops_the_angle_hangs_on_the_other() -> None:
    job = layout("T01")
    job = set_loading_order(job, "weldment-1", [part.id for part in job.parts])
    one = new(job, without(job, "A datum 2"))["base/member-1"]
    assert (one.kind, one.level) == ("loose", "look")
    assert one.value is not None
    assert one.limit is not None
    assert one.value > one.limit
    assert one.what.startswith("The angle of A bottom depends on short faces (A datum 1)")


def test_two_stops_side_by_side_are_a_short_base() -> None:
    """The second stop is moved along until it stands beside the first."""
    job = layout("T01")
    found = new(job, moved(job, "A datum 2", -7, 0))
    assert "base/member-1" in found


def test_moved_a_hole_away_a_stop_no_longer_locates() -> None:
    job = layout("T04")
    found = new(job, moved(job, "U end", 0, 1))
    one = found["loose/member-1"]
    assert one.what.startswith("U upright can slide along its length")


def test_a_gap_in_front_of_the_end_stop_is_how_far_it_slides() -> None:
    """Set back by 1/8 in, the stop lets the upright go that far; the way down is free."""
    job = layout("T04")
    broken = slid(without(job, "H datum 1"), "U end", -0.125)
    upright = Proved(broken).part("U upright")
    assert upright.motion is not None
    assert (upright.motion.kind, upright.motion.by) == ("slide", None)


@pytest.mark.source("method", "arithmetic: the end stop is set back by a little less and more")
@pytest.mark.parametrize(
    ("gap", "told", "locates"),
    [
        (0.0, False, True),
        (TOUCH - 1e-3, False, True),
        (TOUCH + 1e-3, True, True),
        (HOME - 1e-3, True, True),
        (HOME + 1e-3, True, False),
    ],
)
def test_a_gap_within_the_tolerance_locates_and_one_just_beyond_does_not(
    gap: float, told: bool, locates: bool
) -> None:
    """A gap is told from half the last digit on; pushed home, the bar reaches a stop that near."""
    proved = Proved(slid(layout("T04"), "U end", -gap / INCH))
    upright = proved.part("U upright")
    assert ("U end" in proved.named(upright.contacts)) is locates
    assert (upright.motion is None) is locates
    if upright.motion is not None:
        assert upright.motion.ahead == pytest.approx(gap, abs=1e-6)
    gaps = [f for f in prove(proved.job, proved.placed).findings if f.id == "gap/stop-5"]
    assert len(gaps) == told
    for one in gaps:
        assert (one.kind, one.limit) == ("gap", TOUCH)
        assert one.value == pytest.approx(gap, abs=1e-6)


def test_a_stop_set_too_far_in_fights() -> None:
    """1/32 in too far: the frame does not go in between the far stop and the datum."""
    job = layout("T01")
    one = new(job, slid(job, "D far", 1 / 32))["fight/weldment-1/member-1"]
    assert (one.kind, one.level, one.unit) == ("over-located", "stop", "mm")
    assert one.value == pytest.approx(INCH / 32, abs=0.03)
    assert {"stop-3", "stop-6"} <= set(one.ids)
    assert "fight over the weldment" in one.what


def test_three_stops_out_of_line_leave_one_that_does_not_touch() -> None:
    """A far stop a shim behind the other: pushed home on the rest, the bar stands off it."""
    job = layout("T01")
    bar = part_named(job, "B top")
    one = new(job, slid(job, "B far 2", -1 / 64))[f"seat/{bar}"]
    assert (one.kind, one.level) == ("not-seated", "note")
    assert one.value == pytest.approx(INCH / 64, abs=0.03)
    assert "stop-5" in one.ids


def test_a_weldment_on_two_stops_only_is_a_stop() -> None:
    job = layout("T01")
    bare = without(job, "C datum end", "D far", "B far", "B far 2")
    one = new(job, bare)["loose/weldment-1/member-1"]
    assert one.level == "stop"
    assert one.what == "The weldment can slide to the left and right."


def test_without_any_stop_nothing_locates_it() -> None:
    job = layout("T01")
    names = [p.name for p in job.placements if p.piece.startswith("stop")]
    found = new(job, without(job, *names))
    assert found["loose/weldment-1/member-1"].what.startswith("Nothing locates the weldment")
    assert found["loose/untouched"].what.startswith("Nothing locates A bottom")


def test_a_brace_loaded_first_is_loose_and_told_what_to_wait_for() -> None:
    job = layout("T04")
    proved = Proved(job)
    (order,) = proved.located.orders.values()
    brace = part_named(job, "K brace")
    turned = set_loading_order(job, "weldment-1", (brace, *order[:-1]))
    after = Proved(turned)
    assert after.order() == ["K brace", "U upright", "H arm"]
    member = after.part("K brace")
    assert member.located == "loose"
    assert sorted(after.named(member.after)) == ["H arm", "U upright"]
    one = new(job, turned)[f"loose/{brace}"]
    assert "load it after U upright and H arm" in one.do


@pytest.mark.source("method", "each mitre is 1-1/2 in wide; slid along it by d, 1-1/2 - d is left")
def test_a_bar_that_others_come_against_at_both_ends_is_lined_up_by_hand() -> None:
    """No end stop fits between two mitres; one does where an end is free for a third or more."""
    job = layout("T02")
    bottom, left = part_named(job, "A bottom"), part_named(job, "C left")
    by_hand = (
        "Line it up by hand before you tack: D right and C left come against its ends, and no"
        " stop fits there."
    )
    one = told(job)[f"loose/{bottom}"]
    assert (one.level, one.what) == ("look", "A bottom can slide along its length.")
    assert one.do == by_hand
    for inches, do in ((0.3, by_hand), (0.5, "Set an end stop."), (2.0, "Set an end stop.")):
        member = member_of(job, left)
        x, y = member.x + inches * INCH, member.y + inches * INCH
        slid_off = set_place(job, left, x=x, y=y)
        assert told(slid_off)[f"loose/{bottom}"].do == do


@pytest.mark.source("method", "every order of the four members: one of them is always loose")
def test_no_order_of_loading_is_named_that_only_makes_another_part_loose() -> None:
    """Of a mitred frame, each member is held along its length by the two at its ends alone."""
    job = layout("T02")
    ids = [part.id for part in job.parts]
    assert len(ids) == 4
    for order in permutations(ids):
        proved = Proved(set_loading_order(job, "weldment-1", order))
        loose = [one for one in proved.located.parts if one.located == "loose"]
        assert loose
        for one in loose:
            last = max((order.index(other) for other in one.after), default=-1)
            waited = [*order[: last + 1], one.id, *order[last + 1 :]]
            del waited[order.index(one.id)]
            again = Proved(set_loading_order(job, "weldment-1", waited))
            still = {part.id for part in again.located.parts if part.located == "loose"}
            assert not one.after or still < {part.id for part in loose}


def test_a_part_that_lies_on_one_loaded_later_says_so() -> None:
    job = layout("T10")
    feet, rails = (
        [part_named(job, f"{name}{n} {what}") for n in (1, 2)]
        for name, what in (("P", "foot plate"), ("R", "rail"))
    )
    turned = set_loading_order(job, "weldment-1", (*feet, *rails))
    found = new(job, turned)
    for foot in feet:
        one = found[f"order/{foot}"]
        assert one.level == "look"
        assert "loaded after it" in one.what
    assert set_loading_order(turned, "weldment-1", ()).weldments == job.weldments


def test_a_raised_bar_leaves_its_stops() -> None:
    """Above the stops, 1 in tall, nothing holds it any more."""
    job = layout("T01")
    raised = set_z(job, part_named(job, "A bottom"), 2.0 * INCH)
    bar = Proved(raised).part("A bottom")
    assert bar.contacts == ()
    assert bar.carried.how == "nothing"


def test_a_job_without_pieces_is_not_a_set_up_yet() -> None:
    job = layout("T01")
    names = [p.name for p in job.placements]
    assert told(without(job, *names)) == {}
