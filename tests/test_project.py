"""The project's own promises: one list of versions, two commands that are really there, data that travels with the wheel."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "LICENSE", "environment.yml", "pyproject.toml", "conftest.py", ".gitignore", ".ci",
    "workbook", "trailerlib", "tests", "data", "pictures",
}  # fmt: skip


def pyproject() -> dict:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


def test_environment_file_installs_this_project_and_states_no_versions_of_its_own() -> None:
    lines = [line.strip() for line in (ROOT / "environment.yml").read_text(encoding="utf-8").splitlines()]
    entries = [line[2:] for line in lines if line.startswith("- ")]
    assert entries == ["conda-forge", f"python{pyproject()['project']['requires-python']}", "pip", "pip:", "-e .[test]"]


def test_every_library_the_client_fixed_is_a_dependency() -> None:
    project = pyproject()["project"]
    named = " ".join(project["dependencies"] + project["optional-dependencies"]["test"])
    for library in ("jupyterlab", "ipywidgets", "pandas", "plotly", "nbval"):
        assert re.search(rf"\b{library}\b", named), library


def test_versions_are_lower_bounds() -> None:
    project = pyproject()["project"]
    for requirement in project["dependencies"] + project["optional-dependencies"]["test"]:
        assert re.fullmatch(r"[A-Za-z0-9-]+>=[0-9.]+", requirement), requirement


@pytest.mark.parametrize(
    "mark, ending", [("open command", r"jupyter lab workbook/00_start\.ipynb"), ("test command", r"pytest")]
)
def test_readme_has_the_two_commands(mark: str, ending: str) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.search(rf"<!-- {mark} -->\n```\w*\n(.*?)```\n<!-- end -->", readme, re.S)
    assert block is not None
    (command,) = [line for line in block[1].splitlines() if line.strip()]
    assert command.startswith('python3 -m venv .venv && .venv/bin/pip install -e ".[test]"')
    assert re.search(ending, command)


def test_readme_opens_with_the_job_in_one_paragraph_and_shows_real_pictures() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    paragraphs = [p for p in text.split("\n\n") if p.strip()]
    assert paragraphs[0].startswith("# ") and "\n" not in paragraphs[0]
    assert not paragraphs[1].startswith(("#", "```", "!", "-")) and len(paragraphs[1].split()) > 40
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text)
    assert len(pictures) >= 2
    for picture in pictures:
        assert (ROOT / picture).read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"


def test_nothing_strange_lies_at_the_top() -> None:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if listed.returncode == 0 and listed.stdout:
        assert {line.split("/")[0] for line in listed.stdout.splitlines()} <= TOP_LEVEL


def test_the_wheel_carries_its_data(tmp_path: Path) -> None:
    """Built, unpacked away from the checkout, and asked to assess the demo."""
    wheels, target = tmp_path / "wheels", tmp_path / "installed"
    run = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(wheels)]
    subprocess.run(run, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = wheels.glob("*.whl")
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--target", str(target)]
    subprocess.run([*install, str(wheel)], check=True, capture_output=True)
    code = (
        "import trailerlib as tl; print(tl.__file__);"
        "print(len(tl.assess(tl.read_design(tl.shipped_trailers()['fen-survey'])).answers));"
        "print(tl.reference.data_root())"
    )
    environment = {**os.environ, "PYTHONPATH": str(target)}
    answer = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, env=environment, capture_output=True, text=True)
    assert answer.returncode == 0, answer.stderr
    file, count, root = answer.stdout.split()
    assert Path(file).is_relative_to(target) and Path(root).is_relative_to(target) and int(count) >= 5
    for place in ("labconfig", "jupyter_server_config.d"):
        assert list(target.glob(f"etc/jupyter/{place}/*.json")), place
    shipped = {file.name for file in (ROOT / "data" / "fonts").iterdir()}
    assert {file.name for file in (Path(root) / "fonts").iterdir()} == shipped
    licences = {file.name for file in target.glob("*.dist-info/licenses/**/*.txt")}
    assert licences == {name for name in shipped if name.endswith(".txt")}


def test_importing_stays_cheap() -> None:
    """The heavy libraries come later; that they are absent is a fact, how long it takes is not judged here."""
    code = "import sys, trailerlib; print(' '.join(sorted(sys.modules)))"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert not {
        "pandas",
        "plotly",
        "pint",
        "typst",
        "ipywidgets",
        "networkx",
        "xlsxwriter",
        "pvlib",
        "scipy",
        "h5py",
    } & set(loaded)
