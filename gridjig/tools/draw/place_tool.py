"""Putting a piece down: a ghost shows where it would stand, a click or Enter puts it there."""

from collections.abc import Iterator

from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.checks.needs import left_of, needs
from gridjig.edits.lookup import new_id
from gridjig.edits.placements import place
from gridjig.geometry.display import Circle, DisplayList, DrawingRole, Polyline, TextLabel
from gridjig.model import Hole, Job, Placement
from gridjig.model.labels import address, find_hole
from gridjig.rack import Piece
from gridjig.solve.mounting.track import apart
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.solver import TURN_OFF, PlacedPiece, solve_placement
from gridjig.solve.poses.choose import stand_at, turn_next
from gridjig.tools.aim.ghosts import bare_ring
from gridjig.tools.core.arrow_keys import ARROWS, COARSE
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Commit, Leave, Nothing, Outcome, Preview, Tool, ToolContext
from gridjig.tools.core.wording import capital
from gridjig.units import ParseError, format_angle, parse_angle


class PlaceTool(Tool):
    """Puts one piece of the rack down after another, until Esc."""

    name = "place"

    def __init__(self, context: ToolContext, piece_id: str) -> None:
        super().__init__(context)
        self._piece_id = piece_id
        self._turn = 0.0
        self._flipped = False
        self._hole = _first_hole(context)
        self._for: tuple[Job, Hole] | None = None
        self._ghost: Placement | None = None
        self._there: PlacedPiece | None = None
        self._why: str | None = None
        self._left_words = ""
        self._resting = False
        self._beside = False
        self._look()

    @property
    def hole(self) -> Hole:
        """The hole that the ghost stands at."""
        return self._hole

    def hint(self) -> str:
        """What the next click or key will do, or why it will do nothing."""
        piece = self.context.job.rack.find(self._piece_id)
        if piece is None:
            return f"The rack has no piece {self._piece_id}. Esc ends it."
        if self._beside:
            return "Move over the table to put the piece down. Esc ends it."
        at = address(self.context.job.table, self._hole)
        keys = f"R turns it,{' F flips it,' if piece.flips else ''} Esc ends it."
        if self._why is not None:
            return f"Not at {at}. {self._why} {keys}"
        turn = f" at {format_angle(self._there.turn)}" if self._there is not None else ""
        return f"Click or Enter puts {piece.name} in {at}{turn}. {keys} {self._left_words}"

    # -- events --------------------------------------------------------------------------------

    def move(self, pointer: Pointer) -> Outcome:
        """The ghost follows to the nearest hole."""
        table = self.context.job.table
        self._go(table.nearest(pointer.x, pointer.y))
        over = 0 <= pointer.x <= table.width and 0 <= pointer.y <= table.depth
        self._beside = not over
        if over:
            self._look()
        return Nothing()

    def press(self, pointer: Pointer) -> Outcome:
        """Nothing yet: the piece is put down when the button comes up."""
        return self.move(pointer)

    def release(self, pointer: Pointer) -> Outcome:
        """Put the piece down; also the end of a drag from the rack list."""
        self.move(pointer)
        return Nothing(self.hint()) if self._beside else self._put()

    def key(self, key: KeyPress) -> Outcome:
        """Arrows move the hole, Enter puts down, R turns, F flips, Esc ends."""
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
        """A hole address puts the piece there; an angle turns the ghost."""
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
        self._for = None
        self._look()
        if self._there is not None and self._why is None:
            return Nothing(f"The nearest turn here is {format_angle(self._there.turn)}.")
        return Nothing(self.hint())

    def leave(self, reason: str) -> Outcome:
        """The ghost goes."""
        return Preview(None)

    # -- the ghost -----------------------------------------------------------------------------

    def _go(self, hole: Hole) -> None:
        if hole != self._hole:
            self._hole, self._resting = hole, False

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
        return Nothing(self.hint())

    def follow(self) -> None:
        """Recompute the ghost for the changed job."""
        if not self._beside:
            self._look()

    def _look(self) -> None:
        """Work the ghost out anew if the job or the hole is another than before."""
        job = self.context.job
        if self._for is not None and self._for[0] is job and self._for[1] == self._hole:
            return
        self._for = (job, self._hole)
        self._ghost = self._there = None
        piece = job.rack.find(self._piece_id)
        self._left_words = "" if piece is None else self._left(piece)
        if piece is None:
            self._why = f"The rack has no piece {self._piece_id}."
        elif not piece.is_placed:
            self._why = (
                f"{capital(piece.name)} stands in no hole of its own;"
                " add it in the form of the piece that it goes with."
            )
        else:
            self._show(self._found(holes_besides(self.context.placed_pieces)))

    def _found(self, taken: frozenset[Hole]) -> Placement | str:
        job = self.context.job
        piece = job.rack.piece(self._piece_id)
        return stand_at(
            job.table,
            job.rack,
            piece,
            self._hole,
            self._turn,
            self._flipped,
            taken,
            placement_id=new_id(job, piece.kind),
            display=job.display,
        )

    def _show(self, found: Placement | str) -> None:
        if isinstance(found, str):
            self._ghost, self._there, self._why = None, None, found
            return
        self._ghost, self._there, self._why = self._judged(found)
        if self._why is None:
            return
        for other in self._others(found, self._there):
            judged = self._judged(other)
            if judged[2] is None:
                self._ghost, self._there, self._why = judged
                return

    def _judged(self, placement: Placement) -> tuple[Placement, PlacedPiece, str | None]:
        job = self.context.job
        there = solve_placement(job.table, job.rack, placement, job.display)
        return placement, there, refusal(job, self.context.placed_pieces, placement)

    def _others(self, refused: Placement, there: PlacedPiece) -> Iterator[Placement]:
        """The same way round with its other pins elsewhere, then slid to either end."""
        besides = holes_besides(self.context.placed_pieces) | set(there.holes) - {self._hole}
        other = self._found(besides)
        way = there.way
        if isinstance(other, Placement) and way is not None:
            turned = solve_placement(self.context.job.table, self.context.job.rack, other).turn
            if apart(turned, there.turn) < TURN_OFF:
                yield other
        if way is not None and way.slides:
            yield structs.replace(refused, slide=way.slide_low)
            yield structs.replace(refused, slide=way.slide_high)

    def _turned(self, way: int) -> Outcome:
        if self._ghost is None:
            return Nothing(self.hint())
        job = self.context.job
        taken = holes_besides(self.context.placed_pieces)
        found = turn_next(job.table, job.rack, self._ghost, way, taken)
        if isinstance(found, str):
            return Nothing(found)
        self._turn = found.turn
        self._show(found)
        return Nothing(self.hint())

    def _flip(self) -> Outcome:
        piece = self.context.job.rack.find(self._piece_id)
        if piece is None or not piece.flips:
            name = capital(piece.name) if piece is not None else self._piece_id
            return Nothing(f"{name} does not work turned over.")
        self._flipped = not self._flipped
        self._for = None
        self._look()
        return Nothing(self.hint())

    def _put(self) -> Outcome:
        self._look()
        job = self.context.job
        if self._ghost is None or self._why is not None:
            return Nothing(self.hint())
        piece = job.rack.piece(self._piece_id)
        after = place(job, self._ghost)
        at = address(job.table, self._hole)
        self._resting = True  # a ghost right over what was just put down would only cry clash
        return Commit(
            after,
            f"Place {piece.name} in {at}",
            frozenset([self._ghost.id]),
            hint=f"{capital(piece.name)} put in {at}. {self._left(piece, 1)} Esc ends it.",
        )

    def _left(self, piece: Piece, more: int = 0) -> str:
        """How many are left on the rack, with `more` put down that the job has not yet."""
        left = left_of(piece, needs(self.context.job).get(piece.id)) - more
        if left > 0:
            return f"{left} left on the rack."
        if left == 0:
            return "None left on the rack."
        return f"The rack is short by {-left}."

    def overlay(self) -> DisplayList:
        """The ghost, the ring on its hole, the angle, and the reason where it cannot stand."""
        if self._resting or self._beside:
            return ()
        table = self.context.job.table
        refused = self._why is not None
        role: DrawingRole = "clash" if refused else "ghost"
        outlines = tuple(
            Polyline(solid.points, role, closed=True)
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
        text = self._why or (format_angle(self._there.turn) if self._there is not None else "")
        role: DrawingRole = "clash" if self._why is not None else "selected"
        return (
            TextLabel((x, max(heights)), at, role, anchor="above", size="large", cleared=True),
            TextLabel((x, min(heights)), text, role, anchor="below", cleared=True),
        )


def _first_hole(context: ToolContext) -> Hole:
    """Where the keyboard begins: beside what is selected, else in the middle of the table."""
    table = context.job.table
    for placement in context.job.placements:
        if placement.id in context.selection and table.has(placement.seats[0].hole):
            return placement.seats[0].hole
    return Hole(table.columns // 2, table.rows // 2)
