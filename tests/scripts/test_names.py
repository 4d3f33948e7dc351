"""The name gate: a public class or alias that is defined twice is named with both places."""

from pathlib import Path

import names


def program(root: Path, **modules: str) -> Path:
    (root / "gridjig").mkdir()
    for name, text in modules.items():
        (root / "gridjig" / f"{name}.py").write_text(text, encoding="utf-8")
    return root


def test_two_classes_of_one_name_are_named(tmp_path: Path) -> None:
    root = program(tmp_path, a="class Line:\n    pass\n", b="\nclass Line:\n    pass\n")
    assert names.defined_twice(root) == [
        "Line is defined in gridjig/a.py:1 and gridjig/b.py:2:"
        " give each a name of its own, or import it"
    ]


def test_an_alias_counts_with_or_without_a_type(tmp_path: Path) -> None:
    root = program(tmp_path, a="Box = tuple[int, int]\n", b="Box: type = tuple\n")
    assert len(names.defined_twice(root)) == 1


def test_constants_type_variables_private_and_imported_names_may_recur(tmp_path: Path) -> None:
    text = "from c import Line\nSUFFIX = '.x'\nT = TypeVar('T')\nclass _Box:\n    pass\n"
    root = program(tmp_path, a=text, b=text)
    assert names.defined_twice(root) == []


def test_the_program_passes() -> None:
    root = Path(__file__).parents[2]
    found = [name for p in (root / "gridjig").rglob("*.py") for name in p.read_text().split()]
    assert "PlacedPiece:" in found  # the program is really there
    assert names.defined_twice(root) == []
