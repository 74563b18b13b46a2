"""What every candidate is measured by: a number off the whole assessment of one design, and how many get it at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np

from trailerlib.design.design import Design
from trailerlib.studies import STUDIES
from trailerlib.studies.answer import Answer
from trailerlib.studies.battery_side import solve
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import hold
from trailerlib.studies.generator import asked as asking
from trailerlib.studies.generator import classes, fuel
from trailerlib.studies.generator.site import gives, site_factors
from trailerlib.studies.trade_offs.asked import Ask
from trailerlib.studies.trade_offs.axes import Floats
from trailerlib.studies.trade_offs.batch import AT_A_TIME, Batch
from trailerlib.studies.trade_offs.candidates import Rows
from trailerlib.studies.trade_offs.counts import SEVERITIES, counted
from trailerlib.studies.trade_offs.dc_case import BatterySides
from trailerlib.studies.trade_offs.desk import Desk
from trailerlib.studies.trade_offs.nights import Nights
from trailerlib.studies.trade_offs.prices import cost_of, items
from trailerlib.studies.trade_offs.weights import Weights
from trailerlib.studies.trade_offs.wires import Wires, mains_drop, worst_drop

QUESTIONS: Mapping[str, Callable[[Design], Answer]] = STUDIES
TWICE = {"generator": ("cooling", "carbon-monoxide-alarm")}  # what another question says too is counted there


@dataclass(frozen=True)
class Metric:
    """One measure: its key, title, what it is called in a sentence, kind of unit ("" for plain numbers), which way is
    better, and its value of one design. A value that is not known is NaN, and no candidate is better for it.
    """

    key: str
    title: str
    noun: str
    kind: str
    better: Literal["less", "more"]
    of: Callable[[Design], float | None] = field(repr=False)


def _peak(design: Design) -> float | None:
    return None if heat.missing(design) else float(hold.free_c(heat.case_of(design)).max())


def _generator(design: Design) -> tuple[float | None, float | None]:
    """Fuel a day [L] and what running leaves of its power [W] of the first generator."""
    chosen = next((supply for supply in design.supplies if supply.is_generator), None)
    kind, asked = classes.kind_of(chosen), asking.asked_of(design, chosen)
    here = None if kind is None else gives(kind.running_w, site_factors(design))
    return fuel.fuel_of(asked, kind).day_l, None if here is None else here - asked.running_va


def _number(question: str, key: str) -> Callable[[Design], float | None]:
    return lambda design: QUESTIONS[question](design).numbers[key].value


METRICS: Mapping[str, Metric] = {
    one.key: one
    for one in (
        Metric("cost", "Cost, invented prices", "the cost", "", "less", cost_of),
        Metric("mass_kg", "Weighs loaded", "the weight", "mass", "less", _number("towing", "gross_kg")),
        Metric("tongue", "On the coupler", "the share on the coupler", "fraction", "more", _number("towing", "share")),
        Metric(
            "reserve_h",
            "In reserve after the night",
            "the reserve after the night",
            "duration",
            "more",
            _number("night", "reserve_h"),
        ),
        Metric("lowest", "Lowest charge", "the lowest charge", "fraction", "more", _number("night", "lowest")),
        Metric("worst_drop", "Worst drop", "the worst drop", "fraction", "less", worst_drop),
        Metric(
            "lost_w",
            "Lost in the battery side's wires",
            "the loss in the wires",
            "power",
            "less",
            lambda design: solve(design).lost_w,
        ),
        Metric("fuel_day_l", "Fuel a day", "the fuel a day", "volume", "less", _number("generator", "day_l")),
        Metric(
            "generator_w",
            "Generator to spare",
            "what the generator has to spare",
            "power",
            "more",
            lambda design: _generator(design)[1],
        ),
        Metric(
            "peak_c",
            "Hottest inside without power",
            "the heat inside without power",
            "temperature",
            "less",
            _number("cooling", "free_c"),
        ),
    )
}
# how many candidates at once: a sum keeps few figures of each, a night every step of it
SUMS_AT_A_TIME, NIGHTS_AT_A_TIME = 8 * AT_A_TIME, AT_A_TIME // 2
COUNTED = {"stop": "Stop", "fix": "Fix", "note": "Note", "not checked": "Not checked"}


def noun_of(key: str) -> str:
    """What a column of a result is called in a sentence.

    Parameters
    ----------
    key : a metric or a severity
    """
    return f"the count of “{key}”" if key in COUNTED else METRICS[key].noun


def words_of(key: str) -> tuple[str, str, Literal["less", "more"]]:
    """Title, kind of unit and better way of a column of a result.

    Parameters
    ----------
    key : a metric or a severity
    """
    if key in COUNTED:
        return f"Findings: {COUNTED[key].lower()}", "count", "less"
    return METRICS[key].title, METRICS[key].kind, METRICS[key].better


def measured(design: Design, keys: tuple[str, ...], questions: tuple[str, ...]) -> dict[str, float]:
    """The same columns for one design, off its own studies.

    Parameters
    ----------
    design : the design
    keys : metrics and severities
    questions : whose findings are counted
    """
    found: dict[str, float] = {}
    for key in keys:
        if key in METRICS:
            value = METRICS[key].of(design)
            found[key] = float("nan") if value is None else value
    if any(key in COUNTED for key in keys):
        said = np.sum([_said(question, questions)(design) for question in questions], axis=0)
        found |= {key: float(said[SEVERITIES.index(key)]) for key in keys if key in COUNTED}
    return {key: found[key] for key in keys}


class Measuring:
    """All that is asked for some metrics, and the metrics of many candidates at once."""

    def __init__(self, desk: Desk, base: Design, keys: tuple[str, ...], questions: tuple[str, ...]) -> None:
        self.keys, wanted = keys, set(keys)
        self.questions = questions if wanted & set(COUNTED) else ()
        sides = BatterySides(desk, base)
        self._wires, self._nights, self._weights = (
            Wires(desk, base, sides), Nights(desk, base, sides), Weights(desk, base),
        )  # fmt: skip
        self._prices = [Ask(desk, f"the price of {name}", _priced(find), wide=True) for name, find in items(base)]
        self._mains_drop = Ask(desk, "the drop on the mains side", mains_drop)
        self._parts: list[tuple[tuple[str, ...], Ask | Batch]] = []
        for columns, judges, work, at_a_time in (
            (("cost",), "", self._cost, SUMS_AT_A_TIME),
            (("mass_kg", "tongue"), "", self._lie, SUMS_AT_A_TIME),
            (("reserve_h", "lowest"), "night", self._night, NIGHTS_AT_A_TIME),
            (("drop", "lost_w"), "wiring", self._wiring, AT_A_TIME),
            ((), "towing", self._weights_judged, SUMS_AT_A_TIME),
        ):
            if wanted & {*columns, *(("worst_drop",) if "drop" in columns else ())} or judges in self.questions:
                self._parts.append(
                    ((*columns, *(SEVERITIES if judges in self.questions else ())), Batch(desk, work, at_a_time))
                )
        if "wiring" in self.questions:
            self._parts += [(SEVERITIES, ask) for ask in self._wires.apart]
        if "worst_drop" in wanted:
            self._parts.append((("mains_drop",), self._mains_drop))
        if wanted & {"fuel_day_l", "generator_w"}:
            self._parts.append((("fuel_day_l", "generator_w"), Ask(desk, "the generator", _generator)))
        if "peak_c" in wanted:
            self._parts.append((("peak_c",), Ask(desk, "the heat of the box", lambda design: (_peak(design),))))
        for question in self.questions:
            if question not in ("night", "wiring", "towing"):
                self._parts.append((SEVERITIES, Ask(desk, f"“{question}”", _said(question, questions))))

    @property
    def parts(self) -> list[Ask | Batch]:
        """Everything that is gathered, each once."""
        return [part for _, part in self._parts]

    def of(self, rows: Rows) -> dict[str, Floats]:
        """Every metric of every candidate, (n,) each.

        Parameters
        ----------
        rows : the candidates
        """
        found: dict[str, Floats] = {severity: np.zeros(rows.count) for severity in SEVERITIES}
        for keys, part in self._parts:
            for key, values in zip(keys, part.of(rows), strict=False):
                found[key] = found[key] + values if key in COUNTED else values
        if "worst_drop" in self.keys:
            found["worst_drop"] = np.fmax(found["drop"], found["mains_drop"])
        return {key: found[key] for key in self.keys}

    def _cost(self, rows: Rows) -> Floats:
        return np.asarray(np.sum([np.nan_to_num(ask.of(rows)[:1]) for ask in self._prices], axis=0))

    def _lie(self, rows: Rows) -> Floats:
        lies, _ = self._weights.lie(rows)
        return np.array([lies.gross, lies.share])

    def _night(self, rows: Rows) -> Floats:
        lived = self._nights.of(rows)
        return np.array([lived.reserve_h, lived.lowest, *lived.counts.by_severity])

    def _wiring(self, rows: Rows) -> Floats:
        laid = self._wires.of(rows, judge="wiring" in self.questions)
        return np.array([laid.drop, laid.lost_w, *laid.counts.by_severity])

    def _weights_judged(self, rows: Rows) -> Floats:
        return self._weights.judged(rows).by_severity


def _priced(find: Callable[[Design], Any]) -> Callable[[Design], tuple[Any, ...]]:
    return lambda design: (find(design),)


def _said(question: str, questions: Sequence[str]) -> Callable[[Design], tuple[int, ...]]:
    """How often each severity is said by one of these questions, a finding that two of them share only once."""
    other, rule = TWICE.get(question, ("", ""))
    shared = rule if other in questions else ""
    return lambda design: counted(one for one in QUESTIONS[question](design).checks if one.rule != shared)
