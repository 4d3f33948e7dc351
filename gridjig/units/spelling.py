"""US or UK spelling of the program's own words.

Its texts are written with UK spelling, and `spelled` puts them into the spelling in use.  It is
applied to what the program says, before names are put in: a name that somebody has typed is never
respelled.  The spelling is chosen once, before the modules that hold the texts are loaded.
`tests/units/test_spelling.py` finds a text that is not passed through it.
"""

import re
from collections.abc import Mapping
from typing import Literal

Spelling = Literal["US", "UK"]
SPELLINGS: Mapping[str, Spelling] = {"US": "US", "UK": "UK"}

US: Mapping[str, str] = {
    "cancelled": "canceled",
    "centimetres": "centimeters",
    "centre": "center",
    "centred": "centered",
    "centres": "centers",
    "colour": "color",
    "coloured": "colored",
    "colours": "colors",
    "grey": "gray",
    "greys": "grays",
    "licence": "license",
    "licences": "licenses",
    "metre": "meter",
    "metres": "meters",
    "millimetre": "millimeter",
    "millimetres": "millimeters",
    "mitre": "miter",
    "mitred": "mitered",
    "mitres": "miters",
    "neighbour": "neighbor",
    "neighbouring": "neighboring",
    "neighbours": "neighbors",
}
"""The words of the program that US English spells differently, all in lower case."""

_WORDS = re.compile(rf"\b({'|'.join(US)})\b", re.IGNORECASE)
_in_use: list[Spelling] = ["UK"]


def use_spelling(spelling: Spelling) -> None:
    """Spell this way from now on; texts that were made before stay as they are."""
    _in_use[0] = spelling


def spelling_of(language: str) -> Spelling:
    """Return the spelling of a system's language, such as en_US or English_United States."""
    words = language.lower().replace("-", "_")
    return "US" if words.startswith(("en_us", "english_united states")) else "UK"


def spelled(text: str) -> str:
    """Return one of the program's own texts in the spelling in use."""
    return text if _in_use[0] == "UK" else _WORDS.sub(_respelled, text)


def _respelled(found: re.Match[str]) -> str:
    word = found[0]
    new = US[word.lower()]
    return new.upper() if word.isupper() else new.capitalize() if word[0].isupper() else new
