"""A move of the weldment that brings faces to their pins, in words.  Knows no widget."""

from gridjig.angle.moving import DatumCost, WeldmentMove
from gridjig.contact.titles import side_title
from gridjig.geometry.part_solids import PartFace
from gridjig.model import Display, FaceOf, Job
from gridjig.model.titles import title
from gridjig.solve.layout.remainders import EXACT
from gridjig.solve.weldment.faces import faces
from gridjig.units import format_length, format_measure

from .angle_text import holes_words
from .list_line import ListLine


def shift_words(dx: float, dy: float, display: Display) -> str:
    """Return how far something moves: ".260\" to the left, .217\" to the back"."""
    said = []
    for by, low, high in ((dx, "left", "right"), (dy, "front", "back")):
        if abs(by) >= EXACT:
            said.append(f"{format_measure(abs(by), display)} to the {high if by > 0 else low}")
    return ", ".join(said) or "not at all"


def move_line(job: Job, move: WeldmentMove) -> ListLine:
    """Return a move as a list shows it: how far, what then touches in which holes, its cost."""
    lines = [
        f"{_face_words(job, of)}: {holes_words(job.table, answer.holes)},"
        f" base {format_length(answer.base_mm, job.display)}, no packing"
        for of, answer in zip(move.faces, move.answers, strict=True)
    ]
    costs = [cost_words(cost, job.display) for cost in move.costs]
    many = "both faces touch" if len(move.faces) > 1 else "the face touches"
    return ListLine(
        key=f"move {move.faces}",
        head=_capital(shift_words(move.dx, move.dy, job.display)),
        right=many,
        under="\n".join([*lines, *filter(None, ("; ".join(costs),))]),
        level="fine" if all(c.after <= c.before + EXACT for c in move.costs) else "look",
        ids=tuple(of.part for of in move.faces),
    )


def _capital(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def cost_words(cost: DatumCost, display: Display) -> str:
    """Return the gap that a stop leaves at a datum face, before and after a move."""

    def left(mm: float) -> str:
        return "on the grid" if mm <= EXACT else f"{format_measure(mm, display)} to pack"

    if abs(cost.after - cost.before) <= EXACT:
        return f"datum {cost.name} stays {left(cost.before)}"
    return f"datum {cost.name}: {left(cost.after)} instead of {left(cost.before)}"


def _face_words(job: Job, of: FaceOf) -> str:
    face = next((one for one in faces(job.parts) if one.of == of), None)
    if face is None:
        return title(job, of.part)
    return side_title(job, of.part, PartFace("side", of.side), (*face.normal, 0.0))
