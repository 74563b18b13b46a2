"""Some broken files in process and a few as a shell hands them over; ``python -m tests.rough.broken`` does two thousand."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import trailerlib as tl
from tests.rough import broken
from trailerlib.design import keeping

FEW = 5 * (len(broken.KINDS) + 2)  # five of each kind


@pytest.mark.parametrize("which", range(len(broken.KINDS) + 2))
def test_a_broken_file_gives_one_clear_sentence(which: int) -> None:
    said = [broken.one((number, False)) for number in range(which, FEW, len(broken.KINDS) + 2)]
    assert [wrong for _, _, wrong, _ in said if wrong] == []
    assert "refused" in {verdict for _, verdict, _, _ in said}, said[0][0]


def test_few_of_the_spoilt_files_are_valid_all_the_same() -> None:
    verdicts = [broken.one((number, False))[1] for number in range(1000, 1000 + 2 * (len(broken.KINDS) + 2))]
    assert verdicts.count("valid") <= broken.STILL_VALID * len(verdicts)


def test_a_good_file_is_not_called_broken(tmp_path: Path) -> None:
    file = tmp_path / "trailer.toml"
    file.write_text(broken.texts()["one-lamp"], encoding="utf-8")
    assert broken.judged(*broken.in_process(str(file)), sure=False) == "valid"
    with pytest.raises(AssertionError, match="taken for a valid design"):
        broken.judged(*broken.in_process(str(file)), sure=True)


@pytest.mark.parametrize(
    ("code", "out", "err"),
    [(2, "", "Traceback (most recent call last):\n  one\nValueError: x\n"), (1, "", ""), (2, "half an answer\n", "It is not.\n"),
     (2, "", "trailer.toml: input should be a valid string [type=string_type, input_value=5].\n"), (2, "", "bad\n"), (139, "", "")],
)  # fmt: skip
def test_the_judge_is_strict(code: int, out: str, err: str) -> None:
    with pytest.raises(AssertionError):
        broken.judged(code, out, err, sure=False)


def test_as_a_shell_hands_it_over_it_is_the_same() -> None:
    """One of each way a process of its own could differ: bytes, readings, what is no file, and a very large one."""
    kinds = [kind.__name__ for kind in broken.KINDS] + ["good_with_broken_readings", "not_a_file"]
    for kind in ("bad_byte", "good_with_broken_readings", "not_a_file", "too_long"):
        number = kinds.index(kind)
        assert broken.one((number, True))[1:3] == ("refused", "")


def shell(command: str, **kwargs: int) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(["bash", "-c", command], capture_output=True, timeout=broken.SECONDS, **kwargs)


CHECK = f"{sys.executable} -m trailerlib check {tl.shipped_trailers()['one-lamp']}"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_an_answer_that_finds_no_room_is_one_sentence() -> None:
    done = shell(f"{CHECK} > /dev/full")
    assert done.returncode == 2 and done.stderr.count(b"\n") == 1 and b"No space left" in done.stderr


def test_whoever_stops_reading_hears_nothing_more() -> None:
    done = shell(f"{CHECK} | head -c 1")
    assert done.returncode == 0 and done.stderr == b""


def test_a_closed_screen_is_no_reason_to_fall() -> None:
    done = shell(f"{CHECK} >&-")
    assert done.returncode in (0, 1) and done.stderr == b""


def test_a_pipe_that_nobody_writes_to_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "trailer.toml"
    os.mkfifo(pipe)
    for read in (tl.read_design, tl.verify_snapshot):
        with pytest.raises(
            tl.DesignError, match=r"trailer.toml: it cannot be read \(It is no file but a pipe or a device\)"
        ):
            read(pipe)


@pytest.mark.parametrize(
    "key", ["a." * 50_000 + "a = 1", "[" + "a ." * 30_000 + "a]", "x = {" + '"a b".' * 20_000 + "a = 1}"]
)
def test_a_key_of_very_many_parts_is_refused_before_it_fills_the_memory(key: str) -> None:
    with pytest.raises(tl.DesignError, match="nested too deep"):
        keeping.parse(key)


@pytest.mark.parametrize(
    "text", ['note = "' + "a." * 90 + '"', "# " + "a." * 90, "note = '" + "1." * 70 + "'", "a.b.c.d = 1"]
)
def test_points_in_a_text_are_no_deep_key(text: str) -> None:
    assert keeping.parse(text) is not None
