"""Writes the starter racks in assets/racks: invented pieces, worked out from one list of sizes.

Run it after changing a size; a test holds the files to what it would write.  Frame of a flat piece:
its first hole at (0, 0), its working face towards +y; arms and down-clamps reach along +x.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import shapely
from msgspec import structs

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from gridjig.files.rackfile import write_rack  # noqa: E402
from gridjig.geometry.pose import unit  # noqa: E402
from gridjig.geometry.weigh import mass_of  # noqa: E402
from gridjig.rack import (  # noqa: E402
    ArcSlot,
    ClampTip,
    Face,
    Piece,
    Pivot,
    Point,
    Rack,
    Rest,
    Round,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
)

ASSETS = Path(__file__).resolve().parent.parent / "assets" / "racks"
IN = 25.4


@dataclass(frozen=True, slots=True)
class Sizes:
    """What one rack is made to, mm.  `clear` is how much smaller a pin is than its hole."""

    file: str
    name: str
    inch: bool
    pitch: float
    hole: float
    clear: float
    face: float
    edge: float
    half: float
    flat: float
    arm: float
    inside: float
    relief: float
    bodies: tuple[float, float, float]
    body_high: float
    riser: float
    risers: tuple[float, ...]
    shims: tuple[float, ...]
    packing: tuple[float, ...]
    grip: float
    offset: float
    post: float
    reach: tuple[float, float]
    low: tuple[float, float]
    tall: tuple[float, float]
    bar: float
    push: tuple[float, float]
    push_z: tuple[float, float]
    push_high: float

    @property
    def pin(self) -> float:
        """Diameter of every locking pin and shank."""
        return round(self.hole - self.clear, 6)

    def text(self, *lengths: float) -> str:
        """Lengths as they are said in the shop: 2-1/2", or 25 mm."""
        return " x ".join(self._one(v) for v in lengths)

    def _one(self, mm: float) -> str:
        if not self.inch:
            return f"{mm:g} mm"
        whole, rest = divmod(Fraction(mm / IN).limit_denominator(1000), 1)
        if rest.denominator not in (1, 2, 4, 8, 16, 32, 64):
            return f'{mm / IN:.3f}"'
        parts = [str(whole)] if whole else []
        return "-".join([*parts, str(rest)] if rest else parts) + '"'

    def tag(self, mm: float) -> str:
        """A length inside an id: a plain number of inches or millimetres."""
        return f"{round(mm / IN, 2) if self.inch else mm:g}"


def tidy(ring: list[Point]) -> tuple[Point, ...]:
    """The ring counter-clockwise, rounded to a nanometre so that files read well."""
    if not shapely.LinearRing(ring).is_ccw:
        ring = ring[::-1]
    return tuple((round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in ring)


def disc(centre: Point, diameter: float, steps: int = 48) -> tuple[Point, ...]:
    """A circle as an outline."""
    turns = (unit(360.0 * i / steps) for i in range(steps))
    return tidy([(centre[0] + diameter / 2 * c, centre[1] + diameter / 2 * s) for c, s in turns])


def block(x0: float, y0: float, x1: float, y1: float, back: float = 0.0) -> tuple[Point, ...]:
    """A rectangle, its two corners at y0 cut off by `back`."""
    if not back:
        return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return tidy(
        [(x0, y0 + back), (x0 + back, y0), (x1 - back, y0), (x1, y0 + back), (x1, y1), (x0, y1)]
    )


def arc(centre: Point, radius: float, start: float, end: float, steps: int) -> list[Point]:
    """Points along an arc, both ends included."""
    turns = (unit(start + (end - start) * i / steps) for i in range(steps + 1))
    return [(centre[0] + radius * c, centre[1] + radius * s) for c, s in turns]


def hole(s: Sizes, name: str, x: float, y: float, body: int = 0) -> RoundHole:
    """A hole for a locking pin."""
    return RoundHole(name, (x, y), s.hole, 1 if body else 0)


def side(name: str, a: Point, b: Point, low: float, high: float, body: int = 0) -> Face:
    """A face; its outward side is to the right of the way from a to b."""
    return Face(
        name,
        (round(a[0], 6), round(a[1], 6)),
        (round(b[0], 6), round(b[1], 6)),
        low,
        high,
        1 if body else 0,
    )


def locking_pins(s: Sizes) -> Iterator[Piece]:
    """Pins that hold the other pieces; drawn with their shank below z = 0."""
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
    """Pins with a round body.  A body that would drop through the hole stands on a collar."""
    for body, owned in zip(s.bodies, (4, 2, 2), strict=True):
        collar = 0.0 if body > 1.05 * s.hole else s.edge / 3
        solids = [Solid(disc((0, 0), body), collar, s.body_high)]
        if collar:
            solids.insert(0, Solid(disc((0, 0), 1.3 * s.hole), 0.0, collar))
        yield Piece(
            id=f"pin-{s.text(body).rstrip(chr(34)).replace('/', '-').replace(' mm', '')}",
            name="Round pin" + (" with collar" if collar else ""),
            kind="pin",
            size=f"{s.text(body)} body",
            solids=tuple(solids),
            mounts=(Shank("shank", (0, 0), s.pin),),
            rounds=(Round("body", (0, 0), body / 2, collar, s.body_high),),
            owned=owned,
            bin="A2",
        )


def stops(s: Sizes) -> Iterator[Piece]:
    """Fixed, one-pin, adjustable and long stops: the face at +y, the second hole behind."""
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
    """Squares: outside faces at the stop's distance, inside faces with room for the weld bead."""
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
    """Fixed bevels: two holes on a row, the face turned out of it."""
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
            name=f"Fixed bevel, {angle:g} degrees",
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


def arc_arms(s: Sizes) -> Iterator[Piece]:
    """Arms with a pivot hole and an arc slot about it: 100 degrees, so that a lock hole on the row
    or on the column is always in reach.  The long one is cut away to an anchor's shape.
    """
    p, f, e, t = s.pitch, s.face, s.edge, s.arm
    for radius, length in ((p, 2 * p), (2 * p, 4 * p)):
        start, end, more = -140.0, -40.0, 11.0 if radius > p else 22.0
        rim = arc((0, 0), radius + e, start - more, end + more, 36)
        if radius > p:
            rim += arc((0, 0), radius - e, end + more, start - more, 36)
            spoke = shapely.box(-1.2 * e, -radius, 1.2 * e, 0)
        else:
            rim.append((0.0, 0.0))
            spoke = shapely.Polygon()
        plan = shapely.union_all([shapely.Polygon(rim), spoke, shapely.box(-e, -e, length, f)])
        assert isinstance(plan, shapely.Polygon)
        assert not plan.interiors
        yield Piece(
            id=f"arm-arc-{s.tag(length)}",
            name="Variable-angle arm, arc slot",
            kind="arm",
            size=f"{s.text(length)} arm, {s.text(f)} face",
            flips=True,
            solids=(Solid(tidy(list(plan.exterior.coords)[:-1]), 0.0, t),),
            mounts=(
                hole(s, "pivot", 0, 0),
                ArcSlot("arc", (0.0, 0.0), radius, start, end, s.hole),
            ),
            faces=(side("face", (length, f), (-e, f), 0.0, t),),
            takes=LOCKS,
            owned=1,
            bin="B3",
        )


def slot_arm(s: Sizes) -> Piece:
    """Arm with a pivot hole and a straight slot beside the pivot's line; turned over it gives other
    angles.
    """
    p, f, e, t, away = s.pitch, s.face, s.edge, s.arm, s.offset
    length, low = 6 * p, away + e
    return Piece(
        id=f"arm-slot-{s.tag(length)}",
        name="Variable-angle arm, offset slot",
        kind="arm",
        size=f"{s.text(length)} arm, {s.text(f)} face, slot {s.text(away)} off",
        flips=True,
        solids=(Solid(block(-e, -low, length, f, e / 2), 0.0, t),),
        mounts=(
            hole(s, "pivot", 0, 0),
            StraightSlot("slot", (2 * p, -away), (5.5 * p, -away), s.hole),
        ),
        faces=(side("face", (length, f), (-e, f), 0.0, t),),
        takes=LOCKS,
        owned=1,
        bin="B3",
    )


def leaf_arm(s: Sizes) -> Piece:
    """Arm of two bodies: a base on two holes and a leaf above it, set by a scale or locked by a pin
    through its slot.  The leaf clears the heads of the base's pins at every angle.
    """
    p, f, e = s.pitch, s.face, s.edge
    base = s.arm / 2
    top, length = base + s.arm, 4 * p
    up = f + 0.7 * s.hole
    pivot = (p / 2, round(up, 6))
    return Piece(
        id=f"arm-leaf-{s.tag(length)}",
        name="Variable-angle arm, leaf and scale",
        kind="arm",
        size=f"{s.text(length)} leaf, {s.text(f)} faces, 0 to 180°",
        solids=(
            Solid(block(-e, -e, p + e, pivot[1] + e), 0.0, base),
            Solid(block(-e, -f, length, f), base, top, 1),
        ),
        mounts=(
            hole(s, "left", 0, 0),
            hole(s, "right", p, 0),
            StraightSlot("lock", (1.25 * p, 0.0), (3.5 * p, 0.0), s.hole, 1),
        ),
        faces=(
            side("face", (length, f), (-e, f), base, top, 1),
            side("back", (-e, -f), (length, -f), base, top, 1),
        ),
        pivot=Pivot(pivot, 0.0, 180.0, 0.5),
        takes=LOCKS,
        owned=1,
        bin="B3",
    )


def v_block(s: Sizes) -> Piece:
    """V-block: two faces at 90 degrees to each other, a slot at the bottom for the corner."""
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


def clamps(s: Sizes) -> Iterator[Piece]:
    """Down-clamps on a post of their own, low and tall, and a push clamp on two holes."""
    p, e = s.pitch, s.edge
    for ident, name, (z0, z1), owned in (
        ("clamp-down-low", "Down-clamp, low", s.low, 4),
        ("clamp-down-tall", "Down-clamp, tall", s.tall, 1),
    ):
        under = z1 + s.bar / 3
        yield Piece(
            id=ident,
            name=name,
            kind="clamp",
            size=f"reach {s.text(s.reach[0])} to {s.text(s.reach[1])}, up to {s.text(z1)} high",
            solids=(Solid(disc((0, 0), s.post), 0.0, under + s.bar),),
            mounts=(Shank("post", (0, 0), s.pin),),
            tip=ClampTip(
                (0.0, 0.0),
                0.0,
                "down",
                *s.reach,
                z0,
                z1,
                s.bar / 2,
                s.bar,
                under,
                under + s.bar,
                4 * s.bar,
                150.0,
                210.0,
            ),
            owned=owned,
            bin="B5",
        )
    yield Piece(
        id="clamp-push",
        name="Push clamp",
        kind="clamp",
        size=f"reach {s.text(s.push[0])} to {s.text(s.push[1])}",
        solids=(Solid(block(-s.half, -p - e, s.half, e, e / 3), 0.0, s.push_high),),
        mounts=(hole(s, "front", 0, 0), hole(s, "back", 0, -p)),
        tip=ClampTip(
            (0.0, 0.0),
            90.0,
            "along",
            *s.push,
            *s.push_z,
            s.bar / 2,
            0.6 * s.bar,
            *s.push_z,
            round(p + e + 4 * s.bar, 6),
            250.0,
            290.0,
        ),
        takes=LOCKS,
        owned=2,
        bin="B5",
    )


def risers(s: Sizes) -> Iterator[Piece]:
    """Round risers: on a flush pin in a hole of their own, or stacked under a piece."""
    for high in s.risers:
        yield Piece(
            id=f"riser-{s.text(high).rstrip(chr(34)).replace('/', '-').replace(' mm', '')}",
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
    """Shims and packing: open slots, so that they go round a pin or before a face."""
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
        text = s.text(thick).rstrip(chr(34)).replace("/", "-").replace(" mm", "")
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


LOCKS = ("lock-pin", "lock-pin-long")


def rack_of(s: Sizes) -> Rack:
    """The whole starter rack of one set of sizes, weighed."""
    pieces = [
        *locking_pins(s),
        *pins(s),
        *stops(s),
        *squares(s),
        *bevels(s),
        *arc_arms(s),
        slot_arm(s),
        leaf_arm(s),
        v_block(s),
        *clamps(s),
        *risers(s),
        *shims(s),
    ]
    weighed = (structs.replace(p, mass=round(mass_of(p), 4)) for p in pieces)
    walk = ("A1", "A2", "A3", "A4", "A5", "B1", "B2", "B3", "B4", "B5", "C1", "C2", "C3")
    return Rack(name=s.name, walk=walk, pieces=tuple(weighed))


def _inch(file: str, name: str, bore: float) -> Sizes:
    return Sizes(
        file=file,
        name=name,
        inch=True,
        pitch=2 * IN,
        hole=bore,
        clear=0.005 * IN,
        face=0.5 * IN,
        edge=0.75 * IN,
        half=0.75 * IN,
        flat=1 * IN,
        arm=0.75 * IN,
        inside=1 * IN,
        relief=0.25 * IN,
        bodies=(1 * IN, 0.75 * IN, 1.25 * IN),
        body_high=2 * IN,
        riser=1.75 * IN,
        risers=(2 * IN, 1 * IN, 0.5 * IN, 0.25 * IN, 0.125 * IN),
        shims=(IN / 64, IN / 32, IN / 16, IN / 8),
        packing=(IN / 4, IN / 2, IN),
        grip=1 * IN,
        offset=0.375 * IN,
        post=1.5 * IN,
        reach=(2 * IN, 8 * IN),
        low=(0.5 * IN, 3.5 * IN),
        tall=(2 * IN, 7.5 * IN),
        bar=0.75 * IN,
        push=(1 * IN, 3 * IN),
        push_z=(0.75 * IN, 1.25 * IN),
        push_high=1.5 * IN,
    )


SETS = (
    _inch("inch-3-4", "Starter rack, 3/4 in pins on 2 in centres", 0.75 * IN),
    _inch("inch-5-8", "Starter rack, 5/8 in pins on 2 in centres", 0.625 * IN),
    Sizes(
        file="metric-16",
        name="Starter rack, 16 mm pins on 50 mm centres",
        inch=False,
        pitch=50.0,
        hole=16.0,
        clear=0.1,
        face=25.0,
        edge=18.0,
        half=18.0,
        flat=25.0,
        arm=20.0,
        inside=25.0,
        relief=6.0,
        bodies=(25.0, 20.0, 30.0),
        body_high=50.0,
        riser=42.0,
        risers=(50.0, 25.0, 10.0, 5.0, 3.0),
        shims=(0.5, 1.0, 2.0, 3.0),
        packing=(5.0, 10.0, 25.0),
        grip=25.0,
        offset=10.0,
        post=38.0,
        reach=(50.0, 200.0),
        low=(10.0, 90.0),
        tall=(50.0, 190.0),
        bar=20.0,
        push=(30.0, 80.0),
        push_z=(20.0, 30.0),
        push_high=38.0,
    ),
    Sizes(
        file="metric-28",
        name="Starter rack, 28 mm pins on 100 mm centres",
        inch=False,
        pitch=100.0,
        hole=28.0,
        clear=0.1,
        face=25.0,
        edge=30.0,
        half=30.0,
        flat=40.0,
        arm=25.0,
        inside=50.0,
        relief=8.0,
        bodies=(50.0, 40.0, 60.0),
        body_high=80.0,
        riser=70.0,
        risers=(50.0, 25.0, 10.0, 5.0, 3.0),
        shims=(0.5, 1.0, 2.0, 3.0),
        packing=(5.0, 10.0, 25.0),
        grip=40.0,
        offset=15.0,
        post=50.0,
        reach=(50.0, 200.0),
        low=(10.0, 120.0),
        tall=(50.0, 240.0),
        bar=25.0,
        push=(45.0, 145.0),
        push_z=(20.0, 35.0),
        push_high=45.0,
    ),
)


def main() -> None:
    """Write every rack file."""
    ASSETS.mkdir(parents=True, exist_ok=True)
    for sizes in SETS:
        write_rack(ASSETS / f"{sizes.file}.json", rack_of(sizes))


if __name__ == "__main__":
    main()
