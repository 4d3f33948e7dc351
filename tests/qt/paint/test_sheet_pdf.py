"""The setup sheet as a PDF, read back by pypdf: text, order, the check line, the job inside."""

import gc
import re
import weakref
from io import BytesIO
from pathlib import Path

import pypdf
import pytest
from msgspec import structs
from PySide6.QtPrintSupport import QPrinter

from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.jobs.sheet_file import MEDIA_TYPE, attachment_name
from gridjig.files.library.assets import samples
from gridjig.geometry.page import SheetPage
from gridjig.model import Job
from gridjig.qt.paint.sheet_pdf import PdfMaking, pages_pdf
from gridjig.qt.paint.sheet_print import PrintMaking
from gridjig.sheets.setup.paper import PAPERS, SIZES, Paper, SheetChoices
from gridjig.sheets.setup.sheet import SetupSheet, setup_sheet
from gridjig.units.progress import Cancelled, Progress
from tests.pdftext import printed

MM = 72.0 / 25.4
PYPDF = pytest.mark.source("library", f"pypdf {pypdf.__version__}", "its reading of the PDF")
NAMES = sorted(samples())


class Written:
    """A sample, its sheet, and the PDF as pypdf reads it."""

    def __init__(self, job: Job, sheet: SetupSheet, data: bytes) -> None:
        self.job = job
        self.sheet = sheet
        self.data = data
        self.reader = pypdf.PdfReader(BytesIO(data), strict=True)
        self.pages = printed(data)
        self.texts = [" ".join(line.words for line in page) for page in self.pages]


@pytest.fixture(scope="module")
def written(qapp: object) -> Written:
    del qapp
    job = load_job(samples()[NAMES[0]])
    sheet = setup_sheet(job, SheetChoices(paper="A4", orientation="portrait"), "2026-11-28")
    inside = (attachment_name(job), write_job(job), MEDIA_TYPE)
    return Written(job, sheet, pages_pdf(sheet.title, sheet.pages, inside))


@PYPDF
@pytest.mark.expectation(110)
def test_the_job_lies_inside_byte_for_byte(written: Written) -> None:
    (found,) = written.reader.attachment_list
    assert found.name == "Market trestle- end frame.gridjig"
    assert found.content == write_job(written.job)


def test_the_text_of_every_page_is_in_reading_order_and_in_its_place(written: Written) -> None:
    assert len(written.pages) == len(written.sheet.pages) > 3
    for told, made in zip(written.pages, written.sheet.pages, strict=True):
        assert [line.words for line in told] == [text.words for text in made.texts]
        for line, text in zip(told, made.texts, strict=True):
            assert text.x - 0.1 <= line.x <= text.x + text.width + 0.1
            assert text.y - 0.1 <= line.y <= text.y + text.height + 0.1
            assert (line.turned, line.bold) == (text.up, text.bold)
            assert line.size <= text.size + 0.02


@PYPDF
def test_the_text_of_a_page_can_be_searched(written: Written) -> None:
    """As another reader takes it out, in the same order."""
    number = next(k for k, page in enumerate(written.texts) if "Set to" in page)
    found = _plain(written.reader.pages[number].extract_text())
    at, texts = 0, written.sheet.pages[number].texts
    assert len(texts) > 50
    for text in texts:
        place = found.find(_plain(text.words), at)
        assert place >= 0, (text.words, found[at : at + 80])
        at = place


def test_words_are_parted_by_blanks(written: Written) -> None:
    words = written.texts[0]
    assert "SCALE 1:10" in words
    assert "The operator stands at the front" in words
    assert "\t" not in words


def test_there_is_no_ligature(written: Written) -> None:
    words = " ".join(written.texts)
    assert "first" in words
    assert "fit" in words
    assert not re.search("[\ufb00-\ufb06]", words)


@pytest.mark.source("method", "the strokes of the page's content stream, transformed to mm")
@pytest.mark.expectation(105)
def test_the_check_line_is_100_mm_long(written: Written) -> None:
    long = [
        abs(x2 - x1) / MM
        for (x1, y1), (x2, y2) in _strokes(written.reader.pages[0])
        if abs(y2 - y1) < 0.01 and 99.0 < abs(x2 - x1) / MM < 101.0
    ]
    assert len(long) == 1
    assert long[0] == pytest.approx(100.0, abs=0.05)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.source("published", "ISO 216 and ANSI/ASME Y14.1", "the sizes of A4, A3, A and B")
def test_a_page_has_the_size_of_its_paper(paper: Paper, qapp: object) -> None:
    del qapp
    wide, high = SheetChoices(paper=paper).size
    data = pages_pdf("empty", (SheetPage(wide, high, ()),))
    box = pypdf.PdfReader(BytesIO(data)).pages[0].mediabox
    short, long = SIZES[paper]
    assert float(box.width) / MM == pytest.approx(long, abs=0.4)
    assert float(box.height) / MM == pytest.approx(short, abs=0.4)


def test_the_same_sheet_gives_the_same_pages(written: Written) -> None:
    again = pages_pdf(written.sheet.title, written.sheet.pages)
    reader = pypdf.PdfReader(BytesIO(again))
    first, second = (r.pages[1].get_contents() for r in (reader, written.reader))
    assert first is not None
    assert second is not None
    assert first.get_data() == second.get_data()


@PYPDF
@pytest.mark.expectation(108)
def test_every_ink_of_the_pdf_is_a_grey(written: Written) -> None:
    """No colour's red, green and blue differ by more than the eye takes for a grey."""
    inks = set()
    for page in written.reader.pages:
        contents = page.get_contents()
        assert contents is not None
        for operands, operator in pypdf.generic.ContentStream(contents, page.pdf).operations:
            if operator in {b"scn", b"SCN", b"rg", b"RG"} and len(operands) == 3:
                inks.add(tuple(float(one) for one in operands))
            assert operator not in {b"k", b"K"}
    assert len(inks) >= 3  # black, white and the grey of what is less important
    assert [one for one in inks if max(one) - min(one) > 0.03] == []


def test_painting_can_be_cancelled(written: Written) -> None:
    with pytest.raises(Cancelled):
        pages_pdf("x", written.sheet.pages, progress=Progress(is_cancelled=lambda: True))


def _printer(path: Path) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    return printer


@pytest.mark.parametrize("on_paper", [False, True])
def test_pages_that_nobody_ends_take_nothing_along(
    written: Written, tmp_path: Path, on_paper: bool
) -> None:
    """Freed in the midst of it; Qt ends the process if the writer goes before its painter."""
    pages = written.sheet.pages
    making: PdfMaking | PrintMaking = (
        PrintMaking(_printer(tmp_path / "printed.pdf"), pages)
        if on_paper
        else PdfMaking("left", pages)
    )
    making.step()
    assert making.painted == 1
    there = weakref.ref(making)
    del making
    gc.collect()
    assert there() is None


def _plain(text: str) -> str:
    return re.sub(r"\s+", "", text)


def _strokes(page: pypdf.PageObject) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The straight strokes of a page in points, with every change of the matrix applied."""
    contents = page.get_contents()
    assert contents is not None
    matrix, stack = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), []
    at: tuple[float, float] = (0.0, 0.0)
    found = []

    def put(x: float, y: float) -> tuple[float, float]:
        a, b, c, d, e, f = matrix
        return (a * x + c * y + e, b * x + d * y + f)

    for operands, operator in pypdf.generic.ContentStream(contents, page.pdf).operations:
        match operator:
            case b"q":
                stack.append(matrix)
            case b"Q":
                matrix = stack.pop()
            case b"cm":
                a, b, c, d, e, f = map(float, operands)
                g, h, i, j, k, m = matrix
                matrix = (
                    a * g + b * i,
                    a * h + b * j,
                    c * g + d * i,
                    c * h + d * j,
                    e * g + f * i + k,
                    e * h + f * j + m,
                )
            case b"m":
                at = put(*map(float, operands))
            case b"l":
                to = put(*map(float, operands))
                found.append((at, to))
                at = to
            case _:
                pass
    return found


def test_a_hostile_name_is_printed_as_its_letters_and_turns_nothing_round(qapp: object) -> None:
    """Markup is letters, a control character has none, and no row is printed backwards."""
    del qapp
    job = load_job(samples()[NAMES[1]])
    name = "<img src=x>\x07 & <b>R1</b>\u202e"
    part, piece = job.parts[0], job.placements[0]
    job = structs.replace(
        job,
        name=name,
        parts=(structs.replace(part, name=name), *job.parts[1:]),
        placements=(structs.replace(piece, name=name), *job.placements[1:]),
    )
    made = setup_sheet(job, SheetChoices(orientation="landscape"))
    pages = pypdf.PdfReader(BytesIO(pages_pdf(made.title, made.pages))).pages
    text = "\n".join(page.extract_text() for page in pages)
    plain = "<img src=x> & <b>R1</b>"
    assert len(pages) > 3
    assert text.count(plain) > 3 + len(pages)  # at the piece, the part and its joints, on each foot
    assert f"{plain} + Left stile" in " ".join(text.split())
    assert not set(text) & {"\x07", "\u202e"}
