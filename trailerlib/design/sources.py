"""What feeds the trailer: supplies and the panel they reach, battery, charger, sun, tow vehicle."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from trailerlib import units
from trailerlib.design import catalogue as classes
from trailerlib.design import supply_classes
from trailerlib.design.fields import (
    Adapter,
    Amps,
    Insulation,
    Mass,
    Name,
    Part,
    Plug,
    Restrained,
    Run,
    Share,
    Volts,
    Watts,
    Whole,
    Wire,
    YesNo,
    quantity,
)


def _leg_volts(kind: str) -> float | None:
    """Nominal voltage of one leg to neutral of a kind of supply [V]; None when there is no such kind."""
    if supply_classes.is_generator(kind):
        return supply_classes.generator_kinds()[kind].volts
    known = supply_classes.every_supply().get(kind)
    return None if known is None else known.volts / known.legs


class Supply(Restrained):
    """What can feed the mains side: a catalogue kind with its cord, or a generator class.

    ``prospective`` is the short-circuit current at the pedestal, by a loop tester [A], ``voltage`` what a meter shows
    there between a leg and neutral with nothing plugged in [V]; None is not measured. ``adapters`` are the changes of
    plug on the way, from the supply to the trailer. ``neutral`` says how a generator treats it, ``mass`` is what one
    weighs with its fuel [kg], ``rides`` where it stands on the road if that is not its place.
    """

    name: Name
    kind: Name
    cord: Wire | None = None
    cord_run: Run | None = None
    place: Name | None = None
    running: Watts | None = None
    starting: Watts | None = None
    prospective: Annotated[float, quantity("current", low=20.0, high=200_000.0)] | None = None
    voltage: Volts | None = None
    adapters: tuple[Adapter, ...] = Field(default=(), max_length=6)
    neutral: Literal["floating", "bonded"] | None = None
    mass: Mass | None = None
    rides: Name | None = None

    @field_validator("voltage")
    @classmethod
    def _of_one_leg(cls, voltage: float | None, info: ValidationInfo) -> float | None:
        nominal = _leg_volts(info.data.get("kind", ""))
        if voltage is not None and nominal is not None and not 0.5 * nominal <= voltage <= 1.3 * nominal:
            raise ValueError(
                f"{units.show(voltage, 'voltage')} is not what a leg of this supply gives to neutral; "
                f"write what the meter shows, such as {nominal:g} V."
            )
        return voltage

    @property
    def is_generator(self) -> bool:
        """Whether this supply burns fuel."""
        return supply_classes.is_generator(self.kind)

    @property
    def mass_kg(self) -> float | None:
        """What a generator weighs with a full tank [kg]: as stated, else that of its class; None of anything else."""
        return classes.mass_kg(self.kind) if self.mass is None and self.is_generator else self.mass


class Mains(Part):
    """The inlet and the panel of the mains side; None is not known.

    ``inlet`` is the plug type of the inlet, ``main`` the main breaker [A], ``has_main`` false where the panel has none,
    ``transfer`` what keeps two supplies from meeting. ``neutral_isolated``: neutral bar apart from enclosure and bond.
    ``frame_bond``: wire from the panel to the frame. ``managed``: an energy management system sheds loads.

    ``inlet_wire`` and ``inlet_insulation`` are those of the wire from the inlet to the panel, ``inlet_run`` its length
    one way [m]; where that is not stated, ``inlet_place`` and the place of the panel say (see ``Design.inlet_run_m``).
    """

    inlet: Plug | None = None
    inlet_wire: Wire | None = None
    inlet_insulation: Insulation = "60 C"
    inlet_run: Run | None = None
    inlet_place: Name | None = None
    main: Amps | None = None
    has_main: YesNo | None = None
    transfer: Literal["single inlet", "interlock", "transfer switch", "none"] | None = None
    neutral_isolated: YesNo | None = None
    frame_bond: Wire | None = None
    skin_bonded: YesNo | None = None
    inlet_labelled: YesNo | None = None
    panel_clear: YesNo | None = None
    managed: YesNo = False

    @field_validator("has_main")
    @classmethod
    def _main_once(cls, fitted: bool | None, info: ValidationInfo) -> bool | None:
        if fitted is False and info.data.get("main") is not None:
            raise ValueError("says there is no main breaker, and main gives its rating; remove one of the two.")
        return fitted


class Battery(Restrained):
    """The bank. Capacity [Ah] of one battery at its hour rate [h]; ``count`` in parallel.

    ``cut_off`` is the voltage at its terminals under which everything is disconnected [V]. ``heater`` is the power
    of a heating pad [W] that keeps it at ``heated_to`` [°C]. ``mass`` is that of one battery [kg].
    """

    chemistry: Literal["flooded", "agm", "gel", "lfp"]
    capacity: Annotated[float, quantity("charge", above=0.0, high=10_000.0)]
    hour_rate: Annotated[float, quantity("duration", above=0.0, high=200.0)] = 20.0
    count: Whole = Field(default=1, ge=1, le=40)
    nominal: Literal["12 V", "24 V"] = "12 V"
    age: Annotated[float, quantity("fraction", low=0.1, high=1.0)] = 1.0
    start_charge: Annotated[float, quantity("fraction", low=0.01, high=1.0)] = 1.0
    lowest_charge: Share | None = None
    resistance: Annotated[float, quantity("resistance", above=0.0, high=1.0)] | None = None
    cut_off: Volts | None = None
    heater: Watts | None = None
    heated_to: Annotated[float, quantity("temperature", low=0.0, high=25.0)] = 5.0
    place: Name | None = None
    mass: Mass | None = None

    @property
    def blocks(self) -> int:
        """How many 12 V blocks stand in series [-]."""
        return 1 if self.nominal == "12 V" else 2

    @property
    def bank_ah(self) -> float:
        """Rated capacity of the whole bank [Ah]."""
        return self.capacity * self.count

    @property
    def mass_each_kg(self) -> float | None:
        """What one battery weighs [kg]: as stated, else by its class and capacity."""
        per_ah = classes.mass_kg(f"battery {self.chemistry}")
        return self.mass if self.mass is not None or per_ah is None else per_ah * self.capacity * self.blocks


class Charger(Part):
    """The mains charger of the battery. ``absorption`` and ``float`` are its voltages [V]; None is the chemistry's."""

    current: Amps
    circuit: Name
    efficiency: Annotated[float, quantity("fraction", low=0.1, high=1.0)] = 0.85
    power_factor: Annotated[float, quantity("fraction", low=0.1, high=1.0)] = 0.7
    absorption: Volts | None = None
    float_: Volts | None = Field(default=None, alias="float")


class Solar(Part):
    """Panels on the roof. ``power`` is that of one panel on its plate [W]; tilt and azimuth [°], 180 is south.

    ``shading`` is the share of the sun that trees and the cooler take, ``losses`` what wire, dirt and controller take.
    ``place`` is where they lie, ``mass`` what one weighs [kg].
    """

    name: Name
    power: Watts
    count: Whole = Field(default=1, ge=1, le=40)
    tilt: float = Field(default=0.0, ge=0, le=90)
    azimuth: float = Field(default=180.0, ge=0, le=360)
    shading: Share = 0.0
    losses: Share = 0.15
    controller: Literal["tracking", "switching"] = "tracking"
    place: Name | None = None
    mass: Mass | None = None

    @property
    def mass_each_kg(self) -> float | None:
        """What one panel weighs with its rails [kg]: as stated, else by its class and power."""
        per_w = classes.mass_kg("solar panel")
        return self.mass if self.mass is not None or per_w is None else per_w * self.power


class TowCharge(Part):
    """Charging while towing: the wire from the tow vehicle's battery, one way [m], and what limits it.

    ``source`` is the voltage at the tow vehicle with the engine running [V]. ``converter`` is the rated output of a
    dc converter at the trailer's battery [A]; None is a plain wire. ``limit`` is the fuse at the tow vehicle [A].
    """

    wire: Wire
    run: Run
    insulation: Insulation = "60 C"
    source: Volts = 13.8
    limit: Amps | None = None
    converter: Amps | None = None
    efficiency: Annotated[float, quantity("fraction", low=0.1, high=1.0)] = 0.9
