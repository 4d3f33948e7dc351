"""A kind of document: its key, version and layout.  One way to read and write them all.

The first field of every document is its key with the format version.  The program version is left
out on purpose: it adds nothing to the format version, and two people with different program
versions would clutter each other's diffs.
"""

from pathlib import Path
from typing import Generic, TypeVar

from msgspec import Struct, field

from . import codec
from .codec import Source
from .faults import ReadFault, clip
from .migrations import Steps, Tree, migrate

T = TypeVar("T", bound=Struct)


class FileFormat(Struct, Generic[T], frozen=True):
    """How one kind of document is written.

    `kind` is its name in a sentence ("job"), `key` its first field, `one_a_line` the lists whose
    entries stand one a line, `spread` the groups whose fields do.
    """

    kind: str
    key: str
    version: int
    wanted: type[T]
    steps: Steps = field(default_factory=dict)
    one_a_line: frozenset[str] = frozenset()
    spread: frozenset[str] = frozenset()
    limit: int = codec.LIMIT


def write(form: FileFormat[T], value: T) -> bytes:
    """Return the document of a value."""
    return codec.encode(value, {form.key: form.version}, form.one_a_line, form.spread)


def read(form: FileFormat[T], data: bytes, path: Source = None) -> T:
    """Return the value of a document, migrated to the newest version.  Raise ReadFault."""
    tree = codec.decode_tree(data, path)
    if not isinstance(tree, dict) or form.key not in tree:
        why = f"it is not a GridJig {form.kind} file: it has no field {form.key!r}"
        raise ReadFault(path, "", why, f"choose a {form.kind} file")
    version = tree.pop(form.key)
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        why = "the version of the file must be a whole number, 1 or more"
        raise codec.fault_at(data, path, (form.key,), why)
    if version > form.version:
        shown = clip(str(version), 12)
        why = f"it is version {shown}, and this GridJig reads up to version {form.version}"
        raise ReadFault(path, "", why, "open it with a newer GridJig; the file stays as it is")
    newest: Tree = migrate(tree, version, form.version, form.steps)
    return codec.to_value(newest, form.wanted, data, path)


def load(form: FileFormat[T], path: Path) -> T:
    """Return the value of a document on disk.  Raise ReadFault."""
    return read(form, codec.read_bytes(path, form.limit), path)
