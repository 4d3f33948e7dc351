"""Where the names and numbers of the plan are shown at one scale, so that they cover nothing.

Signs, pins and pads are guards; names and numbers are labels (see `geometry/places.py`).  Works in
dots from the table's corner, so that a shifted view changes nothing.
"""

import math
from collections.abc import Iterable, Iterator

from gridjig.geometry import unit as direction
from gridjig.geometry.box_index import Box
from gridjig.geometry.display import Dimension, Spot, Symbol, TextLabel
from gridjig.geometry.places import Choice, LabelChoices, LabelPlaces, WantedLabel
from gridjig.qt.paint.dimension import number_at
from gridjig.qt.paint.painter import Chosen, Plot, Plotter, joined
from gridjig.qt.paint.symbols import SIGN_REACH, grown_by
from gridjig.qt.paint.view import View
from gridjig.rack import Point

from .items import Damage

Named = tuple[str, str, int]
"""What a label belongs to: the kind of its owner and its id, and which of its labels it is."""
Owner = tuple[str, str]

LEGIBLE = 4
"""A name is not shortened to fewer letters than this."""
_ALONG = (0.5, 0.35, 0.65, 0.22, 0.78)
_SHORTER = (1.0, 0.8, 0.6)  # of the room at a spot, tried in turn
_NUMBERS, _NAMES = 0.0, 1.0


class PlanLabels:
    """The labels of one plan; what is chosen is in the plotter's `labels`."""

    def __init__(self, plotter: Plotter) -> None:
        self._plotter = plotter
        self._plots: dict[Owner, Plot] = {}
        self._keys: dict[Owner, list[Named]] = {}
        self._places: LabelPlaces[Named, Chosen] = LabelPlaces()
        self._around: tuple[Box, ...] = ()
        self._scale = 0.0
        self.version = 0  # of what is covered by signs and labels
        self._labels: dict[int, Chosen | None] = {}
        plotter.labels = self._labels

    @property
    def scale(self) -> float:
        """The scale that the labels were placed for, dots per mm; 0 before the first."""
        return self._scale

    def show(self, kind: str, owner: str, plot: Plot | None) -> None:
        """Add or replace what is drawn for an owner, or remove it."""
        at = (kind, owner)
        old = self._plots.pop(at, None)
        if old is plot:
            if plot is not None:
                self._plots[at] = plot
            return
        for shape in old.fixed if old is not None else ():
            self._labels.pop(id(shape), None)
        if plot is not None and (plot.fixed or plot.guards):
            self._plots[at] = plot
        if self._scale:
            self._enter(at)

    def guard(self, boxes: Iterable[Box]) -> None:
        """Set boxes in dots, at the scale that is set next, that are kept free of labels."""
        self._around = tuple(boxes)

    def settle(self, scale: float) -> list[Damage]:
        """Place what has changed, or everything at another scale; return what must be redrawn."""
        if scale != self._scale:
            self._scale = scale
            self._places = LabelPlaces()
            self._keys.clear()
            self._labels.clear()
            self._places.guard("around", self._around)
            for at in self._plots:
                self._enter(at)
        damage = []
        changed = self._places.settle()
        self.version += bool(changed)
        for key, before, now in changed:
            shape = self._shape(key)
            if shape is not None:
                self._labels[id(shape)] = now.what if now is not None else None
            boxes = (*(before.boxes if before else ()), *(now.boxes if now else ()))
            box = joined(boxes)
            if box is not None:
                x1, y1, x2, y2 = (part / scale for part in box)
                edge = 2.0 * self._plotter.unit
                damage.append(Damage((x1, -y2, x2, -y1), edge, edge))
        return damage

    def covered(self, boxes: Iterable[Box]) -> int:
        """Return how many signs and labels these boxes would cover."""
        return self._places.covered(boxes)

    def _shape(self, key: Named) -> TextLabel | Dimension | None:
        plot = self._plots.get(key[:2])
        shape = plot.fixed[key[2]] if plot is not None and key[2] < len(plot.fixed) else None
        return shape if isinstance(shape, TextLabel | Dimension) else None

    def _enter(self, at: Owner) -> None:
        """Take over the guards and labels of an owner, or that it is gone."""
        plot = self._plots.get(at)
        fixed = plot.fixed if plot is not None else []
        keys = [
            (*at, n)
            for n, shape in enumerate(fixed)
            if isinstance(shape, Dimension) or (isinstance(shape, TextLabel) and shape.rank)
        ]
        for key in self._keys.get(at, []):
            if key not in keys:
                self._places.want(key, None)
        boxes = guards_of(plot, self._scale, self._plotter.unit) if plot is not None else []
        self.version += self._places.guard(at, boxes)
        for key in keys:
            shape = fixed[key[2]]
            held = self._places.chosen.get(key)
            # Until it is placed anew, as it was before; a new one is not shown yet.
            self._labels[id(shape)] = held.what if held is not None else None
            self._places.want(key, self._wanted(key, shape))
        self._keys[at] = keys
        if not keys:
            del self._keys[at]

    def _wanted(self, key: Named, shape: object) -> WantedLabel[Chosen]:
        if isinstance(shape, Dimension):
            view = View(scale=self._scale)
            choices = list(_numbers(self._plotter, shape, view))
            zone = joined(box for one in choices for box in one.boxes)
            return WantedLabel(
                (_NUMBERS, key[1], key[2]), zone or (0.0, 0.0, 0.0, 0.0), LabelChoices(choices)
            )
        assert isinstance(shape, TextLabel)
        zone = zone_of(self._plotter, shape, self._scale)
        order = (_NAMES + 1.0 / (1.0 + shape.rank), key[1], key[2])
        return WantedLabel(order, zone, LabelChoices(_names(self._plotter, shape, self._scale)))


def guards_of(plot: Plot, scale: float, unit: float) -> list[Box]:
    """Return what of a drawing no label may cover, dots."""
    found = []
    for (x, y), radius in plot.guards:
        found.append(_round((x * scale, -y * scale), radius * scale))
    for shape in plot.fixed:
        if isinstance(shape, Symbol):
            far = SIGN_REACH[shape.mark] * unit * grown_by(shape, scale, unit)
            x, y = shape.at[0] * scale, -shape.at[1] * scale
            if shape.mark == "force":  # it lies behind its point
                c, s = direction(shape.turn)
                x, y, far = x - c * far / 2, y + s * far / 2, far / 2 + unit
            found.append(_round((x, y), far))
    return found


def _round(at: Point, far: float) -> Box:
    return (at[0] - far, at[1] - far, at[0] + far, at[1] + far)


def spots_of(label: TextLabel) -> tuple[Spot, ...]:
    """Return all places of a label, the usual one first."""
    return (Spot(label.at, label.anchor, label.room), *label.spots)


def boxes_at(
    plotter: Plotter, label: TextLabel, spot: Spot, wide: float, scale: float
) -> list[Box]:
    """Return the boxes that a text of that width covers at a spot, dots."""
    u = plotter.unit
    tall, space = plotter.height(label.size), 4 * u
    x, y = spot.at[0] * scale, -spot.at[1] * scale
    pad = space if label.cleared else u
    if label.turn:
        return list(along_line((x, y), label.turn, wide + 2 * pad, tall + 2 * pad))
    dx = {"left": -wide - space, "right": space}.get(spot.anchor, -wide / 2)
    dy = {"above": -space, "below": tall + space}.get(spot.anchor, tall / 2)
    below = pad if label.cleared else 0.35 * tall  # what hangs below the line: g, j, p
    return [(x + dx - pad, y + dy - tall - pad, x + dx + wide + pad, y + dy + below)]


def along_line(middle: Point, turn: float, wide: float, tall: float) -> Iterator[Box]:
    """Yield boxes that cover a turned text, dots."""
    c, s = direction(turn)
    if abs(c) < 1e-6 or abs(s) < 1e-6:
        across = (wide, tall) if abs(s) < 1e-6 else (tall, wide)
        yield _about(middle, across[0] / 2, across[1] / 2)
        return
    many = max(1, math.ceil(wide / tall))
    step = wide / many
    half_x, half_y = (
        (step * abs(c) + tall * abs(s)) / 2,
        (step * abs(s) + tall * abs(c)) / 2,
    )
    for k in range(many):
        far = (k + 0.5) * step - wide / 2
        yield _about((middle[0] + c * far, middle[1] - s * far), half_x, half_y)


def _about(at: Point, half_x: float, half_y: float) -> Box:
    return (at[0] - half_x, at[1] - half_y, at[0] + half_x, at[1] + half_y)


def zone_of(plotter: Plotter, label: TextLabel, scale: float) -> Box:
    """Return a box around all that a label may cover, dots."""
    wide, tall = plotter.width(label.text, label.size), plotter.height(label.size)
    far = wide + 2 * tall + 12 * plotter.unit
    xs = [spot.at[0] * scale for spot in spots_of(label)]
    ys = [-spot.at[1] * scale for spot in spots_of(label)]
    return (min(xs) - far, min(ys) - far, max(xs) + far, max(ys) + far)


def _names(plotter: Plotter, label: TextLabel, scale: float) -> Iterator[Choice[Chosen]]:
    """Yield the choices of a name: whole at each spot, then in fewer words, then cut short."""
    spots = spots_of(label)
    if label.across and plotter.height(label.size) > label.across * scale:
        spots = tuple(spot for spot in spots if spot.anchor != "centre")
    for words in (label.text, *label.shorter):
        wide = plotter.width(words, label.size)
        for spot in spots:
            if not spot.room or wide <= spot.room * scale:
                boxes = boxes_at(plotter, label, spot, wide, scale)
                yield Choice(Chosen(spot, words), tuple(boxes))
    if label.rank < SHORTENED:
        return
    last = label.shorter[-1] if label.shorter else label.text
    widest = sorted(spots, key=lambda spot: -spot.room)
    for part in _SHORTER:
        for spot in widest:
            room = (spot.room * scale or plotter.width(last, label.size)) * part
            words = cut_short(plotter, last, label.size, room)
            if words:
                wide = plotter.width(words, label.size)
                boxes = boxes_at(plotter, label, spot, wide, scale)
                yield Choice(Chosen(spot, words), tuple(boxes))


SHORTENED = 2
"""Names of this rank or higher may be cut short; lower ones are shown whole or not at all."""


def cut_short(plotter: Plotter, text: str, size: str, room: float) -> str:
    """Return the text with its end cut off so that it fits; empty if too little would be left."""
    if plotter.width(text, size) <= room:
        return text
    each = plotter.width(text, size) / len(text)
    for many in range(min(len(text) - 1, int(room / each) + 2), LEGIBLE - 1, -1):
        kept = text[:many].rstrip()
        if len(kept) >= LEGIBLE and plotter.width(f"{kept}…", size) <= room:
            return f"{kept}…"
    return ""


def _numbers(plotter: Plotter, d: Dimension, view: View) -> Iterator[Choice[Chosen]]:
    """Yield the choices of a dimension's number: along its line, and in the middle at any rate."""
    tall = plotter.height() + 8 * plotter.unit
    wide = plotter.width(d.text) + 8 * plotter.unit
    for n, along in enumerate((*_ALONG, _ALONG[0])):
        number = number_at(plotter, d, view, along)
        if number is None:
            return
        at, turn, _ = number
        boxes = tuple(along_line(at, turn, wide, tall))
        yield Choice(Chosen(Spot(d.a), d.text, along), boxes, anyway=n == len(_ALONG))
