"""The shipped trailers as designs; lets the test modules of this room read the sums made by hand."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

import trailerlib as tl

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture(scope="session")
def demo() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["fen-survey"])


@pytest.fixture(scope="session")
def lamp() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["one-lamp"])
