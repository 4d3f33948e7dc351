"""Letters of single strokes, for engraving: a laser follows lines and knows no fonts.

Capitals are 6 units high on a grid 4 units wide; small letters are engraved as capitals, accents
are left out, and what has no shape here is a square.
"""

import unicodedata

from gridjig.rack import Point

HEIGHT = 6
_ADVANCE = 6
_STROKES: dict[str, str] = {
    "A": "00 26 40|12 32",
    "B": "00 06 36 45 44 33 03|33 42 41 30 00",
    "C": "45 36 16 05 01 10 30 41",
    "D": "00 06 26 44 42 20 00",
    "E": "46 06 00 40|03 33",
    "F": "46 06 00|03 33",
    "G": "45 36 16 05 01 10 30 41 43 23",
    "H": "00 06|40 46|03 43",
    "I": "10 30|20 26|16 36",
    "J": "01 10 30 41 46",
    "K": "00 06|46 03 40",
    "L": "06 00 40",
    "M": "00 06 23 46 40",
    "N": "00 06 40 46",
    "O": "10 01 05 16 36 45 41 30 10",
    "P": "00 06 36 45 44 33 03",
    "Q": "10 01 05 16 36 45 41 30 10|22 40",
    "R": "00 06 36 45 44 33 03|23 40",
    "S": "01 10 30 41 42 33 13 04 05 16 36 45",
    "T": "06 46|26 20",
    "U": "06 01 10 30 41 46",
    "V": "06 20 46",
    "W": "06 10 23 30 46",
    "X": "00 46|06 40",
    "Y": "06 23 46|23 20",
    "Z": "06 46 00 40",
    "0": "10 01 05 16 36 45 41 30 10|12 34",
    "1": "15 26 20|10 30",
    "2": "05 16 36 45 44 00 40",
    "3": "05 16 36 45 44 33 42 41 30 10 01|13 33",
    "4": "30 36 02 42",
    "5": "46 06 03 33 42 41 30 00",
    "6": "45 36 16 05 01 10 30 41 42 33 13 02",
    "7": "06 46 10",
    "8": "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
    "9": "01 10 30 41 45 36 16 05 04 13 33 44",
    ".": "20 21",
    ",": "21 10",
    "-": "13 33",
    "+": "13 33|22 24",
    "/": "00 46",
    ":": "21 22|24 25",
    "(": "36 24 22 30",
    ")": "16 24 22 10",
    "'": "26 24",
    '"': "16 14|36 34",
    "=": "12 32|14 34",
    "&": "40 05 16 25 02 11 20 42",
    "%": "00 46|05 16|30 41",
    "#": "10 16|30 36|02 42|04 44",
    "°": "15 26 35 24 15",
    "×": "11 35|15 31",
    "Ø": "10 01 05 16 36 45 41 30 10|00 46",
    "→": "03 43|25 43 21",
    "↑": "20 26|04 26 44",
    "_": "00 40",
    "!": "20 21|23 26",
    "?": "05 16 36 45 44 23 22|20 21",
}
_OTHER = "00 40 46 06 00"
_ALIKE = {
    "–": "-",
    "—": "-",
    "−": "-",
    "·": ".",
    "’": "'",
    "“": '"',
    "”": '"',
    "ß": "SS",
    "æ": "AE",
}


def plain_letters(text: str) -> str:
    """A text as it is engraved: capitals without accents."""
    kept = "".join(_ALIKE.get(one, one) for one in text).upper()
    return "".join(
        one if one in _STROKES else unicodedata.normalize("NFKD", one)[0] for one in kept
    )


def without_shape(text: str) -> str:
    """The letters of a text that are engraved as squares, each once."""
    return "".join(dict.fromkeys(c for c in plain_letters(text) if c not in _STROKES and c != " "))


def width(text: str, height: float) -> float:
    """How wide a text is, mm, with capitals of that height."""
    return max(0, len(plain_letters(text)) * _ADVANCE - 2) * height / HEIGHT


def strokes(text: str, height: float) -> tuple[tuple[Point, ...], ...]:
    """The lines of a text that starts at the origin and runs along x; mm."""
    scale = height / HEIGHT
    lines: list[tuple[Point, ...]] = []
    for n, letter in enumerate(plain_letters(text)):
        if letter == " ":
            continue
        for stroke in _STROKES.get(letter, _OTHER).split("|"):
            spots = [divmod(int(spot), 10) for spot in stroke.split()]
            lines.append(tuple(((x + n * _ADVANCE) * scale, y * scale) for x, y in spots))
    return tuple(lines)
