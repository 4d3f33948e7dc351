"""A loose piece of the rack: features to mount it by, and features that locate or hold the work.

Values only, in the piece's own frame, in millimetres and degrees, seen from above.  A new size or
shape is a new entry in a rack file; no code here may depend on a particular piece.
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct, structs

from gridjig.units.limits import (
    FEATURES,
    OUTLINE,
    SIZES,
    STACKED,
    Angle,
    Force,
    Mass,
    PieceExtent,
    PieceLength,
    PieceSize,
    Turning,
    require_within,
)

Point = tuple[float, float]
PiecePoint = tuple[PieceLength, PieceLength]
# The lookahead rejects a final newline, which `$` alone would accept.
Ident = Annotated[
    str, Meta(min_length=1, max_length=60, pattern=r"^[A-Za-z0-9][A-Za-z0-9._/-]*(?!\n)$")
]
Name = Annotated[str, Meta(min_length=1, max_length=120)]

PieceKind = Literal[
    "pin",
    "fixed stop",
    "adjustable stop",
    "square",
    "bevel",
    "arm",
    "V-block",
    "clamp",
    "riser",
    "shim",
    "locking pin",
    "other",
]
Hand = Literal["none", "left", "right"]


def kind_name(kind: PieceKind) -> str:
    """Return what a kind is called in the shop; the file says "bevel" for an angle block."""
    return "angle block" if kind == "bevel" else kind


class RoundHole(Struct, frozen=True, forbid_unknown_fields=True, tag="hole"):
    """A round hole that takes a locking pin."""

    id: Ident
    at: PiecePoint
    diameter: PieceSize
    body: Literal[0, 1] = 0

    def __post_init__(self) -> None:
        require_within(self)


class Shank(Struct, frozen=True, forbid_unknown_fields=True, tag="shank"):
    """A pin fixed to the piece: it needs no locking pin and has no play in the piece."""

    id: Ident
    at: PiecePoint
    diameter: PieceSize
    body: Literal[0, 1] = 0

    def __post_init__(self) -> None:
        require_within(self)


class StraightSlot(Struct, frozen=True, forbid_unknown_fields=True, tag="slot"):
    """A straight slot; `a` and `b` are the extreme positions of the pin's centre."""

    id: Ident
    a: PiecePoint
    b: PiecePoint
    width: PieceSize
    body: Literal[0, 1] = 0

    def __post_init__(self) -> None:
        require_within(self)
        if self.a == self.b:
            raise ValueError(f"slot {self.id}: it needs two different ends")


class ArcSlot(Struct, frozen=True, forbid_unknown_fields=True, tag="arc"):
    """A slot along an arc, counter-clockwise from `start` to `end` (degrees, end > start)."""

    id: Ident
    centre: PiecePoint
    radius: PieceSize
    start: Angle
    end: Angle
    width: PieceSize
    body: Literal[0, 1] = 0

    def __post_init__(self) -> None:
        require_within(self)
        if not 0 < self.end - self.start <= 360:
            raise ValueError(f"arc slot {self.id}: it must span more than 0° and at most 360°")


MountFeature = RoundHole | Shank | StraightSlot | ArcSlot


OutlineCorners = Annotated[tuple[PiecePoint, ...], OUTLINE]


class Solid(Struct, frozen=True, forbid_unknown_fields=True):
    """Room that the piece takes: a plan outline (counter-clockwise, not closed), two heights.

    `openings` are outlines of what is cut out of it, other than the mount features.
    """

    outline: OutlineCorners
    z_low: PieceLength
    z_high: PieceLength
    body: Literal[0, 1] = 0
    openings: Annotated[tuple[OutlineCorners, ...], FEATURES] = ()

    def __post_init__(self) -> None:
        require_within(self)
        if any(len(ring) < 3 for ring in (self.outline, *self.openings)):
            raise ValueError("an outline needs at least three corners")
        if self.z_high <= self.z_low:
            raise ValueError("its top must be higher than its underside")


class Face(Struct, frozen=True, forbid_unknown_fields=True):
    """A flat locating face from `a` to `b`; its outward normal is to the right, seen from `a`."""

    id: Ident
    a: PiecePoint
    b: PiecePoint
    z_low: PieceLength
    z_high: PieceLength
    body: Literal[0, 1] = 0

    def __post_init__(self) -> None:
        require_within(self)
        if self.a == self.b or self.z_high <= self.z_low:
            raise ValueError(f"face {self.id}: it needs a length and a height")


class Round(Struct, frozen=True, forbid_unknown_fields=True):
    """A round locating body, such as a pin's."""

    id: Ident
    centre: PiecePoint
    radius: PieceSize
    z_low: PieceLength
    z_high: PieceLength
    body: Literal[0, 1] = 0

    def __post_init__(self) -> None:
        require_within(self)
        if self.z_high <= self.z_low:
            raise ValueError(f"round {self.id}: it needs a height")


class ClampTip(Struct, frozen=True, forbid_unknown_fields=True):
    """The tip of a clamp, set out from `at` along `direction` by a reach within its range.

    A "down" clamp presses towards the table, an "along" clamp pushes in its direction.  The tip
    works between z_low and z_high.  The handle sweeps from handle_start to handle_end (degrees,
    piece frame) out to handle_radius from `at`; with a radius of 0 nothing swings.  `force` is what
    it presses with, N; 0 if that is not known.
    """

    at: PiecePoint
    direction: Angle
    push: Literal["down", "along"]
    reach_min: PieceExtent
    reach_max: PieceExtent
    z_low: PieceLength
    z_high: PieceLength
    pad_radius: PieceSize
    bar_width: PieceSize
    bar_z_low: PieceLength
    bar_z_high: PieceLength
    handle_radius: PieceExtent = 0.0
    handle_start: Angle = 0.0
    handle_end: Angle = 0.0
    force: Force = 0.0

    def __post_init__(self) -> None:
        require_within(self)
        if self.reach_min > self.reach_max:
            raise ValueError("the clamp's minimum reach must not be more than its maximum")
        if self.z_high < self.z_low or self.bar_z_high <= self.bar_z_low:
            raise ValueError("the clamp's upper heights must be above its lower ones")


class Rest(Struct, frozen=True, forbid_unknown_fields=True):
    """A flat on top of a riser that carries the work: a disc at height z."""

    centre: PiecePoint
    radius: PieceSize
    z: PieceSize

    def __post_init__(self) -> None:
        require_within(self)


class Pivot(Struct, frozen=True, forbid_unknown_fields=True):
    """The joint of a two-bodied arm.

    `at` is in the base's frame; the leaf's frame has its origin there.  The leaf's angle is
    measured from the base's x axis, from `low` to `high`, and read from a scale accurate to
    `accuracy` degrees.
    """

    at: PiecePoint
    low: Angle
    high: Angle
    accuracy: Turning

    def __post_init__(self) -> None:
        require_within(self)
        if not 0 < self.high - self.low <= 360:
            raise ValueError("the pivot's range must be more than 0° and at most 360°")


class Piece(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One kind of loose piece, how many the shop has, and where they hang.

    `takes` lists the locking pins that fit its holes and slots, best first; each pinned hole or
    slot takes one.  `thickness` is what a riser or shim adds to a stack.  `typed` are the ids of
    the sizes that a person has typed, which stay when another size is changed.  `pin_length` is how
    far its own pins go down below its underside, mm; 0 if that is not known.
    """

    id: Ident
    name: Name
    kind: PieceKind
    size: Annotated[str, Meta(max_length=80)] = ""
    hand: Hand = "none"
    flips: bool = False
    solids: Annotated[tuple[Solid, ...], FEATURES] = ()
    mounts: Annotated[tuple[MountFeature, ...], FEATURES] = ()
    faces: Annotated[tuple[Face, ...], FEATURES] = ()
    rounds: Annotated[tuple[Round, ...], FEATURES] = ()
    rests: Annotated[tuple[Rest, ...], FEATURES] = ()
    tip: ClampTip | None = None
    pivot: Pivot | None = None
    takes: Annotated[tuple[Ident, ...], STACKED] = ()
    pin_diameter: PieceExtent = 0.0
    pin_length: PieceExtent = 0.0
    thickness: PieceExtent = 0.0
    mass: Mass = 0.0
    owned: Annotated[int, Meta(ge=0, le=100_000)] = 0
    bin: Annotated[str, Meta(max_length=40)] = ""
    typed: Annotated[tuple[Annotated[str, Meta(max_length=80)], ...], SIZES] = ()

    def __post_init__(self) -> None:
        require_within(self)
        names = [m.id for m in self.mounts]
        if len(set(names)) != len(names):
            raise ValueError(f"piece {self.id}: two mount features have the same id")
        on_leaf = [f for f in (*self.solids, *self.mounts, *self.faces, *self.rounds) if f.body]
        if on_leaf and self.pivot is None:
            raise ValueError(f"piece {self.id}: a feature is on body 1, but there is no pivot")
        if self.kind in ("shim", "riser") and self.thickness <= 0:
            raise ValueError(f"piece {self.id}: a {self.kind} needs a thickness")
        if self.kind == "locking pin" and self.pin_diameter <= 0:
            raise ValueError(f"piece {self.id}: a locking pin needs a pin diameter")

    def is_alike(self, other: "Piece") -> bool:
        """True if the other is the same piece, whichever of its sizes were typed."""
        return self == structs.replace(other, typed=self.typed)

    @property
    def full_name(self) -> str:
        """The name with the size: all risers share one name, and so do stops of two lengths."""
        return f"{self.name}, {self.size}" if self.size else self.name

    @property
    def is_placed(self) -> bool:
        """True for a piece that stands in holes; False for loose shims and locking pins."""
        return bool(self.mounts)

    @property
    def needs_pin(self) -> bool:
        """True if it has a hole or slot for a locking pin."""
        return any(not isinstance(m, Shank) for m in self.mounts)

    @property
    def takes_packing(self) -> bool:
        """True if packing can go in front of it: at its first face or first round body."""
        return bool(self.faces or self.rounds)

    def mount(self, feature: str) -> MountFeature:
        """The mount feature with that id.  Raises KeyError if there is none."""
        for m in self.mounts:
            if m.id == feature:
                return m
        raise KeyError(feature)

    @property
    def below(self) -> float:
        """How far its own pins go down below its underside, mm: as stated, or as its solids show; 0
        if neither tells.
        """
        return self.pin_length or -min((s.z_low for s in self.solids if s.z_low < 0), default=-0.0)

    @property
    def height(self) -> float:
        """Height of the whole piece above what it stands on, mm."""
        return max((s.z_high for s in self.solids), default=self.thickness)
