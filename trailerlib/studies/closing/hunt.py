"""The hunt for a planted fault as an answer: what has been measured so far, and, once it is named, the truth."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trailerlib.studies.answer import Answer, Column, Quantity, mapping
from trailerlib.studies.closing import words
from trailerlib.studies.closing.block import Fault
from trailerlib.studies.closing.diagnose import Candidate, Diagnosis, heat_w
from trailerlib.studies.closing.planted import MOST, Planted
from trailerlib.units import System

COLUMNS = (
    Column("number", "No.", "count"),
    Column("where", "Where"),
    Column("state", "State"),
    Column("expected", "Should read", "count"),
    Column("measured", "Measured", "count"),
    Column("verdict", "Verdict"),
)


@dataclass(frozen=True)
class Told:
    """What is told once a fault has been named: whether it is the hidden one, the truth, and the two searches."""

    right: bool
    named: Fault
    truth: Diagnosis
    measured: int
    best: int
    by_the_walk: int

    @property
    def ratio(self) -> float:
        """Measurements by the most telling line against those that were made [-]; a lucky guess beats it."""
        return self.best / max(1, self.measured)


def faults_of(planted: Planted) -> tuple[Fault, ...]:
    """Every fault that is looked for on this trailer, by kind and subject.

    Parameters
    ----------
    planted : the trailer with its hidden fault
    """
    every = {one.fault.key: one.fault for block in planted.sheet.blocks for one in block.faults}
    return tuple(sorted(every.values(), key=lambda fault: (fault.kind, fault.subject)))


def told(planted: Planted, readings: Mapping[str, float], named: str) -> Told:
    """What there is to say once a fault has been named.

    Parameters
    ----------
    planted : the trailer with its hidden fault
    readings : [inside unit] what was measured, by key
    named : key of the fault that was named
    """
    fault = next(one for one in faults_of(planted) if one.key == named)
    size = planted.size if planted.fault.sized else None
    truth = Candidate((planted.fault,), 1.0, size, size, size, heat_w(planted.fault, size))
    return Told(
        planted.is_it(named), fault, Diagnosis((truth,), 0.0, True, max(1, len(readings)), known=True), len(readings),
        planted.best, planted.by_the_walk,
    )  # fmt: skip


def hunt(planted: Planted, readings: Mapping[str, float], told_: Told | None, system: System) -> Answer:
    """The hunt so far; the truth only with ``told_``.

    Parameters
    ----------
    planted : the trailer with its hidden fault
    readings : [inside unit] what was measured, by key, in the order it was measured
    told_ : what is told once a fault has been named, else None
    system : ``us`` or ``metric``

    Returns
    -------
    Answer
        Its ``picture`` is the ``Diagnosis``: empty while nothing is told, the truth afterwards.
    """
    off = sum(planted.sheet.of(key).verdict(value) == "differs" for key, value in readings.items())
    numbers = {
        "measured": Quantity("Measured", float(len(readings)), "count"),
        "outside": Quantity("Outside their band", float(off) if readings else None, "count"),
    }
    if told_ is not None:
        numbers["best"] = Quantity("By the most telling line", float(told_.best), "count")
        least = ", at least" if told_.by_the_walk >= MOST else ""
        numbers["walk"] = Quantity(f"Down the sheet{least}", float(told_.by_the_walk), "count")
    return Answer(
        question="hunt",
        title="Find the fault",
        system=system,
        sentence=_begun(len(readings)) if told_ is None else _ended(told_),
        numbers=mapping(**numbers),
        columns=COLUMNS,
        show_rows=lambda: _rows(planted, readings),
        checks=(),
        picture=Diagnosis((), 1.0, False, 0) if told_ is None else told_.truth,
    )


def _begun(count: int) -> str:
    times = f"{count} measurement{'' if count == 1 else 's'} so far" if count else "Nothing is measured yet"
    return f"One fault is hidden in this trailer. {times}; name it as soon as you are sure."


def _ended(one: Told) -> str:
    truth = one.truth.candidates[0].sentence
    count = f"{one.measured} measurement{'' if one.measured == 1 else 's'}"
    searches = f"By the most telling line {_times(one.best)}, down the sheet {_times(one.by_the_walk)}."
    if one.right:
        return f"{truth} Found with {count}. {searches}"
    return f"You said {one.named.subject}, {one.named.kind}. {truth} {count[:1].upper()}{count[1:]}. {searches}"


def _times(count: int) -> str:
    return f"{MOST} or more" if count >= MOST else str(count)


def _rows(planted: Planted, readings: Mapping[str, float]) -> Iterator[Mapping[str, object]]:
    for number, (key, value) in enumerate(readings.items(), start=1):
        one = planted.sheet.of(key)
        yield {
            "number": number,
            "where": one.line.where,
            "state": one.line.state,
            "expected": words.reading(one.value, one.line.asks),
            "measured": words.reading(value, one.line.asks),
            "verdict": one.verdict(value),
        }
