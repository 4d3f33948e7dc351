"""Reads the text of a PDF as it is printed: each line with its place, its height and its letters.

Knows the operators of a content stream that matter to text, and nothing of who wrote the file;
pypdf finds the pages, their streams and the tables from glyphs to letters.
"""

import re
from collections.abc import Iterator
from io import BytesIO

import pypdf
from msgspec import Struct
from pypdf.generic import DictionaryObject, StreamObject

MM = 72.0 / 25.4
CAPITAL = 0.729
"""Height of a capital as a fraction of the em, of the sans serif that the sheets are set in."""

Matrix = tuple[float, float, float, float, float, float]
_UNIT: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_TOKEN = re.compile(rb"<[0-9A-Fa-f]*>|/[^\s<>\[\]()/]+|[^\s<>\[\]()/]+")
_RANGE = re.compile(
    rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*(\[[^\]]*\]|<[0-9A-Fa-f]+>)",
)


class Line(Struct, frozen=True):
    """A line of text: the left end of its base line, mm from the page's top left corner, the height
    of its capitals in mm, and whether it is bold, in grey, or turned.
    """

    x: float
    y: float
    words: str
    size: float
    bold: bool
    grey: bool
    turned: bool


def printed(data: bytes) -> list[list[Line]]:
    """Return the lines of each page of a PDF, in the order in which they are written."""
    reader = pypdf.PdfReader(BytesIO(data), strict=True)
    return [list(_lines(page)) for page in reader.pages]


def _lines(page: pypdf.PageObject) -> Iterator[Line]:  # noqa: PLR0912 - one case an operator
    contents = page.get_contents()
    assert contents is not None
    resources = page["/Resources"].get_object()
    assert isinstance(resources, DictionaryObject)
    listed = resources["/Font"].get_object()
    assert isinstance(listed, DictionaryObject)
    fonts = {key.encode(): _Font(value.get_object()) for key, value in listed.items()}
    high = float(page.mediabox.height)
    drawn, stack = _UNIT, []
    ink: tuple[float, ...] = (0.0,)
    font, em, text, start, made = None, 0.0, _UNIT, None, ""
    before: list[bytes] = []
    for token in _TOKEN.findall(contents.get_data()):
        match token:
            case b"q":
                stack.append((drawn, ink))
            case b"Q":
                drawn, ink = stack.pop()
            case b"cm":
                drawn = _times(_matrix(before), drawn)
            case b"scn" | b"rg" | b"g":
                ink = _numbers(before)
            case b"BT":
                text, start, made = _UNIT, None, ""
            case b"Tf":
                font, em = fonts[before[-2]], float(before[-1])
            case b"Tm":
                text = _matrix(before)
            case b"Td":
                text = _times((1.0, 0.0, 0.0, 1.0, float(before[-2]), float(before[-1])), text)
            case b"Tj":
                assert font is not None
                start = start or _times(text, drawn)
                made += font.read(before[-1])
            case b"ET":
                if start is not None and font is not None:
                    a, b, c, d, x, y = start
                    size = (c * c + d * d) ** 0.5 * em * CAPITAL / MM
                    grey = min(ink) > 0.1
                    turned = abs(b) > abs(a)
                    yield Line(x / MM, (high - y) / MM, made, size, font.bold, grey, turned)
            case _:
                before.append(token)
                continue
        before = []


class _Font:
    """A font of a PDF: whether it is bold, and its letters by the codes of its glyphs."""

    def __init__(self, font: object) -> None:
        assert isinstance(font, DictionaryObject)
        self.bold = "Bold" in str(font["/BaseFont"])
        stream = font["/ToUnicode"].get_object()
        assert isinstance(stream, StreamObject)
        table = stream.get_data()
        self._letters: dict[int, str] = {}
        for group in re.findall(rb"beginbfrange(.*?)endbfrange", table, re.DOTALL):
            for low, high, rest in _RANGE.findall(group):
                first, last = int(low, 16), int(high, 16)
                values = list(map(_decoded, re.findall(rb"<([0-9A-Fa-f]+)>", rest)))
                if not rest.startswith(b"["):
                    values = [chr(ord(values[0]) + k) for k in range(last - first + 1)]
                self._letters |= dict(enumerate(values, first))
        for group in re.findall(rb"beginbfchar(.*?)endbfchar", table, re.DOTALL):
            for code, value in re.findall(rb"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", group):
                self._letters[int(code, 16)] = _decoded(value)

    def read(self, glyphs: bytes) -> str:
        """The letters of a hexadecimal string of two-byte codes."""
        bare = glyphs.strip(b"<>")
        return "".join(self._letters[int(bare[k : k + 4], 16)] for k in range(0, len(bare), 4))


def _decoded(value: bytes) -> str:
    return bytes.fromhex(value.decode()).decode("utf-16-be")


def _numbers(tokens: list[bytes]) -> tuple[float, ...]:
    """The numbers at the end of some tokens."""
    found: list[float] = []
    for token in reversed(tokens):
        try:
            found.append(float(token))
        except ValueError:
            break
    return tuple(found)


def _matrix(values: list[bytes]) -> Matrix:
    a, b, c, d, e, f = map(float, values[-6:])
    return (a, b, c, d, e, f)


def _times(one: Matrix, then: Matrix) -> Matrix:
    """The matrix that applies one and then the other."""
    a, b, c, d, e, f = one
    p, q, r, s, t, u = then
    return (
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    )
