"""Findings that say the same of many things: told once, with every name, and none lost."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from trailerlib.buildfile import binder
from trailerlib.buildfile.alike import MOST_APART, gathered
from trailerlib.design.design import Design
from trailerlib.rules.finding import Rule, judge
from trailerlib.studies import assess

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


def test_every_finding_of_a_large_trailer_is_on_paper(
    crowded: Design, crowded_pdf: bytes, read_pdf: Callable[[bytes], str], strip: Callable[[str], str]
) -> None:
    text, found = read_pdf(crowded_pdf), assess(crowded).finding_list
    told = gathered(found, "us")
    assert len(told) < len(found) / 5
    for finding, names in told:
        for words in (finding.text("us"), finding.mend("us"), finding.clause, *names.split("; ")):
            if len(words) < 300:  # a longer one is in the middle of a page break
                assert strip(words) in text, words
    assert sum(len(names.split("; ")) if names else 1 for _, names in told) == len(found)
    assert binder.parts(crowded, "2026-11-25")["pdf"] == crowded_pdf
