"""A sheet in both systems gives every length and weight in both, wherever one stands."""

import re

import pytest
from msgspec import structs

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.geometry.page import PageText
from gridjig.model import EndCut, Job, Member
from gridjig.model.plate_holes import Drilled
from gridjig.sheets.setup.facts import SheetFacts, facts_of, find_out
from gridjig.sheets.setup.paper import PAPERS, SheetChoices
from gridjig.sheets.setup.set_blocks import NARROW_SET_COLUMNS, SET_COLUMNS, set_blocks
from gridjig.sheets.setup.sheet import blocks_of, setup_sheet
from gridjig.sheets.setup.shown import Shown, in_units
from gridjig.units import Display, Unit
from tests.workshop import plate

from .test_sheet import found_fast
from .test_work_blocks import GATE, told

BOTH = SheetChoices(units="both")
_ALONE = re.compile(r'[0-9](?:"| (?:mm|lb|kg|N)\b)(?! \()')
"""A length or weight that no bracket follows."""


def rich(job: Job) -> Job:
    """A job with a plate with holes, a coped member and one for which the welds are allowed."""
    drilled = structs.replace(plate("lug", 300, 300), holes=(Drilled((30.0, 20.0), 18.0),))
    first = next(part for part in job.parts if isinstance(part, Member))
    coped = structs.replace(first, end=EndCut("cope", around=88.9))
    parts = tuple(coped if part is first else part for part in job.parts)
    return structs.replace(job, parts=(*parts, drilled))


def both_of(job: Job) -> SheetFacts:
    return facts_of(job, BOTH, find_out(in_units(job, "both")))


def without_names(words: str, job: Job) -> str:
    """The words without names, which stay as they are, and without what is given in brackets."""
    names = {piece.full_name for piece in job.rack.pieces} | {
        piece.name for piece in job.rack.pieces
    }
    names |= {job.table.name, job.rack.name, *job.notes.split("\n")}
    for name in sorted(names - {""}, key=len, reverse=True):
        words = words.replace(name, "")
    return re.sub(r'\((?:under )?±?≈?[0-9.]+(?:"| mm| lb| kg| N)\)', "()", words)


@pytest.mark.parametrize("name", sorted(samples()))
@pytest.mark.parametrize("unit", ["millimetres", "inch fractions", "inch decimals"])
def test_every_length_and_weight_in_the_lists_is_given_in_both(name: str, unit: str) -> None:
    job = rich(structs.replace(load_job(samples()[name]), display=Display(unit=unit)))  # type: ignore[arg-type]
    words = without_names(told(blocks_of(both_of(job), 0)), job)
    assert words.count("()") > 40
    assert not [words[m.start() - 40 : m.end() + 30] for m in _ALONE.finditer(words)]


def test_every_length_on_the_plan_is_given_in_both() -> None:
    pages = setup_sheet(GATE, BOTH, found=found_fast(GATE)).pages
    texts = [one.words for one in pages[0].marks if isinstance(one, PageText)]
    plan = [without_names(one, GATE) for one in texts if "check line" not in one]
    assert sum("()" in one for one in plan) > 8
    assert not [one for one in plan if _ALONE.search(one)]


def test_in_the_units_of_the_job_there_is_nothing_in_brackets() -> None:
    job = rich(GATE)
    words = told(blocks_of(facts_of(job, SheetChoices(), find_out(job)), 0))
    assert " mm" in words
    assert '"' not in without_names(words, job)
    assert "(≈" not in words


@pytest.mark.parametrize(
    ("unit", "mm", "words"),
    [
        ("inch fractions", 311.15 + 3e-4, '12-1/4"'),
        ("inch fractions", 311.15 + 0.02, '12.251"'),
        ("inch fractions", -1e-4, '0"'),
        ("millimetres", 1500.0 - 2e-3, "1500 mm"),
        ("millimetres", 1500.02, "≈1500 mm"),
        ("inch decimals", 25.4 + 1e-3, '1.000"'),
    ],
)
def test_a_setting_less_than_a_hair_off_a_step_is_on_it(unit: Unit, mm: float, words: str) -> None:
    assert Shown(Display(unit=unit)).setting(mm) == words


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("paper", PAPERS)
def test_a_narrow_page_has_the_turn_below_the_count_and_says_the_same(
    paper: str, large: bool
) -> None:
    wide, narrow = (
        told(set_blocks(facts_of(GATE, choices, found_fast(GATE))))
        for choices in (
            SheetChoices(paper="A3", orientation="landscape"),
            SheetChoices(paper=paper, orientation="portrait", large=large),  # type: ignore[arg-type]
        )
    )
    assert re.sub(r"[\s|]+", " ", wide) == re.sub(r"[\s|]+", " ", narrow)
    assert "\nturn" not in wide
    stacked = "\nturn" in narrow
    roomy = paper in ("A3", "Tabloid") and not large
    assert stacked != roomy
    assert len(NARROW_SET_COLUMNS) + 1 == len(SET_COLUMNS)
