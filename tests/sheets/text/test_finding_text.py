"""Findings in words: groups, figures with units, places, and where a limit comes from."""

import pytest
from msgspec import structs

from gridjig.checks.finding import KINDS, LEVELS, FigureUnit, Finding
from gridjig.model import Display
from gridjig.proof.report import prove
from gridjig.sheets.text.finding_groups import PIECES, WHOLE, grouped
from gridjig.sheets.text.finding_text import (
    KIND_WORDS,
    LEVEL_WORDS,
    counts_words,
    detail_words,
    figure_words,
    where_words,
)
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import layout
from tests.workshop import EMPTY

JOB = layout("T06")
FINDINGS = prove(JOB, PlacedPieces().of(JOB)).findings
METRIC = Display(unit="millimetres")


def figure(value: float, limit: float | None, unit: FigureUnit) -> str:
    one = Finding("x", "gap", "look", "What.", None, (), "Do.", value, limit, unit)
    return figure_words(one, METRIC)


def test_every_level_and_kind_has_its_words() -> None:
    assert tuple(LEVEL_WORDS) == LEVELS
    assert tuple(KIND_WORDS) == KINDS


@pytest.mark.parametrize(
    ("value", "limit", "unit", "words"),
    [
        (3.5, 0.05, "mm", "3.5 mm, limit 0.05 mm"),
        (3.5, 0.0, "mm", "3.5 mm"),
        (4.76, 15.0, "deg", "4.8°, limit 15°"),
        (24.0, 23.0, "kg", "24.0 kg, limit 23.0 kg"),
        (35.0, None, "N", "35 N"),
        (5.0, 4.0, "pieces", "5 pieces, limit 4 pieces"),
        (5.0, 0.0, "pieces", "5 pieces, limit 0 pieces"),
        (1.0, 0.0, "pieces", "1 piece, limit 0 pieces"),
        (11.76, 6.0, "", "11.8 times, limit 6 times"),
    ],
)
def test_a_figure_stands_against_its_limit_with_its_unit(
    value: float, limit: float | None, unit: FigureUnit, words: str
) -> None:
    assert figure(value, limit, unit) == words


def test_what_is_not_measured_has_no_figure() -> None:
    assert figure_words(Finding("x", "gap", "look", "W.", None, (), "D."), METRIC) == ""


def test_a_place_is_the_nearest_hole_and_its_lengths() -> None:
    job = structs.replace(EMPTY, display=METRIC)
    one = Finding("x", "gap", "look", "W.", (207.0, 198.0), (), "D.")
    assert where_words(job, one) == "near D4, at 207 mm, 198 mm"


@pytest.mark.parametrize("order", ["level", "member", "kind"])
def test_no_finding_is_lost_in_groups(order: str) -> None:
    groups = grouped(JOB, FINDINGS, order)  # type: ignore[arg-type]
    assert {one.id for _, some in groups for one in some} == {one.id for one in FINDINGS}
    assert all(some for _, some in groups)
    assert len({head for head, _ in groups}) == len(groups) >= 2


def test_by_member_each_stands_under_the_parts_that_it_is_about() -> None:
    of_parts = [g for g in grouped(JOB, FINDINGS, "member") if g[0] not in (PIECES, WHOLE)]
    assert len(of_parts) >= 2
    for head, some in of_parts:
        part = next(p for p in JOB.parts if p.name == head)
        assert all(part.id in one.ids for one in some)


def test_the_detail_says_where_the_limit_comes_from() -> None:
    falls = next(one for one in FINDINGS if one.kind == "falls")
    words = detail_words(JOB, falls)
    assert "4.8°, limit 15°." in words
    assert words.endswith("Source: shop value of this job; common practice, no published source.")


def test_counts_are_told_by_level() -> None:
    looks = sum(one.level == "look" for one in FINDINGS)
    notes = sum(one.level == "note" for one in FINDINGS)
    assert counts_words(FINDINGS) == f"{looks} to look at, {notes} good to know"
    assert counts_words(()) == ""
