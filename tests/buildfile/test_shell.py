"""The shell: three verbs, three exit codes, one sentence when the input cannot be used."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

import trailerlib
from trailerlib.design.files import shipped_trailers

ROOT = Path(trailerlib.__file__).resolve().parents[1]
DEMO = str(shipped_trailers()["fen-survey"])
LAMP = str(shipped_trailers()["one-lamp"])


def shell(*words: str) -> subprocess.CompletedProcess[str]:
    """Run the shell as a person does."""
    return subprocess.run(
        [sys.executable, "-m", "trailerlib", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=ROOT,
        check=False,
    )


def test_no_arguments_prints_the_help() -> None:
    done = shell()
    assert done.returncode == 0
    assert all(verb in done.stdout for verb in ("check", "build", "verify"))


def test_check_says_every_verdict_and_finding() -> None:
    done = shell("check", DEMO)
    assert done.returncode == 1 and done.stderr == ""  # the demo has something to fix
    assert "fix: What trips first?" in done.stdout and "551.44" in done.stdout


def test_check_of_a_trailer_with_nothing_to_fix() -> None:
    assert shell("check", LAMP).returncode == 0


def test_build_then_verify(tmp_path: Path) -> None:
    done = shell("build", LAMP, str(tmp_path), "--date", "2026-11-25")
    paths = [Path(line) for line in done.stdout.splitlines()]
    assert done.returncode == 0 and len(paths) == 10 and all(path.is_file() for path in paths)
    kept = next(path for path in paths if path.name == "snapshot.json")
    assert shell("verify", str(kept)).returncode == 0
    tree = json.loads(kept.read_text(encoding="utf-8"))
    tree["results"]["night"]["numbers"]["used_ah"]["value"] *= 1.001
    kept.write_text(json.dumps(tree), encoding="utf-8")
    done = shell("verify", str(kept))
    assert done.returncode == 1
    assert done.stdout.splitlines()[0].startswith("results.night.numbers.used_ah.value: ")


@pytest.mark.parametrize("text", ["", "title = ", 'title = "x"\n[trailer]\nlength = "1 parsec"'])
def test_bad_input_is_one_sentence_and_nothing_is_written(tmp_path: Path, text: str) -> None:
    bad, target = tmp_path / "bad.toml", tmp_path / "out"
    bad.write_text(text, encoding="utf-8")
    for words in (("check", str(bad)), ("build", str(bad), str(target)), ("verify", str(bad))):
        done = shell(*words)
        assert done.returncode == 2 and done.stdout == ""
        assert len(done.stderr.splitlines()) == 1 and done.stderr.startswith("bad.toml: ")
    assert [child.name for child in tmp_path.iterdir()] == ["bad.toml"]


def test_a_missing_file_a_bad_date_and_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("", encoding="utf-8")
    for words in (
        ("check", str(tmp_path / "none.toml")), ("build", LAMP, str(tmp_path / "out"), "--date", "tomorrow"),
        ("build", LAMP, str(blocked)), ("build", LAMP, str(blocked / "deeper")), ("build", LAMP, "/proc/nowhere"),
        ("verify", str(tmp_path / "none.json")),
    ):  # fmt: skip
        done = shell(*words)
        assert done.returncode == 2 and done.stdout == ""
        assert len(done.stderr.splitlines()) == 1 and "Traceback" not in done.stderr
    assert [child.name for child in tmp_path.iterdir()] == ["blocked"]


def test_the_rooms_of_paper_are_cheap_to_import() -> None:
    code = (
        "import sys, trailerlib.buildfile, trailerlib.__main__;"
        "print([m for m in ('typst', 'xlsxwriter', 'pandas', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"


def test_paper_never_meets_the_bench() -> None:
    code = (
        "import sys; from trailerlib.buildfile import binder; from trailerlib.design.files import *;"
        f"binder.parts(read_design({LAMP!r}), '2026-11-25');"
        "print([m for m in ('ipywidgets', 'plotly', 'anywidget', 'trailerlib.bench') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip() == "[]"
