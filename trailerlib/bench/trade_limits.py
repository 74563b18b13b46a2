"""A slider for the limit on one metric, from any value at all to the best there is; its words say where it stands."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets
import numpy as np

from trailerlib.bench.controls import WIDTH, Control
from trailerlib.design.design import Design
from trailerlib.pictures.trade_marks import end_words, title_of, unit_of
from trailerlib.studies.trade_offs import Result

NOTCHES = 40  # between no limit and the best value; the ends stay, so that a page has nothing to put right


def limits_of(result: Result, key: str) -> tuple[float, ...]:
    """The limit at every notch in the inside unit, the loose end first and the best value last.

    Parameters
    ----------
    result : the sweep
    key : the metric

    Returns
    -------
    Nothing where the metric is not known for any candidate.
    """
    values = result.metrics[key]
    known = values[np.isfinite(values)]
    if not known.size:
        return ()
    worst, best = float(known.max()), float(known.min())
    if result.better(key) == "more":
        worst, best = best, worst
    return tuple(float(value) for value in np.linspace(worst, best, NOTCHES + 1))


def limit_at(result: Result, key: str, notch: int) -> float | None:
    """The limit at a notch in the inside unit; None at the loose end.

    Parameters
    ----------
    result : the sweep
    key : the metric
    notch : [-] from 0
    """
    found = limits_of(result, key)
    return found[notch] if found and notch > 0 else None


def limit_slider(key: str, result: Callable[[], Result], limit: Callable[[], float | None]) -> Control:
    """The slider of one metric.

    Parameters
    ----------
    key : the metric
    result : the sweep it is a limit on
    limit : [inside unit] the limit as it stands, None where there is none
    """
    widget = widgets.IntSlider(value=0, min=0, max=NOTCHES, readout=False)
    widget.layout = {"width": WIDTH, "height": "28px", "margin": "1px 2px"}
    widget.style = {"description_width": "176px"}
    widget.add_class(f"trailer-control-{key}")

    def fit(design: Design) -> None:
        found, end = result(), limit()
        sign = "≤" if found.better(key) == "less" else "≥"
        unit = unit_of(found, key) if key != "cost" else ""
        where = "any" if end is None else f"{sign} {end_words(found, key, end)} {unit}".rstrip()
        widget.description = f"{title_of(key)}: {where}"
        widget.tooltip = f"{title_of(key)}: from any to the best there is among the candidates"

    def get(design: Design) -> int | None:
        found, end = limits_of(result(), key), limit()
        if not found:
            return None
        return 0 if end is None else int(np.abs(np.array(found) - end).argmin())

    return Control(key, widget, get, fit=fit)
