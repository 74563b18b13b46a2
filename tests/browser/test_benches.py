"""The benches under the keyboard: what moves, what it says, what stays where it is."""

from __future__ import annotations

import re
import time
from dataclasses import dataclass

import lab as driver
import pytest
from large_text import wrong_in_large_text

import trailerlib as tl
from trailerlib.design.readings import read_readings


@dataclass(frozen=True)
class Case:
    """One bench: its notebook, a slider with what a press adds, a pick list, and how the library is asked."""

    notebook: str
    question: str
    slider: str
    path: tuple[str, ...]
    start: float
    step: float
    unit: str
    pick: str
    picked: tuple[tuple[str, ...], str]
    choices: tuple[tuple[str, object], ...] = ()
    looked_at: tuple[tuple[str, object], ...] = ()  # what the pick list asks of the library; it then writes nothing
    looked_from: str = ""  # and what it stood at

    def words(self, design, **more):
        """What the verdict must say of a design."""
        answer = tl.study(self.question, design, **{**dict(self.choices), **more})
        return " ".join(f"{answer.mark} {answer.word} {answer.sentence}".split())

    def moved(self, design, presses):
        """The design after so many presses."""
        return design.replace(self.path, f"{self.start + presses * self.step:g} {self.unit}")


CASES = {
    "loads": Case(
        "01_what_must_it_run", "loads", "power", ("load", "ceiling lights", "power"), 3.0, 0.5, "W",
        "class", (("load", "ceiling lights", "class"), "led entry light"),
    ),
    "night": Case(
        "02_will_it_last_the_night", "night", "capacity", ("battery", "capacity"), 100.0, 5.0, "Ah",
        "chemistry", (("battery", "chemistry"), "gel"),
    ),
    "wire": Case(
        "03_which_wire", "wiring", "run", ("circuit", "work lights", "run"), 24.5, 0.5, "ft",
        "wire", (("circuit", "work lights", "wire"), "10 AWG"), (("circuit", "work lights"),),
    ),
    "mains": Case(
        "04_what_trips_first", "mains", "voltage", ("supply", "shore", "voltage"), 120.0, 0.5, "V",
        "cord", (("supply", "shore", "cord"), "8 AWG"),
        (("supply", "shore"), ("on", ("roof cooler", "dryer road side", "dryer curb side", "kettle", "laptops",
                                      "microscope lamp", "charger"))),
    ),
    "generator": Case(
        "05_which_generator", "generator", "elevation", ("site", "elevation"), 5200.0, 100.0, "ft",
        "kind", (("supply", "generator", "kind"), "portable 4500 W"),
    ),
    "cool": Case(
        "06_will_it_stay_cool", "cooling", "set_point", ("comfort", "set_point"), 76.0, 1.0, "°F",
        "colour", (("envelope", "roof_skin"), "dark paint"),
    ),
    "roof": Case(
        "07_will_the_roof_carry_it", "roof", "spacing", ("roof", "spacing"), 24.0, 1.0, "in",
        "metal", (("roof", "metal"), "mild steel"),
    ),
    "tow": Case(
        "08_will_it_tow_straight", "towing", "mass", ("cargo", "plant presses", "mass"), 120.0, 5.0, "lb",
        "when", ((), "standing, people aboard"), (("thing", "plant presses"),), (("parked", True),), "on the road",
    ),
}  # fmt: skip
each = pytest.mark.parametrize("case", CASES.values(), ids=CASES)

COUNT_CHANGES = """() => {
    const picture = document.querySelector(".trailer-picture");
    window.changes = 0;
    window.last = picture.querySelector("svg").outerHTML;
    new MutationObserver(() => {
        const now = picture.querySelector("svg")?.outerHTML;
        if (now && now !== window.last) { window.last = now; window.changes += 1; }
    }).observe(picture, {childList: true, subtree: true, characterData: true});
}"""


def start(case, lab, page):
    """The notebook run, the bench on top."""
    driver.open_notebook(page, lab, f"{case.notebook}.ipynb")
    driver.run_all(page)
    driver.to_top(page)
    return tl.read_design(lab.trailer)


def boxes(page):
    """Where the parts of the bench are, all at one moment: between two questions a picture may be drawn anew."""
    parts = [".trailer-verdict", ".trailer-picture svg", ".trailer .jupyter-widget-tab", ".trailer-keep"]
    return page.evaluate(
        """parts => Object.fromEntries(parts.map(part => {
            const {x, y, width, height} = document.querySelector(part).getBoundingClientRect();
            return [part, [x, y, width, height]];
        }))""",
        parts,
    )


def choose_by_keyboard(page, key, wanted):
    """Open the pick list from the keyboard, arrow to what is wanted, and take it."""
    box = page.locator(f".trailer-control-{key} select").first
    names = [name.replace("\xa0", " ") for name in box.evaluate("e => [...e.options].map(o => o.text)")]
    here = box.evaluate("e => e.selectedIndex")
    place = next(n for n, name in enumerate(names) if wanted in (name, name.split(" (")[0]))
    box.focus()
    page.keyboard.press("Alt+ArrowDown")
    page.wait_for_timeout(200)
    for _ in range(abs(place - here)):
        page.keyboard.press("ArrowDown" if place > here else "ArrowUp")
    page.keyboard.press("Enter")


@each
def test_a_bench_says_what_the_library_says_stays_in_place_and_settles(case, lab, page):
    """Pressed a few times; reset; moved fast and let go; there again after a reload."""
    seen = driver.watch(page)
    driver.open_and_run(page, lab, f"{case.notebook}.ipynb")
    driver.to_top(page)
    driver.shot(page, f"{case.notebook}-light")
    design = tl.read_design(lab.trailer)
    says_what_the_library_says(case, page, design)
    page.locator(".trailer-reset").first.click()
    driver.wait_verdict(page, case.words(design))
    settles_after_a_fast_drag(case, page, design)
    page.locator(".trailer-reset").first.click()
    driver.wait_verdict(page, case.words(design))
    can_be_read_in_the_dark_and_in_large_text(page, case.notebook)
    assert seen.errors == []
    assert seen.strangers == []


def says_what_the_library_says(case, page, design):
    """Verdict, slider, table and picture follow a few presses and a choice, and nothing jumps in either window."""
    assert driver.verdict(page) == case.words(design)
    before, first = boxes(page), driver.picture(page)
    driver.handle(page, case.slider).focus()
    presses = 5
    for _ in range(presses):
        page.keyboard.press("ArrowRight")
    moved = case.moved(design, presses)
    driver.wait_verdict(page, case.words(moved))
    page.wait_for_timeout(150)
    assert float(driver.readout(page, case.slider)) == pytest.approx(case.start + presses * case.step, abs=0.51)
    assert driver.picture(page) != first
    assert boxes(page) == before, "something jumped"
    numbers_follow(page, tl.study(case.question, moved, **dict(case.choices)))
    choose_by_keyboard(page, case.pick, case.picked[1])
    asked = dict(case.looked_at)
    if case.looked_at:
        assert case.words(moved, **asked) != case.words(moved)
    elif case.question == "loads":  # another class has its own figure
        moved = tl.design_from(moved.raw).replace_all({case.picked[0]: case.picked[1], case.path: None})
    else:
        moved = moved.replace(*case.picked)
    driver.wait_verdict(page, case.words(moved, **asked))
    assert boxes(page) == before, "something jumped"
    shown = page.locator(".trailer .jupyter-widget-tab .trailer-pane table").last.inner_text()
    row = tl.study(case.question, moved, **dict(case.choices), **asked).table().iloc[0]
    assert str(row.iloc[0]) in shown
    assert str(row.iloc[-1]) in shown
    driver.to_top(page)
    inside(page, case)
    assert faint(page) == []
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.wait_for_timeout(400)
    driver.to_top(page)
    inside(page, case)
    driver.shot(page, f"{case.notebook}-1920")
    page.set_viewport_size({"width": 1280, "height": 800})
    page.wait_for_timeout(400)
    driver.to_top(page)
    if case.looked_at:  # a pick list that only looks is no move, and Reset leaves it
        choose_by_keyboard(page, case.pick, case.looked_from)


def numbers_follow(page, answer):
    """The numbers below the picture are those of the last move, a moment after the hand rests."""
    wanted = [" ".join(f"{one.title} {one.text(answer.system)}".split()) for one in answer.numbers.values()]
    page.wait_for_timeout(400)
    shown = page.locator(".trailer-pane .trailer-numbers div").evaluate_all("all => all.map(e => e.innerText)")
    found = [" ".join(words.split()) for words in shown]
    assert [one.replace(" ", "") for one in found[: len(wanted)]] == [one.replace(" ", "") for one in wanted]


def settles_after_a_fast_drag(case, page, design):
    """The last of many presses is what stands there in the end, and after a reload."""
    page.evaluate(COUNT_CHANGES)
    driver.handle(page, case.slider).focus()
    top = float(driver.handle(page, case.slider).get_attribute("aria-valuemax"))
    moves = 60
    for _ in range(moves):
        page.keyboard.press("ArrowRight")
    last = time.monotonic()
    moved = case.moved(design, min(moves, int((top - case.start) / case.step + 1e-6)))
    words = case.words(moved)
    driver.wait_verdict(page, words, timeout_s=2.0)
    took_s = time.monotonic() - last
    page.wait_for_timeout(2000)
    assert driver.verdict(page) == words, "it went on changing"
    assert took_s < 2.0
    assert 1 <= page.evaluate("window.changes") <= moves
    before = shown(page, case)
    driver.save(page)
    page.reload()
    driver.settled(page)
    driver.wait_verdict(page, words)
    page.wait_for_timeout(500)
    assert shown(page, case) == before
    driver.handle(page, case.slider).focus()
    page.keyboard.press("ArrowLeft")
    back = min(moves, int((top - case.start) / case.step + 1e-6)) - 1
    driver.wait_verdict(page, case.words(case.moved(design, back)))


def shown(page, case):
    """What the bench shows: verdict, slider, table, picture."""
    table = page.locator(".trailer-pane table").last.inner_text()
    return driver.verdict(page), driver.readout(page, case.slider), table, driver.picture(page)


def test_keep_undo_and_the_other_notebooks(lab, page, browser):
    case = CASES["night"]
    design = start(case, lab, page)
    text = lab.trailer.read_text(encoding="utf-8")
    comments = [line.split("#", 1)[1] for line in text.splitlines() if "#" in line]
    driver.handle(page, case.slider).focus()
    for _ in range(6):
        page.keyboard.press("ArrowLeft")
    moved = case.moved(design, -6)
    driver.wait_verdict(page, case.words(moved))
    assert lab.trailer.read_text(encoding="utf-8") == text, "written before Keep"
    page.locator(".trailer-keep").first.click()
    page.get_by_text("Kept as revision 2.").wait_for(timeout=10_000)
    kept = lab.trailer.read_text(encoding="utf-8")
    assert [line.split("#", 1)[1] for line in kept.splitlines() if "#" in line] == comments
    assert tl.read_design(lab.trailer).battery.capacity == pytest.approx(70.0)

    second = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    driver.open_notebook(second, lab, "00_start.ipynb")
    driver.run_all(second)
    words = " ".join(second.locator(".trailer-page").inner_text().split())
    assert tl.study("night", moved).sentence in words
    assert "revision 2" in words
    second.context.close()

    page.locator(".trailer-undo").first.click()
    page.get_by_text("Took back the last Keep").wait_for(timeout=10_000)
    driver.wait_verdict(page, case.words(design))
    assert tl.read_design(lab.trailer).battery.capacity == pytest.approx(100.0)


def inside(page, case):
    """Verdict, controls, picture and buttons lie inside the notebook's window; no text is cut off."""
    assert (
        beyond(page, [".trailer-verdict", ".trailer-picture svg", f".trailer-control-{case.slider}", ".trailer-keep"])
        == []
    )
    cut = page.evaluate(
        """() => {
            const words = document.querySelector(".trailer-verdict span");
            const out = [];
            if (words.scrollHeight > words.clientHeight + 1) out.push("verdict: " + words.innerText);
            for (const label of document.querySelectorAll(".trailer .widget-label"))
                if (label.offsetParent && label.scrollWidth > label.clientWidth + 1) out.push(label.innerText);
            for (const part of document.querySelectorAll(".trailer-numbers"))
                if (part.scrollWidth > part.parentElement.clientWidth + 1) out.push("numbers");
            const sheet = document.querySelector(".trailer-picture svg");
            const {width, height} = sheet.viewBox.baseVal;
            for (const text of sheet.querySelectorAll("text")) {
                const b = text.getBBox();
                if (b.x < -1 || b.y < -1 || b.x + b.width > width + 1 || b.y + b.height > height + 1)
                    out.push("picture: " + text.textContent);
            }
            return out;
        }"""
    )
    assert cut == []


CONTRAST = """() => {
    const canvas = document.createElement("canvas").getContext("2d");
    const rgba = colour => {
        canvas.clearRect(0, 0, 1, 1); canvas.fillStyle = colour; canvas.fillRect(0, 0, 1, 1);
        return [...canvas.getImageData(0, 0, 1, 1).data];
    };
    const light = c => c.slice(0, 3).map(v => v / 255)
        .map(v => v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
        .reduce((sum, v, k) => sum + v * [0.2126, 0.7152, 0.0722][k], 0);
    const ground = element => {
        for (let e = element; e; e = e.parentElement) {
            const c = rgba(getComputedStyle(e).backgroundColor);
            if (c[3] > 250) return c;
        }
        return [255, 255, 255, 255];
    };
    const found = [];
    const look = (element, colour) => {
        const words = element.textContent.trim();
        if (!words || !element.getClientRects().length) return;
        const [a, b] = [light(rgba(colour)), light(ground(element))].sort((x, y) => y - x);
        found.push([words.slice(0, 40), (a + 0.05) / (b + 0.05)]);
    };
    for (const e of document.querySelectorAll(".trailer-picture svg text, .trailer-plan svg text"))
        if (!e.getAttribute("fill").includes("paper")) look(e, getComputedStyle(e).fill);
    for (const e of document.querySelectorAll(
        ".trailer-verdict b, .trailer-verdict span, .trailer td, .trailer th, .trailer-numbers div, " +
        ".trailer .widget-label, .trailer .widget-readout, .trailer li, .trailer small, .trailer-source, " +
        ".trailer option, .trailer button, .trailer .lm-TabBar-tabLabel, .trailer a, .trailer b"))
        look(e, getComputedStyle(e).color);
    return found;
}"""


def faint(page, least=21):
    """Texts of the bench with a contrast under 4.5 to 1; at least so many must have been looked at."""
    found = page.evaluate(CONTRAST)
    assert len(found) >= least
    return sorted({(words, round(ratio, 2)) for words, ratio in found if ratio < 4.5})


def can_be_read_in_the_dark_and_in_large_text(page, notebook):
    driver.darken(page)
    driver.to_top(page)
    driver.shot(page, f"{notebook}-dark")
    assert faint(page) == []
    assert wrong_in_large_text(page, notebook) == []


@pytest.fixture(scope="module")
def night_page(running, browser):
    """The night bench, run once for the tests that only look."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    found = context.new_page()
    found.set_default_timeout(20_000)
    start(CASES["night"], running, found)
    yield found
    context.close()
    running.tidy()


def test_an_old_answer_is_greyed_on_every_page(night_page):
    """The marks of an old answer dim whatever page is open."""
    page = night_page
    for number in range(3):
        page.locator(".trailer .lm-TabBar-tab").nth(number).click()
        page.wait_for_timeout(400)
        page.locator(".trailer .jupyter-widget-tab").first.evaluate("e => e.classList.add('trailer-stale')")
        bright = page.evaluate(
            """() => {
                const dim = e => { let o = 1; for (; e; e = e.parentElement) o *= +getComputedStyle(e).opacity; return o; };
                const texts = [...document.querySelectorAll(".trailer .widget-tab-contents *")]
                    .filter(e => e.getClientRects().length && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()));
                return texts.filter(e => dim(e) > 0.6).map(e => e.innerText || e.textContent).slice(0, 3);
            }"""
        )
        page.locator(".trailer .jupyter-widget-tab").first.evaluate("e => e.classList.remove('trailer-stale')")
        assert bright == [], f"page {number} looks valid"


def test_tab_reaches_every_control(night_page):
    page = night_page
    page.locator(".trailer-control-capacity .noUi-handle").first.focus()
    reached = set()
    for _ in range(26):
        name = page.evaluate(
            "(document.activeElement.closest('[class*=trailer-]')?.className || '') + ' ' + "
            "(document.activeElement.closest('[class*=trailer-control-]')?.className || '')"
        )
        reached.update(re.findall(r"trailer-(?:control-)?(\w+)", name))
        page.keyboard.press("Tab")
    assert {"capacity", "batteries", "chemistry", "ambient", "length", "load", "class", "which", "hours"} <= reached
    assert {"keep", "undo", "reset"} <= reached


def test_arrows_change_a_pick_list_that_has_the_focus(night_page):
    """Tab to a list, press an arrow: the list moves, not the notebook; a letter never edits the notebook."""
    page = night_page
    box, cells = page.locator(".trailer-control-chemistry select").first, page.locator(".jp-Notebook .jp-Cell").count()
    before = box.evaluate("e => e.selectedIndex")
    box.focus()
    page.keyboard.press("b")
    page.wait_for_timeout(200)
    assert page.locator(".jp-Notebook .jp-Cell").count() == cells, "a letter typed on the list edited the notebook"
    box.focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_timeout(200)
    assert box.evaluate("e => e.selectedIndex") == before + 1
    assert page.evaluate("document.activeElement.tagName") == "SELECT"


def test_the_pictures_of_the_wire_bench_and_the_trailer_below(lab, page):
    """Three pictures by keyboard, the trailer below following the slider, and all of it there after a reload."""
    case = CASES["wire"]
    driver.watch(page)
    start(case, lab, page)
    below = page.locator(".trailer-below svg")
    first, seen = below.inner_html(), [driver.picture(page)]
    page.locator(".trailer-pictures button").first.focus()
    for number in (1, 2):
        page.locator(".trailer-pictures button").nth(number).press("Enter")
        page.wait_for_timeout(700)
        seen.append(driver.picture(page))
        driver.shot(page, f"03_which_wire-picture-{number}-light")
    assert len(set(seen)) == 3
    driver.handle(page, "run").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.wait_for_timeout(1200)
    assert driver.picture(page) != seen[-1]
    assert below.inner_html() != first
    assert "was" in below.text_content()
    below.scroll_into_view_if_needed()
    driver.shot(page, "03_which_wire-trailer-light")
    now, under = driver.picture(page), below.inner_html()
    driver.save(page)
    page.reload()
    driver.settled(page)
    page.locator(".trailer-below svg").wait_for(timeout=60_000)
    assert driver.picture(page) == now
    assert below.inner_html() == under


def test_a_thing_is_carried_aside_and_back_on_the_view_from_above(lab, page):
    """Across by keyboard until the sides are uneven: the verdict says the move back, and taking it evens them again."""
    seen = driver.watch(page)
    case = CASES["tow"]
    design = start(case, lab, page)
    side = driver.picture(page)
    page.locator(".trailer-pictures button").nth(1).press("Enter")
    page.wait_for_timeout(700)
    above = driver.picture(page)
    assert above != side and "road side carries" in above
    choose_by_keyboard(page, "item", "field kit")
    page.wait_for_timeout(900)
    driver.handle(page, "across").focus()
    presses = 5
    for _ in range(presses):
        page.keyboard.press("ArrowLeft")
    askew = design.replace(("cargo", "field kit", "at"), ["4 ft", f"{1.5 - 0.25 * presses} ft", "1 ft 6 in"])
    driver.wait_verdict(page, case.words(askew))
    assert "toward the curb side puts it right" in driver.verdict(page)
    assert driver.picture(page) != above
    for _ in range(presses):
        page.keyboard.press("ArrowRight")
    driver.wait_verdict(page, case.words(design))
    assert seen.errors == []
    assert seen.strangers == []


def test_looking_at_another_opening_moves_nothing(lab, page):
    """Another focus, another mass between two steps of its slider: the design stays as it is."""
    case = CASES["roof"]
    driver.watch(page)
    design = start(case, lab, page)
    masses = {o.name: 13 if o.name == "roof fan" else 93 for o in design.openings if o.wall == "roof"}
    for name in ("roof fan", "side door", "roof cooler", "side door", "roof fan"):
        choose_by_keyboard(page, "opening", name)
        page.wait_for_timeout(900)
        driver.wait_verdict(page, case.words(design, opening=name))
        assert name not in masses or float(driver.readout(page, "mass")) == masses[name]
        shut = page.locator(".trailer-control-mass .noUi-target").first.get_attribute("disabled") is not None
        assert shut == (name not in masses), "what sits in a door bends no bow"
    page.locator(".trailer .lm-TabBar-tab").nth(0).click()
    told = tl.study("roof", design, opening="roof fan")
    assert told.numbers["stress"].text(told.system) in page.locator(".trailer-numbers").first.inner_text()


def test_the_closing_bench_by_keyboard(lab, page):
    """Type, tab, see the verdict follow; a wrong text is explained; go there; keep; all of it there after a reload."""
    seen = driver.watch(page)
    driver.open_and_run(page, lab, "09_can_the_walls_close.ipynb")
    driver.to_top(page)
    driver.shot(page, "09_can_the_walls_close-light")
    design = tl.read_design(lab.trailer)
    first = boxes(page)
    choose_by_keyboard(page, "stage", "battery on, mains off")
    page.wait_for_timeout(700)
    for number, text in enumerate(("12.85", "12,8")):
        box = page.locator(f".trailer-reading-{number} input").first
        box.focus()
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    page.get_by_text("has a comma").first.wait_for(timeout=10_000)
    values = {"rest/battery volts": 12.85}
    driver.wait_verdict(page, closing_words(design, values))
    assert boxes(page) == first, "something jumped"
    cut_off = page.evaluate(CUT_OFF)
    assert cut_off == []
    assert within_window(page) == []
    page.locator(".trailer-go").first.press("Enter")
    page.wait_for_timeout(900)
    assert page.evaluate("document.activeElement.closest('[class*=trailer-reading-]') !== null"), (
        "no field has the focus"
    )
    for field, text in ((".trailer-date input", "2026-03-01"), (".trailer-by input", "AB")):
        page.locator(field).first.fill(text)
    page.locator(".trailer-keep").first.press("Enter")
    page.get_by_text("Kept 1 readings").wait_for(timeout=10_000)
    short = ".trailer-row button:visible"
    cut = page.locator(short).evaluate_all(
        "all => all.filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)"
    )
    assert cut == [], "what is said squeezes the buttons"
    assert read_readings(lab.trailer).values() == values
    now = driver.verdict(page), driver.picture(page)
    driver.save(page)
    page.reload()
    driver.settled(page)
    driver.wait_verdict(page, now[0])
    page.wait_for_timeout(600)
    assert driver.picture(page) == now[1]
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.wait_for_timeout(400)
    driver.to_top(page)
    assert page.evaluate(CUT_OFF) == []
    assert within_window(page) == []
    assert faint(page) == []
    driver.shot(page, "09_can_the_walls_close-1920")
    page.set_viewport_size({"width": 1280, "height": 800})
    page.wait_for_timeout(400)
    can_be_read_in_the_dark_and_in_large_text(page, "09_can_the_walls_close")
    assert seen.errors == []
    assert seen.strangers == []


def test_a_hidden_fault_is_hunted_by_keyboard(lab, page):
    seen = driver.watch(page)
    driver.open_notebook(page, lab, "09_can_the_walls_close.ipynb")
    driver.run_all(page)
    hunt = page.locator(".trailer:has(.trailer-commit)").first
    hunt.evaluate("e => e.scrollIntoView({block: 'start'})")
    hunt.locator(".trailer-line button").first.press("Enter")
    hunt.locator(".trailer-verdict", has_text="1 measurement so far").wait_for(timeout=10_000)
    hunt.locator(".trailer-commit").press("Enter")
    hunt.get_by_text("Say first what it is").wait_for(timeout=10_000)
    hunt.locator(".trailer-control-kind select").select_option(index=1)
    page.wait_for_timeout(700)
    hunt.locator(".trailer-control-guess select").select_option(index=1)
    page.wait_for_timeout(700)
    hunt.locator(".trailer-commit").press("Enter")
    hunt.locator(".trailer-verdict", has_text="most telling line").wait_for(timeout=30_000)
    driver.shot(page, "09_can_the_walls_close-hunt")
    assert read_readings(lab.trailer).values() == {}, "the hunt was kept"
    assert seen.errors == []


def closing_words(design, values):
    """What the verdict must say of readings."""
    answer = tl.study("closing", design, readings=values)
    return " ".join(f"{answer.mark} {answer.word} {answer.sentence}".split())


def within_window(page):
    """Parts of the closing bench that reach over an edge of the notebook's window."""
    return beyond(page, [".trailer-verdict", ".trailer-next", ".trailer-form", ".trailer-picture svg", ".trailer-keep"])


def beyond(page, parts):
    """Which of the parts reach over an edge of the notebook's window, with left, top, right and bottom."""
    (west, north, east, south), *shown = driver.rectangles(page, [".jp-WindowedPanel-outer", *parts])
    return [
        (part, left, top, right, bottom)
        for part, (left, top, right, bottom) in zip(parts, shown, strict=True)
        if left < west - 1 or top < north - 1 or right > east + 1 or bottom > south + 1
    ]


CUT_OFF = """() => {
    const out = [];
    const bench = document.querySelector(".trailer:has(.trailer-date)");
    const tell = ".trailer-verdict span, .trailer-told, .trailer-mark, .trailer-small, .trailer-wrong, .widget-label, button";
    for (const e of bench.querySelectorAll(tell))
        if (e.offsetParent && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1))
            out.push(e.className + ": " + e.innerText);
    const sheet = bench.querySelector(".trailer-picture svg");
    const {width, height} = sheet.viewBox.baseVal;
    for (const text of sheet.querySelectorAll("text")) {
        const b = text.getBBox();
        if (b.x < -1 || b.y < -1 || b.x + b.width > width + 1 || b.y + b.height > height + 1) out.push(text.textContent);
    }
    return out;
}"""
