"""Makes names from files and arguments safe for a terminal: on one line, and not too long.

A name can contain characters that move the cursor, change colours or the window's title, or end the
line; these are shown as JSON escapes, so that printed JSON stays JSON.
"""

import copy
import unicodedata
from typing import TypeVar

from msgspec import Struct, structs

LONGEST = 60
"""Maximum characters of a name in a table or a sentence."""
_JOINERS = "\u200c\u200d"  # within words in some scripts, and in emoji
T = TypeVar("T", bound=Struct)


def escaped(text: str, keep: str = "\n") -> str:
    r"""Return the text with invisible characters escaped, as `\u001b`; `keep` is left as it is."""
    if text.isprintable():
        return text
    return "".join(sign if sign in keep or _visible(sign) else _written(sign) for sign in text)


def _visible(sign: str) -> bool:
    return sign.isprintable() or sign in _JOINERS or unicodedata.category(sign) == "Zs"


def _written(sign: str) -> str:
    code = ord(sign)
    if code < 0x10000:
        return f"\\u{code:04x}"
    high, low = divmod(code - 0x10000, 0x400)
    return f"\\u{0xD800 + high:04x}\\u{0xDC00 + low:04x}"


def one_line(text: str, longest: int = LONGEST) -> str:
    """Return the text on one line, cut to that many characters."""
    shown = escaped(text, keep="")
    return shown if len(shown) <= longest else shown[: longest - 1] + "…"


def plainly(value: T) -> T:
    """Return the value with every text in it, at any depth, on one line."""
    changed = {}
    for name in value.__struct_fields__:
        old = getattr(value, name)
        new = _plainly(old)
        if new is not old:
            changed[name] = new
    if not changed:
        return value
    made = copy.copy(value)  # not checked again: an escape may be longer than the name may be
    for name, new in changed.items():
        structs.force_setattr(made, name, new)
    return made


def _plainly(value: object) -> object:
    if isinstance(value, str):
        made = one_line(value)
        return value if made == value else made
    if isinstance(value, Struct):
        return plainly(value)
    if isinstance(value, tuple) and not hasattr(value, "_fields"):
        each = tuple(_plainly(entry) for entry in value)
        return value if all(a is b for a, b in zip(each, value, strict=True)) else each
    return value
