"""Copies of whole weldments are weldments of their own; other copies stay with their originals.

A weldment is copied as a whole if all its parts are copied and are joined to one another: copies of
a lone bar, or of two loose rails, are more parts of the same weldment.
"""

from collections.abc import Callable, Mapping, Set

from msgspec import Struct, structs

from gridjig.model import Datum, FaceOf, Job, Part, Weldment
from gridjig.model.by_weldment import parts_by_weldment

Faces = Callable[[FaceOf], FaceOf]
"""The face of a changed part that a face of the original becomes; it keeps the part's id."""


def same_face(face: FaceOf) -> FaceOf:
    """The face itself, for copies that keep the numbers of their sides."""
    return face


class CopyHomes(Struct, frozen=True):
    """A job with new weldments for copies, and their ids by those of the weldments copied."""

    job: Job
    new: Mapping[str, str]

    def of(self, original: Part) -> str:
        """The weldment that a copy of this part belongs to."""
        return self.new.get(original.weldment, original.weldment)


def homes(
    job: Job, copies: Mapping[str, str], face: Faces = same_face, *, hand: bool = False
) -> CopyHomes:
    """Add a weldment for each one that these copies are a whole of, with its datum.

    `copies` maps the ids of the originals to those of the copies.  With `hand` the new ones are the
    opposite hands.
    """
    new: dict[str, str] = {}
    for one in job.weldments:
        parts = parts_by_weldment(job.parts).get(one.id, ())
        if len(parts) > 1 and copies.keys() >= {p.id for p in parts} and _joined(parts):
            made = copied(job, one, copies, face, hand=hand)
            new[one.id] = made.id
            critical = copied_critical(job, {p.id: copies[p.id] for p in parts}, face)
            job = structs.replace(job, weldments=(*job.weldments, made), critical=critical)
    return CopyHomes(job, new)


def _joined(parts: tuple[Part, ...]) -> bool:
    from gridjig.solve.weldment.joints import joints  # noqa: PLC0415 - late: a table needs no numpy

    beside: dict[str, set[str]] = {part.id: set() for part in parts}
    for joint in joints(parts):
        beside[joint.a].add(joint.b)
        beside[joint.b].add(joint.a)
    found, new = {parts[0].id}, [parts[0].id]
    while new:
        more: Set[str] = beside[new.pop()] - found
        found |= more
        new += more
    return len(found) == len(parts)


def copied(
    job: Job,
    one: Weldment,
    copies: Mapping[str, str],
    face: Faces = same_face,
    *,
    hand: bool = False,
    name: str | None = None,
) -> Weldment:
    """A weldment like another one, for copies of its parts; it is not added to the job yet."""

    def followed(chosen: FaceOf | None) -> FaceOf | None:
        if chosen is None or chosen.part not in copies:
            return None
        return FaceOf(copies[chosen.part], face(chosen).side)

    if name is None:
        name = other_hand_name(one.name) if hand else one.name
    return structs.replace(
        one,
        id=new_weldment_id(job),
        name=free_name(job, name),
        opposite_of=one.id if hand else one.opposite_of,
        datum=Datum(long=followed(one.datum.long), end=followed(one.datum.end)),
        loading=tuple(copies[part] for part in one.loading if part in copies),
    )


def copied_critical(
    job: Job, copies: Mapping[str, str], face: Faces = same_face
) -> tuple[FaceOf, ...]:
    """The critical faces of the job, and those of the copies whose originals are critical."""
    more = (FaceOf(copies[f.part], face(f).side) for f in job.critical if f.part in copies)
    return (*job.critical, *more)


def new_weldment_id(job: Job) -> str:
    """The first free id for a weldment."""
    used = {one.id for one in job.weldments}
    number = 1
    while f"weldment-{number}" in used:
        number += 1
    return f"weldment-{number}"


def free_name(job: Job, wanted: str) -> str:
    """The wanted name, or with the first number that makes it a new one; "" stays empty."""
    taken = {one.name for one in job.weldments}
    if not wanted or wanted not in taken:
        return wanted
    number = 2
    while f"{wanted} {number}" in taken:
        number += 1
    return f"{wanted} {number}"


def other_hand_name(name: str) -> str:
    """What the opposite hand of a weldment is called: left and right, LH and RH change places.

    A name without a hand gets the words; an empty name stays empty.
    """
    words = name.split(" ")
    for one, other in _HANDS:
        for old, new in ((one, other), (other, one)):
            if old in words:
                return " ".join(new if word == old else word for word in words)
    return f"{name}, opposite hand" if name else ""


_HANDS = (("LH", "RH"), ("Left", "Right"), ("left", "right"), ("L.H.", "R.H."))
