"""How much an SVG draws once all its references are followed, without drawing it.

A few lines of text can refer to each other so that millions of shapes are drawn, and drawing cannot
be interrupted, so the shapes are counted first.  Knows no XML reader.
"""

from msgspec import Struct, field

DRAWN = frozenset(
    {"path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use", "text", "image"}
)
APART = frozenset({"defs", "symbol"})
"""Elements that are drawn only if something refers to them."""
MOST = 200_000
"""The most shapes that may be drawn with references followed; counting stops here."""
DEEPEST = 1_000
"""The deepest nesting of groups, with references followed, that can be drawn safely."""


class _Group(Struct):
    """An element with an id, or the root: its own shapes, how deep they are, and what else it
    draws, each with its depth.
    """

    shapes: int = 0
    deep: int = 0
    draws: list[tuple[int, "str | _Group"]] = field(default_factory=list)
    total: int = -1
    height: int = 0


class SvgSize:
    """Receives the start and end of each element; `measure` gives the result."""

    def __init__(self) -> None:
        self._root = _Group()
        self._open = [self._root]
        self._own: list[bool] = []  # whether each open element is its own group
        self._by_id: dict[str, _Group] = {}
        self._depths = [0]
        self.deepest = 0

    def begin(self, name: str, own_id: str, refers: str) -> None:
        """An element begins; `refers` is what it refers to, `#id` or nothing."""
        apart = name in APART
        self._own.append(bool(own_id) or apart)
        if self._own[-1]:
            group = _Group()
            if not apart:
                self._open[-1].draws.append((self._depths[-1] + 1, group))
            if own_id:
                self._by_id.setdefault(own_id, group)
            self._open.append(group)
            self._depths.append(0)
        else:
            self._depths[-1] += 1
        group = self._open[-1]
        group.deep = max(group.deep, self._depths[-1])
        self.deepest = max(self.deepest, len(self._own))
        if name in DRAWN:
            group.shapes += 1
        if name == "use" and refers.startswith("#"):
            group.draws.append((self._depths[-1] + 1, refers[1:]))

    def end(self) -> None:
        """The innermost open element ends."""
        if self._own.pop():
            self._open.pop()
            self._depths.pop()
        else:
            self._depths[-1] -= 1

    def measure(self) -> tuple[int, int] | None:
        """Return how many shapes are drawn (at most MOST + 1), and how deep they are nested.

        Return None if references form a cycle.
        """
        stack = [self._root]
        under_way: set[int] = set()
        while stack:
            group = stack[-1]
            inner = [(deep, self._found(what)) for deep, what in group.draws]
            if group.total < 0 and id(group) not in under_way:
                under_way.add(id(group))
                for _, other in inner:
                    if id(other) in under_way:
                        return None
                waiting = [other for _, other in inner if other.total < 0]
                if waiting:
                    stack += waiting
                    continue
            stack.pop()
            if group.total < 0:
                if any(other.total < 0 for _, other in inner):
                    return None
                total = group.shapes + sum(other.total for _, other in inner)
                group.total = min(total, MOST + 1)
                group.height = max([group.deep, *(deep + other.height for deep, other in inner)])
                under_way.discard(id(group))
        return self._root.total, self._root.height

    def _found(self, what: "str | _Group") -> _Group:
        if isinstance(what, str):
            return self._by_id.get(what, _NOTHING)
        return what


_NOTHING = _Group(total=0)
