"""Edits of the choices for joints and faces: welds, their names, datum and critical faces.

The first weld that is chosen fixes the names of all joints, so that they do not change when parts
come and go.
"""

from collections.abc import Iterable, Mapping, Set

from msgspec import structs

from gridjig.geometry.box_index import touch
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Datum, FaceOf, Job, Part, Weld, WeldedSides, WeldKind
from gridjig.model.by_weldment import weldment_of
from gridjig.model.changes import exchanged
from gridjig.model.titles import title, weldment_title
from gridjig.solve.weldment.joints import joints
from gridjig.solve.weldment.meeting import GAP
from gridjig.solve.weldment.welds import THROATED, JointKey, Welded, key_of, welded

from .lookup import part_of, with_weldment

LONGEST_NAME = 40


def set_welds(
    job: Job,
    joint_ids: Set[str] | None = None,
    *,
    kind: WeldKind | None = None,
    leg: float | None = None,
    throat: float | None = None,
    sides: WeldedSides | None = None,
) -> Job:
    """Choose the welds of these joints, or of all: kind, leg or throat in mm, the welded sides.

    None leaves it as it is; a leg takes the place of a throat, and the other way round.  Other
    kinds than a fillet or corner weld have no throat.  Raises KeyError if there is no such joint.
    """
    chosen = _chosen(job, joint_ids)
    return _with_welds(
        job, {key_of(one.joint): _changed(one, kind, leg, throat, sides) for one in chosen}
    )


def _changed(
    one: Welded,
    kind: WeldKind | None,
    leg: float | None,
    throat: float | None,
    sides: WeldedSides | None,
) -> Weld:
    weld = structs.replace(_weld(one), kind=kind or (one.chosen.kind if one.chosen else None))
    if throat is not None:
        weld = structs.replace(weld, leg=0.0 if throat else weld.leg, throat=throat)
    if leg is not None:
        weld = structs.replace(weld, leg=leg, throat=0.0 if leg else weld.throat)
    if weld.throat and (weld.kind or one.kind) not in THROATED:
        weld = structs.replace(weld, leg=weld.throat, throat=0.0)
    return structs.replace(weld, sides=sides or weld.sides)


def clear_welds(job: Job, joint_ids: Set[str] | None = None) -> Job:
    """Return these joints, or all, to the suggested weld; their names stay."""
    return _with_welds(
        job,
        {
            key_of(one.joint): structs.replace(
                _weld(one), kind=None, leg=0.0, throat=0.0, sides="all round"
            )
            for one in _chosen(job, joint_ids)
        },
    )


def name_joint(job: Job, joint_id: str, name: str) -> Job:
    """Name a joint.

    Raises ValueError if the name is empty, too long or taken; KeyError if there is no such joint.
    """
    (one,) = _chosen(job, {joint_id})
    name = name.strip()
    if not name:
        raise ValueError("a joint needs a name; type at least one letter or digit")
    if len(name) > LONGEST_NAME:
        raise ValueError(f"the name of a joint can have at most {LONGEST_NAME} characters")
    for other in welded(job):
        if other.name == name and other.joint.id != joint_id:
            raise ValueError(f"{name} is the name of another joint; choose another name")
    return _with_welds(job, {key_of(one.joint): structs.replace(_weld(one), name=name)})


def keep_names(job: Job) -> Job:
    """Store the current names of the joints, so that they keep them from now on."""
    return _with_welds(job, {})


def carry_names(before: Job, after: Job) -> Job:
    """The job after an edit, with the joints named as they were before it.

    Names are stored only if the edit would change one, by adding or removing a joint.
    """
    old, new = before.parts, after.parts
    if old is new or len(old) < 2:
        return after
    places = exchanged(old, new)
    if places is not None and _meetings(old, places) == _meetings(new, places):
        return after
    was = {key_of(one.joint): one.name for one in welded(before)}
    now = {key_of(one.joint): one.name for one in welded(after)}
    if all(was.get(key, name) == name for key, name in now.items()):
        return after
    there = {key_of(weld) for weld in after.welds}
    parts = {part.id for part in new}
    kept = (weld for weld in keep_names(before).welds if {weld.a, weld.b} <= parts)
    more = (weld for weld in kept if key_of(weld) not in there)
    return structs.replace(after, welds=(*after.welds, *more))


def _meetings(parts: tuple[Part, ...], places: Iterable[int]) -> list[JointKey]:
    """The joints of the parts at these indices, and of those near them."""
    boxes = [bounds(part_ring(part)) for part in parts]
    corners = [point for k in places for point in part_ring(parts[k])]
    if not corners:
        return []
    changed = bounds(corners)
    near = tuple(part for part, box in zip(parts, boxes, strict=True) if touch(box, changed, GAP))
    return [key_of(joint) for joint in joints(near)]


def set_datum(job: Job, datum: Datum, weldment: str | None = None) -> Job:
    """Choose the datum faces of a weldment, by default the first; None means the proposed face.

    Raises KeyError if there is no such part or weldment, IndexError if it has no such side,
    ValueError if the part is in another weldment.
    """
    one = weldment_of(job, weldment)
    chosen = [face for face in (datum.long, datum.end) if face is not None]
    _require_faces(job, chosen)
    for face in chosen:
        if part_of(job, face.part).weldment != one.id:
            raise ValueError(
                f"{title(job, face.part)} is no part of {weldment_title(job, one.id)};"
                " a weldment is measured from faces of its own"
            )
    return with_weldment(job, structs.replace(one, datum=datum))


def set_critical(job: Job, faces: Iterable[FaceOf]) -> Job:
    """Choose the faces that must lie on the grid.  Raises the errors of `set_datum`."""
    chosen = tuple(dict.fromkeys(faces))
    _require_faces(job, chosen)
    return job if chosen == job.critical else structs.replace(job, critical=chosen)


def _require_faces(job: Job, faces: Iterable[FaceOf]) -> None:
    for face in faces:
        part = part_of(job, face.part)
        count = len(part.corners)
        if not 0 <= face.side < count:
            name = part.name or part.id
            raise IndexError(f"{name} has {count} sides and no side {face.side + 1}")


def _chosen(job: Job, joint_ids: Set[str] | None) -> list[Welded]:
    every = welded(job)
    if joint_ids is None:
        return list(every)
    missing = joint_ids - {one.joint.id for one in every}
    if missing:
        raise KeyError(min(missing))
    return [one for one in every if one.joint.id in joint_ids]


def _weld(one: Welded) -> Weld:
    """The weld of a joint as the job would store it, with the joint's current name."""
    kept = one.chosen or Weld(a=one.joint.a, b=one.joint.b, nth=one.joint.nth)
    return structs.replace(kept, name=one.name)


def _with_welds(job: Job, changed: Mapping[JointKey, Weld]) -> Job:
    """The job with these welds, and with the names of all its joints stored.

    Welds of joints that are apart at the moment stay: the parts may meet again.
    """
    made = [changed.get(key_of(one.joint), _weld(one)) for one in welded(job)]
    there = {key_of(weld) for weld in made}
    welds = (*made, *(weld for weld in job.welds if key_of(weld) not in there))
    return job if welds == job.welds else structs.replace(job, welds=welds)
