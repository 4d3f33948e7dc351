"""The tags of a DXF file, text or binary, one entity at a time, read through ezdxf.

Imports ezdxf late and without its search for fonts.  Keeps nothing in memory once it is handed on,
so a file of a million lines needs no more than one of ten.  Knows no curve.
"""

import logging
import os
import re
import struct
import sys
import tempfile
import threading
from collections.abc import Iterator
from configparser import ConfigParser
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from gridjig.files.format.codec import opened
from gridjig.files.format.faults import ReadFault
from gridjig.units import format_count

from .sketch import READ, WHOLE, Report

if TYPE_CHECKING:
    from ezdxf.lldxf.tags import Tags
    from ezdxf.lldxf.types import DXFTag

LIMIT = 1024 * 1024 * 1024  # bytes; a million lines need a fifth of it
AGAIN = "save it again in the program it came from, or choose another file"
_BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"
_FONTS = '{"version": 2, "font-faces": []}'
_LOOK = 4_096  # lines between two reports
_HEAD = 65_536  # bytes of the header searched for the text encoding
_OTHERS = {
    b"AC10": "it is a DWG file; save it as DXF",
    b"%PDF": "it is a PDF file; save the drawing as DXF or SVG",
    b"<svg": "it is an SVG file; give it a name that ends with .svg",
    b"<?xm": "it is an XML file; if it is an SVG drawing, give it a name that ends with .svg",
    b"PK\x03\x04": "it is compressed; extract it first",
}
_first_import = threading.Lock()


def prepare() -> None:
    """Import ezdxf.  Call this before using anything from it.

    On import it searches for all system fonts and stores them in the user's cache folder; we
    draw no text, so it is given a temporary cache without fonts.  A file `ezdxf.ini` in the
    current folder must not change how drawings are read either.
    """
    with _first_import:
        if "ezdxf" in sys.modules:
            return
        logging.getLogger("ezdxf").propagate = False  # we report its repairs ourselves
        logging.getLogger("ezdxf").addHandler(logging.NullHandler())
        old = os.environ.get("XDG_CACHE_HOME")
        with tempfile.TemporaryDirectory() as folder:
            cache = Path(folder) / "ezdxf" / "font_manager_cache.json"
            cache.parent.mkdir()
            cache.write_text(_FONTS, encoding="utf-8")
            os.environ["XDG_CACHE_HOME"] = folder
            read, ConfigParser.read = ConfigParser.read, _read_nothing  # type: ignore
            try:
                import ezdxf  # noqa: F401, PLC0415
            finally:
                ConfigParser.read = read  # type: ignore[method-assign]
                del os.environ["XDG_CACHE_HOME"]
                if old is not None:
                    os.environ["XDG_CACHE_HOME"] = old


def _read_nothing(*_: object, **__: object) -> list[str]:
    """Replaces ConfigParser.read: reads no file."""
    return []


class _Counted:
    """A stream that counts its lines and reports from time to time."""

    def __init__(self, stream: BinaryIO, size: int, report: Report) -> None:
        self._next = stream.readline
        self._size = size
        self._report = report
        self._done = 0
        self._lines = 0

    def readline(self) -> bytes:
        line = self._next()
        self._done += len(line)
        self._lines += 1
        if self._lines % _LOOK == 0:
            self._report(READ * min(self._done, self._size) // self._size, WHOLE)
        return line


def things(path: Path, report: Report, repaired: list[str]) -> Iterator["Tags"]:
    """Yield the sections, entities and other objects of a DXF file as tags, in file order.

    Repairs are added to `repaired`.  Raise ReadFault.
    """
    prepare()
    from ezdxf.lldxf.const import DXFStructureError  # noqa: PLC0415
    from ezdxf.lldxf.tags import group_tags  # noqa: PLC0415

    with opened(path, LIMIT) as (stream, found):
        head = stream.read(_HEAD)
        _require_dxf(path, head)
        stream.seek(0)
        messages: list[tuple[int, str]] = []
        binary = head.startswith(_BINARY)
        tags = _binary(stream, report) if binary else _text(stream, head, found, report, messages)
        try:
            yield from group_tags(tags)
        except DXFStructureError as fault:
            raise _broken(path, str(fault)) from fault
        except (IndexError, struct.error, ValueError, OverflowError) as fault:
            raise cut_off(path) from fault
    spots = dict.fromkeys(
        at for _, said in messages for at in re.findall(r"near line:? (\d+)", said)
    )
    if spots:
        where = f"near line {next(iter(spots))}"
        where += f" and at {format_count(len(spots) - 1)} more" if len(spots) > 1 else ""
        repaired.append(f"it was damaged {where}; what could be read was read")


def cut_off(path: Path) -> ReadFault:
    """Return the fault for a file that ends too early."""
    return ReadFault(path, "", "it ends in the middle of the drawing", AGAIN)


def _require_dxf(path: Path, head: bytes) -> None:
    if not head.strip():
        raise ReadFault(path, "", "it is empty", AGAIN)
    for start, words in _OTHERS.items():
        if head.lstrip(b"\xef\xbb\xbf \r\n").startswith(start):
            why, do = words.split("; ", 1)
            raise ReadFault(path, "", why, do)
    if not (head.startswith(_BINARY) or re.match(rb"(\xef\xbb\xbf)?\s*(0|9|999)[ \t]*\r?\n", head)):
        raise ReadFault(path, "", "it is not a DXF drawing", "choose a DXF or SVG drawing")


def _broken(path: Path, said: str) -> ReadFault:
    """Return the fault for a file with a damaged structure; the reader says at which line."""
    at = re.search(r"line:? (\d+)", said)
    where = f"line {at[1]}" if at else ""
    return ReadFault(path, where, "it is damaged there" if at else "it is damaged", AGAIN)


def _binary(stream: BinaryIO, report: Report) -> Iterator["DXFTag"]:
    from ezdxf.lldxf.tagger import binary_tags_loader, tag_compiler  # noqa: PLC0415

    for count, tag in enumerate(tag_compiler(binary_tags_loader(stream.read(), "replace"))):
        if count % _LOOK == 0:
            report(count, None)  # the total is not known
        yield tag


def _text(
    stream: BinaryIO,
    head: bytes,
    found: os.stat_result,
    report: Report,
    messages: list[tuple[int, str]],
) -> Iterator["DXFTag"]:
    from ezdxf import recover  # noqa: PLC0415
    from ezdxf.lldxf import repair  # noqa: PLC0415

    if head.startswith(b"\xef\xbb\xbf"):
        stream.seek(3)
    counted = _Counted(stream, max(found.st_size, 1), report)
    raw = recover.bytes_loader(counted)
    # As its safe loader does, but without its search for the encoding, which keeps a copy of the
    # whole file in memory if the header does not state it.
    ordered = repair.filter_invalid_point_codes(repair.tag_reorder_layer(raw))
    handled = repair.filter_invalid_handles(ordered)
    yield from recover.byte_tag_compiler(handled, _encoding(head), messages, "replace")


def _encoding(head: bytes) -> str:
    from ezdxf.tools.codepage import toencoding  # noqa: PLC0415

    version = re.search(rb"\$ACADVER\s+1\s+(AC\d{4})", head)
    if version and version[1] >= b"AC1021":
        return "utf-8"
    page = re.search(rb"\$DWGCODEPAGE\s+3\s+(\w+)", head)
    return toencoding(page[1].decode("ascii", "replace").upper()) if page else "cp1252"
