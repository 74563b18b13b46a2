"""How many of a seeded sample of mutants the tests notice.

    python -m tests.mutants.reach FOLDER
    python -m tests.mutants.run FOLDER --seed 1 --size 1000

The first writes which test runs which line (about ten minutes), the second draws, asks and writes
``FOLDER/SEED.jsonl``; ``python -m tests.mutants.tell FOLDER/SEED.jsonl`` reads it. One process works at a time.
"""

from __future__ import annotations

import argparse
import gc
import json
import time
from dataclasses import dataclass, field
from pathlib import Path
from types import CodeType, FunctionType

import numpy  # noqa: F401  what the package rests on is imported once, before any mutant
import pandas  # noqa: F401
import pint  # noqa: F401
import pydantic  # noqa: F401
import pytest
import tomlkit  # noqa: F401

from tests.mutants import fork, swap
from tests.mutants.choose import Reach
from tests.mutants.draw import Mutant, draw

BUDGET_S = (4.0, 1.5, 1.5, 4.0)  # of tests of the line, of the function, of the module, of the files beside it
AGAIN_S = 30.0


@dataclass
class Run:
    """What is asked and what came of it."""

    reach: Reach
    out: Path
    results: dict[int, str] = field(default_factory=dict)

    def note(self, number: int, mutant: Mutant, stage: str, result: str, took_s: float) -> None:
        """One line of the list; the last of a number counts."""
        self.results[number] = result
        row = {"number": number, "mutant": mutant.name, "module": mutant.module, "change": mutant.change(),
               "stage": stage, "result": result, "wall_s": round(took_s, 2)}  # fmt: skip
        with self.out.open("a", encoding="utf-8") as file:
            file.write(json.dumps(row, ensure_ascii=False) + "\n")


class Held:
    """A pytest run held back at its loop: all is imported and collected, and each mutant gets a split-off of it."""

    def __init__(self, run: Run, mutants: dict[int, tuple[Mutant, tuple[CodeType, CodeType]]]) -> None:
        self.run, self.mutants = run, mutants

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """One mutant after the other."""
        items = {item.nodeid: item for item in session.items}
        fork.few_examples(list(items.values()), fork.FEW)
        functions: dict[tuple[str, str, int], list[FunctionType]] = {}
        for thing in gc.get_objects():
            if isinstance(thing, FunctionType):
                functions.setdefault(swap.place(thing.__code__), []).append(thing)
        gc.freeze()
        for number, (mutant, (before, after)) in self.mutants.items():
            begun = time.monotonic()
            tests = chosen_tests(self.run.reach, mutant, BUDGET_S[:3])
            chosen = [items[test] for test in tests if test in items]
            here = functions.get(swap.place(before), [])

            def task(
                here: list[FunctionType] = here, after: CodeType = after, chosen: list[pytest.Item] = chosen
            ) -> int:
                for function in here:
                    function.__code__ = after
                return fork.run_items(chosen)

            limit = 3.0 * sum(self.run.reach.took[test] for test in tests) + 3.0
            result = fork.split(task, limit) if chosen and here else "survived"
            self.run.note(number, mutant, "line", result, time.monotonic() - begun)
        return True


def chosen_tests(reach: Reach, mutant: Mutant, budget_s: tuple[float, ...]) -> list[str]:
    """Those of the line, then those further off, each circle as many as fit into its time."""
    tests: list[str] = []
    for near, most_s in zip(reach.near(mutant), budget_s, strict=False):
        tests += reach.quickest(near - set(tests), most_s)
    return tests


def ask(run: Run, mutants: list[Mutant], again: bool) -> None:
    """Mutants inside a function are put into what is imported; those that act at import are imported anew.

    With ``again`` what survived is imported anew too, and asked by more tests with more examples.
    """
    codes = {  # a function that no test runs may still have been called while its module was imported
        number: swap.changed_function(mutant) if run.reach.near(mutant)[1] else None
        for number, mutant in enumerate(mutants)
    }
    inside = {number: (mutants[number], code) for number, code in codes.items() if code is not None}
    if inside:
        files = sorted({test.split("::")[0] for test in run.reach.took})
        fork.split(lambda: int(pytest.main([*fork.PLAIN, *files], plugins=[Held(run, inside)])) and fork.BROKEN, 1e6)
        for line in run.out.read_text(encoding="utf-8").splitlines():
            row = json.loads(line)
            run.results[row["number"]] = row["result"]
    for number, mutant in enumerate(mutants):
        result = run.results.get(number)
        if result is not None and (result in ("killed", "stuck") or not again):
            continue
        begun = time.monotonic()
        tests = chosen_tests(run.reach, mutant, (AGAIN_S, *BUDGET_S[1:]) if again else BUDGET_S)
        limit = 6.0 * sum(run.reach.took[test] for test in tests) + 30.0
        most = 200 if again else fork.FEW
        result = fork.split(lambda m=mutant, t=tests, e=most: fork.from_scratch(m, t, e), limit)  # type: ignore[misc]
        run.note(number, mutant, "anew", result, time.monotonic() - begun)


def main() -> None:
    """Read the command line."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--size", type=int, default=1000)
    asked.add_argument("--only", nargs="*", default=(), help="modules, such as physics/beam")
    asked.add_argument("--again", action="store_true", help="ask what survives once more, by more tests")
    given = asked.parse_args()
    out = given.folder / f"{given.seed}.jsonl"
    out.write_text("", encoding="utf-8")
    ask(Run(Reach(given.folder), out), draw(given.size, given.seed, tuple(given.only)), given.again)


if __name__ == "__main__":
    main()
