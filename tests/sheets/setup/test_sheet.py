"""What stands on the pages of a setup sheet, and that nothing stands on anything else."""

from functools import cache

import pytest
from msgspec import structs

from gridjig.contact.values import JobContacts
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import ready_tables, samples
from gridjig.geometry.page import PageLine, PageText, SheetPage
from gridjig.model import Job
from gridjig.model.labels import address
from gridjig.sheets.setup.facts import KnownFacts, find_out
from gridjig.sheets.setup.layout import Unfit
from gridjig.sheets.setup.paper import PAPERS, Paper, SheetChoices
from gridjig.sheets.setup.sheet import best_held, setup_sheet, sheet_scale
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units import format_length
from gridjig.units.progress import Cancelled, Progress
from tests.workshop import EMPTY

from .crowded import crowded_job
from .randomjobs import random_job

NAMES = sorted(samples())
_HAIR = 0.05


@cache
def job_of(name: str) -> Job:
    return load_job(samples()[name])


@cache
def known_of(name: str) -> KnownFacts:
    """What was found out about a sample, once for all tests."""
    return find_out(job_of(name))


def found_fast(job: Job) -> KnownFacts:
    """Where the pieces of a job stand, without its checks, which take seconds for hundreds."""
    return KnownFacts(PlacedPieces().of(job), JobContacts({}, {}, (), ()), ())


def words_of(pages: tuple[SheetPage, ...]) -> str:
    return " ".join(text.words for page in pages for text in page.texts)


def overlaps(page: SheetPage) -> list[tuple[str, str]]:
    """Pairs of texts whose boxes overlap by more than a hair; of a tight line only the letters."""
    boxes = sorted(((_letters(one), one.words) for one in page.texts), key=lambda one: one[0][1])
    found = []
    for k, (a, words) in enumerate(boxes):
        for b, others in boxes[k + 1 :]:
            if b[1] > a[3] - _HAIR:
                break  # this one and all after it begin below
            if min(a[2], b[2]) - max(a[0], b[0]) > _HAIR and min(a[3], b[3]) - b[1] > _HAIR:
                found.append((words, others))
    return found


def _letters(text: PageText) -> tuple[float, float, float, float]:
    """The box of the letters themselves: as wide as the text's box, as high as its capitals."""
    if text.up:
        spare = (text.width - text.size) / 2
        return (text.x + spare, text.y, text.x + text.width - spare, text.y + text.height)
    spare = (text.height - text.size) / 2
    return (text.x, text.y + spare, text.x + text.width, text.y + text.height - spare)


LOOKS = (
    SheetChoices(paper="A4"),
    SheetChoices(paper="A4", orientation="portrait", large=True),
    SheetChoices(paper="A3", units="both"),
    SheetChoices(paper="Letter", orientation="portrait", units="both"),
    SheetChoices(paper="Tabloid", orientation="portrait", large=True),
    SheetChoices(paper="Tabloid"),
)


def test_the_looks_have_every_paper_both_ways_up_both_prints_and_both_units() -> None:
    assert {one.paper for one in LOOKS} == set(PAPERS)
    for field, count in (("orientation", 2), ("large", 2), ("units", 2)):
        assert len({getattr(one, field) for one in LOOKS}) == count


@pytest.mark.parametrize("name", NAMES)
def test_no_text_overlaps_another_and_none_leaves_the_page(name: str) -> None:
    job, known = job_of(name), known_of(name)
    for choices in LOOKS:
        pages = setup_sheet(job, choices, found=known).pages
        assert len(pages) > 2
        for page in pages:
            assert overlaps(page) == []
            assert [t.words for t in page.texts if not _on(page, t)] == []


def test_an_overlap_would_be_found() -> None:
    def text(words: str, x: float, y: float) -> PageText:
        return PageText(x, y, 20.0, 4.0, words, 2.5)

    page = SheetPage(210.0, 297.0, (text("one", 10, 10), text("under", 10, 14), text("on", 29, 11)))
    assert overlaps(page) == [("one", "on")]


@pytest.mark.parametrize("seed", range(4))
def test_nothing_overlaps_on_a_random_set_up_either(seed: int) -> None:
    pages = setup_sheet(random_job(seed), SheetChoices()).pages
    assert len(pages) > 1
    assert [pair for page in pages for pair in overlaps(page)] == []


def _on(page: SheetPage, text: PageText) -> bool:
    right, bottom = text.x + text.width, text.y + text.height
    return text.x >= 5.0 and text.y >= 5.0 and right <= page.width - 5 and bottom <= page.height - 5


@pytest.mark.expectation(109)
@pytest.mark.parametrize("name", NAMES)
def test_every_piece_hole_and_part_of_the_job_is_told(name: str) -> None:
    job = job_of(name)
    words = words_of(setup_sheet(job, SheetChoices(), found=known_of(name)).pages)
    assert job.placements
    for placement in job.placements:
        assert placement.name in words
        piece = job.rack.piece(placement.piece)
        assert piece.name in words
        assert piece.bin in words
        for seat in placement.seats:
            assert address(job.table, seat.hole) in words
        for loose in (*placement.lift, *placement.packing):
            assert job.rack.piece(loose).size.split()[0] in words
    assert job.parts
    for part in job.parts:
        assert part.name in words
    for told in (job.name, job.drawing, job.table.name, job.rack.name, "SCALE 1:10"):
        assert told in words
    for heading in (
        "Pull list, in walking order",
        "Set the pieces, in this order",
        "Prove the set-up before the first tube",
        "Cut list",
        "Load the parts",
        "Tack",
        "Weld",
        "Release and lift",
        "First article",
        "What the checks say",
        "Cautions for this job",
        "What this sheet leaves to others",
    ):
        assert heading in words


@pytest.mark.expectation(59)
def test_units_are_the_jobs_or_both() -> None:
    job = job_of(NAMES[0])
    inches = words_of(setup_sheet(job, SheetChoices(), found=known_of(NAMES[0])).pages)
    choices = SheetChoices(units="both")
    both = words_of(setup_sheet(job, choices, found=known_of(NAMES[0])).pages)
    assert '24"' in inches
    assert "609.6 mm" not in inches
    assert '24" (609.6 mm)' in both
    metric = job_of(NAMES[1])
    assert '850 mm (≈33.465")' in words_of(
        setup_sheet(metric, choices, found=known_of(NAMES[1])).pages
    )


@pytest.mark.expectation(107)
def test_large_print_is_larger_and_says_the_same() -> None:
    job = job_of(NAMES[0])
    normal, large = (
        setup_sheet(job, SheetChoices(large=one), found=known_of(NAMES[0])).pages
        for one in (False, True)
    )
    assert len(large) > len(normal)
    sizes = [max(t.size for t in pages[2].texts) for pages in (normal, large)]
    assert sizes == [3.5, 5.0]
    for placement in job.placements:
        assert placement.name.split()[0] in words_of(large)


@pytest.mark.source("published", "ISO 5455:1979", "the reduction scales 1:2, 1:5, 1:10 and so on")
@pytest.mark.expectation(104)
def test_the_scale_is_the_largest_standard_one_that_fits() -> None:
    gate = job_of(NAMES[1])
    assert sheet_scale(gate, SheetChoices(paper="A4")) == 10.0
    assert sheet_scale(gate, SheetChoices(paper="A4", orientation="portrait")) == 20.0
    assert sheet_scale(gate, SheetChoices(paper="A3")) == 10.0
    assert best_held(gate, SheetChoices(orientation="portrait")).orientation == "landscape"


def test_the_page_is_held_so_that_the_plan_is_largest_and_else_as_the_table_lies() -> None:
    def bare(name: str) -> Job:
        return structs.replace(EMPTY, table=ready_tables()[name])

    def held(name: str, paper: Paper) -> tuple[str, float]:
        found = best_held(bare(name), SheetChoices(paper=paper))
        return found.orientation, sheet_scale(bare(name), found)

    assert held("48x96-3/4", "A4") == ("landscape", 10.0)
    assert held("48x96-3/4", "Letter") == ("landscape", 20.0)  # 1:20 both ways
    assert held("48x48-3/4", "A3") == ("portrait", 5.0)


def test_the_filing_margin_is_given_up_for_a_larger_plan() -> None:
    table = ready_tables()["1200x1200-50"]

    def left(choices: SheetChoices) -> float:
        job = structs.replace(EMPTY, table=table)
        page = setup_sheet(job, choices).pages[0]
        return min(m.points[0][0] for m in page.marks if isinstance(m, PageLine) and m.closed)

    across = SheetChoices(paper="Letter")
    assert sheet_scale(structs.replace(EMPTY, table=table), across) == 10.0
    assert left(across) == 10.0
    assert left(SheetChoices(paper="A4", orientation="portrait")) == 20.0


def test_a_scale_that_does_not_fit_is_refused_with_one_that_does() -> None:
    gate = job_of(NAMES[1])
    assert setup_sheet(gate, SheetChoices(scale=25.0), found=known_of(NAMES[1])).scale == 25.0
    with pytest.raises(
        Unfit, match=r"2400 mm x 1200 mm, does not fit this page at 1:5; choose 1:10"
    ):
        setup_sheet(gate, SheetChoices(scale=5.0), found=known_of(NAMES[1]))


def test_two_hundred_pieces_run_to_several_pages_with_whole_rows_and_details() -> None:
    job = crowded_job()
    assert len(job.placements) == 200
    choices = SheetChoices(paper="A4", orientation="portrait")
    pages = setup_sheet(job, choices, found=found_fast(job)).pages
    heads = [p for p in pages if any(t.words == "Holes" for t in p.texts)]
    assert len(heads) > 5
    numbers = [
        int(t.words)
        for page in heads
        for t in page.texts
        if t.bold and t.words.isdigit() and t.size == 3.5 and t.x < 45.0
    ]
    assert set(range(1, 201)) <= set(numbers)
    for page in pages:
        assert [t.words for t in page.texts if not _on(page, t)] == []
        assert overlaps(page) == []
    # Every used hole has its address: on the plan, or enlarged.
    details = [p for p in pages if p.texts[0].words.startswith("Detail ")]
    assert details
    told = {t.words for page in (pages[0], *details) for t in page.texts}
    used = {address(job.table, s.hole) for p in job.placements for s in p.seats}
    assert used <= told


def test_an_empty_job_has_a_sheet_too() -> None:
    pages = setup_sheet(EMPTY, SheetChoices()).pages
    assert "No piece is placed yet." in words_of(pages)
    assert overlaps(pages[0]) == []


def test_what_is_hostile_in_a_name_stays_in_its_box() -> None:
    job = structs.replace(job_of(NAMES[0]), name="x" * 120, notes="word " * 700)
    pages = setup_sheet(job, SheetChoices(orientation="portrait"), found=known_of(NAMES[0])).pages
    assert len(pages) > 3
    assert [t.words for page in pages for t in page.texts if not _on(page, t)] == []


def test_it_can_be_cancelled() -> None:
    with pytest.raises(Cancelled):
        setup_sheet(job_of(NAMES[0]), SheetChoices(), progress=Progress(is_cancelled=lambda: True))


@pytest.mark.expectation(106)
def test_a_title_block_prints_what_the_job_has_and_leaves_room_for_the_rest() -> None:
    job = job_of(NAMES[0])
    block = structs.replace(job.title_block, owner="Our shop", number="S-12", way_up="face down")
    named = structs.replace(job, title_block=block, revision="B")
    words = words_of(setup_sheet(named, SheetChoices(), "2026-11-28", known_of(NAMES[0])).pages[:1])
    for told in ("Our shop", "S-12", "face down", "2026-11-28", "Approved by", "Created by"):
        assert told in words
    assert format_length(job.table.width, job.display) in words
