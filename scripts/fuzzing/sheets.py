"""Setup sheets, PDFs with a job inside, opened as `gridjig open-sheet` and the window do.

What reads the PDF runs in a process of its own in the program, too.  Here it is a fork where the
system has them, with the same bounds: to start Python anew takes a hundred times as long.
"""

import os
import re
import sys
import tempfile
import time
import zlib
from io import BytesIO
from pathlib import Path
from random import Random
from unittest import mock

import pypdf

from gridjig.cli import main
from gridjig.files.jobs import sheet_child, sheet_file
from gridjig.files.jobs.job_file import schema, write_job
from tests.workshop import EMPTY, laid, pin, plate, stop

from .kind import Find, Parts
from .said import require_answer, said
from .trees import Trees, raw

_JOBS = (EMPTY, laid(stop("s", 3, 3), pin("p", 10, 10), plate("bar", 600, 600, 200, 40)))
_OBJECT = re.compile(rb"(?<=endobj\n)")
_NUMBER = re.compile(rb"-?\d+(?:\.\d+)?")
_WORD = re.compile(rb"/[A-Za-z]+")
_ODD_NUMBERS = [b"0", b"-1", b"1", b"9", b"65536", b"2147483647", b"99999999999999999999", b"1.5"]
_NAMES = ["a.gridjig", "b.GRIDJIG", "a.txt", "../a.gridjig", "\x1b[31m.gridjig", "<img>.gridjig"]
_FILTERS = [b"/FlateDecode", b"/LZWDecode", b"/ASCIIHexDecode", b"/ASCII85Decode", b"/JBIG2Decode"]
_SECONDS = 15.0


class Sheets:
    """Each case is a PDF."""

    def __init__(self, folder: Path) -> None:
        self._sheet, self._out = folder / "sheet.pdf", folder / "out.gridjig"
        self._documents = [write_job(job) for job in _JOBS]
        self._trees = Trees(schema(), self._documents)

    def make(self, chance: Random) -> bytes:
        """Return a PDF with none, one or several files inside, usually damaged."""
        files = []
        for _ in range(chance.choice([0, 1, 1, 1, 1, 1, 2, 5])):
            whole = chance.random() < 0.7
            data = chance.choice(self._documents) if whole else self._trees.changed(chance)
            files.append((chance.choice(_NAMES), data))
        data = pdf_with(*files)
        what = chance.random()
        if what < 0.1:
            return data
        if what < 0.25:
            return raw(chance, data)
        parts = _OBJECT.split(data)
        for _ in range(1 + int(chance.expovariate(0.5))):
            _change(chance, parts)
        return b"".join(parts)

    def run(self, data: bytes) -> str:
        """Take the job out of it."""
        self._sheet.write_bytes(data)
        self._out.unlink(missing_ok=True)
        words = ["open-sheet", str(self._sheet), str(self._out)]
        with mock.patch.object(sheet_file, "_answer", forked if hasattr(os, "fork") else _ANSWER):
            answer = said(main, words)
        require_answer(words, answer)
        if bool(answer.code) == self._out.exists():
            raise Find(f"exit code {answer.code}, and a job is {self._out.exists()}ly written")
        return "refused" if answer.code else "opened"

    def parts(self, data: bytes) -> Parts | None:
        """Split it into objects."""
        return Parts(_OBJECT.split(data), b"".join)


_ANSWER = sheet_file._answer


def forked(path: Path, _command: list[str]) -> tuple[int, bytes]:
    """Do in a fork what the program starts a process for.  Raise Find if it does not end."""
    with tempfile.TemporaryFile() as told:
        child = os.fork()
        if child == 0:
            code = 1
            try:
                sys.stdout = os.fdopen(told.fileno(), "w", closefd=False)
                sheet_child.main(str(path), sheet_file.MEMORY)
                code = 0
            finally:
                os._exit(code)
        end = time.monotonic() + _SECONDS
        gone, status = os.waitpid(child, os.WNOHANG)
        while not gone:
            if time.monotonic() > end:
                os.kill(child, 9)
                os.waitpid(child, 0)
                sheet_file._refuse(path, "reading it takes too long", "open the .gridjig file")
            time.sleep(0.001)
            gone, status = os.waitpid(child, os.WNOHANG)
        told.seek(0)
        return os.waitstatus_to_exitcode(status), told.read()


def pdf_with(*files: tuple[str, bytes]) -> bytes:
    """Return a PDF of one page with files inside."""
    writer = pypdf.PdfWriter()
    writer.add_blank_page(100, 100)
    for name, data in files:
        writer.add_attachment(name, data)
    made = BytesIO()
    writer.write(made)
    return made.getvalue()


def _change(chance: Random, parts: list[bytes]) -> None:
    """Change, copy, swap or drop an object, whatever refers to it."""
    at, to = chance.randrange(len(parts)), chance.randrange(len(parts))
    match chance.randrange(8):
        case 0:
            parts[at] = b""
        case 1:
            parts[at:at] = [parts[to]] * chance.choice([1, 1, 40])
        case 2:
            parts[at], parts[to] = parts[to], parts[at]
        case 3:
            parts[at] = _one(chance, _WORD, parts[at], _one_of(chance, _WORD, parts[to]))
        case 4:
            unpacked = chance.choice([b"\0" * 3_000_000, b"{" * 50_000, b"{}", b""])
            packed, kind = zlib.compress(unpacked), chance.choice(_FILTERS)
            more = chance.choice([b"", b"/DecodeParms <</Predictor 12 /Columns 2147483647>>"])
            head = b"<</Type /EmbeddedFile /Filter %s %s /Length %d>>" % (kind, more, len(packed))
            start = parts[at].split(b"obj", 1)[0]
            parts[at] = b"%sobj\n%s\nstream\n%s\nendstream\nendobj\n" % (start, head, packed)
        case 5:
            parts[at] = raw(chance, parts[at])
        case _:
            number = chance.choice([*_ODD_NUMBERS, b"%d" % chance.randrange(12)])
            parts[at] = _one(chance, _NUMBER, parts[at], number)


def _one_of(chance: Random, wanted: re.Pattern[bytes], data: bytes) -> bytes:
    found = wanted.findall(data)
    return chance.choice(found) if found else b"/Kids"


def _one(chance: Random, wanted: re.Pattern[bytes], data: bytes, new: bytes) -> bytes:
    """Return the bytes with one of what fits replaced."""
    places = [match.span() for match in wanted.finditer(data)]
    if not places:
        return data
    begin, end = chance.choice(places)
    return data[:begin] + new + data[end:]


def reading(folder: Path) -> Sheets:
    """Return the trial for this kind."""
    return Sheets(folder)
