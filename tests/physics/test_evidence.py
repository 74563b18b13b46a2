"""How well a guess explains readings, against scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import multivariate_normal, uniform

from trailerlib.physics import evidence


def spread(seed: int, k: int = 4, q: int = 3) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    return rng.normal(size=(k, q)), rng.uniform(0.2, 2.0, k), rng.normal(size=k)


def test_an_accuracy_stated_as_a_limit_is_an_even_spread():
    # JCGM 100 4.3.7 by the reference library's own even distribution
    assert evidence.standard_uncertainty(0.5) == pytest.approx(uniform(loc=-0.5, scale=1.0).std(), rel=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_the_density_is_that_of_a_reference_library(seed):
    slope, variance, off = spread(seed)
    whole = slope @ slope.T + np.diag(variance)
    found = evidence.log_density(evidence.Whitened.of(slope, variance), off)
    assert found == pytest.approx(multivariate_normal(cov=whole).logpdf(off), rel=1e-10)


@pytest.mark.parametrize("stretch", [0.01, 1.0, 30.0, 4000.0])
@pytest.mark.parametrize("seed", range(4))
def test_a_stretch_of_sizes_is_the_integral_over_it(seed, stretch):
    slope, variance, off = spread(seed)
    step = np.random.default_rng(seed + 99).normal(size=4) * stretch
    at = 0.37  # readings near the stretch, else there is nothing to add up
    deviation = at * step + 0.5 * off
    normal = multivariate_normal(cov=slope @ slope.T + np.diag(variance))
    whole, _ = quad(
        lambda t: math.exp(normal.logpdf(deviation - t * step)), 0.0, 1.0, points=[at], epsabs=1e-14, limit=400
    )
    whitened = evidence.Whitened.of(slope, variance)
    fit = evidence.along_sizes(whitened, deviation, whitened.flat(step))
    assert float(fit.log_density) == pytest.approx(math.log(whole), abs=1e-6)


def test_far_from_the_stretch_nothing_overflows():
    whitened = evidence.Whitened.of(np.zeros((1, 2, 1)), np.ones((1, 2)))
    fit = evidence.along_sizes(whitened, np.full((1, 2), 60.0), whitened.flat(np.full((1, 2), -1.0)))
    assert np.isfinite(fit.log_density).all() and fit.best[0] == 0.0


@given(st.lists(st.floats(-700, 700), min_size=1, max_size=8))
def test_shares_add_up_to_one(weights):
    found = evidence.shares(np.array(weights))
    assert found.sum() == pytest.approx(1.0) and (found >= 0.0).all()


def _exact_bits(share: np.ndarray, mean: np.ndarray, deviation: np.ndarray) -> float:
    """Mutual information by a fine sum over the reading."""
    grid = np.linspace((mean - 8 * deviation).min(), (mean + 8 * deviation).max(), 40001)
    density = (
        np.exp(-0.5 * ((grid - mean[:, None]) / deviation[:, None]) ** 2) / deviation[:, None] / math.sqrt(2 * math.pi)
    )
    mixed = share @ density
    safe = np.where(density > 0, density, 1.0)
    return float(
        share @ ((density * np.log2(safe / np.where(mixed > 0, mixed, 1.0))).sum(axis=1) * (grid[1] - grid[0]))
    )


@settings(max_examples=40)
@given(st.lists(st.tuples(st.floats(0.05, 1), st.floats(-5, 5), st.floats(0.3, 2)), min_size=2, max_size=5))
def test_what_a_reading_tells_is_never_claimed_too_large(guesses):
    share, mean, deviation = (np.array(part) for part in zip(*guesses, strict=True))
    share = share / share.sum()
    found = float(evidence.told_apart_bits(share, mean, deviation))
    assert -1e-9 <= found <= _exact_bits(share, mean, deviation) + 1e-6


def test_two_guesses_far_apart_are_one_bit_and_alike_none():
    half = np.array([0.5, 0.5])
    assert float(evidence.told_apart_bits(half, np.array([0.0, 100.0]), np.ones(2))) == pytest.approx(1.0, abs=1e-9)
    assert float(evidence.told_apart_bits(half, np.array([3.0, 3.0]), np.ones(2))) == pytest.approx(0.0, abs=1e-12)
