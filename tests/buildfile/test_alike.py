"""Findings that say the same of many things: told once, with every name, and none lost."""

from __future__ import annotations

from dataclasses import replace

from trailerlib.buildfile.alike import MOST_APART, gathered
from trailerlib.rules.finding import Rule, judge

RULE = Rule(
    "x", "fix", "current", "at most", "{subject} carries {measured}; {limit} is allowed.", "Mend {subject}.", "no amps", "c", "m"
)  # fmt: skip


def test_few_stand_each_for_itself_and_many_as_one_at_the_place_of_the_first() -> None:
    many = [judge(RULE, f'circuit "{n}"', None, 5.0) for n in range(MOST_APART + 1)]
    few = [judge(RULE, f"thing {n}", 9.0, 5.0) for n in range(MOST_APART)]
    told = gathered([few[0], many[0], few[1], *many[1:], few[2]], "us")
    assert [(finding.text("us"), names) for finding, names in told] == [
        ("thing 0 carries 9.00 A; 5.00 A is allowed.", ""),
        (f"each of {len(many)} circuits: not checked, no amps.", "0; 1; 2; 3"),
        ("thing 1 carries 9.00 A; 5.00 A is allowed.", ""),
        ("thing 2 carries 9.00 A; 5.00 A is allowed.", ""),
    ]  # fmt: skip


def test_another_number_clause_or_severity_is_not_alike() -> None:
    one = judge(RULE, "thing", 9.0, 5.0)
    others = [
        one,
        judge(RULE, "b", 9.5, 5.0),
        judge(RULE, "c", 9.0, 6.0),
        judge(RULE, "d", None, 5.0),
        replace(one, clause="z"),
    ]
    assert gathered(others, "us") == [(finding, "") for finding in others]


def test_a_mixed_group_keeps_its_subjects_as_they_are() -> None:
    found = [judge(RULE, subject, None, None) for subject in ('circuit "a"', 'load "b"', "feeder", "the trip")]
    ((finding, names),) = gathered(found, "us")
    assert names == 'circuit "a"; load "b"; feeder; the trip' and finding.subject == "each of 4"
