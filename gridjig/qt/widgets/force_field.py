"""A field for what a clamp presses with; an empty one leaves that to what is said elsewhere."""

from gridjig.qt.widgets.fields import TypedField
from gridjig.session.document import Document
from gridjig.units import format_force, parse_force


class ForceField(TypedField):
    """A force in N; 0, shown empty, means that none is set here."""

    def __init__(self, label: str, document: Document) -> None:
        def read(text: str) -> float:
            return parse_force(text, document.shown.display) if text.strip() else 0.0

        def show(value: object) -> str:
            newtons = float(str(value))
            return format_force(newtons, document.shown.display) if newtons else ""

        super().__init__(label, read, show)
