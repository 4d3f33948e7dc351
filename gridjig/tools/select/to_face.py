"""Bringing the selection to the face in front of it: one command, one step."""

from collections.abc import Mapping

from gridjig.edits.lookup import with_placement
from gridjig.model import Job
from gridjig.model.titles import titles
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.tools.core.tool import Commit, Nothing, Outcome
from gridjig.tools.core.wording import capital, sentence, with_place
from gridjig.tools.touch.door import brought_to_face, touch_words

_TOLD = 3


def bring_to_face(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], ids: frozenset[str]
) -> Outcome:
    """Slide, turn, open, extend or pack each selected piece to touch its face, in its holes.

    One piece at a time, so that the rack's packing is counted; says how each was set, and why
    any could not be.
    """
    chosen = [p for p in job.placements if p.id in ids]
    if not chosen:
        return Nothing("First select the pieces that should touch the work.")
    if not job.parts:
        return Nothing("There is no weldment on the table yet for a piece to touch.")
    stands = PlacedPieces()
    after, there = job, placed_pieces
    done: list[str] = []
    left: list[str] = []
    moved: set[str] = set()
    for placement in chosen:
        one = brought_to_face(after, there, placement)
        name = with_place(job, placement.id)
        if one.why:
            left.append(f"{name}: {one.why}")
            continue
        done.append(f"{name} {touch_words(after, one)}")
        if one.placement != placement:
            moved.add(placement.id)
            after = with_placement(after, one.placement)
            there = stands.of(after)
    said = _told(done, left)
    if after is job:
        return Nothing(said if left else f"{said} Nothing had to move.")
    return Commit(after, f"Bring {titles(job, sorted(moved))} to the face", ids, said=said)


def _told(done: list[str], left: list[str]) -> str:
    """Return what was done and what was not, each by name unless there are many."""
    words = []
    if done:
        more = f"; {len(done) - _TOLD} more touch too" if len(done) > _TOLD else ""
        words.append(sentence(capital("; ".join(done[:_TOLD]) + more)))
    if left:
        more = f" {len(left) - _TOLD} more could not." if len(left) > _TOLD else ""
        words.append(" ".join(sentence(capital(one)) for one in left[:_TOLD]) + more)
    return " ".join(words)
