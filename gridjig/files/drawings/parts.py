"""Parts of the weldment made from a drawing's closed outlines, and put into a job as one edit.

What lies inside an outline is a hole in it, whatever layer it is on, unless parts are asked for.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct, structs

from gridjig.edits.lookup import all_ids
from gridjig.edits.parts import polygon
from gridjig.files.format.faults import clip
from gridjig.geometry.plate_holes import bad_hole, moved_hole, rounded_hole
from gridjig.geometry.shapes import bounds
from gridjig.model import Display, Job, Part, Plate, Section
from gridjig.model.by_weldment import weldment_of
from gridjig.rack import Point
from gridjig.units import format_count, format_figures
from gridjig.units.limits import LimitError
from gridjig.units.progress import look

from .border import nested_again
from .drawing import Count, Drawing, DrawingLayer
from .frames import frame_bars
from .member import member_of
from .nesting import Tangled
from .pieces import DrawnPiece, hole_of, pieces_of
from .rings import Ring
from .sketch import mm_of

MOST_PARTS = 20_000
_NAME = 100
_DIGITS = 6  # of a place in mm


def usual_thickness(display: Display) -> float:
    """Return the default plate thickness, 10 mm or 3/8 in; mm."""
    return 10.0 if display.unit == "millimetres" else 9.525


class LayerUse(Struct, frozen=True):
    """What becomes of a layer's outlines; lengths in mm.

    With a section, outlines of its width become members, and so do bars between two open lines; all
    other outlines become plates.
    """

    layer: str
    z_low: float = 0.0
    thickness: float = 10.0
    section: Section | None = None


class ImportedParts(Struct, frozen=True):
    """The imported parts, in their place on the table.

    `unlike` counts outlines that do not fit the section chosen for them, and came in as plates;
    `lost` those that are too small to be a part.  `holes` counts the holes that were cut in plates,
    `uncut` those that were not: in members, or too near to an edge or another hole.  `between` is
    how many open lines became the edges of members, `spaces` how many closed loops were only that.
    """

    parts: tuple[Part, ...]
    plates: int
    members: int
    unlike: int
    lost: int
    width: float
    depth: float
    holes: int = 0
    uncut: int = 0
    between: int = 0
    spaces: int = 0


def to_parts(
    job: Job,
    drawing: Drawing,
    uses: Sequence[LayerUse],
    at: Point | None = None,
    inner: bool = False,
    border: bool = False,
) -> ImportedParts:
    """Return the parts of the chosen layers, their common lower left corner at `at` (mm), or else
    their middle in the middle of the table.  `inner` makes parts of what would be holes, `border`
    of the border and the title block.

    Raise ValueError with a sentence if the unit is not known, or there are no parts or too many.
    """
    if drawing.unit is None:
        raise ValueError("The drawing states no unit; choose the one that gives its true size.")
    mm = mm_of(drawing.unit)
    layers, bars, between, spaces = _framed(drawing, uses, mm)
    chosen = _chosen(drawing, layers, uses, inner, border, bars)
    corners = (p for _, piece in chosen for p in piece.outline)
    low_x, low_y, high_x, high_y = (mm * v for v in bounds(corners))
    width, depth = high_x - low_x, high_y - low_y
    if at is None:
        at = ((job.table.width - width) / 2.0, (job.table.depth - depth) / 2.0)
    moved = (at[0] - low_x, at[1] - low_y)
    ids = _ids(job, len(chosen))
    stem = drawing.name.rsplit(".", 1)[0]
    many_layers = len({use.layer for use, _ in chosen}) > 1
    parts: list[Part] = []
    members = unlike = lost = cut = uncut = 0
    for number, (use, piece) in enumerate(chosen):
        points, *inside = (
            [(mm * x + moved[0], mm * y + moved[1]) for x, y in ring]
            for ring in (piece.outline, *piece.holes)
        )
        name = clip(use.layer if many_layers else stem, _NAME) + f" {number + 1}"
        made: Part | None = None
        if use.section is not None:
            made = member_of(points, use.section, ids[number], name, use.z_low)
            members += made is not None
            unlike += made is None
        try:
            z = (use.z_low, use.z_low + use.thickness)
            if made is None:
                made = _drilled(polygon(ids[number], name, points, z), inside)
                cut += len(made.holes)
                uncut += len(inside) - len(made.holes)
            else:
                uncut += len(inside)
            parts.append(made)
        except LimitError as beyond:
            why = f"{beyond}; choose another unit, or import only a part of the drawing."
            raise ValueError(why[:1].upper() + why[1:]) from beyond
        except ValueError:  # rounded to nothing
            lost += 1
    plates = len(parts) - members
    return ImportedParts(
        tuple(parts), plates, members, unlike, lost, width, depth, cut, uncut, between, spaces
    )


def _framed(
    drawing: Drawing, uses: Sequence[LayerUse], mm: float
) -> tuple[tuple[DrawingLayer, ...], list[DrawnPiece], int, int]:
    """The layers that are used, without the loops that are only edges of members; the bars between
    lines that are as wide as the section of their layer; how many open lines draw them; how many
    loops were left out.
    """
    sections = {use.layer: use.section for use in uses}
    layers: list[DrawingLayer] = []
    bars: list[DrawnPiece] = []
    lines = spaces = 0
    for layer in layers_of(drawing, uses):
        section = sections[layer.name]
        if section is not None:

            def fits(ring: Ring, section: Section = section) -> bool:
                points = [(mm * x, mm * y) for x, y in ring]
                return member_of(points, section, "bar", "bar", 0.0) is not None

            rings = (*layer.outlines, *layer.openings)
            found = frame_bars(rings, layer.loops, layer.bars, layer.sided, fits, drawing.reach)
            bars += (DrawnPiece(layer.name, bar.ring) for bar in found.bars)
            lines += sum(len(bar.paths) for bar in found.bars)
            spaces += len(found.between)
            if found.between:
                left = nested_again([ring for ring in rings if ring not in found.between])
                layer = structs.replace(layer, outlines=left[0], openings=left[1])
        layers.append(layer)
    return tuple(layers), bars, lines, spaces


def _drilled(plate: Plate, rings: Sequence[Sequence[Point]]) -> Plate:
    """A plate with those holes, on the table, that can be cut in it; raise LimitError for one that
    is too large or for too many.
    """
    holes = [moved_hole(hole_of(ring), -plate.x, -plate.y) for ring in rings]
    holes = [rounded_hole(hole, _DIGITS) for hole in holes]
    while holes and (bad := bad_hole(plate.corners, holes)) is not None:
        look()
        del holes[bad[0]]
    return structs.replace(plate, holes=tuple(holes)) if holes else plate


def layers_of(drawing: Drawing, uses: Iterable[LayerUse]) -> tuple[DrawingLayer, ...]:
    """Return the layers of the drawing that are used."""
    names = {use.layer for use in uses}
    return tuple(layer for layer in drawing.layers if layer.name in names)


def require_outlines(
    drawing: Drawing, layers: Sequence[DrawingLayer] | None = None, bars: bool = False
) -> None:
    """Raise ValueError, with a sentence about what is there instead, if none of the layers (or of
    all) has a closed outline, or with `bars` a bar between open lines.
    """
    among = drawing.layers if layers is None else layers
    if any(layer.outlines or (bars and layer.bars) for layer in among):
        return
    opened = Count(sum(len(layer.paths) for layer in among), "open line", "open lines")
    whose = "The drawing" if layers is None else "The chosen layers of"
    start = f"{whose} {drawing.name} {'has' if layers is None else 'have'} no closed outline"
    names = {layer.name for layer in among}
    crossed = [one for one in drawing.crossings if one.layer in names]
    if crossed:
        x, y = (format_figures(v) for v in crossed[0].at)
        one = Count(len(crossed), "loop that crosses itself", "loops that cross themselves")
        first = "at" if len(crossed) == 1 else "the first at"
        raise ValueError(
            f"{start} but {one}, {first} x {x}, y {y} of the drawing"
            f"{f', and {opened}' if opened.number else ''}; mend the loop in the drawing."
        )
    end = "close the outlines in the drawing."
    if any(layer.bars for layer in among):
        end = (
            "close the outlines in the drawing, or make members of lines as far apart as a section."
        )
    raise ValueError(
        f"{start} and {opened}, and a part needs a closed one;"
        f" {'choose others, or ' * (layers is not None)}{end}"
    )


def _chosen(
    drawing: Drawing,
    layers: Sequence[DrawingLayer],
    uses: Sequence[LayerUse],
    inner: bool,
    border: bool,
    bars: Sequence[DrawnPiece],
) -> list[tuple[LayerUse, DrawnPiece]]:
    if not drawing.layers:
        holds = ", ".join(str(count) for count in drawing.unused)
        raise ValueError(f"Nothing in {drawing.name} can be used: {holds or 'it is empty'}.")
    by_name = {use.layer: use for use in uses}
    if not layers:
        raise ValueError("No layer is chosen; choose at least one that has closed outlines.")
    extra = [DrawnPiece(name, ring) for name, ring in drawing.aside if border]
    if not extra and not bars:
        require_outlines(drawing, layers)
    if inner:
        made = [
            DrawnPiece(layer.name, ring)
            for layer in layers
            for ring in (*layer.outlines, *layer.openings)
        ]
    else:
        try:
            made = list(pieces_of(layers))
        except Tangled:
            raise ValueError(
                "Too many outlines of the chosen layers lie on or across each other; choose fewer"
                " layers."
            ) from None
    usual = structs.replace(uses[0], section=None) if uses else LayerUse("")
    chosen = [(by_name.get(piece.layer, usual), piece) for piece in (*made, *bars, *extra)]
    if len(chosen) > MOST_PARTS:
        raise ValueError(
            f"The chosen layers have {format_count(len(chosen))} closed outlines, and"
            f" {format_count(MOST_PARTS)} is the most for one job; choose fewer layers."
        )
    return chosen


def _ids(job: Job, count: int) -> list[str]:
    """Return that many ids that are not used in the job."""
    taken = all_ids(job)
    ids: list[str] = []
    number = 0
    while len(ids) < count:
        number += 1
        if f"drawn-{number}" not in taken:
            ids.append(f"drawn-{number}")
    return ids


def to_job(job: Job, brought: ImportedParts, weldment: str | None = None) -> Job:
    """Return the job with the parts added to a weldment, by default the first."""
    home = weldment_of(job, weldment).id
    parts = (structs.replace(part, weldment=home) for part in brought.parts)
    return structs.replace(job, parts=(*job.parts, *parts))


def step_name(drawing: Drawing) -> str:
    """Return the name of the step that imports the drawing."""
    return f"Import {clip(drawing.name, 60)}"
