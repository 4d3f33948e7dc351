"""Who has a job open: one gets it, the dead lose it, another computer's is never taken silently."""

import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from msgspec import structs

from gridjig.files.format import file_format
from gridjig.files.storage import guard, lock, processes
from gridjig.files.storage.locations import backup_of
from gridjig.files.storage.lock import (
    Holder,
    Lock,
    LockRefusal,
    current_holder,
    lock_file,
    take,
    take_over,
)
from gridjig.files.storage.saving import save

ROOT = Path(__file__).parents[3]
TAKE = (
    "import sys; from pathlib import Path; from gridjig.files.storage import lock\n"
    "held = lock.take(Path(sys.argv[1]))\n"
    "print('ours' if isinstance(held, lock.Lock) else held, flush=True)\n"
    "sys.stdin.readline()\n"
    "isinstance(held, lock.Lock) and len(sys.argv) > 2 and held.release()\n"
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "gate.gridjig"
    made.write_bytes(b"{}")
    return made


def start(path: Path, *more: str) -> "subprocess.Popen[str]":
    """Another program that takes the job and keeps it until it is told to end."""
    return subprocess.Popen(
        [sys.executable, "-c", TAKE, str(path), *more],
        cwd=ROOT,
        text=True,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )


def ours(path: Path) -> Lock:
    held = take(path)
    assert isinstance(held, Lock)
    return held


def put(path: Path, **change: Any) -> Holder:
    """A lock of somebody else's beside a job."""
    holder = Holder(
        user="kim",
        host="BENCH-2",
        machine="other",
        pid=4711,
        birth="then",
        since="2026-11-03T14:05:00+01:00",
        token="theirs",
    )
    holder = structs.replace(holder, **change)
    lock_file(path).write_bytes(file_format.write(lock._FORM, holder))
    return holder


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def test_a_free_job_is_taken_and_given_back(path: Path) -> None:
    held = ours(path)
    assert held.check() is None
    assert current_holder(path) == held.holder
    assert (held.holder.pid, held.holder.host) == (os.getpid(), processes.host())
    held.release()
    assert current_holder(path) is None
    assert names(path.parent) == ["gate.gridjig"]
    held.release()  # a second time does no harm


@pytest.mark.expectation(45)
def test_one_can_look_who_has_taken_it_over(path: Path) -> None:
    held = ours(path)
    assert held.taken_over() is None
    put(path)
    lost = held.taken_over()
    assert lost is not None
    assert str(lost) == (
        "gate.gridjig was taken over: kim on BENCH-2 has had it open since 2026-11-03 14:05."
    )
    assert str(held.check()) == str(lost)
    lock_file(path).unlink()
    assert held.taken_over() is None
    assert not lock_file(path).exists()  # looking writes nothing
    path.parent.chmod(0o000)
    try:
        assert held.taken_over() is None
    finally:
        path.parent.chmod(0o755)


@pytest.mark.expectation(45)
def test_the_same_program_does_not_get_it_twice(path: Path) -> None:
    held = ours(path)
    second = take(path)
    assert isinstance(second, LockRefusal)
    assert second.holder == held.holder
    assert str(second).startswith(
        "gate.gridjig opens read-only: it is open in this program already"
    )
    assert held.check() is None


@pytest.mark.expectation(45)
def test_another_program_keeps_it_until_it_dies(path: Path) -> None:
    other = start(path)
    assert other.stdout
    assert other.stdout.readline() == "ours\n"
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert refusal.holder
    assert refusal.holder.pid == other.pid
    assert processes.user() in refusal.why
    assert current_holder(path) == refusal.holder
    other.kill()
    other.communicate()
    assert current_holder(path) is None
    ours(path).release()


def test_of_many_at_once_one_gets_it(path: Path) -> None:
    many = [start(path, "release") for _ in range(6)]
    said = [process.stdout.readline() for process in many if process.stdout]
    for process in many:
        process.communicate("\n")
    assert said.count("ours\n") == 1
    assert sum("has had it open" in line for line in said) == 5
    assert names(path.parent) == ["gate.gridjig"]


@pytest.mark.expectation(45)
def test_a_restarted_computer_has_let_it_go(path: Path) -> None:
    put(path, host=processes.host(), machine=processes.machine(), birth="before", pid=os.getpid())
    assert current_holder(path) is None
    assert ours(path).check() is None


@pytest.mark.expectation(45)
@pytest.mark.parametrize("change", [{}, {"host": processes.host()}])
def test_another_computers_lock_is_never_taken_silently(path: Path, change: dict[str, Any]) -> None:
    holder = put(path, **change)
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert str(refusal) == (
        f"gate.gridjig opens read-only: kim on {holder.host} has had it open since"
        " 2026-11-03 14:05."
    )
    assert current_holder(path) == holder
    taken = take_over(path)
    assert isinstance(taken, Lock)
    assert current_holder(path) == taken.holder


@pytest.mark.expectation(45)
def test_who_loses_the_lock_notices(path: Path) -> None:
    first = ours(path)
    put(path)
    lost = first.check()
    assert lost
    assert str(lost) == (
        "gate.gridjig was taken over: kim on BENCH-2 has had it open since 2026-11-03 14:05."
    )
    first.release()
    assert lock_file(path).exists()  # it is theirs


def test_a_lock_that_somebody_removed_is_put_back(path: Path) -> None:
    held = ours(path)
    lock_file(path).unlink()
    assert held.check() is None
    assert current_holder(path) == held.holder


@pytest.mark.parametrize(
    "data", [b"", b"{", b"\xff", b'{"gridjig lock": 2}', b'{"gridjig lock": 1}', b"x" * 70_000]
)
def test_a_lock_that_cannot_be_read_is_somebodys(path: Path, data: bytes) -> None:
    lock_file(path).write_bytes(data)
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert "someone has it open, and their note cannot be read" in str(refusal)
    assert current_holder(path) is lock.UNKNOWN
    assert isinstance(take_over(path), Lock)


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_and_its_file_have_one_lock(path: Path) -> None:
    link = path.with_name("link")
    link.symlink_to(path)
    held = ours(link)
    assert isinstance(take(path), LockRefusal)
    held.release()
    assert isinstance(take(path), Lock)


# -- folders that do not let us -------------------------------------------------------------------


@pytest.mark.expectation(45)
def test_a_folder_without_permission_opens_read_only(read_only_folder: Path) -> None:
    refusal = take(read_only_folder / "gate.gridjig")
    assert isinstance(refusal, LockRefusal)
    assert refusal.holder is None
    assert str(refusal) == (
        "gate.gridjig opens read-only: no lock file can be written beside it;"
        " you have no permission for it."
    )


def test_a_gone_folder(path: Path) -> None:
    refusal = take(path.parent / "gone" / "a.gridjig")
    assert isinstance(refusal, LockRefusal)
    assert "there is no such file" in str(refusal)


@pytest.mark.expectation(48)
def test_a_full_disk_opens_read_only(path: Path, monkeypatch: Any) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", refuse)
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert "its disk is full" in str(refusal)
    assert names(path.parent) == ["gate.gridjig"]


def test_a_share_that_does_not_answer_loses_no_lock(path: Path, monkeypatch: Any) -> None:
    held = ours(path)

    def refuse(*_: object, **__: object) -> None:
        raise OSError(116, "Stale file handle")

    with monkeypatch.context() as patched:
        patched.setattr(guard, "_take", refuse)
        refusal = held.check()
        held.release()
    assert refusal
    assert refusal.holder is None
    assert "it is not known who has it open; its network share is gone" in str(refusal)
    assert held.check() is None


def test_a_lock_that_may_not_be_read(path: Path, monkeypatch: Any) -> None:
    put(path)
    real = Path.stat

    def refuse(entry: Path, **more: Any) -> os.stat_result:
        if entry == lock_file(path):
            raise PermissionError(13, "Permission denied")
        return real(entry, **more)

    monkeypatch.setattr(Path, "stat", refuse)
    assert current_holder(path) is None
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert "you have no permission for it" in str(refusal)


def test_a_guard_that_others_hold_is_waited_for_and_then_said(path: Path, monkeypatch: Any) -> None:
    monkeypatch.setattr(lock, "_WAIT", 0.1)
    beside = guard_of(path)
    beside.write_text("4711\nBENCH-2\n")
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert "another program is using it" in str(refusal)
    os.utime(beside, (time.time() - 3600,) * 2)  # left by a crash of another computer
    assert isinstance(take(path), Lock)


# -- guards --------------------------------------------------------------------------------------


def guard_of(path: Path) -> Path:
    return lock_file(path).with_name(lock_file(path).name + ".guard")


def test_a_kill_inside_costs_nobody_a_minute(path: Path) -> None:
    code = (
        "import sys, time; from pathlib import Path\n"
        "from gridjig.files.storage.guard import guarded\n"
        "with guarded(Path(sys.argv[1]), 1.0):\n print('in', flush=True); time.sleep(60)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(guard_of(path))],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    ) as other:
        assert other.stdout
        assert other.stdout.readline() == "in\n"
        refusal = take(path)
        assert isinstance(refusal, LockRefusal)
        assert "another program is using it" in str(refusal)
        other.kill()
    begun = time.monotonic()
    held = ours(path)
    assert time.monotonic() - begun < 1
    held.release()
    assert names(path.parent) == ["gate.gridjig"]


def test_a_guard_of_the_future_does_not_hold_for_ever(path: Path) -> None:
    guard_of(path).write_text("BENCH-2\nother\n4711\nthen")
    os.utime(guard_of(path), (time.time() + 10 * 365 * 86400,) * 2)
    assert isinstance(take(path), Lock)


def test_a_guard_that_was_cut_short_is_taken_away(path: Path) -> None:
    guard_of(path).touch()
    assert isinstance(take(path), Lock)
    assert names(path.parent) == [".gate.gridjig.lock", "gate.gridjig"]


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
@pytest.mark.parametrize("there", [True, False])
def test_links_in_a_shared_folder_are_not_written_through(path: Path, there: bool) -> None:
    """A note that was a link once made, or wrote over, the file that the link names."""
    target = path.with_name("x")
    if there:
        target.write_bytes(b"mine")
    lock_file(path).symlink_to(target)
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert "their note cannot be read" in str(refusal)
    assert current_holder(path) is lock.UNKNOWN
    held = take_over(path)
    assert isinstance(held, Lock)
    assert not lock_file(path).is_symlink()
    held.release()
    guard_of(path).symlink_to(target)
    assert isinstance(take(path), Lock)
    assert target.exists() == there
    assert not there or target.read_bytes() == b"mine"


def test_a_folder_in_the_place_of_a_guard_is_left_alone(path: Path) -> None:
    (guard_of(path) / "inside").mkdir(parents=True)
    refusal = take(path)
    assert isinstance(refusal, LockRefusal)
    assert "it is a folder" in str(refusal)
    assert (guard_of(path) / "inside").is_dir()


def test_another_guard_in_the_place_of_a_left_one_is_not_taken_away(path: Path) -> None:
    beside = guard_of(path)
    beside.write_text("left")
    os.utime(beside, (time.time() - 3600,) * 2)
    watch = guard._Watch(beside)
    assert watch.is_left()
    beside.unlink()
    beside.write_text("live")
    watch.take_away()
    assert beside.read_text() == "live"
    assert names(path.parent) == [beside.name, "gate.gridjig"]
    beside.unlink()
    watch.take_away()
    assert not watch.is_left()


def test_a_guard_that_replaced_ours_is_left_to_its_holder(path: Path) -> None:
    beside = guard_of(path)
    with guard.guarded(beside, 0.1):
        beside.rename(path.with_name("aside"))  # its number stays taken
        beside.write_text("theirs")
    assert beside.read_text() == "theirs"


def test_a_folder_that_takes_no_guard_says_so(path: Path, monkeypatch: Any) -> None:
    def refuse(*_: object, **__: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    with pytest.raises(PermissionError), guard.guarded(guard_of(path), 0.1):
        pass
    assert names(path.parent) == ["gate.gridjig"]


def test_a_guard_that_may_not_be_read_counts_as_held_until_it_is_old(
    path: Path, monkeypatch: Any
) -> None:
    beside = guard_of(path)
    beside.write_text("\n".join(("BENCH-2", "other", "4711", "then")))
    real = os.open

    def shut(name: Any, flags: int, *more: Any, **named: Any) -> int:
        if Path(name) == beside and not flags & os.O_CREAT:
            raise PermissionError(13, "Permission denied")
        return real(name, flags, *more, **named)

    with monkeypatch.context() as patched:
        patched.setattr(os, "open", shut)
        assert not guard._Watch(beside).is_left()
        os.utime(beside, (time.time() - 3600,) * 2)
        assert guard._Watch(beside).is_left()


@pytest.mark.skipif(os.name == "nt", reason="names are counted otherwise there")
@pytest.mark.parametrize("size", [*range(236, 256)])
@pytest.mark.parametrize("sign", ["x", "é"])
def test_names_as_long_as_names_can_be_are_locked(tmp_path: Path, size: int, sign: str) -> None:
    """Of 244 to 255 bytes they once opened read-only, or were saved only once."""
    name = sign * ((size - 8) // len(sign.encode())) + ".gridjig"
    name = "x" * (size - len(name.encode())) + name
    path = tmp_path / name
    for data in (b"one", b"two", b"three"):
        save(path, data)
    held = ours(path)
    assert isinstance(take(path), LockRefusal)
    held.release()
    assert path.read_bytes() == b"three"
    assert backup_of(path).read_bytes() == b"two"
    assert len(names(tmp_path)) == 2
    other = path.with_name("y" + name[1:])
    assert lock_file(other) != lock_file(path)
    assert backup_of(other) != backup_of(path)
