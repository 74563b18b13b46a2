"""Studies, physics and imports against what anybody can run beside them: rows (a), (d), (e), (f), (g), (i)."""

from __future__ import annotations

import statistics
import subprocess
import sys
from typing import Any

import many
import numpy as np
from speed_rows import ROOT, Row, alone, load, row, timed

import trailerlib as tl
from trailerlib.physics import envelope
from trailerlib.physics.enclosure import Box
from trailerlib.physics.enclosure_run import Drive
from trailerlib.physics.network import Tree, solve_dc
from trailerlib.physics.thermostat import Thermostat, thermostat_run
from trailerlib.studies import battery_side
from trailerlib.studies.closing import planted
from trailerlib.studies.closing.diagnose import of_sheet
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import hold

VARIANTS = 100_000
BOXES = 10_000


def studies() -> list[Row]:
    """(a) turn about, so that a busy moment meets both."""
    tree = load(ROOT / "tests" / "outside" / "recorded" / "make_dc_tree.py")
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    tl.assess(demo)
    ours, fresh, theirs = [], [], []
    for number in range(25):
        ours += timed(lambda: tl.assess(demo), 1)
        changed = demo.replace("battery.capacity", f"{90 + number} Ah")
        fresh += timed(lambda design=changed: tl.assess(design), 1)  # type: ignore[misc]
        theirs += timed(tree.run, 1)
    return [
        row("(a) all studies, demo / one simulator run", ours, theirs, "≤ 1, aim 0.33"),
        row("(a) the same, a battery never seen before", fresh, theirs, "≤ 1, aim 0.33"),
    ]


def variants() -> list[Row]:
    """(e) turn about; the simulator has the same network as the call."""
    simulator = load(ROOT / "tests" / "outside" / "recorded" / "make_dc_tree.py")
    side = battery_side.solve(tl.read_design(tl.shipped_trailers()["fen-survey"]))
    if side.network is None or side.ohm is None or side.draw is None or side.emf_v is None:
        raise RuntimeError("the demo has no battery side")
    tree, emf = side.network.tree, side.emf_v
    branches = list(zip(tree.parents, *(column.tolist() for column in (side.ohm, *side.draw)), strict=True))
    rng = np.random.default_rng(1)
    ohm, *draw = (
        column[:, np.newaxis] * rng.uniform(0.5, 1.5, (column.size, VARIANTS)) for column in (side.ohm, *side.draw)
    )

    def all_at_once() -> None:
        found = solve_dc(tree, emf, ohm, power_w=draw[0], conductance_s=draw[1], current_a=draw[2])
        if not found.converged.all():
            raise RuntimeError("some variants have no solution")

    ours, theirs = [], []
    for _ in range(9):
        ours += timed(all_at_once, 1)
        theirs += timed(lambda: simulator.run(branches, emf), 1)
    return [row(f"(e) {VARIANTS} variants, {len(branches)} nodes / one simulator run", ours, theirs, "≤ 100")]


def box() -> list[Row]:
    """(f) in steps of five minutes; every box has walls, leaks, contents and weather of its own."""
    demo = tl.read_design(tl.shipped_trailers()["fen-survey"])
    case, set_c = heat.case_of(demo), float(demo.comfort.set_point or 0.0)
    need = hold.asked(case, set_c)
    day, rated = hold.day_of(case), sum(load.cooling_w or 0.0 for load in hold.coolers(demo))
    three = Drive(*(np.tile(part, 3) for part in vars(day).values()))
    cold = np.tile(need.cold_w(rated), 3)
    switch = Thermostat(set_c, float(demo.comfort.band or hold.USUAL_BAND_K), hold.PAUSE_S)

    def three_days() -> None:
        thermostat_run(case.box, three, hold.STEP_S, need.start_air_c, need.start_mass_c, cold, switch)

    rng = np.random.default_rng(1)

    def spread() -> Any:
        return rng.uniform(0.5, 1.5, BOXES)

    layers = [envelope.Layer(7.6e-4 * spread(), 221.0), envelope.Layer(0.0254 * spread(), 0.0288 * spread(), 4e4, True),
              envelope.Layer(6.35e-3 * spread(), 0.115, 9e5)]  # fmt: skip
    stud = envelope.Stud(45.3, 0.0254, 0.0254, 0.406 * spread(), 1.65e-3)
    boxes = Box(*(part * spread() for part in vars(case.box).values()))
    drives = Drive(*(part[None] + 3.0 * spread()[:, None] for part in vars(day).values()))
    return [
        alone("(f) 72 h of the box with thermostat", timed(three_days, 15), "≤ 20 ms"),
        alone(
            f"(f) {BOXES} walls with studs in one call",
            timed(lambda: envelope.face_of(0.06, layers, 0.12, stud), 15),
            "—",
        ),
        alone(
            f"(f) {BOXES} boxes held through two days in one call",
            timed(lambda: hold.held_over(boxes, drives, set_c), 3),
            "—",
        ),
    ]


def faults() -> list[Row]:
    """(g) every fault of the test sheet held against forty readings, other readings each time."""
    hidden = planted.plant(tl.read_design(tl.shipped_trailers()["fen-survey"]), 3)
    rng, keys = np.random.default_rng(1), hidden.keys
    told = [{key: hidden.read(key) for key in rng.choice(keys, 40, replace=False)} for _ in range(15)]
    of_sheet(hidden.sheet, told[0])
    count = sum(len(block.faults) for block in hidden.sheet.blocks)
    ours = [spent for readings in told for spent in timed(lambda r=readings: of_sheet(hidden.sheet, r), 1)]  # type: ignore[misc]
    return [
        alone(f"(g) 40 readings against {count} faults of every size, and the next line", ours, "≤ 1000 ms for 300")
    ]


def _fresh_answers(few: tl.Design, question: str, count: int) -> list[float]:
    """How long an answer takes of which nothing is known yet [ms]; making the design is not counted."""
    designs = [many.with_more(few, count) for _ in range(5)]
    return [timed(lambda d=design: tl.study(question, d), 1)[0] for design in designs]  # type: ignore[misc]


def growth() -> list[Row]:
    """(i) ten times and a hundred times as much: how much longer."""
    found = []
    few = many.with_circuits(10)
    for question, count in (("wiring", 100), *((q, 1000) for q in ("loads", "wiring", "mains", "night"))):
        lot, ten = _fresh_answers(few, question, count), _fresh_answers(few, question, 10)
        found.append(row(f"(i) the answer of {question}, {count} circuits / 10", lot, ten, f"about {count // 10}"))
    rng, each = np.random.default_rng(1), []
    for count in (10, 1000):
        tree = Tree.of([-1, *(int(rng.integers(max(0, k - 5), k)) for k in range(1, count))])
        ohm, watts = np.full(count, 1e-4), np.full(count, 30.0 / count)
        each.append(timed(lambda t=tree, o=ohm, w=watts: solve_dc(t, 12.6, o, power_w=w), 15))  # type: ignore[misc]
    found.append(row("(i) a feeder of 1000 nodes / of 10", each[1], each[0], "at most 100"))
    return found


def imports() -> list[Row]:
    """(d) in fresh processes, turn about."""

    def once(code: str) -> float:
        full = f"import time; b = time.perf_counter(); {code}; print(1e3 * (time.perf_counter() - b))"
        return float(subprocess.run([sys.executable, "-c", full], capture_output=True, text=True, check=True).stdout)

    bare = "import numpy, pydantic"
    study = "import numpy, pydantic, trailerlib; trailerlib.assess; trailerlib.Design; trailerlib.open_design"
    rows: dict[str, list[float]] = {bare: [], f"{bare}, trailerlib": [], study: []}
    for _ in range(9):
        for code, found in rows.items():
            found.append(once(code))
    base = statistics.median(rows[bare])
    out = []
    for code, what in ((f"{bare}, trailerlib", "(d) import trailerlib"), (study, "(d) and its studies and designs")):
        over = statistics.median(rows[code]) - base
        pair = f"{statistics.median(rows[code]):.0f} / {base:.0f}"
        spread = f"{min(rows[code]):.0f}…{max(rows[code]):.0f}"
        out.append((what + " over numpy, pydantic", "median", pair, spread, f"{over:+.0f} ms", "≤ +150 ms"))
    return out
