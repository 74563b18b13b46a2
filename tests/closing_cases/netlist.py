"""The battery side as ngspice reads it: every element a resistor of its own, one copy for each state of the switches.

Of the project only the resistances, the loads and the battery's two figures are used (``plan``). Network, spreads and
meters are ngspice's: its normal and even draws (``sgauss``, ``sunif``, seeded by ``setseed``), its operating point.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from .fault import Done, Fault
from .plan import (
    COPPER_PER_K,
    EMF_V,
    FEEDER,
    INSIDE,
    LEAST,
    MILLIVOLT_RANGE_V,
    MILLIVOLTS,
    POWER,
    SPREADS,
    VOLTS,
    WARMTH_K,
    Draw,
    Element,
    Plan,
    Reading,
    accuracy,
    readings,
)

GIVES_UP = 0.7  # of the nominal voltage: below it electronics hold no power, they draw like a resistor
OPTIONS = ".options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin=1e-18 itl1=500"


@dataclass(frozen=True)
class Chance:
    """Where draws come from: ngspice by a seed, or fixed standard normal draws and no meter error (zeros when empty)."""

    seed: int | None = None
    normals: Sequence[float] = ()


@dataclass(frozen=True)
class _Copy:
    """One copy of the network, in one state: names of its nodes."""

    plan: Plan
    done: Done
    number: int
    on: tuple[str, ...]

    def node(self, *spot: object) -> str:
        """The node's name: the copy's number, then what it is."""
        return f"s{self.number}_" + "_".join(re.sub(r"\W", "", str(part)) for part in spot)

    def at(self, spot: tuple[str, ...]) -> str:
        """The node that a probe is put to."""
        name = spot[0]
        circuits = list(self.plan.runs)
        if name == "minus":
            return "0"
        if name == "switched":
            out = self.plan.of(FEEDER, "out")
            last = max((k for k, one in enumerate(out) if one.part in ("main fuse", "disconnect")), default=-1)
            return self.feeder_out(last)
        if name == "stud":
            return self.feeder_out(len(self.plan.of(FEEDER, "out")) - 1)
        if name == "blade":
            fused = self.plan.fuse(spot[1]) is not None
            return self.node("blade", circuits.index(spot[1])) if fused else self.at(("stud",))
        if name in ("plus", "less"):
            load = self.plan.load(spot[1])
            side = "out" if (name == "plus") != self.done.turned(load.name) else "back"
            return self.node(side, circuits.index(load.circuit), load.piece)
        return self.node(name)

    def feeder_out(self, k: int) -> str:
        """The node behind the k-th element of the feeder's way out; -1 is the side of the clamp."""
        return self.node("feed", k) if k >= 0 else self.node("clamped")

    def resistors(self) -> Iterator[tuple[Element, str, str]]:
        """Every element with the nodes at its two ends, as the current meets them."""
        for k, one in enumerate(self.plan.of(FEEDER, "out")):
            yield one, self.feeder_out(k - 1), self.feeder_out(k)
        back = self.plan.of(FEEDER, "back")
        for k, one in enumerate(back):
            start = self.node("bus") if k == 0 else self.node("home", k)
            yield one, start, "0" if k == len(back) - 1 else self.node("home", k + 1)
        for number, circuit in enumerate(self.plan.runs):
            yield from self._run(number, circuit)

    def _run(self, number: int, circuit: str) -> Iterator[tuple[Element, str, str]]:
        stands_at = list(self.plan.runs).index(self.done.position(circuit))
        for one in (*self.plan.of(circuit, "out"), *self.plan.of(circuit, "back")):
            above = self.plan.runs[circuit][one.position]
            near = self.node(one.side, number, "start" if above < 0 else above)
            if one.part == "fuse":
                yield one, self.at(("stud",)), self.node("blade", number)
            elif one.part == "wire":
                ends = (near, self.node(one.side, number, one.position))
                yield (one, *(ends if one.side == "out" else ends[::-1]))
            elif one.side == "out":
                yield one, self.node("lead", stands_at), near
            else:
                yield one, near, self.node("bus")

    def lines(self) -> Iterator[str]:
        """This copy as lines of the netlist; the values of resistors are set later."""
        yield f"rin_s{self.number} emf {self.node('post')} 1"
        yield f"vamp_s{self.number}_{FEEDER} {self.node('post')} {self.node('clamped')} 0"
        for number, circuit in enumerate(self.plan.runs):
            yield f"vamp_s{self.number}_{number} {self.at(('blade', circuit))} {self.node('lead', number)} 0"
        for k, (_, start, end) in enumerate(self.resistors()):
            yield f"r{k}_s{self.number} {start} {end} 1"
        for k, load in enumerate(self.plan.loads):
            if load.name in self.on and self.done.draws(load.name) > 0.0:
                yield self._load(k, load)

    def _load(self, k: int, load: Draw) -> str:
        plus, less = self.at(("plus", load.name)), self.at(("less", load.name))
        volt, limit = f"v({plus},{less})", repr(GIVES_UP * self.plan.nominal_v)
        dull = f"{volt}*v(w{k})/{limit}/{limit}"
        if load.kind == "resistive":
            return f"bload{k}_s{self.number} {plus} {less} I={volt}*v(w{k})/{self.plan.nominal_v!r}/{self.plan.nominal_v!r}"
        if load.kind == "constant current":  # lets go in the same way, so that an open way stays an open way
            held, dull = f"v(w{k})/{self.plan.nominal_v!r}", f"{volt}*v(w{k})/{self.plan.nominal_v!r}/{limit}"
        else:
            held = f"v(w{k})/{volt}"
        return f"bload{k}_s{self.number} {plus} {less} I={volt}>{limit} ? {held} : {volt}>0 ? {dull} : 0"


def netlist(plan: Plan, fault: Fault, chance: Chance) -> str:
    """A battery side with one fault, all states and all readings, as ngspice reads it."""
    done = Done(plan, fault)
    copies = {state: _Copy(plan, done, number, on) for number, (state, on) in enumerate(plan.states)}
    lines = ["battery side of a trailer, one copy for each state of the switches", "vemf emf 0 12"]
    lines += [f"vw{k} w{k} 0 {load.watts!r}" for k, load in enumerate(plan.loads)]
    for copy in copies.values():
        lines += copy.lines()
    every = readings(plan)
    lines += [OPTIONS, ".control", "set numdgt=15", *_draws(plan.draws, len(every), chance), *_set(done, copies)]
    lines.append("op")
    for k, reading in enumerate(every):
        lines += _read(k, reading, copies[reading.state])
    return "\n".join([*lines, "quit", ".endc", ".end", ""])


def _draws(normals: int, evens: int, chance: Chance) -> list[str]:
    if chance.seed is not None:
        return [f"setseed {chance.seed}", f"let zz = sgauss(unitvec({normals}))", f"let uu = sunif(unitvec({evens}))"]
    given = [f"let zz[{k}] = {float(value)!r}" for k, value in enumerate(chance.normals)]
    return [f"let zz = 0*unitvec({normals})", f"let uu = 0*unitvec({evens})", *given]


def _share(name: str, spread: float, draw: int) -> list[str]:
    """A factor around 1 that never falls below a small share."""
    return [
        f"let {name} = 1+{spread!r}*zz[{draw}]",
        f"let {name} = {name}*({name} gt {LEAST!r})+{LEAST!r}*({name} le {LEAST!r})",
    ]


def _set(done: Done, copies: dict[str, _Copy]) -> Iterator[str]:
    plan, numbers = done.plan, [copy.number for copy in copies.values()]
    yield f"let emfnow = {plan.emf_v - done.lower_v()!r}+{EMF_V!r}*zz[0]"
    yield "alter vemf dc = emfnow"
    yield from _share("insidenow", INSIDE, 1)
    yield f"let insidenow = {plan.inside_ohm * done.inside()!r}*insidenow"
    yield from (f"alter rin_s{number} = insidenow" for number in numbers)
    yield f"let warm = 1+{COPPER_PER_K * WARMTH_K!r}*zz[2]"
    for k, (one, _, _) in enumerate(next(iter(copies.values())).resistors()):
        yield from _share("ohmnow", SPREADS[one.kind], one.draw)
        warm = "*warm" if one.kind == "wire" else ""
        yield f"let ohmnow = {one.ohm * done.times(one)!r}*ohmnow{warm}+{done.extra_ohm(one)!r}"
        yield from (f"alter r{k}_s{number} = ohmnow" for number in numbers)
    for k, load in enumerate(plan.loads):
        yield from _share("wattnow", POWER, load.draw)
        yield f"let wattnow = {load.watts * done.draws(load.name)!r}*wattnow"
        yield f"alter vw{k} dc = wattnow"


def _read(k: int, reading: Reading, copy: _Copy) -> Iterator[str]:
    """What a meter shows on one line: the truth and an even error within the meter's accuracy."""
    if reading.spots[0][0] == "lead":
        where = reading.spots[0][1]
        number = FEEDER if where == FEEDER else list(copy.plan.runs).index(where)
        yield f"let xx = i(vamp_s{copy.number}_{number})"
    else:
        plus, less = _probes(reading, copy)
        yield f"let xx = v({plus})" + ("" if less == "0" else f"-v({less})")
    share, fixed = accuracy(reading.meter)
    yield f"let half = {share!r}*abs(xx)+{fixed!r}"
    if reading.meter == MILLIVOLTS:
        wide, coarse = accuracy(VOLTS)
        yield f"let over = abs(xx) gt {MILLIVOLT_RANGE_V!r}"
        yield f"let half = half*(1-over)+({wide!r}*abs(xx)+{coarse!r})*over"
    yield f"let reading{k} = xx+half*uu[{k}]"
    yield f"print reading{k}"


def _probes(reading: Reading, copy: _Copy) -> tuple[str, str]:
    if reading.spots[0][0] != "over":
        plus, less = (copy.at(spot) for spot in reading.spots)
        return plus, less
    out = [one.part for one in copy.plan.of(FEEDER, "out")]
    k = out.index(reading.spots[0][1])
    return copy.feeder_out(k - 1), copy.feeder_out(k)


def run(plan: Plan, fault: Fault, chance: Chance) -> dict[str, float]:
    """Every routine reading of a battery side with one fault, not yet rounded, by its key.

    Raises FileNotFoundError when there is no ngspice, RuntimeError when it does not give every reading.
    """
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "side.cir"
        file.write_text(netlist(plan, fault, chance), encoding="ascii")
        command = ["ngspice", "-b", str(file)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)  # judged below
    found = {int(k): float(value) for k, value in re.findall(r"^reading(\d+) = (\S+)", done.stdout, re.M)}
    every = readings(plan)
    said = done.stdout + done.stderr
    if sorted(found) != list(range(len(every))) or re.search(r"\berror\b|no such|aborted", said, re.I):
        raise RuntimeError(f"ngspice gave no full answer for {fault}:\n{said[:2000]}")
    return {reading.key: found[k] for k, reading in enumerate(every)}


def release() -> str:
    """Name and release of the ngspice that is installed."""
    done = subprocess.run(["ngspice", "--version"], capture_output=True, text=True, timeout=60, check=False)
    found = re.search(r"ngspice-\S+", done.stdout)
    return found[0] if found else "ngspice"
