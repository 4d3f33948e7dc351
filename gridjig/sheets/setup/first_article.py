"""The first-article form: what to measure on the first weldment, cold and out of the jig."""

import math
from collections.abc import Iterator

from msgspec import Struct

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Member
from gridjig.model.accuracy import LinearClass
from gridjig.model.by_weldment import parts_of, several
from gridjig.model.titles import part_name, weldment_title
from gridjig.rack import Point
from gridjig.solve.angles.answers import chord
from gridjig.solve.tolerance import limit_arcmin, linear_limit
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import WorkFace, faces
from gridjig.units import INCH, format_angle, format_angle_range, format_count

from .blocks import Heading, Note, Row, SheetBlock, SheetColumn, SheetTable
from .facts import SheetFacts
from .set_blocks import limit_words

_PARALLEL = 0.999_995
_LEAST = 0.05


class ArticleMeasure(Struct, frozen=True):
    """One dimension: what it is, its nominal in mm and its limit; an angle has `degrees` too.

    The limit of an angle is in arc-minutes, that of its chord follows from it.
    """

    what: str
    nominal: float
    limit: float | None
    degrees: float | None = None
    radius: float = 0.0
    arcmin: float = 0.0


COLUMNS = (
    SheetColumn("No", 0.5, key=True),
    SheetColumn("Dimension", 4.0),
    SheetColumn("Nominal", 1.6, key=True),
    SheetColumn("Limits", 1.2),
    SheetColumn("Measured", 1.3, kind="blank"),
    SheetColumn("Error", 1.0, kind="blank"),
    SheetColumn("OK", 0.6, kind="tick"),
)


def article_blocks(facts: SheetFacts, left_out: int) -> list[SheetBlock]:
    """The form of every weldment of the job that has parts; `left_out` dimensions of the plan."""
    blocks: list[SheetBlock] = []
    for one in facts.job.weldments:
        found = measures(facts.job, one.id, facts.linear_class)
        if not found:
            continue
        of = f": {weldment_title(facts.job, one.id)}" if several(facts.job) else ""
        rows = [Row((str(k), *_cells(facts, each))) for k, each in enumerate(found, 1)]
        rows.append(Row((_SIGN,), stop=True))
        blocks += [
            Heading(f"First article{of}"),
            Note(
                "Measure it cold, unclamped, on the flat top. Limits: ISO 13920 class"
                f" {facts.linear_class}. Correct the set-up by the opposite of the error, write it"
                " down here, and make a second one if you correct by more than half a limit."
            ),
            SheetTable(COLUMNS, tuple(rows)),
        ]
    if left_out and blocks:
        missing = f"{format_count(left_out)} dimension{'' if left_out == 1 else 's'} of the plan"
        blocks.insert(1, Note(f"{missing} found no room there; what counts is measured here."))
    return blocks


_SIGN = "Proven by:                              Date:                    Drawing revision:"


def _cells(facts: SheetFacts, one: ArticleMeasure) -> tuple[str, str, str]:
    shown = facts.shown
    if one.degrees is None:
        return (one.what, shown.setting(one.nominal), limit_words(facts, one.limit))
    angle = f"{format_angle(one.degrees)} ({format_angle_range(one.arcmin)})"
    what = f"{one.what}, {angle}: chord {shown.setting(one.radius)} out from the corner"
    return (what, shown.setting(one.nominal), limit_words(facts, one.limit))


def measures(job: Job, weldment: str, linear_class: LinearClass) -> tuple[ArticleMeasure, ...]:
    """Return what to measure on a weldment: overall sizes, diagonals, each part from the datum
    faces, the angle of each member that lies askew, heights.
    """
    parts = parts_of(job, weldment)
    datum = datum_faces(job, weldment)
    if not parts or datum.long is None:
        return ()
    found: list[ArticleMeasure] = []

    def add(what: str, nominal: float) -> None:
        if nominal > _LEAST:
            found.append(ArticleMeasure(what, nominal, linear_limit(linear_class, nominal)))

    corners = [p for part in parts for p in part_ring(part)]
    along, across = _axes(datum.long)
    places = [(_dot(p, along), _dot(p, across)) for p in corners]
    us, vs = [u for u, _ in places], [v for _, v in places]
    add("Overall along A", max(us) - min(us))
    add("Overall square to A", max(vs) - min(vs))
    for words, apart in _diagonals(places):
        add(words, apart)
    every = faces(parts)
    for letter, face in (("A", datum.long), ("B", datum.end)):
        if face is not None:
            for words, apart in _from_face(job, weldment, letter, face, every):
                add(words, apart)
    found += _angles(job, weldment, datum.long, linear_class)
    for high in sorted({round(part.z_high - min(p.z_low for p in parts), 3) for part in parts}):
        add("Height, from the underside of the weldment to a top face", high)
    return tuple(found)


def _axes(face: WorkFace) -> tuple[Point, Point]:
    """Unit vectors along a datum face and away from it into the work."""
    nx, ny = face.normal
    return (-ny, nx), (-nx, -ny)


def _dot(p: Point, axis: Point) -> float:
    return p[0] * axis[0] + p[1] * axis[1]


def _diagonals(places: list[Point]) -> Iterator[tuple[str, float]]:
    """The diagonals between the outermost corners.

    One of which an end could be either of two corners, as over the legs of a bracket, is left out:
    nobody could know which was meant.
    """
    ends = [_ends(places, sign) for sign in (1.0, -1.0)]
    found = [one for one in ends if one is not None]
    for k, (one, other) in enumerate(found):
        way = (", one way", ", the other way")[k] if len(found) > 1 else ""
        yield f"Diagonal, corner to corner{way}", math.dist(one, other)


def _ends(places: list[Point], sign: float) -> tuple[Point, Point] | None:
    """The corners that lie farthest out in two opposite corners; None if either is in doubt."""
    keys = [u + sign * v for u, v in places]
    both: list[Point] = []
    for far in (min(keys), max(keys)):
        there = [p for p, key in zip(places, keys, strict=True) if abs(key - far) < _LEAST]
        if any(math.dist(there[0], p) > _LEAST for p in there):
            return None
        both.append(there[0])
    (u0, v0), (u1, v1) = both
    return (both[0], both[1]) if min(abs(u0 - u1), abs(v0 - v1)) > _LEAST else None


def _from_face(
    job: Job, weldment: str, letter: str, datum: WorkFace, every: tuple[WorkFace, ...]
) -> Iterator[tuple[str, float]]:
    """The distance of each part's nearest parallel face from a datum face."""
    nearest: dict[str, float] = {}
    for face in every:
        if abs(_dot(face.normal, datum.normal)) < _PARALLEL:
            continue
        middle = ((face.a[0] + face.b[0]) / 2.0, (face.a[1] + face.b[1]) / 2.0)
        away = abs(_dot((middle[0] - datum.a[0], middle[1] - datum.a[1]), datum.normal))
        nearest[face.of.part] = min(away, nearest.get(face.of.part, math.inf))
    for part in parts_of(job, weldment):
        if part.id in nearest and nearest[part.id] > _LEAST:
            yield f"{part_name(part)}: near face from {letter}", nearest[part.id]


def _angles(
    job: Job, weldment: str, datum: WorkFace, linear_class: LinearClass
) -> Iterator[ArticleMeasure]:
    """The angle of each member that is neither along nor square to the datum face, by its chord."""
    along = math.degrees(math.atan2(*reversed(_axes(datum)[0])))
    step = 10.0 if job.display.unit == "millimetres" else INCH
    for part in parts_of(job, weldment):
        if not isinstance(part, Member):
            continue
        degrees = (part.turn - along) % 180.0
        degrees = min(degrees, 180.0 - degrees)
        if min(degrees, abs(90.0 - degrees)) < _LEAST:
            continue
        radius = max(1.0, math.floor(min(part.length, 300.0) / step)) * step
        arcmin = limit_arcmin(linear_class, part.length)
        made = chord(radius, degrees).length
        more = chord(radius, degrees + arcmin / 60.0).length
        yield ArticleMeasure(
            f"{part_name(part)} to A", made, round(more - made, 2), degrees, radius, arcmin
        )
