"""The shape behind the panel with what feeds it: a supply, its cord, the wire behind the inlet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Supply
from trailerlib.physics.mains_network import Phasors
from trailerlib.physics.network import Tree
from trailerlib.studies.mains_side.cord import Cord, inlet_of, panel_parts, source_ohm
from trailerlib.studies.mains_side.shape import PANEL, PEDESTAL, Floats, Shape, both_ways, heat_of, line_of


@dataclass(frozen=True)
class Network:
    """A shape behind one supply, with its cord.

    ``inlet`` is the wire from the inlet to the panel, in a row with the cord; of no length where it is not known.
    Temperatures have a row for the cord, one for the wire behind the inlet and one for each circuit.
    """

    shape: Shape
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
    def heat(self) -> Floats:
        """Ampacity [A] (NaN where not known), air [°C] (NaN where not known) and rating [°C] of each row, (3, rows)."""
        ahead = [heat_of(one.carry, one.air_c) for one in (self.cord, self.inlet)]
        return np.array([*ahead, *self.shape.heat]).T

    @cached_property
    def wire(self) -> tuple[Phasors, Floats]:
        """Of each piece of wire, one conductor: impedance at 0 °C [ohm] and its rise [ohm/K], (pieces,) each.

        A piece in front of each node, and last the wire behind the inlet, which lies in front of the panel too.
        """
        practice, shape = self.shape.design.practice, self.shape
        lines = np.array([line_of(self.cord.wire, practice), line_of(self.inlet.wire, practice), *shape.wires])
        source, _, *behind = shape.lengths_m
        cold, rise, reactance = lines[shape.rows].T * np.array([source, self.cord.run_m, *behind, self.inlet.run_m])
        return cold + 1j * reactance, rise

    @cached_property
    def contacts(self) -> tuple[Floats, Floats]:
        """Resistance of the contacts on the leg and on the neutral in front of each node [ohm], (nodes,) each.

        At the pedestal it is the source's, half on each.
        """
        leg, neutral = (part.copy() for part in self.shape.contacts)
        leg[PEDESTAL] = neutral[PEDESTAL] = source_ohm(self.supply) / 2.0
        leg[PANEL], neutral[PANEL] = both_ways(panel_parts(self.supply))
        return leg, neutral


def behind_inlet(design: Design, cord: Cord) -> Cord:
    """The wire from the inlet to the panel; one like the cord, of no length, where it is not known.

    Parameters
    ----------
    design : the design
    cord : the cord of the supply
    """
    return inlet_of(design) or replace(cord, run_m=0.0)
