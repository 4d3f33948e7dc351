"""What is wrong with one placed piece by itself: it does not fit, turns, hangs over, misses."""

from collections.abc import Callable, Iterator

from gridjig.geometry.shapes import bounds
from gridjig.model import HoleMark, Job, Table
from gridjig.model.labels import address
from gridjig.model.marks import mark_index
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.face_distance import face_of_slide
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import format_angle, format_length
from gridjig.words.placing_text import placing_text

from .conflicts import DEPTH
from .finding import Finding, told_apart
from .pin_depth import pin_depth
from .remembered import collected

_CHOICES = {
    "turn": "be turned to {}",
    "leaf": "have its arm open to {}",
    "slide": "slide to {}",
    "reach": "reach {}",
}


_EDGE = "the size of the table"


@collected
def piece_findings(job: Job, placed: PlacedPiece) -> Iterator[Finding]:
    """Return all that is said of one piece, whatever else is on the table."""
    if placed.fault is not None:
        yield _fault(job, placed)
        return
    yield from _holes(job, placed)
    points = [p for s in placed.solids if s.role != "handle" for p in s.points]
    if points:
        name = placed.placement.id
        yield from over_the_edge(job, name, points, "Make sure nobody can walk into it.")
    yield from _turns(job, placed)
    yield from _missed(job, placed)


def _first_hole(table: Table, placed: PlacedPiece) -> Point:
    return table.at(placed.placement.seats[0].hole)


def _fault(job: Job, placed: PlacedPiece) -> Finding:
    """A placement that cannot stand at all."""
    assert placed.fault is not None
    name = placed.placement.id
    why = placing_text(placed.fault, job.table, job.display)
    what = f"{told_apart(job, name)} does not fit there. {why}"
    do = "Use other holes or another piece, or take it off the table."
    where = _first_hole(job.table, placed)
    return Finding(f"fault/{name}", "hole", "stop", what, where, (name,), do)


def _holes(job: Job, placed: PlacedPiece) -> Iterator[Finding]:
    """Holes that can be used, but with care."""
    marks = mark_index(job.table)
    thing = placed.placement.id
    for hole in placed.holes if marks else ():
        mark = marks.get(hole)
        if mark is None or mark.closed:
            continue
        if mark.state == "shallow":
            yield from _shallow(job, placed, mark)
            continue
        name = title(job, thing)
        label, size = address(job.table, hole), format_length(mark.size, job.display)
        what, do = {
            "oversize": (
                f"{name} is in {label}, which is worn to {size}, so it is loose there.",
                "Use another hole if its position matters.",
            ),
            "reserved": (
                f"{name} is in {label}, which is reserved.",
                "Use another hole, or clear the mark on this one.",
            ),
        }[mark.state]
        mark_id = f"{mark.state}/{thing}/{hole.col}/{hole.row}"
        yield Finding(mark_id, "hole", "look", what, job.table.at(hole), (thing,), do)


def _shallow(job: Job, placed: PlacedPiece, mark: HoleMark) -> Iterator[Finding]:
    """A shallow hole, unless the pin is known to be short enough for it."""
    piece, thing = placed.piece, placed.placement.id
    assert piece is not None
    here = [seat.feature for seat in placed.placement.seats if seat.hole == mark.hole]
    deep = pin_depth(job.rack, piece, placed.placement, here[0] if here else None)
    if 0.0 < deep <= mark.size + DEPTH:
        return
    name, label = title(job, thing), address(job.table, mark.hole)
    size = format_length(mark.size, job.display)
    mark_id = f"shallow/{thing}/{mark.hole.col}/{mark.hole.row}"
    where = job.table.at(mark.hole)
    if not deep:
        what = (
            f"{name} is in {label}, which is only {size} deep; the length of its pin is not known."
        )
        do = "Measure the pin and enter its length on the rack, or use another hole."
        yield Finding(mark_id, "hole", "look", what, where, (thing,), do, None, mark.size, "mm")
        return
    length, up = (format_length(mm, job.display) for mm in (deep, deep - mark.size))
    yield Finding(
        mark_id,
        "hole",
        "stop",
        f"{name} does not seat in {label}: the hole is {size} deep and its pin goes in {length}, so"
        f" it stands up by {up}.",
        where,
        (thing,),
        "Use a shorter pin or another hole.",
        deep,
        mark.size,
        "mm",
        "pin length of the rack; depth as marked on the table",
    )


def over_the_edge(job: Job, thing_id: str, points: list[Point], do: str) -> Iterator[Finding]:
    """Return what is said of outlines that hang over an edge of the table."""
    x0, y0, x1, y1 = bounds(points)
    table = job.table
    sides = (
        ("left", -x0, (x0, (y0 + y1) / 2)),
        ("right", x1 - table.width, (x1, (y0 + y1) / 2)),
        ("front", -y0, ((x0 + x1) / 2, y0)),
        ("back", y1 - table.depth, ((x0 + x1) / 2, y1)),
    )
    for side, by, where in sides:
        if by > DEPTH:
            length = format_length(by, job.display)
            what = f"{told_apart(job, thing_id)} hangs over the {side} edge by {length}."
            mark, ids = f"edge/{thing_id}/{side}", (thing_id,)
            yield Finding(mark, "overhang", "look", what, where, ids, do, by, 0.0, "mm", _EDGE)


def _turns(job: Job, placed: PlacedPiece) -> Iterator[Finding]:
    """Locating faces on one pin that can turn.  Round bodies and clamps may turn."""
    way, piece, placement = placed.way, placed.piece, placed.placement
    if way is None or piece is None or not piece.faces or placement.clamped_by_hand:
        return  # the shop trusts what it clamps by hand; what says that all is well says so
    if way.kind in ("turns", "slides and turns"):
        one = len(placement.seats) == 1
        how = "turns freely on one pin" if one else "can still turn on its pins"
        yield Finding(
            f"turns/{placement.id}",
            "loose",
            "look",
            f"{told_apart(job, placement.id)} {how}: nothing holds its angle.",
            _first_hole(job.table, placed),
            (placement.id,),
            "Pin it in one more hole, or set its angle by a gauge and clamp it down; if the"
            " shop trusts that, tick “clamped by hand” in its form.",
        )


def _missed(job: Job, placed: PlacedPiece) -> Iterator[Finding]:
    """Settings that the holes do not allow, so the nearest possible one is shown."""
    placement = placed.placement
    for choice in placed.off:
        wanted, had = getattr(placement, choice), getattr(placed, choice)
        cannot = _CHOICES[choice]
        if choice == "slide":
            ends = [face_of_slide(job, placed, mm) for mm in (wanted, had)]
            if None not in ends:
                (wanted, had), cannot = ends, "have its face {} from the hole"
        turns = choice in ("turn", "leaf")
        say: Callable[[float], str] = (
            format_angle if turns else lambda mm: format_length(mm, job.display)
        )
        name = told_apart(job, placement.id)
        yield Finding(
            f"{choice}/{placement.id}",
            "inexact",
            "look",
            f"{name} cannot {cannot.format(say(wanted))} in these holes; it is at {say(had)}.",
            _first_hole(job.table, placed),
            (placement.id,),
            "Choose other holes, or accept the value it has.",
            had,
            wanted,
            "deg" if turns else "mm",
            "what was chosen for it, and what the holes allow",
        )
