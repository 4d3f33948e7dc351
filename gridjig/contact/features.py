"""The working features of a placed piece, as the search for contacts needs them."""

from functools import lru_cache
from typing import NamedTuple

from gridjig.geometry import unit
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece, PlacedTip

PARALLEL = 0.05
"""A face within this many degrees of a side, or within its pins' play, is parallel to it."""

PACKING = "packing"
"""The id of the face of the packing beside a round body."""


class FaceFeature(NamedTuple):
    """A plane that faces the work, from `a` to `b`; its normal is to the right, seen from `a`."""

    id: str
    word: str
    a: Point
    b: Point
    normal: Point
    z_low: float
    z_high: float
    play: float


class RoundFeature(NamedTuple):
    """A round body."""

    id: str
    centre: Point
    radius: float
    z_low: float
    z_high: float


class RestFeature(NamedTuple):
    """A flat that carries the work."""

    id: str
    centre: Point
    radius: float
    z: float


class Features(NamedTuple):
    """All working features of a placed piece; `pad` is the tip of a clamp that presses down."""

    faces: tuple[FaceFeature, ...]
    rounds: tuple[RoundFeature, ...]
    rests: tuple[RestFeature, ...]
    pad: PlacedTip | None


NO_FEATURES = Features((), (), (), None)


def features_of(placed: PlacedPiece) -> Features:
    """The features of a placed piece; none if it has a fault."""
    return NO_FEATURES if placed.fault is not None else _features(Same(placed))


@lru_cache(maxsize=4096)
def _features(key: Same[PlacedPiece]) -> Features:
    placed = key.value
    word = "V" if placed.piece is not None and placed.piece.kind == "V-block" else "face"
    base = placed.way.play_deg if placed.way is not None else 0.0
    bodies = [face.body for face in placed.piece.faces] if placed.piece is not None else []
    faces = [
        FaceFeature(
            face.id,
            word,
            face.a,
            face.b,
            face.normal,
            face.z_low,
            face.z_high,
            max(PARALLEL, base + placed.leaf_play if body else base),
        )
        for face, body in zip(placed.faces, bodies, strict=True)
    ]
    if placed.rounds and not placed.faces:
        faces += [_packed(placed, solid.points, solid.z_low, solid.z_high)
                  for solid in placed.solids if solid.role == "packing"]  # fmt: skip
    pad = None
    if placed.tip is not None and placed.tip.push == "along":
        faces.append(_pushing(placed.tip))
    else:
        pad = placed.tip
    return Features(
        tuple(faces),
        tuple(RoundFeature(r.id, r.centre, r.radius, r.z_low, r.z_high) for r in placed.rounds),
        tuple(
            RestFeature(f"rest {k + 1}" if k else "rest", r.centre, r.radius, r.z)
            for k, r in enumerate(placed.rests)
        ),
        pad,
    )


def _packed(placed: PlacedPiece, ring: tuple[Point, ...], low: float, high: float) -> FaceFeature:
    """The face of the packing beside a round body: the outermost side of its ring."""
    pose = (
        placed.poses[placed.piece.rounds[0].body] if placed.piece is not None else placed.poses[0]
    )
    centre = placed.rounds[0].centre
    x, y = pose.point((1.0, 0.0))
    normal = (x - pose.x, y - pose.y)
    a, b = sorted(
        ring, key=lambda p: (p[0] - centre[0]) * normal[0] + (p[1] - centre[1]) * normal[1]
    )[-2:]
    if (b[1] - a[1]) * normal[0] - (b[0] - a[0]) * normal[1] < 0.0:
        a, b = b, a
    return FaceFeature(PACKING, "face", a, b, normal, low, high, PARALLEL)


def _pushing(tip: PlacedTip) -> FaceFeature:
    """The tip of a clamp that pushes along the table, as wide as its pad."""
    nx, ny = unit(tip.direction)
    r = tip.pad_radius
    a = (tip.at[0] + ny * r, tip.at[1] - nx * r)
    b = (tip.at[0] - ny * r, tip.at[1] + nx * r)
    return FaceFeature("tip", "pad", a, b, (nx, ny), tip.z_low, tip.z_high, PARALLEL)
