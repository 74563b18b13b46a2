"""Choosing among candidates: what is allowed, why one lost, which is the nearest that passes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trailerlib import times, units
from trailerlib.design.errors import DesignError
from trailerlib.studies.answer import names
from trailerlib.studies.trade_offs.axes import Floats, Span, Steps
from trailerlib.studies.trade_offs.metrics import noun_of, words_of
from trailerlib.studies.trade_offs.result import Result
from trailerlib.studies.trade_offs.unbeaten import Bools, unbeaten

Limits = Mapping[str, tuple[float | None, float | None]]  # metric to least and most, inside units; None is no limit
SLACK = 1e-9


def passing(result: Result, limits: Limits) -> Bools:
    """Which candidates keep within limits; what is not known does not.

    Parameters
    ----------
    result : the sweep
    limits : [inside unit] least and most by metric, None for no limit

    Raises
    ------
    DesignError
        When a metric was not measured.
    """
    held = np.ones(result.count, dtype=bool)
    for key, (least, most) in limits.items():
        values = _column(result, key)
        if least is not None:
            held &= values >= least - SLACK * max(1.0, abs(least))
        if most is not None:
            held &= values <= most + SLACK * max(1.0, abs(most))
    return held


def _column(result: Result, key: str) -> Floats:
    if key not in result.metrics:
        raise DesignError(f'"{key}" was not measured in this sweep; there are: {", ".join(result.metrics)}.')
    return result.metrics[key]


def best(result: Result, by: Sequence[str], among: Bools | None = None) -> Bools:
    """Candidates that none of the others beats in some metrics.

    Parameters
    ----------
    result : the sweep
    by : the metrics
    among : which candidates count at all; None is all
    """
    chosen = np.arange(result.count) if among is None else np.flatnonzero(among)
    found = np.zeros(result.count, dtype=bool)
    if chosen.size:
        columns = [_column(result, key)[chosen] for key in by]
        found[chosen] = unbeaten(columns, [result.better(key) for key in by])
    return found


def shown(result: Result, key: str, value: float) -> str:
    """A metric as a person reads it.

    Parameters
    ----------
    result : the sweep
    key : the metric
    value : [inside unit] the number
    """
    kind = words_of(key)[1]
    if np.isnan(value):
        return "not known"
    if kind == "duration":
        return times.span(value)
    if kind in units.KINDS:
        return units.show(value, kind, result.base.units)
    return f"{value:.0f}" if kind == "count" else units.figures(value, 4)


def value_words(axis: Steps | Span, at: float) -> str:
    """What an axis says at a place, as it stands in the file.

    Parameters
    ----------
    axis : the axis
    at : [-] number of the value, or share of the range
    """
    value = axis.value(int(at)) if isinstance(axis, Steps) else axis.value(float(at))
    if isinstance(axis, Span) and isinstance(value, str):
        number, _, unit = value.partition(" ")
        return f"{units.figures(float(number))} {unit}"
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else "without" if value is None else str(value)


def axis_words(axis: Steps | Span) -> str:
    """What an axis is called: the part and the key of its path, a place as such, a layer by its material."""
    steps = [step for step in (axis.path[1:] if len(axis.path) > 2 else axis.path) if step != "layers"]
    return " ".join("place" if step == "at" else step for step in steps)


def changed_words(result: Result, row: int, since: Mapping[int, float] | None = None) -> str:
    """What a candidate does otherwise than the design, or than another candidate.

    Parameters
    ----------
    result : the sweep
    row : [-] number of the candidate
    since : [-] places of the other on the axes, by number; None is the design
    """
    said = []
    for number, (axis, at) in enumerate(zip(result.axes, result.candidates.rows(row, row + 1).at, strict=True)):
        here = at[0].item()
        same = result.base.get(axis.path) == axis.value(here) if since is None else since[number] == here
        if not same:
            said.append(f"{axis_words(axis)} {value_words(axis, here)}")
    return names(said) if said else "as it is"


@dataclass(frozen=True)
class Why:
    """Why a candidate is not among the best: the sentence, and the candidate that beats it, if one does."""

    sentence: str
    by: int | None = None


def why(result: Result, row: int, by: Sequence[str], limits: Limits) -> Why:
    """Why a candidate lost, in a sentence: a limit it breaks, or one that is better.

    Parameters
    ----------
    result : the sweep
    row : [-] number of the candidate
    by : the metrics that count
    limits : [inside unit] least and most by metric
    """
    own = {key: float(_column(result, key)[row]) for key in (*by, *limits)}
    broken = [_broken(result, key, own[key], *ends) for key, ends in limits.items()]
    said = [words for words in broken if words]
    if said:
        return Why(f"It is not allowed: {names(said)}.")
    allowed = passing(result, limits)
    beats = _beats(result, row, by, allowed)
    if not beats.any():
        return Why(f"Nothing beats it by {_titles(by)}.")
    other = _plainest(result, row, by, beats)
    return Why(_compared(result, row, other, by), other)


def _titles(by: Sequence[str]) -> str:
    return names(noun_of(key) for key in by)


def _broken(result: Result, key: str, value: float, least: float | None, most: float | None) -> str:
    title = noun_of(key)
    if np.isnan(value) and (least is not None or most is not None):
        return f"{title} is not known"
    if least is not None and value < least - SLACK * max(1.0, abs(least)):
        return f"{title} is {shown(result, key, value)}, at least {shown(result, key, least)} is asked"
    if most is not None and value > most + SLACK * max(1.0, abs(most)):
        return f"{title} is {shown(result, key, value)}, at most {shown(result, key, most)} is allowed"
    return ""


def _signed(result: Result, key: str) -> Floats:
    """A metric so that less is better and what is not known is the worst."""
    values = _column(result, key) * (1.0 if result.better(key) == "less" else -1.0)
    return np.where(np.isnan(values), np.inf, values)


def _beats(result: Result, row: int, by: Sequence[str], among: Bools) -> Bools:
    """Who beats a candidate."""
    no_worse, ahead = among.copy(), np.zeros(result.count, dtype=bool)
    for key in by:
        column = _signed(result, key)
        no_worse &= column <= column[row]
        ahead |= column < column[row]
    return no_worse & ahead


def _plainest(result: Result, row: int, by: Sequence[str], beats: Bools) -> int:
    """Of those that beat it the one that changes least; among these the one that gains most in the first metric."""
    rows = np.flatnonzero(beats)
    places = result.places()
    changes = np.sum([at[rows] != at[row] for at in places], axis=0)
    few = rows[changes == changes.min()]
    return int(few[np.lexsort([_signed(result, key)[few] for key in reversed(by)])[0]])


def gains(result: Result, row: int, other: int, by: Sequence[str]) -> str:
    """What another candidate has that one has not, number by number, and what is the same.

    Parameters
    ----------
    result : the sweep
    row : [-] number of the one
    other : [-] number of the other, which beats it
    by : the metrics that count
    """
    said = []
    for key in by:
        mine, its = (shown(result, key, float(_column(result, key)[k])) for k in (row, other))
        if _column(result, key)[row] != _column(result, key)[other] and mine != its:
            said.append(f"{noun_of(key).removeprefix('the ')} {its}, not {mine}")
    alike = len(by) - len(said)
    rest = "" if not alike else "; the rest the same" if said else "alike to the last digit shown"
    return "; ".join(said) + rest


def _compared(result: Result, row: int, other: int, by: Sequence[str]) -> str:
    places = {n: at[row].item() for n, at in enumerate(result.places())}
    return f"With {changed_words(result, other, places)} it is better: {gains(result, row, other, by)}."


@dataclass(frozen=True)
class Nearest:
    """The candidate nearest to a place on the axes that passes; None where none does. ``changed`` axes, in words."""

    row: int | None
    changed: int
    sentence: str


def nearest(result: Result, limits: Limits, row: int | None = None) -> Nearest:
    """The candidate that passes with the fewest values changed, and these by the fewest steps.

    Parameters
    ----------
    result : the sweep
    limits : [inside unit] least and most by metric
    row : [-] the candidate it should be near to; None is the design itself
    """
    allowed = passing(result, limits)
    if not allowed.any():
        return Nearest(None, 0, _none_passes(result, limits))
    rows = np.flatnonzero(allowed)
    changed, far = np.zeros(rows.size), np.zeros(rows.size)
    for axis, at in zip(result.axes, result.places(), strict=True):
        here = _place_of(result, axis) if row is None else float(at[row])
        width = max(1, len(axis.choices) - 1) if isinstance(axis, Steps) else 1.0
        away = np.abs(at[rows] - here) / width if here is not None else np.ones(rows.size)
        changed, far = changed + (away > 0), far + away
    found = int(rows[np.lexsort([far, changed])[0]])
    count = int(changed.min())
    if count == 0:
        return Nearest(found, 0, "It passes as it stands.")
    since = None if row is None else {n: at[row].item() for n, at in enumerate(result.places())}
    values = "one value" if count == 1 else f"{count} values"
    return Nearest(found, count, f"The nearest that passes changes {values}: {changed_words(result, found, since)}.")


def _place_of(result: Result, axis: Steps | Span) -> float | None:
    """Where the design stands on an axis; None where its value is not among those to choose from."""
    now = result.base.get(axis.path)
    if isinstance(axis, Span):
        return axis.place(now)
    return next((float(k) for k, choice in enumerate(axis.choices) if choice == now), None)


def _none_passes(result: Result, limits: Limits) -> str:
    """Which limit shuts out the most."""
    if not result.count:
        return "Nothing was measured yet."
    counts = {key: int(passing(result, {key: ends}).sum()) for key, ends in limits.items()}
    worst = min(counts, key=counts.__getitem__)
    left = "none keeps it at all" if counts[worst] == 0 else f"{counts[worst]} keep it, but not with the rest"
    return f"None passes. The tightest limit is that on {noun_of(worst)}: {left}."
