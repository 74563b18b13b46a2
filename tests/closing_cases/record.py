"""Write recorded.json.gz beside this file: several hundred filled-in sheets, made by ngspice.

Run from the root of the project: ``python -m tests.closing_cases.record``. It takes two to three minutes.
"""

from __future__ import annotations

import time
from collections.abc import Iterator

from .fault import HEALTHY, draw_fault, kept
from .netlist import Chance, release, run
from .plan import TRAILERS, Plan, plan_of, readings, shown, trailer
from .recorded import RECORD, Case, write

FAULTY = {"fen-survey": 160, "kiln-cart": 80, "one-lamp": 80}
WELL = {"fen-survey": 70, "kiln-cart": 50, "one-lamp": 50}


def case(plan: Plan, seed: int, *, healthy: bool) -> Case:
    """One sheet as ngspice fills it in."""
    fault = HEALTHY if healthy else draw_fault(plan, seed)
    found, every = run(plan, fault, Chance(seed)), readings(plan)
    read = {one.key: shown(one, found[one.key]) for one in every}
    return Case(plan.trailer, seed, fault, read, tuple(every[k].key for k in kept(len(every), seed)))


def seeds() -> Iterator[tuple[str, int, bool]]:
    """Trailer, seed and whether it is healthy, of every case; no seed twice."""
    for number, name in enumerate(TRAILERS, start=1):
        yield from ((name, 1000 * number + k, False) for k in range(FAULTY[name]))
        yield from ((name, 1000 * number + 500 + k, True) for k in range(WELL[name]))


def main() -> None:
    """Record all cases and say how long it took."""
    plans = {name: plan_of(trailer(name), name) for name in TRAILERS}
    found: list[Case] = []
    spent = dict.fromkeys(TRAILERS, 0.0)
    for name, seed, healthy in seeds():
        start = time.perf_counter()
        found.append(case(plans[name], seed, healthy=healthy))
        spent[name] += time.perf_counter() - start
    write(found, release())
    for name in TRAILERS:
        count = FAULTY[name] + WELL[name]
        print(f"{name}: {count} cases, {1e3 * spent[name] / count:.0f} ms each")
    print(f"wrote {RECORD}, {RECORD.stat().st_size} bytes")


if __name__ == "__main__":
    main()
