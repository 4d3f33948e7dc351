"""The order in which people expect names with numbers in them."""

import re


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """Return a key that sorts numbers in a text by value, ignoring case."""
    return tuple(
        (False, int(part), "") if part.isdecimal() else (True, 0, part.casefold())
        for part in re.split(r"(\d+)", text)
        if part
    )
