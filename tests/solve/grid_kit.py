"""Tables and pieces for the solver's tests, with nothing but holes and features."""

from collections.abc import Iterable

from gridjig.model import Hole, HoleMark, Placement, Seat, Table
from gridjig.rack import MountFeature, Piece, Rack, RoundHole, StraightSlot
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.ways import Mounting
from gridjig.solve.poses.faults import PlacingFault
from gridjig.units import MILLIMETRES, Display
from gridjig.words.placing_text import placing_text

PIN = 16.0


def grid(
    pitch: float = 50.0,
    columns: int = 25,
    rows: int = 25,
    hole: float = PIN,
    marks: Iterable[HoleMark] = (),
    pitch_y: float = 0.0,
) -> Table:
    up = pitch_y or pitch
    return Table(
        name="grid",
        width=(columns + 1) * pitch,
        depth=(rows + 1) * up,
        thickness=20.0,
        pitch_x=pitch,
        pitch_y=up,
        columns=columns,
        rows=rows,
        first_x=pitch,
        first_y=up,
        hole_diameter=hole,
        marks=tuple(marks),
    )


def piece(*mounts: MountFeature, **more: object) -> Piece:
    values: dict[str, object] = {
        "id": "piece",
        "name": "test piece",
        "kind": "other",
        "mounts": mounts,
        "flips": True,
        "takes": ("bolt",),
        **more,
    }
    return Piece(**values)  # type: ignore[arg-type]


BOLT = Piece(id="bolt", name="bolt", kind="locking pin", pin_diameter=PIN, owned=99)


def rack(*pieces: Piece) -> Rack:
    return Rack(name="rack", pieces=(BOLT, *pieces))


def hole(name: str, x: float, y: float, diameter: float = PIN) -> RoundHole:
    return RoundHole(id=name, at=(x, y), diameter=diameter)


def slot(name: str, ax: float, ay: float, bx: float, by: float, width: float = PIN) -> StraightSlot:
    return StraightSlot(id=name, a=(ax, ay), b=(bx, by), width=width)


def seats(**holes: tuple[int, int]) -> tuple[Seat, ...]:
    """Seats by feature; a name with a trailing underscore is the same feature again."""
    return tuple(Seat(feature=f.rstrip("_"), hole=Hole(*h)) for f, h in holes.items())


def mounted(
    thing: Piece,
    table: Table | None = None,
    flipped: bool = False,
    /,
    **holes: tuple[int, int],
) -> Mounting:
    return mount(table or grid(), thing, seats(**holes), PIN, flipped)


def put(thing: Piece, placed: tuple[Seat, ...], **more: object) -> Placement:
    values: dict[str, object] = {"id": "p1", "piece": thing.id, "seats": placed, **more}
    return Placement(**values)  # type: ignore[arg-type]


def said(
    why: PlacingFault | None, table: Table | None = None, display: Display = MILLIMETRES
) -> str:
    """Why something is not possible, in words; "" if it is possible."""
    return "" if why is None else placing_text(why, table or grid(), display)
