"""Text that somebody typed, as it may stand in a drawing: one line, nothing that is a command."""

import unicodedata

_LONGEST = 250
"""Characters of one text; DXF allows 255 of a line."""


def printable(text: str) -> str:
    """Return a text on one line without control characters, surrogates and direction marks."""
    kept = "".join(
        " " if one.isspace() else one
        for one in text
        if one.isspace() or unicodedata.category(one) not in ("Cc", "Cf", "Cs", "Cn", "Co")
    )
    line = " ".join(kept.split())
    return line if len(line) <= _LONGEST else line[: _LONGEST - 1] + "…"
