"""The form for the rack: each piece with count, bin and picture, and the order of the bins."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QLineEdit,
    QMenu,
    QWidget,
)

from gridjig.edits.rack import (
    KINDS,
    MOST_OWNED,
    add_piece,
    blank_piece,
    copy_piece,
    remove_piece,
    set_bin,
    set_owned,
)
from gridjig.files.format.faults import SaveFault
from gridjig.files.jobs.rack_file import SUFFIX, write_rack
from gridjig.files.library.assets import rack_for
from gridjig.files.library.user_library import forget_rack, keep_rack, user_library
from gridjig.files.storage.locations import proposed_path
from gridjig.model import Job
from gridjig.qt.dialogs.questions import RACK_FILTER, with_suffix
from gridjig.qt.forms.draft_form import DraftForm
from gridjig.qt.forms.drawing.drawing_files import DRAWING_FILTER
from gridjig.qt.forms.piece.piece_form import PieceForm
from gridjig.qt.forms.piece.piece_picture import draw_piece
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.flow_layout import FlowLayout
from gridjig.qt.widgets.layout import holder, in_column, in_grid, inset, split
from gridjig.qt.widgets.line_edit import make_clearable
from gridjig.qt.widgets.live_picture import LivePicture
from gridjig.qt.widgets.plain import Label, menu_words, title_words
from gridjig.qt.widgets.tabs import Tabs
from gridjig.rack import Piece, PieceKind, kind_name
from gridjig.session.document import Document
from gridjig.sheets.lists.drawer_list import drawer_lines
from gridjig.tools.core.wording import capital

from .rack_import import ask_import
from .rack_rows import OWNED
from .rack_table import RackTable
from .rack_walk import RackWalk, piece_words


class RackForm(DraftForm):
    """Changes the job's rack."""

    topic = "rack"

    def __init__(self, window: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(window, document, appearance, "rack")
        self._kept = {rack.name for rack in user_library().racks}
        self.search = QLineEdit()
        self.search.setPlaceholderText("Find in the rack")
        self.search.setAccessibleName("Find in the rack")
        make_clearable(self.search)
        self.table = RackTable(self.typed, appearance)
        self.picture = LivePicture("Picture of the piece", appearance)
        self.about = Label()
        self.walk = RackWalk(self.draft)
        self.side = Tabs("Piece and walking order")
        pages = (self._piece_page(), self.walk)
        for page, name in zip(pages, ("Piece", "Walking order"), strict=True):
            area = scrolled(page)
            self.side.addTab(area, name)
        left = holder(in_column(self._head(), (self.table, 1), margins="left"))
        body = split(left, self.side, grows=0)
        self.search.textChanged.connect(self._on_search)
        self.table.rows.refused.connect(self._on_refused)
        self.table.opened.connect(self.change_piece)
        self.table.removing.connect(self.remove)
        self.table.selectionModel().currentChanged.connect(lambda *_: self._show_piece())
        self.table.selectionModel().selectionChanged.connect(lambda *_: self._show_piece())
        self.walk.message.connect(self.show_message)
        self.lay_out(body)
        letters = self.fontMetrics().averageCharWidth()
        least = max(page.minimumSizeHint().width() for page in pages)
        bar = area.verticalScrollBar().sizeHint().width()
        right = max(min(max(380, letters * 46), self.width() * 2 // 5), least + bar)
        body.setSizes([self.width() - right, right])
        self.table.setFocus()
        self.said.setText("Type a count or a bin in its cell; Enter on a piece opens it.")

    def _head(self) -> QWidget:
        menu = QMenu("Add a piece", self)
        menu.addAction("From a free outline…", self.add_outline)
        menu.addAction("From a drawing…", self.add_drawing)
        menu.addSeparator()
        for kind in KINDS:
            menu.addAction(menu_words(capital(kind_name(kind))), partial(self.add, kind))
        self.add_button = make_button("Add a piece…", lambda: None)
        self.add_button.setMenu(menu)
        self.import_button = make_button("Import…", self.import_file)
        self.export_button = make_button("Export…", self.export_file)
        self.keep_button = make_button(
            "Keep it for new jobs", self.keep, about="Offer this rack for new jobs"
        )
        self.forget_button = make_button(
            "Remove the kept one…", self.forget, about="Stop offering this rack for new jobs"
        )
        flow = inset(FlowLayout(gap=self.appearance.metrics.gap), "none")
        self.search.setFixedWidth(self.fontMetrics().averageCharWidth() * 34)
        for part in (
            self.search,
            self.add_button,
            self.import_button,
            self.export_button,
            self.keep_button,
            self.forget_button,
        ):
            flow.addWidget(part)
        return holder(flow)

    def _piece_page(self) -> QWidget:
        self.change_button = make_button(
            "Change this piece…", self.change_piece, about="or press Enter"
        )
        self.copy_button = make_button("Copy it…", self.copy)
        self.remove_button = make_button("Take it off the rack", self.remove, about="or press Del")
        self.fewer_button = make_button("One fewer", lambda: self.count_by(-1))
        self.more_button = make_button("One more", lambda: self.count_by(1))
        below = in_grid(self.fewer_button, self.more_button, self.copy_button, self.remove_button)
        parts = ((self.picture, 1), self.about, self.change_button, below)
        return holder(in_column(*parts, margins="right"))

    # -- showing ---------------------------------------------------------------------------------

    def show_draft(self) -> None:
        """Update the list, the picture and the bins from the draft."""
        self.setWindowTitle(title_words(f"Rack: {self.draft.job.rack.name}"))
        self._suit_forget()
        self._show_lines()
        self._show_piece()
        self.walk.show_draft()

    def _show_lines(self) -> None:
        self.table.show_lines(drawer_lines(self.draft.job, self.search.text()))

    def _on_search(self) -> None:
        self._show_lines()
        self._show_piece()

    def piece(self) -> Piece | None:
        """Return the current piece, or None."""
        return self.draft.job.rack.find(self.table.current_id())

    def _show_piece(self) -> None:
        job, piece = self.draft.job, self.piece()
        for button in (
            self.change_button,
            self.copy_button,
            self.remove_button,
            self.fewer_button,
            self.more_button,
        ):
            button.setEnabled(piece is not None)
        if piece is None:
            self.picture.show_drawing(())
            self.about.setText("No piece of the rack has that in its name, size, kind or bin.")
            return
        drawing = draw_piece(piece, job.display)
        self.picture.show_drawing(drawing, f"{piece.name} from above and from the front")
        chosen = self._chosen()
        many = len(chosen) > 1
        self.change_button.setEnabled(not many)
        self.copy_button.setEnabled(not many)
        self.fewer_button.setEnabled(any(one.owned > 0 for one in chosen))
        told = piece_words(job, piece)
        self.about.setText(f"{len(chosen)} kinds of piece are selected.\n{told}" if many else told)

    def _chosen(self) -> tuple[Piece, ...]:
        """Return the selected pieces, or the current one."""
        rack = self.draft.job.rack
        ids = self.table.chosen_ids() or (self.table.current_id(),)
        return tuple(piece for piece in map(rack.find, ids) if piece is not None)

    # -- counts and bins -------------------------------------------------------------------------

    def typed(self, piece_id: str, column: int, text: str) -> str:
        """Take a count or bin typed in the list; return why it is refused, or "" if it is taken."""
        try:
            job = self._with_typed(piece_id, column, text)
        except ValueError as fault:
            return str(fault)
        name = job.rack.piece(piece_id).name
        what = "Count" if column == OWNED else "Change the bin of"
        self.draft.do(job, f"{what} {name}")
        return ""

    def _with_typed(self, piece_id: str, column: int, text: str) -> Job:
        if column != OWNED:
            return set_bin(self.draft.job, piece_id, text)
        try:
            owned = int(text)
        except ValueError:
            raise ValueError(
                f"“{text}” is not a whole number; type a count from 0 to {MOST_OWNED}."
            ) from None
        return set_owned(self.draft.job, piece_id, owned)

    def _on_refused(self, why: str) -> None:
        self.update_buttons()  # a text that is not accepted can be undone
        self.show_message(why)

    def count_by(self, step: int) -> None:
        """Add `step` to the counts of the selected pieces, within what a rack can have."""
        chosen = [one for one in self._chosen() if 0 <= one.owned + step <= MOST_OWNED]
        if not chosen:
            return
        job = self.draft.job
        for piece in chosen:
            job = set_owned(job, piece.id, piece.owned + step)
        what = chosen[0].name if len(chosen) == 1 else f"{len(chosen)} kinds of piece"
        ids = " ".join(piece.id for piece in chosen)
        self.draft.do(job, f"Count {what}", merge_key=f"count {ids}")
        told = "; ".join(f"{piece.full_name}: {piece.owned + step} on hand" for piece in chosen)
        self.show_message(f"{told}.")

    def undo(self) -> None:
        """Discard texts that are not accepted, then undo the last change."""
        self.table.rows.forget_wrong()
        super().undo()

    def settle(self) -> bool:
        """Apply any pending text; focus the first cell that is not accepted."""
        self.table.setFocus()  # an open editor commits its text
        wrong = self.table.rows.first_wrong()
        if wrong is None:
            return True
        self.table.go_to(wrong[0])
        self.show_message(wrong[1])
        return False

    def unsettled(self) -> bool:
        """True while the list contains a text that is not accepted."""
        return self.table.rows.first_wrong() is not None

    # -- pieces ----------------------------------------------------------------------------------

    def change_piece(self) -> None:
        """Open the form for the current piece."""
        if self.piece() is not None:
            PieceForm(self, self.draft, self.appearance, self.table.current_id()).open()

    def copy(self) -> None:
        """Open the form for a copy of the current piece."""
        if self.piece() is not None:
            self._open_new(*copy_piece(self.draft.job, self.table.current_id()))

    def add(self, kind: PieceKind) -> None:
        """Open the form for a new piece of this kind."""
        job = self.draft.job
        piece = blank_piece(job.rack, kind, rack_for(job.table))
        self._open_new(add_piece(job, piece), piece.id)

    def add_outline(self) -> None:
        """Open the form for a new piece at its shape, which is to be typed."""
        job = self.draft.job
        piece = blank_piece(job.rack, "other", rack_for(job.table))
        self._open_new(add_piece(job, piece), piece.id, shape_first=True)

    def add_drawing(self) -> None:
        """Ask for a drawing, and make a piece of its outlines."""
        from gridjig.qt.forms.piece.piece_drawing import PieceDrawingForm  # noqa: PLC0415 - numpy

        chosen = self.questions.open_path("", "Make a piece from a drawing", DRAWING_FILTER)
        if not chosen:
            return
        form = PieceDrawingForm(self, self.draft.job, self.appearance, Path(chosen))
        form.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        form.accepted_piece.connect(self._on_drawn)
        form.open()

    def _on_drawn(self, piece: object) -> None:
        assert isinstance(piece, Piece)
        self._open_new(add_piece(self.draft.job, piece), piece.id, shape_first=True)

    def _open_new(self, start: Job, piece_id: str, shape_first: bool = False) -> None:
        form = PieceForm(self, self.draft, self.appearance, piece_id, start, shape_first)
        form.accepted.connect(lambda: self._after_new(piece_id))
        form.open()

    def _after_new(self, piece_id: str) -> None:
        self.search.clear()
        self.table.choose(piece_id)
        self.table.setFocus()
        self.show_message(f"{self.draft.job.rack.piece(piece_id).name} is on the rack.")

    def remove(self) -> None:
        """Remove the selected pieces from the rack, or say why one of them must stay."""
        chosen = self._chosen()
        if not chosen:
            return
        job = self.draft.job
        try:
            for piece in chosen:
                job = remove_piece(job, piece.id)
        except ValueError as fault:
            none = " None of them is removed." if len(chosen) > 1 else ""
            self.show_message(f"{fault}{none}")
            return
        one = len(chosen) == 1
        what = chosen[0].name if one else f"{len(chosen)} kinds of piece"
        self.draft.do(job, f"Take {what} off the rack")
        self.show_message(
            f"{what} {'is' if one else 'are'} off the rack; Undo brings "
            f"{'it' if one else 'them'} back."
        )

    # -- files -----------------------------------------------------------------------------------

    def import_file(self) -> None:
        """Import pieces from a rack or job file, after showing what that would do."""
        ask_import(self, self.questions, "", self.draft.job, self._take)

    def _take(self, job: Job | None, name: str) -> None:
        if job is None:
            self.show_message(f"{name} has nothing that this rack does not already have.")
            return
        self.search.clear()
        self.draft.do(job, f"Import {name}")
        self.show_message(
            f"{name} is imported; the rack has {len(job.rack.pieces)} kinds of piece."
        )

    def export_file(self) -> None:
        """Write the rack, as this form shows it, to a rack file."""
        rack = self.draft.job.rack
        chosen = self.questions.save_path(
            str(proposed_path("", f"{self.draft.job.name} rack", SUFFIX)),
            "Export the rack",
            RACK_FILTER,
        )
        if not chosen:
            return
        path = with_suffix(chosen, SUFFIX)
        try:
            write_rack(path, rack)
        except SaveFault as fault:
            self.questions.problem(f"“{path.name}” was not saved", str(fault))
            return
        self.show_message(f"{path.name} is saved, with the changes in this form.")

    def keep(self) -> None:
        """Keep the rack, so that it is offered for new jobs."""
        rack = self.draft.job.rack
        try:
            keep_rack(rack)
        except SaveFault as fault:
            self.show_message(str(fault))
            return
        self._look_what_is_kept()
        self.show_message(f"{rack.name} is kept and offered for new jobs.")

    def forget(self) -> None:
        """Forget the kept rack of this name, after asking, because it may be the only copy."""
        name = self.draft.job.rack.name
        if not self.questions.forget("rack", name):
            return
        try:
            forget_rack(name)
        except SaveFault as fault:
            self.show_message(str(fault))
            return
        self._look_what_is_kept()
        self.show_message(f"{name} is no longer offered; this job still uses it.")

    def _suit_forget(self) -> None:
        """Show the button that forgets the rack only if the rack is kept."""
        self.forget_button.setVisible(self.draft.job.rack.name in self._kept)

    def _look_what_is_kept(self) -> None:
        self._kept = {rack.name for rack in user_library().racks}
        self._suit_forget()


def open_rack(window: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the form for the rack over a window."""
    RackForm(window, document, appearance).open()
