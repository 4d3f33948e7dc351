"""Bytes to typed values and back: JSON read strictly, with the place of the fault in words.

It rejects what a plain JSON reader accepts: duplicate keys, numbers out of range, unknown fields,
wrong types, a byte order mark, endless files.  Knows no job; `file_format` adds versions.
"""

import json
import math
import os
import re
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any, BinaryIO, NoReturn, TypeVar

import msgspec

from gridjig.units import format_megabytes

from . import error_text, json_places
from .faults import ReadFault, words_for

LIMIT = 64 * 1024 * 1024  # bytes; a table with all of its million holes marked needs less
_WHOLE = 10**15  # below this every whole float is exact
_HALF = re.compile(r"\\u[dD][89abAB][0-9a-fA-F]{2}(?!\\u[dD][c-fC-F])")
T = TypeVar("T")
Source = Path | str | None  # the file, or what to call it in a fault
OLDER = "open an older copy"
_CORRECT = f"correct it there, or {OLDER}"
_MACHINE_READ = getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0)  # a pipe must not hang us


def read_bytes(path: Path, limit: int = LIMIT) -> bytes:
    """Return the bytes of a regular file of at most `limit` bytes.  Raise ReadFault."""
    return read_found(path, limit)[0]


def read_found(path: Path, limit: int = LIMIT) -> tuple[bytes, os.stat_result]:
    """Return the bytes of a file, and its stat result from just before.  Raise ReadFault."""
    with opened(path, limit) as (file, found):
        data = file.read(limit + 1)
    _require_size(path, len(data), limit)
    return data, found


@contextmanager
def opened(path: Path, limit: int = LIMIT) -> Iterator[tuple[BinaryIO, os.stat_result]]:
    """Open a regular file of at most `limit` bytes for reading; yield it with its stat result.

    Raise ReadFault, also for errors while the file is read.
    """
    try:
        _require_ordinary(path, path.stat(), limit)
        handle = os.open(path, os.O_RDONLY | _MACHINE_READ)
        with open(handle, "rb") as file:  # noqa: PTH123  (an open handle, not a path)
            found = os.fstat(handle)
            _require_ordinary(path, found, limit)
            yield file, found
    except (OSError, ValueError) as fault:
        raise ReadFault(path, "", words_for(fault), "check the name and the folder") from fault


def _require_ordinary(path: Path, found: os.stat_result, limit: int) -> None:
    if stat.S_ISDIR(found.st_mode):
        raise ReadFault(path, "", "it is a folder", "choose a file in it")
    if not stat.S_ISREG(found.st_mode):
        raise ReadFault(path, "", "it is a device or a pipe", "choose an ordinary file")
    _require_size(path, found.st_size, limit)


def _require_size(path: Path, size: int, limit: int) -> None:
    if size > limit:
        has, most = format_megabytes(size), format_megabytes(limit)
        why = f"it is {has} MB, and such a file can be at most {most} MB"
        raise ReadFault(path, "", why, "choose another file")


def decode_tree(data: bytes, path: Source = None) -> object:
    """Return the plain lists, objects and values of a strict JSON text.  Raise ReadFault."""
    if not data.strip(b" \t\r\n"):
        raise ReadFault(path, "", "it is empty", OLDER)
    if data.startswith(b"\xef\xbb\xbf"):
        why = "it begins with a byte order mark"
        raise ReadFault(path, "", why, "save it as UTF-8 without that mark", 1, 1)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as fault:
        before = data[: fault.start].decode("utf-8")
        raise ReadFault(
            path, "", "it is not UTF-8 text", "save it as UTF-8", *_at(before, len(before))
        ) from fault
    try:
        tree = msgspec.json.decode(data)
        json.loads(text, object_pairs_hook=_single, parse_int=_bounded)
    except RecursionError as fault:
        raise ReadFault(path, "", "its lists are nested too deeply", OLDER) from fault
    except _Doubled as fault:
        doubled = json_places.find_doubled(text)
        assert doubled is not None  # the JSON reader has just found it
        why = "the field appears twice"
        where = json_places.write_path(doubled.path)
        raise ReadFault(path, where, why, "keep one of the two", *_at(text, doubled.at)) from fault
    except (_Boundless, msgspec.ValidationError) as fault:
        huge = json_places.find_boundless(text)
        place = _at(text, huge.at) if huge else (0, 0)
        where = json_places.write_path(huge.path) if huge else ""
        raise ReadFault(path, where, "the number is too large", _CORRECT, *place) from fault
    except msgspec.DecodeError as fault:
        _raise_no_json(path, data, text, str(fault), fault)
    return tree


class _Doubled(Exception):  # noqa: N818
    """A key occurs twice in one object."""


class _Boundless(Exception):  # noqa: N818
    """A whole number is larger than any float."""


def _bounded(digits: str) -> None:
    if len(digits) >= 309 and math.isinf(float(digits)):
        raise _Boundless


def _single(pairs: list[tuple[str, Any]]) -> None:
    if len({key for key, _ in pairs}) != len(pairs):
        raise _Doubled


def _raise_no_json(path: Source, data: bytes, text: str, said: str, fault: Exception) -> NoReturn:
    """Raise the fault where the text stops being JSON; the decoder counts bytes, not characters."""
    half = _HALF.search(text)
    if half:
        why, at = "there is half a character there", half.start()
    elif "truncated" in said:
        why, at = "the text ends in the middle", len(text)
    else:
        why = "the text is not JSON from here on"
        counted = re.search(r"\(byte (\d+)\)", said)
        size = int(counted[1]) - ("trailing characters" in said) if counted else len(data)
        at = len(data[:size].decode("utf-8", "ignore"))
    raise ReadFault(path, "", why, _CORRECT, *_at(text, at)) from fault


def _at(text: str, at: int) -> tuple[int, int]:
    return json_places.line_and_column(text, at)


def to_value(tree: object, wanted: type[T], data: bytes = b"", path: Source = None) -> T:
    """Return the typed value of a plain tree.  Raise ReadFault with the place in `data`."""
    try:
        return msgspec.convert(tree, wanted)
    except msgspec.ValidationError as fault:
        message, written = error_text.split_place(str(fault))
        steps = json_places.parse_path(written)
        why = error_text.explain(message, wanted, steps, tree)
        unknown = error_text.unknown_field(message)
        if unknown is not None:
            steps = (*steps, unknown)
        raise fault_at(data, path, steps, why) from fault


def fault_at(data: bytes, path: Source, steps: json_places.JsonPath, why: str) -> ReadFault:
    """Return a fault for the value at a path, with its line and column if the text has it."""
    text = data.decode("utf-8", "replace")
    at = json_places.find(text, steps) if steps else None
    line, column = _at(text, at) if at is not None else (0, 0)
    return ReadFault(path, json_places.write_path(steps), why, _CORRECT, line, column)


def decode(data: bytes, wanted: type[T], path: Source = None) -> T:
    """Return the typed value of a strict JSON text.  Raise ReadFault."""
    return to_value(decode_tree(data, path), wanted, data, path)


def encode(
    value: msgspec.Struct,
    head: Mapping[str, object] | None = None,
    one_a_line: frozenset[str] = frozenset(),
    spread: frozenset[str] = frozenset(),
) -> bytes:
    """Return a value as JSON that reads well in a diff, always the same for the same value.

    Fields stand one a line in their declared order, after those of `head`; the entries of the lists
    named in `one_a_line` too; the groups named in `spread` are laid out likewise.  Numbers are
    written shortest so that they read back as the same float.  In the entries of lists, what stands
    at its default is left out.
    """
    lines = _lay_out({**(head or {}), **_fields(value)}, one_a_line, spread, margin="")
    try:
        return (lines + "\n").encode("utf-8")
    except UnicodeEncodeError:  # half a character, from a broken paste; text cannot hold it
        whole = (lines + "\n").encode("utf-16", "surrogatepass").decode("utf-16", "replace")
        return whole.encode("utf-8")


def _lay_out(
    tree: Mapping[str, object], one_a_line: frozenset[str], spread: frozenset[str], margin: str
) -> str:
    inner = margin + "  "
    fields = []
    for name, value in tree.items():
        if name in spread and isinstance(value, msgspec.Struct):
            written = _lay_out(_fields(value), one_a_line, spread, inner)
        elif name in one_a_line and isinstance(value, list | tuple) and value:
            entries = ",\n".join(
                f"{inner}  {_one_line(_plain(entry, brief=True))}" for entry in value
            )
            written = f"[\n{entries}\n{inner}]"
        else:
            written = _one_line(_plain(value, brief=False))
        fields.append(f"{inner}{_one_line(name)}: {written}")
    return "{\n" + ",\n".join(fields) + f"\n{margin}}}"


def _fields(value: msgspec.Struct) -> dict[str, object]:
    return {name: getattr(value, name) for name in value.__struct_fields__}


def _plain(value: object, brief: bool) -> object:
    """A value as plain lists and objects; if `brief`, without fields at their defaults.

    Whole floats become whole numbers, so that 50 and 50.0, the same length, are written alike.
    """
    if isinstance(value, float):
        return int(value) if value.is_integer() and abs(value) < _WHOLE else value
    if isinstance(value, tuple | list):
        return [_plain(entry, brief) for entry in value]
    if not isinstance(value, msgspec.Struct):
        return value
    tag, fields = _shape(type(value))
    plain = dict(tag)
    for name, default in fields:
        entry = getattr(value, name)
        if not brief or entry != default:
            plain[name] = _plain(entry, brief)
    return plain


@cache
def _shape(kind: type[msgspec.Struct]) -> tuple[dict[str, object], tuple[tuple[str, object], ...]]:
    """The tag of a kind of value, and its fields with their defaults; NODEFAULT equals nothing."""
    config = kind.__struct_config__
    tag: dict[str, object] = {config.tag_field: config.tag} if config.tag_field else {}
    fields = msgspec.structs.fields(kind)
    return tag, tuple((f.name, f.default if not f.required else msgspec.NODEFAULT) for f in fields)


def _one_line(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)
