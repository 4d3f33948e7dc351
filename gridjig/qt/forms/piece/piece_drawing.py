"""The form that makes a piece of the rack from a drawing: what each outline is, and its heights.

The file is read in the background; the piece is made at once, as a piece has few outlines.
"""

from pathlib import Path

from msgspec import structs
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QListWidgetItem, QWidget

from gridjig.files.drawings.drawing import UNITS, Drawing, outlined
from gridjig.files.drawings.parts import require_outlines
from gridjig.files.drawings.piece import ROLES, DrawnRing, drawn_rings, piece_of, pins_for
from gridjig.files.drawings.report import doubt_words, size_words, unit_words
from gridjig.geometry.display import DisplayList, Polyline
from gridjig.geometry.shapes import bounds
from gridjig.model import Job
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.forms.drawing.drawing_form import read_any
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.cell import boxed
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.copying import CopiedList
from gridjig.qt.widgets.fields import LengthField
from gridjig.qt.widgets.layout import REST, holder, in_column, in_row, split
from gridjig.qt.widgets.live_picture import LivePicture
from gridjig.qt.widgets.plain import Label, tip
from gridjig.rack import Piece, RoundHole
from gridjig.tools.core.wording import capital, sentence
from gridjig.units import Display, format_extent, format_length
from gridjig.units.limits import words_of

_HIGH = {True: 12.0, False: 12.7}  # of a body, to begin with: metric, inches


class PieceDrawingForm(FormDialog):
    """Asks what each outline of a drawing is; once accepted, `piece` is the piece they make."""

    topic = "rack"
    accepted_piece = Signal(object)

    def __init__(self, window: QWidget, job: Job, appearance: Appearance, path: Path) -> None:
        super().__init__(window)
        self.setWindowTitle("Make a piece from a drawing")
        self._job = job
        self._display = job.display
        self._name = path.stem
        self._drawing: Drawing | None = None
        self.rings: tuple[DrawnRing, ...] = ()
        self.piece: Piece | None = None
        self.tasks = TaskRunner(self)
        self.head = Label(path.name, "heading")
        self.unit = Choices("Unit of the drawing")
        self.list = CopiedList()
        self.list.setObjectName("lines")
        self.list.setAccessibleName("Outlines of the drawing")
        self.list.setWordWrap(True)
        self.list.setSelectionMode(CopiedList.SelectionMode.ExtendedSelection)
        self.role = Choices("The selected outlines are", ((capital(r), r) for r in ROLES))
        self.low = LengthField("Underside at", self._display)
        self.high = LengthField("Top at", self._display)
        self.told = Label(copied=True)
        self.told.setAccessibleName("What the outlines make")
        self.picture = LivePicture("Picture of the outlines", appearance)
        self.apply_button = make_button("Go on to its shape", self.apply, plain=False)
        self.apply_button.setDefault(True)
        cancel = make_button("Cancel", self.reject, plain=False)
        told = scrolled(self.told)
        told.setMinimumHeight(self.fontMetrics().lineSpacing() * 6)
        side = in_column(
            self.unit,
            (boxed("Outlines, the largest first", self.list), 1),
            self.role,
            in_row((self.low, 1), (self.high, 1)),
            told,
            margins="left",
        )
        body = split(scrolled(holder(side)), self.picture, grows=1)
        in_column(self.head, (body, 1), in_row(REST, cancel, self.apply_button), over=self)
        room = self.screen().availableGeometry().size()
        self.resize(min(1120, room.width() - 40), min(720, room.height() - 80))
        body.setSizes([max(400, self.fontMetrics().averageCharWidth() * 52), self.width()])
        self.unit.chosen.connect(self._on_unit)
        self.list.itemSelectionChanged.connect(self._on_selected)
        self.role.chosen.connect(self._on_role)
        self.low.applied.connect(lambda mm: self._on_height(self.low, z_low=mm))
        self.high.applied.connect(lambda mm: self._on_height(self.high, z_high=mm))
        self.tasks.answered.connect(self._on_came)
        self.tasks.failed.connect(self._on_failed)
        self.finished.connect(lambda _: self.tasks.cancel())
        self.tasks.start(lambda progress: read_any(path, progress.report))
        self._tell("Reading the drawing.")

    # -- the drawing -----------------------------------------------------------------------------

    def _on_came(self, answer: object) -> None:
        assert isinstance(answer, Drawing)
        first = self._drawing is None
        self._drawing = answer
        if first:
            self._fill_units(answer)
        try:
            require_outlines(answer)
        except ValueError as fault:
            self._on_failed(str(fault))
            return
        unit = self.unit.value()
        if unit is None:
            doubt = doubt_words(answer, self._display)
            wish = "Choose the unit that gives the right size."
            self._tell(" ".join(t for t in (doubt, unit_words(answer), wish) if t))
            return
        high = _HIGH[self._display.unit == "millimetres"]
        try:
            self.rings = drawn_rings(answer, self._job.rack, self._job.table, high)
        except ValueError as fault:
            self._on_failed(str(fault))
            return
        self._fill_list()
        self._update_enabled()  # only what is enabled can take the focus
        self.list.setCurrentRow(0)
        self.list.setFocus()
        self._make()

    def _fill_units(self, drawing: Drawing) -> None:
        """List the units with the drawing's size in each; none is chosen if it must be asked."""
        known = drawing.sketch.unit
        units = [*UNITS] if known is None or known in UNITS else [known, *UNITS]
        self.unit.set_choices(
            (f"{unit}: {size_words(drawing, unit, self._display)}", unit) for unit in units
        )
        doubtful = known is None or doubt_words(drawing, self._display)
        self.unit.set_value(None if doubtful else known)

    def _on_unit(self, unit: object) -> None:
        drawing = self._drawing
        if drawing is not None and isinstance(unit, str):
            sketch = drawing.sketch
            self.tasks.start(lambda progress: outlined(sketch, unit, progress.report))

    def _on_failed(self, words: str) -> None:
        self.rings, self.piece = (), None
        self.list.clear()
        self._tell(f"✕ {words}")

    # -- outlines --------------------------------------------------------------------------------

    def _fill_list(self) -> None:
        self.list.blockSignals(True)
        while self.list.count() > len(self.rings):
            self.list.takeItem(self.list.count() - 1)
        while self.list.count() < len(self.rings):
            self.list.addItem(QListWidgetItem())
        for row, ring in enumerate(self.rings):
            self.list.item(row).setText(ring_words(ring, self._job, self._display))
        self.list.blockSignals(False)

    def _picked(self) -> list[int]:
        return [row for row in range(self.list.count()) if self.list.item(row).isSelected()]

    def _on_selected(self) -> None:
        """Show below the list what the first selected outline is."""
        picked = self._picked()
        ring = self.rings[picked[0]] if picked else None
        self.role.set_value(ring.role if ring else None)
        for field, value in ((self.low, "z_low"), (self.high, "z_high")):
            field.setEnabled(ring is not None and ring.role == "body")
            field.set_value(getattr(ring, value) if ring else None)
        self._draw()

    def _on_height(self, field: LengthField, **height: float) -> None:
        rings = [structs.replace(self.rings[row], **height) for row in self._picked()]
        if any(ring.z_high <= ring.z_low for ring in rings if ring.role == "body"):
            field.complain("The top must be higher than the underside.")
        else:
            self._change(**height)

    def _on_role(self, role: object) -> None:
        """Take the selected outlines for something else; a new body has the usual height."""
        high = _HIGH[self._display.unit == "millimetres"]
        fresh = {row for row in self._picked() if self.rings[row].z_high == 0.0}
        if role == "body":
            self.rings = tuple(
                structs.replace(r, z_high=high) if r.number in fresh else r for r in self.rings
            )
        self._change(role=role)

    def _change(self, **what: object) -> None:
        picked = set(self._picked())
        self.rings = tuple(
            structs.replace(ring, **what) if ring.number in picked else ring for ring in self.rings
        )
        self._fill_list()
        self._on_selected()
        self._make()

    def _make(self) -> None:
        """Make the piece, or say why it cannot be made."""
        job = self._job
        try:
            self.piece = piece_of(self.rings, job.rack, job.table, self._name, self._display)
        except ValueError as fault:
            self.piece = None
            self._tell(f"✕ {sentence(words_of(fault, self._display))}")
        else:
            self._tell(made_words(self.piece, self.rings, job, self._display))
        self._draw()

    # -- showing ---------------------------------------------------------------------------------

    def _draw(self) -> None:
        self.picture.show_drawing(draw_rings(self.rings, frozenset(self._picked())), "")

    def _tell(self, words: str) -> None:
        self.told.setText(words)
        announce(self, words)
        self._update_enabled()

    def _update_enabled(self) -> None:
        """Enable what can be used now."""
        read = bool(self.rings)
        for part in (self.list, self.role):
            part.setEnabled(read)
        for field in (self.low, self.high):
            field.setEnabled(read and self.role.value() == "body")
        self.unit.setEnabled(self._drawing is not None)
        self.apply_button.setEnabled(self.piece is not None)
        self.apply_button.setToolTip(tip("" if self.piece else self.told.text()))

    def apply(self) -> None:
        """Take the piece, if no field has a complaint."""
        for field in (self.low, self.high):
            field.apply()
            if field.has_complaint():
                field.edit.setFocus()
                return
        if self.piece is not None:
            self.accepted_piece.emit(self.piece)
            self.accept()


def ring_words(ring: DrawnRing, job: Job, display: Display) -> str:
    """Return an outline of a drawing in words: its size, its layer, what it is."""
    low_x, low_y, high_x, high_y = bounds(ring.ring)
    size = format_extent(high_x - low_x, high_y - low_y, display)
    if ring.hole is not None:
        wide = format_length(ring.width, display)
        size = f"round, {wide}" if isinstance(ring.hole, RoundHole) else f"slot, {wide} wide"
    words = f"{ring.number + 1}: {size}, layer {ring.layer}\n{capital(ring.role)}"
    if ring.role == "body":
        low, high = (format_length(z, display) for z in (ring.z_low, ring.z_high))
        return f"{words}, {low} to {high} high"
    if ring.role == "pin hole":
        pins = pins_for(job.rack, job.table, ring.width)
        return f"{words} for {pins[0].name}" if pins else words
    return words


def made_words(piece: Piece, rings: tuple[DrawnRing, ...], job: Job, display: Display) -> str:
    """Return what the outlines make: bodies, pin holes with their pin, openings, what is left."""
    count = {role: sum(ring.role == role for ring in rings) for role in ROLES}
    pin = job.rack.locking_pin(piece)
    across = format_length(job.table.hole_diameter, display)
    lines = [
        f"{_some(count['body'], 'body', 'bodies')},"
        f" {_some(count['pin hole'], 'hole for a pin', 'holes for pins')},"
        f" {_some(count['opening'], 'opening', 'openings')}."
    ]
    if pin is not None:
        wide = format_length(pin.pin_diameter, display)
        lines.append(f"Pinned with {pin.name}, {wide}, in the table's holes of {across}.")
    if count["left out"]:
        lines.append(f"Left out: {_some(count['left out'], 'outline', 'outlines')}.")
    lines.append("Faces, heights and corners can be changed on the next page.")
    return "\n".join(lines)


def draw_rings(rings: tuple[DrawnRing, ...], picked: frozenset[int]) -> DisplayList:
    """Return the outlines as a drawing; the selected ones are marked."""
    shapes: list[Polyline] = []
    for ring in rings:
        plain = "ghost" if ring.role == "left out" else "edge"
        fill = {"body": "part", "pin hole": "pin", "opening": "paper"}.get(ring.role, "none")
        shapes.append(Polyline(ring.ring, plain, True, fill))  # type: ignore[arg-type]
    shapes += [Polyline(ring.ring, "selected", True) for ring in rings if ring.number in picked]
    return tuple(shapes)


def _some(number: int, one: str, many: str) -> str:
    return f"{number or 'no'} {one if number == 1 else many}"
