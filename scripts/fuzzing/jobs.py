"""Job files: read, written again, and all that is derived of what could be read."""

from pathlib import Path
from random import Random

from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import read_job, schema, write_job

from .corpus import job_documents
from .derived import derive
from .kind import Find, Parts
from .trees import Trees

_LONGEST = 600  # characters of a sentence


class Jobs:
    """Cases are job files."""

    def __init__(self) -> None:
        self._trees = Trees(schema(), job_documents())

    def make(self, chance: Random) -> bytes:
        """A job file, most often one that can be read."""
        return self._trees.changed(chance)

    def run(self, data: bytes) -> str:
        """Read it, and derive."""
        try:
            job = read_job(data, "job.gridjig")
        except ReadFault as fault:
            require_sentence(str(fault))
            return "refused"
        written = write_job(job)
        again = read_job(written)
        if again != job or write_job(again) != written:
            raise Find("a job is another one after it was written and read")
        derive(job)
        return "read"

    def parts(self, data: bytes) -> Parts | None:
        """The file without some of it."""
        return self._trees.parts(data)


def reading(folder: Path) -> Jobs:
    """The cases of this kind."""
    return Jobs()


def require_sentence(words: str) -> None:
    """Raise Find if that is no sentence for a person.

    Names in it stand as they are in the file: whoever shows it has to make them harmless.
    """
    if not words.rstrip().endswith(".") or len(words) > _LONGEST or "Traceback" in words:
        raise Find(f"a refusal is not one sentence: {words!r}")
