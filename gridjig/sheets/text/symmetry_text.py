"""Which way up and which hand, in words: what lies flush, the risers it takes, what is mirrored.

Knows no widget.
"""

from itertools import groupby

from gridjig.checks.findings import Level
from gridjig.edits.setup_mirror import MirroredSetup
from gridjig.model import Job
from gridjig.model.titles import title
from gridjig.solve.layout.ways_up import RaisedPart, WayUpNeeds
from gridjig.solve.mirror.symmetry import SymmetryKind, weldment_symmetry
from gridjig.units import format_length

from .layout_text import names_words
from .list_line import ListLine


def way_line(job: Job, way: WayUpNeeds) -> ListLine:
    """Return one way up: how many parts lie flush, what is raised how high, what is short."""
    count = len(job.parts)
    lines = [_raised(job, list(same)) for _, same in groupby(way.raised, key=_stack)]
    if way.carried:
        lines.insert(0, f"supported by others: {names_words(job, way.carried, 4)}")
    lines += risers_words(job, way)
    level: Level = "stop" if way.never else "fine" if way.can_be else "look"
    return ListLine(
        key="down" if way.face_down else "up",
        head="Face down" if way.face_down else "As placed",
        right=f"{len(way.flush)} of {count} flush",
        under="\n".join(lines),
        level=level,
        ids=way.flush,
    )


def _stack(one: RaisedPart) -> tuple[object, ...]:
    return (round(one.height, 3), one.points, one.stack)


def _raised(job: Job, same: list[RaisedPart]) -> str:
    one = same[0]
    names = names_words(job, (r.part for r in same), 4)
    points = "1 point" if one.points == 1 else f"{one.points} points"
    each = " each" if len(same) > 1 else ""
    made = " + ".join(job.rack.piece(p).size or job.rack.piece(p).name for p in one.stack)
    left = f", {format_length(one.residual, job.display)} short" if one.residual > 0.05 else ""
    high = format_length(one.height, job.display)
    return f"raise {names} {high} on {points}{each}: {made or 'no riser fits'}{left}"


def risers_words(job: Job, way: WayUpNeeds) -> list[str]:
    """Return the risers it takes, against what the rack has; nothing if none are needed."""
    if not way.raised:
        return ["no risers needed"]
    display = job.display
    needed = ", ".join(f"{many} × {_size(job, piece)}" for piece, many in way.needed)
    said = [f"risers: {needed}"]
    if way.short:
        short = ", ".join(f"{many} × {_size(job, piece)}" for piece, many in way.short)
        said.append(f"the rack is short of {short}")
    if way.never:
        said.append(
            f"{format_length(way.height_needed, display)} of risers needed and the rack has "
            f"{format_length(way.height_owned, display)}, however they are combined"
        )
    return said


def _size(job: Job, piece_id: str) -> str:
    piece = job.rack.piece(piece_id)
    return piece.size or piece.name


def advice_words(job: Job, ways: tuple[WayUpNeeds, WayUpNeeds]) -> str:
    """Return why the first of two ways up is the better one."""
    if not job.parts:
        return "There is no weldment yet; draw a member or put a standard one on the table."
    best, other = ways
    if not best.raised and not other.raised:
        return "Every part lies flush either way up, or is supported by one that does."
    way = "Face down" if best.face_down else "As placed"
    points = sum(one.points for one in best.raised)
    needs = {0: "no risers are needed", 1: "one stack of risers is needed"}.get(
        points, f"{points} stacks of risers are needed"
    )
    words = f"{way}, {len(best.flush)} of {len(job.parts)} parts lie flush and {needs}."
    if other.never:
        high = format_length(other.height_needed, job.display)
        owned = format_length(other.height_owned, job.display)
        words += (
            f" {'Face down' if other.face_down else 'As placed'}, it cannot be set up: it needs "
            f"{high} of risers and the rack has {owned}."
        )
    if best.face_down:
        words += " Turning it over mirrors the plan: left and right swap."
    return words


_SYMMETRY: dict[SymmetryKind, str] = {
    "mirror line": "It is the same on both sides of a line, so its mirror image is the same.",
    "turned over": (
        "It is the same above and below its middle, so turned over it is its own opposite hand."
    ),
    "turned over and rotated": "Turned over and rotated, it is its own opposite hand.",
}


def hand_words(job: Job) -> str:
    """Return whether the weldment is its own opposite hand."""
    if not job.parts:
        return ""
    found = weldment_symmetry(job.parts)
    if found.part is not None:
        name = title(job, found.part)
        return (
            f"▲ It has a left and a right hand: {name} has no matching part in the mirrored"
            " weldment."
        )
    return f"● {_SYMMETRY[found.kind]}"


def follow_words(
    job: Job, made: MirroredSetup, face_down: bool, pieces: int | None = None
) -> tuple[str, ...]:
    """Return what a mirrored set-up changes, and which pieces cannot be mirrored and why.

    `pieces` is how many belong to what is mirrored, by default all.
    """
    said = [
        "It is turned over: the plan is mirrored and the top becomes the bottom. It is the same "
        "weldment."
        if face_down
        else "The weldment becomes its opposite hand; the heights stay."
    ]
    pieces = len(job.placements) if pieces is None else pieces
    follow = pieces - len(made.stayed)
    if pieces:
        said.append(f"{follow} of {pieces} pieces move to the mirrored holes.")
    if made.over:
        names = ", ".join(title(job, one) for one in made.over)
        said.append(f"Turned over: {names}.")
    said += [
        f"{title(job, one)}: {made.job.rack.piece(piece).name} takes its place."
        for one, piece in made.exchanged
    ]
    said += [f"✕ {why}" for _, why in made.stayed]
    return tuple(said)
