"""The repeat order in words: what no longer holds of an old job, and what a new table keeps."""

from gridjig.checks.finding import Finding, told_apart
from gridjig.model import Job
from gridjig.model.labels import OFF
from gridjig.repeat.repick import Repicked, RepickedSetup
from gridjig.repeat.today import Today
from gridjig.solve.layout.remainders import EXACT
from gridjig.units import format_count, format_length

from .move_text import shift_words
from .placed_text import place_words


def today_lines(old: Job, found: Today) -> tuple[str, ...]:
    """Return what no longer holds, one sentence each; () if everything does."""
    shown = found.job.display
    lines: list[str] = []
    for one in found.short:
        piece = old.rack.find(one.piece) or found.job.rack.find(one.piece)
        name = one.piece if piece is None else piece.full_name
        lines.append(
            f"{name}: {format_count(one.needed)} needed, and the rack no longer has it."
            if one.gone
            else f"{name}: {format_count(one.needed)} needed, {format_count(one.short)} too few."
        )
    for face in found.faces:
        before, now = (format_length(mm, shown) for mm in (face.before, face.now))
        lines.append(
            f"{told_apart(found.job, face.placement)}: its face now stands {now} from its hole, not"
            f" {before}."
        )
    for new in found.addresses:
        lines.append(
            f"{told_apart(found.job, new.placement)}: the holes that were {new.before} are painted"
            f" {new.now} now."
        )
    lines += [f"{_where_it_was(old, found.job, one)} {one.do}".strip() for one in found.found]
    return tuple(lines)


def _where_it_was(old: Job, now: Job, one: Finding) -> str:
    """What a finding says, with the old holes of pieces whose holes the new table does not have."""
    what = one.what
    for thing in one.ids:
        there = told_apart(now, thing)
        if OFF in there:
            what = what.replace(there, told_apart(old, thing))
    return what


def today_summary(found: Today) -> str:
    """Return whether the job can be set again as it was, in one sentence."""
    if found.holds:
        return "It can be set again as it was: everything still holds."
    many = len(found.short) + len(found.faces) + len(found.addresses) + len(found.found)
    things = "1 thing does not hold" if many == 1 else f"{format_count(many)} things do not hold"
    return f"It cannot be set again just as it was: {things} any more."


def repicked_lines(old: Job, made: RepickedSetup) -> tuple[str, ...]:
    """Return the pieces that are set otherwise than before or not kept, one sentence each."""
    return tuple(words for one in made.pieces if (words := _repicked_words(old, made.job, one)))


def _repicked_words(old: Job, new: Job, one: Repicked) -> str:
    name = f"{told_apart(old, one.before.id)}"
    if one.after is None:
        return f"{name} was not kept: {one.why}"
    where = place_words(new.table, one.after)
    if one.same:
        return f"{name}: in {where}. {one.why}" if one.why else ""
    return f"{name}: in {where}, set anew to the work. {one.why}".strip()


def repicked_summary(made: RepickedSetup) -> str:
    """Return how the weldment moved and how many pieces were kept, in one sentence."""
    whole, kept = len(made.pieces), len(made.pieces) - len(made.lost)
    same = sum(one.same for one in made.pieces)
    moves = max(abs(made.dx), abs(made.dy)) >= EXACT
    moved = shift_words(made.dx, made.dy, made.job.display)
    where = f"The weldment moves {moved}" if moves else "The weldment stays where it is"
    where = where if made.job.parts else "There is no weldment"
    return (
        f"{where}; {format_count(kept)} of {format_count(whole)} pieces are kept,"
        f" {format_count(same)} of them set as before."
    )
