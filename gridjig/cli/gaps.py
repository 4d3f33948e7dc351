"""`gridjig gaps`: what the grid leaves in front of each face of the weldment, and its
packing.
"""

import argparse
from collections.abc import Sequence

from gridjig.checks.stop_places import StopSearch, not_looked_for, settable_holes, stop_before
from gridjig.cli.outputs.remainders import FoundRemainders, RemaindersOutput, remainders_output
from gridjig.model import Hole, Job
from gridjig.model.by_weldment import only, parts_of, several
from gridjig.model.labels import column_label, row_label
from gridjig.model.titles import title, weldment_title
from gridjig.sheets.text.layout_text import (
    LOOKS,
    belongs_words,
    face_words,
    packing_words,
    setting_lines,
)
from gridjig.sheets.text.places_text import put_words, tried_words
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.places import WeldmentPlaces, weldment_places
from gridjig.solve.layout.remainders import FaceLine, Remainder, Remainders, remainders, the_stop
from gridjig.solve.packing.stops import Stop, stops
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.tolerance import CLASSES
from gridjig.solve.weldment.datum import span
from gridjig.solve.weldment.faces import WorkFace
from gridjig.solve.weldment.joints import left_out
from gridjig.units import format_count, format_length, format_setting
from gridjig.words.joints_text import pairs_left_out_text
from gridjig.words.layout_fault_text import layout_fault_text

from .angle import one_of
from .columns import columns
from .given import JOB_HELP, shown, the_job, the_weldment, weldment_argument
from .outputs import as_json
from .verb import JSON_HELP, Refusal, Verb, unknown

ABOUT = (
    "Print the gap between a stop and each face of JOB's weldment that lies along the grid, the "
    "packing that fills it, and whether the tolerance makes packing unnecessary. Then the "
    "positions of the weldment that need the least packing."
)
_LOOKED_AT = 500
"""Faces before which stops are looked for unless more are asked for: about a second's work."""
_NAMED = 5
"""Maximum number of parts named for a line of faces; a list of thousands fits no terminal."""
HEADINGS = (
    "face",
    "side",
    "from datum",
    "stop in",
    "gap",
    "packing",
    "residual",
    "face from hole",
    "",
)


def as_text(job: Job, every: Sequence[FoundRemainders]) -> str:
    """Return the gaps as a text table, weldment by weldment; below it the stops that can be
    set, and the places.
    """
    first = every[0].found
    text = [f"{job.name}: stop {first.stop.name}; class {first.linear_class} of ISO 13920"]
    for one in every:
        if several(job):
            text += ["", f"{weldment_title(one.job, one.job.weldments[0].id)}:"]
        text += _table(*one)
    return "\n".join(text)


def _table(
    job: Job,
    found: Remainders,
    searches: Sequence[StopSearch],
    holes: Sequence[Sequence[Hole] | None],
    places: WeldmentPlaces | None,
) -> list[str]:
    """Return the remainders of one weldment as lines."""
    datum = found.datum
    text = [
        *(
            _datum_words(job, name, face, label in datum.proposed)
            for name, label, face in (("A", "long", datum.long), ("B", "end", datum.end))
            if face is not None
        ),
    ]
    if found.found:
        rows = [HEADINGS, *(_row(job, *one) for one in zip(found.found, holes, strict=True))]
        text += ["", columns(rows), "", "Stops that can be set now:"]
        looked = sum(one is not None for one in holes)
        pairs = list(zip(found.found, searches, strict=True))
        text += [_can_be_set(job, *one) for one in pairs[:looked]]
        if looked < len(pairs):
            text += ["", _more_words(looked, len(pairs))]
    if found.slanting:
        names = ", ".join(dict.fromkeys(title(job, face.of.part) for face in found.slanting))
        text += ["", f"Not along the grid, set by angle: {names}."]
    if places is not None:
        put = (f"  {put_words(one, job.display)}" for one in places.found)
        text += ["", tried_words(places), *put]
    return text


def _datum_words(job: Job, name: str, face: WorkFace, proposed: bool) -> str:
    room = span(face) if name == "A" else None
    apart = f", two stops {format_length(room.spacing, job.display)} apart" if room else ""
    how = " (proposed)" if proposed else ""
    return f"datum {name}{how}: {face_words(job, face)}{apart}"


def line_name(job: Job, line: FaceLine) -> str:
    """Return the names of the parts whose faces make up a line."""
    parts = list(dict.fromkeys(title(job, face.of.part) for face in line.faces))
    more = f" and {format_count(len(parts) - _NAMED)} more" if len(parts) > _NAMED else ""
    return ", ".join(parts[:_NAMED]) + more + (" (critical)" if line.critical else "")


def _can_be_set(job: Job, one: Remainder, search: StopSearch) -> str:
    line = one.line
    told = "; ".join(said.removeprefix("set: ") for said in setting_lines(job, one, search))
    return f"  {belongs_words(job, line)}, {LOOKS[line.axis, line.sign]} face: {told}"


def _more_words(looked: int, total: int) -> str:
    """Return what is said when stops were not looked for in front of every face."""
    return (
        f"Stops were looked for in front of {format_count(looked)} of {format_count(total)} faces;"
        f" --stops {total} looks in front of all of them."
    )


def _row(job: Job, one: Remainder, holes: Sequence[Hole] | None) -> list[str]:
    display = job.display
    line = one.line
    packed = one.verdict == "needed"
    adjustable = one.adjustable is not None and packed
    return [
        line_name(job, line),
        LOOKS[line.axis, line.sign],
        "" if one.dimension is None else format_length(one.dimension, display),
        _hole_line(job, one),
        format_length(one.left, display),
        packing_words(job, one.packing) or "none fits" if packed else "",
        format_length(one.packing.residual, display) if packed else "",
        format_setting(one.face_from_hole, display) if adjustable else "",
        one.verdict if holes or holes is None else f"{one.verdict}, no hole for this stop",
    ]


def _hole_line(job: Job, one: Remainder) -> str:
    columns_, rows = job.table.columns, job.table.rows
    if one.line.axis == "x":
        there = 0 <= one.hole_line < columns_
        return f"column {column_label(job.table, one.hole_line)}" if there else "off the table"
    there = 0 <= one.hole_line < rows
    return f"row {row_label(job.table, one.hole_line)}" if there else "off the table"


# -- the verb ------------------------------------------------------------------------------------


def _count(text: str) -> int:
    if not text.isdecimal() or len(text) > 3:
        raise argparse.ArgumentTypeError(f"{text} is not a whole number from 0 to 999")
    return int(text)


def _faces(text: str) -> int:
    if not text.isdecimal() or len(text) > 6:
        raise argparse.ArgumentTypeError(f"{text} is not a whole number from 0 to 999999")
    return int(text)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB, the stop, the class, and the number of places."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument(
        "--stop", metavar="PIECE", help="the stop or round pin (default: a fixed stop)"
    )
    parser.add_argument(
        "--class",
        dest="linear_class",
        type=one_of(*CLASSES),
        default="B",
        metavar="A-D",
        help="the linear class of ISO 13920 that the drawing asks for (default B)",
    )
    parser.add_argument(
        "--places",
        type=_count,
        default=5,
        metavar="N",
        help="how many positions to list (default 5)",
    )
    parser.add_argument(
        "--stops",
        type=_faces,
        default=_LOOKED_AT,
        metavar="N",
        help=f"look for stops in front of the first N faces (default {_LOOKED_AT})",
    )
    weldment_argument(parser)
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("gaps"))


def _found(whole: Job, weldment: str, stop: Stop, chosen: argparse.Namespace) -> FoundRemainders:
    """Return the remainders of a weldment, and its places if they are asked for."""
    job = only(whole, weldment)
    others = [part for part in whole.parts if part.weldment != weldment]
    kind = chosen.linear_class
    found = remainders(job, stop, kind)
    places = None
    if chosen.places and found.found:
        places = weldment_places(job, stop, linear_class=kind, top=chosen.places, others=others)
    placed = PlacedPieces().of(whole)
    looked, rest = found.found[: chosen.stops], found.found[chosen.stops :]
    why = _more_words(len(looked), len(found.found))
    searches = [
        *(stop_before(whole, placed, one) for one in looked),
        *(not_looked_for(placed, one, why) for one in rest),
    ]
    holes = [*(settable_holes(whole, placed, one) for one in looked), *(None for _ in rest)]
    return FoundRemainders(job, found, searches, holes, places)


def run(chosen: argparse.Namespace) -> None:
    """Print the gaps."""
    job = shown(the_job(chosen.job), chosen)
    if not job.parts:
        raise Refusal(f"{job.name} has no weldment; draw its members first.")
    known = [stop.piece for stop in stops(job.rack)]
    if chosen.stop is not None and chosen.stop not in known:
        raise unknown("stop or round pin", chosen.stop, known, f"on the rack “{job.rack.name}”")
    wanted = the_weldment(job, chosen)
    ids = [one.id for one in job.weldments if parts_of(job, one.id) and wanted in (None, one.id)]
    if not ids:
        raise Refusal(
            f"{weldment_title(job, str(wanted))} has no part yet; draw its members first."
        )
    try:
        stop = the_stop(job.rack, chosen.stop)
        every = [_found(job, one, stop, chosen) for one in ids]
    except LayoutFault as fault:
        raise Refusal(layout_fault_text(fault.reason)) from fault
    if chosen.json:
        print(as_json(remainders_output(job, every)))
    else:
        print(as_text(job, every))
    if left_out(job.parts) and not chosen.json:
        print(f"\n{' '.join(pairs_left_out_text())}")


VERB = Verb(
    "gaps",
    "print the gap in front of each face and the packing for it",
    arguments,
    run,
    ABOUT,
    (RemaindersOutput,),
)
