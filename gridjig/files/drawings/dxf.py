"""Reads a DXF drawing into a sketch: its sections, layers and blocks.

What one entity draws is in `entities`; the bytes are read by `tags`.
"""

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, field

from gridjig.files.format.faults import ReadFault

from .curves import Affine, Curve, DrawnCurve
from .entities import EntityFields, Insert, OldPolyline, UnusableEntity, fields_of, read_entity
from .sketch import Report, Sketch, SketchBuilder
from .tags import cut_off, things

if TYPE_CHECKING:
    from ezdxf.lldxf.tags import Tags

INSUNITS = {
    1: "in",
    2: "ft",
    4: "mm",
    5: "cm",
    6: "m",
    9: "mil",
    10: "yd",
    13: "µm",
    14: "dm",
}
"""Header variable $INSUNITS to the unit (DXF reference); for others the user is asked."""


class LayerItem(Struct, frozen=True):
    """A curve or an insert on its layer."""

    layer: str
    what: Curve | Insert


class Block(Struct):
    """What a block draws, about its base point, and what in it cannot be used."""

    base: tuple[float, float] = (0.0, 0.0)
    things: list[LayerItem] = field(default_factory=list)
    left: list[tuple[str, str]] = field(default_factory=list)
    damaged: bool = False


class _Level(Struct):
    """What is being drawn: the model, or a block at each of its places in turn."""

    things: Iterator[LayerItem]
    where: Affine | None = None
    layer: str = "0"
    block: str = ""
    all: list[LayerItem] = field(default_factory=list)
    places: Iterator[Affine] = iter(())
    above: Affine | None = None

    def __post_init__(self) -> None:
        self.above = self.where

    def next(self) -> LayerItem | None:
        """Return the next item, at this place or at the next one; None at the end."""
        placed = next(self.things, None)
        while placed is None:
            place = next(self.places, None)
            if place is None:
                return None
            self.where = place if self.above is None else self.above.after(place)
            self.things = iter(self.all)
            placed = next(self.things, None)
        return placed


class Reader:
    """Takes the entities of a file in order and sorts them by section."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.unit: str | None = None
        self.hidden: set[str] = set()
        self.names: dict[str, str] = {}
        self.blocks: dict[str, Block] = {}
        self.model = Block()
        self.section = ""
        self.sections: set[str] = set()
        self.whole = False  # the end mark was found
        self._into: Block | None = None
        self._poly: OldPolyline | None = None
        self._poly_layer = ""

    def take(self, tags: "Tags") -> None:
        """Take the next entity."""
        kind = str(tags[0].value)
        if kind in ("SECTION", "ENDSEC", "EOF"):
            self._end_poly()
            self._frame(kind, tags)
        elif self.section == "TABLES":
            if kind == "LAYER":
                self._layer(fields_of(tags))
        elif self.section == "BLOCKS":
            self._in_blocks(kind, tags)
        elif self.section == "ENTITIES":
            self._thing(kind, tags, self.model)

    def _frame(self, kind: str, tags: "Tags") -> None:
        if kind == "SECTION":
            self.section = next((str(t.value).upper() for t in tags[1:2] if t.code == 2), "")
            self._into = None
            if self.section == "HEADER":
                self._header(tags)
        elif kind == "ENDSEC":
            self.sections.add(self.section)
            self.section = ""
        else:
            self.whole = True

    def _header(self, tags: "Tags") -> None:
        for name, value in pairwise(tags):
            if name.code == 9 and name.value == "$INSUNITS" and isinstance(value.value, int):
                self.unit = INSUNITS.get(value.value)

    def _layer(self, fields: EntityFields) -> None:
        name = fields.text(2)
        self.names.setdefault(name.casefold(), name)
        if fields.whole(70) & 1 or fields.whole(62, 7) < 0:
            self.hidden.add(name.casefold())

    def _in_blocks(self, kind: str, tags: "Tags") -> None:
        if kind == "BLOCK":
            self._end_poly()
            fields = fields_of(tags)
            self._into = Block()
            try:
                self._into.base = fields.point(10, (0.0, 0.0))
            except UnusableEntity as unread:
                self._into.left.append(unread.names)
                self._into.damaged = True
            name = fields.text(2).casefold()
            if name:
                self.blocks[name] = self._into
        elif kind == "ENDBLK":
            self._end_poly()
            self._into = None
        elif self._into is not None and not self._into.damaged:
            self._thing(kind, tags, self._into)

    def _thing(self, kind: str, tags: "Tags", into: Block) -> None:
        if kind in ("VERTEX", "SEQEND"):
            if self._poly is not None and kind == "VERTEX":
                self._poly.add(fields_of(tags))
            elif kind == "SEQEND":
                self._end_poly()
            return
        self._end_poly()
        fields = fields_of(tags)
        if fields.whole(67) == 1:
            into.left.append(("shape in paper space", "shapes in paper space"))
            return
        if fields.whole(60) == 1:
            into.left.append(("hidden shape", "hidden shapes"))
            return
        layer = fields.text(8, "0")
        try:
            read = read_entity(kind, fields)
        except UnusableEntity as unread:
            into.left.append(unread.names)
            return
        if isinstance(read, OldPolyline):
            self._poly, self._poly_layer, self._poly_into = read, layer, into
        else:
            into.things.append(LayerItem(layer, read))

    def _end_poly(self) -> None:
        poly, self._poly = self._poly, None
        if poly is None:
            return
        try:
            self._poly_into.things.append(LayerItem(self._poly_layer, poly.curve()))
        except UnusableEntity as unread:
            self._poly_into.left.append(unread.names)

    # -- what the blocks draw --------------------------------------------------------------------

    def expand(self, gathering: SketchBuilder) -> None:
        """Put everything the model draws in its place."""
        levels = [_Level(iter(self.model.things))]
        inside: set[str] = set()  # the blocks that are open
        self._leave(self.model, gathering, 1)
        while levels:
            level = levels[-1]
            placed = level.next()
            if placed is None:
                levels.pop()
                inside.discard(level.block)
                continue
            gathering.step(copied=len(levels) > 1)
            own = level.layer if placed.layer == "0" else placed.layer
            if not isinstance(placed.what, Insert):
                gathering.curves.append(DrawnCurve(self._name(own), placed.what, level.where))
                continue
            name = placed.what.block.casefold()
            block = self.blocks.get(name)
            if block is None:
                gathering.leave("block that is not in the file", "blocks that are not in the file")
            elif name in inside:
                gathering.leave("block that contains itself", "blocks that contain themselves")
            else:
                self._leave(block, gathering, placed.what.columns * placed.what.rows)
                if block.things:
                    inside.add(name)
                    put = placed.what.places(block.base)
                    levels.append(_Level(iter(()), level.where, own, name, block.things, put))

    @staticmethod
    def _leave(block: Block, gathering: SketchBuilder, times: int) -> None:
        for names in block.left:
            gathering.leave(*names, times)

    def _name(self, layer: str) -> str:
        """A layer's name as the layer table spells it."""
        return self.names.setdefault(layer.casefold(), layer)


def read_dxf(path: Path, report: Report) -> Sketch:
    """Return the sketch of a DXF file.  Raise ReadFault, and whatever `report` raises."""
    repaired: list[str] = []
    reader = Reader(path)
    for tags in things(path, report, repaired):
        reader.take(tags)
    if not reader.whole:
        if "ENTITIES" not in reader.sections:
            raise cut_off(path)
        repaired.append("its end mark was missing, after a complete drawing")
    gathering = SketchBuilder(path.name, report)
    reader.expand(gathering)
    counts = gathering.counts()
    if not gathering.curves:
        holds = ", ".join(str(count) for count in counts)
        why = "it has no lines, arcs or curves" + (f"; it holds {holds}" if holds else "")
        raise ReadFault(path, "", why, "choose another drawing")
    return Sketch(
        name=path.name,
        unit=reader.unit,
        curves=tuple(gathering.curves),
        hidden=frozenset(reader.names[key] for key in reader.hidden if key in reader.names),
        unused=counts,
        repaired=tuple(repaired),
    )
