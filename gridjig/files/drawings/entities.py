"""What one entity of a DXF file draws: a curve, an inserted block, or nothing that we can use.

Group codes are those of the DXF reference.  Knows no section and no layer.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, cast

from msgspec import Struct, field

from gridjig.rack import Point
from gridjig.units import format_count

from .curves import Affine, Beziers, Curve, Ellipse, LineArcPath, arc, circle
from .spline import Spline

if TYPE_CHECKING:
    from ezdxf.lldxf.tags import Tags

Names = tuple[str, str]
DAMAGED: Names = ("damaged shape", "damaged shapes")
TILTED: Names = ("shape that is not flat in plan", "shapes that are not flat in plan")
NO_SIZE: Names = ("shape without size", "shapes without size")
MESH: Names = ("mesh", "meshes")
MOST_FITS = 1_000
"""The most points to fit a spline through, as it takes the square of that in memory."""
MOST_POLES = 2_000
"""The most weighted poles of a spline flattened point by point: about half a second."""
MANY_POLES: Names = (
    f"spline of more than {format_count(MOST_POLES)} weighted poles",
    f"splines of more than {format_count(MOST_POLES)} weighted poles",
)
MANY_FITS: Names = (
    f"spline through more than {format_count(MOST_FITS)} points",
    f"splines through more than {format_count(MOST_FITS)} points",
)
_LEFT: dict[str, Names] = {
    "TEXT": ("text", "texts"),
    "MTEXT": ("text", "texts"),
    "ATTRIB": ("text", "texts"),
    "ATTDEF": ("text", "texts"),
    "HATCH": ("hatch", "hatches"),
    "MPOLYGON": ("hatch", "hatches"),
    "DIMENSION": ("dimension", "dimensions"),
    "ARC_DIMENSION": ("dimension", "dimensions"),
    "LARGE_RADIAL_DIMENSION": ("dimension", "dimensions"),
    "TOLERANCE": ("tolerance frame", "tolerance frames"),
    "LEADER": ("leader", "leaders"),
    "MULTILEADER": ("leader", "leaders"),
    "MLEADER": ("leader", "leaders"),
    "POINT": ("point", "points"),
    "XLINE": ("construction line", "construction lines"),
    "RAY": ("construction line", "construction lines"),
    "SOLID": ("filled shape", "filled shapes"),
    "TRACE": ("filled shape", "filled shapes"),
    "WIPEOUT": ("mask", "masks"),
    "IMAGE": ("image", "images"),
    "OLE2FRAME": ("image", "images"),
    "VIEWPORT": ("viewport", "viewports"),
    "3DFACE": ("face in space", "faces in space"),
    "MESH": MESH,
    "3DSOLID": ("solid body", "solid bodies"),
    "BODY": ("solid body", "solid bodies"),
    "REGION": ("region", "regions"),
    "SURFACE": ("solid body", "solid bodies"),
    "MLINE": ("multiline", "multilines"),
    "ACAD_TABLE": ("table", "tables"),
}


class UnusableEntity(Exception):  # noqa: N818
    """An entity that cannot be used; `names` are its singular and plural names."""

    def __init__(self, names: Names) -> None:
        super().__init__(names)
        self.names = names


class EntityFields:
    """The values of one entity by group code; a code may occur several times."""

    def __init__(self, values: dict[int, list[object]], order: list[tuple[int, object]]) -> None:
        self._values = values
        self.order = order

    def text(self, code: int, missing: str = "") -> str:
        """Return the first text of a code."""
        found = self._values.get(code)
        return str(found[0]) if found else missing

    def number(self, code: int, missing: float = 0.0) -> float:
        """Return the first number of a code.  Raise UnusableEntity if it is no finite number."""
        found = self._values.get(code)
        return _finite(found[0]) if found else missing

    def numbers(self, code: int) -> list[float]:
        """Return all numbers of a code."""
        return [_finite(value) for value in self._values.get(code, ())]

    def whole(self, code: int, missing: int = 0) -> int:
        """Return the first whole number of a code."""
        found = self._values.get(code)
        return found[0] if found and isinstance(found[0], int) else missing

    def point(self, code: int, missing: Point | None = None) -> Point:
        """Return the first point of a code in plan.  Raise UnusableEntity if there is none."""
        found = self._values.get(code)
        if not found:
            if missing is None:
                raise UnusableEntity(DAMAGED)
            return missing
        return _plan(found[0])

    def points(self, code: int) -> list[Point]:
        """Return all points of a code in plan."""
        return [_plan(value) for value in self._values.get(code, ())]

    @property
    def frame(self) -> Affine | None:
        """Return the map from its own coordinates to the drawing's; None if they are the same.

        Raise UnusableEntity if it does not lie in plan: an extrusion that is not along z.
        """
        found = self._values.get(210)
        if not found:
            return None
        x, y, *height = (_finite(c) for c in cast(Sequence[object], found[0]))
        z = height[0] if height else 0.0
        if math.hypot(x, y) > 1e-6 * abs(z) or not z:
            raise UnusableEntity(TILTED)
        return MIRRORED if z < 0 else None


MIRRORED = Affine(a=-1.0)
"""The frame for an extrusion of (0, 0, -1): x is reversed (arbitrary axis algorithm)."""


def fields_of(tags: "Tags") -> EntityFields:
    """Return the fields of an entity, without data attached by other programs."""
    values: dict[int, list[object]] = {}
    order: list[tuple[int, object]] = []
    for tag in tags[1:]:
        code, value = tag.code, tag.value
        if code == 101 or code >= 1000:  # an embedded object, or foreign data
            break
        values.setdefault(code, []).append(value)
        order.append((code, value))
    return EntityFields(values, order)


def _finite(value: object) -> float:
    if isinstance(value, int | float) and math.isfinite(value):
        return float(value)
    raise UnusableEntity(DAMAGED)


def _plan(value: object) -> Point:
    x, y = cast(Sequence[object], value)[:2]  # the reader makes points of codes that have them
    return (_finite(x), _finite(y))


def unused_words(kind: str) -> Names:
    """Return the singular and plural name of an entity that we cannot use."""
    plain = "".join(sign for sign in kind if sign.isprintable())[:40]
    return _LEFT.get(kind) or (f"object of type {plain}", f"objects of type {plain}")


class MovedCurve(Struct, frozen=True):
    """A curve in a frame of its own."""

    curve: Curve
    frame: Affine

    @property
    def closed(self) -> bool:
        """True if the curve is."""
        return self.curve.closed

    @property
    def given(self) -> int:
        """How many points the file has for the curve."""
        return self.curve.given

    def points(self, tolerance: float) -> list[Point]:
        """Return points along it.  The frame only mirrors, so the tolerance stays the same."""
        return [self.frame.of(p) for p in self.curve.points(tolerance)]


class Insert(Struct, frozen=True):
    """A block inserted into the drawing, once or in rows and columns."""

    block: str
    at: Point
    scale: Point
    turn: float
    columns: int
    rows: int
    pitch: Point
    frame: Affine | None

    def places(self, base: Point) -> Iterator[Affine]:
        """Yield where each copy goes; `base` is the block's base point."""
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        sx, sy = self.scale
        for row in range(self.rows):
            for column in range(self.columns):
                dx, dy = column * self.pitch[0], row * self.pitch[1]
                x, y = self.at[0] + c * dx - s * dy, self.at[1] + s * dx + c * dy
                to = Affine(c * sx, s * sx, -s * sy, c * sy, x, y)
                put = to.after(Affine(e=-base[0], f=-base[1]))
                yield put if self.frame is None else self.frame.after(put)


class OldPolyline(Struct):
    """An old-style polyline, whose corners follow as entities of their own."""

    closed: bool
    frame: Affine | None
    mesh: bool
    corners: list[tuple[float, float, float]] = field(default_factory=list)
    damaged: bool = False

    def add(self, fields: EntityFields) -> None:
        """Take its next corner; spline control points are not corners."""
        if fields.whole(70) & 16:
            return
        try:
            x, y = fields.point(10)
            self.corners.append((x, y, fields.number(42)))
        except UnusableEntity:
            self.damaged = True

    def curve(self) -> Curve:
        """Return what it draws.  Raise UnusableEntity."""
        if self.mesh:
            raise UnusableEntity(MESH)
        if self.damaged:
            raise UnusableEntity(DAMAGED)
        return _run(self.corners, self.closed, self.frame)


def read_entity(kind: str, fields: EntityFields) -> Curve | Insert | OldPolyline:
    """Return what an entity draws.  Raise UnusableEntity with its name if it cannot be used."""
    read = _READ.get(kind)
    if read is None:
        raise UnusableEntity(unused_words(kind))
    try:
        return read(fields)
    except (ArithmeticError, ValueError) as fault:  # absurdly large numbers
        raise UnusableEntity(DAMAGED) from fault


def _line(fields: EntityFields) -> Curve:
    (ax, ay), (bx, by) = fields.point(10), fields.point(11)
    return LineArcPath(((ax, ay, 0.0), (bx, by, 0.0)))


def _circle(fields: EntityFields) -> Curve:
    return _moved(circle(fields.point(10), _radius(fields)), fields.frame)


def _arc(fields: EntityFields) -> Curve:
    turned = arc(fields.point(10), _radius(fields), fields.number(50), fields.number(51))
    return _moved(turned, fields.frame)


def _light_polyline(fields: EntityFields) -> Curve:
    return _run(_corners(fields), bool(fields.whole(70) & 1), fields.frame)


def _polyline(fields: EntityFields) -> OldPolyline:
    flags = fields.whole(70)
    frame = None if flags & 8 else fields.frame
    return OldPolyline(bool(flags & 1), frame, mesh=bool(flags & (16 | 64)))


def _moved(curve: Curve, frame: Affine | None) -> Curve:
    return curve if frame is None else MovedCurve(curve, frame)


def _radius(fields: EntityFields) -> float:
    radius = fields.number(40)
    if radius <= 0.0:
        raise UnusableEntity(NO_SIZE if radius == 0.0 else DAMAGED)
    return radius


def _run(corners: list[tuple[float, float, float]], closed: bool, frame: Affine | None) -> Curve:
    if len(corners) < 2:
        raise UnusableEntity(NO_SIZE)
    return _moved(LineArcPath(tuple(corners), closed), frame)


def _corners(fields: EntityFields) -> list[tuple[float, float, float]]:
    """The corners of a light polyline: each point and the bulge that follows it."""
    corners: list[tuple[float, float, float]] = []
    for code, value in fields.order:
        if code == 10:
            corners.append((*_plan(value), 0.0))
        elif code == 42 and corners:
            x, y, _ = corners[-1]
            corners[-1] = (x, y, _finite(value))
    return corners


def _ellipse(fields: EntityFields) -> Curve:
    frame = fields.frame
    mx, my = fields.point(11)
    ratio = fields.number(40, 1.0)
    start, end = fields.number(41), fields.number(42, math.tau)
    if not (mx or my) or not ratio:
        raise UnusableEntity(NO_SIZE)
    sweep = math.fmod(end - start, math.tau)
    sweep += math.tau if sweep <= 1e-9 else 0.0
    side = 1.0 if frame is None else -1.0  # its points are the drawing's, only its turn is not
    minor = (-my * ratio * side, mx * ratio * side)
    return Ellipse(fields.point(10), (mx, my), minor, start, start + sweep)


def _spline(fields: EntityFields) -> Curve:
    from ezdxf.math import BSpline, fit_points_to_cad_cv  # noqa: PLC0415

    controls, fits = fields.points(10), fields.points(11)
    knots, weights = fields.numbers(40), fields.numbers(41)
    degree = fields.whole(71, 3)
    try:
        if len(controls) >= 2:
            made = BSpline(controls, degree + 1, knots or None, weights or None)
        elif len(fits) > MOST_FITS:
            raise UnusableEntity(MANY_FITS)
        elif len(fits) >= 2:
            made = fit_points_to_cad_cv(fits)
        else:
            raise UnusableEntity(NO_SIZE)
    except (ArithmeticError, ValueError, IndexError, TypeError) as fault:
        raise UnusableEntity(DAMAGED) from fault
    closed = bool(fields.whole(70) & 1)
    if made.is_rational or not made.is_clamped:
        if made.count > MOST_POLES:
            raise UnusableEntity(MANY_POLES)
        return Spline(made, closed)
    pieces = (tuple((p.x, p.y) for p in piece) for piece in made.bezier_decomposition())
    return Beziers(tuple(pieces), closed)


def _insert(fields: EntityFields) -> Insert:
    sx, sy = fields.number(41, 1.0), fields.number(42, 1.0)
    if not sx or not sy:
        raise UnusableEntity(("block of no size", "blocks of no size"))
    return Insert(
        block=fields.text(2),
        at=fields.point(10),
        scale=(sx, sy),
        turn=fields.number(50),
        columns=max(fields.whole(70, 1), 1),
        rows=max(fields.whole(71, 1), 1),
        pitch=(fields.number(44), fields.number(45)),
        frame=fields.frame,
    )


_READ: dict[str, Callable[[EntityFields], Curve | Insert | OldPolyline]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _polyline,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
    "INSERT": _insert,
}
