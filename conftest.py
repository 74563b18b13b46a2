"""Notebooks run as tests work on a fresh copy of the demo, never on the trailer somebody has open."""

import os

import hypothesis
import pytest

from trailerlib.design.files import OPEN_VARIABLE, shipped_trailers


@pytest.fixture(autouse=True, scope="session")
def _fresh_trailer(tmp_path_factory):
    copy = tmp_path_factory.mktemp("trailer") / "trailer.toml"
    copy.write_text(shipped_trailers()["fen-survey"].read_text(encoding="utf-8"), encoding="utf-8")
    before = os.environ.get(OPEN_VARIABLE)
    os.environ[OPEN_VARIABLE] = str(copy)
    yield
    os.environ.pop(OPEN_VARIABLE)
    if before is not None:
        os.environ[OPEN_VARIABLE] = before


# the same cases in every run: a test that fails must fail again when it is run again
hypothesis.settings.register_profile("repeatable", derandomize=True)
hypothesis.settings.load_profile("repeatable")
