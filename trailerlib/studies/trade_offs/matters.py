"""Which axis matters: how much of the spread of a metric each one makes, alone and with all it works together with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.errors import DesignError
from trailerlib.studies.answer import names
from trailerlib.studies.trade_offs.axes import Floats
from trailerlib.studies.trade_offs.candidates import Asked, Rows, axes_of, placed
from trailerlib.studies.trade_offs.choose import axis_words
from trailerlib.studies.trade_offs.desk import Desk
from trailerlib.studies.trade_offs.metrics import METRICS, Measuring, words_of
from trailerlib.studies.trade_offs.watched import Watched

SAMPLES = 512  # a power of two, as the sequence that is drawn from asks
LITTLE = 0.02
MOVED = 2  # the estimator wants two axes at least; where there is one, the second moves nothing


@dataclass(frozen=True)
class Share:
    """One axis: what of the spread it makes alone, and with all it works together with [-]."""

    axis: str
    alone: float
    whole: float


@dataclass(frozen=True)
class Matters:
    """Axes by how much they matter to one metric, the first the most; ``spread`` is its standard deviation."""

    metric: str
    shares: tuple[Share, ...]
    spread: float
    sentence: str


def matters(design: Design, axes: Asked, metric: str, samples: int = SAMPLES, seed: int = 1) -> Matters:
    """How much each axis matters to a metric, every value of an axis counted alike.

    Parameters
    ----------
    design : the design
    axes : what is varied
    metric : key of a metric
    samples : [-] a power of two
    seed : [-] of the sample

    Raises
    ------
    DesignError
        When there is no such metric, or it is not known for some candidate.

    Source
    ------
    Sobol's indices, Saltelli's estimator as ``scipy.stats.sobol_indices`` has it.
    """
    from scipy.stats import sobol_indices, uniform

    if metric not in METRICS:
        raise DesignError(f'there is no metric "{metric}"; there are: {", ".join(METRICS)}.')
    found = axes_of(axes)
    measuring = Measuring(Desk(Watched(design, found)), design, (metric,), ())
    seen: list[Floats] = []

    def measure(shares: Any) -> Floats:
        rows = Rows(found, [placed(axis, np.asarray(s)) for axis, s in zip(found, shares, strict=False)])
        values = measuring.of(rows)[metric]
        if np.isnan(values).any():
            raise DesignError(
                f"{words_of(metric)[0].lower()} is not known for {np.isnan(values).mean():.0%} of the candidates: "
                "what matters to it cannot be said. Leave out the values under which it cannot be worked out."
            )
        seen.append(values)
        return values

    rng = np.random.default_rng(seed)
    with np.errstate(all="ignore"):
        indices = sobol_indices(func=measure, n=samples, dists=[uniform()] * max(MOVED, len(found)), rng=rng)
    spread = float(np.concatenate(seen).std())
    still = spread <= 1e-12 * max(1.0, float(np.abs(seen[0]).max()))
    firsts, totals = np.ravel(indices.first_order), np.ravel(indices.total_order)
    shares = [
        Share(axis_words(axis), 0.0 if still else float(first), 0.0 if still else float(total))
        for axis, first, total in zip(found, firsts, totals, strict=False)
    ]
    shares.sort(key=lambda share: -share.whole)
    return Matters(metric, tuple(shares), 0.0 if still else spread, _sentence(metric, shares, still))


def _sentence(metric: str, shares: list[Share], still: bool) -> str:
    title = words_of(metric)[0]
    if still:
        return f"{title}: none of these changes it."
    first, *rest = shares
    idle = [share.axis for share in rest if share.whole < LITTLE]
    said = f"{title}: {first.axis} matters most, {first.whole:.0%} of the spread"
    said += f"; next is {rest[0].axis} with {rest[0].whole:.0%}" if rest and rest[0].whole >= LITTLE else ""
    return f"{said}.{f' {names(idle)} hardly matter.' if idle else ''}"
