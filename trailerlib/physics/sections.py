"""Sections of bows, rails and headers: area, second moment and modulus about the axis a load from above bends.

Corners are sharp: a rolled or drawn tube has a little less at its rounded corners. Depth stands upright.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trailerlib.physics.formula import Number, formula

_GEOMETRY = "geometry of rectangles; parallel axis theorem"


@dataclass(frozen=True)
class Section:
    """A section about its level axis: ``area_m2`` [m²], ``second_m4`` [m4], the axis ``axis_m`` [m] above the bottom.

    ``modulus_m3`` [m³] is that of the edge farther away, where the stress is largest.
    """

    area_m2: Number
    second_m4: Number
    axis_m: Number
    modulus_m3: Number


@formula(
    r"\frac{@{width_m} \, @{depth_m}^{3} - @{hole_width_m} \, @{hole_depth_m}^{3}}{12}",
    symbols={"width_m": "b", "depth_m": "h", "hole_width_m": "b_{i}", "hole_depth_m": "h_{i}"},
    units={"width_m": "m", "depth_m": "m", "hole_width_m": "m", "hole_depth_m": "m", "return": "m4"},
    result="I",
    title="Second moment of a rectangle with a rectangle taken out of its middle",
    source=_GEOMETRY,
)
def box_second_m4(width_m: Number, depth_m: Number, hole_width_m: Number, hole_depth_m: Number) -> Number:
    """Second moment of a rectangle less one that has the same level axis.

    Parameters
    ----------
    width_m : [m] outside, level
    depth_m : [m] outside, upright
    hole_width_m : [m] of what is not there, level
    hole_depth_m : [m] of what is not there, upright

    Returns
    -------
    [m4] broadcast shape

    Source
    ------
    Geometry.
    """
    return (width_m * depth_m**3 - hole_width_m * hole_depth_m**3) / 12.0


@formula(
    r"\left( @{top_m} + 2 \, @{flange_m} + 2 \, @{depth_m} - 4 \, @{thickness_m} \right) \, @{thickness_m}",
    symbols={"top_m": "b", "flange_m": "c", "depth_m": "h", "thickness_m": "t"},
    units={"top_m": "m", "flange_m": "m", "depth_m": "m", "thickness_m": "m", "return": "m²"},
    result="A",
    title="Area of a hat",
    source=_GEOMETRY,
)
def hat_area_m2(top_m: Number, depth_m: Number, flange_m: Number, thickness_m: Number) -> Number:
    """Area of a hat section: top, two webs, two flanges.

    Parameters
    ----------
    top_m : [m] width of the top, outside
    depth_m : [m] outside, upright
    flange_m : [m] width of one flange, the foot of its web included
    thickness_m : [m] of the sheet

    Returns
    -------
    [m²] broadcast shape

    Source
    ------
    Geometry.
    """
    return (top_m + 2.0 * flange_m + 2.0 * depth_m - 4.0 * thickness_m) * thickness_m


@formula(
    r"\frac{@{second_m4}}{\max \left( @{axis_m}, @{depth_m} - @{axis_m} \right)}",
    symbols={"second_m4": "I", "axis_m": "y", "depth_m": "h"},
    units={"second_m4": "m4", "axis_m": "m", "depth_m": "m", "return": "m³"},
    result="S",
    title="Section modulus of the farther edge",
    source="definition of the section modulus",
)
def section_modulus_m3(second_m4: Number, axis_m: Number, depth_m: Number) -> Number:
    """Second moment over the distance of the farther edge.

    Parameters
    ----------
    second_m4 : [m4] about the level axis
    axis_m : [m] of that axis above the bottom
    depth_m : [m] outside, upright

    Returns
    -------
    [m³] broadcast shape

    Source
    ------
    Definition.
    """
    return second_m4 / np.maximum(axis_m, depth_m - axis_m)


def rectangle(width_m: Number, depth_m: Number) -> Section:
    """A solid bar or a board on edge.

    Parameters
    ----------
    width_m : [m] level
    depth_m : [m] upright

    Returns
    -------
    Section, broadcast shape

    Raises
    ------
    ValueError
        When a size is not above zero.
    """
    _sizes("rectangle", width_m, depth_m)
    return _even(width_m * depth_m, box_second_m4(width_m, depth_m, 0.0, 0.0), depth_m)


def tube(width_m: Number, depth_m: Number, wall_m: Number) -> Section:
    """A square or rectangular tube.

    Parameters
    ----------
    width_m : [m] outside, level
    depth_m : [m] outside, upright
    wall_m : [m] thickness of the wall

    Returns
    -------
    Section, broadcast shape

    Raises
    ------
    ValueError
        When a size is not above zero or the walls leave no room inside.
    """
    inside, high = width_m - 2.0 * wall_m, depth_m - 2.0 * wall_m
    _sizes("tube", width_m, depth_m, wall_m, inside, high)
    return _even(width_m * depth_m - inside * high, box_second_m4(width_m, depth_m, inside, high), depth_m)


def hat(top_m: Number, depth_m: Number, flange_m: Number, thickness_m: Number) -> Section:
    """A hat section, flanges down.

    Parameters
    ----------
    top_m : [m] width of the top, outside
    depth_m : [m] outside, upright
    flange_m : [m] width of one flange, the foot of its web included
    thickness_m : [m] of the sheet

    Returns
    -------
    Section, broadcast shape

    Raises
    ------
    ValueError
        When a size is not above zero or the sheet leaves no room inside.
    """
    web = depth_m - 2.0 * thickness_m
    _sizes("hat", top_m - 2.0 * thickness_m, web, flange_m, thickness_m)
    found = _of_rectangles(
        depth_m,
        (top_m, thickness_m, depth_m - thickness_m / 2.0),
        (2.0 * thickness_m, web, depth_m / 2.0),
        (2.0 * flange_m, thickness_m, thickness_m / 2.0),
    )
    return Section(hat_area_m2(top_m, depth_m, flange_m, thickness_m), found.second_m4, found.axis_m, found.modulus_m3)


def _even(area_m2: Number, second_m4: Number, depth_m: Number) -> Section:
    return Section(area_m2, second_m4, depth_m / 2.0, section_modulus_m3(second_m4, depth_m / 2.0, depth_m))


def _of_rectangles(depth_m: Number, *parts: tuple[Number, Number, Number]) -> Section:
    """Rectangles side by side and on top of one another: width, depth and height of the middle of each."""
    area: Number = sum((width * depth for width, depth, _ in parts), 0.0)
    axis = sum((width * depth * middle for width, depth, middle in parts), 0.0) / area
    second: Number = sum(
        (
            box_second_m4(width, depth, 0.0, 0.0) + width * depth * (middle - axis) ** 2
            for width, depth, middle in parts
        ),
        0.0,
    )
    return Section(area, second, axis, section_modulus_m3(second, axis, depth_m))


def _sizes(what: str, *sizes_m: Number) -> None:
    if not all(bool(np.all(np.asarray(size) > 0.0)) for size in sizes_m):
        raise ValueError(f"{what}: every size must be above zero and the sheet must leave room between its walls.")
