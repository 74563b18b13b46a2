"""Findings that say the same of many things, told once with the names of the things."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from trailerlib import units
from trailerlib.rules.finding import Finding

MOST_APART = 3  # so many findings alike still stand each for itself
_NAMED = re.compile('(\\w+) "(.*)"')


def gathered(findings: Iterable[Finding], system: units.System) -> list[tuple[Finding, str]]:
    """Findings with those alike as one: the same rule, words, numbers and clause, and only the subject another.

    Parameters
    ----------
    findings : in the order they are told
    system : ``us`` or ``metric``

    Returns
    -------
    list of tuple of Finding and str
        At the place of the first: the finding, its subject put in the plural, and the names; no names where it stands
        for itself. Every finding is in one of them.
    """
    findings = tuple(findings)
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        groups.setdefault(_said(finding, system), []).append(finding)
    told = list[tuple[Finding, str]]()
    for finding in findings:
        group = groups[_said(finding, system)]
        if len(group) <= MOST_APART:
            told.append((finding, ""))
        elif finding is group[0]:
            told.append(_as_one(group))
    return told


def _as_one(group: Sequence[Finding]) -> tuple[Finding, str]:
    """One finding for a whole group, such as of “each of 64 circuits”, and the names without what all share."""
    subjects = [finding.subject for finding in group]
    named = [found for subject in subjects if (found := _NAMED.fullmatch(subject))]
    kinds, kind = {found[1] for found in named}, ""
    if len(kinds) == 1 and len(named) == len(group):
        subjects, kind = [found[2] for found in named], f" {kinds.pop()}s"
    return replace(group[0], subject=f"each of {len(group)}{kind}"), "; ".join(subjects)


def _said(finding: Finding, system: units.System) -> tuple[str, ...]:
    """Everything a finding says but its subject."""
    without = replace(finding, subject="")
    numbers = (finding.number(finding.measured, system), finding.number(finding.limit, system))
    return (
        finding.rule, finding.severity, without.text(system), without.mend(system), *numbers, finding.clause,
        finding.confidence, *([] if "{subject}" in finding.what else [finding.subject]),
    )  # fmt: skip
