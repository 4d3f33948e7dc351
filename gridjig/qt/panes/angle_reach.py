"""Everything that the selected arm reaches from its hole, as a list and on the sheet."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.checks.conflicts import refusal
from gridjig.edits.things import with_placement
from gridjig.geometry.lines import line_angle
from gridjig.model import Placement
from gridjig.model.titles import title
from gridjig.rack import Piece
from gridjig.session.angle_places import off_line, own_direction, reached
from gridjig.session.desk import Desk
from gridjig.sheets.angle_back_tell import reach_words
from gridjig.sheets.angle_draw import draw_reached
from gridjig.solve import Stands, stand
from gridjig.solve.reach import Reach, ReachAngle, reach
from gridjig.solve.stands import holes_besides
from gridjig.tools.wording import capital
from gridjig.units import format_angle, parse_angle

from ..fields import TypedField
from ..widgets.layout import REST, in_column, in_row, indent
from ..widgets.plain import Button, Label
from ..windowstyle import Look
from .angle_answers import AnswerList
from .lines import Entry


class AngleReach(QWidget):
    """The list of angles of one piece; Enter goes to the one highlighted."""

    shown = Signal(object, object)
    said = Signal(str)
    backed = Signal()

    def __init__(self, desk: Desk, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._of: tuple[object, ...] = ()
        self._reach: Reach | None = None
        self._by_key: dict[str, ReachAngle] = {}
        self.about = Label(role="freedom")
        self.near = TypedField("Near", _read, _show, "an angle from table x, or empty")
        self.near.make_live()
        self.list = AnswerList("Angles that it reaches", look)
        self.go = Button("Turn it there", "plain", about="Turn and pin it so, as one step  (Enter)")
        self.left_out = Label(role="small")
        row = in_row(REST, self.go, margins="line")
        top = in_column(self.about, self.near, margins="head")
        in_column(top, (self.list, 1), row, self.left_out, over=self, margins="page")
        indent(self.left_out, "line")
        self.near.applied.connect(lambda _: self._list())
        self.list.highlighted.connect(lambda _: self._preview())
        self.list.setting.connect(self.turn_there)
        self.list.backed.connect(self.backed)
        self.go.clicked.connect(self.turn_there)

    def set_look(self, look: Look) -> None:
        """Paint in another look."""
        self.list.set_look(look)
        rows = self.list.fontMetrics().lineSpacing() * 10
        self.list.setMinimumHeight(max(rows, look.metrics.target * 2))

    # -- showing -----------------------------------------------------------------------------------

    def _placement(self) -> tuple[Placement, Piece] | None:
        if len(self.desk.selection) != 1:
            return None
        thing = self.desk.job.find(next(iter(self.desk.selection)))
        if not isinstance(thing, Placement):
            return None
        piece = self.desk.job.rack.find(thing.piece)
        return None if piece is None else (thing, piece)

    def refresh(self) -> None:
        """Ask again if another piece is selected, or the job is another one."""
        here = self._placement()
        now = (self.desk.job, here[0] if here else None)
        if len(self._of) == 2 and all(a is b for a, b in zip(self._of, now, strict=True)):
            return
        self._of = now
        self._reach = None
        if here is not None:
            placement, piece = here
            desk = self.desk
            stands = Stands().of(desk.job) if desk.previewing else desk.stands
            taken = holes_besides(stands, placement.id)
            self._reach = reach(
                desk.job.table, desk.job.rack, piece, placement.seats[0].hole, taken
            )
        self._list()

    def _list(self) -> None:
        here, job = self._placement(), self.desk.job
        if here is None or self._reach is None:
            self.about.setText("Select one arm or stop on the table to see all that it reaches.")
            self._by_key = {}
            self.list.show_entries((), None)
            self.left_out.setText("")
            self.go.setEnabled(False)
            self.shown.emit((), ())
            return
        placement, piece = here
        angles = sorted(self._reach.angles, key=lambda a: self._order(piece, a))
        self._by_key = {}
        entries = []
        for angle in angles:
            holes, line, how = reach_words(angle, job.table, own_direction(piece, angle))
            key = str((angle.seats, angle.flipped, round(angle.low, 6)))
            self._by_key[key] = angle
            entries.append(Entry(key, holes, how, line))
        ways = "1 way" if len(entries) == 1 else f"{len(entries)} ways"
        self.about.setText(f"{capital(title(job, placement.id))}: {ways} to stand from this hole.")
        self.list.show_entries(entries, None)
        out = self._reach.left_out
        self.left_out.setText(
            f"{len(out)} more holes would serve but cannot be used now: {out[0][1]}" if out else ""
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
        """The placement as highlighted."""
        here, angle = self._placement(), self._by_key.get(self.list.current_key())
        if here is None or angle is None:
            return None
        placement, piece = here
        near = self.near.value()
        line = near if isinstance(near, float) else None
        return reached(self.desk.job, placement, piece, angle, line)

    def _preview(self) -> None:
        here = self._placement()
        if here is None or self._reach is None:
            self.shown.emit((), ())
            return
        job = self.desk.job
        chosen = self._chosen()
        drawing = draw_reached(
            job.table, job.rack, here[0], self._reach.angles, chosen, job.display
        )
        points = [job.table.at(s.hole) for s in chosen.seats] if chosen is not None else []
        self.shown.emit(drawing, tuple(points))

    # -- going there -------------------------------------------------------------------------------

    def turn_there(self) -> None:
        """Turn the piece as highlighted, unless it would foul something."""
        chosen, job = self._chosen(), self.desk.job
        if chosen is None:
            self.said.emit("Highlight an angle first.")
            return
        why = refusal(job, self.desk.stands, chosen)
        if why is not None:
            self.said.emit(why)
            return
        faces = stand(job.table, job.rack, chosen, job.display).faces
        angle = line_angle(faces[0].a, faces[0].b) if faces else chosen.turn
        name = f"Turn {title(job, chosen.id)} to {format_angle(angle)}"
        self.desk.do(with_placement(job, chosen), name, [chosen.id])
        self.said.emit(f"{name}. Undo takes it back.")


def _read(text: str) -> float | None:
    return parse_angle(text) if text.strip() else None


def _show(value: object) -> str:
    return format_angle(float(value)) if isinstance(value, int | float) else ""
