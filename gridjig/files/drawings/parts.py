"""Parts of the weldment made from a drawing's closed outlines, and put into a job as one edit.

An outline of a job has no holes, so what lies inside another outline is an opening and is left
out unless asked for.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct, structs

from gridjig.edits.lookup import all_ids
from gridjig.edits.parts import polygon
from gridjig.files.format.faults import clip
from gridjig.geometry.shapes import bounds
from gridjig.model import Display, Job, Part, Section
from gridjig.model.by_weldment import weldment_of
from gridjig.rack import Point
from gridjig.units import format_count
from gridjig.units.limits import LimitError

from .drawing import Count, Drawing, DrawingLayer
from .member import member_of
from .rings import Ring
from .sketch import mm_of

MOST_PARTS = 20_000
_NAME = 100


def usual_thickness(display: Display) -> float:
    """Return the default plate thickness, 10 mm or 3/8 in; mm."""
    return 10.0 if display.unit == "millimetres" else 9.525


class LayerUse(Struct, frozen=True):
    """What becomes of a layer's outlines; lengths in mm.

    With a section, outlines of its width become members; all others become plates.
    """

    layer: str
    z_low: float = 0.0
    thickness: float = 10.0
    section: Section | None = None


class ImportedParts(Struct, frozen=True):
    """The imported parts, in their place on the table.

    `unlike` counts outlines that do not fit the section chosen for them, and came in as plates;
    `lost` those that are too small to be a part.
    """

    parts: tuple[Part, ...]
    plates: int
    members: int
    unlike: int
    lost: int
    width: float
    depth: float


def to_parts(
    job: Job,
    drawing: Drawing,
    uses: Sequence[LayerUse],
    at: Point | None = None,
    inner: bool = False,
) -> ImportedParts:
    """Return the parts of the chosen layers, their common lower left corner at `at` (mm), or else
    their middle in the middle of the table.  `inner` also makes parts of openings.

    Raise ValueError with a sentence if the unit is not known, or there are no parts or too many.
    """
    if drawing.unit is None:
        raise ValueError("The drawing states no unit; choose the one that gives its true size.")
    mm = mm_of(drawing.unit)
    chosen = _chosen(drawing, uses, inner)
    low_x, low_y, high_x, high_y = (mm * v for v in bounds(p for _, ring in chosen for p in ring))
    width, depth = high_x - low_x, high_y - low_y
    if at is None:
        at = ((job.table.width - width) / 2.0, (job.table.depth - depth) / 2.0)
    moved = (at[0] - low_x, at[1] - low_y)
    ids = _ids(job, len(chosen))
    stem = drawing.name.rsplit(".", 1)[0]
    many_layers = len({use.layer for use, _ in chosen}) > 1
    parts: list[Part] = []
    members = unlike = lost = 0
    for number, (use, ring) in enumerate(chosen):
        points = [(mm * x + moved[0], mm * y + moved[1]) for x, y in ring]
        name = clip(use.layer if many_layers else stem, _NAME) + f" {number + 1}"
        made: Part | None = None
        if use.section is not None:
            made = member_of(points, use.section, ids[number], name, use.z_low)
            members += made is not None
            unlike += made is None
        try:
            z = (use.z_low, use.z_low + use.thickness)
            parts.append(made or polygon(ids[number], name, points, z))
        except LimitError as beyond:
            why = f"{beyond}; choose another unit, or import only a part of the drawing."
            raise ValueError(why[:1].upper() + why[1:]) from beyond
        except ValueError:  # rounded to nothing
            lost += 1
    plates = len(parts) - members
    return ImportedParts(tuple(parts), plates, members, unlike, lost, width, depth)


def layers_of(drawing: Drawing, uses: Iterable[LayerUse]) -> tuple[DrawingLayer, ...]:
    """Return the layers of the drawing that are used."""
    names = {use.layer for use in uses}
    return tuple(layer for layer in drawing.layers if layer.name in names)


def _chosen(drawing: Drawing, uses: Sequence[LayerUse], inner: bool) -> list[tuple[LayerUse, Ring]]:
    if not drawing.layers:
        holds = ", ".join(str(count) for count in drawing.unused)
        raise ValueError(f"Nothing in {drawing.name} can be used: {holds or 'it is empty'}.")
    by_name = {use.layer: use for use in uses}
    layers = layers_of(drawing, uses)
    if not layers:
        raise ValueError("No layer is chosen; choose at least one that has closed outlines.")
    chosen = [
        (by_name[layer.name], ring)
        for layer in layers
        for ring in (*layer.outlines, *(layer.openings if inner else ()))
    ]
    if not chosen:
        opened = Count(sum(len(layer.paths) for layer in layers), "open line", "open lines")
        raise ValueError(
            f"The chosen layers of {drawing.name} have no closed outline, only {opened}; choose "
            "other layers, or close the outlines in the drawing."
        )
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
