"""Variable-angle arms and clamps of the starter racks."""

from collections.abc import Iterator

import shapely
from starter_shapes import LOCKS, Sizes, arc, block, disc, hole, side, tidy

from gridjig.rack import ArcSlot, ClampTip, Piece, Pivot, Shank, Solid, StraightSlot


def arc_arms(s: Sizes) -> Iterator[Piece]:
    """Yield arms with a pivot hole and a 100 degree arc slot about it, so that a lock hole in the
    row or the column is always in reach.  The long one is cut away to the shape of an anchor.
    """
    p, f, e, t = s.pitch, s.face, s.edge, s.arm
    for radius, length in ((p, 2 * p), (2 * p, 4 * p)):
        start, end, more = -140.0, -40.0, 11.0 if radius > p else 22.0
        rim = arc((0, 0), radius + e, start - more, end + more, 36)
        if radius > p:
            rim += arc((0, 0), radius - e, end + more, start - more, 36)
            spoke = shapely.box(-e, -radius, 1.4 * e, 0)
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
    """Return an arm with a pivot hole and a straight slot beside the pivot's line; turned over it
    gives other angles.
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
    """Return an arm of two bodies: a base on two holes and a leaf above it, set by a scale or
    locked by a pin through its slot.  The leaf clears the heads of the base's pins at every angle.
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


def clamps(s: Sizes) -> Iterator[Piece]:
    """Yield down-clamps on a post of their own, low and tall, and a push clamp on two holes."""
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
            pin_length=s.grip,
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
