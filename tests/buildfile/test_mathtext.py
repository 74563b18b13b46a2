"""Every formula of the library can be set on the page."""

from __future__ import annotations

import importlib
import pkgutil

import pytest
import typst

import trailerlib.physics
from trailerlib.buildfile.mathtext import MathError, typeset, unit
from trailerlib.physics.formula import Formula, registry

for module in pkgutil.iter_modules(trailerlib.physics.__path__):
    importlib.import_module(f"trailerlib.physics.{module.name}")


def compiles(markup: str) -> bool:
    """Whether the page template's maths takes it."""
    return bool(typst.compile(f"#set document(date: none)\n$ {markup} $".encode()))


def test_there_are_formulas() -> None:
    assert len(registry()) > 20


@pytest.mark.parametrize("mark", registry(), ids=lambda mark: mark.name)
def test_formula_compiles(mark: Formula) -> None:
    whole = f"{typeset(mark.result)} = {typeset(mark.symbolic)}{unit(mark.units['return'])}"
    inputs = [f"{typeset(mark.symbols[name])} = 1{unit(mark.units[name])}" for name in mark.symbols]
    assert compiles(", ".join([whole, *inputs]))


@pytest.mark.parametrize(
    ("latex", "markup"),
    [
        (r"\frac{P}{\cos \phi}", "frac(P, cos ϕ)"),
        (r"k_{lay}", 'attach(k, b: upright("lay"))'),
        (r"I^{2}", 'attach(I, t: "2")'),
        (r"\sqrt{x}", "sqrt(x)"),
        (r"1.7 \times 10^{-8}", '"1.7" times attach("10", t: - "8")'),
        (r"\text{drop}", 'upright("drop")'),
        (r"x^{\frac{1}{0.65}}", 'attach(x, t: "1" \\/ "0.65")'),
        (r"92^{\frac{36 - n}{39}}", 'attach("92", t: \\( "36" - n \\) \\/ "39")'),
    ],
)
def test_latex_becomes_markup(latex: str, markup: str) -> None:
    assert typeset(latex) == markup
    assert compiles(markup)


def test_what_cannot_be_set_is_an_error() -> None:
    with pytest.raises(MathError, match="teach mathtext"):
        typeset(r"\begin{matrix} a & b \end{matrix}")


def test_pure_numbers_have_no_unit() -> None:
    assert unit("-") == "" and compiles("x" + unit("A·s^½/mm²"))
