"""A layered drawing as SVG at true size: one group for each layer, one user unit for each mm.

SVG counts y downwards, so that every y is negated.
"""

import math
from collections.abc import Mapping
from xml.sax.saxutils import escape, quoteattr

from gridjig.geometry.layered import (
    LayeredCircle,
    LayeredDrawing,
    LayeredText,
    NamedLayer,
    Path,
    arc_of,
    single,
)
from gridjig.units import data_number, format_millimetres
from gridjig.units.progress import SILENT, Progress

from .printable import printable

DIGITS = 6
"""Decimals of a coordinate, mm."""
_LINE = "0.25"
_CAPITAL = 0.7
"""The height of capitals as a fraction of the font's size, for common fonts."""
_COLOURS = {
    "black": "#000000",
    "red": "#d00000",
    "yellow": "#a08000",
    "green": "#007000",
    "cyan": "#007080",
    "blue": "#0000d0",
    "magenta": "#a000a0",
    "grey": "#707070",
}
_ANCHORS = {"left": "start", "centre": "middle", "right": "end"}
_EVERY = 256


def svg_bytes(drawing: LayeredDrawing, progress: Progress = SILENT) -> bytes:
    """Return a drawing as the bytes of an SVG file, its size in mm.  Raises Cancelled."""
    x, y = drawing.low[0], -drawing.high[1]
    wide, high = drawing.high[0] - drawing.low[0], drawing.high[1] - drawing.low[1]
    size = {"width": _with_unit(wide), "height": _with_unit(high)}
    box = " ".join(map(_number, (x, y, wide, high)))
    head = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        _open("svg", {"xmlns": "http://www.w3.org/2000/svg", **size, "viewBox": box}),
        f"<title>{_text(drawing.title)}</title>",
        "<desc>True size; one user unit is 1 mm.</desc>",
    ]
    made = bytearray("".join(f"{line}\n" for line in head).encode())
    total, done = len(drawing), 0
    for layer in drawing.layers:
        made += f"{_open('g', _style(layer))}\n".encode()
        for shape in single(tuple(s for s in drawing.shapes if s.layer == layer.name)):
            if done % _EVERY == 0:
                progress.report(done, total, "Writing shapes")
            done += 1
            made += f"{_shape(shape, layer)}\n".encode()
        made += b"</g>\n"
    made += b"</svg>\n"
    return bytes(made)


def _open(tag: str, attributes: Mapping[str, str]) -> str:
    """An opening tag."""
    return f"<{tag} {' '.join(f'{name}={quoteattr(value)}' for name, value in attributes.items())}>"


def _empty(tag: str, attributes: Mapping[str, str]) -> str:
    """An element without content."""
    return _open(tag, attributes)[:-1] + "/>"


def _style(layer: NamedLayer) -> dict[str, str]:
    style = {
        "id": layer.name.lower().replace(" ", "-"),
        "fill": "none",
        "stroke": _COLOURS[layer.colour],
        "stroke-width": _LINE,
    }
    return {**style, "stroke-dasharray": "3 2"} if layer.dashed else style


def _shape(shape: Path | LayeredCircle | LayeredText, layer: NamedLayer) -> str:
    match shape:
        case LayeredCircle():
            x, y = _at(shape.centre)
            return _empty("circle", {"cx": x, "cy": y, "r": _number(shape.radius)})
        case LayeredText():
            return _lettering(shape, layer)
        case Path():
            return _empty("path", {"d": _steps(shape)})


def _lettering(shape: LayeredText, layer: NamedLayer) -> str:
    x, y = _at(shape.at)
    style = {
        "x": x,
        "y": y,
        "font-family": "sans-serif",
        "font-size": _number(shape.height / _CAPITAL),
        "text-anchor": _ANCHORS[shape.anchor],
        "dy": _number(shape.height / 2.0),
        "fill": _COLOURS[layer.colour],
        "stroke": "none",
    }
    if shape.turn:
        style["transform"] = f"rotate({_number(-shape.turn)} {x} {y})"
    return f"{_open('text', style)}{_text(shape.text)}</text>"


def _steps(path: Path) -> str:
    """The path's data.  A full turn from a point to itself is not a path of ours."""
    words = ["M", *_at(path.points[0])]
    count = len(path.points)
    for k in range(1, count + path.closed):
        a, b = path.points[k - 1], path.points[k % count]
        bulge = path.bulges[k - 1] if path.bulges else 0.0
        if bulge:
            _, radius = arc_of(a, b, bulge)
            r = _number(radius)
            words += ["A", r, r, "0", str(int(abs(bulge) > 1.0)), str(int(bulge < 0.0)), *_at(b)]
        elif k < count:
            words += ["L", *_at(b)]
    return " ".join([*words, "Z"] if path.closed else words)


def _at(point: tuple[float, float]) -> tuple[str, str]:
    return _number(point[0]), _number(-point[1])


def _with_unit(mm: float) -> str:
    return format_millimetres(mm).replace(" ", "")


def _number(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError("a place in the drawing is not a finite number")
    return data_number(value, DIGITS)


def _text(text: str) -> str:
    return escape(printable(text))
