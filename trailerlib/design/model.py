"""What is being built: the parts of a design, frozen and validated, with no behaviour beyond look-ups.

Every quantity is stored in the inside unit of its kind (see ``trailerlib.units``);
the field's name carries the unit where the file's key does not say it.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PrivateAttr,
    ValidationInfo,
    field_validator,
)

from trailerlib import units
from trailerlib.design import box_classes
from trailerlib.design import catalogue as classes

DC_KINDS = ("resistive", "constant power", "constant current")
SYSTEM_WORDS = {"dc": "battery side", "mains": "mains side"}
MOST_POINTS = 50
BOTH: Literal["both"] = "both"
CLASS_MAINS_V = 120.0  # what the lowest voltages of the mains classes are said for


def _checked(value: float, text: str, kind: str, low: float | None, above: float | None, high: float | None) -> float:
    if above is not None and not value > above:
        raise ValueError(
            f'"{units.shorten(text)}" is not above zero; write a {kind} such as {units.KINDS[kind].example}.'
        )
    if low is not None and value < low:
        raise ValueError(
            f'"{units.shorten(text)}" is too low; the lowest that makes sense here is {_bound(low, kind)}.'
        )
    if high is not None and value > high:
        raise ValueError(
            f'"{units.shorten(text)}" is too high; the highest that makes sense here is {_bound(high, kind)}.'
        )
    return value


def _bound(value: float, kind: str) -> str:
    return f"{units.show(value, kind, 'us')} ({units.show(value, kind, 'metric')})"


def _reader(kind: str, low: float | None, above: float | None, high: float | None) -> Callable[[Any], float]:
    def read(value: Any) -> float:
        if not isinstance(value, str):
            raise ValueError(
                f"{value!r} has no unit; write a number and a unit in quotes, such as {units.KINDS[kind].example}."
            )
        return _checked(units.read(value, kind), value, kind, low, above, high)

    return read


def quantity(
    kind: str, *, low: float | None = None, above: float | None = None, high: float | None = None
) -> BeforeValidator:
    """The reader of a quantity of one kind, with the range that makes sense, in the inside unit.

    Parameters
    ----------
    kind : one of the names in ``units.KINDS``
    low : [inside unit] smallest value that is accepted
    above : [inside unit] value that must be exceeded
    high : [inside unit] largest value that is accepted
    """
    return BeforeValidator(_reader(kind, low, above, high))


_HOSTILE = re.compile(r"[<>]|\.\.[\\/]|^[=+@|-]|^\s|\s$")


def plain_text(text: str) -> str:
    """A text that does nothing anywhere it may be shown.

    Parameters
    ----------
    text : what was written

    Raises
    ------
    ValueError
        When it is not plain.
    """
    if _HOSTILE.search(text) or not text.isprintable():
        raise ValueError(
            f'"{units.shorten(text)}" is not plain text; use words without < or >, without ../, '
            "and not beginning with = + - or @."
        )
    return text


def _plain_name(text: str) -> str:
    if "." in text or not text:
        raise ValueError(f'"{units.shorten(text)}" cannot be a name; write a short name without a full stop.')
    return plain_text(text)


Text = Annotated[str, Field(max_length=200), AfterValidator(plain_text)]
Name = Annotated[str, Field(max_length=40), AfterValidator(_plain_name)]
Whole = Annotated[int, Field(strict=True)]
YesNo = Annotated[bool, Field(strict=True)]
Length = Annotated[float, quantity("length", above=0.0, high=60.0)]
Position = Annotated[float, quantity("length", low=-10.0, high=60.0)]
Run = Annotated[float, quantity("length", above=0.0, high=200.0)]
Ambient = Annotated[float, quantity("temperature", low=-60.0, high=85.0)]
Watts = Annotated[float, quantity("power", above=0.0, high=50_000.0)]
Amps = Annotated[float, quantity("current", above=0.0, high=2000.0)]
Volts = Annotated[float, quantity("voltage", above=0.0, high=480.0)]
Share = Annotated[float, quantity("fraction", low=0.0, high=1.0)]
Mass = Annotated[float, quantity("mass", above=0.0, high=10_000.0)]
Thickness = Annotated[float, quantity("small length", above=0.0, high=0.5)]
Rating = Annotated[float, quantity("mass", above=0.0, high=20_000.0)]
Air = Annotated[float, quantity("pressure", low=30e3, high=1.2e6)]
Point = tuple[Position, Position, Position]


def _wire(text: str) -> str:
    return classes.wire(text).name


def _insulation(text: str) -> str:
    return classes.insulation(text)


def _glazing(name: str) -> str:
    return box_classes.glazing(name).name


def _activity(name: str) -> str:
    return box_classes.activity(name).name


def _appliance(text: str) -> str:
    return classes.appliance(text).name


def _path(value: Any) -> Any:
    if not isinstance(value, list | tuple) or not all(isinstance(point, list | tuple) for point in value):
        raise ValueError(
            f'"{units.shorten(str(value))}" is not a path; write a list of points, such as '
            '[["1 ft", "2 in", "6 ft"], ["14 ft", "2 in", "6 ft"]].'
        )
    if len(value) < 2:
        raise ValueError("a raceway needs at least two points: where it begins and where it ends.")
    if len(value) > MOST_POINTS:
        raise ValueError(f"a raceway has at most {MOST_POINTS} points; split it in two.")
    return value


def _goes_somewhere(path: tuple[Point, ...]) -> tuple[Point, ...]:
    for number, (here, there) in enumerate(itertools.pairwise(path), start=1):
        if here == there:
            raise ValueError(f"points {number} and {number + 1} are the same; remove one of them.")
    return path


def _leg(value: Any) -> Any:
    if value != BOTH and (type(value) is not int or value not in (1, 2)):
        raise ValueError(f'"{units.shorten(str(value))}" is not a leg; write 1, 2 or "{BOTH}".')
    return value


def _leg_volts(kind: str) -> float | None:
    """Nominal voltage of one leg to neutral of a kind of supply [V]; None when there is no such kind."""
    if classes.is_generator(kind):
        return classes.generator_kinds()[kind].volts
    known = classes.every_supply().get(kind)
    return None if known is None else known.volts / known.legs


def _adapter(text: str) -> str:
    return classes.adapter(text).name


def _plug(text: str) -> str:
    return classes.plug(text).name


def _day(text: str) -> str:
    if not re.fullmatch(r"\d\d-\d\d", text) or not _in_calendar(int(text[:2]), int(text[3:])):
        raise ValueError(f'"{units.shorten(text)}" is not a day of the year; write month and day, such as "07-21".')
    return text


def _in_calendar(month: int, day: int) -> bool:
    return 1 <= month <= 12 and 1 <= day <= (28, 31, 30)[0 if month == 2 else 2 if month in (4, 6, 9, 11) else 1]


Wire = Annotated[str, AfterValidator(_wire)]
Plug = Annotated[str, AfterValidator(_plug)]
Adapter = Annotated[str, AfterValidator(_adapter)]
OnLeg = Literal[1, 2, "both"]
Path = Annotated[tuple[Point, ...], BeforeValidator(_path), AfterValidator(_goes_somewhere)]
Insulation = Annotated[str, AfterValidator(_insulation)]


class Part(BaseModel):
    """Base of every part: frozen, and a key that is not known is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))


class Restrained(Part):
    """A heavy thing and what holds it on the road; None is not known.

    ``straps`` of working load limit ``strap_limit`` [kg] each, at ``strap_angle`` from the floor [°]; ``strap_way``
    says whether they pass over it from side to side or go from an anchor to it and end there. ``bolts`` of
    ``bolt_limit`` [kg] each. ``contained``: a box or walls of the trailer keep it from going anywhere.
    """

    straps: Whole | None = Field(default=None, ge=0, le=40)
    strap_limit: Mass | None = None
    strap_angle: float | None = Field(default=None, ge=0, le=90)
    strap_way: Literal["over", "direct"] = "direct"
    bolts: Whole | None = Field(default=None, ge=0, le=40)
    bolt_limit: Mass | None = None
    contained: YesNo | None = None


class Use(Part):
    """Who uses the trailer: the answers asked at intake."""

    sleepers: Whole | None = Field(default=None, ge=0, le=20)
    note: Text = ""


class Site(Part):
    """Where it will stand. Elevation [m], latitude and longitude [°], air [°C]; None is not known.

    ``day`` is the day of the year the sun is worked out for, as month-day; ``weather`` names an hourly file that is
    used in place of a clear sky. ``swing`` is how far the hottest day cools down at night [K], ``dew_point`` that of
    its air [°C].
    """

    elevation: Annotated[float | None, quantity("elevation", low=-500.0, high=6000.0)] = None
    latitude: float | None = Field(default=None, ge=-90, le=90, strict=True)
    longitude: float | None = Field(default=None, ge=-180, le=180, strict=True)
    hottest: Ambient | None = None
    coldest: Ambient | None = None
    day: Annotated[str, AfterValidator(_day)] | None = None
    weather: Name | None = None
    swing: Annotated[float | None, quantity("temperature step", above=0.0, high=40.0)] = None
    dew_point: Annotated[float | None, quantity("temperature", low=-40.0, high=35.0)] = None


class Trailer(Part):
    """The box, inside. Length, width and height [m]; ``nose`` is how far a pointed nose sticks out [m].

    ``floor`` is how high its floor stands above the ground [m].

    The empty trailer: ``empty`` its mass [kg] and ``empty_centre`` how far its centre lies behind the coupler [m], or
    two readings of a scale, ``coupler_scale`` under the coupler and ``axle_scale`` under the wheels [kg]. ``axle`` is
    the middle of the axle group behind the nose wall [m], ``axle_spread`` from one axle to the next, ``track`` from
    wheel to wheel across. Ratings from the plates [kg]: ``gross_rating``, ``axle_rating`` of one axle,
    ``coupler_rating`` and ``tongue_limit`` (tow vehicle), ``tyre_rating`` of one tyre at ``tyre_full``, the pressure
    beside it on the side wall; ``tyre_pressure`` is what is in it, cold [Pa].
    ``equaliser``: the springs of two axles share by a rocker.
    """

    length: Length
    width: Length
    height: Length
    nose: Annotated[float, quantity("length", low=0.0, high=6.0)] = 0.0
    tongue: Annotated[float, quantity("length", low=0.0, high=6.0)] = 1.2
    axles: Whole = Field(default=1, ge=1, le=3)
    floor: Annotated[float | None, quantity("length", low=0.0, high=2.0)] = None
    empty: Rating | None = None
    empty_centre: Length | None = None
    coupler_scale: Annotated[float | None, quantity("mass", low=-2000.0, high=5000.0)] = None
    axle_scale: Rating | None = None
    axle: Length | None = None
    axle_spread: Length | None = None
    track: Length | None = None
    equaliser: YesNo | None = None
    gross_rating: Rating | None = None
    axle_rating: Rating | None = None
    coupler_rating: Rating | None = None
    tyre_rating: Rating | None = None
    tyre_full: Air | None = None
    tyre_pressure: Air | None = None
    tongue_limit: Rating | None = None

    @field_validator("coupler_scale", "axle_scale")
    @classmethod
    def _weighed_once(cls, reading: float | None, info: ValidationInfo) -> float | None:
        given = [key for key in ("empty", "empty_centre") if info.data.get(key) is not None]
        if reading is not None and given:
            raise ValueError(
                f"the scale says what the empty trailer weighs, and so does {given[0]}; remove one of them."
            )
        return reading

    @field_validator("axle")
    @classmethod
    def _under_the_box(cls, axle: float | None, info: ValidationInfo) -> float | None:
        length = info.data.get("length")
        if axle is not None and length is not None and axle > length:
            raise ValueError(
                f"{units.show(axle, 'length', 'us')} ({units.show(axle, 'length', 'metric')}) lies behind the box; "
                "write how far the middle of the axles is behind the nose wall."
            )
        return axle

    @field_validator("axle_spread")
    @classmethod
    def _between_axles(cls, spread: float | None, info: ValidationInfo) -> float | None:
        if spread is not None and info.data.get("axles") == 1:
            raise ValueError("one axle has no next one; remove this key, or write axles = 2.")
        return spread

    @property
    def coupler_x(self) -> float:
        """Where the coupler is, from the nose wall [m]; it lies in front, so this is below zero."""
        return -(self.nose + self.tongue)


class Place(Part):
    """A named spot. ``at`` = [from the nose wall, from the left (road side) wall, above the floor] [m]."""

    name: Name
    at: Point


class Raceway(Part):
    """A way along which wires are laid: ``path`` is its points [m]. ``ambient`` is the air inside [°C], if known."""

    name: Name
    kind: Literal["trim gap", "ceiling cavity", "floor chase", "conduit"]
    path: Path
    ambient: Ambient | None = None
    carries: Literal["dc", "mains", "both"] = "both"

    def takes(self, system: str) -> bool:
        """Whether wires of ``dc`` or ``mains`` may lie in it."""
        return self.carries in ("both", system)


class Routing(Part):
    """How wires are laid. ``service_loop`` is what is left at each end [m] (6 in is common practice, no source).

    ``reach`` is how far a wire may go from a place to a raceway on its own [m]; None is as far as it takes.
    ``end_allowance`` is what each end of a wire is cut longer for, to be squared and stripped [m] (1 in is common
    practice, no source).
    """

    end_allowance: Annotated[float, quantity("small length", low=0.0, high=0.3)] = 0.0254
    service_loop: Annotated[float, quantity("length", low=0.0, high=3.0)] = 0.1524
    reach: Length | None = None


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


class Circuit(Part):
    """One branch: the wire, what protects it, where it runs.

    ``run`` is one way [m], ``bundle`` the current-carrying wires that lie together, ``ambient`` the air around
    it [°C]. What is stated here wins; where nothing is, the layout says (see ``Design.run_m``). ``leg`` is the one
    it hangs on where the supply has two, ``both`` where a two-pole breaker feeds it from one leg to the other.
    ``receptacle`` is the type of its ``outlets``, None where it feeds what is
    wired in; ``gfci`` says whether it is protected against ground faults.
    """

    name: Name
    system: Literal["dc", "mains"]
    wire: Wire
    insulation: Insulation = "60 C"
    run: Run | None = None
    protection: Amps | None = None
    device: Literal["blade", "maxi", "bolt-down", "breaker"] = "blade"
    drop_limit: Share = 0.03
    bundle: Whole | None = Field(default=None, ge=1, le=100)
    ambient: Ambient | None = None
    origin: Name | None = Field(default=None, alias="from")
    to: Name | None = None
    leg: Annotated[OnLeg, BeforeValidator(_leg)] | None = None
    receptacle: Plug | None = None
    outlets: Whole | None = Field(default=None, ge=1, le=50)
    gfci: YesNo | None = None

    @field_validator("leg")
    @classmethod
    def _leg_of_mains(cls, leg: OnLeg | None, info: ValidationInfo) -> OnLeg | None:
        if leg is not None and info.data.get("system") == "dc":
            raise ValueError("a circuit of the battery side hangs on no leg; remove this key.")
        return leg

    @property
    def between_legs(self) -> bool:
        """Whether it runs from one leg to the other, with nothing on the neutral."""
        return self.leg == BOTH

    def on_leg(self, number: int) -> bool:
        """Whether it draws on a leg.

        Parameters
        ----------
        number : [-] 1 or 2
        """
        return self.leg in (number, BOTH)


class Feeder(Part):
    """From the battery to the fuse block: wire, main fuse, disconnect.

    ``run`` is one way [m]; where it is not stated, the two places say (see ``Design.feeder_run_m``).
    """

    wire: Wire
    insulation: Insulation = "60 C"
    run: Run | None = None
    protection: Amps | None = None
    device: Literal["maxi", "bolt-down", "terminal", "class t", "breaker"] = "bolt-down"
    fuse_from_battery: Annotated[float, quantity("small length", low=0.0, high=30.0)] | None = None
    disconnect: YesNo | None = None
    interrupting: Annotated[float, quantity("current", above=0.0, high=500_000.0)] | None = None


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
        return classes.is_generator(self.kind)

    @property
    def mass_kg(self) -> float | None:
        """What a generator weighs with a full tank [kg]: as stated, else that of its class; None of anything else."""
        return classes.mass_kg(self.kind) if self.mass is None and self.is_generator else self.mass


class Mains(Part):
    """The inlet and the panel of the mains side; None is not known.

    ``inlet`` is the plug type of the inlet, ``main`` the main breaker [A], ``has_main`` false where the panel has none,
    ``transfer`` what keeps two supplies from meeting. ``neutral_isolated``: neutral bar apart from enclosure and bond.
    ``frame_bond``: wire from the panel to the frame. ``managed``: an energy management system sheds loads.
    """

    inlet: Plug | None = None
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


class Trip(Part):
    """Stays in the order they are lived, for the balance over several days."""

    stays: tuple[Name, ...] = Field(default=(), max_length=60)


class Opening(Part):
    """A hole in the skin. ``at`` is its centre: [from the nose wall, from the left wall or above the floor] [m].

    ``glazing`` is its class of window, ``gap`` how far it stands open [m], ``screen`` whether insects are kept out.

    ``mass`` is what sits in it [kg], ``height`` how far the middle of that is above the skin [m]; ``flange`` overlaps
    the skin all round [m], ``shroud`` is what covers it outside, along the first and the second number of ``at`` [m];
    ``made_for`` the thinnest and thickest wall it clamps [m], ``flange_thickness`` that of what is screwed through [m].
    ``bolts`` hold it down, ``bolt_limit`` each [kg]. ``clear`` is what a person can climb through [m].
    ``headers``: a bow that it cuts is carried by headers between the next bows. ``hinge`` is the edge on which its lid,
    sash or door hangs.
    """

    name: Name
    kind: Literal["door", "window", "roof fan", "roof cooler", "hatch"]
    wall: Literal["roof", "curb", "road", "nose", "rear"]
    at: tuple[Position, Position]
    size: tuple[Length, Length]
    glazing: Annotated[str, AfterValidator(_glazing)] | None = None
    gap: Annotated[float, quantity("small length", low=0.0, high=3.0)] | None = None
    screen: YesNo | None = None
    mass: Mass | None = None
    height: Annotated[float, quantity("small length", low=0.0, high=1.0)] | None = None
    flange: Annotated[float, quantity("small length", low=0.0, high=0.5)] | None = None
    shroud: tuple[Length, Length] | None = None
    made_for: tuple[Thickness, Thickness] | None = None
    flange_thickness: Thickness | None = None
    bolts: Whole | None = Field(default=None, ge=1, le=40)
    bolt_limit: Mass | None = None
    clear: tuple[Length, Length] | None = None
    headers: YesNo | None = None
    hinge: Literal["front", "rear", "top", "bottom", "left", "right"] | None = None

    @field_validator("made_for")
    @classmethod
    def _thin_first(cls, value: tuple[float, float] | None) -> tuple[float, float] | None:
        if value is not None and value[0] > value[1]:
            raise ValueError('the range runs backwards; write the thinner wall first, such as ["1 in", "1 3/4 in"].')
        return value

    @field_validator("clear")
    @classmethod
    def _through_the_hole(cls, value: tuple[float, float] | None, info: ValidationInfo) -> tuple[float, float] | None:
        size = sorted(info.data.get("size") or ())
        if value is not None and size and any(c > s for c, s in zip(sorted(value), size, strict=True)):
            raise ValueError("nobody climbs through more than the hole; write no more than its size.")
        return value

    @field_validator("glazing", "gap", "screen")
    @classmethod
    def _can_be_opened(cls, value: Any, info: ValidationInfo) -> Any:
        kind = info.data.get("kind", "")
        if value is not None and kind in ("roof fan", "roof cooler"):
            raise ValueError(f"a {kind} fills its hole; write this key at a window, a door or a hatch.")
        return value

    @property
    def area_m2(self) -> float:
        """The whole hole [m²]."""
        return self.size[0] * self.size[1]

    def holds(self, other: Opening) -> bool:
        """Whether this is a door and another opening a window in it."""
        if self.kind != "door" or other.kind != "window" or self.wall != other.wall:
            return False
        return all(abs(a - b) <= size / 2 for a, b, size in zip(other.at, self.at, self.size, strict=True))

    @property
    def free_m2(self) -> float | None:
        """What stands open of it [m²]: the gap along the longer side, at most the whole hole; None is not known."""
        return None if self.gap is None else min(self.gap * max(self.size), self.area_m2)


class Cargo(Restrained):
    """Something heavy that is aboard and is no appliance. ``at`` is its middle [m], ``mass`` [kg].

    ``when`` says whether it is there always, or only while the trailer stands, as people are.
    """

    name: Name
    mass: Mass
    at: Point
    when: Literal["always", "parked"] = "always"


class Tank(Restrained):
    """A water tank: ``volume`` [L], ``level`` how full it is [-], ``at`` its middle [m]."""

    name: Name
    volume: Annotated[float, quantity("volume", above=0.0, high=2000.0)]
    level: Share | None = None
    at: Point


class Stay(Part):
    """A stretch of time on one supply. Times [h after midnight]; ``on`` says what runs when.

    ``people`` is how many are inside, ``activity`` what they do there; None is not known.
    """

    name: Name
    supply: Name
    start: Annotated[float, BeforeValidator(units.read_clock)] = Field(alias="from")
    end: Annotated[float, BeforeValidator(units.read_clock)] = Field(alias="to")
    ambient: Ambient | None = None
    on: dict[Name, Text] = Field(default_factory=dict)
    people: Whole | None = Field(default=None, ge=0, le=20)
    activity: Annotated[str, AfterValidator(_activity)] | None = None

    @property
    def hours(self) -> float:
        """How long it lasts [h]; a stay that ends before it starts runs past midnight."""
        return self.end - self.start if self.end > self.start else self.end + 24.0 - self.start


class Safety(Part):
    """What guards the people inside; None is not known."""

    co_alarm: YesNo | None = None
    smoke_alarm: YesNo | None = None
    battery_vented: YesNo | None = None
