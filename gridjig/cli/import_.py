"""`gridjig import`: makes a job from a drawing's closed outlines."""

import argparse
from pathlib import Path

from gridjig.files.drawings.drawing import UNITS, Drawing, read_drawing
from gridjig.files.drawings.member import guess_section
from gridjig.files.drawings.parts import (
    ImportedParts,
    LayerUse,
    require_outlines,
    to_job,
    to_parts,
    usual_thickness,
)
from gridjig.files.drawings.report import (
    accuracy_words,
    doubt_words,
    sizes_words,
    unit_words,
    unused_words,
    used_words,
)
from gridjig.files.format.faults import ReadFault, clip
from gridjig.files.jobs.job_file import SUFFIX, write_job
from gridjig.files.library.assets import ready_tables
from gridjig.files.library.section_search import exact_sections, search_sections
from gridjig.files.library.sections import sections
from gridjig.model import Display, Job, Section
from gridjig.tools.core.wording import sentence
from gridjig.units import format_count, format_extent, format_length

from .angle import one_of
from .given import TABLE_HELP, length, the_table_and_rack
from .output_files import FORCE_HELP, require_free, write_out
from .plain import one_line
from .poses import display_of
from .verb import Refusal, Verb, unknown

ABOUT = (
    "Make a job from the closed outlines of a DXF or SVG drawing: each becomes a plate, in the "
    "middle of the table. Prints what was imported and what was not used."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add DRAWING OUT, the unit, the layers, the table and the thickness of the plates."""
    parser.add_argument("drawing", metavar="DRAWING", help="a .dxf or .svg file")
    parser.add_argument("out", metavar="OUT", help=f"the {SUFFIX} file to write")
    parser.add_argument(
        "--unit",
        type=one_of(*UNITS),
        metavar="U",
        help=f"the drawing's unit: {', '.join(UNITS)}; overrides what the file says",
    )
    parser.add_argument(
        "--layer",
        action="append",
        metavar="L",
        help="use only this layer; may be repeated (default: all that are not hidden)",
    )
    parser.add_argument(
        "--table", metavar="NAME", help=f"{TABLE_HELP} (default: the first in the drawing's unit)"
    )
    parser.add_argument(
        "--thickness", metavar="T", help="thickness of the plates (default 10 mm or 3/8 in)"
    )
    parser.add_argument(
        "--inner", action="store_true", help="also make parts from outlines inside others"
    )
    parser.add_argument(
        "--border", action="store_true", help="make parts also of the border and the title block"
    )
    parser.add_argument(
        "--members",
        metavar="SECTION",
        help="make members of this section, such as 50x50x3, of outlines and pairs of open"
        " lines that are as wide;"
        " `guess` finds the section by their width",
    )
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def run(chosen: argparse.Namespace) -> None:
    """Write the job and print what was imported."""
    out = Path(chosen.out)
    if out.suffix != SUFFIX:
        raise Refusal(f"{out.name} must end in {SUFFIX}, as job files do.")
    require_free(out, chosen.force)
    given = None if chosen.table is None else the_table_and_rack(chosen.table, None)
    drawing = _read(Path(chosen.drawing), chosen.unit)
    table, rack = given or the_table_and_rack(_table_for(drawing.unit), None)
    display = display_of(table)
    asked = chosen.thickness
    thickness = length(asked, display) if asked else usual_thickness(display)
    if thickness <= 0:
        raise Refusal(f"A plate cannot be {chosen.thickness} thick; give more than 0.")
    try:
        require_outlines(drawing, bars=chosen.members is not None)
    except ValueError as fault:
        raise Refusal(str(fault)) from fault
    if drawing.unit is None:
        why = unit_words(drawing) or f"{drawing.name} does not state its unit."
        raise Refusal(f"{why} Give it with --unit: it is {sizes_words(drawing, display)}.")
    doubt = "" if chosen.unit else doubt_words(drawing, display)
    if doubt:
        raise Refusal(f"{doubt} Give the unit with --unit: it is {sizes_words(drawing, display)}.")
    names = _layers(drawing, chosen.layer, chosen.border)
    section = None if chosen.members is None else _section(drawing, names, chosen.members)
    uses = [LayerUse(name, thickness=thickness, section=section) for name in names]
    name = clip(Path(chosen.drawing).stem, 100) or "Drawing"
    job = Job(name=name, table=table, rack=rack, display=display)
    try:
        brought = to_parts(job, drawing, uses, inner=chosen.inner, border=chosen.border)
        data = write_job(to_job(job, brought))
    except ValueError as fault:
        raise Refusal(sentence(str(fault))) from fault
    told = _told(job, drawing, uses, brought, chosen)
    write_out(out, data)
    print("\n".join(one_line(line, 2000) for line in (*told, f"Written: {out}")))


def _read(path: Path, unit: str | None) -> Drawing:
    try:
        if path.suffix.lower() == ".svg":
            from gridjig.qt.paint.svg_process import read_svg  # noqa: PLC0415 - only SVG needs it

            return read_svg(path, unit)
        return read_drawing(path, unit)
    except ReadFault as fault:
        raise Refusal(str(fault)) from fault


def _table_for(unit: str | None) -> str:
    """Return the first ready-made table whose sizes are in the same kind of unit as the drawing."""
    inches = unit in ("in", "ft", "yd", "mil")
    alike = (name for name, table in ready_tables().items() if table.in_inches == inches)
    return next(alike, next(iter(ready_tables())))


def _layers(drawing: Drawing, wanted: list[str] | None, border: bool) -> list[str]:
    """Return the layers to use: not one that holds the border alone, unless that is asked for.

    Raise Refusal with the drawing's layers if one is unknown.
    """
    if wanted is None:
        aside = set() if border else {name for name, _ in drawing.aside}
        return [
            layer.name
            for layer in drawing.layers
            if not layer.hidden
            and (layer.outlines or layer.openings or layer.paths or layer.name not in aside)
        ]
    names = [layer.name for layer in drawing.layers]
    for name in wanted:
        if name not in names:
            raise unknown("layer", name, names, f"in {drawing.name}")
    return wanted


def _section(drawing: Drawing, names: list[str], asked: str) -> Section:
    """Return the section that was asked for.  Raise Refusal if none or several are meant."""
    if asked == "guess":
        guessed = guess_section(drawing, names, sections())
        if guessed is None:
            raise Refusal(f"No outline in {drawing.name} is as wide as a section on the list.")
        return guessed.section
    found = exact_sections(asked) or search_sections(asked)
    named = [one for one in found if one.name == asked]
    if len(named) == 1 or len(found) == 1:
        return (named or list(found))[0]
    if not found:
        raise Refusal(f"There is no section {asked} on the list; give one such as 50x50x3.")
    told = ", ".join(f"{one.name} {one.kind}" for one in found[:3])
    more = f" and {len(found) - 3} more" if len(found) > 3 else ""
    raise Refusal(f"{asked} fits {len(found)} sections: {told}{more}. Give more of it.")


def _told(
    job: Job,
    drawing: Drawing,
    uses: list[LayerUse],
    brought: ImportedParts,
    chosen: argparse.Namespace,
) -> list[str]:
    display: Display = job.display
    assert drawing.unit is not None
    given = "as given" if chosen.unit else "as the file says"
    size = format_extent(brought.width, brought.depth, display)
    thick = f", {format_length(uses[0].thickness, display)} thick" if brought.plates else ""
    lines = [
        f"{drawing.name}: {size}, unit {drawing.unit} {given}",
        f"Imported: {used_words(drawing, brought)}{thick}, from"
        f" {', '.join(use.layer for use in uses)}",
        accuracy_words(drawing),
    ]
    if unit_words(drawing):
        lines.append(unit_words(drawing))
    if brought.members:
        assert uses[0].section is not None
        lines.append(f"Members are of {uses[0].section.name} {uses[0].section.kind}.")
    if brought.unlike:
        lines.append(
            f"{format_count(brought.unlike)} not as wide as the section came in as plates."
        )
    if brought.width > job.table.width or brought.depth > job.table.depth:
        lines.append(f"It is larger than the table {job.table.name}.")
    unused = unused_words(drawing, uses, brought, chosen.border)
    if unused:
        lines.append("Not used: " + "; ".join(unused))
    lines += [f"Repaired: {words}" for words in drawing.repaired]
    return lines


VERB = Verb("import", "make a job from a DXF or SVG drawing", arguments, run, ABOUT)
