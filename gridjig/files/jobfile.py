"""The job file, `.gridjig`: one readable document with all that the person chose."""

import os
import re
from pathlib import Path
from typing import Any

import msgspec

from gridjig.model import Job, require_whole

from . import codec, document
from .codec import Source
from .document import Form
from .faults import ReadFault
from .migrations import JOB_STEPS, JOB_VERSION
from .places import backup_of
from .spot import parse_path
from .store import Stamp, stamp_of

SUFFIX = ".gridjig"
FORM: Form[Job] = Form(
    kind="job",
    key="gridjig",
    version=JOB_VERSION,
    wanted=Job,
    steps=JOB_STEPS,
    one_a_line=frozenset({"placements", "outlines", "marks", "pieces", "welds"}),
    spread=frozenset({"table", "rack"}),
)
_PLACED = re.compile(r"([a-z_]+\[\d+\][a-z_.]*): (.*)", re.DOTALL)


def write_job(job: Job) -> bytes:
    """The bytes of a job's file: the same job always gives the same bytes."""
    return document.write(FORM, job)


def read_job(data: bytes, path: Source = None, form: Form[Job] = FORM) -> Job:
    """The job of a file's bytes; `path` is only named in a fault.  Raises ReadFault."""
    job = document.read(form, data, path)
    try:
        require_whole(job)
    except ValueError as fault:
        placed = _PLACED.fullmatch(str(fault))
        place, why = placed.groups() if placed else ("", str(fault))
        raise codec.fault_at(data, path, parse_path(place), why) from fault
    return job


def load_job(path: Path) -> Job:
    """The job of a file on disk; a fault names the backup if there is one.  Raises ReadFault."""
    return open_job(path)[0]


def open_job(path: Path) -> tuple[Job, bytes, Stamp]:
    """The job of a file on disk, its bytes and its stamp, all of one reading.  Raises ReadFault.

    Take the lock first, so that nobody saves between the reading and the lock.
    """
    try:
        data, found = codec.read_found(path, FORM.limit)
        return read_job(data, path), data, stamp_of(data, found)
    except ReadFault as fault:
        backup = backup_of(path)
        if not fault.do.endswith(codec.OLDER) or not os.path.isfile(backup):  # noqa: PTH113
            raise
        do = f"{fault.do}, such as its backup {backup.name}"
        raise ReadFault(fault.path, fault.where, fault.why, do, fault.line, fault.column) from fault


def schema() -> dict[str, Any]:
    """JSON Schema of the job file, for other programs."""
    made = msgspec.json.schema(Job)
    version = {"const": JOB_VERSION, "description": "Version of the form; the first field."}
    fields = made["$defs"]["Job"]
    fields["properties"] = {FORM.key: version, **fields["properties"]}
    fields["required"] = [FORM.key, *fields["required"]]
    return made
