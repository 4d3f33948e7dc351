"""Saving: whatever goes wrong, the file that was there is whole and nothing is left about."""

import errno
import os
import shutil
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from gridjig.files.format.faults import SaveFault
from gridjig.files.storage import processes, saving
from gridjig.files.storage.locations import backup_of
from gridjig.files.storage.saving import changed_since, own_name_beside, remove_orphans, save, stamp

OLD, NEW = b"the old one", b"the new one, which is longer"
POSIX = pytest.mark.skipif(os.name == "nt", reason="no such thing there")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "gate.gridjig"
    made.write_bytes(OLD)
    return made


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def refused(path: Path, data: bytes = NEW) -> SaveFault:
    with pytest.raises(SaveFault) as caught:
        save(path, data)
    return caught.value


def test_the_new_takes_the_place_of_the_old_which_is_its_backup(path: Path) -> None:
    save(path, NEW)
    assert path.read_bytes() == NEW
    assert path.with_name("gate.gridjig.bak").read_bytes() == OLD
    save(path, b"third")
    assert path.with_name("gate.gridjig.bak").read_bytes() == NEW
    assert names(path.parent) == ["gate.gridjig", "gate.gridjig.bak"]


def test_a_first_save_has_no_backup(tmp_path: Path) -> None:
    save(tmp_path / "a", NEW)
    save(tmp_path / "a", OLD, backup=False)
    assert names(tmp_path) == ["a"]
    assert (tmp_path / "a").read_bytes() == OLD


@POSIX
def test_permissions_are_kept_and_a_new_file_has_the_usual_ones(path: Path) -> None:
    path.chmod(0o640)
    save(path, NEW)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    before = os.umask(0o027)
    try:
        save(path.with_name("fresh"), NEW)
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.with_name("fresh").stat().st_mode) == 0o640


@POSIX
@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root may give")
def test_the_group_is_kept_so_that_others_of_it_still_may(path: Path, monkeypatch: Any) -> None:
    os.chown(path, -1, 12)
    path.chmod(0o660)
    save(path, NEW)
    assert (path.stat().st_gid, stat.S_IMODE(path.stat().st_mode)) == (12, 0o660)

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "chown", refuse)
    save(path, OLD)
    assert path.read_bytes() == OLD


@POSIX
def test_a_link_is_followed_and_stays(path: Path, tmp_path: Path) -> None:
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    (folder / "link").symlink_to(path)
    save(folder / "link", NEW)
    assert (folder / "link").is_symlink()
    assert path.read_bytes() == NEW
    assert path.with_name("gate.gridjig.bak").read_bytes() == OLD
    assert names(folder) == ["link"]


@POSIX
def test_a_link_to_nothing_makes_the_file_it_names(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "real")
    save(tmp_path / "link", NEW)
    assert (tmp_path / "real").read_bytes() == NEW
    assert (tmp_path / "link").is_symlink()


@POSIX
@pytest.mark.expectation(48, 85)
def test_what_no_file_can_be_saved_as(path: Path, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "circle").symlink_to(tmp_path / "circle")
    for name, why in {
        "folder": "it is a folder; choose another name",
        "pipe": "it is not an ordinary file; choose another name",
        "circle": "it is not an ordinary file",
        "gone/a": "gone is gone; save it in another folder",
        "gate.gridjig/a": "a part of its path is not a folder",
        "a\0b": "its name has a character that file names cannot have",
        "x" * 300: "its name is too long",
    }.items():
        assert why in str(refused(tmp_path / name))
    assert path.read_bytes() == OLD
    assert not [name for name in names(tmp_path) if name.endswith(".tmp")]


def test_a_write_protected_file_is_left_alone(path: Path, monkeypatch: Any) -> None:
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert "the file is write-protected; save it under another name" in str(refused(path))
    assert path.read_bytes() == OLD


# -- what goes wrong on the way ------------------------------------------------------------------


@pytest.mark.expectation(48, 85, 86)
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EIO])
@pytest.mark.parametrize("call", ["open", "fsync", "replace", "chmod", "stat"])
def test_any_fault_leaves_the_old_file_whole(
    path: Path, call: str, number: int, monkeypatch: Any
) -> None:
    def refuse(*_: object, **__: object) -> Any:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patched:
        if call in ("replace", "chmod", "stat"):
            patched.setattr(Path, call, refuse)
        else:
            patched.setattr(os, call, refuse)
        fault = refused(path)
    assert "is intact and your work is still open" in str(fault)
    assert path.read_bytes() == OLD
    assert set(names(path.parent)) <= {"gate.gridjig", "gate.gridjig.bak"}


def test_an_interrupt_leaves_nothing_about(path: Path, monkeypatch: Any) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", interrupt)
        with pytest.raises(KeyboardInterrupt):
            save(path, NEW)
    assert names(path.parent) == ["gate.gridjig"]


def test_a_disk_without_second_names_keeps_a_copy(path: Path, monkeypatch: Any) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refuse)
    save(path, NEW)
    assert path.with_name("gate.gridjig.bak").read_bytes() == OLD
    assert names(path.parent) == ["gate.gridjig", "gate.gridjig.bak"]


def test_a_kill_between_backup_and_saving_costs_nothing(path: Path) -> None:
    path.with_name("gate.gridjig.bak").hardlink_to(path)  # both names of one file, as then
    save(path, NEW)
    assert path.with_name("gate.gridjig.bak").read_bytes() == OLD
    assert names(path.parent) == ["gate.gridjig", "gate.gridjig.bak"]


def test_a_folder_that_cannot_be_forced_to_disk_does_no_harm(path: Path, monkeypatch: Any) -> None:
    real = os.fsync

    def refuse_folders(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, "Invalid argument")
        real(handle)

    monkeypatch.setattr(os, "fsync", refuse_folders)
    save(path, NEW)
    assert path.read_bytes() == NEW


def test_a_file_that_is_held_for_a_moment_is_tried_again(path: Path, monkeypatch: Any) -> None:
    real, calls = Path.replace, []

    def held_twice(source: Path, target: Path) -> Path:
        calls.append(target)
        if len(calls) <= 2:
            raise PermissionError(errno.EACCES, "Permission denied")
        return real(source, target)

    monkeypatch.setattr(Path, "replace", held_twice)
    monkeypatch.setattr(saving, "_TRIES", 3)
    monkeypatch.setattr(saving, "_PAUSE", 0.0)
    save(path, NEW, backup=False)
    assert len(calls) == 3
    save(path, OLD, backup=False)
    assert len(calls) == 4
    assert path.read_bytes() == OLD


# -- really full, really read-only ---------------------------------------------------------------


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real disk of 256 kB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    if not mount or not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("only root may mount a disk")
    done = subprocess.run(
        [mount, "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(disk)],
        check=False,
        capture_output=True,
    )
    if done.returncode:
        pytest.skip("this machine lets nobody mount a disk")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


@pytest.mark.expectation(48)
def test_a_full_disk(small_disk: Path) -> None:
    path = small_disk / "gate.gridjig"
    save(path, OLD)
    fault = refused(path, os.urandom(1024 * 1024))
    assert "gate.gridjig was not saved: its disk is full; the old file is intact" in str(fault)
    assert path.read_bytes() == OLD
    assert names(small_disk) == ["gate.gridjig"]
    save(path, NEW)
    assert path.read_bytes() == NEW


@pytest.mark.expectation(48)
def test_a_read_only_disk(small_disk: Path) -> None:
    path = small_disk / "gate.gridjig"
    save(path, OLD)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    assert "was not saved" in str(refused(path))
    assert "its disk is read-only" in str(refused(path.with_name("other.gridjig")))
    assert path.read_bytes() == OLD


@pytest.mark.expectation(48)
def test_a_read_only_folder(read_only_folder: Path) -> None:
    fault = refused(read_only_folder / "gate.gridjig")
    assert "gate.gridjig is not saved: you have no permission for it" in str(fault)
    assert "you have no permission for it" in str(refused(read_only_folder / "new.gridjig"))
    assert (read_only_folder / "gate.gridjig").read_bytes() == b"{}"
    assert names(read_only_folder) == ["gate.gridjig"]


@pytest.mark.expectation(48)
def test_a_folder_that_vanishes(tmp_path: Path) -> None:
    folder = tmp_path / "share"
    folder.mkdir()
    save(folder / "a", OLD)
    shutil.rmtree(folder)
    assert f"the folder {folder} is gone" in str(refused(folder / "a"))


# -- leftovers of killed saves -------------------------------------------------------------------


def left(path: Path, pid: int, birth: str, host: str = "", age: float = 0) -> Path:
    """What a killed save of a process leaves beside a file."""
    stem = saving._temp_stem(path)
    if host:
        stem = stem.replace(saving._short(processes.host()), saving._short(host))
    made = path.with_name(f"{stem}{pid}-{birth}-00000000.tmp")
    made.write_bytes(b"half")
    os.utime(made, (time.time() - age,) * 2)
    return made


def test_leftovers_of_dead_processes_go_with_the_next_save(path: Path) -> None:
    dead = left(path, 2**22 + 1, "long-gone")
    reborn = left(path, os.getpid(), "another-life")
    odd = left(path, 0, "").rename(path.with_name(saving._temp_stem(path) + "odd.tmp"))
    old = left(path, 1, "x", host="another computer", age=2 * 86_400)
    ours = left(path, os.getpid(), processes.own_birth())
    theirs = left(path, 2, "x", host="another computer")
    others = left(path.with_name("other.gridjig"), 2**22 + 1, "long-gone")
    save(path, NEW)
    assert [p.exists() for p in (dead, reborn, odd, old)] == [False] * 4
    assert [p.exists() for p in (ours, theirs, others)] == [True] * 3


def test_leftovers_that_vanish_or_cannot_be_looked_at(path: Path, monkeypatch: Any) -> None:
    theirs = left(path, 1, "x", host="another computer")
    real = Path.lstat

    def vanish(entry: Path) -> os.stat_result:
        if entry == theirs:
            raise FileNotFoundError
        return real(entry)

    monkeypatch.setattr(Path, "lstat", vanish)
    save(path, NEW)
    assert path.read_bytes() == NEW


def test_two_processes_save_the_same_file_at_once(path: Path) -> None:
    """The last one wins, and the file is always one of the versions."""
    code = (
        "import sys; from pathlib import Path; from gridjig.files.storage.saving import save\n"
        "for n in range(30): save(Path(sys.argv[1]), sys.argv[2].encode() * 5000)"
    )
    root = Path(__file__).parents[3]
    both = [
        subprocess.Popen([sys.executable, "-c", code, str(path), letter], cwd=root)
        for letter in "ab"
    ]
    while any(process.poll() is None for process in both):
        data = path.read_bytes()
        assert data in (OLD, b"a" * 5000, b"b" * 5000)
    assert [process.returncode for process in both] == [0, 0]
    save(path, NEW)
    assert names(path.parent) == ["gate.gridjig", "gate.gridjig.bak"]


# -- changes meanwhile ---------------------------------------------------------------------------


@pytest.mark.expectation(46)
def test_a_change_on_disk_is_noticed(path: Path) -> None:
    known = save(path, NEW)
    assert changed_since(path, known) == ""
    path.write_bytes(OLD)
    assert changed_since(path, known) == "changed"
    path.write_bytes(NEW[::-1])  # of the same length
    os.utime(path, ns=(1, known.modified_ns + 1))
    assert changed_since(path, known) == "changed"
    path.unlink()
    assert changed_since(path, known) == "gone"


@pytest.mark.expectation(46)
def test_a_mere_touch_is_no_change(path: Path) -> None:
    known = stamp(path, OLD)
    assert known
    os.utime(path, (1, 1))
    assert changed_since(path, known) == ""
    assert stamp(path.with_name("gone"), OLD) is None


def test_a_folder_called_as_the_backup_would_be_does_not_block_saving(path: Path) -> None:
    plain = path.with_name(path.name + ".bak")
    plain.mkdir()
    save(path, NEW)
    assert path.read_bytes() == NEW
    assert backup_of(path).read_bytes() == OLD
    assert plain.is_dir()


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="root alone may")
def test_saving_somebody_elses_file_as_root_leaves_it_to_them(path: Path) -> None:
    os.chown(path, 4711, 4712)
    save(path, NEW)
    found = path.stat()
    assert (found.st_uid, found.st_gid) == (4711, 4712)
    assert path.read_bytes() == NEW


@POSIX
def test_without_following_a_link_gives_way_to_the_file(path: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(path)
    save(link, NEW, backup=False, follow=False)
    assert not link.is_symlink()
    assert link.read_bytes() == NEW
    assert path.read_bytes() == OLD


def test_leftovers_of_every_file_go_from_a_folder_of_our_own(tmp_path: Path) -> None:
    """After 300 kills 82 hidden files were left beside the autosaved copies."""
    mine = own_name_beside(tmp_path / "a.gridjig")
    dead = tmp_path / mine.name.replace(f"-{os.getpid()}-", "-999999999-")
    elsewhere = tmp_path / ".gridjig-00000000-11111111-5-then-abcd.tmp"
    old = tmp_path / ".gridjig-00000000-11111111-6-then-abcd.tmp"
    others = [tmp_path / name for name in ("a.gridjig", ".other.tmp", "b.json")]
    for entry in (mine, dead, elsewhere, old, *others):
        entry.touch()
    os.utime(old, (time.time() - 2 * 86400,) * 2)
    remove_orphans(tmp_path)
    assert {entry.name for entry in tmp_path.iterdir()} == {
        entry.name for entry in (mine, elsewhere, *others)
    }
    remove_orphans(tmp_path / "gone")
