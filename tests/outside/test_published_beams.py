"""Beams that somebody else worked out and printed: each case of the source, with numbers put into its formulas."""

from __future__ import annotations

import numpy as np
from check import Check, each

from trailerlib.physics import beam
from trailerlib.physics.beam import Bow, Loads
from trailerlib.physics.bending import Largest

SPAN, EI = 72.0, 1.0322e6  # [in], [lb in²]: about a 1 in tube of steel
BOOK = "Civil Engineering Formulas, figure 2.2 (after Time-Saver Standards, 6th edition), a copy of the source: case "
SCHOOL = "a textbook on strength of materials, the answers as a page of solutions prints them: problem "
EXACT = "closed forms"


def bow(ends: float = 0.0) -> Bow:
    return Bow(SPAN, EI, ends, ends)


def on(*forces: tuple[float, float], per_in: float = 0.0) -> Loads:
    return Loads(np.array([w for w, _ in forces]), np.array([at for _, at in forces]), per_in)


def worst(load: Loads, ends: float = 0.0) -> Largest:
    return beam.solved(bow(ends), load).pieces().largest()


def reaction(load: Loads, side: int, ends: float = 0.0) -> float:
    return float(beam.solved(bow(ends), load).reactions_n()[side])


def moment(load: Loads, at: float, ends: float = 0.0) -> float:
    return float(beam.solved(bow(ends), load).moment_nm(np.array([at]))[0])


W, A, B = 60.0, 50.0, 22.0  # case 2 and 6: a load 50 in from the left end and 22 in from the right
POINT = on((W, A))
W1, W2, NEAR, FAR = 40.0, 25.0, 20.0, 18.0  # case 3: 20 in from the left and 18 in from the right end
TWO = on((W1, NEAR), (W2, SPAN - FAR))
EVEN, TOTAL = on(per_in=2.0), 2.0 * SPAN

CHECKS = [
    Check("a load anywhere, left", lambda: reaction(POINT, 0), W * B / SPAN, 1e-12, EXACT, BOOK + "2"),
    Check("a load anywhere, right", lambda: reaction(POINT, 1), W * A / SPAN, 1e-12, EXACT, BOOK + "2"),
    Check("a load anywhere, moment", lambda: worst(POINT).moment_nm, W * A * B / SPAN, 1e-12, EXACT, BOOK + "2"),
    Check("a load anywhere, sag", lambda: worst(POINT).deflection_m,
          W * A * B * (A + 2 * B) * (3 * A * (A + 2 * B)) ** 0.5 / (27 * EI * SPAN), 1e-9, EXACT, BOOK + "2"),
    Check("a load anywhere, where it sags most", lambda: worst(POINT).deflection_at_m, (A * (A + 2 * B) / 3) ** 0.5, 1e-6,
          "found by a search", BOOK + "2"),
    Check("two unlike loads, left", lambda: reaction(TWO, 0), (W1 * (SPAN - NEAR) + W2 * FAR) / SPAN, 1e-12, EXACT,
          BOOK + "3"),
    Check("two unlike loads, right", lambda: reaction(TWO, 1), (W1 * NEAR + W2 * (SPAN - FAR)) / SPAN, 1e-12, EXACT,
          BOOK + "3"),
    Check("two unlike loads, moment under the first", lambda: moment(TWO, NEAR),
          NEAR / SPAN * (W1 * (SPAN - NEAR) + W2 * FAR), 1e-12, EXACT, BOOK + "3"),
    Check("two unlike loads, moment under the second", lambda: moment(TWO, SPAN - FAR),
          FAR / SPAN * (W1 * NEAR + W2 * (SPAN - FAR)), 1e-12, EXACT, BOOK + "3"),
    Check("clamped, even, at the walls", lambda: worst(EVEN, 1.0).moment_nm, -TOTAL * SPAN / 12, 1e-12, EXACT, BOOK + "5"),
    Check("clamped, even, in the middle", lambda: moment(EVEN, SPAN / 2, 1.0), TOTAL * SPAN / 24, 1e-12, EXACT, BOOK + "5"),
    Check("clamped, even, sag", lambda: worst(EVEN, 1.0).deflection_m, TOTAL * SPAN**3 / (384 * EI), 1e-9, EXACT, BOOK + "5"),
    Check("clamped, a load anywhere, left", lambda: reaction(POINT, 0, 1.0), W * B**2 * (3 * A + B) / SPAN**3, 1e-12, EXACT,
          BOOK + "6"),
    Check("clamped, a load anywhere, right", lambda: reaction(POINT, 1, 1.0), W * A**2 * (3 * B + A) / SPAN**3, 1e-12,
          EXACT, BOOK + "6"),
    Check("clamped, a load anywhere, near wall", lambda: moment(POINT, SPAN, 1.0), -W * A**2 * B / SPAN**2, 1e-12, EXACT,
          BOOK + "6"),
    Check("clamped, a load anywhere, far wall", lambda: moment(POINT, 0.0, 1.0), -W * A * B**2 / SPAN**2, 1e-12, EXACT,
          BOOK + "6"),
    Check("clamped, a load anywhere, sag", lambda: worst(POINT, 1.0).deflection_m,
          2 * W * A**3 * B**2 / (3 * EI * (3 * A + B) ** 2), 1e-9, EXACT, BOOK + "6"),
    Check("a load in the middle, sag", lambda: worst(on((W, SPAN / 2))).deflection_m, W * SPAN**3 / (48 * EI), 1e-9, EXACT,
          SCHOOL + "605"),
    Check("even, sag", lambda: worst(EVEN).deflection_m, 5 * TOTAL * SPAN**3 / (384 * EI), 1e-9, EXACT, SCHOOL + "606"),
    Check("two loads alike, sag", lambda: worst(on((30.0, 29.0), (30.0, SPAN - 29.0))).deflection_m,
          30 * 29 * (3 * SPAN**2 - 4 * 29**2) / (24 * EI), 1e-9, EXACT, SCHOOL + "609"),
]  # fmt: skip


@each(CHECKS)
def test_against_the_source(check: Check) -> None:
    check.hold()


def test_there_are_six_published_examples_at_least() -> None:
    assert len({check.source for check in CHECKS}) >= 6 and all(check.kind == "published" for check in CHECKS)
