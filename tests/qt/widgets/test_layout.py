"""Margins and gaps are set in one place: a form says how its parts stand, not by how many px."""

import ast
from pathlib import Path

import gridjig.qt

QT = Path(gridjig.qt.__file__).parent
SETTERS = {
    "setContentsMargins",
    "setSpacing",
    "setHorizontalSpacing",
    "setVerticalSpacing",
    "contentsMarginsChanged",
}


def margins_set(source: str) -> list[int]:
    """The lines on which a margin or a gap is set."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Attribute) and node.attr in SETTERS
    ]


def test_margins_are_set_nowhere_but_in_the_layout() -> None:
    files = sorted(QT.rglob("*.py"))
    assert len(files) > 100
    found = {
        path.relative_to(QT).as_posix(): lines
        for path in files
        if (lines := margins_set(path.read_text(encoding="utf-8")))
    }
    assert list(found) == ["widgets/layout.py"], found


def test_the_gate_sees_a_margin() -> None:
    assert margins_set("a = 1\nbox.setContentsMargins(0, 0, 0, 0)\nbox.setSpacing(3)") == [2, 3]
    assert margins_set("inset(box, 'none')") == []
