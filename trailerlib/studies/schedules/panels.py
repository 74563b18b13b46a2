"""Panel and fuse schedule: every breaker and fuse in its place, what it feeds, what it carries."""

from __future__ import annotations

from trailerlib import reference
from trailerlib.design.design import Design
from trailerlib.studies.answer import Answer, Column, names
from trailerlib.studies.breakers import Breaker
from trailerlib.studies.panel import panel
from trailerlib.studies.runs import Run
from trailerlib.studies.schedules.pieces import numbers
from trailerlib.studies.schedules.schedule import AmountColumn, Schedule

PANEL = (
    Column("number", "No."), Column("name", "Circuit"), AmountColumn("rating_a", "Breaker", "current"),
    Column("poles", "Poles"), Column("wire", "Wire"), Column("feeds", "Feeds"), Column("receptacles", "Receptacles"),
    Column("gfci", "Ground-fault protection"), Column("all_a", "All on", "current"),
    Column("busiest_a", "Busiest", "current"),
)  # fmt: skip
FUSES = (
    Column("number", "No."), Column("name", "Circuit"), AmountColumn("rating_a", "Fuse", "current"),
    Column("device", "Kind"), Column("body", "Body"), Column("wire", "Wire"), Column("feeds", "Feeds"),
    Column("current_a", "All on", "current"), Column("may_carry_a", "Wire may carry", "current"),
    Column("short_a", "Short at the far end", "current"),
)  # fmt: skip
PANEL_NOTE = (
    "“All on” is at nominal voltage; “busiest” is the most of any moment of the stays on mains. A breaker is replaced "
    "by one of the same rating only, by a qualified person with the supply unplugged."
)
FUSE_NOTE = "A fuse is replaced by one of the same rating and kind, after the reason why it blew was found."
SAID = {True: "yes", False: "no", None: "not given"}


def panel_schedule(design: Design) -> Schedule:
    """The mains panel, main breaker first.

    Parameters
    ----------
    design : the design
    """
    found, number = panel(design), numbers(design, "mains")
    if not found.breakers:
        return Schedule("panel", "Mains panel schedule", PANEL, (), missing=("There is no circuit on the mains side.",))
    legs = ", ".join(f"leg {leg.number} {leg.all_a:.3g} A" for leg in found.legs) if len(found.legs) > 1 else ""
    main: dict[str, object] = {
        "number": "main", "name": "main breaker" if design.mains.has_main is not False else "no main breaker",
        "rating_a": found.main_a, "poles": str(len(found.legs)), "wire": design.mains.inlet_wire or "–",
        "feeds": "all branches",
        "receptacles": "–", "gfci": "–", "all_a": max(leg.all_a for leg in found.legs), "busiest_a": None,
    }  # fmt: skip
    rows = [main, *(_breaker(number[one.name], one, len(found.legs)) for one in found.breakers)]
    note = f"{PANEL_NOTE} With everything on: {legs}." if legs else PANEL_NOTE
    lacks = () if found.main_a is not None or design.mains.has_main is False else ("The main breaker is not given.",)
    return Schedule("panel", "Mains panel schedule", PANEL, tuple(rows), note, missing=lacks)


def _breaker(number: str, one: Breaker, legs: int) -> dict[str, object]:
    poles = "2" if one.two_pole else f"1, leg {one.leg or 'not given'}" if legs > 1 else "1"
    return {
        "number": number, "name": one.name, "rating_a": one.rating_a, "poles": poles, "wire": one.wire,
        "feeds": names(one.feeds) or "–", "receptacles": one.receptacles,
        "gfci": SAID[one.gfci] if one.receptacles != "wired in" or one.gfci is not None else "–",
        "all_a": one.all_a, "busiest_a": one.busiest_a,
    }  # fmt: skip


def fuse_schedule(design: Design, wiring: Answer) -> Schedule:
    """The fuse block, main fuse first.

    Parameters
    ----------
    design : the design
    wiring : the answer about wires and fuses
    """
    runs: dict[str, Run] = {run.circuit.name: run for run in wiring.picture.runs}
    number, feeder = numbers(design, "dc"), design.feeder
    rows: list[dict[str, object]] = []
    if feeder is not None:
        total, short = wiring.numbers["total_a"].value, wiring.picture.main
        rows.append({
            "number": "main", "name": "main fuse", "rating_a": feeder.protection, "device": feeder.device,
            "body": _body(feeder.device, feeder.protection), "wire": feeder.wire, "feeds": "the fuse block",
            "current_a": total, "may_carry_a": None if short is None else _carries(design),
            "short_a": short.far_end.current_a if short is not None and short.far_end else None,
        })  # fmt: skip
    rows += [_fuse(design, number[name], runs[name]) for name in number]
    lacks = [f"{name}: no fuse is given." for name in number if runs[name].circuit.protection is None]
    return Schedule("fuses", "Fuse schedule", FUSES, tuple(rows), FUSE_NOTE if rows else "", missing=tuple(lacks))


def _carries(design: Design) -> float | None:
    from trailerlib.studies.circuits import feeder_may_carry

    carry = feeder_may_carry(design)
    return None if carry is None else carry.guarded_a


def _fuse(design: Design, number: str, run: Run) -> dict[str, object]:
    circuit, far = run.circuit, run.guard.far_end
    return {
        "number": number, "name": circuit.name, "rating_a": circuit.protection, "device": circuit.device,
        "body": _body(circuit.device, circuit.protection), "wire": circuit.wire,
        "feeds": names(load.name for load in design.loads_on(circuit.name)) or "–", "current_a": run.current_a,
        "may_carry_a": run.may_carry.guarded_a, "short_a": far.current_a if far else None,
    }  # fmt: skip


def _body(device: str, rating_a: float | None) -> str:
    """The colour of a fuse's body by its standard; a dash where the standard gives none."""
    if rating_a is None:
        return "–"
    rows = reference.table("fuse_bodies").where(device=device, rating_a=f"{rating_a:g}").rows
    return rows[0]["colour"] if rows else "–"
