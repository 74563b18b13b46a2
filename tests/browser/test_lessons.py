"""A lesson as an apprentice meets it: from the first cell to the shop rule, light and dark, nothing shown too soon."""

from __future__ import annotations

import re

import lab as driver
import pytest
from playwright.sync_api import Page, expect

import trailerlib as tl
from trailerlib import units
from trailerlib.design.learner import read_learner
from trailerlib.studies.lessons.book import LESSONS
from trailerlib.studies.lessons.mistakes import FACTS, shuffled
from trailerlib.studies.lessons.problem import Problem
from trailerlib.studies.lessons.way_fault import CHOICES, PLACES, hidden

CLOSED = "This opens when a number has been committed above."


def question(key: str) -> Problem:
    one = LESSONS[key]
    return one.question(tl.read_design(tl.shipped_trailers()[one.trailer]))


def opened(page: Page, lab: driver.Lab, key: str, look: str = "light") -> None:
    driver.open_notebook(page, lab, f"lessons/{LESSONS[key].notebook}")
    if look == "dark":
        driver.darken(page)
    driver.run_all(page)


def words(page: Page) -> str:
    return " ".join(page.locator(".jp-Notebook").inner_text().split())


def saved_text(page: Page, lab: driver.Lab, key: str) -> str:
    driver.save(page)
    return (lab.folder / "lessons" / LESSONS[key].notebook).read_text(encoding="utf-8")


def shown(page: Page, selector: str, name: str) -> None:
    """Scroll there and keep a screenshot."""
    page.locator(selector).first.evaluate("e => e.scrollIntoView({block: 'start'})")
    page.wait_for_timeout(400)
    driver.shot(page, name)


def number_field(page: Page, which: int, text: str) -> None:
    """Write a number in one of the three fields (the question, the transfer, the bench problem) and press Return."""
    page.locator(".trailer-number input").nth(which).fill(text)
    page.locator(".trailer-number input").nth(which).press("Enter")


def in_unit(problem: Problem, value: float) -> str:
    return f"{value / problem.unit_size:.4g}"


def before(page: Page, lab: driver.Lab, key: str, look: str) -> None:
    """Nothing of the answer on the page or in the file that is saved, and the page stands at the question."""
    problem, one = question(key), LESSONS[key]
    expect(page.get_by_role("heading", name=re.compile(re.escape(one.title)))).to_be_attached()
    expect(page.locator(".trailer-number input").first).to_be_in_viewport()
    closed = 4 if key == "L10" else 5  # the list of facts may be read before
    assert words(page).count(CLOSED) == closed
    for text in (page.content(), saved_text(page, lab, key)):  # hidden is not absent
        assert problem.answer not in text and one.rule not in text and one.why[0][:40] not in text
    driver.shot(page, f"{key}-{look}-1-question")
    number_field(page, 0, "")
    expect(page.get_by_text("Nothing is written yet").first).to_be_visible()
    assert words(page).count(CLOSED) == closed


def commit_and_see(page: Page, key: str, look: str) -> None:
    """A slip is committed; the number, the answer, their ratio and the hint stand there, in sight."""
    problem = question(key)
    slip = problem.slips[0]
    page.locator(".trailer-learner input").first.fill("Ann Bee")
    number_field(page, 0, in_unit(problem, slip.value))
    expect(page.locator(".trailer-compare").first).to_be_in_viewport()
    expect(page.get_by_text("Kept in learners/ann-bee.learner.toml.").first).to_be_visible()
    seen_numbers(page, key)
    expect(page.get_by_text(slip.hint.split("'")[0]).first).to_be_visible()
    shown(page, ".trailer-compare", f"{key}-{look}-2-reveal")


def seen_numbers(page: Page, key: str) -> None:
    problem = question(key)
    said = float(in_unit(problem, problem.slips[0].value)) * problem.unit_size
    found = " ".join(page.locator(".trailer-compare").first.inner_text().split())
    assert found == (
        f"You said {problem.shown(said)} It is {problem.answer} "
        f"Yours over the answer {units.figures(said / problem.value)}"
    )


def to_the_failure(page: Page, key: str, look: str) -> None:
    """The slider to its end; what stands in its place in lessons 8 and 10."""
    turn = LESSONS[key].turn
    if key == "L8":
        hunt(page, look)
    elif key == "L10":
        mistakes(page, look)
    else:
        assert turn is not None
        page.locator(".trailer-turn .noUi-handle").first.focus()
        for _ in turn.stops:
            page.keyboard.press("ArrowRight")
        expect(page.locator(".trailer-lesson [role=status] b", has_text="■").first).to_be_visible()
        expect(page.locator(".trailer-lesson-picture svg").first).to_be_visible()
        shown(page, ".trailer-turn", f"{key}-{look}-3-failure")


def hunt(page: Page, look: str) -> None:
    """A wrong guess is refuted by a reading, in sight; the right one is told to be right, and what was hidden."""
    fault = hidden(tl.read_design(tl.shipped_trailers()["fen-survey"]), 1)
    truth = fault.planted.fault.key
    guess = page.locator(".trailer-lesson select").first
    press = page.locator("button.trailer-way-commit")
    press.click()
    expect(page.get_by_text("Measure at one place first.")).to_be_visible()
    assert fault.truth not in page.content()
    for place in ("feed drop", "return drop"):
        page.locator("button.trailer-way-measure").nth(list(PLACES).index(place)).click()
    wrong = next(key for key in CHOICES if "No reading" not in fault.judge(key, ("feed drop", "return drop")).why
                 and key != truth)  # fmt: skip
    for key, told in ((wrong, "▲ not it"), (truth, "✓ right")):
        guess.select_option(label=CHOICES[key])
        press.click()
        note = page.locator(".trailer-lesson [role=status]", has_text=told)
        expect(note.first).to_be_in_viewport()
        expect(note.first).to_contain_text(fault.judge(key, ("feed drop", "return drop")).why)
        shown(page, ".trailer-way-commit", f"L8-{look}-3-{'right' if key == truth else 'wrong'}")
    expect(page.get_by_text(fault.truth).first).to_be_visible()


def mistakes(page: Page, look: str) -> None:
    """Ten are ticked, seven of them rightly: the count stands beside the button, nothing jumps; one is mended."""
    facts = shuffled(FACTS)
    wrong = [number for number, fact in enumerate(facts) if fact.mends]
    sound = [number for number, fact in enumerate(facts) if not fact.mends]
    for number in (*wrong[:7], *sound[:3]):
        page.locator(".trailer-fact input[type=checkbox]").nth(number).check()
    commit = page.locator("button.trailer-mistakes-commit")
    shown(page, ".trailer-facts", f"L10-{look}-3-ticked")
    expect(commit).to_be_in_viewport()
    before = commit.bounding_box()
    commit.click()
    score = page.locator(".trailer-hunt-bar [role=status]", has_text="7 of 10 found.")
    expect(score).to_be_in_viewport()
    page.wait_for_timeout(300)
    assert commit.bounding_box() == before, "the page jumped"
    assert page.locator(".trailer-mark", has_text="missed").count() == 3
    shown(page, ".trailer-hunt-bar", f"L10-{look}-3-mistakes")
    for choice in page.locator(".trailer-mend .widget-toggle-buttons button").all()[1:]:
        choice.click()
        page.wait_for_timeout(600)
        if page.locator(".trailer-mend [role=status]", has_text="✓ mended").count():
            break
    expect(score).to_contain_text("1 of 10 mended.")
    expect(score).to_be_in_viewport()
    shown(page, ".trailer-hunt-bar", f"L10-{look}-3-mended")
    page.locator("button.trailer-mend-next").click()
    expect(page.get_by_text("Mistake 2 of 10.")).to_be_visible()


def transfer_and_practice(page: Page, key: str, look: str) -> None:
    """A known slip meets its hint and not the answer; then the right number, and the rule."""
    one = LESSONS[key]
    design = tl.read_design(tl.shipped_trailers()[one.trailer])
    task = one.task(tl.read_design(tl.shipped_trailers()[one.other]))
    for which, problem in ((1, task), (2, one.problem(1, design.units))):
        slip, told = problem.slips[0], page.locator(".trailer-said-number").nth(which)
        number_field(page, which, in_unit(problem, slip.value))
        expect(told).to_contain_text(slip.hint)
        assert f"The answer is {problem.answer}" not in words(page)
        number_field(page, which, in_unit(problem, problem.value))
        expect(told).to_contain_text("✓ right")
        expect(page.get_by_text(f"The answer is {problem.answer}").first).to_be_visible()
    expect(page.locator(".trailer-rule").first).to_contain_text(one.rule)
    assert page.locator(".trailer-step math").count() >= 4 and page.locator(".trailer-letters li").count() >= 4
    shown(page, ".trailer-step", f"{key}-{look}-4-formula")
    shown(page, ".trailer-rule", f"{key}-{look}-5-rule")


def walk(page: Page, lab: driver.Lab, key: str, look: str) -> None:
    """From the first cell to the shop rule, and what the learner's file holds then."""
    seen = driver.watch(page)
    opened(page, lab, key, look)
    before(page, lab, key, look)
    commit_and_see(page, key, look)
    to_the_failure(page, key, look)
    transfer_and_practice(page, key, look)
    driver.save(page)
    page.reload()
    driver.settled(page)
    page.locator(".trailer-compare").first.wait_for(state="attached")
    seen_numbers(page, key)
    assert_kept(lab, key)
    if key in ("L1", "L8", "L10"):
        restarted(page, lab, key, look)
    assert seen.strangers == []
    assert seen.errors == []


def restarted(page: Page, lab: driver.Lab, key: str, look: str) -> None:
    """The kernel is another one: all that was committed stands there again, and nothing is kept twice."""
    driver.restart_and_run_all(page)
    expect(page.get_by_text("put back").first).to_be_visible()
    seen_numbers(page, key)
    one = LESSONS[key]
    task = one.task(tl.read_design(tl.shipped_trailers()[one.other]))
    expect(page.get_by_text(f"The answer is {task.answer}").first).to_be_attached()
    expect(page.get_by_text("1 right of 1 tried so far")).to_be_attached()
    if key == "L10":
        assert page.locator(".trailer-mark", has_text="missed").count() == 3
    driver.shot(page, f"{key}-{look}-6-after-restart")
    assert_kept(lab, key)


def assert_kept(lab: driver.Lab, key: str) -> None:
    """The prediction with its slip and its ratio, and everything after it, lie in the learner's file."""
    problem = question(key)
    kept = read_learner(lab.folder / "learners" / "ann-bee.learner.toml").attempts
    assert (kept[0].lesson, kept[0].task, kept[0].result, kept[0].slip) == (
        key, "question", "slip", problem.slips[0].name,
    )  # fmt: skip
    assert kept[0].ratio == pytest.approx(problem.slips[0].value / problem.value, rel=1e-3)
    after = [(one.task, one.result) for one in kept[1:] if one.task in ("transfer", "1")]
    assert after == [("transfer", "slip"), ("transfer", "right"), ("1", "slip"), ("1", "right")]
    hunts = {"L8": [("hidden fault 1", "off"), ("hidden fault 1", "right")], "L10": [("mistakes", "off")]}
    assert [(one.task, one.result) for one in kept[1:-4]] == hunts.get(key, [])


@pytest.mark.parametrize("key", LESSONS)
def test_a_lesson_from_the_first_cell_to_the_shop_rule(key: str, lab: driver.Lab, page: Page) -> None:
    walk(page, lab, key, "light")


@pytest.mark.parametrize("key", ["L1", "L8"])
def test_in_the_dark(key: str, lab: driver.Lab, page: Page) -> None:
    walk(page, lab, key, "dark")


def test_the_owner_skips(lab: driver.Lab, page: Page) -> None:
    opened(page, lab, "L2")
    page.locator("button.trailer-skip").first.click()
    expect(page.locator(".trailer-rule").first).to_contain_text(LESSONS["L2"].rule)
    expect(page.get_by_text(question("L2").answer).first).to_be_visible()
    assert not (lab.folder / "learners").exists()


def test_the_desk_writes_papers_for_a_class(lab: driver.Lab, page: Page) -> None:
    driver.open_notebook(page, lab, "lessons/00_lessons.ipynb")
    driver.run_all(page)
    desk = driver.to_top(page)
    desk.locator(".trailer-write-sheets").click()
    desk.get_by_text("L1 answers 1-8 us.pdf").first.wait_for(timeout=30_000)
    driver.shot(page, "00_lessons-desk-light")
    assert (lab.folder / "lessons" / "class papers" / "L1 problems 1-8 us.pdf").read_bytes().startswith(b"%PDF-")
