"""The shipped trailers, as files that a test may write to and as designs that it may not."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import trailerlib as tl


@pytest.fixture(scope="session")
def demo() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


@pytest.fixture(scope="session")
def lamp() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["one-lamp"])


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A copy of the demo's file in a folder of its own."""
    return Path(shutil.copy(tl.shipped_trailers()["fen-survey"], tmp_path / "trailer.toml"))


@pytest.fixture
def small_file(tmp_path: Path) -> Path:
    """A copy of the first lesson's file in a folder of its own."""
    return Path(shutil.copy(tl.shipped_trailers()["one-lamp"], tmp_path / "trailer.toml"))
