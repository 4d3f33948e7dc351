"""The trial weldments: how their clamps hold them, and what breaking them does."""

import pytest
from msgspec import structs

from gridjig.checks.contact_findings import contact_findings
from gridjig.contact.touching import to_touch
from gridjig.edits.lookup import new_id
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Job, Placement, Seat
from gridjig.model.labels import find_hole
from gridjig.proof.held.findings import held_findings
from tests.proof.layouts import Proved, layout, long_face, piece_named, without
from tests.trials.keyed import part_named
from tests.trials.layout import put


def said(job: Job) -> dict[str, str]:
    proved = Proved(job)
    return {one.id: one.what for one in held_findings(proved.job, proved.held)}


def test_stops_all_round_hold_the_frame_by_shape_and_its_bars_by_friction() -> None:
    proved = Proved(layout("T01"))
    (whole,) = proved.held.weldments
    assert whole.by == "shape"
    assert len(whole.clamps) == 4
    assert [one.by for one in proved.held.parts] == ["friction"] * 4
    assert all(one.push is not None and one.push > 0.0 for one in proved.held.parts)
    assert all(one.off == 0.0 for one in proved.held.clamps)  # over the table
    assert said(layout("T01")) == {}


def test_without_clamps_only_weight_holds_a_frame_that_can_leave() -> None:
    """The trial with a strut has no clamp at all."""
    proved = Proved(layout("T06"))
    assert proved.held.clamps == ()
    (whole,) = proved.held.weldments
    assert (whole.by, whole.clamps) == ("weight", ())
    assert said(layout("T06"))["friction/weldment-1/member-1"].startswith(
        "No clamp presses the weldment: only its weight holds it against a push of"
    )


def test_a_clamp_taken_away_leaves_its_bar_to_be_held_by_hand() -> None:
    broken = without(layout("T01"), "Clamp C mid")
    assert said(broken)["friction/unclamped"] == (
        "No clamp presses C left: hold it until it is tacked."
    )


def test_a_clamp_over_nothing_has_no_support_below_its_tip() -> None:
    """The risers under the brace are not where its clamp presses."""
    job = layout("T04")
    bare = structs.replace(
        job, placements=tuple(p for p in job.placements if p.piece != "riser-1-4")
    )
    clamp = piece_named(job, "Clamp K")
    distances: list[float | None] = []
    for one in (job, bare):
        proved = Proved(one)
        (found,) = [c for c in proved.held.clamps if c.placement == clamp]
        distances.append(found.off)
        ids = [f.id for f in contact_findings(one, proved.placed, proved.contacts)]
        assert f"unsupported/{clamp}" in ids  # one rule says it, in one place
    beside, gone = distances
    assert gone is None
    assert beside is not None
    assert beside > 25.0


def pushed(job: Job) -> Job:
    """The end stop of the arm exchanged for a clamp that pushes it home."""
    arm = part_named(job, "H arm")
    thing = next(one for one in job.parts if one.id == arm)
    ends = [k for k in range(4) if k not in thing.mill_edges]  # type: ignore[union-attr]
    job = without(job, "H end")
    here = Placement(
        id=new_id(job, "push"),
        piece="clamp-push",
        name="Push",
        seats=tuple(
            Seat(name, find_hole(job.table, hole))
            for name, hole in (("front", "P7"), ("back", "Q7"))
        ),
        turn=90.0,
    )
    face = long_face(job, arm, (1.0, 0.0))
    assert face.side in ends
    return put(job, to_touch(job, here, face).placement)


@pytest.mark.source("method", "by hand: forces along and across add up, and so do the moments")
def test_a_push_clamp_seats_the_bracket() -> None:
    """1000 N at y = 13 in, below both side stops at 15 and 27 in: what they lack in moment, the
    arm's stop at x = 25 in and the upright's end stop at x = 13 in make up.
    """
    proved = Proved(pushed(layout("T04")))
    forces = {one.placement: one.reaction for one in proved.held.locators}
    one, two, end, arm = (
        forces[piece_named(proved.job, name)]
        for name in ("U datum 1", "U datum 2", "U end", "H datum 1")
    )
    assert not any(locator.lifts for locator in proved.held.locators)
    assert min(one, two, end, arm) > 0.0
    assert one + two == pytest.approx(1000.0)
    assert end == pytest.approx(arm)
    assert sum(forces.values()) == pytest.approx(one + two + end + arm)  # none on the pins
    # A face that is loaded along its length takes its force up to 3/4 in off its middle.
    assert 15.0 * one + 27.0 * two - 12.0 * arm == pytest.approx(13.0 * 1000.0, abs=750.0)
    (whole,) = proved.held.weldments
    assert (whole.by, whole.lifts) == ("clamps", ())


def test_a_push_on_a_bar_with_nothing_behind_it_waits_for_the_tacks() -> None:
    """The right stile of a sample stands between rails that run through: a push at its side takes
    it off its stop, until it is tacked to the rails.
    """
    proved = Proved(load_job(samples()["2-harbour-gate"]))
    said = {one.id: one for one in held_findings(proved.job, proved.held)}
    stile = part_named(proved.job, "Right stile")
    one = said[f"lifts/{stile}"]
    assert (one.kind, one.level) == ("lifts", "look")
    assert one.what.endswith("only friction keeps it there until it is tacked.")
    assert one.do.startswith("Close that clamp after the first tacks")
