"""How well the diagnosis does on filled-in sheets whose truth is known: the table that contributors are shown.

Run from the root of the project: ``python -m tests.closing_cases.judge``. It takes a few minutes on two cores.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import permutations
from typing import Any

from trailerlib.physics.network import Tree, solve_dc
from trailerlib.studies import feeder
from trailerlib.studies.closing.diagnose import Candidate, Diagnosis, of_sheet
from trailerlib.studies.closing.parts import pieces_of
from trailerlib.studies.closing.sheet import Sheet, sheet_of

from .draw import draw_with
from .fault import HEALTHY, Fault
from .plan import AIR_C, FEEDER, TRAILERS, trailer
from .recorded import Case, cases

FAULTY, WELL = {"fen-survey": 550, "kiln-cart": 480, "one-lamp": 480}, 170
FIRST_SEED = 100_000  # far from the seeds of the recorded cases


@dataclass(frozen=True)
class Judged:
    """One case: its truth, the place of the true fault among the suspicions (0 when it is in none), what led.

    ``alone`` is whether the true fault is the commonest of the leading suspicion, not one that reads like it;
    ``alike`` how many faults the leading suspicion holds; ``wrong`` the chance that something is wrong.
    """

    trailer: str
    truth: Fault
    place: int
    alone: bool
    alike: int
    wrong: float
    claimed: bool
    lead: str


@cache
def sheet(name: str) -> Sheet:
    """The test sheet of a trailer that comes with the workbook."""
    return sheet_of(trailer(name))


def keys_of(name: str, fault: Fault) -> tuple[str, ...]:
    """Keys under which the diagnosis knows a drawn fault; none for a healthy trailer.

    Parameters
    ----------
    name : of the trailer
    fault : as it was drawn
    """
    if fault.kind == "extra resistance":
        return (f"extra resistance/{_piece(name, fault)}",)
    more = (fault.size or 0.0) > 1.0
    return {
        "healthy": (),
        "wire thinner or longer": (f"run/{fault.subject}",),
        "load missing": (f"missing/{fault.subject}",),
        "load draws otherwise": (f"draws {'more' if more else 'less'}/{fault.subject}",),
        "legs reversed": (f"reversed/{fault.subject}",),
        "fuse positions swapped": tuple(
            f"swapped/{one}/{other}"
            for one, other in permutations(feeder.network(trailer(name)).taps, 2)
            if f"{one} and {other}" == fault.subject or f"{other} and {one}" == fault.subject
        ),
        "battery low": ("battery/low",),
        "battery weak": ("battery/weak",),
    }[fault.kind]


def _piece(name: str, fault: Fault) -> str:
    assert fault.element is not None
    side, circuit, position, part = fault.element
    pieces = pieces_of(feeder.network(trailer(name)), AIR_C)
    if circuit == FEEDER:
        return [one for one in pieces.feeder if one.way == side][position].name
    here = [one for one in pieces.every if one.circuit == circuit and one.way == side]
    sort = "wire" if part == "wire" else "fuse" if part == "fuse" else "terminal"
    return [one for one in here if one.sort == sort][position if sort == "wire" else 0].name


def judge(case: Case) -> Judged:
    """What the diagnosis makes of half the readings of a case.

    Parameters
    ----------
    case : a filled-in sheet with its truth
    """
    said = of_sheet(sheet(case.trailer), case.half_readings)
    names, place = set(keys_of(case.trailer, case.fault)), 0
    for number, one in enumerate(said.candidates, start=1):
        if one.second is None and one.slip is None and names & {fault.key for fault in one.faults}:
            place = number
            break
    alike = len(said.candidates[0].faults) if said.candidates else 0
    alone = place == 1 and said.candidates[0].fault.key in names
    return Judged(case.trailer, case.fault, place, alone, alike, _wrong(said), said.claimed, _lead(said))


def _wrong(said: Diagnosis) -> float:
    return sum(one.share for one in said.candidates if one.slip is None)


def _lead(said: Diagnosis) -> str:
    if not said.candidates:
        return "none"
    first: Candidate = said.candidates[0]
    return "two faults" if first.second else "reading wrong" if first.slip else first.fault.kind


def drawn(trailers: tuple[str, ...] = TRAILERS) -> Iterator[Case]:
    """Cases of the same kind as the recorded ones, made here and now, those with a fault first.

    Parameters
    ----------
    trailers : names of the trailers to make them of
    """

    def solver(parents: tuple[int, ...], emf_v: float, ohm: Any, **loads: Any) -> Any:
        return solve_dc(Tree.of(parents), emf_v, ohm, **loads)

    for name in trailers:
        first = FIRST_SEED + 10_000 * TRAILERS.index(name)
        for k in range(FAULTY[name]):
            yield draw_with(trailer(name), first + k, solver, trailer=name)
        for k in range(WELL):
            yield draw_with(trailer(name), first + 5_000 + k, solver, healthy=True, trailer=name)


@dataclass(frozen=True)
class Score:
    """Shares over judged cases [-], with the counts they come from."""

    faulty: int
    first: float
    alone: float
    in_three: float
    found: float
    healthy: int
    unclaimed: float


def score(judged: Iterable[Judged]) -> Score:
    """Shares of right answers.

    Parameters
    ----------
    judged : at least one with a fault and one without
    """
    every = list(judged)
    bad = [one for one in every if one.truth != HEALTHY]
    good = [one for one in every if one.truth == HEALTHY]
    share = [sum(1 for one in bad if test(one)) / len(bad) for test in _TESTS]
    return Score(len(bad), *share, len(good), sum(not one.claimed for one in good) / len(good))


_TESTS = (
    lambda one: one.place == 1,
    lambda one: one.alone,
    lambda one: 1 <= one.place <= 3,
    lambda one: one.claimed,
)


def confusion(judged: Iterable[Judged]) -> str:
    """A table in Markdown: what was wrong down, what led the suspicions across, counts.

    A case counts under its own kind only when the true fault itself is in the leading suspicion.
    """
    table: Counter[tuple[str, str]] = Counter()
    for one in judged:
        if one.truth == HEALTHY:
            table["nothing", "not claimed" if not one.claimed else one.lead] += 1
        else:
            table[one.truth.kind, "right" if one.place == 1 else f"{one.lead}, wrongly"] += 1
    rows = list(dict.fromkeys(row for row, _ in sorted(table)))
    columns = ["right", "not claimed", *sorted({column for _, column in table} - {"right", "not claimed"})]
    lines = ["| what was wrong | " + " | ".join(columns) + " |", "|---" * (len(columns) + 1) + "|"]
    lines += [f"| {row} | " + " | ".join(str(table[row, column] or "") for column in columns) + " |" for row in rows]
    return "\n".join(lines)


def main() -> None:
    """Judge every case and print shares and tables."""
    recorded = [judge(case) for case in cases()]
    here = [judge(case) for case in drawn()]
    for title, judged in (("recorded from ngspice", recorded), ("drawn here", here), ("all", recorded + here)):
        print(f"{title}: {score(judged)}")
        for name in TRAILERS:
            print(f"  {name}: {score([one for one in judged if one.trailer == name])}")
    print(confusion(recorded + here))


if __name__ == "__main__":
    main()
