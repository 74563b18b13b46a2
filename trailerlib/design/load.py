"""A load: what the file and the name plate say of it, its class for the rest."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated

from pydantic import AfterValidator, Field, PrivateAttr, ValidationInfo, field_validator

from trailerlib.design import box_classes
from trailerlib.design import catalogue as classes
from trailerlib.design.fields import (
    Amps,
    Mass,
    Name,
    Restrained,
    Run,
    Share,
    Volts,
    Watts,
    Whole,
    YesNo,
    _appliance,
    quantity,
)

CLASS_MAINS_V = 120.0  # what the lowest voltages of the mains classes are said for


class Load(Restrained):
    """One appliance, or several alike. Own numbers win over the catalogue class; the name plate wins over both.

    Of one piece, from the name plate: ``rated_current`` and ``locked_rotor`` [A] of a motor or compressor at
    ``rated_voltage`` [V], ``largest_breaker`` the largest that may protect it [A], ``start_time`` how long it takes to
    come up to speed [h], ``mass`` what it weighs [kg], ``cooling`` the cold a cooler makes at its rating [W].
    """

    name: Name
    appliance: Annotated[str, AfterValidator(_appliance)] = Field(alias="class")
    circuit: Name
    place: Name | None = None
    count: Whole = Field(default=1, ge=1, le=100)
    on: YesNo = True
    power: Watts | None = None
    duty: Share | None = None
    starting: Watts | None = None
    soft_start: YesNo = False
    rated_current: Amps | None = None
    rated_voltage: Volts | None = None
    locked_rotor: Amps | None = None
    largest_breaker: Amps | None = None
    start_time: Annotated[float | None, quantity("duration", above=0.0, high=0.01)] = None
    run: Run | None = None
    lowest_voltage: Volts | None = None
    mass: Mass | None = None
    cooling: Annotated[float, quantity("cooling power", above=0.0, high=30_000.0)] | None = None

    @field_validator("cooling")
    @classmethod
    def _of_a_cooler(cls, cooling: float | None, info: ValidationInfo) -> float | None:
        kind = info.data.get("appliance")
        if cooling is not None and kind is not None and classes.appliance(kind).cooling_w is None:
            raise ValueError(f'the class "{kind}" is no cooler; remove this key, or pick a class of cooler.')
        return cooling

    _circuit_v: float = PrivateAttr(default=0.0)

    def fed_with(self, volts: float) -> Load:
        """This load on a circuit of a nominal voltage; itself where it already is.

        Parameters
        ----------
        volts : [V] nominal voltage of its circuit
        """
        if self._circuit_v == volts:
            return self
        moved = self if self._circuit_v == 0.0 else self.model_copy()
        for worked_out in set(moved.__dict__) - set(type(self).model_fields):
            del moved.__dict__[worked_out]
        moved._circuit_v = volts
        return moved

    @property
    def circuit_v(self) -> float:
        """Nominal voltage of its circuit [V]; that of the classes until a design has it."""
        return self._circuit_v or CLASS_MAINS_V

    @property
    def rated_v(self) -> float:
        """The voltage it is made for [V]: as stated, else its circuit's."""
        return self.circuit_v if self.rated_voltage is None else self.rated_voltage

    @cached_property
    def typical(self) -> classes.Appliance:
        """The catalogue class of this load."""
        return classes.appliance(self.appliance)

    @cached_property
    def each_w(self) -> float:
        """Running power of one piece at its circuit's voltage [W]: as stated, else by the name plate, else its class's.

        What heats takes the square of the share of its rated voltage; what else runs keeps its power.
        """
        share = self.circuit_v / self.rated_v if self.typical.kind == "resistive" else 1.0
        if self.power is None and self.rated_current is not None:
            return self.rated_current * self.rated_v * self.typical.power_factor * share**2
        return (self.typical.power_w if self.power is None else self.power) * share**2

    @cached_property
    def running_w(self) -> float:
        """Running power of all pieces while they run [W]."""
        return self.each_w * self.count

    @cached_property
    def mass_each_kg(self) -> float | None:
        """What one piece weighs [kg]: as stated, else that of its class; None when the class has none."""
        return classes.mass_kg(self.appliance) if self.mass is None else self.mass

    @cached_property
    def cooling_w(self) -> float | None:
        """Cold that all pieces make at their rating [W]: as stated, else that of its class; None of anything else."""
        each = self.typical.cooling_w if self.cooling is None else self.cooling
        return None if each is None else each * self.count

    @cached_property
    def fan(self) -> box_classes.Fan | None:
        """Its curve, if its class is a fan."""
        return box_classes.fan_of(self.appliance)

    @cached_property
    def duty_share(self) -> float:
        """Share of the time it runs while it is switched on [-]."""
        return self.typical.duty if self.duty is None else self.duty

    @cached_property
    def start_w(self) -> float:
        """What one piece draws for a moment when it starts [VA]."""
        if self.starting is not None:
            return self.starting
        if self.locked_rotor is not None and not self.soft_start:
            return self.locked_rotor * self.rated_v * self.typical.power_factor
        multiple = self.typical.soft_start_multiple if self.soft_start else self.typical.start_multiple
        return self.each_w * multiple

    @cached_property
    def lowest_v(self) -> float | None:
        """Voltage under which it stops working [V]; None when it is not known."""
        if self.lowest_voltage is not None or self.typical.lowest_v is None or self.typical.system == "dc":
            return self.typical.lowest_v if self.lowest_voltage is None else self.lowest_voltage
        return self.typical.lowest_v * self.circuit_v / CLASS_MAINS_V
