"""Ten mistakes: each found by exactly one rule, hidden until ten are ticked, each mended by at least one choice."""

from __future__ import annotations

import json
from html import escape
from pathlib import Path

import ipywidgets as widgets
import pytest

import trailerlib as tl
from trailerlib.bench.lesson_page import OWNER_VARIABLE
from trailerlib.bench.mend_pane import WAITS, MendPane
from trailerlib.bench.mistake_hunt import MistakeHunt
from trailerlib.design.learner import LEARNERS_VARIABLE, learner_path, read_learner
from trailerlib.studies.lessons.mistakes import (
    FACTS,
    HURTS,
    WAY,
    along_the_way,
    checks_of,
    left_over,
    shuffled,
    wrong,
)

TEN = tuple(fact.key for fact in FACTS if fact.mends)
IN_ORDER = tuple(fact.key for fact in FACTS if not fact.mends)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(LEARNERS_VARIABLE, str(tmp_path / "learners"))
    monkeypatch.delenv(OWNER_VARIABLE, raising=False)
    return tmp_path / "learners"


@pytest.fixture(scope="module")
def design() -> tl.Design:
    return tl.read_design(tl.shipped_trailers()["ten-mistakes"])


@pytest.fixture(scope="module")
def checks(design: tl.Design):
    return checks_of(design)


def hunt() -> MistakeHunt:
    page = tl.bench.lesson("L10")
    page.progress.name.value = "Ann"
    return tl.bench.find_the_mistakes(page)


def tick(box: MistakeHunt, keys: tuple[str, ...]) -> None:
    for key, one in box.ticks.items():
        one.value = key in keys
    box.press()


def test_ten_mistakes_each_found_by_exactly_one_rule(checks) -> None:
    bad = dict.fromkeys(found for found in checks if found.severity in HURTS)
    assert len(bad) == 10
    assert len({found.rule for found in bad}) == 10, "one rule finds two of them"
    assert left_over(FACTS, checks) == ()
    for fact in FACTS:
        assert sum(fact.looked_at(found) for found in bad) == (1 if fact.mends else 0), fact.key


def test_the_other_facts_are_looked_at_and_hold(checks) -> None:
    assert len(IN_ORDER) == 10
    for fact in FACTS:
        if not fact.mends:
            assert {found.severity for found in checks if fact.looked_at(found)} == {"holds"}, fact.key


@pytest.mark.parametrize("key", TEN)
def test_every_mistake_can_be_mended_and_not_every_choice_mends_it(key: str, design: tl.Design) -> None:
    (fact,) = (one for one in FACTS if one.key == key)
    mended = []
    for mend in fact.mends:
        after = checks_of(design.replace_all(mend.changes))
        mended.append(key not in wrong(FACTS, after) and not left_over(FACTS, after))
    assert any(mended) and not all(mended)


def test_every_fact_stands_once_along_the_way() -> None:
    assert sorted(key for _, keys in WAY for key in keys) == sorted(fact.key for fact in FACTS)
    for _, facts in along_the_way(FACTS):
        assert 0 < sum(bool(fact.mends) for fact in facts) < len(facts), "a head tells that all under it are alike"


def test_the_order_tells_nothing() -> None:
    order = [bool(fact.mends) for fact in shuffled(FACTS)]
    assert sum(order[:10]) in range(3, 8)
    assert shuffled(FACTS) == shuffled(FACTS)
    assert sorted(one.key for one in shuffled(FACTS)) == sorted(one.key for one in FACTS)


def test_the_findings_are_hidden_until_ten_are_ticked(checks) -> None:
    widgets.Widget.close_all()
    box = hunt()
    for few in (TEN[:0], TEN[:3], TEN[:9], (*TEN, "cord")):
        tick(box, few)
        assert "not taken" in box.said and not box.told
    sent = json.dumps(widgets.Widget.get_manager_state(drop_defaults=False), default=str, ensure_ascii=False)
    for found in checks:
        if found.severity in HURTS:
            assert found.text("us") not in sent and found.mend("us") not in sent and found.rule not in sent
    assert not any(mend.words in sent for fact in FACTS for mend in fact.mends)
    tick(box, TEN)
    assert box.told and "10 of 10 found" in box.said
    widgets.Widget.close_all()


def test_what_was_passed_and_what_was_ticked_wrongly_is_said_and_kept() -> None:
    box = hunt()
    tick(box, (*TEN[:7], *IN_ORDER[:3]))
    assert "7 of 10 found" in box.said
    assert "■ missed" in box.mark(TEN[9]) and "✓ found" in box.mark(TEN[0])
    assert "▲ in order" in box.mark(IN_ORDER[0]) and "✓ in order" in box.mark(IN_ORDER[9])
    (kept,) = read_learner(learner_path("Ann")).attempts
    assert (kept.lesson, kept.task, kept.said, kept.answer, kept.result) == ("L10", "mistakes", 7.0, 10.0, "off")
    assert set(kept.chosen) == {*TEN[:7], *IN_ORDER[:3]}


def text_of(pane: MendPane) -> str:
    return " ".join(str(child.value) for child in pane.children if isinstance(child, widgets.HTML))


def test_one_mistake_at_a_time_with_what_its_rule_says(checks) -> None:
    box = hunt()
    tick(box, TEN)
    order = [fact for fact in box.facts if fact.mends]
    for number, fact in enumerate(order):
        (finding,) = (found for found in dict.fromkeys(checks) if found.severity in HURTS and fact.looked_at(found))
        shown = text_of(box.pane)
        assert f"Mistake {number + 1} of 10." in shown and box.mends[fact.key] in box.pane.children
        assert escape(finding.text("us"), quote=True).replace(" ", "") in shown.replace("\xa0", "").replace(" ", "")
        box.pane.next.click()
    assert "Mistake 1 of 10." in text_of(box.pane)
    box.pane.back.click()
    assert "Mistake 10 of 10." in text_of(box.pane)


def mend_all(box: MistakeHunt) -> None:
    for key, pick in box.mends.items():
        box.pane.show([fact.key for fact in box.facts if fact.mends].index(key))
        for _, changes in pick.options[1:]:
            pick.value = changes
            if "✓ mended" in text_of(box.pane):
                break
        assert "✓ mended" in text_of(box.pane), key


def test_mending_all_ten_and_making_one_thing_worse() -> None:
    box = hunt()
    tick(box, TEN)
    mend_all(box)
    press = dict(box.mends["press"].options)
    box.mends["press"].value = press["as far forward as it fits"]
    assert "presses the tow vehicle down" in text_of(box.pane)
    assert "all mended" not in box.said, "something else is wrong now"
    box.mends["press"].value = press["over the axle"]
    assert "all mended" in box.said and "10 of 10" in box.said


def test_after_a_restart_ticks_marks_and_mends_stand_there_again() -> None:
    first = hunt()
    tick(first, (*TEN[:7], *IN_ORDER[:3]))
    part = tl.bench.find_the_mistakes(tl.bench.lesson("L10"))
    assert part.told and "7 of 10 found" in part.said and "0 of 10 mended" in part.said
    assert [key for key, one in part.ticks.items() if one.value] == [
        key for key, one in first.ticks.items() if one.value
    ]
    assert all(part.mark(key) == first.mark(key) for key in part.ticks)
    mend_all(part)
    assert "all mended" in part.said
    again = tl.bench.find_the_mistakes(tl.bench.lesson("L10"))
    assert "all mended" in again.said and "7 of 10 found" in again.said
    assert {key: pick.label for key, pick in again.mends.items()} == {key: p.label for key, p in part.mends.items()}
    assert [one.task for one in read_learner(learner_path("Ann")).attempts] == ["mistakes", "mended"], "kept twice"


def test_somebody_else_finds_nothing_ticked_and_nothing_told() -> None:
    tick(hunt(), TEN)
    widgets.Widget.close_all()
    page = tl.bench.lesson("L10")
    box = tl.bench.find_the_mistakes(page)
    assert box.told
    page.progress.name.value = "Bee"
    assert not box.told and not box.mends and not any(one.value or one.disabled for one in box.ticks.values())
    assert all(box.mark(key) == "" for key in box.ticks) and "0 of 10" in box.said
    assert WAITS in text_of(box.pane)
    page.progress.name.value = "Ann"
    assert box.told and "10 of 10 found" in box.said
    widgets.Widget.close_all()


def test_the_owner_sees_all_of_it(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setenv(OWNER_VARIABLE, "yes")
    box = tl.bench.find_the_mistakes(tl.bench.lesson("L10"))
    assert box.told and len(box.mends) == 10
    assert not folder.exists()
