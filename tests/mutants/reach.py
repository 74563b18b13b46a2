"""Which test runs which line, and how long it takes: one run of the tests under coverage, a context for each test."""

from __future__ import annotations

import json
import signal
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import coverage
import pytest

from tests.mutants import fork
from tests.mutants.draw import SUBJECTS

ROOMS = ("tests/rules", "tests/physics", "tests/outside", "tests/studies")
LONGEST_S = 8.0  # of the processor, with coverage on: a test that takes longer is not asked


class TooLongError(Exception):
    """A test that takes too long to be asked about every mutant."""


class Watcher:
    """Tells coverage which test is on, and keeps the processor time of each."""

    def __init__(self, watch: coverage.Coverage) -> None:
        self.watch = watch
        self.took: dict[str, float] = {}
        self.failed: dict[str, str] = {}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """The same few examples as later."""
        fork.few_examples(items, fork.FEW)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """One test."""
        begun = time.process_time()
        self.watch.switch_context(item.nodeid)
        signal.setitimer(signal.ITIMER_VIRTUAL, LONGEST_S)
        try:
            return (yield)  # type: ignore[return-value]
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0.0)
            self.took[item.nodeid] = time.process_time() - begun
            self.watch.switch_context("")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """A test that fails without any mutant is of no use here."""
        if report.failed or report.skipped:
            self.failed[report.nodeid] = report.longreprtext.strip()[-200:]


def _ring(_number: int, _frame: object) -> None:
    raise TooLongError("takes too long to be asked about every mutant")


def reached(room: str) -> dict[str, Any]:
    """Run a room once.

    Returns
    -------
    ``took``: seconds of each test that passes; ``lines``: module, then line, then the tests that run it (by their
    place in ``took``); ``left_out``: tests that fail here or take too long, and why.
    """
    signal.signal(signal.SIGVTALRM, _ring)
    watch = coverage.Coverage(data_file=None, source=list(SUBJECTS), branch=False)
    watcher = Watcher(watch)
    watch.start()
    pytest.main([*fork.PLAIN, "--tb=line", room], plugins=[watcher])
    watch.stop()
    data, here = watch.get_data(), Path.cwd()
    took = {test: round(seconds, 4) for test, seconds in watcher.took.items() if test not in watcher.failed}
    place = {test: number for number, test in enumerate(took)}
    lines = {
        str(Path(file).relative_to(here)): {
            line: sorted(place[c] for c in contexts if c in place)
            for line, contexts in data.contexts_by_lineno(file).items()
        }
        for file in data.measured_files()
    }
    return {"took": took, "lines": lines, "left_out": watcher.failed}


def main(folder: Path, rooms: tuple[str, ...]) -> None:
    """Write what each room reaches into a file of its own."""
    folder.mkdir(parents=True, exist_ok=True)
    for room in rooms:
        name = room.replace("/", "-").removesuffix(".py")
        (folder / f"{name}.json").write_text(json.dumps(reached(room)), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), tuple(sys.argv[2:]) or ROOMS)
