"""The free shape of a piece: outlines and heights, holes, openings, and which edges locate work."""

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.rack import set_piece
from gridjig.edits.shape import (
    ShapeEdge,
    edges,
    outlines,
    with_face_heights,
    with_faces,
    with_heights,
    with_holes,
    with_openings,
    with_outline,
    with_outline_added,
    with_shape,
    without_outline,
)
from gridjig.edits.shape_text import (
    Corners,
    holes_text,
    openings_text,
    parse_holes,
    parse_openings,
    parse_ring,
    ring_text,
    typed_holes,
)
from gridjig.geometry.display import DisplayList, Polyline
from gridjig.model import Job
from gridjig.qt.forms.piece_draft import PieceDraft
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import LengthField, LinesField
from gridjig.qt.widgets.order_list import OrderEntry, OrderList
from gridjig.rack import Piece, RoundHole, StraightSlot
from gridjig.session.document import Document
from gridjig.units import Display, facing_words, format_coordinate, format_length

ShapeChange = Callable[[Piece, object], Piece]
_TO_MATCH = "Type the holes to match: then both are taken together."
_NEW_SIZE = {True: 25.0, False: 25.4}  # of an outline that is added: metric, inches


class PieceShape(PieceDraft):
    """Fields for the shape of the base.  `changed` is emitted when what the picture shows may have
    changed.
    """

    changed = Signal()

    def __init__(self, draft: Document, piece_id: str, parent: QWidget | None = None) -> None:
        super().__init__(draft, piece_id, parent)
        display = draft.job.display
        self._outlines = outlines(self._piece(draft.job))
        self._number = next(iter(self._outlines), 0)
        self._typing: tuple[LinesField, ShapeChange] | None = None
        self.which = Choices("Outline")
        self.across(self.which)
        self.on(self.which.chosen, self._on_which)
        self.add_button = make_button(
            "Add an outline", lambda: self._while_it_stands(self._add_outline)
        )
        self.remove_button = make_button(
            "Remove this outline", lambda: self._while_it_stands(self._remove_outline)
        )
        self.pair(self.add_button, self.remove_button)
        self.corners = self._lines(
            "Corners",
            "x, y; one to a line",
            lambda piece: piece.solids[self._number].outline,
            lambda text, piece: parse_ring(text, piece.solids[self._number].outline, self._shown),
            lambda ring: ring_text(ring, self._shown),
            lambda piece, ring: with_outline(piece, self._number, ring),
            "Change the outline",
            6,
        )
        self.low = self.field(
            LengthField("Underside", display),
            lambda piece: piece.solids[self._number].z_low,
            self._heights(low=True),
            "Change the height of the underside",
        )
        self.high = self.field(
            LengthField("Top", display),
            lambda piece: piece.solids[self._number].z_high,
            self._heights(low=False),
            "Change the height of the top",
        )
        self.openings = self._lines(
            "Openings in it",
            "x, y, dia or x, y; x, y; …",
            lambda piece: piece.solids[self._number].openings,
            lambda text, piece: parse_openings(
                text, piece.solids[self._number].openings, self._shown
            ),
            lambda rings: openings_text(rings, self._shown),
            lambda piece, rings: with_openings(piece, self._number, rings),
            "Change the openings",
            2,
        )
        self.holes = self._lines(
            "Holes and slots for pins",
            "x, y, dia or x, y, x, y, width",
            lambda piece: typed_holes(piece.mounts),
            lambda text, piece: parse_holes(text, piece.mounts, self._shown),
            lambda holes: holes_text(holes, self._shown),
            lambda piece, holes: with_holes(piece, typed_holes(piece.mounts), holes),
            "Change the holes",
            4,
        )
        self.heading("Edges that locate work; distances are to the first")
        self.words("small", "Space ticks an edge, Alt with an arrow moves it.")
        self.faces = OrderList("Edges that locate work")
        self.faces.list.setFixedHeight(self.fontMetrics().lineSpacing() * 8)
        self.across(self.faces)
        self.on(self.faces.ticked, self._on_ticked)
        self.on(self.faces.ordered, self._on_ordered)
        self.faces.list.currentRowChanged.connect(lambda _: self._on_edge())
        self.face_low = self.field(LengthField("Face from", display))
        self.face_high = self.field(LengthField("Face up to", display))
        self.on(self.face_low.applied, lambda _: self._on_face_height(self.face_low))
        self.on(self.face_high.applied, lambda _: self._on_face_height(self.face_high))
        self.reflow()

    @property
    def _shown(self) -> Display:
        return self.document.job.display

    def _lines(
        self,
        label: str,
        accepts: str,
        shows: Callable[[Piece], object],
        read: Callable[[str, Piece], object],
        show: Callable[..., str],
        change: Callable[..., Piece],
        step: str,
        lines: int,
    ) -> LinesField:
        """A field of several lines for a value of the piece."""
        field = LinesField(
            label, lambda text: read(text, self._piece(self.document.job)), show, accepts, lines
        )

        def take(job: Job, value: object) -> Job:
            return set_piece(job, self._changed(field, change, value))

        self.field(field, shows, take, step, wide=True)
        self.on(field.applied, lambda _: self._end_waiting())
        self.on(field.edit.textEdited, lambda _: self._on_typing(field, change))
        return field

    # -- corners, openings and holes that can only be changed together -----------------------------

    def _changed(self, field: LinesField, change: ShapeChange, value: object) -> Piece:
        """Return the piece with the value of one field: alone or, if that is refused, with what is
        typed in the others and waits for it.  Raise ValueError if it is refused even so.
        """
        piece = self._piece(self.document.job)
        try:
            return change(piece, value)
        except ValueError as fault:
            together = self._together(piece, field, value)
            if together is not None:
                return together
            if self._holes_alone_forbid(piece, field, value):
                raise ValueError(f"{fault} {_TO_MATCH}") from fault
            raise

    def _together(self, piece: Piece, field: LinesField, value: object) -> Piece | None:
        trio = (self.corners, self.openings, self.holes)
        if not any(one.has_complaint() for one in trio if one is not field):
            return None
        try:
            ring, rings, holes = (
                value if one is field else one.typed() if one.has_complaint() else one.value()
                for one in trio
            )
            return with_shape(
                piece,
                self._number,
                cast(Corners, ring),
                cast(tuple[Corners, ...], rings),
                cast(tuple[RoundHole | StraightSlot, ...], holes),
            )
        except ValueError:
            return None

    def _holes_alone_forbid(self, piece: Piece, field: LinesField, value: object) -> bool:
        """Whether refused corners are contradicted by nothing but the holes and openings."""
        if field is not self.corners:
            return False
        try:
            with_shape(piece, self._number, cast(Corners, value), (), ())
        except ValueError:
            return False
        return True

    def _end_waiting(self) -> None:
        """Take the complaint off the fields whose text was taken along."""
        for one in (self.corners, self.openings, self.holes):
            if one.has_complaint() and _taken(one):
                one.restore()

    def _heights(self, low: bool) -> Callable[[Job, float], Job]:
        def take(job: Job, value: float) -> Job:
            solid = self._piece(job).solids[self._number]
            heights = (value, solid.z_high) if low else (solid.z_low, value)
            return set_piece(job, with_heights(self._piece(job), self._number, *heights))

        return take

    # -- what the picture shows ------------------------------------------------------------------

    def _on_typing(self, field: LinesField, change: ShapeChange) -> None:
        self._typing = (field, change) if field.edit.isModified() else None
        self.changed.emit()

    def as_typed(self) -> Piece:
        """Return the piece with the text that is being typed, if it can be made so."""
        piece = self._piece(self.document.job)
        if self._typing is not None and self._typing[0].edit.isModified():
            field, change = self._typing
            try:
                return self._changed(field, change, field.typed())
            except ValueError:  # the field says so when it is left
                return piece
        return piece

    def in_hand(self) -> DisplayList:
        """Return the edge that is current in the list, marked."""
        edge = self._edge()
        return (Polyline((edge.face.a, edge.face.b), "selected"),) if edge is not None else ()

    # -- showing ---------------------------------------------------------------------------------

    def show_draft(self) -> None:
        """Show the shape as the draft has it."""
        job = self.document.job
        piece = self._piece(job)
        every = outlines(piece)
        if not every:
            return
        if every != self._outlines:
            self._outlines = every
            # The outline that it was typed for may be gone, or have another number.
            self._drop_typed("there are other outlines now")
        if self._number not in every:
            self._number = every[0]
        self.which.set_choices(
            (
                f"{at} of {len(every)}, from {format_length(piece.solids[k].z_low, job.display)}"
                f" to {format_length(piece.solids[k].z_high, job.display)} high",
                k,
            )
            for at, k in enumerate(every, 1)
        )
        self.which.set_value(self._number)
        self.remove_button.setEnabled(len(every) > 1)
        self.show_values(job)
        self.faces.show_entries(
            tuple(
                OrderEntry(e.key, edge_words(e, job.display, len(every) > 1), e.on)
                for e in edges(piece)
            )
        )
        self._on_edge()

    def _on_which(self, number: object) -> None:
        assert isinstance(number, int)
        if self._refused():
            self.which.set_value(self._number)
            return
        self._number = number
        self.show_draft()
        self.changed.emit()

    def _edge(self) -> ShapeEdge | None:
        every = edges(self._piece(self.document.job))
        return next((edge for edge in every if edge.key == self.faces.current()), None)

    def _on_edge(self) -> None:
        """Show the heights of the current edge; only a face's can be changed."""
        edge = self._edge()
        for field, of in ((self.face_low, "z_low"), (self.face_high, "z_high")):
            field.setEnabled(edge is not None and edge.on)
            field.set_value(getattr(edge.face, of) if edge is not None else None)
        self.changed.emit()

    # -- outlines and faces ----------------------------------------------------------------------

    def _refused(self) -> bool:
        """True if a text of the outline in hand is refused; it then has the focus.

        What was typed for one outline must not be taken for another.
        """
        faulty = self.faulty()
        if faulty is not None:
            faulty.edit.setFocus()
        return faulty is not None

    def _add_outline(self) -> None:
        if self._refused():
            return
        size = _NEW_SIZE[self._shown.unit == "millimetres"]
        made, number = with_outline_added(self._piece(self.document.job), size)
        self._number = number
        self.do(lambda job: set_piece(job, made), "Add an outline")
        self.corners.edit.setFocus()

    def _remove_outline(self) -> None:
        number = self._number
        self.do(
            lambda job: set_piece(job, without_outline(self._piece(job), number)),
            "Remove an outline",
        )

    def _on_ticked(self, keys: tuple[str, ...]) -> None:
        self.do(lambda job: set_piece(job, with_faces(self._piece(job), keys)), "Change the faces")

    def _on_ordered(self, keys: tuple[str, ...]) -> None:
        piece = self._piece(self.document.job)
        on = {edge.key for edge in edges(piece) if edge.on}
        self._on_ticked(tuple(key for key in keys if key in on))

    def _on_face_height(self, field: LengthField) -> None:
        edge = self._edge()
        low, high = self.face_low.value(), self.face_high.value()
        if edge is not None and isinstance(low, int | float) and isinstance(high, int | float):
            key = edge.key
            self.do(
                lambda job: set_piece(
                    job, with_face_heights(self._piece(job), key, float(low), float(high))
                ),
                "Change the height of a face",
                field,
            )


def _taken(field: LinesField) -> bool:
    """Whether the text of a field is the value that it has."""
    try:
        return field.typed() == field.value()
    except ValueError:
        return False


def edge_words(edge: ShapeEdge, display: Display, many: bool = False) -> str:
    """Return an edge in words: how long, which way it faces, how high, from where; with its outline
    if there are `many`.
    """
    long, face = format_length(edge.length, display), edge.face
    low, high = format_length(face.z_low, display), format_length(face.z_high, display)
    start = ", ".join(format_coordinate(v, display) for v in face.a)
    way = facing_words(edge.direction)
    of = f"{edge.solid + 1}: " if many else ""
    return f"{of}{long} facing {way}, {low} to {high} high, from {start}"
