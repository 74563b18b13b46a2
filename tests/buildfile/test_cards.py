"""The cards beside the panel and the page for whoever lives with it, as somebody who did not build it reads them."""

from __future__ import annotations

import re

import pytest

import trailerlib as tl
from trailerlib.buildfile.cards import PEDESTAL, cards
from trailerlib.buildfile.hand_over import hand_over
from trailerlib.studies import together

TRAILERS = ["fen-survey", "kiln-cart", "type-wagon"]


@pytest.mark.parametrize("name", TRAILERS)
def test_every_set_on_a_card_is_what_the_library_allows(name: str) -> None:
    design = tl.read_design(tl.shipped_trailers()[name])
    for card in cards(design):
        found = together.of(design, card["supply"])
        every = {switch.name for switch in found.deciding}
        for group in card["groups"]:
            for words, _ in group["rows"]:
                off = words.removeprefix("all but ").replace(" and ", ", ").split(", ")
                on = every - set(off) if words.startswith("all but ") else set(words.split(" + "))
                assert found.allows(on) is not False, (card["supply"], words)
                assert on.isdisjoint(found.not_starting) or words.startswith("all but ")
        for words, _ in card["apart"]:
            assert found.allows(words.split(" + ")) is False, (card["supply"], words)


def test_what_does_not_start_is_said_before_anything_else() -> None:
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    card = next(one for one in cards(design) if one["supply"] == "generator")
    assert card["dead"] == "Roof cooler does not start on this supply, not even alone. Leave it off."
    assert not any("roof cooler" in words for group in card["groups"] for words, _ in group["rows"])


def test_a_pair_says_how_much_of_how_much_and_what_to_switch_off() -> None:
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    for card in cards(design):
        for _, words in card["apart"]:
            assert re.search(r"sked for [\d.]+ of [\d.]+ k?[AW]", words) and "Switch off " in words
            assert "trip" not in words and ";" not in words.split(". ")[0].split(":")[0]


def test_a_word_of_the_trade_is_explained_where_it_stands() -> None:
    for name in TRAILERS:
        for card in cards(tl.read_design(tl.shipped_trailers()[name])):
            told = str([card["everything"], card["apart"]])
            assert ("pedestal" not in told) or ["note", PEDESTAL] in card["after"]


def test_an_alarm_that_sounds_sends_everybody_out() -> None:
    """CDC and CPSC: out into fresh air at once, then call, and nobody goes back before it is said to be safe."""
    design = tl.read_design(tl.shipped_trailers()["fen-survey"])
    for sleepers in (2, 0):
        chosen = design.replace("use.sleepers", sleepers)
        told = str(hand_over(chosen, tl.assess(chosen))["columns"])
        assert ("An alarm sounds: everybody out" in told) is bool(sleepers)
