"""What a person types to find a section."""

import pytest

from gridjig.files.library.section_search import exact_sections, read_search, search_sections
from gridjig.files.library.sections import sections


def first(text: str) -> str:
    found = search_sections(text)
    assert found, text
    return f"{found[0].name} {found[0].kind}"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("1.5x1.5x.125", "1-1/2x1-1/2x1/8 square tube"),
        ("1-1/2 x 1-1/2 x 1/8", "1-1/2x1-1/2x1/8 square tube"),
        ('1.5" x 1.5" x .125"', "1-1/2x1-1/2x1/8 square tube"),
        ("1.5 in by 1.5 in by 1/8 in", "1-1/2x1-1/2x1/8 square tube"),
        ("50x50x3", "50x50x3 square tube"),
        ("50 x 50 x 3 mm", "50x50x3 square tube"),
        ("50 50 3", "50x50x3 square tube"),
        ("50×50×3", "50x50x3 square tube"),
        ("50x3 sq", "50x50x3 square tube"),
        ("angle 50x50x5", "L50x50x5 angle"),
        ("L 50x50x5", "L50x50x5 angle"),
        ("30x50x3 rect", "50x30x3 rectangular tube"),
        ("ø48.3x3.2", "Ø48.3x3.2 round tube"),
        ("48.3 pipe", "Ø48.3x2.6 round tube"),
        ("2x1x16 ga rect", "2x1x16 ga rectangular tube"),
    ],
)
def test_sizes_as_they_are_typed(text: str, wanted: str) -> None:
    assert first(text) == wanted


def test_two_inch_square_finds_every_wall_and_nothing_else() -> None:
    found = search_sections('2" sq')
    assert len(found) > 1
    assert {s.kind for s in found} == {"square tube"}
    assert {round(s.width, 1) for s in found} == {50.8}
    assert exact_sections('2" sq') == ()


def test_every_listed_name_finds_its_section_first_of_its_kind() -> None:
    every = sections()
    assert len(every) > 100
    for section in every:
        found = search_sections(f"{section.name} {section.kind}")
        assert found, section
        assert section in found
        assert found[0].kind == section.kind
        assert (found[0].width, found[0].height) == (section.width, section.height)


def test_words_alone_find_a_kind() -> None:
    found = search_sections("chan")
    assert found
    assert {s.kind for s in found} == {"channel"}


def test_what_is_not_a_section_finds_nothing() -> None:
    assert search_sections("zebra") == ()
    assert search_sections("7x7x7") == ()
    assert read_search("zebra 50") is None


def test_no_text_offers_all() -> None:
    assert search_sections("  ") == sections()


def test_exact_only_if_every_size_was_typed() -> None:
    assert [s.name for s in exact_sections("50x50x3")] == ["50x50x3"]
    assert exact_sections("50x50") == ()
    kinds = {s.kind for s in exact_sections("50x50x5")}
    assert kinds == {"square tube", "angle"}
