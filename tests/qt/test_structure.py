"""How the window's package may be put together: nobody holds the window, and no circle of imports.

Read from the source itself, so that imports within functions and for types alone count as well.
"""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import gridjig

PACKAGE = Path(gridjig.__file__).parent
KNOW_THE_WINDOW = {"gridjig.qt.window.window", "gridjig.qt.startup.app"}
"""The window itself, and what starts the program with it."""
HANDLES = {"window", "_window", "host", "_host"}
"""Names under which a window, or what stands for one, is held."""
STEPS = 2
"""How far one may reach through it: a part, and what is asked of that part."""


def name_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def trees() -> dict[str, tuple[Path, ast.Module]]:
    """Every module of the program: its file, and its syntax tree."""
    return {
        name_of(path): (path, ast.parse(path.read_text(encoding="utf-8")))
        for path in sorted(PACKAGE.rglob("*.py"))
    }


@pytest.fixture(scope="module", autouse=True)
def forgotten() -> Iterator[None]:
    """The trees take 180 MB, which no other test needs."""
    yield
    trees.cache_clear()
    graph.cache_clear()


def of_the_window() -> dict[str, ast.Module]:
    return {name: tree for name, (_, tree) in trees().items() if name.startswith("gridjig.qt")}


def imports(name: str, path: Path, tree: ast.AST) -> set[str]:
    """The modules of the program that a module imports, wherever in it that stands."""
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom):
            up = package.split(".")[: -(node.level - 1) or None] if node.level else []
            base = ".".join([*up, *([node.module] if node.module else [])])
            found |= {f"{base}.{one.name}" for one in node.names} | {base}
    # What a package exports is imported through it: `from .tasks import TaskRunner`.
    exact = {one for one in found if one in trees() and one != name}
    return {one for one in exact if not any(other.startswith(f"{one}.") for other in exact)}


@cache
def graph() -> dict[str, set[str]]:
    """Which modules of the program each of them imports."""
    return {name: imports(name, path, tree) for name, (path, tree) in trees().items()}


def circle(imported: dict[str, set[str]]) -> list[str]:
    """A circle of imports, or an empty list."""
    done: set[str] = set()
    way: list[str] = []

    def visit(name: str) -> list[str]:
        if name in way:
            return [*way[way.index(name) :], name]
        if name in done:
            return []
        way.append(name)
        for other in sorted(imported.get(name, ())):
            if found := visit(other):
                return found
        way.pop()
        done.add(name)
        return []

    return next((found for name in sorted(imported) if (found := visit(name))), [])


def names(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Every name that code uses, in annotations kept as text as well."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Name):
            yield node.lineno, node.id
        elif isinstance(node, ast.ClassDef):
            yield node.lineno, node.name
        elif isinstance(node, ast.alias):
            yield node.lineno, node.name.rpartition(".")[2]
        elif isinstance(node, ast.Constant):
            yield node.lineno, str(node.value)


def reaches(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Chains of attributes through a handle that are longer than they may be."""
    for node in ast.walk(tree):
        steps: list[str] = []
        at: ast.expr | None = node if isinstance(node, ast.Attribute) else None
        while isinstance(at, ast.Attribute) and at.attr not in HANDLES:
            steps.append(at.attr)
            at = at.value
        held = isinstance(at, ast.Attribute) or (isinstance(at, ast.Name) and at.id in HANDLES)
        if held and len(steps) > STEPS:
            assert isinstance(node, ast.Attribute)
            yield node.lineno, ".".join(reversed(steps))


def test_only_what_starts_the_program_knows_the_window() -> None:
    assert "gridjig.qt.window.window" in of_the_window()
    known = {name for name in of_the_window() if "gridjig.qt.window.window" in graph()[name]}
    assert known == KNOW_THE_WINDOW - {"gridjig.qt.window.window"}
    named = {
        f"{name}:{line}"
        for name, tree in of_the_window().items()
        for line, used in names(tree)
        if used == "Window" and name not in KNOW_THE_WINDOW
    }
    assert named == set()


def test_nobody_reaches_through_the_window() -> None:
    found = [
        f"{name}:{line} {chain}"
        for name, tree in of_the_window().items()
        for line, chain in reaches(tree)
    ]
    assert len(of_the_window()) > 100
    assert found == []


def test_there_is_no_circle_of_imports() -> None:
    assert len(graph()) > 300
    assert any(graph()["gridjig.qt.window.window"])
    assert circle(graph()) == []


def test_the_gates_see_what_they_are_for() -> None:
    bad = ast.parse('def f(w: "Window"):\n    self._window.work.angle.ask()\n    w.a.b.c.d()')
    assert (1, "Window") in list(names(bad))
    assert list(reaches(bad)) == [(2, "work.angle.ask")]
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == ["b", "c", "b"]
    assert circle({"a": {"b", "c"}, "b": {"c"}}) == []
    lazy = ast.parse("def f():\n    from ..window.window import Window")
    assert imports("gridjig.qt.forms.x", Path("x.py"), lazy) == {"gridjig.qt.window.window"}
