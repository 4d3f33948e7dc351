"""A small table and rack for tests: a piece of each way of mounting, sizes easy to reckon."""

from msgspec import structs

from gridjig.model import Display, Hole, Job, Part, Placement, Plate, Seat, Table
from gridjig.rack import (
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

PITCH = 50.0
BORE = 16.0
BOLT = 15.9


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def disc(radius: float) -> tuple[Point, ...]:
    r, k = radius, radius * 0.7071
    return ((r, 0.0), (k, k), (0.0, r), (-k, k), (-r, 0.0), (-k, -k), (0.0, -r), (k, -k))


PIN = Piece(
    id="pin",
    name="locating pin",
    kind="pin",
    solids=(Solid(disc(15), 0, 40),),
    mounts=(Shank("p", (0, 0), BOLT),),
    rounds=(Round("r", (0, 0), 15, 0, 40),),
    owned=8,
)
STOP = Piece(
    id="stop",
    name="fixed stop",
    kind="fixed stop",
    flips=True,
    solids=(Solid(box(-20, -20, 70, 20), 0, 50),),
    mounts=(RoundHole("h1", (0, 0), BORE), RoundHole("h2", (PITCH, 0), BORE)),
    faces=(Face("f", (-20, -20), (70, -20), 0, 50),),
    takes=("bolt",),
    owned=6,
)
SLIDER = Piece(
    id="slider",
    name="adjustable stop",
    kind="adjustable stop",
    solids=(Solid(box(-20, -20, 130, 20), 0, 25),),
    mounts=(StraightSlot("s", (0, 0), (110, 0), BORE),),
    faces=(Face("f", (130, -20), (130, 20), 0, 25),),
    takes=("bolt",),
    owned=4,
)
ARM = Piece(
    id="arm",
    name="swing arm",
    kind="arm",
    flips=True,
    solids=(Solid(box(-20, -20, 230, 20), 0, 25),),
    mounts=(RoundHole("h", (0, 0), BORE), ArcSlot("a", (0, 0), 100, -60, 60, BORE)),
    faces=(Face("f", (-20, -20), (230, -20), 0, 25),),
    takes=("bolt",),
    owned=2,
)
HINGE = Piece(
    id="hinge",
    name="hinged arm",
    kind="arm",
    flips=True,
    solids=(
        Solid(box(-20, -20, 120, 20), 0, 20),
        Solid(box(-15, -15, 220, 15), 20, 40, body=1),
    ),
    mounts=(RoundHole("h1", (0, 0), BORE), RoundHole("h2", (100, 0), BORE)),
    faces=(Face("f", (0, -15), (220, -15), 20, 40, body=1),),
    pivot=Pivot(at=(50, 0), low=0, high=180, accuracy=0.5),
    takes=("bolt",),
    owned=2,
)
CLAMP = Piece(
    id="clamp",
    name="down clamp",
    kind="clamp",
    solids=(Solid(box(-20, -20, 20, 20), 0, 80),),
    mounts=(Shank("p", (0, 0), BOLT),),
    tip=ClampTip(
        at=(0, 0),
        direction=0,
        push="down",
        reach_min=60,
        reach_max=160,
        z_low=0,
        z_high=70,
        pad_radius=12,
        bar_width=20,
        bar_z_low=70,
        bar_z_high=90,
        handle_radius=120,
        handle_start=150,
        handle_end=210,
    ),
    owned=4,
)
RISER = Piece(
    id="riser",
    name="riser",
    kind="riser",
    solids=(Solid(disc(20), 0, 50),),
    mounts=(Shank("p", (0, 0), BOLT),),
    rests=(Rest((0, 0), 18, 50),),
    thickness=50,
    owned=6,
)
SHIM = Piece(id="shim", name="shim 1 mm", kind="shim", thickness=1, owned=20)
LOCK = Piece(
    id="bolt", name="locking pin", kind="locking pin", pin_diameter=BOLT, owned=12, bin="A1"
)

RACK = Rack(
    name="Test rack",
    walk=("A1", "A2"),
    pieces=(PIN, STOP, SLIDER, ARM, HINGE, CLAMP, RISER, SHIM, LOCK),
)
TABLE = Table(
    name="Test table",
    width=1200,
    depth=1000,
    thickness=16,
    pitch_x=PITCH,
    pitch_y=PITCH,
    columns=23,
    rows=19,
    first_x=PITCH,
    first_y=PITCH,
    hole_diameter=BORE,
)
EMPTY = Job(name="Test", table=TABLE, rack=RACK, display=Display(unit="millimetres"))


def seat(feature: str, col: int, row: int) -> Seat:
    return Seat(feature, Hole(col, row))


def put(thing_id: str, piece: str, *seats: Seat, **more: object) -> Placement:
    return structs.replace(
        Placement(id=thing_id, piece=piece, seats=seats),
        **more,
    )


def pin(thing_id: str, col: int, row: int) -> Placement:
    return put(thing_id, "pin", seat("p", col, row))


def stop(thing_id: str, col: int, row: int) -> Placement:
    return put(thing_id, "stop", seat("h1", col, row), seat("h2", col + 1, row))


def plate(thing_id: str, x: float, y: float, w: float = 100, d: float = 60) -> Plate:
    return Plate(id=thing_id, name=thing_id, corners=box(0, 0, w, d), z_low=0, z_high=6, x=x, y=y)


def handed(piece: Piece) -> tuple[Piece, Piece]:
    """A left and a right hand made of a piece on its first mount, mirrored in its own x axis."""
    left = structs.replace(piece, id="left", name="left", flips=False, mounts=piece.mounts[:1])
    right = structs.replace(
        left,
        id="right",
        solids=tuple(
            structs.replace(s, outline=tuple((x, -y) for x, y in s.outline)) for s in left.solids
        ),
        faces=tuple(
            structs.replace(f, a=(f.b[0], -f.b[1]), b=(f.a[0], -f.a[1])) for f in left.faces
        ),
    )
    return left, right


def laid(*things: Placement | Part, job: Job = EMPTY) -> Job:
    return structs.replace(
        job,
        placements=(*job.placements, *(t for t in things if isinstance(t, Placement))),
        parts=(*job.parts, *(t for t in things if isinstance(t, Part))),
    )
