"""What the pictures of the closing-in test need: the way of the current with bands and readings, gauges, suspects."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.studies.closing import words
from trailerlib.studies.closing.along import Along, Part, along
from trailerlib.studies.closing.battery_lines import ALL, REST, state_of
from trailerlib.studies.closing.block import Fault
from trailerlib.studies.closing.diagnose import Candidate, Diagnosis
from trailerlib.studies.closing.line import STAGE_NAMES, Expected, Line
from trailerlib.studies.closing.rounds import rounds_of
from trailerlib.studies.closing.sheet import Sheet

MOST_SUSPECTS = 4
LIKELY = 0.5  # a suspicion is drawn once all being well is less likely than this
WORTH = 0.05  # a smaller share is not drawn
RESISTS = "extra resistance"


@dataclass(frozen=True)
class Gauge:
    """One line of the sheet with its reading [inside unit], None when it was not read."""

    expected: Expected
    read: float | None

    @property
    def line(self) -> Line:
        """The line."""
        return self.expected.line

    @property
    def verdict(self) -> str:
        """``agrees``, ``differs``, ``not measured`` or ``not checked``."""
        return self.expected.verdict(self.read)


@dataclass(frozen=True)
class Suspect:
    """One suspicion as drawn: its letter, what it is in a few words and as a sentence, how likely [-], heat [W].

    ``places`` are names of places on the trailer, ``circuit`` the circuit it lies in, if any.
    ``parts`` are names of parts in the way of the current that it accuses, ``runs`` circuits all of whose wire it does.
    """

    letter: str
    named: str
    sentence: str
    share: float
    heat_w: float | None
    places: tuple[str, ...]
    circuit: str | None
    parts: frozenset[str]
    runs: frozenset[str]

    def accuses(self, part: Part) -> bool:
        """Whether a part in the way of the current is one of those that may be bad."""
        return part.name in self.parts or (part.piece.run != "" and part.piece.run in self.runs)


@dataclass(frozen=True)
class Picture:
    """What is drawn of the closing-in test while a person stands at one line of it.

    ``title`` says where the person stands, ``state`` how the switches are. ``along`` is the way of the current from
    post to post with bands and readings, on the battery side while something draws; None elsewhere. ``load`` is what
    it leads to, None for the fuse block. ``gauges`` are the lines at hand, each with its band and its reading: beside
    the way those that are no drop on it, elsewhere all of the round, on the mains side all of the circuit.
    ``suspects`` are what the readings accuse, likeliest first, none while all being well is the likelier; ``claimed``
    whether they are sure enough to be claimed, ``known`` whether they are the truth. ``focus`` is the key of the line,
    None when the sheet is empty.
    """

    title: str
    state: str
    along: Along | None
    load: str | None
    gauges: tuple[Gauge, ...]
    suspects: tuple[Suspect, ...]
    claimed: bool
    focus: str | None
    known: bool = False


def picture_of(
    design: Design, sheet: Sheet, diagnosis: Diagnosis, readings: Mapping[str, float], focus: str | None
) -> Picture:
    """What is drawn with one line of the sheet in focus.

    Parameters
    ----------
    design : the design
    sheet : its test sheet
    diagnosis : what the readings say
    readings : [inside unit] by key of the line
    focus : key of a line; without one the first of the sheet
    """
    suspects = tuple(_suspects(diagnosis))
    if not sheet.expected:
        return Picture("Nothing to measure yet", "", None, None, (), suspects, diagnosis.claimed, None)
    here = sheet.by_key.get(focus or "", sheet.expected[0])
    way, load = _way(design, sheet, readings, here.line)
    gauges = _beside(sheet, way, here.line) if way is not None else _round(sheet, here.line)
    return Picture(
        _title(here.line, way, load),
        here.line.state,
        way,
        load,
        tuple(Gauge(one, readings.get(one.line.key)) for one in gauges),
        suspects,
        diagnosis.claimed,
        here.line.key,
        diagnosis.known,
    )


def _title(line: Line, way: Along | None, load: str | None) -> str:
    if way is not None:
        state = "all on" if line.key.startswith(f"{ALL}/") else "alone on"
        return f"From the battery to {load or 'the fuse block'} and back, {state}"
    return f"{line.circuit or STAGE_NAMES[line.stage]}"


def _way(design: Design, sheet: Sheet, readings: Mapping[str, float], line: Line) -> tuple[Along | None, str | None]:
    """The way of the current that a line of the battery side lies on, and the load it leads to."""
    if line.stage != "battery" or line.key.startswith(f"{REST}/"):
        return None, None
    load = line.load
    if load is None and line.circuit is not None:
        load = next((one.name for one in design.loads_on(line.circuit) if one.on), None)
    state = ALL if line.key.startswith(f"{ALL}/") or load is None else state_of(design.load(load))
    return along(design, sheet, readings, state, load), load


def _beside(sheet: Sheet, way: Along, line: Line) -> list[Expected]:
    """Lines of the same state that are no drop on the way: volts at its ends, amperes."""
    dropped = {drop.expected.line.key for drop in way.drops}
    if line.key.startswith(f"{ALL}/"):
        ends = [f"{ALL}/battery volts", f"{ALL}/feeder amps", f"{ALL}/block volts"]
        return [
            one
            for one in sheet.routine
            if one.line.key in ends or (one.line.key.startswith(f"{ALL}/") and _shares(one.line, line))
        ]
    state = "/".join(line.key.split("/")[:2]) + "/"
    return [one for one in sheet.routine if one.line.key.startswith(state) and one.line.key not in dropped]


def _shares(one: Line, other: Line) -> bool:
    """Whether two lines are about one load, or about a circuit as a whole and a load on it."""
    if one.load is not None and other.load is not None:
        return one.load == other.load
    return one.circuit is not None and one.circuit == other.circuit


def _round(sheet: Sheet, line: Line) -> list[Expected]:
    """The lines at hand: on the mains side all of the circuit, else those of the round."""
    if line.stage == "mains" and line.circuit is not None:
        return [one for one in sheet.routine if one.line.stage == "mains" and one.line.circuit == line.circuit]
    return [one for group in rounds_of(sheet) if line.key in group.keys for one in group.lines]


def _suspects(diagnosis: Diagnosis) -> Iterator[Suspect]:
    if not diagnosis.readings or (not diagnosis.claimed and diagnosis.healthy_share > LIKELY):
        return
    shown = [one for one in diagnosis.group if one.share >= WORTH][:MOST_SUSPECTS]
    for letter, one in zip("ABCD", shown, strict=False):
        faults = [*one.faults, *(one.second.faults if one.second is not None else ())]
        yield Suspect(
            letter,
            named(one),
            one.sentence,
            one.share,
            one.heat_w,
            tuple(dict.fromkeys(place for fault in faults for place in fault.places)),
            faults[0].circuit,
            frozenset(part for fault in faults for part in _accused(fault)),
            frozenset(fault.subject for fault in faults if fault.key.startswith("run/")),
        )


def named(one: Candidate) -> str:
    """A suspicion in a few words: the subject, how large, and how many others look the same.

    Parameters
    ----------
    one : the suspicion
    """
    told = f"{one.fault.subject}: {one.fault.kind}"
    if one.open:
        told = f"{one.fault.subject}: no contact"
    elif one.fault.sized == "resistance" and one.size is not None:
        told = f"{one.fault.subject}: {words.ohms(one.size)} too much"
    others = len(one.faults) - 1
    if others:
        told += f", or {others} other{'s' if others > 1 else ''} that read{'' if others > 1 else 's'} the same"
    return told + (f"; and {named(one.second)}" if one.second is not None else "")


def _accused(fault: Fault) -> Iterator[str]:
    """Names of parts in the way of the current that a fault of the battery side accuses."""
    if fault.kind == RESISTS:
        yield fault.subject
    elif fault.key.startswith("swapped/"):
        yield from (f"fuse of {name}" for name in fault.key.split("/")[1:])
