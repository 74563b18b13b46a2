"""The page of many designs under the keyboard: tick, look, stop, move limits, walk through the best, take one."""

from __future__ import annotations

import re

import lab as driver
from large_text import wrong_in_large_text
from playwright.sync_api import expect

import trailerlib as tl
from trailerlib.studies import trade_offs

NOTEBOOK = "10_what_would_i_trade.ipynb"


def start(lab, page):
    driver.open_notebook(page, lab, NOTEBOOK)
    driver.run_all(page)
    driver.to_top(page)
    return tl.read_design(lab.trailer)


def tick(page, *words):
    """Tick by the keyboard what carries these words, and untick the rest."""
    for box in page.locator(".trailer-trade-axes .widget-checkbox").all():
        wanted = any(word in box.inner_text() for word in words)
        field = box.locator("input")
        if field.is_checked() != wanted:
            field.focus()
            page.keyboard.press("Space")


def said(page):
    return page.locator(".trailer-said").first


def test_tick_look_limit_walk_and_take_by_the_keyboard(lab, page):
    seen = driver.watch(page)
    driver.open_and_run(page, lab, NOTEBOOK)
    driver.to_top(page)
    driver.shot(page, "10_what_would_i_trade-light")
    design = tl.read_design(lab.trailer)
    tick(page, "battery capacity", "battery chemistry", "charger current")
    look = page.locator(".trailer-trade-look")
    expect(look).to_have_text("Look at 96 designs")
    look.focus()
    page.keyboard.press("Enter")
    expect(said(page)).to_have_text("Looked at 96 designs.", timeout=60_000)
    axes = [a for a in trade_offs.usual_axes(design) if a.path[-1] in ("capacity", "chemistry", "current")]
    own = tl.study("trade-offs", design, trade=trade_offs.trade_of(
        trade_offs.sweep(design, axes, trade_offs.question.KEYS), design, limits={"stop": (None, 0.0), "fix": (None, 5.0)}))  # fmt: skip
    assert own.sentence in driver.verdict(page)
    before = driver.picture(page)
    driver.handle(page, "cost").focus()
    for _ in range(10):
        page.keyboard.press("ArrowRight")
    expect(page.locator(".trailer-control-cost .widget-label").first).to_have_text(re.compile("Cost: ≤ "))
    page.wait_for_function("old => document.querySelector('.trailer-picture svg').outerHTML !== old", arg=before)
    driver.handle(page, "best").focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.wait_for_timeout(800)
    told = page.locator(".trailer-trade-told")
    expect(told).to_contain_text(re.compile(r"Candidate \d+: .*Nothing beats it"))
    row = int(re.search(r"Candidate (\d+)", told.inner_text())[1])
    page.get_by_role("button", name="Take this one").focus()
    page.keyboard.press("Enter")
    expect(said(page)).to_have_text(f"Took candidate {row}. Keep writes it.")
    assert tl.read_design(lab.trailer).raw == design.raw, "it was written before Keep"
    page.locator(".trailer-keep").focus()
    page.keyboard.press("Enter")
    expect(said(page)).to_contain_text("Kept as revision")
    kept = tl.read_design(lab.trailer)
    assert kept.get("battery.capacity") in told.inner_text() or kept.get("battery.capacity") == design.get(
        "battery.capacity"
    )
    assert kept.raw != design.raw
    assert seen.errors == []
    assert seen.strangers == []
    driver.shot(page, "10_what_would_i_trade-taken-light")


def test_a_long_look_tells_how_long_and_can_be_stopped(lab, page):
    start(lab, page)
    for box in page.locator(".trailer-trade-axes input").all():
        box.check()
    before = driver.verdict(page)
    page.locator(".trailer-trade-look").click()
    left = page.locator(".trailer-trade-left")
    expect(left).to_have_text(re.compile(r"\d+%, about .* more"), timeout=90_000)
    expect(page.locator(".trailer-trade-look")).to_be_disabled()
    driver.handle(page, "reserve_h").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator(".trailer-control-reserve_h .widget-label").first).to_have_text(re.compile("Reserve: ≥ "))
    page.keyboard.press("ArrowLeft")
    page.locator(".trailer-trade-cancel").click()
    expect(said(page)).to_contain_text("Stopped after", timeout=30_000)
    driver.wait_verdict(page, before)
    expect(page.locator(".trailer-trade-look")).to_be_enabled()


def test_after_a_reload_the_bench_shows_what_it_showed(lab, page):
    start(lab, page)
    driver.handle(page, "best").focus()
    for _ in range(2):
        page.keyboard.press("ArrowRight")
    page.wait_for_timeout(400)
    words, drawing = driver.verdict(page), driver.picture(page)
    number = page.locator(".trailer-control-candidate input").first.input_value()
    driver.save(page)
    page.reload()
    driver.settled(page)
    driver.to_top(page)
    driver.wait_verdict(page, words)
    assert page.locator(".trailer-control-candidate input").first.input_value() == number
    assert driver.picture(page) == drawing
    fits_in_the_dark(page)


def fits_in_the_dark(page):
    driver.darken(page)
    driver.to_top(page)
    box = page.locator(".trailer-verdict").first.bounding_box()
    button = page.get_by_role("button", name="Take this one").bounding_box()
    assert button["y"] + button["height"] < 780, "what takes a candidate lies below the page"
    assert box["y"] < 140
    driver.shot(page, "10_what_would_i_trade-dark")
    assert wrong_in_large_text(page, "10_what_would_i_trade") == []
