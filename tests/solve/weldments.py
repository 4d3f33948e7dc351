"""Parts of weldments for tests: bars and plates with simple sizes, and racks of a few stops."""

from msgspec import structs

from gridjig.model import EndCut, Job, Member, Part, Section
from gridjig.rack import Point
from tests.workshop import EMPTY

TUBE = Section(name="40x3", kind="square tube", width=40, height=40, wall=3, radius=6, toe=3)
PIPE = Section(name="60.3", kind="round tube", width=60.3, height=60.3, wall=3.6)
ANGLE = Section(name="50x50x5", kind="angle", width=50, height=50, wall=5, radius=7, toe=3.5)


def bar(
    name: str,
    x: float,
    y: float,
    length: float,
    turn: float = 0.0,
    z: float = 0.0,
    section: Section = TUBE,
    **more: object,
) -> Member:
    made = Member(id=name, name=name, section=section, length=length, x=x, y=y, turn=turn, z_low=z)
    return structs.replace(made, **more)


def job_of(*parts: Part) -> Job:
    return structs.replace(EMPTY, parts=parts)


def frame() -> tuple[Member, ...]:
    """A butted frame, 400 x 300 outside, its front left corner at (100, 200)."""
    return (
        bar("front", 100, 220, 400),
        bar("back", 100, 480, 400),
        bar("left", 120, 240, 220, 90),
        bar("right", 480, 240, 220, 90),
    )


def coped(around: float, length: float, angle: float = 0.0) -> tuple[Member, Member]:
    """A round pipe along x, and another coped to its back side."""
    main = bar("main", 0, 0, 800, section=structs.replace(PIPE, width=around, height=around))
    z = (around - 60.3) / 2
    cut = EndCut("cope", angle, around)
    return main, bar("branch", 400, around / 2, length, 90 - angle, z, PIPE, start=cut)


MOVES: tuple[Point, ...] = ((0.0, 0.0), (13.7, -250.1), (1e4, 3.3))
