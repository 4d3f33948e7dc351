"""`gridjig plate`: a one-off plate cut for an angle or for the face of a part, as DXF or SVG."""

import argparse
from pathlib import Path
from typing import get_args

from gridjig.cutplates.asked import PlateOptions, WrapKind, for_angle, for_face
from gridjig.cutplates.design import PlateDesign
from gridjig.cutplates.standing import in_its_way, with_plate
from gridjig.cutplates.wanted import PIN_FITS, thickness_range
from gridjig.files.exports.dxf import dxf_bytes
from gridjig.files.exports.svg import svg_bytes
from gridjig.files.jobs.job_file import SUFFIX, write_job
from gridjig.model import Job
from gridjig.sheets.drawings.plate_sheet import plate_drawing
from gridjig.sheets.text.plate_text import cutter_notes, plate_lines
from gridjig.solve.angles.faults import AngleFault
from gridjig.units import format_length
from gridjig.units.lengths import INCH
from gridjig.words.angle_fault_text import angle_fault_text

from .angle import asked, one_of
from .angle import face_of as the_face
from .export import unit_of
from .given import JOB_HELP, length, the_hole, the_job
from .output_files import FORCE_HELP, require_free, write_out
from .plain import one_line
from .verb import Refusal, Verb

ABOUT = (
    "Write a one-off plate for JOB, to be cut by laser: two pin holes on the grid as far apart as "
    "possible, an edge at the angle or against the face, reliefs, and an engraving with the job, "
    "the side up and the holes. Sizes are nominal unless a kerf is given."
)
_FITS = dict(PIN_FITS)
_AROUND: dict[str, WrapKind] = {name.replace(" ", "-"): name for name in get_args(WrapKind)}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB OUT, what the plate is for, and its sizes."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument("out", metavar="OUT", help="the file to write: .dxf or .svg")
    of = parser.add_mutually_exclusive_group(required=True)
    of.add_argument("--angle", metavar="WANTED", help="the angle, as for `gridjig angle`: 37.5")
    of.add_argument(
        "--face",
        nargs=2,
        metavar=("PART", "SIDE"),
        help="the face to hold where it lies, as for `gridjig angle`",
    )
    parser.add_argument(
        "--base", nargs=2, metavar=("FROM", "TO"), help="with --angle: how far apart the holes are"
    )
    parser.add_argument(
        "--around",
        type=one_of(*_AROUND),
        metavar="WHAT",
        help=f"what of the member the plate goes round: {', '.join(_AROUND)} (default face)",
    )
    parser.add_argument(
        "--holes", nargs=2, metavar=("HOLE", "HOLE"), help="the two pin holes, if not the farthest"
    )
    parser.add_argument(
        "--thickness", metavar="T", help="how thick the plate is (default 1/4 in or 6 mm)"
    )
    fits = ", ".join(name for name, _ in PIN_FITS)
    parser.add_argument(
        "--fit",
        type=one_of(*_FITS),
        default="usual",
        metavar="FIT",
        help=f"how loose the pins are in the plate: {fits}",
    )
    parser.add_argument("--kerf", metavar="K", help="allow for this kerf (default: nominal size)")
    parser.add_argument("--relief", metavar="R", help="the radius of the relief in inside corners")
    parser.add_argument("--upright", metavar="H", help="two uprights, this high above the table")
    parser.add_argument(
        "--square", action="store_true", help="sides along the table instead of along the edge"
    )
    parser.add_argument("--name", default="", metavar="NAME", help="what the plate is called")
    parser.add_argument(
        "--into", metavar="JOB2", help=f"also write the job with the plate in it, a {SUFFIX} file"
    )
    parser.add_argument(
        "--unit", type=one_of("mm", "in"), metavar="UNIT", help="the unit of a DXF drawing"
    )
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def _options(job: Job, chosen: argparse.Namespace) -> PlateOptions:
    """Return the choices of the command line."""

    def entered(text: str | None, usual: float, what: str) -> float:
        if text is None:
            return usual
        mm = length(text, job.display)
        if mm < 0:
            raise Refusal(f"The {what} cannot be less than 0.")
        return mm

    usual = PlateOptions()
    inches = job.display.unit != "millimetres"
    thickness = entered(chosen.thickness, INCH / 4.0 if inches else usual.thickness, "thickness")
    thin, thick = thickness_range(job.display)
    if not thin - 1e-6 <= thickness <= thick + 1e-6:
        limits = " to ".join(format_length(mm, job.display) for mm in (thin, thick))
        raise Refusal(f"A plate is {limits} thick; give another thickness.")
    return PlateOptions(
        thickness=thickness,
        over=_FITS[chosen.fit],
        kerf=entered(chosen.kerf, 0.0, "kerf"),
        relief=entered(chosen.relief, usual.relief, "relief"),
        square=chosen.square,
        upright=entered(chosen.upright, 0.0, "height of the uprights"),
        around=_AROUND[chosen.around or "face"],
        holes=(
            None
            if chosen.holes is None
            else (the_hole(job.table, chosen.holes[0]), the_hole(job.table, chosen.holes[1]))
        ),
        name=chosen.name,
    )


def run(chosen: argparse.Namespace) -> None:
    """Write the plate, and the job with it if wanted."""
    out = Path(chosen.out)
    kind = out.suffix.lower()
    if kind not in (".dxf", ".svg"):
        raise Refusal(f"{one_line(out.name)} must end in .dxf or .svg.")
    into = None if chosen.into is None else Path(chosen.into)
    if into is not None and into.suffix != SUFFIX:
        raise Refusal(f"{one_line(into.name)} must end in {SUFFIX}.")
    for path in filter(None, (out, into)):
        require_free(path, chosen.force)
    job = the_job(chosen.job)
    try:
        design = _design(job, chosen)
        why = in_its_way(job, design)
        after, _ = with_plate(job, design)
    except ValueError as fault:
        raise Refusal(str(fault)) from fault
    drawing = plate_drawing(design, cutter_notes(design, job))
    unit = unit_of(job, chosen)
    write_out(out, dxf_bytes(drawing, unit) if kind == ".dxf" else svg_bytes(drawing))
    if into is not None:
        write_out(into, write_job(after))
    lines = [f"{one_line(str(out), 200)}: {one_line(design.wanted.name)}"]
    lines += [one_line(line, 400) for line in plate_lines(design, job)]
    there = f"It cannot lie there now: {one_line(why, 300)}" if why else "Nothing is in its way."
    lines.append(there)
    if into is not None:
        lines.append(f"{one_line(str(into), 200)}: the job, with the plate in its holes")
    print("\n".join(lines))


def _design(job: Job, chosen: argparse.Namespace) -> PlateDesign:
    options = _options(job, chosen)
    if chosen.face is not None:
        if chosen.base is not None:
            raise Refusal("--base is for an angle; name the holes with --holes instead.")
        return for_face(job, the_face(job, chosen.face), options)
    if chosen.around is not None:
        raise Refusal("--around is for the face of a part; give --face instead of --angle.")
    request = argparse.Namespace(
        wanted=chosen.angle, job=chosen.job, face=None, table=None, rack=None, base=chosen.base,
        within=None, way=["plate"], leg=None, shorter_leg=None, angle_class=None, top=1,
        pins="right", shims=None, left=False, json=False,
    )  # fmt: skip
    question = asked(request)
    try:
        return for_angle(job, question.wanted, question.limits, options)
    except AngleFault as fault:
        raise Refusal(angle_fault_text(fault, job.table, job.display)) from fault


VERB = Verb("plate", "write a one-off plate for the laser, as DXF or SVG", arguments, run, ABOUT)
