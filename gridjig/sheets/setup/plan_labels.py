"""The texts of a view of the table: painted labels, datums, numbers, addresses, names.

Each is placed where no other stands.
"""

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from gridjig.geometry.box_index import Box
from gridjig.geometry.page import NARROW, PageLine, PageMark, PageText
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.pose import unit
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Table
from gridjig.model.by_weldment import parts_of
from gridjig.model.labels import GridLine, address, label
from gridjig.model.titles import part_name
from gridjig.rack import Point
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import WorkFace

from .balloons import Balloon, balloon_marks, text_in
from .facts import SheetFacts
from .flow import Letters
from .letters import LINE, width_of
from .places import Occupied
from .strokes import PaperFrame

_EVERY = (1, 2, 5, 10, 20, 50, 100, 200, 500)
_ROUND_ABOUT = tuple(unit(22.5 * k) for k in (0, 4, 8, 12, 2, 6, 10, 14, 1, 3, 5, 7, 9, 11, 13, 15))
"""Directions about a piece, straight ones first."""
_LEADERS = (4.0, 7.0, 11.0, 16.0, 22.0, 30.0)


def label_bands(table: Table, letters: Letters) -> tuple[float, float]:
    """Return the room for the painted labels: of rows at the left and right, of columns; mm."""
    ends = (label(table, "row", 0), label(table, "row", table.rows - 1))
    return (max(width_of(one, letters.text) for one in ends) + 1.6, 2.0 * letters.text)


class TableWindow(Struct, frozen=True):
    """Which part of the table is shown, in table mm, and where on paper it lies."""

    frame: PaperFrame
    window: Box
    letters: Letters

    @property
    def box(self) -> Box:
        """The window on paper: left, top, right, bottom."""
        x0, y0, x1, y1 = self.window
        left, bottom = self.frame.at((x0, y0))
        right, top = self.frame.at((x1, y1))
        return (left, top, right, bottom)

    def bands(self, table: Table) -> tuple[float, float]:
        """Room for the painted labels: of the rows beside the window, of the columns above it."""
        return label_bands(table, self.letters)

    def shows(self, box: Box) -> bool:
        """True if something with that box on the table is at least partly in the window."""
        x0, y0, x1, y1 = self.window
        return box[0] < x1 and x0 < box[2] and box[1] < y1 and y0 < box[3]

    def holds(self, at: Point) -> bool:
        """True if a point of the table is in the window."""
        x0, y0, x1, y1 = self.window
        return x0 <= at[0] <= x1 and y0 <= at[1] <= y1


class Labels:
    """Places the texts of a view."""

    def __init__(self, facts: SheetFacts, view: TableWindow, occupied: Occupied) -> None:
        self._facts = facts
        self._view = view
        self._occupied = occupied
        self._letters = view.letters

    # -- the painted labels along the edges ------------------------------------------------------

    def edges(self) -> list[PageMark]:
        """The labels of columns and rows along the edges of the window, as painted."""
        left, top, right, bottom = self._view.box
        beside, above = self._view.bands(self._facts.job.table)
        return [
            *self._line("column", top - above),
            *self._line("column", bottom),
            *self._line("row", left - beside),
            *self._line("row", right),
        ]

    def _line(self, line: GridLine, edge: float) -> Iterator[PageMark]:
        table, view = self._facts.job.table, self._view
        size = self._letters.text
        beside, above = view.bands(table)
        count = table.columns if line == "column" else table.rows
        pitch = (table.pitch_x if line == "column" else table.pitch_y) / view.frame.scale
        widest = width_of(label(table, line, count - 1), size)
        widest = max(widest, width_of(label(table, line, 0), size))
        need = widest + 0.6 if line == "column" else LINE * size * 0.85
        every = next((step for step in _EVERY if step * pitch >= need), _EVERY[-1])
        for k in range(count):
            if (k % every and k != count - 1) or (k != count - 1 and 0 < count - 1 - k < every):
                continue
            at = table.at(Hole(k, 0) if line == "column" else Hole(0, k))
            x, y = view.frame.at(at)
            if line == "column":
                if not view.window[0] <= at[0] <= view.window[2]:
                    continue
                wide = max(min(pitch * every, widest + 2.0), widest)
                box = (x - wide / 2, edge, x + wide / 2, edge + above)
            else:
                if not view.window[1] <= at[1] <= view.window[3]:
                    continue
                high = min(pitch * every, above)
                box = (edge, y - high / 2, edge + beside, y + high / 2)
            self._occupied.take(box)
            yield text_in(box, label(table, line, k), size)

    # -- datum faces -----------------------------------------------------------------------------

    def datums(self) -> list[PageMark]:
        """The datum faces: a letter in a frame, its triangle on the face."""
        marks: list[PageMark] = []
        job = self._facts.job
        for one in job.weldments:
            if not parts_of(job, one.id):
                continue
            datum = datum_faces(job, one.id)
            for letter, face in (("A", datum.long), ("B", datum.end)):
                if face is not None:
                    marks += self._datum(letter, face)
        return marks

    def _datum(self, letter: str, face: WorkFace) -> list[PageMark]:
        """The sign of a datum face, where it hides nothing; if it must, a piece and no text."""
        pieces = Occupied()
        for box in self._facts.boxes.values():
            if self._view.shows(box):
                pieces.take(self._paper(box))
        places = list(self._datum_places(face))
        found = next((one for one in places if pieces.free(one[1])), None)
        found = found or next(iter(places), None)
        if found is None:
            return []
        self._occupied.take(found[1])
        size, ((x, y), box) = self._letters.key, found
        nx, ny = face.normal[0], -face.normal[1]
        foot = (x + nx * 2.2, y + ny * 2.2)
        triangle = (
            (x, y),
            (foot[0] - ny * 1.3, foot[1] + nx * 1.3),
            (foot[0] + ny * 1.3, foot[1] - nx * 1.3),
        )
        half = 0.85 * size
        edge = ((box[0] + box[2]) / 2 - nx * half, (box[1] + box[3]) / 2 - ny * half)
        return [
            PageLine(triangle, NARROW, closed=True, fill="black"),
            PageLine((foot, edge), NARROW),
            PageLine(_ring(box), NARROW, closed=True, fill="white"),
            text_in(box, letter, size, bold=True),
        ]

    def _datum_places(self, face: WorkFace) -> Iterator[tuple[Point, Box]]:
        """Where the sign of a datum face can stand: its point on the face, and the letter's box."""
        size = self._letters.key
        half = 0.85 * size
        nx, ny = face.normal[0], -face.normal[1]
        for part in (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92):
            at = (
                face.a[0] + (face.b[0] - face.a[0]) * part,
                face.a[1] + (face.b[1] - face.a[1]) * part,
            )
            if not self._view.holds(at):
                continue
            x, y = self._view.frame.at(at)
            for away in (half + 3.0, half + 6.0, half + 10.0):
                cx, cy = x + nx * away, y + ny * away
                box = (cx - half, cy - half, cx + half, cy + half)
                if self._occupied.free(box):
                    yield (x, y), box

    # -- numbers of the pieces -------------------------------------------------------------------

    def balloons(
        self, stands: dict[str, Box], whatever: bool
    ) -> tuple[list[PageMark], tuple[str, ...]]:
        """The number of each piece in a ring beside it, with a leader that ends in a dot; and the
        placements for which there was no room nearby.

        With `whatever` those get the nearest free place that there is.
        """
        crowd = Occupied()
        boxes = {k: self._paper(box) for k, box in stands.items()}
        for part in self._facts.job.parts:
            crowd.take(self._paper(bounds(part_ring(part))))
        for box in boxes.values():
            crowd.take(box)
        made: list[Balloon] = []
        crowded: list[str] = []
        for k, box in boxes.items():
            x0, y0, x1, y1 = stands[k]
            if not self._view.holds(((x0 + x1) / 2, (y0 + y1) / 2)):
                continue  # most of it is in another view
            one = self._balloon(k, box, crowd, whatever)
            if one is None:
                crowded.append(k)
            else:
                made.append(one)
        return balloon_marks(made, self._letters.key), tuple(crowded)

    def _balloon(
        self, placement: str, box: Box, crowd: Occupied, whatever: bool
    ) -> "Balloon | None":
        number = str(self._facts.numbers[placement])
        size = self._letters.key
        radius = max(0.95 * size, width_of(number, size, bold=True) / 2 + 0.6)
        x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        place = self._beside_piece((x, y), box, radius, crowd)
        if place is None and whatever:
            place = self._anywhere(x, y, radius, self._view.box)
        if place is None:
            return None
        cx, cy = place
        self._occupied.take((cx - radius, cy - radius, cx + radius, cy + radius))
        part = 0.3 if (cx, cy) != (x, y) else 0.0
        return Balloon(number, place, radius, (x + (cx - x) * part, y + (cy - y) * part))

    def _beside_piece(
        self, middle: Point, box: Box, radius: float, crowd: Occupied
    ) -> Point | None:
        """The nearest free place for a ring beside a piece, clear of other pieces if it can be."""
        (x, y), limits = middle, self._view.box
        best: tuple[float, Point] | None = None
        half_w, half_h = (box[2] - box[0]) / 2, (box[3] - box[1]) / 2
        edges = [(c, s, _to_edge(half_w, half_h, c, s)) for c, s in _ROUND_ABOUT]
        for reach in _LEADERS:
            for c, s, edge in edges:
                off = edge + reach + radius
                cx, cy = x + c * off, y - s * off
                ring = (cx - radius, cy - radius, cx + radius, cy + radius)
                if not _inside(ring, limits) or not self._occupied.free(ring):
                    continue
                covered = crowd.count(ring)
                if best is None or reach + 4.0 * covered < best[0]:
                    best = (reach + 4.0 * covered, (cx, cy))
                if not covered:
                    break  # none is better at this distance
            if best is not None and best[0] <= reach:
                break
        return None if best is None else best[1]

    def _anywhere(self, x: float, y: float, radius: float, limits: Box) -> Point | None:
        """The nearest free place of a grid over the view; None if there is none."""
        step = 2.0 * radius
        nx = int((limits[2] - limits[0]) / step)
        ny = int((limits[3] - limits[1]) / step)
        places = (
            (limits[0] + (i + 0.5) * step, limits[1] + (j + 0.5) * step)
            for i in range(nx)
            for j in range(ny)
        )
        free = (
            p
            for p in sorted(places, key=lambda p: math.dist(p, (x, y)))
            if self._occupied.free((p[0] - radius, p[1] - radius, p[0] + radius, p[1] + radius))
        )
        return next(free, None)

    def _paper(self, box: Box) -> Box:
        left, bottom = self._view.frame.at((box[0], box[1]))
        right, top = self._view.frame.at((box[2], box[3]))
        return (left, top, right, bottom)

    # -- addresses of the holes that pins stand in -----------------------------------------------

    def addresses(self, placements: Sequence[str]) -> tuple[list[PageMark], tuple[str, ...]]:
        """The address of each used hole beside its pin; and the placements for which one found no
        room.
        """
        job, view = self._facts.job, self._view
        size = self._letters.text
        radius = job.table.hole_diameter / 2.0 / view.frame.scale
        wanted: dict[Hole, str] = {}
        for k in placements:
            for hole in self._facts.found.placed_pieces[k].holes:
                if view.holds(job.table.at(hole)) and job.table.has(hole):
                    wanted.setdefault(hole, k)
        for hole in wanted:
            x, y = view.frame.at(job.table.at(hole))
            self._occupied.take(
                (x - radius * 0.7, y - radius * 0.7, x + radius * 0.7, y + radius * 0.7)
            )
        marks: list[PageMark] = []
        crowded: dict[str, None] = {}
        for hole, k in wanted.items():
            told = address(job.table, hole)
            wide, high = width_of(told, size) + 0.4, 1.3 * size
            x, y = view.frame.at(job.table.at(hole))
            box = next(
                (
                    one
                    for one in _beside(x, y, radius + 0.6, wide, high)
                    if self._occupied.free(one) and _inside(one, view.box)
                ),
                None,
            )
            if box is None:
                crowded[k] = None
                continue
            self._occupied.take(box)
            marks.append(text_in(box, told, size, cleared=True))
        return marks, tuple(crowded)

    # -- names of the parts ----------------------------------------------------------------------

    def names(self) -> list[PageMark]:
        """The names of the parts, where the drawing has them, if they have room there."""
        view, job = self._view, self._facts.job
        size = self._letters.small
        marks: list[PageMark] = []
        for part in job.parts:
            name = part_name(part)
            wide, high = width_of(name, size) + 0.6, 1.4 * size
            ring = view.frame.all(part_ring(part))
            x0, y0, x1, y1 = bounds(ring)
            long, tall = x1 - x0, y1 - y0
            up = tall > long
            w, h = (high, wide) if up else (wide, high)
            for share in (0.5, 0.35, 0.65, 0.2, 0.8):
                cx, cy = (
                    ((x0 + x1) / 2, y0 + share * tall) if up else (x0 + share * long, (y0 + y1) / 2)
                )
                cx, cy = _on_part(ring, cx, cy, up)
                box = (cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2)
                if _inside(box, view.box) and self._occupied.free(box):
                    self._occupied.take(box)
                    marks.append(
                        PageText(box[0], box[1], w, h, name, size, "centre", up=up, cleared=True)
                    )
                    break
        return marks


def _on_part(ring: Sequence[Point], x: float, y: float, up: bool) -> Point:
    """A point moved across to the middle of a part, where it crosses there; else as it is."""
    cuts = []
    x1, y1 = ring[-1]
    for x2, y2 in ring:
        a, b, at = (y1, y2, y) if up else (x1, x2, x)
        if (a <= at) != (b <= at):
            along = (at - a) / (b - a)
            cuts.append(x1 + along * (x2 - x1) if up else y1 + along * (y2 - y1))
        x1, y1 = x2, y2
    if len(cuts) < 2:
        return (x, y)
    cuts.sort()
    middle = (cuts[0] + cuts[1]) / 2
    return (middle, y) if up else (x, middle)


def _beside(x: float, y: float, off: float, wide: float, high: float) -> Iterator[Box]:
    """Boxes beside a pin: right, left, above, below, and at its corners."""
    yield (x + off, y - high / 2, x + off + wide, y + high / 2)
    yield (x - off - wide, y - high / 2, x - off, y + high / 2)
    yield (x - wide / 2, y - off - high, x + wide / 2, y - off)
    yield (x - wide / 2, y + off, x + wide / 2, y + off + high)
    near = 0.7 * off
    yield (x + near, y - near - high, x + near + wide, y - near)
    yield (x - near - wide, y - near - high, x - near, y - near)
    yield (x + near, y + near, x + near + wide, y + near + high)
    yield (x - near - wide, y + near, x - near, y + near + high)


def _to_edge(half_w: float, half_h: float, c: float, s: float) -> float:
    """How far it is from the middle of a box to its edge in a direction."""
    across = half_w / abs(c) if c else math.inf
    along = half_h / abs(s) if s else math.inf
    return min(across, along)


def _inside(box: Box, limits: Box) -> bool:
    return (
        limits[0] <= box[0] and limits[1] <= box[1] and box[2] <= limits[2] and box[3] <= limits[3]
    )


def _ring(box: Box) -> tuple[Point, ...]:
    x0, y0, x1, y1 = box
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
