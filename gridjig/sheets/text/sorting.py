"""The order in which people look for names with numbers in them."""

import re


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """A key that sorts numbers inside a text by their value, whatever the case of its letters."""
    return tuple(
        (False, int(part), "") if part.isdecimal() else (True, 0, part.casefold())
        for part in re.split(r"(\d+)", text)
        if part
    )
