"""Every conductor to cut: where it begins and ends, its size, its colour, how long it is cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from trailerlib.design.design import Design
from trailerlib.design.layout import Branch
from trailerlib.design.model import Circuit
from trailerlib.physics.cutting import cut_length_m
from trailerlib.physics.formula import worked
from trailerlib.studies.answer import Column, Quantity, mapping, names
from trailerlib.studies.breakers import panel_legs
from trailerlib.studies.schedules.colours import Colour, Role, colour_of
from trailerlib.studies.schedules.schedule import Schedule, TapeColumn, step_m, steps_up

SIGNS: Mapping[Role, str] = {"plus": "+", "minus": "−"}
FEEDER, INLET = "feeder", "inlet"
COLUMNS = (
    Column("tag", "Mark"), Column("circuit", "Circuit"), Column("wire", "Wire"), Column("insulation", "Insulation"),
    Column("colour", "Colour"), TapeColumn("run_m", "Lies", "length"), TapeColumn("cut_m", "Cut to", "length"),
    Column("start", "From"), Column("end", "To"),
)  # fmt: skip
NOTE = (
    "One row a conductor. “Lies” is its way with a service loop at each end; “cut to” has the allowance for squaring "
    "and stripping added and is rounded up to what a tape shows. Mark both ends with the mark before pulling. The "
    "ground wire is as thick as the others of its circuit. Measure again where the wire will lie before it is cut."
)


@dataclass(frozen=True)
class Piece:
    """One conductor from end to end: how it lies and how long it is cut [m], in ``steps`` of the tape."""

    tag: str
    circuit: str
    system: str
    role: Role
    colour: Colour
    wire: str
    insulation: str
    run_m: float
    steps: int
    cut_m: float
    start: str
    end: str

    @property
    def kind(self) -> tuple[str, str, str]:
        """What it is cut from: size, insulation, colour."""
        return self.wire, self.insulation, self.colour.words


def numbers(design: Design, system: str) -> dict[str, str]:
    """The number of every circuit on its block or panel: F1, F2, … for fuses, B1, B2, … for breakers.

    Parameters
    ----------
    design : the design
    system : ``dc`` or ``mains``
    """
    letter = "F" if system == "dc" else "B"
    return {circuit.name: f"{letter}{n}" for n, circuit in enumerate(design.circuits_of(system), start=1)}


def roles(circuit: Circuit) -> tuple[Role, ...]:
    """The conductors of a circuit.

    Parameters
    ----------
    circuit : the circuit
    """
    if circuit.system == "dc":
        return ("plus", "minus")
    return ("hot", "second hot", "ground") if circuit.between_legs else ("hot", "neutral", "ground")


def pieces(design: Design) -> tuple[Piece, ...]:
    """Every conductor whose length is known, in the order of feeder, fuses, inlet and breakers.

    Parameters
    ----------
    design : the design
    """
    found = [*_feeder(design)]
    for system in ("dc", "mains"):
        if system == "mains":
            found += _inlet(design)
        for name, number in numbers(design, system).items():
            found += _circuit(design, design.circuit(name), number)
    return tuple(found)


def missing(design: Design) -> tuple[str, ...]:
    """What cannot be put on the list, and why, one sentence each.

    Parameters
    ----------
    design : the design
    """
    said = []
    if design.feeder is not None and design.feeder_run_m is None:
        said.append("The feeder is not on the list: its run is not known.")
    for circuit in design.circuits:
        route = design.layout.routes[circuit.name]
        if not route.branches:
            said.append(f"{circuit.name} is not on the list: {route.reason or 'its run is not known'}.")
    if design.circuits_of("mains"):
        said += _missing_at_the_inlet(design)
        if design.mains.frame_bond is not None:
            said.append(
                f"The {design.mains.frame_bond} bond to the frame is not on the list: its length is not in the design."
            )
    if design.tow_charge is not None:
        said.append("The tow charge wire lies mostly in the tow vehicle and is not on the list.")
    return tuple(said)


def _missing_at_the_inlet(design: Design) -> Iterator[str]:
    gaps = []
    if design.mains.inlet_wire is None:
        gaps.append("their size is not given")
    if design.inlet_run_m is None:
        gaps.append("neither their run nor the places of inlet and panel are given")
    if gaps:
        yield f"The wires from the inlet to the panel are not on the list: {', and '.join(gaps)}."


def cut_list(design: Design) -> Schedule:
    """The wire cut list.

    Parameters
    ----------
    design : the design
    """
    found = pieces(design)
    rows = [
        {"tag": p.tag, "circuit": p.circuit, "wire": p.wire, "insulation": p.insulation, "colour": p.colour.words,
         "run_m": p.run_m, "cut_m": p.cut_m, "start": p.start, "end": p.end}
        for p in found
    ]  # fmt: skip
    sums = mapping(
        pieces=Quantity("Pieces", float(len(found)), "count"),
        cut_m=Quantity("Wire, all pieces", sum(p.cut_m for p in found), "length"),
        allowance_m=Quantity("Allowance at each end", design.routing.end_allowance, "small length"),
    )
    shown = (worked(cut_length_m, run_m=found[0].run_m, allowance_m=design.routing.end_allowance),) if found else ()
    return Schedule("cut_list", "Wire cut list", COLUMNS, tuple(rows), NOTE, sums, missing(design), shown)


def _piece(
    design: Design, tag: str, circuit: str, system: str, role: Role, made: tuple[str, str], run_m: float,
    ends: tuple[str, str],
) -> Piece:  # fmt: skip
    steps = steps_up(float(cut_length_m(run_m, design.routing.end_allowance)), design.units)
    return Piece(
        tag, circuit, system, role, colour_of(design, system, role), *made, run_m, steps,
        steps * step_m(design.units), *ends,
    )  # fmt: skip


def _feeder(design: Design) -> Iterator[Piece]:
    """Plus is cut at the main fuse; where the disconnect sits is not in the design, so that it is cut there on site."""
    feeder, run = design.feeder, design.feeder_run_m
    if feeder is None or run is None:
        return
    made = (feeder.wire, feeder.insulation)
    block = "fuse block" + (", through the disconnect" if feeder.disconnect else "")
    before = feeder.fuse_from_battery
    if feeder.protection is not None and before is not None and 0.0 < before < run:
        yield _piece(design, "M1 +", FEEDER, "dc", "plus", made, before, ("battery plus", "main fuse"))
        yield _piece(design, "M2 +", FEEDER, "dc", "plus", made, run - before, ("main fuse", block))
    else:
        fused = "main fuse at the battery" if feeder.protection is not None else "battery plus"
        yield _piece(design, "M1 +", FEEDER, "dc", "plus", made, run, (fused, block))
    yield _piece(design, "M1 −", FEEDER, "dc", "minus", made, run, ("battery minus", "negative bus"))


def _inlet(design: Design) -> Iterator[Piece]:
    """From the inlet to main breaker and bars; of two legs both hot wires and the neutral that they share."""
    mains, run = design.mains, design.inlet_run_m
    if mains.inlet_wire is None or run is None:
        return
    main = "panel, its lug" if mains.has_main is False else "main breaker"
    ends: dict[Role, str] = {"hot": main, "second hot": f"{main}, other pole", "neutral": "neutral bar"}
    if panel_legs(design) == 1:
        del ends["second hot"]
    for role, end in {**ends, "ground": "ground bar"}.items():
        made = (mains.inlet_wire, mains.inlet_insulation)
        yield _piece(design, f"I1 {role}", INLET, "mains", role, made, run, ("inlet", end))


def _circuit(design: Design, circuit: Circuit, number: str) -> Iterator[Piece]:
    ends = _ends(circuit, number, design.layout.routes[circuit.name].branches)
    for place, (start, end, length_m) in enumerate(ends, start=1):
        part = number if len(ends) == 1 else f"{number}.{place}"
        for role in roles(circuit):
            begins = _block(circuit, role, number) if start is None else start
            yield _piece(
                design, f"{part} {SIGNS.get(role, role)}", circuit.name, circuit.system, role,
                (circuit.wire, circuit.insulation), length_m, (begins, end),
            )  # fmt: skip


def _ends(circuit: Circuit, number: str, branches: Sequence[Branch]) -> list[tuple[str | None, str, float]]:
    """Each piece of a circuit: what it begins at (None is the block), what it ends at, its length [m]."""
    words = [_end(circuit, number, place, branch) for place, branch in enumerate(branches)]
    return [
        (None if branch.parent < 0 else words[branch.parent], word, branch.length_m)
        for branch, word in zip(branches, words, strict=True)
        if branch.length_m > 0.0
    ]


def _end(circuit: Circuit, number: str, place: int, branch: Branch) -> str:
    if branch.loads:
        return names(branch.loads)
    if circuit.to is not None and place == 0:
        return circuit.to
    return f"joint {place + 1} of {number}"


def _block(circuit: Circuit, role: Role, number: str) -> str:
    if circuit.origin is not None:
        return circuit.origin
    return {
        "plus": f"fuse {number}", "minus": "negative bus", "hot": f"panel, {number}",
        "second hot": f"panel, {number}, other pole", "neutral": "neutral bar", "ground": "ground bar",
        "bond": "ground bar",
    }[role]  # fmt: skip
