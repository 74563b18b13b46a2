"""Can the walls close? Design and readings → what agrees, what is likeliest wrong, what to measure next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from trailerlib import units
from trailerlib.design.design import Design
from trailerlib.physics import evidence, heating
from trailerlib.physics.formula import Worked, worked
from trailerlib.studies.answer import Answer, Beside, Column, Quantity, mapping
from trailerlib.studies.closing import meters, words
from trailerlib.studies.closing.checks import findings
from trailerlib.studies.closing.diagnose import Diagnosis, diagnose
from trailerlib.studies.closing.line import STAGE_NAMES, Expected
from trailerlib.studies.closing.sheet import Sheet, sheet_of

COLUMNS = (
    Column("where", "Where"),
    Column("state", "State"),
    Column("expected", "Should read", "count"),
    Column("low", "From", "count"),
    Column("high", "To", "count"),
    Column("measured", "Measured", "count"),
    Column("verdict", "Verdict"),
)
SUSPECTS = (Column("what", "What it may be"), Column("share", "How likely"), Column("heat", "Heat at full load"))
LISTED = 5  # suspicions that are shown


def answer(design: Design, readings: Mapping[str, float] | None = None) -> Answer:
    """What the readings of the closing-in test say; without readings, the sheet that is to be measured.

    Parameters
    ----------
    design : the design
    readings : [inside unit] by key of the line; yes is 1 and no is 0

    Returns
    -------
    Answer
        Its ``picture`` is the ``Diagnosis``.
    """
    read = {} if readings is None else dict(readings)
    sheet, found = sheet_of(design), diagnose(design, read)
    checks = findings(sheet, read, found)
    return Answer(
        question="closing",
        title="Can the walls close?",
        system=design.units,
        sentence=sentence(sheet, read, found),
        numbers=_numbers(sheet, read, found),
        columns=COLUMNS,
        show_rows=lambda: _rows(sheet, read),
        checks=checks,
        picture=found,
        show_working=lambda: tuple(_working(sheet, found)),
        show_beside=lambda: _beside(found),
    )


def sentence(sheet: Sheet, read: Mapping[str, float], found: Diagnosis) -> str:
    """The verdict: what is likeliest wrong, or how much is still to be measured.

    Parameters
    ----------
    sheet : the test sheet
    read : [inside unit] by key
    found : what the readings say
    """
    routine = [one for one in sheet.routine if one.value is not None]
    if not routine:
        return "There is nothing to measure yet: put in a battery, circuits and loads first."
    left = sum(one.line.key not in read for one in routine)
    if not found.readings:
        return f"Nothing is measured yet: {len(routine)} lines are on the sheet. Leave the walls open."
    if found.claimed:
        return f"Leave the walls open. {found.candidates[0].sentence}"
    off = [one for one in sheet.expected if one.verdict(read.get(one.line.key)) == "differs"]
    if off:
        slip = found.candidates and found.candidates[0].slip and found.candidates[0].share > found.healthy_share
        told = (
            found.candidates[0].sentence if slip else f"{off[0].line.where[:1].upper()}{off[0].line.where[1:]} first."
        )
        return f"Leave the walls open: {len(off)} of {found.readings} readings lie outside their band. {told}"
    agree = "The one reading agrees" if found.readings == 1 else f"All {found.readings} readings agree"
    if left:
        lines = "1 line is" if left == 1 else f"{left} lines are"
        return f"{agree}, but {lines} not measured. Leave the walls open."
    return f"{agree} with the design: as far as they show, the walls may close."


class Chance(Quantity):
    """A chance: never shown as 0 or 100 %, which no reading can say."""

    def text(self, system: units.System) -> str:
        """The chance in words."""
        return "–" if self.value is None else words.share(self.value)


def _numbers(sheet: Sheet, read: Mapping[str, float], found: Diagnosis) -> Mapping[str, Quantity]:
    off = sum(one.verdict(read.get(one.line.key)) == "differs" for one in sheet.expected)
    heat = found.candidates[0].heat_w if found.claimed else None
    return mapping(
        lines=Quantity("Lines on the sheet", float(len(sheet.routine)), "count"),
        measured=Quantity("Measured", float(found.readings), "count"),
        outside=Quantity("Outside their band", float(off) if found.readings else None, "count"),
        sound=Chance("Chance that all is well", found.healthy_share if found.readings else None, "fraction"),
        joint_heat=Quantity("Heat of the suspected joint at full load", heat, "power"),
    )


def _rows(sheet: Sheet, read: Mapping[str, float]) -> Iterator[Mapping[str, Any]]:
    for one in sheet.expected:
        if one.line.routine or one.line.key in read:
            yield {**row(one, read.get(one.line.key)), "key": one.line.key}


def row(one: Expected, measured: float | None) -> Mapping[str, str]:
    """A line of the sheet in words.

    Parameters
    ----------
    one : the line with what it should read
    measured : [inside unit] reading, or None
    """
    asks = one.line.asks
    say = "–" if one.value is None else words.reading(one.value, asks)
    ends = ("–", "–") if asks == "yes or no" else (words.end(one.low, asks), words.end(one.high, asks))
    return {
        "where": one.line.where,
        "state": STAGE_NAMES[one.line.stage] if one.line.stage == "dead" else one.line.state,
        "expected": say,
        "low": ends[0],
        "high": ends[1],
        "measured": words.reading(measured, asks),
        "verdict": one.verdict(measured),
    }


def _beside(found: Diagnosis) -> Beside | None:
    if not found.readings:
        return None
    listed: list[Mapping[str, str]] = [
        {"what": one.sentence, "share": words.share(one.share), "heat": words.heat(one.heat_w)}
        for one in found.candidates[:LISTED]
    ]
    rows = ({"what": "All is well.", "share": words.share(found.healthy_share), "heat": "–"}, *listed)
    note = "How often each fault is met is common practice, no source; the readings decide once there are enough."
    if found.next is not None:
        line = found.next.line
        note = f"Measure next: {line.where}, {line.state} ({line.setting}). {found.next.why} {note}"
    return Beside("What the readings speak for", SUSPECTS, rows, note)


def _working(sheet: Sheet, found: Diagnosis) -> Iterator[Worked]:
    meter = next((one.line.meter for one in sheet.routine if one.line.meter), None)
    if meter is not None:
        reading = next(one for one in sheet.routine if one.line.meter == meter)
        share, fixed = meters.accuracy(meter)
        yield worked(evidence.standard_uncertainty, half_width=share * abs(reading.value or 0.0) + fixed)
    first = found.candidates[0] if found.claimed else None
    if first is not None and first.heat_w is not None and first.size is not None and first.fault.amps is not None:
        yield worked(heating.joint_heat_w, ohm=first.size, full_a=first.fault.amps, emf_v=first.fault.volts)
