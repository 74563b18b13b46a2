"""Some kills in mid-save; ``python -m tests.rough.kills`` does a thousand of the design and a thousand of the readings."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

import trailerlib as tl
from tests.rough import kills

FEW = 40


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return Path(shutil.copy(tl.shipped_trailers()["one-lamp"], tmp_path / "trailer.toml"))


@pytest.mark.parametrize("save", [kills.save_design, kills.save_readings])
def test_a_kill_at_any_moment_loses_nothing(file: Path, save: Callable[[Path, int], int]) -> None:
    done = kills.kill(file, save, FEW)
    assert done.kills == FEW and done.saves > FEW


def test_three_that_save_at_once_lose_no_save(file: Path) -> None:
    assert kills.together(file, 3, 1.0) > 3


def test_a_history_with_a_hole_is_seen(file: Path) -> None:
    for number in range(3):
        kills.save_design(file, number)
    old = sorted(file.parent.glob("trailer.history/*.toml"))
    shutil.copy(old[0], old[0].with_name("00009-revision-1.toml"))
    with pytest.raises(AssertionError):
        kills.whole_history(file)
