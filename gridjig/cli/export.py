"""`gridjig export`: a job's set-up as DXF or SVG at true size, a list as CSV, the plan as PNG."""

import argparse
from pathlib import Path

from gridjig.files.exports.dxf import DrawingUnit, dxf_bytes
from gridjig.files.exports.svg import svg_bytes
from gridjig.geometry.layered import LayeredDrawing
from gridjig.model import Job
from gridjig.sheets.drawings.true_size import CONTENTS, Content, setup_drawing, table_drawing
from gridjig.sheets.lists.every_list import LISTS
from gridjig.units import format_count

from .angle import one_of
from .given import JOB_HELP, the_job
from .output_files import FORCE_HELP, require_free, write_out
from .plain import one_line
from .verb import Refusal, Verb, unknown

ABOUT = (
    "Write JOB's set-up as a drawing at true size (.dxf, .svg), one of its lists for a spreadsheet "
    "(.csv), or the plan as a picture (.png). A DXF file states its unit in its header."
)
SETUP, TABLE, PULL = "setup", "table", "pull"
KINDS = (".dxf", ".svg", ".csv", ".png")
_WIDTHS = (200, 10_000)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB OUT, what goes out, and how."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument("out", metavar="OUT", help="the file to write: .dxf, .svg, .csv or .png")
    lists = ", ".join(f"{one.name} ({one.title.lower()})" for one in LISTS)
    parser.add_argument(
        "--what",
        metavar="WHAT",
        help=f"for a drawing: {SETUP} (default) or {TABLE}, the table's own top plate with its "
        f"holes; for .csv the list: {lists} (default: {PULL})",
    )
    parser.add_argument(
        "--without",
        action="append",
        default=[],
        type=one_of(*CONTENTS),
        metavar="LAYER",
        help=f"leave this out of a drawing of the set-up; may be repeated: {', '.join(CONTENTS)}",
    )
    parser.add_argument(
        "--unit",
        type=one_of("mm", "in"),
        metavar="UNIT",
        help="the unit of a DXF drawing, mm or in (default: as the job shows lengths)",
    )
    parser.add_argument(
        "--width",
        type=_pixels,
        metavar="PIXELS",
        help="the width of a picture, in pixels (default 2000)",
    )
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def _pixels(text: str) -> int:
    """Return a width as typed; argparse words the refusal."""
    low, high = _WIDTHS
    if not text.isdecimal() or len(text) > 6 or not low <= int(text) <= high:
        raise argparse.ArgumentTypeError(
            f"{text} is not a whole number from {format_count(low)} to {format_count(high)}"
        )
    return int(text)


def unit_of(job: Job, chosen: argparse.Namespace) -> DrawingUnit:
    """Return the unit that a DXF drawing is written in."""
    usual: DrawingUnit = "mm" if job.display.unit == "millimetres" else "in"
    return chosen.unit or usual


def run(chosen: argparse.Namespace) -> None:
    """Write the file."""
    out = Path(chosen.out)
    kind = out.suffix.lower()
    if kind not in KINDS:
        raise Refusal(f"{one_line(out.name)} must end in .dxf, .svg, .csv or .png.")
    _require_fitting(kind, chosen)
    require_free(out, chosen.force)
    job = the_job(chosen.job)
    if kind == ".csv":
        data, said = _list(job, chosen.what)
    elif kind == ".png":
        data, said = _picture(job, chosen.width), "the plan"
    else:
        drawing = _drawing(job, chosen)
        unit = unit_of(job, chosen)
        data = dxf_bytes(drawing, unit) if kind == ".dxf" else svg_bytes(drawing)
        in_unit = {"mm": "millimetres", "in": "inches"}[unit if kind == ".dxf" else "mm"]
        what = "the table" if chosen.what == TABLE else "the set-up"
        said = f"{what} at true size in {in_unit}, {format_count(len(drawing))} shapes"
    write_out(out, data)
    print(f"{one_line(str(out), 200)}: {said}")


def _require_fitting(kind: str, chosen: argparse.Namespace) -> None:
    """Raise Refusal for an option that says nothing about this kind of file."""
    drawn = kind in (".dxf", ".svg")
    for said, there, fits, of in (
        (
            "--without",
            bool(chosen.without),
            drawn and chosen.what != TABLE,
            "drawing of the set-up",
        ),
        ("--unit", chosen.unit is not None, kind == ".dxf", ".dxf file"),
        ("--width", chosen.width is not None, kind == ".png", ".png file"),
        ("--what", chosen.what is not None, kind != ".png", ".dxf, .svg or .csv file"),
    ):
        if there and not fits:
            raise Refusal(f"{said} is for a {of}; leave it out.")
    if drawn and chosen.what not in (None, SETUP, TABLE):
        raise unknown("drawing", chosen.what, (SETUP, TABLE), "of a job")


def _drawing(job: Job, chosen: argparse.Namespace) -> LayeredDrawing:
    if chosen.what == TABLE:
        return table_drawing(job.table)
    kept: list[Content] = [one for one in CONTENTS if one not in chosen.without]
    if not kept:
        raise Refusal("Everything is left out; name fewer layers with --without.")
    return setup_drawing(job, kept)


def _list(job: Job, name: str | None) -> tuple[bytes, str]:
    names = [one.name for one in LISTS]
    found = next((one for one in LISTS if one.name == (name or PULL)), None)
    if found is None:
        raise unknown("list", name or PULL, names, "of a job")
    try:
        text = found.csv(job)
    except ValueError as fault:
        raise Refusal(str(fault)) from fault
    lines = found.count(job)
    counted = "1 line" if lines == 1 else f"{format_count(lines)} lines"
    return text.encode("utf-8"), f"{found.title.lower()}, {counted}"


def _picture(job: Job, width: int | None) -> bytes:
    from gridjig.qt.canvas.plan_picture import (  # noqa: PLC0415 - only a picture needs Qt
        USUAL_WIDTH,
        Unpictured,
        plan_png,
    )
    from gridjig.qt.messages import quietly  # noqa: PLC0415

    try:
        with quietly():
            return plan_png(job, USUAL_WIDTH if width is None else width)
    except Unpictured as fault:
        raise Refusal(str(fault)) from fault


VERB = Verb(
    "export",
    "write the set-up as DXF or SVG, a list as CSV, or the plan as PNG",
    arguments,
    run,
    ABOUT,
)
