"""Lines of the table of ratios, and how they are timed."""

from __future__ import annotations

import importlib.util
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from types import ModuleType
from typing import Any

ROOT = Path(__file__).resolve().parent.parent.parent
Row = tuple[str, str, str, str, str, str]
HEAD: Row = ("what", "at", "ours / theirs [ms]", "ours min…max", "ratio", "target")


def load(path: Path) -> ModuleType:
    """A module by its path."""
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[path.stem] = module
    spec.loader.exec_module(module)
    return module


def p95(values: Sequence[float]) -> float:
    """The value that nineteen of twenty do not exceed."""
    return sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]


def timed(work: Callable[[], Any], times: int) -> list[float]:
    """How long each of so many runs takes [ms]."""
    found = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        found.append(1e3 * (time.perf_counter() - begun))
    return found


def row(what: str, ours: Sequence[float], theirs: Sequence[float], target: str, at: str = "median") -> Row:
    """One line of the table."""
    point = p95 if at == "p95" else statistics.median
    spread = f"{min(ours):.0f}…{max(ours):.0f}"
    pair = f"{point(ours):.1f} / {point(theirs):.1f}"
    return what, at, pair, spread, f"{point(ours) / point(theirs):.2f}", target


def alone(what: str, ours: Sequence[float], target: str) -> Row:
    """One line of the table for what stands beside nothing."""
    return what, "median", f"{statistics.median(ours):.1f}", f"{min(ours):.0f}…{max(ours):.0f}", "", target


def shown(rows: Sequence[Row]) -> str:
    """The table."""
    widths = [max(len(r[k]) for r in (HEAD, *rows)) for k in range(len(HEAD))]
    lines = ("  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)) for line in (HEAD, *rows))
    return "\n".join(line.rstrip() for line in lines)
