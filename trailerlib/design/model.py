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

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, field_validator

from trailerlib import units
from trailerlib.design import catalogue as classes

DC_KINDS = ("resistive", "constant power", "constant current")
SYSTEM_WORDS = {"dc": "battery side", "mains": "mains side"}
MOST_POINTS = 50


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


def _plain_text(text: str) -> str:
    if _HOSTILE.search(text) or not text.isprintable():
        raise ValueError(
            f'"{units.shorten(text)}" is not plain text; use words without < or >, without ../, '
            "and not beginning with = + - or @."
        )
    return text


def _plain_name(text: str) -> str:
    if "." in text or not text:
        raise ValueError(f'"{units.shorten(text)}" cannot be a name; write a short name without a full stop.')
    return _plain_text(text)


Text = Annotated[str, Field(max_length=200), AfterValidator(_plain_text)]
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
Point = tuple[Position, Position, Position]


def _wire(text: str) -> str:
    return classes.wire(text).name


def _insulation(text: str) -> str:
    return classes.insulation(text)


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
    if type(value) is not int or value not in (1, 2):
        raise ValueError(f'"{units.shorten(str(value))}" is not a leg; write 1 or 2.')
    return value


def _leg_volts(kind: str) -> float | None:
    """Nominal voltage of one leg to neutral of a kind of supply [V]; None when there is no such kind."""
    if classes.is_generator(kind):
        return classes.generator_kinds()[kind].volts
    known = classes.supply_kinds().get(kind)
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
Path = Annotated[tuple[Point, ...], BeforeValidator(_path), AfterValidator(_goes_somewhere)]
Insulation = Annotated[str, AfterValidator(_insulation)]


class Part(BaseModel):
    """Base of every part: frozen, and a key that is not known is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))


class Use(Part):
    """Who uses the trailer: the answers asked at intake."""

    sleepers: Whole | None = Field(default=None, ge=0, le=20)
    note: Text = ""


class Site(Part):
    """Where it will stand. Elevation [m], latitude and longitude [°], air [°C]; None is not known.

    ``day`` is the day of the year the sun is worked out for, as month-day; ``weather`` names an hourly file that is
    used in place of a clear sky.
    """

    elevation: Annotated[float | None, quantity("elevation", low=-500.0, high=6000.0)] = None
    latitude: float | None = Field(default=None, ge=-90, le=90, strict=True)
    longitude: float | None = Field(default=None, ge=-180, le=180, strict=True)
    hottest: Ambient | None = None
    coldest: Ambient | None = None
    day: Annotated[str, AfterValidator(_day)] | None = None
    weather: Name | None = None


class Trailer(Part):
    """The box, inside. Length, width and height [m]; ``nose`` is how far a pointed nose sticks out [m].

    ``floor`` is how high its floor stands above the ground [m].
    """

    length: Length
    width: Length
    height: Length
    nose: Annotated[float, quantity("length", low=0.0, high=6.0)] = 0.0
    tongue: Annotated[float, quantity("length", low=0.0, high=6.0)] = 1.2
    axles: Whole = Field(default=1, ge=1, le=3)
    floor: Annotated[float | None, quantity("length", low=0.0, high=2.0)] = None


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
    """

    service_loop: Annotated[float, quantity("length", low=0.0, high=3.0)] = 0.1524
    reach: Length | None = None


class Load(Part):
    """One appliance, or several alike. Own numbers win over the catalogue class; the name plate wins over both.

    Of one piece, from the name plate: ``rated_current`` and ``locked_rotor`` [A] of a motor or compressor at
    ``rated_voltage`` [V], ``largest_breaker`` the largest that may protect it [A], ``start_time`` how long it takes to
    come up to speed [h].
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
    rated_voltage: Volts = 120.0
    locked_rotor: Amps | None = None
    largest_breaker: Amps | None = None
    start_time: Annotated[float | None, quantity("duration", above=0.0, high=0.01)] = None
    run: Run | None = None
    lowest_voltage: Volts | None = None

    @cached_property
    def typical(self) -> classes.Appliance:
        """The catalogue class of this load."""
        return classes.appliance(self.appliance)

    @cached_property
    def each_w(self) -> float:
        """Running power of one piece [W]: as stated, else by the name plate, else that of its class."""
        if self.power is None and self.rated_current is not None:
            return self.rated_current * self.rated_voltage * self.typical.power_factor
        return self.typical.power_w if self.power is None else self.power

    @cached_property
    def running_w(self) -> float:
        """Running power of all pieces while they run [W]."""
        return self.each_w * self.count

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
            return self.locked_rotor * self.rated_voltage * self.typical.power_factor
        multiple = self.typical.soft_start_multiple if self.soft_start else self.typical.start_multiple
        return self.each_w * multiple

    @cached_property
    def lowest_v(self) -> float | None:
        """Voltage under which it stops working [V]; None when it is not known."""
        return self.typical.lowest_v if self.lowest_voltage is None else self.lowest_voltage


class Circuit(Part):
    """One branch: the wire, what protects it, where it runs.

    ``run`` is one way [m], ``bundle`` the current-carrying wires that lie together, ``ambient`` the air around
    it [°C]. What is stated here wins; where nothing is, the layout says (see ``Design.run_m``). ``leg`` is the one
    it hangs on where the supply has two. ``receptacle`` is the type of its ``outlets``, None where it feeds what is
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
    leg: Annotated[Literal[1, 2], BeforeValidator(_leg)] | None = None
    receptacle: Plug | None = None
    outlets: Whole | None = Field(default=None, ge=1, le=50)
    gfci: YesNo | None = None

    @field_validator("leg")
    @classmethod
    def _leg_of_mains(cls, leg: int | None, info: ValidationInfo) -> int | None:
        if leg is not None and info.data.get("system") == "dc":
            raise ValueError("a circuit of the battery side hangs on no leg; remove this key.")
        return leg


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


class Supply(Part):
    """What can feed the mains side: a catalogue kind with its cord, or a generator class.

    ``prospective`` is the short-circuit current at the pedestal, by a loop tester [A], ``voltage`` what a meter shows
    there between a leg and neutral with nothing plugged in [V]; None is not measured. ``adapters`` are the changes of
    plug on the way, from the supply to the trailer. ``neutral`` says how a generator treats it.
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


class Battery(Part):
    """The bank. Capacity [Ah] of one battery at its hour rate [h]; ``count`` in parallel.

    ``cut_off`` is the voltage at its terminals under which everything is disconnected [V]. ``heater`` is the power
    of a heating pad [W] that keeps it at ``heated_to`` [°C].
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

    @property
    def blocks(self) -> int:
        """How many 12 V blocks stand in series [-]."""
        return 1 if self.nominal == "12 V" else 2

    @property
    def bank_ah(self) -> float:
        """Rated capacity of the whole bank [Ah]."""
        return self.capacity * self.count


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
    """

    name: Name
    power: Watts
    count: Whole = Field(default=1, ge=1, le=40)
    tilt: float = Field(default=0.0, ge=0, le=90)
    azimuth: float = Field(default=180.0, ge=0, le=360)
    shading: Share = 0.0
    losses: Share = 0.15
    controller: Literal["tracking", "switching"] = "tracking"


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
    """A hole in the skin. ``at`` is its centre: [from the nose wall, from the left wall or above the floor] [m]."""

    name: Name
    kind: Literal["door", "window", "roof fan", "roof cooler", "hatch"]
    wall: Literal["roof", "curb", "road", "nose", "rear"]
    at: tuple[Position, Position]
    size: tuple[Length, Length]


class Stay(Part):
    """A stretch of time on one supply. Times [h after midnight]; ``on`` says what runs when."""

    name: Name
    supply: Name
    start: Annotated[float, BeforeValidator(units.read_clock)] = Field(alias="from")
    end: Annotated[float, BeforeValidator(units.read_clock)] = Field(alias="to")
    ambient: Ambient | None = None
    on: dict[Name, Text] = Field(default_factory=dict)

    @property
    def hours(self) -> float:
        """How long it lasts [h]; a stay that ends before it starts runs past midnight."""
        return self.end - self.start if self.end > self.start else self.end + 24.0 - self.start


class Safety(Part):
    """What guards the people inside; None is not known."""

    co_alarm: YesNo | None = None
    smoke_alarm: YesNo | None = None
    battery_vented: YesNo | None = None
