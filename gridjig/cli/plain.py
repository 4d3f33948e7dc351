"""Names from files and arguments as a terminal may show them: on one line, and not for ever.

A name can hold what moves the cursor, changes colours or the title of the window, or ends the line;
such signs are shown as they are written in JSON, so that what is printed as JSON stays JSON.
"""

import unicodedata
from typing import TypeVar

from msgspec import Struct, structs

LONGEST = 60
"""Characters of a name in a table or a sentence."""
_JOINERS = "\u200c\u200d"  # within words of some scripts, and in pictures
T = TypeVar("T", bound=Struct)


def escaped(text: str, keep: str = "\n") -> str:
    r"""The text with all that is no visible sign written out, `\u001b`; `keep` is left alone."""
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
    """The text on one line, cut where it is longer than that many characters."""
    shown = escaped(text, keep="")
    return shown if len(shown) <= longest else shown[: longest - 1] + "…"


def plainly(value: T) -> T:
    """The value with every name and text in it on one line, also in the values that it holds."""
    changed = {}
    for name in value.__struct_fields__:
        old = getattr(value, name)
        new = _plainly(old)
        if new is not old:
            changed[name] = new
    return structs.replace(value, **changed) if changed else value


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
