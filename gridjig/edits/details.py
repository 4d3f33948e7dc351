"""Edits of the job's texts, and of how lengths are shown."""

from msgspec import structs

from gridjig.model import Display, Job, Sawing
from gridjig.model.job import MOST_TEXT
from gridjig.units import format_count


def rename_job(job: Job, name: str) -> Job:
    """Name the job.  Raises ValueError for an empty name."""
    name = name.strip()
    if not name:
        raise ValueError("a job needs a name; type at least one letter")
    return job if name == job.name else structs.replace(job, name=name)


def named_after_file(job: Job, stem: str) -> Job:
    """Give the job the name of its file, or leave its name where that cannot be one."""
    if not stem.isprintable():  # bytes that are no text are not either
        return job
    try:
        return rename_job(job, stem)
    except ValueError:  # blank, or too long
        return job


def set_drawing(job: Job, drawing: str, revision: str) -> Job:
    """Set the drawing and revision that the job is for."""
    if (drawing, revision) == (job.drawing, job.revision):
        return job
    return structs.replace(job, drawing=drawing, revision=revision)


def set_notes(job: Job, notes: str) -> Job:
    """Set the notes of the job."""
    return job if notes == job.notes else structs.replace(job, notes=notes)


def add_to_notes(job: Job, text: str) -> Job:
    """Add a paragraph at the end of the notes.

    Raises ValueError, with the figures, if the notes cannot hold it.
    """
    notes = f"{job.notes.rstrip()}\n\n{text}" if job.notes.strip() else text
    if len(notes) > MOST_TEXT:
        most, over = format_count(MOST_TEXT), format_count(len(notes) - MOST_TEXT)
        raise ValueError(
            f"The notes can hold {most} characters; with this they would be {over} over. Shorten"
            " the notes, or copy the text and keep it elsewhere."
        )
    return set_notes(job, notes)


def set_display(job: Job, display: Display) -> Job:
    """Show lengths in another unit; the geometry stays."""
    return job if display == job.display else structs.replace(job, display=display)


def set_saw(job: Job, saw: float) -> Job:
    """Set how far from square the shop's saw cuts, degrees."""
    return job if saw == job.saw else structs.replace(job, saw=saw)


def set_sawing(job: Job, sawing: Sawing) -> Job:
    """Set the bars that members are sawn from, and what a cut takes away."""
    return job if sawing == job.sawing else structs.replace(job, sawing=sawing)
