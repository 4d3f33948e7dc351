"""What `gridjig contacts --json` prints."""

from collections.abc import Mapping
from typing import Literal

from gridjig.contact.belonging import pieces_of
from gridjig.contact.overlap import Overlap
from gridjig.contact.values import (
    Clamped,
    Contact,
    JobContacts,
    Kind,
    Means,
    PartContact,
    Role,
    RoleName,
    Support,
)
from gridjig.model import Job
from gridjig.model.by_weldment import parts_of
from gridjig.model.titles import weldment_title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece

from .base import Output, Pair

Normal = tuple[float, float, float]


class ClampSupport(Output, frozen=True):
    """What takes the push of a clamp, and how far from its line."""

    what: Literal["table", "rest", "locator", "part"]
    id: str
    distance_mm: float


class ClampedPart(Output, frozen=True):
    """What a clamp presses on, where, and over what support, the nearest first."""

    part: str
    at_mm: Pair
    z_mm: float
    over: tuple[ClampSupport, ...]


class PieceRole(Output, frozen=True):
    """What a placed piece does, and to which parts.

    `accepted_gap_mm` is the widest gap that the shop accepts before it, 0 if none; across such a
    gap it "stands off".
    """

    piece: str
    role: RoleName
    parts: tuple[str, ...]
    clamps: ClampedPart | None
    accepted_gap_mm: float


class Touch(Output, frozen=True):
    """A feature of a placed piece that touches a face of a part."""

    piece: str
    feature: str
    part: str
    face: str
    kind: Kind
    gap_mm: float
    length_mm: float
    z_mm: Pair
    points_mm: tuple[Pair, ...]
    normal: Normal


class NotTouching(Touch, frozen=True):
    """A feature that faces a part without touching it; `means` says how."""

    means: Means


class MeetingParts(Output, frozen=True):
    """Two parts of the weldment that meet; `normal` looks out of the first."""

    a: str
    b: str
    faces: tuple[str | None, str | None]
    kind: Literal["face on face", "on top", "corner"]
    gap_mm: float
    length_mm: float
    z_mm: Pair
    points_mm: tuple[Pair, ...]
    normal: Normal | None


class OverlappingThings(Output, frozen=True):
    """A piece and a part, or two parts, that overlap."""

    a: str
    b: str
    depth_mm: float
    height_mm: float
    area_mm2: float
    at_mm: Pair


class WeldmentPieces(Output, frozen=True):
    """A weldment, its parts, and the pieces that belong to it: those that touch or are nearest."""

    weldment: str
    name: str
    opposite_of: str | None
    parts: tuple[str, ...]
    pieces: tuple[str, ...]


class ContactsOutput(Output, frozen=True):
    """What touches what in a job; `within_mm` is how far in front of a feature was looked."""

    pieces: tuple[PieceRole, ...]
    touches: tuple[Touch, ...]
    idle: tuple[str, ...]
    not_touching: tuple[NotTouching, ...]
    parts: tuple[MeetingParts, ...]
    overlaps: tuple[OverlappingThings, ...]
    within_mm: float
    weldments: tuple[WeldmentPieces, ...]


def contacts_output(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], found: JobContacts
) -> ContactsOutput:
    """The contacts as they are printed."""
    every = tuple(found.every())
    accepted = {p.id: p.accepted_gap for p in job.placements}
    return ContactsOutput(
        pieces=tuple(_piece(name, role, accepted[name]) for name, role in found.roles.items()),
        touches=tuple(_touch(one) for one in every if one.touches),
        idle=found.idle(),
        not_touching=tuple(_not_touching(one) for one in every if not one.touches),
        parts=tuple(_parts(one) for one in found.parts),
        overlaps=tuple(_overlap(one) for one in found.overlaps()),
        within_mm=_number(found.within),
        weldments=tuple(
            WeldmentPieces(
                weldment=one.id,
                name=weldment_title(job, one.id),
                opposite_of=one.opposite_of,
                parts=tuple(part.id for part in parts_of(job, one.id)),
                pieces=tuple(
                    sorted(pieces_of(job, placed_pieces, found, one.id), key=[*found.roles].index)
                ),
            )
            for one in job.weldments
        ),
    )


def _piece(piece: str, role: Role, accepted: float) -> PieceRole:
    return PieceRole(
        piece=piece,
        role=role.what,
        parts=role.parts,
        clamps=None if role.clamped is None else _clamped(role.clamped),
        accepted_gap_mm=_number(accepted),
    )


def _clamped(clamped: Clamped) -> ClampedPart:
    return ClampedPart(
        part=clamped.part,
        at_mm=_point(clamped.at),
        z_mm=_number(clamped.z),
        over=tuple(map(_support, clamped.supports)),
    )


def _support(support: Support) -> ClampSupport:
    return ClampSupport(what=support.what, id=support.id, distance_mm=_number(support.distance))


def _touch(one: Contact) -> Touch:
    return Touch(
        piece=one.piece,
        feature=one.feature,
        part=one.part,
        face=one.face.label,
        kind=one.kind,
        gap_mm=_number(one.gap),
        length_mm=_number(one.length),
        z_mm=(_number(one.z_low), _number(one.z_high)),
        points_mm=tuple(map(_point, one.points)),
        normal=_normal(one.normal),
    )


def _not_touching(one: Contact) -> NotTouching:
    touch = _touch(one)
    fields = {name: getattr(touch, name) for name in touch.__struct_fields__}
    return NotTouching(**fields, means=one.means)


def _parts(one: PartContact) -> MeetingParts:
    first, second = one.face_a, one.face_b
    return MeetingParts(
        a=one.a,
        b=one.b,
        faces=(first and first.label, second and second.label),
        kind=one.kind,
        gap_mm=_number(one.gap),
        length_mm=_number(one.length),
        z_mm=(_number(one.z_low), _number(one.z_high)),
        points_mm=tuple(map(_point, one.points)),
        normal=None if one.normal is None else _normal(one.normal),
    )


def _overlap(one: Overlap) -> OverlappingThings:
    return OverlappingThings(
        a=one.a,
        b=one.b,
        depth_mm=_number(one.depth),
        height_mm=_number(one.height),
        area_mm2=_number(one.area),
        at_mm=_point(one.where),
    )


def _normal(vector: Normal) -> Normal:
    x, y, z = (round(v, 9) + 0.0 for v in vector)
    return (x, y, z)


def _point(p: Point) -> Pair:
    return (_number(p[0]), _number(p[1]))


def _number(value: float) -> float:
    return round(value, 4) + 0.0
