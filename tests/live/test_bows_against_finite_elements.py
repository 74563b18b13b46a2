"""Bows and rails against a finite-element library as it is installed here, in an environment of its own.

``FRAME_PYTHON`` names the Python that has PyNiteFEA; without it this fails: a check not made is not a pass.
"""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest

RECORDED = Path(__file__).parents[1] / "outside" / "recorded"


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    python = os.environ.get("FRAME_PYTHON", "")
    if not python:
        pytest.fail("FRAME_PYTHON does not name a Python that has PyNiteFEA; set it to run the live checks.")
    file = tmp_path_factory.mktemp("frame") / "bows.json"
    command = [python, str(RECORDED / "make_bows.py"), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)  # judged below
    if done.returncode != 0:
        pytest.fail(f"make_bows.py failed with {python}:\n{done.stderr[-2000:]}")
    return dict(json.loads(file.read_text(encoding="utf-8")))


def test_finite_elements_agree_with_the_bows(fresh: dict[str, Any]) -> None:
    """Independent: PyNiteFEA run now. Reactions, moments, shear and sag at the joints to 1e-7, the largest sag to 0.1 %."""
    spec = importlib.util.spec_from_file_location("read_bows", RECORDED / "read_bows.py")
    assert spec is not None and spec.loader is not None
    read = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(read)
    found = read.differences(fresh)
    assert len(found) == 9 and all(exact < 1e-7 and sampled < 1e-3 for exact, sampled in found.values()), found


def test_the_record_is_what_the_script_writes(fresh: dict[str, Any]) -> None:
    record = json.loads((RECORDED / "bows.json").read_text(encoding="utf-8"))
    assert set(record) == set(fresh) and list(record["cases"]) == list(fresh["cases"])
    for name, case in fresh["cases"].items():
        kept, words = record["cases"][name], f"{name} changed: run make_bows.py again"
        assert set(kept) == set(case), words
        for key, value in case.items():
            if key in ("bows", "rails", "force", "spread"):
                assert kept[key] == value, words
            else:
                for mine, theirs in zip(kept[key], value, strict=True):
                    loose = 1e-3 if key in ("bow_sag", "rail_sag") else 1e-7
                    assert np.array(mine) == pytest.approx(np.array(theirs), rel=loose, abs=1e-9), words


def test_a_section_library_agrees_with_the_sections_of_bows(tmp_path: Path) -> None:
    """Independent: sectionproperties run now; the record is what it writes, 1e-9."""
    python = os.environ.get("FRAME_PYTHON", "")
    if not python:
        pytest.fail("FRAME_PYTHON does not name a Python that has sectionproperties; set it to run the live checks.")
    file = tmp_path / "sections.json"
    command = [python, str(RECORDED / "make_sections.py"), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)  # judged below
    if done.returncode != 0:
        pytest.fail(f"make_sections.py failed with {python}:\n{done.stderr[-2000:]}")
    now = json.loads(file.read_text(encoding="utf-8"))["cases"]
    record = json.loads((RECORDED / "sections.json").read_text(encoding="utf-8"))["cases"]
    assert list(now) == list(record)
    for name, case in now.items():
        for key, value in case.items():
            same = record[name][key]
            assert same == (pytest.approx(value, rel=1e-9) if isinstance(value, float) else value), (name, key)
