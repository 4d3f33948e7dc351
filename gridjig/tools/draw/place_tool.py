"""Placing a piece: a ghost shows where it would stand, a click or Enter places it there."""

from typing import TYPE_CHECKING

from gridjig.checks.needs import left_of, needs
from gridjig.checks.riser_room import riser_warning
from gridjig.edits.lookup import new_id
from gridjig.edits.placements import place
from gridjig.geometry.display import Circle, DisplayList, DrawingRole, Polyline, TextLabel
from gridjig.model import Hole, Placement
from gridjig.model.labels import address, find_hole
from gridjig.rack import Piece
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.solver import PlacedPiece, solve_placement
from gridjig.solve.poses.choose import stand_at
from gridjig.tools.aim.ghosts import bare_ring
from gridjig.tools.core.arrow_keys import ARROWS, COARSE
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Commit, Leave, Nothing, Outcome, Preview, Tool, ToolContext
from gridjig.tools.core.wording import capital
from gridjig.tools.touch.door import Wish, at_hole, missed_words, nearest_face, touch_words
from gridjig.units import ParseError, format_angle, parse_angle
from gridjig.words.placing_text import placing_text

if TYPE_CHECKING:
    from gridjig.tools.touch.ghost import AtHole
    from gridjig.tools.touch.tries import Try


class PlaceTool(Tool):
    """Places one piece of the rack after another, until Esc."""

    name = "place"

    def __init__(self, context: ToolContext, piece_id: str) -> None:
        super().__init__(context)
        self._piece_id = piece_id
        self._turn = 0.0
        self._flipped = False
        self._hole = _first_hole(context)
        self._pointer = context.job.table.at(self._hole)
        self._free = False
        self._chosen: object | None = None
        self._for: tuple[object, ...] | None = None
        self._ways: tuple[Try, ...] = ()
        self._shown: Try | None = None
        self._there: PlacedPiece | None = None
        self._why: str | None = None
        self._touch_words = self._missed_words = ""
        self._left_words = ""
        self._resting = False
        self._beside = False
        self._look()

    @property
    def hole(self) -> Hole:
        """The hole that the ghost stands at."""
        return self._hole

    def prompt(self) -> Prompt:
        """What the next click or key will do, or why it will do nothing."""
        piece = self.context.job.rack.find(self._piece_id)
        if piece is None:
            return Prompt(state=f"The rack has no piece {self._piece_id}.", keys=(esc(),))
        if self._beside:
            return Prompt(state="Move over the table to place the piece.", keys=(esc(),))
        if self._resting:
            words = f"Move to another hole to place the next {piece.name}."
            return Prompt(state=words, keys=(esc(),), after=self._left_words)
        at = address(self.context.job.table, self._hole)
        turns = (Key("R", "to turn"),) if self._shown is not None and len(self._ways) != 1 else ()
        flips = (Key("F", "to turn over"),) if piece.flips else ()
        alt = (Key("Alt", "to ignore the face"),) if self._touch_words else ()
        keys = (*turns, *flips, *alt, esc())
        if self._why is not None:
            return Prompt(state=f"It does not fit at {at}. {self._why}", keys=keys)
        turn = f" at {format_angle(self._there.turn)}" if self._there is not None else ""
        said = self._touch_words or self._missed_words
        does = f": {said}" if said else ""
        puts = f"to put {piece.name} in {at}{turn}{does}"
        return Prompt(click=puts, enter=True, keys=keys, after=self._left_words)

    # -- events --------------------------------------------------------------------------------

    def move(self, pointer: Pointer) -> Outcome:
        """The ghost follows to the nearest hole."""
        table = self.context.job.table
        self._go(table.nearest(pointer.x, pointer.y))
        self._pointer, self._free = (pointer.x, pointer.y), pointer.free
        over = 0 <= pointer.x <= table.width and 0 <= pointer.y <= table.depth
        self._beside = not over
        if over:
            self._look()
        return Nothing()

    def press(self, pointer: Pointer) -> Outcome:
        """Nothing yet: the piece is placed on release."""
        return self.move(pointer)

    def release(self, pointer: Pointer) -> Outcome:
        """Place the piece; also the end of a drag from the rack list."""
        self.move(pointer)
        return Nothing() if self._beside else self._put()

    def key(self, key: KeyPress) -> Outcome:
        """Arrows move the hole, Enter places, R turns, F flips, Esc ends."""
        self._beside = False
        self._look()
        if key.name in ARROWS:
            return self._step(key)
        match key.name:
            case "escape":
                return Leave()
            case "enter" | "space":
                return self._put()
            case "r":
                return self._turned(-1 if key.shift else 1)
            case "f":
                return self._flip()
            case _:
                return Nothing()

    def type(self, text: str) -> Outcome:
        """A hole address places the piece there; an angle turns the ghost."""
        table = self.context.job.table
        self._beside = False
        try:
            self._go(find_hole(table, text))
            return self._put()
        except ParseError as no_hole:
            try:
                self._turn = parse_angle(text)
            except ParseError:
                return Nothing(str(no_hole))
        self._chosen = self._nearest_face()
        self._for = None
        self._look()
        if self._there is not None and self._why is None:
            return Nothing(f"The nearest angle here is {format_angle(self._there.turn)}.")
        return Nothing(self._why or "")

    def leave(self, reason: str) -> Outcome:
        """Remove the ghost."""
        return Preview(None)

    # -- the ghost -----------------------------------------------------------------------------

    def _go(self, hole: Hole) -> None:
        if hole != self._hole:
            self._hole, self._resting = hole, False
            self._pointer = self.context.job.table.at(hole)

    def _step(self, key: KeyPress) -> Outcome:
        dx, dy = ARROWS[key.name]
        count = COARSE if key.ctrl else 1
        table = self.context.job.table
        self._go(
            Hole(
                min(max(self._hole.col + dx * count, 0), table.columns - 1),
                min(max(self._hole.row + dy * count, 0), table.rows - 1),
            )
        )
        self._look()
        return Nothing()

    def follow(self) -> None:
        """Recompute the ghost for the changed job."""
        if not self._beside:
            self._look()

    def _look(self) -> None:
        """Recompute the ghost if the job, the hole or the face in front of it has changed."""
        job = self.context.job
        piece = job.rack.find(self._piece_id)
        face = self._nearest_face()
        key = (job, self._hole, face, self._free)
        if self._for is not None and self._for[0] is job and self._for[1:] == key[1:]:
            return
        self._for = key
        self._ways = ()
        self._show(None)
        self._left_words = "" if piece is None else self._left(piece)
        if self._chosen is not None and self._chosen != face:
            self._chosen = None  # a chosen turn is kept only along the face where it was chosen
        if piece is None:
            self._why = f"The rack has no piece {self._piece_id}."
        elif not piece.is_placed:
            self._why = (
                f"{capital(piece.name)} has no pin of its own; add it "
                "in the form of the piece it goes with."
            )
        else:
            self._show(self._at_hole(piece).best())
            if self._shown is None:
                self._why = self._no_pose(piece)

    def _nearest_face(self) -> object:
        """The face nearest to the pointer of those that the piece may reach."""
        piece = self.context.job.rack.find(self._piece_id)
        if piece is None or not self.context.job.parts:
            return "none"
        context = self.context
        return nearest_face(context.job, context.placed_pieces, piece, self._hole, self._pointer)

    def _at_hole(self, piece: Piece) -> "AtHole":
        wish = Wish(self._turn, self._flipped, self._chosen is not None, not self._free)
        return at_hole(
            self.context.job,
            self.context.placed_pieces,
            piece,
            self._hole,
            self._pointer,
            wish,
            new_id(self.context.job, piece.kind),
        )

    def _no_pose(self, piece: Piece) -> str:
        """Return why the piece cannot stand in the hole at all."""
        job = self.context.job
        found = stand_at(
            job.table,
            job.rack,
            piece,
            self._hole,
            self._turn,
            self._flipped,
            holes_besides(self.context.placed_pieces),
        )
        assert not isinstance(found, Placement)
        return placing_text(found, job.table, job.display)

    def _show(self, one: "Try | None") -> None:
        job = self.context.job
        self._shown = one
        self._there, self._why = None, None
        self._touch_words = self._missed_words = ""
        if one is not None:
            self._there = solve_placement(job.table, job.rack, one.placement)
            self._why = one.why or None
            self._touch_words = touch_words(job, one)
            self._missed_words = missed_words(job, one)

    def _turned(self, way: int) -> Outcome:
        """Go to the next way in which the piece can stand here."""
        piece = self.context.job.rack.find(self._piece_id)
        if self._shown is None or piece is None:
            return Nothing(self._why or "")
        if not self._ways:
            self._ways = self._at_hole(piece).every()
        if not self._ways:
            return Nothing(self._why or "")
        now = [k for k, one in enumerate(self._ways) if one.placement == self._shown.placement]
        if len(self._ways) == 1 and now:
            return Nothing("This piece fits this hole only one way; try another hole.")
        number = (now[0] + way) % len(self._ways) if now else 0
        self._show(self._ways[number])
        self._turn = self._shown.placement.turn
        self._chosen = self._nearest_face()
        return Nothing(f"Position {number + 1} of {len(self._ways)}.")

    def _flip(self) -> Outcome:
        piece = self.context.job.rack.find(self._piece_id)
        if piece is None or not piece.flips:
            name = capital(piece.name) if piece is not None else self._piece_id
            return Nothing(f"{name} cannot be used turned over.")
        self._flipped = not self._flipped
        self._for = None
        self._look()
        return Nothing("It is turned over." if self._flipped else "It is the right way up.")

    def _put(self) -> Outcome:
        self._look()
        job = self.context.job
        if self._resting:
            return Nothing("The last one stands here; move to another hole.")
        if self._shown is None or self._why is not None:
            return Nothing(self._why or "")
        piece = job.rack.piece(self._piece_id)
        ghost = self._shown.placement
        after = place(job, ghost)
        at = address(job.table, self._hole)
        does = f": {self._touch_words}" if self._touch_words else ""
        was = self.context.placed_pieces
        there = {ghost.id: solve_placement(job.table, job.rack, ghost)}
        tight = riser_warning(job, was, after, {**was, **there})
        self._resting = True  # a ghost over the piece just placed would only show a clash
        return Commit(
            after,
            f"Place {piece.name} in {at}",
            frozenset([ghost.id]),
            said=f"{capital(piece.name)} put in {at}{does}. {tight or self._left(piece, 1)}",
        )

    def _left(self, piece: Piece, more: int = 0) -> str:
        """How many are left on the rack, with `more` placed that the job does not have yet."""
        left = left_of(piece, needs(self.context.job).get(piece.id)) - more
        if left > 0:
            return f"{left} left on the rack."
        if left == 0:
            return "None left on the rack."
        return f"The rack is short by {-left}."

    def overlay(self) -> DisplayList:
        """The ghost, the ring on its hole, the angle, and the reason if it cannot stand."""
        if self._resting or self._beside:
            return ()
        table = self.context.job.table
        refused = self._why is not None
        role: DrawingRole = "clash" if refused else "ghost"
        outlines = tuple(
            Polyline(solid.points, role, closed=True, openings=solid.openings)
            for solid in (self._there.solids if self._there is not None else ())
            if solid.role != "handle"
        )
        ring_role: DrawingRole = "clash" if refused else "selected"
        rings = tuple(bare_ring(table, hole, ring_role) for hole in self._holes())
        return (*outlines, *rings, *self._labels(outlines, rings))

    def _holes(self) -> tuple[Hole, ...]:
        return self._there.holes if self._there is not None else (self._hole,)

    def _labels(self, outlines: tuple[Polyline, ...], rings: tuple[Circle, ...]) -> DisplayList:
        """Holes above and angle or reason below the ghost, so that they never hide it."""
        table = self.context.job.table
        heights = [y for line in outlines for _, y in line.points]
        heights += [ring.centre[1] + way * ring.radius for ring in rings for way in (-1, 1)]
        x, _ = table.at(self._hole)
        at = " + ".join(address(table, hole) for hole in self._holes())
        turn = format_angle(self._there.turn) if self._there is not None else ""
        text = self._why or ", ".join(said for said in (turn, self._touch_words) if said)
        role: DrawingRole = "clash" if self._why is not None else "selected"
        return (
            TextLabel((x, max(heights)), at, role, anchor="above", size="large", cleared=True),
            TextLabel((x, min(heights)), text, role, anchor="below", cleared=True),
        )


def _first_hole(context: ToolContext) -> Hole:
    """Where the keyboard starts: beside what is selected, else in the middle of the table."""
    table = context.job.table
    for placement in context.job.placements:
        if placement.id in context.selection and table.has(placement.seats[0].hole):
            return placement.seats[0].hole
    return Hole(table.columns // 2, table.rows // 2)
