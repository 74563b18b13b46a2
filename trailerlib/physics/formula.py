"""The ``@formula`` mark: LaTeX, units and source on the function itself, and the working behind a number.

The LaTeX of a formula is written with the function's own parameters as tokens,
``@{current_a}``; a thin space ``\\,`` stands for a product and becomes a dot once
numbers take the place of the symbols.
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import ParamSpec, Protocol, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Number = float | NDArray[np.float64]

P = ParamSpec("P")
R_co = TypeVar("R_co", covariant=True)

_TOKEN = re.compile(r"@\{(\w*)\}")
_registry: dict[str, Formula] = {}


class FormulaError(ValueError):
    """A formula whose LaTeX, symbols or units do not fit the function it stands on."""


@dataclass(frozen=True)
class Formula:
    """What a function computes, as a person would write it.

    ``latex`` is the right side with ``@{parameter}`` tokens; ``units`` has one text
    for each parameter and one for ``return``.
    """

    name: str
    title: str
    latex: str
    symbols: Mapping[str, str]
    units: Mapping[str, str]
    result: str
    source: str

    @property
    def symbolic(self) -> str:
        """The right side in LaTeX with symbols in place of the tokens."""
        return _TOKEN.sub(lambda match: self.symbols[match[1]], self.latex)


class Marked(Protocol[P, R_co]):
    """A function that carries its formula."""

    formula: Formula
    __name__: str

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R_co: ...

    def __hash__(self) -> int: ...


@dataclass(frozen=True)
class Worked:
    """One number with the way to it: formula, the same with numbers, result, unit, source."""

    title: str
    result_symbol: str
    formula: str
    substitution: str
    value: float
    unit: str
    source: str
    inputs: tuple[tuple[str, float, str], ...]


def formula(
    latex: str, *, symbols: Mapping[str, str], units: Mapping[str, str], result: str, title: str, source: str
) -> Callable[[Callable[P, R_co]], Marked[P, R_co]]:
    """Mark a function with the formula it computes and enter it in the registry.

    Parameters
    ----------
    latex : right side in LaTeX, parameters as ``@{name}``
    symbols : LaTeX symbol of each parameter
    units : unit text of each parameter, and of ``return``
    result : LaTeX symbol of the result
    title : what the formula gives, in a few words
    source : publication and clause

    Returns
    -------
    A decorator that hands the function back with ``.formula`` on it.

    Raises
    ------
    FormulaError
        When a parameter lacks a symbol, a unit or a place in the LaTeX, or a token is unknown.
    """

    def mark(function: Callable[P, R_co]) -> Marked[P, R_co]:
        marked = cast(Marked[P, R_co], function)
        parameters = tuple(inspect.signature(function).parameters)
        _check(marked.__name__, parameters, latex, symbols, units)
        marked.formula = Formula(
            marked.__name__,
            title,
            latex,
            MappingProxyType(dict(symbols)),
            MappingProxyType(dict(units)),
            result,
            source,
        )
        _registry[f"{function.__module__}.{marked.__name__}"] = marked.formula
        return marked

    return mark


def registry() -> tuple[Formula, ...]:
    """Every formula marked so far, in the order of import.

    Returns
    -------
    Formulas of the physics modules that have been imported.
    """
    return tuple(_registry.values())


def worked(function: Marked[..., Number], **inputs: float) -> Worked:
    """The working behind one number: the formula, the numbers put in, the result.

    Parameters
    ----------
    function : a function marked with ``@formula``
    inputs : [-] its parameters by name, each a plain number in the unit its name carries

    Returns
    -------
    Worked, with parameters that have a default filled in.

    Raises
    ------
    TypeError
        When the function is not marked, a parameter is missing or unknown, or a value is not one plain number.
    ValueError
        When the result is not a finite number.
    """
    mark = getattr(function, "formula", None)
    if not isinstance(mark, Formula):
        raise TypeError(f"{getattr(function, '__name__', function)} carries no formula; mark it with @formula.")
    values = _bind(function, mark, inputs)
    value = function(**values)
    if np.ndim(value) != 0 or not math.isfinite(float(value)):
        raise ValueError(f"{mark.name}: the result {value!r} is not one finite number, so there is no working to show.")
    shown = tuple((mark.symbols[name], number, mark.units[name]) for name, number in values.items())
    return Worked(
        mark.title, mark.result, mark.symbolic, _substitute(mark.latex, values), float(value), mark.units["return"],
        mark.source, shown,
    )  # fmt: skip


def number_latex(value: float) -> str:
    """A number as it is written in a working: four figures, a power of ten when very large or small.

    Parameters
    ----------
    value : [-] any finite number

    Returns
    -------
    LaTeX text such as ``1.724 \\times 10^{-8}``.
    """
    if value == int(value) and abs(value) < 1e5:
        return str(int(value))
    mantissa, exponent = f"{value:.3e}".split("e")
    power = int(exponent)
    if -3 <= power < 5:
        text = f"{value:.{max(0, 3 - power)}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    return rf"{mantissa.rstrip('0').rstrip('.')} \times 10^{{{power}}}"


def _check(
    name: str, parameters: tuple[str, ...], latex: str, symbols: Mapping[str, str], units: Mapping[str, str]
) -> None:
    tokens = set(_TOKEN.findall(latex))
    problems = [f"token @{{{token}}} is no parameter" for token in sorted(tokens - set(parameters))]
    problems += [f"parameter {p} does not appear in the LaTeX" for p in parameters if p not in tokens]
    problems += [f"parameter {p} has no symbol" for p in parameters if p not in symbols]
    problems += [f"{p} has no unit" for p in (*parameters, "return") if p not in units]
    problems += [f"{p} is no parameter" for p in sorted({*symbols, *units} - {*parameters, "return"})]
    if problems:
        raise FormulaError(f"formula on {name}: {'; '.join(problems)}.")


@cache
def _signature(function: Marked[..., Number]) -> inspect.Signature:
    return inspect.signature(function)


def _bind(function: Marked[..., Number], mark: Formula, inputs: Mapping[str, float]) -> dict[str, float]:
    for name, value in inputs.items():
        if name not in mark.symbols:
            raise TypeError(f"{mark.name} has no {name}; it takes {', '.join(mark.symbols)}.")
        if isinstance(value, bool) or np.ndim(value) != 0 or not isinstance(value, (int, float, np.number)):
            raise TypeError(f"{mark.name}: {name} must be one plain number to show its working, not {value!r}.")
    try:
        bound = _signature(function).bind(**inputs)
    except TypeError as error:
        raise TypeError(f"{mark.name}: {error}; it takes {', '.join(mark.symbols)}.") from None
    bound.apply_defaults()
    return {name: float(value) for name, value in bound.arguments.items()}


def _substitute(latex: str, values: Mapping[str, float]) -> str:
    def number(match: re.Match[str]) -> str:
        text = number_latex(values[match[1]])
        raised = latex[match.end() :].lstrip().startswith("^")
        return rf"\left( {text} \right)" if text.startswith("-") or (raised and r"\times" in text) else text

    return _TOKEN.sub(number, latex).replace(r"\,", r"\cdot")
