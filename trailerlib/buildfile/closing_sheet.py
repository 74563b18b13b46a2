"""The test sheet on paper: what is measured before the walls close, in the order a person walks, as plain data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from trailerlib.design.reading import YES_NO, Reading, Readings
from trailerlib.design.typed import unit_of
from trailerlib.rules.finding import MARKS
from trailerlib.studies.answer import Answer
from trailerlib.studies.closing import meters, words
from trailerlib.studies.closing.kept_readings import Measured, beside, left_over
from trailerlib.studies.closing.line import STAGE_NAMES, STAGES, Expected, Line
from trailerlib.studies.closing.sheet import Sheet

Data = dict[str, Any]

HEADING = "Before the walls close: the test sheet"
HOW_TO = (
    "Walk the trailer from top to bottom of this sheet and stop at the first reading that is not right. A number "
    "without a unit is in the unit printed beside its blank; leave a line empty when it was not measured. "
    "The band is the expected reading with three combined standard uncertainties on either side: meter, wire, "
    "contacts, temperature and loads as they are bought; a rule's limit where there is one. "
    "It holds for meters as good as those named at the head of each part."
)
CAUTIONS = {
    "dead": (
        "Unplug the supply and lock it off, keep the generator from starting, take the battery's minus off and tape "
        "it.",
        "Prove it dead: meter on something live, then on the trailer, then on the live thing again.",
        "An insulation tester puts 500 V on the wires: nobody touches them, electronics are off them, and they are "
        "discharged afterwards.",
    ),
    "battery": (
        "Take off rings, watches and chains; use insulated tools and probes with short tips. A battery melts a ring "
        "through before it is felt.",
        "The main fuse is in, the mains side is off and unplugged. Set the clamp to zero beside the wire, each time.",
        "Stop at smell, warmth or smoke; a joint that is warm to the hand is measured again after it was mended.",
    ),
    "mains": (
        "By a qualified person only, and never alone. The law of the place may ask for a licence.",
        "Meter, leads and clamp marked CAT III for at least 300 V (IEC 61010-1, IEC 61010-031), without a crack; "
        "insulated probes, one hand where it can be, no rings.",
        "Put loads and covers on and take them off with the supply unplugged. Stop when a reading is far out.",
    ),
}  # fmt: skip
SCALES = {"V": 1.0, "mV": 1e-3, "A": 1.0}  # units of a blank that are printed as they stand
METER_RANGE = 30.0  # volts or amps from which a meter shows one decimal
VERDICTS = {
    "agrees": (MARKS["holds"], "holds"), "differs": (MARKS["stop"], "stop"),
    "not checked": (MARKS["not checked"], "not checked"),
}  # fmt: skip


@dataclass(frozen=True)
class Filled:
    """The lines with what was read, and the readings that no line asks for any more."""

    lines: tuple[Measured, ...]
    left_over: Mapping[str, Reading]

    def printed(self) -> tuple[Measured, ...]:
        """Routine lines, and of the others those that were read: they follow in the same part."""
        shown = [one for one in self.lines if one.expected.line.routine or one.reading is not None]
        stage = [STAGES.index(one.expected.line.stage) for one in shown]
        return tuple(shown[n] for n in sorted(range(len(shown)), key=lambda n: stage[n]))


def filled(sheet: Sheet, readings: Readings) -> Filled:
    """The test sheet with what was read.

    Parameters
    ----------
    sheet : the expected readings
    readings : what was measured
    """
    return Filled(beside(sheet, readings), left_over(sheet, readings))


def section(sheet: Filled, answer: Answer, table: Sequence[Data]) -> Data:
    """The section of the build file.

    Parameters
    ----------
    sheet : lines and readings
    answer : what the readings say
    table : the answer's table of suspicions as it is printed

    Returns
    -------
    dict
        Texts, lists and mappings only.
    """
    measured = any(one.reading is not None for one in sheet.lines)
    return {
        "heading": HEADING, "mark": answer.mark, "word": answer.word, "sentence": answer.sentence, "how": HOW_TO,
        "numbers": [[n.title, n.text(answer.system)] for n in answer.numbers.values()] if measured else [],
        "stages": list(_stages(sheet.printed())),
        "suspicions": list(table) if measured else [],
        "note": answer.beside.note if measured and answer.beside is not None else "",
        "left": [[key, one.text(), one.on, one.by] for key, one in sheet.left_over.items()],
    }  # fmt: skip


def _stages(lines: Sequence[Measured]) -> Iterator[Data]:
    for number, stage in enumerate(STAGES, start=1):
        part = [one for one in lines if one.expected.line.stage == stage]
        if part:
            yield {
                "title": f"Part {number}: {STAGE_NAMES[stage]}",
                "cautions": list(CAUTIONS[stage]),
                "meters": _meters([one.expected.line for one in part]),
                "groups": [_group(state, list(rows)) for state, rows in groupby(part, lambda m: m.expected.line.state)],
            }


def _meters(lines: Sequence[Line]) -> list[list[str]]:
    """Every meter of a part, once: its short name, how it is set, and how exact it must be."""
    found: dict[str, list[str]] = {}
    for line in lines:
        name = meter_name(line)
        if line.meter and name not in found:
            found[name] = [name, line.setting, accuracy(line.meter, unit_of(line))]
    return list(found.values())


def meter_name(line: Line) -> str:
    """The meter setting of a line in a few words, as it stands in its row.

    Parameters
    ----------
    line : a line of the sheet
    """
    return line.meter or line.setting or "look and try"


def accuracy(meter: str, unit: str) -> str:
    """How exact a meter is supposed to be, in words.

    Parameters
    ----------
    meter : row of the table of meters
    unit : unit the fixed part is shown in
    """
    share, fixed = meters.accuracy(meter)
    scale = {"mV": 1e3, "mohm": 1e3, "Mohm": 1e-6}.get(unit, 1.0)
    return f"±({share * 100:g} % + {fixed * scale:g} {_shown(unit)})"


def _shown(unit: str) -> str:
    return unit.replace("ohm", "Ω")


def _group(state: str, part: Sequence[Measured]) -> Data:
    said: set[str] = set()
    rows = []
    for one in part:
        why = one.expected.line.why
        rows.append(_row(one, "" if why in said else why))
        said.add(why)
    return {"state": state, "rows": rows}


def _row(one: Measured, why: str) -> Data:
    line, reading = one.expected.line, one.reading
    yes_no = line.asks == YES_NO
    row = {
        "where": line.where[:1].upper() + line.where[1:], "why": why, "setting": meter_name(line),
        "expected": shown(one.expected.value, line, one.expected.high), "band": band(one.expected),
        "yes_no": yes_no, "unit": "" if yes_no else _shown(unit_of(line)),
        "measured": "", "mark": "", "word": "", "verdict": "", "on": "", "by": "", "note": "",
    }  # fmt: skip
    if reading is None:
        return row
    mark, word = VERDICTS[one.verdict]
    return {
        **row, "measured": shown(reading.value, line, one.expected.high), "mark": mark, "word": word,
        "verdict": one.verdict, "on": reading.on, "by": reading.by, "note": reading.note,
    }  # fmt: skip


def shown(value: float | None, line: Line, largest: float | None = None) -> str:
    """A reading as it stands on the sheet: in the unit of the line's blank, as many decimals as its meter shows.

    Parameters
    ----------
    value : [inside unit] number
    line : the line
    largest : [inside unit] the upper end of its band, which may ask for a larger range of the meter
    """
    unit = unit_of(line)
    if value is None or line.asks == "resistance" or unit not in SCALES:
        return words.reading(value, line.asks)
    number, other = (abs(one) / SCALES[unit] for one in (value, largest or 0.0))
    decimals = 1 if unit == "mV" or max(number, other) >= METER_RANGE else 2
    text = f"{number:.{decimals}f} {unit}"
    return f"−{text}" if value < 0.0 and float(text.split()[0]) else text


def band(one: Expected) -> str:
    """What is accepted, in words: from … to …, at least …, at most …; what is missing when it cannot be said.

    Parameters
    ----------
    one : a line with what it should read
    """
    asks = one.line.asks
    if one.low is None or one.high is None:
        return one.missing or "not checked"
    if asks == YES_NO:
        return ""
    low, high = (shown(end, one.line, one.high) if math.isfinite(end) else "" for end in (one.low, one.high))
    if high and (not low or (asks == "resistance" and one.low <= 0.0)):
        return f"at most {high}"
    if low and not high:
        return f"at least {low}"
    return _from_to(low, high) if low else ""


def _from_to(low: str, high: str) -> str:
    """Both ends, the unit said once when it is the same."""
    number, _, unit = low.rpartition(" ")
    return f"{number if high.endswith(f' {unit}') else low} to {high}"
