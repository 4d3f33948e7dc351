"""The form for one piece: what it is, its sizes, and a picture that shows the focused size."""

from PySide6.QtWidgets import QWidget

from gridjig.edits.shape import outlines
from gridjig.edits.sizes import AdjustableSize
from gridjig.model import Job
from gridjig.qt.forms.draft_form import DraftForm
from gridjig.qt.forms.piece_draft import PieceDraft
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import scrolled
from gridjig.qt.widgets.layout import holder, in_column, split
from gridjig.qt.widgets.live_picture import LivePicture
from gridjig.qt.widgets.plain import Label, title_words
from gridjig.qt.widgets.tabs import Tabs
from gridjig.session.document import Document

from .piece_facts import PieceFacts
from .piece_picture import draw_piece
from .piece_shape import PieceShape
from .piece_sizes import PieceSizes

_SHAPE = 2  # the number of its tab


class PieceForm(DraftForm):
    """Changes one piece of the rack; for a new piece, `start` is a draft that already has it."""

    topic = "rack"

    def __init__(
        self,
        window: QWidget,
        document: Document,
        appearance: Appearance,
        piece_id: str,
        start: Job | None = None,
        shape_first: bool = False,
    ) -> None:
        apply_words = "Add it to the rack" if start is not None else ""
        super().__init__(window, document, appearance, "piece", start, apply_words)
        self._id = piece_id
        self._new = start is not None
        self.picture = LivePicture("Picture of the piece", appearance)
        self.caption = Label(role="small")
        self.facts = PieceFacts(self.draft, piece_id)
        self.sizes = PieceSizes(self.draft, piece_id)
        self.shape = PieceShape(self.draft, piece_id)
        self.tabs = Tabs("Parts of the piece's form")
        self.tabs.addTab(scrolled(self.sizes), "Sizes")
        self.tabs.addTab(scrolled(self.facts), "Name, count and pins")
        self.tabs.addTab(scrolled(self.shape), "Shape")
        self.tabs.setTabVisible(_SHAPE, bool(outlines(self.draft.job.rack.piece(piece_id))))
        self.shape.message.connect(self.show_message)
        self.shape.changed.connect(self._draw)
        self.tabs.currentChanged.connect(lambda _: self._draw())
        self.sizes.message.connect(self.show_message)
        self.facts.message.connect(self.show_message)
        self.sizes.focused.connect(lambda _: self._draw())
        side = holder(in_column((self.picture, 1), self.caption, margins="right"))
        body = split(self.tabs, side, grows=1)
        self.lay_out(body)
        letters = self.fontMetrics().averageCharWidth()
        left = min(max(400, letters * 62), self.width() * 11 // 20)
        body.setSizes([left, self.width() - left])
        if shape_first:
            self.tabs.setCurrentIndex(_SHAPE)
            self.shape.corners.edit.setFocus()
        elif self._new:
            self.tabs.setCurrentIndex(1)
            self.facts.name.setFocus()
            self.facts.name.edit.selectAll()
        else:
            next(iter(self.sizes.fields.values()), self.tabs).setFocus()

    def show_draft(self) -> None:
        """Update the fields and the picture from the draft."""
        piece = self.draft.job.rack.piece(self._id)
        self.setWindowTitle(title_words(f"Piece: {piece.name}"))
        self.sizes.show_draft()
        self.facts.show_draft()
        self.shape.show_draft()
        self._draw()

    def _draw(self) -> None:
        job = self.draft.job
        piece = job.rack.piece(self._id)
        shaping = self.tabs.currentIndex() == _SHAPE
        size = None if shaping else self.sizes.in_hand()
        drawing = draw_piece(self.shape.as_typed() if shaping else piece, job.display, size)
        spoken = f"{piece.name} from above and from the front"
        self.picture.show_drawing((*drawing, *(self.shape.in_hand() if shaping else ())), spoken)
        words = "The edge in hand is marked." if shaping else _in_hand_words(size)
        self.caption.setText(f"From above; below, from the front. {words}")

    def settle(self) -> bool:
        """Apply any pending text; focus the first field that is not accepted."""
        pages: tuple[PieceDraft, ...] = (self.sizes, self.facts, self.shape)
        for index, page in enumerate(pages):
            faulty = page.faulty()
            if faulty is not None:
                self.tabs.setCurrentIndex(index)
                faulty.setFocus()
                self.show_message(
                    f"{faulty.label.text()}: {faulty.complaint.text().removeprefix('✕ ')}"
                )
                return False
        return True

    def step_name(self) -> str:
        """Return the name of the undo step, with the piece's name in it."""
        name = self.draft.job.rack.piece(self._id).name
        return f"Add {name}" if self._new else f"Change {name}"


def _in_hand_words(size: AdjustableSize | None) -> str:
    if size is None:
        return "The selected size is dimensioned in it."
    return f"Dimensioned: {size.label}."
