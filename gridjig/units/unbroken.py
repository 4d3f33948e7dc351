"""Where a text may be broken into lines: at a blank, but not between a number and its unit."""

import re

_UNIT = r"(?:(?:mm|cm|kg|lb|in|N|g)(?![A-Za-z0-9])|%)"
_BREAK = re.compile(rf" (?!{_UNIT})|(?<![0-9]) ")
_HELD = re.compile(rf"(?<=[0-9]) (?={_UNIT})")


def words_of(text: str) -> list[str]:
    """Return the words of a text, a number with its unit as one."""
    return [word for line in text.split("\n") for word in _BREAK.split(line)]


def unbroken(text: str) -> str:
    """Return a text as long, in which nothing that wraps lines parts a number from its unit."""
    return _HELD.sub("\u00a0", text)
