"""Dimensions between faces: pick two parallel faces; the distance is shown and can be typed.

A typed distance is driving: the part with the second face moves to that distance.
"""

from gridjig.edits.dimensions import gap, set_gap
from gridjig.geometry.display import Dimension, DisplayList, Polyline
from gridjig.model import FaceOf
from gridjig.rack import Point
from gridjig.tools.aim.sides import PartSide
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Commit, Nothing, Outcome, ToolContext
from gridjig.tools.core.wording import capital, sentence
from gridjig.units import ParseError, format_length, parse_length

from .part_pick import PartPickTool


class DimensionTool(PartPickTool):
    """Measures from face to face, one dimension after another; stays active until Esc."""

    name = "dimension"
    numbers = True

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._faces: list[FaceOf] = []
        self._at: PartSide | None = None
        self._can_set = False  # whether another distance can be typed
        self._far: float | str = 0.0  # from the first face to `_other`, or why there is no distance

    # -- what is picked ------------------------------------------------------------------------

    def _side(self, face: FaceOf | None) -> PartSide | None:
        """Return the side as it lies now; None if an edit removed it."""
        marks = self._sides.of(self.context.job)
        if face is None or face.part not in marks:
            return None
        return next((s for s in marks[face.part].sides if s.index == face.side), None)

    def _picked(self) -> list[PartSide]:
        """The picked faces, as they lie now."""
        return [side for side in map(self._side, self._faces) if side is not None]

    def follow(self) -> None:
        """Move the picked faces to where the job now has them; drop any that are gone."""
        super().follow()
        if len(self._picked()) < len(self._faces):
            self._faces.clear()
        if self._at is not None:
            self._at = self._side(_face(self._at))
        self._measure()

    def _other(self) -> PartSide | None:
        """The face measured to: the second one picked, or the one a click would pick."""
        picked = self._picked()
        if len(picked) == 2:
            return picked[1]
        at = self._at
        return at if picked and at is not None and _face(at) != self._faces[0] else None

    def _measure(self) -> None:
        other = self._other()
        if other is not None:
            self._far = self._distance(_face(other))
        self._can_set = len(self._picked()) == 2 and self._sets()

    def _sets(self) -> bool:
        """True if the distance between the two picked faces can be changed at all."""
        if isinstance(self._far, str):
            return False
        try:
            set_gap(self.context.job, self._faces[0], self._faces[1], self._far)
        except ValueError:
            return False
        return True

    def _distance(self, other: FaceOf) -> float | str:
        """Return the distance from the first face to another, mm, or why there is none."""
        try:
            return gap(self.context.job, self._faces[0], other)
        except ValueError as fault:
            return sentence(str(fault))

    def prompt(self) -> Prompt:
        """What the next click or key will do, or why it will do nothing."""
        picked, shown, aimed = self._picked(), self.context.job.display, self._at
        enter = (Key("Enter", f"to take the {aimed.what}"),) if aimed is not None else ()
        arrows = Key("arrow keys", "to step from face to face")
        at = f", {aimed.what}" if aimed is not None else ""
        if not picked:
            click = f"the face to measure from{at}"
            return self._without_parts() or Prompt(click=click, keys=(arrows, *enter, esc()))
        drop, back = esc("to drop it"), Key("Backspace", "to drop the last face")
        if len(picked) == 1:
            if aimed is None or self._other() is None:
                state = f"From the {picked[0].what}."
                return Prompt(state=state, click="a parallel face", keys=(arrows, drop))
            if isinstance(self._far, str):
                return Prompt(state=self._far, keys=(arrows, drop))
            state = f"{format_length(self._far, shown)} to the {aimed.what}."
            return Prompt(state=state, click="to use it", enter=True, keys=(arrows, drop))
        if isinstance(self._far, str):
            return Prompt(state=self._far, keys=(back, drop))
        fixed, moving = self._faces
        verb = "resize" if fixed.part == moving.part else "move"
        ends = f"from the {picked[0].what} to the {picked[1].what}"
        return Prompt(
            state=f"{format_length(self._far, shown)} {ends}.",
            click="a face for the next one",
            types=f"another distance to {verb} {self._named(moving.part)}" if self._can_set else "",
            keys=(drop,),
        )

    def _begun(self) -> bool:
        return bool(self._faces)

    def _forget(self) -> None:
        super()._forget()
        self._faces.clear()

    # -- pointer -------------------------------------------------------------------------------

    def move(self, pointer: Pointer) -> Outcome:
        """Show the face that a click would take."""
        self._pointer = pointer
        self._at = self._near(pointer)
        return self._look()

    def _look(self) -> Outcome:
        self._measure()
        return Nothing()

    def release(self, pointer: Pointer) -> Outcome:
        """Take the face under the pointer."""
        if not self._down:
            return Nothing()
        self._down = False
        self._at = self._near(pointer)
        if self._at is None:
            return Nothing("There is no face here; click a side of a member or plate.")
        return self._take_side(self._at)

    def _near(self, pointer: Pointer) -> PartSide | None:
        """Return the side within the grip, or the nearest side of the part under the pointer."""
        job, at = self.context.job, (pointer.x, pointer.y)
        side = self._sides.near(job, at, pointer.grip * pointer.table_mm)
        if side is not None:
            return side
        below = self._below(pointer)
        return None if below is None else self._sides.nearest_of(job, below, at)

    def _take(self, part: str) -> Outcome:
        """A part named instead of a face: take its first side; the keys step on from there."""
        self._at = self._sides.of(self.context.job)[part].sides[0]
        return self._take_side(self._at)

    def _take_side(self, side: PartSide) -> Outcome:
        picked, face = self._picked(), _face(side)
        if len(picked) == 2:
            self._faces.clear()
        if len(picked) == 1:
            far = self._distance(face)
            if isinstance(far, str):
                return Nothing(far)
        self._faces.append(face)
        return self._look()

    # -- keys and text -------------------------------------------------------------------------

    def key(self, key: KeyPress) -> Outcome:
        """Left and right step through the parts, up and down round the sides, Enter takes."""
        if key.name in ARROWS:
            return self._step_side(key.name)
        if key.name in ("enter", "space"):
            return Nothing() if self._at is None else self._take_side(self._at)
        if key.name == "backspace" and self._faces:
            self._faces.pop()
            return self._look()
        return super().key(key)

    def _step_side(self, arrow: str) -> Outcome:
        marks = self._sides.of(self.context.job)
        if not marks:
            return self._stepped(1)
        step = 1 if arrow in ("right", "up") else -1
        ids = list(marks)
        at = self._at if self._at is not None and self._at.part in marks else None
        if at is None:
            self._at = marks[ids[0]].sides[0]
        elif arrow in ("left", "right"):
            self._at = marks[ids[(ids.index(at.part) + step) % len(ids)]].sides[0]
        else:
            sides = marks[at.part].sides
            number = next((n for n, s in enumerate(sides) if s.index == at.index), 0)
            self._at = sides[(number + step) % len(sides)]
        return self._look()

    def type(self, text: str) -> Outcome:
        """The distance between the two faces; until two are picked, the name of a part."""
        if len(self._picked()) < 2:
            return super().type(text)
        job = self.context.job
        fixed, moving = self._faces
        chosen = self.context.selection
        along = chosen if moving.part in chosen else frozenset[str]()
        try:
            value = parse_length(text, job.display.unit)
            after = set_gap(job, fixed, moving, value, along)
        except ParseError as parse_error:
            return Nothing(str(parse_error))
        except ValueError as fault:
            return Nothing(sentence(str(fault)))
        shown, name = format_length(value, job.display), self._named(moving.part)
        if after is job:
            return Nothing(f"It is {shown} already.")
        verb = "resized" if fixed.part == moving.part else "moved"
        return Commit(
            after,
            f"Set the distance of {name} to {shown}",
            said=f"{capital(name)} {verb}: {shown}.",
        )

    # -- drawing -------------------------------------------------------------------------------

    def overlay(self) -> DisplayList:
        """The faces picked so far, the one a click would pick, and the distance between them."""
        picked, aimed = self._picked(), self._at
        sides = picked if aimed is None else [*picked, aimed]
        shown: DisplayList = tuple(Polyline((side.a, side.b), "selected") for side in sides)
        other = self._other()
        if other is None or isinstance(self._far, str):
            return shown
        a, b = _across(picked[0], other)
        text = format_length(self._far, self.context.job.display)
        return (*shown, Dimension(a, b, text, "ghost", offset=0.0))


def _face(side: PartSide) -> FaceOf:
    return FaceOf(side.part, side.index)


def _across(one: PartSide, other: PartSide) -> tuple[Point, Point]:
    """Both ends of a dimension line, from the other side's middle square to the first side."""
    m = other.middle
    dx, dy = one.b[0] - one.a[0], one.b[1] - one.a[1]
    t = ((m[0] - one.a[0]) * dx + (m[1] - one.a[1]) * dy) / (dx * dx + dy * dy)
    return (one.a[0] + t * dx, one.a[1] + t * dy), m
