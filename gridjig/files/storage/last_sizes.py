"""What was last put into the form of each standard weldment, kept in the state folder.

A file that cannot be read or written only means that the form starts from its usual sizes.
"""

import logging
from pathlib import Path
from typing import Annotated

import msgspec
from msgspec import Meta, Struct

from gridjig.files.format.faults import SaveFault
from gridjig.model import Section
from gridjig.units.limits import LONGEST

from .locations import make_private, read_own, settings_file

log = logging.getLogger(__name__)

_Key = Annotated[str, Meta(max_length=60)]
_Number = Annotated[float, Meta(ge=-LONGEST, le=LONGEST)]


class LastSizes(Struct, frozen=True, forbid_unknown_fields=True):
    """The sizes in mm and degrees, options, sections and lists of places of one form, by key."""

    numbers: Annotated[dict[_Key, _Number], Meta(max_length=40)] = {}
    choices: Annotated[dict[_Key, Annotated[str, Meta(max_length=120)]], Meta(max_length=40)] = {}
    sections: Annotated[dict[_Key, Section], Meta(max_length=40)] = {}
    places: Annotated[
        dict[_Key, Annotated[tuple[_Number, ...], Meta(max_length=200)]], Meta(max_length=40)
    ] = {}


Kept = dict[str, LastSizes]
"""The last sizes of every form, by its key; the form used last comes last."""


def last_sizes_file() -> Path:
    """The file that they are kept in."""
    return settings_file().with_name("last-sizes.json")


def read_last_sizes(path: Path | None = None) -> Kept:
    """Return what was kept, or nothing if there is none or it cannot be read."""
    try:
        return msgspec.json.decode(read_own(path or last_sizes_file()), type=Kept)
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except (OSError, msgspec.MsgspecError, ValueError, RecursionError) as fault:
        log.warning("the sizes of forms cannot be read, and start as usual: %s", fault)
        return {}


def keep_last_sizes(key: str, sizes: LastSizes, path: Path | None = None) -> bool:
    """Keep the sizes of one form; return False, with a note in the log, if they cannot be."""
    from .saving import save  # noqa: PLC0415 - the form is shown before anything is saved

    path = path or last_sizes_file()
    kept = read_last_sizes(path)
    kept.pop(key, None)
    kept[key] = sizes
    try:
        make_private(path.parent)
        save(path, msgspec.json.format(msgspec.json.encode(kept), indent=1), backup=False)
    except (OSError, SaveFault) as fault:
        log.warning("the sizes of forms cannot be kept at %s: %s", path, fault)
        return False
    return True
