"""The mains feeders against pandapower as it is installed here, in an environment of its own.

The library wants an older pandas than the project. ``LOAD_FLOW_PYTHON`` names the Python that has it; without it
this fails: a check not made is not a pass.
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
    python = os.environ.get("LOAD_FLOW_PYTHON", "")
    if not python:
        pytest.fail("LOAD_FLOW_PYTHON does not name a Python that has pandapower; set it to run the live checks.")
    file = tmp_path_factory.mktemp("load_flow") / "load_flow.json"
    command = [python, str(RECORDED / "make_load_flow.py"), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)  # judged below
    if done.returncode != 0:
        pytest.fail(f"make_load_flow.py failed with {python}:\n{done.stderr[-2000:]}")
    return dict(json.loads(file.read_text(encoding="utf-8")))


def test_pandapower_agrees_with_the_solvers(fresh: dict[str, Any]) -> None:
    """Independent: pandapower run now. 1e-6 per unit covers any release of it."""
    spec = importlib.util.spec_from_file_location("read_load_flow", RECORDED / "read_load_flow.py")
    assert spec is not None and spec.loader is not None
    read = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(read)
    found = read.differences(fresh)
    assert len(found) == 5 and all(volt < 1e-6 and source < 1e-6 for volt, source in found.values()), found


def test_the_record_is_what_the_script_writes(fresh: dict[str, Any]) -> None:
    record = json.loads((RECORDED / "load_flow.json").read_text(encoding="utf-8"))
    assert set(record) == set(fresh) and record["solver"] == fresh["solver"]
    for kind in ("two_wire", "two_legs"):
        assert list(record[kind]) == list(fresh[kind])
        for name, case in fresh[kind].items():
            for key, value in case.items():
                kept, words = record[kind][name][key], f"{name}, {key} changed: run make_load_flow.py again"
                if key in ("voltage_v", "leg1_v", "leg2_v", "source_va"):
                    assert np.array(kept) == pytest.approx(np.array(value), rel=1e-6, abs=1e-4), words
                else:
                    assert kept == value, words
