"""The formatting gate: a number made into text by hand is found, and what only looks so is not."""

from pathlib import Path

import pytest

import formatting

ROOT = Path(__file__).resolve().parents[2]


def faults(code: str) -> list[str]:
    """What is found in a piece of source."""
    return [what for _, _, what in formatting.formatted(code)]


@pytest.mark.parametrize(
    ("code", "what"),
    [
        ('f"{mm:.2f}"', "formats mm as “.2f”"),
        ('f"{mm:+.{digits}f}"', "formats mm as “+.{digits}f”"),
        ('f"{count:,}"', "formats count as “,”"),
        ('f"{share:.0%}"', "formats share as “.0%”"),
        ('f"{angle:g}"', "formats angle as “g”"),
        ('f"{value:.3}"', "formats value as “.3”"),
        ('f"{angle}°"', "puts “°” behind angle"),
        ('f"{minutes}′ of arc"', "puts “′” behind minutes"),
        ('f"{pitch} mm apart"', "puts “ mm” behind pitch"),
        ('f"{pitch}mm"', "puts “mm” behind pitch"),
        ('f"{pitch} in"', "puts “ in” behind pitch"),
        ('f"{pitch} in, {more}"', "puts “ in” behind pitch"),
        ("f'{pitch}\" long'", 'puts “"” behind pitch'),
        ('f"{mass} kg"', "puts “ kg” behind mass"),
        ('f"{mass} lb each"', "puts “ lb” behind mass"),
        ('f"{turn} degrees"', "puts “ degrees” behind turn"),
        ('f"{round(mm)} of them"', "rounds round(mm) for a text"),
        ('str(round(mm, 1)) + "!"', "rounds round(mm, 1) for a text"),
        ('str(pitch) + " mm"', "puts “ mm” behind str(pitch)"),
        ('format(mm, ".1f")', "formats mm as “.1f”"),
        ('"{:.1f} apart".format(mm)', "formats by “{:.1f} apart”"),
        ('"{0:.1f}".format(mm)', "formats by “{0:.1f}”"),
        ('"%.1f apart" % mm', "formats by “%.1f apart”"),
        ('"%s mm" % mm', "formats by “%s mm”"),
        ('text.replace("0.", ".")', "cuts a shown number about: text.replace('0.', '.')"),
        ('text.replace("-", "−")', "cuts a shown number about: text.replace('-', '−')"),
        ('text.rstrip("0")', "cuts a shown number about: text.rstrip('0')"),
        ('text.removesuffix(" mm")', "cuts a shown number about: text.removesuffix(' mm')"),
        ('text.lstrip("≈")', "cuts a shown number about: text.lstrip('≈')"),
        ("format_angle(round(a, 2))", "rounds before it is shown: format_angle(round(a, 2))"),
    ],
)
def test_what_is_formatted_by_hand_is_found(code: str, what: str) -> None:
    assert faults(code) == [what]


@pytest.mark.parametrize(
    "code",
    [
        'f"{name} in {place}"',
        'f"{name} in all"',
        'f"{name}: in two ways"',
        'f"{count} made"',
        'f"{number:04}"',
        'f"{word:>12}"',
        'f"{word!r:<{wide}}"',
        'f"{format_length(mm, display)} apart"',
        'f"{owner}\'s part"',
        "round(mm, 3)",
        'made_id.replace("-", " ")',
        'sentence.rstrip(".")',
        '"%s of %s" % (one, two)',
        '"{} of {name}".format(one, name=two)',
        "a % b",
        'text + " in two parts"',
    ],
)
def test_what_only_looks_so_is_not(code: str) -> None:
    assert faults(code) == []


def test_it_is_named_with_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(formatting, "ALLOWED", {("gridjig/b.py", "Pen.css"): "Qt reads it"})
    (tmp_path / "gridjig" / "units").mkdir(parents=True)
    (tmp_path / "gridjig" / "units" / "home.py").write_text('x = f"{1.0:.2f}"\n', encoding="utf-8")
    pen = 'class Pen:\n    def css(self):\n        return f"{1.0:.2f}"\n'
    (tmp_path / "gridjig" / "b.py").write_text(pen, encoding="utf-8")
    assert formatting.by_hand(tmp_path) == []
    told = 'def tell(mm):\n    return f"{mm:.2f}"\n\n\nx = f"{2.0:g}"\n'
    (tmp_path / "gridjig" / "a.py").write_text(told, encoding="utf-8")
    assert formatting.by_hand(tmp_path) == [
        "gridjig/a.py:2: tell formats mm as “.2f”; see gridjig/units/",
        "gridjig/a.py:5: the module formats 2.0 as “g”; see gridjig/units/",
    ]
    (tmp_path / "gridjig" / "a.py").unlink()
    (tmp_path / "gridjig" / "b.py").write_text("class Pen:\n    pass\n", encoding="utf-8")
    assert formatting.by_hand(tmp_path) == ["gridjig/b.py: Pen.css is allowed and needs it no more"]


@pytest.mark.untraced
def test_every_exception_has_a_reason_and_the_program_has_no_other() -> None:
    assert all(reason for reason in formatting.ALLOWED.values())
    assert formatting.by_hand(ROOT) == []
