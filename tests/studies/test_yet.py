"""The word of a verdict and its sentence speak of the same thing, or the sentence says what else is wrong."""

from __future__ import annotations

import pytest

import trailerlib as tl


@pytest.mark.parametrize("name", ["ten-mistakes", "fen-survey", "kiln-cart", "type-wagon"])
def test_a_holding_sentence_under_a_bad_word_says_what_is_wrong(name: str) -> None:
    for answer in tl.assess(tl.read_design(tl.shipped_trailers()[name])).answers.values():
        if answer.word not in ("stop", "fix"):
            assert " Yet " not in answer.sentence
        elif " Yet " in answer.sentence:
            told = answer.sentence.split(" Yet ")[1]
            assert told[1:] in {one.text(answer.system)[1:] for one in answer.findings}


def test_a_night_that_lasts_beside_a_battery_that_gases_is_not_told_as_fine() -> None:
    found = tl.study("night", tl.read_design(tl.shipped_trailers()["ten-mistakes"]))
    assert found.word == "stop" and "Yet a lead-acid battery gives off hydrogen" in found.sentence


def test_what_the_sentence_tells_is_not_told_twice(demo: tl.Design) -> None:
    assert tl.study("mains", demo).word == "fix" and "Yet" not in tl.study("mains", demo).sentence


def test_the_generator_that_stands_too_near_is_named(demo: tl.Design) -> None:
    found = tl.study("generator", demo)
    assert "Yet the generator's place is" in found.sentence and "runs and starts everything" in found.sentence


def test_with_nothing_to_stop_or_fix_nothing_is_added(demo: tl.Design) -> None:
    found = tl.study("generator", demo.replace("supply.generator.place", None))
    assert found.word not in ("stop", "fix") and "Yet" not in found.sentence
