"""Jobs that tell which version they are; light, for programs that are started many times."""

from msgspec import structs

from gridjig.model import Job
from tests.workshop import laid, pin, plate, stop


def sample(version: int = 0) -> Job:
    """A job whose content tells its version: as many outlines as its name says."""
    job = laid(stop("s", 2, 3), pin("p", 8, 8), *(plate(f"w{n}", n, n) for n in range(version)))
    return structs.replace(job, name=f"version {version}")


def version_of(job: Job) -> int:
    """The version of a sample.  AssertionError if it is not whole."""
    version = int(job.name.removeprefix("version "))
    assert job == sample(version)
    return version
