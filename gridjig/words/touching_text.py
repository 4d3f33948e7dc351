"""Why a piece does not touch the face that it is brought to, in a sentence."""

from gridjig.contact.faults import MissesFace, NothingTouches, TouchReason
from gridjig.model import Job
from gridjig.model.titles import title
from gridjig.units import format_measure

from .placing_text import placing_text

_MISSES = {
    "passes beside": "It misses that face of {part}: none of the face is in front of it.",
    "overlaps": "It overlaps {part} by {by}, and its holes leave no room to move back.",
    "gap not filled": "A gap of {by} to {part} remains: no packing on the rack fills it.",
    "gap without packing": "It does not reach {part}: the gap is {by}, and the rack has no packing"
    " for it.",
    "corner only": "It touches {part} only at a corner: its holes do not let it turn to face it.",
    "rounded edge only": "It only meets the rounded edge of {part}, not the flat of that face.",
    "points past": "It points past {part} and cannot be turned towards it.",
    "tip short": "Its tip does not reach {part}.",
    "edge only": "Its tip only reaches the edge of {part}, not its flat.",
    "pad on another": "Its pad would lie on a higher part beside {part}.",
    "top below reach": "The top of {part} is {by} below what its tip reaches.",
    "top above reach": "The top of {part} is {by} above what its tip reaches.",
}


def touching_text(why: TouchReason, job: Job) -> str:
    """Return why the piece does not touch the face."""
    match why:
        case NothingTouches(piece):
            return f"{piece} has no face, round or tip that could touch the work."
        case MissesFace():
            by = format_measure(why.by, job.display)
            return _MISSES[why.what].format(part=title(job, why.part), by=by)
        case _:
            return placing_text(why, job.table, job.display)
