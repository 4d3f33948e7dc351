"""Files that a verb writes: built in full first, written in one step, never over another by
accident.
"""

from pathlib import Path

from gridjig.files.format.faults import SaveFault, words_for
from gridjig.files.storage.saving import save

from .plain import one_line
from .verb import Refusal

FORCE_HELP = "overwrite OUT if it exists"


def require_free(out: Path, force: bool) -> None:
    """Raise Refusal if something is there already and `force` is not set."""
    try:
        there = out.exists()
    except (OSError, ValueError) as fault:
        raise _refusal(out, words_for(fault)) from fault
    if there and not force:
        name = one_line(str(out), 200)
        raise Refusal(f"{name} already exists; give another name, or --force to overwrite it.")


def write_out(out: Path, data: bytes) -> None:
    """Write the bytes to the file, whole or not at all.  Raise Refusal if that fails."""
    try:
        save(out, data, backup=False)
    except SaveFault as fault:
        raise _refusal(out, fault.why) from fault


def _refusal(out: Path, why: str) -> Refusal:
    name = one_line(str(out), 200)
    return Refusal(f"{name} was not written: {why}; choose another location. Nothing was changed.")
