"""The rack file, `.gridrack`: a rack on its own, to take from one shop or job to another.

The starter racks are such files.  It knows nothing of tables or jobs.
"""

from pathlib import Path

from msgspec import Struct, structs

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


class RackMerge(Struct, frozen=True):
    """A rack with another one's pieces in it, and what that did: ids added, changed, the same."""

    rack: Rack
    added: tuple[str, ...]
    changed: tuple[str, ...]
    same: tuple[str, ...]


def encode_rack(rack: Rack) -> bytes:
    """The bytes of a rack's file: a piece a line, and the same rack always gives the same bytes."""
    return file_format.write(FORMAT, rack)


def read_rack(path: Path) -> Rack:
    """The rack of a file on disk.  Raises ReadFault."""
    return file_format.load(FORMAT, path)


def write_rack(path: Path, rack: Rack) -> None:
    """Put a rack in a file, whole or not at all.  Raises SaveFault."""
    saving.save(path, encode_rack(rack), backup=False)


def merge_rack(rack: Rack, other: Rack) -> RackMerge:
    """The rack with every piece of `other`: new ones added at the end, namesakes replaced.

    Bins that only the other one walks to come last.
    """
    added: list[str] = []
    changed: list[str] = []
    same: list[str] = []
    merged = rack
    for piece in other.pieces:
        found = rack.find(piece.id)
        if found is None:
            added.append(piece.id)
        elif found == piece:
            same.append(piece.id)
        else:
            changed.append(piece.id)
        merged = merged.with_piece(piece)
    walk = (*rack.walk, *(place for place in other.walk if place not in rack.walk))
    return RackMerge(structs.replace(merged, walk=walk), tuple(added), tuple(changed), tuple(same))
