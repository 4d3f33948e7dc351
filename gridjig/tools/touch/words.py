"""The result of touching in words: "touches Top rail", "packing 1/4 + 1/8, .008 open"."""

from collections.abc import Iterable

from gridjig.contact.values import TOUCH
from gridjig.model import Job
from gridjig.model.titles import title
from gridjig.units import format_length, format_measure

from .tries import Try


def touch_words(job: Job, one: Try) -> str:
    """Return what a setting of a piece does at its face, in words; empty without a face."""
    made = one.touching
    if made is None or one.face is None:
        return ""
    name = title(job, one.face.part)
    packing = packing_words(job, made.packing.ids)
    with_packing = f", {packing}" if packing else ""
    if made.touches:
        pressing = made.contact is not None and made.contact.kind == "pad on top"
        return f"{'presses on' if pressing else 'touches'} {name}{with_packing}"
    if made.gap > TOUCH:
        left = format_measure(made.gap, job.display)
        said = f"gap {left} to {name}"
        return f"{packing}, {said}" if packing else said
    return ""


def packing_words(job: Job, stack: Iterable[str]) -> str:
    """Return a stack by the thickness of its pieces: `packing 1/4" + 1/8"`; empty for none."""
    thick = [job.rack.piece(piece).thickness for piece in stack]
    told = " + ".join(format_length(mm, job.display) for mm in sorted(thick, reverse=True))
    return f"packing {told}" if told else ""
