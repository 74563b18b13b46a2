"""The wires ahead of the circuits, from battery and inlet to their blocks: their length, stated or by two places."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trailerlib.design.raceways import axis_m

if TYPE_CHECKING:
    from trailerlib.design.design import Design


def feeder_run_m(design: Design) -> float | None:
    """Battery to fuse block, one way [m]: stated, else straight along the axes with a service loop at each end."""
    feeder, battery = design.feeder, design.battery
    if feeder is None or feeder.run is not None:
        return None if feeder is None else feeder.run
    if battery is None or battery.place is None or design.fuse_block is None:
        return None
    way = axis_m(design.place(battery.place).at, design.place(design.fuse_block).at)
    return way + 2.0 * design.routing.service_loop


def inlet_place(design: Design) -> str | None:
    """The place of the inlet: stated, else the one at which every supply from outside is plugged in; None without."""
    if design.mains.inlet_place is not None:
        return design.mains.inlet_place
    places = {supply.place for supply in design.supplies if not supply.is_generator}
    return places.pop() if len(places) == 1 else None


def inlet_run_m(design: Design) -> float | None:
    """Inlet to panel, one way [m]: stated, else straight along the axes with a service loop at each end."""
    if design.mains.inlet_run is not None:
        return design.mains.inlet_run
    inlet = inlet_place(design)
    if inlet is None or design.panel is None:
        return None
    way = axis_m(design.place(inlet).at, design.place(design.panel).at)
    return way + 2.0 * design.routing.service_loop
