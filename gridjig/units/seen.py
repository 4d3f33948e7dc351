"""What can be seen of a text that somebody typed, or that came in a file."""

import unicodedata

_JOINERS = "\u200c\u200d"
"""Within words of some scripts, and in emoji."""
_BLANKS = "\t\n\r\u2028\u2029"


def seen(words: str) -> str:
    """Return a text on one line, without letters that cannot be seen.

    Control characters have no shape, and a mark that turns the direction of writing in a name would
    show the rest of its row backwards.  The end of a line and a tab become a blank.
    """
    if words.isprintable():
        return words
    return "".join(_seen(one) for one in words)


def _seen(one: str) -> str:
    if one in _BLANKS:
        return " "
    kept = one.isprintable() or one in _JOINERS or unicodedata.category(one) == "Zs"
    return one if kept else ""
