"""What a placed piece offers: the room it takes, its faces, rounds, rests and clamp tip."""

import math
from functools import lru_cache

from gridjig.geometry import Pose, unit
from gridjig.geometry.shapes import sector, strip
from gridjig.model import Placement
from gridjig.rack import ClampTip, Face, Piece, Point, Rack, Round

from .placed_piece import PlacedFace, PlacedRest, PlacedRound, PlacedSolid, PlacedTip

Poses = tuple[Pose, ...]


def placed_solids(
    rack: Rack,
    piece: Piece,
    placement: Placement,
    poses: Poses,
    z: float,
    reach: float,
    packing: float,
) -> tuple[PlacedSolid, ...]:
    """All room taken: bodies, clamp bar and handle, the stack below, packing in front of the face.

    On a round pin the packing is in front of the first round body, where the piece's x axis points.
    Risers and shims of the stack take the base body's pose, bottom first.
    """
    solids = [
        PlacedSolid(
            poses[s.body].points(s.outline),
            s.z_low + z,
            s.z_high + z,
            "leaf" if s.body else "body",
            tuple(map(poses[s.body].points, s.openings)) if s.openings else (),
        )
        for s in piece.solids
    ]
    if piece.tip is not None:
        solids.extend(_clamp_room(piece.tip, poses[0], z, reach))
    if placement.lift:
        solids.extend(_stack(rack, placement.lift, poses[0]))
    if packing > 0.0 and piece.faces:
        solids.append(_pack(piece.faces[0], poses, z, packing))
    elif packing > 0.0 and piece.rounds:
        solids.append(_pack_round(piece.rounds[0], poses, z, packing))
    return tuple(solids)


def _clamp_room(tip: ClampTip, base: Pose, z: float, reach: float) -> list[PlacedSolid]:
    """The bar from the post to the far edge of the tip, and the sector that the handle sweeps.

    A push clamp's bar ends at its reach: the work it pushes is not in its way.
    """
    low, high = tip.bar_z_low + z, tip.bar_z_high + z
    c, s = unit(tip.direction)
    far = max(reach + (tip.pad_radius if tip.push == "down" else 0.0), 1e-3)
    end = (tip.at[0] + c * far, tip.at[1] + s * far)
    bar = PlacedSolid(base.points(strip(tip.at, end, tip.bar_width)), low, high, "bar")
    if tip.handle_radius <= 0.0:
        return [bar]
    return [bar, PlacedSolid(base.points(_handle(tip)), low, high, "handle")]


@lru_cache(maxsize=64)
def _handle(tip: ClampTip) -> tuple[Point, ...]:
    """The area the handle sweeps, in the piece's frame."""
    end = tip.handle_end
    while end <= tip.handle_start:
        end += 360.0
    return sector(tip.at, tip.handle_radius, tip.handle_start, end)


def _stack(rack: Rack, names: tuple[str, ...], base: Pose) -> list[PlacedSolid]:
    found: list[PlacedSolid] = []
    z = 0.0
    for name in names:
        piece = rack.find(name)
        if piece is None:
            break
        for s in piece.solids:
            ring, cut = base.points(s.outline), tuple(map(base.points, s.openings))
            found.append(PlacedSolid(ring, z + s.z_low, z + s.z_high, "lift", cut))
        z += piece.thickness
    return found


def _pack(face: Face, poses: Poses, z: float, packing: float) -> PlacedSolid:
    placed = _face(face, poses, z, 0.0)
    (ax, ay), (bx, by) = placed.a, placed.b
    dx, dy = placed.normal[0] * packing, placed.normal[1] * packing
    ring = ((bx, by), (ax, ay), (ax + dx, ay + dy), (bx + dx, by + dy))
    return PlacedSolid(ring, placed.z_low, placed.z_high, "packing")


def _pack_round(body: Round, poses: Poses, z: float, packing: float) -> PlacedSolid:
    """Packing beside a round body, on the side that the piece's x axis points to."""
    x, y, r = *body.centre, body.radius
    near, far = x + r, x + r + packing
    ring = poses[body.body].points(((near, y - r), (far, y - r), (far, y + r), (near, y + r)))
    return PlacedSolid(ring, body.z_low + z, body.z_high + z, "packing")


def placed_faces(piece: Piece, poses: Poses, z: float, packing: float) -> tuple[PlacedFace, ...]:
    """All locating faces.  Packing goes in front of the piece's first face and moves it out."""
    return tuple(
        _face(face, poses, z, packing if index == 0 else 0.0)
        for index, face in enumerate(piece.faces)
    )


def _face(face: Face, poses: Poses, z: float, out: float) -> PlacedFace:
    """The face moved out along its normal.  A mirrored face is reversed: its normal is right."""
    a, b = poses[face.body].points((face.a, face.b))
    normal = _right_of(a, b)
    if out:
        a = (a[0] + normal[0] * out, a[1] + normal[1] * out)
        b = (b[0] + normal[0] * out, b[1] + normal[1] * out)
    return PlacedFace(face.id, a, b, normal, face.z_low + z, face.z_high + z)


def _right_of(a: Point, b: Point) -> Point:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    return (dy / length + 0.0, -dx / length + 0.0)


def placed_rounds(piece: Piece, poses: Poses, z: float) -> tuple[PlacedRound, ...]:
    """All round locating bodies."""
    return tuple(
        PlacedRound(r.id, poses[r.body].point(r.centre), r.radius, r.z_low + z, r.z_high + z)
        for r in piece.rounds
    )


def placed_rests(piece: Piece, base: Pose, z: float) -> tuple[PlacedRest, ...]:
    """All flats that carry the work."""
    return tuple(PlacedRest(base.point(r.centre), r.radius, r.z + z) for r in piece.rests)


def placed_tip(tip: ClampTip, base: Pose, z: float, reach: float) -> PlacedTip:
    """The clamp's tip, set out by its reach."""
    c, s = unit(tip.direction)
    at = base.point((tip.at[0] + c * reach, tip.at[1] + s * reach))
    return PlacedTip(
        at, base.direction(tip.direction), tip.push, tip.z_low + z, tip.z_high + z, tip.pad_radius
    )
