"""The shape behind the panel with what feeds it: a supply, its cord, the wire behind the inlet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Supply
from trailerlib.physics.network import Tree
from trailerlib.studies.mains_side.cord import Cord, inlet_of, panel_ohm, source_ohm
from trailerlib.studies.mains_side.shape import PANEL, PEDESTAL, Floats, Shape, heat_of, line_of


@dataclass(frozen=True)
class Network:
    """A shape of so many metres of wire in front of each node behind one supply, with its cord.

    ``lengths_m`` is 0 at pedestal and panel: the wire to the panel is the supply's. ``inlet`` is the wire from the
    inlet to the panel, in a row with the cord; of no length where it is not known.
    Temperatures have a row for the cord, one for the wire behind the inlet and one for each circuit.
    """

    shape: Shape
    lengths_m: tuple[float, ...]
    supply: Supply
    cord: Cord
    inlet: Cord

    @property
    def tree(self) -> Tree:
        """Its nodes."""
        return self.shape.tree

    @property
    def circuits(self) -> tuple[Circuit, ...]:
        """The circuits that have nodes."""
        return self.shape.circuits

    @property
    def nodes(self) -> tuple[range, ...]:
        """Those of each circuit, near to far."""
        return self.shape.nodes

    @cached_property
    def ahead(self) -> Ahead:
        """What lies in front of the branches."""
        practice, panel = self.shape.design.practice, panel_ohm(self.supply)
        cord, inlet = (
            Wire(*line_of(one.wire, practice), one.run_m, *heat_of(one.carry, one.air_c))
            for one in (self.cord, self.inlet)
        )
        return Ahead(cord, inlet, source_ohm(self.supply) / 2.0, *panel)

    @property
    def contacts_ohm(self) -> Floats:
        """Resistance of the contacts on the leg in front of each node [ohm], (nodes,); of the source's half of it."""
        leg = self.shape.contacts[0].copy()
        leg[PEDESTAL], leg[PANEL] = self.ahead.source_ohm, self.ahead.out_ohm
        return leg

    def inlet_ohm(self, hot_c: float) -> complex:
        """Impedance of the wire behind the inlet, one way [ohm].

        Parameters
        ----------
        hot_c : [°C] how warm it is
        """
        wire = self.ahead.inlet
        return wire.run_m * complex(wire.cold + wire.rise * hot_c, wire.reactance)


class Wire(NamedTuple):
    """A wire by its resistance at 0 °C, its rise a kelvin and its reactance [ohm/m], its one-way length [m], its
    ampacity [A] and air [°C] (NaN where not known) and its rating [°C].
    """

    cold: float
    rise: float
    reactance: float
    run_m: float
    amps: float
    air_c: float
    rating_c: float


class Ahead(NamedTuple):
    """Cord and inlet wire, half of the source's resistance, that of the contacts to the panel, out and back [ohm]."""

    cord: Wire
    inlet: Wire
    source_ohm: float
    out_ohm: float
    back_ohm: float


def behind_inlet(design: Design, cord: Cord) -> Cord:
    """The wire from the inlet to the panel; one like the cord, of no length, where it is not known.

    Parameters
    ----------
    design : the design
    cord : the cord of the supply
    """
    return inlet_of(design) or replace(cord, run_m=0.0)
