"""Picking on the table for the angle finder: edges and faces, two holes, a box's corners.

Each tool ends by itself once it has everything, which the caller then reads from `picked`.  The
job is never changed.
"""

import math
import re

from msgspec import Struct

from gridjig.geometry.display import DisplayList, Polyline, TextLabel
from gridjig.geometry.lines import line_angle
from gridjig.geometry.part_outline import part_ring
from gridjig.model import FaceOf, Hole, Table
from gridjig.model.labels import address, find_hole
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.angles.answers import PinSide
from gridjig.tools.aim.ghosts import box, hole_ring
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Leave, Nothing, Outcome, Tool, ToolContext
from gridjig.units import ParseError, format_angle, parse_angle

from .click_pick import ClickPick


class PickableEdge(Struct, frozen=True):
    """A straight edge on the table, from a to b in mm; `of` says whose it is.

    `side` is the free side, going from a to b, with nothing of its owner on it; `face` is which
    side of a part it is.
    """

    a: Point
    b: Point
    of: str
    side: PinSide = "right"
    face: FaceOf | None = None

    @property
    def direction(self) -> float:
        """Return its direction as a line, degrees, 0 <= d < 180."""
        return line_angle(self.a, self.b)

    @property
    def length(self) -> float:
        """Return its length, mm."""
        return math.dist(self.a, self.b)

    def away(self, x: float, y: float) -> float:
        """Return the distance of a point from it, mm."""
        dx, dy = self.b[0] - self.a[0], self.b[1] - self.a[1]
        t = ((x - self.a[0]) * dx + (y - self.a[1]) * dy) / (dx * dx + dy * dy)
        t = min(max(t, 0.0), 1.0)
        return math.hypot(x - self.a[0] - t * dx, y - self.a[1] - t * dy)


def edges_of(context: ToolContext, parts_only: bool = False) -> tuple[PickableEdge, ...]:
    """Return every edge that can be picked: of the parts, the pieces' faces, the table."""
    job = context.job
    found: list[PickableEdge] = []
    for part in job.parts:
        ring = part_ring(part)
        side: PinSide = "right" if _area(ring) > 0 else "left"
        name = title(job, part.id)
        found += [
            PickableEdge(ring[i - 1], ring[i], name, side, FaceOf(part.id, (i - 1) % len(ring)))
            for i in range(len(ring))
        ]
    if not parts_only:
        for placement in job.placements:
            placed = context.placed_pieces.get(placement.id)
            if placed is not None:
                name = title(job, placement.id)
                found += [PickableEdge(face.a, face.b, name) for face in placed.faces]
        w, d = job.table.width, job.table.depth
        corners = ((0.0, 0.0), (w, 0.0), (w, d), (0.0, d))
        found += [PickableEdge(corners[i - 1], corners[i], "the table") for i in (1, 2, 3, 0)]
    return tuple(edge for edge in found if edge.length > 0.1)


def _area(ring: tuple[Point, ...]) -> float:
    return sum(ring[i - 1][0] * ring[i][1] - ring[i][0] * ring[i - 1][1] for i in range(len(ring)))


class EdgePick(ClickPick[PickableEdge]):
    """Picks one edge or face, or several one after another.

    `what` says in the prompt what to pick.  The arrow keys step through all edges, Enter takes one,
    and a typed angle stands for an edge in that direction.
    """

    name = "edge"
    numbers = True
    nothing_here = "There is no edge here; click the edge of a part, or a face."

    def __init__(
        self, context: ToolContext, what: str = "the edge", count: int = 1, parts_only: bool = False
    ) -> None:
        super().__init__(context)
        self.picked: tuple[PickableEdge, ...] = ()
        self._what, self._count, self._parts_only = what, count, parts_only

    @property
    def complete(self) -> bool:
        """True once all edges are picked."""
        return len(self.picked) == self._count

    def prompt(self) -> Prompt:
        """What the next click or key will do."""
        which = self._what
        if self._count > 1:
            which = f"{('the first', 'the second')[min(len(self.picked), 1)]} {self._what}"
        back = (Key("Backspace", "to drop the last one"),) if self.picked else ()
        keys = (Key("arrow keys", "to step through all edges"), *back, esc("to cancel"))
        types = "an angle from table x"
        if self._at is None:
            return Prompt(click=which, types=types, keys=keys)
        click = f"to take {self._told(self._at)} as {which}"
        return Prompt(click=click, enter=True, types=types, keys=keys)

    def _told(self, edge: PickableEdge) -> str:
        return f"the edge of {edge.of} at {format_angle(edge.direction)}"

    def _near(self, pointer: Pointer) -> PickableEdge | None:
        grip = max(pointer.grip, 2.0) * pointer.table_mm
        away = [(e.away(pointer.x, pointer.y), e) for e in edges_of(self.context, self._parts_only)]
        near = [pair for pair in away if pair[0] <= grip]
        return min(near, key=lambda pair: pair[0])[1] if near else None

    def _take(self, edge: PickableEdge) -> Outcome:
        self.picked = (*self.picked, edge)
        self._at = None
        if self.complete:
            return Leave(f"Taken: {self._told(edge)}.")
        return Nothing()

    def key(self, key: KeyPress) -> Outcome:
        """Arrows step from edge to edge, Enter takes one, Backspace undoes one, Esc cancels."""
        every = edges_of(self.context, self._parts_only)
        if key.name == "escape":
            self.picked = ()
            return Leave("Nothing was picked.")
        if key.name == "backspace":
            self.picked = self.picked[:-1]
        elif self._step(key, every):
            return Nothing()
        elif key.name in ("enter", "space") and self._at is not None:
            return self._take(self._at)
        elif not every:
            return Nothing("There is no edge to pick yet; draw a part or place a stop first.")
        return Nothing()

    def type(self, text: str) -> Outcome:
        """An angle from table x stands for an edge in that direction."""
        try:
            angle = math.radians(parse_angle(text))
        except ParseError as parse_error:
            return Nothing(str(parse_error))
        table = self.context.job.table
        x, y, r = table.width / 2, table.depth / 2, min(table.width, table.depth) / 2
        end = (x + r * math.cos(angle), y + r * math.sin(angle))
        return self._take(PickableEdge((x, y), end, f"a line typed as {text.strip()}"))

    def overlay(self) -> DisplayList:
        """The edges picked so far, and the one that a click would take."""
        shown: DisplayList = ()
        for number, edge in enumerate(self.picked, 1):
            shown += (Polyline((edge.a, edge.b), "reach"), _said(edge, str(number)))
        if self._at is not None:
            edge = self._at
            shown += (
                Polyline((edge.a, edge.b), "selected"),
                _said(edge, format_angle(edge.direction)),
            )
        return shown


def _said(edge: PickableEdge, words: str) -> TextLabel:
    middle = ((edge.a[0] + edge.b[0]) / 2, (edge.a[1] + edge.b[1]) / 2)
    return TextLabel(middle, words, "selected", anchor="above", size="large", cleared=True)


class HolesPick(Tool):
    """Picks two holes by clicks, by keys, or typed as "C4 J9"; with `boxed`, the corners of a box,
    which can also be dragged.
    """

    name = "holes"

    def __init__(self, context: ToolContext, boxed: bool = False) -> None:
        super().__init__(context)
        self.picked: tuple[Hole, ...] = ()
        self.boxed = boxed
        table = context.job.table
        self._at = Hole(table.columns // 2, table.rows // 2)
        self._down: Pointer | None = None

    @property
    def complete(self) -> bool:
        """True once both holes are picked."""
        return len(self.picked) == 2

    def prompt(self) -> Prompt:
        """What the next click or key will do."""
        where = address(self.context.job.table, self._at)
        which = "second" if self.picked else "first"
        kind = "corner" if self.boxed else "hole"
        back = (Key("Backspace", "to drop the first one"),) if self.picked else ()
        keys = (Key("arrow keys", "to move by one hole"), *back, esc("to cancel"))
        types = "the other one" if self.picked else "both, such as C4 J9"
        drag = "a box" if self.boxed and not self.picked else ""
        if where == self._first_address():
            state, click = f"{where} is the first {kind}.", f"another hole as the second {kind}"
            return Prompt(state=state, click=click, types=types, lettered=True, keys=keys)
        click = f"to take {where} as the {which} {kind}"
        return Prompt(click=click, enter=True, drag=drag, types=types, lettered=True, keys=keys)

    def _first_address(self) -> str:
        return address(self.context.job.table, self.picked[0]) if self.picked else ""

    def press(self, pointer: Pointer) -> Outcome:
        """Remember where the button went down."""
        self._down = pointer
        return self.move(pointer)

    def move(self, pointer: Pointer) -> Outcome:
        """Show the hole that a click would take; a drag draws a box from where it started."""
        table, down = self.context.job.table, self._down
        if self.boxed and down is not None and not self.picked:
            far = math.hypot(pointer.x - down.x, pointer.y - down.y)
            if far >= pointer.drag_start * pointer.table_mm:
                self.picked = (table.nearest(down.x, down.y),)
        self._at = table.nearest(pointer.x, pointer.y)
        return Nothing()

    def release(self, pointer: Pointer) -> Outcome:
        """Take the hole nearest to the pointer."""
        if self._down is None:
            return Nothing()
        self.move(pointer)
        self._down = None
        return self._take(self._at)

    def key(self, key: KeyPress) -> Outcome:
        """Arrows move to another hole, Enter takes it, Backspace undoes one, Esc cancels."""
        if key.name == "escape":
            self.picked = ()
            return Leave("Nothing was picked.")
        if key.name == "backspace":
            self.picked = self.picked[:-1]
        elif key.name in ARROWS:
            dx, dy = ARROWS[key.name]
            moved = Hole(self._at.col + dx, self._at.row + dy)
            if self.context.job.table.has(moved):
                self._at = moved
        elif key.name in ("enter", "space"):
            return self._take(self._at)
        return Nothing()

    def type(self, text: str) -> Outcome:
        """One hole, or both."""
        try:
            found = typed_holes(self.context.job.table, text)
        except ParseError as parse_error:
            return Nothing(str(parse_error))
        outcome: Outcome = Nothing()
        for hole in found[: 2 - len(self.picked)]:
            outcome = self._take(hole)
        return outcome

    def _take(self, hole: Hole) -> Outcome:
        table = self.context.job.table
        if hole in self.picked:
            return Nothing(f"{address(table, hole)} is already the first one; choose another.")
        self.picked = (*self.picked, hole)
        self._at = hole
        if self.complete:
            return Leave(f"Taken: {' and '.join(address(table, h) for h in self.picked)}.")
        return Nothing()

    def overlay(self) -> DisplayList:
        """What is picked so far, and the hole that would be next."""
        table = self.context.job.table
        shown = hole_ring(table, self._at)
        for hole in self.picked:
            a, b = table.at(hole), table.at(self._at)
            shown += hole_ring(table, hole, "reach")
            shown += box(a, b, "reach") if self.boxed else (Polyline((a, b), "reach"),)
        return shown


def typed_holes(table: Table, text: str) -> tuple[Hole, ...]:
    """Read one or two typed hole addresses.  Raise ParseError."""
    try:
        return (find_hole(table, text),)
    except ParseError:
        parts = re.split(r"\s*(?:,|;|\+|\bto\b|\band\b)\s*|\s+", text.strip())
        if len(parts) != 2:
            raise
        return tuple(find_hole(table, part) for part in parts)
