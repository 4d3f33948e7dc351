"""All angles that the selected arm can reach from its hole, as a list and on the plan."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.angle.places import off_line, own_direction, reached, reaching_way
from gridjig.checks.conflicts import refusal
from gridjig.edits.lookup import with_placement
from gridjig.geometry.lines import line_angle
from gridjig.model import Placement
from gridjig.model.titles import title
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.fields import TypedField
from gridjig.qt.widgets.layout import REST, in_column, in_row, indent
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Button, Label
from gridjig.rack import Piece
from gridjig.session.document import Document
from gridjig.sheets.drawings.angles import draw_reached
from gridjig.sheets.text.two_holes_text import facing_words, nearest_words, reach_words
from gridjig.solve.placed.cache import PlacedPieces, holes_besides
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.reach.reach import ArmReach, ReachAngle, reach
from gridjig.tools.core.wording import capital
from gridjig.units import format_angle, parse_angle

from .answer_list import AnswerList


class ArmReachList(QWidget):
    """The list of one piece's angles; Enter turns the piece to the highlighted one."""

    shown = Signal(object, object)
    message = Signal(str)
    backed = Signal()

    def __init__(
        self, document: Document, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self._of: tuple[object, ...] = ()
        self._reach: ArmReach | None = None
        self._by_key: dict[str, ReachAngle] = {}
        self.about = Label(role="freedom")
        self.near = TypedField("Near", _read, _show, "an angle from table x, or empty")
        self.near.make_live()
        self.list = AnswerList("Angles it can be set to", appearance)
        self.go = Button("Turn it there", "plain", about="Turn it and pin it there  (Enter)")
        self.left_out = Label(role="small")
        row = in_row(REST, self.go, margins="line")
        top = in_column(self.about, self.near, margins="head")
        in_column(top, (self.list, 1), row, self.left_out, over=self, margins="page")
        indent(self.left_out, "line")
        self.near.applied.connect(lambda _: self._list())
        self.list.highlighted.connect(lambda _: self._preview())
        self.list.setting.connect(self.turn_there)
        self.list.does = "Enter turns the piece there, Esc goes back to the angle"
        self.list.backed.connect(self.backed)
        self.go.clicked.connect(self.turn_there)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.list.set_appearance(appearance)
        rows = self.list.fontMetrics().lineSpacing() * 10
        self.list.setMinimumHeight(max(rows, appearance.metrics.target * 2))

    # -- showing -----------------------------------------------------------------------------------

    def _placement(self) -> tuple[Placement, Piece] | None:
        if len(self.document.selection) != 1:
            return None
        thing = self.document.job.find(next(iter(self.document.selection)))
        if not isinstance(thing, Placement):
            return None
        piece = self.document.job.rack.find(thing.piece)
        return None if piece is None else (thing, piece)

    def refresh(self) -> None:
        """Update the list if the selection or the job has changed."""
        here = self._placement()
        now = (self.document.job, here[0] if here else None)
        if len(self._of) == 2 and all(a is b for a, b in zip(self._of, now, strict=True)):
            return
        self._of = now
        self._reach = None
        if here is not None:
            placement, piece = here
            document = self.document
            placed_pieces = (
                PlacedPieces().of(document.job) if document.previewing else document.placed_pieces
            )
            taken = holes_besides(placed_pieces, placement.id)
            self._reach = reach(
                document.job.table, document.job.rack, piece, placement.seats[0].hole, taken
            )
        self._list()

    def _list(self) -> None:
        here, job = self._placement(), self.document.job
        if here is None or self._reach is None:
            self.about.setText(
                "Select one arm or stop on the table to see every angle it can be set to."
            )
            self._by_key = {}
            self.list.show_entries((), None)
            self.left_out.setText("")
            self.go.setEnabled(False)
            self.shown.emit((), ())
            return
        placement, piece = here
        near = self.near.value()
        line_asked = near if isinstance(near, float) else None
        placed_pieces = self.document.placed_pieces
        reaching = [
            reaching_way(job, placed_pieces, placement, piece, angle, line_asked)
            for angle in self._reach.angles
        ]
        reaching.sort(key=lambda way: (bool(way.why), *self._order(piece, way.angle)))
        self._by_key = {}
        entries = []
        for way in reaching:
            holes, line, how = reach_words(way.angle, job.table, own_direction(piece, way.angle))
            key = str((way.angle.seats, way.angle.flipped, round(way.angle.low, 6)))
            self._by_key[key] = way.angle
            under = "\n".join(filter(None, (f"{how}{facing_words(way.looks)}", way.why)))
            entries.append(ListEntry(key, holes, under, line, "stop" if way.why else ""))
        ways = "1 position" if len(entries) == 1 else f"{len(entries)} positions"
        self.about.setText(
            f"{capital(title(job, placement.id))}: {ways} from this hole."
            f"{nearest_words(reaching, line_asked)}"
        )
        self.list.show_entries(entries, None)
        out = self._reach.left_out
        self.left_out.setText(
            f"{len(out)} more holes would work but cannot be used now: {out[0][1]}" if out else ""
        )
        self.go.setEnabled(bool(entries))
        if self.near.value() is not None:
            self.list.go_first()
        self._preview()

    def _order(self, piece: Piece, angle: ReachAngle) -> tuple[float, float]:
        near = self.near.value()
        if not isinstance(near, float):
            return (0.0, angle.low)
        return (round(off_line(piece, angle, near), 9), angle.low)

    def _chosen(self) -> Placement | None:
        """Return the placement turned to the highlighted angle, or None."""
        here, angle = self._placement(), self._by_key.get(self.list.current_key())
        if here is None or angle is None:
            return None
        placement, piece = here
        near = self.near.value()
        line = near if isinstance(near, float) else None
        return reached(self.document.job, placement, piece, angle, line)

    def _preview(self) -> None:
        here = self._placement()
        if here is None or self._reach is None:
            self.shown.emit((), ())
            return
        job = self.document.job
        chosen = self._chosen()
        drawing = draw_reached(
            job.table, job.rack, here[0], self._reach.angles, chosen, job.display
        )
        points = [job.table.at(s.hole) for s in chosen.seats] if chosen is not None else []
        self.shown.emit(drawing, tuple(points))

    # -- going there -------------------------------------------------------------------------------

    def turn_there(self) -> None:
        """Turn the piece to the highlighted angle, unless it would foul something."""
        chosen, job = self._chosen(), self.document.job
        if chosen is None:
            self.message.emit("Highlight an angle first.")
            return
        why = refusal(job, self.document.placed_pieces, chosen)
        if why is not None:
            self.message.emit(why)
            return
        faces = solve_placement(job.table, job.rack, chosen).faces
        angle = line_angle(faces[0].a, faces[0].b) if faces else chosen.turn
        name = f"Turn {title(job, chosen.id)} to {format_angle(angle)}"
        self.document.do(with_placement(job, chosen), name, [chosen.id])
        self.message.emit(f"{name}. Ctrl+Z undoes it.")


def _read(text: str) -> float | None:
    return parse_angle(text) if text.strip() else None


def _show(value: object) -> str:
    return format_angle(float(value)) if isinstance(value, int | float) else ""
