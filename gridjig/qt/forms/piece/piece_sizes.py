"""The sizes of a piece as fields, each with its range; the picture shows the focused one."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.rack import release_sizes, resize_piece
from gridjig.edits.sizes import AdjustableSize, size_words, sizes
from gridjig.edits.typed_sizes import moved_along, typed_sizes
from gridjig.model import Job
from gridjig.qt.forms.piece_draft import PieceDraft
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.fields import UNIT_WORD, AngleField, LengthField, TypedField
from gridjig.qt.widgets.plain import Label
from gridjig.rack import Piece
from gridjig.session.document import Document
from gridjig.units import Display, format_angle, format_length


class PieceSizes(PieceDraft):
    """Fields for every size that the piece in the draft has."""

    focused = Signal(object)  # the focused AdjustableSize, or None

    def __init__(self, draft: Document, piece_id: str, parent: QWidget | None = None) -> None:
        super().__init__(draft, piece_id, parent)
        self.fields: dict[str, TypedField] = {}
        self._sizes: dict[str, AdjustableSize] = {}
        self._focus = ""
        self.kept = Label(role="small")
        self.release = make_button(
            "Let them move",
            lambda: self._while_it_stands(self._release),
            about="Let the sizes that were typed move with other sizes again.",
        )
        self.across(self.kept, self.release)  # without sizes nothing else would own them

    def in_hand(self) -> AdjustableSize | None:
        """Return the size whose field has the focus or had it last."""
        return self._sizes.get(self._focus)

    def show_draft(self) -> None:
        """Show the current sizes of the piece; a changed piece may have different ones."""
        job = self.document.job
        found = sizes(self._piece(job))
        self._sizes = {size.id: size for size in found}
        if list(self.fields) != list(self._sizes):
            self._make(found, job.display)
        for size in found:
            self._show(self.fields[size.id], size, job.display)
        self._show_kept(typed_sizes(self._piece(job)))

    def _show(self, field: TypedField, size: AdjustableSize, display: Display) -> None:
        if isinstance(field, LengthField):
            field.set_display(display)
            field.set_range(size.low, size.high)
            field.set_accepts(_range_words(size, display))
        field.set_value(size.value)

    def _show_kept(self, typed: tuple[AdjustableSize, ...]) -> None:
        """Show which sizes were typed, and so stay when another one is changed."""
        for cell in (self.kept, self.release):
            self.show_cell(cell, bool(typed))
        labels = "; ".join(size.label for size in typed)
        self.kept.setText(f"Typed, so they stay when another size changes: {labels}.")
        self.reflow()

    def _release(self) -> None:
        self.do(
            lambda job: release_sizes(job, self.thing_id),
            f"Let the sizes of {self._piece(self.document.job).name} move",
        )

    def _make(self, found: tuple[AdjustableSize, ...], display: Display) -> None:
        """Replace the fields with fields for these sizes."""
        for old, _ in self._cells:
            self._grid.removeWidget(old)
            if old is self.kept or old is self.release:
                continue
            old.hide()
            old.deleteLater()
        self._cells.clear()
        self._laid = ()
        self.fields = {size.id: self._field(size, display) for size in found}
        self.pair(*self.fields.values())
        self.across(self.kept, self.release)

    def _field(self, size: AdjustableSize, display: Display) -> TypedField:
        label = size.label[0].upper() + size.label[1:]
        field: TypedField
        if size.unit == "deg":
            field = AngleField(label, f"{format_angle(size.low)} to {format_angle(size.high)}")
        else:
            field = LengthField(label, display)
        self.on(field.applied, lambda value: self._on_applied(size.id, value))
        field.edit.focused.connect(lambda on: self._on_focus(size.id, on))
        return field

    def _on_focus(self, size_id: str, on: bool) -> None:
        if on:
            self._focus = size_id
            self.focused.emit(self.in_hand())

    def _on_applied(self, size_id: str, value: object) -> None:
        assert isinstance(value, int | float)
        if size_id not in self._sizes:  # a change to another size has ended this one
            return
        label, field = self._sizes[size_id].label, self.fields[size_id]

        def edit(job: Job) -> Job:
            return resize_piece(job, self.thing_id, size_id, float(value), job.display)

        before = self._piece(self.document.job)
        if self.do(edit, f"Change {label} of {before.name}", field):
            self._tell_moved(before, size_id)

    def _tell_moved(self, before: Piece, size_id: str) -> None:
        """Say which other sizes have changed with the one that was typed."""
        job = self.document.job
        moved = moved_along(before, self._piece(job), size_id)
        told = [f"{size.label} is now {size_words(size, job.display)}" for size in moved[:3]]
        more = f", and {len(moved) - 3} more" if len(moved) > 3 else ""
        self.message.emit(f"With it, {', '.join(told)}{more}." if told else "")


def _range_words(size: AdjustableSize, display: Display) -> str:
    """Return the range in a few words, leaving out limits that no real piece comes near."""
    far = size.high >= max(500.0, 20.0 * abs(size.value))
    low = format_length(size.low, display)
    if size.low <= 0.5:  # thinner than any steel in use
        low = "" if size.low > 0.0 or far else low
    if far:
        return f"from {low}" if low else UNIT_WORD[display.unit]
    high = format_length(size.high, display)
    return f"{low} to {high}" if low else f"up to {high}"
