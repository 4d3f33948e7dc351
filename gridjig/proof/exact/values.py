"""How exactly a set-up places the work, as plain values: mm, degrees, table coordinates."""

from typing import Literal, NamedTuple

from msgspec import Struct

from gridjig.contact.values import Vector
from gridjig.geometry.part_solids import PartFace
from gridjig.rack import Point

DimensionKind = Literal["critical", "overall", "diagonal"]


class Spread(NamedTuple):
    """How far something can be out, mm or degrees.

    `worst`: every error at its limit, all in the worst direction.  `rss`: the root of the sum of
    the squares of the limits, as shops add up tolerances.  `sigma`: one standard deviation.
    """

    worst: float
    rss: float
    sigma: float


class MemberError(Struct, frozen=True):
    """How far one part, or a weldment as one body, can lie from where it is drawn.

    `error` is at `at`, the corner of the part where it is greatest, and `angle` how far it can be
    turned, degrees; each is None where its locators leave that loose.  `contacts` are the ids of
    the pieces and parts that locate it.  `spacing` is the distance between the outermost of the
    contacts that set its angle, mm; 0 if nothing does.  `limit` is the tolerance for its angle,
    degrees, by the class of the job.  `ellipse` is how the error at `at` lies: one standard
    deviation along its long and its short axis, mm, and the direction of the long one, degrees.
    """

    id: str
    error: Spread | None
    angle: Spread | None
    at: Point
    contacts: tuple[str, ...]
    spacing: float
    limit: float
    ellipse: tuple[float, float, float] = (0.0, 0.0, 0.0)


class PointError(Struct, frozen=True):
    """How far a chosen point of a part can be out; None where the part is loose.

    `ellipse` is as in `MemberError`.
    """

    part: str
    name: str
    at: Point
    error: Spread | None
    ellipse: tuple[float, float, float] = (0.0, 0.0, 0.0)


class TapeReading(Struct, frozen=True):
    """One measure of a weldment between the points `a` and `b`: what the tape reads, +- its error.

    "critical": from a datum face to a critical face; "overall": between the outermost faces;
    "diagonal": between outer corners.  `ids` are the parts of both ends.  `limit` is the tolerance
    of the class of the job, +- mm.
    """

    weldment: str
    kind: DimensionKind
    ids: tuple[str, ...]
    a: Point
    b: Point
    nominal: float
    error: Spread | None
    limit: float


class Squareness(Struct, frozen=True):
    """Both diagonals of a weldment: `difference` is how far their readings can differ, mm.

    `nominal` is the first less the second as drawn.  `limit` is by how much they may differ at the
    angle that the class allows for the shorter side, +- mm; `skew` is the angle that the
    greatest difference would mean, degrees.
    """

    weldment: str
    first: TapeReading
    second: TapeReading
    nominal: float
    difference: Spread | None
    skew: float
    limit: float
    limit_deg: float


class OutOfLine(Struct, frozen=True):
    """Stops on one face that are not in line: by `out` mm, which turns the work by `angle` degrees.

    `limit` is the straightness that the class allows for the length of the face, mm, and
    `limit_deg` the angle; `back` is the piece that stands furthest back.
    """

    part: str
    face: PartFace
    normal: Vector
    pieces: tuple[str, ...]
    back: str
    out: float
    angle: float
    spacing: float
    where: Point
    limit: float
    limit_deg: float


class Assumed(NamedTuple):
    """A shop value that errors were reckoned with: its name, its value, and where it comes from.

    Lengths in mm, angles in degrees.
    """

    name: str
    value: float
    source: str


class ExactReport(Struct, frozen=True, eq=False):
    """How exact a job is, part by part, and by measures that can be taken.

    `linear` and `straight` are the letters of the tolerance class.
    """

    linear: str
    straight: str
    members: tuple[MemberError, ...]
    points: tuple[PointError, ...]
    dimensions: tuple[TapeReading, ...]
    squareness: tuple[Squareness, ...]
    out_of_line: tuple[OutOfLine, ...]
    assumed: tuple[Assumed, ...]


class Sampled(Struct, frozen=True):
    """What a great number of random set-ups gave for one measure; mm.

    `half`, `most` and `nearly_all` are not exceeded by 50 %, 95 % and 99.7 % of them; `outside` is
    the share beyond the limit, `beyond` the number.
    """

    count: int
    sigma: float
    half: float
    most: float
    nearly_all: float
    greatest: float
    outside: float
    beyond: int
