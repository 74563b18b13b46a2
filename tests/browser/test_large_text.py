"""Text at 150 % on a small screen: nothing cut, the verdict in sight while a control is moved."""

from __future__ import annotations

import lab as driver
import pytest

LARGE = {"width": 853, "height": 533}  # 1280 by 800 with everything half as large again
CUT = """() => {
    const bench = document.querySelector(".jp-Notebook .trailer"), edge = bench.getBoundingClientRect();
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
    const [told, window_] = [".trailer-verdict", ".jp-WindowedPanel-outer"].map(
        name => document.querySelector(name).getBoundingClientRect());
    return told.top >= window_.top - 1 && told.bottom <= window_.bottom;
}"""
BENCHES = [
    "01_what_must_it_run", "02_will_it_last_the_night", "03_which_wire", "04_what_trips_first", "05_which_generator",
    "06_will_it_stay_cool", "07_will_the_roof_carry_it", "08_will_it_tow_straight", "09_can_the_walls_close",
    "10_what_would_i_trade",
]  # fmt: skip


@pytest.mark.parametrize("notebook", BENCHES)
def test_a_bench_in_large_text(notebook, lab, page):
    page.set_viewport_size(LARGE)
    driver.open_notebook(page, lab, f"{notebook}.ipynb")
    driver.run_all(page)
    for files in ("shown", "folded"):
        if files == "folded":
            page.keyboard.press("Escape")
            page.keyboard.press("Control+b")
            page.wait_for_timeout(400)
        driver.to_top(page)
        driver.shot(page, f"{notebook}-large-{files}")
        assert page.evaluate(CUT) == []
    last = driver.bench(page).locator(".noUi-handle, select, input").last
    last.scroll_into_view_if_needed()
    last.focus()
    page.wait_for_timeout(200)
    assert page.evaluate(VERDICT_IN_SIGHT)
