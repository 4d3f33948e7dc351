"""What would help where there is no set-up: one demand at a time is dropped, and tried again."""

from collections.abc import Callable, Iterator

from msgspec import Struct, structs

from gridjig.checks.needs import needs, short_by
from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.units import format_count
from gridjig.units.progress import SILENT, Progress
from gridjig.words.moved_text import shifted_words, turned_words

from .demands import demands
from .plates import CUT, plates_for, with_plates
from .site import Site
from .values import Alternative, Wishes

_DOWN = "It can be set up face down: allow that."
PLENTY = 1_000
"""As many of each piece as no set-up needs."""


class Relaxed(Struct, frozen=True, eq=False):
    """The question with one demand dropped, and how to say that it then has an answer."""

    job: Job
    wishes: Wishes
    words: Callable[[Alternative], str]


def relaxed(job: Job, wishes: Wishes, progress: Progress = SILENT) -> Iterator[Relaxed]:
    """Yield the question with one demand dropped after another, the easiest to meet first."""
    asked = structs.replace(wishes, alternatives=1)
    if wishes.forbidden:
        yield Relaxed(job, structs.replace(asked, forbidden=frozenset()), _holes(wishes))
    if any(mark.closed for mark in job.table.marks):
        bare = structs.replace(job, table=structs.replace(job.table, marks=()))
        yield Relaxed(bare, asked, lambda found: _marked(job, found))
    if not wishes.move and not wishes.keep:
        yield Relaxed(job, structs.replace(asked, move=True), _moved)
    if wishes.move and not wishes.keep and not wishes.face_down:
        down = structs.replace(asked, face_down=True)
        yield Relaxed(job, down, lambda found: _DOWN if found.face_down else "")
    if wishes.keep and job.placements:
        anew = structs.replace(asked, keep=False, move=False)
        yield Relaxed(job, anew, lambda _: "It can be set up if the pieces are set anew.")
    if not wishes.inside:
        inside = structs.replace(asked, inside=True)
        yield Relaxed(job, inside, lambda _: "It can be set up with stops inside the work.")
    site = Site(job if wishes.keep else structs.replace(job, placements=()), asked)
    plates = plates_for(site, demands(site, progress))
    if plates:
        still = structs.replace(asked, move=False)
        yield Relaxed(with_plates(job, plates), still, _plates)
    pieces = tuple(structs.replace(p, owned=PLENTY) for p in job.rack.pieces)
    rich = structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))
    yield Relaxed(rich, asked, lambda found: _more(job, found))


def _holes(wishes: Wishes) -> Callable[[Alternative], str]:
    def words(found: Alternative) -> str:
        used = {seat.hole for p in found.job.placements for seat in p.seats} & wishes.forbidden
        named = ", ".join(address(found.job.table, hole) for hole in sorted(used))
        return f"It can be set up if these holes may be used: {named}."

    return words


def _marked(job: Job, found: Alternative) -> str:
    """Which holes that are marked as of no use would be needed."""
    closed = {mark.hole for mark in job.table.marks if mark.closed}
    used = {seat.hole for p in found.job.placements for seat in p.seats} & closed
    if not used:
        return ""
    named = ", ".join(address(job.table, hole) for hole in sorted(used))
    return f"It can be set up if these marked holes are made good: {named}."


def _moved(found: Alternative) -> str:
    if found.moves:
        return "It can be set up if the weldments are moved, each by itself: allow that."
    turned, shifted = turned_words(found.turn), shifted_words(found.shift, found.job.display)
    moved = f"moved {', '.join(shifted)}" if shifted else ""
    told = " and ".join(filter(None, (turned, moved)))
    return f"It can be set up if the work is {told}." if told else ""


def _plates(found: Alternative) -> str:
    """For which parts a plate would have to be cut."""
    cut = {p.id for p in found.job.placements if p.piece.startswith(CUT)}
    parts = dict.fromkeys(one.part for one in found.why if one.placement in cut)
    if not parts:
        return ""
    named = " and ".join(title(found.job, part) for part in parts)
    what = "a cut plate" if len(cut) == 1 else f"{format_count(len(cut))} cut plates"
    return f"It can be set up as it lies with {what} against {named} (Angle, Cut plate for a part)."


def _more(job: Job, found: Alternative) -> str:
    """What the rack would need more of."""
    bare = structs.replace(found.job, rack=job.rack)
    told = []
    for piece_id, need in needs(bare).items():
        piece = job.rack.find(piece_id)
        lacking = short_by(piece, need)
        if piece is not None and lacking:
            told.append(f"{format_count(lacking)} more {piece.full_name}")
    return f"It can be set up with {', '.join(told)}." if told else ""
