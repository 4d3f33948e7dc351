"""The rack file, `.gridrack`: a rack on its own, to move from one shop or job to another.

The starter racks are such files.  It knows nothing of tables or jobs.
"""

from pathlib import Path

from gridjig.files.format import file_format
from gridjig.files.format.file_format import FileFormat
from gridjig.files.storage import saving
from gridjig.rack import Rack

SUFFIX = ".gridrack"
RACK_VERSION = 1
FORMAT: FileFormat[Rack] = FileFormat(
    kind="rack",
    key="gridrack",
    version=RACK_VERSION,
    wanted=Rack,
    one_a_line=frozenset({"pieces"}),
    limit=20 * 1024 * 1024,
)


def encode_rack(rack: Rack) -> bytes:
    """Return a rack's file as bytes: one piece per line, always the same for the same rack."""
    return file_format.write(FORMAT, rack)


def read_rack(path: Path) -> Rack:
    """Return the rack of a file on disk.  Raise ReadFault."""
    return file_format.load(FORMAT, path)


def write_rack(path: Path, rack: Rack) -> None:
    """Save a rack to a file, completely or not at all.  Raise SaveFault."""
    saving.save(path, encode_rack(rack), backup=False)
