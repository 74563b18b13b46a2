"""What is judged of the mains side: the drop from the pedestal on, and the voltage every load gets."""

from __future__ import annotations

from collections.abc import Sequence

from trailerlib.design.design import Design
from trailerlib.design.model import Load
from trailerlib.rules import guarding
from trailerlib.rules import wiring as rules
from trailerlib.rules.finding import Finding, lacking
from trailerlib.studies.mains_side.said import Branch, MainsSide
from trailerlib.studies.timetable import stays_on

TOTAL_LIMIT = 0.05  # 215.2(A), informational note


def checks(design: Design, sides: Sequence[MainsSide]) -> list[Finding]:
    """Drop of every mains circuit and voltage at every mains load, at the worst of the supplies that have a stay.

    What a supply leaves open is said once for it; what a circuit leaves open, its run or the heat of its wire, is said
    of that circuit. A drop that is too large is too large whatever else is missing.

    Parameters
    ----------
    design : the design
    sides : its mains side behind each of its supplies, solved
    """
    circuits = design.circuits_of("mains")
    if not circuits:
        return []
    if not sides:
        return [guarding.total_drop("mains side", None, None)]
    used = [side for side in sides if stays_on(design, side.supply.name)]
    known = [side for side in used if not _drop_gap(side)]
    found = [lacking(guarding.total_drop(_supply(side), None, None), gap) for side in used if (gap := _drop_gap(side))]
    if not used:
        gap = "no stay says what runs on it"
        found = [lacking(guarding.total_drop(_supply(side), None, None), gap) for side in sides]
    if known:
        found += [finding for c in circuits if (finding := _total_drop(design, known, c.name)) is not None]
    return found + _voltages(design, used, known)


def _supply(side: MainsSide) -> str:
    return f'supply "{side.supply.name}"'


def _drop_gap(side: MainsSide) -> str:
    return side.gap or side.moment_gap


def _total_drop(design: Design, known: Sequence[MainsSide], circuit: str) -> Finding | None:
    """None for a circuit on which nothing is switched on."""
    subject = f'circuit "{circuit}"'
    branches = [side.branches[circuit] for side in known if circuit in side.branches]
    if not branches:
        finding = guarding.total_drop(subject, None, TOTAL_LIMIT)
        reason = f"its run is not known: {design.layout.routes[circuit].reason}"
        return lacking(finding, reason) if any(circuit in side.unplaced for side in known) else None
    if not branches[0].on:
        return None
    worst = max(branch.total_drop or 0.0 for branch in branches)
    gap = _gap(known, branches[0])
    if not gap or worst > TOTAL_LIMIT:
        return guarding.total_drop(subject, worst, TOTAL_LIMIT)
    return lacking(guarding.total_drop(subject, None, TOTAL_LIMIT), gap)


def _gap(known: Sequence[MainsSide], branch: Branch | None) -> str:
    """What keeps a branch from passing; empty when nothing does."""
    if branch is None:
        return "its run is not known"
    if not branch.heat_known:
        return "the air or the bundle of its wire is not known"
    if not all(side.complete for side in known):
        return "another run, the air around the cord or what the charger draws is not known"
    return ""


def _voltages(design: Design, used: Sequence[MainsSide], known: Sequence[MainsSide]) -> list[Finding]:
    """A voltage that is too low already with the pedestal at its nominal voltage is too low."""
    loads = [load for load in design.loads if load.on and load.typical.system == "mains" and load.lowest_v is not None]
    return [_voltage(load, used, known) for load in loads]


def _voltage(load: Load, used: Sequence[MainsSide], known: Sequence[MainsSide]) -> Finding:
    subject, lowest = f'load "{load.name}"', load.lowest_v or 0.0
    least = min((v for side in known if (v := side.load_v.get(load.name)) is not None), default=None)
    if least is not None and least < lowest:
        return rules.lowest_voltage(subject, least, lowest)
    gap = _voltage_gap(load, used, known)
    finding = rules.lowest_voltage(subject, None if gap else least, lowest)
    return lacking(finding, gap) if gap else finding


def _voltage_gap(load: Load, used: Sequence[MainsSide], known: Sequence[MainsSide]) -> str:
    """What keeps the voltage of a load from passing; empty when nothing does."""
    if not used:
        return "no stay says which supply feeds it"
    if len(known) < len(used):
        return next(gap for side in used if (gap := _drop_gap(side)))
    if not all(side.pedestal_known for side in known):
        return "the voltage and the short-circuit current at the pedestal are not both given for every supply"
    fed = [side for side in known if load.circuit not in side.dead]
    if not fed:
        return "it needs both legs, and one arrives on every supply that has a stay"
    return _gap(fed, fed[0].branches.get(load.circuit))
