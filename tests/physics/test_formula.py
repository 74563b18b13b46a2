"""The mark on a formula: it refuses what does not fit, and what it shows is what is computed."""

from __future__ import annotations

import importlib
import pkgutil
from typing import Any

import numpy as np
import pytest
from formula_cases import CASES
from latex_value import latex_value

from trailerlib import physics
from trailerlib.physics import conductor, formula

for module in pkgutil.iter_modules(physics.__path__):
    importlib.import_module(f"trailerlib.physics.{module.name}")

ALL = [(function, case) for function, cases in CASES.items() for case in cases]
IDS = [f"{function.__name__}-{i}" for i, (function, _) in enumerate(ALL)]


def exact(function: Any, case: dict[str, float]) -> str:
    """The right side with every digit of the numbers, where the working shows four."""
    worked = formula.worked(function, **case)
    latex = function.formula.latex.replace(r"\,", r"\cdot")
    by_symbol = {symbol: value for symbol, value, _ in worked.inputs}
    for name, symbol in function.formula.symbols.items():
        latex = latex.replace(f"@{{{name}}}", rf"\left( {by_symbol[symbol]:.17f} \right)")
    return latex


def test_every_formula_has_a_case() -> None:
    names = [mark.name for mark in formula.registry()]
    assert sorted(function.__name__ for function in CASES) == sorted(names) and len(names) == len(set(names))


@pytest.mark.parametrize(("function", "case"), ALL, ids=IDS)
def test_the_latex_computes_what_the_function_computes(function: Any, case: dict[str, float]) -> None:
    assert latex_value(exact(function, case)) == pytest.approx(float(function(**case)), rel=1e-10, abs=1e-12)


@pytest.mark.parametrize(("function", "case"), ALL, ids=IDS)
def test_the_substitution_shown_leads_to_the_value_shown(function: Any, case: dict[str, float]) -> None:
    worked = formula.worked(function, **case)
    assert worked.value == float(function(**case))
    assert latex_value(worked.substitution) == pytest.approx(worked.value, rel=3e-3, abs=1e-9)  # four figures shown


@pytest.mark.parametrize("mark", formula.registry(), ids=lambda mark: mark.name)
def test_every_formula_converts_to_mathml(mark: formula.Formula) -> None:
    from latex2mathml.converter import convert

    for latex in (mark.symbolic, mark.result, *mark.symbols.values()):
        found = convert(latex)
        assert found.startswith("<math") and "@" not in found and "\\" not in found


@pytest.mark.parametrize("mark", formula.registry(), ids=lambda mark: mark.name)
def test_every_formula_names_title_source_and_units(mark: formula.Formula) -> None:
    assert mark.title and mark.source and mark.result
    assert set(mark.units) == {*mark.symbols, "return"} and all(mark.units.values())
    assert len(set(mark.symbols.values())) == len(mark.symbols), "two parameters share a symbol"


@pytest.mark.parametrize("function", list(CASES), ids=lambda function: function.__name__)
def test_formulas_broadcast_like_their_scalars(function: Any) -> None:
    case = CASES[function][0]
    column = {name: np.array([[value], [value * 1.1]]) for name, value in case.items()}
    first, *rest = case
    column[first] = case[first] * np.array([1.0, 1.01, 1.02])
    wide = np.asarray(function(**column))
    for row in range(2 if rest else 1):
        for at in range(3):
            alone = {n: float(np.asarray(v).ravel()[at if n == first else row]) for n, v in column.items()}
            index = (row, at) if rest else (at,)
            assert wide[index] == pytest.approx(float(function(**alone)), rel=1e-12)


def test_worked_fills_in_defaults_and_shows_units_beside() -> None:
    worked = formula.worked(conductor.resistance_per_m, area_m2=3.31e-6, temperature_c=20.0)
    assert ("k_{lay}", 1.02, "-") in worked.inputs
    assert r"3.31 \times 10^{-6}" in worked.substitution and "1.02" in worked.substitution
    assert worked.unit == "Ω/m" and "m²" not in worked.substitution


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1.7241e-8, r"1.724 \times 10^{-8}"),
        (0.00521, "0.00521"),
        (6.096, "6.096"),
        (20.0, "20"),
        (83.6931, "83.69"),
        (1234.56, "1235"),
        (101325.0, r"1.013 \times 10^{5}"),
        (-3.25, "-3.25"),
        (0.0, "0"),
        (5e6, r"5 \times 10^{6}"),
        (0.0009, r"9 \times 10^{-4}"),
        (1.0001, "1"),
        (99999.7, r"1 \times 10^{5}"),
        (100000.0, r"1 \times 10^{5}"),
        (99999.0, "99999"),
        (-100000.0, r"-1 \times 10^{5}"),
    ],
)
def test_numbers_are_written_with_four_figures(value: float, text: str) -> None:
    assert formula.number_latex(value) == text


def test_negative_numbers_and_powers_of_ten_stand_in_brackets() -> None:
    ratio = formula.worked(conductor.resistance_ratio, from_c=-20.0, to_c=40.0)
    assert r"234.5 + \left( -20 \right)" in ratio.substitution
    area = formula.worked(conductor.round_area_m2, diameter_m=4e6)
    assert r"\left( 4 \times 10^{6} \right)^{2}" in area.substitution


@pytest.mark.parametrize(
    ("inputs", "words"),
    [
        ({"current_a": np.ones(3), "ohm_per_m": 1.0, "run_m": 1.0}, "current_a must be one plain number"),
        ({"current_a": "ten", "ohm_per_m": 1.0, "run_m": 1.0}, "current_a must be one plain number"),
        ({"current_a": True, "ohm_per_m": 1.0, "run_m": 1.0}, "current_a must be one plain number"),
        ({"current_a": 1.0, "ohm_per_m": 1.0}, "run_m"),
        ({"current_a": 1.0, "ohm_per_m": 1.0, "run_ft": 1.0}, "run_ft"),
    ],
)
def test_worked_refuses_what_it_cannot_show(inputs: dict[str, Any], words: str) -> None:
    with pytest.raises(TypeError, match=words):
        formula.worked(conductor.loop_drop_v, **inputs)


def test_worked_refuses_unmarked_functions_and_endless_results() -> None:
    with pytest.raises(TypeError, match="carries no formula"):
        formula.worked(len)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="not one finite number"):
        formula.worked(conductor.loop_drop_v, current_a=float("inf"), ohm_per_m=1.0, run_m=1.0)


@pytest.mark.parametrize(
    ("latex", "symbols", "units", "words"),
    [
        (r"@{a}", {"a": "a"}, {"a": "A"}, "return has no unit"),
        (r"@{a}", {}, {"a": "A", "return": "V"}, "a has no symbol"),
        (r"@{a}", {"a": "a"}, {"return": "V"}, "a has no unit"),
        (r"@{a} + @{b}", {"a": "a"}, {"a": "A", "return": "V"}, "token @{b}"),
        (r"2", {"a": "a"}, {"a": "A", "return": "V"}, "a does not appear"),
        (r"@{a}", {"a": "a", "b": "b"}, {"a": "A", "return": "V"}, "b is no parameter"),
    ],
)
def test_the_mark_refuses_a_formula_that_does_not_fit(
    latex: str, symbols: dict[str, str], units: dict[str, str], words: str
) -> None:
    before = formula.registry()
    with pytest.raises(formula.FormulaError, match=words):

        @formula.formula(latex, symbols=symbols, units=units, result="x", title="t", source="s")
        def odd(a: float) -> float:
            return a

    assert formula.registry() == before
