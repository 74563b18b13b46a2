"""How well a guess explains readings: normal spread with what readings share, over every size the guess may have."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trailerlib.physics.formula import Number, formula

Floats = NDArray[np.float64]


@formula(
    r"\frac{@{half_width}}{\sqrt{3}}",
    symbols={"half_width": "a"},
    units={"half_width": "-", "return": "-"},
    result="u",
    title="Standard uncertainty of an accuracy that is only stated as a limit",
    source="JCGM 100 (GUM) 4.3.7: every value within the limits is equally likely",
)
def standard_uncertainty(half_width: Number) -> Number:
    """Standard uncertainty of a reading whose accuracy is stated as plus or minus a limit.

    Parameters
    ----------
    half_width : [any] the limit

    Returns
    -------
    [the same] standard uncertainty

    Source
    ------
    JCGM 100 4.3.7.
    """
    return half_width / math.sqrt(3.0)


@dataclass(frozen=True)
class Fit:
    """Log density of the readings over the stretches between neighbouring sizes, and where each fits best.

    ``log_density`` of each stretch, all its sizes alike; ``best`` the place on the stretch, 0 to 1, that explains the
    readings best; ``width`` its standard uncertainty, infinite where the size does not matter.
    """

    log_density: Floats
    best: Floats
    width: Floats


@dataclass(frozen=True)
class Whitened:
    """Spread of the readings taken apart, for one or many guesses.

    ``root`` (..., k, k) turns deviations into independent ones of spread 1; ``half_log`` (...) is half the log of the
    determinant of the spread.
    """

    root: Floats
    half_log: Floats

    @classmethod
    def of(cls, slope: Floats, variance: Floats) -> Whitened:
        """Spread from what the readings share and what each has of its own.

        Parameters
        ----------
        slope : [-] change of k readings per standard deviation of q shared things, (..., k, q)
        variance : [-] square of the standard uncertainty that each reading has alone, (..., k), above 0
        """
        spread = slope @ slope.swapaxes(-1, -2)
        place = np.arange(spread.shape[-1])
        spread[..., place, place] += variance
        lower = np.linalg.cholesky(spread)
        half_log: Floats = np.log(np.diagonal(lower, axis1=-2, axis2=-1)).sum(axis=-1)
        return cls(np.linalg.inv(lower), half_log)

    def __getitem__(self, which: Any) -> Whitened:
        """The spread of some of the guesses."""
        return Whitened(self.root[which], self.half_log[which])

    def flat(self, deviation: Floats) -> Floats:
        """Deviations in standard, independent form.

        Parameters
        ----------
        deviation : [-] of the readings, (..., k)

        Returns
        -------
        [-] independent, of spread 1, (..., k)
        """
        turned: Floats = (self.root @ deviation[..., np.newaxis])[..., 0]
        return turned


def log_density(whitened: Whitened, deviation: Floats) -> Floats:
    """Log of the normal density of deviations from what is expected.

    Parameters
    ----------
    whitened : spread, (..., k, k)
    deviation : [-] reading less expected, (..., k)

    Returns
    -------
    (...) log density
    """
    return _density(whitened, whitened.flat(deviation))


def _density(whitened: Whitened, flat: Floats) -> Floats:
    density: Floats = -0.5 * (flat**2).sum(axis=-1) - whitened.half_log - 0.5 * flat.shape[-1] * math.log(2.0 * math.pi)
    return density


def along_sizes(whitened: Whitened, deviation: Floats, way: Floats) -> Fit:
    """Density of readings whose expected value lies anywhere on a straight stretch between two sizes.

    Parameters
    ----------
    whitened : spread on each stretch, (..., k, k)
    deviation : [-] reading less what is expected at the stretch's beginning, (..., k)
    way : [-] ``whitened.flat`` of what is expected at its end less that at its beginning, (..., k): it stays while
        the readings change

    Returns
    -------
    Fit, each of its arrays (...).

    Source
    ------
    Integral of a normal density along a line, in closed form with the error function.
    """
    from scipy.special import log_ndtr

    off = whitened.flat(deviation)
    square, along = (way**2).sum(axis=-1), (off * way).sum(axis=-1)
    moves = square > 1e-10
    safe = np.where(moves, square, 1.0)
    root, centre = np.sqrt(safe), along / safe
    inside = _log_between(-centre * root, (1.0 - centre) * root, log_ndtr)
    bend = 0.5 * along * centre + 0.5 * np.log(2.0 * math.pi / safe) + inside
    return Fit(
        _density(whitened, off) + np.where(moves, bend, 0.5 * along),
        np.where(moves, np.clip(centre, 0.0, 1.0), 0.5),
        np.where(moves, 1.0 / root, np.inf),
    )


def _log_between(low: Floats, high: Floats, log_ndtr: np.ufunc) -> Floats:
    """Log of the normal probability between two ends, without loss in either tail."""
    flip = low > 0.0
    first, last = np.where(flip, -high, low), np.where(flip, -low, high)
    upper, lower = log_ndtr(last), log_ndtr(first)
    between: Floats = upper + np.log1p(-np.exp(np.minimum(lower - upper, -1e-15)))
    return between


def shares(log_weights: Floats) -> Floats:
    """Shares that add up to 1, from logs of weights of any size.

    Parameters
    ----------
    log_weights : [-] (h,)
    """
    raised = np.exp(log_weights - log_weights.max())
    total: Floats = raised / raised.sum()
    return total


def told_apart_bits(share: Floats, mean: Floats, deviation: Floats) -> Floats:
    """What one more reading would tell at least about which of several guesses is right, on average.

    Parameters
    ----------
    share : [-] of each guess as things stand, adding up to 1, (h,)
    mean : [any] what each says the reading will be, (h, ...)
    deviation : [the same] standard uncertainty of that, (h, ...), above 0

    Returns
    -------
    [bit] lower bound of the mutual information of guess and reading, (...); 0 when all say the same

    Source
    ------
    Kolchinsky and Tracey 2017, Entropy 19(7) 361: bound by the Bhattacharyya distance of each pair.
    """
    variance = deviation**2
    both = variance[:, np.newaxis] + variance
    apart = 0.25 * (mean[:, np.newaxis] - mean) ** 2 / both
    apart += 0.5 * np.log(both / (2.0 * deviation[:, np.newaxis] * deviation))
    seen = np.tensordot(share, np.exp(-apart), axes=(0, 1))
    bits: Floats = -np.tensordot(share, np.log2(np.maximum(seen, 1e-300)), axes=(0, 0))
    return np.maximum(bits, 0.0)
