"""What importing a rack file would do to a rack: pieces added, changed and lost, with details.

Pure: values in, words out.
"""

from msgspec import Struct

from gridjig.edits.rack import replace_rack
from gridjig.files.jobs.rack_file import merge_rack
from gridjig.model import Job
from gridjig.rack import Piece, Rack
from gridjig.sheets.text.piece_change_text import count_words, differences


class PieceChange(Struct, frozen=True):
    """One piece that differs: what happens to it, and a text that says what changes."""

    piece: Piece
    does: str  # "added", "changed", "gone"
    words: str


class RackImport(Struct, frozen=True):
    """The result of importing a rack: the new job or why it is refused, and every change."""

    job: Job | None
    why: str
    changes: tuple[PieceChange, ...]
    same: int


def take(job: Job, other: Rack, replace: bool) -> RackImport:
    """Return the result of importing `other`: merged into the job's rack, or replacing it."""
    rack = other if replace else merge_rack(job.rack, other).rack
    changes: list[PieceChange] = []
    same = 0
    for piece in other.pieces:
        found = job.rack.find(piece.id)
        if found is None:
            changes.append(PieceChange(piece, "added", count_words(piece)))
        elif found == piece:
            same += 1
        else:
            changes.append(PieceChange(piece, "changed", differences(found, piece, job.display)))
    if replace:
        gone = (p for p in job.rack.pieces if other.find(p.id) is None)
        changes += [PieceChange(piece, "gone", count_words(piece)) for piece in gone]
    try:
        return RackImport(replace_rack(job, rack), "", tuple(changes), same)
    except ValueError as fault:
        return RackImport(None, str(fault), tuple(changes), same)
