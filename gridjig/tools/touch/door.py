"""What tools call to make pieces touch; the solvers are loaded on first use."""

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from gridjig.edits.lookup import with_placement
from gridjig.model import FaceOf, Hole, Job, Placement
from gridjig.rack import Piece, Point
from gridjig.solve.placed.placed_piece import PlacedPiece

from .wish import Wish

if TYPE_CHECKING:
    from .bring import Touched
    from .ghost import AtHole
    from .ground import Ground
    from .tries import Try

__all__ = [
    "Keeper",
    "Wish",
    "at_hole",
    "brought_to_face",
    "keep_touching",
    "missed_words",
    "nearest_face",
    "touch_words",
]


def at_hole(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    piece: Piece,
    hole: Hole,
    pointer: Point,
    wish: Wish,
    placement_id: str,
) -> "AtHole":
    """Return how a piece can stand in a hole, with the pointer at a point of the table, mm."""
    from .ghost import AtHole  # noqa: PLC0415  # late: numpy, as in gridjig.contact
    from .ground import ground  # noqa: PLC0415  # late, as above

    return AtHole(ground(job, placed_pieces), piece, hole, pointer, wish, placement_id)


def nearest_face(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    piece: Piece,
    hole: Hole,
    pointer: Point,
) -> FaceOf | None:
    """Return the face nearest to the pointer of those that a piece in that hole may reach."""
    from .ghost import faces_about  # noqa: PLC0415  # late, as above

    found = faces_about(job, placed_pieces, piece, hole, pointer)
    return found[0].of if found else None


def brought_to_face(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], placement: Placement
) -> "Try":
    """Set a piece in its own holes so that it touches the face it looks at, or say why not."""
    from .bring import to_the_face  # noqa: PLC0415  # late, as above
    from .ground import ground  # noqa: PLC0415  # late, as above

    return to_the_face(ground(job, placed_pieces, placement), placement)


def touch_words(job: Job, one: "Try") -> str:
    """Return what a setting of a piece does at its face, in words; empty without a face."""
    from .words import touch_words as words  # noqa: PLC0415  # late, as above

    return words(job, one)


def missed_words(job: Job, one: "Try") -> str:
    """Return why a piece that stands clear of a face near it does not touch it; else empty."""
    if one.missed is None:
        return ""
    from .words import missed_words as words  # noqa: PLC0415  # late, as above

    return words(job, one)


class Keeper:
    """Keeps one piece touching while it is moved; what it touches is looked up at the start."""

    def __init__(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], placement: Placement
    ) -> None:
        self._job = job
        self._stands = placed_pieces
        self._placement = placement
        self._settings: tuple[Try, ...] | None = None
        self.said = ""
        """What the piece does at its face after the last move, in words; empty if nothing."""

    @cached_property
    def _known(self) -> "tuple[Ground, Touched]":
        from .bring import touched  # noqa: PLC0415  # late: numpy, as in gridjig.contact
        from .ground import ground  # noqa: PLC0415  # late, as above

        there = self._stands[self._placement.id]
        return ground(self._job, self._stands, self._placement), touched(self._job, there)

    def job(self, moved: Job) -> Job:
        """Return the job after a move to other holes, with the piece touching there if it can."""
        self.said = ""
        after = moved.find(self._placement.id)
        if not isinstance(after, Placement) or after is self._placement or not self._job.parts:
            return moved
        from .bring import kept  # noqa: PLC0415  # late, as above

        one = kept(*self._known, after)
        if one is None:
            return moved
        self.said = touch_words(self._job, one)
        return with_placement(moved, one.placement)

    def caught(self, bent: Placement, within: float) -> Placement:
        """Return a piece slid, turned, opened or extended in its holes, snapped to a face.

        It snaps within `within` mm of touching, and where it would run into something: then it
        stays at the face that it would touch before that.
        """
        self.said = ""
        if not self._job.parts:
            return bent
        from .bring import nearest_touching, touching_settings  # noqa: PLC0415  # late, as above

        ground, _ = self._known
        if self._settings is None:
            self._settings = touching_settings(ground, self._placement)
        one = nearest_touching(ground, self._settings, bent, within)
        if one is None:
            return bent
        self.said = touch_words(self._job, one)
        return one.placement


def keep_touching(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], moved: Job, ids: frozenset[str]
) -> Job:
    """Apply `Keeper` to a single move; several things moved together stay as they are."""
    only = job.find(next(iter(ids))) if len(ids) == 1 else None
    if not isinstance(only, Placement) or only.id not in placed_pieces:
        return moved
    return Keeper(job, placed_pieces, only).job(moved)
