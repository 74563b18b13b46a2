"""What limits the switches behind one supply, from the branch back to the pedestal, and what is not known of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from trailerlib.design import plug_types, supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.physics.together import Floats, Phasors
from trailerlib.studies.ampacity import cord_a
from trailerlib.studies.answer import names
from trailerlib.studies.generator import site_factors
from trailerlib.studies.legs import adapter_ends, arriving_legs
from trailerlib.studies.mains import LONG_SHARE, rating_a
from trailerlib.studies.mains_side.cord import cord_of, inlet_carry
from trailerlib.studies.together.switches import Switch

LASTING = 1.0 / LONG_SHARE  # 210.20(A): what runs three hours or more counts 125 %

Kind = Literal["breaker", "generator", "power", "cord", "inlet wire", "adapter"]


@dataclass(frozen=True)
class Limit:
    """One limit: what it is, in words, its rating [A, or W for ``power``], which switches lie behind it, on which leg.

    ``device`` is its name in the table of opening times; empty where nothing of it opens by itself.
    """

    kind: Kind
    what: str
    rating: float
    on: tuple[bool, ...]
    device: str = ""
    leg: int | None = None

    @property
    def name(self) -> str:
        """What it is, with its leg where there are two."""
        return self.what if self.leg is None else f"{self.what}, leg {self.leg}"

    @property
    def unit(self) -> str:
        """Unit of its rating."""
        return "W" if self.kind == "power" else "A"


def limits(design: Design, supply: Supply, found: Sequence[Switch]) -> tuple[tuple[Limit, ...], tuple[str, ...]]:
    """Every limit that is known, and in words what is not.

    Parameters
    ----------
    design : the design
    supply : what feeds the mains side
    found : what can be switched
    """
    gaps = [*_branch_gaps(design, found), *_supply_gaps(design, supply)]
    branches = list(_branches(design, found))
    ahead = list(_ahead(design, supply))
    if arriving_legs(design, supply) == 1:
        everywhere = tuple(True for _ in found)
        return (*branches, *(Limit(kind, name, a, everywhere, device) for kind, name, a, device in ahead)), tuple(gaps)
    circuits = [design.circuit(s.circuit) for s in found]
    on_leg = {k: tuple(c.leg is None or c.on_leg(k) for c in circuits) for k in (1, 2)}
    by_leg = [Limit(k, n, a, on, d, leg) for k, n, a, d in ahead for leg, on in on_leg.items()]
    gaps += _leg_gaps(design, found, [a for _, _, a, _ in ahead])
    return (*branches, *by_leg), tuple(gaps)


def most_a(design: Design, supply: Supply) -> float:
    """The lowest limit of a leg in front of the panel that is known [A]."""
    return min(rating for kind, _, rating, _ in _ahead(design, supply) if kind != "power")


def draws(found: Sequence[Switch], rows: Sequence[Limit]) -> tuple[Phasors, Phasors, Floats]:
    """What each switch adds to each limit now, and what it counts where all stays on for three hours and more.

    Parameters
    ----------
    found : what can be switched
    rows : the limits

    Returns
    -------
    [A or W] two arrays of shape (limits, n), and the limits, shape (limits,)

    Source
    ------
    210.20(A): 125 % of what lasts three hours and 100 % of the rest, on breakers that are not marked for 100 %.
    """
    amps = np.array([s.amps for s in found], dtype=complex)
    watts = np.array([s.sent_w for s in found], dtype=complex)
    lasting = np.array([LASTING if s.lasts else 1.0 for s in found])
    on = np.array([row.on for row in rows], dtype=float).reshape(len(rows), len(found))
    now = np.array([watts if row.kind == "power" else amps for row in rows]).reshape(on.shape) * on
    counts = np.array([[row.kind == "breaker"] for row in rows], dtype=bool).reshape(-1, 1)
    return now, np.where(counts, now * lasting, now), np.array([row.rating for row in rows], dtype=float)


def _branches(design: Design, found: Sequence[Switch]) -> Iterator[Limit]:
    for name in dict.fromkeys(s.circuit for s in found):
        circuit = design.circuit(name)
        if circuit.protection is not None:
            on = tuple(s.circuit == name for s in found)
            yield Limit("breaker", f"{circuit.protection:g} A “{name}”", circuit.protection, on, circuit.device)


def _branch_gaps(design: Design, found: Sequence[Switch]) -> Iterator[str]:
    for name in dict.fromkeys(s.circuit for s in found):
        if design.circuit(name).protection is None:
            yield f"the breaker of “{name}” is not given"
    if design.charger is not None and design.battery is None:
        yield "what the charger draws is not known without its battery"


def _cord(supply: Supply) -> str | None:
    return supply.cord if supply.cord or supply.is_generator else supply_classes.every_supply()[supply.kind].cord


def _ahead(design: Design, supply: Supply) -> Iterator[tuple[Kind, str, float, str]]:
    """The limits in front of the panel: kind, name, rating [A or W], device; what opens first, then what only heats."""
    if design.mains.main is not None:
        yield "breaker", f"{design.mains.main:g} A main", design.mains.main, "breaker"
    yield from _generator(design, supply) if supply.is_generator else _pedestal(supply)
    cord = _cord(supply)
    amps = None if cord is None else cord_a(cord)
    if amps is not None:
        yield "cord", f"{cord} cord", amps, ""
    carry = inlet_carry(design)
    if carry is not None and carry.guarded_a is not None:
        yield "inlet wire", f"{design.mains.inlet_wire} behind the inlet", carry.guarded_a, ""
    if design.mains.inlet is not None:
        yield "adapter", f"inlet {design.mains.inlet}", plug_types.plug(design.mains.inlet).rating_a, ""
    for text in reversed(supply.adapters):
        yield "adapter", f"adapter {text}", min(end.rating_a for end in adapter_ends(text)), ""


def _pedestal(supply: Supply) -> Iterator[tuple[Kind, str, float, str]]:
    rating = rating_a(supply)
    where = "house" if supply.kind.startswith("household") else "pedestal"
    yield "breaker", f"{rating:g} A at the {where}", rating, "breaker"


def _generator(design: Design, supply: Supply) -> Iterator[tuple[Kind, str, float, str]]:
    """Height and heat take from the engine, not from the winding or the receptacle.

    Without the site the rated power stands: what is too much for it is too much anywhere, and the rest is not passed.
    """
    kind = supply_classes.generator_kinds()[supply.kind]
    rating, outlet = rating_a(supply), plug_types.plug(kind.plug)
    left = site_factors(design).formula
    yield "generator", "generator’s current", rating, ""
    yield "generator", f"generator’s {outlet.name} receptacle", outlet.rating_a, ""
    yield "power", "generator’s power", rating * kind.volts * (1.0 if left is None else left), ""


def _supply_gaps(design: Design, supply: Supply) -> Iterator[str]:
    if design.mains.main is None and design.mains.has_main is not False:
        yield "the main breaker is not given"
    cord = _cord(supply)
    if cord is None:
        yield f"the cord of “{supply.name}” is not given"
    elif cord_of(design, supply) is None:
        yield f"the length of the cord of “{supply.name}” is not given, so what it drops is not counted"
    if cord is not None and cord_a(cord) is None:
        yield f"no table at hand says what a {cord} cord may carry"
    if supply.is_generator and site_factors(design).formula is None:
        yield "the elevation or the hottest air of the site is not given, so what height and heat leave is not known"


def _leg_gaps(design: Design, found: Sequence[Switch], ratings: Sequence[float]) -> Iterator[str]:
    """A leg that is not given does not matter where everything holds on one."""
    open_ones = [name for name in dict.fromkeys(s.circuit for s in found) if design.circuit(name).leg is None]
    if open_ones and abs(sum(s.amps for s in found)) > min(ratings, default=np.inf):
        yield f"the leg of {names(f'“{name}”' for name in open_ones)} is not given, so each leg counts it"
