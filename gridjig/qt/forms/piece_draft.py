"""What the two pages of a piece's form share: the piece that they show, in a draft."""

from typing import Any

from PySide6.QtWidgets import QWidget

from gridjig.model import Job
from gridjig.qt.widgets.cell_form import ThingForm
from gridjig.rack import Piece
from gridjig.session.document import Document


class PieceDraft(ThingForm):
    """A page about one piece of the rack."""

    def __init__(self, draft: Document, piece_id: str, parent: QWidget | None = None) -> None:
        super().__init__(draft, parent)
        self.turn_to(piece_id)

    def subject(self, job: Job) -> Any:
        """Return the piece, or None if it is no longer in the rack."""
        return job.rack.find(self.thing_id)

    def _piece(self, job: Job) -> Piece:
        return job.rack.piece(self.thing_id)
