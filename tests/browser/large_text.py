"""Text at 150 % on a small screen: nothing cut, the verdict in sight while a control is moved."""

from __future__ import annotations

import lab as driver
from playwright.sync_api import Page

LARGE = {"width": 853, "height": 533}  # 1280 by 800 with everything half as large again
CUT = """() => {
    const bench = [...document.querySelectorAll(".jp-Notebook .trailer")].find(e => e.offsetParent);
    const edge = bench.getBoundingClientRect();
    const outside = [...bench.querySelectorAll(".trailer-picture, .trailer-verdict, select, input, button, .noUi-base")]
        .filter(e => e.offsetParent && e.getBoundingClientRect().right > edge.right + 1)
        .map(e => "outside: " + e.className);
    const words = bench.querySelector(".trailer-verdict span");
    const clipped = words.scrollHeight > words.clientHeight + 1 ? ["cut: " + words.innerText] : [];
    const short = [...bench.querySelectorAll("button, .widget-label")]
        .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => "cut: " + e.innerText);
    return [...outside, ...clipped, ...short];
}"""
VERDICT_IN_SIGHT = """() => {
    const [told, window_] = [".trailer-verdict", ".jp-WindowedPanel-outer"].map(name =>
        [...document.querySelectorAll(name)].map(e => e.getBoundingClientRect()).find(b => b.width && b.height));
    return told.top >= window_.top - 1 && told.bottom <= window_.bottom;
}"""


def wrong_in_large_text(page: Page, notebook: str) -> list[str]:
    """What is cut or out of sight on the first bench of a page that has run, with the file list and without it."""
    page.set_viewport_size(LARGE)
    wrong: list[str] = []
    for files in ("shown", "folded"):
        if files == "folded":
            page.keyboard.press("Escape")
            page.keyboard.press("Control+b")
        page.wait_for_timeout(400)
        driver.to_top(page)
        driver.shot(page, f"{notebook}-large-{files}")
        wrong += page.evaluate(CUT)
    last = driver.bench(page).locator(".noUi-handle, select, input").last
    last.scroll_into_view_if_needed()
    last.focus()
    page.wait_for_timeout(200)
    return wrong if page.evaluate(VERDICT_IN_SIGHT) else [*wrong, "the verdict is out of sight at the last control"]
