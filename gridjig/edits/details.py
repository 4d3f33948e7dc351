"""Edits of the job's texts, and of how lengths are shown."""

from msgspec import structs

from gridjig.model import Display, Job


def rename_job(job: Job, name: str) -> Job:
    """Name the job.  Raises ValueError for an empty name."""
    name = name.strip()
    if not name:
        raise ValueError("a job needs a name; type at least one letter")
    return job if name == job.name else structs.replace(job, name=name)


def set_drawing(job: Job, drawing: str, revision: str) -> Job:
    """Set the drawing and revision that the job is for."""
    if (drawing, revision) == (job.drawing, job.revision):
        return job
    return structs.replace(job, drawing=drawing, revision=revision)


def set_notes(job: Job, notes: str) -> Job:
    """Set the notes of the job."""
    return job if notes == job.notes else structs.replace(job, notes=notes)


def set_display(job: Job, display: Display) -> Job:
    """Show lengths in another unit; the geometry stays."""
    return job if display == job.display else structs.replace(job, display=display)


def set_saw(job: Job, saw: float) -> Job:
    """Set how far from square the shop's saw cuts, degrees."""
    return job if saw == job.saw else structs.replace(job, saw=saw)
