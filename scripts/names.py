"""The name gate: each public class or type alias name is defined only once in the program."""

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path


def is_public(name: str) -> bool:
    """True for a name such as `PlacedPiece`, but not for a constant or a one-letter
    type variable.
    """
    return name[:1].isupper() and not name.isupper() and "_" not in name


def defined(tree: ast.Module) -> Iterator[tuple[str, int]]:
    """Yield the public classes and aliases that a module defines at top level, each
    with its line.
    """
    for node in tree.body:
        if isinstance(node, ast.ClassDef):
            names = [node.name]
        elif isinstance(node, ast.Assign):
            names = [target.id for target in node.targets if isinstance(target, ast.Name)]
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names = [node.target.id]
        else:
            continue
        for name in names:
            if is_public(name):
                yield name, node.lineno


def defined_twice(root: Path) -> list[str]:
    """Return a sentence for every public name that the program defines more than once."""
    places: defaultdict[str, list[str]] = defaultdict(list)
    for path in sorted((root / "gridjig").rglob("*.py")):
        for name, line in defined(ast.parse(path.read_text(encoding="utf-8"))):
            places[name].append(f"{path.relative_to(root).as_posix()}:{line}")
    return [
        f"{name} is defined in {' and '.join(where)}: give each a name of its own, or import it"
        for name, where in sorted(places.items())
        if len(where) > 1
    ]
