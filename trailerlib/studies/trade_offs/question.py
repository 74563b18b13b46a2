"""What would I trade? The answer about a sweep: what is allowed, what nothing beats, and how the design stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from trailerlib.design.design import Design
from trailerlib.rules import trade_offs as rules
from trailerlib.studies.answer import Answer, Column, Quantity, mapping
from trailerlib.studies.trade_offs.axes import Index
from trailerlib.studies.trade_offs.choose import Limits, best, changed_words, gains, nearest, passing, why
from trailerlib.studies.trade_offs.metrics import COUNTED, noun_of, words_of
from trailerlib.studies.trade_offs.result import Result
from trailerlib.studies.trade_offs.sweeping import sweep
from trailerlib.studies.trade_offs.unbeaten import Bools
from trailerlib.studies.trade_offs.usual import usual_axes

TITLE = "What would I trade?"
BY = ("cost", "mass_kg", "reserve_h", "worst_drop", "fuel_day_l")
KEYS = (*BY, "peak_c", "tongue", *COUNTED)
LISTED = 12


@dataclass(frozen=True)
class Trade:
    """A sweep seen with limits: who is allowed, who is unbeaten, in the order of the first metric.

    ``front`` are those that nothing beats while only the limits on findings are set, which the scales of drawings hold.
    ``here`` are the metrics of the present design, ``passes`` whether it keeps the limits and ``wins`` whether nothing
    allowed beats it; ``own`` is the candidate that is the present design, if one is.
    """

    result: Result
    by: tuple[str, ...]
    limits: Limits
    allowed: Bools = field(repr=False)
    unbeaten: Index = field(repr=False)
    front: Bools = field(repr=False)
    here: Mapping[str, float] = field(repr=False)
    passes: bool = False
    wins: bool = False
    own: int | None = None


def trade_of(result: Result, design: Design, by: Sequence[str] = BY, limits: Limits | None = None) -> Trade:
    """A sweep seen with limits, and the present design beside it.

    Parameters
    ----------
    result : the sweep
    design : the present design, which need not be the one the sweep began with
    by : the metrics by which one beats another
    limits : [inside unit] least and most by metric; None takes the usual ones
    """
    limits = usual_limits(result) if limits is None else limits
    kept = result.kept_for("unbeaten", tuple(by), lambda: best(result, by, _hard(result, limits)), _hard_key(limits))
    allowed = passing(result, limits)
    easy = all(_with_the_grain(result, key, *ends) for key, ends in limits.items() if key in by) and not (
        set(limits) - set(by) - set(COUNTED)
    )
    found = kept & allowed if easy else best(result, by, allowed)
    rows = np.flatnonzero(found)
    order = np.lexsort([_down(result, key)[rows] for key in reversed(by)])
    here = result.here_of(design)
    return Trade(
        result, tuple(by), dict(limits), allowed, rows[order], kept, here, _keeps(here, limits),
        _keeps(here, limits) and not _beaten(result, here, by, allowed), result.row_of(design),
    )  # fmt: skip


def usual_limits(result: Result) -> Limits:
    """No more to stop for and to fix than now, and a night that lasts where one can be worked out.

    Parameters
    ----------
    result : the sweep
    """
    here, limits = result.here(), dict[str, tuple[float | None, float | None]]()
    for severity in ("stop", "fix"):
        if severity in here:
            limits[severity] = (None, here[severity])
    if not np.isnan(here.get("reserve_h", np.nan)):
        limits["reserve_h"] = (0.0, None)
    return limits


def _hard_key(limits: Limits) -> tuple[object, ...]:
    return tuple((key, *ends) for key, ends in limits.items() if key in COUNTED)


def _hard(result: Result, limits: Limits) -> Bools:
    """Who keeps the limits on findings: those are no matter of more or less."""
    return passing(result, {key: ends for key, ends in limits.items() if key in COUNTED and key in result.metrics})


def _with_the_grain(result: Result, key: str, least: float | None, most: float | None) -> bool:
    """Whether a limit shuts out the worse end only: then whoever beats one that is allowed is allowed too."""
    return least is None if result.better(key) == "less" else most is None


def _down(result: Result, key: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    signed = result.metrics[key] * (1.0 if result.better(key) == "less" else -1.0)
    return np.where(np.isnan(signed), np.inf, signed)


def _keeps(here: Mapping[str, float], limits: Limits) -> bool:
    return all(
        not np.isnan(here[key])
        and (least is None or here[key] >= least - 1e-9 * max(1.0, abs(least)))
        and (most is None or here[key] <= most + 1e-9 * max(1.0, abs(most)))
        for key, (least, most) in limits.items()
    )


def _beaten(result: Result, here: Mapping[str, float], by: Sequence[str], allowed: Bools) -> bool:
    """Whether some candidate that is allowed beats these metrics."""
    no_worse, ahead = allowed.copy(), np.zeros(result.count, dtype=bool)
    for key in by:
        own = here[key] * (1.0 if result.better(key) == "less" else -1.0)
        own = np.inf if np.isnan(own) else own
        column = _down(result, key)
        room = 1e-9 * max(1.0, abs(own)) if np.isfinite(own) else 0.0
        no_worse &= column <= own + room
        ahead |= column < own - room
    return bool((no_worse & ahead).any())


def answer(design: Design, trade: Trade | None = None, row: int | None = None) -> Answer:
    """What stands out among many designs, and how the present one stands among them.

    Parameters
    ----------
    design : the design
    trade : a sweep seen with limits; None sweeps the first of the usual axes
    row : [-] the candidate the answer speaks of too
    """
    seen = trade_of(first_look(design), design) if trade is None else trade
    return Answer(
        question="trade-offs",
        title=TITLE,
        system=design.units,
        sentence=sentence(seen),
        numbers=_numbers(seen, row),
        columns=_columns(seen.by),
        show_rows=lambda: [_row(seen, int(k)) for k in seen.unbeaten[:LISTED]],
        checks=(
            rules.limits_kept("The design", not seen.passes if seen.result.count else None),
            rules.beaten("The design", not seen.wins if seen.passes else None),
        ),
        picture=seen,
    )


def first_look(design: Design) -> Result:
    """A sweep over the first two of the usual axes: a few dozen designs, in a moment."""
    return sweep(design, usual_axes(design)[:2], KEYS)


def sentence(trade: Trade) -> str:
    """The verdict as a colleague would say it: how the present design stands, then how many there are."""
    result = trade.result
    if not result.count:
        return "Nothing was looked at: it was stopped before the first."
    kept, whole = many(int(trade.allowed.sum())), many(result.count)
    if not trade.allowed.any():
        return f"None of {whole} designs keeps your limits. {nearest(result, trade.limits).sentence.partition('. ')[2]}"
    best_words = f"{many(len(trade.unbeaten))} of {whole} designs nothing beats"
    if trade.wins:
        return f"Whatever you gain on it, you pay for elsewhere. {best_words}; {kept} keep your limits."
    if not trade.passes:
        found = nearest(result, trade.limits, trade.own)
        change = "" if found.row is None else changed_words(result, found.row, _places(result, trade.own))
        best_of = many(len(trade.unbeaten))
        return f"The nearest that keeps them: {change}. {kept} of {whole} designs do; {best_of} of these nothing beats."
    return f"{_better(trade)} {best_words}."


def many(count: int) -> str:
    """A count as it is read: thousands apart.

    Parameters
    ----------
    count : [-] how many
    """
    return f"{count:,}".replace(",", " ")


def _places(result: Result, row: int | None) -> dict[int, float] | None:
    return None if row is None else {n: at[row].item() for n, at in enumerate(result.places())}


def _better(trade: Trade) -> str:
    """One that beats the present design, the cheapest change first; a candidate it need not be."""
    if trade.own is None:
        return "Another one is better in something and no worse in the rest."
    found = why(trade.result, trade.own, trade.by, trade.limits)
    if found.by is None:
        return found.sentence
    change = changed_words(trade.result, found.by, _places(trade.result, trade.own))
    return f"Better with {change}: {gains(trade.result, trade.own, found.by, trade.by)}."


def _columns(by: Sequence[str]) -> tuple[Column, ...]:
    heads = [Column(key, *words_of(key)[:2]) for key in by]
    return (Column("name", "Candidate", "count"), *heads, Column("change", "Changes"))


def _row(trade: Trade, row: int) -> dict[str, object]:
    numbers = {key: _cell(key, float(trade.result.metrics[key][row])) for key in trade.by}
    return {"name": row, **numbers, "change": changed_words(trade.result, row)}


def _cell(key: str, value: float) -> object:
    return f"{value:.0f}" if words_of(key)[1] == "" and value == value else value


def _numbers(trade: Trade, row: int | None) -> Mapping[str, Quantity]:
    found = {
        "count": Quantity("Looked at", float(trade.result.count), "count"),
        "allowed": Quantity("Keep your limits", float(trade.allowed.sum()), "count"),
        "unbeaten": Quantity("Nothing beats", float(len(trade.unbeaten)), "count"),
    }
    for key in trade.by if row is not None else ():
        value = float(trade.result.metrics[key][row])
        kind = words_of(key)[1] or "count"
        title = noun_of(key).removeprefix("the ").capitalize()
        found[key] = Quantity(title, None if np.isnan(value) else round(value) if kind == "count" else value, kind)
    return mapping(**found)
