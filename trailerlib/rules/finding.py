"""What a rule returns: the evidence, and how it is said."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from trailerlib import units

Severity = Literal["stop", "fix", "note", "not checked", "holds"]
ORDER: tuple[Severity, ...] = ("stop", "fix", "note", "not checked", "holds")
MARKS: dict[Severity, str] = {"stop": "■", "fix": "▲", "note": "●", "not checked": "○", "holds": "✓"}
Number = float | NDArray[Any]
SLACK = 1e-9  # a value equal to its limit but for rounding holds


@dataclass(frozen=True)
class Rule:
    """One limit: what is compared, which way, how severe, and the words for it.

    ``what`` and ``remedy`` may hold {subject}, {measured} and {limit}. ``unknown`` says what is
    missing when it cannot be checked. ``kind`` is the unit kind of both numbers, or "" for plain ones.
    """

    id: str
    severity: Severity
    kind: str
    sense: Literal["at most", "at least"]
    what: str
    remedy: str
    unknown: str
    clause: str
    confidence: str


@dataclass(frozen=True)
class Finding:
    """One rule applied to one thing. ``measured`` and ``limit`` are in the inside unit of the rule's kind."""

    rule: str
    severity: Severity
    subject: str
    measured: float | None
    limit: float | None
    kind: str
    sense: str
    clause: str
    confidence: str
    what: str
    remedy: str

    @property
    def mark(self) -> str:
        """The sign that goes with the severity's word."""
        return MARKS[self.severity]

    @property
    def margin(self) -> float | None:
        """Room left as a share of the limit [-]; negative when broken, None when not checked."""
        if self.measured is None or self.limit is None or self.limit == 0:
            return None
        room = self.limit - self.measured if self.sense == "at most" else self.measured - self.limit
        return room / abs(self.limit)

    def number(self, value: float | None, system: units.System) -> str:
        """A number of this finding as it is read.

        Parameters
        ----------
        value : [inside unit of the kind] number
        system : ``us`` or ``metric``
        """
        if value is None:
            return "–"
        if self.kind:
            return units.show(value, self.kind, system)
        return f"{value:.0f}" if float(value).is_integer() else units.figures(value)

    def text(self, system: units.System) -> str:
        """What is wrong, as a sentence."""
        return self._fill(self.what, system)

    def mend(self, system: units.System) -> str:
        """What to do about it, as a sentence."""
        return self._fill(self.remedy, system)

    def _fill(self, words: str, system: units.System) -> str:
        return words.format(
            subject=self.subject, measured=self.number(self.measured, system), limit=self.number(self.limit, system)
        )


_REGISTRY: dict[str, tuple[Rule, Callable[..., Finding]]] = {}


def enforces(rule: Rule) -> Callable[[Callable[..., Finding]], Callable[..., Finding]]:
    """Mark the function that applies a rule, so that all rules can be listed and tested."""

    def mark(function: Callable[..., Finding]) -> Callable[..., Finding]:
        if rule.id in _REGISTRY:
            raise ValueError(f"two rules are called {rule.id}")
        _REGISTRY[rule.id] = (rule, function)
        return function

    return mark


def all_rules() -> dict[str, tuple[Rule, Callable[..., Finding]]]:
    """Every rule by its id, with the function that applies it."""
    return dict(_REGISTRY)


def judge(rule: Rule, subject: str, measured: float | None, limit: float | None) -> Finding:
    """Compare a measured value with its limit.

    Parameters
    ----------
    rule : the rule
    subject : what it is about, such as ``circuit "fridge"``
    measured : [inside unit of the rule's kind] value, or None when it is not known
    limit : [inside unit of the rule's kind] limit, or None when it is not known

    Returns
    -------
    Finding
        ``not checked`` when either number is missing, ``holds`` within the limit, else the rule's severity.
    """
    measured, limit = _known(measured), _known(limit)
    if measured is None or limit is None:
        return _finding(
            rule,
            subject,
            measured,
            limit,
            "not checked",
            "{subject}: not checked, " + rule.unknown + ".",
            "Fill it in to have this checked.",
        )
    room = limit - measured if rule.sense == "at most" else measured - limit
    held = room >= -SLACK * max(1.0, abs(limit))
    return _finding(rule, subject, measured, limit, "holds" if held else rule.severity, rule.what, rule.remedy)


def judge_many(rule: Rule, measured: Number, limit: Number) -> NDArray[np.int8]:
    """The severity of many measured values against their limits, as places in ``ORDER``; ``judge`` in one go.

    Parameters
    ----------
    rule : the rule
    measured : [inside unit of the rule's kind] NaN where it is not known
    limit : [inside unit of the rule's kind] NaN where it is not known
    """
    room = limit - measured if rule.sense == "at most" else measured - limit
    known, held = ~np.isnan(np.asarray(measured) + limit), room >= -SLACK * np.maximum(1.0, np.abs(limit))
    said = np.where(held, ORDER.index("holds"), ORDER.index(rule.severity))
    return np.where(known, said, ORDER.index("not checked")).astype(np.int8)


def claim(rule: Rule, subject: str, wrong: bool | None) -> Finding:
    """Judge something that is so or not so, without a number; None is not known."""
    if wrong is None:
        return judge(rule, subject, None, None)
    return judge(rule, subject, 1.0 if wrong else 0.0, 0.0)


def not_so(said: bool | None) -> bool | None:
    """Whether what should be so is not; None is not known."""
    return None if said is None else not said


def lacking(finding: Finding, gap: str) -> Finding:
    """A finding that is not checked, with what is missing in words of its own.

    Parameters
    ----------
    finding : one that is not checked
    gap : what is missing
    """
    words = gap.replace("{", "{{").replace("}", "}}")
    return replace(finding, what=f"{{subject}}: not checked, {words}.")


def _known(value: float | None) -> float | None:
    return None if value is None or math.isnan(value) else value


def _finding(
    rule: Rule, subject: str, measured: float | None, limit: float | None, severity: Severity, what: str, remedy: str
) -> Finding:
    return Finding(
        rule.id, severity, subject, measured, limit, rule.kind, rule.sense, rule.clause, rule.confidence, what, remedy
    )


def worst(findings: list[Finding] | tuple[Finding, ...]) -> Severity:
    """The most severe word among the findings; ``holds`` when there are none."""
    return min((f.severity for f in findings), key=ORDER.index, default="holds")


def in_order(findings: list[Finding] | tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings from stop to not checked, the tightest margin first; those that hold are left out."""
    open_ones = [f for f in findings if f.severity != "holds"]
    return tuple(sorted(open_ones, key=lambda f: (ORDER.index(f.severity), f.margin if f.margin is not None else 0.0)))
