"""The job file, `.gridjig`: one readable document with everything that the user chose."""

import os
import re
from pathlib import Path
from typing import Any

import msgspec

from gridjig.files.format import codec, file_format
from gridjig.files.format.codec import Source
from gridjig.files.format.faults import ReadFault
from gridjig.files.format.file_format import FileFormat
from gridjig.files.format.json_places import parse_path
from gridjig.files.format.migrations import JOB_STEPS, JOB_VERSION
from gridjig.files.storage.locations import backup_of
from gridjig.files.storage.saving import FileStamp, stamp_of
from gridjig.geometry.plate_holes import bad_hole
from gridjig.model import Job, Plate, require_whole

SUFFIX = ".gridjig"
FORMAT: FileFormat[Job] = FileFormat(
    kind="job",
    key="gridjig",
    version=JOB_VERSION,
    wanted=Job,
    steps=JOB_STEPS,
    one_a_line=frozenset(
        {"placements", "weldments", "parts", "marks", "pieces", "welds", "joints"}
    ),
    spread=frozenset({"table", "rack", "allowances"}),
)
_PLACED = re.compile(r"([a-z_]+\[\d+\][a-z_.]*): (.*)", re.DOTALL)


def write_job(job: Job) -> bytes:
    """Return the bytes of a job's file: the same job always gives the same bytes."""
    return file_format.write(FORMAT, job)


def read_job(data: bytes, path: Source = None, form: FileFormat[Job] = FORMAT) -> Job:
    """Return the job of a file's bytes; `path` is only for faults.  Raise ReadFault."""
    job = file_format.read(form, data, path)
    try:
        require_whole(job)
        _require_cut(job)
    except ValueError as fault:
        placed = _PLACED.fullmatch(str(fault))
        place, why = placed.groups() if placed else ("", str(fault))
        raise codec.fault_at(data, path, parse_path(place), why) from fault
    return job


def _require_cut(job: Job) -> None:
    """Raise ValueError, saying where, if a plate or a hole of one cannot be cut.

    Edits refuse such plates and holes; a file that has one was changed by something else.
    """
    for index, part in enumerate(job.parts):
        if not isinstance(part, Plate):
            continue
        if len(set(part.corners)) < 3:
            raise ValueError(f"parts[{index}].corners: fewer than three of them differ")
        if part.holes:
            bad = bad_hole(part.corners, part.holes)
            if bad is not None:
                raise ValueError(f"parts[{index}].holes: hole {bad[0] + 1} of it: {bad[1]}")


def load_job(path: Path) -> Job:
    """Return the job of a file.  Raise ReadFault, naming the backup if there is one."""
    return open_job(path)[0]


def open_job(path: Path) -> tuple[Job, bytes, FileStamp]:
    """Return a file's job, bytes and stamp, all from one read.  Raise ReadFault.

    Take the lock first, so that nobody saves between the read and the lock.
    """
    try:
        data, found = codec.read_found(path, FORMAT.limit)
        return read_job(data, path), data, stamp_of(data, found)
    except ReadFault as fault:
        if not fault.do.endswith(codec.OLDER):
            raise
        backup = backup_of(path)
        if not os.path.isfile(backup):  # noqa: PTH113
            raise
        do = f"{fault.do}, such as its backup {backup.name}"
        raise ReadFault(fault.path, fault.where, fault.why, do, fault.line, fault.column) from fault


def schema() -> dict[str, Any]:
    """Return the JSON Schema of the job file, for other programs."""
    made = msgspec.json.schema(Job)
    version = {"const": JOB_VERSION, "description": "Version of the form; the first field."}
    fields = made["$defs"]["Job"]
    fields["properties"] = {FORMAT.key: version, **fields["properties"]}
    fields["required"] = [FORMAT.key, *fields["required"]]
    return made
