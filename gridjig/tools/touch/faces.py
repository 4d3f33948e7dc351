"""The upright faces of the weldment that a piece may touch, and which are near a point."""

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from gridjig.geometry.box_index import BoxIndex
from gridjig.geometry.part_solids import part_solids
from gridjig.model import FaceOf, Part
from gridjig.rack import Point
from gridjig.rack.same import Same


class UprightFace(NamedTuple):
    """An upright face of a part, `a` to `b` in plan, with its outward normal and heights; mm."""

    part: str
    side: int
    a: Point
    b: Point
    normal: Point
    z_low: float
    z_high: float
    look: float
    """The direction in which a piece squarely in front of it looks, degrees."""
    length: float

    @property
    def of(self) -> FaceOf:
        """The face as the job refers to it."""
        return FaceOf(self.part, self.side)

    def gap(self, p: Point) -> float:
        """Return how far a point is in front of its plane, mm; negative behind it."""
        nx, ny = self.normal
        return nx * (p[0] - self.a[0]) + ny * (p[1] - self.a[1])

    def along(self, p: Point) -> float:
        """Return how far along it a point is, mm from `a`."""
        nx, ny = self.normal
        return -ny * (p[0] - self.a[0]) + nx * (p[1] - self.a[1])

    def distance(self, p: Point) -> float:
        """Return the distance of a point from the face itself, mm."""
        along = self.along(p)
        beside = max(-along, along - self.length, 0.0)
        return math.hypot(self.gap(p), beside)


class FacesAlike:
    """Faces with the same normal.

    `placed` has each with the place of its plane along the normal, and of its end `a` along the
    plane, both in mm from the origin of the table.
    """

    __slots__ = ("faces", "look", "normal", "placed")

    def __init__(self, faces: Sequence[UprightFace]) -> None:
        self.faces = faces
        self.normal, self.look = faces[0].normal, faces[0].look
        nx, ny = self.normal
        self.placed = [
            (face, nx * face.a[0] + ny * face.a[1], nx * face.a[1] - ny * face.a[0])
            for face in faces
        ]


def faces_alike(faces: Iterable[UprightFace]) -> list[FacesAlike]:
    """Return the faces in groups, each with one normal."""
    groups: dict[Point, list[UprightFace]] = {}
    for face in faces:
        groups.setdefault(face.normal, []).append(face)
    return [FacesAlike(group) for group in groups.values()]


class UprightFaces:
    """All upright faces of a weldment, looked up by position."""

    def __init__(self, parts: tuple[Part, ...]) -> None:
        self.every: list[UprightFace] = []
        self._near: BoxIndex[int] = BoxIndex()
        for part in parts:
            for solid in part_solids(part):
                for k, name in enumerate(solid.faces):
                    a, b = solid.ring[k], solid.ring[(k + 1) % len(solid.ring)]
                    length = math.dist(a, b)
                    if name is None or name.kind != "side" or length <= 0.0:
                        continue
                    normal = ((b[1] - a[1]) / length, (a[0] - b[0]) / length)
                    box = (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
                    self._near.put(len(self.every), box)
                    look = math.degrees(math.atan2(-normal[1], -normal[0]))
                    z = (solid.z_low, solid.z_high)
                    self.every.append(
                        UprightFace(part.id, name.number, a, b, normal, *z, look, length)
                    )

    def near(self, at: Point, reach: float) -> list[UprightFace]:
        """Return the faces within `reach` mm of a point, nearest first.

        Of two equally near faces at a corner, the one with the point in front of it comes first.
        """
        x, y = at
        found = [
            self.every[k] for k in self._near.touching((x - reach, y - reach, x + reach, y + reach))
        ]
        ranked = [(round(face.distance(at), 6), face.gap(at) < 0.0, face) for face in found]
        return [face for far, _, face in sorted(ranked) if far <= reach]


@lru_cache(maxsize=4)
def _upright_faces(key: Same[tuple[Part, ...]]) -> UprightFaces:
    return UprightFaces(key.value)


def upright_faces(parts: tuple[Part, ...]) -> UprightFaces:
    """Return the upright faces of these parts; cached for the same tuple."""
    return _upright_faces(Same(parts))
