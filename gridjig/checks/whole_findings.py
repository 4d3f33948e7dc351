"""What is said of a job as a whole: shortages, the way up, saw cuts, joints that were left out."""

from collections.abc import Iterator

from gridjig.geometry import Pose
from gridjig.model import Job, Member
from gridjig.units import format_angle

from .finding import Finding, told_apart
from .hands import hand_findings
from .needs import needs, short_by
from .remembered import collected
from .way_up import too_high


def shortages(job: Job) -> Iterator[Finding]:
    """Pieces of which more are needed than the rack has.

    This does not stop a set-up: each can stand where it is, and one may be borrowed or made.
    """
    for piece_id, need in needs(job).items():
        piece = job.rack.find(piece_id)
        short = short_by(piece, need)
        if short:
            owned = piece.owned if piece else 0
            name = piece.full_name if piece else piece_id
            yield Finding(
                f"short/{piece_id}",
                "shortage",
                "look",
                f"{name}: {need.count} needed, {owned} on the rack, short by {short}.",
                None,
                need.placements,
                "Use a different piece, or correct the count on the rack.",
                float(need.count),
                float(owned),
                "pieces",
                "the count on the rack",
            )


@collected
def work_findings(job: Job) -> Iterator[Finding]:
    """What is said of the weldments whatever stands beside them."""
    yield from _way_up(job)
    yield from hand_findings(job, {})
    yield from _saw(job)
    yield from _joints_left_out(job)


def _way_up(job: Job) -> Iterator[Finding]:
    """A way up that the rack's risers cannot make, however they are stacked."""
    found = too_high(job)
    if found is not None:
        yield Finding(
            "way up",
            "shortage",
            "look",
            found.what,
            found.where,
            found.ids,
            found.do,
            found.needed,
            found.owned,
            "mm",
            "the risers on the rack",
        )


def _saw(job: Job) -> Iterator[Finding]:
    """Ends that are cut further from square than the shop's saw goes."""
    for part in job.parts:
        if not isinstance(part, Member):
            continue
        pose = Pose(part.x, part.y, part.turn)
        for end, cut, along in (("start", part.start, 0.0), ("end", part.end, part.length)):
            if job.beyond_saw(cut):
                steepest = max(abs(saw.angle) for saw in cut.saws)
                yield Finding(
                    f"saw/{part.id}/{end}",
                    "shortage",
                    "look",
                    f"The {end} of {told_apart(job, part.id)} is cut"
                    f" {format_angle(steepest)} from square; the shop's saw goes to"
                    f" {format_angle(job.saw)}.",
                    pose.point((along, 0.0)),
                    (part.id,),
                    "Cut it another way, or, if your saw can do it, correct “Saw cuts up to” under"
                    " “This job”.",
                    steepest,
                    job.saw,
                    "deg",
                    "the shop's saw, as the job describes it",
                )


def _joints_left_out(job: Job) -> Iterator[Finding]:
    """Places with so many parts that not all joints were searched."""
    if len(job.parts) < 2:
        return
    from gridjig.solve.weldment.joints import left_out  # noqa: PLC0415  # late: a table needs no numpy
    from gridjig.words.joints_text import pairs_left_out_text  # noqa: PLC0415  # late, as above

    if left_out(job.parts):
        what, do = pairs_left_out_text()
        yield Finding("joints left out", "access", "look", what, None, (), do)
