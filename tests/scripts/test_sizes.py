"""The size gate: what is too long is named with its length and what is allowed."""

from pathlib import Path

import sizes


def test_a_long_file_is_named_and_a_short_one_is_not(tmp_path: Path) -> None:
    for folder, most in sizes.LINES.items():
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "right.py").write_text("x = 1\n" * most, encoding="utf-8")
    assert sizes.too_long(tmp_path) == []
    (tmp_path / "gridjig" / "long.py").write_text("x = 1\n" * 401, encoding="utf-8")
    assert sizes.too_long(tmp_path) == [
        "gridjig/long.py has 401 lines; gridjig/ allows 400: divide it"
    ]


def test_a_long_function_is_a_note(tmp_path: Path) -> None:
    (tmp_path / "gridjig").mkdir()
    body = "def short():\n    pass\n\n\ndef tall():\n" + "    x = 1\n" * 60
    (tmp_path / "gridjig" / "a.py").write_text(body, encoding="utf-8")
    assert sizes.long_functions(tmp_path) == ["note: gridjig/a.py: tall has 61 lines"]
