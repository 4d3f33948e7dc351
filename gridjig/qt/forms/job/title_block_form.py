"""The fields of the title block: what ISO 7200 asks for and the job does not say elsewhere."""

from functools import partial

from PySide6.QtWidgets import QWidget

from gridjig.edits.details import set_drawing
from gridjig.edits.paperwork import set_title_field
from gridjig.model import Job
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.fields import TextField
from gridjig.session.document import Document

_LONGEST = 80
_FIELDS = (
    ("owner", "Legal owner"),
    ("number", "Document number"),
    ("title", "Title"),
    ("supplement", "Supplementary title"),
    ("created_by", "Created by"),
    ("approved_by", "Approved by"),
    ("date", "Date of issue"),
    ("status", "Status"),
    ("department", "Responsible department"),
    ("reference", "Technical reference"),
)
_WAYS = (("not said", ""), ("as drawn", "as drawn"), ("face down", "face down"))


class TitleBlockForm(CellForm):
    """Edits the title block of a document's job, a step a field."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(document, parent)
        self.heading("Title block")
        self.fields = {name: self._text(name, words) for name, words in _FIELDS}
        self.drawing = self.field(
            TextField("Drawing"),
            "drawing",
            lambda job, v: set_drawing(job, v, job.revision),
            "Name the drawing",
        )
        self.revision = self.field(
            TextField("Revision"),
            "revision",
            lambda job, v: set_drawing(job, job.drawing, v),
            "Set the revision",
        )
        self.way_up = self.field(
            Choices("Way up on the table", _WAYS),
            lambda job: job.title_block.way_up,
            lambda job, v: set_title_field(job, "way_up", v),
            "Say the way up",
            wide=True,
        )
        self.reflow()

    def _text(self, name: str, words: str) -> TextField:
        def take(job: Job, value: str) -> Job:
            return set_title_field(job, name, value)

        reads = partial(_field_of, name)
        return self.field(
            TextField(words, longest=_LONGEST), reads, take, f"Set the {words.lower()}"
        )

    def show_job(self) -> None:
        """Show the title block of the document's job."""
        self.show_values(self.document.shown)


def _field_of(name: str, job: Job) -> object:
    return getattr(job.title_block, name)
