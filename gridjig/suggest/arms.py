"""Arms that hold a face which slopes across the grid, as the angle finder finds them along it."""

from collections.abc import Iterator, Sequence

from gridjig.contact.touching import to_touch
from gridjig.geometry.lines import line_angle
from gridjig.solve.angles.answers import AlongFace, AngleAnswer, AngleLimits, AngleWay, Fouled
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.finder import answer_placements, find_angles
from gridjig.solve.angles.wanted import as_edge
from gridjig.solve.weldment.faces import WorkFace

from .site import Atom, Site
from .stops import Span, fits, settled

ARMS = 12
"""How many places of arms are considered for each face and each way of setting them."""
WAYS: tuple[AngleWay, ...] = ("arm", "scale")
"""Locked by holes, which seldom gives the very angle; set by a scale, where the rack has one."""


def arm_atoms(site: Site, face: WorkFace, kind: str, spans: Sequence[Span]) -> Iterator[Atom]:
    """Arms and angle blocks that lie flat against a face that slopes."""
    for way in WAYS:
        yield from _by(site, face, kind, spans, way)


def _by(
    site: Site, face: WorkFace, kind: str, spans: Sequence[Span], way: AngleWay
) -> Iterator[Atom]:
    job = site.job
    far = 1.5 * max(job.table.pitch_x, job.table.pitch_y)
    along = AlongFace(face.a, face.b, "right", 0.0, far, tuple(spans), face.z_low, face.z_high)
    limits = AngleLimits(
        along=along,
        taken=site.taken,
        only_left=True,
        used=tuple(site.used.items()),
        leg=max(face.length, 1.0),
        base_to=max(face.length, job.table.pitch_x),
        angle_class="A",
        ways=(way,),
        top=ARMS,
    )
    wanted = as_edge(line_angle(face.a, face.b), "whole", False, False)

    def in_the_way(answer: AngleAnswer) -> Fouled | None:
        for which, placement in enumerate(answer_placements(answer, ("new",))):
            if site.standing(placement) is None:
                return Fouled("something is in the way", which)
        return None

    try:
        found = find_angles(job.table, job.rack, wanted, limits, in_the_way=in_the_way)
    except AngleFault:
        return
    for answer in found.ranked:
        (placement,) = answer_placements(answer, ("new",))
        made = to_touch(job, placement, face.of, site.used)
        if fits(made):
            atom = settled(site, made.placement, made, kind, face, spans)
            if atom is not None:
                yield atom
