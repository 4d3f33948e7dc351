"""The shop chart on paper: pages, size, words that can be searched."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QImage, QPdfWriter

from gridjig.files.format.faults import SaveFault
from gridjig.files.library.assets import ready_tables
from gridjig.model import Display
from gridjig.qt.paint.chart_pdf import write_chart
from gridjig.qt.paint.sheet_pdf import Unpainted
from gridjig.sheets.lists.angle_chart import ChartSheet, chart_sheet
from gridjig.solve.angles.chart import angle_chart

POPPLER = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="pdftotext is not installed here"
)


@pytest.fixture
def sheet() -> ChartSheet:
    return chart_sheet(angle_chart(ready_tables()["48x48-5/8"]), Display())


@pytest.mark.usefixtures("qapp")
def test_the_page_has_its_size(sheet: ChartSheet, tmp_path: Path) -> None:
    for paper, (width, height) in (("A4", (595, 842)), ("Letter", (612, 792))):
        path = tmp_path / f"{paper}.pdf"
        write_chart(sheet, path, "A4" if paper == "A4" else "Letter")
        raw = path.read_bytes()
        assert raw.startswith(b"%PDF-")
        boxes = re.findall(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", raw)
        assert len(boxes) == 2
        for box in boxes:
            assert (float(box[0]), float(box[1])) == pytest.approx((width, height), abs=1)


@POPPLER
@pytest.mark.source("library", "poppler 22.12", "pdftotext")
@pytest.mark.usefixtures("qapp")
def test_every_word_can_be_found(sheet: ChartSheet, tmp_path: Path) -> None:
    path = tmp_path / "chart.pdf"
    write_chart(sheet, path, "Letter")
    done = subprocess.run(
        ["pdftotext", "-layout", str(path), "-"], capture_output=True, check=True, text=True
    )
    words = re.sub(r"\s+", " ", done.stdout)
    for page in sheet.pages:
        assert page.title in words
        for line in page.lines:
            assert re.sub(r"\s+", " ", " ".join(c for c in line.cells[:2] if c)) in words
    for text in (*sheet.subject, *sheet.how_to, *sheet.cautions, "page 2 of 2"):
        assert re.sub(r"\s+", " ", text) in words


@POPPLER
@pytest.mark.source("library", "poppler 22.12", "pdftoppm")
@pytest.mark.usefixtures("qapp")
def test_nothing_is_drawn_beyond_the_frame(sheet: ChartSheet, tmp_path: Path) -> None:
    path = tmp_path / "chart.pdf"
    write_chart(sheet, path, "A4")
    subprocess.run(
        ["pdftoppm", "-r", "50", "-png", "-f", "1", "-l", "1", str(path), str(tmp_path / "page")],
        check=True,
    )
    image = QImage(str(next(tmp_path.glob("page*.png"))))
    assert image.size() == QSize(414, 585)
    edge = round(9.0 / 25.4 * 50)
    dark = [
        (x, y)
        for x in range(image.width())
        for y in range(image.height())
        if image.pixelColor(x, y).lightness() < 200
        and not (edge <= x < image.width() - edge and edge <= y < image.height() - edge)
    ]
    assert dark == []


@pytest.mark.usefixtures("qapp")
def test_a_place_that_cannot_be_written_is_told(sheet: ChartSheet, tmp_path: Path) -> None:
    with pytest.raises(SaveFault, match="nowhere is gone"):
        write_chart(sheet, tmp_path / "nowhere" / "chart.pdf", "A4")


@pytest.mark.usefixtures("qapp")
def test_pages_that_cannot_be_painted_leave_the_old_file_whole(
    sheet: ChartSheet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "chart.pdf"
    path.write_bytes(b"mine")
    monkeypatch.setattr(QPdfWriter, "newPage", lambda self: False)
    with pytest.raises(Unpainted, match="could not be painted"):
        write_chart(sheet, path, "A4")
    assert path.read_bytes() == b"mine"
    assert list(tmp_path.iterdir()) == [path]
