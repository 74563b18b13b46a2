"""Runs chosen tests against one mutant in a process of its own, split off from one that has imported everything."""

from __future__ import annotations

import os
import resource
import signal
import sys
from collections.abc import Callable
from pathlib import Path

import hypothesis
import pytest

from tests.mutants import swap
from tests.mutants.draw import Mutant

PLAIN = (
    "-p",
    "no:nbval",
    "-p",
    "no:xdist",
    "-p",
    "no:cacheprovider",
    "-o",
    "addopts=",
    "--import-mode=importlib",
    "-q",
)
FEW = 25  # examples of a property test
MEMORY = 3 << 30
KILLED, SURVIVED, BROKEN = 11, 10, 12


def split(task: Callable[[], int], cpu_s: float) -> str:
    """Do something in a process of its own.

    Returns
    -------
    ``killed``, ``survived``, ``stuck`` (out of time, memory or the interpreter) or ``broken`` (the machinery failed).
    """
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        _alone(task, cpu_s)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return "stuck"
    return {KILLED: "killed", SURVIVED: "survived"}.get(os.WEXITSTATUS(status), "broken")


def _alone(task: Callable[[], int], cpu_s: float) -> None:
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1):
        os.dup2(nowhere, stream)
    keep = os.open(os.environ.get("MUTANTS_LOG", os.devnull), os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    os.dup2(keep, 2)
    used = resource.getrusage(resource.RUSAGE_SELF)
    most = int(used.ru_utime + used.ru_stime + cpu_s) + 1
    resource.setrlimit(resource.RLIMIT_CPU, (most, most + 1))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY + (2 << 30), MEMORY + (2 << 30)))
    signal.alarm(int(20 * cpu_s) + 60)  # asleep counts too
    result = BROKEN
    try:
        result = task()
    except MemoryError:
        result = KILLED
    except BaseException as error:
        os.write(2, f"{type(error).__name__}: {error}\n".encode())
    finally:
        os._exit(result)


class Judge:
    """Notices the first test that fails."""

    failed = False

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """One report of one test."""
        self.failed = self.failed or report.failed


def run_items(items: list[pytest.Item]) -> int:
    """Run collected tests, the first failure ends it."""
    judge = Judge()
    config = items[0].config
    config.pluginmanager.register(judge)
    for here, after in zip(items, [*items[1:], None], strict=False):
        config.hook.pytest_runtest_protocol(item=here, nextitem=after)
        if judge.failed:
            return KILLED
    return SURVIVED


def few_examples(items: list[pytest.Item], most: int) -> None:
    """Property tests look at few examples, the same ones each time, and do not look for a smaller one."""
    for item in items:
        function = getattr(item, "obj", None)
        function = getattr(function, "__func__", function)
        found = getattr(function, "_hypothesis_internal_use_settings", None)
        if found is not None:
            function._hypothesis_internal_use_settings = hypothesis.settings(
                found,
                max_examples=min(found.max_examples, most),
                derandomize=True,
                database=None,
                deadline=None,
                phases=(hypothesis.Phase.explicit, hypothesis.Phase.generate),
                suppress_health_check=list(hypothesis.HealthCheck),
            )


class Fresh:
    """Holds a pytest run back at its loop, for one task."""

    def __init__(self, tests: list[str], most: int) -> None:
        self.tests, self.most, self.result = tests, most, BROKEN

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """All is collected: run what is asked, in the order asked."""
        by_name = {item.nodeid: item for item in session.items}
        chosen = [by_name[name] for name in self.tests if name in by_name]
        few_examples(chosen, self.most)
        self.result = run_items(chosen) if chosen else SURVIVED
        return True


def from_scratch(mutant: Mutant, tests: list[str], most: int) -> int:
    """Import the mutant and the tests anew, then run them; what cannot be imported is killed."""
    swap.install(mutant)
    fresh = Fresh(tests, most)
    files = list(dict.fromkeys(test.split("::")[0] for test in tests if Path(test.split("::")[0]).exists()))
    try:
        code = pytest.main([*PLAIN, *files], plugins=[fresh])
    except Exception:
        return KILLED
    return KILLED if fresh.result == BROKEN and code != 0 else fresh.result
