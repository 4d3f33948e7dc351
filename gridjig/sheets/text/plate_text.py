"""A cut plate in words: its sizes, its fit, what the cutter must know, how exact it holds."""

from gridjig.cutplates.design import PlateDesign, holes_words
from gridjig.model import Job
from gridjig.units import (
    dual_length,
    format_angle_range,
    format_area,
    format_length,
    format_mass,
    format_measure,
)


def kerf_words(design: PlateDesign, job: Job) -> str:
    """Return what was done about the kerf: nothing, unless it was asked for."""
    kerf = design.wanted.kerf
    if not kerf:
        return "Nominal size: the kerf is left to the cutter."
    return f"A kerf of {format_measure(kerf, job.display)} is allowed for: cut on the line."


def fit_words(design: PlateDesign, job: Job) -> str:
    """Return the pin holes: where, how far apart, how wide, and for which pin."""
    wanted, shown = design.wanted, job.display
    pin = "a pin as wide as the table's holes" if wanted.pin is None else wanted.pin.full_name
    return (
        f"Pin holes at {holes_words(job.table, wanted)},"
        f" {format_measure(design.base, shown)} apart,"
        f" {format_measure(wanted.hole_diameter, shown)} in diameter,"
        f" {format_measure(wanted.over, shown)} more than {pin}."
    )


def plate_lines(design: PlateDesign, job: Job) -> tuple[str, ...]:
    """Return what a person wants to know of a plate, one sentence each."""
    wanted, shown = design.wanted, job.display
    lines = [
        fit_words(design, job),
        f"{format_length(wanted.thickness, shown)} thick, {format_area(design.area, shown)} inside"
        f" its outline, {format_mass(design.mass, shown)}.",
        f"The cut holds the edge to {format_angle_range(60.0 * design.error)}, the play of the pins"
        f" to {format_angle_range(60.0 * design.play)}.",
        kerf_words(design, job),
    ]
    if wanted.uprights is not None:
        lines.append(
            f"Two uprights reach {format_length(wanted.uprights.height, shown)} above the table;"
            " tack them into their slots, square to the plate."
        )
    return (*lines, *design.worth_saying)


def cutter_notes(design: PlateDesign, job: Job) -> tuple[str, ...]:
    """Return the notes that stand on the drawing beside the plate, for the cutter."""
    wanted, shown = design.wanted, job.display
    both = dual_length(wanted.thickness, shown)
    return (
        f"{wanted.name}, for {job.name}",
        f"1 off, steel {both} thick. True size: the pin holes are"
        f" {dual_length(design.base, shown)} apart.",
        kerf_words(design, job),
        "Cut CUT, engrave ENGRAVE on the side that is up; NOTES is not cut.",
    )
