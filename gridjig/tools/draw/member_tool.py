"""Drawing members of the weldment: two points, the side of their line, the current section.

Each member starts where the last one ended, until Esc or until the row closes.  It knows no list
of sections; the caller chooses the section.
"""

import math

from gridjig.edits import members
from gridjig.edits.lookup import new_id, numbered_name
from gridjig.edits.members import Hold, between, direction
from gridjig.geometry import unit
from gridjig.geometry.display import Dimension, DisplayList, Polyline
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job, Member, Section, WayUp
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.tools.aim.aiming import Aim, aimed
from gridjig.tools.aim.ghosts import snap_ring
from gridjig.tools.aim.sides import PartSide, PartSides
from gridjig.tools.aim.snapping import Snap
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Commit, Leave, Nothing, Outcome, Preview, Tool, ToolContext
from gridjig.tools.core.wording import capital, sentence, with_place
from gridjig.units import ParseError, format_angle, format_length
from gridjig.units.spelling import spelled

from .member_text import read_member
from .origin_text import ORIGIN_SET, STEP, draw_origin, origin_of, typed_origin

_SAME = 1e-6
"""Points within this distance, mm, are the same: sums of typed lengths carry binary noise."""

NO_START = "Give the start first: click it, press Enter, or type a hole or x, y. Then the length."
LIES: tuple[Hold, ...] = ("centre", "left", "right")
LIES_WORDS: dict[Hold, str] = {
    "centre": spelled("centred"),
    "left": "left of line",
    "right": "right of line",
}


class MemberTool(Tool):
    """Draws one member after another; stays active until Esc."""

    name = "member"
    numbers = True

    def __init__(self, context: ToolContext, section: Section, lies: Hold = "centre") -> None:
        super().__init__(context)
        self.section = section
        self.lies: Hold = lies
        self.way_up: WayUp = 0
        self.mirrored = False
        self.z_low = 0.0
        self._sides = PartSides()
        self._start: Point | None = None
        self._first: Point | None = None
        self._angle: float | None = None
        self._down = False
        self._known: Job | None = context.job  # None until a change of its own has been made
        table = context.job.table
        self._pointer = Pointer(*table.at(Hole(table.columns // 2, table.rows // 2)))
        self._snap = self._caught()

    @property
    def in_progress(self) -> bool:
        """True while a row of members waits for its next point."""
        return self._start is not None

    def finish(self) -> Outcome:
        """End the row of members."""
        said = ""
        if self._start is not None and self._start != self._first:
            said = "This run of members is finished."
        elif self._start is not None:
            said = "The start point is dropped; nothing was drawn."
        elif self._angle is not None:
            said = "The angle is no longer locked."
        self._forget()
        return Nothing(said)

    def follow(self) -> None:
        """End the row if the job was changed by anything else: Undo, Repeat, a form."""
        known, self._known = self._known, self.context.job
        if known is not None and known is not self._known:
            self._forget()

    def take(self, section: Section) -> None:
        """Draw the next members from another section."""
        self.section = section

    def prompt(self) -> Prompt:
        """What the next click or key will do."""
        hand = (Key("F", "to take its opposite hand"),) if self.section.handed else ()
        turns = (Key("S", "to change the side"), Key("R", "to turn the section"), *hand)
        held = "" if self._angle is None else f"Angle locked at {format_angle(self._angle)}."
        if self._start is None:
            leave = esc("to drop the angle" if held else "to stop")
            click = f"the start point{self._at()}"
            return Prompt(
                state=held,
                click=click,
                types="a hole or x, y",
                lettered=True,
                keys=(*turns, leave),
            )
        return Prompt(
            state=f"{self._sizes()}. {held}".strip(),
            click=f"the end point{self._at()}",
            types="a length" if held else self._example(),
            keys=(*turns, esc("to end the run")),
        )

    def _at(self) -> str:
        what = self._snap.what
        if not what or self._straight():
            return ""
        return f" {what}" if what.startswith("level") else f" at the {what}"

    def _straight(self) -> bool:
        return self._snap.what.endswith("°")

    def _example(self) -> str:
        long = "600" if self.context.job.display.unit == "millimetres" else "24"
        return f"{long} at 37.5"

    # -- pointer -------------------------------------------------------------------------------

    def press(self, pointer: Pointer) -> Outcome:
        """Remember that the button is down; the point is taken on release."""
        self._see(pointer)
        self._down = True
        return Nothing()

    def move(self, pointer: Pointer) -> Outcome:
        """Snap to what is near; a drag from the first point draws one member."""
        if self._down and self._start is None:
            far = math.hypot(pointer.x - self._pointer.x, pointer.y - self._pointer.y)
            if far < pointer.drag_start * pointer.table_mm:
                return Nothing()
            self._begin(self._snap.at)
        self._see(pointer)
        return Nothing()

    def release(self, pointer: Pointer) -> Outcome:
        """Take the point where the pointer is."""
        if not self._down:
            return Nothing()
        self._down = False
        self._see(pointer)
        return self._add(self._snap.at)

    # -- keys and text -------------------------------------------------------------------------

    def key(self, key: KeyPress) -> Outcome:
        """Arrows move the point, Enter takes it, S R F turn the section, Esc goes back."""
        if key.name == "escape":
            return self._back()
        if key.name in ("enter", "space"):
            return self._add(self._snap.at)
        if key.name in ("s", "r", "f"):
            return self._turn_stock(key)
        if key.name in ARROWS:
            self._step(*ARROWS[key.name])
        elif key.name == "backspace":
            self._undo_point()
        return Nothing()

    def _back(self) -> Outcome:
        if self._start is None and self._angle is None:
            return Leave()
        return self.finish()

    def _undo_point(self) -> None:
        if self._angle is not None:
            self._angle = None
        else:
            self._start = self._first = None
        self._snap = self._caught()

    def _turn_stock(self, key: KeyPress) -> Outcome:
        if key.name == "s":
            self.lies = LIES[(LIES.index(self.lies) + 1) % len(LIES)]
            return Nothing(f"Now {LIES_WORDS[self.lies]}.")
        if key.name == "f":
            return self._other_hand()
        ways: tuple[WayUp, ...] = (0, 90, 180, 270)
        self.way_up = ways[(ways.index(self.way_up) + (3 if key.shift else 1)) % 4]
        return Nothing(f"The section is turned to {format_angle(self.way_up)}.")

    def _other_hand(self) -> Outcome:
        if not self.section.handed:
            return Nothing(f"{self.section.name} has no left or right hand.")
        self.mirrored = not self.mirrored
        side = "opposite hand" if self.mirrored else "as listed"
        return Nothing(f"The section is now {side}.")

    def type(self, text: str) -> Outcome:
        """A point, a length along the line, a length with an angle, an angle alone, or a height."""
        job = self.context.job
        try:
            moved = typed_origin(job, text)
            if moved is not None:
                self._known = job if moved is job else None
                return Commit(moved, STEP, said=ORIGIN_SET) if moved is not job else Nothing()
            said = read_member(text, job.table, job.display.unit, origin_of(job))
        except ParseError as parse_error:
            return Nothing(str(parse_error))
        if said.height is not None:
            self.z_low = said.height
            high = format_length(said.height, job.display)
            return Nothing(f"The next members will be {high} above the table.")
        if said.point is not None:
            return self._add(said.point)
        if said.length is None:
            self._angle = said.angle
            self._snap = self._caught()
            return Nothing()
        return self._sized(said.length, said.angle)

    def _sized(self, length: float, angle: float | None) -> Outcome:
        start = self._start
        if start is None:
            return Nothing(NO_START)
        if angle is None:
            angle = self._angle
        if angle is None:
            angle = direction(start, self._snap.at) if self._snap.at != start else 0.0
        c, s = unit(angle)
        return self._add((start[0] + length * c, start[1] + length * s))

    def leave(self, reason: str) -> Outcome:
        """Drop what is drawn so far."""
        self._forget()
        return Preview(None)

    # -- what is drawn so far ------------------------------------------------------------------

    def _forget(self) -> None:
        self._start = self._first = self._angle = None
        self._down = False
        self._snap = self._caught()

    def _begin(self, at: Point) -> None:
        self._start = at
        if self._first is None:
            self._first = at

    def _see(self, pointer: Pointer) -> None:
        self._pointer = pointer
        self._snap = self._caught()

    def _caught(self) -> Snap:
        job = self.context.job
        marks = tuple(self._sides.of(job).values())
        aim = Aim(job, marks, self._faces(), self._start, self._first, self._angle)
        return aimed(aim, self._pointer)

    def _faces(self) -> tuple[PartSide, ...]:
        """The locating faces of the pieces, so that a member can be drawn against them."""
        job = self.context.job
        return tuple(
            PartSide(placement.id, n, face.a, face.b, f"face of {with_place(job, placement.id)}")
            for placement in job.placements
            if (placed := self.context.placed_pieces.get(placement.id)) is not None
            for n, face in enumerate(placed.faces)
        )

    def _step(self, dx: int, dy: int) -> None:
        table = self.context.job.table
        hole = table.nearest(self._pointer.x, self._pointer.y)
        wanted = Hole(hole.col + dx, hole.row + dy)
        if table.has(wanted):
            p = self._pointer
            x, y = table.at(wanted)
            self._see(Pointer(x, y, p.table_mm, p.grip, p.drag_start))

    def _add(self, at: Point) -> Outcome:
        if self._start is None:
            self._begin(at)
            self._snap = self._caught()
            return Nothing()
        closes = self._first is not None and math.dist(at, self._first) < _SAME
        if closes and self._first is not None and self._first != self._start:
            at = self._first
        try:
            made = self._made(at)
        except ValueError as fault:
            return Nothing(sentence(str(fault)))
        job, self._known = members.add(self.context.job, made), None
        self._start = None if closes else at
        if self._start is None:
            self._first = None
        self._angle = None
        self._snap = Snap(at, "")
        more = "the run is closed" if self._start is None else "the next one starts at its end"
        return Commit(
            job,
            f"Draw {title(job, made.id)}",
            frozenset([made.id]),
            said=f"{capital(made.name)}: {self._told(made)}; {more}.",
        )

    def _made(self, at: Point) -> Member:
        start = self._start
        assert start is not None
        job = self.context.job
        made_id = new_id(job, "member")
        return between(
            made_id,
            numbered_name(f"{_bar_words(self.section)} 1", (part.name for part in job.parts)),
            self.section,
            start,
            at,
            lies=self.lies,
            z_low=self.z_low,
            way_up=self.way_up,
            mirrored=self.mirrored,
        )

    def _told(self, made: Member) -> str:
        display = self.context.job.display
        return f"{format_length(made.length, display)} at {format_angle(made.turn)}"

    def _sizes(self) -> str:
        made = self._ghost()
        return self._told(made) if made is not None else "No length yet"

    def _ghost(self) -> Member | None:
        if self._start is None or self._snap.at == self._start:
            return None
        try:
            return self._made(self._snap.at)
        except ValueError:
            return None

    def overlay(self) -> DisplayList:
        """The member so far with its length and angle, and a ring on the snap point."""
        shown: DisplayList = ()
        made = self._ghost()
        if made is not None and self._start is not None:
            shown = (
                Polyline(part_ring(made), "ghost", closed=True),
                Polyline((self._start, self._snap.at), "centre"),
                Dimension(self._start, self._snap.at, self._told(made), "ghost"),
            )
        shown += draw_origin(self.context.job)
        return shown + snap_ring(self.context.job.table, self._snap, self._pointer)


def _bar_words(section: Section) -> str:
    """What a shop calls a member of that section: tube, angle, flat bar."""
    return "flat bar" if section.kind == "flat" else section.kind.rsplit(" ", 1)[-1]
