"""The sizes of a piece that can be changed one at a time, derived from its features.

Changing one moves everything that depends on it: outline, holes and faces stretch together, as if
the steel were cut through and drawn apart.  No code here depends on a particular piece.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Literal

from msgspec import Struct, structs

from gridjig.geometry import unit
from gridjig.rack import ArcSlot, Face, Piece, Point, RoundHole, Shank, StraightSlot
from gridjig.units import MILLIMETRES, Display, format_angle, format_length

from . import stretch
from .face_names import face_size_name
from .reliefs import face_shifted
from .stretch import along, apart, arrow, extent, mount_extent

LONGEST = 5000.0
WALL = 0.5
"""The least steel, mm, left beside a hole when a size is changed."""


class AdjustableSize(Struct, frozen=True):
    """A size: its label, its value, and the range it can have (mm or degrees)."""

    id: str
    label: str
    value: float
    low: float
    high: float
    unit: Literal["mm", "deg"] = "mm"


class _Handle(Struct, frozen=True):
    """A size with the function that changes it."""

    size: AdjustableSize
    change: Callable[[float], Piece]


def sizes(piece: Piece) -> tuple[AdjustableSize, ...]:
    """Every size of the piece that can be changed, in form order."""
    return tuple(handle.size for handle in _handles(piece))


def with_size(piece: Piece, size_id: str, value: float, display: Display = MILLIMETRES) -> Piece:
    """The piece with one size changed (mm or degrees), and its new mass.

    Raises ValueError, with lengths as in `display`, if the value is out of range or the piece could
    not be made; KeyError if there is no such size.
    """
    handle = next((h for h in _handles(piece) if h.size.id == size_id), None)
    if handle is None:
        raise KeyError(size_id)
    size = handle.size
    if not size.low <= value <= size.high:
        low, high, asked = (size_words(size, display, v) for v in (size.low, size.high, value))
        label = size.label[0].upper() + size.label[1:]
        raise ValueError(f"{label} must be {low} to {high}; {asked} is out of range.")
    if value == size.value:
        return piece
    return remade(piece, handle.change(value))


def remade(piece: Piece, changed: Piece) -> Piece:
    """A piece whose shape was changed, with its new mass.

    A mass that was weighed changes in proportion.  Raises ValueError if it could not be made.
    """
    # Late: they need shapely, which is not needed to show a table.
    from gridjig.geometry.piece_faults import unsound  # noqa: PLC0415
    from gridjig.geometry.piece_mass import mass_of  # noqa: PLC0415

    why = unsound(changed)
    if why:
        raise ValueError(why)
    before, after = mass_of(piece), mass_of(changed)
    ratio = piece.mass / before if before > 0 else 1.0  # a weighed piece differs from its outline
    exact = abs(piece.mass - before) < 1e-3
    return structs.replace(changed, mass=round(after if exact else after * ratio, 4))


def size_words(size: AdjustableSize, display: Display, value: float | None = None) -> str:
    """A value of a size in words, by default the one it has."""
    value = size.value if value is None else value
    return format_angle(value) if size.unit == "deg" else format_length(value, display)


def _handles(piece: Piece) -> Iterator[_Handle]:
    yield from _body_sizes(piece)
    yield from _spacings(piece)
    yield from _slots(piece)
    yield from _arcs(piece)
    yield from _face_offsets(piece)
    yield from _bores(piece)
    yield from _heights(piece)
    yield from _clamp(piece)
    yield from _pivot(piece)


def _leaf(body: int) -> str:
    return "leaf " if body else ""


def _body_sizes(piece: Piece) -> Iterator[_Handle]:
    """The overall length and width of each body, or its diameter if it is round."""
    for body in (0, 1):
        rings = [s.outline for s in piece.solids if s.body == body]
        if not rings:
            continue
        discs = {r: stretch.disc_of(r) for r in rings}
        if all(discs.values()):
            yield from _diameters(piece, body)
            continue
        for name, label, axis in (
            ("length", "left to right", (1.0, 0.0)),
            ("width", "front to back", (0.0, 1.0)),
        ):
            low, high = extent(piece, body, axis)
            ends = stretch.moving_ends(piece, body, axis)
            if not ends:
                continue
            least = min(_least_extent(piece, body, axis, ends), high - low)
            yield _Handle(
                AdjustableSize(
                    f"{name}.{body}", f"{_leaf(body)}overall, {label}", high - low, least, LONGEST
                ),
                partial(_widen, piece, body, ends, high - low),
            )


def _least_extent(piece: Piece, body: int, axis: Point, ends: Sequence[stretch.BodyEnd]) -> float:
    """How short a body can be made at the ends that move, with steel left beyond its holes."""
    if mount_extent(piece, body, axis) is None:
        return 1.0
    low, high = extent(piece, body, axis)
    return high - low - sum(end.overhang - WALL for end in ends)


def _diameters(piece: Piece, body: int) -> Iterator[_Handle]:
    """The diameters of an all-round piece, each once."""
    seen: list[float] = []
    for solid in piece.solids:
        disc = stretch.disc_of(solid.outline)
        if solid.body != body or disc is None:
            continue
        centre, radius = disc
        if any(abs(radius - r) < stretch.SAME for r in seen):
            continue
        seen.append(radius)
        least = max((m.diameter for m in piece.mounts if isinstance(m, RoundHole)), default=0.0)
        name = _round_name(piece, radius, solid.z_high)
        yield _Handle(
            AdjustableSize(
                f"{_leaf(body).replace(' ', '-')}diameter.{len(seen)}",
                f"{_leaf(body)}{name}",
                2 * radius,
                least + 2 * WALL,
                LONGEST,
            ),
            partial(_round, piece, body, centre, radius),
        )


def _round_name(piece: Piece, radius: float, top: float) -> str:
    """The label for the diameter of a round body."""
    if abs(piece.pin_diameter - 2 * radius) < stretch.SAME:
        return "pin diameter"
    if any(abs(r.radius - radius) < stretch.SAME for r in piece.rounds):
        return "body diameter"
    if len(piece.solids) == 1:
        return "diameter"
    return "head diameter" if top >= piece.height else "foot diameter"


def _spacings(piece: Piece) -> Iterator[_Handle]:
    """From the first hole of a body to each other hole."""
    for body in (0, 1):
        holes = [m for m in piece.mounts if isinstance(m, RoundHole | Shank) and m.body == body]
        for other in holes[1:]:
            first = holes[0]
            way = arrow(first.at, other.at)
            wide = apart(first.at, other.at)
            start = along(first.at, way)
            cut = _cut(start, start + wide, other.diameter)
            least = (first.diameter + other.diameter) / 2 + WALL
            label = "hole spacing" if len(holes) == 2 else f"hole spacing, {other.id}"
            yield _Handle(
                AdjustableSize(f"spacing.{other.id}", label, wide, least, LONGEST),
                partial(_stretch, piece, body, way, cut, wide),
            )


def _cut(near: float, far: float, width: float) -> float:
    """Where to cut between two positions: just short of the far hole, so that little else moves."""
    return max((near + far) / 2, far - width / 2 - WALL)


def _anchor(piece: Piece, body: int) -> Point:
    """Where distances are measured from: a body's first hole or slot, or the origin of a leaf."""
    if body:
        return (0.0, 0.0)
    for mount in piece.mounts:
        if isinstance(mount, RoundHole | Shank):
            return mount.at
        if isinstance(mount, StraightSlot):
            return mount.a
    return (0.0, 0.0)


def _slots(piece: Piece) -> Iterator[_Handle]:
    """A straight slot's length, and its distance from the hole along and across the slot."""
    for slot in piece.mounts:
        if not isinstance(slot, StraightSlot):
            continue
        body, way, long = slot.body, arrow(slot.a, slot.b), apart(slot.a, slot.b)
        side = (-way[1], way[0])
        tag = f"{slot.id} slot" if slot.id != "slot" else "slot"
        mid = _cut(along(slot.a, way), along(slot.b, way), slot.width)
        yield _Handle(
            AdjustableSize(f"slot-length.{slot.id}", f"{tag} travel", long, 1.0, LONGEST),
            partial(_stretch, piece, body, way, mid, long),
        )
        anchor = _anchor(piece, body)
        if anchor == slot.a:
            continue
        near = along(slot.a, way) - along(anchor, way)
        cut = _cut(along(anchor, way), along(slot.a, way), slot.width)
        yield _Handle(
            AdjustableSize(
                f"slot-from.{slot.id}", f"{tag} from hole", near, slot.width + WALL, LONGEST
            ),
            partial(_stretch, piece, body, way, cut, near),
        )
        off = along(slot.a, side) - along(anchor, side)
        edges = extent(piece, body, side)
        room = slot.width / 2 + WALL
        yield _Handle(
            AdjustableSize(
                f"slot-offset.{slot.id}",
                f"{tag} offset",
                off,
                edges[0] + room - along(anchor, side),
                edges[1] - room - along(anchor, side),
            ),
            partial(_shift_slot, piece, slot, side, off),
        )


def _arcs(piece: Piece) -> Iterator[_Handle]:
    """An arc slot's radius and ends."""
    for arc in piece.mounts:
        if not isinstance(arc, ArcSlot):
            continue
        yield _Handle(
            AdjustableSize(
                f"arc-radius.{arc.id}", "arc radius", arc.radius, arc.width + WALL, LONGEST
            ),
            partial(stretch.arc_scaled, piece, arc),
        )
        for name, value, low, high in (
            ("start", arc.start, arc.end - 360.0, arc.end - 1.0),
            ("end", arc.end, arc.start + 1.0, arc.start + 360.0),
        ):
            yield _Handle(
                AdjustableSize(f"arc-{name}.{arc.id}", f"arc {name}", value, low, high, "deg"),
                partial(_set_arc, piece, arc, name),
            )


def _normal(face: Face) -> Point:
    way = arrow(face.a, face.b)
    return (way[1], -way[0])


def _face_offsets(piece: Piece) -> Iterator[_Handle]:
    """From the first hole to each face, and the angle of an angle block's face."""
    for face in piece.faces:
        n = _normal(face)
        anchor = _anchor(piece, face.body)
        off = along(face.a, n) - along(anchor, n)
        if off < WALL:
            continue
        label = face_size_name(piece, face)
        yield _Handle(
            AdjustableSize(f"face.{face.id}", label, off, WALL, LONGEST),
            partial(_shift_face, piece, face, n, off),
        )
    if piece.kind == "bevel" and len(piece.faces) == 1:
        face, anchor = piece.faces[0], _anchor(piece, 0)
        angle = stretch.angle_of(arrow(face.b, face.a))
        yield _Handle(
            AdjustableSize("angle", "face angle", angle, -180.0, 180.0, "deg"),
            partial(_turn_face, piece, face, anchor, angle),
        )


def _bores(piece: Piece) -> Iterator[_Handle]:
    """The size of all holes and slots together, and of the shanks."""
    holes = [m for m in piece.mounts if not isinstance(m, Shank)]
    if holes:
        first = holes[0]
        now = first.diameter if isinstance(first, RoundHole) else first.width
        yield _Handle(
            AdjustableSize("bore", "holes and slots", now, 1.0, 500.0),
            partial(stretch.bored, piece),
        )
    shank = next((m for m in piece.mounts if isinstance(m, Shank)), None)
    if shank is not None:
        yield _Handle(
            AdjustableSize("shank", "shank diameter", shank.diameter, 1.0, 500.0),
            partial(stretch.shanked, piece),
        )


def _heights(piece: Piece) -> Iterator[_Handle]:
    """The height of the piece; its thickness if it is for stacking."""
    if not piece.solids:
        return
    top = piece.height
    floors = [z for s in piece.solids for z in (s.z_low, s.z_high) if z < top - stretch.SAME]
    low = max([*floors, 0.0]) + (0.01 if piece.thickness else WALL)
    label = "thickness" if piece.thickness else "height"
    yield _Handle(AdjustableSize("height", label, top, low, 2000.0), partial(stretch.topped, piece))


def _clamp(piece: Piece) -> Iterator[_Handle]:
    """A clamp's reach, its range of heights, and the room that its bar and handle take."""
    tip = piece.tip
    if tip is None:
        return
    rows = (
        ("reach_min", "minimum reach", 0.0, tip.reach_max),
        ("reach_max", "maximum reach", tip.reach_min, LONGEST),
        ("z_low", "lowest tip height", 0.0, tip.z_high),
        ("z_high", "highest tip height", tip.z_low, 2000.0),
        ("pad_radius", "pad radius", 1.0, 200.0),
        ("bar_width", "bar width", 1.0, 500.0),
        ("bar_z_low", "underside of bar", 0.0, tip.bar_z_high - WALL),
        ("bar_z_high", "top of bar", tip.bar_z_low + WALL, 2000.0),
        ("handle_radius", "handle swing", 0.0, LONGEST),
    )
    for field, label, low, high in rows:
        yield _Handle(
            AdjustableSize(f"tip.{field}", label, getattr(tip, field), low, high),
            partial(stretch.with_part, piece, tip, field),
        )


def _pivot(piece: Piece) -> Iterator[_Handle]:
    """The range of a leaf and the accuracy of its scale."""
    pivot = piece.pivot
    if pivot is None:
        return
    for field, label, low, high in (
        ("low", "smallest leaf angle", pivot.high - 360.0, pivot.high - 1.0),
        ("high", "largest leaf angle", pivot.low + 1.0, pivot.low + 360.0),
        ("accuracy", "scale accuracy", 0.0, 10.0),
    ):
        yield _Handle(
            AdjustableSize(f"pivot.{field}", label, getattr(pivot, field), low, high, "deg"),
            partial(stretch.with_part, piece, pivot, field),
        )


# The changes of the handles, each for a new value.


def _widen(
    piece: Piece, body: int, ends: Sequence[stretch.BodyEnd], now: float, value: float
) -> Piece:
    return stretch.widened(piece, body, ends, value - now)


def _round(piece: Piece, body: int, centre: Point, radius: float, value: float) -> Piece:
    return stretch.rounded(piece, body, centre, radius, value / 2)


def _stretch(piece: Piece, body: int, way: Point, cut: float, now: float, value: float) -> Piece:
    return stretch.stretched(piece, body, way, cut, value - now)


def _shift_slot(piece: Piece, slot: StraightSlot, side: Point, now: float, value: float) -> Piece:
    return stretch.slot_moved(piece, slot, side, value - now)


def _shift_face(piece: Piece, face: Face, normal: Point, now: float, value: float) -> Piece:
    return face_shifted(piece, face, normal, value - now)


def _turn_face(piece: Piece, face: Face, about: Point, now: float, value: float) -> Piece:
    return stretch.face_moved(piece, face, stretch.turner(about, unit(value - now)))


def _set_arc(piece: Piece, arc: ArcSlot, field: str, value: float) -> Piece:
    return stretch.with_mount(piece, structs.replace(arc, **{field: value}))
