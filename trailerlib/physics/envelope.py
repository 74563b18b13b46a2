"""What a wall keeps out: layers in series, studs beside them, and how much heat the inside holds.

Paths side by side are joined by their U, never by their R. A stud of wood is a path of its own; a stud of metal draws
heat from the strip beside it as well, so that strip is taken as a zone in which each layer is joined by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trailerlib.physics.formula import Number, formula

LEAST_COVER_M = 0.0127  # half an inch of still air; the zone of a stud that touches the skin is no narrower
METAL_W_PER_MK = 10.0  # a stud that conducts better than this is reckoned by its zone


@dataclass(frozen=True)
class Layer:
    """One layer: ``thickness_m`` [m], ``conductivity`` [W/(m K)], what a cubic metre of it holds, ``heat_j_per_m3k``.

    ``between_studs`` says whether studs interrupt it; board and skin lie over them. Floats or arrays that broadcast.
    """

    thickness_m: Number
    conductivity: Number
    heat_j_per_m3k: Number = 0.0
    between_studs: bool = False


@dataclass(frozen=True)
class Stud:
    """What stands between the layers: ``conductivity`` [W/(m K)], ``width_m`` and ``depth_m`` [m], every ``spacing_m``
    [m]. ``wall_m`` is the wall of a tube [m]; None is solid.
    """

    conductivity: Number
    width_m: Number
    depth_m: Number
    spacing_m: Number
    wall_m: Number | None = None


@dataclass(frozen=True)
class Face:
    """What comes of it: ``u`` and, without studs, ``clear_u`` [W/(m2 K)]; ``framed_u`` of the share ``framed`` [-] that
    the studs rule; ``heat_j_per_m2k`` that follows the inside [J/(m2 K)]; ``method`` in words.
    """

    u: Number
    clear_u: Number
    framed_u: Number
    framed: Number
    heat_j_per_m2k: Number
    method: str


@formula(
    r"\frac{@{thickness_m}}{@{conductivity}}",
    symbols={"thickness_m": "d", "conductivity": "k"},
    units={"thickness_m": "m", "conductivity": "W/(m·K)", "return": "m²·K/W"},
    result="R",
    title="Resistance of one layer to heat",
    source="Fourier's law",
)
def layer_r(thickness_m: Number, conductivity: Number) -> Number:
    """How much one layer resists heat.

    Parameters
    ----------
    thickness_m : [m] across the layer
    conductivity : [W/(m K)] above zero

    Returns
    -------
    [m2 K/W] broadcast shape

    Source
    ------
    Fourier's law.
    """
    return thickness_m / conductivity


@formula(
    r"\frac{1}{@{outside_r} + @{layers_r} + @{inside_r}}",
    symbols={"outside_r": "R_{o}", "layers_r": r"R", "inside_r": "R_{i}"},
    units={"outside_r": "m²·K/W", "layers_r": "m²·K/W", "inside_r": "m²·K/W", "return": "W/(m²·K)"},
    result="U",
    title="Heat through one square metre for each kelvin, between the studs",
    source="resistances in series",
)
def clear_u(outside_r: Number, layers_r: Number, inside_r: Number) -> Number:
    """Transmittance of layers in series with the films of air on both sides.

    Parameters
    ----------
    outside_r : [m2 K/W] film of air outside
    layers_r : [m2 K/W] all layers together
    inside_r : [m2 K/W] film of air inside

    Returns
    -------
    [W/(m2 K)] broadcast shape

    Source
    ------
    Resistances in series, from air to air.
    """
    return 1.0 / (outside_r + layers_r + inside_r)


@formula(
    r"@{framed} \, @{framed_u} + \left( 1 - @{framed} \right) \, @{between_u}",
    symbols={"framed": "f", "framed_u": "U_{f}", "between_u": "U_{b}"},
    units={"framed": "-", "framed_u": "W/(m²·K)", "between_u": "W/(m²·K)", "return": "W/(m²·K)"},
    result="U",
    title="Paths side by side",
    source="ASHRAE Fundamentals, parallel paths (from memory)",
)
def side_by_side_u(framed: Number, framed_u: Number, between_u: Number) -> Number:
    """Transmittance of two paths that lie side by side, each for its share of the area.

    Parameters
    ----------
    framed : [-] share of the area that the studs rule, 0 to 1
    framed_u : [W/(m2 K)] there
    between_u : [W/(m2 K)] between

    Returns
    -------
    [W/(m2 K)] broadcast shape

    Source
    ------
    Heat flows add, so U is averaged and not R (ASHRAE Fundamentals, parallel paths: from memory).
    """
    return framed * framed_u + (1.0 - framed) * between_u


@formula(
    r"@{width_m} + 2 \, \max \left( @{cover_m} , 0.0127 \right)",
    symbols={"width_m": "m", "cover_m": "d"},
    units={"width_m": "m", "cover_m": "m", "return": "m"},
    result="W",
    title="Width of the strip that a metal stud drains",
    source="ASHRAE Fundamentals, zone method (from memory)",
)
def zone_width_m(width_m: Number, cover_m: Number) -> Number:
    """Width of the zone round a metal stud.

    Parameters
    ----------
    width_m : [m] of the metal where it meets the covering
    cover_m : [m] from the metal to the surface, on the side where it is more; half an inch at least

    Returns
    -------
    [m] broadcast shape

    Source
    ------
    ASHRAE Fundamentals, zone method (from memory).
    """
    return width_m + 2.0 * np.maximum(cover_m, LEAST_COVER_M)


@formula(
    r"\frac{@{thickness_m} \, @{zone_m}}{@{metal_m} \, @{metal_conductivity} + "
    r"\left( @{zone_m} - @{metal_m} \right) \, @{conductivity}}",
    symbols={
        "thickness_m": "d", "conductivity": "k", "metal_conductivity": "k_{m}", "metal_m": "w", "zone_m": "W",
    },
    units={"thickness_m": "m", "conductivity": "W/(m·K)", "metal_conductivity": "W/(m·K)", "metal_m": "m",
           "zone_m": "m", "return": "m²·K/W"},
    result="R_{z}",
    title="Resistance of a layer that metal crosses, over the width of its zone",
    source="ASHRAE Fundamentals, zone method (from memory)",
)  # fmt: skip
def crossed_r(
    thickness_m: Number, conductivity: Number, metal_conductivity: Number, metal_m: Number, zone_m: Number
) -> Number:
    """How much a layer resists heat where metal goes through it, metal and layer side by side.

    Parameters
    ----------
    thickness_m : [m] that the metal crosses
    conductivity : [W/(m K)] of the layer
    metal_conductivity : [W/(m K)] of the metal
    metal_m : [m] of metal in the zone, both walls of a tube together
    zone_m : [m] width of the zone

    Returns
    -------
    [m2 K/W] of the zone's area, broadcast shape

    Source
    ------
    ASHRAE Fundamentals, zone method (from memory): in the zone the conductances of a layer's parts add.
    """
    return thickness_m * zone_m / (metal_m * metal_conductivity + (zone_m - metal_m) * conductivity)


def face_of(outside_r: Number, layers: Sequence[Layer], inside_r: Number, stud: Stud | None = None) -> Face:
    """A face from its layers and studs.

    The stud begins where the first layer between studs begins, and ends after its depth or with the last such layer,
    whichever comes first; what is left of a layer beyond it covers it. A tube's flanges spread the heat sideways
    without loss, its hollow counts as the layer round it. What a skin of metal gathers from farther along is left out.

    Parameters
    ----------
    outside_r : [m2 K/W] film of air outside
    layers : from outside to inside
    inside_r : [m2 K/W] film of air inside
    stud : what stands between them, or None

    Returns
    -------
    Face, floats or arrays that broadcast.

    Raises
    ------
    ValueError
        When there is no layer, or a stud with no layer it could stand in.
    """
    if not layers:
        raise ValueError("a face needs at least one layer; give its skin.")
    resistances = [layer_r(layer.thickness_m, layer.conductivity) for layer in layers]
    total_r = sum(resistances[1:], resistances[0])
    clear = clear_u(outside_r, total_r, inside_r)
    heat = _heat_that_follows(outside_r, layers, resistances, clear)
    if stud is None:
        return Face(clear, clear, clear, 0.0 * clear, heat, "layers in series")
    crossed = _crossed(layers, stud.depth_m)
    if not any(layer.between_studs for layer in layers):
        raise ValueError("the studs stand in no layer; give the foam or the air space between them as a layer.")
    metal = np.asarray(stud.conductivity) > METAL_W_PER_MK
    strip_m = np.where(metal, zone_width_m(stud.width_m, _cover_m(layers, crossed)), stud.width_m)
    strip_m = np.minimum(strip_m, stud.spacing_m)
    solid_m = np.minimum(stud.width_m if stud.wall_m is None else 2.0 * stud.wall_m, strip_m)
    web = 1.0 if stud.wall_m is None else np.maximum(0.0, 1.0 - 2.0 * stud.wall_m / stud.depth_m)
    parts = [
        layer_r(layer.thickness_m - depth, layer.conductivity)
        + crossed_r(depth * web, layer.conductivity, stud.conductivity, solid_m, strip_m)
        for layer, depth in zip(layers, crossed, strict=True)
    ]
    framed_u = clear_u(outside_r, sum(parts[1:], parts[0]), inside_r)
    framed = strip_m / stud.spacing_m
    methods = [name for name, some in (("zone method", metal.any()), ("parallel paths", not metal.all())) if some]
    return Face(side_by_side_u(framed, framed_u, clear), clear, framed_u, framed, heat, " and ".join(methods))


def _crossed(layers: Sequence[Layer], depth_m: Number) -> list[Number]:
    """How deep the stud stands in each layer [m]."""
    left: Number = depth_m
    depths: list[Number] = []
    for layer in layers:
        depth = np.minimum(layer.thickness_m, left) if layer.between_studs else 0.0 * layer.thickness_m
        depths.append(depth)
        left = left - depth
    return depths


def _cover_m(layers: Sequence[Layer], crossed: Sequence[Number]) -> Number:
    """What covers the stud on the side where it is more [m]."""
    where = [n for n, layer in enumerate(layers) if layer.between_studs]
    first, last = where[0], where[-1]
    zero: Number = 0.0
    outside = sum((layer.thickness_m for layer in layers[:first]), start=zero)
    rest = sum((layers[n].thickness_m - crossed[n] for n in where), start=zero)
    inside = sum((layer.thickness_m for layer in layers[last + 1 :]), start=rest)
    return np.maximum(outside, inside)


def _heat_that_follows(
    outside_r: Number, layers: Sequence[Layer], resistances: Sequence[Number], clear: Number
) -> Number:
    """What the layers hold for each kelvin of the inside [J/(m2 K)]: each by how far its middle follows.

    In a steady state a place has that share of the difference of temperature which lies outside of it as resistance.
    """
    heat: Number = 0.0 * clear
    passed: Number = outside_r
    for layer, resistance in zip(layers, resistances, strict=True):
        follows = (passed + 0.5 * resistance) * clear
        heat = heat + layer.heat_j_per_m3k * layer.thickness_m * follows
        passed = passed + resistance
    return heat
