"""A Python that is too old is told so in one sentence, by a file that it can read."""

import ast
import sys
from pathlib import Path

import pytest

import oldpython

SCRIPTS = Path(oldpython.__file__).parent


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 6, 0), (3, 10, 13)])
def test_an_old_one_is_named_with_what_to_do(version: tuple[int, ...]) -> None:
    said = oldpython.sentence(version, [])
    assert "needs Python 3.11 or newer" in said
    assert f"this is Python {version[0]}.{version[1]}" in said
    assert "https://www.python.org/downloads/" in said
    assert "use python3.12 instead" in oldpython.sentence(version, ["python3.12", "python3.11"])


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 13, 1), (4, 0)])
def test_a_new_one_is_not_bothered(version: tuple[int, ...]) -> None:
    assert oldpython.sentence(version, []) == ""


@pytest.mark.parametrize("name", ["start.py", "check.py", "register.py", "oldpython.py"])
def test_old_pythons_can_read_the_first_files(name: str) -> None:
    text = (SCRIPTS / name).read_text(encoding="utf-8")
    tree = ast.parse(text, feature_version=(3, 4))
    text.encode("ascii")
    newer = (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr, ast.AsyncFunctionDef)
    assert not [node for node in ast.walk(tree) if isinstance(node, newer)]
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    assert [node.name for node in functions if node.returns is not None] == []
    assert tree.body


def test_a_name_that_starts_no_python_does_not_count() -> None:
    assert not oldpython.works("there-is-no-such-python")


def test_refusing_ends_with_2(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    oldpython.refuse()
    monkeypatch.setattr(sys, "version_info", (3, 9, 1, "final", 0))
    monkeypatch.setattr(oldpython, "works", lambda name: name == "python3.12")
    with pytest.raises(SystemExit) as end:
        oldpython.refuse()
    assert end.value.code == 2
    assert "so use python3.12 instead of python3.\n" in capsys.readouterr().err
