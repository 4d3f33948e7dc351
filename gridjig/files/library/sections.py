"""The list of stock sizes that comes with the program, and the user's own sections.

Read on first use, then cached.  A section is copied into the member that is cut from it, so a
job never depends on this list.
"""

from functools import cache
from typing import Literal

from msgspec import Struct

from gridjig.files.format import file_format
from gridjig.files.format.file_format import FileFormat
from gridjig.model import Section, SectionKind

from . import user_library
from .assets import assets_dir

Group = Literal["EN", "US"]


class ListedSection(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A listed size, its group, and the source of its dimensions."""

    group: Group
    source: str
    section: Section


class SectionList(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The whole list, in the order offered."""

    sections: tuple[ListedSection, ...]


FORMAT: FileFormat[SectionList] = FileFormat(
    kind="section list",
    key="gridjig sections",
    version=1,
    wanted=SectionList,
    one_a_line=frozenset({"sections"}),
)


@cache
def listed() -> tuple[ListedSection, ...]:
    """Return every size of the list that comes with the program."""
    return file_format.load(FORMAT, assets_dir() / "sections.json").sections


def sections(group: Group | None = None, kind: SectionKind | None = None) -> tuple[Section, ...]:
    """Return the sections on offer, the user's own first, of one group or kind if given.

    The user's own sections belong to both groups.
    """
    ready = (one.section for one in listed() if group in (None, one.group))
    return tuple(
        s for s in (*user_library.user_library().sections, *ready) if kind in (None, s.kind)
    )


def source(section: Section) -> str:
    """Return the source of a section's dimensions, in words."""
    for one in listed():
        if one.section == section:
            return one.source
    return "custom section"


def find_section(text: str, kind: SectionKind | None = None) -> Section | None:
    """Return the section of that name, ignoring spaces and the kind of multiplication sign.

    `50 x 50 x 3`, `50×50×3` and `50X50X3` are the same name.
    """
    wanted = _folded(text)
    return next((s for s in sections(kind=kind) if _folded(s.name) == wanted), None)


def _folded(text: str) -> str:
    plain = text.casefold().replace("×", "x").replace("ø", "").replace('"', "")
    return "".join(plain.split())
