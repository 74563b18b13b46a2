"""A lesson as an apprentice meets it: from the first cell to the shop rule, light and dark, nothing shown too soon."""

from __future__ import annotations

import re

import lab as driver
import pytest
from playwright.sync_api import Page, expect

import trailerlib as tl
from trailerlib.design.learner import read_learner
from trailerlib.studies.lessons.book import LESSONS

CLOSED = "This opens when a number has been committed above."


def question(key: str):
    one = LESSONS[key]
    return one.question(tl.read_design(tl.shipped_trailers()[one.trailer]))


def opened(page: Page, lab: driver.Lab, key: str) -> None:
    driver.open_notebook(page, lab, f"lessons/{LESSONS[key].notebook}")
    driver.run_all(page)


def words(page: Page) -> str:
    return " ".join(page.locator(".jp-Notebook").inner_text().split())


def cell_with(page: Page, selector: str):
    return page.locator(f".jp-OutputArea-output {selector}").first


def commit(page: Page, text: str) -> None:
    page.locator(".trailer-number input").first.fill(text)
    page.locator("button.trailer-commit").first.click()


def saved_text(page: Page, lab: driver.Lab, key: str) -> str:
    driver.save(page)
    return (lab.folder / "lessons" / LESSONS[key].notebook).read_text(encoding="utf-8")


def shown(page: Page, selector: str, name: str) -> None:
    """Scroll there and keep a screenshot."""
    page.locator(selector).first.evaluate("e => e.scrollIntoView({block: 'start'})")
    page.wait_for_timeout(400)
    driver.shot(page, name)


def walk(page: Page, lab: driver.Lab, look: str) -> None:
    """L1: look, commit a wrong number, see why, slide, transfer, the rule."""
    seen = driver.watch(page)
    problem, one = question("L1"), LESSONS["L1"]
    opened(page, lab, "L1")
    expect(page.get_by_role("heading", name=re.compile(one.title))).to_be_visible()
    assert "On the lamp's base" in words(page)
    assert words(page).count(CLOSED) == 5
    assert problem.answer not in words(page) and one.rule not in words(page)
    assert problem.answer not in page.content(), "hidden is not absent"
    shown(page, ".trailer-lesson", f"L1-{look}-1-question")
    text = saved_text(page, lab, "L1")
    assert problem.answer not in text and one.rule not in text
    page.locator(".trailer-learner input").first.fill("Ann Bee")
    commit(page, "")
    expect(page.get_by_text("Nothing is written yet").first).to_be_visible()
    assert words(page).count(CLOSED) == 5
    commit(page, "0.134 V")
    expect(page.get_by_text("That is the way out only").first).to_be_visible()
    assert problem.answer in words(page)
    shown(page, ".trailer-compare", f"L1-{look}-2-reveal")
    slider = page.locator(".trailer-turn .noUi-handle").first
    slider.focus()
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    expect(page.get_by_text("The customer sees a dim lamp").first).to_be_visible()
    assert page.locator(".trailer-lesson-picture svg").count() == 1
    shown(page, ".trailer-turn", f"L1-{look}-3-dim")
    shown(page, ".trailer-step", f"L1-{look}-4-formula")
    assert page.locator(".trailer-step math").count() >= 2
    task = one.task(tl.read_design(tl.shipped_trailers()[one.other]))
    number = page.locator(".trailer-number input").nth(1)
    number.fill("0.22")
    page.locator("button.trailer-commit").nth(1).click()
    expect(page.get_by_text("That is the way out only").nth(1)).to_be_visible()
    assert f"The answer is {task.answer}" not in words(page)
    number.fill(f"{task.value:.3g}")
    page.locator("button.trailer-commit").nth(1).click()
    expect(page.get_by_text(f"The answer is {task.answer}").first).to_be_visible()
    expect(page.locator(".trailer-rule").first).to_contain_text(one.rule)
    shown(page, ".trailer-rule", f"L1-{look}-5-rule")
    kept = read_learner(lab.folder / "learners" / "ann-bee.learner.toml")
    assert [(a.task, a.result, a.slip) for a in kept.attempts] == [
        ("question", "slip", "one way"), ("transfer", "slip", "one way"), ("transfer", "right", ""),
    ]  # fmt: skip
    assert seen.strangers == []
    assert seen.errors == []


def test_the_first_lesson_from_the_first_cell_to_the_shop_rule(lab: driver.Lab, page: Page) -> None:
    walk(page, lab, "light")


def test_the_first_lesson_in_the_dark(dark: driver.Lab, page: Page) -> None:
    walk(page, dark, "dark")


@pytest.mark.parametrize("key", [key for key in LESSONS if key != "L1"])
def test_every_lesson_opens_runs_and_is_skipped_by_the_owner(key: str, lab: driver.Lab, page: Page) -> None:
    seen = driver.watch(page)
    opened(page, lab, key)
    problem, one = question(key), LESSONS[key]
    assert problem.answer not in page.content()
    page.locator("button.trailer-skip").first.click()
    expect(page.locator(".trailer-rule").first).to_contain_text(one.rule)
    expect(page.get_by_text(problem.answer).first).to_be_visible()
    shown(page, ".trailer-compare", f"{key}-light-reveal")
    if one.turn is not None:
        slider = page.locator(".trailer-turn .noUi-handle").first
        slider.focus()
        for _ in one.turn.stops:
            page.keyboard.press("ArrowRight")
        expect(page.locator(".trailer-lesson [role=status] b", has_text="■").first).to_be_visible()
        expect(page.locator(".trailer-lesson-picture svg").first).to_be_visible()
        shown(page, ".trailer-turn", f"{key}-light-failure")
    if key == "L10":
        shown(page, ".trailer-fact", f"{key}-light-mistakes")
    assert not (lab.folder / "learners").exists()
    assert seen.strangers == []
    assert seen.errors == []


def test_the_desk_writes_papers_for_a_class(lab: driver.Lab, page: Page) -> None:
    driver.open_notebook(page, lab, "lessons/00_lessons.ipynb")
    driver.run_all(page)
    desk = driver.to_top(page)
    desk.locator(".trailer-write-sheets").click()
    desk.get_by_text("L1 answers 1-8 us.pdf").first.wait_for(timeout=30_000)
    driver.shot(page, "00_lessons-desk-light")
    assert (lab.folder / "lessons" / "class papers" / "L1 problems 1-8 us.pdf").read_bytes().startswith(b"%PDF-")
