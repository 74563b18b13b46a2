"""The checks of rough use refuse an answer that does not hold: each invariant, broken on purpose."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import Any

import numpy as np
import pytest

import trailerlib as tl
from tests.rough import held


@pytest.fixture(scope="module")
def assessed() -> tuple[tl.Design, Any]:
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    return design, tl.assess(design, {})


def altered(answer: Any, key: str, value: float) -> Any:
    return replace(answer, numbers=MappingProxyType({**answer.numbers, key: replace(answer.numbers[key], value=value)}))


def test_a_pass_without_an_input_is_seen(assessed: Any) -> None:
    answer = assessed[1]["wiring"]
    blind = replace(answer.checks[0], measured=None, severity="holds")
    with pytest.raises(AssertionError):
        held.said_well(replace(answer, checks=(blind,)), set())


def test_a_finding_against_its_numbers_is_seen(assessed: Any) -> None:
    answer = assessed[1]["wiring"]
    broken = next(check for check in answer.checks if check.severity == "fix")
    with pytest.raises(AssertionError):
        held.said_well(replace(answer, checks=(replace(broken, severity="holds"),)), set())


@pytest.mark.parametrize(
    ("question", "key", "value"),
    [("loads", "dc_w", 9.0), ("night", "lowest", 1.2), ("trip", "end", -0.05), ("cooling", "asked_w", 1.0), ("roof", "stress", -1.0),
     ("generator", "left", 1.2), ("closing", "measured", 3.0), ("generator", "start_va", 1.0), ("loads", "stay_0", float("nan"))],
)  # fmt: skip
def test_a_number_that_cannot_be_is_seen(assessed: Any, question: str, key: str, value: float) -> None:
    design, assessment = assessed
    answer = altered(assessment[question], key, value)
    with pytest.raises(AssertionError):
        held.said_well(answer, set())
        held.OF_EACH[question](design, answer)


def test_a_charge_that_rises_by_itself_is_seen(assessed: Any) -> None:
    design, assessment = assessed
    answer = assessment["night"]
    with pytest.raises(AssertionError):
        held.night(
            design, replace(answer, picture=replace(answer.picture, charge=np.asarray(answer.picture.charge)[::-1]))
        )


def test_a_wire_that_gives_voltage_is_seen(assessed: Any) -> None:
    design, assessment = assessed
    answer = assessment["wiring"]
    runs = (replace(answer.picture.runs[0], drop_v=-0.1), *answer.picture.runs[1:])
    with pytest.raises(AssertionError):
        held.wiring(design, replace(answer, picture=replace(answer.picture, runs=runs)))


def test_a_weight_that_nothing_carries_is_seen(assessed: Any) -> None:
    design, assessment = assessed
    answer = assessment["towing"]
    light = replace(answer.picture.coupler, load_kg=answer.picture.coupler.load_kg - 1.0)
    with pytest.raises(AssertionError):
        held.towing(design, replace(answer, picture=replace(answer.picture, coupler=light)))


def test_words_of_the_machine_are_seen(assessed: Any) -> None:
    answer = assessed[1]["loads"]
    with pytest.raises(AssertionError):
        held.said_well(replace(answer, sentence="It takes nan of {limit}."), set())
