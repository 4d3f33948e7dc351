"""The size gate: no file too long to read in one sitting; long functions are reported,
not refused.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

LINES = {"gridjig": 400, "scripts": 400, "tests": 600}
FUNCTION_LINES = 60


def too_long(root: Path) -> list[str]:
    """Return a sentence for every Python file that is longer than its folder allows."""
    found = []
    for folder, most in LINES.items():
        for path in sorted((root / folder).rglob("*.py")):
            count = len(path.read_text(encoding="utf-8").splitlines())
            if count > most:
                name = path.relative_to(root).as_posix()
                found.append(f"{name} has {count} lines; {folder}/ allows {most}: divide it")
    return found


def functions(tree: ast.AST) -> Iterator[tuple[str, int]]:
    """Yield the name and number of lines of every function in a parsed file."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node.name, (node.end_lineno or node.lineno) - node.lineno + 1


def long_functions(root: Path) -> list[str]:
    """Return a note for every function of the program that is longer than it should be."""
    return [
        f"note: {path.relative_to(root).as_posix()}: {name} has {lines} lines"
        for path in sorted((root / "gridjig").rglob("*.py"))
        for name, lines in functions(ast.parse(path.read_text(encoding="utf-8")))
        if lines > FUNCTION_LINES
    ]
