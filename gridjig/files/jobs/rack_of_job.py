"""A rack from a rack file, or taken out of a job file."""

from pathlib import Path

from gridjig.rack import Rack

from .job_file import SUFFIX as JOB_SUFFIX
from .job_file import load_job
from .rack_file import read_rack


def rack_in(path: Path) -> Rack:
    """Return the rack that a rack file is, or that a job file has.  Raise ReadFault."""
    return load_job(path).rack if path.suffix.lower() == JOB_SUFFIX else read_rack(path)
