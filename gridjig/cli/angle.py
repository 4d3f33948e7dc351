"""`gridjig angle`: which holes, pins, shims or arms give a wanted angle, best first."""

import argparse
import json
from collections.abc import Callable

from msgspec import Struct, structs

from gridjig.files.assets import ready_tables
from gridjig.model import Display, Table
from gridjig.model.labels import address
from gridjig.rack import Point, Rack
from gridjig.session.angle_question import COMMON_LEG, box_region, taken_holes, used_pieces
from gridjig.sheets.angle_tell import (
    end_words,
    holes_words,
    measure_words,
    plate_words,
    shims_words,
    sizes_words,
    verdict_words,
    wanted_words,
)
from gridjig.sheets.chart import error_text
from gridjig.solve.angle import find
from gridjig.solve.angle_values import WAY_WORDS, WAYS, AngleWay, Answer, Answers, Limits, Take
from gridjig.solve.tolerance import CLASSES
from gridjig.solve.wanted import AngleFault, Wanted, read_wanted
from gridjig.units import format_angle, format_length

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
from .poses import display_of
from .verb import Refusal, Verb

WANTED_HELP = (
    'the angle: 37.5, "37 30\'", 4:12 or "rise 300 run 400"; behind it may stand: from y,'
    " included, each side, complement, mirrored"
)
WAY_NAMES: dict[str, AngleWay] = {way.replace(" ", "-"): way for way in WAYS}
JSON_HELP = (
    "print JSON: wanted, table, rack, looked_at {hole_pairs, steps, answers}, statement, within,"
    " notes, and answers, nearest (one by each way) and offer, each answer with way, holes, steps"
    " [across, up], angle_deg, error_arcmin, error_mm, setting_arcmin, setting_mm, play_arcmin,"
    " play_mm, base_mm, line_mm, shims_mm, pieces [{piece, count, left}], standing"
    " [{piece, holes, flipped, packing}], on_rack, verdict, verdict_with_play, places, multiples,"
    " chord, plate {holes_mm, hole_diameter_mm, corners_mm}, note"
)


class Asked(Struct, frozen=True):
    """A question as the command line puts it: the table, the rack and how lengths are shown."""

    table: Table
    rack: Rack
    display: Display
    wanted: Wanted
    limits: Limits
    leg_said: bool


def asked(chosen: argparse.Namespace) -> Asked:
    """The question that the arguments make.  Raises Refusal."""
    limits = Limits()
    if chosen.job is not None:
        job = the_job(chosen.job)
        table, display = job.table, job.display
        rack = job.rack if chosen.rack is None else the_rack(chosen.rack)
        limits = structs.replace(limits, taken=taken_holes(job), used=used_pieces(job))
    else:
        name = chosen.table if chosen.table is not None else next(iter(ready_tables()))
        table, rack = the_table_and_rack(name, chosen.rack)
        display = display_of(table)
    try:
        wanted = read_wanted(chosen.wanted, unit=display.unit)
        limits = _limited(chosen, limits, table, display)
    except AngleFault as fault:
        raise Refusal(str(fault)) from fault
    said = chosen.leg is not None
    return Asked(shown(table, chosen), shown(rack, chosen), display, wanted, limits, said)


def _limited(chosen: argparse.Namespace, limits: Limits, table: Table, display: Display) -> Limits:
    """The limits with what the arguments say of them."""
    if chosen.base is not None:
        low, high = (length(text, display) for text in chosen.base)
        limits = structs.replace(limits, base_from=low, base_to=high)
    metric = display.unit == "millimetres"
    leg = COMMON_LEG[metric] if chosen.leg is None else length(chosen.leg, display)
    limits = structs.replace(limits, leg=leg)
    if chosen.shorter_leg is not None:
        limits = structs.replace(limits, shorter_leg=length(chosen.shorter_leg, display))
    if chosen.way:
        limits = structs.replace(limits, ways=tuple(WAY_NAMES[name] for name in chosen.way))
    if chosen.within is not None:
        limits = structs.replace(limits, region=_box(table, chosen.within))
    return structs.replace(
        limits,
        angle_class=chosen.angle_class,
        top=chosen.top,
        only_left=chosen.left,
        side=chosen.pins,
        shims_at_most=chosen.shims,
        display=display,
    )


def _box(table: Table, corners: list[str]) -> tuple[Point, ...]:
    """The rectangle between two holes as a polygon."""
    a, b = (table.at(the_hole(table, text)) for text in corners)
    return box_region(a, b)


# -- as JSON -------------------------------------------------------------------------------------


def _number(value: float, digits: int) -> float:
    return round(value, digits) + 0.0


def answer_json(table: Table, answer: Answer) -> dict[str, object]:
    """One answer as plain values; lengths in mm."""
    verdict, chord, plate = answer.verdict, answer.chord, answer.plate
    return {
        "way": answer.way,
        "holes": [address(table, hole) for hole in answer.holes],
        "steps": list(answer.steps),
        "angle_deg": _number(answer.angle_deg, 6),
        "error_arcmin": _number(answer.error_arcmin, 3),
        "error_mm": _number(answer.error_mm, 3),
        "setting_arcmin": _number(answer.setting_arcmin, 3),
        "setting_mm": _number(answer.setting_mm, 3),
        "play_arcmin": _number(answer.play_arcmin, 3),
        "play_mm": _number(answer.play_mm, 3),
        "base_mm": _number(answer.base_mm, 3),
        "line_mm": [_number(v, 3) for v in answer.line_mm],
        "shims_mm": [_number(v, 4) for v in answer.shims_mm],
        "pieces": [{"piece": t.piece, "count": t.count, "left": t.left} for t in answer.takes],
        "standing": [
            {
                "piece": how.piece,
                "holes": [address(table, answer.holes[i]) for _, i in how.seats],
                "flipped": how.flipped,
                "packing": list(how.packing),
            }
            for how in answer.standing
        ],
        "on_rack": answer.on_rack,
        "verdict": verdict.finest,
        "verdict_with_play": verdict.with_play,
        "places": answer.places,
        "multiples": [list(steps) for steps in answer.multiples],
        "chord": None
        if chord is None
        else {
            "radius_mm": _number(chord.radius, 3),
            "angle_deg": _number(chord.angle, 6),
            "length_mm": _number(chord.length, 3),
        },
        "plate": None
        if plate is None
        else {
            "holes_mm": [[_number(v, 3) for v in at] for at in plate.holes],
            "hole_diameter_mm": _number(plate.hole_diameter, 3),
            "corners_mm": [[_number(v, 3) for v in at] for at in plate.corners],
        },
        "note": answer.note,
    }


def as_json(question: Asked, found: Answers) -> str:
    """The answers as stable JSON."""
    table, wanted, looked_at = question.table, found.wanted, found.looked_at
    whole = {
        "wanted": {
            "text": wanted.text,
            "angle_deg": _number(wanted.angle_deg, 6),
            "complement_deg": _number(wanted.complement, 6),
            "mirror_deg": _number(wanted.mirror, 6),
        },
        "table": table.name,
        "rack": question.rack.name,
        "leg_mm": _number(question.limits.leg, 3),
        "class": question.limits.angle_class,
        "looked_at": {
            "hole_pairs": looked_at.hole_pairs,
            "steps": looked_at.steps,
            "answers": looked_at.answers,
        },
        "statement": found.statement,
        "within": found.within,
        "notes": list(found.notes),
        "answers": [answer_json(table, a) for a in found.ranked],
        "nearest": [answer_json(table, a) for a in found.nearest],
        "offer": None if found.offer is None else answer_json(table, found.offer),
    }
    return json.dumps(whole, indent=1, ensure_ascii=False)


# -- as text -------------------------------------------------------------------------------------

HEAD = ("way", "holes", "steps", "angle", "error", "at the end", "play", "base", "class", "takes")


def as_text(question: Asked, found: Answers) -> str:
    """The answers as a table to read."""
    wanted, display = found.wanted, question.display
    lines = [
        f"Wanted: {wanted_words(wanted) or wanted.text}"
        f" (complement {format_angle(wanted.complement)}, mirror {format_angle(wanted.mirror)})",
        f"{question.table.name}; rack: {question.rack.name};"
        f" leg {format_length(question.limits.leg, display)}"
        + ("" if question.leg_said else ", as no --leg is given"),
    ]
    if found.ranked:
        lines += ["", *_listed(question, found.ranked)]
    if found.within is False:
        lines += ["", "Nearest by each way", *_listed(question, found.nearest)]
    if found.offer is not None:
        lines += ["", "A cut plate instead", *_listed(question, (found.offer,))]
    hints = dict.fromkeys(filter(None, (hint(question, a) for a in _shown(found))))
    lines += ["", *hints] if hints else []
    return "\n".join([*lines, "", found.statement.replace(". ", ".\n"), *found.notes])


def _shown(found: Answers) -> tuple[Answer, ...]:
    """All answers that the text lists."""
    nearest = found.nearest if found.within is False else ()
    return (*found.ranked, *nearest, *((found.offer,) if found.offer is not None else ()))


def hint(question: Asked, answer: Answer) -> str:
    """How to set an answer that its holes alone do not fix; empty for pins."""
    table, display = question.table, question.display
    if answer.plate is not None:
        return "\n".join(("Plate", *plate_words(answer, answer.plate, table, display)))
    if answer.chord is not None:
        measured = measure_words(answer, table, display)
        return f"{answer.standing[0].piece}: {answer.note}; {measured}."
    return f"{answer.note}." if answer.note else ""


def _listed(question: Asked, answers: tuple[Answer, ...]) -> list[str]:
    return columns([HEAD, *(_row(question, answer) for answer in answers)]).split("\n")


def _row(question: Asked, answer: Answer) -> tuple[str, ...]:
    table, display = question.table, question.display
    error, end = error_text(answer.error_arcmin), end_words(answer.error_mm, display)
    if answer.setting_arcmin:  # such an answer is as wanted but for how exactly it can be set
        error = f"±{answer.setting_arcmin:.1f}′"
        end = end_words(answer.setting_mm, display).replace("+", "±")
    takes = filter(
        None,
        (
            takes_text(answer.takes),
            sizes_words(answer, table),
            shims_words(answer, table, display),
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
        error_text(answer.play_arcmin).replace("+", "±"),
        format_length(answer.base_mm, display),
        verdict_words(answer).removeprefix("class "),
        "; ".join(takes),
    )


def turned_over(answer: Answer) -> bool:
    """True if a piece of it is put down turned over."""
    return any(how.flipped for how in answer.standing)


def steps_text(steps: tuple[int, int]) -> str:
    """Steps as a pair, across and up: "13:10"; a step to the left or to the front has a minus."""
    return f"{steps[0]}:{steps[1]}"


def takes_text(takes: tuple[Take, ...]) -> str:
    """What is taken, with a word on what the rack is short of."""
    if not takes:
        return "nothing from the rack"
    parts = []
    for take in takes:
        short = f" ({take.left} left)" if take.left < take.count else ""
        parts.append(f"{take.count} {take.piece}{short}")
    return ", ".join(parts)


# -- the verb ------------------------------------------------------------------------------------


def arguments(parser: argparse.ArgumentParser) -> None:
    """WANTED, the table or the job, and the limits."""
    parser.add_argument("wanted", metavar="WANTED", help=WANTED_HELP)
    on = parser.add_mutually_exclusive_group()
    on.add_argument("--table", metavar="NAME", help=TABLE_HELP)
    on.add_argument("--job", metavar="JOB", help="a job: its table, its rack, what it has taken")
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
        help=f"only this way, and others if given again: {words}",
    )
    parser.add_argument(
        "--leg",
        metavar="L",
        help="the member's length, at whose end errors count; else 1 m or 36 in",
    )
    parser.add_argument("--shorter-leg", metavar="L", help="what the class goes by; else the leg")
    parser.add_argument(
        "--class",
        dest="angle_class",
        type=one_of(*CLASSES),
        metavar="A-D",
        help="only what meets this angular class of ISO 13920",
    )
    parser.add_argument("--top", type=_count, default=12, metavar="N", help="how many to list")
    parser.add_argument(
        "--pins",
        type=one_of("right", "left"),
        default="right",
        metavar="SIDE",
        help="the side of the line that the pins stand on: right or left",
    )
    parser.add_argument(
        "--shims", type=_count, default=3, metavar="N", help="at most so many shims at one pin"
    )
    parser.add_argument(
        "--left", action="store_true", help="only pieces that are still on the rack"
    )
    parser.add_argument("--json", action="store_true", help=JSON_HELP)


def one_of(*names: str) -> Callable[[str], str]:
    """Reads one of some names; refuses others, telling which there are."""

    def read(text: str) -> str:
        if text not in names:
            raise argparse.ArgumentTypeError(f"there is no {text}; there are: {', '.join(names)}")
        return text

    return read


def _count(text: str) -> int:
    """A whole number as typed; argparse words the refusal."""
    if not text.isdecimal() or len(text) > 6:
        raise argparse.ArgumentTypeError(f"{text} is no whole number from 1 up")
    return int(text)


def run(chosen: argparse.Namespace) -> None:
    """Print the answers."""
    question = asked(chosen)
    try:
        found = find(question.table, question.rack, question.wanted, question.limits)
    except AngleFault as fault:
        raise Refusal(str(fault)) from fault
    print(as_json(question, found) if chosen.json else as_text(question, found))


VERB = Verb("angle", "find the holes that give a wanted angle, best first", arguments, run)
