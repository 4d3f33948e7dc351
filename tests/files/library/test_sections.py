"""The section list against published masses and against sections drawn with a geometry library."""

import json
from collections import Counter
from pathlib import Path

import pytest
import sections as script

from gridjig.files.format.faults import ReadFault
from gridjig.files.library import sections, user_library
from gridjig.files.library.assets import assets_dir
from gridjig.files.library.sections import find_section, listed
from gridjig.files.storage.locations import user_library_file
from gridjig.model import Section, SectionKind
from tests.sectionkit import drawn

LB_FT = 0.45359237 / 0.3048
"""Kilograms a metre in a pound a foot: international pound and foot."""


def kg_m(name: str) -> float:
    found = find_section(name)
    assert found is not None, name
    return found.mass()


# Values of EN 10219-2 section properties: A = 2t(b + h - 2t) - (4 - pi)(ro2 - ri2), three decimals.
SQUARE = {
    "20x20x2": 1.050, "25x25x2": 1.364, "30x30x2": 1.678, "30x30x3": 2.361, "40x40x2": 2.306,
    "40x40x3": 3.303, "40x40x4": 4.198, "50x50x3": 4.245, "50x50x4": 5.454, "50x50x5": 6.560,
    "60x60x3": 5.187, "60x60x4": 6.710, "60x60x5": 8.130, "80x80x4": 9.222, "80x80x5": 11.270,
    "100x100x4": 11.734, "100x100x5": 14.410, "100x100x6": 16.982, "100x100x8": 21.385,
    "100x50x4": 8.594, "80x40x3": 5.187,
}  # fmt: skip
RECTANGULAR = {
    "40x20x2": 1.68, "40x20x3": 2.36, "40x30x2": 1.99, "50x30x3": 3.30, "50x30x4": 4.20,
    "60x40x2": 2.93, "60x40x3": 4.25, "60x40x4": 5.45,
}  # fmt: skip
ROUND = {
    "Ø21.3x2.6": 1.199, "Ø26.9x2.6": 1.558, "Ø33.7x3.2": 2.407, "Ø42.4x3.2": 3.094,
    "Ø48.3x3.2": 3.559, "Ø60.3x3.6": 5.034, "Ø76.1x3.6": 6.437,
}  # fmt: skip
ANGLES = {
    "L30x20x3": (1.43, 1.12), "L50x30x5": (3.78, 2.96), "L60x40x5": (4.79, 3.76),
    "L60x40x6": (5.68, 4.46), "L65x50x5": (5.54, 4.35),
}  # fmt: skip
EQUAL_ANGLES = {"L30x30x3": 1.363, "L40x40x4": 2.417, "L50x50x5": 3.770, "L60x60x6": 5.423,
                "L80x80x8": 9.630}  # fmt: skip
PLAIN = {
    "40x5": 1.570, "50x6": 2.355, "50x10": 3.925, "100x10": 7.850, "Ø10": 0.617, "Ø12": 0.888,
    "Ø16": 1.578, "Ø20": 2.466, "Ø25": 3.853,
}  # fmt: skip
US_TUBE = {
    "1x1x1/8": 1.35, "1-1/4x1-1/4x1/8": 1.78, "1-1/2x1-1/2x1/8": 2.21, "2x2x1/8": 3.06,
    "2x2x1/4": 5.41, "3x3x1/8": 4.76, "3x3x1/4": 8.81, "4x4x1/4": 12.21,
}  # fmt: skip
US_COMPUTED = {"4x2x1/8": 4.755, "3x2x1/8": 3.904, "2x1x1/8": 2.203}


@pytest.mark.source(
    "published", "EN 10219-2", "rectangular tube properties, as a metals-trade page gives them"
)
@pytest.mark.parametrize("name", RECTANGULAR)
def test_rectangular_tube_weighs_as_published(name: str) -> None:
    assert round(kg_m(name), 2) == pytest.approx(RECTANGULAR[name], abs=0.005)


@pytest.mark.source("method", "arithmetic: the area formula of EN 10219-2, three decimals")
@pytest.mark.parametrize("name", [*SQUARE, *ROUND, *EQUAL_ANGLES])
def test_tubes_and_equal_angles_weigh_as_reckoned(name: str) -> None:
    wanted = {**SQUARE, **ROUND, **EQUAL_ANGLES}[name]
    assert kg_m(name) == pytest.approx(wanted, abs=0.0006)


@pytest.mark.source(
    "published",
    "EN 10056",
    "unequal angles, area in cm2 and kg/m, as an engineering page gives them",
)
@pytest.mark.parametrize("name", ANGLES)
def test_unequal_angles_are_as_published(name: str) -> None:
    found = find_section(name)
    assert found is not None
    area, mass = ANGLES[name]
    assert round(found.area / 100, 2) == area
    assert found.mass() == pytest.approx(mass, abs=0.0051)


@pytest.mark.source(
    "published",
    "weight formulas of a steel page",
    "flat w x t x 0.00785, round d2 x 0.0061654 kg/m",
)
@pytest.mark.parametrize("name", PLAIN)
def test_flats_and_rounds_weigh_as_published(name: str) -> None:
    assert kg_m(name) == pytest.approx(PLAIN[name], abs=0.0006)


@pytest.mark.source("published", "a steel distributor's list", "square tube weights, lb/ft")
@pytest.mark.parametrize("name", US_TUBE)
def test_us_tube_weighs_as_published(name: str) -> None:
    assert kg_m(name) / LB_FT == pytest.approx(US_TUBE[name], abs=0.0085)


@pytest.mark.source(
    "method", "arithmetic: the weight formula with 2T and 1T corners, 0.2836 lb/in3"
)
@pytest.mark.parametrize("name", US_COMPUTED)
def test_us_rectangular_tube_weighs_as_reckoned(name: str) -> None:
    assert kg_m(name) / LB_FT == pytest.approx(US_COMPUTED[name], abs=0.001)


@pytest.mark.source("library", "shapely 2.1", "areas of sections drawn with buffered corners")
def test_every_area_is_that_of_the_drawn_section() -> None:
    assert len(listed()) >= 400
    for one in listed():
        section = one.section
        assert section.area == pytest.approx(drawn(section).area, rel=5e-6), section.name


@pytest.mark.source(
    "published",
    "EN 10219-2",
    "outside corner 1.6T-2.4T up to 6 mm, 2T-3T up to 10, as a metals-trade page gives it",
)
def test_corner_radii_lie_inside_what_the_standards_allow() -> None:
    tubes = [o for o in listed() if o.section.kind in ("square tube", "rectangular tube")]
    counts = Counter(one.group for one in tubes)
    assert min(counts["EN"], counts["US"]) >= 80
    for one in tubes:
        s = one.section
        low, high = (1.6, 2.4) if s.wall <= 6 else (2.0, 3.0)
        if one.group == "US":
            low, high = 0.0, 3.0  # ASTM A500: at most 3T
        assert low * s.wall - 1e-9 <= s.radius <= high * s.wall + 1e-9, s.name


def test_the_file_is_what_the_script_writes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = (assets_dir() / "sections.json").read_bytes()
    monkeypatch.setattr(script, "FILE", tmp_path / "sections.json")
    script.main()
    assert (tmp_path / "sections.json").read_bytes() == kept
    assert b'"area"' not in kept
    assert len(json.loads(kept)["sections"]) == len(listed())


def test_us_sizes_are_exact_inches() -> None:
    found = find_section("1-1/2x1-1/2x3/16")
    assert found is not None
    assert (found.width, found.wall) == (1.5 * 25.4, 25.4 * 3 / 16)
    assert script.inches("2-1/2") == 63.5


def test_names_are_single_however_they_are_typed() -> None:
    names = Counter("".join(s.name.casefold().split()) for s in sections.sections())
    assert max(names.values()) == 1
    for typed in ("50 x 50 x 3", "50×50×3", "50X50X3"):
        assert find_section(typed) == find_section("50x50x3")
    assert find_section('2" x 2" x 1/8"') == find_section("2x2x1/8")
    assert find_section("48.3x3.2") == find_section("Ø48.3x3.2")
    assert find_section("51x51x3") is None
    assert find_section("50x50x3", kind="angle") is None


KINDS: dict[SectionKind, tuple[str, str]] = {
    "square tube": ("50x50x3", "2x2x1/8"),
    "rectangular tube": ("60x40x3", "4x2x1/8"),
    "round tube": ("Ø48.3x3.2", "2 OD x 11 ga"),
    "angle": ("L50x50x5", "L2x2x1/8"),
    "channel": ("U100x55x4.5", "C4x5.4"),
    "flat": ("50x6", "2x1/4"),
    "round bar": ("Ø20", "3/4 dia"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_group_has_every_kind(kind: SectionKind) -> None:
    en, us = KINDS[kind]
    assert en in {s.name for s in sections.sections("EN", kind)}
    assert us in {s.name for s in sections.sections("US", kind)}
    assert {s.kind for s in sections.sections("EN", kind)} == {kind}


def test_own_sections_come_first_in_both_groups_until_forgotten() -> None:
    mine = Section(name="56x56x4 old rack", kind="square tube", width=56, height=56, wall=4)
    user_library.keep_section(mine)
    assert sections.sections("EN")[0] == sections.sections("US")[0] == mine
    assert find_section("56x56x4 old rack") == mine
    assert sections.source(mine) == "custom section"
    assert "EN 10219" in sections.source(listed()[0].section)
    user_library.forget_section(mine.name)
    assert find_section(mine.name) is None


def test_a_damaged_own_section_is_said_and_leaves_the_list_whole() -> None:
    user_library.keep_section(Section(name="mine", kind="square tube", width=56, height=56, wall=4))
    path = user_library_file()
    path.write_bytes(path.read_bytes().replace(b'"wall": 4', b'"wall": 40'))
    with pytest.raises(ReadFault, match="the walls leave no space inside"):
        user_library.load()
    assert len(sections.sections()) == len(listed())
