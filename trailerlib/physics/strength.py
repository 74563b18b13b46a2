"""How much a bow may bear: weight and stress with road shock, against yield over a safety factor."""

from __future__ import annotations

from trailerlib.physics.formula import Number, formula


@formula(
    r"@{weight_n} \, @{shock}",
    symbols={"weight_n": "W", "shock": "k"},
    units={"weight_n": "N", "shock": "-", "return": "N"},
    result="F",
    title="Weight with road shock",
    source="the road shock factor is an assumption of the designer",
)
def shaken_n(weight_n: Number, shock: Number) -> Number:
    """What a weight becomes on a rough road, as a load that stands still.

    Parameters
    ----------
    weight_n : [N] standing still
    shock : [-] road shock factor

    Returns
    -------
    [N] broadcast shape

    Source
    ------
    Newton's second law.
    """
    return weight_n * shock


@formula(
    r"\frac{@{shock} \, @{moment_nm}}{@{modulus_m3}}",
    symbols={"shock": "k", "moment_nm": "M", "modulus_m3": "S"},
    units={"shock": "-", "moment_nm": "N·m", "modulus_m3": "m³", "return": "Pa"},
    result=r"\sigma",
    title="Bending stress with road shock",
    source="elastic bending of a beam; the road shock factor is an assumption of the designer",
)
def bending_stress_pa(moment_nm: Number, modulus_m3: Number, shock: Number) -> Number:
    """Stress at the farther edge: what stands still gives, times the road shock.

    Parameters
    ----------
    moment_nm : [N m] standing still
    modulus_m3 : [m3] of the section
    shock : [-] road shock factor, 1 standing still

    Returns
    -------
    [Pa] broadcast shape

    Source
    ------
    Elastic bending.
    """
    return shock * moment_nm / modulus_m3


@formula(
    r"\frac{@{shock} \, @{shear_n}}{@{web_m2}}",
    symbols={"shear_n": "V", "web_m2": "A_{w}", "shock": "k"},
    units={"shear_n": "N", "web_m2": "m²", "shock": "-", "return": "Pa"},
    result=r"\tau",
    title="Shear stress with road shock",
    source="shear over the webs, as steel and aluminium manuals take it (from memory)",
)
def shear_stress_pa(shear_n: Number, web_m2: Number, shock: Number) -> Number:
    """Mean shear in the webs: what stands still gives, times the road shock.

    Parameters
    ----------
    shear_n : [N] standing still
    web_m2 : [m2] of all webs, two thirds of a solid bar, whose peak is half as much again as the mean
    shock : [-] road shock factor, 1 standing still

    Returns
    -------
    [Pa] broadcast shape

    Source
    ------
    Shear over the webs (from memory); the parabola of a solid bar.
    """
    return shock * shear_n / web_m2


@formula(
    r"\frac{@{yield_pa}}{@{safety}}",
    symbols={"yield_pa": "F_{y}", "safety": r"\Omega"},
    units={"yield_pa": "Pa", "safety": "-", "return": "Pa"},
    result=r"\sigma_{a}",
    title="Allowable stress",
    source="allowable strength design",
)
def allowable_stress_pa(yield_pa: Number, safety: Number) -> Number:
    """Stress that is allowed: yield over a safety factor. Beside a weld in aluminium the yield is much less.

    Parameters
    ----------
    yield_pa : [Pa] of the metal as it is there
    safety : [-] factor

    Returns
    -------
    [Pa] broadcast shape

    Source
    ------
    Allowable strength design.
    """
    return yield_pa / safety
