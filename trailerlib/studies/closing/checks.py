"""What keeps the walls open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trailerlib.rules import closing as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies.closing.diagnose import Diagnosis
from trailerlib.studies.closing.line import STAGE_NAMES, STAGES
from trailerlib.studies.closing.sheet import Sheet


def findings(sheet: Sheet, readings: Mapping[str, float], found: Diagnosis) -> tuple[Finding, ...]:
    """The rules of the closing-in test, part by part of the sheet; what was not measured is "not checked".

    Parameters
    ----------
    sheet : the test sheet
    readings : [inside unit] by key
    found : what the readings say
    """
    return (*_parts(sheet, readings), *_fault(found))


def _parts(sheet: Sheet, readings: Mapping[str, float]) -> Iterator[Finding]:
    for stage in STAGES:
        lines = [one for one in sheet.routine if one.line.stage == stage]
        if not lines:
            continue
        read = [one for one in lines if one.line.key in readings]
        every = [one for one in sheet.expected if one.line.stage == stage and one.line.key in readings]
        off = [one for one in every if one.verdict(readings[one.line.key]) == "differs"]
        name = f"Test sheet, {STAGE_NAMES[stage]}"
        yield rules.all_measured(name, float(len(read)) if every else None, float(len(lines)))
        yield rules.within_band(name, float(len(off)) if every else None)


def _fault(found: Diagnosis) -> Iterator[Finding]:
    if not found.readings:
        yield rules.no_fault_likely("The readings together", None)
    elif found.claimed:
        yield rules.no_fault_likely(found.candidates[0].sentence.rstrip("."), True)
    else:
        yield rules.no_fault_likely("The readings together", False)
