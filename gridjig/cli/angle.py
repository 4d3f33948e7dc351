"""`gridjig angle`: the holes, pins, shims or arms that give a wanted angle, best first."""

import argparse
from collections.abc import Callable

from msgspec import Struct, structs

from gridjig.angle.question import AngleQuestion, box_region, hold_face, limits_entered
from gridjig.angle.standing import answers_on
from gridjig.cli.outputs.angle import AngleOutput, angle_output
from gridjig.files.library.assets import ready_tables
from gridjig.geometry.part_solids import PartFace
from gridjig.model import Display, FaceOf, Job, Table
from gridjig.rack import Point, Rack
from gridjig.sheets.text.angle_coverage_text import (
    WAY_WORDS,
    left_out_words,
    missing_words,
    set_words,
    statement_words,
)
from gridjig.sheets.text.angle_text import (
    gap_words,
    holes_words,
    measure_words,
    measured_words,
    plate_words,
    shims_words,
    sizes_words,
    verdict_words,
    wanted_words,
)
from gridjig.solve.angles.answers import (
    WAYS,
    AngleAnswer,
    AngleLimits,
    AngleResult,
    AngleWay,
    usual_shims,
)
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.finder import find_angles
from gridjig.solve.angles.wanted import WantedLine
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.tolerance import CLASSES
from gridjig.solve.weldment.faces import faces
from gridjig.units import (
    format_angle,
    format_angle_error,
    format_angle_tolerance,
    format_deviation,
    format_deviation_range,
    format_length,
)
from gridjig.words.angle_fault_text import angle_fault_text

from .angle_words import steps_text, takes_text, turned_over
from .columns import columns
from .given import (
    RACK_HELP,
    TABLE_HELP,
    length,
    shown,
    the_hole,
    the_job,
    the_rack,
    the_table_and_rack,
)
from .outputs import as_json
from .poses import display_of
from .verb import JSON_HELP, Refusal, Verb

WANTED_HELP = (
    'the angle: 37.5, "37 30\'", 4:12 or "rise 300 run 400"; it may be followed by from y,'
    " included, each side, complement or mirrored"
)
USUAL = AngleLimits()
WAY_NAMES: dict[str, AngleWay] = {way.replace(" ", "-"): way for way in WAYS}


class AngleRequest(Struct, frozen=True):
    """A question as asked on the command line: on which table and rack, and what was left out."""

    table: Table
    rack: Rack
    wanted: WantedLine
    limits: AngleLimits
    leg_said: bool
    job: Job | None = None
    held: FaceOf | None = None

    @property
    def display(self) -> Display:
        """How to show lengths."""
        return self.limits.display


def asked(chosen: argparse.Namespace) -> AngleRequest:
    """Return the question that the arguments ask.  Raise Refusal if they are wrong."""
    job = None if chosen.job is None else the_job(chosen.job)
    if job is not None:
        table, display = job.table, job.display
        rack = job.rack if chosen.rack is None else the_rack(chosen.rack)
    else:
        name = chosen.table if chosen.table is not None else next(iter(ready_tables()))
        table, rack = the_table_and_rack(name, chosen.rack)
        display = display_of(table)
    held = None if chosen.face is None else face_of(job, chosen.face)
    if held is None and chosen.wanted is None:
        raise Refusal("Give the angle you want, or --job with the --face to hold.")
    if held is not None and chosen.wanted is not None:
        raise Refusal("A face has its own angle; give either the angle or --face, not both.")
    try:
        limits = _limits(chosen, table, display)
        if held is None or job is None:
            question = AngleQuestion(text=chosen.wanted, limits=limits)
        else:
            question = hold_face(job, held, limits, leg=limits.leg if chosen.leg else None)
        wanted = question.wanted(display.unit)
    except AngleFault as fault:
        raise Refusal(angle_fault_text(fault, table, display)) from fault
    limits = question.limits if job is None else question.limits_on(job)
    said = chosen.leg is not None or held is not None
    return AngleRequest(shown(table, chosen), shown(rack, chosen), wanted, limits, said, job, held)


def face_of(job: Job | None, words: list[str]) -> FaceOf:
    """Return the face that two words name: a part by its id or name, a side as `contacts` prints
    it.

    Raise Refusal if there is none.
    """
    if job is None:
        raise Refusal("A face belongs to a job; add --job.")
    name, side = words
    part = next((p for p in job.parts if name in (p.id, p.name)), None)
    if part is None:
        known = ", ".join(p.name or p.id for p in job.parts)
        raise Refusal(f"There is no part {name} in the job; its parts are: {known or 'none'}.")
    sides = [PartFace("side", face.of.side) for face in faces(job.parts) if face.of.part == part.id]
    found = next((one for one in sides if side in (one.label, str(one.number))), None)
    if found is None:
        told = ", ".join(one.label for one in sides)
        raise Refusal(f"{part.name or part.id} has no {side}; its straight faces are: {told}.")
    return FaceOf(part.id, found.number)


def _limits(chosen: argparse.Namespace, table: Table, display: Display) -> AngleLimits:
    """Return the limits that the arguments set; the others keep their defaults."""

    def entered(text: str | None) -> float | None:
        return None if text is None else length(text, display)

    low, high = chosen.base or (None, None)
    limits = limits_entered(
        display,
        leg=entered(chosen.leg),
        shorter_leg=entered(chosen.shorter_leg),
        base_from=entered(low),
        base_to=entered(high),
    )
    return structs.replace(
        limits,
        region=() if chosen.within is None else _box(table, chosen.within),
        ways=tuple(WAY_NAMES[name] for name in chosen.way) if chosen.way else limits.ways,
        angle_class=chosen.angle_class,
        top=chosen.top,
        only_left=chosen.left,
        side=chosen.pins,
        shims_at_most=chosen.shims,
    )


def _box(table: Table, corners: list[str]) -> tuple[Point, ...]:
    """Return the rectangle between two holes as a polygon."""
    a, b = (table.at(the_hole(table, text)) for text in corners)
    return box_region(a, b)


# -- as text -------------------------------------------------------------------------------------

HEAD = ("way", "holes", "steps", "angle", "error", "at the end", "play", "base", "class", "takes")


def as_text(question: AngleRequest, found: AngleResult) -> str:
    """Return the answers as a text table."""
    wanted, display = found.wanted, question.display
    lines = [
        f"Wanted: {wanted_words(wanted) or measured_words(wanted)}"
        f" (complement {format_angle(wanted.complement)}, mirror {format_angle(wanted.mirror)})",
        f"{question.table.name}; rack: {question.rack.name};"
        f" far end at {format_length(question.limits.leg, display)}"
        + ("" if question.leg_said else ", as no --length is given"),
    ]
    if found.ranked:
        lines += ["", *_listed(question, found.ranked)]
    if found.within is False and found.nearest:
        lines += ["", "Nearest of each kind", *_listed(question, found.nearest)]
    if found.offer is not None:
        lines += ["", "Cut a plate instead", *_listed(question, (found.offer,))]
    hints = dict.fromkeys(filter(None, (hint(question, a) for a in _shown(found))))
    lines += ["", *hints] if hints else []
    left = filter(None, (left_out_words(found),))
    statement = statement_words(found).replace(". ", ".\n")
    return "\n".join([*lines, "", statement, *map(missing_words, found.notes), *left])


def _shown(found: AngleResult) -> tuple[AngleAnswer, ...]:
    """Return all answers that the text lists."""
    nearest = found.nearest if found.within is False else ()
    return (*found.ranked, *nearest, *((found.offer,) if found.offer is not None else ()))


def hint(question: AngleRequest, answer: AngleAnswer) -> str:
    """Return how to set an answer that its holes alone do not fix; empty for pins."""
    table, display = question.table, question.display
    if answer.plate is not None:
        return "\n".join(("Plate", *plate_words(answer, answer.plate, table, display)))
    if answer.chord is not None:
        measured = measure_words(answer, table, display)
        return f"{answer.standing[0].piece}: {set_words(answer, display)}; {measured}."
    how = set_words(answer)
    return f"{how}." if how else ""


def _listed(question: AngleRequest, answers: tuple[AngleAnswer, ...]) -> list[str]:
    return columns([HEAD, *(_row(question, answer) for answer in answers)]).split("\n")


def _row(question: AngleRequest, answer: AngleAnswer) -> tuple[str, ...]:
    table, display = question.table, question.display
    error = format_angle_error(answer.error_arcmin)
    end = format_deviation(answer.error_mm, display)
    if answer.setting_arcmin:  # exact but for how precisely it can be set
        error = format_angle_tolerance(answer.setting_arcmin)
        end = format_deviation_range(answer.setting_mm, display)
    takes = filter(
        None,
        (
            takes_text(answer.takes, question.rack),
            sizes_words(answer, table, question.rack),
            shims_words(answer, table, display),
            gap_words(answer, display),
            "turned over" if turned_over(answer) else "",
        ),
    )
    return (
        answer.way,
        holes_words(table, answer.holes),
        steps_text(answer.steps),
        format_angle(answer.angle_deg),
        error,
        end,
        format_angle_tolerance(answer.play_arcmin),
        format_length(answer.base_mm, display),
        verdict_words(answer).removeprefix("class "),
        "; ".join(takes),
    )


# -- the verb ------------------------------------------------------------------------------------


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add WANTED, the table or the job, and the limits."""
    parser.add_argument("wanted", metavar="WANTED", nargs="?", help=WANTED_HELP)
    on = parser.add_mutually_exclusive_group()
    on.add_argument("--table", metavar="NAME", help=TABLE_HELP)
    on.add_argument(
        "--job",
        metavar="JOB",
        help="use the table and rack of this job, clear of what it has placed",
    )
    parser.add_argument(
        "--face",
        nargs=2,
        metavar=("PART", "SIDE"),
        help="instead of WANTED: the face of the job's weldment to hold where it is; PART is an "
        "id or a name, SIDE is as `contacts --json` prints it, such as side:2",
    )
    parser.add_argument("--rack", metavar="NAME", help=RACK_HELP)
    parser.add_argument(
        "--base", nargs=2, metavar=("FROM", "TO"), help="how far apart the two holes may be"
    )
    parser.add_argument(
        "--within", nargs=2, metavar=("HOLE", "HOLE"), help="only holes between these two corners"
    )
    words = ", ".join(f"{name} ({WAY_WORDS[way]})" for name, way in WAY_NAMES.items())
    parser.add_argument(
        "--way",
        action="append",
        type=one_of(*WAY_NAMES),
        metavar="WAY",
        help=f"only this kind of answer; may be repeated: {words}",
    )
    parser.add_argument(
        "--length",
        dest="leg",
        metavar="L",
        help="length to the far end, where errors are given (default 1 m or 36 in)",
    )
    parser.add_argument(
        "--shorter-side",
        dest="shorter_leg",
        metavar="L",
        help="the length that sets the class of ISO 13920 (default: --length)",
    )
    for old in ("leg", "shorter-leg"):  # their names before
        parser.add_argument(f"--{old}", help=argparse.SUPPRESS)
    parser.add_argument(
        "--class",
        dest="angle_class",
        type=one_of(*CLASSES),
        metavar="A-D",
        help="only answers that meet this angular class of ISO 13920",
    )
    parser.add_argument(
        "--top", type=_count, default=USUAL.top, metavar="N", help="how many to list"
    )
    parser.add_argument(
        "--pins",
        type=one_of("right", "left"),
        default=USUAL.side,
        metavar="SIDE",
        help="which side of the line the pins are on: right or left",
    )
    parser.add_argument(
        "--shims",
        type=_count,
        metavar="N",
        help=f"at most this many shims at one pin (default {usual_shims(False)}; "
        f"{usual_shims(True)} with --face)",
    )
    parser.add_argument(
        "--left", action="store_true", help="only pieces that are still on the rack"
    )
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("angle"))


def one_of(*names: str) -> Callable[[str], str]:
    """Return a reader that accepts one of these names, and refuses others with a list of them."""

    def read(text: str) -> str:
        if text not in names:
            raise argparse.ArgumentTypeError(f"there is no {text}; choose from {', '.join(names)}")
        return text

    return read


def _count(text: str) -> int:
    """Return a whole number as typed; argparse words the refusal."""
    if not text.isdecimal() or len(text) > 6:
        raise argparse.ArgumentTypeError(f"{text} is not a whole number of 1 or more")
    return int(text)


def _found(question: AngleRequest) -> AngleResult:
    """Return the answers; with a job, those that fit on it.  Raise AngleFault if the question has
    no answer.
    """
    if question.job is None:
        return find_angles(question.table, question.rack, question.wanted, question.limits)
    job = structs.replace(question.job, rack=question.rack)
    return answers_on(job, PlacedPieces().of(job), question.wanted, question.limits)


def run(chosen: argparse.Namespace) -> None:
    """Print the answers."""
    question = asked(chosen)
    try:
        found = _found(question)
    except AngleFault as fault:
        raise Refusal(angle_fault_text(fault, question.table, question.display)) from fault
    if chosen.json:
        print(as_json(angle_output(question.table, question.rack, found, question.held)))
    else:
        print(as_text(question, found))


VERB = Verb(
    "angle",
    "find the holes that give a wanted angle, best first",
    arguments,
    run,
    outputs=(AngleOutput,),
)
