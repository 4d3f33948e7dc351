"""What importing a rack would do to a rack, in words: pieces added, changed and lost.

Pure: values in, words out.
"""

from gridjig.edits.rack_import import ImportKind, ImportLine
from gridjig.rack import Rack
from gridjig.rack.measure import measure_of
from gridjig.sheets.text.piece_change_text import count_words, differences
from gridjig.units import Display

HEADS: tuple[tuple[ImportKind, str], ...] = (
    ("added", "Added"),
    ("changed", "Changed"),
    ("gone", "Removed"),
    ("name", "Name of the rack"),
    ("walk", "Walking order of the bins"),
)
"""What lines do, in the order shown, with their headings."""


def line_words(line: ImportLine, rack: Rack, other: Rack, display: Display) -> str:
    """Return what one line of an import would do, in words."""
    match line.does:
        case "name":
            return f"{rack.name} to {other.name}"
        case "walk":
            return f"{_bins(rack)} to {_bins(other)}"
        case "changed" if line.before and line.after:
            return differences(line.before, line.after, display)
    assert line.piece is not None
    words = count_words(line.piece)
    if line.beside is None:
        return words
    known = measure_of(line.beside)
    which = f"the {known} {line.beside.name}" if known else line.beside.name
    return f"{words}; beside {which}, which stays as it is"


def _bins(rack: Rack) -> str:
    if not rack.walk:
        return "none"
    more = f" and {len(rack.walk) - 6} more" if len(rack.walk) > 6 else ""
    return ", ".join(rack.walk[:6]) + more
