"""What errors planted on purpose (``tests/mutants``) showed to be untested."""

from __future__ import annotations

import itertools
import math
from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from trailerlib.rules import battery, plugs, supply_chain, wiring
from trailerlib.rules.finding import (
    ORDER,
    Finding,
    Rule,
    Severity,
    all_rules,
    claim,
    in_order,
    judge,
    judge_many,
    worst,
)

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


@pytest.mark.parametrize(
    ("load_a", "needed_a"), [(0.0, 0.0), (10.0, 10.0), (20.0, 20.0), (30.0, 25.0), (40.0, 30.0), (60.0, 35.0), (100.0, 45.0)]
)  # fmt: skip
def test_a_converter_counts_all_of_twenty_half_of_twenty_more_and_a_quarter_of_the_rest(
    load_a: float, needed_a: float
) -> None:
    """NFPA 70 551.20(B), from memory, reckoned by hand."""
    assert plugs.converter_need_a(load_a) == needed_a


def made(measured: float | None, limit: float | None, severity: Severity = "fix", sense: str = "at most") -> Finding:
    return Finding("a-rule", severity, "it", measured, limit, "", sense, "none", "none", "{measured}", "{limit}")


def test_a_plain_number_is_read_whole_where_it_is_whole() -> None:
    finding = made(3.0, 2.5)
    assert (finding.text("us"), finding.mend("metric")) == ("3", "2.50")
    assert (
        finding.number(None, "us") == "–"
        and finding.number(0.0, "us") == "0"
        and finding.number(0.1234, "us") == "0.123"
    )


def test_room_is_a_share_of_the_size_of_the_limit_whichever_way_it_goes() -> None:
    assert made(15.0, 20.0).margin == 0.25 and made(15.0, 20.0, sense="at least").margin == -0.25
    assert made(-15.0, -20.0).margin == -0.25 and made(-15.0, -20.0, sense="at least").margin == 0.25
    assert made(0.0, 1.0).margin == 1.0 and made(1.0, -1.0).margin == -2.0
    assert made(1.0, 0.0).margin is None and made(None, 1.0).margin is None and made(1.0, None).margin is None


def test_what_has_no_margin_stands_as_if_it_met_its_limit() -> None:
    """After all that is beyond its limit, however little; of what stands alike the order of the list is kept."""
    little, much, plain, other = made(1.001, 1.0), made(3.0, 1.0), made(1.0, 0.0), made(1.0, 0.0)
    found = in_order([plain, little, other, much])
    assert [id(one) for one in found] == [id(one) for one in (much, little, plain, other)]
    holds, stop, unknown = (made(9.0, 1.0, word) for word in ("holds", "stop", "not checked"))
    assert in_order((unknown, holds, plain, stop)) == (stop, plain, unknown)
    assert worst([]) == "holds" and worst((holds, unknown)) == "not checked" and worst([plain, stop]) == "stop"


@pytest.mark.parametrize(("wrong", "measured"), [(True, 1.0), (False, 0.0), (None, None)])
def test_a_claim_measures_one_or_nought_against_nought(wrong: bool | None, measured: float | None) -> None:
    finding = claim(plugs.FITS, "it", wrong)
    assert (finding.measured, finding.limit) == (measured, None if wrong is None else 0.0)
    assert finding.margin is None and finding.subject == "it" and finding.clause == plugs.FITS.clause


def test_a_rule_cannot_be_changed_and_its_list_is_a_copy() -> None:
    with pytest.raises(FrozenInstanceError):
        plugs.FITS.severity = "note"  # type: ignore[misc]
    all_rules().clear()
    assert all_rules()["plug-chain-fits"][0] is plugs.FITS


def test_only_what_is_not_known_is_not_checked() -> None:
    for gap in (None, math.nan):
        assert judge(wiring.DROP, "a", gap, 1.0).measured is None and judge(wiring.DROP, "a", 1.0, gap).limit is None
    assert judge(wiring.DROP, "a", 0.0, 0.0).severity == "holds" and judge(wiring.DROP, "a", 0.0, 0.0).measured == 0.0
    assert judge_many(wiring.DROP, np.array([math.nan, 2.0, 0.0]), 1.0).tolist() == [3, ORDER.index("fix"), 4]
    assert judge_many(wiring.DROP, np.array([0.0, 2.0]), np.array([math.nan, math.nan])).tolist() == [3, 3]
    assert judge_many(wiring.DROP, 0.0, 1.0).dtype == np.int8


@pytest.mark.parametrize(
    ("wall", "from_rear_m", "from_left_m", "width_m", "elsewhere"),
    [("rear", 0.0, 0.35, 0.8, False), ("rear", 0.0, 0.41, 0.8, True), ("rear", 0.0, 0.4572, 2.0, False),
     ("rear", 0.0, 0.46, 2.0, True), ("road", 4.57, 0.0, 2.0, False), ("road", 4.58, 0.0, 2.0, True),
     ("curb", 0.1, 2.0, 2.0, True), ("nose", 4.0, 0.1, 2.0, True)],
)  # fmt: skip
def test_where_an_inlet_is_out_of_its_place(
    wall: str, from_rear_m: float, from_left_m: float, width_m: float, elsewhere: bool
) -> None:
    """NFPA 70 551.46(E): left of the middle within 18 in at the rear, or within 15 ft of it on the road side."""
    assert supply_chain.entry_is_elsewhere(wall, from_rear_m, from_left_m, width_m) is elsewhere
