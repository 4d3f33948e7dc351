"""Notching a member: pick a corner of one end, then point out the notch or type its size."""

from msgspec import Struct

from gridjig.edits.members import End, notch
from gridjig.geometry import Pose
from gridjig.geometry.display import DisplayList
from gridjig.model import Job, Member
from gridjig.model.endcut import CutSide as Hand
from gridjig.rack import Point
from gridjig.tools.aim.ghosts import point_ring
from gridjig.tools.core.arrow_keys import ARROWS, fine_step
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Commit, Nothing, Outcome, Preview, ToolContext
from gridjig.tools.core.wording import BY, capital, sentence
from gridjig.units import ParseError, format_length, parse_length

from .part_pick import PartPickTool

_CORNERS: tuple[tuple[End, Hand], ...] = (
    ("start", "right"),
    ("end", "right"),
    ("end", "left"),
    ("start", "left"),
)


class _Corner(Struct, frozen=True):
    part: str
    end: End
    side: Hand


class NotchTool(PartPickTool):
    """Cuts notches out of corners, one after another; stays active until Esc."""

    name = "notch"
    numbers = True

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._corner: _Corner | None = None
        self._key_corner = 0
        self._refused = ""  # why the notch that the pointer shows cannot be cut

    def prompt(self) -> Prompt:
        """What the next click or key will do, or why it will do nothing."""
        corner, job = self._corner, self.context.job
        if corner is None or self._member(corner.part) is None:
            there = self._hover is not None and job.find(self._hover) is not None
            name = f" ({self._named(self._hover)})" if there and self._hover else ""
            click = f"a member near the corner to notch{name}"
            return self._without_parts() or Prompt(click=click, keys=(*self._picking(), esc()))
        metric = job.display.unit == "millimetres"
        along, across = self._bite()
        into = along > 0 and across > 0
        cuts = f"to cut {self._size(along, across)}" if into else ""
        state = f"Notch {self._named(corner.part)}."
        keys = (Key("arrow keys", "to change the corner"), esc("to drop it"))
        return Prompt(
            state=self._refused or (state if cuts else f"{state} Point into the member."),
            click="" if self._refused else cuts,
            types=f"its length along and width across, such as {'40 x 20' if metric else '2 x 1'}",
            keys=keys,
        )

    def _begun(self) -> bool:
        return self._corner is not None

    def _forget(self) -> None:
        super()._forget()
        self._corner, self._refused = None, ""

    def _member(self, part: str) -> Member | None:
        found = self.context.job.find(part)
        return found if isinstance(found, Member) else None

    # -- the corner ----------------------------------------------------------------------------

    def _take(self, part: str) -> Outcome:
        if self._corner is not None and self._here() is not None:
            return self._cut(*self._bite())
        member = self._member(part)
        if member is None:
            return Nothing(f"{self._named(part)} is a plate; type its corners in its form.")
        at = self._here()
        if at is None:
            end, side = _CORNERS[self._key_corner]
        else:
            along, across = Pose(member.x, member.y, member.turn).back(at)
            end = "start" if along < member.length / 2.0 else "end"
            side = "left" if across > 0 else "right"
        self._corner = _Corner(part, end, side)
        return Preview(None)

    def key(self, key: KeyPress) -> Outcome:
        """Once a member is taken, the arrow keys step round its corners."""
        if self._corner is not None and key.name in ARROWS:
            step = 1 if key.name in ("right", "up") else -1
            self._key_corner = (self._key_corner + step) % len(_CORNERS)
            self._pointer = None
            self._corner = _Corner(self._corner.part, *_CORNERS[self._key_corner])
            self._refused = ""
            return Preview(None)
        return super().key(key)

    # -- the notch -----------------------------------------------------------------------------

    def _bite(self) -> tuple[float, float]:
        """How far the pointer is from the corner, along and across, in whole steps, mm."""
        at, corner = self._here(), self._corner
        member = None if corner is None else self._member(corner.part)
        if at is None or corner is None or member is None:
            return (0.0, 0.0)
        along, across = Pose(member.x, member.y, member.turn).back(at)
        deep = along if corner.end == "start" else member.length - along
        wide = member.width / 2.0 - (across if corner.side == "left" else -across)
        step = fine_step(self.context.job.display)
        return (round(deep / step) * step, round(wide / step) * step)

    def _look(self) -> Outcome:
        self._refused = ""
        if self._corner is None:
            return Nothing()
        if self._member(self._corner.part) is None:
            self._corner = None
            return Preview(None)
        along, across = self._bite()
        if along <= 0 or across <= 0:
            return Preview(None)
        after = self._notched(along, across)
        if isinstance(after, str):
            self._refused = after
            return Preview(None)
        return Preview(after)

    def _size(self, along: float, across: float) -> str:
        display = self.context.job.display
        return f"{format_length(along, display)} x {format_length(across, display)}"

    def _notched(self, along: float, across: float) -> Job | str:
        corner = self._corner
        assert corner is not None
        try:
            return notch(self.context.job, corner.part, corner.end, corner.side, along, across)
        except ValueError as fault:
            return sentence(str(fault))

    def _cut(self, along: float, across: float) -> Outcome:
        corner = self._corner
        if corner is None or self._member(corner.part) is None:
            self._forget()
            return Preview(None)
        if along <= 0 or across <= 0:
            return Nothing(
                "The notch starts at this corner; point into the member, or type its size."
            )
        after = self._notched(along, across)
        if isinstance(after, str):
            return Nothing(after)
        name = self._named(corner.part)
        self._forget()
        size = self._size(along, across)
        return Commit(after, f"Notch {name}", said=f"{capital(name)} has a notch of {size}.")

    def release(self, pointer: Pointer) -> Outcome:
        """The second click may also be beside the member."""
        if self._corner is not None and self._down:
            self._down = False
            self._pointer = pointer
            return self._cut(*self._bite())
        return super().release(pointer)

    def type(self, text: str) -> Outcome:
        """The size of the notch; before a corner is picked, the name of a member."""
        if self._corner is None:
            return super().type(text)
        parts = BY.split(text.strip())
        try:
            if len(parts) != 2:
                raise ParseError(
                    text, None, "type a length along and a width across, such as 2 x 1"
                )
            unit = self.context.job.display.unit
            return self._cut(parse_length(parts[0], unit), parse_length(parts[1], unit))
        except ParseError as parse_error:
            return Nothing(str(parse_error))

    # -- drawing -------------------------------------------------------------------------------

    def _corner_place(self) -> Point | None:
        corner = self._corner
        member = None if corner is None else self._member(corner.part)
        if corner is None or member is None:
            return None
        half = member.width / 2.0 if corner.side == "left" else -member.width / 2.0
        along = 0.0 if corner.end == "start" else member.length
        return Pose(member.x, member.y, member.turn).point((along, half))

    def overlay(self) -> DisplayList:
        """What a click would take, and the corner taken."""
        shown = self._marked(self._hover if self._corner is None else self._corner.part)
        place = self._corner_place()
        if place is None:
            return shown
        return shown + point_ring(place, "corner to notch", self._pointer or Pointer(*place))
