"""How much an SVG draws: counted by following references, against drawing it one by one."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gridjig.files.drawings.svg_size import MOST, SvgSize

Tree = list[tuple[str, str, str, "Tree"]]


def told(size: SvgSize, tree: Tree) -> None:
    for name, own_id, refers, inside in tree:
        size.begin(name, own_id, refers)
        told(size, inside)
        size.end()


def measured(tree: Tree) -> tuple[int, int] | None:
    size = SvgSize()
    told(size, tree)
    return size.measure()


names = st.sampled_from(["g", "path", "rect"])
ids = st.sampled_from(["", "", "a", "b", "c"])


@st.composite
def trees(draw: st.DrawFn, depth: int = 3) -> Tree:
    made: Tree = []
    for _ in range(draw(st.integers(0, 3))):
        if draw(st.booleans()):
            made.append(("use", "", f"#{draw(st.sampled_from('abcd'))}", []))
        else:
            inside = draw(trees(depth - 1)) if depth else []
            made.append((draw(names), draw(ids), "", inside))
    return made


def drawn(tree: Tree) -> int | None:
    """Shapes drawn one by one; None where references lead in a circle."""
    by_id: dict[str, tuple[str, str, str, Tree]] = {}

    def know(level: Tree) -> None:
        for element in level:
            if element[1]:
                by_id.setdefault(element[1], element)
            know(element[3])

    def count(element: tuple[str, str, str, Tree], inside: tuple[int, ...]) -> int:
        name, _, refers, below = element
        if id(element) in inside:
            raise RecursionError
        inside = (*inside, id(element))
        own = name in ("path", "rect", "use")
        there = by_id.get(refers[1:]) if name == "use" else None
        return (
            own
            + sum(count(one, inside) for one in below)
            + (count(there, inside) if there is not None else 0)
        )

    know(tree)
    try:
        return sum(count(element, ()) for element in tree)
    except RecursionError:
        return None


@pytest.mark.source("method", "brute force: each reference followed by itself")
@given(trees())
def test_it_counts_what_is_drawn(tree: Tree) -> None:
    wanted, found = drawn(tree), measured(tree)
    assume(wanted is None or found is not None)
    assert wanted is None or (found is not None and found[0] == wanted)
    assert wanted is not None or found is None


def doubled(times: int) -> Tree:
    links: Tree = [
        ("g", f"a{k + 1}", "", [("use", "", f"#a{k}", []), ("use", "", f"#a{k}", [])])
        for k in range(times)
    ]
    return [("g", "a0", "", [("path", "", "", [])]), *links]


@pytest.mark.source("method", "arithmetic: 2^n shapes, and the uses that draw them")
def test_doubled_references_are_counted_to_the_limit_at_once() -> None:
    assert measured(doubled(3)) == (1 + 4 + 10 + 22 - 0, 8)
    found = measured(doubled(60))
    assert found is not None
    assert found[0] == MOST + 1


def test_what_stands_apart_is_drawn_where_it_is_referred_to() -> None:
    path: Tree = [("path", "", "", [])]
    for name in ("defs", "symbol"):
        apart: Tree = [(name, "", "", [("g", "a", "", path)])]
        assert measured(apart) == (0, 0)
        assert measured([*apart, ("use", "", "#a", [])]) == (2, 3)
    symbol: Tree = [("symbol", "s", "", path), ("use", "", "#s", []), ("use", "", "#s", [])]
    assert measured(symbol) == (4, 3)


def test_a_circle_is_none() -> None:
    assert measured([("g", "a", "", [("use", "", "#a", [])])]) is None
    two: Tree = [("g", "a", "", [("use", "", "#b", [])]), ("g", "b", "", [("use", "", "#a", [])])]
    assert measured(two) is None
    assert measured([("use", "", "#gone", []), ("use", "", "other.svg#a", [])]) == (2, 2)
