"""What the process that reads an SVG drawing says to the one that waits for it, as bytes.

Each frame is its length in four bytes, then one of these values as MessagePack.
"""

import struct
from collections.abc import Iterator
from typing import IO

import msgspec
from msgspec import Struct

from gridjig.files.drawings.curves import Affine, Beziers, DrawnCurve, Ellipse, LineArcPath
from gridjig.files.drawings.sketch import Count, Sketch

_LENGTH = struct.Struct(">I")
_EACH = 1000
"""Curves in one frame: they are decoded in a few milliseconds."""

SentCurve = tuple[str, LineArcPath | Ellipse | Beziers, Affine | None]


class Reached(Struct, frozen=True, tag=True):
    """How far it has come: so many shapes."""

    shapes: int


class Curves(Struct, frozen=True, tag=True):
    """Some of the curves of the sketch, in order."""

    curves: tuple[SentCurve, ...]


class Done(Struct, frozen=True, tag=True):
    """All curves are sent; this is the rest of the sketch."""

    unit: str | None
    unused: tuple[Count, ...]


class Refused(Struct, frozen=True, tag=True):
    """The drawing cannot be read; the values are those of a ReadFault."""

    where: str
    why: str
    do: str
    line: int = 0
    column: int = 0


class Broken(Struct, frozen=True, tag=True):
    """A fault of the program; the text is its traceback."""

    trace: str


Frame = Reached | Curves | Done | Refused | Broken

_decoder: msgspec.msgpack.Decoder[Frame] = msgspec.msgpack.Decoder(Frame)


def write_frame(stream: IO[bytes], frame: Frame) -> None:
    """Write a frame.  Raise OSError if nobody reads it."""
    data = msgspec.msgpack.encode(frame)
    stream.write(_LENGTH.pack(len(data)) + data)
    stream.flush()


def frames_of(sketch: Sketch) -> Iterator[Frame]:
    """Yield the frames that a sketch is sent in."""
    for start in range(0, len(sketch.curves), _EACH):
        some = sketch.curves[start : start + _EACH]
        yield Curves(tuple(_sent(curve) for curve in some))
    yield Done(sketch.unit, sketch.unused)


def _sent(drawn: DrawnCurve) -> SentCurve:
    assert isinstance(drawn.curve, LineArcPath | Ellipse | Beziers)  # all that Qt draws
    return (drawn.layer, drawn.curve, drawn.where)


def read_frame(stream: IO[bytes]) -> bytes | None:
    """Return the bytes of the next frame, or None if the writer has ended, also in the middle."""
    head = stream.read(_LENGTH.size)
    if len(head) < _LENGTH.size:
        return None
    [length] = _LENGTH.unpack(head)
    data = stream.read(length)
    return data if len(data) == length else None


def frame_of(data: bytes) -> Frame:
    """Return the frame in these bytes."""
    return _decoder.decode(data)


def drawn_curves(frame: Curves) -> Iterator[DrawnCurve]:
    """Yield the curves of a frame."""
    for layer, curve, where in frame.curves:
        yield DrawnCurve(layer, curve, where)
