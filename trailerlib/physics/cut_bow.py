"""A bow that is cut for an opening: two stubs from the walls whose ends rest on headers between the neighbour bows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.beam import Bow, Loads
from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]

_SAME_SPRING = "the spring at the wall stays, the length it holds is shorter; derived from the end-fixity factor"


@formula(
    r"\frac{@{fixity} \, @{stub_m}}{@{fixity} \, @{stub_m} + \left( 1 - @{fixity} \right) \, @{span_m}}",
    symbols={"fixity": "f", "stub_m": "a", "span_m": "L"},
    units={"fixity": "-", "stub_m": "m", "span_m": "m", "return": "-"},
    result="f_{a}",
    title="Fixity of a stub at its wall",
    source=_SAME_SPRING,
)
def stub_fixity(fixity: Number, stub_m: Number, span_m: Number) -> Number:
    """How a stub is held at its wall, where the whole bow had this fixity.

    Parameters
    ----------
    fixity : [-] of the whole bow at this wall
    stub_m : [m] from the wall to the cut
    span_m : [m] of the whole bow

    Returns
    -------
    [-] broadcast shape

    Source
    ------
    The spring of the wall does not change.
    """
    return fixity * stub_m / (fixity * stub_m + (1.0 - fixity) * span_m)


@formula(
    r"\frac{3 \, @{ei_nm2} \, @{fixity}}{@{stub_m}^{3}}",
    symbols={"ei_nm2": "EI", "fixity": "f_{a}", "stub_m": "a"},
    units={"ei_nm2": "N·m²", "fixity": "-", "stub_m": "m", "return": "N/m"},
    result="k_{a}",
    title="What the cut end of a stub carries by itself",
    source="cantilever on a rotational spring",
)
def stub_tip_n_m(ei_nm2: Number, fixity: Number, stub_m: Number) -> Number:
    """Stiffness of the cut end of a stub: nothing where its wall is a hinge, all of it is then left to the header.

    Parameters
    ----------
    ei_nm2 : [N m2] E times I
    fixity : [-] of the stub at its wall
    stub_m : [m] from the wall to the cut

    Returns
    -------
    [N/m] broadcast shape

    Source
    ------
    Elastic line of a cantilever; turning of the spring.
    """
    return 3.0 * ei_nm2 * fixity / stub_m**3


@formula(
    r"@{force_n} \, \frac{@{other_m}}{@{near_m} + @{other_m}}",
    symbols={"force_n": "P", "near_m": "a", "other_m": "b"},
    units={"force_n": "N", "near_m": "m", "other_m": "m", "return": "N"},
    result="R",
    title="What a header hands to a neighbour bow",
    source="statics: a cut bow's load goes half and half when its neighbours are equally far",
)
def neighbour_load_n(force_n: Number, near_m: Number, other_m: Number) -> Number:
    """Load of a cut end that a header hands to one of the two bows it hangs on.

    Parameters
    ----------
    force_n : [N] of the cut end
    near_m : [m] from the cut bow to this neighbour
    other_m : [m] from the cut bow to the other neighbour

    Returns
    -------
    [N] broadcast shape

    Source
    ------
    Statics.
    """
    return force_n * other_m / (near_m + other_m)


def stubs(bow: Bow, own: Loads, across_m: Floats) -> tuple[tuple[Bow, Loads], tuple[Bow, Loads]]:
    """The two stubs of a cut bow, each from its wall inward, its inner end resting on a header that has not sunk yet.

    Parameters
    ----------
    bow : as it was before the cut
    own : what stands on it; the uniform load of the part cut out goes with it
    across_m : [m] where the headers lie, from the left end, shape (2,)

    Returns
    -------
    tuple
        Left and right, each a bow and its loads.

    Raises
    ------
    ValueError
        When a force stands where the bow is cut out.
    """
    span, at = np.asarray(bow.span_m, dtype=float), np.asarray(own.at_m, dtype=float)
    left, right = np.asarray(across_m[0], dtype=float), span - across_m[1]
    from_right = span[..., None] - at
    on_left, on_right = at <= left, from_right <= right[..., None]
    if not np.all(on_left | on_right | (np.asarray(own.force_n) == 0.0)):
        raise ValueError("Bow: a force stands in the opening, where the bow is cut out.")
    return (
        (_stub(bow, left, bow.left), _kept(own, on_left, np.where(on_left, at, 0.0))),
        (_stub(bow, right, bow.right), _kept(own, on_right, np.where(on_right, from_right, 0.0))),
    )


def _stub(bow: Bow, length_m: Floats, fixity: Number) -> Bow:
    return Bow(length_m, bow.ei_nm2, stub_fixity(fixity, length_m, bow.span_m), 0.0)


def _kept(own: Loads, here: NDArray[np.bool_], at_m: Floats) -> Loads:
    return replace(own, force_n=np.asarray(own.force_n) * here, at_m=at_m)
