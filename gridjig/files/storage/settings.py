"""The user's settings: a small typed file in the state folder.

If a settings file cannot be read, the defaults are used: settings must never keep the program from
opening.  The file, perhaps of a newer version, stays as the backup when settings are next saved.
"""

import locale
import logging
import os
from pathlib import Path
from typing import Annotated, Literal

import msgspec
from msgspec import Meta, Struct

from gridjig.files.format.faults import SaveFault
from gridjig.model import SectionKind, WayUp
from gridjig.units import Unit
from gridjig.units.spelling import SPELLINGS, Spelling, spelling_of

from .locations import make_private, read_own, settings_file

log = logging.getLogger(__name__)

ThemeChoice = Literal["light", "dark", "system", "print"]


Pixels = Annotated[int, Meta(ge=-20_000, le=20_000)]
"""More than any screen has."""


class Division(Struct, frozen=True, forbid_unknown_fields=True):
    """How the person has divided the window: widths of the drawer and of the side, logical px, and
    the form's share of the side's height, percent, below a list and below a pane that needs more
    room (angle, weldment, help); 0 where they left it as it was.
    """

    drawer: Annotated[int, Meta(ge=0, le=20_000)] = 0
    side: Annotated[int, Meta(ge=0, le=20_000)] = 0
    form: Annotated[int, Meta(ge=0, le=100)] = 0
    form_by_work: Annotated[int, Meta(ge=0, le=100)] = 0


class Settings(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the user has chosen; the defaults are for a first start.

    `px_per_mm` is the screen as measured with a card, logical px; 0 if not measured.
    `text_percent` is the text size, `autosave_s` the seconds between autosaves.  `letters` enables
    single-letter keys on the canvas.  `section` and `section_kind` name the section drawn
    last; `lies`, `way_up` and `mirrored` say how it lay.
    `spelling` is that of the program's own words; "system" takes it from the language.
    `first_job` is how many steps of the guided first job were done.
    `round_sheet` is the margin round the canvas when the window was last open, logical px left,
    above, right and below: the first picture of the next window is painted there.
    """

    unit: Unit = "inch fractions"
    denominator: Literal[8, 16, 32, 64] = 16
    theme: ThemeChoice = "light"
    glove: bool = False
    wheel: Literal["zoom", "pan"] = "zoom"
    px_per_mm: Annotated[float, Meta(ge=0, le=100)] = 0.0
    text_percent: Annotated[int, Meta(ge=80, le=250)] = 100
    autosave_s: Annotated[int, Meta(ge=1, le=15)] = 15
    letters: bool = True
    folder: Annotated[str, Meta(max_length=4096)] = ""
    section: Annotated[str, Meta(max_length=120)] = ""
    section_kind: SectionKind | Literal[""] = ""
    lies: Literal["left", "centre", "right"] = "centre"
    way_up: WayUp = 0
    mirrored: bool = False
    rack_shown: bool = True
    side_shown: bool = True
    contacts_shown: bool = True
    division: Division = Division()
    spelling: Literal["system", "US", "UK"] = "system"
    first_job: Annotated[int, Meta(ge=0, le=10)] = 0
    round_sheet: tuple[Pixels, Pixels, Pixels, Pixels] = (233, 72, 373, 73)


def read_settings(path: Path | None = None) -> Settings:
    """Return the settings in the file, or the defaults if it is missing or unreadable."""
    path = path or settings_file()
    try:
        return _read(path)
    except _FAULTS as fault:
        if not isinstance(fault, FileNotFoundError | NotADirectoryError):
            log.warning("settings at %s cannot be read; the defaults are used: %s", path, fault)
        return Settings()


def spelling_in_use(settings: Settings) -> Spelling:
    """Return how the program's words are spelled: as GRIDJIG_SPELLING says (for scripts), else as
    in the settings, else as in the language of the system.
    """
    wanted = os.environ.get("GRIDJIG_SPELLING", "").upper() or settings.spelling
    if wanted in SPELLINGS:
        return SPELLINGS[wanted]
    names = (os.environ.get(name) for name in ("LC_ALL", "LC_MESSAGES", "LANG"))
    language = next((name for name in names if name), None) or locale.getlocale()[0] or ""
    return spelling_of(language)


def settings_fault(path: Path | None = None) -> str:
    """Return why the settings file cannot be read, in a few words; "" if it can."""
    try:
        _read(path or settings_file())
    except (FileNotFoundError, NotADirectoryError):
        return ""
    except OSError:
        return "is not an ordinary file"
    except _FAULTS:
        return "cannot be read, so the default settings are used"
    return ""


_FAULTS = (OSError, msgspec.MsgspecError, ValueError, RecursionError)


def _read(path: Path) -> Settings:
    return msgspec.json.decode(read_own(path), type=Settings)


def write_settings(settings: Settings, path: Path | None = None) -> bool:
    """Save the settings; return False, with a note in the log, if they cannot be written."""
    from .saving import save  # noqa: PLC0415 - the window reads settings before it needs to save any

    path = path or settings_file()
    try:
        make_private(path.parent)
        data = msgspec.json.format(msgspec.json.encode(settings), indent=1)
        save(path, data, backup=bool(settings_fault(path)))
    except (OSError, SaveFault) as fault:
        log.warning("settings cannot be kept at %s: %s", path, fault)
        return False
    return True
