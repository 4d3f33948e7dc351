"""The angle finder's answers as a list, and the places where the highlighted one fits on the table.

Highlighting an answer shows it on the plan; Enter places it.  The job changes only through
`document.do`.
"""

from msgspec import structs
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from gridjig.angle.moving import WeldmentMove, has_its_angle, moves_to_touch, with_move
from gridjig.angle.places import FreePlaces, room_for, with_answer
from gridjig.angle.question import ON_A_JOB
from gridjig.checks.riser_room import riser_warning
from gridjig.cutplates.asked import PlateOf
from gridjig.geometry.display import DisplayList
from gridjig.model import Display, FaceOf
from gridjig.qt.panes.weldment.weldment_page import entry_of
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.cells import FoldingRow
from gridjig.qt.widgets.columns import Column, in_columns
from gridjig.qt.widgets.foot import Foot
from gridjig.qt.widgets.layout import GAP, REST, holder, in_column, in_row, indent
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Button, Label
from gridjig.rack import Point
from gridjig.session.document import Document
from gridjig.sheets.drawings.angles import draw_answer, draw_move
from gridjig.sheets.text.angle_cells import answer_cells, answer_columns
from gridjig.sheets.text.angle_coverage_text import complete_words, set_words, unmet_words
from gridjig.sheets.text.angle_text import (
    answer_line,
    detail_words,
    face_words,
    facts_words,
    holes_words,
    note_words,
    room_words,
    verdict_words,
)
from gridjig.sheets.text.move_text import move_line, shift_words
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits, AngleResult
from gridjig.solve.angles.finder import faced
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units import format_angle

from .answer_list import AnswerList

MOVES = "Move the weldment to touch"
ROWS, FEW_ROWS = 8, 4
"""How many answers have room: usually, and while the limits are open."""
_FEW, _ROW = 3, 30
"""With lines higher than this, px, so many answers have room."""


def _columns(display: Display) -> tuple[Column, ...]:
    """Angles, errors and gaps are aligned to the right."""
    return tuple(Column(name, right=2 <= k <= 4) for k, name in enumerate(answer_columns(display)))


class AngleAnswers(QWidget):
    """The list, the place of the highlighted answer, and how complete the list is."""

    shown = Signal(object, object)
    message = Signal(str)
    backed = Signal()
    plate_wanted = Signal()

    def __init__(
        self, document: Document, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.answers: AngleResult | None = None
        self._by_key: dict[str, AngleAnswer] = {}
        self._room: FreePlaces | None = None
        self._at = 0
        self._rows = ROWS
        self._just_set = False  # then nothing is highlighted, so that Enter cannot place it twice
        self.unmet = Label(role="complaint")
        self.list = AnswerList("Answers, best first", appearance)
        self.heads = in_columns(self.list, _columns(document.job.display))
        self.detail = Label(role="small")
        self.facts = Label(role="small")
        self.place = Label()
        self.back = Button("◀", "plain", "Show the previous position  (Left)")
        self.next = Button("▶", "plain", "Show the next position  (Right)")
        self.set = Button("Set on the table", "plain", "Put its pieces on the table  (Enter)")
        self.back.setAccessibleName("Previous position")
        self.next.setAccessibleName("Next position")
        self.moves = Button(
            "Move the weldment…",
            "plain",
            "List the moves that bring this face, or two at once, to equal pins without packing",
        )
        self.statement = Label(role="small")
        self._held: FaceOf | None = None
        self._limits = ON_A_JOB
        self._moves: dict[str, WeldmentMove] = {}
        self._lay_out()
        self.back.clicked.connect(lambda: self.step(-1))
        self.next.clicked.connect(lambda: self.step(1))
        self.set.clicked.connect(self.set_up)
        self.moves.clicked.connect(self.list_moves)
        self.list.highlighted.connect(self._on_highlight)
        self.list.setting.connect(self.set_up)
        self.list.stepped.connect(self.step)
        self.list.backed.connect(self.backed)
        self.clear()

    def _lay_out(self) -> None:
        self.steps = FoldingRow(self.back, self.next, self.set, stretch=(1, 1, 2))
        row = in_row(self.steps, margins="line")
        moves = holder(in_row(self.moves, margins="line"))
        told = in_column(
            *(self.place, moves, self.facts, self.detail, self.statement, REST),
            margins="none",
            gap=GAP,
        )
        self.foot = Foot(told)
        in_column(
            self.unmet,
            self.heads,
            (self.list, 1),
            row,
            self.foot,
            over=self,
            margins="page",
            gap=2,
        )
        for label in (self.unmet, self.place, self.facts, self.detail, self.statement):
            indent(label, "line")

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.list.set_appearance(appearance)
        self._keep_room()

    def show_rows(self, rows: int) -> None:
        """Keep room for so many answers, or for fewer with large letters or targets."""
        self._rows = rows
        self._keep_room()

    def _keep_room(self) -> None:
        metrics = self.list.delegate.appearance.metrics
        rows = min(self._rows, _FEW) if metrics.row > _ROW else self._rows
        self.list.setMinimumHeight(rows * metrics.row + 2 * self.list.frameWidth())
        self.foot.setMinimumHeight(3 * self.foot.fontMetrics().lineSpacing())

    # -- showing -----------------------------------------------------------------------------------

    def hold(self, face: FaceOf | None, limits: AngleLimits = ON_A_JOB) -> None:
        """Set the weldment face to hold, if any, and the limits in force."""
        self._held, self._limits = face, limits
        self.moves.setVisible(face is not None)

    def list_moves(self) -> None:
        """List the moves of the weldment that bring the face against its pins without packing."""
        if self._held is None:
            return
        job = self.document.job
        found = moves_to_touch(job, self._held, self._limits)
        if not found:
            why = (
                "wherever it would touch them, something is in the way."
                if has_its_angle(job, self._held, self._limits)
                else "no two holes beside it lie at its angle."
            )
            self.message.emit(f"No move brings this face to two equal pins: {why}")
            return
        lines = [move_line(job, move) for move in found]
        self._moves = {line.key: move for line, move in zip(lines, found, strict=True)}
        kept = [entry for entry in self.list.given if entry.key not in self._moves]
        kept = [entry for entry in kept if entry.key != _heading(MOVES).key]
        entries = [_heading(MOVES), *map(entry_of, lines)]
        self.list.show_entries([*entries, *kept], None)
        self.list.go_to(lines[0].key)
        self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_answers(self, answers: AngleResult) -> None:
        """List these answers; the highlighted one stays so if still listed, else the first is."""
        held = self.list.current_key()
        self.answers = answers
        self._by_key, self._moves = {}, {}
        self.heads.set_columns(_columns(answers.limits.display))
        entries = self._entries(answers.ranked)
        if answers.within is False:
            entries.append(_heading("Nearest of each kind"))
            entries += self._entries(answers.nearest)
            if answers.offer is not None and answers.offer not in answers.nearest:
                entries.append(_heading("Cut a plate instead"))
                entries += self._entries((answers.offer,))
        self.list.show_entries(entries, None)
        words = unmet_words(answers)
        self.unmet.setText(f"✕ {words}" if words else "")
        self.unmet.setVisible(bool(words))
        self.statement.setText(complete_words(answers))
        if self._just_set:
            self._just_set = False
            self.list.scrollToTop()
        elif not (held and self.list.go_to(held)):
            self.list.go_first()
        self._on_highlight(self.list.current_key())

    def _entries(self, answers: tuple[AngleAnswer, ...]) -> list[ListEntry]:
        assert self.answers is not None
        job, limits = self.document.job, self.answers.limits
        entries = []
        for answer in answers:
            where = answer.holes if answer.fixed else ""
            key = f"{answer.way} {answer.steps} {where} {answer.takes} {answer.standing}"
            if key in self._by_key:
                continue
            self._by_key[key] = answer
            line = answer_line(answer, job.table, job.rack, limits)
            entries.append(
                ListEntry(
                    key,
                    line.head,
                    line.under,
                    line.right,
                    line.level,
                    spoken=line.spoken,
                    cells=answer_cells(answer, job.table, job.rack, limits.display),
                )
            )
        return entries

    def clear(self) -> None:
        """Show nothing, because nothing is asked."""
        self.answers, self._by_key, self._room = None, {}, None
        self._moves = {}
        self.list.show_entries((), None)
        self.unmet.hide()
        self.statement.setText("")
        self._on_highlight("")

    def highlighted(self) -> AngleAnswer | None:
        """Return the highlighted answer, or None."""
        return self._by_key.get(self.list.current_key())

    def tell_next(self) -> None:
        """Say what Enter sets, and that there are others."""
        answer = self.highlighted()
        if answer is not None and self.set.isEnabled():
            where = holes_words(self.document.job.table, answer.holes)
            more = ", the arrow keys choose another answer" if len(self._by_key) > 1 else ""
            self.message.emit(f"Enter sets {where}{more}.")

    def _on_highlight(self, key: str) -> None:
        answer = self._by_key.get(key)
        self._at = 0
        self._room = None
        if answer is not None and self.answers is not None:
            document = self.document
            placed_pieces = (
                PlacedPieces().of(document.job) if document.previewing else document.placed_pieces
            )
            self._room = room_for(document.job, placed_pieces, answer, self.answers.limits)
        self._show_place()

    def step(self, way: int) -> None:
        """Show the next or the previous place."""
        if self._room is not None and len(self._room):
            self._at = (self._at + way) % len(self._room)
            self._show_place()
            self.message.emit(self.place.text())

    def _show_place(self) -> None:
        answer, room = self.highlighted(), self._room
        move = self._moves.get(self.list.current_key())
        if move is not None:
            self._show_move(move)
            return
        many = room is not None and len(room) > 1
        self.back.setEnabled(many)
        self.next.setEnabled(many)
        able = answer is not None and (answer.standing or answer.plate is not None)
        self.set.setEnabled(bool(room and len(room) and able))
        plate = answer is not None and answer.plate is not None
        self.set.setText("Cut plate…" if plate else "Set on the table")
        self._tell_keys("Enter opens its form" if plate else "Enter sets it on the table")
        if answer is None or room is None or self.answers is None:
            self.place.setText("")
            self.facts.hide()
            self.detail.hide()
            self.shown.emit((), ())
            return
        table, display = self.document.job.table, self.document.job.display
        found = len(room)
        holes = room.at(self._at) if found else answer.holes
        where = holes_words(table, holes)
        self.place.setText(f"{where}. {room_words(found, room.places, self._at, room.why)}")
        self.place.setAccessibleName(self.place.text())
        facts = facts_words(answer, table, self.document.job.rack, display, holes)
        self.facts.setText("\n".join((verdict_words(answer), *facts)))
        self.facts.show()
        words = detail_words(answer, table, self.document.job.rack, display, holes)
        against = face_words(answer, table, self.answers.limits, holes)
        self.detail.setText(f"{words} {against}".strip())
        self.detail.setVisible(bool(self.detail.text()))
        limits = faced(self.answers.limits, self.answers.wanted)
        drawing: DisplayList = draw_answer(table, self.document.job.rack, answer, holes, limits)
        points: tuple[Point, ...] = tuple(table.at(hole) for hole in holes)
        self.shown.emit(drawing, points)

    def _tell_keys(self, enter: str) -> None:
        """Say in the prompt what the keys do with the highlighted line; nothing where none is."""
        steps = "Left and Right show its positions" if self.back.isEnabled() else ""
        keys = (enter if self.set.isEnabled() else "", steps, "Esc goes back to the angle")
        self.list.does = ", ".join(words for words in keys if words)

    def _show_move(self, move: WeldmentMove) -> None:
        """Show the weldment, with its pins, where the move would put it."""
        job, display = self.document.job, self.document.job.display
        self.back.setEnabled(False)
        self.next.setEnabled(False)
        self.set.setEnabled(True)
        self._tell_keys("Enter moves the weldment there and sets the pins")
        self.place.setText(f"Moves the weldment {shift_words(move.dx, move.dy, display)}.")
        self.facts.hide()
        self.detail.hide()
        self.shown.emit(*draw_move(job, move))

    # -- setting -----------------------------------------------------------------------------------

    def plate(self) -> PlateOf | None:
        """Return the plate that is highlighted, in the holes that are shown, or else any that makes
        the angle wanted; None without an angle.
        """
        answer, room = self.highlighted(), self._room
        if answer is not None and answer.plate is not None:
            there = room.at(self._at) if room is not None and len(room) else answer.holes
            return PlateOf(answer=answer, holes=there)
        asked = self.answers
        return None if asked is None else PlateOf(wanted=asked.wanted, limits=asked.limits)

    def set_up(self) -> None:
        """Put the highlighted answer on the table at the place shown, as one undo step."""
        answer, room = self.highlighted(), self._room
        move = self._moves.get(self.list.current_key())
        if move is not None:
            self._move(move)
            return
        if answer is None or room is None:
            self.message.emit("Highlight an answer first.")
            return
        if answer.plate is not None:
            self.plate_wanted.emit()
            return
        if not answer.standing:
            self.message.emit(f"Nothing to set: {set_words(answer)}.")
            return
        if not len(room):
            self.message.emit(room_words(0, room.places, 0, room.why))
            return
        holes = room.at(self._at)
        job = self.document.job
        where = holes_words(job.table, holes)
        note = note_words(answer, job.table, job.display)
        after, ids = with_answer(job, answer, holes, note)
        self.list.go_nowhere()
        self._just_set = True
        was = self.document.placed_pieces
        self.document.do(after, f"Set {format_angle(answer.angle_deg)} in {where}", ids)
        tight = riser_warning(job, was, after, self.document.placed_pieces)
        self.message.emit(f"Set in {where}. {tight or 'Ctrl+Z undoes it.'}")

    def _move(self, move: WeldmentMove) -> None:
        """Move the weldment and set its pins, as one undo step."""
        job = self.document.job
        after, ids = with_move(job, move)
        bare, was = structs.replace(after, placements=job.placements), self.document.placed_pieces
        told = shift_words(move.dx, move.dy, job.display)
        self.list.go_nowhere()
        self._just_set = True
        self.document.do(after, f"Move the weldment {told} to its pins", ids)
        tight = riser_warning(bare, was, after, self.document.placed_pieces)
        self.message.emit(f"Moved {told}, with the pins set. {tight or 'Ctrl+Z undoes it.'}")


def _heading(words: str) -> ListEntry:
    return ListEntry(f"heading {words}", words, heading=True)
