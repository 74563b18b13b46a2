"""What errors planted on purpose (``tests/mutants``) showed to be untested."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from trailerlib.rules import battery, wiring
from trailerlib.rules.finding import ORDER, Rule, judge, judge_many

VALUES = (-30.0, -1.0, 0.0, 0.3, 1.0, 1.0 + 5e-10, 1.0 + 5e-9, 12.0, 12.0 + 1e-8, 12.0 + 1e-7, 1e6, math.nan)


@pytest.mark.parametrize("rule", [wiring.DROP, battery.DEPTH, wiring.AMPACITY, battery.CHARGE_RATE])
def test_many_at_once_are_judged_as_each_alone(rule: Rule) -> None:
    pairs = list(itertools.product(VALUES, VALUES))
    measured, limit = (np.array(column) for column in zip(*pairs, strict=True))
    said = judge_many(rule, measured, limit)
    alone = [judge(rule, "a", *pair).severity for pair in pairs]
    assert [ORDER[place] for place in said] == alone
    assert {rule.severity, "holds", "not checked"} == set(alone), "a test that meets only one word could not fail"


def test_a_hair_beyond_the_limit_is_forgiven_by_the_size_of_the_limit_and_no_more() -> None:
    """A billionth of the limit, or of 1 where it is smaller: what rounding leaves, not what anybody measures."""
    for limit in (0.0, 0.5, 12.0, 4e5):
        hair = 1e-9 * max(1.0, limit)
        assert judge(wiring.DROP, "a", limit + 0.9 * hair, limit).severity == "holds"
        assert judge(wiring.DROP, "a", limit + 1.1 * hair, limit).severity == wiring.DROP.severity
        assert judge(battery.DEPTH, "a", limit - 0.9 * hair, limit).severity == "holds"
        assert judge(battery.DEPTH, "a", limit - 1.1 * hair, limit).severity == battery.DEPTH.severity
