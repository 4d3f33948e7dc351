"""No sentence is made in gridjig/solve and gridjig/contact: they return why as a value.

gridjig/words and the layers above it put that into words.

Read from the source itself.  Prose is a text of four or more words, or one that ends like a
sentence; in an f-string, each value that is filled in counts as a word.  Docstrings are not texts
of the program.  A value that a `Literal` of the same package lists is a kind that mypy checks and
nobody reads, unless it ends like a sentence.  Messages of exceptions are no exception: a
ValueError's is shown to the person.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import gridjig

PACKAGE = Path(gridjig.__file__).parent
TREES = {
    path.relative_to(PACKAGE).as_posix(): ast.parse(path.read_text(encoding="utf-8"))
    for room in ("solve", "contact")
    for path in sorted((PACKAGE / room).rglob("*.py"))
}
WORDS = 4
ENDS = re.compile(r"\w \S.*[.!?]$|\w[.!?] ", re.DOTALL)


def prose(tree: ast.AST, kinds: frozenset[str] = frozenset()) -> Iterator[tuple[int, str]]:
    """Line and text of every piece of prose."""
    skipped = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            skipped |= {id(part) for part in node.values}
            text = "".join(
                str(part.value) if isinstance(part, ast.Constant) else "X" for part in node.values
            )
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        else:
            continue
        ends = ENDS.search(text.strip()) is not None
        long = len(text.split()) >= WORDS and text not in kinds
        if id(node) not in skipped and (ends or long):
            yield node.lineno, text


def kinds_of(tree: ast.AST) -> set[str]:
    """The strings that a Literal lists."""
    return {
        value.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Subscript)
        and isinstance(node.value, ast.Name)
        and node.value.id == "Literal"
        for value in ast.walk(node.slice)
        if isinstance(value, ast.Constant) and isinstance(value.value, str)
    }


def test_no_solver_makes_a_sentence() -> None:
    assert len(TREES) > 60
    kinds = frozenset().union(*map(kinds_of, TREES.values()))
    assert len(kinds) > 30
    found = [
        f"{name}:{line}: {text}"
        for name, tree in TREES.items()
        for line, text in prose(tree, kinds)
    ]
    assert found == []


@pytest.mark.parametrize(
    ("source", "texts"),
    [
        ('why = "This piece cannot be turned here."', ["This piece cannot be turned here."]),
        ('why = "Not here."', ["Not here."]),
        ('why = f"Hole {hole} is {state}."', ["Hole X is X."]),
        ('why = f"{a} of {b} used"', ["X of X used"]),
        ('raise ValueError("the pitch must be more")', ["the pitch must be more"]),
        ('WORDS = {"pins": "two pins of one size"}', ["two pins of one size"]),
        ('def f():\n    """Return a table of some holes."""\n    return "on the grid"', []),
        ('K = Literal["region of two corners"]\nwhy = "region of two corners"', []),
        ('K = Literal["It is of two corners."]', ["It is of two corners."]),
        ('name = f"{piece.name}, {piece.size}"', []),
    ],
)
def test_prose_is_recognised(source: str, texts: list[str]) -> None:
    tree = ast.parse(source)
    assert [text for _, text in prose(tree, frozenset(kinds_of(tree)))] == texts
