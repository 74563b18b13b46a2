"""A disk that is full or may only be read, a clock that runs backwards, no network: one sentence or it works, and the
text that was there is never lost.
"""

from __future__ import annotations

import datetime
import errno
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design import keeping
from trailerlib.design.files import history

ROOT = Path(tl.__file__).resolve().parent.parent
APART = ["unshare", "-m"] if os.geteuid() == 0 else ["unshare", "-rm"]
NO_NET = ["unshare", "-n"] if os.geteuid() == 0 else ["unshare", "-rn"]


def allowed(command: list[str], *then: str) -> bool:
    """Whether this machine lets a test have a namespace of its own."""
    try:
        return subprocess.run([*command, *(then or ("true",))], capture_output=True, timeout=30).returncode == 0
    except OSError:
        return False


def python(*words: str, before: list[str] | None = None, **more: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), **more}
    return subprocess.run(
        [*(before or []), sys.executable, *words],
        capture_output=True,
        text=True,
        env=environment,
        timeout=240,
        cwd=ROOT,
    )


@pytest.fixture
def file(tmp_path: Path) -> Path:
    folder = tmp_path / "trailer"
    folder.mkdir()
    copy = Path(shutil.copy(tl.shipped_trailers()["one-lamp"], folder / "trailer.toml"))
    tl.save_design(tl.read_design(copy).replace("battery.capacity", "66 Ah"))
    return copy


# ── real disks, where a test may mount one ───────────────────────────────────────────────────────────

WORDS = {"full": "No space left on device", "read-only": "Read-only file system"}


def test_a_full_and_a_read_only_disk_give_one_sentence_and_lose_nothing(tmp_path: Path) -> None:
    if not allowed(APART, "mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(tmp_path)):
        pytest.skip("this machine lets no test mount a disk; the made-up faults below stand in for it")
    done = python("-m", "tests.rough.disk", str(tmp_path), before=APART)
    assert done.returncode == 0 and "Traceback" not in done.stderr, done.stderr[-2000:]
    parts = {block.split("\n")[0]: block.split("\n")[1:] for block in done.stdout.split("== ")[1:]}
    assert list(parts) == ["full", "room again", "read-only"]
    for state, words in WORDS.items():
        *said, holds = [line for line in parts[state] if line]
        steps = dict(line.split(": ", 1) for line in said)
        assert len(steps) == 9
        assert steps.pop("shell") == "refused by the shell"
        for step, sentence in steps.items():
            assert words in sentence and sentence.endswith("."), (step, sentence)
        assert ".part" not in holds and "filling" in holds if state == "full" else ".part" not in holds
        assert holds.startswith("holds 66 Ah" if state == "full" else "holds 77 Ah")
    assert parts["room again"][0] == "save: done" and parts["room again"][1].startswith("holds 77 Ah")
    assert done.stderr.count("cannot be written there") == 2


# ── the same faults made up, at every place where the system is asked ────────────────────────────────

FAULTS: dict[str, tuple[Any, str]] = {
    "rename": (os, "replace"), "flush": (os, "fsync"), "temporary file": (tempfile, "mkstemp"), "mode": (os, "chmod"),
    "open": (os, "fdopen"),
}  # fmt: skip


class Failing:
    """Fails from its n-th call on, as a disk that has run full does."""

    def __init__(self, real: Callable[..., Any], after: int, number: int) -> None:
        self.real, self.left, self.number, self.failed = real, after, number, 0

    def __call__(self, *words: Any, **more: Any) -> Any:
        self.left -= 1
        if self.left < 0:
            self.failed += 1
            raise OSError(self.number, os.strerror(self.number))
        return self.real(*words, **more)


@pytest.mark.parametrize("what", FAULTS)
@pytest.mark.parametrize("after", [0, 1, 2])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EIO, errno.EDQUOT])
def test_a_fault_anywhere_in_a_save_leaves_the_old_or_the_new_text(
    file: Path, monkeypatch: pytest.MonkeyPatch, what: str, after: int, number: int
) -> None:
    design = tl.read_design(file)
    home, name = FAULTS[what]
    with monkeypatch.context() as patch:
        fault = Failing(getattr(home, name), after, number)
        patch.setattr(home, name, fault)
        try:
            tl.save_design(design.replace("battery.capacity", "77 Ah"))
            holds = "77 Ah"
            assert not fault.failed
        except tl.DesignError as error:
            holds = "66 Ah"
            assert str(error).startswith("trailer.toml: it cannot be written (") and str(error).endswith(
                "; nothing was changed."
            )
    found = tl.read_design(file)
    assert found.get("battery.capacity") == holds
    assert not list(file.parent.rglob("*.part"))
    again = tl.save_design(found.replace("battery.capacity", "88 Ah"))
    assert again.revision == found.revision + 1
    kept = [tl.read_design(old).revision for old in history(file)]
    assert kept == list(range(1, again.revision)), "each earlier text once"


@pytest.mark.parametrize("after", [0, 1, 2, 3, 4])
@pytest.mark.parametrize("what", ["rename", "flush"])
def test_a_fault_anywhere_in_an_undo_is_one_sentence(
    file: Path, monkeypatch: pytest.MonkeyPatch, what: str, after: int
) -> None:
    design = tl.read_design(file)
    home, name = FAULTS[what]
    with monkeypatch.context() as patch:
        patch.setattr(home, name, Failing(getattr(home, name), after, errno.EACCES))
        try:
            assert tl.take_back(design).raw == tl.read_design(file).raw
        except tl.DesignError as error:
            assert str(error).endswith(".") and "\n" not in str(error)
    assert tl.read_design(file).get("battery.capacity") in (
        "66 Ah",
        tl.read_design(tl.shipped_trailers()["one-lamp"]).get("battery.capacity"),
    )


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES])
@pytest.mark.parametrize("after", [0, 3])
def test_a_fault_in_the_build_file_leaves_nothing_half(
    file: Path, monkeypatch: pytest.MonkeyPatch, number: int, after: int
) -> None:
    design, folder = tl.read_design(file), file.parent.parent / "out"
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", Failing(os.fsync, after, number))
        with pytest.raises(tl.DesignError, match="the build file cannot be written there"):
            tl.write_build_file(design, folder, "2026-01-02")
    assert not folder.exists()


def test_a_lock_that_the_folder_refuses_is_one_sentence(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import filelock

    def refuse(*_: Any, **__: Any) -> Any:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(filelock.FileLock, "acquire", refuse)
    with pytest.raises(
        tl.DesignError, match=r"trailer\.toml: it cannot be written \(Permission denied\); nothing was changed\."
    ):
        tl.save_design(tl.read_design(file).replace("battery.capacity", "77 Ah"))


def test_what_a_power_cut_left_half_written_is_swept_away_and_nothing_else(file: Path) -> None:
    left = [file.with_name(".trailer-ab_12xyz.part"), keeping._history_folder(file) / ".00002-revision-2-q1w2e3r4.part"]
    others = [
        file.with_name(name)
        for name in (
            ".trailer-two-ab12cdef.part",
            ".trailer.readings-ab12cdef.part",
            "trailer-ab12cdef.part",
            ".x.part",
        )
    ]
    for path in (*left, *others):
        path.write_text("half", encoding="utf-8")
    tl.save_design(tl.read_design(file).replace("battery.capacity", "77 Ah"))
    assert not any(path.exists() for path in left) and all(path.exists() for path in others)


# ── two that begin at once ───────────────────────────────────────────────────────────────────────────


def test_a_second_notebook_that_begins_does_not_write_over_the_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both find no trailer; the first makes it and saves, then the second comes to making it."""
    target = tmp_path / "trailer.toml"
    monkeypatch.setenv("TRAILERLIB_DESIGN", str(target))
    from trailerlib.design import files

    real, seen = files._there, []

    def late(path: Path) -> bool:
        there = real(path)
        if not seen:
            seen.append(path)
            tl.save_design(tl.open_design().replace("battery.capacity", "77 Ah"))
        return there

    monkeypatch.setattr(files, "_there", late)
    assert tl.open_design().get("battery.capacity") == "77 Ah"


# ── clock and network ────────────────────────────────────────────────────────────────────────────────


@pytest.fixture
def backwards(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A clock that loses an hour at every look, and a calendar that goes back a day."""
    hours, days = iter(range(10**9)), iter(range(10**6))
    monkeypatch.setattr(time, "time", lambda: 1.7e9 - 3600.0 * next(hours))

    class Back(datetime.date):
        @classmethod
        def today(cls) -> datetime.date:
            return datetime.date(2026, 3, 1) - datetime.timedelta(days=next(days))

    monkeypatch.setattr(datetime, "date", Back)
    yield


def test_a_clock_that_runs_backwards_loses_nothing(file: Path, backwards: None) -> None:
    os.utime(file, (4e9, 4e9))
    design = tl.read_design(file)
    for number in range(4):
        design = tl.save_design(design.replace("battery.capacity", f"{70 + number} Ah"))
    assert [tl.read_design(old).revision for old in history(file)] == [1, 2, 3, 4, 5]
    assert tl.take_back(design).get("battery.capacity") == "72 Ah"
    made = [tl.write_build_file(design, file.parent / "out")["snapshot"] for _ in range(2)]
    assert [path.parent.name[-10:] for path in made] == ["2026-03-01", "2026-02-28"]
    assert tl.verify_snapshot(made[1]) == []


def test_two_build_files_of_one_day_lie_side_by_side(file: Path) -> None:
    """As they would after the clock was set back to a day that has one."""
    design = tl.read_design(file)
    folders = {tl.write_build_file(design, file.parent / "out", "2026-01-02")["pdf"].parent.name for _ in range(2)}
    assert len(folders) == 2


ALL_OF_IT = """
import sys, socket
blocked = sys.argv[2] == "blocked"
def refuse(*_, **__):
    raise AssertionError("somebody asks the network")
if blocked:
    socket.socket.connect = socket.socket.connect_ex = socket.create_connection = socket.getaddrinfo = refuse
from pathlib import Path
import trailerlib as tl
file = Path(sys.argv[1])
design = tl.save_design(tl.read_design(file).replace("battery.capacity", "77 Ah"))
tl.save_readings(tl.read_readings(file).with_("rest/battery volts", tl.Reading(12.5, "voltage")), file)
print(tl.assess(design, {}).text())
made = tl.write_build_file(design, file.parent / "out", "2026-01-02")
print("differences:", len(tl.verify_snapshot(made["snapshot"])))
"""


def test_nothing_asks_the_network(file: Path) -> None:
    done = python("-c", ALL_OF_IT, str(file), "blocked")
    assert done.returncode == 0 and "differences: 0" in done.stdout, done.stderr[-2000:]


def test_where_there_is_no_network_all_goes_on(file: Path) -> None:
    if not allowed(NO_NET):
        pytest.skip("this machine lets no test have a network of its own; the blocked sockets above stand in for it")
    done = python("-c", ALL_OF_IT, str(file), "free", before=NO_NET)
    assert done.returncode == 0 and "differences: 0" in done.stdout, done.stderr[-2000:]


def test_the_made_up_faults_reach_what_they_should() -> None:
    """A fault in a name that nobody calls would prove nothing."""
    source = Path(keeping.__file__).read_text(encoding="utf-8")
    assert all(f"{home.__name__}.{name}(" in source for home, name in FAULTS.values())
