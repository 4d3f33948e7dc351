"""Random set-ups of a whole job: how its measures come out, on request."""

from collections.abc import Mapping

from msgspec import Struct

from gridjig.contact.values import JobContacts
from gridjig.model import Job
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import SILENT, Progress

from .report import Exactness
from .sampling import COUNT, sampled
from .values import Sampled, TapeReading


class Tried(Struct, frozen=True):
    """What the random set-ups gave: for each measure that can be told, by its place in the report,
    and for the worst corner of each part, by its id.
    """

    count: int
    readings: Mapping[int, Sampled]
    members: Mapping[str, Sampled]


def tried(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    contacts: JobContacts,
    progress: Progress = SILENT,
    count: int = COUNT,
) -> Tried:
    """Try that many set-ups of every measure and every part.  Raises Cancelled via `progress`."""
    exactness = Exactness()
    report = exactness.of(job, placed_pieces, contacts)
    known = [one for one in report.members if one.error is not None]
    every = len(report.dimensions) + len(known)
    readings: dict[int, Sampled] = {}
    members: dict[str, Sampled] = {}
    for k, reading in enumerate(report.dimensions):
        measure = exactness.measure_between(_ends(reading), reading.a, reading.b)
        part = progress.part(k, k + 1, every)
        if measure is not None and reading.error is not None:
            readings[k] = sampled(measure, reading.limit, part, count)
    for k, one in enumerate(known, start=len(report.dimensions)):
        measure = exactness.measure_at(one.id, one.at)
        if measure is not None:
            members[one.id] = sampled(measure, float("inf"), progress.part(k, k + 1, every), count)
    progress.report(every, every, "Trying set-ups")
    return Tried(count, readings, members)


def _ends(reading: TapeReading) -> tuple[str, str]:
    return (reading.ids[0], reading.ids[-1])
