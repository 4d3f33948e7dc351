"""What a face of a part is called: "Top rail, back face"."""

import math

from gridjig.geometry.part_outline import mill_faces
from gridjig.geometry.part_solids import PartFace
from gridjig.model import Job, Part
from gridjig.model.titles import title
from gridjig.units import format_rounded_angle

from .values import Vector

_ALIGNED = 1e-4
"""A face looks along the grid if it is out by no more than this: 0.1 mm over a metre."""


def side_title(job: Job, part: str, face: PartFace, normal: Vector) -> str:
    """A face of a part in words: "Top rail, back face"."""
    return f"{title(job, part)}, {face_title(job, part, face, normal)}"


def face_title(job: Job, part: str, face: PartFace, normal: Vector) -> str:
    """A face in words where it is plain whose it is: "back face"."""
    if face.kind in ("top", "bottom"):
        return "top" if face.kind == "top" else "underside"
    if face.kind == "corner":
        return "corner"
    if face.kind == "hole":
        return f"hole {face.number + 1}"
    thing = job.find(part)
    sawn = isinstance(thing, Part) and face.kind == "side" and face.number not in mill_faces(thing)
    made = "inside face" if face.kind == "inside" else "cut end" if sawn else "face"
    x, y, _ = normal
    if abs(x) <= _ALIGNED:
        return f"{'back' if y > 0.0 else 'front'} {made}"
    if abs(y) <= _ALIGNED:
        return f"{'right' if x > 0.0 else 'left'} {made}"
    along = math.degrees(math.atan2(x, -y)) % 180.0
    return f"{made} at {format_rounded_angle(along)}"
