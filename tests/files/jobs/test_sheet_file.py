"""The job inside a setup sheet comes out of it again, and no PDF gets further than its limits."""

import logging
import sys
import time
import zlib
from collections.abc import Callable
from io import BytesIO, TextIOWrapper
from pathlib import Path

import pytest
from msgspec import structs

from fuzzing.sheets import pdf_with
from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs import sheet_child, sheet_file
from gridjig.files.jobs.job_file import FORMAT, load_job, write_job
from gridjig.files.jobs.sheet_file import attachment_name, bytes_in_sheet, is_sheet, job_in_sheet
from gridjig.files.library.assets import samples
from tests.workshop import EMPTY


def test_a_job_comes_out_as_it_went_in(tmp_path: Path) -> None:
    job = load_job(sorted(samples().values())[0])
    data = write_job(job)
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf_with(("notes.txt", b"no job"), (attachment_name(job), data)))
    assert bytes_in_sheet(path) == data
    assert job_in_sheet(path) == job


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (pdf_with(), "no job lies inside it"),
        (pdf_with(("a.txt", b"x")), "no job lies inside it"),
        (pdf_with(("a.gridjig", b"{}"), ("b.gridjig", b"{}")), "more than one job lies inside it"),
        (b"", "not a PDF that can be read"),
        (b"%PDF-1.4\n%%EOF", "not a PDF that can be read"),
        (b"not a PDF at all", "not a PDF that can be read"),
        (pdf_with(("a.gridjig", b"{}"))[:-200], ""),
    ],
)
def test_another_pdf_is_refused_in_a_sentence(data: bytes, why: str) -> None:
    answer, inside = sheet_child.attached(data)
    if why:
        assert answer != "job"
        assert sheet_file._WHY[answer][0].endswith(why)
        assert inside == b""
    else:
        assert answer in ("job", "no job", "no pdf")


def test_the_process_says_what_came_of_it_and_then_the_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, out = tmp_path / "sheet.pdf", BytesIO()
    path.write_bytes(pdf_with(("a.gridjig", b"the job")))
    let: list[int] = []
    monkeypatch.setattr(sheet_child, "limit_memory", let.append)
    monkeypatch.setattr(sys, "setrecursionlimit", let.append)
    monkeypatch.setattr(logging, "disable", let.append)
    monkeypatch.setattr(sys, "stdout", TextIOWrapper(out))
    sheet_child.main(str(path), 5000)
    assert out.getvalue() == b"job\nthe job"
    assert let[0] == 5000


def test_what_takes_too_much_is_told_as_too_large(monkeypatch: pytest.MonkeyPatch) -> None:
    def starved(pdf: bytes) -> list[bytes]:
        raise MemoryError

    monkeypatch.setattr(sheet_child, "_jobs_in", starved)
    assert sheet_child.attached(b"") == ("too large", b"")
    monkeypatch.setattr(sheet_child, "_jobs_in", lambda _: [bytes(FORMAT.limit + 1)])
    assert sheet_child.attached(b"") == ("too large", b"")


def test_only_so_many_files_inside_are_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    data = pdf_with(("a.txt", b"x"), ("b.txt", b"y"), ("c.gridjig", b"{}"))
    assert sheet_child.attached(data)[0] == "job"
    monkeypatch.setattr(sheet_child, "MOST_FILES", 2)
    assert sheet_child.attached(data) == ("no job", b"")


def bomb() -> bytes:
    """A PDF whose attachment unpacks to 200 MB of zeros, more than a job can have."""
    data = pdf_with(("a.gridjig", b"@" * 64))
    packer = zlib.compressobj(1)
    packed = b"".join(packer.compress(bytes(1 << 20)) for _ in range(200)) + packer.flush()
    start = data.index(b"stream\n", data.index(b"EmbeddedFile")) + len(b"stream\n")
    end = data.index(b"endstream", start)
    head = data[: data.rindex(b"<<", 0, start)]
    middle = b"<< /Type /EmbeddedFile /Filter /FlateDecode /Length %d >>\nstream\n" % len(packed)
    return head + middle + packed + b"\n" + data[end:]


def looped() -> bytes:
    """A PDF whose list of earlier tables leads back to itself."""
    data = pdf_with(("a.gridjig", b"{}"))
    at = data.rindex(b"startxref")
    table = int(data[at:].split()[1])
    return data.replace(b"trailer\n<<", b"trailer\n<<\n/Prev %d" % table)


@pytest.mark.parametrize("made", [bomb, looped])
def test_a_hostile_pdf_ends_within_its_limits(tmp_path: Path, made: Callable[[], bytes]) -> None:
    path = tmp_path / "hostile.pdf"
    path.write_bytes(made())
    began = time.monotonic()
    with pytest.raises(ReadFault, match=r"hostile\.pdf") as refused:
        job_in_sheet(path)
    assert "Traceback" not in str(refused.value)
    assert time.monotonic() - began < sheet_file.MOST_SECONDS


def test_one_that_takes_too_long_is_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "slow.pdf"
    path.write_bytes(pdf_with(("a.gridjig", b"{}")))
    monkeypatch.setattr(sheet_file, "MOST_SECONDS", 0.01)
    with pytest.raises(ReadFault, match="takes too long"):
        bytes_in_sheet(path)


def test_what_comes_out_goes_through_the_strict_reader(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(pdf_with(("a.gridjig", b'{"gridjig": 4, "unknown": 1}')))
    with pytest.raises(ReadFault, match=r"sheet\.pdf"):
        job_in_sheet(path)


def test_names() -> None:
    assert is_sheet(Path("A.PDF"))
    assert not is_sheet(Path("a.gridjig"))
    assert attachment_name(EMPTY).endswith(".gridjig")


def test_the_process_writes_its_answer_and_the_bytes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """What the process does, without another process."""
    limits: list[int] = []
    monkeypatch.setattr(sheet_child, "limit_memory", limits.append)
    before = sys.getrecursionlimit()
    path = tmp_path / "a.pdf"
    path.write_bytes(pdf_with(("a.gridjig", b"{} and so on"), ("b.txt", b"x")))
    try:
        sheet_child.main(str(path), 12345)
    finally:
        sys.setrecursionlimit(before)
        logging.disable(logging.NOTSET)
    assert capfdbinary.readouterr().out == b"job\n{} and so on"
    assert limits == [12345]


def test_a_file_in_it_that_is_larger_than_a_job_can_be_is_not_taken(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    data = pdf_with(("a.gridjig", b"0123456789"))
    assert sheet_child.attached(data)[0] == "job"
    monkeypatch.setattr(sheet_child, "FORMAT", structs.replace(FORMAT, limit=9))
    assert sheet_child.attached(data) == ("too large", b"")


@pytest.mark.parametrize("raised", [MemoryError(), RecursionError(), ZeroDivisionError()])
def test_whatever_the_reader_raises_is_an_answer(
    raised: BaseException, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: bytes) -> list[bytes]:
        raise raised

    monkeypatch.setattr(sheet_child, "_jobs_in", fail)
    expected = "too large" if isinstance(raised, MemoryError) else "no pdf"
    assert sheet_child.attached(b"") == (expected, b"")
