"""Pins, stops, squares, bevels, V-blocks, risers and shims of the starter racks."""

from collections.abc import Iterator

import shapely
from starter_shapes import LOCKS, Sizes, arc, block, disc, hole, side, stem, tidy

from gridjig.geometry import unit
from gridjig.rack import Piece, Rest, Round, Shank, Solid, StraightSlot


def locking_pins(s: Sizes) -> Iterator[Piece]:
    """Yield the pins that hold the other pieces, drawn with their shank below z = 0."""
    below = s.grip
    makes = (
        ("lock-pin", "Locking pin", s.flat, 28, True),
        ("lock-pin-long", "Locking pin, long", s.flat + 2 * s.grip, 12, True),
        ("lock-pin-flush", "Plain pin, no head", s.risers[-1], 8, False),
    )
    for ident, name, above, owned, head in makes:
        solids = [Solid(disc((0, 0), s.pin), -below, above)]
        if head:
            solids.append(Solid(disc((0, 0), 1.25 * s.hole), above, above + s.hole / 2))
        yield Piece(
            id=ident,
            name=name,
            kind="locking pin",
            size=f"{s.text(s.pin)} dia, {s.text(below + above)} long",
            solids=tuple(solids),
            pin_diameter=s.pin,
            owned=owned,
            bin="A1",
        )


def pins(s: Sizes) -> Iterator[Piece]:
    """Yield pins with a round body.  A body that would drop through the hole sits on a collar."""
    for body, owned in zip(s.bodies, (4, 2, 2), strict=True):
        collar = 0.0 if body > 1.05 * s.hole else s.edge / 3
        solids = [Solid(disc((0, 0), body), collar, s.body_high)]
        if collar:
            solids.insert(0, Solid(disc((0, 0), 1.3 * s.hole), 0.0, collar))
        yield Piece(
            id=f"pin-{stem(s, body)}",
            name="Round pin" + (" with collar" if collar else ""),
            kind="pin",
            size=f"{s.text(body)} body",
            solids=tuple(solids),
            mounts=(Shank("shank", (0, 0), s.pin),),
            pin_length=s.grip,
            rounds=(Round("body", (0, 0), body / 2, collar, s.body_high),),
            owned=owned,
            bin="A2",
        )


def stops(s: Sizes) -> Iterator[Piece]:
    """Yield fixed, one-pin, adjustable and long stops: the face at +y, the second hole behind."""
    p, f, e, w, t = s.pitch, s.face, s.edge, s.half, s.flat
    front = side("face", (w, f), (-w, f), 0.0, t)
    yield Piece(
        id="stop-fixed",
        name="Fixed stop, two pins",
        kind="fixed stop",
        size=f"{s.text(f)} face",
        solids=(Solid(block(-w, -p - e, w, f, e / 3), 0.0, t),),
        mounts=(hole(s, "front", 0, 0), hole(s, "back", 0, -p)),
        faces=(front,),
        takes=LOCKS,
        owned=4,
        bin="A3",
    )
    yield Piece(
        id="stop-one-pin",
        name="Fixed stop, one pin",
        kind="fixed stop",
        size=f"{s.text(f)} face, turns",
        solids=(Solid(block(-w, -e, w, f, e / 3), 0.0, t),),
        mounts=(Shank("shank", (0, 0), s.pin),),
        pin_length=s.grip,
        faces=(front,),
        owned=2,
        bin="A3",
    )
    yield Piece(
        id="stop-adjustable",
        name="Adjustable stop",
        kind="adjustable stop",
        size=f"{s.text(f).rstrip(' m')} to {s.text(f + p)} face".replace("  ", " "),
        solids=(Solid(block(-w, -2 * p - e, w, f, e / 3), 0.0, t),),
        mounts=(StraightSlot("slot", (0.0, 0.0), (0.0, -2 * p), s.hole),),
        faces=(front,),
        takes=LOCKS,
        owned=3,
        bin="A4",
    )
    for pitches, owned in ((2, 1), (4, 1)):
        far = pitches * p
        yield Piece(
            id=f"stop-long-{s.tag(far + 2 * e)}",
            name="Long stop",
            kind="fixed stop",
            size=f"{s.text(far + 2 * e)} long, {s.text(f)} face",
            solids=(Solid(block(-e, -e, far + e, f, e / 3), 0.0, t),),
            mounts=(hole(s, "left", 0, 0), hole(s, "right", far, 0)),
            faces=(side("face", (far + e, f), (-e, f), 0.0, t),),
            takes=LOCKS,
            owned=owned,
            bin="A5",
        )


def squares(s: Sizes) -> Iterator[Piece]:
    """Yield squares: outside faces at the stop's distance, inside faces with room for the weld
    bead.
    """
    p, f, e, c, r, t = s.pitch, s.face, s.edge, s.inside, s.relief, s.flat
    makes = (
        ("square-two-hole", "Square, two holes", p, ((p, 0.0),), 2),
        ("square-three-hole", "Square, three holes", 2 * p, ((2 * p, 0.0), (0.0, 2 * p)), 1),
    )
    for ident, name, leg, far, owned in makes:
        end, cut = leg + e, 0.75 * r
        relief = arc((c, c), r, 0.0, -270.0, 12)
        ring = [(-f + cut, -f), (end, -f), (end, c), *relief, (c, end), (-f, end), (-f, -f + cut)]
        yield Piece(
            id=ident,
            name=name,
            kind="square",
            size=f"{s.text(end + f, end + f)}, corner relief",
            flips=True,
            solids=(Solid(tidy(ring), 0.0, t),),
            mounts=(
                hole(s, "corner", 0, 0),
                *(
                    hole(s, tag, x, y)
                    for tag, (x, y) in zip(("along", "across"), far, strict=False)
                ),
            ),
            faces=(
                side("outside-along", (-f + cut, -f), (end, -f), 0.0, t),
                side("inside-along", (end, c), (c + r, c), 0.0, t),
                side("inside-across", (c, c + r), (c, end), 0.0, t),
                side("outside-across", (-f, end), (-f, -f + cut), 0.0, t),
            ),
            takes=LOCKS,
            owned=owned,
            bin="B1",
        )


def bevels(s: Sizes) -> Iterator[Piece]:
    """Yield angle blocks: two holes in a row, the face at an angle to it."""
    p, f, e, t = s.pitch, s.face, s.edge, s.flat
    for angle in (15.0, 22.5, 30.0, 45.0, 60.0):
        c, n = unit(angle)
        near, far = ((-n * f + c * along, c * f + n * along) for along in (-e, 1.25 * p))
        hull = shapely.convex_hull(
            shapely.MultiPoint([near, far, (-e, -e), (p + e, -e), (p + e, e)])
        )
        assert isinstance(hull, shapely.Polygon)
        yield Piece(
            id=f"bevel-{angle:g}",
            name=f"Angle block, {angle:g} degrees",
            kind="bevel",
            size=f"{angle:g}°",
            flips=True,
            solids=(Solid(tidy(list(hull.exterior.coords)[:-1]), 0.0, t),),
            mounts=(hole(s, "near", 0, 0), hole(s, "far", p, 0)),
            faces=(side("face", far, near, 0.0, t),),
            takes=LOCKS,
            owned=1,
            bin="B2",
        )


def v_block(s: Sizes) -> Piece:
    """Return a V-block: two faces at 90 degrees to each other, a slot at the bottom for
    the corner.
    """
    p, e, t = s.pitch, s.edge, s.flat
    mid, low, gap = p / 2, e / 2, e / 6
    top = low + p / 2 + e / 3
    reach = top - low
    left, right = mid - reach, mid + reach
    ring = [
        (-e, -e),
        (p + e, -e),
        (p + e, top),
        (right, top),
        (mid + gap, low + gap),
        (mid + gap, low - gap),
        (mid - gap, low - gap),
        (mid - gap, low + gap),
        (left, top),
        (-e, top),
    ]
    return Piece(
        id="v-block",
        name="V-block, 90 degrees",
        kind="V-block",
        size=f"{s.text(2 * reach)} opening",
        solids=(Solid(tidy(ring), 0.0, t),),
        mounts=(hole(s, "left", 0, 0), hole(s, "right", p, 0)),
        faces=(
            side("right", (right, top), (mid + gap, low + gap), 0.0, t),
            side("left", (mid - gap, low + gap), (left, top), 0.0, t),
        ),
        takes=LOCKS,
        owned=2,
        bin="B4",
    )


def risers(s: Sizes) -> Iterator[Piece]:
    """Yield round risers: on a flush pin in a hole of their own, or stacked under a piece."""
    for high in s.risers:
        yield Piece(
            id=f"riser-{stem(s, high)}",
            name="Riser",
            kind="riser",
            size=f"{s.text(high)} high",
            solids=(Solid(disc((0, 0), s.riser), 0.0, high),),
            mounts=(hole(s, "centre", 0, 0),),
            rests=(Rest((0.0, 0.0), s.riser / 2 - 1.0, high),),
            takes=("lock-pin-flush",),
            thickness=high,
            owned=4,
            bin="C1",
        )


def shims(s: Sizes) -> Iterator[Piece]:
    """Yield shims and packing, with open slots so that they fit around a pin or in
    front of a face.
    """
    wide, slot = 0.8 * s.pitch, s.hole / 2 + 0.5
    ring = [
        (-wide / 2, -wide / 2),
        (-slot, -wide / 2),
        (-slot, 0.0),
        (slot, 0.0),
        (slot, -wide / 2),
        (wide / 2, -wide / 2),
        (wide / 2, wide / 2),
        (-wide / 2, wide / 2),
    ]
    for name, thick, owned, place in (
        *(("Shim", v, 12, "C2") for v in s.shims),
        *(("Packing", v, 6, "C3") for v in s.packing),
    ):
        text = stem(s, thick)
        yield Piece(
            id=f"{name.lower()}-{text}",
            name=name,
            kind="shim",
            size=f"{s.text(thick)} thick",
            solids=(Solid(tidy(ring), 0.0, thick),),
            thickness=thick,
            owned=owned,
            bin=place,
        )
