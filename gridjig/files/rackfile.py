"""The rack file: a rack on its own, to take from one shop or job to another.

A rack file is one JSON document with a piece to a line.  It knows nothing of tables or jobs.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import msgspec

from gridjig.rack import Piece, Rack

from .codec import ReadFault, decode

RACK_VERSION = 1
MOST_BYTES = 20_000_000


class RackFile(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The whole document: what it is, which version of the form, and the rack."""

    format: Literal["gridjig rack"] = "gridjig rack"
    version: int = RACK_VERSION
    rack: Rack


@dataclass(frozen=True, slots=True)
class Merge:
    """A rack with another one's pieces in it, and what that did: ids added, changed, the same."""

    rack: Rack
    added: tuple[str, ...]
    changed: tuple[str, ...]
    same: tuple[str, ...]


def encode_rack(rack: Rack) -> bytes:
    """The rack as a document: fixed order of fields, defaults left out, one piece a line."""
    if not rack.pieces:
        return msgspec.json.encode(RackFile(rack=rack)) + b"\n"
    head = msgspec.json.encode({"format": "gridjig rack", "version": RACK_VERSION})[:-1]
    name = msgspec.json.encode(rack.name)
    walk = msgspec.json.encode(rack.walk)
    lines = b",\n".join(_line(piece) for piece in rack.pieces)
    return b'%s,\n"rack":{"name":%s,\n"walk":%s,\n"pieces":[\n%s\n]}}\n' % (head, name, walk, lines)


def _line(piece: Piece) -> bytes:
    """One piece; what stands at its default is left out, except what the features are called."""
    whole = msgspec.to_builtins(piece)
    plain = msgspec.to_builtins(Piece(id="x", name="x", kind="other"))
    return msgspec.json.encode(
        {key: value for key, value in whole.items() if key not in plain or value != plain[key]}
    )


def read_rack(path: Path) -> Rack:
    """The rack in a file.  ReadFault says which file, where in it, and what is expected; OSError
    if the file cannot be opened.
    """
    if path.stat().st_size > MOST_BYTES:
        raise ReadFault(f"{path.name}: the file is too large for a rack (more than 20 MB)")
    return decode_rack(path.read_bytes(), path.name)


def decode_rack(data: bytes, source: str) -> Rack:
    """The rack in a document; `source` names it in a ReadFault."""
    return decode(data, RackFile, source).rack


def write_rack(path: Path, rack: Rack) -> None:
    """Write a rack file.  OSError if that cannot be done."""
    path.write_bytes(encode_rack(rack))


def merge_rack(rack: Rack, other: Rack) -> Merge:
    """The rack with every piece of `other`: new ones added at the end, namesakes replaced."""
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
    walk = (*merged.walk, *(b for b in other.walk if b not in merged.walk))
    merged = msgspec.structs.replace(merged, walk=walk)
    return Merge(merged, tuple(added), tuple(changed), tuple(same))
