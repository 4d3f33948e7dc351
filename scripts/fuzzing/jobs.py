"""Job files: read, written again, and everything derived from those that could be read.

Reading takes a hundredth of the time of what follows.  So in a long round every file is read, and
one in `every` of those that can be read is written again and has everything derived.
"""

import zlib
from pathlib import Path
from random import Random

from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import read_job, schema, write_job

from .corpus import job_documents
from .derived import derive
from .kind import Find, Parts
from .trees import Trees

_LONGEST = 600  # maximum characters of a sentence


class Jobs:
    """Each case is a job file."""

    every = 1

    def __init__(self) -> None:
        self._trees = Trees(schema(), job_documents())

    def make(self, chance: Random) -> bytes:
        """Return a job file, usually one that can be read."""
        return self._trees.changed(chance)

    def run(self, data: bytes) -> str:
        """Read the job, and derive everything from it."""
        try:
            job = read_job(data, "job.gridjig")
        except ReadFault as fault:
            require_sentence(str(fault))
            return "refused"
        if zlib.crc32(data) % self.every:
            return "read only"
        written = write_job(job)
        again = read_job(written)
        if again != job or write_job(again) != written:
            raise Find("a job is another one after it was written and read")
        derive(job)
        return "read and derived"

    def parts(self, data: bytes) -> Parts | None:
        """Split the file into parts that can be left out."""
        return self._trees.parts(data)


def reading(folder: Path) -> Jobs:
    """Return the trial for this kind."""
    return Jobs()


def require_sentence(words: str) -> None:
    """Raise Find if that is not a sentence fit for a user.

    Names in it are as in the file: whoever shows it must escape them.
    """
    if not words.rstrip().endswith(".") or len(words) > _LONGEST or "Traceback" in words:
        raise Find(f"a refusal is not one sentence: {words!r}")
