"""The user's own tables, racks and sections, kept in the state folder to be offered again.

Read as strictly as any file.  A file that cannot be read is never overwritten: it may be all that
is left of a measured table.
"""

import logging
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from msgspec import Struct, structs

from gridjig.files.format import file_format
from gridjig.files.format.faults import ReadFault, SaveFault
from gridjig.files.format.file_format import FileFormat
from gridjig.files.storage.guard import file_guard
from gridjig.files.storage.locations import user_library_file
from gridjig.files.storage.saving import save
from gridjig.model import Section, Table
from gridjig.rack import Rack

from .assets import ready_tables, starter_racks

log = logging.getLogger(__name__)
T = TypeVar("T", Table, Rack, Section)


class UserLibrary(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the user has kept.  Tables, racks and sections each have unique names."""

    tables: tuple[Table, ...] = ()
    racks: tuple[Rack, ...] = ()
    sections: tuple[Section, ...] = ()

    def __post_init__(self) -> None:
        for word, kept in (
            ("tables", self.tables),
            ("racks", self.racks),
            ("sections", self.sections),
        ):
            names = [one.name for one in kept]
            twice = next((n for n in names if names.count(n) > 1), None)
            if twice is not None:
                raise ValueError(f"two {word} have the name {twice}; each needs its own")


FORMAT: FileFormat[UserLibrary] = FileFormat(
    kind="custom tables, racks and sections",
    key="gridjig own",
    version=1,
    wanted=UserLibrary,
    one_a_line=frozenset({"tables", "racks", "sections"}),
)


def load(file: Path | None = None) -> UserLibrary:
    """Return what was kept; empty if there is no file yet.  Raise ReadFault."""
    try:
        return file_format.load(FORMAT, file or user_library_file())
    except ReadFault as fault:
        if isinstance(fault.__cause__, FileNotFoundError | NotADirectoryError):
            return UserLibrary()
        raise


def keep_table(table: Table, file: Path | None = None) -> None:
    """Keep a table, replacing one of the same name.  Raise SaveFault."""
    _change(lambda own: structs.replace(own, tables=_with(own.tables, table)), file)


def forget_table(name: str, file: Path | None = None) -> None:
    """Remove the table of that name.  Raise SaveFault."""
    _change(lambda own: structs.replace(own, tables=_without(own.tables, name)), file)


def keep_rack(rack: Rack, file: Path | None = None) -> None:
    """Keep a rack, replacing one of the same name.  Raise SaveFault."""
    _change(lambda own: structs.replace(own, racks=_with(own.racks, rack)), file)


def forget_rack(name: str, file: Path | None = None) -> None:
    """Remove the rack of that name.  Raise SaveFault."""
    _change(lambda own: structs.replace(own, racks=_without(own.racks, name)), file)


def keep_section(section: Section, file: Path | None = None) -> None:
    """Keep a section, replacing one of the same name.  Raise SaveFault."""
    _change(lambda own: structs.replace(own, sections=_with(own.sections, section)), file)


def forget_section(name: str, file: Path | None = None) -> None:
    """Remove the section of that name.  Raise SaveFault."""
    _change(lambda own: structs.replace(own, sections=_without(own.sections, name)), file)


OWN = "own/"
"""The key prefix of offered tables and racks that are the user's own."""


def offered_tables() -> dict[str, Table]:
    """Return every table that a job can start with: the ready ones, then the user's own."""
    return {**ready_tables(), **{f"{OWN}{t.name}": t for t in user_library().tables}}


def offered_racks() -> dict[str, Rack]:
    """Return every rack that a job can start with: the starter racks, then the user's own."""
    return {**starter_racks(), **{f"{OWN}{r.name}": r for r in user_library().racks}}


def user_library() -> UserLibrary:
    """Return what was kept; a damaged file is only logged, so that a job can still start."""
    try:
        return load()
    except ReadFault as fault:
        log.warning("custom tables, racks and sections are left out: %s", fault)
        return UserLibrary()


def _with(kept: tuple[T, ...], new: T) -> tuple[T, ...]:
    """With the new one last: what was kept last is what the next job starts with."""
    things = [one for one in kept if one.name != new.name]
    things.append(new)
    return tuple(things)


def _without(kept: tuple[T, ...], name: str) -> tuple[T, ...]:
    return tuple(one for one in kept if one.name != name)


def _change(edit: Callable[[UserLibrary], UserLibrary], file: Path | None) -> None:
    """Change the library as it is on disk now, as another window may have changed it."""
    file = file or user_library_file()
    with file_guard(file, "what was saved before is unchanged"):
        try:
            own = load(file)
        except ReadFault as fault:
            raise SaveFault(file, f"the file there cannot be read ({fault})", _MEND) from fault
        save(file, file_format.write(FORMAT, edit(own)))


_MEND = "correct or rename that file first"
