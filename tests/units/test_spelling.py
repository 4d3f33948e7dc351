"""US and UK spelling of the program's own words, and that no text escapes it."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from gridjig.files.storage.settings import Settings, spelling_in_use
from gridjig.units.spelling import US, Spelling, spelled, spelling_of, use_spelling

ROOT = Path(__file__).parents[2]


@pytest.fixture
def american() -> Iterator[None]:
    use_spelling("US")
    yield
    use_spelling("UK")


def test_the_texts_are_written_with_uk_spelling() -> None:
    assert spelled("Mitre, centre line, colours") == "Mitre, centre line, colours"


def test_they_are_respelled_word_by_word(american: None) -> None:
    assert spelled("Mitre the centre, in MILLIMETRES.") == "Miter the center, in MILLIMETERS."
    assert spelled("mitred, re-centred; greys") == "mitered, re-centered; grays"
    assert spelled("metres parameter concentric") == "meters parameter concentric"


def test_each_word_differs_and_is_its_own_respelling(american: None) -> None:
    assert len(US) > 20
    for word, new in US.items():
        assert word != new
        assert spelled(word) == new == spelled(new)


@pytest.mark.source("memory", "usual spelling in the US and in the UK")
@pytest.mark.parametrize(
    ("language", "spelling"),
    [
        ("en_US.UTF-8", "US"),
        ("en-US", "US"),
        ("English_United States", "US"),
        ("en_GB.UTF-8", "UK"),
        ("en_AU", "UK"),
        ("de_DE", "UK"),
        ("C", "UK"),
        ("", "UK"),
    ],
)
def test_it_starts_from_the_language_of_the_system(
    language: str, spelling: Spelling, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert spelling_of(language) == spelling
    for name in ("GRIDJIG_SPELLING", "LC_ALL", "LC_MESSAGES"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", language or "C")
    assert spelling_in_use(Settings()) == spelling
    assert spelling_in_use(Settings(spelling="US")) == "US"
    assert spelling_in_use(Settings(spelling="UK")) == "UK"
    monkeypatch.setenv("GRIDJIG_SPELLING", "us")  # for scripts
    assert spelling_in_use(Settings(spelling="UK")) == "US"


SHOWN_WORDS = re.compile(rf"\b({'|'.join(US)})\b", re.IGNORECASE)


def unspelled(source: str) -> list[str]:
    """The texts of a module with words that are spelled differently, and that are not `spelled`.

    Single words in lower case are keys of the program, not texts.
    """
    if not SHOWN_WORDS.search(source):
        return []
    tree = ast.parse(source)
    passed: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            passed.add(id(node.value))  # a docstring
        elif is_passed(node):
            passed.update(id(inner) for inner in ast.walk(node))
    texts = (
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in passed
    )
    return [t for t in texts if SHOWN_WORDS.search(t) and (" " in t or t[:1].isupper())]


def is_passed(node: ast.AST) -> bool:
    """True for a call of `spelled`, and for a type of certain words."""
    if isinstance(node, ast.Call):
        return getattr(node.func, "id", "") == "spelled"
    return isinstance(node, ast.Subscript) and getattr(node.value, "id", "") == "Literal"


KEYS = {
    "centre line",  # what a typed length is along
    "inside, centred in height",  # kept with the sizes typed last; the form respells them
    "between the rails, centred in height",
    "centred in height",
    "UK: centre, mitre, colour",  # what the setting says
    "Neighbours",  # a type
    "MILLIMETRES",
}


@pytest.mark.untraced
def test_no_text_escapes_it() -> None:
    files = sorted((ROOT / "gridjig").rglob("*.py"))
    assert len(files) > 400
    escaped = {
        f"{path.relative_to(ROOT)}: {text}"
        for path in files
        if path.name != "spelling.py"
        for text in unspelled(path.read_text(encoding="utf-8"))
        if text not in KEYS
    }
    assert escaped == set()


def test_the_search_for_escaped_texts_finds_one() -> None:
    assert unspelled('Label("Centre line")') == ["Centre line"]
    assert unspelled('f"mitre {angle} both"') == ["mitre "]
    assert unspelled('Label(spelled("Centre line")); kind = "mitre"') == []
