"""Whether a piece can be made: its holes lie in steel, its faces on its edges."""

import shapely
from shapely.geometry.base import BaseGeometry

from gridjig.rack import ArcSlot, MountFeature, Piece, RoundHole, Shank

from .piece_mass import cut_out

NEAR = 1e-3
"""A face within this distance (mm) of the edge of its outline lies on it."""

LEAST = 0.1
"""The least steel, in mm, between a hole and the edge of its piece."""


def unsound(piece: Piece) -> str | None:
    """A sentence about the first thing that could not be made; None if the piece is sound."""
    plans: dict[int, BaseGeometry] = {}
    for solid in piece.solids:
        plan: BaseGeometry = shapely.Polygon(solid.outline)
        if not plan.is_valid or plan.area <= 0:
            return "The outline would cross itself; choose a size nearer to the one it has."
        for opening in solid.openings:
            cut = shapely.Polygon(opening)
            if not _can_be_cut(cut, plan):
                return "There would be no steel left at the edge of an opening."
            plan = plan.difference(cut)
        plans[solid.body] = plan.union(plans.get(solid.body, shapely.Polygon()))
    for mount in piece.mounts:
        why = _mount_fault(mount, plans.get(mount.body))
        if why:
            return why
    for face in piece.faces:
        line = shapely.LineString([face.a, face.b])
        if not _on_edge(piece, face.body, line):
            return f"Face {face.id} would not lie on the edge of the piece."
    for body in piece.rounds:
        ring = shapely.Point(body.centre).buffer(body.radius, quad_segs=64)
        under = plans.get(body.body, shapely.Polygon())
        if not under.buffer(0.01 * body.radius, quad_segs=16).covers(ring):
            return f"The round body {body.id} would stick out of its own outline."
    return None


def _mount_fault(mount: MountFeature, plan: BaseGeometry | None) -> str | None:
    """Why the feature could not be cut, or None.  A shank only has to be under the body."""
    kind = "hole" if isinstance(mount, RoundHole) else "slot"
    word = f"the {kind}" if mount.id == kind else f"{kind} {mount.id}"
    if plan is None:
        return f"There is no steel around {word}."
    if isinstance(mount, Shank):
        if not plan.covers(shapely.Point(mount.at)):
            return f"Shank {mount.id} would not be under the body."
        return None
    if isinstance(mount, ArcSlot) and mount.radius <= mount.width / 2:
        return f"The radius of {word} would be less than half its width."
    if not _can_be_cut(cut_out(mount), plan):
        return f"There would be no steel left at the edge of {word}."
    return None


def _can_be_cut(cut: BaseGeometry, plan: BaseGeometry) -> bool:
    """True if steel is left all round what is cut out."""
    return cut.is_valid and plan.contains(cut) and plan.boundary.distance(cut) >= LEAST


def _on_edge(piece: Piece, body: int, line: shapely.LineString) -> bool:
    """True if the whole line lies on the edge of one outline or opening of that body."""
    for solid in piece.solids:
        for ring in (solid.outline, *solid.openings):
            edge = shapely.LinearRing(ring)
            if solid.body == body and edge.buffer(NEAR, quad_segs=4).covers(line):
                return True
    return False
