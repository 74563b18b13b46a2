"""Every public function says what its parameters are, in the order it takes them, with a unit where it takes a number.

All module-level public functions of the package are read, and the public methods of classes in ``physics``.
A function outside ``physics`` that takes no number may leave the list out; where there is one it must be whole.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any

import pytest

import trailerlib

LINE = re.compile(r"^ {0,4}(\*{0,2}\w+(?:, \*{0,2}\w+)*) : ?(.*)$")
TAKES_A_FUNCTION = re.compile(r"(Callable|Marked)\[.*\]")
NUMERIC = re.compile(r"\b(float|int|Number|NDArray|Floats)\b")


def modules() -> Iterator[ModuleType]:
    for found in pkgutil.walk_packages(trailerlib.__path__, "trailerlib."):
        if not found.name.endswith("__main__"):
            yield importlib.import_module(found.name)


def functions() -> Iterator[tuple[str, Callable[..., Any]]]:
    for module in modules():
        for name, thing in vars(module).items():
            if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(inspect.unwrap(thing)) if callable(thing) else False:
                yield f"{module.__name__}.{name}", inspect.unwrap(thing)
            elif inspect.isclass(thing) and module.__name__.startswith("trailerlib.physics."):
                yield from methods(module, thing)


def methods(module: ModuleType, owner: type) -> Iterator[tuple[str, Callable[..., Any]]]:
    for name, thing in vars(owner).items():
        function = thing.__func__ if isinstance(thing, (classmethod, staticmethod)) else thing
        if not name.startswith("_") and inspect.isfunction(function):
            yield f"{module.__name__}.{owner.__name__}.{name}", function


def section(doc: str, title: str) -> dict[str, str]:
    """The entries of one section of a docstring: name to text."""
    lines = inspect.cleandoc(doc).splitlines()
    starts = [i for i, line in enumerate(lines[:-1]) if line == title and set(lines[i + 1]) == {"-"}]
    entries: dict[str, str] = {}
    for i in range(starts[0] + 2 if starts else len(lines), len(lines)):
        if i + 1 < len(lines) and lines[i + 1] and set(lines[i + 1]) == {"-"}:
            break
        if found := LINE.match(lines[i]):
            entries.update({name.strip().lstrip("*"): found[2] for name in found[1].split(",")})
    return entries


def problems(function: Callable[..., Any]) -> list[str]:
    """What the docstring lacks; empty when it is whole."""
    doc = function.__doc__ or ""
    if not doc.strip():
        return ["no docstring"]
    parameters = {n: p for n, p in inspect.signature(function).parameters.items() if n not in ("self", "cls")}
    said = section(doc, "Parameters")
    numeric = any(NUMERIC.search(TAKES_A_FUNCTION.sub("", str(p.annotation))) for p in parameters.values())
    if not said and not numeric and not function.__module__.startswith("trailerlib.physics"):
        return []
    if list(said) != list(parameters):
        return [f"takes {', '.join(parameters) or 'nothing'}; the docstring lists {', '.join(said) or 'nothing'}"]
    return [
        f"{name} has no [unit]"
        for name, parameter in parameters.items()
        if NUMERIC.search(TAKES_A_FUNCTION.sub("", str(parameter.annotation)))
        and not re.match(r"\[[^\]]+\]", said[name])
    ]


ALL = dict(functions())


def test_the_walk_finds_the_package() -> None:
    assert "trailerlib.physics.conductor.loop_drop_v" in ALL and "trailerlib.physics.network.Tree.of" in ALL
    assert "trailerlib.reference.table" in ALL


@pytest.mark.parametrize("name", sorted(ALL))
def test_docstring_lists_the_parameters(name: str) -> None:
    assert problems(ALL[name]) == []


def test_the_checker_sees_what_is_wrong() -> None:
    def silent(a: float) -> float:
        return a

    def unitless(a: float, b: str) -> float:
        """Sum.

        Parameters
        ----------
        a : a number
        b : a text
        """
        return a

    def swapped(a: str, b: str) -> str:
        """Sum.

        Parameters
        ----------
        b : a text
        a : a text
        """
        return a

    def whole(a: float, *rest: float, **more: str) -> float:
        """Sum.

        Parameters
        ----------
        a : [m] a length, shape (n,)
        rest : [-] others
        more : texts

        Returns
        -------
        [m] a length
        """
        return a

    assert problems(silent) == ["no docstring"]
    assert problems(unitless) == ["a has no [unit]"]
    assert "takes a, b" in problems(swapped)[0]
    assert problems(whole) == []
