"""Every text in the program that a person may read keeps to the rules of wording.

The texts are all string literals of the package, docstrings and patterns of regular expressions
left out, and all words in the files that come with it.
"""

import ast
import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
BANNED = re.compile(
    r"\b(invalid|illegal|fatal|failed to|please|oops|sorry|forbidden)\b|\be\.g\.|\bi\.e\."
    r"|[a-z”\"]!(\s|$)|\bexception\b|\btraceback\b|(?-i:[a-z]Error\b|NoneType)",
    re.IGNORECASE,
)
JARGON = re.compile(r"\b(node|widget|vertex|vertices|parse|boolean|entity|entities)\b", re.I)


def literals(path: Path) -> Iterator[tuple[int, str]]:
    """String literals with a space in them, so words and not names; docstrings left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in docs:
            continue
        if isinstance(node.value, str) and " " in node.value.strip():
            yield node.lineno, node.value


@lru_cache(maxsize=1)
def spoken() -> list[tuple[str, str]]:
    found = []
    for path in sorted((ROOT / "gridjig").rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        found += [(f"{name}:{line}", text) for line, text in literals(path)]
    for path in sorted((ROOT / "assets").rglob("*")):
        if path.suffix in (".md", ".json", ".gridjig"):
            name = path.relative_to(ROOT).as_posix()
            lines = path.read_text(encoding="utf-8").splitlines()
            found += [(f"{name}:{n}", text) for n, text in enumerate(lines, 1)]
    return found


@pytest.mark.expectation(86, 87)
@pytest.mark.untraced
def test_no_text_of_the_program_blames_begs_shouts_or_speaks_of_exceptions() -> None:
    texts = spoken()
    assert len(texts) > 3000
    assert [f"{at}: {text}" for at, text in texts if BANNED.search(text)] == []


@pytest.mark.expectation(88)
@pytest.mark.untraced
def test_no_text_of_the_program_speaks_of_its_insides() -> None:
    texts = spoken()
    assert len(texts) > 3000
    assert [f"{at}: {text}" for at, text in texts if JARGON.search(text)] == []
