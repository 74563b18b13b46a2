"""Which tests are asked about a mutant: those that run its line, the quickest first, then those that run its room."""

from __future__ import annotations

import ast
import json
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.mutants.draw import Mutant


class Reach:
    """What ``reach`` has written, put together."""

    def __init__(self, folder: Path) -> None:
        self.took: dict[str, float] = {}
        self.lines: dict[str, dict[int, set[str]]] = {}
        for file in sorted(folder.glob("tests-*.json")):
            told = json.loads(file.read_text(encoding="utf-8"))
            self.took |= told["took"]
            names = list(told["took"])
            for module, lines in told["lines"].items():
                here = self.lines.setdefault(module, {})
                for line, tests in lines.items():
                    here.setdefault(int(line), set()).update(names[t] for t in tests)

    def of_lines(self, module: str, first: int, last: int) -> set[str]:
        """Tests that run any of these lines."""
        here = self.lines.get(module, {})
        return {test for line in range(first, last + 1) for test in here.get(line, ())}

    def quickest(self, tests: set[str], most_s: float) -> list[str]:
        """As many as fit into the time, one at least if there is one.

        The quickest case of each test comes first, then the second of each: a hundred seeds of one test tell less
        than one case each of many.
        """
        chosen, sum_s, turns, turn = [], 0.0, Counter[str](), {}
        for test in sorted(tests, key=lambda name: (self.took[name], name)):
            turns[test.split("[")[0]] += 1
            turn[test] = turns[test.split("[")[0]]
        for test in sorted(tests, key=lambda name: (turn[name], self.took[name], name)):
            sum_s += self.took[test]
            if chosen and sum_s > most_s:
                break
            chosen.append(test)
        return chosen

    def near(self, mutant: Mutant) -> list[set[str]]:
        """Tests that run the mutant's statement, its function, its module, and all that stand beside these.

        Each set holds the one before; the last is for what acts at import, such as a mark that is taken away.
        """
        statement, function = _spans(mutant.module, mutant.line)
        at = self.of_lines(mutant.module, *statement)
        around = at | (self.of_lines(mutant.module, *function) if function else set())
        room = around | self.of_lines(mutant.module, 1, 10**6)
        files = {test.split("::")[0] for test in room}
        return [at, around, room, {test for test in self.took if test.split("::")[0] in files}]


@cache
def _tree(module: str) -> ast.Module:
    return ast.parse(Path(module).read_text(encoding="utf-8"))


def _spans(module: str, line: int) -> tuple[tuple[int, int], tuple[int, int] | None]:
    """First and last line of the innermost statement (of its head, when others stand in it) and of its function."""
    statement, function = (line, line), None
    for node in _statements(_tree(module)):
        first = min((d.lineno for d in getattr(node, "decorator_list", ())), default=node.lineno)
        last = node.end_lineno or node.lineno
        if not first <= line <= last:
            continue
        if isinstance(node, ast.FunctionDef):
            function = (first, last)
        inner = getattr(node, "body", None)
        head = inner[0].lineno - 1 if inner else last
        statement = (first, max(first, head)) if line <= max(first, head) else (line, line)
    return statement, function


def _statements(tree: ast.AST) -> Iterator[ast.stmt]:
    """Every statement, an outer one before those inside it."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.stmt):
            yield node
        yield from _statements(node)
