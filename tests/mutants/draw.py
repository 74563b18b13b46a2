"""The mutants there are, as cosmic-ray makes them, and a seeded draw of them."""

from __future__ import annotations

import ast
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from cosmic_ray.commands.init import _all_work_items
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator
from cosmic_ray.work_item import MutationSpec

SUBJECTS = ("trailerlib/physics", "trailerlib/rules")
ARITHMETIC = {"Add", "Sub", "Mul", "Div", "FloorDiv", "Mod", "Pow"}
BITS = {"BitOr", "BitAnd", "BitXor"}


@dataclass(frozen=True)
class Mutant:
    """One small error: where, and the module's text with it."""

    module: str
    line: int
    column: int
    operator: str
    text: str

    @property
    def name(self) -> str:
        """As it stands in a list: ``physics/beam.py:12:8 NumberReplacer``."""
        return f"{self.module.removeprefix('trailerlib/')}:{self.line}:{self.column} {self.operator}"

    def change(self) -> str:
        """The line before and after."""
        before, after = Path(self.module).read_text(encoding="utf-8").splitlines(), self.text.splitlines()
        for old, new in zip(before, after, strict=False):
            if old != new:
                return f"{old.strip()}  →  {new.strip()}"
        return "a line taken away"


def modules() -> list[Path]:
    """Every module that is looked at, in order."""
    return sorted(path for folder in SUBJECTS for path in Path(folder).glob("*.py"))


def population() -> list[MutationSpec]:
    """Every mutant, less those that prove nothing.

    Left out: what stands in an annotation (it never runs), and bits in place of numbers or the other way round (Python
    refuses them at once, whatever the test).
    """
    silent = {str(path): tuple(_annotations(path)) for path in modules()}
    found = (item.mutations[0] for item in _all_work_items(modules(), {}))
    return [spec for spec in found if _telling(spec.operator_name) and not _inside(spec, silent[str(spec.module_path)])]


def draw(size: int, seed: int, only: tuple[str, ...] = ()) -> list[Mutant]:
    """A sample without repeats, every mutant as likely as any other.

    Parameters
    ----------
    size : how many
    seed : the same seed draws the same mutants of the same text
    only : names of modules to draw from, such as ``physics/beam``; none is all
    """
    pool = [s for s in population() if not only or str(s.module_path)[len("trailerlib/") : -len(".py")] in only]
    chosen = random.Random(seed).sample(pool, len(pool))
    made: list[Mutant] = []
    for spec in chosen:
        if len(made) == size:
            break
        mutant = _made(spec)
        if mutant is not None:
            made.append(mutant)
    return made


def _made(spec: MutationSpec) -> Mutant | None:
    """The mutant, or None where its text is no Python or means the same."""
    before = Path(spec.module_path).read_text(encoding="utf-8")
    operator = get_operator(spec.operator_name)(**(spec.operator_args or {}))
    text = mutate_code(before, operator, spec.occurrence)
    if text is None:
        return None
    try:
        if ast.dump(ast.parse(text)) == ast.dump(ast.parse(before)):
            return None
    except SyntaxError:
        return None
    return Mutant(str(spec.module_path), *spec.start_pos, spec.operator_name.split("/")[1], text)


def _telling(operator: str) -> bool:
    name = operator.split("/")[1]
    if name.endswith("_Invert"):
        return False
    if not name.startswith("ReplaceBinaryOperator_"):
        return True
    old, new = name.split("_")[1:]
    return {old, new} <= ARITHMETIC or {old, new} <= BITS


def _annotations(path: Path) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Where text stands that never runs or only names types: annotations and names of types."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        here = [getattr(node, "annotation", None), getattr(node, "returns", None)]
        if isinstance(node, ast.Assign) and node in tree.body and isinstance(node.value, ast.BinOp):
            here.append(node.value if isinstance(node.value.op, ast.BitOr) else None)
        for part in here:
            if isinstance(part, ast.expr):
                yield (part.lineno, part.col_offset), (part.end_lineno or 0, part.end_col_offset or 0)


def _inside(spec: MutationSpec, places: tuple[tuple[tuple[int, int], tuple[int, int]], ...]) -> bool:
    return any(begin <= tuple(spec.start_pos) < end for begin, end in places)
