"""Where the words of a tool are shown: within the window, and over as little as possible.

They say what happens now, so they are always shown, and drawn over everything else.
"""

from collections.abc import Iterator, Mapping, Sequence

from gridjig.geometry.box_index import Box, touch
from gridjig.geometry.display import Spot, TextLabel
from gridjig.qt.paint.painter import Chosen, Plot, Plotter
from gridjig.qt.paint.view import View

from .plan_labels import PlanLabels, boxes_at, guards_of

_STEPS = (0.0, 0.5, 1.0)
"""How far a text is moved away from its point, as a multiple of its height: never so far that it
seems to belong to another.
"""
_AWAY: Mapping[str, Sequence[float]] = {"above": (-1.0,), "centre": (-1.5, 1.5)}
"""Which ways a text goes away from its point, by its anchor; one on its point goes up or down, and
farther, because a piece lies beneath it.  Downwards if nothing is said.
"""
_TEXT = 100
"""How much worse it is to cover a text than a pin or a part's name: the text is not seen at all."""


def place_over(
    labels: PlanLabels, plotter: Plotter, plots: list[Plot], view: View, size: tuple[int, int]
) -> dict[int, Chosen]:
    """Return where the cleared texts of these drawings are shown, by the identity of each."""
    chosen: dict[int, Chosen] = {}
    guards = [box for plot in plots for box in guards_of(plot, view.scale, plotter.unit)]
    written: list[Box] = []
    left, top = -view.left, -view.top
    window = (left, top, left + size[0], top + size[1])
    for plot in plots:
        for shape in plot.fixed:
            if not isinstance(shape, TextLabel) or not shape.cleared or shape.rank or shape.turn:
                continue
            spot, box = _best(labels, plotter, shape, view.scale, window, (guards, written))
            written.append(box)
            chosen[id(shape)] = Chosen(spot, shape.text)
    return chosen


def _best(
    labels: PlanLabels,
    plotter: Plotter,
    label: TextLabel,
    scale: float,
    window: Box,
    taken: tuple[list[Box], list[Box]],
) -> tuple[Spot, Box]:
    """Return the place that covers the least; the usual one if none is better.

    `taken` are the boxes of signs of these drawings, and of their texts that have their place.
    """
    guards, written = taken
    usual = Spot(label.at, label.anchor)
    wide = plotter.width(label.text, label.size)
    (first,) = boxes_at(plotter, label, usual, wide, scale)
    best, least = (usual, first), (float("inf"), 0)
    x, y = label.at[0] * scale, -label.at[1] * scale
    away = not (window[0] <= x <= window[2] and window[1] <= y <= window[3])
    for n, (dx, dy) in enumerate(_moves(first, _AWAY.get(label.anchor, (1.0,)))):
        dx, dy = (dx, dy) if away else _inside(first, (dx, dy), window)
        box = (first[0] + dx, first[1] + dy, first[2] + dx, first[3] + dy)
        over = labels.covered((box,)) + sum(touch(box, other, -0.5) for other in guards)
        over += _TEXT * sum(touch(box, other, -0.5) for other in written)
        if (over, n) < least:
            at = (label.at[0] + dx / scale, label.at[1] - dy / scale)
            best, least = (Spot(at, label.anchor), box), (over, n)
        if over == 0:
            break
    return best


def _moves(box: Box, away: Sequence[float]) -> Iterator[tuple[float, float]]:
    """Yield how far a text may be moved: away from its point, then to the sides as well."""
    wide, tall = box[2] - box[0], box[3] - box[1]
    for across in (0.0, 0.6, -0.6):
        for step in _STEPS:
            for way in away if step else away[:1]:
                yield (across * wide, way * step * tall)


def _inside(box: Box, by: tuple[float, float], window: Box) -> tuple[float, float]:
    """Return a move, changed so that the moved box is within the window."""
    dx = min(max(by[0], window[0] - box[0]), max(window[2] - box[2], window[0] - box[0]))
    dy = min(max(by[1], window[1] - box[1]), max(window[3] - box[3], window[1] - box[1]))
    return (dx, dy)
