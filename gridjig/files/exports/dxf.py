"""A layered drawing as DXF (release 2000) at true size, with the unit in its header.

The frame of the file comes from ezdxf: header, tables, blocks, layers.  The shapes are written one
by one between its parts: ezdxf would keep some kilobytes for each, and a table has up to a million
holes.
"""

import io
from collections.abc import Iterator
from typing import Literal

from gridjig.geometry.layered import LayeredCircle, LayeredDrawing, LayeredText, Path, single
from gridjig.units import INCH, data_number
from gridjig.units.progress import SILENT, Progress

from .printable import printable

DrawingUnit = Literal["mm", "in"]
DIGITS: dict[DrawingUnit, int] = {"mm": 9, "in": 11}
"""Decimals of a coordinate: finer than a millionth of a mm."""
_UNITS: dict[DrawingUnit, int] = {"in": 1, "mm": 4}
"""The codes of $INSUNITS, from the DXF reference."""
_PER: dict[DrawingUnit, float] = {"mm": 1.0, "in": INCH}
_COLOURS = {
    "red": 1,
    "yellow": 2,
    "green": 3,
    "cyan": 4,
    "blue": 5,
    "magenta": 6,
    "black": 7,
    "grey": 8,
}
_CODE_PAGE = "cp1252"
_SQUARE = 0x25A1
_ALIGNED = {"left": 0, "centre": 1, "right": 2}
_MIDDLE = 2
_EVERY = 256
_MARK = "  0\nENDSEC\n  0\nSECTION\n  2\nOBJECTS\n"


def dxf_bytes(
    drawing: LayeredDrawing, unit: DrawingUnit = "mm", progress: Progress = SILENT
) -> bytes:
    """Return a drawing as the bytes of a DXF file in a unit.  Raises Cancelled."""
    head, tail, owner, first = _frame(drawing, unit)
    made = bytearray(head)
    total = len(drawing)
    for done, shape in enumerate(single(drawing.shapes)):
        if done % _EVERY == 0:
            progress.report(done, total, "Writing shapes")
        lines = [*_entity(shape, unit, f"{first + done:X}", owner), ""]
        made += "\n".join(lines).encode(_CODE_PAGE)
    made += tail
    return bytes(made)


def _frame(drawing: LayeredDrawing, unit: DrawingUnit) -> tuple[bytes, bytes, str, int]:
    """What stands before and after the shapes, the handle of their owner, and the first of the
    handles that are kept for them.
    """
    import ezdxf  # noqa: PLC0415 - only a DXF drawing needs it
    from ezdxf import units  # noqa: PLC0415

    document = ezdxf.new("R2000", units=_UNITS[unit])  # type: ignore[attr-defined]
    assert document.units in (units.IN, units.MM)
    document.header["$MEASUREMENT"] = int(unit == "mm")
    document.header["$LUNITS"] = 2  # decimal
    per = _PER[unit]
    for name, corner in (("$EXTMIN", drawing.low), ("$EXTMAX", drawing.high)):
        document.header[name] = (corner[0] / per, corner[1] / per, 0.0)
    if any(layer.dashed for layer in drawing.layers):
        dash = 5.0 / per
        document.linetypes.add("DASHED", [dash, 0.6 * dash, -0.4 * dash], description="dashes")
    for layer in drawing.layers:
        made = document.layers.add(layer.name, color=_COLOURS[layer.colour])
        if layer.dashed:
            made.dxf.linetype = "DASHED"
    owner = document.modelspace().layout_key
    first = int(str(document.entitydb.handles), 16)
    document.entitydb.handles.reset(f"{first + len(drawing) + 1:X}")
    written = io.StringIO()
    document.write(written)
    # The shapes go to the end of the section of entities.
    head, mark, tail = written.getvalue().partition(_MARK)
    assert mark
    return head.encode(_CODE_PAGE), (mark + tail).encode(_CODE_PAGE), owner, first


def _entity(
    shape: Path | LayeredCircle | LayeredText, unit: DrawingUnit, handle: str, owner: str
) -> Iterator[str]:
    """The tags of one shape, a code and a value in turn."""
    kind = {Path: "LWPOLYLINE", LayeredCircle: "CIRCLE", LayeredText: "TEXT"}[type(shape)]
    yield from ("0", kind, "5", handle, "330", owner, "100", "AcDbEntity", "8", shape.layer)
    match shape:
        case LayeredCircle():
            yield from ("100", "AcDbCircle", *_point("10", shape.centre, unit), "30", "0")
            yield from ("40", _length(shape.radius, unit))
        case Path():
            yield from ("100", "AcDbPolyline", "90", str(len(shape.points)))
            yield from ("70", str(int(shape.closed)))
            for k, point in enumerate(shape.points):
                yield from _point("10", point, unit)
                if shape.bulges and shape.bulges[k]:
                    yield from ("42", data_number(shape.bulges[k], 12))
        case LayeredText():
            at = _point("10", shape.at, unit)
            yield from ("100", "AcDbText", *at, "30", "0", "40", _length(shape.height, unit))
            yield from ("1", _text(shape.text), "50", data_number(shape.turn, 9))
            yield from ("72", str(_ALIGNED[shape.anchor]), *_point("11", shape.at, unit), "31", "0")
            yield from ("100", "AcDbText", "73", str(_MIDDLE))


def _point(code: str, at: tuple[float, float], unit: DrawingUnit) -> tuple[str, ...]:
    second = f"{int(code) + 10}"
    return code, _length(at[0], unit), second, _length(at[1], unit)


def _length(mm: float, unit: DrawingUnit) -> str:
    return data_number(mm / _PER[unit], DIGITS[unit])


def _text(text: str) -> str:
    """A text in which nothing is a control code: %%d would be a degree sign, ^J a line end.

    What the code page has not is written by its number, as this release of DXF does it.  It has
    numbers of four digits only, so that a pictograph comes out as a square.
    """
    plain = printable(text).replace("\\U+", "\\U+005CU+").replace("\\M+", "\\U+005CM+")
    plain = plain.replace("%%", "%%%%%%").replace("^", "^ ")
    return "".join(map(_letter, plain))


def _letter(letter: str) -> str:
    try:
        letter.encode(_CODE_PAGE)
    except UnicodeEncodeError:
        number = ord(letter) if ord(letter) <= 0xFFFF else _SQUARE
        return f"\\U+{number:04X}"
    return letter
