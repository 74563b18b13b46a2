"""The legs of the mains side: how many a supply has and how many arrive, their voltage, and what has power there."""

from __future__ import annotations

from trailerlib.design import plug_types, supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import BATTERY_SUPPLY, TOWING_SUPPLY, Load, Stay, Supply


def legs(supply: Supply) -> int:
    """How many legs a supply has; a portable generator here has one."""
    return 1 if supply.is_generator else supply_classes.every_supply()[supply.kind].legs


def arriving_legs(design: Design, supply: Supply) -> int:
    """How many legs reach the panel: one plug with a single leg on the way joins what lies behind it."""
    ends = [end for text in supply.adapters for end in adapter_ends(text)]
    if design.mains.inlet is not None:
        ends.append(plug_types.plug(design.mains.inlet))
    return min([legs(supply), *(end.legs for end in ends)])


def adapter_ends(adapter: str) -> tuple[plug_types.PlugType, plug_types.PlugType]:
    """The plug and the receptacle of an adapter."""
    kind = plug_types.adapter(adapter)
    return kind.plug, kind.receptacle


def leg_volts(supply: Supply) -> float:
    """Voltage of one leg to neutral [V]."""
    if supply.is_generator:
        return supply_classes.generator_kinds()[supply.kind].volts
    return supply_classes.every_supply()[supply.kind].volts / legs(supply)


def fed(design: Design, load: Load, stay: Stay) -> bool:
    """Whether a load has power in a stay.

    On the battery and on the road the mains side has none, without inverter; what runs between two legs has none
    where one arrives.
    """
    if load.typical.system == "dc":
        return True
    if stay.supply in (BATTERY_SUPPLY, TOWING_SUPPLY):
        return False
    return not design.circuit(load.circuit).between_legs or arriving_legs(design, design.supply(stay.supply)) > 1


def dead(design: Design) -> str:
    """What one arriving leg leaves without power, by stay; one text, so that results may be kept by it."""
    between = [load for load in design.loads if design.circuit(load.circuit).between_legs]
    without = [(stay.name, load.name) for load in between for stay in design.stays if not fed(design, load, stay)]
    return repr(without) if without else ""
