"""A trailer begun from a dozen answers is a whole design, whatever the answers, and says what it assumed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.design import catalogue, supply_classes
from trailerlib.design.begin import assumed_lines, begin, begun
from trailerlib.design.begin_answers import NONE, Answers
from trailerlib.design.begin_pen import MARK
from trailerlib.design.design import design_from
from trailerlib.design.errors import DesignError
from trailerlib.design.files import history, take_back
from trailerlib.design.keeping import parse

COOLERS = [NONE, *(name for name in catalogue.appliances() if name.startswith("roof cooler"))]
OURS_TO_MEND = {"opening-in-the-way", "branch-count", "inlet-type", "plug-chain", "second-way-out", "wire-protected"}


@st.composite
def answers(draw):
    chosen = Answers(
        title=draw(st.sampled_from(["My trailer", 'The "blue" one', "Вагончик", "拖车", "a" * 120])),
        system=draw(st.sampled_from(["us", "metric"])),
        length=draw(st.floats(2.5, 12.0)), width=draw(st.floats(1.4, 2.6)), height=draw(st.floats(1.4, 2.4)),
        sleepers=draw(st.integers(0, 8)), hottest=draw(st.floats(20.0, 48.0)), coldest=draw(st.floats(-35.0, 15.0)),
        elevation=draw(st.floats(-100.0, 4500.0)), chemistry=draw(st.sampled_from(["flooded", "agm", "gel", "lfp"])),
        capacity=draw(st.floats(20.0, 800.0)), supply=draw(st.sampled_from([NONE, *supply_classes.supply_kinds()])),
        generator=draw(st.sampled_from([NONE, *supply_classes.generator_kinds()])), cooler=draw(st.sampled_from(COOLERS)),
        fan=draw(st.booleans()), fridge=draw(st.booleans()), lights=draw(st.integers(0, 20)),
        outlets=draw(st.integers(0, 8)), outside=draw(st.integers(0, 4)),
    )  # fmt: skip
    return chosen if chosen.has_mains else replace(chosen, cooler=NONE)


@given(answers())
@settings(max_examples=25, deadline=None)
def test_whatever_the_answers_every_question_can_be_asked(chosen):
    text = begun(chosen)
    design = design_from(parse(text))
    found = tl.assess(design)
    assert found.answers and design.title == chosen.title
    assert design.trailer.length == pytest.approx(chosen.length, abs=0.006)
    assert design.battery.bank_ah == pytest.approx(chosen.capacity, rel=1e-5)
    assert len(design.circuits_of("mains")) == 0 or chosen.has_mains
    assert sum(load.count for load in design.loads if load.name == "ceiling lights") == chosen.lights


@pytest.mark.parametrize("supply", [NONE, *supply_classes.supply_kinds()])
@pytest.mark.parametrize("generator", [NONE, "portable 2000 W", "portable 6500 W"])
def test_nothing_that_was_assumed_is_wrong_by_itself(supply, generator):
    """What is left to find comes of the answers or of what only a data sheet says, not of the assumptions."""
    chosen = Answers(supply=supply, generator=generator, outside=1)
    found = tl.assess(design_from(parse(begun(chosen)))).finding_list
    assert {one.rule for one in found if one.severity in ("stop", "fix")} & OURS_TO_MEND == set()
    assert not [one for one in found if one.severity == "stop"]


def test_what_was_asked_is_not_marked_and_what_was_not_is():
    lines = begun(Answers(coldest=-7.0, generator="portable 2000 W")).splitlines()
    kept = [
        line for line in lines if line.startswith(("title", "length", "sleepers", "hottest", "chemistry", "capacity"))
    ]
    assert kept and not any(MARK in line for line in kept)
    wires = [line for line in lines if line.startswith("wire =")]
    assert len(wires) > 5 and all(line.endswith(f"# {MARK}") for line in wires)
    assert assumed_lines("\n".join(lines)) == sum(line.endswith(f"# {MARK}") for line in lines) > 50


def test_what_only_a_plate_says_is_left_out_and_reads_not_checked():
    design = design_from(parse(begun(Answers())))
    assert design.trailer.empty is None and design.trailer.gross_rating is None
    assert tl.study("towing", design).word == "not checked"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"title": "=1+1"}, "not plain text"), ({"title": " "}, "not plain text"), ({"title": ""}, "has no name yet"),
        ({"length": 1.0}, "length of the box"), ({"height": 0.3}, "height of the box"),
        ({"coldest": 40.0, "hottest": 30.0}, "warmer than the hottest day"),
        ({"cooler": COOLERS[1], "supply": NONE, "generator": NONE}, "wants a supply"),
        ({"capacity": -1.0}, "above zero"), ({"hottest": 500.0}, "too high"),
    ],
)  # fmt: skip
def test_an_answer_that_makes_no_trailer_is_one_sentence(change, said):
    with pytest.raises(DesignError) as caught:
        begun(replace(Answers(), **change))
    assert said in str(caught.value) and "\n" not in str(caught.value)


def test_the_trailer_before_is_kept_and_comes_back(tmp_path):
    file = tmp_path / "trailer.toml"
    file.write_text(tl.shipped_trailers()["one-lamp"].read_text(encoding="utf-8"), encoding="utf-8")
    before = tl.read_design(file)
    made = begin(Answers(title="Mine"), file, before)
    assert tl.read_design(file).title == "Mine" and made.revision == 2 and len(history(file)) == 1
    assert tl.save_design(made.replace("title", "Mine too")).revision == 3
    assert take_back(take_back(tl.read_design(file))).title == "One lamp"


def test_a_file_that_changed_meanwhile_is_not_overwritten(tmp_path):
    file = tmp_path / "trailer.toml"
    file.write_text(tl.shipped_trailers()["one-lamp"].read_text(encoding="utf-8"), encoding="utf-8")
    before = tl.read_design(file)
    file.write_text(file.read_text(encoding="utf-8").replace("One lamp", "Theirs"), encoding="utf-8")
    with pytest.raises(DesignError, match="has changed on disk"):
        begin(Answers(title="Mine"), file, before)
    assert tl.read_design(file).title == "Theirs"
    assert any("Mine" in spare.read_text(encoding="utf-8") for spare in tmp_path.glob("trailer.mine-*.toml"))


def test_a_new_file_needs_none_before(tmp_path):
    made = begin(Answers(), tmp_path / "new.toml", None)
    assert made.revision == 1 and tl.save_design(made.replace("title", "Again")).revision == 2


@pytest.mark.parametrize("system", ["us", "metric"])
def test_what_was_answered_of_the_site_stands_in_the_file(system):
    site = design_from(parse(begun(Answers(system=system, hottest=41.0, coldest=-12.0, elevation=1600.0)))).site
    assert site.hottest == pytest.approx(41.0, abs=0.06) and site.coldest == pytest.approx(-12.0, abs=0.06)
    assert site.elevation == pytest.approx(1600.0, abs=0.06)
